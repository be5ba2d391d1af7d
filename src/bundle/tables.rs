//! The derived tables: what the records say, in the kept units, one row a record.

use crate::records::Project;
use crate::records::keyed::Keyed;
use crate::records::remarks;
use crate::records::sheet::Sheet;
use crate::records::value::Value;
use crate::units::nine_digits;

/// A derived table.
#[derive(Debug, Clone)]
pub struct Table {
    /// File name inside `data/tables/`.
    pub name: String,
    /// The CSV.
    pub bytes: Vec<u8>,
}

/// Every derived table of a project: one for each CSV file of its records, and one for the keys of
/// each TOML file; remarks stand in the findings.
pub fn tables(project: &Project) -> Result<Vec<Table>, csv::Error> {
    let mut tables = Vec::new();
    for keyed in project.keyed.iter().filter(|keyed| keyed.path != remarks::SPEC.path) {
        tables.push(of_keys(keyed)?);
    }
    for sheet in &project.sheets {
        tables.push(of_sheet(sheet)?);
    }
    Ok(tables)
}

fn of_sheet(sheet: &Sheet) -> Result<Table, csv::Error> {
    let mut out = csv::Writer::from_writer(Vec::new());
    let mut header: Vec<String> = vec!["record_line".to_string()];
    header.extend(sheet.spec.columns.iter().map(|column| column.kept_name()));
    header.extend(sheet.note_columns.iter().cloned());
    out.write_record(&header)?;
    for entry in &sheet.entries {
        let mut row: Vec<String> = vec![entry.place.line.unwrap_or(0).to_string()];
        row.extend(entry.values().map(|(_, value)| value.map(text).unwrap_or_default()));
        row.extend(entry.notes.iter().cloned());
        out.write_record(&row)?;
    }
    let bytes = out.into_inner().map_err(|error| error.into_error())?;
    Ok(Table { name: format!("{}.csv", sheet.spec.table_name()), bytes })
}

/// A TOML file as a table: table, its word or number, key, value in the kept unit.
fn of_keys(keyed: &Keyed) -> Result<Table, csv::Error> {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(["record_line", "table", "of", "key", "value"])?;
    for (table, entry) in keyed.entries() {
        for (column, value) in entry.values() {
            let Some(value) = value else { continue };
            let line = entry.place_of(column.name).line.unwrap_or(0).to_string();
            out.write_record([&line, table, &entry.title, &column.kept_name(), &text(value)])?;
        }
    }
    let bytes = out.into_inner().map_err(|error| error.into_error())?;
    Ok(Table { name: format!("{}.csv", keyed.table_name()), bytes })
}

/// A value as a table's cell has it.
fn text(value: &Value) -> String {
    match value {
        Value::Text(text) => text.clone(),
        Value::List(ids) if ids.is_empty() => "none".to_string(),
        Value::List(ids) => ids.join(";"),
        Value::Number(number) => nine_digits(*number),
        Value::NoBound => "none".to_string(),
        Value::Whole(number) => number.to_string(),
        Value::Time(time) => time.to_rfc3339(),
        Value::Date(date) => date.to_string(),
        Value::Flag(flag) => if *flag { "yes" } else { "no" }.to_string(),
        Value::Offset(offset) => offset.to_string(),
    }
}
