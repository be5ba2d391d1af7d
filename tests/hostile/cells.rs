//! Texts that a spreadsheet takes for formulas: byte for byte in the records, harmless in the tables and in
//! `findings.csv`, and to be had again from them.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use calamine::{Data, Reader, Xlsx, open_workbook};
use serde_json::Value;
use tempfile::TempDir;

use super::filled::{NOTE, Put, example, fill, read};
use crate::common::{closeout, files, lastdock, program, run, temporary, verify};

/// The name that the example gives its bundle.
const NAME: &str = "fenwhin-2031";

const FORMULAS: &[&str] = &[
    "=1+1",
    "=cmd|'/c calc'!A0",
    "+44 20 7946 0000",
    "-2+3",
    "@SUM(A1:A9)",
    "\u{ff1d}1+1",
    "'=1+1",
    "' said the diver",
    "''",
    "as found; =HYPERLINK(\"http://127.0.0.1/\"&A1);+1",
    "two lines\n=1+1",
    "two lines\r\n-1;\t@x;'y",
    "a quotation mark\", =1+1",
    "none",
    "-5",
];

struct Closed {
    _keep: TempDir,
    project: PathBuf,
    bag: PathBuf,
    zip: PathBuf,
    put: Vec<Put>,
}

/// The example filled with formulas and closed out.
fn closed() -> Closed {
    let keep = temporary();
    let (project, out) = (keep.path().join("project"), keep.path().join("out"));
    example(&project);
    let texts: Vec<String> = FORMULAS.iter().map(ToString::to_string).collect();
    let put = fill(&project, &texts, usize::MAX);
    // Names that nobody of the docking has wait for an answer.
    closeout(&project, &out).exits(3);
    let zip = out.join(format!("{NAME}.zip"));
    let file = fs::File::open(&zip).expect("the bundle");
    zip::ZipArchive::new(file).expect("a zip").extract(&out).expect("to unpack");
    Closed { project, bag: out.join(NAME), zip, put, _keep: keep }
}

/// The rule of `format.txt` undone, by other means than the program's.
fn undone(cell: &str) -> String {
    let mut out = String::new();
    let mut begins = true;
    for c in cell.chars() {
        if !(begins && c == '\'') {
            out.push(c);
        }
        begins = matches!(c, ';' | '\t' | '\r' | '\n');
    }
    out
}

/// The columns of text of every table, by the file's name: those whose type is a string without a format.
fn columns_of_text(bag: &Path) -> BTreeMap<String, Vec<String>> {
    let bytes = fs::read(bag.join("data/tables/csv-metadata.json")).expect("the metadata");
    let group: Value = serde_json::from_slice(&bytes).expect("JSON");
    assert!(group["dc:description"].as_str().is_some_and(|text| text.contains("take away one")));
    let text = |value: &Value| value.as_str().expect("a text").to_string();
    let is_text = |column: &&Value| {
        let kind = &column["datatype"];
        *kind == "string" || (kind["base"] == "string" && kind["format"].is_null())
    };
    let tables = group["tables"].as_array().expect("tables").iter();
    tables
        .map(|table| {
            let columns = table["tableSchema"]["columns"].as_array().expect("columns");
            let names = columns.iter().filter(is_text).map(|column| text(&column["titles"][0]));
            (text(&table["url"]), names.collect())
        })
        .collect()
}

/// Every cell that a spreadsheet makes of a file whichever separator it is set to; quotation marks count only
/// where a cell begins.
fn cells_by(text: &str, separator: char) -> Vec<String> {
    let (mut cells, mut cell) = (Vec::new(), String::new());
    let (mut begins, mut quoted) = (true, false);
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '"' if begins => quoted = true,
            '"' if quoted && chars.peek() == Some(&'"') => cell.extend(chars.next()),
            '"' if quoted => quoted = false,
            c if !quoted && (c == separator || c == '\n' || c == '\r') => {
                cells.push(std::mem::take(&mut cell));
                begins = true;
                continue;
            }
            c => cell.push(c),
        }
        begins = false;
    }
    cells.push(cell);
    cells
}

