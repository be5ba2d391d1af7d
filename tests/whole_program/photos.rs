//! `lastdock photos`: a row for each picture that has none.

use std::fs;

use crate::common::{Project, program, run};

/// The Exif block of a JPEG picture with its time of exposure.
fn jpeg(taken: &str) -> Vec<u8> {
    let mut tiff = b"MM\0*\0\0\0\x08\0\x01\x87\x69\0\x04\0\0\0\x01\0\0\0\x1A\0\0\0\0".to_vec();
    tiff.extend(1_u16.to_be_bytes());
    tiff.extend(0x9003_u16.to_be_bytes());
    tiff.extend(2_u16.to_be_bytes());
    tiff.extend((taken.len() as u32 + 1).to_be_bytes());
    tiff.extend((tiff.len() as u32 + 8).to_be_bytes());
    tiff.extend([0; 4]);
    tiff.extend(taken.bytes().chain([0]));
    let mut out = b"\xFF\xD8\xFF\xE1".to_vec();
    out.extend((tiff.len() as u16 + 8).to_be_bytes());
    out.extend(b"Exif\0\0");
    out.extend(tiff);
    out.extend(b"\xFF\xC0\0\x0B\x08\0\x0A\0\x18\x01\x01\x11\0\xFF\xD9");
    out
}

fn photos(project: &Project, options: &[&str]) -> crate::common::Said {
    run(program().arg("photos").arg(project.root()).args(options))
}

#[test]
fn each_picture_without_a_row_gets_one_and_nothing_else_changes() {
    let project = Project::copied();
    let before = project.text("papers/papers.csv");
    project.write("papers/in dock, P1.jpg", jpeg("2031:04:09 10:00:00"));
    project.write("papers/another-year.jpg", jpeg("2019:01:01 00:00:00"));
    project.write("papers/no-picture.txt", "a note");
    let dry = photos(&project, &["--dry-run"]).exits(0);
    assert_eq!(project.text("papers/papers.csv"), before);
    let said = photos(&project, &[]).exits(0);
    let after = project.text("papers/papers.csv");
    let added = after.strip_prefix(&before).expect("what stood there stands");
    assert_eq!(added, dry.out);
    let rows: Vec<&str> = added.lines().collect();
    assert_eq!(
        rows,
        [
            "another-year.jpg,photograph,,2019-01-01T00:00:00+01:00,,,,,",
            "\"in dock, P1.jpg\",photograph,P1,2031-04-09T10:00:00+01:00,,,,,",
        ]
    );
    let told = said.squeezed();
    assert!(told.contains("werenottakenduringthedocking:another-year.jpg."), "{}", said.out);
    assert!(told.contains("Thetimesarethecameras'own"), "{}", said.out);
    // It is read as a record, and a second run finds nothing to add.
    let again = photos(&project, &["--json"]).exits(0).json();
    assert_eq!(again["written"], false);
    assert_eq!(again["added"].as_array().map(Vec::len), Some(0));
    let left: Vec<_> = fs::read_dir(project.path("papers")).expect("papers").flatten().collect();
    assert!(left.iter().all(|entry| !entry.file_name().to_string_lossy().starts_with('.')));
}

#[test]
fn a_list_that_is_not_there_is_made() {
    let project = Project::copied();
    project.remove("papers/papers.csv");
    photos(&project, &[]).exits(0);
    let made = project.text("papers/papers.csv");
    assert!(made.starts_with("file,kind,about,taken_at,"), "{made}");
    assert!(made.contains("\nk37-tape.png,photograph,"), "{made}");
}

#[test]
fn a_list_in_other_characters_is_left_alone() {
    let project = Project::copied();
    let text = project.text("papers/papers.csv");
    let utf16: Vec<u8> =
        [0xFF, 0xFE].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    project.write("papers/papers.csv", &utf16);
    project.write("papers/new.jpg", jpeg("2031:04:09 10:00:00"));
    let said = photos(&project, &[]).exits(1);
    assert!(said.err.contains("UTF-8") && said.err.contains("do: "), "{}", said.err);
    assert_eq!(fs::read(project.path("papers/papers.csv")).expect("it"), utf16);
}
