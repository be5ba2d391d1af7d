//! What a spreadsheet makes of what people type, and what people leave in a sheet: each is read rightly, told of, or
//! refused with its own words. The workbooks are written by a library that writes such files, cell by cell.

use std::fs;

use lastdock::records::Project;
use lastdock::records::problem::Problem;
use rust_xlsxwriter::{Format, Formula, Note, Workbook, Worksheet};

use super::hostile::{parts_of, zipped};
use super::{problems_are, read};
use crate::common::temporary;

const DOCKING: &str = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n[period]\n\
                       began = 2031-04-07\nended = 2031-04-29\noffset = \"+01:00\"\n";

/// A cell as somebody typed it.
enum Typed {
    Text(&'static str),
    Number(f64),
    /// Days since 1899-12-30.
    Time(f64),
}

use Typed::{Number, Text, Time};

/// 8 April 2031, 10:00; 2031-01-01 is day 47 849 (openpyxl's to_excel).
const AT: f64 = 47_946.0 + 10.0 / 24.0;

fn write(sheet: &mut Worksheet, rows: &[Vec<Typed>]) {
    let time = Format::new().set_num_format("yyyy-mm-dd hh:mm");
    for (row, cells) in (0..).zip(rows) {
        for (column, cell) in (0..).zip(cells) {
            let written = match cell {
                Text("") => continue,
                Text(text) => sheet.write_string(row, column, *text),
                Number(number) => sheet.write_number(row, column, *number),
                Time(days) => sheet.write_number_with_format(row, column, *days, &time),
            };
            written.expect("a cell");
        }
    }
}

/// A small project in one workbook, without a fault.
fn book() -> Workbook {
    let mut book = Workbook::new();
    let heads = |names: &'static str| names.split(',').map(Text).collect::<Vec<_>>();
    let block = |name, station| {
        vec![Text(name), Text("keel"), Number(station), Number(0.0), Number(600.0), Number(1200.0)]
    };
    let tables: Vec<(&str, Vec<Vec<Typed>>)> = vec![
        (
            "plan-blocks",
            vec![
                heads("block,row,station_m,offset_m,length_mm,width_mm"),
                block("K1", 20.0),
                block("K2", 22.4),
                block("K3", 24.8),
            ],
        ),
        (
            "positions-positions",
            vec![heads("position,recorded_srp_station_m"), vec![Text("P1"), Number(14.3)]],
        ),
        (
            "landing-water",
            vec![
                heads("position,at,level_m,event,by"),
                vec![Text("P1"), Time(AT), Number(0.2), Text("pumping-began"), Text("A. Person")],
                vec![
                    Text("P1"),
                    Time(AT + 0.1),
                    Number(-1.95),
                    Text("first-touch"),
                    Text("A. Person"),
                ],
            ],
        ),
        (
            "landing-drafts",
            vec![
                heads("position,occasion,mark_x_m,mark_y_m,draft_ft"),
                vec![Text("P1"), Text("before-landing"), Number(1.0), Number(1.0), Text("12-06")],
            ],
        ),
        (
            "landing-weights",
            vec![
                heads("from_x_m,to_x_m,mass_t,centre_x_m"),
                vec![Number(0.0), Number(15.0), Number(112.0), Number(7.4)],
                vec![Number(15.0), Number(30.0), Number(108.0), Number(22.4)],
            ],
        ),
        (
            "coating-climate",
            vec![
                heads("at,air_temperature_c,humidity_pct,steel_temperature_c"),
                vec![Time(AT), Number(14.0), Number(60.0), Number(15.0)],
            ],
        ),
        (
            "hull-plating",
            vec![
                heads("strake,plate,original_in,measured_in,at,note"),
                vec![Text("A"), Text("1"), Number(0.5), Number(0.375), Time(AT)],
                vec![Text("A"), Text("2"), Number(0.5), Number(0.4375), Time(AT)],
            ],
        ),
    ];
    for (name, rows) in tables {
        write(book.add_worksheet().set_name(name).expect("a name"), &rows);
    }
    book
}

/// What is said of the project with its workbook changed: problems that keep it from being read, or warnings.
fn read_changed(change: impl FnOnce(&mut Workbook)) -> Result<Project, Vec<Problem>> {
    let mut book = book();
    change(&mut book);
    read_book(&book.save_to_buffer().expect("a workbook"))
}

fn read_book(bytes: &[u8]) -> Result<Project, Vec<Problem>> {
    let folder = temporary();
    fs::write(folder.path().join("docking.toml"), DOCKING).expect("a file");
    fs::write(folder.path().join("project.xlsx"), bytes).expect("a workbook");
    read(folder.path())
}

fn said(found: &Result<Project, Vec<Problem>>) -> Vec<String> {
    let all = match found {
        Ok(project) => &project.warnings,
        Err(problems) => problems,
    };
    all.iter().map(|problem| problem.to_string().replace("\n    ", "; ")).collect()
}

/// Holds what is said of a changed sheet to `problems.txt`.
#[track_caller]
fn refused(case: &str, sheet: &str, change: impl FnOnce(&mut Worksheet)) {
    let found = read_changed(|book| change(book.worksheet_from_name(sheet).expect("that sheet")));
    assert!(found.is_err(), "{case}: {:?}", said(&found));
    problems_are(case, &said(&found));
}

/// The same of one that can be read all the same.
#[track_caller]
fn told(case: &str, change: impl FnOnce(&mut Workbook)) -> Project {
    let found = read_changed(change);
    problems_are(case, &said(&found));
    found.unwrap_or_else(|problems| panic!("{case}: {problems:#?}"))
}

/// A project of whose workbook nothing is said.
#[track_caller]
fn quiet(change: impl FnOnce(&mut Workbook)) -> Project {
    let found = read_changed(change);
    assert_eq!(said(&found), [""; 0]);
    found.expect("a project")
}

/// A number under a format.
fn put(sheet: &mut Worksheet, row: u32, column: u16, number: f64, format: &str) {
    let format = Format::new().set_num_format(format);
    sheet.write_number_with_format(row, column, number, &format).expect("a cell");
}

#[test]
fn the_book_itself_is_without_a_fault() {
    assert_eq!(quiet(|_| ()).plating.len(), 2);
}

/// 3/8 typed in is the third of August where the day comes first, and the eighth of March where the month does.
#[test]
fn a_date_among_numbers_is_asked_about_and_never_taken() {
    for (case, days, format) in [
        ("a fraction that became a date, the month first", 47_915.0, "d-mmm"),
        ("a fraction that became a date, the day first", 48_063.0, "d. mmm"),
        ("a fraction that became the first of a month", 11_689.0, "mmm-yy"),
        ("a date where no fraction was typed", 47_967.0, "d-mmm"),
        ("a number formatted as a date", 600.0, "yyyy-mm-dd"),
        ("a small number formatted as a date", 12.4, "yyyy-mm-dd"),
    ] {
        refused(case, "hull-plating", |sheet| put(sheet, 1, 3, days, format));
    }
    // 6 December 2031, typed as 12-06.
    let draft = |sheet: &mut Worksheet| put(sheet, 1, 4, 48_188.0, "d-mmm");
    refused("feet and inches that became a date", "landing-drafts", draft);
    let time = |sheet: &mut Worksheet| put(sheet, 1, 2, 0.25, "h:mm");
    refused("a time of day among numbers", "landing-water", time);
}

#[test]
fn a_date_among_names_and_words_is_refused_with_what_was_typed() {
    let name = |sheet: &mut Worksheet| put(sheet, 1, 0, 48_188.0, "d-mmm");
    refused("a name that became a date", "plan-blocks", name);
    let word = |sheet: &mut Worksheet| put(sheet, 1, 4, 47_948.0, "d-mmm");
    refused("a date in a column of text", "landing-water", word);
    // What is kept unread may be anything.
    let project = quiet(|book| {
        put(book.worksheet_from_name("hull-plating").expect("a sheet"), 1, 5, 47_948.0, "d-mmm");
    });
    assert_eq!(project.plating[0].notes.as_deref(), Some("2031-04-10"));
}

#[test]
fn a_plain_number_among_times_is_refused_with_the_time_that_it_counts() {
    let number = |sheet: &mut Worksheet| _ = sheet.write_number(1, 1, AT).expect("a cell");
    refused("a number among times", "landing-water", number);
}

#[test]
fn a_share_is_read_in_per_cent_and_refused_elsewhere() {
    let project = quiet(|book| {
        put(book.worksheet_from_name("coating-climate").expect("a sheet"), 1, 2, 0.58, "0%");
    });
    assert_eq!(project.climate[0].humidity_pct, Some(58.0));
    let share = |sheet: &mut Worksheet| put(sheet, 1, 3, 0.43, "0%");
    refused("a per cent cell in another column", "hull-plating", share);
}

#[test]
fn errors_and_formulas_without_a_result_are_each_said_once() {
    for error in ["#N/A", "#REF!", "#DIV/0!"] {
        let formula = Formula::new("1/0").set_result(error);
        let put = |sheet: &mut Worksheet| _ = sheet.write_formula(1, 2, formula).expect("a cell");
        refused(&format!("the error {error}"), "plan-blocks", put);
    }
    // Of the cell alone, and not that a station is missing too.
    let bytes = book().save_to_buffer().expect("a workbook");
    let mut parts = parts_of(&bytes);
    let sheet = parts.iter_mut().find(|(name, _)| name == "xl/worksheets/sheet1.xml");
    let sheet = sheet.expect("a sheet");
    let text = String::from_utf8(sheet.1.clone()).expect("text");
    let cell = "<c r=\"C3\"><v>22.4</v></c>";
    assert!(text.contains(cell), "{text}");
    sheet.1 = text.replace(cell, "<c r=\"C3\"><f>C2+2.4</f></c>").into_bytes();
    problems_are("a formula without a result", &said(&read_book(&zipped(&parts))));
}

#[test]
fn text_that_looks_like_a_number_is_one_but_for_an_apostrophe() {
    let project = quiet(|book| {
        let sheet = book.worksheet_from_name("plan-blocks").expect("a sheet");
        sheet.write_string(1, 2, " 20.5 ").expect("a cell");
    });
    assert_eq!(project.blocks[0].cap.centre.x, 20.5);
    let put = |sheet: &mut Worksheet| {
        sheet.write_string(1, 2, "'20.5").expect("a cell");
        sheet.write_string(2, 0, "'K2").expect("a cell");
    };
    refused("an apostrophe before a number and a name", "plan-blocks", put);
}

/// A spreadsheet takes 31 for 1931.
#[test]
fn a_year_of_two_digits_that_became_the_century_before_is_found() {
    let put = |sheet: &mut Worksheet| put(sheet, 2, 1, AT - 36_525.0, "d/m/yy h:mm");
    refused("a year of two digits", "landing-water", put);
}

#[test]
fn days_that_count_from_1904_are_read_as_such() {
    let mut book = book();
    let water = book.worksheet_from_name("landing-water").expect("a sheet");
    put(water, 1, 1, AT - 1462.0, "yyyy-mm-dd hh:mm");
    put(water, 2, 1, AT + 0.1 - 1462.0, "yyyy-mm-dd hh:mm");
    let climate = book.worksheet_from_name("coating-climate").expect("a sheet");
    put(climate, 1, 0, AT - 1462.0, "yyyy-mm-dd hh:mm");
    let plating = book.worksheet_from_name("hull-plating").expect("a sheet");
    (1..3).for_each(|row| put(plating, row, 4, AT - 1462.0, "yyyy-mm-dd hh:mm"));
    let mut parts = parts_of(&book.save_to_buffer().expect("a workbook"));
    let part = parts.iter_mut().find(|(name, _)| name == "xl/workbook.xml").expect("a part");
    let text = String::from_utf8(part.1.clone()).expect("text");
    assert!(text.contains("<workbookPr "), "{text}");
    part.1 = text.replace("<workbookPr ", "<workbookPr date1904=\"1\" ").into_bytes();
    let project = read_book(&zipped(&parts)).expect("a project");
    let times: Vec<String> = project.water.iter().map(|level| level.at.to_rfc3339()).collect();
    assert_eq!(times, ["2031-04-08T10:00:00+01:00", "2031-04-08T12:24:00+01:00"]);
}

/// A title, merged over its table as titles are, and an empty row.
#[test]
fn a_title_above_the_column_names_is_one_problem_and_the_rest_is_read() {
    refused("a title above the column names", "landing-weights", |sheet| {
        sheet.clear_cell(0, 3);
        sheet.clear_cell(1, 3);
        sheet.merge_range(0, 0, 0, 2, "Weights along her length", &Format::new()).expect("a title");
        let rows = [
            vec![Text("from_x_m"), Text("to_x_m"), Text("mass_t"), Text("centre_x_m")],
            vec![Number(0.0), Number(15.0), Number(112.0), Number(7.4)],
            vec![Number(15.0), Number(30.0), Text("108 kg"), Number(22.4)],
        ];
        for (row, cells) in (2..).zip(&rows) {
            for (column, cell) in (0..).zip(cells) {
                match cell {
                    Number(number) => sheet.write_number(row, column, *number),
                    Text(text) => sheet.write_string(row, column, *text),
                    Time(_) => unreachable!("no time"),
                }
                .expect("a cell");
            }
        }
        sheet.clear_cell(1, 0);
        sheet.clear_cell(1, 1);
        sheet.clear_cell(1, 2);
    });
}

#[test]
fn a_row_of_totals_is_one_problem() {
    let sum = || Formula::new("SUM(C2:C3)").set_result("220");
    refused("a row of totals with its label", "landing-weights", |sheet| {
        sheet.write_string(3, 0, "Total:").expect("a cell");
        sheet.write_formula(3, 2, sum()).expect("a cell");
    });
    refused("a row of totals without a label", "landing-weights", |sheet| {
        sheet.write_formula(4, 2, sum()).expect("a cell");
    });
    refused("a mean below a column", "hull-plating", |sheet| {
        sheet.write_string(3, 0, "Mean").expect("a cell");
        sheet.write_number(3, 3, 0.40625).expect("a cell");
    });
    // A whole row is a record, whatever it is called.
    let project = quiet(|book| {
        let sheet = book.worksheet_from_name("plan-blocks").expect("a sheet");
        sheet.write_string(3, 0, "Sum").expect("a cell");
    });
    assert_eq!(project.blocks.len(), 3);
}

#[test]
fn what_is_hidden_is_read_and_told() {
    let project = told("hidden rows and a hidden column", |book| {
        let sheet = book.worksheet_from_name("plan-blocks").expect("a sheet");
        sheet.set_row_hidden(1).expect("a row");
        sheet.set_row_hidden(2).expect("a row");
        sheet.set_row_hidden(60).expect("an empty row");
        sheet.set_column_hidden(3).expect("a column");
        sheet.set_column_range_hidden(40, 16_383).expect("empty columns");
    });
    assert_eq!(project.blocks.len(), 3);
    let project = told("one hidden row", |book| {
        let sheet = book.worksheet_from_name("plan-blocks").expect("a sheet");
        sheet.set_row_hidden(2).expect("a row");
    });
    assert_eq!(project.blocks.len(), 3);
    let project = told("a hidden sheet", |book| {
        book.worksheet_from_name("landing-weights").expect("a sheet").set_hidden(true);
    });
    assert_eq!(project.weights.len(), 2);
}

/// Those on headings are the program's own in a workbook that it wrote.
#[test]
fn comments_on_cells_are_told_and_those_on_headings_are_not() {
    told("comments on cells", |book| {
        let sheet = book.worksheet_from_name("plan-blocks").expect("a sheet");
        for (row, column) in [(0, 0), (2, 2), (3, 0)] {
            sheet.insert_note(row, column, &Note::new("moved on Tuesday")).expect("a note");
        }
    });
    quiet(|book| {
        let sheet = book.worksheet_from_name("plan-blocks").expect("a sheet");
        sheet.insert_note(0, 0, &Note::new("the block's name")).expect("a note");
    });
}

#[test]
fn numbers_that_are_shown_rounded_are_read_whole_and_told() {
    let project = told("numbers shown with fewer decimals", |book| {
        let sheet = book.worksheet_from_name("plan-blocks").expect("a sheet");
        put(sheet, 1, 2, 20.437, "0.0");
        put(sheet, 2, 2, 22.4, "0.0");
        put(sheet, 3, 2, 24.81, "0.0");
    });
    assert_eq!(project.blocks[0].cap.centre.x, 20.437);
}

#[test]
fn sheets_are_known_by_their_names_but_for_capitals_and_signs() {
    let project = quiet(|book| {
        let sheet = book.worksheet_from_name("landing-weights").expect("a sheet");
        sheet.set_name("Landing Weights").expect("a name");
        let notes = book.add_worksheet().set_name("Notes of mine").expect("a name");
        notes.write_string(0, 0, "buy chalk").expect("a cell");
    });
    assert_eq!(project.weights.len(), 2);
    for (case, name) in [
        ("a sheet named without its folder", "weights"),
        ("a sheet named almost right", "landing-wieghts"),
        ("a sheet of another name", "Table 7"),
    ] {
        refused(case, "landing-weights", |sheet| _ = sheet.set_name(name).expect("a name"));
    }
}
