//! Numbers and words of captions, labels and alternative texts.

use super::axis::Scaling;
use super::drawing::LONGEST_ALT;
use crate::findings::Examined;
pub use crate::text::list;
use crate::text::{self, Form, System, Text};
use crate::units::printed;

/// The units in which the drawings of a project are lettered. Numbers come in the kept unit of what they measure;
/// decimals are those in SI units, and as much finer or coarser in others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Units(pub System);

impl Units {
    pub fn new(examined: &Examined) -> Self {
        Self(examined.project.docking.units)
    }

    /// A number without its unit.
    pub fn number(self, kept: f64, form: Form, decimals: usize) -> String {
        form.measure(kept).decimals(decimals).number(self.0)
    }

    /// A number with its unit.
    pub fn measure(self, kept: f64, form: Form, decimals: usize) -> String {
        form.measure(kept).decimals(decimals).with_unit(self.0)
    }

    /// The unit in which a form is shown.
    pub fn unit(self, form: Form) -> &'static str {
        printed(form.unit(self.0).suffix)
    }

    /// How an axis of a form is divided.
    pub fn scaling(self, form: Form) -> Scaling {
        Scaling::in_unit(form.unit(self.0))
    }

    /// A sentence, with plain spaces.
    pub fn sentence(self, text: &Text) -> String {
        text.shown(self.0).replace('\u{a0}', " ")
    }

    pub fn length(self, kept_m: f64, decimals: usize) -> String {
        self.measure(kept_m, Form::Length, decimals)
    }

    pub fn area(self, kept_m2: f64, decimals: usize) -> String {
        self.measure(kept_m2, Form::Area, decimals)
    }

    pub fn mass(self, kept_t: f64, decimals: usize) -> String {
        self.measure(kept_t, Form::Mass, decimals)
    }

    /// A place on the bottom by its ends aft, forward, to starboard and to port, m.
    pub fn place(self, ends_m: [f64; 4]) -> String {
        let [aft, forward, starboard, port] = ends_m.map(|m| self.length(m, 2));
        format!("x {aft} to {forward}, y {starboard} to {port}")
    }
}

/// Sentences for whoever can't see a drawing, as far as there is room; how many more there are, if any.
pub fn said(parts: &[String]) -> String {
    let length = |words: &str| words.chars().count();
    let mut said = String::new();
    for (n, part) in parts.iter().enumerate() {
        let more = format!(" And {} more.", parts.len() - n);
        // The last may take the room that is kept for how many more there are.
        let kept = if n + 1 == parts.len() { 0 } else { length(&more) };
        if n > 0 && length(&said) + 1 + length(part) + kept > LONGEST_ALT {
            said.push_str(&more);
            return said;
        }
        if n > 0 {
            said.push(' ');
        }
        said.push_str(part);
    }
    said
}

/// At most twelve pieces in a row, or that there is nothing.
pub fn list_or_nothing(pieces: impl Iterator<Item = String>) -> String {
    let pieces: Vec<String> = pieces.collect();
    if pieces.is_empty() { "nothing".to_string() } else { list(&pieces, 12) }
}

/// A count with its noun: "no block", "1 block", "2 blocks", "2 patches".
pub fn count(number: usize, noun: &str) -> String {
    let plural = if noun.ends_with("ch") { format!("{noun}es") } else { format!("{noun}s") };
    text::count(number, noun, &plural)
}

/// Which of several drawings of one thing this is: ", part 1 of 3"; nothing for the only one.
pub fn part((number, of): (usize, usize)) -> String {
    if of > 1 { format!(", part {number} of {of}") } else { String::new() }
}

/// The letter of a never-exposed piece by its number from 0: A to Z, AA, AB, ...
pub fn letter(number: usize) -> String {
    let mut letters = Vec::new();
    let mut rest = number;
    loop {
        letters.push(char::from(b'A' + (rest % 26) as u8));
        match (rest / 26).checked_sub(1) {
            Some(next) => rest = next,
            None => break,
        }
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_a_true_minus_and_their_units() {
        let si = Units(System::Si);
        assert_eq!(si.length(-0.55, 2), "\u{2212}0.55 m");
        assert_eq!(si.measure(0.2, Form::Angle, 1), "0.2\u{b0}");
        let place = "x 1.00 m to 2.00 m, y \u{2212}0.50 m to 0.50 m";
        assert_eq!(si.place([1.0, 2.0, -0.5, 0.5]), place);
    }

    // Factors of NIST SP 811 (2008), appendix B: 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 long ton = 1016.047 kg.
    #[test]
    fn drafts_and_films_keep_their_tenths_in_us_units() {
        let us = Units(System::Us);
        let draft = us.measure(4.23, Form::Draft, 2).replace('\u{a0}', " ");
        assert_eq!(draft, "13 ft 10.5 in");
        assert_eq!(us.measure(125e-6, Form::Film, 0), "4.9 mil");
        assert_eq!(us.mass(110.1, 1), "108.4 lt");
        assert_eq!(us.length(30.48, 2), "100.00 ft");
        assert_eq!(us.length(30.48, 0), "100 ft");
    }

    #[test]
    fn names_and_counts() {
        let names = ["A", "B", "C"].map(str::to_string);
        assert_eq!(list(&names[..1], 5), "A");
        assert_eq!(list(&names[..2], 5), "A and B");
        assert_eq!(list(&names, 5), "A, B and C");
        assert_eq!(list(&names, 2), "A, B and 1 more");
        assert_eq!([0, 1, 2].map(|n| count(n, "block")), ["no block", "1 block", "2 blocks"]);
        assert_eq!(count(2, "patch"), "2 patches");
    }

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!(
            [0, 25, 26, 51, 52, 701, 702].map(letter),
            ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]
        );
    }
}
