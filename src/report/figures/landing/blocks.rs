//! Block by block along the dock, all positions above each other on one axis of stations and one scale: the load on each
//! (the girder as bars, limits as strokes, the rigid ship as a broken line), and the gaps between caps and hull
//! (predicted with the tolerance, and measured). Cut into strips where there are too many to tell apart.

use super::at_position::{AtPosition, TALLEST_MM};
use crate::calc::loads::Outcome;
use crate::findings::recomputed::loads::bearing_limit_kpa;
use crate::records::blocks::{Block, BlockRow};
use crate::report::figures::axis::Axis;
use crate::report::figures::canvas::{BACK_GREY, Canvas, DASHED, Pen};
use crate::report::figures::chart::{
    Bar, FOOT_MM, HEAD_MM, LEFT_MM, Mark, Marker, NAMES_MM, RIGHT_MM, Row, draw_rows,
};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering;
use crate::report::figures::words::{self, Units};
use crate::text::Form;
use crate::units::STANDARD_GRAVITY_M_PER_S2;

/// The rows in the order in which they are drawn, with their names.
const ROWS: [(BlockRow, &str); 4] = [
    (BlockRow::Keel, "keel row"),
    (BlockRow::BilgePort, "bilge, port"),
    (BlockRow::BilgeStarboard, "bilge, starboard"),
    (BlockRow::Other, "other blocks"),
];

/// Blocks of one row that a strip can show.
const MOST_BLOCKS: usize = 90;
const MOST_STRIPS: usize = 6;
/// Room for the legend, mm.
const LEGEND_MM: f64 = 11.0;
/// Room between two rows of blocks, mm.
const APART_MM: f64 = 1.0;

/// Blocks of one frame, with what is shown of each.
struct Frame<'a, T> {
    one: &'a AtPosition<'a>,
    /// What it shows: the position, and in which water.
    name: String,
    blocks: Vec<(&'a Block, T)>,
}

/// The level axes of the strips: stations, from the first to the last block.
fn strips<T>(units: Units, frames: &[Frame<T>]) -> Vec<Axis> {
    let keel = |frame: &Frame<T>| {
        frame.blocks.iter().filter(|(block, _)| block.row == BlockRow::Keel).count()
    };
    let most = frames.iter().map(keel).max().unwrap_or(0);
    let count = most.div_ceil(MOST_BLOCKS).clamp(1, MOST_STRIPS);
    let blocks = frames.iter().flat_map(|frame| &frame.blocks);
    let ends = blocks
        .map(|(block, _)| (block.cap.centre.x, block.cap.length_m / 2.0 + 0.5))
        .map(|(station, reach)| (station - reach, station + reach))
        .filter(|(from, to)| from.abs() < 5000.0 && to.abs() < 5000.0)
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
    let Some((from, to)) = ends else { return Vec::new() };
    let each = (to - from) / count as f64;
    let strip = |n: usize| {
        let begins = from + each * n as f64;
        let title = format!("station in the dock, {}", units.unit(Form::Length));
        let scaling = units.scaling(Form::Length);
        Axis::between(title, scaling, (begins, begins + each), RIGHT_MM - LEFT_MM, 12.0)
    };
    (0..count).filter_map(strip).collect()
}

/// How high the frames of a row of blocks are, mm.
struct Heights {
    keel_mm: f64,
    other_mm: f64,
}

impl Heights {
    fn of(&self, row: BlockRow) -> f64 {
        if row == BlockRow::Keel { self.keel_mm } else { self.other_mm }
    }

    /// How many frames of each row of blocks find room in a drawing.
    fn most<T>(&self, frames: &[Frame<T>]) -> usize {
        let has = |row: BlockRow| {
            frames.iter().flat_map(|frame| &frame.blocks).any(|(block, _)| block.row == row)
        };
        let rows: Vec<BlockRow> =
            ROWS.iter().map(|(row, _)| *row).filter(|row| has(*row)).collect();
        let fixed = FOOT_MM + LEGEND_MM + rows.len() as f64 * (NAMES_MM + APART_MM);
        let each: f64 = rows.iter().map(|row| self.of(*row) + HEAD_MM + 1.0).sum();
        (((TALLEST_MM - fixed) / each.max(1.0)) as usize).max(1)
    }
}

