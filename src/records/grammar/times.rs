//! Points in time and days, the clocks by which they were told, and whether the day or the month comes first.

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveDateTime, NaiveTime};

use super::{InvalidValue, invalid, with_plain_signs};

/// Whether of two numbers the month comes first or the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    MonthFirst,
    DayFirst,
}

impl Order {
    /// The words by which `[period]` states it, the month first before the day first.
    pub const WORDS: &[&str] = &["m/d/y", "d/m/y"];

    pub fn by(word: &str) -> Option<Self> {
        match word {
            "m/d/y" => Some(Self::MonthFirst),
            "d/m/y" => Some(Self::DayFirst),
            _ => None,
        }
    }

    pub fn word(self) -> &'static str {
        match self {
            Self::MonthFirst => "m/d/y",
            Self::DayFirst => "d/m/y",
        }
    }

    pub fn in_words(self) -> &'static str {
        match self {
            Self::MonthFirst => "month/day/year",
            Self::DayFirst => "day/month/year",
        }
    }

    pub fn other(self) -> Self {
        match self {
            Self::MonthFirst => Self::DayFirst,
            Self::DayFirst => Self::MonthFirst,
        }
    }
}

/// The signs that may stand between the numbers of a date. Who writes points is not who writes strokes, so that each
/// sign has its own order.
pub const SIGNS: [char; 3] = ['/', '.', '-'];

/// The order in a file of dates with each of the [`SIGNS`], as far as it is settled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Orders([Option<Order>; 3]);

impl Orders {
    pub const UNSETTLED: Self = Self([None; 3]);

    /// The order that is stated for all.
    pub fn stated(order: Order) -> Self {
        Self([Some(order); 3])
    }

    pub fn of(&self, sign: char) -> Option<Order> {
        SIGNS.iter().position(|known| *known == sign).and_then(|at| self.0[at])
    }

    pub fn settle(&mut self, sign: char, order: Order) {
        if let Some(at) = SIGNS.iter().position(|known| *known == sign) {
            self.0[at] = Some(order);
        }
    }
}

/// A day in numbers of which the year comes last: `9/10/2027`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Numbers {
    first: u32,
    second: u32,
    year: i32,
    /// What stands between them.
    pub sign: char,
}

impl Numbers {
    /// The day with which a text begins, if it is written so.
    pub fn begin(text: &str) -> Option<Self> {
        match date(&with_plain_signs(text))?.0 {
            Day::Numbers(numbers) => Some(numbers),
            Day::Sure(_) => None,
        }
    }

    /// The day, if there is one in that order.
    pub fn day(&self, order: Order) -> Option<NaiveDate> {
        let (month, day) = match order {
            Order::MonthFirst => (self.first, self.second),
            Order::DayFirst => (self.second, self.first),
        };
        NaiveDate::from_ymd_opt(self.year, month, day)
    }

    /// The day and the order of the only reading that there is; both where the two are one day.
    fn only(&self) -> Option<NaiveDate> {
        match (self.day(Order::MonthFirst), self.day(Order::DayFirst)) {
            (Some(one), None) | (None, Some(one)) => Some(one),
            (Some(one), Some(other)) => (one == other).then_some(one),
            (None, None) => None,
        }
    }
}

/// The clocks of a docking: an offset from UTC, and where it was changed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Clock {
    first: Option<FixedOffset>,
    /// When an offset began to hold, in their order.
    changes: Vec<(DateTime<FixedOffset>, FixedOffset)>,
}

/// What a time of the clock is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Told {
    Once(DateTime<FixedOffset>),
    /// The clocks were put back, and showed it before and after.
    Twice(DateTime<FixedOffset>, DateTime<FixedOffset>),
    /// The clocks were put forward over it: when by the old offset, and to what.
    Never(DateTime<FixedOffset>, DateTime<FixedOffset>),
}

impl Clock {
    pub const NONE: Self = Self { first: None, changes: Vec::new() };

    /// A clock that was never changed.
    pub fn of(offset: Option<FixedOffset>) -> Self {
        Self { first: offset, changes: Vec::new() }
    }

    /// Puts the clock to another offset at a time after the last change.
    pub fn change(&mut self, from: DateTime<FixedOffset>, offset: FixedOffset) {
        self.changes.push((from, offset));
    }

    /// The offset that held first; `None` where none is stated.
    pub fn first(&self) -> Option<FixedOffset> {
        self.first
    }

