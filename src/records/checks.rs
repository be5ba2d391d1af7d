//! `landing/checks.csv` and `landing/gaps.csv`: what was looked at while she landed and afterwards.

use chrono::{DateTime, FixedOffset};

use super::record::record;
use super::spec::{Kind, PLACE, Range};
use crate::units::Quantity;

record! {
    #[derive(Debug, Clone)]
    pub struct LandingCheck: SPEC = "a landing check" in "landing/checks.csv" {
        position: String = always("position", Ref(Kind::Position), "the position"),
        check: String = always(
            "check",
            Word(&[
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
        block: Option<String> = optional("block", Ref(Kind::Block), "the block, where one was checked"),
        planned: Option<String> = optional("planned", Text, "what was planned, in words"),
        recorded: Option<String> = optional("recorded", Text, "what was found, in words"),
        planned_m: Option<f64> = optional(
            "planned_value",
            PLACE,
            "what was planned, as a length; for a centreline the offset from the line it is checked \
             against, + to port",
        ),
        recorded_m: Option<f64> = optional(
            "recorded_value",
            PLACE,
            "what was found, as a length; for a centreline the offset from the same line, + to port",
        ),
        as_planned: Option<bool> = optional(
            "as_planned",
            Flag,
            "whether the checker found it as planned",
        ),
        by: Option<String> = optional("by", Called, "who checked"),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when"),
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Gap: GAPS_SPEC = "a gap between a cap and the hull" in "landing/gaps.csv" {
        position: String = always("position", Ref(Kind::Position), "the position"),
        block: String = always("block", Ref(Kind::Block), "the block"),
        gap_m: f64 = always(
            "gap",
            Measure(Quantity::Length, Range::NotNegative),
            "the gap found; 0 where the hull bears",
        ),
        water_depth_m: Option<f64> = optional(
            "water_depth",
            Measure(Quantity::Length, Range::NotNegative),
            "depth of the water over the dock's floor at station 0 at the time; empty when dry",
        ),
        by: Option<String> = optional("by", Called, "who measured"),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when"),
    }
}

/// What a landing check is called in a sentence, from its word in the file.
pub fn called(check: &str) -> String {
    match check {
        "diver-contact" => "divers' block check".to_string(),
        other => other.replace('-', " "),
    }
}