/// The frames of a strip, row of blocks by row of blocks and in each position by position; the ids of the blocks stand
/// under the last of each row.
fn rows<'a, T>(
    frames: &'a [Frame<'a, T>],
    x: &Axis,
    shows: impl Fn(BlockRow, &[&'a (&'a Block, T)]) -> bool,
    row: impl Fn(BlockRow, String, &[&'a (&'a Block, T)]) -> Option<Row>,
) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for (of_row, name) in ROWS {
        let begins = rows.len();
        let mut ids: Vec<(f64, String)> = Vec::new();
        for frame in frames {
            let is_here = |(block, _): &&(&Block, T)| {
                block.row == of_row && (0.0..=1.0).contains(&x.part(block.cap.centre.x))
            };
            let here: Vec<_> = frame.blocks.iter().filter(is_here).collect();
            if here.is_empty() || !shows(of_row, &here) {
                continue;
            }
            for (block, _) in &here {
                let id = (block.cap.centre.x, lettering::label(&block.id));
                if !ids.contains(&id) {
                    ids.push(id);
                }
            }
            rows.extend(row(of_row, format!("{}, {name}", frame.name), &here));
        }
        ids.sort_by(|a, b| a.0.total_cmp(&b.0));
        if let Some(last) = rows.get_mut(begins..).and_then(<[Row]>::last_mut) {
            last.names = Some(ids);
            last.gap_mm = APART_MM;
        }
    }
    rows
}

const RIGID: Pen = Pen::solid(0.2).broken(DASHED);
const LIMIT: Pen = Pen::solid(0.45);
/// The strokes of the limits in the legend.
const STROKES: Pen = LIMIT.broken(&[1.2, 1.35]);
const LOAD: Pen = Pen::solid(0.13);
const LOAD_HEIGHTS: Heights = Heights { keel_mm: 20.0, other_mm: 9.0 };

/// What is drawn of one block.
struct Load {
    stands: bool,
    load_t: Option<f64>,
    rigid_t: Option<f64>,
    limit_t: Option<f64>,
}

/// The blocks that stand in a position or have a reason not to, by their stations.
fn blocks<'a>(one: &AtPosition<'a>) -> Vec<(usize, &'a Block)> {
    let numbered = one.project.blocks.iter().enumerate();
    let mut blocks: Vec<(usize, &Block)> = numbered
        .filter(|(_, block)| block.stands_in(&one.position.id) || block.left_out_because.is_some())
        .collect();
    blocks.sort_by(|a, b| a.1.cap.centre.x.total_cmp(&b.1.cap.centre.x));
    blocks
}

/// The loads in the dry dock of all positions in which they could be found.
pub fn loads(all: &[AtPosition]) -> Vec<Drawing> {
    let known = all.iter().filter(|one| one.loads.girder.is_some() || one.loads.rigid.is_some());
    let frames: Vec<Frame<Load>> = known
        .map(|one| Frame {
            one,
            name: one.id.clone(),
            blocks: blocks(one)
                .into_iter()
                .map(|(n, block)| (block, load(one, n, block)))
                .collect(),
        })
        .collect();
    let mut drawings = Vec::new();
    let sheets: Vec<&[Frame<Load>]> = frames.chunks(LOAD_HEIGHTS.most(&frames)).collect();
    let strips = frames.first().map_or(Vec::new(), |frame| strips(frame.one.units, &frames));
    let of = sheets.len() * strips.len();
    for sheet in sheets {
        for x in &strips {
            let part = (drawings.len() + 1, of);
            drawings.extend(load_drawing(sheet, &frames, x, part));
        }
    }
    drawings
}

fn load(one: &AtPosition, number: usize, block: &Block) -> Load {
    let bearing = one.loads.blocks.iter().position(|bearing| bearing.block == number);
    let load = |outcome: &Option<Outcome>| {
        Some(outcome.as_ref()?.loads_kn.get(bearing?)? / STANDARD_GRAVITY_M_PER_S2)
    };
    let limit_kpa = bearing_limit_kpa(one.project, block);
    let area = bearing.and_then(|n| one.loads.blocks.get(n)).map(|bearing| bearing.area_m2);
    Load {
        stands: block.stands_in(&one.position.id),
        load_t: load(&one.loads.girder),
        rigid_t: load(&one.loads.rigid),
        limit_t: limit_kpa.zip(area).map(|(kpa, area)| kpa * area / STANDARD_GRAVITY_M_PER_S2),
    }
}

/// Loads under this are none: what the calculation leaves over, t.
const NO_LOAD_T: f64 = 1e-3;

