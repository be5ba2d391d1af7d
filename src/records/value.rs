//! From the text of one cell to a value, converted while its place is still known.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate};

pub use super::grammar::InvalidValue;
use super::grammar::lengths::{self, TwelveInches};
use super::grammar::times::{self, Clock, Orders, Told};
use super::grammar::{grades, invalid, is_digits, numbers, words};
use super::hints;
use super::spec::{Holds, Range};
use crate::units::{Unit, nine_digits, one_of};
use crate::words::in_cell;

/// A value as the program keeps it.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Text, a name, a word, or an id.
    Text(Arc<str>),
    /// A list of ids, empty if the word `none` was written; or a list of texts.
    List(Vec<String>),
    /// A number in the kept unit of its quantity.
    Number(f64),
    /// The word `none` where a bound might stand.
    NoBound,
    /// A whole number.
    Whole(i64),
    /// A point in time with its offset.
    Time(DateTime<FixedOffset>),
    /// A day.
    Date(NaiveDate),
    /// Yes or no.
    Flag(bool),
    /// An offset from UTC.
    Offset(FixedOffset),
}

impl Value {
    /// The value as a cell has it: a number in `unit`, or in the kept one where none is given.
    pub fn text(&self, unit: Option<&Unit>) -> String {
        match self {
            Value::Text(text) => text.to_string(),
            Value::List(ids) if ids.is_empty() => "none".to_string(),
            Value::List(ids) => ids.join(";"),
            Value::Number(kept) => nine_digits(unit.map_or(*kept, |unit| unit.from_kept(*kept))),
            Value::NoBound => "none".to_string(),
            Value::Whole(number) => number.to_string(),
            Value::Time(time) => time.to_rfc3339(),
            Value::Date(date) => date.to_string(),
            Value::Flag(flag) => if *flag { "yes" } else { "no" }.to_string(),
            Value::Offset(offset) => offset.to_string(),
        }
    }
}

/// The form in which a cell keeps what a column holds.
#[derive(Clone, Copy)]
pub enum Form {
    Text,
    List,
    Number,
    Whole,
    Time,
    Date,
    Flag,
    Offset,
}

/// What a field of a record takes of a typed cell.
pub trait Field: Sized {
    /// The form of the cells that it takes.
    const FORM: Form;
    /// The words that it takes, if it takes no others.
    const WORDS: &'static [&'static str] = &[];
    /// Whether a record can do without it.
    const MAY_BE_ABSENT: bool = false;

    fn from_value(value: &Value) -> Option<Self>;

    /// What it is where nothing was written; `None` where the record can't do without.
    fn absent() -> Option<Self> {
        None
    }
}

impl<T: Field> Field for Option<T> {
    const FORM: Form = T::FORM;
    const WORDS: &'static [&'static str] = T::WORDS;
    const MAY_BE_ABSENT: bool = true;

    fn from_value(value: &Value) -> Option<Self> {
        Some(T::from_value(value))
    }

    fn absent() -> Option<Self> {
        Some(None)
    }
}

/// Fields that take a value of one form as it is.
macro_rules! takes {
    ($($type:ty: $form:ident($value:ident) => $taken:expr $(, else $absent:expr)?;)*) => {$(
        impl Field for $type {
            const FORM: Form = Form::$form;
            $(
                const MAY_BE_ABSENT: bool = true;

                fn absent() -> Option<Self> {
                    Some($absent)
                }
            )?

            fn from_value(value: &Value) -> Option<Self> {
                match value {
                    Value::$form($value) => Some($taken),
                    _ => None,
                }
            }
        }
    )*};
}

takes! {
    String: Text(text) => text.to_string();
    Arc<str>: Text(text) => text.clone();
    f64: Number(number) => *number;
    i64: Whole(number) => *number;
    bool: Flag(flag) => *flag, else false;
    DateTime<FixedOffset>: Time(time) => *time;
    NaiveDate: Date(date) => *date;
    FixedOffset: Offset(offset) => *offset;
    Vec<String>: List(list) => list.clone(), else Vec::new();
}

