//! A project in a workbook through the whole program: checked, closed out, verified.

use std::fs;

use super::{fixture, folder};
use crate::common::{closeout, files, lastdock, temporary, verify};

const NAME: &str = "fenwhin-2031";

#[test]
fn a_workbook_is_checked_closed_out_and_verified_as_its_tables_are() {
    let tables = folder(&[("barge", "")]);
    let findings = lastdock(["check", "--json", &tables.path().display().to_string()]);
    let barge = ("barge/docking.toml", "docking.toml");
    for (fixed, name) in [("libreoffice.xlsx", "project.xlsx"), ("libreoffice.ods", "project.ods")]
    {
        let project = folder(&[barge, (fixed, name)]);
        let shown = project.path().display().to_string();
        let said = lastdock(["check", "--json", &shown]).exits(findings.status);
        // Only the words that name a row as the source of a bound name it as the spreadsheet does.
        let out = said.out.replace("plan-openings!A", "plan/openings.csv:");
        assert_eq!(out, findings.out, "{name}");
        let said = lastdock(["check", "--all", &shown]).exits(findings.status);
        assert!(said.squeezed().contains("landing-gaps!A2"), "{}", said.out);

        let out = temporary();
        closeout(project.path(), out.path()).exits(findings.status);
        let zip = out.path().join(format!("{NAME}.zip"));
        verify(&zip).exits(0);
        let mut archive =
            zip::ZipArchive::new(fs::File::open(&zip).expect("a bundle")).expect("a zip");
        archive.extract(out.path()).expect("to unpack");
        let bag = out.path().join(NAME);
        assert_eq!(
            fs::read(bag.join("data/workbook").join(name)).expect("the workbook"),
            fs::read(fixture(fixed)).expect("the fixture")
        );
        let records = files(&bag.join("data/records"));
        let expected: Vec<String> = files(&fixture("barge")).into_iter().map(|f| f.0).collect();
        assert_eq!(records.iter().map(|f| f.0.as_str()).collect::<Vec<_>>(), expected);
        // The records alone, as a project of CSV files, say the same.
        let alone = lastdock(["check", "--json", &bag.join("data/records").display().to_string()]);
        assert_eq!(alone.exits(findings.status).json(), findings.json());
        let format = fs::read_to_string(bag.join("data/format.txt")).expect("the format");
        assert!(format.contains("data/workbook/"));
    }
}

#[test]
fn problems_in_a_sheet_name_sheet_and_cell() {
    let project = folder(&[("barge/docking.toml", "docking.toml"), ("odd.xlsx", "project.xlsx")]);
    let said = lastdock(["check", &project.path().display().to_string()]).exits(1);
    assert!(
        said.squeezed().contains("sheetplan-blocks,cellA2(block):\"2031-12-04\"isstoredasadate"),
        "{}",
        said.out
    );
    assert!(said.squeezed().contains("\"plan-blokcs\"isnotthenameofasheet"), "{}", said.out);
}

#[test]
fn a_guessed_character_set_is_mentioned_in_a_warning() {
    let barge = ("barge/docking.toml", "docking.toml");
    let project = folder(&[("csv-windows-1252", ""), barge]);
    let said = lastdock(["check", "--json", &project.path().display().to_string()]);
    assert!(said.out.starts_with('{'));
    assert_eq!(said.err.matches("Windows-1252").count(), 2, "{}", said.err);
    assert!(said.err.contains("landing/gaps.csv:2"), "{}", said.err);
}

#[test]
fn a_new_project_may_have_its_tables_in_a_workbook() {
    let room = temporary();
    let new = room.path().join("new");
    let shown = new.display().to_string();
    lastdock(["start", "--workbook", &shown]).exits(0);
    let found = files(&new);
    let printed = |path: &&str| path.starts_with("forms/");
    let names: Vec<&str> =
        found.iter().map(|(path, _)| path.as_str()).filter(|path| !printed(path)).collect();
    let expected =
        ["README.txt", "coating/products.toml", "docking.toml", "project.xlsx", "remarks.toml"];
    assert_eq!(names, expected);
    let readme = String::from_utf8_lossy(&found[0].1);
    assert!(readme.contains("use the sheet plan-blocks") && readme.is_ascii());
    // As with blank CSV files: the two names are wanted, and nothing else is wrong.
    let problems = lastdock(["check", "--json", &shown]).exits(1).json();
    let wanted: Vec<_> = problems["problems"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|problem| problem["expected"].as_str().unwrap_or_default())
        .collect();
    assert_eq!(wanted, ["the ship's name", "the dock's name"]);
}
