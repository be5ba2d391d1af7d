//! How the blocks share the load in each position: springs from the layers, gaps from tops, keel line
//! and built-in clearances, weight from the curve and what was moved since.

use chrono::{DateTime, FixedOffset};
use geo::{Area, BoundingRect, Centroid};

use super::afloat::Ship;
use super::landing::{Landing, seats, top_of};
use super::position::bearing_shape;
use crate::calc::landing::{Line, Seat, line_of};
use crate::calc::loads::floor::{Span, Stretch, greatest_per_metre};
use crate::calc::loads::girder::{Girder, HullLength, Station};
use crate::calc::loads::springs::{self, stiffness_kn_per_m};
use crate::calc::loads::weight::{Curve, Length};
use crate::calc::loads::{BlockSpring, Carried, LoadsError, Outcome, girder, pressure_kpa, rigid};
use crate::findings::bilge::{hauled_after, set_in};
use crate::findings::judge;
use crate::findings::subject::Subject;
use crate::hull::Lie;
use crate::records::Project;
use crate::records::blocks::{Block, BlockRow};
use crate::records::drafts::Occasion;
use crate::records::layers::LayerOwner;
use crate::text;
use crate::text::measure::Form;
use crate::text::sentence::{Text, code, id, range};
use crate::units::STANDARD_GRAVITY_M_PER_S2;

/// Stations of the girder stand at most this far apart, m.
const LONGEST_M: f64 = 1.0;

/// The loads of one position. What the records do not give is `None`, and `why_not` says why.
#[derive(Debug, Default)]
pub struct Loads {
    /// The blocks that can bear, in the order of the project's list.
    pub blocks: Vec<Bearing>,
    /// The ship as a girder, dock dry.
    pub girder: Option<Outcome>,
    /// Shear and bending of that girder, from aft to forward; empty without one.
    pub along: Vec<Station>,
    /// The ship taken as rigid, dock dry.
    pub rigid: Option<Outcome>,
    /// The ship as a girder, dock dry, on timber half as stiff as was noted and twice as stiff.
    pub on_other_timber: Option<[Outcome; 2]>,
    /// The girder with water still in the dock, for each depth at which gaps were measured.
    pub wet: Vec<Wet>,
    /// What leaving blocks out did.
    pub left_out: Vec<LeftOut>,
    /// Weight carried in the dry dock, t.
    pub weight_t: f64,
    /// Why there is no girder, in a sentence's part.
    pub why_not: Option<Text>,
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
    /// The loads and where their buoyancy came from, or why there are none, in a sentence's part.
    pub shared: Result<(Outcome, Buoyancy), Text>,
}

/// Where the buoyancy of a wet dock came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Buoyancy {
    /// The water does not reach her keel.
    None,
    /// A curve that was recorded.
    Recorded,
    /// A trapezoid of the total and centre that her draft gives.
    Trapezoid,
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

/// What a block bears in the dry dock, the ship as a girder.
#[derive(Debug, Clone, Copy)]
pub struct Borne<'a> {
    /// The block.
    pub block: &'a Block,
    /// Where it bears, x, m.
    pub x_m: f64,
    /// Its load, kN.
    pub load_kn: f64,
    /// Its load were the ship rigid, kN.
    pub rigid_kn: Option<f64>,
    /// Its least and greatest load on timber as noted, half as stiff and twice as stiff, kN.
    pub range_kn: Option<(f64, f64)>,
    /// The pressures under these, kPa.
    pub range_kpa: Option<(f64, f64)>,
    /// Its bearing pressure, kPa.
    pub pressure_kpa: Option<f64>,
    /// What it may bear, kPa.
    pub limit_kpa: Option<f64>,
    /// What is left between cap and hull, m.
    pub gap_m: f64,
}

/// Loads under this are what the calculation leaves over, kN.
const NO_LOAD_KN: f64 = 0.01;

