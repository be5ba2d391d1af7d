//! `landing/water.csv`: the dock's water level.

use chrono::{DateTime, FixedOffset};

use super::record::record;
use super::spec::{Kind, PLACE};

record! {
    #[derive(Debug, Clone)]
    pub struct WaterLevel: SPEC = "a dock water level" in "landing/water.csv" {
        position: String = always("position", Ref(Kind::Position), "the position"),
        at: DateTime<FixedOffset> = always("at", Time, "when it was read"),
        level_m: f64 = always("level", PLACE, "level of the water above the dock's level datum"),
        event: Option<String> = optional(
            "event",
            Word(&[
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
            ]),
            "what happened then",
        ),
        by: Option<String> = optional("by", Called, "who read it"),
    }
}
