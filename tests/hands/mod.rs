//! Records that several people keep: tables that come in parts, and several workbooks.

mod bundles;
mod repeated;

use std::collections::BTreeMap;
use std::fs;

use lastdock::findings::Examined;
use lastdock::handover::workbook::{self, PATH};
use lastdock::records::climate::Climate;
use lastdock::text::Figure;

use crate::common::{self, Project, examined, run, sample};

const FILM: &str = "coating/film.csv";

/// The header and the rows of a CSV file of the sample, none of which has a line break in a cell.
fn rows_of(project: &Project, file: &str) -> (String, Vec<String>) {
    let text = project.text(file);
    let mut lines = text.lines().map(String::from);
    (lines.next().expect("a header"), lines.collect())
}

/// Writes a file of a folder that may not be there yet.
fn put(project: &Project, file: &str, bytes: impl AsRef<[u8]>) {
    let folder = project.path(file).parent().expect("a folder").to_path_buf();
    fs::create_dir_all(folder).expect("a folder");
    project.write(file, bytes);
}

fn csv(header: &str, rows: &[impl AsRef<str>]) -> String {
    let rows: Vec<&str> = rows.iter().map(AsRef::as_ref).collect();
    format!("{header}\n{}\n", rows.join("\n"))
}

/// A workbook with a sheet for each of these CSV files.
fn workbook_of(tables: &[(&str, String)]) -> Vec<u8> {
    let files = tables.iter().map(|(path, text)| (path.to_string(), text.clone().into_bytes()));
    let mut files: BTreeMap<String, Vec<u8>> = files.collect();
    workbook::replace_tables(&mut files, Default::default()).expect("a workbook");
    files.remove(PATH).expect("the workbook")
}

/// All that is found, but for the places.
fn found(examined: &Examined) -> Vec<String> {
    let findings = examined.findings.iter().map(|finding| {
        let figure = |figure: Option<&Figure>| figure.map(|figure| (figure.plain(), figure.unit()));
        let (recorded, recomputed) = (finding.recorded.as_ref(), finding.recomputed.as_ref());
        let against = finding.against.as_ref().map(|against| &against.value);
        let answer = finding.remark.as_ref().map(|remark| &remark.answer);
        format!(
            "{} {:?} {:?} {:?} {:?} {} {} {answer:?}",
            finding.id,
            finding.outcome,
            figure(recorded),
            figure(recomputed),
            figure(against),
            finding.sentence,
            finding.records.len(),
        )
    });
    findings.collect()
}

#[track_caller]
fn says_what_the_sample_says(project: &Project) -> Examined {
    let (expected, examined) = (examined(&sample()), examined(&project.root()));
    let (expected, found) = (found(&expected), found(&examined));
    assert!(expected.len() > 600, "{}", expected.len());
    let differ: Vec<_> = found.iter().zip(&expected).filter(|(a, b)| a != b).collect();
    assert!(differ.is_empty(), "{} differ, the first {:#?}", differ.len(), differ[0]);
    assert_eq!(found.len(), expected.len());
    examined
}

/// Two inspectors with a gauge each; one of them writes with a spreadsheet that has decimal commas, has the columns in
/// another order, and adds a note.
#[test]
fn readings_divided_by_gauge_say_what_they_say_in_one_file() {
    let project = Project::copied();
    let (header, rows) = rows_of(&project, FILM);
    let (one, other): (Vec<String>, Vec<String>) =
        rows.into_iter().partition(|row| row.contains(",DF1,"));
    assert!(one.len() > 500 && other.len() > 500);
    let turned = |row: &str| {
        let mut cells: Vec<String> = row.split(',').map(|cell| cell.replace('.', ",")).collect();
        cells.reverse();
        cells.join(";")
    };
    assert!(!other.iter().any(|row| row.contains('"')));
    let other: Vec<String> = other.iter().map(|row| format!("{};x", turned(row))).collect();
    let header_of_other = format!("{};note_page", turned(&header).replace(',', "."));
    project.remove(FILM);
    put(&project, "coating/film/gauge 1.csv", csv(&header, &one));
    put(&project, "coating/film/gauge 2.csv", csv(&header_of_other, &other));
    let examined = says_what_the_sample_says(&project);
    let place = |row: usize| examined.project.film[row].place.to_string();
    assert_eq!(place(0), "coating/film/gauge 1.csv:2");
    assert_eq!(place(one.len()), "coating/film/gauge 2.csv:2");
}

/// What was written after the first weeks goes into parts beside the file, and blocks are listed by side.
#[test]
fn parts_stand_beside_the_file_that_has_the_tables_name() {
    let project = Project::copied();
    for (file, part) in [
        (FILM, "coating/film/later.csv"),
        ("coating/climate.csv", "coating/climate/later.csv"),
        ("plan/blocks.csv", "plan/blocks/bilge.csv"),
        ("landing/water.csv", "landing/water/night.csv"),
        ("hull/plating.csv", "hull/plating/starboard.csv"),
    ] {
        let (header, rows) = rows_of(&project, file);
        let half = rows.len() / 2;
        project.write(file, csv(&header, &rows[..half]));
        put(&project, part, csv(&header, &rows[half..]));
    }
    says_what_the_sample_says(&project);
}

