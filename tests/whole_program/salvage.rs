//! What is salvaged of bundles that are beyond mending.

use std::fs;
use std::path::PathBuf;

use crate::common::{NAME, Zip, closed, files, program, run};

/// The folder that is salvaged to.
fn salvaged(zip: &Zip) -> PathBuf {
    zip.folder().join(format!("{NAME}-salvaged"))
}

/// Holds that every file salvaged is what it was, and gives their paths.
#[track_caller]
fn as_they_were(zip: &Zip) -> Vec<String> {
    let found = files(&salvaged(zip));
    for (path, bytes) in &found {
        let was = fs::read(closed().folder.join(path));
        assert!(was.is_ok_and(|was| was == *bytes), "{path}");
    }
    found.into_iter().map(|(path, _)| path).collect()
}

fn all() -> Vec<String> {
    files(&closed().folder).into_iter().map(|(path, _)| path).collect()
}

#[test]
fn beyond_the_amount_bought_whole_files_are_salvaged() {
    let zip = Zip::copied();
    let cut = zip.start_of("data/closeout-report.pdf") + 1000;
    zip.becomes(&zip.bytes[..cut]);
    let said = zip.mend().exits(1);
    assert!(said.out.contains("not mended") && !zip.mended().exists(), "{}", said.out);
    let slices = zip.bytes.len().div_ceil(Zip::slice());
    let missing = slices - cut / Zip::slice();
    let bought = slices.div_ceil(10);
    let told =
        format!("{missing}of{slices}slicesaremissingordamaged,andthereare{bought}recoveryslices");
    assert!(said.squeezed().contains(&told), "{told}\n{}", said.out);
    assert!(said.squeezed().contains("data/closeout-report.pdf:lost"), "{}", said.out);
    let found = as_they_were(&zip);
    // The files that follow the cut in the zip.
    let cut_off =
        ["data/closeout-report.pdf", "data/closeout-summary.pdf", "data/ro-crate-metadata.json"];
    let before_it = |path: &String| path.starts_with("data/") && !cut_off.contains(&path.as_str());
    let wanted: Vec<String> = all().into_iter().filter(before_it).collect();
    assert_eq!(found, wanted);

    assert!(said.squeezed().contains("bagit.txt:lost"), "{}", said.out);
    assert!(said.squeezed().contains("moremaybelostthanislisted"), "{}", said.out);

    // A second time there is something in the way.
    let said = zip.mend().exits(1);
    assert!(said.out.contains("is there already"), "{}", said.out);
    let other = zip.folder().join("other");
    let mut command = program();
    command.args(["mend", "--json"]).arg(&zip.path).arg("--salvage-to").arg(&other);
    let json = run(&mut command).exits(1).json();
    let listed = json["result"]["salvaged"]["files"].as_array().expect("files");
    assert_eq!(listed.len(), wanted.len());
    // The report's own header names it; what every bag has is known without a list, and no more.
    let lost = [
        "bag-info.txt",
        "bagit.txt",
        "data/closeout-report.pdf",
        "manifest-sha256.txt",
        "manifest-sha512.txt",
        "tagmanifest-sha256.txt",
        "tagmanifest-sha512.txt",
    ];
    let salvaged = &json["result"]["salvaged"];
    assert_eq!(salvaged["lost"], serde_json::json!(lost));
    assert!(salvaged["caution"].as_str().is_some_and(|text| text.starts_with("more may be lost")));
    assert_eq!(files(&other).len(), wanted.len());
}

#[test]
fn without_the_zips_directory_every_file_is_salvaged_and_proved() {
    let zip = Zip::alone();
    let directory = zip.bytes.windows(4).rposition(|four| four == b"PK\x01\x02");
    let first = zip.bytes.windows(4).position(|four| four == b"PK\x01\x02");
    assert!(first < directory);
    zip.becomes(&zip.bytes[..first.expect("a directory")]);
    let said = zip.mend().exits(1);
    assert!(said.squeezed().contains("nousablerecoverydata"), "{}", said.out);
    assert_eq!(as_they_were(&zip), all());
    // The tag manifests stand in no manifest.
    let proved = format!("{}ofthemarewhatthemanifestsays", all().len() - 2);
    assert!(said.squeezed().contains(&proved), "{}", said.out);
    assert!(!said.out.contains("lost"), "{}", said.out);
}

