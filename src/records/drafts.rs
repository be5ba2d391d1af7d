//! `landing/drafts.csv`: readings of the draft marks.

use chrono::{DateTime, FixedOffset};

use super::entry::Entry;
use super::place::Place;
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use crate::units::Quantity;

const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);

/// The occasions on which drafts are read.
pub(super) const OCCASIONS: &[&str] = &["arrival", "before-landing", "lift-off", "departure"];

/// What the file holds.
pub static SPEC: FileSpec = FileSpec {
    path: "landing/drafts.csv",
    row_is: "a reading of a draft mark",
    example: include_str!("../../templates/example/landing/drafts.csv"),
    columns: &[
        Column::optional(
            "position",
            Holds::Ref(Kind::Position),
            "the position; empty for arrival and departure",
        ),
        Column::always("occasion", Holds::Word(OCCASIONS), "when in the docking it was read"),
        Column::always("mark_x", PLACE, "x of the mark"),
        Column::always("mark_y", PLACE, "y of the mark, + to port"),
        Column::always("draft", Holds::Draft, "draft read; in feet also as 17-06"),
        Column::optional(
            "water_density",
            Holds::Measure(Quantity::Density, Range::Positive),
            "density of the dock's water at the time",
        ),
        Column::optional("at", Holds::Time, "when it was read"),
        Column::optional("by", Holds::Called, "who read it"),
    ],
};

/// When in the docking drafts were read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Occasion {
    /// On arrival.
    Arrival,
    /// Before landing on the blocks.
    BeforeLanding,
    /// When she lifted off.
    LiftOff,
    /// On departure.
    Departure,
}

impl Occasion {
    /// Every occasion, in order.
    pub const ALL: [Occasion; 4] =
        [Occasion::Arrival, Occasion::BeforeLanding, Occasion::LiftOff, Occasion::Departure];

    /// Its word in the file.
    pub fn word(self) -> &'static str {
        OCCASIONS[self as usize]
    }
}

/// A reading of a draft mark.
#[derive(Debug, Clone)]
pub struct DraftReading {
    /// The position, if it belongs to one.
    pub position: Option<String>,
    /// The occasion.
    pub occasion: Occasion,
    /// x of the mark, m.
    pub mark_x_m: f64,
    /// y of the mark, m.
    pub mark_y_m: f64,
    /// Draft, m.
    pub draft_m: f64,
    /// Density of the water, t/m3.
    pub water_density_t_m3: Option<f64>,
    /// When.
    pub at: Option<DateTime<FixedOffset>>,
    /// Who read it.
    pub by: Option<String>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl DraftReading {
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        let word = entry.text("occasion")?;
        Some(Self {
            position: entry.text("position"),
            occasion: Occasion::ALL.into_iter().find(|occasion| occasion.word() == word)?,
            mark_x_m: entry.number("mark_x")?,
            mark_y_m: entry.number("mark_y")?,
            draft_m: entry.number("draft")?,
            water_density_t_m3: entry.number("water_density"),
            at: entry.time("at"),
            by: entry.text("by"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}
