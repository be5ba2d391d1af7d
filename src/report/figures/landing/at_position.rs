//! A position with all that is drawn of its landing, and how positions share drawings.

use crate::findings::recomputed::landing::Landing;
use crate::findings::recomputed::loads::Loads;
use crate::records::Project;
use crate::records::positions::Position;
use crate::report::figures::ground::Ground;
use crate::report::figures::lettering;
use crate::report::figures::words::Units;

/// Height of a drawing of several positions, mm; more of them go on in the next.
pub const TALLEST_MM: f64 = 206.0;

/// A position with its landing and the loads on its blocks.
pub struct AtPosition<'a> {
    pub project: &'a Project,
    pub units: Units,
    pub position: &'a Position,
    pub landing: &'a Landing,
    pub loads: &'a Loads,
    /// Its id as it can be shown.
    pub id: String,
}

/// Every position of the record.
pub fn positions<'a>(ground: &'a Ground) -> Vec<AtPosition<'a>> {
    let examined = ground.examined;
    let each = examined.project.positions.iter().enumerate();
    each.map(|(number, position)| AtPosition {
        project: &examined.project,
        units: ground.units,
        position,
        landing: &examined.recomputed.landings[number],
        loads: &examined.recomputed.loads[number],
        id: lettering::shown(&position.id),
    })
    .collect()
}
