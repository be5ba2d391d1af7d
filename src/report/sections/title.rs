//! The title page.

use serde::Serialize;

use crate::findings::finding::Outcome;
use crate::records::docking::Closeout;
use crate::report::{Inputs, text};

#[derive(Serialize)]
pub(super) struct Title<'a> {
    ship: &'a str,
    built: Option<&'a str>,
    owner: Option<&'a str>,
    dock: &'a str,
    place: Option<&'a str>,
    period: Option<String>,
    prepared_by: &'a str,
    prepared_on: String,
    people: Vec<(&'a str, &'a str)>,
    seal: Vec<String>,
    program: &'a str,
    total: String,
    counts: Vec<(&'static str, String)>,
    unanswered: usize,
    unanswered_ids: text::First<&'a str>,
}

pub(super) fn section<'a>(inputs: &Inputs<'a>, closeout: &'a Closeout) -> Title<'a> {
    let examined = inputs.examined;
    let docking = &examined.project.docking;
    let unanswered: Vec<&str> = examined.unanswered().map(|finding| finding.id.as_str()).collect();
    Title {
        ship: &docking.ship.name,
        built: docking.ship.built.as_deref(),
        owner: docking.ship.owner.as_deref(),
        dock: &docking.dock.name,
        place: docking.dock.location.as_deref(),
        period: text::period(docking.period),
        prepared_by: &closeout.prepared_by,
        prepared_on: text::day(closeout.prepared_on),
        people: docking.people.iter().map(|(name, role)| (name.as_str(), role.as_str())).collect(),
        seal: text::grouped(inputs.records_seal, 4),
        program: inputs.program,
        total: examined.findings.len().to_string(),
        counts: Outcome::ALL
            .into_iter()
            .map(|outcome| (outcome.words(), examined.count(outcome).to_string()))
            .collect(),
        unanswered: unanswered.len(),
        unanswered_ids: text::First::of(unanswered, 12),
    }
}
