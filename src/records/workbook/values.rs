//! What a cell holds, as the text, the day or the moment that it means. Numbers that stand for dates are turned
//! into them here, and only where they are dates: a file may hold any number under any format.

use calamine::{Data, ExcelDateTime, ExcelDateTimeType};
use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, Timelike};

/// What a cell holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// Text, or a number or a truth value as text.
    Text(String),
    /// A date with a time of day.
    Moment(NaiveDateTime),
    /// A date alone.
    Day(NaiveDate),
    /// A number that is shown as a date and that no calendar has: the number.
    NoDate(String),
    /// A formula whose value the file does not hold.
    NotCalculated,
}

impl Cell {
    /// A date, or a moment as a column of such has it: with its time of day, if any in the column has one.
    pub fn dated(&self, with_time: bool) -> Option<String> {
        match self {
            Cell::Moment(moment) if with_time => {
                Some(moment.format("%Y-%m-%dT%H:%M:%S%.f").to_string())
            }
            Cell::Moment(moment) => Some(moment.date().to_string()),
            Cell::Day(day) => Some(day.to_string()),
            Cell::Text(_) | Cell::NoDate(_) | Cell::NotCalculated => None,
        }
    }
}

/// How a number is shown, as far as that says what it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shown {
    Plainly,
    /// In per cent.
    AsShare,
    /// As a date with a time of day.
    WithTime,
}

impl Shown {
    /// By the code of a cell's format, ISO/IEC 29500-1, 18.8.31: hours are `h`; what stands in quotation marks, in
    /// brackets or behind a stroke is no code.
    pub fn by(code: &str) -> Self {
        if code.contains('%') {
            return Self::AsShare;
        }
        let mut chars = code.chars();
        let mut with_time = false;
        while let Some(c) = chars.next() {
            match c {
                '"' => _ = chars.find(|c| *c == '"'),
                '[' => _ = chars.find(|c| *c == ']'),
                '\\' => _ = chars.next(),
                'h' | 'H' => with_time = true,
                _ => {}
            }
        }
        if with_time { Self::WithTime } else { Self::Plainly }
    }
}

/// What a cell holds, if it holds anything.
pub(super) fn to_cell(data: &Data, shown: Shown) -> Option<Cell> {
    let text = match data {
        Data::Empty => return None,
        Data::Int(number) => number.to_string(),
        Data::Float(number) if shown == Shown::AsShare => {
            format!("{}%", number_text(number * 100.0))
        }
        Data::Float(number) => number_text(*number),
        Data::Bool(truth) => truth.to_string(),
        Data::String(text) => text.clone(),
        Data::Error(error) => error.to_string(),
        Data::DurationIso(text) => time_of_day(text).unwrap_or_else(|| text.clone()),
        Data::DateTimeIso(text) => return Some(iso(text, shown == Shown::WithTime)),
        Data::DateTime(serial) => return Some(counted(*serial, shown == Shown::WithTime)),
    };
    (!text.trim().is_empty()).then_some(Cell::Text(text))
}

/// What a number of days means under a format of dates or of lengths of time. Below 1 there is no day: a time of
/// day alone. A length of a day or more is the hours, minutes and seconds that are shown, which no column takes
/// for a number of something else.
fn counted(serial: ExcelDateTime, with_time: bool) -> Cell {
    let days = serial.as_f64();
    match moment(days, 0.0) {
        Some(moment) if (0.0..1.0).contains(&days) => Cell::Text(moment.time().to_string()),
        Some(_) if serial.is_duration() => Cell::Text(length(days)),
        _ if serial.is_duration() => Cell::Text(number_text(days)),
        _ => match calendar(&serial) {
            Some(moment) => dated(moment, with_time),
            None => Cell::NoDate(number_text(days)),
        },
    }
}

/// The day that a serial number counts to, ISO/IEC 29500-1, 18.17.4: from 1899-12-30, which is right from
/// 1900-03-01 on; of earlier days programs disagree, since one of them has a 29 February 1900. Or from
/// 1904-01-01. `None` outside the years that the formats bound.
fn calendar(serial: &ExcelDateTime) -> Option<NaiveDateTime> {
    let days = serial.as_f64();
    let since_1904 = *serial == ExcelDateTime::new(days, ExcelDateTimeType::DateTime, true);
    let shift = if since_1904 { DAYS_TO_1904 } else { 0.0 };
    let reliable = SERIAL_OF_MARCH_1900..SERIAL_OF_YEAR_10000;
    moment(days, shift).filter(|_| days >= 0.0 && reliable.contains(&(days + shift)))
}

const DAYS_TO_1904: f64 = 1462.0;
const SERIAL_OF_MARCH_1900: f64 = 61.0;
const SERIAL_OF_YEAR_10000: f64 = 2_958_466.0;

