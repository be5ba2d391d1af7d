//! Findings that nobody has answered, then and now.

use serde::Serialize;

use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::written::{Counts, FindingsWritten};

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
pub struct Waiting {
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
    pub finding: Waiting,
    /// How the finding of that id comes out now; null without one.
    pub now: Option<&'static str>,
}

/// One that has no answer now.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FindingNow {
    /// The finding now.
    #[serde(flatten)]
    pub finding: Waiting,
    /// How the finding of that id came out then; null without one.
    pub then: Option<&'static str>,
}

/// Compares them.
pub(super) fn compare(older: &Examined, newer: &Examined) -> Findings {
    let counts = |examined: &Examined| FindingsWritten::new(examined, "").counts;
    let outcome = |examined: &Examined, id: &str| {
        let found = examined.findings.iter().find(|finding| finding.id == id);
        found.map(how)
    };
    Findings {
        older: counts(older),
        newer: counts(newer),
        unanswered_then: older
            .unanswered()
            .map(|finding| FindingThen {
                finding: waiting(finding),
                now: outcome(newer, &finding.id),
            })
            .collect(),
        unanswered_now: newer
            .unanswered()
            .map(|finding| FindingNow {
                finding: waiting(finding),
                then: outcome(older, &finding.id),
            })
            .collect(),
    }
}

fn waiting(finding: &Finding) -> Waiting {
    Waiting {
        id: finding.id.clone(),
        outcome: finding.outcome.words(),
        sentence: finding.sentence.to_string(),
    }
}

/// Its outcome in words, and whether it has an answer.
fn how(finding: &Finding) -> &'static str {
    match (finding.outcome, finding.remark.is_some()) {
        (Outcome::Differs, true) => "differs, answered",
        (Outcome::BeyondLimit, true) => "beyond limit, answered",
        (outcome, _) => outcome.words(),
    }
}
