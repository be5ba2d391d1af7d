//! How the blocks share the load in each position: springs from the layers, gaps from tops, keel line
//! and built-in clearances, weight from the curve and what was moved since.

use geo::{Area, Centroid};

use super::afloat::Ship;
use super::bearing_shape;
use super::landing::{Landing, top_of};
use crate::calc::landing::{Line, Seat, line_of, load_landed};
use crate::calc::loads::girder::HullLength;
use crate::calc::loads::springs::{self, stiffness_kn_per_m};
use crate::calc::loads::weight::{Curve, Length};
use crate::calc::loads::{BlockSpring, Carried, LoadsError, Outcome, girder, pressure_kpa, rigid};
use crate::hull::Lie;
use crate::records::Project;
use crate::records::blocks::{Block, BlockRow};
use crate::records::layers::Of;

/// Stations of the girder stand at most this far apart, m.
const LONGEST_M: f64 = 1.0;

/// The loads of one position. What the records do not give is `None`, and `why_not` says why.
#[derive(Debug, Default)]
pub struct Loads {
    /// The blocks that can bear, in the order of the project's list.
    pub blocks: Vec<Bearing>,
    /// The ship as a girder, dock dry.
    pub girder: Option<Outcome>,
    /// The ship taken as rigid, dock dry.
    pub rigid: Option<Outcome>,
    /// The girder with water still in the dock, for each depth at which gaps were measured.
    pub wet: Vec<Wet>,
    /// What leaving blocks out did.
    pub left_out: Vec<LeftOut>,
    /// Weight carried in the dry dock, t.
    pub weight_t: f64,
    /// Why there is no girder, in a sentence's part.
    pub why_not: Option<String>,
}

/// A block that can bear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    /// Its number in the project's list.
    pub block: usize,
    /// As the ship feels it.
    pub spring: BlockSpring,
    /// The area on which it bears, m2.
    pub area_m2: f64,
}

/// The girder with water still in the dock.
#[derive(Debug)]
pub struct Wet {
    /// Depth of the water over the floor at station 0, m.
    pub water_depth_m: f64,
    /// Whether the buoyancy is a curve that was recorded; otherwise it is a trapezoid of the right total
    /// and centre.
    pub recorded_buoyancy: bool,
    /// The loads.
    pub outcome: Outcome,
}

/// What leaving a block out did to its neighbours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftOut {
    /// The block that was left out, by its number in the project's list.
    pub block: usize,
    /// A neighbour of its row that stood.
    pub neighbour: usize,
    /// The neighbour's load had the block stood, kN.
    pub with_kn: f64,
    /// The neighbour's load as it was, kN.
    pub without_kn: f64,
}

impl Loads {
    /// Load, pressure (kPa) and remaining gap of each bearing block of an outcome, in their order.
    pub fn rows<'a>(
        &'a self,
        outcome: &'a Outcome,
    ) -> impl Iterator<Item = (&'a Bearing, f64, Option<f64>, f64)> + 'a {
        self.blocks.iter().enumerate().map(|(n, bearing)| {
            let load = outcome.loads_kn[n];
            (bearing, load, pressure_kpa(load, bearing.area_m2), outcome.gaps_m[n])
        })
    }
}

/// Works out one position.
pub fn loads(
    project: &Project,
    ship: &Ship,
    number: usize,
    lie: Option<&Lie>,
    landing: &Landing,
) -> Loads {
    let mut out = Loads::default();
    if project.layers.is_empty() && project.weights.is_empty() && project.stiffness.is_empty() {
        out.why_not = Some("layers, weights and stiffness were not recorded".to_string());
        return out;
    }
    if let Err(why) = fill(project, ship, number, lie, landing, &mut out) {
        out.why_not = Some(why);
    }
    out
}

fn fill(
    project: &Project,
    ship: &Ship,
    number: usize,
    lie: Option<&Lie>,
    landing: &Landing,
    out: &mut Loads,
) -> Result<(), String> {
    let position = &project.positions[number];
    let lie = lie.ok_or("where she lay was not recorded")?;
    let line = line_of_tops(project, landing)
        .ok_or("the tops of at least two keel blocks were not recorded")?;
    let standing = |block: &&Block| block.stands_in(&position.id);
    out.blocks = bearings(project, lie, &line, project.blocks.iter().filter(standing))?;
    let said = |error: LoadsError| error.to_string();
    let carried = carried(project, number).map_err(said)?;
    out.weight_t = carried.net_t();
    let springs: Vec<BlockSpring> = out.blocks.iter().map(|bearing| bearing.spring).collect();
    out.rigid = Some(rigid(&springs, &carried).map_err(said)?);
    let hull = hull(project)?;
    out.girder = Some(girder(&springs, &carried, &hull, LONGEST_M).map_err(said)?.outcome);

    let mut depths: Vec<f64> = project
        .gaps
        .iter()
        .filter(|gap| gap.position == position.id)
        .filter_map(|gap| gap.water_depth_m)
        .collect();
    depths.sort_by(f64::total_cmp);
    depths.dedup();
    for depth in depths {
        out.wet
            .extend(wet(project, ship, number, landing, &line, &carried, &springs, &hull, depth));
    }
    out.left_out = left_out(project, number, lie, &line, &carried, &hull, out);
    Ok(())
}

