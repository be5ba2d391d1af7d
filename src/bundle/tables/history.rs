//! What the earlier dockings and this one say together, as tables.

use super::column::TableColumn;
use super::recomputed::{AREA, figure, piece_columns, table};
use super::table::Table;
use crate::findings::Examined;
use crate::findings::recomputed::history::{History, Lies};
use crate::records::spec::{Holds, Range};
use crate::units::Quantity;

/// The tables; none where there is no earlier docking.
pub(super) fn tables(examined: &Examined) -> Vec<Table> {
    let history = examined.recomputed.history.as_ref();
    history.into_iter().flat_map(|history| [never_exposed(history), uppermost(history)]).collect()
}

fn never_exposed(history: &History) -> Table {
    let rows = history.never_exposed.iter().enumerate().map(|(n, piece)| {
        let mut row = vec![(n + 1).to_string()];
        row.extend(piece.extent.map(figure));
        row.push(figure(piece.area_m2));
        row
    });
    table(
        "history-never-exposed",
        "one row is a piece of the bottom that blocks hid in every position of every docking on record that \
         can be placed, from aft to forward",
        &["piece"],
        piece_columns(),
        rows.collect(),
    )
}

/// The words for what lies uppermost.
const LIES: &[&str] = &["coat", "blasted", "not-known", "none"];

fn uppermost(history: &History) -> Table {
    const HOURS_IN_A_DAY: f64 = 24.0;
    let row = |docking: &str, lies: &str, day: String, age: String, area_m2: f64| {
        vec![docking.to_string(), lies.to_string(), day, age, figure(area_m2)]
    };
    let mut rows: Vec<Vec<String>> = Vec::new();
    for one in &history.uppermost {
        let (lies, day) = match one.lies {
            Lies::Coat(day) => ("coat", day.to_string()),
            Lies::Blasted => ("blasted", String::new()),
            Lies::NotKnown => ("not-known", String::new()),
        };
        let docking = history.dockings.get(one.docking).map_or("", |docked| &docked.name);
        let age = figure(one.age_d.map(|days| days as f64 * HOURS_IN_A_DAY));
        rows.push(row(docking, lies, day, age, one.area_m2));
    }
    if !history.no_coat.0.is_empty() {
        let area = crate::calc::plane::area_m2(&history.no_coat);
        rows.push(row("", "none", String::new(), String::new(), area));
    }
    table(
        "uppermost",
        "one row is the part of the bottom on which one docking's coat of one day lies uppermost, the newest \
         first; areas in plan",
        &[],
        vec![
            TableColumn::optional("docking", Holds::Text, "the name of that docking's bundle"),
            TableColumn::always(
                "lies",
                Holds::Word(LIES),
                "a coat; none, since it was blasted and not coated again; not known, since what its coats \
                 reached can't be told; or none on record",
            ),
            TableColumn::optional("day", Holds::Date, "the day on which the coat was finished"),
            TableColumn::optional(
                "age",
                Holds::Measure(Quantity::Duration, Range::Any),
                "from that day to the last day of the newest docking",
            ),
            TableColumn::always("area", AREA, "its area in plan"),
        ],
        rows,
    )
}
