//! Findings that nobody has answered.

use super::{Comparison, Section, Table, name, words};
use crate::handover::compare::Waiting;
use crate::report::text::count;

pub(super) fn section(comparison: &Comparison) -> Section {
    let findings = &comparison.findings;
    let (then, now) = (findings.unanswered_then.len(), findings.unanswered_now.len());
    let lead = match (then, now) {
        (0, 0) => "No finding of either docking awaits an answer.".to_string(),
        _ => format!(
            "Of those that differ or are beyond a limit, {} then and {} now.",
            count(then, "finding", "findings"),
            count(now, "finding", "findings"),
        ),
    };
    let mut section = Section::new("Findings without an answer", lead);
    let counts = |of: &crate::findings::written::Counts| {
        format!(
            "{} agree, {} differ, {} beyond a limit, {} not recorded",
            of.agrees, of.differs, of.beyond_limit, of.not_recorded
        )
    };
    section.says.push(format!(
        "All findings, by this version of the program: then {}; now {}.",
        counts(&findings.older),
        counts(&findings.newer)
    ));
    let table = |about: &str, other: [super::Column; 2]| {
        let [one, two] = other;
        Table::new(about, [words("Finding"), one, two, words("What was found")])
    };
    let row = |waiting: &Waiting, one: &str, other: Option<&str>| {
        [
            Some(waiting.id.clone()),
            Some(one.to_string()),
            other.map(str::to_string),
            Some(waiting.sentence.clone()),
        ]
    };
    let rows = findings.unanswered_then.iter();
    table("Without an answer then, and what came of it:", [name("Then"), name("Now")])
        .rows(rows.map(|one| row(&one.finding, one.finding.outcome, one.now)))
        .to(&mut section);
    let rows = findings.unanswered_now.iter();
    table("Without an answer now:", [name("Now"), name("Then")])
        .rows(rows.map(|one| row(&one.finding, one.finding.outcome, one.then)))
        .to(&mut section);
    section
}
