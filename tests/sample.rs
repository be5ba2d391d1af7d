//! The sample project through the library, against `sample/expected.json`, which an independent program
//! (`sample/expected.py`: shapely, numpy) worked out from the same files.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use crate::common;
use lastdock::calc::plane::area_m2;
use lastdock::findings::Examined;
use lastdock::findings::finding::Outcome;
use lastdock::findings::recomputed::PositionRecomputed;
use serde_json::Value;

/// How far areas may lie apart, m2: the grid of the polygon crate, 0.1 um, along some hundred metres.
const AREA_M2: f64 = 1e-5;
/// How far lengths may lie apart, m.
const LENGTH_M: f64 = 1e-6;

static EXAMINED: LazyLock<Examined> = LazyLock::new(|| common::examined(&common::sample()));

static EXPECTED: LazyLock<Value> = LazyLock::new(|| common::expected("expected.json"));

fn examined() -> &'static Examined {
    &EXAMINED
}

fn expected() -> &'static Value {
    &EXPECTED
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is not a number"))
}

fn entries(value: &Value) -> impl Iterator<Item = (&String, &Value)> {
    value.as_object().expect("an object").iter()
}

#[track_caller]
fn near(what: &str, found: f64, wanted: &Value, within: f64) {
    let wanted = number(wanted);
    assert!((found - wanted).abs() <= within, "{what}: {found}, expected {wanted}");
}

/// Each position's id with what was recomputed of it.
fn positions() -> impl Iterator<Item = (&'static str, &'static PositionRecomputed)> {
    let Examined { project, recomputed, .. } = examined();
    project.positions.iter().map(|position| position.id.as_str()).zip(&recomputed.positions)
}

#[test]
fn every_outcome_is_the_expected_one() {
    // The landing and the coating have expectations of their own: tests/landing.rs, tests/coating/.
    common::outcomes_are(&examined().findings, "expected.json", expected(), 416);
}

/// The plan, which the same program works out from planned stations and offsets.
#[test]
fn as_planned_the_bottom_hidden_and_the_clearances_are_the_expected_ones() {
    let planned = examined().as_planned().expect("the sample is planned");
    let expected = &expected()["as_planned"];
    let positions = planned.project.positions.iter().zip(&planned.recomputed.positions);
    for ((position, out), hidden) in positions.zip(&planned.recomputed.hidden) {
        let id = &position.id;
        near(id, area_m2(&hidden.shape), &expected["hidden_m2"][id], AREA_M2);
        for (opening, clearance) in planned.project.openings.iter().zip(&out.clearances) {
            let (clear_m, block) = clearance.expect("a nearest cap");
            let wanted = &expected["openings"][&opening.id][id];
            near(&opening.id, clear_m, &wanted["clear_m"], LENGTH_M);
            assert_eq!(planned.project.blocks[block].id, wanted["block"], "{}", opening.id);
        }
    }
    let never = planned.recomputed.never_exposed_m2().expect("an area");
    near("never exposed", never, &expected["never_exposed_m2"], AREA_M2);
}

#[test]
fn every_id_stands_once() {
    let ids: BTreeSet<&str> = examined().findings.iter().map(|f| f.id.as_str()).collect();
    assert_eq!(ids.len(), examined().findings.len());
}

#[test]
fn each_of_the_four_outcomes_occurs_and_every_fault_is_answered() {
    for outcome in Outcome::ALL {
        assert!(examined().count(outcome) > 0, "{outcome}");
    }
    let unanswered: Vec<&str> = examined().unanswered().map(|f| f.id.as_str()).collect();
    assert!(unanswered.is_empty(), "{unanswered:?}");
    let remarks = examined().findings.iter().filter(|finding| finding.remark.is_some());
    assert_eq!(remarks.count(), examined().project.remarks.given.len());
}

#[test]
fn every_finding_says_what_it_rests_on() {
    for finding in &examined().findings {
        assert!(
            finding.sentence.to_string().ends_with('.'),
            "{}: {}",
            finding.id,
            finding.sentence
        );
        // These rest on every row of a file, or on a file that is in none.
        let on_all =
            ["papers.captions", "papers.unlisted", "plan.blocks.apart", "chronology.period"]
                .contains(&finding.id.as_str());
        let rests = !finding.records.is_empty() || on_all;
        assert!(rests, "{} names no record", finding.id);
        for place in &finding.records {
            assert!(examined().project.files.contains_key(&*place.file), "{place}");
        }
    }
}

#[test]
fn the_bottom_falls_into_the_expected_classes() {
    let classes = &examined().recomputed.classes;
    let mut seen = 0;
    for (name, wanted) in entries(&expected()["classes_m2"]) {
        let hidden_in: Vec<bool> =
            positions().map(|(id, _)| name.split('+').any(|hidden| hidden == id)).collect();
        let class = classes.iter().find(|class| class.hidden_in == hidden_in);
        near(name, class.unwrap_or_else(|| panic!("no class {name}")).area_m2, wanted, AREA_M2);
        seen += 1;
    }
    assert_eq!(classes.len(), seen);
    let whole: f64 = classes.iter().map(|class| class.area_m2).sum();
    near("the bottom", whole, &expected()["bottom_m2"], AREA_M2);
}

