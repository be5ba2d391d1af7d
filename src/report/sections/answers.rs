//! Findings that need an answer, and those that got one.

use serde::Serialize;

use super::MOST_PRINTED;
use super::finding::{Answer, Printed, answer, printed};
use crate::findings::Examined;
use crate::report::text::First;

#[derive(Serialize)]
pub(super) struct Answers<'a> {
    unanswered: First<Printed<'a>>,
    answered: First<Printed<'a>>,
    /// Findings in no need of an answer now that were answered when they said something else.
    earlier: First<Printed<'a>>,
    /// Answers whose finding is not in this record.
    without_finding: First<Answer<'a>>,
}

pub(super) fn section(examined: &Examined) -> Answers<'_> {
    let answered = examined.findings.iter().filter(|finding| finding.remark.is_some());
    let earlier = examined.findings.iter().filter(|finding| {
        !finding.earlier.is_empty() && finding.remark.is_none() && !finding.wants_answer()
    });
    let without_finding = examined.without_finding.iter().map(answer).collect();
    Answers {
        unanswered: First::of(examined.unanswered().map(printed).collect(), MOST_PRINTED),
        answered: First::of(answered.map(printed).collect(), MOST_PRINTED),
        earlier: First::of(earlier.map(printed).collect(), MOST_PRINTED),
        without_finding: First::of(without_finding, MOST_PRINTED),
    }
}
