//! When each coat went on, zone by zone: a bar for each application, the window that the coat beneath
//! left open for it, and the spells for which the steel was under water.

mod row;
mod words;

use std::collections::BTreeMap;

use geo::{Coord, LineString};

pub use self::row::FILL;
use self::row::{Row, draw_row};
use crate::findings::Examined;
use crate::findings::recomputed::coating::span_h;
use crate::records::coats::Application;
use crate::records::zones::Extent;
use crate::report::figures::axis::{Axis, Calendar};
use crate::report::figures::canvas::{BACK_GREY, Canvas, Lettered, Pen};
use crate::report::figures::chart::{FOOT_MM, HALT, Panel, RIGHT_MM};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM};
use crate::report::figures::labels::Area;
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering::{self, PLAIN_PT, SMALL_PT};

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
    for zone in (0..examined.project.zones.len()).filter_map(|zone| rows(examined, zone)) {
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
    let mut seen = row::Seen::default();
    for zone in zones {
        let panel = panel(axis, top, zone.rows.len());
        zone_panel(&mut canvas, examined, calendar, &panel, zone, &mut seen);
        top = panel.area.bottom;
    }
    let foot = panel(axis, top - HEADING_MM, 0);
    foot.foot(&mut canvas, 0.0);
    let used = legend::rows(&mut canvas, top + FOOT_MM, &samples(&seen));
    let words = words::said(examined, zones, &seen, (number, of));
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
    seen: &mut row::Seen,
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

fn samples(seen: &row::Seen) -> Vec<(Sample, String)> {
    let mut samples = vec![(Sample::Tinted(FILL, vec![]), "coat going on".to_string())];
    let mut add = |seen: bool, sample: Sample, words: &str| {
        if seen {
            samples.push((sample, words.to_string()));
        }
    };
    let window = Sample::Bracket(row::OVER);
    add(seen.over, window, "window over the coat beneath, earliest to latest");
    let window = Sample::Bracket(row::TIE_IN);
    add(seen.tie_in, window, "window at the tie-in to the surrounding coating");
    let flooded = Sample::Line(row::FLOODED);
    add(seen.flooded, flooded, "back to a coat before a flooding: no window");
    add(seen.wet, Sample::Hatched(vec![HALT]), "under water");
    samples.push((Sample::Line(Pen::solid(0.1).coloured(BACK_GREY)), "midnight".to_string()));
    samples
}
