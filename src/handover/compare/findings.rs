//! Findings that nobody has answered, then and now.

use serde::Serialize;

use super::shared::ELSEWHERE;
use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::subject::Weight;
use crate::findings::written::{Counts, FindingsWritten};
use crate::pages::{Cell, Column, Section, Table};
use crate::text;
use crate::text::{Text, count, id};

/// Rows of a table of findings.
const MOST_ROWS: usize = 30;

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
    /// How many are made in both dockings, by their ids.
    pub in_both: usize,
    /// Those of both that come out otherwise now: first those that came out worse, of these the heaviest.
    pub changed: Vec<FindingChanged>,
}

/// A finding that comes out otherwise.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FindingChanged {
    /// Its id.
    pub id: String,
    /// How it came out then.
    pub older: &'static str,
    /// How it comes out now.
    pub newer: &'static str,
    /// Whether it came out worse: it agreed then, and now differs or is beyond a limit.
    pub is_worse: bool,
    /// What it weighs where it does not agree.
    pub weight: Option<&'static str>,
    /// What it says now.
    pub sentence: Text,
}

/// A finding without an answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unanswered {
    /// Its id.
    pub id: String,
    /// How it came out.
    pub outcome: &'static str,
    /// Its sentence.
    pub sentence: Text,
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
    let both = both(older, newer);
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
        in_both: both.len(),
        changed: changed(&both),
    }
}

/// The findings that both dockings make.
fn both<'a>(older: &'a Examined, newer: &'a Examined) -> Vec<(&'a Finding, &'a Finding)> {
    newer.findings.iter().filter_map(|is| Some((older.finding_called(&is.id)?, is))).collect()
}

fn changed(both: &[(&Finding, &Finding)]) -> Vec<FindingChanged> {
    let mut changed: Vec<(Option<Weight>, FindingChanged)> = both
        .iter()
        .filter(|(was, is)| was.outcome != is.outcome)
        .map(|(was, is)| {
            // One of the two does not agree, and so weighs something.
            let weight = is.weight().or(was.weight());
            let changed = FindingChanged {
                id: is.id.clone(),
                older: was.outcome.words(),
                newer: is.outcome.words(),
                is_worse: was.outcome == Outcome::Agrees && is.is_troubled(),
                weight: weight.map(Weight::word),
                sentence: is.sentence.clone(),
            };
            (weight, changed)
        })
        .collect();
    changed.sort_by_key(|(weight, one)| (!one.is_worse, *weight));
    changed.into_iter().map(|(_, one)| one).collect()
}

fn unanswered(finding: &Finding) -> Unanswered {
    Unanswered {
        id: finding.id.clone(),
        outcome: finding.outcome.words(),
        sentence: finding.sentence.clone(),
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

/// Findings that only one of the dockings makes.
pub(super) fn not_compared(findings: &Findings) -> Vec<Text> {
    let alone = |counts: &Counts| {
        let all = counts.agrees + counts.differs + counts.beyond_limit + counts.not_recorded;
        all.saturating_sub(findings.in_both)
    };
    let (then, now) = (alone(&findings.older), alone(&findings.newer));
    let said = text!(
        "{} then and {} now have no counterpart of the same id, since what they are about has another name in the other \
         docking or is not recorded there.",
        then,
        now
    );
    if then + now == 0 { Vec::new() } else { vec![said] }
}

pub(super) fn section(findings: &Findings) -> Section {
    let mut section = Section::new("Findings").at("compared-findings");
    let [agrees, not_recorded] = [Outcome::Agrees, Outcome::NotRecorded].map(Outcome::words);
    let counted = |is: &dyn Fn(&FindingChanged) -> bool| {
        findings.changed.iter().filter(|one| is(one)).count()
    };
    let mut lead = match findings.in_both {
        0 => text!("No finding is made in both dockings."),
        both => text!(
            "Made in both dockings: {}. Of these agreed then, and now differ or are beyond a limit: {}; the other way round: \
             {}; checked only then: {}; only now: {}.",
            both,
            counted(&|one| one.is_worse),
            counted(&|one| one.newer == agrees && one.older != not_recorded),
            counted(&|one| one.newer == not_recorded),
            counted(&|one| one.older == not_recorded)
        ),
    };
    lead.extend(match (findings.unanswered_then.len(), findings.unanswered_now.len()) {
        (0, 0) => text!(" No finding of either docking waits for an answer."),
        (then, now) => text!(
            " {} then and {} now differ or are beyond a limit and have no answer.",
            Text::from(count(then, "finding", "findings")).capitalized(),
            count(now, "finding", "findings")
        ),
    });
    section.paragraph(lead);
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
    section.paragraph(
        "A finding is the same in both if it has the same id. Where it names a block, a position or a coat, that is what \
         bears the name in each docking, which need not be the same thing.",
    );
    let columns = [
        Column::text("Finding"),
        Column::name("Then"),
        Column::name("Now"),
        Column::text("What is found now").share(1.6),
    ];
    let rows = findings.changed.iter().map(|one| -> [Cell; 4] {
        [id(&one.id).into(), one.older.into(), one.newer.into(), one.sentence.clone().into()]
    });
    let about = "What comes out otherwise now, first what came out worse:";
    section.table(Table::new(columns).rows(rows).about(about).cut(MOST_ROWS, ELSEWHERE));
    // A finding may have no counterpart in the other docking.
    let table = |when: [&str; 2], rows: Vec<(&Unanswered, Option<&'static str>)>| {
        let columns = [
            Column::text("Finding"),
            Column::name(when[0]),
            Column::name(when[1]),
            Column::text("What was found").share(1.6),
        ];
        Table::new(columns).rows(rows.into_iter().map(|(unanswered, other)| -> [Cell; 4] {
            let finding = id(&unanswered.id).into();
            [
                finding,
                unanswered.outcome.into(),
                Cell::if_any(other),
                unanswered.sentence.clone().into(),
            ]
        }))
    };
    let then = findings.unanswered_then.iter().map(|one| (&one.finding, one.now)).collect();
    let about = "Unanswered then, and how they come out now:";
    section.table(table(["Then", "Now"], then).about(about).cut(MOST_ROWS, ELSEWHERE));
    let now = findings.unanswered_now.iter().map(|one| (&one.finding, one.then)).collect();
    let about = "Unanswered now, and how they came out then:";
    section.table(table(["Now", "Then"], now).about(about).cut(MOST_ROWS, ELSEWHERE));
    section
}
