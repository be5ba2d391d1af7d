//! `coating/scheme.csv`: the coats that each zone is to get, and what the steel must be before.

use super::entry::Entry;
use super::place::Place;
use super::preparation::dust_rating;
use super::problem::{Problem, Problems};
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use crate::units::Quantity;

const FILM: Holds = Holds::Measure(Quantity::Length, Range::Positive);

/// The grades of prepared steel: ISO 8501-1 (Sa, St) and ISO 8501-4 (Wa).
pub const GRADES: &[&str] = &["sa1", "sa2", "sa2.5", "sa3", "st2", "st3", "wa1", "wa2", "wa2.5"];

/// What the file holds.
pub static SPEC: FileSpec = FileSpec {
    path: "coating/scheme.csv",
    row_is: "a coat of a zone's scheme",
    example: include_str!("../../templates/example/coating/scheme.csv"),
    columns: &[
        Column::always("zone", Holds::Ref(Kind::Zone), "the zone"),
        Column::always("coat", Holds::Whole { least: 1 }, "the coat's number, from the steel up")
            .or_named("coat_number"),
        Column::always("product", Holds::Ref(Kind::Product), "the product"),
        Column::optional("nominal_dft", FILM, "nominal dry film thickness of this coat")
            .printed_in("um"),
        Column::optional("least_dft", FILM, "specified least dry film thickness of this coat")
            .printed_in("um"),
        Column::optional(
            "greatest_dft",
            FILM,
            "specified greatest dry film thickness of this coat",
        )
        .printed_in("um"),
        Column::optional(
            "grade",
            Holds::Word(GRADES),
            "least preparation grade before this coat, ISO 8501-1 or 8501-4",
        ),
        Column::optional("least_profile", FILM, "least surface profile before this coat")
            .printed_in("um"),
        Column::optional("greatest_profile", FILM, "greatest surface profile before this coat")
            .printed_in("um"),
        Column::optional(
            "greatest_salts",
            Holds::Measure(Quantity::SurfaceDensity, Range::NotNegative),
            "greatest soluble salts before this coat",
        ),
        Column::optional(
            "greatest_dust",
            Holds::Number(Range::NotNegative),
            "greatest dust rating before this coat, ISO 8502-3, 0 to 5",
        ),
    ],
};

/// A coat of a zone's scheme.
#[derive(Debug, Clone)]
pub struct SchemeCoat {
    /// The zone.
    pub zone: String,
    /// Its number from the steel up.
    pub coat: i64,
    /// The product.
    pub product: String,
    /// Nominal dry film thickness, m.
    pub nominal_dft_m: Option<f64>,
    /// Specified least, m.
    pub least_dft_m: Option<f64>,
    /// Specified greatest, m.
    pub greatest_dft_m: Option<f64>,
    /// What the steel must be before it.
    pub before: Before,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

/// What the steel must be before a coat; each `None` where nothing is asked.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Before {
    /// Least grade, one of [`GRADES`].
    pub grade: Option<String>,
    /// Least profile, m.
    pub least_profile_m: Option<f64>,
    /// Greatest profile, m.
    pub greatest_profile_m: Option<f64>,
    /// Greatest soluble salts, mg/m2.
    pub greatest_salts_mg_m2: Option<f64>,
    /// Greatest dust rating.
    pub greatest_dust: Option<f64>,
}

impl Before {
    /// Whether anything is asked.
    pub fn asks(&self) -> bool {
        *self != Self::default()
    }
}

impl SchemeCoat {
    fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        for (least, greatest) in
            [("least_dft", "greatest_dft"), ("least_profile", "greatest_profile")]
        {
            let (Some(from), Some(to)) = (entry.number(least), entry.number(greatest)) else {
                continue;
            };
            if to < from {
                problems.add(
                    Problem::new(entry.place_of(greatest), "is less than the least")
                        .value(entry.as_written(greatest))
                        .expected(format!("no less than {}", entry.as_written(least)))
                        .advice("see the painting specification"),
                );
            }
        }
        dust_rating(entry, "greatest_dust", problems);
        Some(Self {
            zone: entry.text("zone")?,
            coat: entry.whole("coat")?,
            product: entry.text("product")?,
            nominal_dft_m: entry.number("nominal_dft"),
            least_dft_m: entry.number("least_dft"),
            greatest_dft_m: entry.number("greatest_dft"),
            before: Before {
                grade: entry.text("grade"),
                least_profile_m: entry.number("least_profile"),
                greatest_profile_m: entry.number("greatest_profile"),
                greatest_salts_mg_m2: entry.number("greatest_salts"),
                greatest_dust: entry.number("greatest_dust"),
            },
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }

    /// All coats, each zone's in the order of their numbers; a number given twice is a problem.
    pub(super) fn read_all<'a>(
        rows: impl Iterator<Item = &'a Entry>,
        problems: &mut Problems,
    ) -> Vec<Self> {
        let mut coats: Vec<Self> = rows.filter_map(|entry| Self::read(entry, problems)).collect();
        coats.sort_by(|a, b| (&a.zone, a.coat).cmp(&(&b.zone, b.coat)));
        for pair in coats.windows(2).filter(|p| p[0].zone == p[1].zone && p[0].coat == p[1].coat) {
            problems.add(
                Problem::new(
                    pair[1].place.clone(),
                    format!("has the number of the coat at {} too", pair[0].place),
                )
                .value(pair[1].coat.to_string())
                .expected("each coat of a zone's scheme once")
                .advice("number the coats from the steel up"),
            );
        }
        coats
    }
}