fn formula(cell: &str) -> bool {
    let cell = cell.trim_start_matches([' ', '\u{a0}']);
    let signs = ['=', '+', '-', '@', '\t', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'];
    let number = cell.split([',', ';']).next().is_some_and(|first| first.parse::<f64>().is_ok());
    cell.starts_with(signs) && !number
}

#[test]
fn formulas_are_harmless_in_the_tables_and_as_they_were_in_the_records() {
    let closed = closed();
    verify(&closed.zip).exits(0);
    let kept = closed.bag.join("data/records");
    for (path, bytes) in files(&closed.project) {
        assert_eq!(fs::read(kept.join(&path)).ok(), Some(bytes), "{path}");
    }
    let tables = closed.bag.join("data/tables");
    for Put { file, table, row, column, text } in &closed.put {
        if *file == "remarks.toml" {
            continue;
        }
        let stem = file.rsplit_once('.').map_or(*file, |(stem, _)| stem).replace('/', "-");
        let dash = if table.is_empty() { "" } else { "-" };
        let rows = read(&tables.join(format!("{stem}{dash}{}.csv", table.replace('_', "-"))));
        let at = rows[0].iter().position(|head| head == column).expect("the column");
        let cell = if matches!(table.as_str(), "limits" | "tolerances") {
            // Those of the record are the ones that have a line; the rest are defaults.
            let stated: Vec<_> = rows.iter().skip(1).filter(|row| !row[0].is_empty()).collect();
            stated[*row][at].clone()
        } else {
            rows[row + 1][at].clone()
        };
        let marked = formula(text) || text.starts_with('\'') || text == "-5";
        assert_eq!(cell.starts_with('\''), marked, "{file} {column}: {text:?} is {cell:?}");
        let recorded = if *column == NOTE { text.as_str() } else { text.trim() };
        assert_eq!(undone(&cell), recorded, "{file} {table} {column}: {cell:?}");
    }
    assert!(closed.put.len() > 150, "{}", closed.put.len());
}

#[test]
fn no_cell_of_a_derived_file_is_a_formula_whatever_the_separator() {
    let closed = closed();
    let text = columns_of_text(&closed.bag);
    let tables = closed.bag.join("data/tables");
    let mut seen = 0;
    for (name, columns) in &text {
        let rows = read(&tables.join(name));
        for (n, head) in rows[0].iter().enumerate().filter(|(_, head)| columns.contains(head)) {
            for cell in rows.iter().skip(1).map(|row| &row[n]) {
                assert!(!formula(cell), "{name} {head}: {cell:?}");
                seen += 1;
            }
        }
        let whole = fs::read_to_string(tables.join(name)).expect("a table");
        for separator in [',', ';', '\t'] {
            // Offsets of clocks, of this form and no other, in the two tables that have a column for them.
            let of_clocks = ["docking-period.csv", "docking-period-offsets.csv"];
            let offset = |cell: &str| {
                of_clocks.contains(&name.as_str())
                    && ["+01:00", "+00:00"].iter().any(|offset| cell.starts_with(offset))
            };
            for cell in cells_by(&whole, separator).iter().filter(|cell| !offset(cell)) {
                assert!(!formula(cell), "{name} by {separator:?}: {cell:?}");
            }
        }
    }
    assert!(seen > 1000, "{seen}");
}

#[test]
fn numbers_stay_numbers_and_findings_are_those_of_the_json() {
    let closed = closed();
    let data = closed.bag.join("data");
    let bytes = fs::read(data.join("findings.json")).expect("the findings");
    let json: Value = serde_json::from_slice(&bytes).expect("JSON");
    let rows = read(&data.join("findings.csv"));
    let column = |name: &str| rows[0].iter().position(|head| head == name).expect("a column");
    let (mut negative, mut answers) = (0, 0);
    for (row, finding) in rows.iter().skip(1).zip(json["findings"].as_array().expect("findings")) {
        let texts = [
            ("finding", &finding["id"]),
            ("sentence", &finding["sentence"]),
            ("bound_source", &finding["against"]["source"]),
            ("answer", &finding["remark"]["answer"]),
            ("answered_by", &finding["remark"]["by"]),
            ("recorded", &finding["recorded"]["words"]),
            ("recomputed", &finding["recomputed"]["words"]),
        ];
        for (name, value) in texts.into_iter().filter(|(_, value)| value.is_string()) {
            assert_eq!(Some(undone(&row[column(name)]).as_str()), value.as_str(), "{name}");
            answers += usize::from(name == "answer");
        }
        for name in ["recorded", "recomputed"] {
            let Some(value) = finding[name]["value"].as_f64() else { continue };
            assert_eq!(row[column(name)].parse().ok(), Some(value));
            negative += usize::from(value < 0.0);
        }
    }
    assert!(answers > 0);
    let blocks = read(&data.join("tables/plan-blocks.csv"));
    let offset = blocks[0].iter().position(|head| head == "offset_m").expect("a column");
    negative += blocks.iter().filter(|row| row[offset].starts_with('-')).count();
    assert!(negative > 0, "no negative number was seen");
}

/// A workbook keeps texts as texts, so that they need no sign before them.
#[test]
fn the_workbook_of_the_next_docking_holds_no_formula() {
    let closed = closed();
    let next = closed.bag.with_file_name("next");
    run(program().arg("start").arg(&next).arg("--from").arg(&closed.zip).arg("--workbook"))
        .exits(0);
    let mut book: Xlsx<_> = open_workbook(next.join("project.xlsx")).expect("a workbook");
    let mut texts = 0;
    for name in book.sheet_names() {
        assert!(book.worksheet_formula(&name).expect("a sheet").is_empty(), "{name}");
        for (_, _, cell) in book.worksheet_range(&name).expect("a sheet").used_cells() {
            if let Data::String(text) = cell {
                texts += usize::from(FORMULAS.contains(&text.as_str()));
            }
        }
    }
    assert!(texts > 10, "{texts}");
    let said = lastdock([Path::new("compare"), &closed.zip, &closed.project, Path::new("--json")]);
    assert!(said.json().is_object());
}
