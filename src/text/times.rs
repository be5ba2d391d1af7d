//! Times, days and how long something took, as they are shown.

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, Timelike};

use crate::records::grammar::times::Clock;
use crate::units;

/// A point in time as it was written, with its offset from UTC.
pub fn time(time: DateTime<FixedOffset>) -> String {
    time_by(None, time)
}

/// The same for somebody who knows the offset of the docking's clocks: only another is said.
pub(super) fn time_by(clock: Option<FixedOffset>, time: DateTime<FixedOffset>) -> String {
    let seconds = if time.second() == 0 { "" } else { ":%S" };
    time.format(&format!("%Y-%m-%d %H:%M{seconds}{}", offset_by(clock, time))).to_string()
}

fn offset_by(clock: Option<FixedOffset>, time: DateTime<FixedOffset>) -> &'static str {
    if clock == Some(*time.offset()) { "" } else { " %:z" }
}

/// What the clocks of a docking showed: `UTC-04:00, and from 2031-11-02 02:00 on UTC-05:00`; `None` where no offset is
/// stated.
pub fn offsets(clock: &Clock) -> Option<String> {
    let mut said = format!("UTC{}", clock.first()?);
    for (from, to) in clock.changes() {
        said.push_str(&format!(", and from {} on UTC{to}", from.format("%Y-%m-%d %H:%M")));
    }
    Some(said)
}

/// From one point in time to another; of an end on the same day only the hour.
pub(super) fn span_by(
    clock: Option<FixedOffset>,
    from: DateTime<FixedOffset>,
    to: Option<DateTime<FixedOffset>>,
) -> String {
    let time = |at| time_by(clock, at);
    let Some(to) = to else { return format!("{}, end not recorded", time(from)) };
    if from.date_naive() != to.date_naive() || from.offset() != to.offset() {
        return format!("{} to {}", time(from), time(to));
    }
    let end = to.format(&format!("%H:%M{}", offset_by(clock, to))).to_string();
    format!("{} to {end}", from.format("%Y-%m-%d %H:%M"))
}

/// A time that was stated in hours, with its unit; long ones in days.
pub fn stated_duration(value_h: f64) -> String {
    let (value, unit) = in_hours_or_days(value_h);
    format!("{}\u{a0}{unit}", units::nine_digits(value).replace('-', "\u{2212}"))
}

/// Times of five days and more are easier to grasp in days.
fn in_hours_or_days(value_h: f64) -> (f64, &'static str) {
    if value_h.abs() < 120.0 { (value_h, "h") } else { (value_h / 24.0, "d") }
}

/// A day in words: 9 April 2031.
pub fn day(date: NaiveDate) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let month = MONTHS.get(date.month0() as usize).copied().unwrap_or_default();
    format!("{} {month} {}", date.day(), date.year())
}

/// First and last day, as far as they are recorded.
pub fn period((began, ended): (Option<NaiveDate>, Option<NaiveDate>)) -> Option<String> {
    match (began, ended) {
        (Some(began), Some(ended)) => Some(format!("{} to {}", day(began), day(ended))),
        (Some(began), None) => Some(format!("from {}, end not recorded", day(began))),
        (None, Some(ended)) => Some(format!("to {}, beginning not recorded", day(ended))),
        (None, None) => None,
    }
}

/// First and last day in figures, as far as they are recorded.
pub fn iso_period(days: (Option<NaiveDate>, Option<NaiveDate>)) -> Option<String> {
    match days {
        (Some(began), Some(ended)) => Some(format!("{began} \u{2013} {ended}")),
        (Some(began), None) => Some(format!("{began} \u{2013} not recorded")),
        (None, Some(ended)) => Some(format!("not recorded \u{2013} {ended}")),
        (None, None) => None,
    }
}
