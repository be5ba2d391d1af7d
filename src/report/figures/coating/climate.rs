//! Air, dew point and steel over the days, with the humidity, and when coats were going on.

use geo::{Coord, LineString};

use crate::calc::climate::dew_point_c;
use crate::findings::Examined;
use crate::findings::recomputed::coating::{hours, span_h};
use crate::records::climate::Climate;
use crate::report::figures::axis::{Axis, Calendar};
use crate::report::figures::canvas::{CAP_GREY, Canvas, DASHED, DOTTED, Lettered, Pen};
use crate::report::figures::chart::{LEFT_MM, Mark, Marker, Panel, RIGHT_MM, Row, draw_row};
use crate::report::figures::drawing::{Drawing, Group, WIDTH_MM, Words};
use crate::report::figures::labels::Area;
use crate::report::figures::legend::{self, Sample};
use crate::report::figures::lettering::{self, SMALL_PT};
use crate::report::figures::words::{self, Units};
use crate::text::Form;

const STEEL: Pen = Pen::solid(0.45);
const AIR: Pen = Pen::solid(0.15);
const DEW: Pen = Pen::solid(0.25).broken(DASHED);
const LIMIT: Pen = Pen::solid(0.3).broken(DOTTED);
/// Days that one drawing shows.
const MOST_H: f64 = 24.0 * 14.0;
/// Most drawings.
const MOST_PARTS: usize = 12;
/// Readings further apart are not joined, h.
const APART_H: f64 = 24.0;
/// Heights of the panels, mm.
const TEMPERATURES_MM: f64 = 39.0;
const HUMIDITY_MM: f64 = 20.0;
/// Height of a zone's row of coats, mm.
const ROW_MM: f64 = 2.9;
/// Most zones with a row of their own.
const MOST_ZONES: usize = 12;

/// A reading on the calendar: hour, then what was read.
#[derive(Clone, Copy)]
struct Point {
    hour: f64,
    air_c: Option<f64>,
    dew_c: Option<f64>,
    steel_c: Option<f64>,
    humidity_pct: Option<f64>,
}

/// The readings that make the lines, and those that stand as marks.
struct Readings {
    /// Whose lines they are: a zone's id, or nothing for those that serve all.
    of: Option<String>,
    lines: Vec<Point>,
    marks: Vec<Point>,
}

/// The climate in parts of two weeks: one series of lines where readings serve every zone, with those of
/// single zones as marks; otherwise a series for each zone.
pub fn drawings(examined: &Examined) -> Vec<Drawing> {
    let climate = &examined.project.climate;
    let Some(calendar) = Calendar::before(climate.iter().map(|reading| reading.at)) else {
        return Vec::new();
    };
    let mut drawings: Vec<Drawing> = Vec::new();
    for readings in series(examined, &calendar) {
        let hours = || readings.lines.iter().chain(&readings.marks).map(|point| point.hour);
        let (first, last) =
            (hours().fold(f64::INFINITY, f64::min), hours().fold(f64::NEG_INFINITY, f64::max));
        let first = (first / 24.0).floor() * 24.0;
        let last = ((last / 24.0).ceil() * 24.0).max(first + 24.0);
        let parts = ((last - first) / MOST_H).ceil().max(1.0);
        let each = ((last - first) / parts / 24.0).ceil() * 24.0;
        let shown = (parts as usize).min(MOST_PARTS);
        for part in 0..shown {
            let from = first + each * part as f64;
            let ends = (from, (from + each).min(last));
            let number = drawings.len() + 1;
            let of = (part + 1, parts as usize);
            drawings.extend(drawing(examined, &calendar, &readings, ends, number, of));
        }
    }
    drawings
}

fn series(examined: &Examined, calendar: &Calendar) -> Vec<Readings> {
    let climate = &examined.project.climate;
    let points = |wanted: &dyn Fn(&Climate) -> bool| -> Vec<Point> {
        let mut points: Vec<Point> =
            climate.iter().filter(|one| wanted(one)).map(|one| point(one, calendar)).collect();
        points.sort_by(|a, b| a.hour.total_cmp(&b.hour));
        points
    };
    let lines = points(&|one| one.zone.is_none());
    if !lines.is_empty() {
        return vec![Readings { of: None, lines, marks: points(&|one| one.zone.is_some()) }];
    }
    let zones = examined.project.zones.iter().take(MOST_ZONES);
    zones
        .map(|zone| Readings {
            of: Some(zone.id.clone()),
            lines: points(&|one| one.zone.as_deref() == Some(&*zone.id)),
            marks: Vec::new(),
        })
        .filter(|readings| !readings.lines.is_empty())
        .collect()
}

