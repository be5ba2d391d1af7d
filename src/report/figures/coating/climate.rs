//! How far the steel was above the dew point, and the humidity, over the days on which coats went on, with what was
//! beyond the limits marked and named.

use geo::{Coord, LineString};

use crate::calc::climate::dew_point_c;
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::recomputed::coating::applied::Applied;
use crate::findings::recomputed::coating::{hours, span_h};
use crate::findings::subject::Subject;
use crate::records::climate::Climate;
use crate::records::coats::Application;
use crate::records::zones::Extent;
use crate::report::figures::axis::{Axis, Calendar};
use crate::report::figures::canvas::{CAP_GREY, Canvas, DASHED, Lettered, Pen};
use crate::report::figures::chart::{LEFT_MM, Mark, Marker, Panel, RIGHT_MM, Row, draw_row};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::labels::{Area, Labels, Named};
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering::{self, SMALL_PT};
use crate::report::figures::words::{self, Units};
use crate::text::Form;

const READ: Pen = Pen::solid(0.25);
const LIMIT: Pen = Pen::solid(0.35).broken(DASHED);
/// Days that one drawing shows.
const MOST_H: f64 = 24.0 * 31.0;
/// Most drawings.
const MOST_PARTS: usize = 12;
/// Readings further apart are not joined, h.
const APART_H: f64 = 24.0;
/// Heights of the panels, mm.
const MARGIN_MM: f64 = 36.0;
const HUMIDITY_MM: f64 = 24.0;
/// Height of a zone's row of coats, mm.
const ROW_MM: f64 = 3.1;
/// Most zones with a row of their own.
const MOST_ZONES: usize = 12;
/// A mark around a reading that was beyond a limit, mm.
const RING_MM: f64 = 1.3;

/// A reading on the calendar: hour, then what was read or follows.
#[derive(Clone, Copy)]
struct Point {
    hour: f64,
    margin_k: Option<f64>,
    humidity_pct: Option<f64>,
    /// Whether it serves every zone.
    serves_all: bool,
}

/// A reading for which an application was beyond a limit.
struct Breach {
    hour: f64,
    value: f64,
    words: String,
}

/// The climate over the days of coating, in parts of a month.
pub fn drawings(examined: &Examined) -> Vec<Drawing> {
    let project = &examined.project;
    let first = project.climate.iter().map(|reading| reading.at).min();
    // Days count from the first coat, unless that lies long before any reading.
    let coats = project.coats.iter().filter_map(|coat| coat.began);
    let began = coats.min().filter(|began| first.is_some_and(|first| *began >= first));
    let Some(calendar) = Calendar::before(began.or(first)) else { return Vec::new() };
    let mut points: Vec<Point> =
        project.climate.iter().map(|reading| point(reading, &calendar)).collect();
    points.sort_by(|a, b| a.hour.total_cmp(&b.hour));
    let spans = project.coats.iter().filter_map(span_h);
    let spans = spans.map(|(from, to)| (calendar.of_kept(from), calendar.of_kept(to)));
    let of_coats = spans.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
    let read = || points.iter().map(|point| point.hour);
    let ends = (read().fold(f64::INFINITY, f64::min), read().fold(f64::NEG_INFINITY, f64::max));
    // Coats long before or after any reading are shown by no reading.
    let (from, to) = of_coats.map_or(ends, |(from, to)| (from.max(ends.0), to.min(ends.1)));
    let (from, to) = if from <= to { (from, to) } else { ends };
    let first = (from / 24.0).floor() * 24.0;
    let last = ((to / 24.0).ceil() * 24.0).max(first + 24.0);
    let parts = ((last - first) / MOST_H).ceil().max(1.0);
    let each = ((last - first) / parts / 24.0).ceil() * 24.0;
    let shown = (parts as usize).min(MOST_PARTS);
    (0..shown)
        .filter_map(|part| {
            let from = first + each * part as f64;
            let ends = (from, (from + each).min(last));
            drawing(examined, &calendar, &points, ends, (part + 1, parts as usize))
        })
        .collect()
}

