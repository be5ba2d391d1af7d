//! Block by block along the ship: the load on each (the girder as bars, the rigid ship as rings, limits as strokes),
//! and the gaps between caps and hull (predicted with the tolerance, and measured). Cut into strips where there are
//! too many to tell apart.

use super::at_position::AtPosition;
use crate::calc::loads::Outcome;
use crate::findings::recomputed::loads::{Buoyancy, bearing_limit_kpa};
use crate::records::blocks::{Block, BlockRow};
use crate::report::figures::axis::Axis;
use crate::report::figures::canvas::{BACK_GREY, Canvas, DASHED, Pen};
use crate::report::figures::chart::{Bar, LEFT_MM, Mark, Marker, RIGHT_MM, Row, draw_rows};
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

/// A block with its place on the hull.
#[derive(Clone, Copy)]
struct Placed<'a> {
    block: &'a Block,
    /// Its number in the project's list.
    number: usize,
    /// x of the middle of its cap, m.
    x_m: f64,
    stands: bool,
}

/// The blocks from aft to forward that stand in the position or have a reason not to.
fn placed<'a>(one: &AtPosition<'a>) -> Vec<Placed<'a>> {
    let positions = one.project.positions.iter().zip(&one.examined.recomputed.positions);
    let lie = positions.filter(|(p, _)| p.id == one.position.id).find_map(|(_, found)| found.lie);
    let Some(lie) = lie else { return Vec::new() };
    let mut placed: Vec<Placed> = one
        .project
        .blocks
        .iter()
        .enumerate()
        .map(|(number, block)| Placed {
            block,
            number,
            x_m: lie.to_hull(block.cap.centre.x, block.cap.centre.y).x,
            stands: block.stands_in(&one.position.id),
        })
        .filter(|placed| placed.stands || placed.block.left_out_because.is_some())
        .collect();
    placed.sort_by(|a, b| a.x_m.total_cmp(&b.x_m));
    placed
}

/// The level axes of the strips, from aft to forward.
fn strips(units: Units, blocks: &[Placed]) -> Vec<Axis> {
    let keel = blocks.iter().filter(|placed| placed.block.row == BlockRow::Keel).count();
    let count = keel.div_ceil(MOST_BLOCKS).clamp(1, MOST_STRIPS);
    let reach = |placed: &Placed| placed.block.cap.length_m / 2.0 + 0.5;
    let ends = blocks
        .iter()
        .map(|placed| (placed.x_m - reach(placed), placed.x_m + reach(placed)))
        .filter(|(from, to)| from.abs() < 5000.0 && to.abs() < 5000.0)
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
    let Some((from, to)) = ends else { return Vec::new() };
    let each = (to - from) / count as f64;
    (0..count)
        .filter_map(|n| {
            let begins = from + each * n as f64;
            let title =
                format!("x, {} forward of the stern reference point", units.unit(Form::Length));
            let ends = (begins, begins + each);
            Axis::between(title, units.scaling(Form::Length), ends, RIGHT_MM - LEFT_MM, 12.0)
        })
        .collect()
}

/// A frame for each row of blocks that has one to show in the strip: as high as the row is important, with the ids of
/// its blocks under it.
fn rows<T>(
    of_blocks: &[T],
    x: &Axis,
    placed: impl Fn(&T) -> Placed,
    shows: impl Fn(&[&T]) -> bool,
    row: impl Fn(BlockRow, &str, &[&T]) -> Option<Row>,
) -> Option<Vec<Row>> {
    let mut rows = Vec::new();
    for (of_row, name) in ROWS {
        let here = |one: &&T| {
            let placed = placed(one);
            placed.block.row == of_row && (0.0..=1.0).contains(&x.part(placed.x_m))
        };
        let here: Vec<&T> = of_blocks.iter().filter(here).collect();
        if shows(&here) {
            let ids = here.iter().map(|one| {
                let placed = placed(one);
                (placed.x_m, lettering::label(&placed.block.id))
            });
            let names = Some(ids.collect());
            rows.push(Row { names, gap_mm: 0.0, ..row(of_row, name, &here)? });
        }
    }
    (!rows.is_empty()).then_some(rows)
}

