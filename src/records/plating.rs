//! `hull/plating.csv` and `hull/anodes.csv`: plate gaugings and anodes.

use chrono::{DateTime, FixedOffset};
use geo::Coord;

use super::entry::Entry;
use super::input::Input;
use super::preparation::hull;
use super::problem::Problem;
use super::record::record;
use super::spec::{Holds, Kind, PLACE, Range, SIZE};
use crate::units::Quantity;

const MASS: Holds = Holds::Measure(Quantity::Mass, Range::NotNegative);

/// What a gauging is held against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PlateLimit {
    /// Greatest loss, m.
    Loss(f64),
    /// Greatest loss, per cent of the original.
    RelativeLoss(f64),
    LeastThickness(f64),
}

record! {
    #[derive(Debug, Clone)]
    pub struct Gauging: SPEC = "a plate gauging" in "hull/plating.csv" {
        strake: String = always("strake", Name, "the strake").naming(Kind::Strake),
        plate: String = always("plate", Name, "the plate in it").naming(Kind::Plate),
        x = optional("x", PLACE, "x of the gauging"),
        y = optional("y", PLACE, "y of the gauging"),
        original_m: Option<f64> = optional("original", SIZE, "original thickness").printed_in("mm"),
        measured_m: f64 = always("measured", SIZE, "thickness found").printed_in("mm"),
        loss_limit = optional("loss_limit", SIZE, "greatest loss allowed").printed_in("mm"),
        relative_loss_limit = optional(
            "relative_loss_limit",
            Measure(Quantity::Ratio, Range::Positive),
            "greatest loss allowed, in per cent of the original thickness",
        ),
        least_thickness = optional(
            "least_thickness",
            SIZE,
            "least thickness allowed",
        ).printed_in("mm"),
        pit_depth_m: Option<f64> = optional(
            "pit_depth",
            SIZE,
            "depth of the deepest pit there, under the thickness found",
        ).printed_in("mm"),
        pitted_pct: Option<f64> = optional(
            "pitted",
            Measure(Quantity::Ratio, Range::NotNegative),
            "how much of the plate's surface is pitted",
        ),
        instrument: Option<String> = optional("instrument", Name, "the instrument"),
        through_coating: Option<bool> = optional(
            "through_coating",
            Flag,
            "whether it was read through the coating; no: on bare steel",
        ),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when"),
        by: Option<String> = optional("by", Called, "by whom"),
    }
    with {
        /// Where it was gauged.
        hull: Option<Coord<f64>>,
        /// What it is held against.
        limit: Option<PlateLimit>,
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct InstrumentCheck: INSTRUMENTS_SPEC = "a check of an instrument that gauges plates" in "hull/instruments.csv" {
        instrument: String = always("instrument", Name, "the instrument"),
        reference_m: f64 = always("reference", SIZE, "thickness of the reference").printed_in("mm"),
        reading_m: f64 = always("reading", SIZE, "what the instrument read on it").printed_in("mm"),
        at: DateTime<FixedOffset> = always("at", Time, "when"),
        by: Option<String> = optional("by", Called, "by whom"),
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Anode: ANODES_SPEC = "an anode" in "hull/anodes.csv" {
        id: String = always("anode", Id(Kind::Anode), "the anode"),
        x = optional("x", PLACE, "x of its middle"),
        y = optional("y", PLACE, "y of its middle"),
        mass_fitted_t: Option<f64> = optional("mass_fitted", MASS, "mass as fitted").printed_in("kg"),
        mass_found_t: Option<f64> = optional("mass_found", MASS, "mass as found").printed_in("kg"),
        renewed: Option<bool> = optional("renewed", Flag, "whether it was renewed"),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when"),
        by: Option<String> = optional("by", Called, "by whom"),
    }
    with {
        /// Where it sits.
        hull: Option<Coord<f64>>,
    }
}

impl Gauging {
    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let limits: Vec<PlateLimit> = [
            entry.get(&Self::loss_limit).map(PlateLimit::Loss),
            entry.get(&Self::relative_loss_limit).map(PlateLimit::RelativeLoss),
            entry.get(&Self::least_thickness).map(PlateLimit::LeastThickness),
        ]
        .into_iter()
        .flatten()
        .collect();
        if limits.len() > 1 {
            input.problems.add(
                Problem::new(entry.place.clone(), "gives more than one limit")
                    .value(entry.get::<String>(&Self::plate)?)
                    .expected("only one of a loss, a loss in per cent and a least thickness")
                    .advice("keep the one that the survey's rules state"),
            );
        }
        let hull = hull(entry, [&Self::x, &Self::y], input.problems);
        Self::from_entry(entry, hull, limits.first().copied())
    }
}

impl Anode {
    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let hull = hull(entry, [&Self::x, &Self::y], input.problems);
        Self::from_entry(entry, hull)
    }
}
