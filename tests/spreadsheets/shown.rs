//! What a person sees in a sheet and the file does not hold so: times without a day, days without a time, cells
//! that are shown as one. The workbooks are those of LibreOffice and openpyxl with a few cells changed.

use std::fs;

use lastdock::records::Project;
use lastdock::records::problem::Problem;

use super::hostile::{parts, zipped};
use super::{folder, problems_are, problems_of, read};

/// What is said of the barge's water levels with parts of their workbook changed; of a project without the
/// barge's other tables nothing else.
fn problems(name: &str, changes: &[(&str, &str, &str)]) -> Vec<String> {
    match changed(name, changes) {
        Ok(_) => Vec::new(),
        found => problems_of(found),
    }
}

/// What is told of the same where it can be read.
fn warnings(name: &str, changes: &[(&str, &str, &str)]) -> Vec<String> {
    let project = changed(name, changes).unwrap_or_else(|problems| panic!("{problems:#?}"));
    let told = |warning: &Problem| warning.to_string().replace("\n    ", "; ");
    project.warnings.iter().map(told).collect()
}

fn changed(name: &str, changes: &[(&str, &str, &str)]) -> Result<Project, Vec<Problem>> {
    let mut parts = parts(name);
    for (part, old, new) in changes {
        let found = parts.iter_mut().find(|(name, _)| name == part).expect("that part");
        let text = String::from_utf8(found.1.clone()).expect("text");
        assert!(text.contains(old), "{old} is not in {part}");
        let at = text.find("table:name=\"landing-water\"").unwrap_or(0);
        found.1 = format!("{}{}", &text[..at], text[at..].replacen(old, new, 1)).into_bytes();
    }
    let folder = folder(&[("barge/docking.toml", "docking.toml")]);
    let end = name.rsplit_once('.').expect("an ending").1;
    fs::write(folder.path().join(format!("project.{end}")), zipped(&parts)).expect("a workbook");
    read(folder.path())
}

const CONTENT: &str = "content.xml";
const WATER: &str = "xl/worksheets/sheet7.xml";
/// The second moment of the levels, in the two formats.
const ISO: &str = "office:date-value=\"2031-04-07T11:42:00\"";
const SERIAL: &str = "<v>47945.4875</v>";

#[test]
fn a_time_of_day_alone_is_refused_in_both_formats() {
    let zero = "office:date-value=\"1899-12-30T11:42:00\"";
    let refused = problems("libreoffice.ods", &[(CONTENT, ISO, zero)]);
    problems_are("a time without a day", &refused);
    let length = "office:time-value=\"PT11H42M00S\"";
    assert_eq!(problems("libreoffice.ods", &[(CONTENT, ISO, length)]), refused);
    assert_eq!(problems("openpyxl.xlsx", &[(WATER, SERIAL, "<v>0.4875</v>")]), refused);
}

/// Days that no calendar has, and numbers so large that they can't be counted: each stands at its cell.
#[test]
fn a_number_that_is_shown_as_a_date_and_is_none_is_named() {
    for number in
        ["-1e15", "1e15", "-1e300", "1e300", "-0.5", "60.5", "2958466", "9007199254740993"]
    {
        let cell = format!("<v>{number}</v>");
        let [told] = &problems("openpyxl.xlsx", &[(WATER, SERIAL, &cell)])[..] else {
            panic!("{number}: one problem")
        };
        let shown = told.split('"').nth(1).expect("the number");
        let [is, wanted] = [shown, number].map(|text| text.parse::<f64>().expect("a number"));
        assert!((is - wanted).abs() <= 1e-14 * wanted.abs(), "{told}");
        let told = told.replacen(shown, "NUMBER", 1);
        problems_are("a number that is shown as a date and is none", &[told]);
    }
    for date in ["+262142-12-31T23:59:59", "-0001-01-01T00:00:00", "99999-01-01"] {
        let date = format!("office:date-value=\"{date}\"");
        let told = problems("libreoffice.ods", &[(CONTENT, ISO, &date)]);
        assert!(
            told.iter().any(|told| told.starts_with("sheet landing-water, cell B3 (at)")),
            "{told:?}"
        );
    }
}

