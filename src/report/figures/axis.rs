//! Axes with round numbers, calendars along them, and places spread along a line.

use chrono::{DateTime, Datelike, Duration, FixedOffset, NaiveDate, TimeDelta, Timelike};

use super::scale::round_up;
use crate::findings::recomputed::coating::hours;
use crate::text;
use crate::units::Unit;

/// Values beyond this are mistakes of unit or typing and stretch no axis.
const FARTHEST: f64 = 1e6;
/// Most numbers along an axis.
const MOST_TICKS: f64 = 60.0;

/// How the numbers of an axis are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Lettering {
    /// With so many decimals.
    Number(usize),
    /// As the hour of a day.
    Clock,
    /// As the day of a month; hours count from the midnight that begins this date.
    Day(NaiveDate),
}

/// A range of values with round numbers in it. Values are in the kept unit of what is measured; the round numbers are
/// round in the unit that is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What it measures, with its unit.
    pub title: String,
    /// Its lower end.
    pub from: f64,
    /// Its upper end.
    pub to: f64,
    scaling: Scaling,
    /// Between round numbers, in the unit shown.
    step: f64,
    falls: bool,
    lettering: Lettering,
}

/// From kept units to those that are shown, and back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scaling(Option<&'static Unit>);

impl Scaling {
    /// Of what is counted, or shown as it is kept.
    pub const NONE: Self = Self(None);

    pub fn in_unit(unit: &'static Unit) -> Self {
        Self(Some(unit))
    }

    pub fn shown(self, kept: f64) -> f64 {
        self.0.map_or(kept, |unit| unit.from_kept(kept))
    }

    pub fn kept(self, shown: f64) -> f64 {
        self.0.map_or(shown, |unit| unit.to_kept(shown))
    }
}

impl Axis {
    /// An axis that shows all the values, its ends at round numbers at least `apart_mm` from each other;
    /// `room_mm` is its length on paper. `None` without a value that can be shown.
    pub fn over(
        title: impl Into<String>,
        scaling: Scaling,
        values: impl IntoIterator<Item = f64>,
        room_mm: f64,
        apart_mm: f64,
    ) -> Option<Self> {
        let (least, most) = range(values)?;
        let (least, most) = (scaling.shown(least), scaling.shown(most));
        // Values that are all alike still get an axis of some length.
        let span = (most - least).max(most.abs().max(least.abs()) * 1e-3).max(0.002);
        let step = round_up(span * apart_mm / room_mm);
        let from = (least / step + 1e-9).floor() * step;
        let to = (most / step - 1e-9).ceil() * step;
        let to = if to - from < step * 0.5 { from + step } else { to };
        let ends = (scaling.kept(from), scaling.kept(to));
        Some(Self::new(title.into(), scaling, ends, step))
    }

    /// An axis from one value to another with round numbers between.
    pub fn between(
        title: impl Into<String>,
        scaling: Scaling,
        (from, to): (f64, f64),
        room_mm: f64,
        apart_mm: f64,
    ) -> Option<Self> {
        let ends = range([from, to])?;
        let span = scaling.shown(ends.1) - scaling.shown(ends.0);
        let step = round_up(span * apart_mm / room_mm);
        (span > 1e-3).then(|| Self::new(title.into(), scaling, ends, step))
    }

    /// Hours of a day from one time to another, both in hours since a midnight.
    pub fn clock(
        title: impl Into<String>,
        (from, to): (f64, f64),
        room_mm: f64,
        apart_mm: f64,
    ) -> Option<Self> {
        const STEPS: [f64; 12] =
            [0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 120.0, 240.0, 1200.0];
        let (from, to) = range([from, to]).filter(|(from, to)| to - from > 1e-3)?;
        let least = (to - from) * apart_mm / room_mm;
        let step = STEPS.into_iter().find(|step| *step >= least)?;
        Some(Self { lettering: Lettering::Clock, ..Self::hours(title.into(), (from, to), step) })
    }

