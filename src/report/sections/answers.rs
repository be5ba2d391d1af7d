//! Findings that need an answer, and those that got one.

use serde::Serialize;

use super::MOST_PRINTED;
use super::finding::{Printed, printed};
use crate::findings::Examined;
use crate::report::text::First;

#[derive(Serialize)]
pub(super) struct Answers<'a> {
    unanswered: First<Printed<'a>>,
    answered: First<Printed<'a>>,
}

pub(super) fn section(examined: &Examined) -> Answers<'_> {
    let answered = examined.findings.iter().filter(|finding| finding.remark.is_some());
    Answers {
        unanswered: First::of(examined.unanswered().map(printed).collect(), MOST_PRINTED),
        answered: First::of(answered.map(printed).collect(), MOST_PRINTED),
    }
}
