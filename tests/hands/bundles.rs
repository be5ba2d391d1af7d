//! A bundle of a record that came in parts: kept as it was, read back, and carried forward.

use std::fs;

use super::{csv, put, rows_of, workbook_of};
use crate::common::{self, Project, SMALL, closeout, files, lastdock, run, small, unpack, verify};

/// The small project: blocks in two parts, the climate in a part and two workbooks.
fn in_parts() -> Project {
    let project = Project::copy_of(&small());
    let (header, rows) = rows_of(&project, "plan/blocks.csv");
    let half = rows.len() / 2;
    project.remove("plan/blocks.csv");
    put(&project, "plan/blocks/port.csv", csv(&header, &rows[..half]));
    put(&project, "plan/blocks/starboard.csv", csv(&header, &rows[half..]));
    let (header, rows) = rows_of(&project, "coating/climate.csv");
    project.remove("coating/climate.csv");
    assert!(rows.len() > 1, "{rows:?}");
    let (one, other) = rows.split_at(1);
    put(
        &project,
        "workbooks/anna.xlsx",
        workbook_of(&[("coating/climate.csv", csv(&header, one))]),
    );
    let papers = ("papers/papers.csv", project.text("papers/papers.csv"));
    project.remove("papers/papers.csv");
    let climate = ("coating/climate.csv", csv(&header, other));
    put(&project, "workbooks/ben.xlsx", workbook_of(&[climate, papers]));
    project
}

#[test]
fn a_bundle_keeps_the_parts_and_what_was_found_follows_from_them() {
    let project = in_parts();
    closeout(&project.root(), &project.out()).exits(0);
    let zip = project.out().join(format!("{SMALL}.zip"));
    verify(&zip).exits(0);
    let folder = unpack(&zip, &project.out().join("unpacked"));
    let kept = files(&folder);
    let bytes = |path: &str| {
        let found = kept.iter().find(|(kept, _)| kept == path);
        found.map(|(_, bytes)| bytes).unwrap_or_else(|| panic!("no {path}"))
    };
    for path in ["plan/blocks/port.csv", "plan/blocks/starboard.csv"] {
        assert_eq!(*bytes(&format!("data/records/{path}")), fs::read(project.path(path)).unwrap());
    }
    for name in ["workbooks/anna.xlsx", "workbooks/ben.xlsx"] {
        assert_eq!(*bytes(&format!("data/workbook/{name}")), fs::read(project.path(name)).unwrap());
    }
    let made = bytes("data/records/workbooks/ben.xlsx/papers-papers.csv");
    assert!(made.starts_with(b"file,"), "{}", String::from_utf8_lossy(made));
    // The row of a table in parts is told by file and line.
    let table = |name: &str| {
        String::from_utf8(bytes(&format!("data/tables/{name}")).clone()).expect("UTF-8")
    };
    let blocks = table("plan-blocks.csv");
    assert!(blocks.starts_with("record_file,record_line,block,"), "{blocks}");
    assert!(blocks.contains("\nplan/blocks/starboard.csv,2,"), "{blocks}");
    assert!(table("plan-openings.csv").starts_with("record_line,"));
    let metadata = table("csv-metadata.json");
    assert!(
        metadata.contains(
            "data/records/plan/blocks/port.csv and data/records/plan/blocks/starboard.csv"
        )
    );
    // The same findings as of the tables in one piece.
    let one = Project::copy_of(&small());
    closeout(&one.root(), &one.out()).exits(0);
    let findings = |project: &Project| {
        let said = run(common::program().args(["check", "--json"]).arg(project.root()));
        let json = said.json();
        let findings = json["findings"].as_array().expect("findings").clone();
        findings.iter().map(|one| (one["id"].clone(), one["outcome"].clone())).collect::<Vec<_>>()
    };
    assert_eq!(findings(&project), findings(&one));
    assert!(findings(&one).len() > 20);
}

