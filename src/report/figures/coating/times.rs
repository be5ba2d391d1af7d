//! When each coat went on, in the zones where one was outside its window: a bar for each application, the window that the coat beneath
//! left open for it, and the spells for which the steel was under water.

use std::collections::BTreeMap;

use geo::{Coord, LineString};

use crate::calc::recoat::Timing;
use crate::findings::Examined;
use crate::findings::exceptions::{Kind, exceptions};
use crate::findings::recomputed::coating::span_h;
use crate::findings::recomputed::coating::windows::{Interval, narrowest_h};
use crate::records::coats::Application;
use crate::records::zones::Extent;
use crate::report::figures::axis::{Axis, Calendar};
use crate::report::figures::canvas::{BACK_GREY, Canvas, DASHED, DOTTED, Lettered, PAPER, Pen};
use crate::report::figures::chart::{FOOT_MM, HALF_END_MM, HALT, Panel, RIGHT_MM, bracket};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::labels::Area;
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering::{self, PLAIN_PT, SMALL_PT};
use crate::report::figures::words::{self, Units};
use crate::text::Form;

/// Left edge of the frames: room for the names of the rows, mm.
const NAMES_MM: f64 = 27.0;
/// Height of a row, mm.
const ROW_MM: f64 = 4.4;
/// Height of a zone's heading over its frame, mm.
const HEADING_MM: f64 = 5.4;
/// Height of the frames and headings of one drawing, mm.
const PAGE_MM: f64 = 100.0;
/// Most rows that a zone shows.
const MOST_ROWS: usize = 38;
/// Most applications that the words name.
const MOST_NAMED: usize = 5;
/// Fill of an application's bar.
pub const FILL: &str = "#8a8a8a";
/// A window over the coat beneath.
const OVER: Pen = Pen::solid(0.3);
/// A window at a tie-in.
const TIE_IN: Pen = Pen::solid(0.25).broken(DASHED);
/// An interval across a flooding.
const FLOODED: Pen = Pen::solid(0.35).broken(DOTTED);

/// Half the height of a bar, mm.
const HALF_BAR_MM: f64 = 1.0;
/// A bar is never thinner than this, mm.
const LEAST_BAR_MM: f64 = 0.6;

/// A zone's rows.
struct ZoneRows {
    zone: usize,
    rows: Vec<Row>,
    left_out: usize,
}

impl ZoneRows {
    fn height_mm(&self) -> f64 {
        HEADING_MM + ROW_MM * self.rows.len() as f64
    }
}

/// The time-lines, as many zones to a drawing as fit.
pub fn drawings(examined: &Examined) -> Vec<Drawing> {
    let Some((calendar, ends)) = frame(examined) else { return Vec::new() };
    let Some(axis) = calendar.axis(ends, RIGHT_MM - NAMES_MM, 5.0) else { return Vec::new() };
    let mut pages: Vec<Vec<ZoneRows>> = Vec::new();
    for zone in outside_a_window(examined).into_iter().filter_map(|zone| rows(examined, zone)) {
        let used = |page: &Vec<ZoneRows>| page.iter().map(ZoneRows::height_mm).sum::<f64>();
        match pages.last_mut().filter(|page| used(page) + zone.height_mm() <= PAGE_MM) {
            Some(page) => page.push(zone),
            None => pages.push(vec![zone]),
        }
    }
    let of = pages.len();
    let each = pages.iter().enumerate();
    each.map(|(n, page)| drawing(examined, &calendar, &axis, page, (n + 1, of))).collect()
}

/// The zones with an interval that was not inside its window, by their places in the project's list: where all were,
/// a count says so.
fn outside_a_window(examined: &Examined) -> Vec<usize> {
    let found = exceptions(examined);
    let is_outside = |zone: &usize| {
        let mut of_zone = found.placed.iter().filter(|one| one.zone == *zone);
        of_zone.any(|one| one.kind == Kind::Interval)
    };
    (0..examined.project.zones.len()).filter(is_outside).collect()
}

