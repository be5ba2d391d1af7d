//! Projects in memory with earlier dockings in their folders, sound and not.

use super::*;
use crate::records::history::Found;
use crate::records::memory::{project, try_project};

const HEADER: &str = "docking,bundle,seal,fixity,damage\n";
const SEAL: &str = "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff";
const BLOCKS: &str = "block,row,station_m,offset_m,length_mm,width_mm\nK1,keel,20,0,600,1200\n";

fn docking(began: &str, ended: &str) -> String {
    format!(
        "format = 1\n[ship]\nname = \"Fenwhin\"\n[dock]\nname = \"Old Dock\"\n\
         [period]\nbegan = {began}\nended = {ended}\noffset = \"+01:00\"\n"
    )
}

/// A project of 2031 with a folder for each of some earlier dockings, and rows as given.
fn files(rows: &str, earlier: &[(&'static str, &str)]) -> Vec<(&'static str, String)> {
    let mut files = vec![
        ("docking.toml", docking("2031-04-07", "2031-04-29")),
        ("plan/blocks.csv", BLOCKS.to_string()),
        ("history/dockings.csv", format!("{HEADER}{rows}")),
    ];
    for (path, year) in earlier {
        let text = match path.ends_with(".toml") {
            true => docking(&format!("{year}-05-04"), &format!("{year}-05-22")),
            false => BLOCKS.to_string(),
        };
        files.push((path, text));
    }
    files
}

const WREN: [(&str, &str); 2] =
    [("history/o-2006/docking.toml", "2006"), ("history/o-2006/plan/blocks.csv", "2006")];

#[test]
fn an_earlier_docking_is_read_with_its_records() {
    let seal = "0011 2233 4455 6677 8899 AABB CCDD EEFF 0011 2233 4455 6677 8899 aabb ccdd eeff";
    let rows = format!("o-2006,o-2006.zip,{seal},whole,\n");
    let mut files = files(&rows, &WREN);
    files.push(("history/o-2006/readme.txt", "kept unread".to_string()));
    let project = project(&files);
    let [past] = project.history.as_slice() else { panic!("{:?}", project.history) };
    assert_eq!((past.source.name.as_str(), past.source.bundle.as_str()), ("o-2006", "o-2006.zip"));
    assert_eq!(past.source.seal.as_deref(), Some(SEAL));
    assert_eq!((past.source.fixity, &past.source.damage), (Found::Whole, &None));
    assert_eq!(past.project.blocks.len(), 1);
    assert!(past.project.history.is_empty());
    let day = |year| NaiveDate::from_ymd_opt(year, 5, 22);
    assert_eq!(past.project.days().1, day(2006));
    let place = past.whole_place(&past.project.blocks[0].place);
    assert_eq!(place.to_string(), "history/o-2006/plan/blocks.csv:2");
    assert_eq!(project.other_files().count(), 0);
}

#[test]
fn without_a_period_the_times_of_the_positions_tell_the_days() {
    let bare = docking("2006-05-04", "2006-05-22");
    let bare = bare.replace("began = 2006-05-04\nended = 2006-05-22\n", "");
    let positions = "position,touched,afloat\nP1,2006-05-05T09:00:00,2006-05-20T10:00:00\n";
    let project = project(&[
        ("docking.toml", bare),
        ("plan/blocks.csv", BLOCKS.to_string()),
        ("positions/positions.csv", positions.to_string()),
    ]);
    let day = |day| NaiveDate::from_ymd_opt(2006, 5, day);
    assert_eq!(project.days(), (day(5), day(20)));
}

#[test]
fn all_that_is_wrong_is_said_with_its_whole_path() {
    let rows = format!(
        "o-2012,o-2012.zip,{SEAL},whole,\no-2006,o-2006.zip,{SEAL}0,whole,a page\n\
         gone-2001,gone.zip,,damaged,\n"
    );
    let mut files = files(
        &rows,
        &[
            ("history/o-2012/docking.toml", "2012"),
            ("history/o-2012/plan/blocks.csv", "2012"),
            ("history/o-2006/docking.toml", "2006"),
            ("history/stray/docking.toml", "2020"),
        ],
    );
    let faulty = BLOCKS.replace("20,0", "x,0");
    files.push(("history/o-2006/plan/blocks.csv", faulty));
    files.push(("history/o-2006/plan/blokcs.csv", BLOCKS.to_string()));
    files.push(("history/o-2012/history/dockings.csv", HEADER.to_string()));
    files.push(("history/docking.csv", HEADER.to_string()));
    let problems = try_project(&files).expect_err("problems");
    let said: Vec<String> =
        problems.iter().map(|problem| format!("{}: {}", problem.place, problem.wrong)).collect();
    assert_eq!(
        said,
        [
            "history/docking.csv: is not a known file of records",
            "history/dockings.csv:3:3 (seal): is not a seal",
            "history/dockings.csv:3:5 (damage): describes damage to a bundle that was whole",
            "history/dockings.csv:4:1 (docking): has no folder history/gone-2001/",
            "history/o-2006/plan/blocks.csv:2:3 (station_m): is not a number",
            "history/o-2006/plan/blokcs.csv: is not a known file of records",
            "history/o-2012/history/: is the history of a docking that is itself in history/",
            "history/stray/: has no row in history/dockings.csv",
        ]
    );
}

#[test]
fn rows_out_of_their_order_and_twice_the_same_are_named() {
    let rows = format!("o-2012,b,{SEAL},whole,\nO-2012,b,{SEAL},whole,\no-2006,b,{SEAL},whole,\n");
    let later =
        [("history/o-2012/docking.toml", "2012"), ("history/o-2012/plan/blocks.csv", "2012")];
    let files = files(&rows, &[later, WREN].concat());
    let problems = try_project(&files).expect_err("problems");
    let said: Vec<String> = problems.iter().map(|problem| problem.wrong.clone()).collect();
    assert_eq!(
        said,
        [
            "differs from o-2012 at history/dockings.csv:2:1 (docking) only in capital letters",
            "has no folder history/O-2012/",
            "began on 2006-05-04, and o-2012 above it ended on 2012-05-22",
        ]
    );
}

#[test]
fn a_history_of_nothing_but_its_header_is_none() {
    assert!(project(&files("", &[])).history.is_empty());
}
