//! How she landed: arrival, then position by position, then weights moved and undocking.

mod afloat;
mod blocks;
mod checks;
pub(super) mod summary;
mod touch;
mod undocking;
mod water;

use serde::Serialize;

use super::lookup::{Held, finding, finding_on};
use super::{Inputs, Placed, drawings};
use crate::records::Project;
use crate::records::drafts::Occasion;

#[derive(Serialize)]
pub(super) struct Landing<'a> {
    /// Whether anything of a landing was written down.
    recorded: bool,
    assumptions: &'static [&'static str],
    arrival: Option<afloat::Survey>,
    arrival_drawings: Vec<Placed<'a>>,
    positions: Vec<One<'a>>,
    undocking: undocking::Undocking,
}

#[derive(Serialize)]
struct One<'a> {
    id: &'a str,
    drafts: Option<afloat::Survey>,
    drafts_drawings: Vec<Placed<'a>>,
    touch: touch::Touch,
    curve_drawings: Vec<Placed<'a>>,
    water: water::Water,
    water_drawings: Vec<Placed<'a>>,
    fall: Vec<touch::Fall>,
    fall_drawings: Vec<Placed<'a>>,
    loads: blocks::Loads,
    loads_drawings: Vec<Placed<'a>>,
    gaps: blocks::Gaps,
    gaps_drawings: Vec<Placed<'a>>,
    checks: Vec<checks::Check>,
}

/// What the calculations take for granted.
const ASSUMPTIONS: &[&str] = &[
    "From first touch until the dock is dry, the upthrust and the load as the water falls are those of a rigid \
     keel of the shape that the drafts show; only loads and gaps block by block are those of a girder that \
     bends and shears.",
    "Until she is landed, the upthrust is on the knuckle block alone.",
    "A block is taken as its layers in series, each equally stiff at every load. Timber across the grain is far \
     from that: it stiffens as it is pressed, and creeps; loads and gaps are estimates.",
    "The centre of gravity lies on the centreline (y = 0) when she stands in the dry dock.",
    "With water still in the dock, buoyancy is spread as a trapezoid of the right total and centre where \
     no curve was recorded.",
];

pub(super) fn section<'a>(inputs: &Inputs<'a>) -> Landing<'a> {
    let examined = inputs.examined;
    let project = &examined.project;
    let ship = &examined.recomputed.ship;
    let positions = project.positions.iter().enumerate().map(|(number, position)| {
        let of = |group: &str| -> Vec<Placed<'a>> {
            let mut of_group = drawings(inputs, group);
            of_group.retain(|placed| placed.position == Some(position.id.as_str()));
            of_group
        };
        One {
            id: &position.id,
            drafts: ship
                .survey(Some(number), Occasion::BeforeLanding)
                .map(|survey| afloat::survey(examined, survey, Some(number))),
            drafts_drawings: of("landing-drafts"),
            touch: touch::touch(examined, number),
            curve_drawings: of("landing-curve"),
            water: water::water(project, position),
            water_drawings: of("landing-water"),
            fall: touch::fall(examined, number),
            fall_drawings: of("landing-fall"),
            loads: blocks::loads(examined, number),
            loads_drawings: of("landing-loads"),
            gaps: blocks::gaps(examined, number),
            gaps_drawings: of("landing-gaps"),
            checks: checks::checks(examined, position),
        }
    });
    let mut arrival_drawings = drawings(inputs, "landing-drafts");
    arrival_drawings.retain(|placed| placed.position.is_none());
    Landing {
        recorded: is_recorded(project),
        assumptions: ASSUMPTIONS,
        arrival: ship
            .survey(None, Occasion::Arrival)
            .map(|survey| afloat::survey(examined, survey, None)),
        arrival_drawings,
        positions: positions.collect(),
        undocking: undocking::undocking(examined),
    }
}

/// Whether any file of the landing has a row.
pub(super) fn is_recorded(project: &Project) -> bool {
    project
        .sheets
        .iter()
        .any(|sheet| sheet.spec.path.starts_with("landing/") && !sheet.entries.is_empty())
}