/// What parsing a cell needs beside its text.
#[derive(Debug, Clone, Copy)]
pub struct Reading<'a> {
    /// The unit that ends the column's name.
    pub unit: Option<&'a Unit>,
    /// The clock for times written without an offset.
    pub clock: &'a Clock,
    /// Whether the day or the month comes first in dates in which that is open.
    pub orders: Orders,
    /// Whether a number may have a decimal comma.
    pub comma: bool,
}

/// Parses a text that is not empty. White space around it has been taken away.
pub fn parse(text: &str, holds: Holds, with: Reading<'_>) -> Result<Value, InvalidValue> {
    match holds {
        _ if with.comma && has_comma(text, holds) => {
            parse(&text.replace(',', "."), holds, Reading { comma: false, ..with })
        }
        Holds::Id(_) | Holds::Part(_) => id(text).map(as_text),
        Holds::Ref(_) => reference(text).map(as_text),
        Holds::Refs(_) => list(text, reference).map(Value::List),
        Holds::AnyRefs => list(text, qualified_id).map(Value::List),
        Holds::Text | Holds::Called => Ok(as_text(text)),
        Holds::Texts => Ok(Value::List(vec![text.to_string()])),
        Holds::Name => id(text)
            .map_err(|not| InvalidValue { wrong: "is not a valid name".to_string(), ..not })
            .map(as_text),
        Holds::Word(words) => word(text, words).map(as_text),
        Holds::Words(known) => list_of_words(text, known).map(Value::List),
        Holds::Grade => grade(text).map(as_text),
        Holds::Grades => list(text, grade).map(Value::List),
        Holds::Whole { least } => whole(text, least).map(Value::Whole),
        Holds::Number(range) => {
            number(text, with).and_then(|n| within(n, n, range)).map(Value::Number)
        }
        Holds::Bound(_) if text.eq_ignore_ascii_case("none") => Ok(Value::NoBound),
        Holds::Bound(quantity) => parse(text, Holds::Measure(quantity, Range::Positive), with),
        Holds::Measure(_, range) => measure(text, with, false, range),
        Holds::Draft => measure(text, with, true, Range::Positive),
        Holds::Time => times::read(text, with.clock, with.orders, hints::time).map(Value::Time),
        Holds::Date => times::read_day(text, with.orders, hints::date).map(Value::Date),
        Holds::Flag => flag(text).map(Value::Flag),
        Holds::Offset => offset(text).map(Value::Offset),
    }
}

fn as_text(text: impl Into<Arc<str>>) -> Value {
    Value::Text(text.into())
}

/// Whether a column holds numbers that may have decimals.
pub fn is_decimal(holds: Holds) -> bool {
    matches!(holds, Holds::Number(_) | Holds::Measure(..) | Holds::Bound(_) | Holds::Draft)
}

fn has_comma(text: &str, holds: Holds) -> bool {
    is_decimal(holds) && text.matches(',').count() == 1 && !text.contains('.')
}

const LONGEST_ID: usize = 40;

fn id(text: &str) -> Result<String, InvalidValue> {
    let allowed = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    if text.chars().all(allowed) && text.chars().count() <= LONGEST_ID {
        return Ok(text.to_string());
    }
    Err(invalid(
        "is not a valid name",
        format!("at most {LONGEST_ID} letters, digits, - and _"),
        "rename it with these characters only, here and wherever it is named",
    ))
}

/// The name of something that is described elsewhere.
fn reference(text: &str) -> Result<String, InvalidValue> {
    id(text).map_err(|not| InvalidValue {
        wrong: "is not a valid name".to_string(),
        advice: "write the name exactly as it is given where it is defined".to_string(),
        ..not
    })
}

