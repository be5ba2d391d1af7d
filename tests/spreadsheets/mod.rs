//! Records as spreadsheets keep them: a small project, the barge, whose tables LibreOffice and openpyxl
//! wrote as workbooks and as CSV in four ways (`make.py`), read back and held against the tables themselves.
//!
//! LibreOffice and openpyxl stand for the outside here: neither shares a line with what reads them.

mod cells;
mod hostile;
mod shown;
mod whole;

pub use hostile::{parts_of, zipped};

use std::fs;
use std::path::{Path, PathBuf};

use lastdock::records::checks::Gap;
use lastdock::records::problem::{Problem, Problems};
use lastdock::records::store::Folder;
use lastdock::records::{self, Project};
use tempfile::TempDir;
use walkdir::WalkDir;

use crate::common::expected;

/// Something beside this file.
pub fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/spreadsheets").join(name)
}

/// A project's folder with these fixtures in it, each under its name there.
pub fn folder(with: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for (from, to) in with {
        let from = fixture(from);
        for entry in WalkDir::new(&from).into_iter().map(|entry| entry.expect("a fixture")) {
            let inside = entry.path().strip_prefix(&from).expect("a path below it");
            let mut into = folder.path().join(to);
            if inside.components().next().is_some() {
                into.push(inside);
            }
            if entry.file_type().is_dir() {
                fs::create_dir_all(into).expect("a folder");
            } else {
                fs::copy(entry.path(), into).expect("a copy");
            }
        }
    }
    folder
}

/// Reads a folder.
pub fn read(folder: &Path) -> Result<Project, Vec<Problem>> {
    let mut problems = Problems::default();
    let store = Folder::open(folder, &mut problems);
    records::read(&store, problems)
}

/// Reads a folder that is without a fault.
#[track_caller]
fn sound(folder: &TempDir) -> Project {
    read(folder.path()).unwrap_or_else(|problems| {
        let all: Vec<String> = problems.iter().map(ToString::to_string).collect();
        panic!("{}", all.join("\n"))
    })
}

/// Every value of every table, with the notes beside them.
fn values(project: &Project) -> Vec<String> {
    let mut all = Vec::new();
    for sheet in &project.sheets {
        all.push(format!("{} {:?}", sheet.spec.path, sheet.note_columns));
        for entry in &sheet.entries {
            let values: Vec<_> = entry.values().map(|(_, value)| value).collect();
            all.push(format!("{values:?} {:?}", entry.notes));
        }
    }
    all
}

#[track_caller]
fn is_the_barge(project: &Project) {
    let barge = sound(&folder(&[("barge", "")]));
    assert_eq!(barge.sheets.len(), 15);
    assert!(values(&barge).len() > 50);
    assert_eq!(values(project), values(&barge));
}

#[test]
fn workbooks_read_as_the_tables_they_were_made_from() {
    for name in ["openpyxl.xlsx", "libreoffice.xlsx", "libreoffice.ods"] {
        let end = name.rsplit_once('.').expect("an ending").1;
        let project = sound(&folder(&[
            ("barge/docking.toml", "docking.toml"),
            (name, &format!("project.{end}")),
        ]));
        is_the_barge(&project);
        assert_eq!(project.warnings, [], "{name}");
        let workbook = project.workbooks.first().expect("a workbook");
        assert_eq!(workbook.made().count(), 15, "{name}");
        // Places are those of the sheet, in findings as in problems.
        let (gaps, entry) = project
            .sheets
            .iter()
            .find(|sheet| sheet.spec.path == "landing/gaps.csv")
            .and_then(|sheet| Some((sheet, sheet.entries.get(1)?)))
            .expect("the second gap");
        assert_eq!(gaps.entries.len(), 2);
        assert_eq!(entry.place.to_string(), "landing-gaps!A3", "{name}");
        assert_eq!(entry.place_of(&Gap::gap_m).to_string(), "landing-gaps!C3 (gap_mm)", "{name}");
        // The first gap's note has two lines, so that in the CSV file the second gap is on the fourth.
        assert_eq!(entry.place.line, Some(4), "{name}");
    }
}

#[test]
fn csv_reads_the_same_however_a_spreadsheet_saves_it() {
    for (way, warned) in
        [("semicolons", 0), ("windows-1252", 2), ("tabs-utf-16", 15), ("commas", 0)]
    {
        let barge = ("barge/docking.toml", "docking.toml");
        let project = sound(&folder(&[(&format!("csv-{way}"), ""), barge]));
        is_the_barge(&project);
        assert_eq!(project.warnings.len(), warned, "{way}: {:#?}", project.warnings);
        assert!(project.workbooks.is_empty());
    }
}

/// The barge with one of its tables rewritten.
fn with_water(text: &[u8]) -> Result<Project, Vec<Problem>> {
    let folder = folder(&[("barge", "")]);
    fs::write(folder.path().join("landing/water.csv"), text).expect("a table");
    read(folder.path())
}