fn point(reading: &Climate, calendar: &Calendar) -> Point {
    let dew = reading.air_c.zip(reading.humidity_pct);
    let dew = dew.and_then(|(air, humidity)| dew_point_c(air, humidity));
    Point {
        hour: calendar.of_kept(hours(reading.at)),
        margin_k: reading.steel_c.zip(dew).map(|(steel, dew)| steel - dew),
        humidity_pct: reading.humidity_pct,
        serves_all: reading.zone.is_none(),
    }
}

/// The readings for which applications were beyond a limit.
fn breaches(
    examined: &Examined,
    calendar: &Calendar,
    subject: fn(String) -> Subject,
    worst: impl Fn(&Applied) -> Option<(f64, usize)>,
    form: Form,
    decimals: usize,
) -> Vec<Breach> {
    let project = &examined.project;
    let units = Units::new(examined);
    let coats = project.coats.iter().zip(&examined.recomputed.coating.applied);
    let beyond = coats.filter(|(coat, _)| {
        let found = examined.finding(&subject(coat.name.clone()));
        found.is_some_and(|found| found.outcome == Outcome::BeyondLimit)
    });
    beyond
        .filter_map(|(coat, applied)| {
            let (value, number) = worst(applied)?;
            let reading = project.climate.get(*applied.readings.get(number)?)?;
            Some(Breach {
                hour: calendar.of_kept(hours(reading.at)),
                value,
                words: format!(
                    "{}: {}, {}",
                    called(coat),
                    units.measure(value, form, decimals),
                    calendar.by_its_clock(reading.at).format("%m-%d %H:%M")
                ),
            })
        })
        .collect()
}

/// An application in a label: `KL coat 2 (patches)`.
fn called(coat: &Application) -> String {
    let extent = match &coat.extent {
        Extent::Area(area) => lettering::label(area),
        other => other.word().to_string(),
    };
    format!("{} coat {} ({extent})", lettering::label(&coat.zone), coat.coat)
}

fn drawing(
    examined: &Examined,
    calendar: &Calendar,
    points: &[Point],
    ends: (f64, f64),
    (part, of): (usize, usize),
) -> Option<Drawing> {
    let units = Units::new(examined);
    let bounds = &examined.project.docking.bounds;
    let least_k = bounds.limit("dew_point_margin").map(|bound| bound.value);
    let most_pct = bounds.limit("humidity").map(|bound| bound.value);
    let near = |point: &&Point| point.hour >= ends.0 - APART_H && point.hour <= ends.1 + APART_H;
    let points: Vec<Point> = points.iter().filter(near).copied().collect();

    let x = calendar.axis(ends, RIGHT_MM - LEFT_MM, 5.0)?;
    let mut canvas = Canvas::new(WIDTH_MM);
    let mut top = 0.0;
    let mut left_out = String::new();
    let margins = points.iter().filter_map(|point| point.margin_k).filter(|k| k.abs() < 100.0);
    let title = format!("steel minus dew point, {}", units.unit(Form::TemperatureDifference));
    let values = margins.chain(least_k).chain([0.0]);
    let scaling = units.scaling(Form::TemperatureDifference);
    let mut shown_in: Option<Panel> = None;
    if let Some(y) = Axis::over(title, scaling, values, MARGIN_MM, 5.5) {
        let over = marks(&points, |point| point.margin_k, least_k);
        let of = breaches(
            examined,
            calendar,
            Subject::ClimateMargin,
            |applied| applied.climate?.least_margin_k,
            Form::TemperatureDifference,
            1,
        );
        let (panel, _) = draw_row(&mut canvas, &x, top, &Row::new(y, MARGIN_MM, over), false);
        left_out = name_breaches(&mut canvas, &panel, &points, |p| p.margin_k, &of);
        top = bars(&mut canvas, examined, calendar, &panel);
        shown_in = Some(panel);
    }
    let per_cent = points.iter().filter_map(|point| point.humidity_pct);
    let per_cent = per_cent.chain(most_pct).chain([100.0]);
    let title = format!("relative humidity, {}", units.unit(Form::Ratio));
    let y = Axis::over(title, units.scaling(Form::Ratio), per_cent, HUMIDITY_MM, 5.0)?;
    let over = marks(&points, |point| point.humidity_pct, most_pct);
    let damp = breaches(
        examined,
        calendar,
        Subject::ClimateHumidity,
        |applied| applied.climate?.highest_humidity_pct,
        Form::Ratio,
        0,
    );
    let (panel, reached) = draw_row(&mut canvas, &x, top, &Row::new(y, HUMIDITY_MM, over), true);
    let more = name_breaches(&mut canvas, &panel, &points, |p| p.humidity_pct, &damp);
    if left_out.is_empty() {
        left_out = more;
    }
    let panel = shown_in.unwrap_or(panel);

    let mut samples = vec![(Sample::Line(READ), "as read".to_string())];
    if points.iter().any(|point| !point.serves_all) {
        samples.push((Sample::Marker(Marker::Dot), "read for one zone".to_string()));
    }
    let limits = [
        least_k.map(|k| {
            let k = units.measure(k, Form::TemperatureDifference, 1);
            format!("at least {k} above the dew point")
        }),
        most_pct.map(|pct| format!("humidity at most {}", units.measure(pct, Form::Ratio, 0))),
    ];
    let limits: Vec<String> = limits.into_iter().flatten().collect();
    if !limits.is_empty() {
        samples.push((Sample::Line(LIMIT), format!("limit: {}", limits.join("; "))));
    }
    samples.push((Sample::Cap, "coat going on".to_string()));
    samples.push((Sample::Ring, "beyond a limit".to_string()));
    let used = legend::rows(&mut canvas, reached, &samples);
    let words = words_of(examined, &points, &panel, left_out, (part, of));
    let name = format!("coating-climate-{part}");
    Some(Drawing::new(Group::CoatingClimate, name, None, words, canvas, used))
}

