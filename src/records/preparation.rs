//! `coating/preparation.csv`: checks of the prepared steel.

use chrono::{DateTime, FixedOffset};
use geo::Coord;

use super::entry::Entry;
use super::input::Input;
use super::problem::{Problem, Problems};
use super::record::{record, words};
use super::spec::{Column, FileSpec, Kind, PLACE, Range};
use super::zones::Extent;
use crate::units::Quantity;

words! {
    /// How steel was treated.
    pub enum Treatment {
        Blast = "blast",
        Sweep = "sweep",
        /// By hand or machine.
        Abrade = "abrade",
        /// With water.
        Wash = "wash",
        Other = "other",
    }
}

impl Treatment {
    /// Whether an old coat is fit to be coated again after it: washed or abraded in some way.
    pub fn renews(self) -> bool {
        self != Self::Other
    }
}

record! {
    #[derive(Debug, Clone)]
    pub struct Preparation: SPEC = "a preparation check" in "coating/preparation.csv" {
        zone: String = always("zone", Ref(Kind::Zone), "the zone"),
        written_extent = optional(
            "extent",
            Name,
            "what was prepared: all, exposed, patches or an area; exposed if empty",
        ),
        treatment: Treatment = always("treatment", Word(Treatment::WORDS), "how the steel was \
             prepared"),
        grade: Option<String> = optional(
            "grade",
            Grade,
            "grade reached, as its standard writes it: ISO 8501-1, -2 or -4, SSPC and NACE, with L, M or H for flash rust",
        ),
        profile_m: Option<f64> = optional(
            "profile",
            Measure(Quantity::Length, Range::NotNegative),
            "surface profile",
        ).printed_in("um"),
        salts_mg_m2: Option<f64> = optional(
            "salts",
            Measure(Quantity::SurfaceDensity, Range::NotNegative),
            "soluble salts, all of them as one figure",
        ),
        chloride_mg_m2: Option<f64> = optional(
            "chloride",
            Measure(Quantity::SurfaceDensity, Range::NotNegative),
            "chloride alone",
        ),
        conductivity_us_cm: Option<f64> = optional(
            "conductivity",
            Measure(Quantity::Conductivity, Range::NotNegative),
            "conductivity of the sample, less that of the water, where no salts were worked out from it",
        ),
        dust: Option<f64> = optional(
            "dust",
            Number(Range::NotNegative),
            "dust rating, ISO 8502-3, 0 to 5",
        ),
        method: Option<String> = optional("method", Text, "how it was measured"),
        x = optional("x", PLACE, "x of the reading"),
        y = optional("y", PLACE, "y of the reading"),
        at: Option<DateTime<FixedOffset>> = optional("at", Time, "when"),
        by: Option<String> = optional("by", Called, "by whom"),
    }
    with {
        /// The part of the zone that was prepared so.
        extent: Extent,
        /// Where it was measured.
        hull: Option<Coord<f64>>,
    }
}

impl Preparation {
    /// All checks. Rows with another problem have their extents judged too.
    pub(super) fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        input
            .rejected(spec)
            .for_each(|entry| _ = Extent::read(entry, &Self::written_extent, input));
        input.rows(spec).filter_map(|entry| Self::read(entry, input)).collect()
    }

    fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        let extent = match entry.value(&Self::written_extent) {
            Some(_) => Extent::read(entry, &Self::written_extent, input)?,
            None => Extent::Exposed,
        };
        check_dust(entry, &Self::dust, input.problems);
        let hull = hull(entry, [&Self::x, &Self::y], input.problems);
        Self::from_entry(entry, extent, hull)
    }
}

/// A dust rating over the greatest that there is, is a problem.
pub(super) fn check_dust(entry: &Entry, column: &Column, problems: &mut Problems) {
    if entry.get(column).is_some_and(|dust: f64| dust > 5.0) {
        problems.add(
            Problem::new(entry.place_of(column), "is not a dust rating")
                .value(entry.as_written(column))
                .expected("0 to 5")
                .advice("write the quantity rating, not a size class"),
        );
    }
}

/// The place on the hull that a row's x and y give; one without the other is a problem.
pub(super) fn hull(
    entry: &Entry,
    [x, y]: [&Column; 2],
    problems: &mut Problems,
) -> Option<Coord<f64>> {
    match (entry.get(x), entry.get(y)) {
        (Some(x), Some(y)) => Some(Coord { x, y }),
        (None, None) => None,
        _ => {
            problems.add(
                Problem::new(entry.place.clone(), "has only one of x and y")
                    .expected("both, or neither")
                    .advice("fill in the other as well"),
            );
            None
        }
    }
}