/// Days from 1899-12-30 as a moment, to the millisecond: a spreadsheet keeps a moment as a fraction of days,
/// which meets no second exactly. `None` for days before it, or far too many.
fn moment(days: f64, shift: f64) -> Option<NaiveDateTime> {
    let within = (0.0..SERIAL_OF_YEAR_10000).contains(&(days + shift));
    let milliseconds = ((days + shift) * 86_400_000.0).round();
    let since = within.then(|| TimeDelta::try_milliseconds(milliseconds as i64))??;
    let zero = NaiveDate::from_ymd_opt(1899, 12, 30)?.and_time(NaiveTime::MIN);
    zero.checked_add_signed(since)
}

/// A length of time in days as it is shown.
fn length(days: f64) -> String {
    let seconds = (days * 86_400.0).round() as i64;
    format!("{}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)
}

/// A date; with its time of day, unless that is midnight and nothing says that it was meant.
fn dated(moment: NaiveDateTime, with_time: bool) -> Cell {
    if with_time || moment.time() != NaiveTime::MIN {
        Cell::Moment(moment)
    } else {
        Cell::Day(moment.date())
    }
}

/// A date or a date with a time as OpenDocument has them; with an offset it stays the text that it is. On the
/// day from which serial numbers count stands what is a time of day alone: a spreadsheet that turns a workbook
/// into OpenDocument may write it so.
fn iso(text: &str, with_time: bool) -> Cell {
    let moment = NaiveDateTime::parse_from_str(text, "%Y-%m-%dT%H:%M:%S%.f").ok().map(rounded);
    let day = || NaiveDate::parse_from_str(text, "%Y-%m-%d").ok();
    match (moment, NaiveDate::from_ymd_opt(1899, 12, 30)) {
        (Some(moment), Some(zero)) if moment.date() == zero => {
            Cell::Text(moment.time().to_string())
        }
        (Some(moment), _) => Cell::Moment(moment),
        (None, _) => match day() {
            Some(day) => dated(day.and_time(NaiveTime::MIN), with_time),
            None => Cell::Text(text.to_string()),
        },
    }
}

/// A length of time as OpenDocument has it, `PT14H30M00S`, as the time of day that is shown; `None` for a
/// day or more.
fn time_of_day(text: &str) -> Option<String> {
    let (hours, rest) = text.strip_prefix("PT")?.split_once('H')?;
    let (minutes, rest) = rest.split_once('M')?;
    let seconds = rest.strip_suffix('S')?;
    let text = format!("{hours:0>2}:{minutes:0>2}:{seconds:0>2}");
    NaiveTime::parse_from_str(&text.replace(',', "."), "%H:%M:%S%.f")
        .ok()
        .map(|time| time.to_string())
}

/// To the millisecond, as moments that are counted in days are.
fn rounded(moment: NaiveDateTime) -> NaiveDateTime {
    let half = chrono::TimeDelta::microseconds(500);
    let later = moment.checked_add_signed(half).unwrap_or(moment);
    later.with_nanosecond(later.nanosecond() / 1_000_000 * 1_000_000).unwrap_or(later)
}

/// A number with fifteen digits, which is what spreadsheets keep of those typed in: the rest of a calculated
/// one is noise of binary fractions.
fn number_text(number: f64) -> String {
    let fifteen = format!("{number:.14e}");
    let exponent = fifteen.split_once('e').and_then(|(_, e)| e.parse::<i32>().ok()).unwrap_or(0);
    let kept: f64 = fifteen.parse().unwrap_or(number);
    if kept == 0.0 {
        "0".to_string()
    } else if (-7..=15).contains(&exponent) {
        kept.to_string()
    } else {
        format!("{kept:e}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_the_digits_that_were_typed() {
        for (number, text) in [
            (12.0, "12"),
            (0.1 + 0.2, "0.3"),
            (-0.0, "0"),
            (12.40, "12.4"),
            (1_234_567_890_123.0, "1234567890123"),
            (1_234_567.891, "1234567.891"),
            (1.1e-5, "0.000011"),
            (1e300, "1e300"),
            (2.5e-12, "2.5e-12"),
        ] {
            assert_eq!(number_text(number), text);
        }
    }

    #[test]
    fn moments_are_told_to_the_second_that_was_meant() {
        // 2031-04-09 is day 47 947 of the 1900 date system: 2031-01-01 is 47 849 (openpyxl's to_excel).
        let serial = |value| {
            let kind = calamine::ExcelDateTimeType::DateTime;
            to_cell(
                &Data::DateTime(calamine::ExcelDateTime::new(value, kind, false)),
                Shown::Plainly,
            )
        };
        let at = |h, m| NaiveDate::from_ymd_opt(2031, 4, 9).and_then(|d| d.and_hms_opt(h, m, 0));
        assert_eq!(serial(47_947.0 + 400.0 / 1440.0), at(6, 40).map(Cell::Moment));
        assert_eq!(serial(47_947.277_777_777_73), at(6, 40).map(Cell::Moment));
        assert_eq!(serial(0.25), Some(Cell::Text("06:00:00".into())));
        assert_eq!(
            serial(47_947.500_000_01),
            at(12, 0).map(|at| { Cell::Moment(at + TimeDelta::milliseconds(1)) })
        );
        assert_eq!(
            iso("2031-04-09T06:39:59.999999999", false),
            Cell::Moment(at(6, 40).expect("a time"))
        );
        assert_eq!(iso("2031-04-09", false), Cell::Day(at(0, 0).expect("a time").date()));
        assert_eq!(iso("2031-04-09T00:00:00", false), Cell::Moment(at(0, 0).expect("a time")));
        assert_eq!(iso("1899-12-30T14:30:00", false), Cell::Text("14:30:00".into()));
        assert_eq!(time_of_day("PT14H30M00S").as_deref(), Some("14:30:00"));
        assert_eq!(time_of_day("PT06H05M00.5S").as_deref(), Some("06:05:00.500"));
        assert_eq!(time_of_day("PT30H00M00S"), None);
        assert_eq!(iso("2031-04-09T06:40:00Z", false), Cell::Text("2031-04-09T06:40:00Z".into()));
        let text = |time| Cell::Moment(at(6, 40).expect("a time")).dated(time);
        assert_eq!(text(true).as_deref(), Some("2031-04-09T06:40:00"));
        assert_eq!(text(false).as_deref(), Some("2031-04-09"));
    }

    #[test]
    fn midnight_is_a_time_only_where_it_is_shown() {
        let midnight = |code: &str| {
            let kind = calamine::ExcelDateTimeType::DateTime;
            let serial = calamine::ExcelDateTime::new(47_947.0, kind, false);
            to_cell(&Data::DateTime(serial), Shown::by(code))
        };
        let day = NaiveDate::from_ymd_opt(2031, 4, 9).expect("a day");
        for code in ["m/d/yy h:mm", "yyyy-mm-dd HH:MM", "[$-409]h:mm AM/PM"] {
            assert_eq!(midnight(code), Some(Cell::Moment(day.and_time(NaiveTime::MIN))), "{code}");
        }
        for code in ["yyyy-mm-dd", "m/d/yy", "[White]d mmm", "d\\h", "d \"th\""] {
            assert_eq!(midnight(code), Some(Cell::Day(day)), "{code}");
        }
    }

    /// Serial numbers of days as ISO/IEC 29500-1, 18.17.4.1 and .2 give them.
    #[test]
    fn days_are_counted_as_the_standard_counts_them() {
        let of = |value, since_1904| {
            let kind = ExcelDateTimeType::DateTime;
            counted(ExcelDateTime::new(value, kind, since_1904), false)
        };
        let day = |y, m, d| Cell::Day(NaiveDate::from_ymd_opt(y, m, d).expect("a day"));
        assert_eq!(of(61.0, false), day(1900, 3, 1));
        assert_eq!(of(2_958_465.0, false), day(9999, 12, 31));
        assert_eq!(of(38_749.0, false), day(2006, 2, 1));
        assert_eq!(of(37_287.0, true), day(2006, 2, 1));
        assert_eq!(of(2_957_003.0, true), day(9999, 12, 31));
    }

    #[test]
    fn a_number_that_is_no_date_stays_a_number() {
        let no_date = |value: f64, since_1904| {
            let kind = ExcelDateTimeType::DateTime;
            let cell = counted(ExcelDateTime::new(value, kind, since_1904), true);
            assert!(matches!(&cell, Cell::NoDate(_)), "{value}: {cell:?}");
        };
        for value in [
            -1e15,
            1e15,
            -1e300,
            1e300,
            f64::MAX,
            f64::MIN,
            f64::NAN,
            f64::INFINITY,
            -1.0,
            -1e-9,
            1.0,
            60.9,
            2_958_466.0,
            9.3e15,
        ] {
            no_date(value, false);
        }
        for value in [-1e15, -1462.0, -1.0, 2_957_004.0, f64::NAN, f64::NEG_INFINITY] {
            no_date(value, true);
        }
        let length =
            |value| counted(ExcelDateTime::new(value, ExcelDateTimeType::TimeDelta, false), false);
        let text = |text: &str| Cell::Text(text.to_string());
        assert_eq!(length(0.25), text("06:00:00"));
        assert_eq!(length(1.5), text("36:00:00"));
        assert_eq!(length(-1e15), text("-1000000000000000"));
        assert_eq!(length(f64::NAN), text("NaN"));
    }
}
