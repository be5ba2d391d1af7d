//! `hull/plating.csv` and `hull/anodes.csv`: plate gaugings and anodes.

use chrono::{DateTime, FixedOffset};
use geo::Coord;

use super::entry::Entry;
use super::place::Place;
use super::preparation::hull;
use super::problem::{Problem, Problems};
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use crate::units::Quantity;

const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);
const THICKNESS: Holds = Holds::Measure(Quantity::Length, Range::Positive);
const MASS: Holds = Holds::Measure(Quantity::Mass, Range::NotNegative);

/// What `hull/plating.csv` holds.
pub static SPEC: FileSpec = FileSpec {
    path: "hull/plating.csv",
    row_is: "a plate gauging",
    example: include_str!("../../templates/example/hull/plating.csv"),
    columns: &[
        Column::always("strake", Holds::Name, "the strake"),
        Column::always("plate", Holds::Name, "the plate in it"),
        Column::optional("x", PLACE, "x of the gauging"),
        Column::optional("y", PLACE, "y of the gauging"),
        Column::optional("original", THICKNESS, "original thickness").printed_in("mm"),
        Column::always("measured", THICKNESS, "thickness found").printed_in("mm"),
        Column::optional("loss_limit", THICKNESS, "greatest loss that is allowed").printed_in("mm"),
        Column::optional(
            "relative_loss_limit",
            Holds::Measure(Quantity::Ratio, Range::Positive),
            "greatest loss that is allowed, in per cent of the original",
        ),
        Column::optional("least_thickness", THICKNESS, "least thickness that is allowed")
            .printed_in("mm"),
        Column::optional("at", Holds::Time, "when"),
        Column::optional("by", Holds::Called, "by whom"),
    ],
};

/// What `hull/anodes.csv` holds.
pub static ANODES_SPEC: FileSpec = FileSpec {
    path: "hull/anodes.csv",
    row_is: "an anode",
    example: include_str!("../../templates/example/hull/anodes.csv"),
    columns: &[
        Column::always("anode", Holds::Id(Kind::Anode), "the anode"),
        Column::optional("x", PLACE, "x of its middle"),
        Column::optional("y", PLACE, "y of its middle"),
        Column::optional("mass_fitted", MASS, "mass when it was fitted").printed_in("kg"),
        Column::optional("mass_found", MASS, "mass as found").printed_in("kg"),
        Column::optional("renewed", Holds::Flag, "whether it was renewed"),
        Column::optional("at", Holds::Time, "when"),
        Column::optional("by", Holds::Called, "by whom"),
    ],
};

/// What a gauging is held against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PlateLimit {
    /// Greatest loss, m.
    Loss(f64),
    /// Greatest loss, per cent of the original.
    RelativeLoss(f64),
    /// Least thickness, m.
    LeastThickness(f64),
}

/// A plate gauging.
#[derive(Debug, Clone)]
pub struct Gauging {
    /// The strake.
    pub strake: String,
    /// The plate.
    pub plate: String,
    /// Where it was gauged.
    pub hull: Option<Coord<f64>>,
    /// Original thickness, m.
    pub original_m: Option<f64>,
    /// Thickness found, m.
    pub measured_m: f64,
    /// What it is held against.
    pub limit: Option<PlateLimit>,
    /// When.
    pub at: Option<DateTime<FixedOffset>>,
    /// By whom.
    pub by: Option<String>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl Gauging {
    pub(super) fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let limits: Vec<PlateLimit> = [
            entry.number("loss_limit").map(PlateLimit::Loss),
            entry.number("relative_loss_limit").map(PlateLimit::RelativeLoss),
            entry.number("least_thickness").map(PlateLimit::LeastThickness),
        ]
        .into_iter()
        .flatten()
        .collect();
        if limits.len() > 1 {
            problems.add(
                Problem::new(entry.place.clone(), "gives more than one limit")
                    .value(entry.text("plate")?)
                    .expected("a loss, a loss in per cent, or a least thickness")
                    .advice("keep the one that the survey's rule states"),
            );
        }
        Some(Self {
            strake: entry.text("strake")?,
            plate: entry.text("plate")?,
            hull: hull(entry, problems),
            original_m: entry.number("original"),
            measured_m: entry.number("measured")?,
            limit: limits.first().copied(),
            at: entry.time("at"),
            by: entry.text("by"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}

/// An anode.
#[derive(Debug, Clone)]
pub struct Anode {
    /// Its name.
    pub id: String,
    /// Where it sits.
    pub hull: Option<Coord<f64>>,
    /// Mass when fitted, t.
    pub mass_fitted_t: Option<f64>,
    /// Mass as found, t.
    pub mass_found_t: Option<f64>,
    /// Whether it was renewed.
    pub renewed: Option<bool>,
    /// When.
    pub at: Option<DateTime<FixedOffset>>,
    /// By whom.
    pub by: Option<String>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl Anode {
    pub(super) fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        Some(Self {
            id: entry.text("anode")?,
            hull: hull(entry, problems),
            mass_fitted_t: entry.number("mass_fitted"),
            mass_found_t: entry.number("mass_found"),
            renewed: entry.flag("renewed"),
            at: entry.time("at"),
            by: entry.text("by"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}
