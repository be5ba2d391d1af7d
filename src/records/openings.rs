//! `plan/openings.csv` and `plan/opened.csv`: the register of through-hull openings.

use chrono::{DateTime, FixedOffset};
use geo::Coord;

use super::bounds::Bounds;
use super::entry::Entry;
use super::input::Input;
use super::problem::Problem;
use super::record::record;
use super::spec::{FileSpec, Kind, PLACE, Range, SIZE};
use crate::hull::{Outline, Rectangle};
use crate::units::Quantity;

record! {
    #[derive(Debug, Clone)]
    pub struct Opening: SPEC = "a through-hull opening" in "plan/openings.csv" {
        id: String = always("opening", Id(Kind::Opening), "the opening's name"),
        kind: String = always(
            "kind",
            Word(&[
                "sea-chest",
                "overboard",
                "intake",
                "docking-plug",
                "echo-sounder",
                "speed-log",
                "shaft",
                "rudder",
                "thruster",
                "other",
            ]),
            "what kind of opening it is",
        ),
        x = always("x", PLACE, "x of its centre"),
        y = always("y", PLACE, "y of its centre"),
        z_m: Option<f64> = optional("z", PLACE, "z of its centre"),
        length = optional("length_fore_and_aft", SIZE, "its length fore and aft").or_named("length"),
        width = optional("width_athwart", SIZE, "its width athwart").or_named("width"),
        diameter = optional("diameter", SIZE, "its diameter, if it is round"),
        side: Option<String> = optional(
            "side",
            Word(&["port", "starboard", "centre"]),
            "the side of the ship it is on",
        ),
        frame: Option<f64> = optional("frame", Number(Range::Any), "the frame it is at"),
        clearance_wanted_m: Option<f64> = optional(
            "clearance_wanted",
            Measure(Quantity::Length, Range::NotNegative),
            "clear distance wanted to the nearest cap",
        ),
        valve_tag: Option<String> = optional("valve_tag", Text, "the tag of its valve"),
        opened_at = optional("opened_at", Time, "when it was opened"),
        opened_by = optional("opened_by", Called, "who opened it"),
        closed_at = optional("closed_at", Time, "when it was closed"),
        closed_by = optional("closed_by", Called, "who closed it"),
        tested_how = optional("tested_how", Text, "how its tightness was tested"),
        state: Option<String> = optional("state", Text, "its state as found, in words"),
    }
    with {
        /// Its centre in hull axes.
        centre: Coord<f64>,
        /// Its shape in plan.
        outline: Outline,
    }
}

record! {
    /// One time that an opening was opened and closed again; the first may stand beside the opening itself.
    #[derive(Debug, Clone)]
    pub struct Opened: OPENED_SPEC =
        "one occasion on which an opening was opened and closed" in "plan/opened.csv"
    {
        opening: String = always("opening", Ref(Kind::Opening), "the opening"),
        opened_at: Option<DateTime<FixedOffset>> = optional("opened_at", Time, "when it was opened"),
        opened_by: Option<String> = optional("opened_by", Called, "who opened it"),
        closed_at: Option<DateTime<FixedOffset>> = optional("closed_at", Time, "when it was closed"),
        closed_by: Option<String> = optional("closed_by", Called, "who closed it"),
        tested_how: Option<String> = optional("tested_how", Text, "how its tightness was tested"),
    }
}

impl Opening {
    /// Whether it is a docking plug, through which the ship is drained in dock.
    pub fn is_docking_plug(&self) -> bool {
        self.kind == "docking-plug"
    }

    /// The clear distance wanted for it, m: its own, or the project's limit for all.
    pub fn wants_clear_m(&self, bounds: &Bounds) -> Option<f64> {
        let limit = || bounds.limit("opening_clearance").map(|limit| limit.value);
        self.clearance_wanted_m.or_else(limit)
    }

    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let centre = Coord { x: entry.get(&Self::x)?, y: entry.get(&Self::y)? };
        let [diameter, length, width]: [Option<f64>; 3] =
            [&Self::diameter, &Self::length, &Self::width].map(|column| entry.get(column));
        let outline = match (diameter, length, width) {
            (Some(diameter_m), None, None) => Outline::Round { centre, diameter_m },
            (None, Some(length_m), Some(width_m)) => {
                Outline::Rectangular(Rectangle { centre, length_m, width_m, turn_deg: 0.0 })
            }
            _ => {
                let wrong = if diameter.is_some() {
                    "has a diameter and a length or a width"
                } else {
                    "has no complete size"
                };
                input.problems.add(
                    Problem::new(entry.place.clone(), wrong)
                        .value(entry.get::<String>(&Self::id)?)
                        .expected("a diameter, or a length and a width, not both")
                        .advice("give one or the other"),
                );
                return None;
            }
        };
        Self::from_entry(entry, centre, outline)
    }
}

impl Opened {
    /// What the rows of both files say of opening and closing.
    pub(super) fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        let rows = input.rows(&SPEC).chain(input.rows(spec));
        rows.filter_map(Self::from_entry).filter(Self::says_something).collect()
    }

    fn says_something(&self) -> bool {
        self.opened_at.is_some()
            || self.opened_by.is_some()
            || self.closed_at.is_some()
            || self.closed_by.is_some()
            || self.tested_how.is_some()
    }
}
