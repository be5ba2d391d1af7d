//! The derived tables against the records, value by value. Both are read here by other means than the
//! program's: a CSV splitter and units of the test's own, and the toml crate.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use chrono::{DateTime, NaiveDateTime};
use serde_json::json;

use crate::common::{closed, files};

/// Suffix, kept suffix, factor, offset: those that the sample uses, and more (NIST SP 811).
const UNITS: &[(&str, &str, f64, f64)] = &[
    ("m", "m", 1.0, 0.0),
    ("mm", "m", 1e-3, 0.0),
    ("cm", "m", 1e-2, 0.0),
    ("um", "m", 1e-6, 0.0),
    ("in", "m", 0.0254, 0.0),
    ("ft", "m", 0.3048, 0.0),
    ("mil", "m", 0.0254e-3, 0.0),
    ("m2", "m2", 1.0, 0.0),
    ("m4", "m4", 1.0, 0.0),
    ("l", "l", 1.0, 0.0),
    ("t", "t", 1.0, 0.0),
    ("kg", "t", 1e-3, 0.0),
    ("lt", "t", 1.016_046_908_8, 0.0),
    ("kn", "kn", 1.0, 0.0),
    ("knm", "tm", 1.0 / 9.806_65, 0.0),
    ("t_per_m", "t_per_m", 1.0, 0.0),
    ("kpa", "kpa", 1.0, 0.0),
    ("mpa", "kpa", 1e3, 0.0),
    ("gpa", "kpa", 1e6, 0.0),
    ("c", "c", 1.0, 0.0),
    ("f", "c", 5.0 / 9.0, -160.0 / 9.0),
    ("k", "k", 1.0, 0.0),
    ("pct", "pct", 1.0, 0.0),
    ("deg", "deg", 1.0, 0.0),
    ("h", "h", 1.0, 0.0),
    ("min", "h", 1.0 / 60.0, 0.0),
    ("d", "h", 24.0, 0.0),
    ("t_m3", "t_m3", 1.0, 0.0),
    ("kg_m3", "t_m3", 1e-3, 0.0),
    ("mg_m2", "mg_m2", 1.0, 0.0),
    ("t_per_cm", "t_per_cm", 1.0, 0.0),
    ("tm_per_cm", "tm_per_cm", 1.0, 0.0),
    ("m_per_h", "m_per_h", 1.0, 0.0),
];

/// Names under which a column may be written too.
const ALSO: &[(&str, &str)] = &[
    ("length", "length_fore_and_aft"),
    ("width", "width_athwart"),
    ("planned_centreline_offset", "planned_offset"),
    ("recorded_centreline_offset", "recorded_offset"),
    ("coat_number", "coat"),
    ("correction", "profile_correction"),
];

/// Rows of a CSV with the line on which each begins.
fn rows(text: &str) -> Vec<(usize, Vec<String>)> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text).replace("\r\n", "\n");
    let (mut rows, mut row, mut cell) = (Vec::new(), Vec::new(), String::new());
    let (mut line, mut began, mut inside) = (1, 1, false);
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '"' if inside && chars.peek() == Some(&'"') => cell.extend(chars.next()),
            '"' => inside = !inside,
            ',' if !inside => row.push(std::mem::take(&mut cell)),
            '\n' if !inside => {
                row.push(std::mem::take(&mut cell));
                rows.push((began, std::mem::take(&mut row)));
            }
            c => cell.push(c),
        }
        if c == '\n' {
            line += 1;
            if !inside {
                began = line;
            }
        }
    }
    if !row.is_empty() || !cell.is_empty() {
        row.push(cell);
        rows.push((began, row));
    }
    rows.retain(|(_, row)| row.iter().any(|cell| !cell.trim().is_empty()));
    rows
}

struct Table {
    name: String,
    header: Vec<String>,
    rows: Vec<Vec<String>>,
}

fn table(name: String) -> Table {
    let path = closed().folder.join("data/tables").join(&name);
    let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
    let mut rows = rows(&text).into_iter().map(|(_, row)| row);
    let header = rows.next().expect("a header row");
    Table { name, header, rows: rows.collect() }
}

