//! Numbers: decimal ones, fractions, thousands that are parted, and a unit behind.

use super::{is_digits, with_plain_signs};
use crate::units::{Quantity, Unit, printed};

/// The number that a text gives; `None` where it gives none, or two.
///
/// `unit` is that of the column, which may be written behind the number; with `comma` the comma is the decimal sign.
pub fn read(text: &str, unit: Option<&Unit>, comma: bool) -> Option<f64> {
    if let Some(number) = decimal(text) {
        return Some(number);
    }
    let text = with_plain_signs(text);
    let feet = unit.is_some_and(|unit| unit.suffix == "ft");
    let alone = |text: &str| {
        decimal(text).or_else(|| fraction(text, feet)).or_else(|| parted(text, comma)?.parse().ok())
    };
    alone(&text).or_else(|| alone(without(&text, unit?)?)).filter(|number| number.is_finite())
}

/// The whole number that a text gives.
pub fn read_whole(text: &str) -> Option<i64> {
    if let Ok(number) = text.parse::<i64>() {
        return Some(number).filter(|_| !text.starts_with('+'));
    }
    // A whole number has no decimals, so that its comma can't be a decimal one.
    let text = with_plain_signs(text);
    grouped(&text, ',').and_then(|digits| digits.parse().ok())
}

/// A finite decimal number with a point, with or without an exponent; no names of numbers.
pub(in crate::records) fn decimal(text: &str) -> Option<f64> {
    let plain = text.bytes().all(|b| b.is_ascii_digit() || b"+-.eE".contains(&b));
    text.parse::<f64>().ok().filter(|number| plain && number.is_finite())
}

/// A fraction of 1, alone or behind a whole number: `3/8`, `17 1/2`, `-17 1/2`; with a hyphen, `17-1/2`, but not in
/// feet, where it might be seventeen feet and half an inch.
fn fraction(text: &str, feet: bool) -> Option<f64> {
    let (sign, text) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text),
    };
    Some(sign * mixed(text, !feet)?)
}

/// The same without a sign before it.
pub(super) fn mixed(text: &str, hyphen: bool) -> Option<f64> {
    let between: &[char] = if hyphen { &[' ', '-'] } else { &[' '] };
    let (whole, part) = match text.split_once(between) {
        Some((whole, part)) => (whole, part.trim_start()),
        None => ("0", text),
    };
    let (over, under) = part.split_once('/')?;
    if !is_digits(whole) || !is_digits(over) || !is_digits(under) {
        return None;
    }
    let (over, under): (u32, u32) = (over.parse().ok()?, under.parse().ok()?);
    let whole = f64::from(whole.parse::<u32>().ok()?);
    let proper = 0 < over && over < under && IN_FRACTIONS.contains(&under);
    // One division gives the number that is nearest.
    proper.then(|| (whole * f64::from(under) + f64::from(over)) / f64::from(under))
}

/// What people divide by. Of others it is more likely that two numbers were written: `5/17`.
pub(in crate::records) const IN_FRACTIONS: &[u32] = &[2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64, 100];

/// A number whose thousands are parted, where nothing in it can be read otherwise: by commas or spaces with a decimal
/// point behind, or by two of them; where the comma is the decimal sign, by points or spaces.
fn parted(text: &str, comma: bool) -> Option<String> {
    let (sign, point) = if comma { ('.', ',') } else { (',', '.') };
    [sign, ' '].into_iter().find_map(|sign| {
        let (whole, tail) = match text.split_once(point) {
            Some((whole, tail)) => (whole, Some(tail)),
            None => (text, None),
        };
        let sure = tail.is_some() || whole.matches(sign).count() > 1;
        if !sure || !tail.is_none_or(is_digits) {
            return None;
        }
        let digits = grouped(whole, sign)?;
        Some(tail.map_or(digits.clone(), |tail| format!("{digits}.{tail}")))
    })
}

/// The digits of a number whose thousands are parted by a sign.
fn grouped(text: &str, sign: char) -> Option<String> {
    let mut groups = text.strip_prefix('-').unwrap_or(text).split(sign);
    let first = groups.next()?;
    let rest: Vec<&str> = groups.collect();
    let well = !rest.is_empty()
        && (1..=3).contains(&first.len())
        && is_digits(first)
        && !first.starts_with('0')
        && rest.iter().all(|group| group.len() == 3 && is_digits(group));
    well.then(|| text.replace(sign, ""))
}

/// What stands before the column's own unit; `None` where that does not end the text. A unit may have digits of its
/// own: `12 lt/ft2`.
fn without<'a>(text: &'a str, unit: &Unit) -> Option<&'a str> {
    let ends = text.match_indices(|c: char| c.is_ascii_digit()).map(|(at, _)| at + 1);
    ends.map(|end| text.split_at(end)).find_map(|(number, behind)| {
        // The l of 12l may be a digit that was mistyped.
        let unsure = unit.suffix == "l" && behind.starts_with(['l', 'L']);
        (!unsure && is_own(behind, unit)).then_some(number)
    })
}