fn load_drawing(
    sheet: &[Frame<Load>],
    frames: &[Frame<Load>],
    x: &Axis,
    part: (usize, usize),
) -> Option<Drawing> {
    let units = sheet.first()?.one.units;
    let of_row = |row: BlockRow| {
        let blocks = frames.iter().flat_map(|frame| &frame.blocks);
        let blocks = blocks.filter(move |(block, _)| block.row == row);
        blocks.flat_map(|(_, load)| [load.load_t, load.rigid_t, load.limit_t]).flatten()
    };
    let rows = rows(
        sheet,
        x,
        |_, _| true,
        |row, name, loads| load_row(units, row, &name, loads, of_row(row)),
    );
    if rows.is_empty() {
        return None;
    }
    let mut canvas = Canvas::new(WIDTH_MM);
    let top = draw_rows(&mut canvas, x, 0.0, &rows);
    let used = legend::rows(&mut canvas, top, &load_samples(sheet));
    let title = format!("Load on each block, the dock dry{}", words::part(part));
    let caption = "Bars as wide as the caps are long, one scale for all positions.".to_string();
    let parts: Vec<String> = sheet.iter().map(loads_in_words).collect();
    let words = Words { title, caption, alt: words::said(&parts) };
    let name = format!("landing-loads-{}", part.0);
    Some(Drawing::new(Group::LandingLoads, name, None, words, canvas, used))
}

fn load_row(
    units: Units,
    row: BlockRow,
    name: &str,
    loads: &[&(&Block, Load)],
    values: impl Iterator<Item = f64>,
) -> Option<Row> {
    let height = LOAD_HEIGHTS.of(row);
    let title = format!("{name}: load, {}", units.unit(Form::Mass));
    let y = Axis::over(title, units.scaling(Form::Mass), values.chain([0.0, 1.0]), height, 4.5)?;
    let mut marks: Vec<Mark> =
        loads.iter().flat_map(|(block, load)| load.marks(block, &y)).collect();
    let rigid = loads.iter().filter_map(|(block, load)| Some((block.cap.centre.x, load.rigid_t?)));
    if row == BlockRow::Keel {
        marks.push(Mark::Curve(rigid.collect(), RIGID));
    } else {
        let borne = rigid.filter(|place| place.1 > NO_LOAD_T);
        marks.extend(borne.map(|(x, load)| Mark::Point(x, load, Marker::Ring)));
    }
    Some(Row::new(y, height, marks))
}

impl Load {
    fn marks(&self, block: &Block, y: &Axis) -> Vec<Mark> {
        let (x, half) = (block.cap.centre.x, block.cap.length_m / 2.0);
        if !self.stands {
            return vec![Mark::Point(x, y.from + (y.to - y.from) * 0.12, Marker::Cross)];
        }
        let load = self.load_t.map(|load| match load > NO_LOAD_T {
            true => Mark::Bar(Bar { x, half, from: 0.0, to: load, edge: LOAD, least_mm: 0.5 }),
            false => Mark::AtTheFoot(x, Marker::Dot),
        });
        let limit = self.limit_t.map(|y| Mark::Stroke { x, half, y, pen: LIMIT });
        load.into_iter().chain(limit).collect()
    }

    fn bears_nothing(&self) -> bool {
        self.stands && self.load_t.is_some_and(|load| load <= NO_LOAD_T)
    }
}

fn load_samples(sheet: &[Frame<Load>]) -> Vec<(Sample, String)> {
    let mut samples = Vec::new();
    if sheet.iter().any(|frame| frame.one.loads.girder.is_some()) {
        samples.push((Sample::Cap, "the ship as a girder".to_string()));
    }
    let blocks = || sheet.iter().flat_map(|frame| &frame.blocks);
    let has_rigid = |load: &Load| load.rigid_t.is_some();
    if blocks().any(|(block, load)| block.row == BlockRow::Keel && has_rigid(load)) {
        samples.push((Sample::Line(RIGID), "were she rigid, keel row".to_string()));
    }
    let bears = |load: &Load| load.rigid_t.is_some_and(|load| load > NO_LOAD_T);
    if blocks().any(|(block, load)| block.row != BlockRow::Keel && bears(load)) {
        samples.push((Sample::Marker(Marker::Ring), "the same, other rows".to_string()));
    }
    let limit = "limit: allowed pressure \u{d7} bearing area";
    for (sample, meaning, holds) in [
        (Sample::Line(STROKES), limit, (|load| load.limit_t.is_some()) as fn(&Load) -> bool),
        (Sample::Marker(Marker::Cross), "left out", |load| !load.stands),
        (Sample::Marker(Marker::Dot), "stands, does not bear", Load::bears_nothing),
    ] {
        if blocks().any(|(_, load)| holds(load)) {
            samples.push((sample, meaning.to_string()));
        }
    }
    samples
}

