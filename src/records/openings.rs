//! `plan/openings.csv` and `plan/opened.csv`: the register of through-hull openings.

use chrono::{DateTime, FixedOffset};
use geo::Coord;

use super::bounds::Bounds;
use super::entry::Entry;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use crate::hull::{Outline, Rectangle};
use crate::units::Quantity;

const SIZE: Holds = Holds::Measure(Quantity::Length, Range::Positive);
const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);

const OPENED_AT: Column = Column::optional("opened_at", Holds::Time, "when it was opened");
const OPENED_BY: Column = Column::optional("opened_by", Holds::Called, "who opened it");
const CLOSED_AT: Column = Column::optional("closed_at", Holds::Time, "when it was closed");
const CLOSED_BY: Column = Column::optional("closed_by", Holds::Called, "who closed it");
const TESTED_HOW: Column =
    Column::optional("tested_how", Holds::Text, "how its tightness was tested");

/// What `plan/openings.csv` holds.
pub static SPEC: FileSpec = FileSpec {
    path: "plan/openings.csv",
    row_is: "a through-hull opening",
    example: include_str!("../../templates/example/plan/openings.csv"),
    columns: &[
        Column::always("opening", Holds::Id(Kind::Opening), "the opening's name"),
        Column::always(
            "kind",
            Holds::Word(&[
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
        Column::always("x", PLACE, "x of its centre"),
        Column::always("y", PLACE, "y of its centre"),
        Column::optional("z", PLACE, "z of its centre"),
        Column::optional("length_fore_and_aft", SIZE, "its length fore and aft").or_named("length"),
        Column::optional("width_athwart", SIZE, "its width athwart").or_named("width"),
        Column::optional("diameter", SIZE, "its diameter, if it is round"),
        Column::optional(
            "side",
            Holds::Word(&["port", "starboard", "centre"]),
            "the side on which it is",
        ),
        Column::optional("frame", Holds::Number(Range::Any), "the frame at which it is"),
        Column::optional(
            "clearance_wanted",
            Holds::Measure(Quantity::Length, Range::NotNegative),
            "clear distance wanted to the nearest cap",
        ),
        Column::optional("valve_tag", Holds::Text, "the tag of its valve"),
        OPENED_AT,
        OPENED_BY,
        CLOSED_AT,
        CLOSED_BY,
        TESTED_HOW,
        Column::optional("state", Holds::Text, "its state as found, in words"),
    ],
};

/// What `plan/opened.csv` holds.
pub static OPENED_SPEC: FileSpec = FileSpec {
    path: "plan/opened.csv",
    row_is: "one time that an opening was opened and closed",
    example: include_str!("../../templates/example/plan/opened.csv"),
    columns: &[
        Column::always("opening", Holds::Ref(Kind::Opening), "the opening"),
        OPENED_AT,
        OPENED_BY,
        CLOSED_AT,
        CLOSED_BY,
        TESTED_HOW,
    ],
};

/// A through-hull opening.
#[derive(Debug, Clone)]
pub struct Opening {
    /// Its name.
    pub id: String,
    /// Its kind, a word of the file's description.
    pub kind: String,
    /// Its centre in hull axes.
    pub centre: Coord<f64>,
    /// Height of its centre above the underside of the keel, m.
    pub z_m: Option<f64>,
    /// Its shape in plan.
    pub outline: Outline,
    /// Recorded side: `port`, `starboard` or `centre`.
    pub side: Option<String>,
    /// Recorded frame.
    pub frame: Option<f64>,
    /// Clear distance wanted, m.
    pub clearance_wanted_m: Option<f64>,
    /// Tag of its valve.
    pub valve_tag: Option<String>,
    /// State as found.
    pub state: Option<String>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
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
}

/// One time that an opening was opened and closed again.
#[derive(Debug, Clone)]
pub struct Opened {
    /// The opening.
    pub opening: String,
    /// When it was opened.
    pub opened_at: Option<DateTime<FixedOffset>>,
    /// By whom.
    pub opened_by: Option<String>,
    /// When it was closed.
    pub closed_at: Option<DateTime<FixedOffset>>,
    /// By whom.
    pub closed_by: Option<String>,
    /// How it was tested.
    pub tested_how: Option<String>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Where it is recorded.
    pub place: Place,
}

impl Opening {
    pub(super) fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let centre = Coord { x: entry.number("x")?, y: entry.number("y")? };
        let (diameter, length, width) = (
            entry.number("diameter"),
            entry.number("length_fore_and_aft"),
            entry.number("width_athwart"),
        );
        let outline = match (diameter, length, width) {
            (Some(diameter_m), None, None) => Outline::Round { centre, diameter_m },
            (None, Some(length_m), Some(width_m)) => {
                Outline::Rectangular(Rectangle { centre, length_m, width_m, turn_deg: 0.0 })
            }
            _ => {
                let wrong = if diameter.is_some() {
                    "has a diameter and a length or a width"
                } else {
                    "has no size that can be drawn"
                };
                problems.add(
                    Problem::new(entry.place.clone(), wrong)
                        .value(entry.text("opening")?)
                        .expected("a diameter, or a length and a width, and not both")
                        .advice("give one of the two"),
                );
                return None;
            }
        };
        Some(Self {
            id: entry.text("opening")?,
            kind: entry.text("kind")?,
            centre,
            z_m: entry.number("z"),
            outline,
            side: entry.text("side"),
            frame: entry.number("frame"),
            clearance_wanted_m: entry.number("clearance_wanted"),
            valve_tag: entry.text("valve_tag"),
            state: entry.text("state"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}

impl Opened {
    /// What an entry of either file says of opening and closing; `None` if it says nothing.
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        let opened = Self {
            opening: entry.text("opening")?,
            opened_at: entry.time("opened_at"),
            opened_by: entry.text("opened_by"),
            closed_at: entry.time("closed_at"),
            closed_by: entry.text("closed_by"),
            tested_how: entry.text("tested_how"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        };
        let says = opened.opened_at.is_some()
            || opened.opened_by.is_some()
            || opened.closed_at.is_some()
            || opened.closed_by.is_some()
            || opened.tested_how.is_some();
        says.then_some(opened)
    }
}