/// The column of a table that a record's header or key means, and the unit of what is written there.
fn column(table: &Table, written: &str) -> (usize, Option<(f64, f64)>) {
    let called = |name: &str| {
        let other = ALSO.iter().find(|(also, _)| *also == name).map(|(_, name)| *name);
        [Some(name), other].into_iter().flatten().map(str::to_string).collect::<Vec<_>>()
    };
    let find = |name: &str| table.header.iter().position(|header| header == name);
    let mut ends: Vec<_> = UNITS
        .iter()
        .filter_map(|unit| Some((written.strip_suffix(unit.0)?.strip_suffix('_')?, unit)))
        .collect();
    ends.sort_by_key(|(base, _)| base.len());
    for (base, (_, kept, factor, offset)) in ends {
        for name in called(base) {
            if let Some(at) = find(&format!("{name}_{kept}")) {
                return (at, Some((*factor, *offset)));
            }
        }
    }
    let at = called(written).iter().find_map(|name| find(name));
    (at.unwrap_or_else(|| panic!("{}: no column for {written}", table.name)), None)
}

/// What was recorded where a table's cell has apostrophes before what might be a formula, by chapter 9 of
/// `format.txt`.
fn recorded(cell: &str) -> String {
    let mut begins = true;
    let kept = cell.chars().filter(|c| {
        let mark = begins && *c == '\'';
        begins = matches!(c, ';' | '\t' | '\r' | '\n');
        !mark
    });
    kept.collect()
}

/// Whether a table's cell is what the record says.
fn same(written: &str, unit: Option<(f64, f64)>, cell: &str) -> bool {
    let (written, cell) = (written.trim(), &*recorded(cell));
    if let Some((factor, offset)) = unit {
        if written == "none" {
            return cell == "none";
        }
        let (Ok(written), Ok(cell)) = (written.parse::<f64>(), cell.parse::<f64>()) else {
            return written.is_empty() && cell.is_empty();
        };
        let wanted = written * factor + offset;
        return (wanted - cell).abs() <= 2e-9 * wanted.abs().max(1e-9);
    }
    let number = |text: &str| text.parse::<f64>().ok();
    if written == cell || (number(written).is_some() && number(written) == number(cell)) {
        return true;
    }
    if let Ok(cell) = DateTime::parse_from_rfc3339(cell) {
        let plain = NaiveDateTime::parse_from_str(written, "%Y-%m-%dT%H:%M:%S");
        return match DateTime::parse_from_rfc3339(written) {
            Ok(written) => written == cell,
            // The offset that the sample gives under [period].
            Err(_) => plain.is_ok_and(|plain| {
                plain == cell.naive_local() && cell.offset().local_minus_utc() == 3600
            }),
        };
    }
    written.to_lowercase().replace([' ', '_'], "-") == cell
}

#[test]
fn every_value_of_every_csv_record_is_in_its_table() {
    let (mut compared, mut tables) = (0, 0);
    for (path, bytes) in files(&closed().folder.join("data/records")) {
        let Some(stem) = path.strip_suffix(".csv") else { continue };
        tables += 1;
        let text = String::from_utf8(bytes).expect("UTF-8");
        let mut records = rows(&text).into_iter();
        let (_, header) = records.next().expect("a header row");
        let table = table(format!("{}.csv", stem.replace('/', "-")));
        let columns: Vec<_> = header.iter().map(|name| column(&table, name.trim())).collect();
        assert_eq!(table.header[0], "record_line");
        let records: Vec<_> = records.collect();
        assert_eq!(records.len(), table.rows.len(), "{path}");
        for ((line, record), row) in records.iter().zip(&table.rows) {
            assert_eq!(row[0], line.to_string(), "{path}");
            for ((name, written), (at, unit)) in header.iter().zip(record).zip(&columns) {
                assert!(
                    same(written, *unit, &row[*at]),
                    "{path}:{line} {name}: {written} is {}",
                    row[*at]
                );
                compared += 1;
            }
            for (at, name) in table.header.iter().enumerate().skip(1) {
                let written = columns.iter().any(|(column, _)| *column == at);
                assert!(
                    written || row[at].is_empty(),
                    "{path}:{line}: {name} is not in the record"
                );
            }
        }
    }
    assert!(tables >= 28 && compared > 20_000, "{tables} tables, {compared} values");
}