    /// What it shows last.
    pub fn last(&self) -> Option<FixedOffset> {
        self.changes.last().map(|(_, offset)| *offset).or(self.first)
    }

    /// Each change: when by the old offset, and to which.
    pub fn changes(&self) -> impl Iterator<Item = (DateTime<FixedOffset>, FixedOffset)> {
        let before = self.first.into_iter().chain(self.changes.iter().map(|(_, offset)| *offset));
        self.changes.iter().zip(before).map(|((from, to), held)| (from.with_timezone(&held), *to))
    }

    /// A point in time as it showed it, whatever offset that was written down with; as it was written where no offset is
    /// stated.
    pub fn shown(&self, at: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
        let held = self.changes.iter().rev().find(|(from, _)| at >= *from).map(|(_, to)| *to);
        held.or(self.first).map_or(at, |offset| at.with_timezone(&offset))
    }

    /// Whether it showed a local time twice.
    pub fn is_twice(&self, local: NaiveDateTime) -> bool {
        matches!(self.at(local), Some(Told::Twice(..)))
    }

    /// Whether it was changed during the docking.
    pub fn is_changed(&self) -> bool {
        !self.changes.is_empty()
    }

    /// The points in time at which it shows a local time; `None` where no offset is stated.
    pub fn at(&self, local: NaiveDateTime) -> Option<Told> {
        let first = self.first?;
        let mut held = first;
        let mut found: Vec<DateTime<FixedOffset>> = Vec::new();
        let mut over = None;
        let on = |offset: FixedOffset| local.and_local_timezone(offset).single();
        for (from, next) in &self.changes {
            let (before, after) = (on(held)?, on(*next)?);
            if before < *from && self.began_before(*from, before) {
                found.push(before);
            }
            if before >= *from && after < *from {
                over = Some((from.with_timezone(&held), from.with_timezone(next)));
            }
            held = *next;
        }
        let last = on(held)?;
        if self.changes.last().is_none_or(|(from, _)| last >= *from) {
            found.push(last);
        }
        Some(match (found.as_slice(), over) {
            ([one, two, ..], _) => Told::Twice(*one, *two),
            ([], Some((old, new))) => Told::Never(old, new),
            ([one], _) => Told::Once(*one),
            // A time that no offset covers lies where one was put forward.
            ([], None) => Told::Once(last),
        })
    }

    /// Whether the offset that ended at `end` had begun to hold at a time.
    fn began_before(&self, end: DateTime<FixedOffset>, at: DateTime<FixedOffset>) -> bool {
        let before = self.changes.iter().rev().find(|(from, _)| *from < end);
        before.is_none_or(|(from, _)| at >= *from)
    }
}

/// What is wrong with a time without an offset where the project states none.
pub(in crate::records) const NO_OFFSET: &str = "has no offset from UTC";

/// What is wrong with a day that has two readings; said once for a file.
pub(in crate::records) const TWO_READINGS: &str = "may be two days";

/// A point in time, or what is wrong with the text; `advice` is what to do where it is no time at all.
pub fn read(
    text: &str,
    clock: &Clock,
    orders: Orders,
    advice: impl Fn(&str) -> String,
) -> Result<DateTime<FixedOffset>, InvalidValue> {
    let expected = "a time such as 2031-04-09T06:40:00+01:00";
    let no_time = || invalid("is not a time", expected, advice(text));
    if let Some(at) = rfc_3339(text) {
        return Ok(at);
    }
    let (local, offset) = match iso_local(text) {
        Some(local) => (local, None),
        None => as_written(text, orders)?.ok_or_else(no_time)?,
    };
    if let Some(offset) = offset {
        return local.and_local_timezone(offset).single().ok_or_else(no_time);
    }
    let form = |at: DateTime<FixedOffset>| at.to_rfc3339();
    match clock.at(local) {
        None => Err(invalid(
            NO_OFFSET,
            expected,
            "add the offset, or give `offset` once under [period] in docking.toml",
        )),
        Some(Told::Once(at)) => Ok(at),
        Some(Told::Twice(one, two)) => Err(invalid(
            "came twice that day, since the clocks were put back",
            "the time with its offset from UTC",
            format!(
                "write {} if it was before they were put back, or {} if it was after",
                form(one),
                form(two)
            ),
        )),
        Some(Told::Never(old, new)) => Err(invalid(
            "is a time that no clock showed",
            format!(
                "a time before {} or from {} on, when the clocks were put forward",
                old.format("%Y-%m-%d %H:%M"),
                new.format("%H:%M")
            ),
            "correct the time, or the change of the clocks in [[period.offsets]]",
        )),
    }
}

