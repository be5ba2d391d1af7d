//! The water log of a position: levels between its readings, spells, events, rates and halts.

use chrono::{DateTime, Duration, FixedOffset};

use crate::calc::dewatering;
use crate::records::Project;
use crate::records::place::Place;
use crate::records::positions::Position;
use crate::records::water::WaterLevel;

/// Readings further apart than this, h, belong to different spells: nobody watched the water between them.
const APART_H: i64 = 24;

/// The readings of a position's log in the order of time.
#[derive(Debug)]
pub struct WaterLog<'a> {
    /// They themselves.
    pub readings: Vec<&'a WaterLevel>,
}

/// An event that the log names.
#[derive(Debug, Clone, Copy)]
pub struct Event<'a> {
    /// Its number, from 1: what drawings and tables call it.
    pub number: usize,
    /// The reading with which it stands.
    pub water: &'a WaterLevel,
    /// Rate since the event before, m/h, + rising; `None` at the first of a spell.
    pub rate_m_per_h: Option<f64>,
}

/// Which way the water goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    Falling,
    Rising,
}

/// How the water fell between two readings.
#[derive(Debug, Clone, Copy)]
pub struct Fall<'a> {
    /// The first reading.
    pub from: &'a WaterLevel,
    /// The last.
    pub to: &'a WaterLevel,
    /// Rate between the two, m/h, + falling.
    pub mean_m_per_h: f64,
    /// The fastest between any two that lie far enough apart, m/h.
    pub fastest_m_per_h: Option<f64>,
}

/// A time in which the water stood still.
#[derive(Debug, Clone, Copy)]
pub struct Halt {
    /// Its beginning.
    pub from: DateTime<FixedOffset>,
    /// Its end.
    pub to: DateTime<FixedOffset>,
    /// How long it lasted, h.
    pub duration_h: f64,
    /// The level, m.
    pub level_m: f64,
}

fn hours(from: DateTime<FixedOffset>, to: DateTime<FixedOffset>) -> f64 {
    (to - from).num_seconds() as f64 / 3600.0
}

fn is_near(a: &WaterLevel, b: &WaterLevel) -> bool {
    b.at - a.at <= Duration::hours(APART_H)
}

impl<'a> WaterLog<'a> {
    /// The log of a position by its id.
    pub fn new(project: &'a Project, position: &str) -> Self {
        let of_position = project.water.iter().filter(|water| water.position == position);
        let mut readings: Vec<&WaterLevel> = of_position.collect();
        readings.sort_by_key(|water| water.at);
        Self { readings }
    }

    /// The water level at a time, m, between two readings; `None` outside the log.
    pub fn level_at(&self, at: DateTime<FixedOffset>) -> Option<f64> {
        let next = self.readings.iter().position(|water| water.at >= at)?;
        let after = self.readings[next];
        if after.at == at {
            return Some(after.level_m);
        }
        let before = self.readings.get(next.checked_sub(1)?)?;
        let part = hours(before.at, at) / hours(before.at, after.at);
        Some(before.level_m + part * (after.level_m - before.level_m))
    }

    /// The spells of the log.
    pub fn spells(&self) -> impl Iterator<Item = &[&'a WaterLevel]> {
        self.readings.chunk_by(|a, b| is_near(a, b))
    }

