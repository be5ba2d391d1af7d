//! Every figure derived again from the raw readings, once, for findings and report alike.

pub mod afloat;
pub mod chronology;
pub mod coating;
pub mod history;
pub mod landing;
pub mod loads;
pub mod plating;
pub mod shifts;
pub mod water;

use geo::MultiPolygon;

use crate::calc::exposure::{self, Class, Hidden, Piece};
use crate::calc::openings;
use crate::calc::plane;
use crate::calc::positions::{self, Fit, Seen};
use crate::hull::{Cap, Lie};
use crate::records::Project;
use crate::records::blocks::{Block, BlockRow};
use crate::records::positions::{Position, Sighting};
use afloat::Ship;
use chronology::Chronology;
use coating::Coating;
use history::History;
use landing::Landing;
use loads::Loads;
use plating::Strake;

/// What comes out of one docking's records.
#[derive(Debug)]
pub struct Recomputed {
    /// The bottom's outline, if it is recorded.
    pub bottom: exposure::Bottom,
    /// The positions in the order of the file.
    pub positions: Vec<PositionRecomputed>,
    /// What each position hid, in the same order; empty unless every position can be placed.
    pub hidden: Vec<Hidden>,
    /// The bottom by the positions that hid it.
    pub classes: Vec<Class>,
    /// What was never exposed, piece by piece from aft to forward.
    pub never_exposed: Vec<Piece>,
    /// The ship afloat.
    pub ship: Ship,
    /// How she landed, position by position.
    pub landings: Vec<Landing>,
    /// How the blocks shared the load, position by position.
    pub loads: Vec<Loads>,
    /// What was coated.
    pub coating: Coating,
    /// What the plating has lost, strake by strake.
    pub strakes: Vec<Strake>,
    /// Every dated record on one line.
    pub chronology: Chronology,
    /// What the dockings on record say together; `None` where there is no earlier one.
    pub history: Option<History>,
}

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

impl Recomputed {
    /// Recomputes a project.
    pub fn new(project: &Project) -> Self {
        let bottom = project.bottom.bottom.clone().map(|outline| MultiPolygon(vec![outline]));
        let positions: Vec<PositionRecomputed> = project
            .positions
            .iter()
            .map(|position| recompute_position(project, position))
            .collect();
        let lies: Option<Vec<Lie>> = positions.iter().map(|position| position.lie).collect();
        let lies = lies.unwrap_or_default();
        let hidden: Vec<Hidden> = lies
            .iter()
            .zip(&project.positions)
            .map(|(lie, position)| exposure::hidden(caps(project, &position.id), lie, &bottom))
            .collect();
        let classes = exposure::classes(&bottom, &hidden);
        let never_exposed = exposure::never_exposed(&classes, &hidden);
        let ship = Ship::new(project);
        // The coating asks nothing of the landing: the two are worked out side by side.
        let (coating, (landings, loads)) = rayon::join(
            || Coating::new(project, &hidden, &lies, &bottom),
            || landed(project, &ship, &positions),
        );
        Self {
            history: History::new(project, &bottom, &hidden, &coating),
            strakes: plating::strakes(project),
            chronology: Chronology::new(project),
            bottom,
            positions,
            hidden,
            classes,
            never_exposed,
            ship,
            landings,
            loads,
            coating,
        }
    }

    /// Area never exposed, m2; `None` where a position could not be placed or no block is recorded as standing
    /// in it, or there is none.
    pub fn never_exposed_m2(&self) -> Option<f64> {
        let known = |hidden: &Hidden| !hidden.footprints.is_empty();
        let known = !self.hidden.is_empty() && self.hidden.iter().all(known);
        known.then(|| self.never_exposed.iter().map(|p| p.area_m2).sum())
    }
}

/// How she landed in each position, and how the blocks then shared the load.
fn landed(
    project: &Project,
    ship: &Ship,
    positions: &[PositionRecomputed],
) -> (Vec<Landing>, Vec<Loads>) {
    let landings: Vec<Landing> = positions
        .iter()
        .enumerate()
        .map(|(number, position)| {
            let lie = position.lie.as_ref();
            let area = |block: usize| {
                Some(plane::area_m2(&bearing_shape(project, &project.blocks[block], lie?)))
            };
            landing::landing(project, ship, number, lie, &area)
        })
        .collect();
    let loads = positions
        .iter()
        .zip(&landings)
        .enumerate()
        .map(|(number, (position, landing))| {
            loads::loads(project, ship, number, position.lie.as_ref(), landing)
        })
        .collect();
    (landings, loads)
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

/// Where she lay in a position: its sightings' places in the project's list, what is fitted to them, and
/// the lie that follows with whether its yaw is unknown, as [`PositionRecomputed`] has them.
fn laid(project: &Project, position: &Position) -> (Vec<usize>, Fit, Option<Lie>, bool) {
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

fn recompute_position(project: &Project, position: &Position) -> PositionRecomputed {
    let (sightings, fit, lie, yaw_unknown) = laid(project, position);
    let clearance = |lie: &Lie| {
        let nearest = |opening: &crate::records::openings::Opening| {
            openings::nearest(&opening.outline, caps(project, &position.id), lie)
        };
        project.openings.iter().map(nearest).collect()
    };
    PositionRecomputed {
        sightings,
        clearances: lie.as_ref().map_or_else(|| vec![None; project.openings.len()], clearance),
        yaw_unknown,
        lie,
        fit,
    }
}

fn seen(sighting: &Sighting) -> Seen {
    Seen {
        hull: sighting.hull,
        station_m: sighting.dock_station_m,
        offset_m: sighting.dock_offset_m,
    }
}
