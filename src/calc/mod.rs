//! Pure calculations in the kept units. Nothing here reads a file, prints, or knows how a record is
//! written down.

pub mod alignment;
pub mod among;
pub mod blocks;
pub mod climate;
pub mod coating;
pub mod copies;
pub mod dewatering;
pub mod drafts;
pub mod exposure;
pub mod film;
pub mod formula;
pub mod history;
pub mod hydrostatics;
pub mod landing;
pub mod loads;
pub mod openings;
pub mod paint;
pub mod plane;
pub mod plating;
pub mod positions;
pub mod preparation;
pub mod recoat;
pub mod shifts;
pub mod smooth;

use formula::Formula;

/// Standards whose text was not at hand when their rules were put into code, and the formulas that apply them.
pub const NOT_AT_HAND: &[(&str, &[&Formula])] = &[
    ("API 510", &[&plating::RATE]),
    ("IMO Res. MSC.215(82), annex 3", &[&film::ninety_ten::OWED]),
    ("ISO 3233", &[&paint::EXPECTED, &paint::DRY_FROM_WET]),
    ("ISO 8501-1 and ISO 8501-4", &[&preparation::GRADE]),
    ("ISO 19840", &[&film::iso_19840::RULE, &film::iso_19840::OWED]),
    ("SSPC-PA 2", &[&film::pa_2::RULE]),
];

/// The caution that goes with those of them that are used; `None` if none is.
pub fn not_at_hand(is_used: impl Fn(&Formula) -> bool) -> Option<String> {
    let used = NOT_AT_HAND.iter().filter(|(_, formulas)| formulas.iter().any(|one| is_used(one)));
    let names: Vec<&str> = used.map(|(name, _)| *name).collect();
    (!names.is_empty()).then(|| {
        format!(
            "The wording of these standards was not at hand when the program was written: {}. Their rules are given as \
             the program applies them; where it matters, check them against the standard itself.",
            names.join(", ")
        )
    })
}

/// Days in a year, averaged over four: used wherever ages and rates turn days into years.
pub const DAYS_IN_A_YEAR: f64 = 365.25;

/// Years in so many days.
pub fn years(days: i64) -> f64 {
    days as f64 / DAYS_IN_A_YEAR
}

/// Every formula, in the order in which the report explains them.
pub const FORMULAS: &[&Formula] = &[
    &blocks::TOP,
    &blocks::APART,
    &positions::FIT,
    &positions::FROM_PLAN,
    &positions::SHIFT,
    &positions::CENTRELINE,
    &alignment::LINE,
    &alignment::SURE_TO,
    &alignment::TO_MOVE,
    &exposure::EXPOSURE,
    &shifts::SHIFT_STUDY,
    &among::CHOICE,
    &coating::CHAIN,
    &openings::CLEARANCE,
    &hydrostatics::TABLE,
    &smooth::SMOOTH,
    &hydrostatics::slopes::SLOPE,
    &hydrostatics::sizes::SIZES,
    &drafts::CARRY,
    &drafts::DISPLACEMENT,
    &drafts::HOGGED_KEEL,
    &drafts::CENTRE_OF_GRAVITY,
    &landing::FIRST_TOUCH,
    &landing::RELATIVE_TRIM,
    &landing::UPTHRUST,
    &landing::LOSS_OF_GM,
    &landing::INSTABILITY,
    &landing::LOAD_LANDED,
    &landing::LIFT_OFF,
    &landing::MOVED,
    &landing::WANTED,
    &landing::GREATEST_TRIM,
    &dewatering::RATE,
    &loads::springs::STIFFNESS,
    &loads::weight::CURVE,
    &loads::plausible::GIRDER_SIZE,
    &loads::CONTACT,
    &loads::rigid::RIGID,
    &loads::girder::GIRDER,
    &loads::girder::BENDING,
    &loads::floor::PER_METRE,
    &loads::floor::ON_FLOOR,
    &loads::PRESSURE,
    &preparation::GRADE,
    &climate::DEW_POINT,
    &climate::MARGIN,
    &climate::COUNTED,
    &recoat::WINDOW,
    &film::statistics::STATISTICS,
    &film::iso_19840::RULE,
    &film::iso_19840::OWED,
    &film::pa_2::RULE,
    &film::pa_2::OWED,
    &film::ninety_ten::RULE,
    &film::ninety_ten::OWED,
    &paint::EXPECTED,
    &paint::DRY_FROM_WET,
    &plating::LOSS,
    &plating::RATE,
    &plating::ANODE_LOSS,
    &copies::COPIED,
    &history::NEVER_EXPOSED,
    &history::UPPERMOST,
];
