//! Text made fit for paper: every character either has a shape or is shown as its code point, and
//! long words say where they may break.
//!
//! PDF/A refuses a character without a shape, and what can't be seen (a control character, a mark
//! that turns the direction of writing) can't be trusted on paper. Both are shown as `[U+1F6A2]`.

use std::fmt::Write;

use serde::Serialize;
use serde_json::Value;
use unicode_segmentation::UnicodeSegmentation;

use super::fonts::FONTS;
use crate::units::{UNITS, printed};

/// Where a word may break. The templates turn it into a break that leaves nothing behind in the text.
pub const BREAK: char = '\u{200b}';

/// Words up to this many characters stay whole in running text.
const LONGEST_WORD: usize = 18;

/// The same in narrow cells.
const LONGEST_NARROW: usize = 10;

/// Marks that may stand on one letter: more than any writing needs, and few enough to stay in the line.
const MOST_MARKS: usize = 6;

/// A text as it can be shown: characters without a shape, and marks heaped on one letter, as code points; line
/// breaks kept.
pub fn shown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    let mut marks = 0;
    while let Some(c) = chars.next() {
        marks = if is_mark(c) { marks + 1 } else { 0 };
        match c {
            ' '..='~' | '\n' => out.push(c),
            '\r' if chars.peek() == Some(&'\n') => {}
            '\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => out.push('\n'),
            '\t' => out.push(' '),
            c if is_seen(c) && marks <= MOST_MARKS => out.push(c),
            c => {
                let _ = write!(out, "[U+{:04X}]", u32::from(c));
            }
        }
    }
    out
}

/// A text for a narrow cell: more of its words may break.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Narrow {
    /// The text as it was written.
    narrow: String,
}

impl Narrow {
    /// Marks a text as standing in a narrow cell.
    pub fn new(text: impl Into<String>) -> Self {
        Self { narrow: text.into() }
    }
}

