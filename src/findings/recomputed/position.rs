//! Where a ship lay in each position: as recorded, and as her sightings give it; and which caps stood then.

use geo::MultiPolygon;

use crate::calc::positions::{self, Fit, Seen};
use crate::calc::{exposure, openings};
use crate::hull::{Cap, Lie};
use crate::records::Project;
use crate::records::blocks::{Block, BlockRow};
use crate::records::openings::Opening;
use crate::records::positions::{Position, Sighting};

/// What comes out of one position's records.
#[derive(Debug)]
pub struct PositionRecomputed {
    /// Its sightings' places in the project's list.
    pub sightings: Vec<usize>,
    /// The position fitted to them.
    pub fit: Fit,
    /// Where she is taken to have lain: as recorded, and as fitted where nothing is recorded. `None`
    /// if neither gives station and offset.
    pub lie: Option<Lie>,
    /// Whether the yaw in `lie` is unknown and stands at 0.
    pub yaw_unknown: bool,
    /// For each opening the clear distance to the nearest cap, m, and that block's place in the
    /// project's list.
    pub clearances: Vec<Option<(f64, usize)>>,
}

/// The part of a cap on which its block can bear: within the flat keel for keel blocks, within the
/// bottom for the others; the whole cap where the outline is not recorded.
pub fn bearing_shape(project: &Project, block: &Block, lie: &Lie) -> MultiPolygon<f64> {
    let outline = match block.row {
        BlockRow::Keel => project.bottom.flat_keel.as_ref().or(project.bottom.bottom.as_ref()),
        _ => project.bottom.bottom.as_ref(),
    };
    let outline = outline.map(|outline| MultiPolygon(vec![outline.clone()]));
    exposure::footprint(&block.cap, lie, &outline)
}

/// The caps that stand in a position, with their blocks' places in the project's list.
pub fn caps<'a>(
    project: &'a Project,
    position: &'a str,
) -> impl Iterator<Item = (usize, Cap)> + 'a {
    let standing = |(_, block): &(usize, &'a Block)| block.stands_in(position);
    project.blocks.iter().enumerate().filter(standing).map(|(n, block)| (n, block.cap))
}

/// Whether a block was found elsewhere than it was planned, as another row of the plan says: in a position, or in any.
pub fn is_found_elsewhere(project: &Project, block: &Block, position: Option<&str>) -> bool {
    project.blocks.iter().any(|other| {
        other.moved_from.as_deref() == Some(&block.id)
            && position.is_none_or(|position| other.stands_in(position))
    })
}

/// The blocks of the plan that were left out of a position, or of which it is written why they were; those that only
/// stood elsewhere are not among them.
pub fn left_out(project: &Project) -> impl Iterator<Item = &Block> {
    project.blocks.iter().filter(|block| {
        let is_out = match project.positions.as_slice() {
            [] => block.positions.as_ref().is_some_and(Vec::is_empty),
            positions => !positions.iter().all(|position| block.stands_in(&position.id)),
        };
        let is_planned = block.moved_from.is_none() && !is_found_elsewhere(project, block, None);
        block.left_out_because.is_some() || (is_out && is_planned)
    })
}

/// Where she lay in a position: its sightings' places in the project's list, what is fitted to them, and
/// the lie that follows with whether its yaw is unknown, as [`PositionRecomputed`] has them.
pub(super) fn laid(project: &Project, position: &Position) -> (Vec<usize>, Fit, Option<Lie>, bool) {
    let (sightings, seen): (Vec<usize>, Vec<Seen>) = project
        .sightings
        .iter()
        .enumerate()
        .filter(|(_, sighting)| sighting.position == position.id)
        .map(|(n, sighting)| (n, seen(sighting)))
        .unzip();
    let tolerance_m =
        project.docking.bounds.tolerance("sighting").map_or(0.02, |bound| bound.value);
    let fit = positions::fit(&seen, position.recorded_yaw_deg, tolerance_m);
    let yaw = position.recorded_yaw_deg.or(fit.yaw_deg);
    let station = position.recorded_srp_station_m.or(fit.srp_station_m);
    let offset = position.recorded_offset_m.or(fit.centreline_offset_m);
    let lie = station.zip(offset).map(|(srp_station_m, centreline_offset_m)| Lie {
        srp_station_m,
        centreline_offset_m,
        yaw_deg: yaw.unwrap_or(0.0),
    });
    (sightings, fit, lie, yaw.is_none())
}

/// Where she lay in a position, as recorded or as fitted to its sightings; `None` where neither gives it.
pub fn lain(project: &Project, position: &Position) -> Option<Lie> {
    let (_, _, lie, _) = laid(project, position);
    lie
}

/// The lie that is planned; an offset that is not given is 0.
pub fn planned(position: &Position) -> Option<Lie> {
    Some(Lie {
        srp_station_m: position.planned_srp_station_m?,
        centreline_offset_m: position.planned_offset_m.unwrap_or(0.0),
        yaw_deg: 0.0,
    })
}

/// For each opening the clear distance to the nearest cap that stands in a position, m, and that block's place in the
/// project's list; `None` where no cap stands.
pub fn clearances(project: &Project, position: &Position, lie: &Lie) -> Vec<Option<(f64, usize)>> {
    let nearest =
        |opening: &Opening| openings::nearest(&opening.outline, caps(project, &position.id), lie);
    project.openings.iter().map(nearest).collect()
}

pub(super) fn recompute_position(project: &Project, position: &Position) -> PositionRecomputed {
    let (sightings, fit, lie, yaw_unknown) = laid(project, position);
    let clearances = match &lie {
        Some(lie) => clearances(project, position, lie),
        None => vec![None; project.openings.len()],
    };
    PositionRecomputed { sightings, clearances, yaw_unknown, lie, fit }
}

fn seen(sighting: &Sighting) -> Seen {
    Seen {
        hull: sighting.hull,
        station_m: sighting.dock_station_m,
        offset_m: sighting.dock_offset_m,
    }
}