/// The line of the keel blocks' tops, to which bilge blocks are built up with their clearance: the base
/// line lies along it before anything gives.
fn line_of_tops(project: &Project, landing: &Landing) -> Option<Line> {
    let tops: Vec<Seat> = landing
        .seats
        .iter()
        .filter_map(|(n, seat)| {
            Some(Seat { level_m: top_of(project, &project.blocks[*n])?, ..*seat })
        })
        .collect();
    line_of(&tops)
}

/// The blocks as springs. A block of the keel's row bears within the flat keel, the others within the
/// bottom; one that lies wholly outside bears nothing and is left out.
fn bearings<'a>(
    project: &Project,
    lie: &Lie,
    line: &Line,
    blocks: impl Iterator<Item = &'a Block>,
) -> Result<Vec<Bearing>, String> {
    let mut found = Vec::new();
    for block in blocks {
        let shape = bearing_shape(project, block, lie);
        let area_m2 = shape.unsigned_area();
        let Some(centre) = shape.centroid().filter(|_| area_m2 > 1e-4) else { continue };
        let layers = layers_of(project, block);
        if layers.is_empty() {
            return Err(format!("the layers of {} were not recorded", block.id));
        }
        let stiffness_kn_per_m = stiffness_kn_per_m(&layers).map_err(|error| error.to_string())?;
        let rise = project.keel.rise_m(centre.x());
        let gap_m = match block.row {
            BlockRow::Keel => {
                let top = top_of(project, block).ok_or_else(|| {
                    format!("the level of the top of {} was not recorded", block.id)
                })?;
                line.at_m(centre.x()) + rise - top
            }
            _ => {
                let clearance = block.clearance_m.ok_or_else(|| {
                    format!("the clearance built in at {} was not recorded", block.id)
                })?;
                clearance + rise
            }
        };
        let width_m = area_m2 / block.cap.length_m;
        let spring =
            BlockSpring { x_m: centre.x(), y_m: centre.y(), stiffness_kn_per_m, gap_m, width_m };
        let number = project.blocks.iter().position(|known| known.id == block.id);
        found.extend(number.map(|block| Bearing { block, spring, area_m2 }));
    }
    Ok(found)
}

/// A block's own layers, or those of its row.
fn layers_of(project: &Project, block: &Block) -> Vec<springs::Layer> {
    let of = |of: &Of| -> Vec<springs::Layer> {
        project
            .layers
            .iter()
            .filter(|layer| layer.of == *of)
            .map(|layer| springs::Layer {
                thickness_m: layer.thickness_m,
                area_m2: layer.area_m2,
                modulus_kpa: layer.elastic_modulus_kpa,
            })
            .collect()
    };
    let own = of(&Of::Block(block.id.clone()));
    if own.is_empty() { of(&Of::Row(block.row)) } else { own }
}

/// The weight curve, with what was put on before she touched in this position; what was taken off is
/// reckoned as lift at its place, which comes to the same.
fn carried(project: &Project, number: usize) -> Result<Carried, LoadsError> {
    let mut weight: Vec<Length> = project
        .weights
        .iter()
        .map(|weight| Length {
            from_x_m: weight.from_x_m,
            to_x_m: weight.to_x_m,
            mass_t: weight.mass_t,
            centre_x_m: weight.centre_x_m,
        })
        .collect();
    let mut off = Vec::new();
    let touched = project.positions[number].times.touched;
    let before = |at| touched.is_some_and(|touched| at <= touched);
    for moved in project.moved.iter().filter(|moved| before(moved.at)) {
        let at = |mass_t: f64| Length {
            from_x_m: moved.x_m,
            to_x_m: moved.x_m,
            mass_t,
            centre_x_m: moved.x_m,
        };
        if moved.mass_t >= 0.0 {
            weight.push(at(moved.mass_t));
        } else {
            off.push(at(-moved.mass_t));
        }
    }
    Ok(Carried { weight: Curve::new(weight)?, buoyancy: Curve::new(off)?, athwart_tm: 0.0 })
}

