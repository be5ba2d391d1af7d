//! Findings counted by section, and the checks that could not be made.

use serde::Serialize;

use super::MOST_PRINTED;
use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::report::legible::Narrow;
use crate::report::text::First;

/// How many findings of each outcome, section by section.
#[derive(Serialize)]
pub(super) struct Counted<'a> {
    outcomes: Vec<&'static str>,
    sections: Vec<Row<'a>>,
    total: Row<'static>,
    not_recorded: First<NotRecorded>,
}

#[derive(Serialize)]
struct Row<'a> {
    section: &'a str,
    /// In the order of `Counted::outcomes`.
    counts: Vec<usize>,
    findings: usize,
}

#[derive(Serialize)]
struct NotRecorded {
    id: Narrow,
    sentence: String,
}

const OUTCOMES: [Outcome; 4] =
    [Outcome::Agrees, Outcome::Differs, Outcome::BeyondLimit, Outcome::NotRecorded];

pub(super) fn section(examined: &Examined) -> Counted<'_> {
    let mut sections: Vec<(&str, Vec<&Finding>)> = Vec::new();
    for finding in &examined.findings {
        let section = finding.section();
        match sections.iter_mut().find(|(found, _)| *found == section) {
            Some((_, findings)) => findings.push(finding),
            None => sections.push((section, vec![finding])),
        }
    }
    let all: Vec<&Finding> = examined.findings.iter().collect();
    let not_recorded = all.iter().filter(|finding| finding.outcome == Outcome::NotRecorded);
    let not_recorded = not_recorded.map(|finding| NotRecorded {
        id: Narrow::new(&finding.id),
        sentence: finding.sentence.to_string(),
    });
    Counted {
        outcomes: OUTCOMES.iter().map(|outcome| outcome.words()).collect(),
        sections: sections.iter().map(|(section, findings)| row(section, findings)).collect(),
        total: row("total", &all),
        not_recorded: First::of(not_recorded.collect(), MOST_PRINTED),
    }
}

fn row<'a>(section: &'a str, findings: &[&Finding]) -> Row<'a> {
    let count = |outcome| findings.iter().filter(|finding| finding.outcome == outcome).count();
    Row {
        section,
        counts: OUTCOMES.iter().map(|outcome| count(*outcome)).collect(),
        findings: findings.len(),
    }
}
