//! Feet and inches as people write them: `11'9`, `11' 9 1/2"`, `11 ft 9 in`, `11-09`.

use std::fmt;

use crate::units::nine_digits;

/// A length in feet and inches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct FeetAndInches {
    negative: bool,
    feet: u32,
    /// From 0 to less than 12.
    inches: f64,
}

/// The length that a text gives in feet and inches, if it does: with a sign or word for feet, or with a hyphen and
/// two digits of inches, as `24-06`. Twelve inches or more are none.
pub(super) fn read(text: &str) -> Option<FeetAndInches> {
    let text = text.trim().to_lowercase();
    let (negative, text) = match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.as_str()),
    };
    let end = text.find(|c: char| !c.is_ascii_digit())?;
    let feet = text[..end].parse().ok()?;
    let rest = text[end..].trim_start();
    let signed = ["'", "feet", "ft.", "ft"].iter().find_map(|sign| rest.strip_prefix(sign));
    let inches = match (signed, rest.strip_prefix('-')) {
        (Some(rest), _) => rest.trim_start().trim_start_matches('-').trim(),
        (None, Some(rest)) if rest.bytes().take_while(u8::is_ascii_digit).count() == 2 => rest,
        _ => return None,
    };
    // Two apostrophes are no sign for feet.
    if inches.starts_with('\'') {
        return None;
    }
    let signs = ["\"", "''", "inches", "in.", "in"];
    let number =
        signs.iter().find_map(|sign| inches.strip_suffix(sign)).unwrap_or(inches).trim_end();
    let inches = if inches.is_empty() { 0.0 } else { read_inches(number)? };
    (inches < 12.0).then_some(FeetAndInches { negative, feet, inches })
}

/// `9`, `9.5`, `9 1/2` or `1/2`.
fn read_inches(text: &str) -> Option<f64> {
    let is_digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let (whole, fraction) = match (text.split_once(' '), text.contains('/')) {
        (Some((whole, fraction)), true) => (whole, Some(fraction.trim_start())),
        (_, true) => ("0", Some(text)),
        _ => (text, None),
    };
    let fraction = match fraction {
        None => 0.0,
        Some(fraction) => {
            let (over, under) = fraction.split_once('/')?;
            let under: u32 =
                under.parse().ok().filter(|under| [2, 4, 8, 16, 32].contains(under))?;
            let over: u32 = over.parse().ok().filter(|over| *over < under)?;
            f64::from(over) / f64::from(under)
        }
    };
    let (before, after) = whole.split_once('.').unwrap_or((whole, "0"));
    let plain = is_digits(before) && is_digits(after);
    plain.then(|| whole.parse::<f64>().ok()).flatten().map(|whole| whole + fraction)
}

impl FeetAndInches {
    /// In feet with decimals, where four of them give it exactly.
    pub(super) fn in_feet(&self) -> Option<String> {
        let feet = f64::from(self.feet) + self.inches / 12.0;
        let rounded = (feet * 1e4).round() / 1e4;
        ((rounded - feet).abs() < 1e-10).then(|| self.signed(rounded))
    }

    /// In inches.
    pub(super) fn in_inches(&self) -> String {
        self.signed(f64::from(self.feet) * 12.0 + self.inches)
    }

    /// As drafts have it, `11-09`; a length below 0 has no such form.
    pub(super) fn as_draft(&self) -> Option<String> {
        let inches = nine_digits(self.inches);
        let zero = if self.inches < 10.0 { "0" } else { "" };
        (!self.negative).then(|| format!("{}-{zero}{inches}", self.feet))
    }

    fn signed(&self, size: f64) -> String {
        nine_digits(if self.negative { -size } else { size })
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

    #[test]
    fn feet_and_inches_as_people_write_them() {
        for (text, feet, draft) in [
            ("11'9", Some("11.75"), Some("11-09")),
            ("11' 9\"", Some("11.75"), Some("11-09")),
            ("11'-9\"", Some("11.75"), Some("11-09")),
            ("11 ft 9 in", Some("11.75"), Some("11-09")),
            ("11'", Some("11"), Some("11-00")),
            ("11-09", Some("11.75"), Some("11-09")),
            ("-24'6", Some("-24.5"), None),
            ("12'6 3/4\"", Some("12.5625"), Some("12-06.75")),
            ("12'11", None, Some("12-11")),
            ("12' 1/2\"", None, Some("12-00.5")),
        ] {
            let read = read(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(read.in_feet().as_deref(), feet, "{text}");
            assert_eq!(read.as_draft().as_deref(), draft, "{text}");
        }
        assert_eq!(read("12'11").map(|read| read.in_inches()).as_deref(), Some("155"));
    }

    #[test]
    fn what_may_be_something_else_is_not_read() {
        for text in [
            "12 06",
            "11-9",
            "5-6",
            "11'12",
            "11''9",
            "12",
            "1.5'6",
            "11'9'",
            "2031-04-07",
            "11'9x",
            "'9",
            "12'3/3",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