/// A text that is heard or searched and never drawn: only what no listener could get stands as its code point.
pub fn said(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' | '\r' | '\t' | '\u{2028}' | '\u{2029}' => out.push(' '),
            c if c.is_control() || is_unseen(u32::from(c)) => {
                let _ = write!(out, "[U+{:04X}]", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out
}

/// Whether some string of a value has a character that no font has, and that is drawn.
pub fn has_code_points(value: &Value) -> bool {
    match value {
        Value::String(text) => {
            !text.is_ascii() && shown(text).matches("[U+").count() > text.matches("[U+").count()
        }
        Value::Array(items) => items.iter().any(has_code_points),
        Value::Object(fields) => {
            fields.iter().any(|(name, field)| !is_heard(name) && has_code_points(field))
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => false,
    }
}

/// Fields that are heard, and never drawn.
fn is_heard(field: &str) -> bool {
    matches!(field, "alt" | "summary" | "metadata")
}

/// Makes every string of a value one that is heard.
fn make_heard(value: &mut Value) {
    match value {
        Value::String(text) => *text = said(text),
        Value::Array(items) => items.iter_mut().for_each(make_heard),
        Value::Object(fields) => fields.values_mut().for_each(make_heard),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// Makes every string of a value legible, keys left out, and marks where long words may break.
pub fn make_legible(value: &mut Value) {
    match value {
        Value::String(text) => *text = running(text),
        Value::Array(items) => items.iter_mut().for_each(make_legible),
        Value::Object(fields) => match fields.get("narrow") {
            Some(Value::String(text)) if fields.len() == 1 => *value = Value::String(narrow(text)),
            _ => {
                // Cells of a table of the page model are narrow, whatever they hold.
                let is_table = fields.get("kind").is_some_and(|kind| kind == "table");
                for (name, field) in fields {
                    if is_heard(name) {
                        make_heard(field)
                    } else if is_table && name == "rows" {
                        make_narrow(field)
                    } else {
                        make_legible(field)
                    }
                }
            }
        },
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// Makes every string of a value fit for a narrow cell.
fn make_narrow(value: &mut Value) {
    match value {
        Value::String(text) => *text = narrow(text),
        Value::Array(items) => items.iter_mut().for_each(make_narrow),
        Value::Object(fields) => fields.values_mut().for_each(make_narrow),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// A text as a narrow cell has it.
pub fn narrow(text: &str) -> String {
    breakable(&bound(&shown(text)), LONGEST_NARROW)
}

/// A text as every other place has it.
pub fn running(text: &str) -> String {
    breakable(&bound(&shown(text)), LONGEST_WORD)
}

/// A text whose lines don't break between a number and its unit.
fn bound(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(' ') {
        let (before, after) = (&rest[..at], &rest[at + 1..]);
        let end = after.find(|c: char| !is_in_unit(c)).unwrap_or(after.len());
        let is_number = before.ends_with(|c: char| c.is_ascii_digit());
        let is_unit = || UNITS.iter().any(|unit| printed(unit.suffix) == &after[..end]);
        let is_word = || after[end..].starts_with(char::is_alphanumeric);
        out.push_str(before);
        out.push(if is_number && is_unit() && !is_word() { '\u{a0}' } else { ' ' });
        rest = after;
    }
    out + rest
}

/// What units are written with.
fn is_in_unit(c: char) -> bool {
    c.is_alphabetic() || "\u{b0}\u{b2}\u{b3}/%".contains(c)
}

/// The pieces between the breaks of a text.
#[cfg(test)]
fn pieces(text: &str) -> impl Iterator<Item = &str> {
    text.split([BREAK, ' ', '\n'])
}

/// Whether a character can be seen for what it is.
fn is_seen(c: char) -> bool {
    !c.is_control() && !is_unseen(u32::from(c)) && FONTS.show(c)
}

/// Whether a character stands on the letter before it.
fn is_mark(c: char) -> bool {
    const FIRST: char = '\u{300}';
    c >= FIRST && ['a', c].iter().collect::<String>().graphemes(true).count() == 1
}

/// Characters that have no shape of their own, even where a font has an entry for them: format
/// characters, fillers, private use, and code points that are no characters (Unicode 16, chapter 23).
fn is_unseen(code: u32) -> bool {
    matches!(code,
        0xAD | 0x34F | 0x600..=0x605 | 0x61C | 0x6DD | 0x70F | 0x8E2 | 0x115F | 0x1160
        | 0x17B4 | 0x17B5 | 0x180B..=0x180F | 0x200B..=0x200F | 0x202A..=0x202E
        | 0x2060..=0x206F | 0x3164 | 0xE000..=0xF8FF | 0xFDD0..=0xFDEF | 0xFE00..=0xFE0F
        | 0xFEFF | 0xFFA0 | 0xFFF0..=0xFFFF | 0xE0000..)
        || code & 0xFFFE == 0xFFFE
}

/// Marks where words longer than `longest` may break: after a sign inside them, else every few
/// letters, never inside what is read as one letter.
fn breakable(text: &str, longest: usize) -> String {
    if !text.split(char::is_whitespace).any(|word| word.len() > longest) {
        return text.to_string();
    }
    let mut out = String::with_capacity(text.len() * 5 / 4);
    for word in text.split_inclusive(char::is_whitespace) {
        if word.contains(BREAK) || word.chars().count() <= longest {
            out.push_str(word);
            continue;
        }
        let most = longest.min(8);
        let mut since = 0;
        let mut letters = word.graphemes(true).peekable();
        while let Some(letter) = letters.next() {
            out.push_str(letter);
            since += 1;
            let after_sign = letter.ends_with(|c| "/_.:;,-=&?@\\|+)]#".contains(c)) && since > 1;
            let goes_on = letters.peek().is_some_and(|next| !next.starts_with(char::is_whitespace));
            if goes_on && (after_sign || since >= most) {
                out.push(BREAK);
                since = 0;
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_has_no_shape_is_shown_as_its_code_point() {
        assert_eq!(shown("ship \u{1F6A2}"), "ship [U+1F6A2]");
        assert_eq!(shown("a\0b\u{7}"), "a[U+0000]b[U+0007]");
        assert_eq!(shown("\u{202E}turned"), "[U+202E]turned");
        assert_eq!(shown("\u{E000}\u{FFFE}\u{FEFF}"), "[U+E000][U+FFFE][U+FEFF]");
        assert_eq!(shown("caf\u{e9} e\u{301} \u{5d0}\u{5d1}"), "caf\u{e9} e\u{301} \u{5d0}\u{5d1}");
    }

    #[test]
    fn marks_heaped_on_a_letter_do_not_leave_the_line() {
        let few = format!("e{}", "\u{301}".repeat(MOST_MARKS));
        assert_eq!(shown(&few), few);
        assert_eq!(shown(&format!("{few}\u{302}x\u{302}")), format!("{few}[U+0302]x\u{302}"));
        let letters = "\u{5d0}\u{5d1}e\u{301}\u{302}".repeat(9);
        assert_eq!(shown(&letters), letters);
    }

    #[test]
    fn line_breaks_stay_line_breaks() {
        assert_eq!(shown("one\r\ntwo\rthree\nfour\u{2028}five"), "one\ntwo\nthree\nfour\nfive");
    }

    #[test]
    fn long_words_may_break_and_short_ones_stay_whole() {
        let short = "positions and sightings";
        assert_eq!(breakable(short, LONGEST_WORD), short);
        let broken = breakable("plan/openings/a-very-long-name.csv", LONGEST_WORD);
        assert_eq!(broken.replace(BREAK, ""), "plan/openings/a-very-long-name.csv");
        assert!(broken.starts_with("plan/\u{200b}"));
        let run = breakable(&"x".repeat(500), LONGEST_WORD);
        assert!(pieces(&run).all(|piece| piece.len() <= 8));
        // A letter with its marks stays in one piece.
        let marked = breakable(&"e\u{301}\u{302}".repeat(60), LONGEST_WORD);
        assert!(pieces(&marked).all(|piece| piece.starts_with('e')));
    }

    #[test]
    fn what_is_heard_needs_no_shape() {
        let mut value = serde_json::json!({
            "alt": "ship \u{1F6A2},\n\u{202E}turned", "words": "ship \u{1F6A2}", "metadata": { "title": "\u{1F6A2}" },
        });
        assert!(has_code_points(&value));
        make_legible(&mut value);
        assert_eq!(value["alt"], "ship \u{1F6A2}, [U+202E]turned");
        assert_eq!(value["words"], "ship [U+1F6A2]");
        assert_eq!(value["metadata"]["title"], "\u{1F6A2}");
        assert!(!has_code_points(
            &serde_json::json!({ "alt": "\u{1F6A2}", "words": "[U+0041] caf\u{e9}" })
        ));
    }

    #[test]
    fn a_unit_stays_with_its_number() {
        let kept = |text: &str| bound(text).replace('\u{a0}', "~");
        assert_eq!(kept("about 14.5 m aft, 17 ft 6 in; 3 K"), "about 14.5~m aft, 17~ft 6~in; 3~K");
        assert_eq!(kept("0.330 m\u{b2} of 12 mm, 5 \u{b0}C"), "0.330~m\u{b2} of 12~mm, 5~\u{b0}C");
        assert_eq!(kept("3 marks, 2 tons of P2 m, 7  m"), "3 marks, 2 tons of P2~m, 7  m");
    }

    #[test]
    fn a_persons_own_break_is_shown_and_ours_are_set_in_one_place() {
        let mut value = serde_json::json!({
            "texts": ["a\u{200b}b", 1, null],
            "cell": Narrow::new("2031-04-07T11:42:00"),
        });
        make_legible(&mut value);
        assert_eq!(value["texts"], serde_json::json!(["a[U+200B]b", 1, null]));
        let cell = value["cell"].as_str().unwrap_or_default();
        assert!(cell.contains(BREAK));
        assert_eq!(cell.replace(BREAK, ""), "2031-04-07T11:42:00");
        let mut table = serde_json::json!({
            "kind": "table",
            "rows": [[[{ "words": "preparation checks" }]]],
            "more": "2 preparation checks",
        });
        make_legible(&mut table);
        let cell = table["rows"][0][0][0]["words"].as_str().unwrap_or_default();
        assert_eq!(cell, "preparat\u{200b}ion checks");
        assert_eq!(table["more"], "2 preparation checks");
    }
}
