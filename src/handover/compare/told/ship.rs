//! The ship's own data.

use super::{Comparison, Section, Shown, Table, name, words};
use crate::handover::compare::{Change, Datum};

pub(super) fn section(comparison: &Comparison) -> Section {
    let data = &comparison.ship;
    let same = data.iter().filter(|datum| datum.change == Change::Same).count();
    let lead = match (data.len(), data.len() - same) {
        (0, _) => "No particulars of the ship are recorded in either docking.".to_string(),
        (all, 0) => format!("All {all} recorded particulars of the ship are as they were."),
        (all, 1) => format!("1 of {all} recorded particulars of the ship has changed."),
        (all, other) => {
            format!("{other} of {all} recorded particulars of the ship have changed.")
        }
    };
    let mut section = Section::new("The ship's own particulars", lead);
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
