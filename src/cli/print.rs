//! Text for a person: wrapped to the terminal, colour only where there is one.

use anstyle::{AnsiColor, Style};
use serde::Serialize;

use crate::bundle::error::BundleError;
use crate::findings::finding::Outcome;
use crate::records::characters::{shown, shown_in_json};
use crate::words::cautions;

const WIDEST: usize = 100;

/// Columns to write in, within reason: the terminal's; where there is none those that `COLUMNS` states, or 100.
pub fn width() -> usize {
    let stated = || std::env::var("COLUMNS").ok()?.parse().ok();
    let width = terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    width.or_else(stated).unwrap_or(WIDEST).clamp(40, WIDEST)
}

/// A paragraph, each line indented by so many spaces. What stands in a file reaches the terminal as text, and
/// as no order to it.
pub fn wrapped(text: &str, indent: usize) -> String {
    let spaces = " ".repeat(indent);
    let options = prose(width()).initial_indent(&spaces).subsequent_indent(&spaces);
    textwrap::fill(&shown(text), options)
}

/// How paragraphs are broken into lines: at spaces. At a hyphen, half of a drawing's number or of a file's name would stand
/// on the next line.
pub fn prose(width: usize) -> textwrap::Options<'static> {
    textwrap::Options::new(width).word_splitter(textwrap::WordSplitter::NoHyphenation)
}

/// How an outcome is coloured; words and signs say the same without it.
pub fn style(outcome: Outcome) -> Style {
    match outcome {
        Outcome::Agrees => Style::new(),
        Outcome::Differs | Outcome::BeyondLimit => AnsiColor::Red.on_default().bold(),
        Outcome::NotRecorded => AnsiColor::Yellow.on_default(),
    }
}

/// The caution with which an output ends, under an empty line.
pub fn caution() -> String {
    format!("\n{}\n", wrapped(cautions::SHORT, 0))
}

/// Failures of a bundle as data.
pub fn errors_to_json(errors: &[BundleError]) -> serde_json::Value {
    let data: Vec<serde_json::Value> = errors
        .iter()
        .map(|e| serde_json::json!({ "at": e.at, "wrong": e.wrong, "advice": e.advice }))
        .collect();
    serde_json::json!({ "errors": data })
}

/// Anything as JSON, indented, as a terminal may be given it.
pub fn json(value: &impl Serialize) -> String {
    let json = serde_json::to_string_pretty(value)
        .unwrap_or_else(|error| serde_json::json!({ "error": error.to_string() }).to_string());
    shown_in_json(&json)
}

/// A count of bytes as a person says it.
pub fn bytes(count: u64) -> String {
    const STEPS: [(u64, &str); 3] = [(1 << 30, "GiB"), (1 << 20, "MiB"), (1 << 10, "KiB")];
    match STEPS.iter().find(|(step, _)| count >= *step) {
        Some((step, unit)) => format!("{:.1} {unit}", count as f64 / *step as f64),
        None => format!("{count} bytes"),
    }
}