/// A day, or what is wrong with the text. Spreadsheets put midnight behind a day.
pub fn read_day(
    text: &str,
    orders: Orders,
    advice: impl Fn(&str) -> String,
) -> Result<NaiveDate, InvalidValue> {
    let expected = "a date such as 2031-04-09";
    let no_day = || invalid("is not a date", expected, advice(text));
    if text.len() == 10
        && has_year(text)
        && let Ok(day) = NaiveDate::parse_from_str(text, "%Y-%m-%d")
    {
        return Ok(day);
    }
    let plain = with_plain_signs(text);
    let (day, rest) = date(&plain).ok_or_else(no_day)?;
    let midnight =
        clock_time(rest).is_some_and(|(time, offset)| time == NaiveTime::MIN && offset.is_none());
    if !rest.is_empty() && !midnight {
        return Err(no_day());
    }
    settled(day, orders, text)?.ok_or_else(no_day)
}

/// What a text with its own offset is, as RFC 3339 has it; the space that may stand for T there, section 5.6, and
/// seconds may be left out, here alone. `None` where it is written otherwise.
fn rfc_3339(text: &str) -> Option<DateTime<FixedOffset>> {
    let strict = text.replacen(' ', "T", 1);
    let at = 10 + strict.get(10..)?.find(['+', '-', 'Z', 'z'])?;
    let (body, tail) = strict.split_at(at);
    let seconds = if body.len() == 16 { ":00" } else { "" };
    DateTime::parse_from_rfc3339(&format!("{body}{seconds}{tail}")).ok()
}

/// The same without an offset.
fn iso_local(text: &str) -> Option<NaiveDateTime> {
    let strict = text.replacen(' ', "T", 1);
    let seconds = if strict.len() == 16 { ":00" } else { "" };
    let read = NaiveDateTime::parse_from_str(&format!("{strict}{seconds}"), "%Y-%m-%dT%H:%M:%S%.f");
    read.ok().filter(|_| has_year(text))
}

/// Whether a date begins with a year of four digits, RFC 3339 section 5.6. Others lie so near to the ends of what
/// can be counted that a day more or an offset might pass them.
fn has_year(text: &str) -> bool {
    let bytes = text.as_bytes();
    bytes.get(4) == Some(&b'-') && bytes.iter().take(4).all(u8::is_ascii_digit)
}

type Written = (NaiveDateTime, Option<FixedOffset>);

/// A day and a time of day as people write them, with an offset behind if there is one.
fn as_written(text: &str, orders: Orders) -> Result<Option<Written>, InvalidValue> {
    let plain = with_plain_signs(text);
    let Some((day, rest)) = date(&plain) else { return Ok(None) };
    let Some((time, offset)) = clock_time(rest) else { return Ok(None) };
    Ok(settled(day, orders, text)?.map(|day| (day.and_time(time), offset)))
}

/// The day in the order that holds; where none is settled, the one that is possible.
fn settled(day: Day, orders: Orders, text: &str) -> Result<Option<NaiveDate>, InvalidValue> {
    let numbers = match day {
        Day::Sure(day) => return Ok(Some(day)),
        Day::Numbers(numbers) => numbers,
    };
    let both = [Order::MonthFirst, Order::DayFirst].map(|order| numbers.day(order));
    match (orders.of(numbers.sign), numbers.only()) {
        (Some(order), _) => match (numbers.day(order), both.into_iter().flatten().next()) {
            (Some(day), _) => Ok(Some(day)),
            (None, None) => Ok(None),
            (None, Some(other)) => Err(invalid(
                format!("is no day as {}", order.in_words()),
                format!("{}, as the dates of this file are read", order.in_words()),
                format!("if {other} is meant, write it so; otherwise correct the date"),
            )),
        },
        (None, Some(only)) => Ok(Some(only)),
        (None, None) if both.iter().any(Option::is_some) => Err(invalid(TWO_READINGS, text, "")),
        (None, None) => Ok(None),
    }
}

enum Day {
    /// One that can't be read otherwise.
    Sure(NaiveDate),
    Numbers(Numbers),
}

