//! What the findings say of the sample's coating: every id and outcome that is expected, and no other.

use std::collections::BTreeSet;

use serde_json::{Map, Value};

use crate::common::expected_in;
use crate::{EXAMINED, EXPECTED};

const FILE: &str = "expected_coating.json";

#[test]
fn every_outcome_is_the_expected_one() {
    let found: Map<String, Value> = EXAMINED
        .findings
        .iter()
        .filter(|finding| expected_in(&finding.id) == FILE)
        .map(|finding| (finding.id.clone(), finding.outcome.words().into()))
        .collect();
    let wanted = EXPECTED["outcomes"].as_object().expect("outcomes");
    let ids: BTreeSet<&String> = found.keys().chain(wanted.keys()).collect();
    let wrong: Vec<String> = ids
        .into_iter()
        .filter(|id| found.get(*id) != wanted.get(*id))
        .map(|id| format!("{id}: {:?}, expected {:?}", found.get(id), wanted.get(id)))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert_eq!(wanted.len(), 597);
}

#[test]
fn the_expectations_of_three_files_share_no_finding() {
    for (id, _) in crate::entries(&EXPECTED["outcomes"]) {
        assert_eq!(expected_in(id), FILE, "{id}");
    }
}
