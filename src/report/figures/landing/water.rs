//! The dock's water level against time, one drawing for each spell of the log.

use geo::{Coord, LineString};

use super::at_position::AtPosition;
use crate::calc::dewatering;
use crate::findings::recomputed::water::WaterLog;
use crate::records::water::WaterLevel;
use crate::report::figures::axis::{Axis, Calendar, clock, spread};
use crate::report::figures::canvas::{Canvas, DASH_DOT, DASHED, DOTTED, INK, Lettered, PAPER, Pen};
use crate::report::figures::chart::{FOOT_MM, HALT, LEFT_MM, Panel, RIGHT_MM};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::labels::Area;
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering::{self, SMALL_PT};
use crate::report::figures::words;
use crate::text::{self, Form};

const LEVEL: Pen = Pen::solid(0.4);
const TIME: Pen = Pen::solid(0.2).broken(DASH_DOT);
const TOUCH: Pen = Pen::solid(0.3).broken(DASHED);
const LANDED: Pen = Pen::solid(0.3).broken(DOTTED);
const HEIGHT_MM: f64 = 54.0;
/// Room over the frame for the numbers of the events, mm.
const NUMBERS_MM: f64 = 8.0;
/// Radius of a number's ring, mm.
const RING_MM: f64 = 1.75;
/// Most spells that are drawn.
const MOST_SPELLS: usize = 6;
/// Most events that one drawing numbers.
const MOST_EVENTS: usize = 32;

/// The spells of a position's log.
pub fn drawings(one: &AtPosition) -> Vec<Drawing> {
    let log = WaterLog::new(one.project, &one.position.id);
    let spells: Vec<&[&WaterLevel]> = log.spells().filter(|spell| spell.len() > 1).collect();
    let of = spells.len();
    spells
        .iter()
        .take(MOST_SPELLS)
        .enumerate()
        .filter_map(|(n, spell)| drawing(one, spell, n + 1, of))
        .collect()
}

/// AtPosition spell on its axes.
struct Spell<'a> {
    calendar: Calendar,
    readings: Vec<(f64, f64)>,
    halts: Vec<dewatering::Halt>,
    /// Event's number, hour, level.
    events: Vec<(usize, f64, &'a WaterLevel)>,
}

impl<'a> Spell<'a> {
    fn new(one: &AtPosition<'a>, log: &[&'a WaterLevel]) -> Option<Self> {
        let first = log.first()?;
        let calendar = Calendar::before([first.at])?;
        let readings: Vec<(f64, f64)> =
            log.iter().map(|water| (calendar.hour(water.at), water.level_m)).collect();
        let (from, to) = (first.at, log.last()?.at);
        let events = WaterLog::new(one.project, &one.position.id).events().into_iter();
        let events = events
            .filter(|event| event.water.at >= from && event.water.at <= to)
            .map(|event| (event.number, calendar.hour(event.water.at), event.water))
            .collect();
        Some(Self { calendar, halts: dewatering::halts(&readings), readings, events })
    }
}

fn drawing(one: &AtPosition, log: &[&WaterLevel], number: usize, of: usize) -> Option<Drawing> {
    let spell = Spell::new(one, log)?;
    let (first, last) = (spell.readings.first()?, spell.readings.last()?);
    let landing = one.landing;
    let touch = landing.touch.map(|touch| touch.water_level_m);
    let landed = landing.critical.map(|critical| critical.water_level_m);
    let width = RIGHT_MM - LEFT_MM;
    let day = text::day(spell.calendar.first_day());
    let offset = spell.calendar.offset();
    let x = Axis::clock(
        format!("hour of the day from {day} on, clocks at UTC{offset}"),
        (first.0, last.0),
        width,
        13.0,
    )?;
    let levels = spell.readings.iter().map(|reading| reading.1);
    let m = one.units.unit(Form::Length);
    let title = format!("water level, {m} above the dock’s level datum");
    let y = Axis::over(title, one.units.scaling(Form::Length), levels, HEIGHT_MM, 6.0)?;
    let panel = Panel::with_room(0.0, NUMBERS_MM, HEIGHT_MM, x, y);

    let mut canvas = Canvas::new(WIDTH_MM);
    for halt in &spell.halts {
        panel.hatched(&mut canvas, halt.from_h, halt.to_h);
    }
    panel.draw(&mut canvas, true);
    let names = times(one, &spell, &panel);
    for (hour, ..) in &names {
        panel.upright(&mut canvas, *hour, TIME);
    }
    for (level, pen) in [(touch, TOUCH), (landed, LANDED)] {
        level.into_iter().for_each(|level| panel.level(&mut canvas, level, pen));
    }
    panel.curve(&mut canvas, &spell.readings, LEVEL);
    name_times(&mut canvas, &panel, &spell, &names);
    number_events(&mut canvas, &panel, &spell);

    let mut samples = vec![
        (Sample::Line(LEVEL), "water log".to_string()),
        (Sample::Line(TIME), "times recorded for the position".to_string()),
    ];
    let said = |level: f64| one.units.length(level, 3);
    let recomputed = [("first touch", touch, TOUCH), ("landed", landed, LANDED)];
    for (words, level, pen) in recomputed {
        samples.extend(
            level.map(|level| {
                (Sample::Line(pen), format!("{words} as recomputed, {}", said(level)))
            }),
        );
    }
    if !spell.halts.is_empty() {
        samples.push((Sample::Hatched(vec![HALT]), "water standing still".to_string()));
    }
    let used = legend::rows(&mut canvas, panel.area.bottom + FOOT_MM, &samples);
    let used = list_events(&mut canvas, &spell, used + 1.0);

    let part = words::part((number, of));
    let title = format!("Water level in position {}{part}", one.id);
    let mut caption =
        "Numbers over the frame are the events of the log, listed below it.".to_string();
    if spell.events.is_empty() {
        caption = "The log names no event in this time.".to_string();
    }
    if spell.events.len() > MOST_EVENTS {
        caption.push_str(&format!(" Only the first {MOST_EVENTS} are numbered."));
    }
    if of > MOST_SPELLS {
        caption.push_str(&format!(" Only the first {MOST_SPELLS} parts are drawn."));
    }
    let ends = (log.first()?, log.last()?);
    let mut alt = format!(
        "{title}. The water stood at {} at {} and at {} at {}; {} readings",
        said(ends.0.level_m),
        text::time(ends.0.at),
        said(ends.1.level_m),
        text::time(ends.1.at),
        log.len()
    );
    let halts = words::count(spell.halts.len(), "halt");
    alt.push_str(&format!(", {halts}. "));
    for (number, _, water) in spell.events.iter().take(MOST_EVENTS) {
        let event = water.event.as_deref().unwrap_or_default().replace('-', " ");
        let (at, level) = (text::time(water.at), said(water.level_m));
        alt.push_str(&format!("{number}: {event} at {at}, {level}. "));
    }
    for (words, level, _) in recomputed {
        if let Some(level) = level {
            alt.push_str(&format!("Recomputed level, {words}: {}. ", said(level)));
        }
    }
    let alt = alt.trim_end().to_string();
    let words = Words { title, caption, alt };
    Some(one.draw(Group::LandingWater, &format!("water-{number}"), words, canvas, used))
}

