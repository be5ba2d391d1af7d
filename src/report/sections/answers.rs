//! Findings that need an answer, and those that got one.

use serde::Serialize;

use super::finding::{Printed, printed};
use crate::findings::Examined;

#[derive(Serialize)]
pub(super) struct Answers<'a> {
    unanswered: Vec<Printed<'a>>,
    answered: Vec<Printed<'a>>,
}

pub(super) fn section(examined: &Examined) -> Answers<'_> {
    Answers {
        unanswered: examined.unanswered().map(printed).collect(),
        answered: examined.findings.iter().filter(|f| f.remark.is_some()).map(printed).collect(),
    }
}
