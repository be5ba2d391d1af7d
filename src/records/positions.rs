//! `positions/positions.csv` and `positions/marks.csv`: docking positions and sightings.

use chrono::{DateTime, FixedOffset};
use geo::Coord;

use super::entry::Entry;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use crate::units::Quantity;

const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);

/// What `positions/positions.csv` holds.
pub static SPEC: FileSpec = FileSpec {
    path: "positions/positions.csv",
    row_is: "a docking position",
    example: include_str!("../../templates/example/positions/positions.csv"),
    columns: &[
        Column::always("position", Holds::Id(Kind::Position), "the position's name"),
        Column::optional(
            "planned_srp_station",
            PLACE,
            "planned station of the stern reference point",
        ),
        Column::optional(
            "planned_offset",
            PLACE,
            "planned offset of the centreline there, + to port",
        )
        .or_named("planned_centreline_offset"),
        Column::optional(
            "recorded_srp_station",
            PLACE,
            "recorded station of the stern reference point",
        ),
        Column::optional(
            "recorded_offset",
            PLACE,
            "recorded offset of the centreline there, + to port",
        )
        .or_named("recorded_centreline_offset"),
        Column::optional(
            "yaw",
            Holds::Measure(Quantity::Angle, Range::Any),
            "recorded yaw, + bow to port",
        ),
        Column::optional(
            "kg",
            Holds::Measure(Quantity::Length, Range::Positive),
            "KG in this position, free surface counted in; else carried on from [stability]",
        ),
        Column::optional("flooding_began", Holds::Time, "when the dock was flooded for it"),
        Column::optional("touched", Holds::Time, "when she first touched the blocks"),
        Column::optional("landed", Holds::Time, "when she was landed fore and aft"),
        Column::optional("dry", Holds::Time, "when the dock was dry"),
        Column::optional("reflood_began", Holds::Time, "when the water was let in again"),
        Column::optional("afloat", Holds::Time, "when she was afloat again"),
    ],
};

/// What `positions/marks.csv` holds.
pub static MARKS_SPEC: FileSpec = FileSpec {
    path: "positions/marks.csv",
    row_is: "a sighting",
    example: include_str!("../../templates/example/positions/marks.csv"),
    columns: &[
        Column::always("position", Holds::Ref(Kind::Position), "the position"),
        Column::always("mark", Holds::Name, "the mark on the hull"),
        Column::always("hull_x", PLACE, "x of the mark"),
        Column::always("hull_y", PLACE, "y of the mark"),
        Column::optional("dock_station", PLACE, "station at which it was seen"),
        Column::optional("dock_offset", PLACE, "offset at which it was seen, + to port"),
        Column::optional("read_by", Holds::Called, "who read it"),
        Column::optional("at", Holds::Time, "when it was read"),
    ],
};

/// A docking position.
#[derive(Debug, Clone)]
pub struct Position {
    /// Its name.
    pub id: String,
    /// Planned station of the stern reference point, m.
    pub planned_srp_station_m: Option<f64>,
    /// Planned offset, m.
    pub planned_offset_m: Option<f64>,
    /// Recorded station of the stern reference point, m.
    pub recorded_srp_station_m: Option<f64>,
    /// Recorded offset, m.
    pub recorded_offset_m: Option<f64>,
    /// Recorded yaw, degrees.
    pub recorded_yaw_deg: Option<f64>,
    /// KG in this position, m; `None` if it is to be carried on.
    pub kg_m: Option<f64>,
    /// Its times.
    pub times: Times,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

/// The times of a position, in the order in which they must follow each other.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Times {
    /// Water let into the dock for this position.
    pub flooding_began: Option<DateTime<FixedOffset>>,
    /// First touch.
    pub touched: Option<DateTime<FixedOffset>>,
    /// Landed fore and aft.
    pub landed: Option<DateTime<FixedOffset>>,
    /// Dock dry.
    pub dry: Option<DateTime<FixedOffset>>,
    /// Water let in again.
    pub reflood_began: Option<DateTime<FixedOffset>>,
    /// Afloat again.
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

/// A sighting: a mark on the hull seen at a place in the dock.
#[derive(Debug, Clone)]
pub struct Sighting {
    /// The position.
    pub position: String,
    /// The mark.
    pub mark: String,
    /// The mark's place on the hull.
    pub hull: Coord<f64>,
    /// Station, m.
    pub dock_station_m: Option<f64>,
    /// Offset, m.
    pub dock_offset_m: Option<f64>,
    /// Who read it.
    pub read_by: Option<String>,
    /// When.
    pub at: Option<DateTime<FixedOffset>>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl Position {
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        Some(Self {
            id: entry.text("position")?,
            planned_srp_station_m: entry.number("planned_srp_station"),
            planned_offset_m: entry.number("planned_offset"),
            recorded_srp_station_m: entry.number("recorded_srp_station"),
            recorded_offset_m: entry.number("recorded_offset"),
            recorded_yaw_deg: entry.number("yaw"),
            kg_m: entry.number("kg"),
            times: Times {
                flooding_began: entry.time("flooding_began"),
                touched: entry.time("touched"),
                landed: entry.time("landed"),
                dry: entry.time("dry"),
                reflood_began: entry.time("reflood_began"),
                afloat: entry.time("afloat"),
            },
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}

impl Sighting {
    pub(super) fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let (station, offset) = (entry.number("dock_station"), entry.number("dock_offset"));
        if station.is_none() && offset.is_none() {
            problems.add(
                Problem::new(entry.place.clone(), "gives neither station nor offset")
                    .value(entry.text("mark")?)
                    .expected("dock_station, dock_offset or both")
                    .advice("fill in what was read, or take the row out"),
            );
        }
        Some(Self {
            position: entry.text("position")?,
            mark: entry.text("mark")?,
            hull: Coord { x: entry.number("hull_x")?, y: entry.number("hull_y")? },
            dock_station_m: station,
            dock_offset_m: offset,
            read_by: entry.text("read_by"),
            at: entry.time("at"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}
