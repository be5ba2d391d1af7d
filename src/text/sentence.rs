//! Sentences that know their figures: one value from which findings, pages and terminal are written.

use std::fmt;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::{Serialize, Serializer};

use super::measure::{Measure, System};
use super::times;
use crate::records::place::Place;

/// Who reads: in which units, and by which clock, whose times need no offset.
#[derive(Debug, Clone, Copy)]
pub struct Reader {
    /// The system of units.
    pub system: System,
    /// The offset of the docking's clocks, where the document says it once for all.
    pub clock: Option<FixedOffset>,
}

impl From<System> for Reader {
    fn from(system: System) -> Self {
        Self { system, clock: None }
    }
}

/// A part of a sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// Words.
    Words(String),
    /// A number with its unit.
    Measure(Measure),
    /// From one number to another, with their unit once.
    Range(Measure, Measure),
    /// The name by which records know a thing.
    Id(String),
    /// A point in time.
    Time(DateTime<FixedOffset>),
    /// From one point in time to another, if its end is recorded.
    Span(DateTime<FixedOffset>, Option<DateTime<FixedOffset>>),
    /// A day, in words.
    Day(NaiveDate),
    /// Words that the eye should find first.
    Strong(String),
    /// A file's name, or what is typed.
    Code(String),
    /// A section of the same document, by its anchor.
    Section(&'static str),
    /// Where in the records a sentence stands, for the few who look it up.
    Source(String),
    /// A formula of this program, as [`super::math`] reads it.
    Formula(&'static str),
}

/// A sentence or a few, made of pieces.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Text(Vec<Piece>);

impl Text {
    /// Nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Fills the `{}` of a pattern, in order. [`text!`](crate::text!) checks that there are as many.
    pub fn filled(pattern: &str, pieces: impl IntoIterator<Item = Text>) -> Self {
        let mut text = Self::new();
        let mut pieces = pieces.into_iter();
        for (n, words) in pattern.split("{}").enumerate() {
            if n > 0 {
                text.extend(pieces.next().unwrap_or_default());
            }
            text.push(words);
        }
        text
    }

    /// Adds a piece.
    pub fn push(&mut self, piece: impl Into<Piece>) {
        match (self.0.last_mut(), piece.into()) {
            (_, Piece::Words(words)) if words.is_empty() => {}
            (Some(Piece::Words(before)), Piece::Words(words)) => before.push_str(&words),
            (_, piece) => self.0.push(piece),
        }
    }

    /// Adds another text.
    pub fn extend(&mut self, other: Text) {
        other.0.into_iter().for_each(|piece| self.push(piece));
    }

    /// The same with a capital where it begins with words.
    pub fn capitalized(mut self) -> Self {
        if let Some(Piece::Words(words)) = self.0.first_mut() {
            let mut chars = words.chars();
            if let Some(first) = chars.next() {
                *words = first.to_uppercase().chain(chars).collect();
            }
        }
        self
    }

    /// Its pieces.
    pub fn pieces(&self) -> &[Piece] {
        &self.0
    }

    /// The same of what was planned: its measures are figures of their own.
    pub fn as_planned(self) -> Self {
        let planned = |piece: Piece| match piece {
            Piece::Measure(measure) => Piece::Measure(measure.as_planned()),
            Piece::Range(from, to) => Piece::Range(from.as_planned(), to.as_planned()),
            other => other,
        };
        Self(self.0.into_iter().map(planned).collect())
    }

    /// Whether these words stand in it, as data has it.
    pub fn contains(&self, words: &str) -> bool {
        self.to_string().contains(words)
    }

    /// Whether it says nothing.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Texts one after the other with something between them.
    pub fn joined(texts: impl IntoIterator<Item = Text>, between: &str) -> Self {
        let mut all = Self::new();
        for (n, text) in texts.into_iter().enumerate() {
            if n > 0 {
                all.push(between);
            }
            all.extend(text);
        }
        all
    }

    /// The text for a person who reads in one system of units, and perhaps by one clock.
    pub fn shown(&self, reader: impl Into<Reader>) -> String {
        let reader = reader.into();
        self.0.iter().map(|piece| piece.shown(reader)).collect()
    }
}

impl Piece {
    /// The piece as text for a person who reads in one system of units, and perhaps by one clock.
    pub fn shown(&self, reader: impl Into<Reader>) -> String {
        let Reader { system, clock } = reader.into();
        match self {
            Piece::Words(words)
            | Piece::Id(words)
            | Piece::Strong(words)
            | Piece::Code(words)
            | Piece::Source(words) => words.clone(),
            Piece::Measure(measure) => measure.with_unit(system).replace(' ', "\u{a0}"),
            Piece::Range(from, to) => {
                format!(
                    "{} to {}",
                    from.number(system),
                    to.with_unit(system).replace(' ', "\u{a0}")
                )
            }
            Piece::Time(time) => times::time_by(clock, *time),
            Piece::Span(from, to) => times::span_by(clock, *from, *to),
            Piece::Day(day) => times::day(*day),
            Piece::Section(anchor) => (*anchor).to_string(),
            Piece::Formula(plain) => (*plain).to_string(),
        }
    }
}

/// As findings and derived tables have it: SI units, a hyphen for a minus.
impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|piece| match piece {
            Piece::Measure(measure) => measure.fmt(f),
            Piece::Range(from, to) => write!(f, "{} to {to}", from.plain()),
            other => f.write_str(&other.shown(System::Si)),
        })
    }
}

