//! Rows that were carried forward from an earlier docking to be read again: what names the place is there, the reading
//! is not. Until it is filled in, such a row is no record.

use super::entry::Entry;
use super::place::Place;
use super::problem::Problem;
use super::spec::{Column, FileSpec};

/// The column that says from which docking a row was carried, and the key that says it of a table.
pub const CARRIED: &str = "note_carried";

/// The files of which rows are carried without their readings, and the columns of these: a row is one that is still to be
/// read as long as all of them are blank. A draft that is planned makes a record of its row too.
const READINGS: &[(&str, &[&str])] = &[
    ("hull/plating.csv", &["measured"]),
    ("landing/drafts.csv", &["draft", "planned_draft"]),
    ("positions/marks.csv", &["dock_station", "dock_offset"]),
];

/// The names, without unit, of the columns that a file's carried rows are still to be filled in for; none where its rows
/// count as they are.
pub fn readings(spec: &FileSpec) -> &'static [&'static str] {
    let found = READINGS.iter().find(|(path, _)| *path == spec.path);
    found.map_or(&[], |(_, columns)| columns)
}

/// Whether a file is one of these.
pub fn is_read_again(path: &str) -> bool {
    READINGS.iter().any(|(known, _)| *known == path)
}

/// Whether a column is one of these.
pub(super) fn is_reading(spec: &FileSpec, column: &Column) -> bool {
    readings(spec).contains(&column.name)
}

/// What is said of the rows of a file that are still to be read.
pub(super) fn warning(spec: &FileSpec, rows: &[Entry]) -> Option<Problem> {
    let first = rows.first()?;
    let read = readings(spec).iter().copied().filter(|name| !name.starts_with("planned"));
    let wanted = read.collect::<Vec<_>>().join(" or ");
    let (rows, so) = match rows.len() {
        1 => ("1 row that was carried forward has".to_string(), "is no record"),
        count => (format!("{count} rows that were carried forward have"), "are no records"),
    };
    let place = Place { name: "".into(), ..first.place.clone() };
    Some(
        Problem::new(place, format!("{rows} no reading in {wanted} yet, and so {so}"))
            .expected(format!("in {wanted} what is read in this docking"))
            .advice("fill it in; remove what is not read this time"),
    )
}
