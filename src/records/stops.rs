//! `landing/stops.csv`: the levels at which the pumping is planned to be stopped, and why.

use chrono::{DateTime, FixedOffset};

use super::record::record;
use super::spec::{Kind, PLACE, Range};
use crate::units::Quantity;

record! {
    #[derive(Debug, Clone)]
    pub struct Stop: SPEC = "a planned stop of the pumping" in "landing/stops.csv", at most 100 {
        position: String = always("position", Ref(Kind::Position), "the position"),
        level_m: f64 = always("level", PLACE, "level of the water above the dock's level datum"),
        why: String = always("why", Text, "what the pumping is stopped for"),
        planned_at: Option<DateTime<FixedOffset>> = optional(
            "planned_at",
            Time,
            "when it is planned to be reached",
        ),
        gap_rate_m_per_h: Option<f64> = optional(
            "gap_rate",
            Measure(Quantity::LevelRate, Range::Positive),
            "the fastest that a gap may close on the way to it, where it differs from the limit of the docking",
        ),
    }
}