const RIGID: Pen = Pen::solid(0.2).broken(DASHED);
const LIMIT: Pen = Pen::solid(0.45);
/// The strokes of the limits in the legend.
const STROKES: Pen = LIMIT.broken(&[1.2, 1.35]);
const LOAD: Pen = Pen::solid(0.13);

/// What is drawn of one block.
struct Load<'a> {
    placed: Placed<'a>,
    load_t: Option<f64>,
    rigid_t: Option<f64>,
    limit_t: Option<f64>,
}

/// The loads in the dry dock, strip by strip; nothing where they could not be found.
pub fn loads(one: &AtPosition) -> Vec<Drawing> {
    if one.loads.girder.is_none() && one.loads.rigid.is_none() {
        return Vec::new();
    }
    let blocks = placed(one);
    let bars: Vec<Load> = blocks.iter().map(|placed| load(one, *placed)).collect();
    let strips = strips(one.units, &blocks);
    let each = strips.iter().enumerate();
    each.filter_map(|(n, x)| load_drawing(one, &bars, x, (n + 1, strips.len()))).collect()
}

fn load<'a>(one: &AtPosition<'a>, placed: Placed<'a>) -> Load<'a> {
    let bearing = one.loads.blocks.iter().position(|bearing| bearing.block == placed.number);
    let load = |outcome: &Option<Outcome>| {
        Some(outcome.as_ref()?.loads_kn.get(bearing?)? / STANDARD_GRAVITY_M_PER_S2)
    };
    let limit_kpa = bearing_limit_kpa(one.project, placed.block);
    let area = bearing.and_then(|n| one.loads.blocks.get(n)).map(|bearing| bearing.area_m2);
    Load {
        placed,
        load_t: load(&one.loads.girder),
        rigid_t: load(&one.loads.rigid),
        limit_t: limit_kpa.zip(area).map(|(kpa, area)| kpa * area / STANDARD_GRAVITY_M_PER_S2),
    }
}

/// Loads under this are none: what the calculation leaves over, t.
const NO_LOAD_T: f64 = 1e-3;

fn load_drawing(
    one: &AtPosition,
    bars: &[Load],
    x: &Axis,
    part: (usize, usize),
) -> Option<Drawing> {
    let rows = rows(
        bars,
        x,
        |bar| bar.placed,
        |bars| !bars.is_empty(),
        |row, name, bars| load_row(one.units, row, name, bars),
    )?;
    let mut canvas = Canvas::new(WIDTH_MM);
    let top = draw_rows(&mut canvas, x, 0.0, &rows);
    let used = legend::rows(&mut canvas, top, &load_samples(one, bars));
    let words = loads_in_words(one, bars, part);
    Some(one.draw(Group::LandingLoads, &format!("loads-{}", part.0), words, canvas, used))
}

fn load_row(units: Units, row: BlockRow, name: &str, bars: &[&Load]) -> Option<Row> {
    let is_keel = row == BlockRow::Keel;
    let (height, apart) = if is_keel { (35.0, 6.0) } else { (13.0, 4.0) };
    let values = bars.iter().flat_map(|bar| [bar.load_t, bar.rigid_t, bar.limit_t]).flatten();
    let title = format!("{name}: load, {}", units.unit(Form::Mass));
    let y = Axis::over(title, units.scaling(Form::Mass), values.chain([0.0, 1.0]), height, apart)?;
    let mut marks: Vec<Mark> = bars.iter().flat_map(|bar| bar.marks(&y)).collect();
    let rigid = bars.iter().filter_map(|bar| Some((bar.placed.x_m, bar.rigid_t?)));
    if is_keel {
        marks.push(Mark::Curve(rigid.collect(), RIGID));
    } else {
        let borne = rigid.filter(|place| place.1 > NO_LOAD_T);
        marks.extend(borne.map(|(x, load)| Mark::Point(x, load, Marker::Ring)));
    }
    Some(Row::new(y, height, marks))
}

