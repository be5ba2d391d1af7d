//! Findings and records for the tables of several sections: by id, and by the place where they stand.

use serde::Serialize;

use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::pages::Cell;
use crate::records::place::Place;
use crate::report::text;

/// What a value was held against, and how it came out, from its finding.
#[derive(Serialize, Default)]
pub(super) struct Held {
    against: Option<String>,
    outcome: Option<&'static str>,
}

impl Held {
    /// From a finding; nothing without one.
    pub(super) fn of(finding: Option<&Finding>) -> Self {
        let Some(finding) = finding else { return Self::default() };
        let against = finding.against.as_ref().filter(|_| finding.outcome != Outcome::NotRecorded);
        Self {
            against: against.map(|against| text::figure(&against.value)),
            outcome: Some(finding.outcome.words()),
        }
    }
}

/// A finding by its id.
pub(super) fn finding<'a>(examined: &'a Examined, id: &str) -> Option<&'a Finding> {
    examined.findings.iter().find(|finding| finding.id == id)
}

/// How a finding came out, by its id; a dash without one.
pub(super) fn outcome(examined: &Examined, id: &str) -> Cell {
    Cell::if_any(finding(examined, id).map(|finding| finding.outcome))
}

/// The finding on one record whose id begins so.
pub(super) fn finding_on<'a>(
    examined: &'a Examined,
    begins: &str,
    place: &Place,
) -> Option<&'a Finding> {
    let mut findings = examined.findings.iter();
    findings
        .find(|finding| finding.id.starts_with(begins) && finding.records.first() == Some(place))
}