/// The day with which a text begins, and what comes after it.
fn date(text: &str) -> Option<(Day, &str)> {
    let (day, rest) = match number(text, 4) {
        None => month_named_first(text)?,
        Some((first, rest)) => match text.len() - rest.len() {
            4 => year_first(first, rest)?,
            1 | 2 => numbers(first, rest).or_else(|| named(first, rest))?,
            _ => return None,
        },
    };
    let behind = rest.strip_prefix(',').unwrap_or(rest);
    let parted = behind.is_empty() || behind.starts_with([' ', 't', 'T']);
    parted.then_some((day, behind))
}

/// `2027-9-17`, the strokes or points all the same.
fn year_first(year: u32, rest: &str) -> Option<(Day, &str)> {
    let sign = rest.chars().next().filter(|sign| SIGNS.contains(sign))?;
    let (month, rest) = number(&rest[1..], 2)?;
    let (day, rest) = number(rest.strip_prefix(sign)?, 2)?;
    let day = NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)?;
    Some((Day::Sure(day), rest))
}

/// `9/17/2027`.
fn numbers(first: u32, rest: &str) -> Option<(Day, &str)> {
    let sign = rest.chars().next().filter(|sign| SIGNS.contains(sign))?;
    let (second, rest) = number(&rest[1..], 2)?;
    let (year, rest) = year(rest.strip_prefix(sign)?)?;
    Some((Day::Numbers(Numbers { first, second, year, sign }), rest))
}

/// `17 Sep 2027`, `17-Sep-2027`, `17. September 2027`, `17SEP2027`.
fn named(day: u32, rest: &str) -> Option<(Day, &str)> {
    let between: &[char] = &[' ', '-', '.', '/', ','];
    let (month, rest) = month(rest.trim_start_matches(between))?;
    let (year, rest) = year(rest.trim_start_matches(between))?;
    Some((Day::Sure(NaiveDate::from_ymd_opt(year, month, day)?), rest))
}

/// `Sep 17, 2027`.
fn month_named_first(text: &str) -> Option<(Day, &str)> {
    let (month, rest) = month(text)?;
    let (day, rest) = number(rest.trim_start_matches(['.', ' ', '-']), 2)?;
    let (year, rest) = year(rest.strip_prefix([',', ' ', '-'])?.trim_start())?;
    Some((Day::Sure(NaiveDate::from_ymd_opt(year, month, day)?), rest))
}

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// The month, in English, in full or by three letters (and `Sept`), and what comes after it.
fn month(text: &str) -> Option<(u32, &str)> {
    let end = text.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(text.len());
    let (word, rest) = (text[..end].to_ascii_lowercase(), &text[end..]);
    let is_it = |name: &str| {
        word == *name || word == name[..3] || (word == "sept" && name.starts_with("sept"))
    };
    let at = MONTHS.iter().position(|name| is_it(name))?;
    Some((u32::try_from(at + 1).ok()?, rest))
}

/// A year of four digits.
fn year(text: &str) -> Option<(i32, &str)> {
    let (year, rest) = number(text, 4)?;
    (text.len() - rest.len() == 4).then_some((i32::try_from(year).ok()?, rest))
}

/// The digits with which a text begins, if they are that many at most.
fn number(text: &str, most: usize) -> Option<(u32, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    Some((digits.parse().ok().filter(|_| end <= most)?, rest))
}

/// A time of day, `7:00`, `07:00:30`, `0700`, `7:00 AM`, `7 pm`, with an offset from UTC behind if there is one.
fn clock_time(text: &str) -> Option<(NaiveTime, Option<FixedOffset>)> {
    let lower = text.trim_start_matches(['T', 't', ' ']).to_ascii_lowercase();
    let (hours, mut rest) = number(&lower, 4)?;
    let digits = lower.len() - rest.len();
    let (hours, mut minutes, mut seconds, mut nanos) = match digits {
        4 => (hours / 100, Some(hours % 100), 0, 0),
        1 | 2 => (hours, None, 0, 0),
        _ => return None,
    };
    if digits < 4
        && let Some(behind) = rest.strip_prefix(':')
    {
        (minutes, rest) = two(behind).map(|(two, rest)| (Some(two), rest))?;
        if let Some(behind) = rest.strip_prefix(':') {
            (seconds, rest) = two(behind)?;
            if let Some(behind) = rest.strip_prefix('.') {
                let (_, after) = number(behind, 9)?;
                let part = &behind[..behind.len() - after.len()];
                nanos = format!("{part:0<9}").parse().ok()?;
                rest = after;
            }
        }
    }
    let half = [("am", 0), ("a.m.", 0), ("pm", 12), ("p.m.", 12)];
    let behind = rest.trim_start();
    let half = half.iter().find_map(|(word, add)| Some((behind.strip_prefix(word)?, *add)));
    let hours = match half {
        Some((after, add)) if (1..=12).contains(&hours) && digits < 4 => {
            rest = after;
            hours % 12 + add
        }
        Some(_) => return None,
        None => hours,
    };
    // Of an hour alone nobody knows that it is one.
    let minutes = minutes.or(half.map(|_| 0))?;
    let time = NaiveTime::from_hms_nano_opt(hours, minutes, seconds, nanos)?;
    let offset = if rest.trim().is_empty() { None } else { Some(offset_behind(rest)?) };
    Some((time, offset))
}

