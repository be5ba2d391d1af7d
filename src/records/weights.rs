//! `landing/weights.csv`, `landing/stiffness.csv`, `landing/buoyancy.csv`, `landing/moved.csv`: the ship
//! as a girder, and what was put on and taken off her.

use chrono::{DateTime, FixedOffset};

use super::entry::Entry;
use super::input::Input;
use super::problem::{Problem, Problems};
use super::record::record;
use super::spec::{Column, Kind, PLACE, Range};
use crate::units::Quantity;

record! {
    #[derive(Debug, Clone)]
    pub struct Weight: SPEC = "a length of the weight curve" in "landing/weights.csv", at most 400 {
        from_x_m: f64 = always("from_x", PLACE, "x of its aft end"),
        to_x_m: f64 = always("to_x", PLACE, "x of its forward end"),
        mass_t: f64 = always(
            "mass",
            Measure(Quantity::Mass, Range::Positive),
            "mass of that length; with from_x = to_x a point mass",
        ),
        centre_x_m: f64 = always("centre_x", PLACE, "x of its centre of gravity"),
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Stiffness: STIFFNESS_SPEC = "a length of the hull girder" in "landing/stiffness.csv", at most 1_000 {
        from_x_m: f64 = always("from_x", PLACE, "x of its aft end"),
        to_x_m: f64 = always("to_x", PLACE, "x of its forward end"),
        second_moment_m4: f64 = always(
            "second_moment",
            Measure(Quantity::SecondMoment, Range::Positive),
            "second moment of area of the section",
        ),
        shear_area_m2: f64 = always(
            "shear_area",
            Measure(Quantity::Area, Range::Positive),
            "area of the section that carries shear",
        ),
        elastic_modulus_kpa: f64 = always(
            "elastic_modulus",
            Measure(Quantity::Pressure, Range::Positive),
            "elastic modulus",
        ),
        shear_modulus_kpa: f64 = always(
            "shear_modulus",
            Measure(Quantity::Pressure, Range::Positive),
            "shear modulus",
        ),
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Buoyancy: BUOYANCY_SPEC = "a length of the buoyancy curve" in "landing/buoyancy.csv" {
        position: String = always("position", Ref(Kind::Position), "the position"),
        water_level_m: f64 = always(
            "water_level",
            PLACE,
            "level of the water above the dock's level datum",
        ),
        from_x_m: f64 = always("from_x", PLACE, "x of its aft end"),
        to_x_m: f64 = always("to_x", PLACE, "x of its forward end"),
        buoyancy_t: f64 = always(
            "buoyancy",
            Measure(Quantity::Mass, Range::NotNegative),
            "buoyancy of that length",
        ),
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Moved: MOVED_SPEC = "a weight moved while she was docked" in "landing/moved.csv" {
        planned_at: Option<DateTime<FixedOffset>> = optional(
            "planned_at",
            Time,
            "when it is planned to be moved",
        ),
        at: Option<DateTime<FixedOffset>> = optional(
            "at",
            Time,
            "when it was moved; empty while it is only planned",
        ),
        item: String = always("item", Text, "what it was"),
        mass_t: f64 = always(
            "mass",
            Measure(Quantity::Mass, Range::Any),
            "its mass, + put on, - taken off",
        ),
        planned_mass_t: Option<f64> = optional(
            "planned_mass",
            Measure(Quantity::Mass, Range::Any),
            "the mass that was planned, where another was moved",
        ),
        x_m: f64 = always("x", PLACE, "x of its centre"),
        y_m: f64 = always("y", PLACE, "y of its centre, + to port"),
        z_m: f64 = always("z", PLACE, "z of its centre"),
        tank: Option<String> = optional("tank", Called, "the tank, of water or oil moved"),
        free_surface_tm: Option<f64> = optional(
            "free_surface",
            Measure(Quantity::Moment, Range::Any),
            "moment of the free surface, density of the liquid times the surface's second moment: + of one \
             that arises, - of one that vanishes",
        ),
        by: Option<String> = optional("by", Called, "who noted it"),
    }
}

/// The two ends of a length of the ship, m. One that ends before it begins is a problem, and one that ends where it
/// begins unless it may be a point.
fn ends(
    entry: &Entry,
    [from, to]: [&Column; 2],
    may_be_point: bool,
    problems: &mut Problems,
) -> Option<(f64, f64)> {
    let (from_x_m, to_x_m): (f64, f64) = (entry.get(from)?, entry.get(to)?);
    if to_x_m > from_x_m || (to_x_m == from_x_m && may_be_point) {
        return Some((from_x_m, to_x_m));
    }
    problems.add(
        Problem::new(entry.place_of(to), "is not forward of the aft end")
            .value(entry.as_written(to))
            .expected(if may_be_point {
                "to_x equal to or greater than from_x"
            } else {
                "to_x greater than from_x"
            })
            .advice("correct one of the two ends; x increases toward the bow"),
    );
    None
}

impl Weight {
    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let (from_x_m, to_x_m) =
            ends(entry, [&Self::from_x_m, &Self::to_x_m], true, input.problems)?;
        let centre_x_m: f64 = entry.get(&Self::centre_x_m)?;
        // Weight spread in a straight line over a length can have its centre in the middle third only.
        let (middle, sixth) = ((from_x_m + to_x_m) / 2.0, (to_x_m - from_x_m) / 6.0);
        if (centre_x_m - middle).abs() > sixth + 1e-9 {
            let centre = &Self::centre_x_m;
            input.problems.add(
                Problem::new(entry.place_of(centre), "lies outside the middle third of its length")
                    .value(entry.as_written(centre))
                    .expected(format!(
                        "a centre between {2} and {3}, for weight spread linearly from {0} to {1}",
                        entry.as_written(&Self::from_x_m),
                        entry.as_written(&Self::to_x_m),
                        entry.in_its_unit(centre, middle - sixth),
                        entry.in_its_unit(centre, middle + sixth),
                    ))
                    .advice(
                        "correct the centre, or divide the length in two, each with its own mass \
                         and centre",
                    ),
            );
            return None;
        }
        Self::from_entry(entry)
    }
}

impl Stiffness {
    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        ends(entry, [&Self::from_x_m, &Self::to_x_m], false, input.problems)?;
        Self::from_entry(entry)
    }
}

impl Buoyancy {
    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        ends(entry, [&Self::from_x_m, &Self::to_x_m], false, input.problems)?;
        Self::from_entry(entry)
    }
}

impl Moved {
    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let times = [&Self::at, &Self::planned_at];
        if times.iter().all(|column| entry.value(column).is_none()) {
            if input.is_told_of(&MOVED_SPEC, entry, &Self::at) {
                return None;
            }
            input.problems.add(
                Problem::new(entry.place_of(&Self::at), "is empty")
                    .expected("a time: when it was moved, or in planned_at when that is planned")
                    .advice("fill in one of the two, or remove the row"),
            );
            return None;
        }
        Self::from_entry(entry)
    }

    /// Whether it was moved, and is not only planned to be.
    pub fn is_done(&self) -> bool {
        self.at.is_some()
    }

    /// The mass as it is planned, t.
    pub fn mass_as_planned_t(&self) -> f64 {
        self.planned_mass_t.unwrap_or(self.mass_t)
    }

    /// The row as it would stand if the weight were moved as planned; `None` where that is not planned.
    pub fn as_planned(&self) -> Option<Self> {
        let (at, mass_t) = (Some(self.planned_at?), self.mass_as_planned_t());
        Some(Self { at, mass_t, by: None, ..self.clone() })
    }
}
