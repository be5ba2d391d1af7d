//! The dock's water level against the hour of the day, positions above each other on one axis, with the words of the
//! log's events on the curve; as she came down with the load on the blocks, and as she left.

use super::at_position::{AtPosition, TALLEST_MM};
use super::events::{self, Event, MOST_EVENTS};
use crate::calc::dewatering;
use crate::findings::recomputed::water::WaterLog;
use crate::records::water::WaterLevel;
use crate::report::figures::axis::{Axis, Calendar, clock};
use crate::report::figures::canvas::{Canvas, DOTTED, Pen};
use crate::report::figures::chart::{
    FOOT_MM, HALT, HEAD_MM, LEFT_MM, Mark, Marker, RIGHT_MM, Row, draw_row,
};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::words;
use crate::text::{self, Form};

const LEVEL: Pen = Pen::solid(0.4);
const LOAD: Pen = Pen::solid(0.4);
const WEIGHT: Pen = Pen::solid(0.35).broken(DOTTED);
const LOAD_MM: f64 = 9.5;
/// Height of the level's frame, mm: as she left, there is less to see.
fn level_mm(group: Group) -> f64 {
    if group == Group::UndockingWater { 15.0 } else { 23.0 }
}
/// Room between two positions, mm.
const APART_MM: f64 = 3.0;
/// Most spells of a position that are drawn.
const MOST_SPELLS: usize = 6;
/// Spells share an axis of time as long as the longest is so many times the shortest at most.
const ALIKE: f64 = 3.0;

/// As she came down.
pub fn landing(all: &[AtPosition]) -> Vec<Drawing> {
    drawings(all, Group::LandingWater)
}

/// As she lifted off and left.
pub fn undocking(all: &[AtPosition]) -> Vec<Drawing> {
    drawings(all, Group::UndockingWater)
}

fn drawings(all: &[AtPosition], group: Group) -> Vec<Drawing> {
    let mut spells: Vec<Spell> = Vec::new();
    for one in all {
        let log = WaterLog::new(one.project, &one.position.id);
        let of_group = log
            .spells()
            .filter(|spell| spell.len() > 1)
            .filter(|spell| is_outward(one, spell) == (group == Group::UndockingWater));
        let each = of_group.take(MOST_SPELLS).filter_map(|spell| Spell::new(one, spell, group));
        spells.extend(each);
    }
    let mut sheets: Vec<Vec<Spell>> = Vec::new();
    for spell in spells {
        match sheets.last_mut().filter(|sheet| fits(sheet, &spell)) {
            Some(sheet) => sheet.push(spell),
            None => sheets.push(vec![spell]),
        }
    }
    let of = sheets.len();
    let each = sheets.iter().enumerate();
    each.filter_map(|(n, sheet)| drawing(sheet, group, (n + 1, of))).collect()
}

/// Whether the water came back in a spell, rather than falling under her.
fn is_outward(one: &AtPosition, spell: &[&WaterLevel]) -> bool {
    let has = |events: &[&str]| {
        spell.iter().any(|water| water.event.as_deref().is_some_and(|e| events.contains(&e)))
    };
    let times = &one.position.times;
    let end = times.dry.or(times.landed);
    let is_after = end.zip(spell.first()).is_some_and(|(end, first)| first.at > end);
    is_after
        || has(&["reflood-began", "lift-off", "afloat"]) && !has(&["first-touch", "landed", "dry"])
}

/// Whether a spell finds room under others and fits their axis.
fn fits(sheet: &[Spell], spell: &Spell) -> bool {
    let spans = || sheet.iter().chain([spell]).map(Spell::span_h);
    let (least, most) = (spans().fold(f64::MAX, f64::min), spans().fold(0.0, f64::max));
    let height: f64 = sheet.iter().chain([spell]).map(Spell::height_mm).sum();
    most <= least * ALIKE && height + FOOT_MM + 10.0 <= TALLEST_MM
}

/// A spell of a position's log.
struct Spell<'a> {
    one: &'a AtPosition<'a>,
    level_mm: f64,
    calendar: Calendar,
    /// Hour, level.
    readings: Vec<(f64, f64)>,
    halts: Vec<dewatering::Halt>,
    events: Vec<Event>,
    /// Events that find no room.
    left_out: usize,
    /// Hour, recomputed level at first touch and when landed.
    recomputed: Vec<(f64, f64)>,
    /// The load on the blocks, t, against the hour, in stretches over which it is known.
    loads: Vec<Vec<(f64, f64)>>,
    /// Displacement before landing, t.
    weight_t: Option<f64>,
}