    /// Days from one time to another, both in hours since the midnight that begins a date; a number at
    /// the midnight that begins its day.
    pub fn days(
        title: impl Into<String>,
        (from, to): (f64, f64),
        room_mm: f64,
        apart_mm: f64,
        first: NaiveDate,
    ) -> Option<Self> {
        const STEPS_D: [f64; 10] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0];
        let (from, to) = range([from, to]).filter(|(from, to)| to - from > 1e-3)?;
        let least = (to - from) * apart_mm / room_mm;
        let step = STEPS_D.into_iter().map(|days| days * 24.0).find(|step| *step >= least)?;
        Some(Self {
            lettering: Lettering::Day(first),
            ..Self::hours(title.into(), (from, to), step)
        })
    }

    fn hours(title: String, ends: (f64, f64), step: f64) -> Self {
        Self::new(title, Scaling::NONE, ends, step)
    }

    fn new(title: String, scaling: Scaling, (from, to): (f64, f64), step: f64) -> Self {
        let decimals = match step {
            step if step >= 0.999 => 0,
            step if step >= 0.0999 => 1,
            step if step >= 0.00999 => 2,
            _ => 3,
        };
        let lettering = Lettering::Number(decimals);
        Self { title, from, to, scaling, step, falls: false, lettering }
    }

    /// The same with its greatest value where the least was.
    pub fn falling(self) -> Self {
        Self { falls: true, ..self }
    }

    /// Where a value lies along it: 0 at its beginning, 1 at its end.
    pub fn part(&self, value: f64) -> f64 {
        let part = (value - self.from) / (self.to - self.from);
        if self.falls { 1.0 - part } else { part }
    }

    /// The round numbers in it.
    pub fn ticks(&self) -> Vec<f64> {
        let (from, to) = (self.scaling.shown(self.from), self.scaling.shown(self.to));
        let first = (from / self.step - 1e-9).ceil();
        let count = ((to / self.step + 1e-9).floor() - first).clamp(0.0, MOST_TICKS) as usize;
        (0..=count).map(|n| self.scaling.kept((first + n as f64) * self.step)).collect()
    }

    /// A value as it stands at the axis.
    pub fn lettered(&self, value: f64) -> String {
        match self.lettering {
            Lettering::Number(decimals) => text::number(self.scaling.shown(value), decimals),
            Lettering::Clock => clock(value),
            Lettering::Day(first) => TimeDelta::try_hours(value.round() as i64)
                .and_then(|since| first.checked_add_signed(since))
                .map_or_else(String::new, |day| day.day().to_string()),
        }
    }
}