#[test]
fn the_next_docking_starts_from_a_record_in_parts() {
    let project = in_parts();
    closeout(&project.root(), &project.out()).exits(0);
    let zip = project.out().join(format!("{SMALL}.zip"));
    let next = project.out().join("next");
    let arguments = ["start".as_ref(), next.as_os_str(), "--from".as_ref(), zip.as_os_str()];
    lastdock(arguments).exits(0);
    let blocks = fs::read_to_string(next.join("plan/blocks.csv")).expect("the blocks");
    let (_, one) = rows_of(&Project::copy_of(&small()), "plan/blocks.csv");
    assert_eq!(blocks.lines().count(), one.len() + 1, "{blocks}");
    let history = next.join("history").join(SMALL);
    assert!(history.join("plan/blocks/port.csv").is_file());
    assert!(history.join("workbooks/anna.xlsx/coating-climate.csv").is_file());
    let examined = common::examined(&next);
    let past = &examined.project.history[0];
    assert_eq!(past.project.blocks.len(), one.len());
    let climate = past.project.climate.iter().map(|reading| past.whole_place(&reading.place));
    let place = climate.map(|place| place.to_string()).find(|place| place.contains("workbooks/"));
    let place = place.expect("a reading of the workbook");
    assert_eq!(place, format!("history/{SMALL}/workbooks/anna.xlsx/coating-climate.csv:2"));
}

#[test]
fn rows_are_carried_in_one_unit_from_parts_with_different_ones() {
    let project = Project::copy_of(&small());
    let header = "block,row,station_ft,offset_ft,length_ft,width_ft";
    put(&project, "plan/blocks/us.csv", csv(header, &["ZZ9,keel,300,0,2,4"]));
    closeout(&project.root(), &project.out()).exits(0);
    let zip = project.out().join(format!("{SMALL}.zip"));
    let next = project.out().join("next");
    let arguments = ["start".as_ref(), next.as_os_str(), "--from".as_ref(), zip.as_os_str()];
    lastdock(arguments).exits(0);
    // Name, row, place and size of each block, in metres.
    let blocks = |root: &std::path::Path| -> Vec<Vec<String>> {
        let examined = common::examined(root);
        let sheet = examined.project.sheets.iter().find(|s| s.spec.path == "plan/blocks.csv");
        let entries = sheet.expect("blocks").entries.iter();
        let values = |value: &lastdock::records::value::Value| value.text(None);
        entries.map(|e| e.values().take(6).filter_map(|(_, v)| v.map(values)).collect()).collect()
    };
    assert_eq!(blocks(&next), blocks(&project.root()));
    assert_eq!(blocks(&next).last().expect("a block")[2], "91.44");
}

#[test]
fn pictures_are_listed_beside_a_list_in_a_workbook() {
    let project = in_parts();
    let picture = common::sample().join("papers/afloat.png");
    fs::copy(picture, project.path("papers/afloat.png")).expect("a picture");
    run(common::program().arg("photos").arg(project.root())).exits(0);
    assert!(project.text("papers/papers.csv").contains("\nafloat.png,photograph,"));
    let examined = common::examined(&project.root());
    let files: Vec<&str> = examined.project.papers.iter().map(|paper| &*paper.file).collect();
    assert_eq!(files, ["afloat.png", "note.txt"]);
}

#[test]
fn rows_for_the_project_s_own_workbook_are_printed_to_be_pasted() {
    let project = Project::copy_of(&small());
    let papers = ("papers/papers.csv", "file,about,kind\nnote.txt,,\n".to_string());
    project.remove("papers/papers.csv");
    put(&project, "project.xlsx", workbook_of(&[papers]));
    let picture = common::sample().join("papers/afloat.png");
    fs::copy(picture, project.path("papers/afloat.png")).expect("a picture");
    let photos = || {
        let mut command = common::program();
        command.arg("photos").arg(project.root());
        command
    };
    let refused = run(&mut photos()).exits(1).err;
    assert!(common::squeezed(&refused).contains("with--dry-runtherowsareprinted"), "{refused}");
    assert_eq!(run(photos().arg("--dry-run")).exits(0).out, "afloat.png\t\tphotograph\n");
    assert!(!project.path("papers/papers.csv").exists());
}