impl<'a> Spell<'a> {
    fn new(one: &'a AtPosition<'a>, log: &[&WaterLevel], group: Group) -> Option<Self> {
        let (first, last) = (log.first()?, log.last()?);
        let calendar = Calendar::before([first.at])?;
        let readings: Vec<(f64, f64)> =
            log.iter().map(|water| (calendar.hour(water.at), water.level_m)).collect();
        let mut spell = Self {
            one,
            level_mm: level_mm(group),
            halts: dewatering::halts(&readings),
            readings,
            events: Vec::new(),
            left_out: 0,
            recomputed: Vec::new(),
            loads: Vec::new(),
            weight_t: one.landing.afloat.as_ref().map(|afloat| afloat.displacement_t),
            calendar,
        };
        let with_event = || log.iter().filter_map(|water| Some((water, water.event.as_deref()?)));
        for (water, event) in with_event() {
            let hour = calendar.hour(water.at);
            let words = events::words(event, water.notes.as_deref(), &clock(hour));
            spell.events.push(Event { x: hour, y: water.level_m, words });
        }
        // Times of the position that the log does not name.
        let whole = WaterLog::new(one.project, &one.position.id);
        for (name, at) in one.position.times.in_order() {
            let event = if name == "touched" {
                "first-touch".into()
            } else {
                name.replace(['_', ' '], "-")
            };
            let Some(at) = at.filter(|at| *at >= first.at && *at <= last.at) else { continue };
            let (hour, level) = (calendar.hour(at), whole.level_at(at));
            if let Some(level) = level.filter(|_| !with_event().any(|(_, known)| known == event)) {
                let words = events::words(&event, None, &clock(hour));
                spell.events.push(Event { x: hour, y: level, words });
            }
        }
        spell.events.sort_by(|a, b| a.x.total_cmp(&b.x));
        spell.left_out = spell.events.len().saturating_sub(MOST_EVENTS);
        spell.events.truncate(MOST_EVENTS);
        if group == Group::LandingWater {
            spell.recompute(first, last);
        }
        Some(spell)
    }

    /// Fills in what is recomputed of the landing while the log ran from one reading to another.
    fn recompute(&mut self, first: &WaterLevel, last: &WaterLevel) {
        let (landing, times) = (self.one.landing, &self.one.position.times);
        let id = &self.one.position.id;
        let levels =
            [(times.touched, landing.level_touched(id)), (times.landed, landing.level_landed(id))];
        let known = levels.into_iter().filter_map(|(at, level)| Some((at?, level?.kept)));
        let inside = known.filter(|(at, _)| *at >= first.at && *at <= last.at);
        self.recomputed = inside.map(|(at, level)| (self.calendar.hour(at), level)).collect();
        let at = |n: usize| Some(self.one.project.water.get(n)?.at);
        let unknown: Vec<_> = landing.beyond_table.iter().filter_map(|n| at(*n)).collect();
        let known = landing.loads.iter().filter_map(|(n, load)| Some((at(*n)?, load.load_t)));
        let mut known: Vec<_> = known.filter(|(at, _)| *at >= first.at && *at <= last.at).collect();
        known.sort_by_key(|(at, _)| *at);
        // No line leads over times at which the load is not known.
        let stretches = known.chunk_by(|a, b| !unknown.iter().any(|at| *at > a.0 && *at < b.0));
        self.loads = stretches
            .map(|stretch| stretch.iter().map(|(at, t)| (self.calendar.hour(*at), *t)).collect())
            .collect();
    }

    fn span_h(&self) -> f64 {
        let ends = self.readings.first().zip(self.readings.last());
        ends.map_or(0.0, |(first, last)| last.0 - first.0)
    }

    fn height_mm(&self) -> f64 {
        let load = if self.loads.is_empty() { 0.0 } else { 1.0 + HEAD_MM + LOAD_MM };
        HEAD_MM + events::room_mm(&self.events) + self.level_mm + load + APART_MM
    }
}

fn drawing(sheet: &[Spell], group: Group, part: (usize, usize)) -> Option<Drawing> {
    let units = sheet.first()?.one.units;
    let hours = || sheet.iter().flat_map(|spell| &spell.readings).map(|reading| reading.0);
    let ends = (hours().fold(f64::MAX, f64::min), hours().fold(f64::MIN, f64::max));
    let offset = sheet.first()?.calendar.offset();
    let title = format!("hour of the day, clocks at UTC{offset}");
    let x = Axis::clock(title, ends, RIGHT_MM - LEFT_MM, 13.0)?;
    let m = units.unit(Form::Length);
    let mut canvas = Canvas::new(WIDTH_MM);
    let mut top = 0.0;
    for (n, spell) in sheet.iter().enumerate() {
        let is_last = n + 1 == sheet.len();
        let levels = sheet.iter().flat_map(|spell| &spell.readings).map(|reading| reading.1);
        let day = text::day(spell.calendar.first_day());
        let title =
            format!("{}, {day}: water level, {m} above the dock’s level datum", spell.one.id);
        let y = Axis::over(title, units.scaling(Form::Length), levels, spell.level_mm, 4.5)?;
        let hatched = spell.halts.iter().map(|halt| Mark::Hatched(halt.from_h, halt.to_h));
        let mut over = vec![Mark::Curve(spell.readings.clone(), LEVEL)];
        let recomputed = spell.recomputed.iter();
        over.extend(recomputed.map(|(hour, level)| Mark::Point(*hour, *level, Marker::Ring)));
        let has_load = !spell.loads.is_empty();
        let row = Row {
            under: hatched.collect(),
            room_mm: events::room_mm(&spell.events),
            gap_mm: if has_load { 1.0 } else { APART_MM },
            ..Row::new(y, spell.level_mm, over)
        };
        let (panel, reached) = draw_row(&mut canvas, &x, top, &row, is_last && !has_load);
        events::draw(&mut canvas, &panel, &spell.events);
        top = reached;
        if has_load {
            top = load_row(&mut canvas, sheet, spell, &x, top, is_last)?;
        }
    }
    let used = legend::rows(&mut canvas, top, &samples(sheet));
    let words = in_words(sheet, group, part);
    let (begins, position) = match group {
        Group::UndockingWater => ("landing-refloating", None),
        _ => ("landing-water", None),
    };
    Some(Drawing::new(group, format!("{begins}-{}", part.0), position, words, canvas, used))
}