impl Borne<'_> {
    /// Whether it stands and bears nothing.
    pub fn is_idle(&self) -> bool {
        self.load_kn <= NO_LOAD_KN
    }

    /// Its pressure as a part of what it may bear.
    pub fn part(&self) -> Option<f64> {
        Some(self.pressure_kpa? / self.limit_kpa?)
    }

    /// Whether it bears more than it may.
    pub fn is_beyond_limit(&self) -> bool {
        let both = self.pressure_kpa.zip(self.limit_kpa);
        both.is_some_and(|(pressure, limit)| judge::exceeds(pressure, limit))
    }
}

/// What a block may bear, kPa: its own limit, or that of all.
pub fn bearing_limit_kpa(project: &Project, block: &Block) -> Option<f64> {
    let general = || project.docking.bounds.limit("bearing_pressure");
    block.bearing_limit_kpa.or_else(|| general().map(|limit| limit.value))
}

/// What a block lays on the dock's floor.
#[derive(Debug, Clone, Copy)]
pub struct OnFloor<'a> {
    pub block: &'a Block,
    /// On the area of its lowest layer, kPa.
    pub pressure_kpa: f64,
}

impl Loads {
    /// Where the hull hogs and where it sags most, dock dry; `None` for one that it does nowhere.
    pub fn most_bent(&self) -> [Option<&Station>; 2] {
        let by = |a: &&Station, b: &&Station| a.moment_knm.total_cmp(&b.moment_knm);
        let hogs = self.along.iter().max_by(by).filter(|station| station.moment_knm > 0.0);
        let sags = self.along.iter().min_by(by).filter(|station| station.moment_knm < 0.0);
        [hogs, sags]
    }

    /// Where the bending moment is greatest in size.
    pub fn most_bending(&self) -> Option<&Station> {
        let both = self.most_bent().into_iter().flatten();
        both.max_by(|a, b| a.moment_knm.abs().total_cmp(&b.moment_knm.abs()))
    }

    /// Where the shear force is greatest in size.
    pub fn most_sheared(&self) -> Option<&Station> {
        self.along.iter().max_by(|a, b| a.shear_kn().abs().total_cmp(&b.shear_kn().abs()))
    }

    /// The stretch of the dock that bears most, in t/m, over the length that the limits state.
    pub fn per_metre(&self, project: &Project) -> Option<Stretch> {
        let over_m = project.docking.bounds.limit("floor_load_length")?.value;
        let spans = self.borne(project).into_iter().filter_map(|borne| {
            let extent = borne.block.cap.polygon().bounding_rect()?;
            let load = borne.load_kn / STANDARD_GRAVITY_M_PER_S2;
            Some(Span { from_m: extent.min().x, to_m: extent.max().x, load })
        });
        greatest_per_metre(&spans.collect::<Vec<_>>(), over_m)
    }

    /// The block that presses most on the dock's floor.
    pub fn on_floor<'a>(&'a self, project: &'a Project) -> Option<OnFloor<'a>> {
        let each = self.borne(project).into_iter().filter_map(|borne| {
            let lowest = layers_of(project, borne.block).into_iter().next()?;
            let pressure_kpa = pressure_kpa(borne.load_kn, lowest.area_m2)?;
            Some(OnFloor { block: borne.block, pressure_kpa })
        });
        each.max_by(|a, b| a.pressure_kpa.total_cmp(&b.pressure_kpa))
    }

    /// What each block bears in the dry dock; nothing where that could not be found.
    pub fn borne<'a>(&'a self, project: &'a Project) -> Vec<Borne<'a>> {
        let rows = self.girder.iter().flat_map(|girder| self.rows(girder)).enumerate();
        let kpa = |kn: f64, bearing: &Bearing| pressure_kpa(kn, bearing.area_m2);
        let borne = rows.filter_map(|(n, (bearing, load_kn, pressure_kpa, gap_m))| {
            let block = project.blocks.get(bearing.block)?;
            Some(Borne {
                block,
                x_m: bearing.spring.x_m,
                load_kn,
                rigid_kn: self.rigid.as_ref().and_then(|rigid| rigid.loads_kn.get(n)).copied(),
                range_kn: self.range_kn(n, load_kn),
                range_kpa: self
                    .range_kn(n, load_kn)
                    .and_then(|(least, greatest)| kpa(least, bearing).zip(kpa(greatest, bearing))),
                pressure_kpa,
                limit_kpa: bearing_limit_kpa(project, block),
                gap_m,
            })
        });
        borne.collect()
    }