/// A line through the readings that serve all zones, broken where they lie far apart; dots for the others; the limit.
fn marks(points: &[Point], read: fn(&Point) -> Option<f64>, limit: Option<f64>) -> Vec<Mark> {
    let mut marks: Vec<Mark> = runs(points, read).map(|run| Mark::Curve(run, READ)).collect();
    let own = points.iter().filter(|point| !point.serves_all);
    let own = own.filter_map(|point| Some((point.hour, read(point)?)));
    marks.extend(own.map(|(hour, value)| Mark::Point(hour, value, Marker::Dot)));
    marks.extend(limit.map(|limit| Mark::Level(limit, LIMIT)));
    marks
}

fn runs(
    points: &[Point],
    read: fn(&Point) -> Option<f64>,
) -> impl Iterator<Item = Vec<(f64, f64)>> {
    let all = points.iter().filter(|point| point.serves_all);
    let values = all.filter_map(|point| Some((point.hour, read(point)?)));
    let values: Vec<(f64, f64)> = values.filter(|(_, value)| value.abs() < 1000.0).collect();
    let runs: Vec<Vec<(f64, f64)>> =
        values.chunk_by(|a, b| b.0 - a.0 <= APART_H).map(<[_]>::to_vec).collect();
    runs.into_iter()
}

/// Rings the readings beyond a limit and names them where there is room; what a caption says of those without.
fn name_breaches(
    canvas: &mut Canvas,
    panel: &Panel,
    points: &[Point],
    read: fn(&Point) -> Option<f64>,
    breaches: &[Breach],
) -> String {
    let mut labels = Labels::new(panel.area.grown(-0.5));
    for run in runs(points, read) {
        let line: Vec<Coord<f64>> = run.iter().map(|(x, y)| panel.at(*x, *y)).collect();
        labels.avoid_lines(&panel.area.clip_line(&line));
    }
    let grid = panel.y.ticks().into_iter().map(|value| {
        let y = panel.up(value);
        LineString::new(vec![Coord { x: panel.area.left, y }, Coord { x: panel.area.right, y }])
    });
    labels.avoid_lines(&grid.collect::<Vec<_>>());
    let here = breaches.iter().map(|breach| (panel.at(breach.hour, breach.value), breach));
    let here: Vec<(Area, &Breach)> = here
        .filter(|(at, _)| panel.area.holds(&Area::at(*at)))
        .map(|(at, breach)| (Area::at(at).grown(RING_MM), breach))
        .collect();
    for (area, _) in &here {
        canvas.circle(area.middle(), RING_MM, Some(Pen::solid(0.4)), None);
        labels.keep_clear(*area);
    }
    for (area, breach) in &here {
        labels.place(&Named::beside(breach.words.clone(), *area));
    }
    labels.draw(canvas);
    labels.left_out_note("name", "table")
}

