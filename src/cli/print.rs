//! Text for a person: wrapped to the terminal, colour only where there is one.

use std::fmt::Write as _;

use anstyle::{AnsiColor, Style};
use serde::Serialize;

use crate::bundle::error::BundleError;
use crate::findings::finding::{Finding, Outcome};
use crate::records::bounds::Sort;
use crate::records::problem::shown;
use crate::words::cautions;

const WIDEST: usize = 100;

/// Columns to write in: the terminal's, within reason, or 100 where there is none.
pub fn width() -> usize {
    terminal_size::terminal_size()
        .map_or(WIDEST, |(width, _)| usize::from(width.0))
        .clamp(40, WIDEST)
}

/// A paragraph, each line indented by so many spaces. What stands in a file reaches the terminal as text, and
/// as no order to it.
pub fn wrapped(text: &str, indent: usize) -> String {
    let spaces = " ".repeat(indent);
    let options =
        textwrap::Options::new(width()).initial_indent(&spaces).subsequent_indent(&spaces);
    textwrap::fill(&shown(text), options)
}

/// How an outcome is coloured; words and signs say the same without it.
pub fn style(outcome: Outcome) -> Style {
    match outcome {
        Outcome::Agrees => Style::new(),
        Outcome::Differs | Outcome::BeyondLimit => AnsiColor::Red.on_default().bold(),
        Outcome::NotRecorded => AnsiColor::Yellow.on_default(),
    }
}

/// Words in bold, or in a colour that means something.
pub fn styled(text: &str, style: Style) -> String {
    format!("{style}{text}{style:#}")
}

/// A heading.
pub fn bold(text: &str) -> String {
    styled(text, Style::new().bold())
}

/// The caution with which an output ends, under an empty line.
pub fn caution() -> String {
    format!("\n{}\n", wrapped(cautions::SHORT, 0))
}

/// A finding in full.
pub fn finding(finding: &Finding) -> String {
    let mut out = String::new();
    let outcome = styled(&format!("{:12}", finding.outcome.words()), style(finding.outcome));
    let _ = writeln!(out, "  {outcome}  {}", bold(&finding.id));
    let _ = writeln!(out, "{}", wrapped(&finding.sentence, 4));
    let mut figures = Vec::new();
    if let Some(recorded) = &finding.recorded {
        figures.push(format!("recorded {recorded}"));
    }
    if let Some(recomputed) = &finding.recomputed {
        figures.push(format!("recomputed {recomputed}"));
    }
    if let Some(against) = &finding.against {
        let sort = match against.sort {
            Sort::Limit => "limit",
            Sort::Tolerance => "tolerance",
        };
        figures.push(format!("{sort} {} ({})", against.value, against.source));
    }
    if !figures.is_empty() {
        let _ = writeln!(out, "{}", wrapped(&figures.join(", "), 4));
    }
    if !finding.records.is_empty() {
        const SHOWN: usize = 6;
        let mut places: Vec<String> =
            finding.records.iter().take(SHOWN).map(ToString::to_string).collect();
        if finding.records.len() > SHOWN {
            places.push(format!("and {} more", finding.records.len() - SHOWN));
        }
        let _ = writeln!(out, "{}", wrapped(&format!("see {}", places.join(", ")), 4));
    }
    if let Some(remark) = &finding.remark {
        let answer = format!("{}, {}: {}", remark.by, remark.on, remark.answer);
        let _ = writeln!(out, "{}", wrapped(&answer, 4));
    }
    out
}

/// Failures of a bundle as JSON.
pub fn errors_as_json(errors: &[BundleError]) -> String {
    let data: Vec<serde_json::Value> = errors
        .iter()
        .map(|e| serde_json::json!({ "at": e.at, "wrong": e.wrong, "advice": e.advice }))
        .collect();
    json(&serde_json::json!({ "errors": data }))
}

/// Anything as JSON, indented.
pub fn json(value: &impl Serialize) -> String {
    serde_json::to_string_pretty(value)
        .unwrap_or_else(|error| format!("{{\"error\": \"{error}\"}}"))
}

/// A count of bytes as a person says it.
pub fn bytes(count: u64) -> String {
    const STEPS: [(u64, &str); 3] = [(1 << 30, "GiB"), (1 << 20, "MiB"), (1 << 10, "KiB")];
    match STEPS.iter().find(|(step, _)| count >= *step) {
        Some((step, unit)) => format!("{:.1} {unit}", count as f64 / *step as f64),
        None => format!("{count} bytes"),
    }
}
