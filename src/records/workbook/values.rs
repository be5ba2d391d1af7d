//! What a cell holds, as the text, the day or the moment that it means. Numbers that stand for dates are turned
//! into them here, and only where they are dates: a file may hold any number under any format.

use calamine::{Data, ExcelDateTime, ExcelDateTimeType};
use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, Timelike};

/// What a cell holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// Text, or a truth value as text.
    Text(String),
    Number(Number),
    Dated(Dated),
    /// A time of day or a length of time alone, as it is shown: `06:40:00`.
    Hours(String),
    /// A number that is shown as a date and that no calendar has: the number.
    NoDate(String),
    /// A formula whose value the file does not hold.
    NotCalculated,
    /// What a spreadsheet shows in place of a result: `#REF!`.
    Error(String),
}

/// A number, as it is held and as it is shown.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Number {
    /// As it is held, with the digits that a spreadsheet keeps.
    pub held: String,
    /// As it is shown with fewer digits, where that is another number.
    pub rounded: Option<String>,
    /// Whether it is shown in per cent.
    pub is_share: bool,
}

impl Number {
    fn new(number: f64, shown: Shown) -> Self {
        let shown_number = if shown.as_share { number * 100.0 } else { number };
        let rounded = shown.decimals.and_then(|decimals| {
            let text = format!("{shown_number:.*}", usize::from(decimals));
            let off = (text.parse::<f64>().ok()? - shown_number).abs();
            (off > 1e-9 * shown_number.abs().max(1.0)).then_some(text)
        });
        Self { held: number_text(number), rounded, is_share: shown.as_share }
    }

    /// The number as a CSV file has it: a share as it is shown, `58%`.
    pub fn text(&self) -> String {
        let share = self.held.parse::<f64>().ok().filter(|_| self.is_share);
        share.map_or(self.held.clone(), |share| format!("{}%", number_text(share * 100.0)))
    }
}

/// A date, with a time of day or alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Dated {
    pub at: NaiveDateTime,
    /// Whether a time of day belongs to it, be it midnight.
    pub has_time: bool,
    /// The number that the cell holds: days from the day from which its workbook counts.
    pub number: f64,
}

impl Dated {
    /// The date, or the moment as a column of such has it: with its time of day, if any in the column has one.
    pub fn text(&self, with_time: bool) -> String {
        match self.has_time && with_time {
            true => self.at.format("%Y-%m-%dT%H:%M:%S%.f").to_string(),
            false => self.at.date().to_string(),
        }
    }

    /// The number that the cell holds, as a text.
    pub fn number(&self) -> String {
        number_text(self.number)
    }
}

/// How a number is shown, as far as that says what it is.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub(super) struct Shown {
    /// In per cent.
    pub as_share: bool,
    /// As a date with a time of day.
    pub with_time: bool,
    /// With so many decimals; of a share those of the per cent.
    pub decimals: Option<u8>,
}

impl Shown {
    /// By the code of a cell's format, ISO/IEC 29500-1, 18.8.31: hours are `h`; what stands in quotation marks, in
    /// brackets or behind a stroke is no code.
    pub fn by(code: &str) -> Self {
        let as_share = code.contains('%');
        let mut with_time = false;
        let mut chars = code.chars();
        while let Some(c) = chars.next() {
            match c {
                '"' => _ = chars.find(|c| *c == '"'),
                '[' => _ = chars.find(|c| *c == ']'),
                '\\' => _ = chars.next(),
                'h' | 'H' => with_time = !as_share,
                _ => {}
            }
        }
        Self { as_share, with_time, decimals: decimals(code) }
    }

    /// Of a number that is shown as a text, in whichever country's way: with so many decimals, if the text is the
    /// number rounded to them.
    pub fn decimals_of(number: f64, text: &str) -> Option<u8> {
        let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
        let plain =
            |c: char| c.is_ascii_digit() || ".,-+\u{2212}'\u{2019} \u{a0}\u{202f}%".contains(c);
        let shown = digits(text);
        if shown.is_empty() || !text.chars().all(plain) {
            return None;
        }
        (0..=MOST_DECIMALS)
            .find(|n| digits(&format!("{:.*}", usize::from(*n), number.abs())) == shown)
    }
}

/// As many decimals as a spreadsheet keeps of a number.
const MOST_DECIMALS: u8 = 15;

/// The decimals of a format that shows nothing but a number, or a number in per cent: `0.00`, `#,##0.0`, `0%`.
fn decimals(code: &str) -> Option<u8> {
    let positive = code.split(';').next().unwrap_or_default();
    // An underscore makes room as wide as the sign behind it.
    let (mut plain, mut chars) = (String::new(), positive.chars());
    while let Some(c) = chars.next() {
        match c {
            '_' => _ = chars.next(),
            c => plain.push(c),
        }
    }
    let plain = plain.trim().trim_end_matches('%');
    let (whole, part) = plain.split_once('.').unwrap_or((plain, ""));
    let is_whole = whole.ends_with(['0', '#']) && whole.chars().all(|c| "#,0".contains(c));
    let is_part = part.chars().all(|c| c == '0');
    let count = u8::try_from(part.len()).ok().filter(|count| *count <= MOST_DECIMALS);
    count.filter(|_| is_whole && is_part)
}