/// The calendar, and the ends of the axis: from the day before the first coat to when the last was under
/// water, or some days after it.
fn frame(examined: &Examined) -> Option<(Calendar, (f64, f64))> {
    const AFTER_H: f64 = 72.0;
    let coats = &examined.project.coats;
    let calendar = Calendar::before(coats.iter().filter_map(|coat| coat.began))?;
    let last = coats.iter().filter_map(span_h).map(|(_, to)| to).reduce(f64::max)?;
    let spells = examined.recomputed.coating.zones.iter().flat_map(|zone| &zone.dry_h).flatten();
    let water = spells.map(|(_, water)| *water).filter(|water| *water >= last).reduce(f64::min);
    let end = calendar.of_kept(water.unwrap_or(last).min(last + AFTER_H));
    Some((calendar, (-12.0, (end / 12.0).ceil() * 12.0 + 12.0)))
}

/// The rows of a zone: the surrounding coating coat by coat, then patches, then drawn areas.
fn rows(examined: &Examined, zone: usize) -> Option<ZoneRows> {
    let id = &examined.project.zones.get(zone)?.id;
    let mut groups: BTreeMap<(u8, &str, i64), Vec<usize>> = BTreeMap::new();
    let timed = |(_, coat): &(usize, &Application)| coat.zone == *id && span_h(coat).is_some();
    for (at, coat) in examined.project.coats.iter().enumerate().filter(timed) {
        let (order, name) = match &coat.extent {
            Extent::All | Extent::Exposed => (0, "surrounding"),
            Extent::Patches => (1, "patches"),
            Extent::Area(area) => (2, area.as_str()),
        };
        groups.entry((order, name, coat.coat)).or_default().push(at);
    }
    let mut rows: Vec<Row> = groups
        .into_iter()
        .map(|((_, name, coat), coats)| Row {
            name: format!("{}, coat {coat}", lettering::label(name)),
            coats,
        })
        .collect();
    let left_out = rows.len().saturating_sub(MOST_ROWS);
    rows.truncate(MOST_ROWS);
    (!rows.is_empty()).then_some(ZoneRows { zone, rows, left_out })
}

fn drawing(
    examined: &Examined,
    calendar: &Calendar,
    axis: &Axis,
    zones: &[ZoneRows],
    (number, of): (usize, usize),
) -> Drawing {
    let mut canvas = Canvas::new(WIDTH_MM);
    let mut top = 0.0;
    let mut seen = Marks::default();
    for zone in zones {
        let panel = panel(axis, top, zone.rows.len());
        zone_panel(&mut canvas, examined, calendar, &panel, zone, &mut seen);
        top = panel.area.bottom;
    }
    let foot = panel(axis, top - HEADING_MM, 0);
    foot.foot(&mut canvas, 0.0);
    let used = legend::rows(&mut canvas, top + FOOT_MM, &samples(&seen));
    let words = words_of(examined, zones, &seen, (number, of));
    Drawing::new(Group::CoatingTimes, format!("coating-times-{number}"), None, words, canvas, used)
}

/// A frame of so many rows under a heading; one unit of its upright axis is a row, from the top down.
fn panel(axis: &Axis, top: f64, rows: usize) -> Panel {
    // Rows are placed by `row_mm`; the upright axis only makes the frame a panel.
    let upright = axis.clone();
    let mut panel = Panel::new(top, ROW_MM * rows as f64, axis.clone(), upright);
    panel.area = Area {
        left: NAMES_MM,
        right: RIGHT_MM,
        top: top + HEADING_MM,
        bottom: top + HEADING_MM + ROW_MM * rows as f64,
    };
    panel
}

