//! `positions/positions.csv` and `positions/marks.csv`: docking positions and sightings.

use chrono::{DateTime, FixedOffset};
use geo::Coord;

use super::entry::Entry;
use super::input::Input;
use super::problem::Problem;
use super::record::record;
use super::spec::{Kind, PLACE, Range, SIZE};
use crate::units::Quantity;

record! {
    /// A docking position.
    // A column's meaning names a table in brackets, which is no link.
    #[allow(rustdoc::broken_intra_doc_links)]
    #[derive(Debug, Clone)]
    pub struct Position: SPEC = "a docking position" in "positions/positions.csv", at most 12 {
        id: String = always("position", Id(Kind::Position), "the position's name"),
        planned_srp_station_m: Option<f64> = optional(
            "planned_srp_station",
            PLACE,
            "planned station of the stern reference point",
        ),
        planned_offset_m: Option<f64> = optional(
            "planned_offset",
            PLACE,
            "planned offset of the centreline there, + to port",
        ).or_named("planned_centreline_offset"),
        recorded_srp_station_m: Option<f64> = optional(
            "recorded_srp_station",
            PLACE,
            "recorded station of the stern reference point",
        ),
        recorded_offset_m: Option<f64> = optional(
            "recorded_offset",
            PLACE,
            "recorded offset of the centreline there, + to port",
        ).or_named("recorded_centreline_offset"),
        recorded_yaw_deg: Option<f64> = optional(
            "yaw",
            Measure(Quantity::Angle, Range::Any),
            "recorded yaw, + bow to port",
        ),
        kg_m: Option<f64> = optional(
            "kg",
            SIZE,
            "KG in this position, with free surface correction; if empty, the one in [stability]",
        ),
        flooding_began = optional("flooding_began", Time, "when the dock was flooded for it"),
        touched = optional("touched", Time, "when she first touched the blocks"),
        landed = optional("landed", Time, "when she was landed fore and aft"),
        dry = optional("dry", Time, "when the dock was dry"),
        reflood_began = optional("reflood_began", Time, "when the water was let in again"),
        afloat = optional("afloat", Time, "when she was afloat again"),
    }
    with {
        times: Times,
    }
}

/// The times of a position, in the order in which they must follow each other.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Times {
    /// Water let into the dock for this position.
    pub flooding_began: Option<DateTime<FixedOffset>>,
    pub touched: Option<DateTime<FixedOffset>>,
    /// Landed fore and aft.
    pub landed: Option<DateTime<FixedOffset>>,
    pub dry: Option<DateTime<FixedOffset>>,
    pub reflood_began: Option<DateTime<FixedOffset>>,
    pub afloat: Option<DateTime<FixedOffset>>,
}

impl Times {
    /// The times by name, in order.
    pub fn in_order(&self) -> [(&'static str, Option<DateTime<FixedOffset>>); 6] {
        [
            ("flooding began", self.flooding_began),
            ("touched", self.touched),
            ("landed", self.landed),
            ("dry", self.dry),
            ("reflood began", self.reflood_began),
            ("afloat", self.afloat),
        ]
    }
}

record! {
    /// A sighting: a mark on the hull seen at a place in the dock.
    #[derive(Debug, Clone)]
    pub struct Sighting: MARKS_SPEC = "a sighting" in "positions/marks.csv" {
        position: String = always("position", Ref(Kind::Position), "the position"),
        mark: String = always("mark", Name, "the mark on the hull"),
        hull_x = always("hull_x", PLACE, "x of the mark"),
        hull_y = always("hull_y", PLACE, "y of the mark"),
        dock_station_m: Option<f64> = optional("dock_station", PLACE, "station at which it was seen"),
        dock_offset_m: Option<f64> = optional(
            "dock_offset",
            PLACE,
            "offset at which it was seen, + to port",
        ),
        read_by: Option<String> = optional("read_by", Called, "who read it"),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when it was read"),
    }
    with {
        /// The mark's place on the hull.
        hull: Coord<f64>,
    }
}

impl Position {
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        let times = Times {
            flooding_began: entry.get(&Self::flooding_began),
            touched: entry.get(&Self::touched),
            landed: entry.get(&Self::landed),
            dry: entry.get(&Self::dry),
            reflood_began: entry.get(&Self::reflood_began),
            afloat: entry.get(&Self::afloat),
        };
        Self::from_entry(entry, times)
    }

    /// Whether anything is written down of where she lay.
    pub fn is_recorded(&self) -> bool {
        let lay = [self.recorded_srp_station_m, self.recorded_offset_m, self.recorded_yaw_deg];
        lay.iter().any(Option::is_some)
    }

    /// The position as it would stand if she were laid down as planned, at an offset of 0 where none is planned; `None`
    /// where no station is planned. Its yaw is not known: nobody plans one.
    pub fn as_planned(&self) -> Option<Self> {
        Some(Self {
            recorded_srp_station_m: Some(self.planned_srp_station_m?),
            recorded_offset_m: Some(self.planned_offset_m.unwrap_or(0.0)),
            recorded_yaw_deg: None,
            times: Times::default(),
            ..self.clone()
        })
    }
}

impl Sighting {
    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let seen = [&Self::dock_station_m, &Self::dock_offset_m];
        if seen.iter().all(|column| entry.value(column).is_none()) {
            input.problems.add(
                Problem::new(entry.place.clone(), "gives neither station nor offset")
                    .value(entry.get::<String>(&Self::mark)?)
                    .expected("dock_station, dock_offset or both")
                    .advice("fill in what was read, or remove the row"),
            );
        }
        let hull = Coord { x: entry.get(&Self::hull_x)?, y: entry.get(&Self::hull_y)? };
        Self::from_entry(entry, hull)
    }
}