/// Two digits.
fn two(text: &str) -> Option<(u32, &str)> {
    let (number, rest) = number(text, 2)?;
    (text.len() - rest.len() == 2).then_some((number, rest))
}

/// An offset behind a time of day: `z`, `+01:00`, `utc-04:00`. A space stands before it, since 7:00-11:00 is from
/// seven to eleven; and none behind its sign.
fn offset_behind(text: &str) -> Option<FixedOffset> {
    let behind = text.strip_prefix(' ').map(str::trim);
    if text.trim() == "z" || behind == Some("utc") {
        return FixedOffset::east_opt(0);
    }
    let behind = behind?;
    let behind = behind.strip_prefix("utc").unwrap_or(behind).trim_start();
    let (hours, minutes) = behind.strip_prefix(['+', '-'])?.split_once(':')?;
    let ((hours, ""), (minutes, "")) = (two(hours)?, two(minutes)?) else { return None };
    let size =
        i32::try_from(hours * 3600 + minutes * 60).ok().filter(|_| hours <= 14 && minutes < 60)?;
    FixedOffset::east_opt(if behind.starts_with('-') { -size } else { size })
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{Duration, Timelike};
    use proptest::prelude::*;

    fn hint(_: &str) -> String {
        "as in the example".to_string()
    }

    fn local(text: &str) -> NaiveDateTime {
        NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").expect("a time")
    }

    fn clock() -> Clock {
        Clock::of(FixedOffset::west_opt(4 * 3600))
    }

    fn read_as(text: &str, orders: Orders) -> Option<NaiveDateTime> {
        read(text, &clock(), orders, hint).ok().map(|at| at.naive_local())
    }

    #[test]
    fn times_as_people_and_spreadsheets_write_them() {
        for text in [
            "9/17/2027 7:00 AM",
            "09/17/2027 07:00",
            "9/17/2027 7:00",
            "9/17/2027, 7:00 a.m.",
            "9/17/2027 7 AM",
            "17.09.2027 07:00",
            "17-09-2027 7:00",
            "2027-09-17 7:00",
            "2027/09/17 07:00",
            "2027-9-17 0700",
            "17 Sep 2027 0700",
            "17-Sep-2027 07:00",
            "17. September 2027 07:00",
            "17SEP2027 0700",
            "Sep 17, 2027 7:00 AM",
            "September 17 2027 07:00:00",
            "Sept. 17, 2027 7:00\u{202f}AM",
            "2027-09-17T07:00",
        ] {
            assert_eq!(read_as(text, Orders::default()), Some(local("2027-09-17 07:00")), "{text}");
        }
        let at = |text: &str| read(text, &clock(), Orders::default(), hint).ok();
        let utc = |hours: i32| FixedOffset::east_opt(hours * 3600).expect("an offset");
        for (text, offset) in [
            ("9/17/2027 7:00 AM -05:00", -5),
            ("17 Sep 2027 0700 UTC+02:00", 2),
            ("9/17/2027 7:00 Z", 0),
        ] {
            let expected = local("2027-09-17 07:00").and_local_timezone(utc(offset)).single();
            assert_eq!(at(text), expected, "{text}");
        }
        assert_eq!(
            read_as("9/17/2027 12:30 AM", Orders::default()),
            Some(local("2027-09-17 00:30"))
        );
        assert_eq!(
            read_as("9/17/2027 12:30 PM", Orders::default()),
            Some(local("2027-09-17 12:30"))
        );
    }

    #[test]
    fn what_is_no_time_or_has_two_readings_is_refused() {
        for text in [
            "9/17/2027",
            "7:00 AM",
            "9/17/27 7:00 AM",
            "9/31/2027 7:00",
            "13/13/2027 7:00",
            "9/17/2027 13:00 PM",
            "9/17/2027 0:30 AM",
            "9/17/2027 24:00",
            "9/17/2027 7",
            "9/17/2027 7:0",
            "9/17/2027 7:00-11:00",
            "9/17/2027 7:00 - 11:00",
            "9/17/2027 7:00 EST",
            "9/17.2027 7:00",
            "17 Sec 2027 0700",
            "20270917 0700",
            "9/17/2027 700",
            "",
        ] {
            let wrong = read(text, &clock(), Orders::default(), hint).map_err(|not| not.wrong);
            assert_eq!(wrong, Err("is not a time".to_string()), "{text}");
        }
        let two =
            read("9/10/2027 7:00", &clock(), Orders::default(), hint).expect_err("two readings");
        assert_eq!(two.wrong, TWO_READINGS);
    }

    #[test]
    fn the_order_that_is_settled_holds() {
        let [american, european] = [Order::MonthFirst, Order::DayFirst].map(Orders::stated);
        assert_eq!(read_as("9/10/2027 7:00", american), Some(local("2027-09-10 07:00")));
        assert_eq!(read_as("9/10/2027 7:00", european), Some(local("2027-10-09 07:00")));
        assert_eq!(read_as("2027-09-10 7:00", european), Some(local("2027-09-10 07:00")));
        let not = read("17/9/2027 7:00", &clock(), american, hint).expect_err("no month 17");
        assert_eq!(not.wrong, "is no day as month/day/year");
        assert!(not.advice.contains("2027-09-17"), "{}", not.advice);
        let day = |text: &str| read_day(text, american, hint).ok().map(|day| day.to_string());
        assert_eq!(day("9/10/2027").as_deref(), Some("2027-09-10"));
        assert_eq!(day("9/10/2027 0:00").as_deref(), Some("2027-09-10"));
        assert_eq!(day("10 Sep 2027").as_deref(), Some("2027-09-10"));
        assert_eq!(day("9/10/2027 7:00"), None);
    }

    /// Summer time in the United States in 2027 ended on 7 November at 2:00 and began on 14 March at 2:00 (15 U.S.C.
    /// 260a: from the second Sunday in March to the first in November); Eastern time is UTC-05:00, in summer -04:00.
    #[test]
    fn an_hour_that_came_twice_is_asked_about_and_one_that_never_came_is_refused() {
        let hours = |hours: i32| FixedOffset::east_opt(hours * 3600).expect("an offset");
        let changed = |at: &str, from: i32, to: i32| {
            let mut clock = Clock::of(Some(hours(from)));
            let at = local(at).and_local_timezone(hours(from)).single().expect("a time");
            clock.change(at, hours(to));
            clock
        };
        let autumn = changed("2027-11-07 02:00", -4, -5);
        let read = |text: &str, clock: &Clock| {
            super::read(text, clock, Orders::default(), hint).map(|at| at.to_rfc3339())
        };
        for (text, at) in [
            ("11/07/2027 00:59", "2027-11-07T00:59:00-04:00"),
            ("2027-11-07 02:00", "2027-11-07T02:00:00-05:00"),
            ("2027-11-07T01:30:00-05:00", "2027-11-07T01:30:00-05:00"),
            ("2027-11-30 06:00", "2027-11-30T06:00:00-05:00"),
            ("2027-09-17 06:00", "2027-09-17T06:00:00-04:00"),
        ] {
            let orders = super::read(text, &autumn, Orders::stated(Order::MonthFirst), hint);
            assert_eq!(orders.map(|at| at.to_rfc3339()).as_deref(), Ok(at), "{text}");
        }
        for text in ["2027-11-07 01:00", "2027-11-07 01:30", "2027-11-07 01:59"] {
            let not = read(text, &autumn).expect_err("two times");
            assert!(not.wrong.starts_with("came twice"), "{}", not.wrong);
            assert!(not.advice.contains("-04:00 if") && not.advice.contains("-05:00 if"));
        }
        assert!(autumn.is_twice(local("2027-11-07 01:30")));
        assert!(!autumn.is_twice(local("2027-11-07 02:00")));
        // Written in UTC, they are shown as the clock had them.
        for (written, shown) in [
            ("2027-11-07T05:30:00Z", "2027-11-07T01:30:00-04:00"),
            ("2027-11-07T06:30:00Z", "2027-11-07T01:30:00-05:00"),
        ] {
            let at = DateTime::parse_from_rfc3339(written).expect("a time");
            assert_eq!(autumn.shown(at).to_rfc3339(), shown);
        }
        let changes: Vec<_> = autumn.changes().map(|(at, to)| (at.to_rfc3339(), to)).collect();
        assert_eq!(changes, [("2027-11-07T02:00:00-04:00".to_string(), hours(-5))]);
        let spring = changed("2027-03-14 02:00", -5, -4);
        let not = read("2027-03-14 02:30", &spring).expect_err("no time");
        assert_eq!(not.wrong, "is a time that no clock showed");
        assert_eq!(read("2027-03-14 03:00", &spring).as_deref(), Ok("2027-03-14T03:00:00-04:00"));
        assert_eq!(read("2027-03-14 01:59", &spring).as_deref(), Ok("2027-03-14T01:59:00-05:00"));
    }

    proptest! {
        /// The forms are those of chrono's formatting; the calendar behind them is chrono's.
        #[test]
        fn printed_and_read_again_it_is_the_same(minutes in 0_i64..60 * 24 * 365 * 150) {
            let at = local("1950-01-01 00:00") + Duration::minutes(minutes);
            let [american, european] = [Order::MonthFirst, Order::DayFirst].map(Orders::stated);
            for (orders, forms) in [
                (american, ["%m/%d/%Y", "%-m/%-d/%Y", "%m-%d-%Y"]),
                (european, ["%d.%m.%Y", "%-d/%-m/%Y", "%d-%m-%Y"]),
                (american, ["%d %b %Y", "%B %-d, %Y", "%Y-%-m-%-d"]),
            ] {
                for form in forms {
                    for clock in ["%H:%M", "%-H:%M", "%H%M", "%-I:%M %p", "%I:%M%P", "%H:%M:%S"] {
                        let text = at.format(&format!("{form} {clock}")).to_string();
                        prop_assert_eq!(read_as(&text, orders), Some(at), "{}", text);
                    }
                    let text = at.format(form).to_string();
                    prop_assert_eq!(read_day(&text, orders, hint).ok(), Some(at.date()), "{}", text);
                }
            }
        }

        /// However the clocks were changed, a time that is read is one at which they show it, and of the points in
        /// time at which they do none is missed.
        #[test]
        fn a_time_is_read_by_the_clock_that_shows_it(
            change in 0_i64..2000, shift in prop::sample::select(vec![-120_i32, -60, -30, 30, 60, 120]), at in 0_i64..2000,
        ) {
            let old = FixedOffset::east_opt(3600).expect("an offset");
            let new = FixedOffset::east_opt(3600 + shift * 60).expect("an offset");
            let start = local("2031-10-25 00:00");
            let from = (start + Duration::minutes(change)).and_local_timezone(old).single().expect("a time");
            let mut clock = Clock::of(Some(old));
            clock.change(from, new);
            let shown = start + Duration::minutes(at);
            let shows = |at: DateTime<FixedOffset>| {
                let held = if at < from { old } else { new };
                at.with_timezone(&held).naive_local()
            };
            let all: Vec<_> = [old, new]
                .into_iter()
                .filter_map(|offset| shown.and_local_timezone(offset).single())
                .filter(|at| shows(*at) == shown)
                .collect();
            match (clock.at(shown).expect("an offset"), all.as_slice()) {
                (Told::Once(one), [all]) => prop_assert_eq!(one, *all),
                (Told::Twice(one, two), [first, second]) => prop_assert_eq!((one, two), (*first, *second)),
                (Told::Never(..), []) => {}
                (told, all) => prop_assert!(false, "{:?} {:?}", told, all),
            }
            prop_assert_eq!(shown.second(), 0);
        }

        #[test]
        fn no_text_panics(text in "[-0-9 /.:,+TZapmSept\u{202f}]{0,24}") {
            let _ = read(&text, &clock(), Orders::default(), hint);
            let _ = read_day(&text, Orders::default(), hint);
            let _ = Numbers::begin(&text);
        }
    }
}
