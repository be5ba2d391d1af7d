//! The sample's plating and anodes against `sample/expected_coating.json`, which an independent program
//! (`sample/expected_coating.py`) worked out from the same files.

use std::fs;
use std::path::Path;

use crate::common;
use lastdock::calc::plating::{anode_loss_pct, loss_m, loss_pct, used_up_pct};
use lastdock::findings::finding::Outcome;
use lastdock::findings::recomputed::plating::plate;
use lastdock::findings::{self, Examined};
use lastdock::records;
use lastdock::records::problem::Problems;
use lastdock::records::store::Folder;
use serde_json::Value;

fn examined() -> Examined {
    let mut problems = Problems::default();
    let folder = Folder::open(&common::sample(), &mut problems);
    let project = records::read(&folder, problems).expect("the sample can be read");
    findings::examine(project).expect("its remarks answer findings")
}

fn expected() -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sample/expected_coating.json");
    let text = fs::read_to_string(path).expect("expected_coating.json");
    serde_json::from_str(&text).expect("expected_coating.json is JSON")
}

#[track_caller]
fn near(what: &str, found: Option<f64>, wanted: &Value) {
    let wanted = wanted.as_f64().unwrap_or_else(|| panic!("{what}: {wanted} is no number"));
    let found = found.unwrap_or_else(|| panic!("{what}: nothing found"));
    assert!((found - wanted).abs() < 1e-6, "{what}: {found}, expected {wanted}");
}

#[test]
fn every_strake_has_lost_what_the_independent_program_says() {
    let (examined, expected) = (examined(), expected());
    let strakes = &examined.recomputed.strakes;
    let wanted = expected["plating"].as_object().expect("strakes");
    assert_eq!(strakes.len(), wanted.len());
    for strake in strakes {
        let (name, wanted) = (&strake.name, &wanted[&strake.name]);
        let group = strake.group.as_ref().expect("gaugings");
        let gauging = |n: usize| &examined.project.plating[strake.gaugings[n]];
        assert_eq!(Some(strake.gaugings.len() as u64), wanted["plates"].as_u64(), "{name}");
        near(name, Some(group.mean_loss_m * 1000.0), &wanted["mean_loss_mm"]);
        let worst = gauging(group.worst);
        let original = worst.original_m.expect("an original");
        assert_eq!(wanted["worst_plate"], worst.plate.as_str(), "{name}");
        near(name, Some(loss_m(original, worst.measured_m) * 1000.0), &wanted["worst_loss_mm"]);
        near(name, loss_pct(original, worst.measured_m), &wanted["worst_loss_pct"]);
        let nearest = group.nearest_limit.expect("a limit");
        assert_eq!(wanted["nearest_limit_plate"], gauging(nearest).plate.as_str(), "{name}");
        let one = plate(&examined.project, strake.gaugings[nearest]).expect("an original");
        let used = used_up_pct(one.original_m, one.measured_m, one.limit.expect("a limit"));
        near(name, used.map(|pct| pct / 100.0), &wanted["part_of_limit"]);
        let beyond: Vec<&str> = group.beyond.iter().map(|n| gauging(*n).plate.as_str()).collect();
        assert_eq!(wanted["beyond"], Value::from(beyond), "{name}");
    }
}

#[test]
fn every_anode_has_lost_what_the_independent_program_says() {
    let (examined, expected) = (examined(), expected());
    let wanted = expected["anodes"].as_object().expect("anodes");
    assert_eq!(examined.project.anodes.len(), wanted.len());
    for anode in &examined.project.anodes {
        let masses = anode.mass_fitted_t.zip(anode.mass_found_t);
        let found = masses.and_then(|(fitted, found)| anode_loss_pct(fitted, found));
        near(&anode.id, found, &wanted[&anode.id]["loss_pct"]);
    }
}

#[test]
fn only_the_two_faults_left_in_on_purpose_are_found_and_both_are_answered() {
    let examined = examined();
    let sections = ["plating", "anodes", "chronology"];
    let found: Vec<_> = examined
        .findings
        .iter()
        .filter(|finding| sections.contains(&finding.section()))
        .filter(|finding| finding.outcome != Outcome::Agrees)
        .map(|finding| (finding.id.as_str(), finding.outcome, finding.remark.is_some()))
        .collect();
    let wanted = [
        ("plating.F-S.loss", Outcome::BeyondLimit, true),
        ("anodes.AN17.loss", Outcome::Differs, true),
    ];
    assert_eq!(found, wanted);
}
