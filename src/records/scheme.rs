//! `coating/scheme.csv`: the coats that each zone is to get, and what the steel must be before.

use super::entry::Entry;
use super::input::Input;
use super::preparation::check_dust;
use super::problem::Problem;
use super::record::record;
use super::spec::{FileSpec, Kind, Range, SIZE};
use crate::units::Quantity;

record! {
    #[derive(Debug, Clone)]
    pub struct SchemeCoat: SPEC = "a coat of a zone's scheme" in "coating/scheme.csv", at most 1_000 {
        zone: String = always("zone", Ref(Kind::Zone), "the zone"),
        coat: i64 = always(
            "coat",
            Whole { least: 1 },
            "the coat's number, from the steel up",
        ).or_named("coat_number"),
        product: String = always("product", Ref(Kind::Product), "the product"),
        nominal_dft_m: Option<f64> = optional(
            "nominal_dft",
            SIZE,
            "nominal dry film thickness of this coat",
        ).printed_in("um"),
        least_dft_m: Option<f64> = optional(
            "least_dft",
            SIZE,
            "specified least dry film thickness of this coat",
        ).printed_in("um"),
        greatest_dft_m: Option<f64> = optional(
            "greatest_dft",
            SIZE,
            "specified greatest dry film thickness of this coat",
        ).printed_in("um"),
        grade = optional(
            "grade",
            Grade,
            "least preparation grade before this coat, as its standard writes it",
        ),
        accepts = optional(
            "accepts",
            Grades,
            "grades of other standards that are accepted in its place, from each of them upward",
        ),
        least_profile = optional(
            "least_profile",
            SIZE,
            "least surface profile before this coat",
        ).printed_in("um"),
        greatest_profile = optional(
            "greatest_profile",
            SIZE,
            "greatest surface profile before this coat",
        ).printed_in("um"),
        greatest_salts = optional(
            "greatest_salts",
            Measure(Quantity::SurfaceDensity, Range::NotNegative),
            "greatest soluble salts before this coat, all of them as one figure",
        ),
        greatest_chloride = optional(
            "greatest_chloride",
            Measure(Quantity::SurfaceDensity, Range::NotNegative),
            "greatest chloride before this coat",
        ),
        greatest_conductivity = optional(
            "greatest_conductivity",
            Measure(Quantity::Conductivity, Range::NotNegative),
            "greatest conductivity of a sample of salts before this coat",
        ),
        greatest_dust = optional(
            "greatest_dust",
            Number(Range::NotNegative),
            "greatest dust rating before this coat, ISO 8502-3, 0 to 5",
        ),
        stripe: Option<bool> = optional(
            "stripe",
            Flag,
            "whether edges and welds are to get a stripe coat before this coat",
        ),
        holiday_voltage = optional(
            "holiday_voltage",
            Measure(Quantity::Voltage, Range::Positive),
            "voltage of the holiday test that is asked after this coat",
        ),
        least_pull_off = optional(
            "least_pull_off",
            Measure(Quantity::Pressure, Range::Positive),
            "least stress of a pull-off test after this coat",
        ),
        greatest_cross_cut = optional(
            "greatest_cross_cut",
            Number(Range::NotNegative),
            "greatest class of a cross cut after this coat, ISO 2409, 0 to 5",
        ),
        least_rub = optional(
            "least_rub_rating",
            Number(Range::NotNegative),
            "least rating of a solvent rub after this coat, ASTM D4752, 0 to 5",
        ),
        least_hardness = optional(
            "least_hardness",
            Number(Range::Positive),
            "least figure of a hardness test after this coat",
        ),
        hardness_scale = optional("hardness_scale", Name, "the scale of that figure"),
    }
    with {
        /// What the steel must be before it.
        before: Before,
        /// What tests after it must show.
        tests: Tests,
    }
}

/// What tests after a coat must show; each `None` where nothing is asked.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Tests {
    pub holiday_voltage_v: Option<f64>,
    pub least_pull_off_kpa: Option<f64>,
    /// By ISO 2409.
    pub greatest_cross_cut: Option<f64>,
    /// By ASTM D4752.
    pub least_rub: Option<f64>,
    pub least_hardness: Option<f64>,
    pub hardness_scale: Option<String>,
}

/// What the steel must be before a coat; each `None` where nothing is asked.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Before {
    /// Least grade, as written.
    pub grade: Option<String>,
    /// Grades that are accepted in its place, as written.
    pub accepts: Vec<String>,
    pub least_profile_m: Option<f64>,
    pub greatest_profile_m: Option<f64>,
    /// Of soluble salts, mg/m2.
    pub greatest_salts_mg_m2: Option<f64>,
    pub greatest_chloride_mg_m2: Option<f64>,
    pub greatest_conductivity_us_cm: Option<f64>,
    pub greatest_dust: Option<f64>,
}

impl Before {
    /// Whether anything is asked.
    pub fn asks(&self) -> bool {
        *self != Self::default()
    }
}

impl SchemeCoat {
    fn read(entry: &Entry, input: &mut Input<'_>) -> Option<Self> {
        for (least, greatest) in [
            (&Self::least_dft_m, &Self::greatest_dft_m),
            (&Self::least_profile, &Self::greatest_profile),
        ] {
            let (Some(from), Some(to)) = (entry.get::<f64>(least), entry.get::<f64>(greatest))
            else {
                continue;
            };
            if to < from {
                input.problems.add(
                    Problem::new(entry.place_of(greatest), "is less than the least")
                        .value(entry.as_written(greatest))
                        .expected(format!("at least {}", entry.as_written(least)))
                        .advice("check the painting specification"),
                );
            }
        }
        check_dust(entry, &Self::greatest_dust, input.problems);
        let before = Before {
            grade: entry.get(&Self::grade),
            least_profile_m: entry.get(&Self::least_profile),
            greatest_profile_m: entry.get(&Self::greatest_profile),
            greatest_salts_mg_m2: entry.get(&Self::greatest_salts),
            accepts: entry.get(&Self::accepts).unwrap_or_default(),
            greatest_chloride_mg_m2: entry.get(&Self::greatest_chloride),
            greatest_conductivity_us_cm: entry.get(&Self::greatest_conductivity),
            greatest_dust: entry.get(&Self::greatest_dust),
        };
        let tests = Tests {
            holiday_voltage_v: entry.get(&Self::holiday_voltage),
            least_pull_off_kpa: entry.get(&Self::least_pull_off),
            greatest_cross_cut: entry.get(&Self::greatest_cross_cut),
            least_rub: entry.get(&Self::least_rub),
            least_hardness: entry.get(&Self::least_hardness),
            hardness_scale: entry.get(&Self::hardness_scale),
        };
        Self::from_entry(entry, before, tests)
    }

    /// All coats, each zone's in the order of their numbers; a number given twice is a problem.
    pub(super) fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        let mut coats: Vec<Self> =
            input.rows(spec).filter_map(|entry| Self::read(entry, input)).collect();
        coats.sort_by(|a, b| (&a.zone, a.coat).cmp(&(&b.zone, b.coat)));
        for pair in coats.windows(2).filter(|p| p[0].zone == p[1].zone && p[0].coat == p[1].coat) {
            input.problems.add(
                Problem::new(
                    pair[1].place.clone(),
                    format!("is also the number of the coat at {}", pair[0].place),
                )
                .value(pair[1].coat.to_string())
                .expected("a different number for each coat of a zone's scheme")
                .advice("number the coats from the steel up"),
            );
        }
        coats
    }
}