fn zone_panel(
    canvas: &mut Canvas,
    examined: &Examined,
    calendar: &Calendar,
    panel: &Panel,
    zone: &ZoneRows,
    seen: &mut Marks,
) {
    let area = panel.area;
    let Some(id) = examined.project.zones.get(zone.zone).map(|zone| &zone.id) else { return };
    let heading = format!("zone {}", lettering::label(id));
    let at = Coord { x: 1.0, y: area.top - 1.5 };
    canvas.text(Lettered::new(&heading, at, PLAIN_PT));
    for (from, to) in wet(examined, calendar, zone.zone, panel) {
        panel.hatched(canvas, from, to);
        seen.wet = true;
    }
    let day = |hour: f64| {
        let x = panel.across(hour);
        LineString::new(vec![Coord { x, y: area.top }, Coord { x, y: area.bottom }])
    };
    let days: Vec<LineString<f64>> = panel.x.ticks().into_iter().map(day).collect();
    canvas.lines(&days, Pen::solid(0.1).coloured("#c4c4c4"));
    let parting = |n: usize| {
        let y = area.top + ROW_MM * n as f64;
        LineString::new(vec![Coord { x: area.left, y }, Coord { x: area.right, y }])
    };
    let partings: Vec<LineString<f64>> = (1..zone.rows.len()).map(parting).collect();
    canvas.lines(&partings, Pen::solid(0.1).coloured("#c4c4c4"));
    for (n, row) in zone.rows.iter().enumerate() {
        let top = area.top + ROW_MM * n as f64;
        let base = top + (ROW_MM + lettering::capital_mm(SMALL_PT)) / 2.0;
        let at = Coord { x: area.left - 1.2, y: base };
        canvas.text(Lettered::new(&row.name, at, SMALL_PT).end());
        draw_row(canvas, examined, calendar, panel, (top, top + ROW_MM), row, seen);
    }
    canvas.ring(&area.corners(), Some(Pen::solid(0.2)), None);
}

/// The spells, in hours of the axis, for which a zone was not dry; none where that is not known.
fn wet(examined: &Examined, calendar: &Calendar, zone: usize, panel: &Panel) -> Vec<(f64, f64)> {
    let Some(history) = examined.recomputed.coating.zones.get(zone).filter(|zone| zone.dry_known)
    else {
        return Vec::new();
    };
    let mut dry: Vec<(f64, f64)> = history
        .dry_h
        .iter()
        .flatten()
        .map(|(dry, water)| (calendar.of_kept(*dry), calendar.of_kept(*water)))
        .collect();
    dry.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut spells, mut wet_from) = (Vec::new(), panel.x.from);
    for (from, to) in dry {
        if from > wet_from {
            spells.push((wet_from, from.min(panel.x.to)));
        }
        wet_from = wet_from.max(to);
    }
    if wet_from < panel.x.to {
        spells.push((wet_from, panel.x.to));
    }
    spells
}

fn samples(seen: &Marks) -> Vec<(Sample, String)> {
    let mut samples = vec![(Sample::Tinted(FILL, vec![]), "coat going on".to_string())];
    let mut add = |seen: bool, sample: Sample, words: &str| {
        if seen {
            samples.push((sample, words.to_string()));
        }
    };
    let window = Sample::Bracket(OVER);
    add(seen.over, window, "window over the coat beneath, earliest to latest");
    let window = Sample::Bracket(TIE_IN);
    add(seen.tie_in, window, "window at the tie-in to the surrounding coating");
    let flooded = Sample::Line(FLOODED);
    add(seen.flooded, flooded, "back to a coat before a flooding: no window");
    add(seen.wet, Sample::Hatched(vec![HALT]), "under water");
    samples.push((Sample::Line(Pen::solid(0.1).coloured(BACK_GREY)), "midnight".to_string()));
    samples
}

/// A row: the applications of one coat to one kind of extent.
struct Row {
    /// What stands beside it.
    name: String,
    /// The applications, by their places in the project's list.
    coats: Vec<usize>,
}

/// Which marks a drawing shows, so that its legend explains those and no others.
#[derive(Debug, Default)]
struct Marks {
    /// Spells under water.
    wet: bool,
    /// Windows over the coat beneath.
    over: bool,
    /// Windows at tie-ins.
    tie_in: bool,
    /// Intervals across a flooding.
    flooded: bool,
    /// Intervals without a window though no flooding lies in them.
    unknown: bool,
}