/// The name of something of any kind, with the kind's word before it or without; of a plate with its strake.
fn qualified_id(text: &str) -> Result<String, InvalidValue> {
    let (word, name) = text.split_once(':').map_or(("", text), |(word, name)| (word.trim(), name));
    let name = name.trim();
    if !name.split('.').all(|part| !part.is_empty() && id(part).is_ok()) {
        return Err(invalid(
            "is no name, or more than one",
            "names with ; between them: K12, block:K12 where two kinds share a name, plate:F-S.14 for plate 14 of strake \
             F-S, strake:F-S, frame:57",
            "write names alone here, with ; between them; what else there is to say belongs into the caption",
        ));
    }
    let colon = if word.is_empty() { "" } else { ":" };
    Ok(format!("{word}{colon}{name}"))
}

fn list(
    text: &str,
    item: impl Fn(&str) -> Result<String, InvalidValue>,
) -> Result<Vec<String>, InvalidValue> {
    if text.eq_ignore_ascii_case("none") {
        return Ok(Vec::new());
    }
    let mut items = Vec::new();
    if !text.contains(';') && text.contains(',') && text.split(',').all(|p| item(p.trim()).is_ok())
    {
        let names = text.split(',').map(str::trim).collect::<Vec<_>>().join(";");
        return Err(invalid(
            "has commas between its names",
            "names separated by ;",
            format!("write {names}"),
        ));
    }
    for part in text.split(';').map(str::trim).filter(|part| !part.is_empty()) {
        let part = item(part)?;
        if items.contains(&part) {
            return Err(invalid(
                format!("names {part} twice"),
                "each name once",
                "remove one of the two",
            ));
        }
        items.push(part);
    }
    Ok(items)
}

