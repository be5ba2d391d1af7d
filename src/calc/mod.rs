//! Pure calculations in the kept units. Nothing here reads a file, prints, or knows how a record is
//! written down.

pub mod blocks;
pub mod climate;
pub mod coating;
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

use formula::Formula;

/// Every formula, in the order in which the report explains them.
pub const FORMULAS: &[&Formula] = &[
    &blocks::TOP,
    &blocks::APART,
    &positions::FIT,
    &positions::FROM_PLAN,
    &positions::SHIFT,
    &exposure::EXPOSURE,
    &shifts::SHIFT_STUDY,
    &coating::CHAIN,
    &openings::CLEARANCE,
    &hydrostatics::TABLE,
    &drafts::CARRY,
    &drafts::DISPLACEMENT,
    &drafts::CENTRE_OF_GRAVITY,
    &landing::FIRST_TOUCH,
    &landing::RELATIVE_TRIM,
    &landing::UPTHRUST,
    &landing::LOSS_OF_GM,
    &landing::NIL_GM,
    &landing::LOAD_LANDED,
    &landing::LIFT_OFF,
    &dewatering::RATE,
    &loads::springs::STIFFNESS,
    &loads::weight::CURVE,
    &loads::CONTACT,
    &loads::rigid::RIGID,
    &loads::girder::GIRDER,
    &loads::girder::BENDING,
    &loads::PRESSURE,
    &preparation::GRADE,
    &climate::DEW_POINT,
    &climate::MARGIN,
    &climate::COUNTED,
    &recoat::WINDOW,
    &film::statistics::STATISTICS,
    &film::iso_19840::RULE,
    &film::pa_2::RULE,
    &film::pa_2::OWED,
    &film::ninety_ten::RULE,
    &paint::EXPECTED,
    &paint::DRY_FROM_WET,
    &plating::LOSS,
    &plating::RATE,
    &plating::ANODE_LOSS,
    &history::NEVER_EXPOSED,
    &history::UPPERMOST,
];
