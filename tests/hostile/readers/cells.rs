//! Sound workbooks round cells that hold anything: numbers under every sort of format, dates, lengths of time,
//! texts, errors and truth values, in both formats.

use std::fmt::Write;

use lastdock::records::FILES;
use lastdock::records::problem::Problems;
use lastdock::records::spec::FileSpec;
use lastdock::records::workbook::NAMES;

use super::project::{Files, judged};
use super::workbook::{least, zipped};

/// Words of cells.
pub const WORDS: &[&str] = &[
    "2031-04-09",
    "2031-04-09T06:40:00",
    "9999-12-31T23:59:60",
    "+262142-12-31",
    "-0001-01-01T00:00:00",
    "1899-12-30T11:42:00",
    "PT36H00M00S",
    "PT06H40M00,5S",
    "P1Y",
    "#DIV/0!",
    "22:00",
    "12.4",
    "1e309",
    "K1",
    "none",
    "\u{e2}",
    // Numbers as eight bytes hold them.
    "\u{0}\u{0}\u{0}\u{0}\u{0}\u{0}\u{0}\u{0}",
    "\u{0}\u{0}\u{0}\u{0}\u{0}\u{0}\u{f0}\u{3f}",
];

/// The formats of numbers: their numbers in Office Open XML (ISO/IEC 29500-1, 18.8.30), and the codes of those
/// that are not among these.
const FORMATS: [(u16, &str); 10] = [
    (0, ""),
    (9, ""),
    (14, ""),
    (20, ""),
    (22, ""),
    (46, ""),
    (164, "yyyy\\-mm\\-dd\\ hh:mm:ss"),
    (165, "[h]:mm"),
    (166, "0.0%"),
    (167, "\"d\"0"),
];

/// The errors that ISO/IEC 29500-1, 18.17.3 has; one of another name is refused with its place.
const ERRORS: [&str; 7] = ["#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!"];