/// Words with `;` between them. Whoever wrote them as a person says them, with `and` or commas, is told how they are
/// written here.
fn list_of_words(text: &str, known: &[&'static str]) -> Result<Vec<String>, InvalidValue> {
    let said = text.replace(" and ", ";").replace([',', '/', '+'], ";");
    let parts = || said.split(';').map(str::trim).filter(|part| !part.is_empty());
    if said != text && parts().all(|part| word(part, known).is_ok()) {
        return Err(invalid(
            "is not written as a list",
            "words separated by ;",
            format!("write {}", parts().collect::<Vec<_>>().join(";")),
        ));
    }
    list(text, |part| word(part, known))
}

fn word(text: &str, words: &[&'static str]) -> Result<String, InvalidValue> {
    if let Some(known) = words::read(text, words) {
        return Ok(known.to_string());
    }
    let plain = text.to_lowercase().replace([' ', '_'], "-");
    let (expected, advice) = match nearest(&plain, words.iter().copied()) {
        Some(near) => (one_of(words), format!("write {near}")),
        None => (explained(words), "write the one that fits".to_string()),
    };
    Err(invalid("is not a word that this column accepts", expected, advice))
}

/// A grade of prepared steel, which stays as it was written.
fn grade(text: &str) -> Result<String, InvalidValue> {
    if grades::read(text).is_some() {
        return Ok(text.to_string());
    }
    let plain = text.to_lowercase().replace([' ', '_'], "");
    let advice = match nearest(&plain, grades::WORDS.iter().copied()) {
        Some(near) => format!("write {near}"),
        None => "write the grade alone; what else there is to say belongs into a note".to_string(),
    };
    Err(invalid("is not a grade of prepared steel", grades::EXPECTED, advice))
}

/// The words of a column with their meanings, each on a line.
fn explained(words: &[&'static str]) -> String {
    let mut lines = vec!["one of these words".to_string()];
    lines.extend(words.iter().map(|word| match in_cell(word) {
        Some(means) => format!("{word}: {means}"),
        None => word.to_string(),
    }));
    lines.join("\n")
}

/// The known name that a mistyped one was meant to be, where one alone can have been.
pub fn nearest<'a>(written: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    hints::meant(written, known)
}

fn whole(text: &str, least: i64) -> Result<i64, InvalidValue> {
    let expected = format!("a whole number, {least} or more");
    match numbers::read_whole(text) {
        Some(n) if n >= least => Ok(n),
        Some(_) => Err(invalid("is too small", expected, "correct the number")),
        None if text.parse::<i64>().is_ok() => {
            Err(invalid("is too small", expected, "correct the number"))
        }
        None => {
            let advice = match numbers::read_whole(&hints::letters_as_digits(text)) {
                Some(n) if n >= least => format!("write {n}"),
                _ => "write it in digits only".to_string(),
            };
            Err(invalid("is not a whole number", expected, advice))
        }
    }
}

/// A finite number, in one of the ways in which people write them.
fn number(text: &str, with: Reading<'_>) -> Result<f64, InvalidValue> {
    if let Some(number) = numbers::read(text, with.unit, with.comma) {
        return Ok(number);
    }
    let expected = "a number with a decimal point, such as 12.40";
    match text.parse::<f64>() {
        Ok(n) if n.is_nan() || n.is_infinite() => Err(invalid(
            "is not a finite number",
            expected,
            "write the reading, or leave it out if there was none",
        )),
        _ => Err(invalid("is not a number", expected, hints::number(text, with.unit))),
    }
}

/// A number with a unit, in the kept one. In columns in feet and in inches it may be in both; a draft may have a
/// hyphen and one digit of inches, `17-6`.
fn measure(
    text: &str,
    with: Reading<'_>,
    draft: bool,
    range: Range,
) -> Result<Value, InvalidValue> {
    let kept = |written: f64| {
        let kept = with.unit.map_or(written, |unit| unit.to_kept(written));
        within(kept, written, range).map(Value::Number)
    };
    let suffix = with.unit.map_or("", |unit| unit.suffix);
    let of_draft =
        draft.then(|| text.split_once('-')).flatten().filter(|(feet, _)| !feet.is_empty());
    let read = match (suffix, of_draft) {
        ("ft", Some(parts)) => match feet_and_inches(parts) {
            Some(inches) if inches >= 12.0 => Err(TwelveInches),
            Some(inches) => {
                return kept(f64::from(parts.0.parse::<u16>().unwrap_or(0)) + inches / 12.0);
            }
            None => lengths::read(text),
        },
        ("ft" | "in", _) => lengths::read(text),
        (_, Some(parts)) if feet_and_inches(parts).is_some() => {
            return Err(invalid(
                "is in feet and inches, but its column is not in feet",
                IN_FEET,
                "write the draft in the column's unit, or rename the column to draft_ft if all its \
                 drafts are in feet",
            ));
        }
        _ => Ok(None),
    };
    match read {
        Err(TwelveInches) => Err(invalid(
            "has twelve inches or more",
            IN_FEET,
            "carry twelve inches over as a foot, or correct the reading",
        )),
        Ok(Some(read)) if suffix == "ft" => kept(read.feet()),
        Ok(Some(read)) => kept(read.inches()),
        Ok(None) => match number(text, with) {
            Ok(number) => kept(number),
            Err(not) if of_draft.is_some() => Err(invalid(
                "is neither a number nor feet and inches",
                IN_FEET,
                if suffix == "ft" { "correct the reading".to_string() } else { not.advice },
            )),
            Err(not) => Err(not),
        },
    }
}

const IN_FEET: &str = "feet and inches such as 17-06, in a column whose name ends in _ft";

/// The inches of a draft such as `17-6` or `17-06.5`, if it is one.
fn feet_and_inches((feet, inches): (&str, &str)) -> Option<f64> {
    let (whole, rest) = inches.split_once('.').unwrap_or((inches, "0"));
    let whole_feet = feet.parse::<u16>().ok().filter(|_| is_digits(feet));
    whole_feet?;
    inches.parse::<f64>().ok().filter(|_| is_digits(whole) && is_digits(rest))
}

fn within(kept: f64, written: f64, range: Range) -> Result<f64, InvalidValue> {
    if !kept.is_finite() {
        return Err(invalid("is too large a number", "a finite number", "correct the number"));
    }
    match range {
        Range::Positive if written <= 0.0 => {
            Err(invalid("is out of range", "a number greater than 0", "correct the number"))
        }
        Range::NotNegative if written < 0.0 => {
            Err(invalid("is out of range", "0 or more", "correct the number"))
        }
        _ => Ok(kept),
    }
}

/// The greatest size of a number in a record, in the unit that is kept, and the least of one that is not 0. No
/// ship or dock comes near either (common practice, no source); sums of a million of them, their products by four
/// and their quotients are finite.
pub const GREATEST: f64 = 1e15;
/// The least size of a number that is not 0.
pub const LEAST: f64 = 1e-15;
/// The greatest whole number.
const GREATEST_WHOLE: i64 = 1_000_000_000;

/// What is wrong with a number that no record of a docking holds.
pub(super) fn beyond_records(value: &Value) -> Option<InvalidValue> {
    let size = match value {
        Value::Number(kept) => kept.abs(),
        Value::Whole(number) if number.unsigned_abs() > GREATEST_WHOLE.unsigned_abs() => {
            return Some(invalid(
                "is too large for any record of a docking",
                format!("at most {GREATEST_WHOLE}"),
                "correct the number",
            ));
        }
        _ => return None,
    };
    let (wrong, expected) = if size > GREATEST {
        ("is too large for any record of a docking", "at most 1e15")
    } else if size > 0.0 && size < LEAST {
        ("is too close to 0 for any record of a docking", "0, or at least 1e-15")
    } else {
        return None;
    };
    let expected =
        format!("{expected} in the unit in which such numbers are kept (see format.txt)");
    Some(invalid(wrong, expected, "correct the number, or the unit in its column name"))
}

/// A point in time as a person gives it beside the records, read as a cell would be; a day alone is its last second.
pub fn moment(text: &str, clock: &Clock) -> Result<DateTime<FixedOffset>, InvalidValue> {
    let read = |text: &str| times::read(text, clock, Orders::UNSETTLED, hints::time);
    match (read(text), times::read_day(text, Orders::UNSETTLED, hints::date)) {
        (Err(_), Ok(day)) => match day.and_hms_opt(23, 59, 59).and_then(|last| clock.at(last)) {
            Some(Told::Twice(_, last)) => Ok(last),
            _ => read(&format!("{day}T23:59:59")),
        },
        (Err(not), _) if not.wrong == times::TWO_READINGS => {
            Err(invalid(not.wrong, "a time with the year first", "write it as 2031-04-09T06:40"))
        }
        (read, _) => read,
    }
}

fn flag(text: &str) -> Result<bool, InvalidValue> {
    let no_flag = || invalid("is neither yes nor no", "yes or no", "write yes or no");
    words::read_flag(text).ok_or_else(no_flag)
}

fn offset(text: &str) -> Result<FixedOffset, InvalidValue> {
    text.parse::<FixedOffset>().map_err(|_| {
        invalid(
            "is not an offset from UTC",
            "an offset such as +01:00",
            "write the sign, hours and minutes",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Quantity;

    const BARE: Reading<'_> =
        Reading { unit: None, clock: &Clock::NONE, orders: Orders::UNSETTLED, comma: false };

    fn length(text: &str) -> Result<Value, InvalidValue> {
        let with = Reading { unit: Quantity::Length.unit("mm"), ..BARE };
        parse(text, Holds::Measure(Quantity::Length, Range::Positive), with)
    }

    #[test]
    fn numbers_are_decimal_finite_and_in_range() {
        assert_eq!(length("600"), Ok(Value::Number(0.6)));
        for bad in ["NaN", "inf", "-inf", "infinity", "1e999", "1_000", "0x10", "6OO", "0", "-3"] {
            assert!(length(bad).is_err(), "{bad}");
        }
        assert_eq!(length("12,4").unwrap_err().advice, "write 12.4");
    }

    #[test]
    fn times_follow_rfc_3339() {
        // The examples of RFC 3339 section 5.8.
        for good in [
            "1985-04-12T23:20:50.52Z",
            "1996-12-19T16:39:57-08:00",
            "1990-12-31T23:59:60Z",
            "1937-01-01T12:00:27.87+00:20",
        ] {
            assert!(parse(good, Holds::Time, BARE).is_ok(), "{good}");
        }
        for bad in ["1990-02-30T10:00:00Z", "1990-12-31", "10:00", "1990-12-31T25:00:00Z"] {
            assert!(parse(bad, Holds::Time, BARE).is_err(), "{bad}");
        }
        let local = parse("2031-04-09 06:40", Holds::Time, BARE).unwrap_err();
        assert!(local.wrong.contains("offset"));
        let clock = Clock::of(FixedOffset::east_opt(3600));
        let with = Reading { clock: &clock, ..BARE };
        assert_eq!(
            parse("2031-04-09 06:40", Holds::Time, with),
            parse("2031-04-09T06:40:00+01:00", Holds::Time, BARE)
        );
    }

    #[test]
    fn drafts_in_feet_and_inches() {
        let draft = |text: &str, unit: &str| {
            let with = Reading { unit: Quantity::Length.unit(unit), ..BARE };
            parse(text, Holds::Draft, with)
        };
        assert_eq!(draft("17-06", "ft"), Ok(Value::Number(17.5 * 0.3048)));
        assert_eq!(draft("17-00.75", "ft"), Ok(Value::Number((17.0 + 0.75 / 12.0) * 0.3048)));
        assert_eq!(draft("17.5", "ft"), Ok(Value::Number(17.5 * 0.3048)));
        assert_eq!(draft("4.20", "m"), Ok(Value::Number(4.2)));
        for (bad, unit) in [
            ("17-12", "ft"),
            ("17-", "ft"),
            ("17-6x", "ft"),
            ("-17-06", "ft"),
            ("17-06", "m"),
            ("0", "m"),
        ] {
            assert!(draft(bad, unit).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_decimal_comma_is_read_where_it_may_stand() {
        let with = Reading { unit: Quantity::Length.unit("mm"), comma: true, ..BARE };
        let length = |text| parse(text, Holds::Measure(Quantity::Length, Range::Positive), with);
        assert_eq!(length("600,5"), Ok(Value::Number(0.6005)));
        assert_eq!(length("600.5"), Ok(Value::Number(0.6005)));
        assert_eq!(length("6,005E+2"), Ok(Value::Number(0.6005)));
        // Where commas are decimal signs points part thousands, and nothing else.
        assert_eq!(length("1.600,5"), Ok(Value::Number(1.6005)));
        for bad in ["1,600,5", "1,600.5", "1.60,5", "-600,5"] {
            assert!(length(bad).is_err(), "{bad}");
        }
        assert_eq!(parse("a, b", Holds::Text, with), Ok(Value::Text("a, b".into())));
        let feet = Reading { unit: Quantity::Length.unit("ft"), ..with };
        let expected = Ok(Value::Number((17.0 + 6.5 / 12.0) * 0.3048));
        assert_eq!(parse("17-06,5", Holds::Draft, feet), expected);
    }

    #[test]
    fn words_suggest_the_nearest() {
        const WORDS: &[&str] = &["keel", "bilge-port", "bilge-starboard"];
        assert_eq!(
            parse("Bilge port", Holds::Word(WORDS), BARE),
            Ok(Value::Text("bilge-port".into()))
        );
        assert_eq!(parse("kell", Holds::Word(WORDS), BARE).unwrap_err().advice, "write keel");
    }
}