/// The position's times that fall in the frame: hour, name.
fn times(one: &AtPosition, spell: &Spell, panel: &Panel) -> Vec<(f64, &'static str)> {
    let times = one.position.times.in_order();
    times
        .into_iter()
        .filter_map(|(name, at)| Some((spell.calendar.hour(at?), name)))
        .filter(|(hour, _)| (-0.001..=1.001).contains(&panel.x.part(*hour)))
        .collect()
}

/// The names of the times, upward beside their lines, where the curve leaves more room.
fn name_times(canvas: &mut Canvas, panel: &Panel, spell: &Spell, names: &[(f64, &'static str)]) {
    let middle = (panel.y.from + panel.y.to) / 2.0;
    let row = lettering::capital_mm(SMALL_PT) + 1.2;
    // Beside its line on the left; the first of all has only the right.
    let wanted: Vec<f64> = names.iter().map(|(hour, _)| panel.across(*hour) - 0.8).collect();
    let room = (panel.area.left + row, panel.area.right - 0.4);
    let places = spread(&wanted, row, room);
    for ((hour, name), x) in names.iter().zip(places) {
        let near = spell
            .readings
            .iter()
            .min_by(|a, b| (a.0 - hour).abs().total_cmp(&(b.0 - hour).abs()))
            .map_or(middle, |reading| reading.1);
        let name = name.replace('_', " ");
        let width = lettering::width_mm(&name, SMALL_PT);
        let foot =
            if near > middle { panel.area.bottom - 1.5 } else { panel.area.top + 1.5 + width };
        let capital = lettering::capital_mm(SMALL_PT);
        let patch = Area {
            left: x - capital - 0.3,
            right: x + 0.3,
            top: foot - width - 0.4,
            bottom: foot + 0.4,
        };
        canvas.ring(&patch.corners(), None, Some(PAPER));
        canvas.text(Lettered::new(&name, Coord { x, y: foot }, SMALL_PT).upward());
    }
}

/// A ring with its number for each event, over the frame, with a line down to the log.
fn number_events(canvas: &mut Canvas, panel: &Panel, spell: &Spell) {
    let events = || spell.events.iter().take(MOST_EVENTS);
    let wanted: Vec<f64> = events().map(|event| panel.across(event.1)).collect();
    let apart = 2.0 * RING_MM + 0.4;
    let ends = (LEFT_MM + RING_MM, RIGHT_MM - RING_MM);
    let y = panel.area.top - NUMBERS_MM + RING_MM + 0.2;
    for ((number, hour, water), x) in events().zip(spread(&wanted, apart, ends)) {
        let at = panel.at(*hour, water.level_m);
        let knee = Coord { x: at.x, y: panel.area.top };
        let foot = Coord { x, y: y + RING_MM };
        canvas.lines(&[LineString::new(vec![foot, knee, at])], Pen::solid(0.1));
        canvas.circle(at, 0.5, None, Some(INK));
        let centre = Coord { x, y };
        canvas.circle(centre, RING_MM, Some(Pen::solid(0.2)), Some(PAPER));
        let base = Coord { x, y: y + lettering::capital_mm(SMALL_PT) / 2.0 };
        canvas.text(Lettered::new(&number.to_string(), base, SMALL_PT).middle());
    }
}

/// The list of the events in columns; returns the height reached.
fn list_events(canvas: &mut Canvas, spell: &Spell, top: f64) -> f64 {
    const COLUMNS: usize = 4;
    const ROW_MM: f64 = 3.7;
    let count = spell.events.len().min(MOST_EVENTS);
    let each = count.div_ceil(COLUMNS).max(1);
    for (n, (number, hour, water)) in spell.events.iter().take(MOST_EVENTS).enumerate() {
        let event = water.event.as_deref().unwrap_or_default().replace('-', " ");
        let words = format!("{number}  {}  {event}", clock(*hour));
        let x = 1.0 + (n / each) as f64 * (WIDTH_MM / COLUMNS as f64);
        let y = top + ((n % each) as f64 + 0.8) * ROW_MM;
        canvas.text(Lettered::new(&words, Coord { x, y }, SMALL_PT));
    }
    if count == 0 { top } else { top + each as f64 * ROW_MM + 0.5 }
}