fn point(reading: &Climate, calendar: &Calendar) -> Point {
    let dew = reading.air_c.zip(reading.humidity_pct);
    Point {
        hour: calendar.of_kept(hours(reading.at)),
        air_c: reading.air_c,
        dew_c: dew.and_then(|(air, humidity)| dew_point_c(air, humidity)),
        steel_c: reading.steel_c,
        humidity_pct: reading.humidity_pct,
    }
}

fn drawing(
    examined: &Examined,
    calendar: &Calendar,
    readings: &Readings,
    ends: (f64, f64),
    number: usize,
    (part, of): (usize, usize),
) -> Option<Drawing> {
    let units = Units::new(examined);
    let bounds = &examined.project.docking.bounds;
    let margin = bounds.limit("dew_point_margin").map(|bound| bound.value);
    let most_humidity = bounds.limit("humidity").map(|bound| bound.value);
    let near = |point: &&Point| point.hour >= ends.0 - APART_H && point.hour <= ends.1 + APART_H;
    let lines: Vec<Point> = readings.lines.iter().filter(near).copied().collect();
    let marks: Vec<Point> = readings.marks.iter().filter(near).copied().collect();
    let all = || lines.iter().chain(&marks);

    let x = calendar.axis(ends, RIGHT_MM - LEFT_MM, 6.0)?;
    let degrees = all()
        .flat_map(|point| [point.air_c, point.dew_c, point.steel_c])
        .flatten()
        .filter(|c| c.abs() < 100.0);
    let title = format!("temperature, {}", units.unit(Form::Temperature));
    let y = Axis::over(title, units.scaling(Form::Temperature), degrees, TEMPERATURES_MM, 5.5)?;
    let mut over = curves(&lines, |p| p.air_c, AIR);
    over.extend(curves(&lines, |p| p.dew_c, DEW));
    over.extend(curves(&lines, |p| p.steel_c, STEEL));
    if let Some(margin) = margin {
        over.extend(curves(&limits(&lines, margin), |p| p.dew_c, LIMIT));
    }
    for point in &marks {
        over.extend(point.steel_c.map(|c| Mark::Point(point.hour, c, Marker::Dot)));
        over.extend(point.dew_c.map(|c| Mark::Point(point.hour, c, Marker::Ring)));
    }
    let mut canvas = Canvas::new(WIDTH_MM);
    let upper = Row::new(y, TEMPERATURES_MM, over);
    let (upper, _) = draw_row(&mut canvas, &x, 0.0, &upper, false);
    let top = bars(&mut canvas, examined, calendar, &upper, readings);
    let per_cent = all().filter_map(|point| point.humidity_pct).chain(most_humidity).chain([100.0]);
    let title = format!("relative humidity, {}", units.unit(Form::Ratio));
    let y = Axis::over(title, units.scaling(Form::Ratio), per_cent, HUMIDITY_MM, 5.0)?;
    let mut over = curves(&lines, |p| p.humidity_pct, STEEL);
    let of_zones = marks.iter().filter_map(|point| Some((point.hour, point.humidity_pct?)));
    over.extend(of_zones.map(|(hour, pct)| Mark::Point(hour, pct, Marker::Dot)));
    over.extend(most_humidity.map(|most| Mark::Level(most, LIMIT)));
    let lower = Row::new(y, HUMIDITY_MM, over);
    let (_, reached) = draw_row(&mut canvas, &x, top, &lower, true);

    let mut samples = vec![
        (Sample::Line(STEEL), "steel; below, humidity".to_string()),
        (Sample::Line(AIR), "air".to_string()),
        (Sample::Line(DEW), "dew point, recomputed".to_string()),
    ];
    if margin.is_some() || most_humidity.is_some() {
        let words = margin.map(|k| {
            format!(
                "least for the steel: dew point and {}",
                units.measure(k, Form::TemperatureDifference, 1)
            )
        });
        let most = most_humidity
            .map(|pct| format!("greatest humidity, {}", units.measure(pct, Form::Ratio, 0)));
        let words: Vec<String> = words.into_iter().chain(most).collect();
        samples.push((Sample::Line(LIMIT), words.join("; ")));
    }
    if !marks.is_empty() {
        let words = "steel or humidity read for one zone".to_string();
        samples.push((Sample::Marker(Marker::Dot), words));
        samples.push((Sample::Marker(Marker::Ring), "dew point there".to_string()));
    }
    samples.push((Sample::Cap, "coat going on".to_string()));
    let used = legend::rows(&mut canvas, reached, &samples);
    let words = words_of(examined, readings, &upper, (part, of));
    let name = format!("coating-climate-{number}");
    Some(Drawing::new(Group::CoatingClimate, name, None, words, canvas, used))
}