    /// The least and the greatest load of a bearing block as timber is softer or stiffer, kN.
    fn range_kn(&self, bearing: usize, load_kn: f64) -> Option<(f64, f64)> {
        let [softer, stiffer] = self.on_other_timber.as_ref()?;
        let (a, b) = (*softer.loads_kn.get(bearing)?, *stiffer.loads_kn.get(bearing)?);
        Some((load_kn.min(a).min(b), load_kn.max(a).max(b)))
    }

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

    /// The loads with the dock dry (`None`) or with water of a depth in it, m, at which gaps were measured, and
    /// where the buoyancy came from; or why there are none, in a sentence's part.
    pub fn with_water(&self, depth_m: Option<f64>) -> Result<(&Outcome, Buoyancy), Text> {
        const NOT_FOUND: &str = "the loads could not be found";
        if let Some(why_not) = &self.why_not {
            return Err(why_not.clone());
        }
        let Some(depth_m) = depth_m else {
            let dry = self.girder.as_ref().map(|outcome| (outcome, Buoyancy::None));
            return dry.ok_or(NOT_FOUND.into());
        };
        let wet = self.wet.iter().find(|wet| (wet.water_depth_m - depth_m).abs() < 1e-6);
        match wet.map(|wet| &wet.shared) {
            Some(Ok((outcome, buoyancy))) => Ok((outcome, *buoyancy)),
            Some(Err(why_not)) => Err(why_not.clone()),
            None => Err(NOT_FOUND.into()),
        }
    }
}

/// What of the records behind the loads of a position is off by more than its tolerance, as what the loads are subject to:
/// `the weight curve is 60.00 t from the displacement (landing.weights.total)`. None where all of it fits.
pub fn caveats(project: &Project, ship: &Ship, number: usize) -> Vec<Text> {
    let bounds = &project.docking.bounds;
    let tolerance = |name: &str| bounds.tolerance(name).map(|bound| bound.value);
    let mut found = Vec::new();
    let displacement = ship.first_survey().and_then(|survey| survey.displacement.as_ref());
    let total_t: f64 = project.weights.iter().map(|weight| weight.mass_t).sum();
    let moment_tm: f64 = project.weights.iter().map(|w| w.mass_t * w.centre_x_m).sum();
    if let Some(displacement) = displacement.filter(|_| total_t > 0.0) {
        let off_t = (total_t - displacement.displacement_t).abs();
        if tolerance("displacement").is_some_and(|most| judge::exceeds(off_t, most)) {
            let off = Form::Mass.measure(off_t);
            let id = code(Subject::WeightsTotal.to_string());
            found.push(text!("the weight curve is {} from the displacement ({})", off, id));
        }
        let off_m = (moment_tm / total_t - displacement.lcg_x_m).abs();
        if tolerance("centre").is_some_and(|most| judge::exceeds(off_m, most)) {
            let off = Form::Length.measure(off_m);
            let id = code(Subject::WeightsCentre.to_string());
            found.push(text!(
                "the centre of the weight curve is {} from that by the drafts ({})",
                off,
                id
            ));
        }
    }
    let landed = ship.survey(Some(number), Occasion::BeforeLanding);
    let list_deg = landed.and_then(|survey| survey.drafts.as_ref()?.list_deg);
    if let Some((list_deg, most)) = list_deg.zip(tolerance("list"))
        && judge::exceeds(list_deg.abs(), most)
    {
        found.push(text!(
            "she listed {} before landing, and the loads are those of a ship upright",
            Form::Angle.measure(list_deg)
        ));
    }
    found
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
        out.why_not = Some("layers, weights and stiffness were not recorded".into());
        return out;
    }
    if let Err(why) = fill(project, ship, number, lie, landing, &mut out) {
        out.why_not = Some(why);
    }
    out
}

