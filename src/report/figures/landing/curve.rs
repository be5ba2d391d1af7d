//! The landing curve, from first touch to landed: GM left and the load on the knuckle block against the falling water,
//! positions above each other on one scale, with the words of the log's events on the curve.

use geo::Coord;

use super::at_position::{AtPosition, TALLEST_MM};
use super::events::{self, Event};
use crate::calc::landing::Moment;
use crate::findings::recomputed::water::WaterLog;
use crate::report::figures::axis::{Axis, Calendar};
use crate::report::figures::canvas::{Canvas, LONG_DASH, Lettered, PAPER, Pen};
use crate::report::figures::chart::{
    FOOT_MM, HEAD_MM, LEFT_MM, Mark, Panel, RIGHT_MM, Row, draw_row,
};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::labels::Area;
use crate::report::figures::lettering::{self, SMALL_PT};
use crate::report::figures::words;
use crate::text::{Form, Measure};

const LINE: Pen = Pen::solid(0.4);
const LIMIT: Pen = Pen::solid(0.3).broken(LONG_DASH);
const GM_MM: f64 = 17.0;
const LOAD_MM: f64 = 13.0;
/// Room between two positions, mm.
const APART_MM: f64 = 3.0;
/// An event counts as one between first touch and landed if its level lies so near to theirs, m: staffs are read to
/// a few centimetres.
const NEAR_M: f64 = 0.03;

/// A position's curve.
struct Curve<'a> {
    one: &'a AtPosition<'a>,
    /// Water level, GM, m.
    gm: Vec<(f64, f64)>,
    /// Water level, upthrust, t.
    upthrust: Vec<(f64, f64)>,
    events: Vec<Event>,
    limits: Limits,
}

#[derive(Clone, Copy)]
struct Limits {
    gm_m: Option<f64>,
    load_t: Option<f64>,
}

/// The curves of all positions that have one.
pub fn drawings(all: &[AtPosition]) -> Vec<Drawing> {
    let curves: Vec<Curve> = all.iter().filter_map(Curve::new).collect();
    let mut sheets: Vec<Vec<Curve>> = Vec::new();
    for curve in curves {
        let height = |sheet: &Vec<Curve>| sheet.iter().map(Curve::height_mm).sum::<f64>();
        let fits =
            |sheet: &&mut Vec<Curve>| height(sheet) + curve.height_mm() + FOOT_MM <= TALLEST_MM;
        match sheets.last_mut().filter(fits) {
            Some(sheet) => sheet.push(curve),
            None => sheets.push(vec![curve]),
        }
    }
    let of = sheets.len();
    let each = sheets.iter().enumerate();
    each.filter_map(|(n, sheet)| drawing(sheet, (n + 1, of))).collect()
}

impl<'a> Curve<'a> {
    fn new(one: &'a AtPosition<'a>) -> Option<Self> {
        let landing = one.landing;
        let weight_t = landing.afloat.as_ref()?.displacement_t;
        let curve = &landing.curve;
        let (first, last) = (curve.first()?, curve.last()?);
        let of = |value: &dyn Fn(&Moment) -> f64| -> Vec<(f64, f64)> {
            curve.iter().map(|moment| (moment.water_level_m, value(moment))).collect()
        };
        let least = |kg: f64| {
            of(&|moment| {
                let [by_km, by_kg] = moment.gm_m(kg, weight_t);
                by_km.min(by_kg)
            })
        };
        let gm = landing.kg_m.map(least).unwrap_or_default();
        let upthrust = of(&|moment| moment.upthrust_t);
        let limit = |name: &str| one.project.docking.bounds.limit(name).map(|limit| limit.value);
        let limits = Limits { gm_m: limit("gm"), load_t: limit("knuckle_load") };
        let (low, high) = (last.water_level_m, first.water_level_m);
        let mut curve = Self { one, gm, upthrust, events: Vec::new(), limits };
        let log = WaterLog::new(one.project, &one.position.id);
        let is_touch = |event: &str| event == "first-touch";
        let touched =
            log.readings.iter().position(|water| water.event.as_deref().is_some_and(is_touch));
        let calendar = Calendar::before(log.readings.iter().map(|water| water.at));
        let fall = log.readings.iter().skip(touched.unwrap_or(0));
        for water in fall {
            let Some(event) = water.event.as_deref() else { continue };
            let level = water.level_m;
            if touched.is_some() && level >= low - NEAR_M && level <= high + NEAR_M {
                let x = level.clamp(low, high);
                let by_clock =
                    calendar.map_or(water.at, |calendar| calendar.by_its_clock(water.at));
                let time = by_clock.format("%H:%M").to_string();
                let words = events::words(event, water.notes.as_deref(), &time);
                curve.events.push(Event { x, y: at(curve.upper(), x)?, words });
            }
            if event == "landed" || event == "dry" {
                break;
            }
        }
        Some(curve)
    }