/// A TOML value as the cell of a CSV would have it.
fn cell(value: &toml::Value) -> String {
    match value {
        toml::Value::String(text) => text.clone(),
        toml::Value::Array(items) => items.iter().map(cell).collect::<Vec<_>>().join(";"),
        toml::Value::Boolean(flag) => if *flag { "yes" } else { "no" }.to_string(),
        other => other.to_string(),
    }
}

#[test]
fn every_value_of_the_toml_records_is_in_its_table() {
    let mut compared = 0;
    for file in ["docking", "coating/products"] {
        let path = closed().folder.join(format!("data/records/{file}.toml"));
        let text = fs::read_to_string(path).expect("a record");
        let document: toml::Table = text.parse().expect("TOML");
        let lines: Vec<&str> = text.lines().collect();
        let mut kinds: BTreeMap<&str, Vec<&toml::Table>> = BTreeMap::new();
        for (name, value) in
            document.iter().filter(|(name, _)| !matches!(name.as_str(), "limits" | "tolerances"))
        {
            match value {
                toml::Value::Table(table) => kinds.entry(name).or_default().push(table),
                toml::Value::Array(items) => {
                    kinds
                        .entry(name)
                        .or_default()
                        .extend(items.iter().filter_map(toml::Value::as_table));
                }
                _ => kinds.entry("").or_default().push(&document),
            }
        }
        let stem = file.replace('/', "-");
        for (name, entries) in kinds {
            let dash = if name.is_empty() { "" } else { "-" };
            let table = table(format!("{stem}{dash}{}.csv", name.replace('_', "-")));
            assert_eq!(entries.len(), table.rows.len(), "{}", table.name);
            for (entry, row) in entries.into_iter().zip(&table.rows) {
                let line: usize = row[0].parse().expect("a line");
                assert!(lines[line - 1].contains(name), "{}: {}", table.name, lines[line - 1]);
                // Notes in TOML stay in the record.
                let entry: Vec<_> = entry.iter().filter(|(key, _)| *key != "note").collect();
                let single = |value: &toml::Value| {
                    !value.is_table()
                        && value
                            .as_array()
                            .is_none_or(|items| !items.iter().any(toml::Value::is_table))
                };
                for (key, value) in entry.iter().filter(|(_, value)| single(value)) {
                    let (at, unit) = column(&table, key);
                    assert!(
                        same(&cell(value), unit, &row[at]),
                        "{} {key}: {value} is {}",
                        table.name,
                        row[at]
                    );
                    compared += 1;
                }
                let filled = row.iter().skip(1).filter(|cell| !cell.is_empty()).count();
                assert_eq!(filled, entry.iter().filter(|(_, value)| single(value)).count());
            }
        }
    }
    assert!(compared > 100, "{compared}");
}

#[test]
fn limits_and_tolerances_in_force_are_in_their_tables() {
    let path = closed().folder.join("data/records/docking.toml");
    let document: toml::Table = fs::read_to_string(path).expect("a record").parse().expect("TOML");
    for sort in ["limits", "tolerances"] {
        let stated = document[sort].as_table().expect("a table");
        let table = table(format!("docking-{sort}.csv"));
        assert_eq!(table.header, ["record_line", "name", "value", "unit", "source"]);
        for (name, bound) in stated {
            let row = table.rows.iter().find(|row| row[1] == *name).expect("the bound");
            let unit = bound["unit"].as_str().expect("a unit");
            let (_, kept, factor, offset) =
                UNITS.iter().find(|(suffix, ..)| *suffix == unit).expect("a unit");
            assert!(same(&cell(&bound["value"]), Some((*factor, *offset)), &row[2]), "{name}");
            assert_eq!(
                (row[3].as_str(), row[4].as_str()),
                (*kept, bound["source"].as_str().expect("a source"))
            );
        }
        for row in table.rows.iter().filter(|row| !stated.contains_key(&row[1])) {
            assert!(row[0].is_empty() && row[4].starts_with("default of this program"), "{row:?}");
        }
    }
}

