//! `landing/crossings.csv`: when she crossed the sill, and the water over it.

use chrono::{DateTime, FixedOffset};

use super::record::{record, words};
use super::spec::{PLACE, SIZE};

words! {
    /// Which way she crossed the sill.
    pub enum Direction {
        In = "in",
        Out = "out",
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Crossing: SPEC = "a crossing of the sill" in "landing/crossings.csv", at most 100 {
        direction: Direction = always("direction", Word(Direction::WORDS), "into the dock or out of it"),
        at: DateTime<FixedOffset> = always("at", Time, "when she was over the sill"),
        level_m: f64 = always("level", PLACE, "level of the water above the dock's level datum then"),
        draft_aft_m: Option<f64> = optional(
            "draft_aft",
            SIZE,
            "draft at the aft perpendicular, where it was another than that of the survey next to it in time",
        ),
        draft_forward_m: Option<f64> = optional(
            "draft_forward",
            SIZE,
            "the same at the forward perpendicular",
        ),
        by: Option<String> = optional("by", Called, "who noted it"),
    }
}