/// Why the loads can't be computed, as part of a sentence.
impl From<LoadsError> for Text {
    fn from(error: LoadsError) -> Self {
        let m = |metres: f64| Form::Length.measure(metres);
        let degrees = |radians: f64| Form::Angle.measure(radians.to_degrees()).decimals(1);
        match error {
            LoadsError::NoLayers => text!("the block has no layers, so its stiffness is not known"),
            LoadsError::Layer { number, quantity } => {
                text!("the {} of layer {} is not a number above 0", quantity, number + 1)
            }
            LoadsError::NoBlocks => text!("there are no blocks for the keel to rest on"),
            LoadsError::Block { number, quantity } => {
                text!("the {} of block {} can't be used", quantity, number + 1)
            }
            LoadsError::Length { number, quantity } => {
                text!("the {} of length {} of the curve can't be used", quantity, number + 1)
            }
            LoadsError::CentreOutside { number, centre_x_m, from_x_m, to_x_m } => text!(
                "the centre of length {} of the curve, at {}, lies outside its middle third, from {}, \
                 so that part of it would weigh less than nothing",
                number + 1,
                m(centre_x_m),
                range(m(from_x_m), m(to_x_m))
            ),
            LoadsError::Afloat { over_t } => text!(
                "nothing rests on the blocks: the buoyancy exceeds the weight by {}",
                Form::Mass.measure(over_t).decimals(1)
            ),
            LoadsError::Topples { x_m, y_m } => text!(
                "the centre of what the blocks carry, {} forward and {} to port, lies outside the blocks, \
                 so the ship would tip over",
                m(x_m),
                m(y_m)
            ),
            LoadsError::OneStation => {
                text!("all blocks stand at one station, so the trim can't be found")
            }
            LoadsError::NoHull => text!("no stiffness of the hull is given"),
            LoadsError::Stiffness { number, quantity } => {
                text!("the {} of length {} of the hull can't be used", quantity, number + 1)
            }
            LoadsError::NoStiffness { from_x_m, to_x_m } => {
                text!("no stiffness of the hull is given from {}", range(m(from_x_m), m(to_x_m)))
            }
            LoadsError::TwoStiffnesses { from_x_m, to_x_m } => {
                text!(
                    "the stiffness of the hull is given twice from {}",
                    range(m(from_x_m), m(to_x_m))
                )
            }
            LoadsError::BeyondHull { what, x_m } => {
                text!("{} at {} lies beyond the hull whose stiffness is given", what, m(x_m))
            }
            LoadsError::ElementLength { most } => text!(
                "the longest element of the hull girder must be above 0 and long enough for at most {} of \
                 them",
                most
            ),
            LoadsError::TooFar { trim_rad, heel_rad } => text!(
                "the ship would trim {} and heel {} on these blocks, more than the calculation for small \
                 angles allows",
                degrees(trim_rad),
                degrees(heel_rad)
            ),
            LoadsError::NotSettled => text!(
                "the loads could not be found: the forces did not come into balance, as happens when \
                 stiffnesses or gaps are too far apart in size"
            ),
        }
    }
}