/// The least temperature of the steel at each reading, in the place of the dew point.
fn limits(points: &[Point], margin_k: f64) -> Vec<Point> {
    let raised = |point: &Point| Point { dew_c: point.dew_c.map(|c| c + margin_k), ..*point };
    points.iter().map(raised).collect()
}

/// Lines through readings, broken where they lie far apart; readings that lack the value are passed over.
fn curves(points: &[Point], read: fn(&Point) -> Option<f64>, pen: Pen) -> Vec<Mark> {
    let values = points.iter().filter_map(|point| Some((point.hour, read(point)?)));
    let values: Vec<(f64, f64)> = values.filter(|(_, value)| value.abs() < 1000.0).collect();
    let runs = values.chunk_by(|a, b| b.0 - a.0 <= APART_H);
    runs.map(|run| Mark::Curve(run.to_vec(), pen)).collect()
}

/// A row of bars for each zone under a panel; returns the height reached.
fn bars(
    canvas: &mut Canvas,
    examined: &Examined,
    calendar: &Calendar,
    panel: &Panel,
    readings: &Readings,
) -> f64 {
    let project = &examined.project;
    let coated = project.zones.iter().filter(|zone| {
        let served = readings.of.as_ref().is_none_or(|of| *of == zone.id);
        served && project.coats.iter().any(|coat| coat.zone == zone.id)
    });
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
    readings: &Readings,
    panel: &Panel,
    (part, of): (usize, usize),
) -> Words {
    let whose = match &readings.of {
        Some(zone) => format!(" of zone {}", lettering::shown(zone)),
        None => String::new(),
    };
    let title = format!("Climate{whose}{}", words::part((part, of)));
    let mut caption = "Readings as written down, joined by straight lines where they are no more than a day \
                       apart; the dew point is recomputed from air and humidity. Between the two frames: \
                       when coats were going on, zone by zone."
        .to_string();
    if of > MOST_PARTS {
        caption.push_str(&format!(" Only the first {MOST_PARTS} parts are drawn."));
    }
    let shown = |point: &&Point| point.hour >= panel.x.from && point.hour <= panel.x.to;
    let all = || readings.lines.iter().chain(&readings.marks).filter(shown);
    let margins = all().filter_map(|point| Some(point.steel_c? - point.dew_c?));
    let mut alt = format!("{title}: {}", words::count(all().count(), "reading"));
    let units = Units::new(examined);
    let range = |values: Vec<f64>, unit: Form| {
        let least = values.iter().copied().reduce(f64::min)?;
        let most = values.iter().copied().reduce(f64::max)?;
        Some(format!("{} to {}", units.number(least, unit, 1), units.measure(most, unit, 1)))
    };
    type Read = fn(&Point) -> Option<f64>;
    let what: [(Read, &str, Form); 4] = [
        (|p| p.air_c, "air", Form::Temperature),
        (|p| p.steel_c, "steel", Form::Temperature),
        (|p| p.dew_c, "dew point", Form::Temperature),
        (|p| p.humidity_pct, "humidity", Form::Ratio),
    ];
    for (read, name, unit) in what {
        if let Some(range) = range(all().filter_map(read).collect(), unit) {
            alt.push_str(&format!("; {name} {range}"));
        }
    }
    if let Some(least) = margins.reduce(f64::min) {
        alt.push_str(&format!(
            "; the steel at least {} above the dew point",
            units.measure(least, Form::TemperatureDifference, 1)
        ));
    }
    let coats = examined.project.coats.len();
    alt.push_str(&format!("; bars for {}.", words::count(coats, "application")));
    Words { title, caption, alt }
}
