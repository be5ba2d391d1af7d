//! The load on each block along the ship: the girder as bars, the rigid ship as rings, limits as strokes.

use geo::LineString;

use super::One;
use super::keel::{self, Placed, ROWS};
use crate::calc::loads::Outcome;
use crate::records::blocks::BlockRow;
use crate::report::figures::canvas::{CAP_GREY, Canvas, DASHED, Pen};
use crate::report::figures::chart::{Axis, FOOT_MM, Marker, Panel, marker};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::labels::Area;
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering;
use crate::report::figures::words::{self, tonnes};
use crate::units::STANDARD_GRAVITY_M_PER_S2;

const RIGID: Pen = Pen::solid(0.2).broken(DASHED);
const LIMIT: Pen = Pen::solid(0.45);
/// The strokes of the limits in the legend.
const STROKES: Pen = LIMIT.broken(&[1.2, 1.35]);
/// Height of the keel row's panel and of the others', mm.
const KEEL_MM: f64 = 35.0;
const OTHER_MM: f64 = 13.0;

/// What is drawn of one block.
struct Bar<'a> {
    placed: Placed<'a>,
    load_t: Option<f64>,
    rigid_t: Option<f64>,
    limit_t: Option<f64>,
}

/// The loads in the dry dock, strip by strip; nothing where they could not be found.
pub fn drawings(one: &One) -> Vec<Drawing> {
    if one.loads.girder.is_none() && one.loads.rigid.is_none() {
        return Vec::new();
    }
    let blocks = keel::placed(one);
    let bars: Vec<Bar> = blocks.iter().map(|placed| bar(one, *placed)).collect();
    let strips = keel::strips(&blocks);
    let of = strips.len();
    let each = strips.into_iter().enumerate();
    each.filter_map(|(n, x)| drawing(one, &bars, x, n + 1, of)).collect()
}

fn bar<'a>(one: &One<'a>, placed: Placed<'a>) -> Bar<'a> {
    let bearing = one.loads.blocks.iter().position(|bearing| bearing.block == placed.number);
    let load = |outcome: &Option<Outcome>| {
        Some(outcome.as_ref()?.loads_kn.get(bearing?)? / STANDARD_GRAVITY_M_PER_S2)
    };
    let general = one.project.docking.bounds.limit("bearing_pressure").map(|limit| limit.value);
    let limit_kpa = placed.block.bearing_limit_kpa.or(general);
    let area = bearing.and_then(|n| one.loads.blocks.get(n)).map(|bearing| bearing.area_m2);
    Bar {
        placed,
        load_t: load(&one.loads.girder),
        rigid_t: load(&one.loads.rigid),
        limit_t: limit_kpa.zip(area).map(|(kpa, area)| kpa * area / STANDARD_GRAVITY_M_PER_S2),
    }
}

/// Loads under this are none: what the calculation leaves over, t.
const NO_LOAD_T: f64 = 1e-3;

fn drawing(one: &One, bars: &[Bar], x: Axis, number: usize, of: usize) -> Option<Drawing> {
    let inside = |bar: &&Bar| (0.0..=1.0).contains(&x.part(bar.placed.x_m));
    let mut canvas = Canvas::new(WIDTH_MM);
    let rows: Vec<(BlockRow, &str, Vec<&Bar>)> = ROWS
        .into_iter()
        .map(|(row, name)| {
            let of_row = |bar: &&Bar| bar.placed.block.row == row;
            (row, name, bars.iter().filter(of_row).filter(inside).collect())
        })
        .filter(|(_, _, bars): &(_, _, Vec<&Bar>)| !bars.is_empty())
        .collect();
    let last = rows.len().checked_sub(1)?;
    let mut top = 0.0;
    for (n, (row, name, bars)) in rows.iter().enumerate() {
        let height = if *row == BlockRow::Keel { KEEL_MM } else { OTHER_MM };
        let values = bars
            .iter()
            .flat_map(|bar| [bar.load_t, bar.rigid_t, bar.limit_t])
            .flatten()
            .chain([0.0, 1.0]);
        let apart = if *row == BlockRow::Keel { 6.0 } else { 4.0 };
        let y = Axis::over(format!("{name}: load, t"), values, height, apart)?;
        let panel = Panel::new(top, height, x.clone(), y);
        // The numbers of x stand under the names of the blocks.
        panel.draw(&mut canvas, false);
        for bar in bars {
            one_block(&mut canvas, &panel, bar);
        }
        let rigid: Vec<(f64, f64)> =
            bars.iter().filter_map(|bar| Some((bar.placed.x_m, bar.rigid_t?))).collect();
        if *row == BlockRow::Keel {
            panel.curve(&mut canvas, &rigid, RIGID);
        } else {
            let borne = rigid.iter().filter(|place| place.1 > NO_LOAD_T);
            borne.for_each(|place| panel.mark(&mut canvas, *place, Marker::Ring));
        }
        let placed: Vec<Placed> = bars.iter().map(|bar| bar.placed).collect();
        let ids = keel::letter_ids(&mut canvas, &panel, &placed);
        top = panel.area.bottom + ids;
        if n == last {
            panel.foot(&mut canvas, ids);
            top += FOOT_MM;
        }
    }
    let used = legend::rows(&mut canvas, top, &samples(one, bars));
    let words = said(one, bars, number, of);
    Some(one.draw(Group::LandingLoads, &format!("loads-{number}"), words, canvas, used))
}

