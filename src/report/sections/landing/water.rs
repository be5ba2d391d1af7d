//! The water log of a position: rates, halts, events.

use chrono::{DateTime, Duration, FixedOffset};
use serde::Serialize;

use crate::calc::dewatering;
use crate::records::Project;
use crate::records::positions::Position;
use crate::records::water::WaterLevel;
use crate::report::figures::water_events;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Water {
    readings: usize,
    events: Vec<Event>,
    rates: Vec<Rate>,
    halts: Vec<Halt>,
}

#[derive(Serialize)]
struct Event {
    number: usize,
    at: String,
    level: String,
    event: String,
    /// Rate from the event before, m/h, rising positive.
    rate: Option<String>,
    note: Option<String>,
}

#[derive(Serialize)]
struct Rate {
    what: &'static str,
    from: String,
    to: String,
    mean: String,
    fastest: Option<String>,
}

#[derive(Serialize)]
struct Halt {
    from: String,
    to: String,
    hours: String,
    level: String,
}

pub(super) fn water(project: &Project, position: &Position) -> Water {
    let mut log: Vec<&WaterLevel> =
        project.water.iter().filter(|water| water.position == position.id).collect();
    log.sort_by_key(|water| water.at);
    Water {
        readings: log.len(),
        events: events(project, position),
        rates: rates(position, &log),
        halts: halts(&log),
    }
}

fn hours(from: DateTime<FixedOffset>, to: DateTime<FixedOffset>) -> f64 {
    (to - from).num_seconds() as f64 / 3600.0
}

fn events(project: &Project, position: &Position) -> Vec<Event> {
    let events = water_events(project, &position.id);
    let mut before: Option<&WaterLevel> = None;
    let mut rows = Vec::new();
    for (number, water) in events {
        let rate = before.and_then(|before| {
            let hours = hours(before.at, water.at);
            (hours > 0.0 && water.at - before.at <= Duration::hours(24))
                .then(|| text::number((water.level_m - before.level_m) / hours, 2))
        });
        rows.push(Event {
            number,
            at: text::time(water.at),
            level: text::number(water.level_m, 2),
            event: water.event.as_deref().unwrap_or_default().replace('-', " "),
            rate,
            note: water.notes.clone(),
        });
        before = Some(water);
    }
    rows
}

/// Mean and fastest fall between the position's recorded times.
fn rates(position: &Position, log: &[&WaterLevel]) -> Vec<Rate> {
    let Some(start) = log.first().map(|water| water.at) else { return Vec::new() };
    let readings: Vec<dewatering::Reading> =
        log.iter().map(|water| (hours(start, water.at), water.level_m)).collect();
    let times = &position.times;
    let pumping = log.iter().find(|water| water.event.as_deref() == Some("pumping-began"));
    let stretches = [
        ("pumping began to first touch", pumping.map(|water| water.at), times.touched),
        ("first touch to landed", times.touched, times.landed),
        ("landed to dry", times.landed, times.dry),
    ];
    stretches
        .into_iter()
        .filter_map(|(what, from, to)| {
            let (from, to) = (from?, to?);
            let inside: Vec<&&WaterLevel> =
                log.iter().filter(|water| water.at >= from && water.at <= to).collect();
            let (first, last) = (inside.first()?, inside.last()?);
            let between = hours(first.at, last.at);
            let fastest = dewatering::fastest_fall_m_per_h(
                &readings,
                hours(start, from) - 1e-6,
                hours(start, to) + 1e-6,
            );
            (between > 0.0).then(|| Rate {
                what,
                from: text::time(first.at),
                to: text::time(last.at),
                mean: text::number((first.level_m - last.level_m) / between, 2),
                fastest: fastest.map(|fastest| text::number(fastest, 2)),
            })
        })
        .collect()
}

/// Where the water stood still, in the spells of the log: a gap of a day or more is no halt.
fn halts(log: &[&WaterLevel]) -> Vec<Halt> {
    let Some(start) = log.first().map(|water| water.at) else { return Vec::new() };
    let mut found = Vec::new();
    let near = |a: &&WaterLevel, b: &&WaterLevel| b.at - a.at <= Duration::hours(24);
    for spell in log.chunk_by(near) {
        let readings: Vec<dewatering::Reading> =
            spell.iter().map(|water| (hours(start, water.at), water.level_m)).collect();
        for halt in dewatering::halts(&readings) {
            let at = |hour: f64| start + Duration::seconds((hour * 3600.0).round() as i64);
            found.push(Halt {
                from: text::time(at(halt.from_h)),
                to: text::time(at(halt.to_h)),
                hours: text::number(halt.to_h - halt.from_h, 2),
                level: text::number(halt.level_m, 2),
            });
        }
    }
    found
}
