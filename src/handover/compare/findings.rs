//! Findings that nobody has answered, then and now.

use serde::Serialize;

use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::written::{Counts, FindingsWritten};
use crate::pages::{Cell, Column, Section, Table};
use crate::text;
use crate::text::{Text, count, id};

/// The findings of both dockings, as this version of the program makes them.
#[derive(Debug, Clone, Serialize)]
pub struct Findings {
    /// How many came out in each way then.
    pub older: Counts,
    /// How many come out in each way now.
    pub newer: Counts,
    /// What had no answer then, and what the same finding is now.
    pub unanswered_then: Vec<FindingThen>,
    /// What has no answer now, and what the same finding was then.
    pub unanswered_now: Vec<FindingNow>,
}

/// A finding without an answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unanswered {
    /// Its id.
    pub id: String,
    /// How it came out.
    pub outcome: &'static str,
    /// Its sentence.
    pub sentence: String,
}

/// One that had no answer then.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FindingThen {
    /// The finding then.
    #[serde(flatten)]
    pub finding: Unanswered,
    /// How the finding of that id comes out now; null without one.
    pub now: Option<&'static str>,
}

/// One that has no answer now.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FindingNow {
    /// The finding now.
    #[serde(flatten)]
    pub finding: Unanswered,
    /// How the finding of that id came out then; null without one.
    pub then: Option<&'static str>,
}

pub(super) fn compare(older: &Examined, newer: &Examined) -> Findings {
    let counts = |examined: &Examined| FindingsWritten::new(examined, "").counts;
    let outcome =
        |examined: &Examined, id: &str| examined.finding_called(id).map(outcome_and_answer);
    Findings {
        older: counts(older),
        newer: counts(newer),
        unanswered_then: older
            .unanswered()
            .map(|finding| FindingThen {
                finding: unanswered(finding),
                now: outcome(newer, &finding.id),
            })
            .collect(),
        unanswered_now: newer
            .unanswered()
            .map(|finding| FindingNow {
                finding: unanswered(finding),
                then: outcome(older, &finding.id),
            })
            .collect(),
    }
}

fn unanswered(finding: &Finding) -> Unanswered {
    Unanswered {
        id: finding.id.clone(),
        outcome: finding.outcome.words(),
        sentence: finding.sentence.to_string(),
    }
}

/// Its outcome in words, and whether it has an answer.
fn outcome_and_answer(finding: &Finding) -> &'static str {
    match (finding.outcome, finding.remark.is_some()) {
        (Outcome::Differs, true) => "differs, answered",
        (Outcome::BeyondLimit, true) => "beyond limit, answered",
        (outcome, _) => outcome.words(),
    }
}

pub(super) fn section(findings: &Findings) -> Section {
    let mut section = Section::new("Findings without an answer");
    section.paragraph(match (findings.unanswered_then.len(), findings.unanswered_now.len()) {
        (0, 0) => text!("No finding of either docking waits for an answer."),
        (then, now) => text!(
            "{} then and {} now differ or are beyond a limit and have no answer.",
            count(then, "finding", "findings"),
            count(now, "finding", "findings")
        ),
    });
    let in_words = |counts: &Counts| -> Text {
        text!(
            "{} agree, {} differ, {} beyond a limit, {} not recorded",
            counts.agrees,
            counts.differs,
            counts.beyond_limit,
            counts.not_recorded
        )
    };
    section.paragraph(text!(
        "All findings, by this version of the program: then {}; now {}.",
        in_words(&findings.older),
        in_words(&findings.newer)
    ));
    // A finding may have no counterpart in the other docking.
    let table = |when: [&str; 2], rows: Vec<(&Unanswered, Option<&'static str>)>| {
        let columns = [
            Column::text("Finding"),
            Column::name(when[0]),
            Column::name(when[1]),
            Column::text("What was found"),
        ];
        Table::new(columns).rows(rows.into_iter().map(|(unanswered, other)| -> [Cell; 4] {
            let finding = id(&unanswered.id).into();
            [
                finding,
                unanswered.outcome.into(),
                Cell::if_any(other),
                unanswered.sentence.as_str().into(),
            ]
        }))
    };
    let then = findings.unanswered_then.iter().map(|one| (&one.finding, one.now)).collect();
    let about = "Unanswered then, and how they come out now:";
    section.table(table(["Then", "Now"], then).about(about));
    let now = findings.unanswered_now.iter().map(|one| (&one.finding, one.then)).collect();
    section.table(table(["Now", "Then"], now).about("Unanswered now, and how they came out then:"));
    section
}