/// References that are no foreign keys, since cells may be empty or lists, and those that are.
#[test]
fn every_reference_meets_one_row() {
    let path = closed().folder.join("data/tables/csv-metadata.json");
    let group: serde_json::Value =
        serde_json::from_slice(&fs::read(path).expect("the metadata")).expect("JSON");
    let text = |value: &serde_json::Value| value.as_str().expect("a text").to_string();
    let (mut references, mut lists, mut pairs) = (0, 0, 0);
    for described in group["tables"].as_array().expect("tables") {
        let name = text(&described["url"]);
        if name.starts_with("..") {
            continue;
        }
        let table = table(name);
        let columns = described["tableSchema"]["columns"].as_array().expect("columns");
        let titles: Vec<String> = columns.iter().map(|column| text(&column["titles"][0])).collect();
        assert_eq!(titles, table.header);
        let keys = described["tableSchema"]["foreignKeys"].as_array().cloned().unwrap_or_default();
        for (at, column) in columns.iter().enumerate() {
            let key = keys.iter().find(|key| key["columnReference"] == json!([column["name"]]));
            let (target, ids) = match (column["dc:relation"].as_str(), key) {
                (Some(relation), None) => relation
                    .split_once(", column ")
                    .map(|(table, column)| (table.to_string(), column.to_string()))
                    .expect("a table and a column"),
                (None, Some(key)) => (
                    text(&key["reference"]["resource"]),
                    text(&key["reference"]["columnReference"][0]),
                ),
                (None, None) => continue,
                (Some(_), Some(_)) => panic!("{}: two references in one column", table.name),
            };
            let target = self::table(target);
            let ids = target.header.iter().position(|header| *header == ids).expect("its column");
            for row in table.rows.iter().filter(|row| !row[at].is_empty() && row[at] != "none") {
                for item in row[at].split(';') {
                    let meets = target.rows.iter().filter(|other| other[ids] == item).count();
                    assert_eq!(meets, 1, "{} {}: {item}", table.name, table.header[at]);
                    lists += usize::from(row[at].contains(';'));
                }
                references += 1;
            }
        }
        // Variables are the headers wherever a header is made of letters, digits and _.
        let places = |table: &Table, names: &serde_json::Value| -> Vec<usize> {
            let names = names.as_array().expect("columns").iter().map(text);
            let place = |name: String| table.header.iter().position(|header| *header == name);
            names.map(|name| place(name).expect("its column")).collect()
        };
        let cells = |row: &Vec<String>, places: &[usize]| -> Vec<String> {
            places.iter().map(|at| row[*at].clone()).collect()
        };
        for key in keys.iter().filter(|key| key["columnReference"][1].is_string()) {
            let target = self::table(text(&key["reference"]["resource"]));
            let from = places(&table, &key["columnReference"]);
            let to = places(&target, &key["reference"]["columnReference"]);
            for row in &table.rows {
                let named = cells(row, &from);
                let meets = target.rows.iter().filter(|other| cells(other, &to) == named).count();
                assert_eq!(meets, 1, "{}: {named:?}", table.name);
                pairs += 1;
            }
        }
        let key = places(&table, &described["tableSchema"]["primaryKey"]);
        let distinct: BTreeSet<_> = table.rows.iter().map(|row| cells(row, &key)).collect();
        assert_eq!(distinct.len(), table.rows.len(), "{} has no key", table.name);
    }
    assert!(references > 1000 && lists > 5, "{references} references, {lists} of them in lists");
    assert!(pairs > 100, "{pairs} references by two columns");
    assert_eq!(group["dc:created"], json!({"@value": "2031-05-16", "@type": "xsd:date"}));
}
