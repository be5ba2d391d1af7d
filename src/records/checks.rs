//! `landing/checks.csv` and `landing/gaps.csv`: what was looked at while she landed and afterwards.

use chrono::{DateTime, FixedOffset};

use super::entry::Entry;
use super::place::Place;
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use crate::units::Quantity;

const LENGTH: Holds = Holds::Measure(Quantity::Length, Range::Any);

/// What `landing/checks.csv` holds.
pub static SPEC: FileSpec = FileSpec {
    path: "landing/checks.csv",
    row_is: "a landing check",
    example: include_str!("../../templates/example/landing/checks.csv"),
    columns: &[
        Column::always("position", Holds::Ref(Kind::Position), "the position"),
        Column::always(
            "check",
            Holds::Word(&[
                "diver-contact",
                "centreline",
                "wedge",
                "declivity",
                "end-gap",
                "second-survey",
                "other",
            ]),
            "what was checked",
        ),
        Column::optional("block", Holds::Ref(Kind::Block), "the block, where one was checked"),
        Column::optional("planned", Holds::Text, "what was planned, in words"),
        Column::optional("recorded", Holds::Text, "what was found, in words"),
        Column::optional(
            "planned_value",
            LENGTH,
            "what was planned, as a length; of a centreline the offset from the line it is checked against, + \
             to port",
        ),
        Column::optional(
            "recorded_value",
            LENGTH,
            "what was found, as a length; of a centreline the offset from the same line, + to port",
        ),
        Column::optional("as_planned", Holds::Flag, "whether the checker found it as planned"),
        Column::optional("by", Holds::Called, "who checked"),
        Column::optional("at", Holds::Time, "when"),
    ],
};

/// What `landing/gaps.csv` holds.
pub static GAPS_SPEC: FileSpec = FileSpec {
    path: "landing/gaps.csv",
    row_is: "a gap between a cap and the hull",
    example: include_str!("../../templates/example/landing/gaps.csv"),
    columns: &[
        Column::always("position", Holds::Ref(Kind::Position), "the position"),
        Column::always("block", Holds::Ref(Kind::Block), "the block"),
        Column::always(
            "gap",
            Holds::Measure(Quantity::Length, Range::NotNegative),
            "the gap found; 0 where the hull bears",
        ),
        Column::optional(
            "water_depth",
            Holds::Measure(Quantity::Length, Range::NotNegative),
            "depth of the water over the dock's floor at station 0 at the time; empty when dry",
        ),
        Column::optional("by", Holds::Called, "who measured"),
        Column::optional("at", Holds::Time, "when"),
    ],
};

/// What a landing check is called in a sentence, from its word in the file.
pub fn called(check: &str) -> String {
    match check {
        "diver-contact" => "divers' block check".to_string(),
        other => other.replace('-', " "),
    }
}

/// A landing check.
#[derive(Debug, Clone)]
pub struct LandingCheck {
    /// The position.
    pub position: String,
    /// What was checked, a word of the file's description.
    pub check: String,
    /// The block.
    pub block: Option<String>,
    /// Planned, in words.
    pub planned: Option<String>,
    /// Found, in words.
    pub recorded: Option<String>,
    /// Planned, m.
    pub planned_m: Option<f64>,
    /// Found, m.
    pub recorded_m: Option<f64>,
    /// The checker's own word whether it was as planned.
    pub as_planned: Option<bool>,
    /// Who checked.
    pub by: Option<String>,
    /// When.
    pub at: Option<DateTime<FixedOffset>>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

/// A gap that was measured.
#[derive(Debug, Clone)]
pub struct Gap {
    /// The position.
    pub position: String,
    /// The block.
    pub block: String,
    /// The gap, m.
    pub gap_m: f64,
    /// Depth of the water over the dock's floor at station 0, m; `None` when the dock was dry.
    pub water_depth_m: Option<f64>,
    /// Who measured.
    pub by: Option<String>,
    /// When.
    pub at: Option<DateTime<FixedOffset>>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl LandingCheck {
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        Some(Self {
            position: entry.text("position")?,
            check: entry.text("check")?,
            block: entry.text("block"),
            planned: entry.text("planned"),
            recorded: entry.text("recorded"),
            planned_m: entry.number("planned_value"),
            recorded_m: entry.number("recorded_value"),
            as_planned: entry.flag("as_planned"),
            by: entry.text("by"),
            at: entry.time("at"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}

impl Gap {
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        Some(Self {
            position: entry.text("position")?,
            block: entry.text("block")?,
            gap_m: entry.number("gap")?,
            water_depth_m: entry.number("water_depth"),
            by: entry.text("by"),
            at: entry.time("at"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}