/// The hour of a day, in hours since a midnight: `07:30`.
pub fn clock(hours: f64) -> String {
    let minutes = (hours * 60.0).round().rem_euclid(24.0 * 60.0) as u32;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// Hours from the midnight before a first moment.
#[derive(Debug, Clone, Copy)]
pub struct Calendar {
    midnight: DateTime<FixedOffset>,
}

impl Calendar {
    /// From the midnight before the first of some moments; `None` without any.
    pub fn before(moments: impl IntoIterator<Item = DateTime<FixedOffset>>) -> Option<Self> {
        let first = moments.into_iter().min()?;
        let since = i64::from(first.num_seconds_from_midnight());
        Some(Self { midnight: first.checked_sub_signed(Duration::seconds(since))? })
    }

    /// The day that begins at that midnight.
    pub fn first_day(&self) -> NaiveDate {
        self.midnight.date_naive()
    }

    pub fn offset(&self) -> &FixedOffset {
        self.midnight.offset()
    }

    /// A moment in hours since that midnight.
    pub fn hour(&self, at: DateTime<FixedOffset>) -> f64 {
        (at - self.midnight).num_seconds() as f64 / 3600.0
    }

    /// A moment by the clock that the calendar's days go by, whatever offset it was written down with.
    pub fn by_its_clock(&self, at: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
        at.with_timezone(self.offset())
    }

    /// A moment, as [`hours`] gives it, in hours since that midnight.
    pub fn of_kept(&self, at_h: f64) -> f64 {
        at_h - hours(self.midnight)
    }

    /// An axis of days from one hour to another.
    pub fn axis(&self, ends_h: (f64, f64), room_mm: f64, apart_mm: f64) -> Option<Axis> {
        let first = self.first_day();
        let title = format!(
            "day of the month at its midnight, from {} on; clocks at UTC{}",
            text::day(first),
            self.offset()
        );
        Axis::days(title, ends_h, room_mm, apart_mm, first)
    }
}

/// Places at least `apart` from each other and between two ends, in the order given, as near as can be
/// to the places wanted, which must be in order. Where the room is too short they go on beyond its end.
pub fn spread(wanted: &[f64], apart: f64, (from, to): (f64, f64)) -> Vec<f64> {
    // Without the distance between neighbours the places need only stay in order: neighbours that do
    // not are pooled at their mean.
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (n, place) in wanted.iter().enumerate() {
        let mut pool = (place - n as f64 * apart, 1);
        while let Some(before) = pools.last().copied().filter(|before| before.0 > pool.0) {
            let count = before.1 + pool.1;
            pool = ((before.0 * before.1 as f64 + pool.0 * pool.1 as f64) / count as f64, count);
            pools.pop();
        }
        pools.push(pool);
    }
    let last = wanted.len().saturating_sub(1) as f64 * apart;
    let most = (to - last).max(from);
    pools
        .into_iter()
        .flat_map(|(place, count)| std::iter::repeat_n(place.clamp(from, most), count))
        .enumerate()
        .map(|(n, place)| place + n as f64 * apart)
        .collect()
}

fn range(values: impl IntoIterator<Item = f64>) -> Option<(f64, f64)> {
    values.into_iter().filter(|value| value.is_finite() && value.abs() <= FARTHEST).fold(
        None,
        |range: Option<(f64, f64)>, value| {
            Some(range.map_or((value, value), |(a, b)| (a.min(value), b.max(value))))
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lettered(axis: &Axis) -> Vec<String> {
        axis.ticks().into_iter().map(|tick| axis.lettered(tick)).collect()
    }

    #[test]
    fn numbers_are_round_and_hold_the_values() {
        let axis = Axis::over("t", Scaling::NONE, [0.3, 97.0], 50.0, 8.0).unwrap();
        assert_eq!(lettered(&axis), ["0", "20", "40", "60", "80", "100"]);
        let axis = Axis::over("m", Scaling::NONE, [-4.79, 1.93], 60.0, 7.0).unwrap();
        let (minus, zero) = ("\u{2212}", "0");
        assert_eq!(axis.ticks().len(), 8);
        assert_eq!(axis.lettered(axis.from), format!("{minus}5"));
        assert_eq!(axis.lettered(0.0), zero);
        let axis = Axis::over("m", Scaling::NONE, [0.623, 0.747], 150.0, 18.0).unwrap();
        assert_eq!(lettered(&axis).first().map(String::as_str), Some("0.62"));
        assert_eq!(lettered(&axis).last().map(String::as_str), Some("0.76"));
    }

    #[test]
    fn steps_are_1_2_or_5_of_a_power_of_ten_and_not_too_close() {
        for (least, most) in [(0.0, 0.004), (-3.0, 8.0), (10.0, 1234.0), (99.0, 99.5), (5.0, 5.0)] {
            for room in [20.0, 60.0, 150.0] {
                let axis = Axis::over("", Scaling::NONE, [least, most], room, 7.0).unwrap();
                let mut step = axis.step;
                while step < 0.99 {
                    step *= 10.0;
                }
                while step > 9.9 {
                    step /= 10.0;
                }
                assert!([1.0, 2.0, 5.0].iter().any(|round| (step - round).abs() < 1e-6), "{step}");
                assert!(axis.from <= least + 1e-9 && axis.to >= most - 1e-9);
                let ticks = axis.ticks();
                assert!(ticks.len() >= 2);
                // The ends may lie up to a step outside the values on either side.
                let apart = room * axis.step / (axis.to - axis.from);
                assert!(apart >= 7.0 * 0.33, "{apart}");
            }
        }
    }

    #[test]
    fn hours_are_those_of_a_day() {
        let axis = Axis::clock("", (5.1, 26.2), 150.0, 12.0).unwrap();
        assert_eq!(lettered(&axis).first().map(String::as_str), Some("06:00"));
        assert_eq!(lettered(&axis).last().map(String::as_str), Some("02:00"));
        assert_eq!(clock(23.999_99), "00:00");
    }

    #[test]
    fn days_are_those_of_a_month() {
        let first = NaiveDate::from_ymd_opt(2031, 4, 28).unwrap();
        let axis = Axis::days("", (3.0, 120.0), 150.0, 6.0, first).unwrap();
        assert_eq!(lettered(&axis), ["29", "30", "1", "2", "3"]);
        let axis = Axis::days("", (0.0, 24.0 * 60.0), 150.0, 6.0, first).unwrap();
        assert_eq!(lettered(&axis)[..3], ["28", "3", "8"]);
    }

    #[test]
    fn mistakes_stretch_no_axis() {
        assert_eq!(Axis::over("", Scaling::NONE, [f64::NAN, 1e200], 50.0, 7.0), None);
        let axis = Axis::over("", Scaling::NONE, [f64::INFINITY, 1.0, 2.0], 50.0, 7.0).unwrap();
        assert!(axis.to <= 2.5);
        assert_eq!(Axis::between("", Scaling::NONE, (2.0, 2.0), 50.0, 7.0), None);
        let long = Axis { step: 1e-9, ..axis };
        assert!(long.ticks().len() <= 61);
    }

    #[test]
    fn places_stand_apart_and_between_the_ends() {
        assert_eq!(spread(&[1.0, 9.0], 2.0, (0.0, 10.0)), [1.0, 9.0]);
        assert_eq!(spread(&[5.0, 5.0], 2.0, (0.0, 10.0)), [4.0, 6.0]);
        assert_eq!(spread(&[9.5, 9.8, 10.0], 2.0, (0.0, 10.0)), [6.0, 8.0, 10.0]);
        assert_eq!(spread(&[0.0, 0.1, 8.0], 2.0, (0.0, 10.0)), [0.0, 2.0, 8.0]);
        assert_eq!(spread(&[], 2.0, (0.0, 10.0)), [0.0; 0]);
        assert_eq!(spread(&[1.0, 1.0, 1.0], 5.0, (0.0, 6.0)), [0.0, 5.0, 10.0]);
    }
}
