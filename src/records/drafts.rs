//! `landing/drafts.csv`: readings of the draft marks.

use chrono::{DateTime, FixedOffset};

use super::entry::Entry;
use super::input::Input;
use super::problem::Problem;
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
        planned_draft_m: Option<f64> = optional(
            "planned_draft",
            Draft,
            "draft that is planned at that mark",
        ),
        draft_m: Option<f64> = optional(
            "draft",
            Draft,
            "draft read; in feet, also written as 17-06; empty while it is only planned",
        ),
        water_density_t_m3: Option<f64> = optional(
            "water_density",
            Measure(Quantity::Density, Range::Positive),
            "density of the dock's water at the time; that expected while the draft is only planned",
        ),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when it was read"),
        by: Option<String> = optional("by", Called, "who read it"),
    }
}

impl DraftReading {
    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let drafts = [&Self::draft_m, &Self::planned_draft_m];
        if drafts.iter().all(|column| entry.value(column).is_none()) {
            if input.is_told_of(&SPEC, entry, &Self::draft_m) {
                return None;
            }
            input.problems.add(
                Problem::new(entry.place_of(&Self::draft_m), "is empty")
                    .expected("a value: draft read, or in planned_draft the draft that is planned")
                    .advice("fill in what was read, or remove the row"),
            );
            return None;
        }
        Self::from_entry(entry)
    }

    /// Whether the draft was read, and is not only planned.
    pub fn is_read(&self) -> bool {
        self.draft_m.is_some()
    }

    /// The row as it would stand if the draft were read as planned; `None` where none is planned.
    pub fn as_planned(&self) -> Option<Self> {
        let draft_m = Some(self.planned_draft_m?);
        Some(Self { draft_m, at: None, by: None, ..self.clone() })
    }
}