fn hull(project: &Project) -> Result<Vec<HullLength>, String> {
    if project.stiffness.is_empty() {
        return Err("the stiffness of the hull was not recorded".to_string());
    }
    Ok(project
        .stiffness
        .iter()
        .map(|length| HullLength {
            from_x_m: length.from_x_m,
            to_x_m: length.to_x_m,
            bending_kn_m2: length.elastic_modulus_kpa * length.second_moment_m4,
            shear_kn: length.shear_modulus_kpa * length.shear_area_m2,
        })
        .collect())
}

/// The girder with water at a depth over the floor; `None` where the buoyancy can't be known.
#[allow(clippy::too_many_arguments)]
fn wet(
    project: &Project,
    ship: &Ship,
    number: usize,
    landing: &Landing,
    line: &Line,
    dry: &Carried,
    springs: &[BlockSpring],
    hull: &[HullLength],
    water_depth_m: f64,
) -> Option<Wet> {
    let level = project.docking.dock.floor_level_m? + water_depth_m;
    let position = &project.positions[number].id;
    const SAME_LEVEL_M: f64 = 0.1;
    let recorded: Vec<Length> = project
        .buoyancy
        .iter()
        .filter(|length| length.position == *position)
        .filter(|length| (length.water_level_m - level).abs() <= SAME_LEVEL_M)
        .map(|length| Length {
            from_x_m: length.from_x_m,
            to_x_m: length.to_x_m,
            mass_t: length.buoyancy_t,
            centre_x_m: (length.from_x_m + length.to_x_m) / 2.0,
        })
        .collect();
    let recorded_buoyancy = !recorded.is_empty();
    let mut lift = if recorded_buoyancy {
        recorded
    } else {
        let afloat = landing.afloat.as_ref()?;
        let load = load_landed(afloat, line, level)?;
        let total = afloat.displacement_t - load.load_t;
        let moment = afloat.displacement_t * afloat.lcg_x_m - load.load_t * load.centre_x_m?;
        let ends = ship.perpendiculars?;
        if total <= 0.0 {
            return None;
        }
        let (from, to) = (ends.aft_x_m, ends.forward_x_m);
        vec![Length { from_x_m: from, to_x_m: to, mass_t: total, centre_x_m: moment / total }]
    };
    lift.extend(dry.buoyancy.lengths().iter().copied());
    let buoyancy = Curve::new(lift).ok()?;
    let carried = Carried { buoyancy, ..dry.clone() };
    let outcome = girder(springs, &carried, hull, LONGEST_M).ok()?.outcome;
    Some(Wet { water_depth_m, recorded_buoyancy, outcome })
}

/// For each block left out of the position: its neighbours' loads had it stood, and as they were. A block
/// whose top or layers are not known can't be studied.
fn left_out(
    project: &Project,
    number: usize,
    lie: &Lie,
    line: &Line,
    carried: &Carried,
    hull: &[HullLength],
    now: &Loads,
) -> Vec<LeftOut> {
    let position = &project.positions[number].id;
    let Some(as_it_was) = &now.girder else { return Vec::new() };
    let mut found = Vec::new();
    let absent = project
        .blocks
        .iter()
        .filter(|block| block.left_out_because.is_some() && !block.stands_in(position));
    for block in absent {
        let Ok(mut added) = bearings(project, lie, line, std::iter::once(block)) else { continue };
        let Some(added) = added.pop() else { continue };
        let mut springs: Vec<BlockSpring> = now.blocks.iter().map(|b| b.spring).collect();
        springs.push(added.spring);
        let Ok(with) = girder(&springs, carried, hull, LONGEST_M) else { continue };
        // The nearest standing block of the row on each side.
        for ahead in [false, true] {
            let neighbour = now
                .blocks
                .iter()
                .enumerate()
                .filter(|(_, other)| project.blocks[other.block].row == block.row)
                .filter(|(_, other)| (other.spring.x_m > added.spring.x_m) == ahead)
                .min_by(|a, b| {
                    let away = |bearing: &Bearing| (bearing.spring.x_m - added.spring.x_m).abs();
                    away(a.1).total_cmp(&away(b.1))
                });
            found.extend(neighbour.map(|(n, other)| LeftOut {
                block: added.block,
                neighbour: other.block,
                with_kn: with.outcome.loads_kn[n],
                without_kn: as_it_was.loads_kn[n],
            }));
        }
    }
    found
}