/// Draws a row between two heights on paper, mm.
fn draw_row(
    canvas: &mut Canvas,
    examined: &Examined,
    calendar: &Calendar,
    panel: &Panel,
    (top, bottom): (f64, f64),
    row: &Row,
    seen: &mut Marks,
) {
    for coat in &row.coats {
        let Some((from, to)) = examined.project.coats.get(*coat).and_then(span_h) else { continue };
        let Some(applied) = examined.recomputed.coating.applied.get(*coat) else { continue };
        let bar = (calendar.of_kept(from), calendar.of_kept(to));
        // The tie-in has a line of its own under that of the steel beneath.
        let lines = [(&applied.over, top + 1.7, OVER), (&applied.tie_ins, bottom - 0.85, TIE_IN)];
        for (n, (intervals, y, pen)) in lines.into_iter().enumerate() {
            let line = Line { calendar, panel, y };
            if line.flooded(canvas, intervals, bar.0) {
                seen.flooded = true;
            }
            let drawn = line.window(canvas, intervals, pen);
            if n == 0 { seen.over |= drawn } else { seen.tie_in |= drawn }
        }
        let y = top + 1.7;
        draw_bar(canvas, panel, bar, y);
        let intervals = || applied.over.iter().chain(&applied.tie_ins);
        let kept = |wanted: [Timing; 2]| {
            intervals().filter_map(|interval| interval.kept).any(|kept| wanted.contains(&kept))
        };
        let soon = kept([Timing::TooSoon, Timing::TooSoonAndTooLate]);
        let late = kept([Timing::TooLate, Timing::TooSoonAndTooLate]);
        let unknown = intervals().any(|interval| !interval.flooded && interval.window.is_err());
        seen.unknown |= unknown;
        let after = if late {
            "too late"
        } else if unknown {
            "?"
        } else {
            ""
        };
        letter_beside(canvas, panel, bar, y, if soon { "too soon" } else { "" }, after);
    }
}

fn draw_bar(canvas: &mut Canvas, panel: &Panel, (from, to): (f64, f64), y: f64) {
    let (left, right) = (panel.across(from), panel.across(to));
    let grown = (LEAST_BAR_MM - (right - left)).max(0.0) / 2.0;
    let area = Area {
        left: left - grown,
        right: right + grown,
        top: y - HALF_BAR_MM,
        bottom: y + HALF_BAR_MM,
    };
    if panel.area.grown(0.01).holds(&area) {
        canvas.ring(&area.corners(), Some(Pen::solid(0.2)), Some(FILL));
    }
}

/// Words before and after a bar.
fn letter_beside(
    canvas: &mut Canvas,
    panel: &Panel,
    bar: (f64, f64),
    y: f64,
    before: &str,
    after: &str,
) {
    let capital = lettering::capital_mm(SMALL_PT);
    let base = y + capital / 2.0;
    let (left, right) = (panel.across(bar.0) - 1.0, panel.across(bar.1) + 1.0);
    for (words, from) in [(before, left - lettering::width_mm(before, SMALL_PT)), (after, right)] {
        let patch = Area {
            left: from - 0.3,
            right: from + lettering::width_mm(words, SMALL_PT) + 0.3,
            top: base - capital - 0.3,
            bottom: base + 0.3,
        };
        if !words.is_empty() && panel.area.holds(&patch) {
            canvas.ring(&patch.corners(), None, Some(PAPER));
            canvas.text(Lettered::new(words, Coord { x: from, y: base }, SMALL_PT));
        }
    }
}

/// A line of a row.
struct Line<'a> {
    calendar: &'a Calendar,
    panel: &'a Panel,
    y: f64,
}

