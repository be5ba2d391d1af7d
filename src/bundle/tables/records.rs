//! The records as tables: a CSV file gives one, a TOML file one for each kind of table in it.

use super::column::TableColumn;
use super::table::Table;
use crate::records::Project;
use crate::records::bounds::{Bound, Sort};
use crate::records::entry::Entry;
use crate::records::keyed::{Keyed, KeyedSpec};
use crate::records::sheet::Sheet;
use crate::records::spec::{Column, Holds, Kind, Need, Range, Stands, TableSpec};
use crate::records::{KEYED_FILES, remarks};
use crate::units::nine_digits;

/// The tables of a project's records.
pub(super) fn tables(project: &Project) -> Vec<Table> {
    let mut tables = Vec::new();
    for spec in KEYED_FILES.iter().filter(|spec| spec.path != remarks::SPEC.path) {
        let Some(keyed) = project.keyed.iter().find(|keyed| keyed.path == spec.path) else {
            continue;
        };
        tables.extend(of_file(spec, keyed, project));
    }
    tables.extend(project.sheets.iter().map(of_sheet));
    tables
}

fn line_column(path: &str) -> TableColumn {
    let line = TableColumn::always("record_line", Holds::Whole { least: 1 }, "");
    TableColumn { about: format!("the line of data/records/{path} on which it stands"), ..line }
}

fn cells(entry: &Entry) -> Vec<String> {
    let mut row = vec![entry.place.line.unwrap_or(1).to_string()];
    row.extend(
        entry.values().map(|(_, value)| value.map_or_else(String::new, |value| value.text(None))),
    );
    row.extend(entry.notes.iter().cloned());
    row
}

fn of_sheet(sheet: &Sheet) -> Table {
    let spec = sheet.spec;
    let mut columns = vec![line_column(spec.path)];
    columns.extend(spec.columns.iter().map(TableColumn::of));
    columns.extend(sheet.note_columns.iter().map(|header| TableColumn::note(header)));
    let names =
        |column: &&Column| matches!(column.holds, Holds::Id(_)) && column.need == Need::Always;
    let ids = spec.columns.iter().find(names);
    Table {
        name: format!("{}.csv", spec.table_name()),
        title: spec.path.trim_end_matches(".csv").replace(['/', '_'], ", "),
        about: format!("one row is {}; from data/records/{}", spec.row_is, spec.path),
        columns,
        key: vec![ids.map_or("record_line", |column| column.name)],
        rows: sheet.entries.iter().map(cells).collect(),
    }
}

fn of_file(spec: &KeyedSpec, keyed: &Keyed, project: &Project) -> Vec<Table> {
    let of = |table: &TableSpec| match (table.stands, sort_of(table)) {
        (Stands::Named, Some(sort)) => Some(of_bounds(spec, table, project, sort)),
        _ => of_keys(spec, table, keyed),
    };
    std::iter::once(&spec.top).chain(spec.tables).filter_map(of).collect()
}

fn name_of(spec: &KeyedSpec, table: &TableSpec) -> String {
    let file = spec.path.trim_end_matches(".toml").replace('/', "-");
    match table.name {
        "" => format!("{file}.csv"),
        name => format!("{file}-{}.csv", name.replace('_', "-")),
    }
}

/// A kind of TOML table; `None` where the file has none of it.
fn of_keys(spec: &KeyedSpec, table: &TableSpec, keyed: &Keyed) -> Option<Table> {
    // A TOML file can't have a column of notes: each table has its own keys, and they stay in the record.
    let mut rows: Vec<Vec<String>> = keyed.all(table.name).map(cells).collect();
    rows.iter_mut().for_each(|row| row.truncate(1 + table.keys.len()));
    if rows.is_empty() || table.keys.is_empty() {
        return None;
    }
    let mut columns = vec![line_column(spec.path)];
    columns.extend(table.keys.iter().map(TableColumn::of));
    let ids = table.keys.iter().find(|column| matches!(column.holds, Holds::Id(_)));
    let key = match (ids, table.stands) {
        (Some(column), _) => vec![column.name],
        (None, Stands::Often) if table.keys.iter().any(|k| k.name == "batch") => {
            vec!["batch", "product"]
        }
        // Several tables of TOML may stand on one line.
        (None, Stands::Often) => Vec::new(),
        (None, _) => vec!["record_line"],
    };
    let shown = if table.name.is_empty() { "" } else { ", " };
    Some(Table {
        name: name_of(spec, table),
        title: format!("{}{shown}{}", spec.path.trim_end_matches(".toml"), table.name),
        about: format!("one row is {}; from data/records/{}", table.meaning, spec.path),
        columns,
        key,
        rows,
    })
}

fn sort_of(table: &TableSpec) -> Option<Sort> {
    match table.name {
        "limits" => Some(Sort::Limit),
        "tolerances" => Some(Sort::Tolerance),
        _ => None,
    }
}

/// The limits or tolerances in force, those that are the program's defaults too.
fn of_bounds(spec: &KeyedSpec, table: &TableSpec, project: &Project, sort: Sort) -> Table {
    let row = |bound: &Bound| {
        vec![
            bound
                .place
                .as_ref()
                .and_then(|place| place.line)
                .map_or(String::new(), |line| line.to_string()),
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
    let bounds = project.docking.bounds.all().iter().filter(|bound| bound.sort == sort);
    Table {
        name: name_of(spec, table),
        title: format!("docking, {}", table.name),
        about: format!(
            "one row is one of the {} in force: {}; from data/records/{}, or a default of the program",
            table.name, table.meaning, spec.path
        ),
        columns: vec![
            line,
            TableColumn::always("name", Holds::Name, "its name"),
            TableColumn::always(
                "value",
                Holds::Number(Range::NotNegative),
                "the figure, in the unit beside it",
            ),
            TableColumn::always("unit", Holds::Text, "its unit, a suffix of column names"),
            TableColumn::always("source", Holds::Text, "the document or rule that sets it"),
        ],
        key: vec!["name"],
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