#[test]
fn every_footprint_has_the_expected_area() {
    let Examined { project, recomputed, .. } = examined();
    for ((id, _), hidden) in positions().zip(&recomputed.hidden) {
        let wanted = &expected()["footprints_m2"][id];
        assert_eq!(hidden.footprints.len(), entries(wanted).count(), "blocks standing in {id}");
        for (block, shape) in &hidden.footprints {
            let block = &project.blocks[*block].id;
            let area = lastdock::calc::plane::area_m2(shape);
            near(&format!("{block} in {id}"), area, &wanted[block], AREA_M2);
        }
        let all = lastdock::calc::plane::area_m2(&hidden.shape);
        near(id, all, &expected()["hidden_m2"][id], AREA_M2);
    }
}

#[test]
fn the_never_exposed_is_the_expected_piece() {
    let Examined { project, recomputed, .. } = examined();
    let wanted = expected()["never_exposed"].as_array().expect("pieces");
    assert_eq!(recomputed.never_exposed.len(), wanted.len());
    for (piece, wanted) in recomputed.never_exposed.iter().zip(wanted) {
        near("its area", piece.area_m2, &wanted["area_m2"], AREA_M2);
        let ends = ["x_from_m", "x_to_m", "y_from_m", "y_to_m"];
        for (end, found) in ends.iter().zip(piece.extent) {
            near(end, found, &wanted[*end], LENGTH_M);
        }
        for ((id, _), hidden_by) in positions().zip(&piece.hidden_by) {
            let blocks: Vec<&str> =
                hidden_by.iter().map(|block| project.blocks[*block].id.as_str()).collect();
            assert_eq!(serde_json::json!(blocks), wanted["blocks"][id], "{id}");
        }
    }
}

#[test]
fn every_opening_has_the_expected_clear_distance_from_the_expected_block() {
    let project = &examined().project;
    assert_eq!(project.openings.len(), entries(&expected()["openings"]).count());
    for (id, recomputed) in positions() {
        for (opening, clearance) in project.openings.iter().zip(&recomputed.clearances) {
            let (clear_m, block) = clearance.expect("a block stands in every position");
            let what = format!("{} in {id}", opening.id);
            let wanted = &expected()["openings"][&opening.id][id];
            near(&what, clear_m, &wanted["clear_m"], LENGTH_M);
            assert_eq!(project.blocks[block].id, wanted["block"], "{what}");
        }
    }
}

#[test]
fn every_position_fits_its_sightings_as_expected() {
    let project = &examined().project;
    for (id, recomputed) in positions() {
        let (fit, wanted) = (&recomputed.fit, &expected()["fitted"][id]);
        near(id, fit.srp_station_m.expect("a station"), &wanted["srp_station_m"], LENGTH_M);
        near(id, fit.centreline_offset_m.expect("an offset"), &wanted["offset_m"], LENGTH_M);
        near(id, fit.yaw_deg.expect("a yaw"), &wanted["yaw_deg"], 1e-7);
        assert_eq!(recomputed.sightings.len(), entries(&wanted["residuals"]).count());
        for (sighting, (station, offset)) in recomputed.sightings.iter().zip(&fit.residuals) {
            let mark = &project.sightings[*sighting].mark;
            let wanted = &wanted["residuals"][mark];
            for (key, found) in [("station_m", station), ("offset_m", offset)] {
                assert_eq!(found.is_some(), wanted.get(key).is_some(), "{id} {mark} {key}");
                if let Some(found) = found {
                    near(&format!("{id} {mark} {key}"), *found, &wanted[key], LENGTH_M);
                }
            }
        }
    }
}

#[test]
fn the_shift_is_the_expected_one() {
    let fits: Vec<_> = positions().map(|(_, recomputed)| &recomputed.fit).collect();
    let shift = |of: &dyn Fn(usize) -> Option<f64>| of(1).expect("P2") - of(0).expect("P1");
    let wanted = &expected()["shift"];
    let forward = shift(&|n| fits[n].srp_station_m);
    near("forward", forward, &wanted["fitted_forward_m"], LENGTH_M);
    let to_port = shift(&|n| fits[n].centreline_offset_m);
    near("to port", to_port, &wanted["fitted_to_port_m"], LENGTH_M);
    let recorded = &examined().project.positions;
    let forward = shift(&|n| recorded[n].recorded_srp_station_m);
    near("recorded forward", forward, &wanted["recorded_forward_m"], 1e-9);
    let to_port = shift(&|n| recorded[n].recorded_offset_m);
    near("recorded to port", to_port, &wanted["recorded_to_port_m"], 1e-9);
}
