//! The records as tables: one for each CSV file, and one for each kind of table in a TOML file.

use std::collections::{BTreeMap, BTreeSet};

use super::table::{Table, TableColumn};
use crate::records::Project;
use crate::records::bounds::{Bound, Sort};
use crate::records::entry::Entry;
use crate::records::keyed::{Keyed, KeyedSpec};
use crate::records::sheet::Sheet;
use crate::records::spec::{Column, Holds, Kind, Need, Range, TableSpec};
use crate::records::{KEYED_FILES, products, remarks};
use crate::text::list;
use crate::units::nine_digits;

/// The tables of a project's records.
pub(super) fn tables(project: &Project) -> Vec<Table> {
    let mut tables = Vec::new();
    for spec in KEYED_FILES.iter().filter(|spec| spec.path != remarks::SPEC.path) {
        let Some(keyed) = project.keyed.iter().find(|keyed| keyed.path == spec.path) else {
            continue;
        };
        tables.extend(tables_of_keyed(spec, keyed, project));
    }
    tables.extend(project.sheets.iter().map(table_of_sheet));
    tables
}

/// So many files of a table are named; of more the rest is counted.
const MOST_NAMED: usize = 8;

/// The column of the lines on which the rows stand in their file.
fn line_column(path: &str) -> TableColumn {
    let line = TableColumn::from(&Column::always("record_line", Holds::Whole { least: 1 }, ""));
    TableColumn { about: format!("the line of data/records/{path} on which it stands"), ..line }
}

/// The column of the files in which the rows of a table stand that comes in parts.
fn file_column() -> TableColumn {
    let about = "the file below data/records/ in which it stands";
    TableColumn::from(&Column::always("record_file", Holds::Text, about)).as_key()
}

fn cells(entry: &Entry) -> Vec<String> {
    let mut row = vec![entry.place.line.unwrap_or(1).to_string()];
    row.extend(
        entry.values().map(|(_, value)| value.map_or_else(String::new, |value| value.text(None))),
    );
    row
}

/// What stands in these columns of notes; each part of a table has its own.
fn notes(entry: &Entry, columns: &[String]) -> Vec<String> {
    let own: BTreeMap<&str, &str> = entry.noted().collect();
    columns.iter().map(|column| own.get(column.as_str()).unwrap_or(&"").to_string()).collect()
}

fn table_of_sheet(sheet: &Sheet) -> Table {
    let spec = sheet.spec;
    let is_id =
        |column: &Column| matches!(column.holds, Holds::Id(_)) && column.need == Need::Always;
    let id = spec.columns.iter().find(|column| is_id(column));
    let is_in_parts = sheet.is_in_parts();
    let file = is_in_parts.then(|| TableColumn { is_key: id.is_none(), ..file_column() });
    let line = match is_in_parts {
        true => TableColumn {
            about: "the line of that file on which it stands".to_string(),
            ..line_column(spec.path)
        },
        false => line_column(spec.path),
    };
    let mut columns: Vec<TableColumn> = file.into_iter().collect();
    columns.push(TableColumn { is_key: id.is_none(), ..line });
    columns.extend(
        spec.columns
            .iter()
            .map(|column| TableColumn { is_key: id == Some(column), ..TableColumn::from(column) }),
    );
    let about = "a note, kept as it was written; the program does not read it";
    columns.extend(sheet.note_columns.iter().map(|header| TableColumn::note(header, about)));
    let row = |entry: &Entry| {
        let file = is_in_parts.then(|| entry.place.file.to_string());
        let cells = file.into_iter().chain(cells(entry));
        cells.chain(notes(entry, &sheet.note_columns)).collect()
    };
    let files: Vec<String> =
        sheet.files.iter().map(|file| format!("data/records/{file}")).collect();
    Table {
        name: format!("{}.csv", spec.table_name()),
        title: spec.path.trim_end_matches(".csv").replace(['/', '_'], ", "),
        about: format!("one row is {}; from {}", spec.row_is, list(&files, MOST_NAMED)),
        from: sheet.files.iter().map(ToString::to_string).collect(),
        columns,
        rows: sheet.entries.iter().map(row).collect(),
    }
}