    /// The curve on which the events stand.
    fn upper(&self) -> &[(f64, f64)] {
        if self.gm.is_empty() { &self.upthrust } else { &self.gm }
    }

    fn height_mm(&self) -> f64 {
        let gm = if self.gm.is_empty() { 0.0 } else { HEAD_MM + GM_MM + 1.0 };
        events::room_mm(&self.events) + gm + HEAD_MM + LOAD_MM + APART_MM
    }
}

/// The curve's value at a water level; its points follow the water down.
fn at(curve: &[(f64, f64)], level_m: f64) -> Option<f64> {
    let pair = curve.windows(2).find(|pair| level_m <= pair[0].0 && level_m >= pair[1].0);
    match pair {
        Some([a, b]) if a.0 > b.0 => Some(a.1 + (a.0 - level_m) / (a.0 - b.0) * (b.1 - a.1)),
        _ => curve.last().map(|last| last.1),
    }
}

fn drawing(sheet: &[Curve], part: (usize, usize)) -> Option<Drawing> {
    let units = sheet.first()?.one.units;
    let levels = || sheet.iter().flat_map(|curve| &curve.upthrust).map(|point| point.0);
    let ends = (levels().fold(f64::MAX, f64::min), levels().fold(f64::MIN, f64::max));
    let m = units.unit(Form::Length);
    let title = format!("water level, {m} above the dock’s level datum, falling to the right");
    let scaling = units.scaling(Form::Length);
    let x = Axis::between(title, scaling, ends, RIGHT_MM - LEFT_MM, 14.0)?.falling();
    let limits = sheet.first()?.limits;
    let has_gm = sheet.iter().any(|curve| !curve.gm.is_empty());
    let mut canvas = Canvas::new(WIDTH_MM);
    let mut top = 0.0;
    for (n, curve) in sheet.iter().enumerate() {
        let id = &curve.one.id;
        let room = events::room_mm(&curve.events);
        let mut room_mm = room;
        if !curve.gm.is_empty() {
            let gm = sheet.iter().flat_map(|curve| &curve.gm).map(|point| point.1);
            let values = gm.chain([0.0]).chain(limits.gm_m.map(|limit| limit * 1.1));
            let title = format!("{id}: least GM left, {m}");
            let y = Axis::over(title, scaling, values, GM_MM, 5.0)?;
            let row = Row { room_mm, ..row(y, GM_MM, &curve.gm, limits.gm_m) };
            let (panel, reached) = draw_row(&mut canvas, &x, top, &row, false);
            events::draw(&mut canvas, &panel, &curve.events);
            let limit = limits.gm_m.map(|limit| Form::Length.measure(limit));
            name_limit(&mut canvas, &panel, "at least", limit, &curve.gm, curve.one);
            top = reached;
            room_mm = 0.0;
        }
        let upthrust = sheet.iter().flat_map(|curve| &curve.upthrust).map(|point| point.1);
        let values = upthrust.chain([0.0]).chain(limits.load_t.map(|limit| limit * 1.1));
        let title = format!("{id}: load on the first block touched, {}", units.unit(Form::Mass));
        let y = Axis::over(title, units.scaling(Form::Mass), values, LOAD_MM, 5.0)?;
        let row =
            Row { room_mm, gap_mm: APART_MM, ..row(y, LOAD_MM, &curve.upthrust, limits.load_t) };
        let (panel, reached) = draw_row(&mut canvas, &x, top, &row, n + 1 == sheet.len());
        if curve.gm.is_empty() {
            events::draw(&mut canvas, &panel, &curve.events);
        }
        let limit = limits.load_t.map(|limit| Form::Mass.measure(limit));
        name_limit(&mut canvas, &panel, "at most", limit, &curve.upthrust, curve.one);
        top = reached;
    }
    let what = if has_gm { "GM and load on the first block" } else { "Load on the first block" };
    let title = format!("{what}, from first touch to landed{}", words::part(part));
    let caption = "With the words of the water log.".to_string();
    let parts: Vec<String> = sheet.iter().map(in_words).collect();
    let words = Words { title, caption, alt: words::said(&parts) };
    let name = format!("landing-curve-{}", part.0);
    Some(Drawing::new(Group::LandingCurve, name, None, words, canvas, top))
}