impl Load<'_> {
    fn marks(&self, y: &Axis) -> Vec<Mark> {
        let (x, half) = (self.placed.x_m, self.placed.block.cap.length_m / 2.0);
        if !self.placed.stands {
            return vec![Mark::Point(x, y.from + (y.to - y.from) * 0.05, Marker::Cross)];
        }
        let load = self.load_t.map(|load| match load > NO_LOAD_T {
            true => Mark::Bar(Bar { x, half, from: 0.0, to: load, edge: LOAD, least_mm: 0.5 }),
            false => Mark::AtTheFoot(x, Marker::Dot),
        });
        let limit = self.limit_t.map(|y| Mark::Stroke { x, half, y, pen: LIMIT });
        load.into_iter().chain(limit).collect()
    }
}

fn load_samples(one: &AtPosition, bars: &[Load]) -> Vec<(Sample, String)> {
    let mut samples = Vec::new();
    if one.loads.girder.is_some() {
        samples.push((Sample::Cap, "the ship as a girder".to_string()));
    }
    samples.push((Sample::Line(RIGID), "taken as rigid, keel row".to_string()));
    let bilge = |bar: &&Load| bar.placed.block.row != BlockRow::Keel;
    let borne = |bar: &Load| bar.rigid_t.is_some_and(|load| load > NO_LOAD_T);
    if bars.iter().filter(bilge).any(borne) {
        samples.push((Sample::Marker(Marker::Ring), "taken as rigid, other rows".to_string()));
    }
    if bars.iter().any(|bar| bar.limit_t.is_some()) {
        samples.push((
            Sample::Line(STROKES),
            "limit: allowed pressure \u{d7} bearing area".to_string(),
        ));
    }
    if bars.iter().any(|bar| !bar.placed.stands) {
        samples.push((Sample::Marker(Marker::Cross), "left out".to_string()));
    }
    if bars.iter().any(bears_nothing) {
        samples.push((Sample::Marker(Marker::Dot), "stands and does not bear".to_string()));
    }
    samples
}

fn bears_nothing(bar: &Load) -> bool {
    bar.placed.stands && bar.load_t.is_some_and(|load| load <= NO_LOAD_T)
}

fn loads_in_words(one: &AtPosition, bars: &[Load], part: (usize, usize)) -> Words {
    let title = format!("Block loads in position {}{}", one.id, words::part(part));
    let caption =
        "The dock dry, her whole weight on the blocks. Bars are as wide as the caps are long."
            .to_string();
    let names = |holds: fn(&Load) -> bool| -> Vec<String> {
        let of = bars.iter().filter(|bar| holds(bar));
        of.map(|bar| lettering::shown(&bar.placed.block.id)).collect()
    };
    let largest =
        bars.iter().filter_map(|bar| Some((bar.load_t?, bar))).max_by(|a, b| a.0.total_cmp(&b.0));
    let mut alt = format!("{title}. ");
    if let Some((load, bar)) = largest {
        let limit = bar.limit_t.map_or(String::new(), |limit| {
            format!(", where {} is allowed", one.units.mass(limit, 1))
        });
        alt.push_str(&format!(
            "The greatest load is {} on {}{limit}. ",
            one.units.mass(load, 1),
            lettering::shown(&bar.placed.block.id)
        ));
    }
    for (row, name) in ROWS {
        let of_row: Vec<f64> = bars
            .iter()
            .filter(|bar| bar.placed.block.row == row)
            .filter_map(|bar| bar.load_t)
            .collect();
        if !of_row.is_empty() {
            let sum = one.units.mass(of_row.iter().sum(), 1);
            alt.push_str(&format!("Sum, {name}: {sum}. "));
        }
    }
    alt.push_str(&format!("Do not bear: {}. ", words::list(&names(bears_nothing), 20)));
    let absent: fn(&Load) -> bool = |bar| !bar.placed.stands;
    alt.push_str(&format!("Left out: {}.", words::list(&names(absent), 20)));
    Words { title, caption, alt }
}

