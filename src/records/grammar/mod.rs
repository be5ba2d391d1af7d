//! How people write numbers, lengths, times and words, and what is read of it: each has one meaning, or it is refused.
//!
//! What has two meanings is never decided by a guess about the single cell: of days the whole file decides, and of
//! everything else both readings are shown.

pub mod grades;
pub mod lengths;
pub mod numbers;
pub mod orders;
pub mod times;
pub mod words;

/// Why a text is not the value that its column holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InvalidValue {
    /// What is wrong with it, to follow the quoted value.
    pub wrong: String,
    pub expected: String,
    /// What to do.
    pub advice: String,
}

/// A text that is not the value that its column holds: what is wrong, what was expected, what to do.
pub(super) fn invalid(
    wrong: impl Into<String>,
    expected: impl Into<String>,
    advice: impl Into<String>,
) -> InvalidValue {
    InvalidValue { wrong: wrong.into(), expected: expected.into(), advice: advice.into() }
}

/// A text with the signs of a keyboard in place of those that word processors, phones and spreadsheets put there:
/// minus signs and dashes, primes and typographic quotation marks, narrow and unbreakable spaces, and fractions that
/// are one character.
pub(super) fn with_plain_signs(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.trim().chars() {
        match c {
            '\u{2212}' | '\u{2010}' | '\u{2011}' | '\u{2013}' => plain.push('-'),
            '\u{2018}' | '\u{2019}' | '\u{2032}' => plain.push('\''),
            '\u{201c}' | '\u{201d}' | '\u{2033}' => plain.push('"'),
            '\u{a0}' | '\u{2009}' | '\u{202f}' | '\t' => plain.push(' '),
            c => match vulgar(c) {
                Some(fraction) => {
                    if plain.ends_with(|last: char| last.is_ascii_digit()) {
                        plain.push(' ');
                    }
                    plain.push_str(fraction);
                }
                None => plain.push(c),
            },
        }
    }
    plain
}

/// A fraction that is one character.
fn vulgar(c: char) -> Option<&'static str> {
    Some(match c {
        '\u{bd}' => "1/2",
        '\u{bc}' => "1/4",
        '\u{be}' => "3/4",
        '\u{215b}' => "1/8",
        '\u{215c}' => "3/8",
        '\u{215d}' => "5/8",
        '\u{215e}' => "7/8",
        _ => return None,
    })
}

/// Whether a text is digits and nothing else.
pub(super) fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// What stands in a cell where there was nothing to write down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nothing {
    /// A dash: the cell is empty.
    Dash,
    /// `n/a`: what the column asks for does not apply there.
    NotApplicable,
}

/// Whether a cell says in that way that it holds nothing.
pub fn nothing(text: &str) -> Option<Nothing> {
    match text {
        "-" | "\u{2013}" | "\u{2014}" | "\u{2212}" => Some(Nothing::Dash),
        _ if text.eq_ignore_ascii_case("n/a") => Some(Nothing::NotApplicable),
        _ => None,
    }
}