/// What is shown as 36:00 is a day and a half in the file, and no hour and a half.
#[test]
fn a_length_of_time_is_what_is_shown() {
    let styles =
        ("xl/styles.xml", "</cellXfs>", "<xf numFmtId=\"46\" fontId=\"0\" xfId=\"0\"/></cellXfs>");
    let cell = format!("s=\"2\" t=\"n\">{SERIAL}");
    let of = |days: &str| {
        let cell_now = format!("s=\"3\" t=\"n\"><v>{days}</v>");
        problems("openpyxl.xlsx", &[styles, (WATER, &cell, &cell_now)])
    };
    assert!(
        of("1.5")[0].starts_with("sheet landing-water, cell B3 (at): \"36:00:00\" is not a time")
    );
    assert!(
        of("0.4875")[0]
            .starts_with("sheet landing-water, cell B3 (at): \"11:42:00\" is not a time")
    );
}

#[test]
fn a_day_is_no_midnight() {
    let shown = (CONTENT, "2031-04-07 11:42</text:p>", "7 April 2031</text:p>");
    let day_alone = "office:date-value=\"2031-04-07\"";
    let refused = problems("libreoffice.ods", &[(CONTENT, ISO, day_alone), shown]);
    problems_are("a day without a time", &refused);
    let styles =
        ("xl/styles.xml", "</cellXfs>", "<xf numFmtId=\"14\" fontId=\"0\" xfId=\"0\"/></cellXfs>");
    let cell = format!("s=\"2\" t=\"n\">{SERIAL}");
    let day = "s=\"3\" t=\"n\"><v>47945</v>";
    assert_eq!(problems("openpyxl.xlsx", &[styles, (WATER, &cell, day)]), refused);
    // Shown with its time, midnight is what was meant.
    let midnight = (CONTENT, "2031-04-07 11:42</text:p>", "2031-04-07 00:00</text:p>");
    assert_eq!(problems("libreoffice.ods", &[(CONTENT, ISO, day_alone), midnight]), [""; 0]);
    assert_eq!(problems("openpyxl.xlsx", &[(WATER, SERIAL, "<v>47945</v>")]), [""; 0]);
}

/// The second level of the OpenDocument sheet, as it stands there.
const LEVEL: &str = "office:value-type=\"float\" office:value=\"-1.95\" calcext:value-type=\"float\">\
                     <text:p>-1.95</text:p>";

/// In OpenDocument too; LibreOffice writes errors as a text that is marked as one.
#[test]
fn an_error_is_no_value_in_either_format() {
    let error = "table:formula=\"of:=1/0\" office:value-type=\"string\" office:string-value=\"\" \
                 calcext:value-type=\"error\"><text:p>#DIV/0!</text:p>";
    problems_are(
        "an error in OpenDocument",
        &problems("libreoffice.ods", &[(CONTENT, LEVEL, error)]),
    );
}

/// Hidden rows, comments and rounded numbers of an OpenDocument sheet.
#[test]
fn what_is_not_seen_of_an_open_document_sheet_is_told() {
    let time = "office:date-value=\"2031-04-07T11:42:00\" calcext:value-type=\"date\">";
    let comment = format!("{time}<office:annotation><text:p>by lamp</text:p></office:annotation>");
    let rounded = LEVEL.replace("<text:p>-1.95", "<text:p>-2");
    let row = "<table:table-row table:style-name=\"ro1\"><table:table-cell table:style-name=\"ce1\" \
               office:value-type=\"string\" calcext:value-type=\"string\"><text:p>P1</text:p>";
    let hidden =
        row.replacen("table:style-name", "table:visibility=\"filter\" table:style-name", 1);
    let changes = [(CONTENT, time, &*comment), (CONTENT, LEVEL, &rounded), (CONTENT, row, &hidden)];
    let told = warnings("libreoffice.ods", &changes);
    problems_are("what is not seen of an OpenDocument sheet", &told);
}

#[test]
fn merged_cells_are_named_where_they_lie_in_a_table() {
    let merged = |range: &str| {
        format!("</sheetData><mergeCells count=\"1\"><mergeCell ref=\"{range}\"/></mergeCells>")
    };
    let of_book =
        |range: &str| problems("openpyxl.xlsx", &[(WATER, "</sheetData>", &merged(range))]);
    let refused = of_book("E3:E5");
    problems_are("merged cells", &refused);
    assert_eq!(of_book("G8:H9"), [""; 0], "beside the table");
    let cells = fs::read_to_string(super::fixture("barge/landing/water.csv")).expect("a table");
    assert_eq!(cells.lines().count(), 5, "the header and four rows");
    let (old, new) = (
        "first-touch</text:p></table:table-cell><table:table-cell ",
        "first-touch</text:p></table:table-cell><table:table-cell table:number-columns-spanned=\"1\" \
         table:number-rows-spanned=\"3\" ",
    );
    assert_eq!(problems("libreoffice.ods", &[(CONTENT, old, new)]), refused);
}