fn loads_in_words(frame: &Frame<Load>) -> String {
    let units = frame.one.units;
    let largest = frame
        .blocks
        .iter()
        .filter_map(|(block, load)| Some((load.load_t?, block, load.limit_t)))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let mut said = format!("{}:", frame.name);
    if let Some((load, block, limit)) = largest {
        let limit = limit
            .map_or(String::new(), |limit| format!(", where {} is allowed", units.mass(limit, 1)));
        let id = lettering::shown(&block.id);
        said.push_str(&format!(" most {} on {id}{limit};", units.mass(load, 1)));
    }
    let idle = frame.blocks.iter().filter(|(_, load)| load.bears_nothing()).count();
    let absent = frame.blocks.iter().filter(|(_, load)| !load.stands);
    let absent: Vec<String> = absent.map(|(block, _)| lettering::shown(&block.id)).collect();
    let idle = words::count(idle, "block");
    said.push_str(&format!(" {idle} not bearing; left out: {}.", words::list(&absent, 5)));
    said
}

const EDGE: Pen = Pen::solid(0.1).coloured(BACK_GREY);
/// Most states of the water that are drawn of one position.
const MOST_STATES: usize = 6;
const GAP_HEIGHTS: Heights = Heights { keel_mm: 14.0, other_mm: 8.5 };

/// A block's gaps in one state of the water.
struct Gaps {
    predicted_m: Option<f64>,
    measured_m: Vec<f64>,
}

/// The gaps of all positions, a frame for each state of the water in which they were measured.
pub fn gaps(all: &[AtPosition]) -> Vec<Drawing> {
    let frames: Vec<Frame<Gaps>> = all.iter().flat_map(states).collect();
    let Some(units) = frames.first().map(|frame| frame.one.units) else { return Vec::new() };
    let mut drawings = Vec::new();
    let sheets: Vec<&[Frame<Gaps>]> = frames.chunks(GAP_HEIGHTS.most(&frames)).collect();
    let strips = strips(units, &frames);
    let of = sheets.len() * strips.len();
    for sheet in sheets {
        for x in &strips {
            let part = (drawings.len() + 1, of);
            drawings.extend(gap_drawing(sheet, &frames, x, part));
        }
    }
    drawings
}

/// The states of the water in which gaps were measured in a position, deepest first, dry last.
fn states<'a>(one: &'a AtPosition<'a>) -> Vec<Frame<'a, Gaps>> {
    let mut depths: Vec<Option<f64>> = Vec::new();
    for gap in one.project.gaps.iter().filter(|gap| gap.position == one.position.id) {
        if !depths.contains(&gap.water_depth_m) {
            depths.push(gap.water_depth_m);
        }
    }
    depths.sort_by(|a, b| {
        let depth = |depth: &Option<f64>| depth.unwrap_or(f64::NEG_INFINITY);
        depth(b).total_cmp(&depth(a))
    });
    let blocks = blocks(one);
    let state = |depth: Option<f64>| {
        let water = match depth {
            None => "dry".to_string(),
            Some(depth) => format!("{} of water", one.units.length(depth, 2)),
        };
        let standing = blocks.iter().filter(|(_, block)| block.stands_in(&one.position.id));
        Frame {
            one,
            name: format!("{}, {water}", one.id),
            blocks: standing.map(|(n, block)| (*block, gaps_of(one, *n, block, depth))).collect(),
        }
    };
    depths.into_iter().take(MOST_STATES).map(state).collect()
}

fn gaps_of(one: &AtPosition, number: usize, block: &Block, depth: Option<f64>) -> Gaps {
    let shared = one.loads.with_water(depth).ok();
    let bearing = one.loads.blocks.iter().position(|bearing| bearing.block == number);
    let predicted_m =
        shared.zip(bearing).and_then(|((shared, _), n)| shared.gaps_m.get(n).copied());
    let of_block = one.project.gaps.iter().filter(|gap| {
        gap.position == one.position.id && gap.block == block.id && gap.water_depth_m == depth
    });
    Gaps { predicted_m, measured_m: of_block.map(|gap| gap.gap_m).collect() }
}

