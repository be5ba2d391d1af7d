//! How complete the record is, and the list that matters at a stage, for a person.

use std::fmt::Write as _;

use super::page::Page;
use super::print::{caution, wrapped};
use crate::findings::Examined;
use crate::findings::progress::{AID, Cure, Due, Owed, Progress, Section, Stage};

use anstyle::{AnsiColor, Style};

/// Of what is missing before a stage, how many things `check` names.
const NAMED: usize = 4;

/// Of the missing things of one sort, how many are named.
const MOST_NAMES: usize = 6;

/// Every section, recorded of expected, and what is missing before each stage.
pub fn complete(progress: &Progress, project: &str) -> Page {
    let mut out = Page::of("\n");
    out.heading("How complete the record is (recorded of expected)");
    for section in Section::ALL {
        let (recorded, expected) = progress.of(section);
        let count = match expected {
            0 => "nothing is expected".to_string(),
            _ => format!("{recorded:>5} of {expected}"),
        };
        let _ = writeln!(out, "  {:14}{count}", section.word());
    }
    for stage in Stage::ALL {
        let open: Vec<&Owed> =
            progress.owed.iter().filter(|owed| owed.stage == stage && owed.is_open()).collect();
        if open.is_empty() {
            continue;
        }
        out.push_str("\n");
        out.heading(&format!("Missing {}", words(stage)));
        for owed in open.iter().take(NAMED) {
            out.append(line(owed));
        }
        if open.len() > NAMED {
            let more = format!(
                "and {} more: lastdock check {project} --stage {}",
                open.len() - NAMED,
                stage.word()
            );
            let _ = writeln!(out, "{}", wrapped(&more, 2));
        }
    }
    out
}

/// The list that matters at a stage.
pub fn list(examined: &Examined, due: &Due<'_>) -> Page {
    let mut out = Page::new();
    let positions: Vec<&str> = due
        .positions
        .iter()
        .filter_map(|number| examined.project.positions.get(*number))
        .map(|position| position.id.as_str())
        .collect();
    let of = match (due.stage, positions.as_slice()) {
        (Stage::BeforeClosing, _) | (_, []) => String::new(),
        (_, names) => format!(", {}", names.join(", ")),
    };
    let title = format!("{}: {}{of}", examined.project.docking.ship.name, words(due.stage));
    out.heading(&title);
    let _ = writeln!(out, "{}", wrapped(AID, 0));
    let (open, done): (Vec<&&Owed>, Vec<&&Owed>) = due.owed.iter().partition(|owed| owed.is_open());
    let mut group = |title: &str, lines: Vec<Page>| {
        if !lines.is_empty() {
            out.push_str("\n");
            out.heading(title);
            out.append(Page::concat(lines).trim_end());
            out.push_str("\n");
        }
    };
    group("Open", open.iter().map(|owed| line(owed)).collect());
    group(
        "Findings without an answer",
        due.findings
            .iter()
            .map(|finding| {
                let mut page = Page::of("  ");
                page.heading(&finding.id);
                page.push_str(&format!("{}\n", wrapped(&finding.sentence.to_string(), 4)));
                page
            })
            .collect(),
    );
    group(
        "Water not before",
        due.cures.iter().map(|cure| Page::of(cured(examined, cure))).collect(),
    );
    group("Recorded", done.iter().map(|owed| line(owed)).collect());
    let sum = match due.open() {
        0 => "Nothing is open by the records.".to_string(),
        1 => "1 thing is open.".to_string(),
        n => format!("{n} things are open."),
    };
    let _ = writeln!(out, "\n{sum}");
    out.push_str(&caution());
    out
}

fn words(stage: Stage) -> &'static str {
    match stage {
        Stage::BeforeLanding => "before landing",
        Stage::BeforeFlooding => "before flooding",
        Stage::BeforeClosing => "before closing the record",
    }
}

/// How many are recorded, of what, and which are not.
fn line(owed: &Owed) -> Page {
    let count = format!("{:>5} of {:<5}", owed.recorded(), owed.expected);
    let missing = match owed.missing.as_slice() {
        [] => String::new(),
        names => {
            let shown = names.iter().take(MOST_NAMES).cloned().collect::<Vec<_>>().join(", ");
            match names.len().saturating_sub(MOST_NAMES) {
                0 => format!(" Missing: {shown}."),
                more => format!(" Missing: {shown} and {more} more."),
            }
        }
    };
    let text = format!("{}.{missing} ({})", sentence(&owed.what), owed.file);
    let text = wrapped(&text, 17);
    let style = if owed.is_open() { AnsiColor::Yellow.on_default() } else { Style::new() };
    let mut page = Page::of("  ");
    page.styled(&count, style);
    page.push_str(&format!(" {}\n", text.trim_start()));
    page
}

fn sentence(what: &str) -> String {
    let mut chars = what.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}

fn cured(examined: &Examined, cure: &Cure) -> String {
    let position = examined.project.positions.get(cure.position).map_or("", |p| p.id.as_str());
    let Cure { zone, application, from, .. } = cure;
    let text = match from {
        Some(from) => {
            let from = from.format("%Y-%m-%d %H:%M %:z");
            format!("{zone} in {position}: {from}, for {application}")
        }
        None => format!(
            "{zone} in {position}: not known, for the end of {application} or its product's least time to \
             immersion is not recorded"
        ),
    };
    format!("{}\n", wrapped(&text, 2))
}