/// A row of bars for each zone under a panel; returns the height reached.
fn bars(canvas: &mut Canvas, examined: &Examined, calendar: &Calendar, panel: &Panel) -> f64 {
    let project = &examined.project;
    let coated =
        project.zones.iter().filter(|zone| project.coats.iter().any(|coat| coat.zone == zone.id));
    let mut y = panel.area.bottom + 1.0;
    for zone in coated.take(MOST_ZONES) {
        let area = Area { top: y, bottom: y + ROW_MM, ..panel.area };
        let base = y + (ROW_MM + lettering::capital_mm(SMALL_PT)) / 2.0;
        let name = lettering::label(&zone.id);
        let at = Coord { x: area.left - 1.0, y: base };
        // A long id would run off the paper, and then its beginning is enough.
        let name = short(&name, area.left - 2.0);
        canvas.text(Lettered::new(&name, at, SMALL_PT).end());
        let foot = LineString::new(vec![
            Coord { x: area.left, y: area.bottom },
            Coord { x: area.right, y: area.bottom },
        ]);
        canvas.lines(&[foot], Pen::solid(0.1).coloured("#c4c4c4"));
        for coat in project.coats.iter().filter(|coat| coat.zone == zone.id) {
            let Some((from, to)) = span_h(coat) else { continue };
            let left = panel.across(calendar.of_kept(from));
            let right = panel.across(calendar.of_kept(to)).max(left + 0.5).min(area.right);
            let left = left.max(area.left);
            if left < right {
                let bar = Area { left, right, top: y + 0.4, bottom: area.bottom - 0.4 };
                canvas.ring(&bar.corners(), Some(Pen::solid(0.18)), Some(CAP_GREY));
            }
        }
        y += ROW_MM;
    }
    y + 0.5
}

/// The beginning of a name that is no wider than so many mm.
fn short(name: &str, room_mm: f64) -> String {
    let mut name = name.to_string();
    while lettering::width_mm(&name, SMALL_PT) > room_mm && name.pop().is_some() {}
    name
}

fn words_of(
    examined: &Examined,
    points: &[Point],
    panel: &Panel,
    left_out: String,
    (part, of): (usize, usize),
) -> Words {
    let title = format!("Climate on the days of coating{}", words::part((part, of)));
    let mut caption = "The dew point is recomputed; bars: coats by zone.".to_string();
    if of > MOST_PARTS {
        caption.push_str(&format!(" Only the first {MOST_PARTS} parts are drawn."));
    }
    caption.push_str(&left_out);
    let shown = |point: &&Point| point.hour >= panel.x.from && point.hour <= panel.x.to;
    let all = || points.iter().filter(shown);
    let mut alt = format!("Two curves over {}", words::count(all().count(), "reading"));
    let units = Units::new(examined);
    let range = |values: Vec<f64>, unit: Form| {
        let least = values.iter().copied().reduce(f64::min)?;
        let most = values.iter().copied().reduce(f64::max)?;
        Some(format!("{} to {}", units.number(least, unit, 1), units.measure(most, unit, 1)))
    };
    let margins = all().filter_map(|point| point.margin_k).collect();
    if let Some(range) = range(margins, Form::TemperatureDifference) {
        alt.push_str(&format!("; steel minus dew point {range}"));
    }
    if let Some(range) = range(all().filter_map(|p| p.humidity_pct).collect(), Form::Ratio) {
        alt.push_str(&format!("; humidity {range}"));
    }
    let coats = examined.project.coats.len();
    alt.push_str(&format!("; bars for {}.", words::count(coats, "application")));
    Words { title, caption, alt }
}