/// The loads in the dry dock were she to lie so on these blocks of the project's list. `number` is the
/// position whose weights she carries: those of the record, and what was moved before she touched in it.
pub fn loads_on(project: &Project, number: usize, lie: &Lie, standing: &[usize]) -> Loads {
    let mut out = Loads::default();
    let blocks = || standing.iter().filter_map(|n| Some((*n, project.blocks.get(*n)?)));
    let seats = seats(project, blocks(), lie);
    if let Err(why) = dry(project, number, lie, &seats, blocks(), &mut out) {
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
) -> Result<(), Text> {
    let position = &project.positions[number];
    let lie = lie.ok_or("where she lay was not recorded")?;
    let numbered = project.blocks.iter().enumerate();
    let standing = numbered.filter(|(_, block)| block.stands_in(&position.id));
    let (bed, carried) = dry(project, number, lie, &landing.seats, standing, out)?;

    let mut depths: Vec<f64> = project
        .gaps
        .iter()
        .filter(|gap| gap.position == position.id)
        .filter_map(|gap| gap.water_depth_m)
        .chain(depths_at_stops_m(project, &position.id))
        .collect();
    depths.sort_by(f64::total_cmp);
    depths.dedup();
    let springs = springs_of(&out.blocks);
    for water_depth_m in depths {
        let lift = lift(&bed, ship, number, landing, water_depth_m);
        let absent = not_hauled(project, &position.id, water_depth_m, &out.blocks);
        let shared = lift.and_then(|lift| wet(&bed, &springs, &absent, &carried, lift));
        out.wet.push(Wet { water_depth_m, shared });
    }
    out.left_out = left_out(&bed, number, &carried, out);
    let other = |times: f64| {
        let springs = bed.springs_with_timber(&out.blocks, times).ok()?;
        Some(bed.girder(&springs, &carried).ok()?.outcome)
    };
    out.on_other_timber = other(0.5).zip(other(2.0)).map(|(softer, stiffer)| [softer, stiffer]);
    Ok(())
}

/// A layer softer than this, kPa, is timber or some other packing of which the modulus is a guess; concrete and steel are
/// ten times as stiff and more.
const SOFT_KPA: f64 = 2e6;

/// Which of the bearing blocks had not been hauled under her when gaps were first measured at a depth of water.
fn not_hauled(
    project: &Project,
    position: &str,
    water_depth_m: f64,
    blocks: &[Bearing],
) -> Vec<bool> {
    let measured = project.gaps.iter().filter(|gap| gap.position == position);
    let at_depth = measured.filter(|gap| gap.water_depth_m == Some(water_depth_m));
    let first = at_depth.filter_map(|gap| gap.at).min();
    let is_absent = |bearing: &Bearing| {
        let block = &project.blocks[bearing.block].id;
        first.is_some_and(|at| hauled_after(project, position, block, at).is_some())
    };
    blocks.iter().map(is_absent).collect()
}

/// Depths of water over the floor at station 0 at the stops of a position, m.
fn depths_at_stops_m<'a>(
    project: &'a Project,
    position: &'a str,
) -> impl Iterator<Item = f64> + 'a {
    let floor_m = project.docking.dock.floor_level_m;
    let stops = project.stops.iter().filter(move |stop| stop.position == position);
    stops.filter_map(move |stop| Some(stop.level_m - floor_m?))
}

/// What the blocks of a position are built to, and the ship that lies on them.
struct Bed<'a> {
    project: &'a Project,
    /// The position whose wedges close gaps.
    position: &'a str,
    lie: &'a Lie,
    /// The line of the keel blocks' tops, to which bilge blocks are built up with their clearance: the base
    /// line lies along it before anything gives.
    line: Line,
}

/// Fills in the blocks, the weight, and the loads in the dry dock, as far as they can be had.
fn dry<'a>(
    project: &'a Project,
    number: usize,
    lie: &'a Lie,
    seats: &[(usize, Seat)],
    standing: impl Iterator<Item = (usize, &'a Block)>,
    out: &mut Loads,
) -> Result<(Bed<'a>, Carried), Text> {
    let line = line_of_tops(project, seats)
        .ok_or("the tops of at least two keel blocks were not recorded")?;
    let position = project.positions.get(number).map_or("", |position| &position.id);
    let bed = Bed { project, position, lie, line };
    out.blocks = bed.bearings(standing)?;
    let carried = carried(project, number)?;
    out.weight_t = carried.net_t();
    let springs = springs_of(&out.blocks);
    out.rigid = Some(rigid(&springs, &carried)?);
    let Girder { outcome, stations } = bed.girder(&springs, &carried)?;
    (out.girder, out.along) = (Some(outcome), stations);
    Ok((bed, carried))
}