impl Serialize for Text {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl From<&str> for Piece {
    fn from(words: &str) -> Self {
        Piece::Words(words.to_string())
    }
}

impl From<&String> for Piece {
    fn from(words: &String) -> Self {
        Piece::Words(words.clone())
    }
}

impl<T: Into<Piece>> From<T> for Text {
    fn from(piece: T) -> Self {
        let mut text = Text::new();
        text.push(piece);
        text
    }
}

impl From<&Text> for Text {
    fn from(text: &Text) -> Self {
        text.clone()
    }
}

/// What a sentence can be filled with, by reference, as `format!` takes it.
pub trait ToText {
    /// It as text.
    fn to_text(&self) -> Text;
}

impl<T: ToText + ?Sized> ToText for &T {
    fn to_text(&self) -> Text {
        (**self).to_text()
    }
}

impl ToText for Text {
    fn to_text(&self) -> Text {
        self.clone()
    }
}

impl ToText for str {
    fn to_text(&self) -> Text {
        Text::from(self)
    }
}

macro_rules! pieces {
    ($($value:ident: $($type:ty),+ => $piece:expr;)*) => {$($(
        impl From<$type> for Piece {
            fn from($value: $type) -> Self {
                $piece
            }
        }

        impl ToText for $type {
            fn to_text(&self) -> Text {
                Text::from(self.clone())
            }
        }
    )+)*};
}

pieces! {
    words: String => Piece::Words(words);
    measure: Measure => Piece::Measure(measure);
    time: DateTime<FixedOffset> => Piece::Time(time);
    day: NaiveDate => Piece::Day(day);
    written: u32, u64, usize, i32, i64, char, Arc<str>, Place => Piece::Words(written.to_string());
}

impl ToText for Piece {
    fn to_text(&self) -> Text {
        Text::from(self.clone())
    }
}

/// From one measure to another of its kind.
pub fn range(from: Measure, to: Measure) -> Piece {
    Piece::Range(from, to)
}

/// From one point in time to another; of an end on the same day only the hour.
pub fn span(from: DateTime<FixedOffset>, to: Option<DateTime<FixedOffset>>) -> Piece {
    Piece::Span(from, to)
}

/// The name by which records know a thing.
pub fn id(name: impl Into<String>) -> Piece {
    Piece::Id(name.into())
}

/// Words that the eye should find first.
pub fn strong(words: impl Into<String>) -> Piece {
    Piece::Strong(words.into())
}

/// A file's name, or what is typed.
pub fn code(words: impl Into<String>) -> Piece {
    Piece::Code(words.into())
}

/// Where in the records a sentence stands.
pub fn source(words: impl Into<String>) -> Piece {
    Piece::Source(words.into())
}

/// Another section of the same document, by its anchor.
pub fn section(anchor: &'static str) -> Piece {
    Piece::Section(anchor)
}

/// How many `{}` a pattern has; [`text!`](crate::text!) holds it against its pieces when it is compiled.
pub const fn holes(pattern: &str) -> usize {
    let bytes = pattern.as_bytes();
    let (mut at, mut count) = (1, 0);
    while at < bytes.len() {
        if bytes[at - 1] == b'{' && bytes[at] == b'}' {
            count += 1;
        }
        at += 1;
    }
    count
}

/// A [`Text`] from a pattern with `{}` for each piece that follows it: words, measures, figures, ids, times,
/// counts, other texts. A wrong number of pieces doesn't compile.
#[macro_export]
macro_rules! text {
    ($pattern:literal $(, $piece:expr)* $(,)?) => {{
        const PIECES: usize = <[&str]>::len(&[$(stringify!($piece)),*]);
        const { assert!($crate::text::sentence::holes($pattern) == PIECES, "one piece for each {{}}") };
        $crate::text::sentence::Text::filled($pattern, [$($crate::text::sentence::ToText::to_text(&$piece)),*])
    }};
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::measure::Form;

    #[test]
    fn one_text_is_written_for_data_and_for_readers_of_both_systems() {
        let trim = Measure::new(-0.6096, Form::Length);
        let sentence = text!("The trim in {} was {}; {} marks.", id("P1"), trim, 4_usize);
        assert_eq!(sentence.to_string(), "The trim in P1 was -0.610 m; 4 marks.");
        let shown = |system| sentence.shown(system).replace('\u{a0}', " ");
        assert_eq!(shown(System::Si), "The trim in P1 was \u{2212}0.610 m; 4 marks.");
        assert_eq!(shown(System::Us), "The trim in P1 was \u{2212}2.00 ft; 4 marks.");
        assert_eq!(sentence.pieces().len(), 5);
        let sides = text!("y {}", range(trim, Measure::new(0.6096, Form::Length)));
        assert_eq!(sides.to_string(), "y -0.610 to 0.610 m");
        assert_eq!(sides.shown(System::Us).replace('\u{a0}', " "), "y \u{2212}2.00 to 2.00 ft");
    }

    #[test]
    fn texts_are_listed_as_a_person_lists_them() {
        let texts = ["a", "b", "c"].map(Text::from);
        assert_eq!(Text::listed(texts).to_string(), "a, b and c");
        assert_eq!(Text::listed([Text::from("a")]).to_string(), "a");
        assert_eq!(Text::joined(["a", "b"].map(Text::from), "; ").to_string(), "a; b");
        assert_eq!(text!("no piece").to_string(), "no piece");
    }
}
