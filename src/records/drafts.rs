//! `landing/drafts.csv`: readings of the draft marks.

use chrono::{DateTime, FixedOffset};

use super::record::{record, words};
use super::spec::{Kind, PLACE, Range};
use crate::units::Quantity;

words! {
    /// When in the docking drafts were read.
    pub enum Occasion {
        Arrival = "arrival",
        BeforeLanding = "before-landing",
        LiftOff = "lift-off",
        Departure = "departure",
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct DraftReading: SPEC = "a reading of a draft mark" in "landing/drafts.csv" {
        position: Option<String> = optional(
            "position",
            Ref(Kind::Position),
            "the position; empty for arrival and departure",
        ),
        occasion: Occasion = always("occasion", Word(Occasion::WORDS), "when in the docking it was \
             read"),
        mark_x_m: f64 = always("mark_x", PLACE, "x of the mark"),
        mark_y_m: f64 = always("mark_y", PLACE, "y of the mark, + to port"),
        draft_m: f64 = always("draft", Draft, "draft read; in feet, also written as 17-06"),
        water_density_t_m3: Option<f64> = optional(
            "water_density",
            Measure(Quantity::Density, Range::Positive),
            "density of the dock's water at the time",
        ),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when it was read"),
        by: Option<String> = optional("by", Called, "who read it"),
    }
}
