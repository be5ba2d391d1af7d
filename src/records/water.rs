//! `landing/water.csv`: the dock's water level.

use chrono::{DateTime, FixedOffset};

use super::entry::Entry;
use super::place::Place;
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use crate::units::Quantity;

/// The events that a log may name.
pub(super) const EVENTS: &[&str] = &[
    "flooding-began",
    "pumping-began",
    "first-touch",
    "landed",
    "halt",
    "pumping-resumed",
    "diver-down",
    "diver-up",
    "dry",
    "reflood-began",
    "lift-off",
    "afloat",
    "other",
];

/// What the file holds.
pub static SPEC: FileSpec = FileSpec {
    path: "landing/water.csv",
    row_is: "a dock water level",
    example: include_str!("../../templates/example/landing/water.csv"),
    columns: &[
        Column::always("position", Holds::Ref(Kind::Position), "the position"),
        Column::always("at", Holds::Time, "when it was read"),
        Column::always(
            "level",
            Holds::Measure(Quantity::Length, Range::Any),
            "level of the water above the dock's level datum",
        ),
        Column::optional("event", Holds::Word(EVENTS), "what happened then"),
        Column::optional("by", Holds::Called, "who read it"),
    ],
};

/// A dock water level.
#[derive(Debug, Clone)]
pub struct WaterLevel {
    /// The position.
    pub position: String,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// Level, m.
    pub level_m: f64,
    /// What happened then.
    pub event: Option<String>,
    /// Who read it.
    pub by: Option<String>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl WaterLevel {
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        Some(Self {
            position: entry.text("position")?,
            at: entry.time("at")?,
            level_m: entry.number("level")?,
            event: entry.text("event"),
            by: entry.text("by"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}