impl Line<'_> {
    /// Back to the last coat before a flooding; returns whether there is such an interval.
    fn flooded(&self, canvas: &mut Canvas, intervals: &[Interval], until: f64) -> bool {
        let flooded = intervals.iter().filter(|interval| interval.flooded);
        let ends = flooded.map(|interval| self.calendar.of_kept(interval.lower_to_h));
        let Some(from) = ends.reduce(f64::max) else { return false };
        let left = self.panel.across(from).max(self.panel.area.left);
        let right = self.panel.across(until).min(self.panel.area.right);
        if left < right {
            let ends = [left, right].map(|x| Coord { x, y: self.y });
            canvas.line(ends[0], ends[1], FLOODED);
            let foot = |x: f64, h: f64| Coord { x, y: self.y + h };
            canvas.line(foot(left, -HALF_END_MM), foot(left, HALF_END_MM), Pen::solid(0.2));
        }
        left < right
    }

    /// The narrowest window of some intervals, as a bracket; returns whether there is one.
    fn window(&self, canvas: &mut Canvas, intervals: &[Interval], pen: Pen) -> bool {
        let Some((opens_h, closes_h)) = narrowest_h(intervals) else { return false };
        let (earliest, latest) = (self.calendar.of_kept(opens_h), self.calendar.of_kept(closes_h));
        let area = self.panel.area;
        let left = self.panel.across(earliest).max(area.left);
        if left >= area.right {
            return false;
        }
        let right = self.panel.across(latest);
        // Nothing keeps a window that closes before it opens: its two ends show that.
        let goes_on = !right.is_finite() || right > area.right;
        let right = if goes_on { area.right } else { right.max(area.left) };
        bracket(canvas, (left, right), self.y, goes_on, pen);
        true
    }
}

/// Title, caption, and what the drawing shows for whoever can't see it.
fn words_of(examined: &Examined, zones: &[ZoneRows], seen: &Marks, part: (usize, usize)) -> Words {
    let project = &examined.project;
    let ids: Vec<String> = zones
        .iter()
        .filter_map(|zone| project.zones.get(zone.zone))
        .map(|zone| lettering::shown(&zone.id))
        .collect();
    let part = words::part(part);
    let zones_said = if ids.len() == 1 { "zone" } else { "zones" };
    let title = format!("Coats in time, {zones_said} {}{part}", words::list(&ids, 12));
    let mut caption = String::new();
    let mut add = |sentence: String| {
        if !caption.is_empty() {
            caption.push(' ');
        }
        caption.push_str(&sentence);
    };
    if seen.over || seen.tie_in {
        add("Arrow: the window goes on beyond the frame.".to_string());
    } else {
        add("No window can be given for any of these coats.".to_string());
    }
    if seen.unknown {
        add("A question mark means that no window can be given; see the table.".to_string());
    }
    let unknown = zones.iter().filter(|zone| {
        examined.recomputed.coating.zones.get(zone.zone).is_some_and(|zone| !zone.dry_known)
    });
    let unknown: Vec<String> = unknown
        .filter_map(|zone| project.zones.get(zone.zone))
        .map(|zone| lettering::shown(&zone.id))
        .collect();
    if !unknown.is_empty() {
        let zones = words::list(&unknown, 12);
        add(format!("When {zones} was under water is not recorded."));
    }
    let left_out: usize = zones.iter().map(|zone| zone.left_out).sum();
    if left_out > 0 {
        let rows = words::count(left_out, "row");
        add(format!("Left out for want of room: {rows}; see the table."));
    }
    let coats = zones.iter().flat_map(|zone| &zone.rows).flat_map(|row| &row.coats);
    let each: Vec<String> = coats
        .filter_map(|coat| {
            let coat = project.coats.get(*coat)?;
            let from = coat.began?.format("%m-%d %H:%M");
            let (from_h, to_h) = span_h(coat)?;
            let name = lettering::shown(&coat.name);
            Some(format!(
                "{name} from {from} for {}",
                Units::new(examined).measure(to_h - from_h, Form::Duration, 1)
            ))
        })
        .collect();
    let alt = format!("Bars: {}.", words::list(&each, MOST_NAMED));
    Words { title, caption, alt }
}