// The ways of one widespread spreadsheet, from memory: it ends lines in CR LF, marks UTF-8, heeds and
// writes a line sep=;, and pads rows to the widest.
#[test]
fn marks_padding_and_a_line_that_names_the_separator_change_nothing() {
    let plain = fs::read_to_string(fixture("barge/landing/water.csv")).expect("a table");
    let rows: Vec<&str> = plain.lines().collect();
    let semicolons = |row: &str| row.replace(',', ";").replace('.', ",").replace("A, P", "A. P");
    let padded: String = rows.iter().map(|row| format!("{row},,\r\n")).collect();
    let below = ",,,,,,\r\n".repeat(3);
    let with_sep: String = rows.iter().map(|row| semicolons(row) + "\r\n").collect();
    for text in [
        format!("\u{feff}{padded}{below}"),
        format!("{below}{padded}"),
        format!("sep=;\r\n{with_sep}"),
        format!("\u{feff}sep=;\r\n{with_sep}"),
        plain.replace(',', "\t"),
    ] {
        let project = with_water(text.as_bytes()).unwrap_or_else(|all| panic!("{text}{all:#?}"));
        is_the_barge(&project);
    }
}

#[track_caller]
fn problems_of(found: Result<Project, Vec<Problem>>) -> Vec<String> {
    let Err(problems) = found else { panic!("no problems") };
    problems.iter().map(|problem| problem.to_string().replace("\n    ", "; ")).collect()
}

/// Holds the problems of a case to `problems.txt`.
#[track_caller]
fn problems_are(case: &str, problems: &[String]) {
    expected::says("tests/spreadsheets/problems.txt", case, &problems.join("\n"));
}

#[test]
fn a_table_that_mixes_or_mistypes_numbers_or_leaves_a_column_nameless_is_refused() {
    let row = "P1;2031-04-07 10:00";
    let with =
        |rows: &str| problems_of(with_water(format!("position;at;level_m\n{rows}").as_bytes()));
    let mixed = with(&format!("{row};0,20\nP1;2031-04-07 11:00;1.200\n"));
    problems_are("a decimal point below a decimal comma", &mixed);
    problems_are("a point and a comma in one number", &with(&format!("{row};1,200.5\n")));
    let nameless = problems_of(with_water(b"position,at,,level_m\nP1,2031-04-07 10:00,x,0.20\n"));
    problems_are("a value in a column without a name", &nameless);
    let comma = problems_of(with_water(b"position,at,level_m\nP1,2031-04-07 10:00,\"0,20\"\n"));
    problems_are("a decimal comma where commas separate", &comma);
}

#[test]
fn cells_that_are_not_what_they_seem_are_named_in_their_sheet() {
    let folder = folder(&[("barge/docking.toml", "docking.toml"), ("odd.xlsx", "project.xlsx")]);
    let mut all = problems_of(read(folder.path()));
    // Without the other tables docking.toml names a zone that is not there.
    all.retain(|said| !said.starts_with("docking.toml"));
    problems_are("a workbook of odd cells", &all);
    let places = all.iter().map(|said| said.split([':', '(']).next().unwrap_or_default().trim());
    let cells = ["A2", "C3", "C4", "C5", "H6", "C7", "A8"];
    let cells = cells.iter().map(|cell| format!("sheet plan-blocks, cell {cell}"));
    let wanted: Vec<String> = cells.chain(["project.xlsx".into()]).collect();
    assert_eq!(places.collect::<Vec<_>>(), wanted);
}

#[test]
fn records_stand_in_one_place() {
    let barge = ("barge/docking.toml", "docking.toml");
    let both = folder(&[("barge", ""), ("openpyxl.xlsx", "project.xlsx")]);
    let all = problems_of(read(both.path()));
    assert_eq!(all.len(), 15);
    problems_are("a CSV file beside a sheet of the same records", &all[..1]);
    let two = [barge, ("openpyxl.xlsx", "project.xlsx"), ("libreoffice.ods", "project.ods")];
    let mut all = problems_of(read(folder(&two).path()));
    all.retain(|said| said.starts_with("project.ods"));
    problems_are("two workbooks", &all);
    // Some tables in the workbook and some beside it are well.
    let hull = ("../../templates/example/hull", "hull");
    let rest = folder(&[barge, ("openpyxl.xlsx", "project.xlsx"), hull]);
    assert!(!sound(&rest).anodes.is_empty());
}

#[test]
fn a_workbook_of_another_name_is_kept_with_a_word() {
    let folder = folder(&[("barge", ""), ("openpyxl.xlsx", "Barge 2031.xlsx")]);
    fs::write(folder.path().join("~$Barge 2031.xlsx"), "left by a spreadsheet").expect("a file");
    let project = sound(&folder);
    is_the_barge(&project);
    assert_eq!(project.warnings.len(), 1);
    assert!(
        project.warnings[0]
            .to_string()
            .starts_with("Barge 2031.xlsx: is kept, but nothing is read")
    );
    assert_eq!(project.other_files().collect::<Vec<_>>(), ["Barge 2031.xlsx"]);
}
