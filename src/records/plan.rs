//! What the approved docking plan offers: `plan/positions.csv`, and `[plan]` in `docking.toml`.

use chrono::NaiveDate;

use super::record::record;
use super::spec::{Kind, PLACE, Range};
use crate::hull::Lie;

record! {
    /// A position that the plan offers. Whether she is put there is for `positions/positions.csv` to say.
    #[derive(Debug, Clone)]
    pub struct PlanPosition: SPEC = "a position that the docking plan offers" in "plan/positions.csv", at most 12 {
        id: String = always("plan_position", Id(Kind::PlanPosition), "its name in the plan"),
        srp_station_m: f64 = always("srp_station", PLACE, "station of the stern reference point there"),
        offset_m: Option<f64> = optional(
            "offset",
            PLACE,
            "offset of the centreline there, + to port; 0 if empty",
        ),
        left_out: Option<Vec<String>> = optional(
            "left_out",
            Refs(Kind::Block),
            "blocks that the plan leaves out there; every other one stands",
        ),
        source: Option<String> = optional(
            "source",
            Text,
            "where the plan says so: number, sheet and revision of the drawing",
        ),
    }
}

impl PlanPosition {
    /// Where she would lie.
    pub fn lie(&self) -> Lie {
        Lie {
            srp_station_m: self.srp_station_m,
            centreline_offset_m: self.offset_m.unwrap_or(0.0),
            yaw_deg: 0.0,
        }
    }

    pub fn leaves_out(&self, block: &str) -> bool {
        self.left_out.iter().flatten().any(|left_out| left_out == block)
    }
}

record! {
    /// What is known of the plan as a whole.
    #[derive(Debug, Clone, Default)]
    pub struct Plan: TABLE = [plan] "the docking plan" {
        cost_of_a_landing: Option<f64> = optional(
            "cost_of_a_landing",
            Number(Range::Positive),
            "what it costs to land her once more, in the currency",
        ),
        currency: Option<String> = optional("currency", Called, "the currency of that"),
        chosen_by: Option<String> = optional(
            "chosen_by",
            Called,
            "on whose word the positions of this docking were chosen",
        ),
        chosen_on: Option<NaiveDate> = optional("chosen_on", Date, "on which day"),
        chosen_because: Option<String> = optional(
            "chosen_because",
            Text,
            "why these and no others, for those who choose next time",
        ),
    }
}
