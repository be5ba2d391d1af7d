//! `coating/tests.csv`: tests of the coating: pores, adhesion, cure, and what was looked at while it was wet.

use chrono::{DateTime, FixedOffset};
use geo::Coord;

use super::entry::Entry;
use super::input::Input;
use super::preparation::hull;
use super::record::{record, words};
use super::spec::{Kind, PLACE, Range};
use crate::units::Quantity;

words! {
    /// Which test it was.
    pub enum TestKind {
        /// For pores and bare spots, with a voltage.
        Holiday = "holiday",
        PullOff = "pull-off",
        CrossCut = "cross-cut",
        /// Whether it has cured.
        SolventRub = "solvent-rub",
        Hardness = "hardness",
        /// Of a tie-in or an edge, seen while the paint was wet.
        WetCheck = "wet-check",
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct CoatingTest: SPEC = "a test of the coating" in "coating/tests.csv", at most 10_000 {
        zone: String = always("zone", Ref(Kind::Zone), "the zone"),
        after_coat: i64 = always("after_coat", Whole { least: 1 }, "the coat after which it was made"),
        kind: TestKind = always("test", Word(TestKind::WORDS), "which test"),
        method: Option<String> = optional("method", Text, "by which standard: ISO 4624, ASTM D4541, ISO 2409"),
        instrument: Option<String> = optional("instrument", Name, "the instrument"),
        voltage_v: Option<f64> = optional(
            "voltage",
            Measure(Quantity::Voltage, Range::Positive),
            "of a holiday test, the voltage",
        ),
        found: Option<i64> = optional("found", Whole { least: 0 }, "of a holiday test, how many were found"),
        pull_off_kpa: Option<f64> = optional(
            "pull_off",
            Measure(Quantity::Pressure, Range::NotNegative),
            "of a pull-off test, the stress at which it failed, or to which it was pulled",
        ),
        cross_cut: Option<f64> = optional(
            "cross_cut",
            Number(Range::NotNegative),
            "of a cross cut, its class by ISO 2409, 0 to 5, 0 the best",
        ),
        rub: Option<f64> = optional(
            "rub_rating",
            Number(Range::NotNegative),
            "of a solvent rub, its rating by ASTM D4752, 0 to 5, 5 the best",
        ),
        hardness: Option<f64> = optional("hardness", Number(Range::NotNegative), "of a hardness test, its figure"),
        scale: Option<String> = optional("scale", Name, "the scale of that figure: ShoreD, Barcol, Buchholz"),
        accepted: Option<bool> = optional("accepted", Flag, "whether whoever tested it accepted it"),
        area: Option<String> = optional("area", Ref(Kind::Area), "a drawn area, if it was made in one"),
        spot: Option<String> = optional("spot", Name, "the spot"),
        x = optional("x", PLACE, "x of the test"),
        y = optional("y", PLACE, "y of the test"),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when"),
        by: Option<String> = optional("by", Called, "by whom"),
    }
    with {
        /// Where it was made.
        hull: Option<Coord<f64>>,
    }
}

impl CoatingTest {
    pub(super) fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let hull = hull(entry, [&Self::x, &Self::y], input.problems);
        Self::from_entry(entry, hull)
    }
}