/// What a cell holds, if it holds anything.
pub(super) fn to_cell(data: &Data, shown: Shown) -> Option<Cell> {
    let text = match data {
        Data::Empty => return None,
        Data::Int(number) => {
            let held = number.to_string();
            return Some(Cell::Number(Number { held, rounded: None, is_share: false }));
        }
        Data::Float(number) => return Some(Cell::Number(Number::new(*number, shown))),
        Data::Bool(truth) => truth.to_string(),
        Data::String(text) => text.clone(),
        Data::Error(error) => return Some(Cell::Error(error.to_string())),
        Data::DurationIso(text) => match time_of_day(text) {
            Some(time) => return Some(Cell::Hours(time)),
            None => text.clone(),
        },
        Data::DateTimeIso(text) => return Some(iso(text, shown.with_time)),
        Data::DateTime(serial) => return Some(counted(*serial, shown.with_time)),
    };
    (!text.trim().is_empty()).then_some(Cell::Text(text))
}

/// What a number of days means under a format of dates or of lengths of time. Below 1 there is no day: a time of
/// day alone. A length of a day or more is the hours, minutes and seconds that are shown, which no column takes
/// for a number of something else.
fn counted(serial: ExcelDateTime, with_time: bool) -> Cell {
    let days = serial.as_f64();
    match moment(days, 0.0) {
        Some(moment) if (0.0..1.0).contains(&days) => Cell::Hours(moment.time().to_string()),
        Some(_) if serial.is_duration() => Cell::Hours(length(days)),
        _ if serial.is_duration() => Cell::Hours(number_text(days)),
        _ => match calendar(&serial) {
            Some(moment) => dated(moment, with_time, days),
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
fn dated(at: NaiveDateTime, with_time: bool, number: f64) -> Cell {
    Cell::Dated(Dated { at, has_time: with_time || at.time() != NaiveTime::MIN, number })
}

/// The moment to which a plain number of days counts in a workbook that counts from 1899-12-30.
pub(super) fn moment_of(days: f64) -> Option<NaiveDateTime> {
    calendar(&ExcelDateTime::new(days, ExcelDateTimeType::DateTime, false))
}

/// A date or a date with a time as OpenDocument has them; with an offset it stays the text that it is. On the
/// day from which serial numbers count stands what is a time of day alone: a spreadsheet that turns a workbook
/// into OpenDocument may write it so.
fn iso(text: &str, with_time: bool) -> Cell {
    let moment = NaiveDateTime::parse_from_str(text, "%Y-%m-%dT%H:%M:%S%.f").ok().map(rounded);
    let day = || NaiveDate::parse_from_str(text, "%Y-%m-%d").ok();
    let Some(zero) = NaiveDate::from_ymd_opt(1899, 12, 30) else { return Cell::Text(text.into()) };
    let days = |at: NaiveDateTime| {
        let since = at.signed_duration_since(zero.and_time(NaiveTime::MIN));
        since.num_milliseconds() as f64 / 86_400_000.0
    };
    match moment {
        Some(at) if at.date() == zero => Cell::Hours(at.time().to_string()),
        Some(at) => dated(at, true, days(at)),
        None => match day().map(|day| day.and_time(NaiveTime::MIN)) {
            Some(at) => dated(at, with_time, days(at)),
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

    /// A date with its time of day, or alone; the number that counts to it.
    fn dated_as(at: NaiveDateTime, has_time: bool, number: f64) -> Cell {
        Cell::Dated(Dated { at, has_time, number })
    }

    fn serial(days: f64, shown: Shown) -> Option<Cell> {
        let kind = ExcelDateTimeType::DateTime;
        to_cell(&Data::DateTime(ExcelDateTime::new(days, kind, false)), shown)
    }

    #[test]
    fn moments_are_told_to_the_second_that_was_meant() {
        // 2031-04-09 is day 47 947 of the 1900 date system: 2031-01-01 is 47 849 (openpyxl's to_excel).
        let at = |h, m| {
            let day = NaiveDate::from_ymd_opt(2031, 4, 9);
            day.and_then(|day| day.and_hms_opt(h, m, 0)).expect("a time")
        };
        for number in [47_947.0 + 400.0 / 1440.0, 47_947.277_777_777_73] {
            let cell = serial(number, Shown::default());
            assert_eq!(cell, Some(dated_as(at(6, 40), true, number)));
        }
        assert_eq!(serial(0.25, Shown::default()), Some(Cell::Hours("06:00:00".into())));
        assert_eq!(
            serial(47_947.500_000_01, Shown::default()),
            Some(dated_as(at(12, 0) + TimeDelta::milliseconds(1), true, 47_947.500_000_01))
        );
        let Cell::Dated(rounded) = iso("2031-04-09T06:39:59.999999999", false) else {
            panic!("a date")
        };
        assert_eq!(rounded.at, at(6, 40));
        assert_eq!(iso("2031-04-09", false), dated_as(at(0, 0), false, 47_947.0));
        assert_eq!(iso("2031-04-09T00:00:00", false), dated_as(at(0, 0), true, 47_947.0));
        assert_eq!(iso("1899-12-30T14:30:00", false), Cell::Hours("14:30:00".into()));
        assert_eq!(time_of_day("PT14H30M00S").as_deref(), Some("14:30:00"));
        assert_eq!(time_of_day("PT06H05M00.5S").as_deref(), Some("06:05:00.500"));
        assert_eq!(time_of_day("PT30H00M00S"), None);
        assert_eq!(iso("2031-04-09T06:40:00Z", false), Cell::Text("2031-04-09T06:40:00Z".into()));
        let text = |time| Dated { at: at(6, 40), has_time: true, number: 0.0 }.text(time);
        assert_eq!(text(true), "2031-04-09T06:40:00");
        assert_eq!(text(false), "2031-04-09");
    }

    #[test]
    fn midnight_is_a_time_only_where_it_is_shown() {
        let midnight = |code: &str| serial(47_947.0, Shown::by(code));
        let day = NaiveDate::from_ymd_opt(2031, 4, 9).expect("a day").and_time(NaiveTime::MIN);
        for code in ["m/d/yy h:mm", "yyyy-mm-dd HH:MM", "[$-409]h:mm AM/PM"] {
            assert_eq!(midnight(code), Some(dated_as(day, true, 47_947.0)), "{code}");
        }
        for code in ["yyyy-mm-dd", "m/d/yy", "[White]d mmm", "d\\h", "d \"th\""] {
            assert_eq!(midnight(code), Some(dated_as(day, false, 47_947.0)), "{code}");
        }
    }

    #[test]
    fn a_number_that_is_shown_with_fewer_digits_is_shown_as_another() {
        let rounded = |number: f64, code: &str| match to_cell(&Data::Float(number), Shown::by(code))
        {
            Some(Cell::Number(number)) => (number.text(), number.rounded),
            other => panic!("{other:?}"),
        };
        for (number, code, text, shown) in [
            (12.4, "0", "12.4", Some("12")),
            (12.4, "0.0", "12.4", None),
            (1234.567, "#,##0.00_ ;-#,##0.00", "1234.567", Some("1234.57")),
            (0.1 + 0.2, "0.00", "0.3", None),
            (0.2284, "0%", "22.84%", Some("23")),
            (0.58, "0%", "58%", None),
            (12.4, "General", "12.4", None),
            (0.375, "# ?/?", "0.375", None),
            (1234.5, "0,", "1234.5", None),
        ] {
            assert_eq!(rounded(number, code), (text.into(), shown.map(String::from)), "{code}");
        }
        for (number, text, decimals) in [
            (12.345, "12.35", Some(2)),
            (12.345, "12,35", Some(2)),
            (1234.6, "1.235", Some(0)),
            (-12.0, "\u{2212}12", Some(0)),
            (0.375, "3/8", None),
            (12.0, "12 m", None),
            (12.0, "13", None),
        ] {
            assert_eq!(Shown::decimals_of(number, text), decimals, "{text}");
        }
    }

    /// Serial numbers of days as ISO/IEC 29500-1, 18.17.4.1 and .2 give them.
    #[test]
    fn days_are_counted_as_the_standard_counts_them() {
        let of = |value, since_1904| {
            let kind = ExcelDateTimeType::DateTime;
            counted(ExcelDateTime::new(value, kind, since_1904), false)
        };
        for (number, since_1904, day) in [
            (61.0, false, (1900, 3, 1)),
            (2_958_465.0, false, (9999, 12, 31)),
            (38_749.0, false, (2006, 2, 1)),
            (37_287.0, true, (2006, 2, 1)),
            (2_957_003.0, true, (9999, 12, 31)),
        ] {
            let day = NaiveDate::from_ymd_opt(day.0, day.1, day.2).expect("a day");
            let day = dated_as(day.and_time(NaiveTime::MIN), false, number);
            assert_eq!(of(number, since_1904), day);
        }
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
        let text = |text: &str| Cell::Hours(text.to_string());
        assert_eq!(length(0.25), text("06:00:00"));
        assert_eq!(length(1.5), text("36:00:00"));
        assert_eq!(length(-1e15), text("-1000000000000000"));
        assert_eq!(length(f64::NAN), text("NaN"));
    }
}