#[test]
fn two_workbooks_with_the_same_sheets_are_two_parts() {
    let project = Project::copied();
    let tables = [FILM, "coating/climate.csv", "papers/papers.csv"];
    let halves = |later: bool| {
        let half = |file: &&'static str| {
            let (header, rows) = rows_of(&project, file);
            let (one, other) = rows.split_at(rows.len() / 2);
            (*file, csv(&header, if later { other } else { one }))
        };
        workbook_of(&tables.iter().map(half).collect::<Vec<_>>())
    };
    let (anna, ben) = (halves(false), halves(true));
    tables.iter().for_each(|file| project.remove(file));
    put(&project, "workbooks/anna.xlsx", anna);
    put(&project, "workbooks/ben.XLSX", ben);
    let examined = says_what_the_sample_says(&project);
    let film = &examined.project.film;
    assert_eq!(film[0].place.to_string(), "[anna.xlsx]coating-film!A2");
    let last = film.last().expect("a reading").place.to_string();
    assert!(last.starts_with("[ben.XLSX]coating-film!A"), "{last}");
    let made: Vec<&str> = examined.project.workbooks[1].made().map(|(path, _)| path).collect();
    assert_eq!(
        made,
        [
            "workbooks/ben.XLSX/coating-climate.csv",
            "workbooks/ben.XLSX/coating-film.csv",
            "workbooks/ben.XLSX/papers-papers.csv"
        ]
    );
    assert_eq!(examined.project.other_files().collect::<Vec<_>>(), ["README.txt"]);
}

/// Each person was given all points of the last gauging, and fills in half of them.
#[test]
fn a_row_that_one_has_filled_in_is_not_missed_in_the_parts_of_others() {
    let project = Project::copied();
    let header = "strake,plate,x_m,y_m,measured_mm,note_carried";
    let point = |n: usize, read: bool| {
        format!("A-P,{n},{n}.5,0.2,{},fenwhin-2006", if read { "12.5" } else { "" })
    };
    let part = |read: fn(usize) -> bool| {
        csv(header, &(1..=6).map(|n| point(n, read(n))).collect::<Vec<_>>())
    };
    project.write("hull/plating.csv", part(|n| n < 3));
    // The sample's repair is of a plate that is not among these.
    project.remove("hull/repairs.csv");
    put(&project, "hull/plating/ben.csv", part(|n| n == 3 || n == 4));
    let examined = examined(&project.root());
    let warnings: Vec<String> =
        examined.project.warnings.iter().map(|warning| warning.to_string()).collect();
    let carried: Vec<&String> =
        warnings.iter().filter(|warning| warning.contains("carried forward")).collect();
    assert_eq!(carried.len(), 1, "{warnings:#?}");
    assert!(
        carried[0].starts_with("hull/plating.csv:6: 2 rows that were carried forward have no"),
        "{carried:?}"
    );
    assert_eq!(examined.project.plating.len(), 4);
}

/// Each part has its own separators, its own order of day and month, and its own excerpt.
#[test]
fn what_is_wrong_in_a_part_is_shown_from_it() {
    let project = Project::copied();
    let (header, rows) = rows_of(&project, "coating/climate.csv");
    let (first, last) = (&rows[0], &rows[rows.len() - 1]);
    let dated = |row: &str, date: &str| {
        let (before, rest) = row.split_once("2031-").expect("a time");
        format!("{before}{date} {}", &rest[6..])
    };
    let text = [dated(first, "4/13/2031"), dated(last, "4/28/2031")];
    put(&project, "coating/climate/us.csv", csv(&header, &text));
    let (second, last) = (&rows[1], &rows[rows.len() - 2]);
    let text = [dated(second, "13.04.2031"), dated(last, "28.04.2031").replacen(",,", ",,x", 1)];
    put(&project, "coating/climate/uk.csv", csv(&header, &text));
    let said = run(common::program().arg("check").arg(project.root())).exits(1).out;
    assert!(said.contains("coating/climate/uk.csv:3:3 (air_temperature_c): \"x"), "{said}");
    assert!(said.contains("     3 | 28.04.2031 "), "{said}");
    assert!(said.contains("\n1 problem to fix"), "{said}");
    put(&project, "coating/climate/uk.csv", csv(&header, &text[..1]));
    let examined = examined(&project.root());
    let climate: Vec<&Climate> = (examined.project.climate.iter())
        .filter(|reading| reading.place.file.contains("climate/"))
        .collect();
    let days: Vec<String> = climate.iter().map(|reading| reading.at.to_rfc3339()).collect();
    assert_eq!(days.len(), 3);
    assert!(days[0].starts_with("2031-04-13T") && days[1].starts_with("2031-04-13T"), "{days:?}");
    assert!(days[2].starts_with("2031-04-28T"), "{days:?}");
    let notes: Vec<String> = examined.project.warnings.iter().map(ToString::to_string).collect();
    for part in ["coating/climate/uk.csv", "coating/climate/us.csv"] {
        assert!(notes.iter().any(|note| note.contains(part)), "{notes:#?}");
    }
    // A cell of a workbook of several is named as a spreadsheet names it.
    let broken = ("landing/gaps.csv", "position,block,gap_mm,at\nP1,K2,abc,\n".to_string());
    put(&project, "workbooks/anna.xlsx", workbook_of(&[broken]));
    let said = run(common::program().arg("check").arg(project.root())).exits(1).out;
    assert!(said.contains("workbook anna.xlsx, sheet landing-gaps, cell C2 (gap_mm)"), "{said}");
}