fn gap_drawing(
    sheet: &[Frame<Gaps>],
    frames: &[Frame<Gaps>],
    x: &Axis,
    part: (usize, usize),
) -> Option<Drawing> {
    let one = sheet.first()?.one;
    let units = one.units;
    let tolerance_m = one.project.docking.bounds.tolerance("gap").map(|bound| bound.value);
    let values = |row: BlockRow| {
        let blocks = frames.iter().flat_map(|frame| &frame.blocks);
        blocks.filter(move |(block, _)| block.row == row).flat_map(move |(_, gaps)| {
            let greatest = gaps.predicted_m.map(|m| m + tolerance_m.unwrap_or(0.0));
            gaps.measured_m.iter().copied().chain(greatest)
        })
    };
    let rows = rows(
        sheet,
        x,
        |_, blocks| blocks.iter().any(|(_, gaps)| !gaps.measured_m.is_empty()),
        |row, name, gaps| gap_row(units, row, &name, gaps, tolerance_m, values(row)),
    );
    if rows.is_empty() {
        return None;
    }
    let mut canvas = Canvas::new(WIDTH_MM);
    let top = draw_rows(&mut canvas, x, 0.0, &rows);
    let mut samples = vec![
        (Sample::Marker(Marker::Cross), "measured".to_string()),
        (Sample::Marker(Marker::Ring), "predicted".to_string()),
    ];
    if let Some(tolerance_m) = tolerance_m {
        let tolerance = units.measure(tolerance_m, Form::Small, 1);
        samples.push((Sample::Cap, format!("predicted give or take {tolerance}")));
    }
    let used = legend::rows(&mut canvas, top, &samples);
    let title = format!("Gaps between caps and hull{}", words::part(part));
    let caption = "One scale for all positions; without a ring nothing is predicted.".to_string();
    let parts: Vec<String> = sheet.iter().map(|frame| gaps_in_words(frame, tolerance_m)).collect();
    let words = Words { title, caption, alt: words::said(&parts) };
    let name = format!("landing-gaps-{}", part.0);
    Some(Drawing::new(Group::LandingGaps, name, None, words, canvas, used))
}

fn gap_row(
    units: Units,
    row: BlockRow,
    name: &str,
    gaps: &[&(&Block, Gaps)],
    tolerance_m: Option<f64>,
    values: impl Iterator<Item = f64>,
) -> Option<Row> {
    let height = GAP_HEIGHTS.of(row);
    let title = format!("{name}: gap, {}", units.unit(Form::Small));
    let y = Axis::over(title, units.scaling(Form::Small), values.chain([0.0, 0.010]), height, 4.5)?;
    let (mut marks, mut bands) = (Vec::new(), Vec::new());
    for (block, gaps) in gaps {
        let (x, half) = (block.cap.centre.x, block.cap.length_m / 2.0);
        if let Some((predicted, tolerance)) = gaps.predicted_m.zip(tolerance_m) {
            let (from, to) = ((predicted - tolerance).max(0.0), predicted + tolerance);
            bands.push(Mark::Bar(Bar { x, half, from, to, edge: EDGE, least_mm: 0.6 }));
        }
        marks.extend(gaps.predicted_m.map(|gap| Mark::Point(x, gap, Marker::Ring)));
        marks.extend(gaps.measured_m.iter().map(|gap| Mark::Point(x, *gap, Marker::Cross)));
    }
    Some(Row { under: bands, ..Row::new(y, height, marks) })
}

fn gaps_in_words(frame: &Frame<Gaps>, tolerance_m: Option<f64>) -> String {
    let units = frame.one.units;
    let measured: Vec<(&Block, f64, Option<f64>)> = frame
        .blocks
        .iter()
        .flat_map(|(block, gaps)| {
            gaps.measured_m.iter().map(move |m| (*block, *m, gaps.predicted_m))
        })
        .collect();
    let beyond = measured.iter().filter(|(_, m, predicted)| {
        let apart = predicted.zip(tolerance_m);
        apart.is_some_and(|(predicted, tolerance)| (m - predicted).abs() > tolerance + 1e-9)
    });
    let beyond = beyond.count();
    let mut said = format!("{}: {} measured", frame.name, words::count(measured.len(), "gap"));
    if let Some((block, m, _)) = measured.iter().max_by(|a, b| a.1.total_cmp(&b.1)) {
        let (m, id) = (units.measure(*m, Form::Small, 0), lettering::shown(&block.id));
        said.push_str(&format!(", the greatest {m} at {id}"));
    }
    if tolerance_m.is_some() {
        said.push_str(&format!(", {beyond} beyond the tolerance"));
    }
    said.push('.');
    said
}