/// The load on the blocks under the level; returns the height reached.
fn load_row(
    canvas: &mut Canvas,
    sheet: &[Spell],
    spell: &Spell,
    x: &Axis,
    top: f64,
    is_last: bool,
) -> Option<f64> {
    let units = spell.one.units;
    let values = sheet.iter().flat_map(|spell| {
        let loads = spell.loads.iter().flatten().map(|load| load.1);
        loads.chain(spell.weight_t)
    });
    let title = format!("{}: load on the blocks, {}", spell.one.id, units.unit(Form::Mass));
    let y = Axis::over(title, units.scaling(Form::Mass), values.chain([0.0]), LOAD_MM, 4.0)?;
    let mut marks: Vec<Mark> = spell.weight_t.map(|t| Mark::Level(t, WEIGHT)).into_iter().collect();
    marks.extend(spell.loads.iter().map(|stretch| Mark::Curve(stretch.clone(), LOAD)));
    let row = Row { gap_mm: APART_MM, ..Row::new(y, LOAD_MM, marks) };
    Some(draw_row(canvas, x, top, &row, is_last).1)
}

fn samples(sheet: &[Spell]) -> Vec<(Sample, String)> {
    let mut samples = Vec::new();
    if sheet.iter().any(|spell| !spell.halts.is_empty()) {
        samples.push((Sample::Hatched(vec![HALT]), "water standing still".to_string()));
    }
    if sheet.iter().any(|spell| !spell.recomputed.is_empty()) {
        let what = "level at first touch and when landed, by the drafts";
        samples.push((Sample::Marker(Marker::Ring), what.to_string()));
    }
    if sheet.iter().any(|spell| !spell.loads.is_empty() && spell.weight_t.is_some()) {
        samples.push((Sample::Line(WEIGHT), "displacement before landing".to_string()));
    }
    samples
}

fn in_words(sheet: &[Spell], group: Group, part: (usize, usize)) -> Words {
    let what = match group {
        Group::UndockingWater => "The water as she left",
        _ => "The water as she came down",
    };
    let title = format!("{what}{}", words::part(part));
    let left_out: usize = sheet.iter().map(|spell| spell.left_out).sum();
    let mut caption = "With the words of the log.".to_string();
    if sheet.iter().any(|spell| !spell.loads.is_empty()) {
        caption.push_str(" Where a load is not known, no line.");
    }
    if left_out > 0 {
        caption.push_str(&format!(" {} without room.", words::count(left_out, "event")));
    }
    let parts: Vec<String> = sheet
        .iter()
        .map(|spell| {
            let units = spell.one.units;
            let level = |(hour, level): &(f64, f64)| {
                format!("{} at {}", units.length(*level, 3), clock(*hour))
            };
            let ends = spell.readings.first().zip(spell.readings.last());
            let ends = ends.map_or(String::new(), |(a, b)| {
                // What is recomputed says more than the levels at which the log begins and ends.
                match spell.recomputed.is_empty() {
                    true => format!(" {} to {},", level(a), level(b)),
                    false => format!(" {} to {},", clock(a.0), clock(b.0)),
                }
            });
            let recomputed: Vec<String> = spell.recomputed.iter().map(level).collect();
            let recomputed = match recomputed.as_slice() {
                [] => String::new(),
                levels => format!(" By the drafts {}.", words::list(levels, 2)),
            };
            let halts = words::count(spell.halts.len(), "halt");
            let is_main = |words: &str| {
                ["first touch", "landed", "dry", "lift off", "afloat"]
                    .iter()
                    .any(|w| words.starts_with(w))
            };
            let events = spell.events.iter().map(|event| event.words.as_str());
            let events: Vec<&str> = events.filter(|words| is_main(words)).collect();
            let events = match events.as_slice() {
                [] => String::new(),
                events => format!("; {}", words::list(events, 4)),
            };
            format!("{}:{ends} {halts}{events}.{recomputed}", spell.one.id)
        })
        .collect();
    Words { title, caption, alt: words::said(&parts) }
}
