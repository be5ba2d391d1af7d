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
        from_plan: Option<String> = optional(
            "from_plan",
            Ref(Kind::PlanPosition),
            "which of the positions in plan/positions.csv it is",
        ),
        planned_offset_m: Option<f64> = optional(
            "planned_offset",
            PLACE,
            "planned offset of the centreline there, + to port",
        ).or_named("planned_centreline_offset"),
        planned_landed = optional("planned_landed", Time, "when she is planned to be landed"),
        planned_dry = optional("planned_dry", Time, "when the dock is planned to be dry"),
        planned_reflood = optional(
            "planned_reflood",
            Time,
            "when the water is planned to be let in again",
        ),
        planned_afloat = optional("planned_afloat", Time, "when she is planned to be afloat again"),
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
        /// When each was, as recorded.
        times: Times,
        /// When each is to be by the plan.
        planned: PlannedTimes,
    }
}

/// When a position is to begin and end by the plan.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct PlannedTimes {
    /// Landed fore and aft.
    pub landed: Option<DateTime<FixedOffset>>,
    pub dry: Option<DateTime<FixedOffset>>,
    pub reflood_began: Option<DateTime<FixedOffset>>,
    pub afloat: Option<DateTime<FixedOffset>>,
}

impl PlannedTimes {
    /// Whether any of them is planned.
    pub fn is_any(&self) -> bool {
        *self != Self::default()
    }

    /// The same as they would stand in the record if all went by the plan.
    fn as_recorded(&self) -> Times {
        Times {
            landed: self.landed,
            dry: self.dry,
            reflood_began: self.reflood_began,
            afloat: self.afloat,
            ..Times::default()
        }
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
    /// The same, with the planned ones that come after everything recorded.
    pub(super) fn followed_by(self, planned: &PlannedTimes) -> Self {
        let latest = self.in_order().into_iter().filter_map(|(_, at)| at).max();
        let ahead = |recorded: Option<DateTime<FixedOffset>>, planned: Option<_>| {
            recorded.or(planned.filter(|planned| latest.is_none_or(|latest| *planned > latest)))
        };
        Self {
            landed: ahead(self.landed, planned.landed),
            dry: ahead(self.dry, planned.dry),
            reflood_began: ahead(self.reflood_began, planned.reflood_began),
            afloat: ahead(self.afloat, planned.afloat),
            ..self
        }
    }

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
        let planned = PlannedTimes {
            landed: entry.get(&Self::planned_landed),
            dry: entry.get(&Self::planned_dry),
            reflood_began: entry.get(&Self::planned_reflood),
            afloat: entry.get(&Self::planned_afloat),
        };
        Self::from_entry(entry, times, planned)
    }

    /// Whether anything is written down of where she lay.
    pub fn is_recorded(&self) -> bool {
        let lay = [self.recorded_srp_station_m, self.recorded_offset_m, self.recorded_yaw_deg];
        lay.iter().any(Option::is_some)
    }

    /// The position as it would stand in the record if all went by the plan, at an offset of 0 where none is planned; `None`
    /// where the plan gives neither a station nor a time. Its yaw is not known: nobody plans one.
    pub fn as_planned(&self) -> Option<Self> {
        let station = self.planned_srp_station_m;
        (station.is_some() || self.planned.is_any()).then(|| Self {
            recorded_srp_station_m: station,
            recorded_offset_m: station.map(|_| self.planned_offset_m.unwrap_or(0.0)),
            recorded_yaw_deg: None,
            times: self.planned.as_recorded(),
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

#[cfg(test)]
mod tests {
    use super::super::memory;

    #[test]
    fn as_planned_a_position_has_the_plans_place_and_times() {
        let project = memory::project(&[
            ("docking.toml", "format = 1\n[ship]\nname = \"S\"\n[dock]\nname = \"D\"\n".into()),
            ("plan/blocks.csv", "block,row,station_m,offset_m,length_m,width_m\n".into()),
            (
                "positions/positions.csv",
                "position,planned_srp_station_m,planned_offset_m,planned_landed,planned_reflood,\
                 recorded_srp_station_m,recorded_offset_m,yaw_deg,touched,landed\n\
                 P1,14,0,2031-04-07T12:00Z,2031-04-20T12:00Z,14.2,0.1,0.3,2031-04-08T12:00Z,2031-04-08T13:00Z\n\
                 P2,,,,,13.2,0.1,0.3,,\nP3,,,2031-04-21T12:00Z,,,,,,\n"
                    .into(),
            ),
        ]);
        let [first, second, third] = &project.positions[..] else { panic!("{project:?}") };
        let planned = first.as_planned().expect("a plan");
        let place = (planned.recorded_srp_station_m, planned.recorded_offset_m);
        assert_eq!((place, planned.recorded_yaw_deg), ((Some(14.0), Some(0.0)), None));
        assert_eq!(planned.times.landed, first.planned.landed);
        assert_eq!(planned.times.reflood_began, first.planned.reflood_began);
        assert_eq!((planned.times.touched, planned.times.dry), (None, None));
        assert!(second.as_planned().is_none());
        assert!(third.as_planned().is_some_and(|third| third.times.landed.is_some()));
    }
}