/// A cell, as both formats have it.
enum Value {
    Nothing,
    Number(f64, usize),
    Text(String),
    Date(String),
    Length(String),
    Truth(bool),
    Error(&'static str),
    /// A formula, with its value where there is one.
    Formula(Option<f64>),
}

/// Reads a workbook of one sheet: which format, which file of records, which day is counted from, then its cells.
/// Sound as it is, it must be read whatever its cells hold.
pub fn read(bytes: &[u8]) {
    let (which, rest) = super::first(bytes);
    let (spec, rest) = super::first(rest);
    let (which, since_1904) = (usize::from(which & 1), which & 2 != 0);
    let spec = FILES[usize::from(spec) % FILES.len()];
    let rows = rows(spec, rest);
    let workbook =
        if which == 0 { office_open(spec, &rows, since_1904) } else { open_document(spec, &rows) };
    let mut files = Files::example_ashore(spec.path);
    files.retain(|path| path != spec.path);
    files.put(NAMES[which], &workbook);
    if let Err(problems) = lastdock::records::read(&files, Problems::default()) {
        let unread = problems.iter().find(|problem| &*problem.place.file == NAMES[which]);
        assert_eq!(unread, None, "a sound workbook is read");
    }
    judged(&files);
}

/// The header of the file's example, then what the bytes say: as many cells a row as there are columns.
fn rows(spec: &FileSpec, mut bytes: &[u8]) -> Vec<Vec<Value>> {
    let header = spec.example.lines().next().unwrap_or_default();
    let header: Vec<Value> = header.split(',').map(|name| Value::Text(name.to_string())).collect();
    let width = header.len();
    let mut rows = vec![header];
    while !bytes.is_empty() && rows.len() < 60 {
        rows.push((0..width).map(|_| value(&mut bytes)).collect());
    }
    rows
}

/// A value: a byte for its sort and its format, then eight bytes of a number, or a byte for the length of a text.
fn value(bytes: &mut &[u8]) -> Value {
    let (sort, rest) = super::first(bytes);
    *bytes = rest;
    let (sort, more) = (sort % 16, usize::from(sort / 16));
    match sort {
        0..=5 => Value::Number(number(bytes), more % FORMATS.len()),
        6 => Value::Number(number(bytes).round(), more % FORMATS.len()),
        7 => Value::Number((number(bytes) % 1e7).round() / 64.0, more % FORMATS.len()),
        8 | 9 => Value::Text(text(bytes)),
        10 => Value::Date(text(bytes)),
        11 => Value::Length(text(bytes)),
        12 => Value::Truth(more % 2 == 0),
        13 => Value::Error(ERRORS[more % ERRORS.len()]),
        14 => Value::Formula((more % 2 == 0).then(|| number(bytes))),
        _ => Value::Nothing,
    }
}

fn number(bytes: &mut &[u8]) -> f64 {
    let (number, rest) = bytes.split_at(bytes.len().min(8));
    *bytes = rest;
    let mut eight = [0; 8];
    eight[..number.len()].copy_from_slice(number);
    f64::from_le_bytes(eight)
}

/// A text of characters that XML may hold.
fn text(bytes: &mut &[u8]) -> String {
    let (length, rest) = super::first(bytes);
    let (text, rest) = rest.split_at(usize::from(length % 64).min(rest.len()));
    *bytes = rest;
    let may_stand = |c: &char| !c.is_control() && !matches!(c, '\u{fffe}' | '\u{ffff}');
    let text: String = String::from_utf8_lossy(text).chars().filter(may_stand).collect();
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// A number as XML has it. What is none has no cell in any spreadsheet, and stands here all the same.
fn written(number: f64) -> String {
    format!("{number:?}")
}

fn office_open(spec: &FileSpec, rows: &[Vec<Value>], since_1904: bool) -> Vec<u8> {
    let mut sheet = String::new();
    let mut put =
        |text: std::fmt::Arguments<'_>| sheet.write_fmt(text).expect("to write to memory");
    for (n, row) in rows.iter().enumerate() {
        put(format_args!("<row r=\"{}\">", n + 1));
        for value in row {
            match value {
                Value::Nothing => put(format_args!("<c/>")),
                Value::Number(number, format) => {
                    put(format_args!("<c s=\"{format}\"><v>{}</v></c>", written(*number)));
                }
                Value::Text(text) => {
                    put(format_args!("<c t=\"inlineStr\"><is><t>{text}</t></is></c>"));
                }
                Value::Date(text) => put(format_args!("<c s=\"4\" t=\"d\"><v>{text}</v></c>")),
                Value::Length(text) => put(format_args!("<c t=\"str\"><v>{text}</v></c>")),
                Value::Truth(truth) => {
                    put(format_args!("<c t=\"b\"><v>{}</v></c>", u8::from(*truth)));
                }
                Value::Error(error) => put(format_args!("<c t=\"e\"><v>{error}</v></c>")),
                Value::Formula(None) => put(format_args!("<c><f>A1</f></c>")),
                Value::Formula(Some(number)) => {
                    put(format_args!("<c s=\"2\"><f>A1</f><v>{}</v></c>", written(*number)));
                }
            }
        }
        put(format_args!("</row>"));
    }
    let mut parts = least(0, &sheet);
    let codes: String = FORMATS
        .iter()
        .filter(|(_, code)| !code.is_empty())
        .map(|(id, code)| {
            let code = code.replace('"', "&quot;");
            format!("<numFmt numFmtId=\"{id}\" formatCode=\"{code}\"/>")
        })
        .collect();
    let formats: String =
        FORMATS.iter().map(|(id, _)| format!("<xf numFmtId=\"{id}\"/>")).collect();
    let styles = format!(
        "<styleSheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\">\
         <numFmts>{codes}</numFmts><cellXfs>{formats}</cellXfs></styleSheet>"
    );
    parts.insert("xl/styles.xml".to_string(), styles.into_bytes());
    let from = format!("<workbookPr date1904=\"{}\"/><sheets>", u8::from(since_1904));
    named(&mut parts, "xl/workbook.xml", &spec.table_name(), ("<sheets>", &from));
    zipped(&parts)
}

fn open_document(spec: &FileSpec, rows: &[Vec<Value>]) -> Vec<u8> {
    let cell = |sort: &str, key: &str, value: &str| {
        format!("<table:table-cell office:value-type=\"{sort}\" office:{key}=\"{value}\"/>")
    };
    let text = |text: &str| {
        format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        )
    };
    let mut sheet = String::new();
    for row in rows {
        sheet += "<table:table-row>";
        for value in row {
            sheet += &match value {
                Value::Nothing => "<table:table-cell/>".to_string(),
                Value::Number(number, 1 | 8) => cell("percentage", "value", &written(*number)),
                Value::Number(number, 2) => cell("currency", "value", &written(*number)),
                Value::Number(number, _) => cell("float", "value", &written(*number)),
                Value::Text(inside) => text(inside),
                Value::Date(date) => cell("date", "date-value", date),
                Value::Length(length) => cell("time", "time-value", length),
                Value::Truth(truth) => cell("boolean", "boolean-value", &truth.to_string()),
                Value::Error(error) => text(error),
                Value::Formula(value) => {
                    let value = value.map(|value| {
                        format!(" office:value-type=\"float\" office:value=\"{}\"", written(value))
                    });
                    let value = value.unwrap_or_default();
                    format!("<table:table-cell table:formula=\"of:=1\"{value}/>")
                }
            };
        }
        sheet += "</table:table-row>";
    }
    let mut parts = least(1, &sheet);
    named(&mut parts, "content.xml", &spec.table_name(), ("", ""));
    zipped(&parts)
}

/// Gives the sheet the name of another file of records, and puts something else for something once.
fn named(parts: &mut super::workbook::Parts, part: &str, name: &str, (old, new): (&str, &str)) {
    let bytes = parts.get_mut(part).expect("a part that there is");
    let text = String::from_utf8_lossy(bytes).replacen("plan-keel", name, 1).replacen(old, new, 1);
    *bytes = text.into_bytes();
}

/// Every file of records with numbers at the ends of what is a date under every format, and every other sort of
/// cell.
pub fn seeds() -> Vec<Vec<u8>> {
    let numbers =
        [-1e15, -1.0, 0.25, 1.0, 60.0, 61.0, 47_947.25, 2_958_465.5, 1e15, 1e308, f64::NAN];
    let mut cells: Vec<u8> = Vec::new();
    for number in numbers {
        for format in 0..FORMATS.len() as u8 {
            cells.push(format * 16);
            cells.extend(f64::to_le_bytes(number));
        }
    }
    for text in ["2031-04-09T06:40:00", "+262142-12-31", "PT36H00M00S", "K1", ""] {
        for sort in [8, 10, 11] {
            cells.extend([&[sort, text.len() as u8][..], text.as_bytes()].concat());
        }
    }
    cells.extend((0..16).flat_map(|more| [12, 13, 15, 0x1E].map(|sort| sort | (more * 16))));
    let of = |which: u8, spec: usize| [&[which, spec as u8], cells.as_slice()].concat();
    (0..FILES.len()).flat_map(|spec| [of(0, spec), of(1, spec), of(2, spec)]).collect()
}
