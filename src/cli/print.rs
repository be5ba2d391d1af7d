//! Text for a person: wrapped to the terminal, colour only where there is one.

use std::fmt::Write as _;

use anstyle::{AnsiColor, Style};
use serde::Serialize;

use super::page::Page;
use crate::bundle::error::BundleError;
use crate::findings::answers::said;
use crate::findings::blanks;
use crate::findings::finding::{Finding, Outcome};
use crate::records::bounds::Sort;
use crate::records::characters::{shown, shown_in_json};
use crate::records::place::Place;
use crate::records::remarks::Remark;
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

/// The caution with which an output ends, under an empty line.
pub fn caution() -> String {
    format!("\n{}\n", wrapped(cautions::SHORT, 0))
}

/// Findings in full; of those that follow from one record the first, with the record and a count of the rest.
pub fn findings(findings: &[&Finding]) -> Page {
    const NAMED: usize = 6;
    let mut out: Vec<Page> = Vec::new();
    for (number, finding) in findings.iter().enumerate() {
        // An answer is never hidden behind another's.
        let is_open = |finding: &Finding| finding.remark.is_none() && finding.earlier.is_empty();
        let Some(cause) = finding.cause.as_ref().filter(|_| is_open(finding)) else {
            out.push(self::finding(finding));
            continue;
        };
        let follows = |other: &&&Finding| is_open(other) && other.cause.as_ref() == Some(cause);
        if findings[..number].iter().any(|other| follows(&other)) {
            continue;
        }
        let rest: Vec<&str> = findings[number + 1..]
            .iter()
            .filter(follows)
            .map(|finding| finding.id.as_str())
            .collect();
        let mut text = self::finding(finding);
        let because = format!("at {}: {}", cause.place, cause.sentence);
        let _ = writeln!(text, "{}", wrapped(&because, 4));
        if !rest.is_empty() {
            let named = rest.iter().take(NAMED).copied().collect::<Vec<_>>().join(", ");
            let more = match rest.len().saturating_sub(NAMED) {
                0 => String::new(),
                more => format!(" and {more} others (--json has each)"),
            };
            let follow = format!("{} more follow from it: {named}{more}", rest.len());
            let _ = writeln!(text, "{}", wrapped(&follow, 4));
        }
        out.push(text);
    }
    Page::parted(out)
}

/// A finding in full.
pub fn finding(finding: &Finding) -> Page {
    let mut out = Page::new();
    out.push_str("  ");
    out.styled(&format!("{:12}", finding.outcome.words()), style(finding.outcome));
    out.push_str("  ");
    out.heading(&finding.id);
    let _ = writeln!(out, "{}", wrapped(&finding.sentence.to_string(), 4));
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
        let _ = writeln!(out, "{}", wrapped(&answer(remark), 4));
    }
    for remark in &finding.earlier {
        let text = format!("{}: {}", capital(&given(remark)), answer(remark));
        let _ = writeln!(out, "{}", wrapped(&text, 4));
    }
    if let Some(blank) = finding.blank.as_ref().filter(|_| finding.wants_answer()) {
        let _ = writeln!(out, "{}", wrapped(&format!("Its blank stands at {blank}."), 4));
    }
    out
}

/// The lines that an answer lacks: what its findings say.
pub fn unstated(place: &Place, findings: &[Option<&Finding>]) -> Page {
    let mut out = Page::of("  ");
    out.heading(&place.to_string());
    for line in blanks::stated(findings).concat().lines() {
        let _ = writeln!(out, "    {line}");
    }
    out
}

/// An answer whose finding is not in the record.
pub fn without_finding(remark: &Remark) -> Page {
    let mut out = Page::of("  ");
    out.heading(&remark.finding);
    let place = format!("{}, {}", remark.place, given(remark));
    let _ = writeln!(out, "{}", wrapped(&place, 4));
    let _ = writeln!(out, "{}", wrapped(&answer(remark), 4));
    out
}

fn answer(remark: &Remark) -> String {
    format!("{}, {}: {}", remark.by, remark.on, remark.answer)
}

/// When an answer was given, by what its finding said then.
fn given(remark: &Remark) -> String {
    match &remark.then {
        Some(then) => format!("given when it said \"{}\"", said(then)),
        None => "given without stating what it answered".to_string(),
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|first| first.to_uppercase().chain(chars).collect()).unwrap_or_default()
}

/// Failures of a bundle as data.
pub fn errors_as_data(errors: &[BundleError]) -> serde_json::Value {
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