fn springs_of(blocks: &[Bearing]) -> Vec<BlockSpring> {
    blocks.iter().map(|bearing| bearing.spring).collect()
}

fn line_of_tops(project: &Project, seats: &[(usize, Seat)]) -> Option<Line> {
    let tops: Vec<Seat> = seats
        .iter()
        .filter_map(|(n, seat)| {
            Some(Seat { level_m: top_of(project, &project.blocks[*n])?, ..*seat })
        })
        .collect();
    line_of(&tops)
}

impl Bed<'_> {
    /// The blocks as springs. A block of the keel's row bears within the flat keel, the others within the
    /// bottom; one that lies wholly outside bears nothing and is left out.
    fn bearings<'b>(
        &self,
        blocks: impl Iterator<Item = (usize, &'b Block)>,
    ) -> Result<Vec<Bearing>, Text> {
        let mut found = Vec::new();
        for (number, block) in blocks {
            let shape = bearing_shape(self.project, block, self.lie);
            let area_m2 = shape.unsigned_area();
            let Some(centre) = shape.centroid().filter(|_| area_m2 > 1e-4) else { continue };
            let layers = layers_of(self.project, block);
            if layers.is_empty() {
                return Err(text!("the layers of {} were not recorded", id(&block.id)));
            }
            let stiffness_kn_per_m = stiffness_kn_per_m(&layers)?;
            let gap_m = self.gap_m(block, centre.x())?;
            let width_m = area_m2 / block.cap.length_m;
            let spring = BlockSpring {
                x_m: centre.x(),
                y_m: centre.y(),
                stiffness_kn_per_m,
                gap_m,
                width_m,
            };
            found.push(Bearing { block: number, spring, area_m2 });
        }
        Ok(found)
    }

    /// The springs were the modulus of the timber in them so many times what was noted.
    fn springs_with_timber(
        &self,
        blocks: &[Bearing],
        times: f64,
    ) -> Result<Vec<BlockSpring>, LoadsError> {
        let spring = |bearing: &Bearing| {
            let mut layers = self
                .project
                .blocks
                .get(bearing.block)
                .map_or(Vec::new(), |block| layers_of(self.project, block));
            for layer in layers.iter_mut().filter(|layer| layer.modulus_kpa < SOFT_KPA) {
                layer.modulus_kpa *= times;
            }
            Ok(BlockSpring { stiffness_kn_per_m: stiffness_kn_per_m(&layers)?, ..bearing.spring })
        };
        blocks.iter().map(spring).collect()
    }

    /// The gap over a block before anything gives, m.
    fn gap_m(&self, block: &Block, x_m: f64) -> Result<f64, Text> {
        let rise = self.project.keel.rise_m(x_m);
        match block.row {
            BlockRow::Keel => {
                let top = top_of(self.project, block).ok_or_else(|| {
                    text!("the level of the top of {} was not recorded", id(&block.id))
                })?;
                Ok(self.line.at_m(x_m) + rise - top)
            }
            _ => {
                let clearance = block.clearance_m.ok_or_else(|| {
                    text!("the clearance built in at {} was not recorded", id(&block.id))
                })?;
                Ok(clearance + rise - wedged_m(self.project, self.position, block, None))
            }
        }
    }

    /// The lowest level of the keel as it lies on its blocks, m: no cap carries it lower than the lowest of them.
    fn keel_m(&self, seats: &[(usize, Seat)]) -> Option<f64> {
        let tops = seats.iter().filter_map(|(n, _)| top_of(self.project, &self.project.blocks[*n]));
        tops.reduce(f64::min)
    }

    /// The ship as a girder on springs.
    fn girder(&self, springs: &[BlockSpring], carried: &Carried) -> Result<Girder, Text> {
        let hull = hull(self.project)?;
        Ok(girder(springs, carried, &hull, LONGEST_M)?)
    }
}

