//! Rows of any table by what their cells say, and how findings name them.

use crate::records::Project;
use crate::records::entry::Entry;
use crate::records::spec::{FileSpec, Holds};
use crate::records::value::Value;

/// The rows of a table, in the order of its files.
pub(super) fn of<'a>(project: &'a Project, spec: &FileSpec) -> &'a [Entry] {
    let sheet = project.sheets.iter().find(|sheet| sheet.spec.path == spec.path);
    sheet.map_or(&[], |sheet| &sheet.entries)
}

/// What a row says in a column, by the column's name; `None` where it is empty.
pub(super) fn said<'a>(row: &'a Entry, column: &str) -> Option<&'a Value> {
    row.values().find(|(known, _)| known.name == column).and_then(|(_, value)| value)
}

/// Whether a row has something in each of these columns.
pub(super) fn says(row: &Entry, columns: &[&str]) -> bool {
    columns.iter().all(|column| said(row, column).is_some())
}

/// What a row says in all its columns but those that hold a name of its own, and its notes: rows of which this is the
/// same are alike.
pub(super) fn content(row: &Entry) -> Vec<String> {
    let own = |holds: Holds| matches!(holds, Holds::Id(_));
    let cells = row.values().filter(|(column, _)| !own(column.holds));
    let cells = cells.map(|(_, value)| value.map(|value| value.text(None)).unwrap_or_default());
    cells.chain(row.notes.iter().cloned()).collect()
}

/// What tells a row from others, as a part of an id: `P1.2031-04-07T0510`.
pub(super) fn name(row: &Entry, columns: &[&str]) -> String {
    let part = |column: &&str| {
        Some(match said(row, column)? {
            Value::Time(time) => time.format("%Y-%m-%dT%H%M").to_string(),
            value => plain(&value.text(None)),
        })
    };
    columns.iter().filter_map(part).collect::<Vec<_>>().join(".")
}

/// A text as a part of an id: letters, digits and points, with `-` for whatever stands between them and before a number
/// that is less than 0.
fn plain(text: &str) -> String {
    const LONGEST: usize = 40;
    let kept = |c: char| c.is_alphanumeric() || matches!(c, '.' | '-' | '_');
    let plain: String = text.chars().map(|c| if kept(c) { c } else { '-' }).collect();
    plain.chars().take(LONGEST).collect()
}