/// Whether a word behind a number is the unit of its column.
fn is_own(word: &str, unit: &Unit) -> bool {
    let word = word.trim().to_lowercase();
    let word = word.strip_suffix('.').unwrap_or(&word);
    let spelt = || word.replace(['/', ' '], "_");
    let degrees = ["\u{b0}", "deg", "degree", "degrees"];
    word == unit.suffix
        || word == printed(unit.suffix).to_lowercase()
        || unit.is_called(word)
        || spelt() == unit.suffix
        || unit.is_called(&spelt())
        || match (unit.suffix, unit.quantity) {
            ("ft", _) => word == "'",
            ("in", _) => word == "\"" || word == "''",
            ("pct", _) => word == "percent" || word == "per cent",
            ("deg", _) => degrees.contains(&word),
            (letter, Quantity::Temperature) => degrees.iter().any(|sign| {
                word.strip_prefix(sign).is_some_and(|rest| ["", letter].contains(&rest.trim()))
            }),
            _ => false,
        }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn unit(suffix: &str) -> &'static Unit {
        crate::units::UNITS.iter().find(|unit| unit.suffix == suffix).expect("a unit")
    }

    #[test]
    fn numbers_as_people_write_them() {
        for (text, suffix, number) in [
            ("3/8", "m", 0.375),
            ("17 1/2", "m", 17.5),
            ("-17 1/2", "m", -17.5),
            ("17-1/2", "in", 17.5),
            ("17\u{bd}", "in", 17.5),
            ("\u{2212}4.2", "m", -4.2),
            ("1,234.5", "kpa", 1234.5),
            ("12,345,678", "kpa", 12_345_678.0),
            ("1 234.5", "kpa", 1234.5),
            ("1\u{202f}234\u{202f}567", "kpa", 1_234_567.0),
            ("8 mils", "mil", 8.0),
            ("8mil", "mil", 8.0),
            ("12 ft", "ft", 12.0),
            ("12.5'", "ft", 12.5),
            ("6 3/4\"", "in", 6.75),
            ("85%", "pct", 85.0),
            ("85 percent", "pct", 85.0),
            ("3\u{b0}", "deg", 3.0),
            ("3 degrees", "deg", 3.0),
            ("55 \u{b0}F", "f", 55.0),
            ("55F", "f", 55.0),
            ("55 deg F", "f", 55.0),
            ("12\u{b0}", "c", 12.0),
            ("1,200 psi", "psi", f64::NAN),
            ("200 psi", "psi", 200.0),
            ("1.5 ksi", "ksi", 1.5),
            ("12 lt/ft2", "lt_ft2", 12.0),
            ("12 l", "l", 12.0),
            ("2.5 l", "l", 2.5),
            ("250 \u{b5}m", "um", 250.0),
            ("4 LT", "lt", 4.0),
            ("2 long tons", "lt", 2.0),
            ("12 cu ft", "ft3", 12.0),
        ] {
            let read = read(text, Some(unit(suffix)), false);
            assert_eq!(read, Some(number).filter(|number| !number.is_nan()), "{text}");
        }
    }

    #[test]
    fn what_has_two_readings_or_another_unit_is_no_number() {
        for (text, suffix) in [
            ("12,345", "m"),
            ("1 234", "m"),
            ("17-1/2", "ft"),
            ("12l", "l"),
            ("3/2", "m"),
            ("5/17", "m"),
            ("0/8", "m"),
            ("1 17", "m"),
            ("12 ft", "m"),
            ("12 mm", "m"),
            ("55 \u{b0}C", "f"),
            ("8 in", "mil"),
            ("1,23.5", "m"),
            ("1,2345.6", "m"),
            ("0,123.4", "m"),
            ("1.234,5", "m"),
            ("1_000", "m"),
            ("", "m"),
            ("ft", "ft"),
            ("-", "m"),
        ] {
            assert_eq!(read(text, Some(unit(suffix)), false), None, "{text}");
        }
        assert_eq!(read("12 m", None, false), None);
    }

    #[test]
    fn where_the_comma_is_the_decimal_sign_points_part_thousands() {
        assert_eq!(read("1.234,5", Some(unit("m")), true), Some(1234.5));
        assert_eq!(read("1 234,5", Some(unit("m")), true), Some(1234.5));
        assert_eq!(read("1,234.5", Some(unit("m")), true), None);
    }

    #[test]
    fn a_comma_in_a_whole_number_parts_thousands() {
        assert_eq!(read_whole("12,345"), Some(12_345));
        assert_eq!(read_whole("-3"), Some(-3));
        for text in ["12,34", "12.0", "+3", "1 234", "0,123", "99,999,999,999,999,999,999"] {
            assert_eq!(read_whole(text), None, "{text}");
        }
    }

    proptest! {
        /// Decimals, fractions of powers of two and thousands apart: the same to the last bit.
        #[test]
        fn printed_and_read_again_it_is_the_same(
            decimal in -1e7..1e7,
            whole in 0_u32..5000,
            parts in 1_u32..64,
            thousands in 1_000_000_u32..999_999_999,
        ) {
            let metres = Some(unit("m"));
            for text in [format!("{decimal}"), format!("{decimal} m"), format!("{decimal}m")] {
                prop_assert_eq!(read(&text, metres, false), Some(decimal), "{}", text);
            }
            let fraction = f64::from(whole) + f64::from(parts) / 64.0;
            prop_assert_eq!(read(&format!("{whole} {parts}/64"), metres, false), Some(fraction));
            let (millions, rest) = (thousands / 1_000_000, thousands % 1_000_000);
            for apart in [",", " ", "\u{202f}"] {
                let text = format!("{millions}{apart}{:03}{apart}{:03}", rest / 1000, rest % 1000);
                prop_assert_eq!(read(&text, metres, false), Some(f64::from(thousands)), "{}", text);
            }
        }

        #[test]
        fn no_text_panics(text in "[-0-9 '\"./,%a-z\u{bd}]{0,14}", comma in any::<bool>()) {
            let _ = (read(&text, Some(unit("ft")), comma), read_whole(&text));
        }
    }
}