    /// Its events.
    pub fn events(&self) -> Vec<Event<'a>> {
        let with_event: Vec<&WaterLevel> =
            self.readings.iter().copied().filter(|water| water.event.is_some()).collect();
        let event = |(n, water): (usize, &&'a WaterLevel)| {
            let before = n.checked_sub(1).and_then(|n| with_event.get(n));
            let rate_m_per_h = before.and_then(|before| {
                let hours = hours(before.at, water.at);
                let rate = (water.level_m - before.level_m) / hours;
                (hours > 0.0 && is_near(before, water)).then_some(rate)
            });
            Event { number: n + 1, water, rate_m_per_h }
        };
        with_event.iter().enumerate().map(event).collect()
    }

    /// The fastest fall, m/h, from a time to another, or from the first reading or to the last.
    pub fn fastest_fall_m_per_h(
        &self,
        from: Option<DateTime<FixedOffset>>,
        to: Option<DateTime<FixedOffset>>,
    ) -> Option<f64> {
        let start = self.readings.first()?.at;
        let from_h = from.map_or(f64::NEG_INFINITY, |from| hours(start, from) - 1e-6);
        let to_h = to.map_or(f64::INFINITY, |to| hours(start, to) + 1e-6);
        dewatering::fastest_fall_m_per_h(&since(start, &self.readings), from_h, to_h)
    }

    /// The readings between which it fell fastest, from a time to another.
    pub fn fastest_fall(
        &self,
        from: Option<DateTime<FixedOffset>>,
        to: Option<DateTime<FixedOffset>>,
    ) -> Option<[&'a WaterLevel; 2]> {
        let start = self.readings.first()?.at;
        let from_h = from.map_or(f64::NEG_INFINITY, |from| hours(start, from) - 1e-6);
        let to_h = to.map_or(f64::INFINITY, |to| hours(start, to) + 1e-6);
        let fall = dewatering::fastest_fall(&since(start, &self.readings), from_h, to_h)?;
        Some([*self.readings.get(fall.from)?, *self.readings.get(fall.to)?])
    }

    /// The rows from which the level at a time comes.
    pub fn rows_at(&self, at: DateTime<FixedOffset>) -> Vec<&'a Place> {
        let next = self.readings.partition_point(|water| water.at < at);
        let before =
            next.checked_sub(1).filter(|_| self.readings.get(next).is_none_or(|row| row.at > at));
        let rows = before.into_iter().chain([next]).filter_map(|n| self.readings.get(n));
        rows.map(|water| &water.place).collect()
    }

    /// The stretches in which the water was pumped out or let in, by the log's events: from the one that begins it to the one
    /// that ends it, both counted. Touching, landing and divers end none.
    pub fn ways(&self) -> Vec<(Way, Vec<&'a WaterLevel>)> {
        let mut ways: Vec<(Way, Vec<&WaterLevel>)> = Vec::new();
        for spell in self.spells() {
            let mut way: Option<Way> = None;
            for water in spell.iter().copied() {
                let event = water.event.as_deref();
                let goes_on = matches!(
                    event,
                    None | Some("first-touch" | "landed" | "diver-down" | "diver-up" | "lift-off")
                );
                if let (Some(_), Some((_, rows))) = (way, ways.last_mut()) {
                    rows.push(water);
                }
                if goes_on {
                    continue;
                }
                way = match event {
                    Some("pumping-began" | "pumping-resumed") => Some(Way::Falling),
                    Some("flooding-began" | "reflood-began") => Some(Way::Rising),
                    _ => None,
                };
                ways.extend(way.map(|way| (way, vec![water])));
            }
        }
        ways.retain(|(_, rows)| rows.len() > 1);
        ways
    }

    /// How it fell between the times of a position: from the beginning of pumping to first touch, from there to
    /// landed, from there to dry; those that are recorded and that the log covers.
    pub fn falls(&self, position: &Position) -> Vec<(&'static str, Fall<'a>)> {
        let is_pumping = |water: &&&WaterLevel| water.event.as_deref() == Some("pumping-began");
        let pumping = self.readings.iter().find(is_pumping).map(|water| water.at);
        let times = &position.times;
        let (touched, landed, dry) = (times.touched, times.landed, times.dry);
        let stretches = [
            ("pumping began to first touch", pumping, touched),
            ("first touch to landed", touched, landed),
            ("landed to dry", landed, dry),
        ];
        let falls = stretches.into_iter().filter_map(|(what, from, to)| {
            let (from, to) = (from?, to?);
            let is_inside = |water: &&&WaterLevel| water.at >= from && water.at <= to;
            let mut inside = self.readings.iter().filter(is_inside);
            let first = *inside.next()?;
            let last = *inside.next_back()?;
            let between_h = hours(first.at, last.at);
            let mean_m_per_h = (first.level_m - last.level_m) / between_h;
            let fastest_m_per_h = self.fastest_fall_m_per_h(Some(from), Some(to));
            let fall = Fall { from: first, to: last, mean_m_per_h, fastest_m_per_h };
            (between_h > 0.0).then_some((what, fall))
        });
        falls.collect()
    }

    /// Where the water stood still, spell by spell.
    pub fn halts(&self) -> Vec<Halt> {
        let of_spell = |spell: &[&WaterLevel]| -> Vec<Halt> {
            let Some(start) = spell.first().map(|water| water.at) else { return Vec::new() };
            let at = |hour: f64| start + Duration::seconds((hour * 3600.0).round() as i64);
            let halts = dewatering::halts(&since(start, spell));
            halts
                .into_iter()
                .map(|halt| Halt {
                    from: at(halt.from_h),
                    to: at(halt.to_h),
                    duration_h: halt.to_h - halt.from_h,
                    level_m: halt.level_m,
                })
                .collect()
        };
        self.spells().flat_map(of_spell).collect()
    }
}

/// Readings as hours since a time and levels in m.
fn since(start: DateTime<FixedOffset>, readings: &[&WaterLevel]) -> Vec<dewatering::Reading> {
    readings.iter().map(|water| (hours(start, water.at), water.level_m)).collect()
}
