//! Numbers of the records as they are held to what is plausible.

use crate::records::Project;
use crate::records::bounds::{LIMITS, TOLERANCES};
use crate::records::entry::Entry;
use crate::records::plausible::is_numeric;
use crate::records::spec::{Column, FileSpec};
use crate::records::value::Value;
use crate::text::Text;
use crate::units::{Unit, nine_digits};

/// A number of the records.
#[derive(Debug, Clone)]
pub(super) struct Number<'a> {
    /// Its file, and in a TOML file the table.
    pub of: &'static str,
    pub table: &'static str,
    /// The row or table in which it stands, and its column there.
    pub row: &'a Entry,
    pub column: &'static Column,
    /// In the kept unit.
    pub kept: f64,
    /// The bound's name and the unit in which it is stated, if it is one.
    pub bound: Option<(&'static str, &'static Unit)>,
}

impl Number<'_> {
    /// What its range is listed under.
    pub fn name(&self) -> &'static str {
        self.bound.map_or(self.column.name, |(name, _)| name)
    }

    /// The unit in which it was written.
    pub fn unit(&self) -> Option<&'static Unit> {
        self.bound.map(|(_, unit)| unit).or_else(|| self.row.unit_of(self.column))
    }

    /// A value of its column as text, in the unit in which the number was written.
    pub fn text(&self, kept: f64) -> String {
        let Some(unit) = self.unit() else { return Value::Number(kept).text(None) };
        format!("{}{}", Value::Number(kept).text(Some(unit)), unit.after_number())
    }

    /// The same of an end of a range, to three digits.
    pub fn bound_text(&self, kept: f64) -> String {
        let unit = self.unit();
        let written = unit.map_or(kept, |unit| unit.from_kept(kept));
        let size = libm::floor(libm::log10(written.abs().max(1e-12)));
        let step = libm::pow(10.0, size - 2.0);
        let rounded = nine_digits((written / step).round() * step);
        unit.map_or(rounded.clone(), |unit| format!("{rounded}{}", unit.after_number()))
    }
}

/// A number outside of what is plausible.
#[derive(Debug, Clone)]
pub(super) struct Odd<'a> {
    pub number: Number<'a>,
    /// What would be plausible, in the kept unit.
    pub least: f64,
    pub greatest: f64,
    /// Why, the end of a sentence after `since`.
    pub because: Text,
}

impl<'a> Number<'a> {
    /// Itself, if it lies outside of a range.
    pub fn outside(self, least: f64, greatest: f64, because: impl Into<Text>) -> Option<Odd<'a>> {
        let is_outside = !(least..=greatest).contains(&self.kept);
        is_outside.then(|| Odd { number: self, least, greatest, because: because.into() })
    }
}

/// The numbers of a table's column, by its name.
pub(super) fn numbers<'a>(
    project: &'a Project,
    spec: &FileSpec,
    column: &'a str,
) -> impl Iterator<Item = Number<'a>> + 'a {
    let sheet = project.sheets.iter().find(move |sheet| sheet.spec.path == spec.path);
    let found = sheet.and_then(|sheet| {
        let column = sheet.spec.columns.iter().find(|known| known.name == column)?;
        Some((sheet, column))
    });
    found.into_iter().flat_map(|(sheet, column)| {
        sheet.entries.iter().filter_map(move |row| of_row(sheet.spec.path, "", row, column))
    })
}

/// The number of one key of a TOML table.
pub(super) fn keys<'a>(
    project: &'a Project,
    path: &'a str,
    table: &'a str,
    key: &'a str,
) -> impl Iterator<Item = Number<'a>> + 'a {
    let keyed = project.keyed.iter().filter(move |keyed| keyed.path == path);
    keyed.flat_map(move |keyed| {
        let tables = keyed.entries().filter(move |(name, _)| *name == table);
        tables.filter_map(move |(name, row)| {
            let column =
                row.values().map(|(column, _)| column).find(|column| column.name == key)?;
            of_row(keyed.path, name, row, column)
        })
    })
}

/// The number in a column of a row, if there is one.
fn of_row<'a>(
    of: &'static str,
    table: &'static str,
    row: &'a Entry,
    column: &'static Column,
) -> Option<Number<'a>> {
    let kept = match row.value(column)? {
        Value::Number(kept) => *kept,
        Value::Whole(whole) => *whole as f64,
        _ => return None,
    };
    Some(Number { of, table, row, column, kept, bound: None })
}

/// A limit or tolerance that `docking.toml` states.
fn bound<'a>(of: &'static str, table: &'static str, row: &'a Entry) -> Option<Number<'a>> {
    let specs = match table {
        "limits" => LIMITS,
        "tolerances" => TOLERANCES,
        _ => return None,
    };
    let spec = specs.iter().find(|spec| spec.name == row.title)?;
    let column = |name: &str| row.values().map(|(column, _)| column).find(|c| c.name == name);
    let (value, unit) = (column("value")?, column("unit")?);
    let unit = spec.quantity.unit(&row.get::<String>(unit)?)?;
    let kept = unit.to_kept(row.get(value)?);
    Some(Number { of, table, row, column: value, kept, bound: Some((spec.name, unit)) })
}

/// Every number of the records.
pub(super) fn all(project: &Project) -> impl Iterator<Item = Number<'_>> {
    let of_sheets = project.sheets.iter().flat_map(|sheet| {
        let columns = sheet.spec.columns.iter().filter(|column| is_numeric(column));
        columns.flat_map(move |column| {
            sheet.entries.iter().filter_map(move |row| of_row(sheet.spec.path, "", row, column))
        })
    });
    let of_tables = project.keyed.iter().flat_map(|keyed| {
        keyed.entries().flat_map(move |(table, row)| {
            let is_bound = matches!(table, "limits" | "tolerances");
            let columns = row.values().map(|(column, _)| column);
            let columns = columns.filter(move |column| is_numeric(column) && !is_bound);
            let numbers = columns.filter_map(move |column| of_row(keyed.path, table, row, column));
            numbers.chain(bound(keyed.path, table, row))
        })
    });
    of_sheets.chain(of_tables)
}

/// The middle of some values; `None` of none.
pub(super) fn median(values: impl IntoIterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.into_iter().filter(|value| value.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}