const EDGE: Pen = Pen::solid(0.1).coloured(BACK_GREY);
/// Most states of the water that are drawn.
const MOST_STATES: usize = 6;

/// A block's gaps in one state of the water.
struct Gap<'a> {
    placed: Placed<'a>,
    predicted_m: Option<f64>,
    measured_m: Vec<f64>,
}

/// A drawing for each state of the water in which gaps were measured, strip by strip.
pub fn gaps(one: &AtPosition) -> Vec<Drawing> {
    let mut depths: Vec<Option<f64>> = Vec::new();
    for gap in one.project.gaps.iter().filter(|gap| gap.position == one.position.id) {
        if !depths.contains(&gap.water_depth_m) {
            depths.push(gap.water_depth_m);
        }
    }
    // The water falls: deepest first, dry last.
    depths.sort_by(|a, b| {
        let depth = |depth: &Option<f64>| depth.unwrap_or(f64::NEG_INFINITY);
        depth(b).total_cmp(&depth(a))
    });
    let blocks = placed(one);
    let mut drawings = Vec::new();
    for depth in depths.into_iter().take(MOST_STATES) {
        let gaps: Vec<Gap> = blocks.iter().map(|placed| gap(one, *placed, depth)).collect();
        let strips = strips(one.units, &blocks);
        for (n, x) in strips.iter().enumerate() {
            let (number, part) = (drawings.len() + 1, (n + 1, strips.len()));
            drawings.extend(gap_drawing(one, &gaps, x, depth, number, part));
        }
    }
    drawings
}

fn gap<'a>(one: &AtPosition<'a>, placed: Placed<'a>, depth: Option<f64>) -> Gap<'a> {
    let shared = one.loads.with_water(depth).ok();
    let bearing = one.loads.blocks.iter().position(|bearing| bearing.block == placed.number);
    let predicted_m =
        shared.zip(bearing).and_then(|((shared, _), n)| shared.gaps_m.get(n).copied());
    let of_block = one.project.gaps.iter().filter(|gap| {
        gap.position == one.position.id
            && gap.block == placed.block.id
            && gap.water_depth_m == depth
    });
    Gap { placed, predicted_m, measured_m: of_block.map(|gap| gap.gap_m).collect() }
}

fn gap_drawing(
    one: &AtPosition,
    gaps: &[Gap],
    x: &Axis,
    depth: Option<f64>,
    number: usize,
    part: (usize, usize),
) -> Option<Drawing> {
    let tolerance_m = one.project.docking.bounds.tolerance("gap").map(|bound| bound.value);
    let is_known = |gap: &&Gap| gap.predicted_m.is_some() || !gap.measured_m.is_empty();
    let standing: Vec<&Gap> = gaps.iter().filter(|gap| gap.placed.stands).collect();
    let rows = rows(
        &standing,
        x,
        |gap| gap.placed,
        |gaps| gaps.iter().any(|gap| is_known(gap)),
        |row, name, gaps| gap_row(one.units, row, name, gaps, tolerance_m),
    )?;
    let mut canvas = Canvas::new(WIDTH_MM);
    let top = draw_rows(&mut canvas, x, 0.0, &rows);
    let mut samples = vec![
        (Sample::Marker(Marker::Cross), "measured".to_string()),
        (Sample::Marker(Marker::Ring), "predicted".to_string()),
    ];
    if let Some(tolerance_m) = tolerance_m {
        let tolerance = one.units.measure(tolerance_m, Form::Small, 1);
        samples.push((Sample::Cap, format!("predicted give or take {tolerance}")));
    }
    let used = legend::rows(&mut canvas, top, &samples);
    let words = gaps_in_words(one, gaps, depth, tolerance_m, part);
    Some(one.draw(Group::LandingGaps, &format!("gaps-{number}"), words, canvas, used))
}