fn one_block(canvas: &mut Canvas, panel: &Panel, bar: &Bar) {
    let x = bar.placed.x_m;
    let half = bar.placed.block.cap.length_m / 2.0;
    let foot = panel.at(x, 0.0);
    if !bar.placed.stands {
        panel.mark(canvas, (x, panel.y.from + (panel.y.to - panel.y.from) * 0.05), Marker::Cross);
        return;
    }
    match bar.load_t {
        Some(load) if load > NO_LOAD_T => panel.bar(canvas, x, half, load, CAP_GREY),
        Some(_) => {
            let at = geo::Coord { x: foot.x, y: foot.y - 1.2 };
            marker(canvas, at, Marker::Dot);
        }
        None => {}
    }
    if let Some(limit) = bar.limit_t {
        let at = panel.at(x, limit);
        let reach = (panel.across(x + half) - at.x).max(0.5) + 0.15;
        if panel.area.grown(0.01).holds(&Area::at(at)) {
            let ends = [at.x - reach, at.x + reach].map(|x| geo::Coord { x, y: at.y });
            canvas.lines(&[LineString::new(ends.to_vec())], LIMIT);
        }
    }
}

fn samples(one: &One, bars: &[Bar]) -> Vec<(Sample, String)> {
    let mut samples = Vec::new();
    if one.loads.girder.is_some() {
        samples.push((Sample::Cap, "the ship as a girder".to_string()));
    }
    samples.push((Sample::Line(RIGID), "taken as rigid, keel row".to_string()));
    let bilge = |bar: &&Bar| bar.placed.block.row != BlockRow::Keel;
    let borne = |bar: &Bar| bar.rigid_t.is_some_and(|load| load > NO_LOAD_T);
    if bars.iter().filter(bilge).any(borne) {
        samples.push((Sample::Marker(Marker::Ring), "taken as rigid, other rows".to_string()));
    }
    if bars.iter().any(|bar| bar.limit_t.is_some()) {
        samples.push((Sample::Line(STROKES), "limit: allowed pressure x bearing area".to_string()));
    }
    if bars.iter().any(|bar| !bar.placed.stands) {
        samples.push((Sample::Marker(Marker::Cross), "left out".to_string()));
    }
    if bars.iter().any(bears_nothing) {
        samples.push((Sample::Marker(Marker::Dot), "stands and does not bear".to_string()));
    }
    samples
}

fn bears_nothing(bar: &Bar) -> bool {
    bar.placed.stands && bar.load_t.is_some_and(|load| load <= NO_LOAD_T)
}

fn said(one: &One, bars: &[Bar], number: usize, of: usize) -> Words {
    let title = format!("Block loads in position {}{}", one.id, words::part((number, of)));
    let caption =
        "The dock dry, her whole weight on the blocks. Bars are as wide as the caps are long."
            .to_string();
    let names = |holds: fn(&Bar) -> bool| -> Vec<String> {
        let of = bars.iter().filter(|bar| holds(bar));
        of.map(|bar| lettering::shown(&bar.placed.block.id)).collect()
    };
    let largest =
        bars.iter().filter_map(|bar| Some((bar.load_t?, bar))).max_by(|a, b| a.0.total_cmp(&b.0));
    let mut alt = format!("{title}. ");
    if let Some((load, bar)) = largest {
        let limit = bar
            .limit_t
            .map_or(String::new(), |limit| format!(", where {} are allowed", tonnes(limit, 1)));
        alt.push_str(&format!(
            "The greatest load is {} on {}{limit}. ",
            tonnes(load, 1),
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
            let sum = tonnes(of_row.iter().sum(), 1);
            alt.push_str(&format!("The {name} bears {sum}. "));
        }
    }
    alt.push_str(&format!("Do not bear: {}. ", words::list(&names(bears_nothing), 20)));
    let absent: fn(&Bar) -> bool = |bar| !bar.placed.stands;
    alt.push_str(&format!("Left out: {}.", words::list(&names(absent), 20)));
    Words { title, caption, alt }
}
