//! Lengths in feet and inches.

use std::fmt;

use super::numbers::mixed;
use super::{is_digits, with_plain_signs};
use crate::units::nine_digits;

/// A length in feet and inches, as people write them: `11'9`, `11' 9 1/2"`, `11 ft 9 in`, `11-09`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeetAndInches {
    negative: bool,
    feet: u32,
    /// From 0 to less than 12.
    inches: f64,
}

/// Why a text that is in feet and inches gives no length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TwelveInches;

/// The length that a text gives in feet and inches, if it does: with a sign or word for feet; with a hyphen and two
/// digits of inches, as `24-06`; or in inches alone, with their sign or word. Twelve inches or more behind feet are
/// none.
pub fn read(text: &str) -> Result<Option<FeetAndInches>, TwelveInches> {
    let Some((negative, feet, inches)) = parts(text) else { return Ok(None) };
    match feet {
        Some(feet) if inches < 12.0 => Ok(Some(FeetAndInches { negative, feet, inches })),
        Some(_) => Err(TwelveInches),
        None => {
            // Inches alone may be twelve and more: 18" is a foot and a half.
            let feet = (inches / 12.0).floor();
            let inches = inches - feet * 12.0;
            Ok((feet <= 1e6).then_some(FeetAndInches { negative, feet: feet as u32, inches }))
        }
    }
}

/// The sign, the feet where some are written, and the inches.
fn parts(text: &str) -> Option<(bool, Option<u32>, f64)> {
    let text = with_plain_signs(text).to_lowercase();
    let (negative, text) = match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.as_str()),
    };
    let marks = ["\"", "''", "inches", "inch", "in.", "in"];
    let unmarked = |text: &str| {
        let found = marks.iter().find_map(|mark| text.strip_suffix(mark));
        found.map(|number| number.trim_end().to_string())
    };
    let end = text.find(|c: char| !c.is_ascii_digit())?;
    let rest = text[end..].trim_start();
    let signed = ["'", "feet", "foot", "ft.", "ft"].iter().find_map(|sign| rest.strip_prefix(sign));
    let inches = match (signed, text[end..].strip_prefix('-')) {
        // Two apostrophes are no sign for feet.
        (Some(rest), _) if !rest.starts_with('\'') => {
            let rest = rest.trim_start();
            rest.strip_prefix('-').unwrap_or(rest).trim()
        }
        (None, Some(rest)) if rest.bytes().take_while(u8::is_ascii_digit).count() == 2 => rest,
        _ => return Some((negative, None, read_inches(&unmarked(text)?)?)),
    };
    let feet = text[..end].parse().ok()?;
    if inches.is_empty() {
        return Some((negative, Some(feet), 0.0));
    }
    // In 81'000 the apostrophe parts thousands.
    if inches.bytes().take_while(u8::is_ascii_digit).count() > 2 {
        return None;
    }
    let number = unmarked(inches).unwrap_or_else(|| inches.to_string());
    Some((negative, Some(feet), read_inches(&number)?))
}

/// `9`, `9.5`, `9 1/2`, `9-1/2` or `1/2`.
fn read_inches(text: &str) -> Option<f64> {
    let (before, after) = text.split_once('.').unwrap_or((text, "0"));
    if is_digits(before) && is_digits(after) {
        return text.parse().ok();
    }
    mixed(text, true)
}

impl FeetAndInches {
    /// In feet.
    pub fn feet(&self) -> f64 {
        let size = f64::from(self.feet) + self.inches / 12.0;
        if self.negative { -size } else { size }
    }

    /// In inches.
    pub fn inches(&self) -> f64 {
        let size = f64::from(self.feet) * 12.0 + self.inches;
        if self.negative { -size } else { size }
    }

    /// In feet with decimals, where four of them give it exactly.
    pub(in crate::records) fn in_feet(&self) -> Option<String> {
        let rounded = (self.feet() * 1e4).round() / 1e4;
        ((rounded - self.feet()).abs() < 1e-10).then(|| nine_digits(rounded))
    }

    pub(in crate::records) fn in_inches(&self) -> String {
        nine_digits(self.inches())
    }
}

impl fmt::Display for FeetAndInches {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minus = if self.negative { "minus " } else { "" };
        write!(f, "{minus}{} feet {} inches", self.feet, nine_digits(self.inches))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn inches(text: &str) -> Option<f64> {
        read(text).expect("less than twelve inches").map(|read| read.inches())
    }

    #[test]
    fn feet_and_inches_as_people_write_them() {
        for text in [
            "12'6\"",
            "12' 6\"",
            "12'-6\"",
            "12' - 6\"",
            "12-06",
            "12 ft 6 in",
            "12ft 6in",
            "12 ft. 6 in.",
            "12 Feet 6 Inches",
            "12\u{2019}6\u{201d}",
            "12\u{2032} 6\u{2033}",
            "12'6",
            "12'6''",
            "12\u{2013}06",
            "12-06.0",
            "150\"",
            "150 in",
        ] {
            assert_eq!(inches(text), Some(150.0), "{text}");
        }
        for (text, expected) in [
            ("12' 6 3/4\"", 150.75),
            ("12' 6\u{be}\"", 150.75),
            ("12'6-3/4\"", 150.75),
            ("12-06 3/4", 150.75),
            ("-12' 6\"", -150.0),
            ("-12-06", -150.0),
            ("12'", 144.0),
            ("12 ft", 144.0),
            ("0' 3/4\"", 0.75),
            ("3/4\"", 0.75),
            ("6 3/4 in", 6.75),
            ("17-11.999", 215.999),
        ] {
            assert_eq!(inches(text), Some(expected), "{text}");
        }
        for text in [
            "12",
            "12-6",
            "12.5' 6\"",
            "12''6",
            "12 6",
            "12-6-3",
            "12/6",
            "81'000",
            "a'6",
            "'6",
            "12' 6 7\"",
            "",
            "-",
        ] {
            assert_eq!(inches(text), None, "{text}");
        }
        for text in ["17-12", "17' 12\"", "17 ft 13 in", "17-99"] {
            assert_eq!(read(text), Err(TwelveInches), "{text}");
        }
    }

    proptest! {
        /// Every sixty-fourth of an inch is exact in a binary number, so that what is printed and read again is the
        /// same to the last bit.
        #[test]
        fn printed_and_read_again_it_is_the_same(feet in 0_u32..2000, parts in 0_u32..768, negative in any::<bool>()) {
            let whole = FeetAndInches { negative, feet, inches: f64::from(parts) / 64.0 };
            let (inches, over) = (parts / 64, parts % 64);
            let minus = if negative { "-" } else { "" };
            let fraction = if over == 0 { String::new() } else { format!(" {over}/64") };
            for text in [
                format!("{minus}{feet}' {inches}{fraction}\""),
                format!("{minus}{feet} ft {inches}{fraction} in"),
                format!("{minus}{feet}-{inches:02}{fraction}"),
                format!("{minus}{feet}\u{2032}{inches}{fraction}\u{2033}"),
                format!("{minus}{feet}' {}\"", whole.inches),
            ] {
                prop_assert_eq!(read(&text), Ok(Some(whole)), "{}", text);
            }
        }

        #[test]
        fn no_text_panics(text in "[-0-9 '\"./a-z\u{2019}\u{bd}]{0,14}") {
            let _ = read(&text);
        }
    }
}
