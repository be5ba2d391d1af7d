//! `coating/preparation.csv`: checks of the prepared steel.

use chrono::{DateTime, FixedOffset};
use geo::Coord;

use super::entry::Entry;
use super::ids::Ids;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::scheme::GRADES;
use super::spec::{Column, FileSpec, Holds, Kind, Range};
use super::zones::Extent;
use crate::units::Quantity;

const PLACE: Holds = Holds::Measure(Quantity::Length, Range::Any);

/// What the file holds.
pub static SPEC: FileSpec = FileSpec {
    path: "coating/preparation.csv",
    row_is: "a preparation check",
    example: include_str!("../../templates/example/coating/preparation.csv"),
    columns: &[
        Column::always("zone", Holds::Ref(Kind::Zone), "the zone"),
        Column::optional(
            "extent",
            Holds::Name,
            "all, exposed, patches or an area: what was prepared so; exposed if empty",
        ),
        Column::always(
            "treatment",
            Holds::Word(&["blast", "sweep", "abrade", "wash", "other"]),
            "how the steel was treated",
        ),
        Column::optional("grade", Holds::Word(GRADES), "grade reached, ISO 8501-1 or 8501-4"),
        Column::optional(
            "profile",
            Holds::Measure(Quantity::Length, Range::NotNegative),
            "surface profile",
        )
        .printed_in("um"),
        Column::optional(
            "salts",
            Holds::Measure(Quantity::SurfaceDensity, Range::NotNegative),
            "soluble salts",
        ),
        Column::optional(
            "dust",
            Holds::Number(Range::NotNegative),
            "dust rating, ISO 8502-3, 0 to 5",
        ),
        Column::optional("method", Holds::Text, "how it was measured"),
        Column::optional("x", PLACE, "x of the reading"),
        Column::optional("y", PLACE, "y of the reading"),
        Column::optional("at", Holds::Time, "when"),
        Column::optional("by", Holds::Called, "by whom"),
    ],
};

/// How steel was treated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Treatment {
    /// Abrasive blasting.
    Blast,
    /// Sweep blasting.
    Sweep,
    /// Abrading by hand or machine.
    Abrade,
    /// Washing with water.
    Wash,
    /// Something else.
    Other,
}

impl Treatment {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Blast => "blast",
            Self::Sweep => "sweep",
            Self::Abrade => "abrade",
            Self::Wash => "wash",
            Self::Other => "other",
        }
    }

    fn of_word(word: &str) -> Self {
        match word {
            "blast" => Self::Blast,
            "sweep" => Self::Sweep,
            "abrade" => Self::Abrade,
            "wash" => Self::Wash,
            _ => Self::Other,
        }
    }

    /// Whether an old coat is fit to be coated again after it: washed or abraded in some way.
    pub fn renews(self) -> bool {
        self != Self::Other
    }
}

/// A preparation check.
#[derive(Debug, Clone)]
pub struct Preparation {
    /// The zone.
    pub zone: String,
    /// The part of it that was prepared so.
    pub extent: Extent,
    /// How it was treated.
    pub treatment: Treatment,
    /// Grade reached, one of [`GRADES`].
    pub grade: Option<String>,
    /// Surface profile, m.
    pub profile_m: Option<f64>,
    /// Soluble salts, mg/m2.
    pub salts_mg_m2: Option<f64>,
    /// Dust rating.
    pub dust: Option<f64>,
    /// How it was measured.
    pub method: Option<String>,
    /// Where it was measured.
    pub hull: Option<Coord<f64>>,
    /// When.
    pub at: Option<DateTime<FixedOffset>>,
    /// By whom.
    pub by: Option<String>,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl Preparation {
    pub(super) fn read(entry: &Entry, ids: &Ids, problems: &mut Problems) -> Option<Self> {
        let extent = match entry.text("extent") {
            Some(_) => Extent::read(entry, ids, problems)?,
            None => Extent::Exposed,
        };
        dust_rating(entry, "dust", problems);
        Some(Self {
            zone: entry.text("zone")?,
            extent,
            treatment: Treatment::of_word(&entry.text("treatment")?),
            grade: entry.text("grade"),
            profile_m: entry.number("profile"),
            salts_mg_m2: entry.number("salts"),
            dust: entry.number("dust"),
            method: entry.text("method"),
            hull: hull(entry, problems),
            at: entry.time("at"),
            by: entry.text("by"),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}

/// A dust rating over the greatest that there is, is a problem.
pub(super) fn dust_rating(entry: &Entry, column: &str, problems: &mut Problems) {
    if entry.number(column).is_some_and(|dust| dust > 5.0) {
        problems.add(
            Problem::new(entry.place_of(column), "is not a dust rating")
                .value(entry.as_written(column))
                .expected("0 to 5")
                .advice("write the rating, not a size"),
        );
    }
}

/// The place on the hull that a row's `x` and `y` give; one without the other is a problem.
pub(super) fn hull(entry: &Entry, problems: &mut Problems) -> Option<Coord<f64>> {
    match (entry.number("x"), entry.number("y")) {
        (Some(x), Some(y)) => Some(Coord { x, y }),
        (None, None) => None,
        _ => {
            problems.add(
                Problem::new(entry.place.clone(), "gives only one of x and y")
                    .expected("both, or neither")
                    .advice("fill in the other"),
            );
            None
        }
    }
}