fn tables_of_keyed(spec: &KeyedSpec, keyed: &Keyed, project: &Project) -> Vec<Table> {
    let table = |table: &TableSpec| match Sort::stated_in(table.name) {
        Some(sort) => Some(table_of_bounds(spec, table, project, sort)),
        None => table_of_keys(spec, table, keyed),
    };
    std::iter::once(&spec.top).chain(spec.tables).filter_map(table).collect()
}

fn file_name(spec: &KeyedSpec, table: &TableSpec) -> String {
    let file = spec.path.trim_end_matches(".toml").replace('/', "-");
    match table.name {
        "" => format!("{file}.csv"),
        name => format!("{file}-{}.csv", name.replace(['_', '.'], "-")),
    }
}

/// A kind of TOML table; `None` where the file has none of it.
fn table_of_keys(spec: &KeyedSpec, table: &TableSpec, keyed: &Keyed) -> Option<Table> {
    // A TOML file can't have a column of notes: each table has its own keys, and they stay in the record.
    let rows: Vec<Vec<String>> = keyed.all(table.name).map(cells).collect();
    if rows.is_empty() || table.keys.is_empty() {
        return None;
    }
    let id = table.keys.iter().find(|column| matches!(column.holds, Holds::Id(_)));
    let is_key = |column: &Column| match id {
        Some(id) => column == id,
        None => {
            table.name == products::BATCH.name
                && [products::Batch::id, products::Batch::product].contains(column)
        }
    };
    // Several tables of TOML may stand on one line.
    let lines: BTreeSet<&String> = rows.iter().filter_map(|row| row.first()).collect();
    let by_line = !table.keys.iter().any(is_key) && lines.len() == rows.len();
    let mut columns = vec![TableColumn { is_key: by_line, ..line_column(spec.path) }];
    columns.extend(
        table.keys.iter().map(|key| TableColumn { is_key: is_key(key), ..TableColumn::from(key) }),
    );
    let shown = if table.name.is_empty() { "" } else { ", " };
    Some(Table {
        name: file_name(spec, table),
        title: format!("{}{shown}{}", spec.path.trim_end_matches(".toml"), table.name),
        about: format!("one row is {}; from data/records/{}", table.meaning, spec.path),
        from: vec![spec.path.to_string()],
        columns,
        rows,
    })
}

/// The limits or tolerances in force, those that are the program's defaults too.
fn table_of_bounds(spec: &KeyedSpec, table: &TableSpec, project: &Project, sort: Sort) -> Table {
    let row = |bound: &Bound| {
        let line = bound.place.as_ref().and_then(|place| place.line);
        vec![
            line.map_or(String::new(), |line| line.to_string()),
            bound.name.clone(),
            nine_digits(bound.value),
            bound.quantity.kept().suffix.to_string(),
            bound.source.clone(),
        ]
    };
    let line = TableColumn {
        about: "the line of data/records/docking.toml on which it stands; empty for a default"
            .to_string(),
        filled: false,
        ..line_column(spec.path)
    };
    let always = |name, holds, about| TableColumn::from(&Column::always(name, holds, about));
    let bounds = project.docking.bounds.all().iter().filter(|bound| bound.sort == sort);
    Table {
        name: file_name(spec, table),
        title: format!("docking, {}", table.name),
        about: format!(
            "one row is one of the {} in force: {}; from data/records/{}, or a default of the program",
            table.name, table.meaning, spec.path
        ),
        from: vec![spec.path.to_string()],
        columns: vec![
            line,
            always("name", Holds::Name, "its name").as_key(),
            always("value", Holds::Number(Range::NotNegative), "the figure, in the unit beside it"),
            always("unit", Holds::Text, "its unit, a suffix of column names"),
            always("source", Holds::Text, "the document or rule that sets it"),
        ],
        rows: bounds.map(row).collect(),
    }
}

/// Whether a column refers to things that a table describes, one row each.
pub(super) fn kind_referred(holds: Holds) -> Option<Kind> {
    match holds {
        Holds::Ref(kind) | Holds::Refs(kind) | Holds::Part(kind) => Some(kind),
        _ => None,
    }
}