/// How much of the gap over a block wedges closed in a position, m, or of that what was driven after a moment; never more
/// than was built in.
pub fn wedged_m(
    project: &Project,
    position: &str,
    block: &Block,
    after: Option<DateTime<FixedOffset>>,
) -> f64 {
    let rows = set_in(project, position).filter(|row| row.block == block.id);
    let rows = rows.filter(|row| after.is_none() || row.wedged_at > after);
    let closed_m: f64 = rows.filter_map(|row| row.wedged_m).sum();
    closed_m.min(block.clearance_m.unwrap_or(0.0))
}

/// A block's own layers, or those of its row.
fn layers_of(project: &Project, block: &Block) -> Vec<springs::Layer> {
    let of = |of: &LayerOwner| -> Vec<springs::Layer> {
        project
            .layers
            .iter()
            .filter(|layer| layer.owner == *of)
            .map(|layer| springs::Layer {
                thickness_m: layer.thickness_m,
                area_m2: layer.area_m2,
                modulus_kpa: layer.elastic_modulus_kpa,
            })
            .collect()
    };
    let own = of(&LayerOwner::Block(block.id.clone()));
    if own.is_empty() { of(&LayerOwner::Row(block.row)) } else { own }
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
    let touched = project.positions.get(number).and_then(|position| position.times.touched);
    let before = |at| touched.is_some_and(|touched| at <= touched);
    for moved in project.moved.iter().filter(|moved| moved.at.is_some_and(before)) {
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

fn hull(project: &Project) -> Result<Vec<HullLength>, Text> {
    if project.stiffness.is_empty() {
        return Err("the stiffness of the hull was not recorded".into());
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

/// The lift of water at a depth over the floor, by its lengths, or why it can't be known.
fn lift(
    bed: &Bed<'_>,
    ship: &Ship,
    number: usize,
    landing: &Landing,
    water_depth_m: f64,
) -> Result<(Vec<Length>, Buoyancy), Text> {
    const SAME_LEVEL_M: f64 = 0.1;
    let project = bed.project;
    let position = &project.positions[number].id;
    let floor_m = project
        .docking
        .dock
        .floor_level_m
        .ok_or("the level of the dock's floor was not recorded")?;
    let level_m = floor_m + water_depth_m;
    let recorded: Vec<Length> = project
        .buoyancy
        .iter()
        .filter(|length| length.position == *position)
        .filter(|length| (length.water_level_m - level_m).abs() <= SAME_LEVEL_M)
        .map(|length| Length {
            from_x_m: length.from_x_m,
            to_x_m: length.to_x_m,
            mass_t: length.buoyancy_t,
            centre_x_m: (length.from_x_m + length.to_x_m) / 2.0,
        })
        .collect();
    if !recorded.is_empty() {
        return Ok((recorded, Buoyancy::Recorded));
    }
    if bed.keel_m(&landing.seats).is_some_and(|keel_m| level_m <= keel_m) {
        return Ok((Vec::new(), Buoyancy::None));
    }
    if landing.afloat.is_none() {
        return Err(
            "no curve of buoyancy was recorded, and the drafts before landing give no displacement"
                .into(),
        );
    }
    if let Some(why_not) = landing.never_landed {
        return Err(text!("no curve of buoyancy was recorded, and {}", why_not));
    }
    let load = landing.load_at(level_m).ok_or(
        "no curve of buoyancy was recorded, and the water stands lower than the hydrostatic table reaches",
    )?;
    if load.buoyancy_t <= 0.0 {
        return Ok((Vec::new(), Buoyancy::None));
    }
    if load.load_t <= 0.0 {
        return Err("with so much water she floats".into());
    }
    let ends = ship.perpendiculars.ok_or("the perpendiculars were not recorded")?;
    let trapezoid = Length {
        from_x_m: ends.aft_x_m,
        to_x_m: ends.forward_x_m,
        mass_t: load.buoyancy_t,
        centre_x_m: load.buoyancy_moment_tm / load.buoyancy_t,
    };
    Ok((vec![trapezoid], Buoyancy::Trapezoid))
}

/// So far below the hull that nothing bears on it, m: where a block stands that was not hauled yet.
const AWAY_M: f64 = 1.0;

/// The girder with that lift, or why it can't be worked out. Blocks that were not hauled yet bear nothing; the gap left
/// over such a block is that to where it was to be hauled.
fn wet(
    bed: &Bed<'_>,
    springs: &[BlockSpring],
    absent: &[bool],
    dry: &Carried,
    (lengths, from): (Vec<Length>, Buoyancy),
) -> Result<(Outcome, Buoyancy), Text> {
    let lengths = lengths.into_iter().chain(dry.buoyancy.lengths().iter().copied());
    let buoyancy = Curve::new(lengths.collect())?;
    let away = |absent: bool| if absent { AWAY_M } else { 0.0 };
    let moved = springs.iter().zip(absent);
    let moved: Vec<BlockSpring> = moved
        .map(|(spring, absent)| BlockSpring { gap_m: spring.gap_m + away(*absent), ..*spring })
        .collect();
    let mut outcome = bed.girder(&moved, &Carried { buoyancy, ..dry.clone() })?.outcome;
    for (gap_m, absent) in outcome.gaps_m.iter_mut().zip(absent) {
        *gap_m = (*gap_m - away(*absent)).max(0.0);
    }
    Ok((outcome, from))
}

/// For each block left out of the position: its neighbours' loads had it stood, and as they were. A block
/// whose top or layers are not known can't be studied.
fn left_out(bed: &Bed<'_>, number: usize, carried: &Carried, now: &Loads) -> Vec<LeftOut> {
    let project = bed.project;
    let position = &project.positions[number].id;
    let Some(as_it_was) = &now.girder else { return Vec::new() };
    let mut found = Vec::new();
    let absent = project
        .blocks
        .iter()
        .enumerate()
        .filter(|(_, block)| block.left_out_because.is_some() && !block.stands_in(position));
    for (number, block) in absent {
        let Ok(mut added) = bed.bearings(std::iter::once((number, block))) else { continue };
        let Some(added) = added.pop() else { continue };
        let mut springs = springs_of(&now.blocks);
        springs.push(added.spring);
        let Ok(with) = bed.girder(&springs, carried) else { continue };
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::System;

    #[test]
    fn why_loads_can_not_be_computed_is_a_plain_sentence_in_both_systems() {
        let (from_x_m, to_x_m) = (10.0, 20.0);
        let text = |error: LoadsError| Text::from(error).to_string();
        assert_eq!(
            text(LoadsError::Layer { number: 0, quantity: "thickness" }),
            "the thickness of layer 1 is not a number above 0"
        );
        let outside = LoadsError::CentreOutside { number: 2, centre_x_m: 21.0, from_x_m, to_x_m };
        assert_eq!(
            text(outside.clone()),
            "the centre of length 3 of the curve, at 21.000 m, lies outside its middle third, from 10.000 to \
             20.000 m, so that part of it would weigh less than nothing"
        );
        let in_feet = Text::from(outside).shown(System::Us).replace('\u{a0}', " ");
        assert!(in_feet.contains("at 68.90 ft, lies outside"), "{in_feet}");
        assert!(in_feet.contains("from 32.81 to 65.62 ft, so"), "{in_feet}");
        assert_eq!(
            text(LoadsError::NoStiffness { from_x_m, to_x_m }),
            "no stiffness of the hull is given from 10.000 to 20.000 m"
        );
        assert_eq!(
            text(LoadsError::Topples { x_m: 5.0, y_m: -0.0 }),
            "the centre of what the blocks carry, 5.000 m forward and 0.000 m to port, lies outside the \
             blocks, so the ship would tip over"
        );
        let too_far = LoadsError::TooFar { trim_rad: 0.2, heel_rad: 0.0 };
        let too_far = text(too_far);
        assert!(too_far.starts_with("the ship would trim 11.5"), "{too_far}");
    }
}