fn row(y: Axis, height_mm: f64, curve: &[(f64, f64)], limit: Option<f64>) -> Row {
    let mut marks: Vec<Mark> = limit.map(|limit| Mark::Level(limit, LIMIT)).into_iter().collect();
    marks.push(Mark::Curve(curve.to_vec(), LINE));
    Row::new(y, height_mm, marks)
}

/// The limit's words beside its line, on the side away from the curve.
fn name_limit(
    canvas: &mut Canvas,
    panel: &Panel,
    how: &str,
    limit: Option<Measure>,
    curve: &[(f64, f64)],
    one: &AtPosition,
) {
    let Some((limit, (level, value))) = limit.zip(curve.first()) else { return };
    let words = format!("{how} {}", limit.as_stated().with_unit(one.units.0));
    let (capital, width) = (lettering::capital_mm(SMALL_PT), lettering::width_mm(&words, SMALL_PT));
    let (line, near) = (panel.up(limit.kept), panel.at(*level, *value).y);
    let above = if near < line { line + 0.9 + capital } else { line - 0.9 };
    let base = Coord { x: panel.area.right - 1.5 - width, y: above };
    let patch = Area {
        left: base.x - 0.5,
        right: base.x + width + 0.5,
        top: base.y - capital - 0.4,
        bottom: base.y + 0.4,
    };
    if panel.area.holds(&patch) {
        canvas.ring(&patch.corners(), None, Some(PAPER));
        canvas.text(Lettered::new(&words, base, SMALL_PT));
    }
}

fn in_words(curve: &Curve) -> String {
    let units = curve.one.units;
    let ends = |curve: &[(f64, f64)], form: Form, decimals: usize| {
        let ends = curve.first().zip(curve.last());
        ends.map_or(String::new(), |(first, last)| {
            let said = |kept: f64| units.measure(kept, form, decimals);
            format!("from {} to {}", said(first.1), said(last.1))
        })
    };
    let (first, last) = (curve.upthrust.first(), curve.upthrust.last());
    let level = |point: Option<&(f64, f64)>| point.map_or(String::new(), |p| units.length(p.0, 3));
    let gm = match curve.gm.as_slice() {
        [] => "GM is not known".to_string(),
        gm => format!("GM goes {}", ends(gm, Form::Length, 3)),
    };
    format!(
        "{}: as the water falls from {} to {}, {gm}, the load {}.",
        curve.one.id,
        level(first),
        level(last),
        ends(&curve.upthrust, Form::Mass, 1)
    )
}
