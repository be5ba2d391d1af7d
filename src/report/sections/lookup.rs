//! Findings and records for the tables of several sections: by id, and by the place where they stand.

use crate::findings::Examined;
use crate::findings::finding::Finding;
use crate::pages::Cell;
use crate::records::place::Place;

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
