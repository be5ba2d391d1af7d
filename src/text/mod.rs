//! What a person reads, made of typed pieces: figures with their units, times, lists, sentences.

mod figure;
mod lists;
pub mod math;
pub mod measure;
pub mod sentence;
mod times;

pub use figure::Figure;
pub use lists::{and, list, list_first};
pub use measure::{Form, Key, Measure, System};
pub use sentence::{
    Piece, Reader, Text, ToText, code, holes, id, range, section, source, span, strong,
};
pub use times::{day, iso_period, offsets, period, stated_duration, time};

use crate::hull::Frames;
use crate::units;

/// A number with a true minus sign, which is not overlooked as easily as a hyphen.
pub fn number(value: f64, decimals: usize) -> String {
    with_minus(&units::fixed(value, decimals))
}

fn with_minus(text: &str) -> String {
    match text.strip_prefix('-') {
        Some(rest) => format!("\u{2212}{rest}"),
        None => text.to_string(),
    }
}

/// A text cut to so many characters, for places that hold no more.
pub fn shortened(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((at, _)) => format!("{}\u{2026}", &text[..at]),
        None => text.to_string(),
    }
}

/// A digest in groups, so that two can be compared by eye.
pub fn grouped(hex: &str, by: usize) -> Vec<String> {
    let letters: Vec<char> = hex.chars().collect();
    letters.chunks(by.max(1)).map(|group| group.iter().collect()).collect()
}

/// A count with its noun: `1 block`, `12 blocks`, `no block`.
pub fn count(n: usize, one: &str, many: &str) -> String {
    match n {
        0 => format!("no {one}"),
        1 => format!("1 {one}"),
        n => format!("{n} {many}"),
    }
}

/// The frame nearest to a place, if frames are recorded there.
pub fn nearest_frame(frames: Option<&Frames>, x_m: f64) -> Option<String> {
    const REACH_M: f64 = 1.5;
    frames?
        .between(x_m - REACH_M, x_m + REACH_M)
        .into_iter()
        .min_by(|a, b| (a.1 - x_m).abs().total_cmp(&(b.1 - x_m).abs()))
        .map(|(frame, _)| frame.to_string())
}

/// A number of bytes with spaces between thousands.
pub fn bytes(size: u64) -> String {
    let digits = size.to_string();
    let mut out = String::new();
    for (n, digit) in digits.chars().enumerate() {
        if n > 0 && (digits.len() - n).is_multiple_of(3) {
            out.push('\u{a0}');
        }
        out.push(digit);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text;

    #[test]
    fn figures_and_lists() {
        assert_eq!(number(-0.7, 2), "\u{2212}0.70");
        assert_eq!(bytes(1_234_567), "1\u{a0}234\u{a0}567");
        assert_eq!(grouped("0123456789", 4), ["0123", "4567", "89"]);
        assert_eq!(shortened("Wr\u{e9}n", 3), "Wr\u{e9}\u{2026}");
        assert_eq!(shortened("Wren", 4), "Wren");
        assert_eq!(count(0, "block", "blocks"), "no block");
    }

    #[test]
    fn times_and_how_long() {
        let at = |words: &str| chrono::DateTime::parse_from_rfc3339(words).unwrap();
        let from = at("2031-04-09T10:15:00+01:00");
        let until = |to: Option<&str>| Text::from(span(from, to.map(at))).shown(System::Si);
        assert_eq!(until(Some("2031-04-09T12:45:00+01:00")), "2031-04-09 10:15 to 12:45 +01:00");
        assert_eq!(
            until(Some("2031-04-10T01:00:00+01:00")),
            "2031-04-09 10:15 +01:00 to 2031-04-10 01:00 +01:00"
        );
        assert_eq!(until(None), "2031-04-09 10:15 +01:00, end not recorded");
        // By the docking's own clock, which is said once, only another offset is worth saying.
        let clock = Some(*from.offset());
        let by_clock = |text: &Text| text.shown(Reader { system: System::Si, clock });
        let other = at("2031-10-26T12:45:00+00:00");
        let text = text!("{}; {}; {}", from, span(from, Some(from)), span(from, Some(other)));
        assert_eq!(
            by_clock(&text),
            "2031-04-09 10:15; 2031-04-09 10:15 to 10:15; \
             2031-04-09 10:15 to 2031-10-26 12:45 +00:00"
        );
        assert_eq!(stated_duration(17.5), "17.5\u{a0}h");
        assert_eq!(stated_duration(336.0), "14\u{a0}d");
        assert_eq!(stated_duration(16.0), "16\u{a0}h");
    }
}
