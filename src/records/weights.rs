//! `landing/weights.csv`, `landing/stiffness.csv`, `landing/buoyancy.csv`, `landing/moved.csv`: the ship
//! as a girder, and what was put on and taken off her.

use chrono::{DateTime, FixedOffset};

use super::entry::Entry;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use crate::units::Quantity;

const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);
const FROM: Column = Column::always("from_x", PLACE, "x of its aft end");
const TO: Column = Column::always("to_x", PLACE, "x of its forward end");

/// What `landing/weights.csv` holds.
pub static SPEC: FileSpec = FileSpec {
    path: "landing/weights.csv",
    row_is: "a length of the weight curve",
    example: include_str!("../../templates/example/landing/weights.csv"),
    columns: &[
        FROM,
        TO,
        Column::always(
            "mass",
            Holds::Measure(Quantity::Mass, Range::Positive),
            "mass of that length; with from_x = to_x a point mass",
        ),
        Column::always("centre_x", PLACE, "x of its centre of gravity"),
    ],
};

/// What `landing/stiffness.csv` holds.
pub static STIFFNESS_SPEC: FileSpec = FileSpec {
    path: "landing/stiffness.csv",
    row_is: "a length of the hull girder",
    example: include_str!("../../templates/example/landing/stiffness.csv"),
    columns: &[
        FROM,
        TO,
        Column::always(
            "second_moment",
            Holds::Measure(Quantity::SecondMoment, Range::Positive),
            "second moment of area of the section",
        ),
        Column::always(
            "shear_area",
            Holds::Measure(Quantity::Area, Range::Positive),
            "area of the section that carries shear",
        ),
        Column::always(
            "elastic_modulus",
            Holds::Measure(Quantity::Pressure, Range::Positive),
            "elastic modulus",
        ),
        Column::always(
            "shear_modulus",
            Holds::Measure(Quantity::Pressure, Range::Positive),
            "shear modulus",
        ),
    ],
};

/// What `landing/buoyancy.csv` holds.
pub static BUOYANCY_SPEC: FileSpec = FileSpec {
    path: "landing/buoyancy.csv",
    row_is: "a length of the buoyancy curve",
    example: include_str!("../../templates/example/landing/buoyancy.csv"),
    columns: &[
        Column::always("position", Holds::Ref(Kind::Position), "the position"),
        Column::always("water_level", PLACE, "level of the water above the dock's level datum"),
        FROM,
        TO,
        Column::always(
            "buoyancy",
            Holds::Measure(Quantity::Mass, Range::NotNegative),
            "buoyancy of that length",
        ),
    ],
};

/// What `landing/moved.csv` holds.
pub static MOVED_SPEC: FileSpec = FileSpec {
    path: "landing/moved.csv",
    row_is: "a weight moved while docked",
    example: include_str!("../../templates/example/landing/moved.csv"),
    columns: &[
        Column::always("at", Holds::Time, "when it was moved"),
        Column::always("item", Holds::Text, "what it was"),
        Column::always(
            "mass",
            Holds::Measure(Quantity::Mass, Range::Any),
            "its mass, + put on, - taken off",
        ),
        Column::always("x", PLACE, "x of its centre"),
        Column::always("y", PLACE, "y of its centre, + to port"),
        Column::always("z", PLACE, "z of its centre"),
        Column::optional("by", Holds::Called, "who noted it"),
    ],
};