fn gap_row(
    units: Units,
    row: BlockRow,
    name: &str,
    gaps: &[&&Gap],
    tolerance_m: Option<f64>,
) -> Option<Row> {
    let (height, apart) = if row == BlockRow::Keel { (30.0, 5.5) } else { (13.0, 4.5) };
    let measured = gaps.iter().flat_map(|gap| gap.measured_m.iter().copied());
    let predicted = gaps.iter().filter_map(|gap| gap.predicted_m);
    let greatest = predicted.map(|predicted| predicted + tolerance_m.unwrap_or(0.0));
    let values = measured.chain(greatest).chain([0.0, 0.010]);
    let title = format!("{name}: gap, {}", units.unit(Form::Small));
    let y = Axis::over(title, units.scaling(Form::Small), values, height, apart)?;
    let mut marks = Vec::new();
    let mut bands = Vec::new();
    for gap in gaps {
        let (x, half) = (gap.placed.x_m, gap.placed.block.cap.length_m / 2.0);
        if let Some((predicted, tolerance)) = gap.predicted_m.zip(tolerance_m) {
            let (from, to) = ((predicted - tolerance).max(0.0), predicted + tolerance);
            bands.push(Mark::Bar(Bar { x, half, from, to, edge: EDGE, least_mm: 0.6 }));
        }
        marks.extend(gap.predicted_m.map(|gap| Mark::Point(x, gap, Marker::Ring)));
        marks.extend(gap.measured_m.iter().map(|gap| Mark::Point(x, *gap, Marker::Cross)));
    }
    Some(Row { under: bands, ..Row::new(y, height, marks) })
}

fn gaps_in_words(
    one: &AtPosition,
    gaps: &[Gap],
    depth: Option<f64>,
    tolerance_m: Option<f64>,
    part: (usize, usize),
) -> Words {
    let state = match depth {
        None => "dock dry".to_string(),
        Some(depth) => format!("{} of water over the floor", one.units.length(depth, 2)),
    };
    let part = words::part(part);
    let title = format!("Gaps in position {}, {state}{part}", one.id);
    let mut caption = "Between cap and hull, of the blocks that stand.".to_string();
    caption.push_str(&match one.loads.with_water(depth) {
        Err(why_not) => {
            format!(" Nothing is predicted: {}.", lettering::shown(&why_not.shown(one.units.0)))
        }
        Ok((_, Buoyancy::Recorded)) => {
            " Predicted with the recorded curve of buoyancy.".to_string()
        }
        Ok((_, Buoyancy::Trapezoid)) => {
            " Predicted with a trapezoid of buoyancy, since no curve is recorded.".to_string()
        }
        Ok((_, Buoyancy::None)) if depth.is_some() => {
            " Predicted without buoyancy, since the water does not reach her keel.".to_string()
        }
        Ok((_, Buoyancy::None)) => String::new(),
    });
    let measured = gaps.iter().flat_map(|gap| gap.measured_m.iter().map(move |m| (gap, *m)));
    let measured: Vec<(&Gap, f64)> = measured.collect();
    let beyond = measured
        .iter()
        .filter(|(gap, m)| {
            gap.predicted_m
                .zip(tolerance_m)
                .is_some_and(|(predicted, tolerance)| (m - predicted).abs() > tolerance + 1e-9)
        })
        .count();
    let mut alt = format!("{title}. {} measured", words::count(measured.len(), "gap"));
    if let Some((gap, m)) = measured.iter().max_by(|a, b| a.1.total_cmp(&b.1)) {
        let predicted = gap.predicted_m.map_or(String::new(), |predicted| {
            format!(", where {} is predicted", one.units.measure(predicted, Form::Small, 1))
        });
        alt.push_str(&format!(
            "; the greatest {} at {}{predicted}",
            one.units.measure(*m, Form::Small, 0),
            lettering::shown(&gap.placed.block.id)
        ));
    }
    if let Some(tolerance) = tolerance_m {
        alt.push_str(&format!(
            "; {beyond} further from the predicted gap than the tolerance of {}",
            one.units.measure(tolerance, Form::Small, 1)
        ));
    }
    alt.push('.');
    Words { title, caption, alt }
}
