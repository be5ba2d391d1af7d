//! The ship's own data.

use super::{Comparison, Section, Shown, Table, name, words};
use crate::handover::compare::{Change, Datum};

pub(super) fn section(comparison: &Comparison) -> Section {
    let data = &comparison.ship;
    let same = data.iter().filter(|datum| datum.change == Change::Same).count();
    let lead = match (data.len(), data.len() - same) {
        (all, 0) => format!("All {all} data of the ship that are recorded are as they were."),
        (all, 1) => format!("Of {all} data of the ship that are recorded, 1 is not as it was."),
        (all, other) => {
            format!("Of {all} data of the ship that are recorded, {other} are not as they were.")
        }
    };
    let mut section = Section::new("The ship's own data", lead);
    table("All that is recorded of the ship:", data.iter()).shown(Shown::Paper).to(&mut section);
    table("Not as it was:", data.iter().filter(|datum| datum.change != Change::Same))
        .shown(Shown::Screen)
        .to(&mut section);
    section
}

fn table<'a>(about: &str, data: impl Iterator<Item = &'a Datum>) -> Table {
    let row = |datum: &Datum| {
        [
            Some(datum.what.to_string()),
            datum.older.clone(),
            datum.newer.clone(),
            Some(datum.change.word().to_string()),
        ]
    };
    Table::new(about, [words("What"), words("Then"), words("Now"), name("Now against then")])
        .rows(data.map(row))
}