/// Every file that was in the bundle and was not salvaged is named, whichever of the lists has survived.
#[test]
fn all_that_was_lost_is_named_while_one_list_of_it_survives() {
    for (hurt_lists, directory_lost, caution) in [
        (&["manifest-sha256.txt"][..], true, None),
        (&["manifest-sha512.txt"], true, None),
        (&["manifest-sha256.txt", "manifest-sha512.txt"], false, Some("onlyfromthezip'sdirectory")),
    ] {
        let zip = Zip::alone();
        let mut bytes = zip.bytes.clone();
        // From the first table to the report everything is gone, headers and all.
        let from = zip.start_of("data/tables/plan-blocks.csv");
        let to = zip.start_of("data/closeout-report.pdf") + 50;
        bytes[from..to].fill(0);
        hurt_lists.iter().for_each(|list| bytes[zip.start_of(list) + 70] ^= 1);
        if directory_lost {
            bytes.truncate(bytes.len() - 30);
        }
        zip.becomes(bytes);
        let said = zip.mend().exits(1);
        let found = as_they_were(&zip);
        let text = said.squeezed();
        let lost: Vec<String> = all().into_iter().filter(|path| !found.contains(path)).collect();
        assert!(lost.len() > 40 && lost.contains(&"data/README.txt".to_string()), "{lost:?}");
        for path in &lost {
            assert!(text.contains(&format!("{path}:lost")), "{path}\n{}", said.out);
        }
        assert_eq!(text.matches(":lost").count(), lost.len(), "{}", said.out);
        assert!(!text.contains("moremaybelost"), "{}", said.out);
        assert_eq!(caution.is_some(), text.contains("onlyfromthezip'sdirectory"), "{}", said.out);
    }
}

#[test]
fn damaged_files_are_named_and_not_salvaged() {
    let zip = Zip::alone();
    let mut bytes = zip.bytes.clone();
    let hurt = ["data/records/plan/blocks.csv", "data/README.txt"];
    bytes[zip.start_of(hurt[0]) + 10] ^= 1;
    // A header lost: nothing is found of the file, and the manifest tells that it was there.
    let header = zip.start_of(hurt[1]) - NAME.len() - 1 - hurt[1].len() - 30;
    let at = (header - 40..=header).rev().find(|at| bytes[*at..].starts_with(b"PK\x03\x04"));
    bytes[at.expect("a header")] = 0;
    bytes.truncate(bytes.len() - 30);
    zip.becomes(bytes);
    let said = zip.mend().exits(1);
    for path in hurt {
        assert!(said.squeezed().contains(&format!("{path}:lost")), "{path}\n{}", said.out);
    }
    let wanted: Vec<String> =
        all().into_iter().filter(|path| !hurt.contains(&path.as_str())).collect();
    assert_eq!(as_they_were(&zip), wanted);
}

/// An entry of a zip, its header as given by hand.
fn entry(name: &str, bytes: &[u8], size: u32) -> Vec<u8> {
    let mut entry = b"PK\x03\x04\x0A\0\0\0\0\0\0\0\0\0".to_vec();
    entry.extend(crc32fast::hash(bytes).to_le_bytes());
    entry.extend(size.to_le_bytes());
    entry.extend(size.to_le_bytes());
    entry.extend((name.len() as u16).to_le_bytes());
    entry.extend([0; 2]);
    entry.extend(name.as_bytes());
    entry.extend(bytes);
    entry
}

#[test]
fn entries_that_lie_leave_their_folder_alone() {
    let zip = Zip::alone();
    let good =
        |path: &str, bytes: &[u8]| entry(&format!("{NAME}/{path}"), bytes, bytes.len() as u32);
    let bytes = [
        good("data/records/docking.toml", b"a record"),
        good("data/../../escaped.txt", b"no"),
        good("data/records/../../../../escaped.txt", b"no"),
        entry("/data/escaped.txt", b"no", 2),
        entry("../data/escaped.txt", b"no", 2),
        entry("../../data/x", b"no", 2),
        good("data/a\\..\\escaped.txt", b"no"),
        good("data/records/docking.toml", b"a second one of the same name"),
        good("data/records/docking.toml/below-a-file.txt", b"no"),
        good("readme-of-nobody.txt", b"no"),
        entry(&format!("{NAME}/data/huge.txt"), b"short", u32::MAX),
        entry(&format!("{NAME}/data/long.txt"), b"short", u32::MAX - 1),
        entry("other/data/records/docking.toml", b"of another folder", 17),
        good("data/papers/last.txt", b"the last"),
    ]
    .concat();
    zip.becomes(bytes);
    let said = zip.mend().exits(1);
    let found: Vec<String> = files(zip.folder()).into_iter().map(|(path, _)| path).collect();
    let wanted = [
        format!("{NAME}-salvaged/data/papers/last.txt"),
        format!("{NAME}-salvaged/data/records/docking.toml"),
        format!("{NAME}.zip"),
    ];
    assert_eq!(found, wanted, "{}", said.out);
    let kept = fs::read(salvaged(&zip).join("data/records/docking.toml")).expect("the record");
    assert_eq!(kept, b"a record");
    assert!(said.squeezed().contains("data/long.txt:lost"), "{}", said.out);
}