/// A length of the weight curve.
#[derive(Debug, Clone)]
pub struct Weight {
    /// Aft end, x, m.
    pub from_x_m: f64,
    /// Forward end, x, m; the same for a point mass.
    pub to_x_m: f64,
    /// Mass, t.
    pub mass_t: f64,
    /// Centre, x, m.
    pub centre_x_m: f64,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

/// A length of the hull girder.
#[derive(Debug, Clone)]
pub struct Stiffness {
    /// Aft end, x, m.
    pub from_x_m: f64,
    /// Forward end, x, m.
    pub to_x_m: f64,
    /// Second moment of area, m4.
    pub second_moment_m4: f64,
    /// Shear area, m2.
    pub shear_area_m2: f64,
    /// Elastic modulus, kPa.
    pub elastic_modulus_kpa: f64,
    /// Shear modulus, kPa.
    pub shear_modulus_kpa: f64,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

/// A length of the buoyancy curve.
#[derive(Debug, Clone)]
pub struct Buoyancy {
    /// The position.
    pub position: String,
    /// Water level, m.
    pub water_level_m: f64,
    /// Aft end, x, m.
    pub from_x_m: f64,
    /// Forward end, x, m.
    pub to_x_m: f64,
    /// Buoyancy, t.
    pub buoyancy_t: f64,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

/// A weight that was moved.
#[derive(Debug, Clone)]
pub struct Moved {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// What.
    pub item: String,
    /// Mass, t, + on, - off.
    pub mass_t: f64,
    /// x, m.
    pub x_m: f64,
    /// y, m.
    pub y_m: f64,
    /// z, m.
    pub z_m: f64,
    /// Who noted it.
    pub by: Option<String>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

/// The ends of a length; a length that ends before it begins is a problem.
fn ends(entry: &Entry, points: bool, problems: &mut Problems) -> Option<(f64, f64)> {
    let (from, to) = (entry.number("from_x")?, entry.number("to_x")?);
    if to < from || (to == from && !points) {
        let expected = if points { "to_x not less than from_x" } else { "to_x more than from_x" };
        problems.add(
            Problem::new(entry.place_of("to_x"), "ends where it begins, or before")
                .value(entry.as_written("to_x"))
                .expected(expected)
                .advice("correct the two ends; x grows toward the bow"),
        );
        return None;
    }
    Some((from, to))
}

impl Weight {
    pub(super) fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let (from_x_m, to_x_m) = ends(entry, true, problems)?;
        let centre_x_m = entry.number("centre_x")?;
        // Weight spread in a straight line over a length can have its centre in the middle third only.
        let third = (to_x_m - from_x_m) / 6.0;
        if (centre_x_m - (from_x_m + to_x_m) / 2.0).abs() > third + 1e-9 {
            problems.add(
                Problem::new(
                    entry.place_of("centre_x"),
                    "lies outside the middle third of its length",
                )
                .value(entry.as_written("centre_x"))
                .expected(format!(
                    "for weight spread in a straight line from {} to {}, a centre between {} and {}",
                    entry.as_written("from_x"),
                    entry.as_written("to_x"),
                    entry.in_its_unit("centre_x", (from_x_m + to_x_m) / 2.0 - third),
                    entry.in_its_unit("centre_x", (from_x_m + to_x_m) / 2.0 + third),
                ))
                .advice("divide the length in two, each with its own mass and centre"),
            );
            return None;
        }
        let mass_t = entry.number("mass")?;
        Some(Self {
            from_x_m,
            to_x_m,
            mass_t,
            centre_x_m,
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}

impl Stiffness {
    pub(super) fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let (from_x_m, to_x_m) = ends(entry, false, problems)?;
        Some(Self {
            from_x_m,
            to_x_m,
            second_moment_m4: entry.number("second_moment")?,
            shear_area_m2: entry.number("shear_area")?,
            elastic_modulus_kpa: entry.number("elastic_modulus")?,
            shear_modulus_kpa: entry.number("shear_modulus")?,
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}

impl Buoyancy {
    pub(super) fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let (from_x_m, to_x_m) = ends(entry, false, problems)?;
        Some(Self {
            position: entry.text("position")?,
            water_level_m: entry.number("water_level")?,
            from_x_m,
            to_x_m,
            buoyancy_t: entry.number("buoyancy")?,
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}

impl Moved {
    pub(super) fn read(entry: &Entry) -> Option<Self> {
        Some(Self {
            at: entry.time("at")?,
            item: entry.text("item")?,
            mass_t: entry.number("mass")?,
            x_m: entry.number("x")?,
            y_m: entry.number("y")?,
            z_m: entry.number("z")?,
            by: entry.text("by"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}
