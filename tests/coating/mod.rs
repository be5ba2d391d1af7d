//! The coating, the plating and the anodes: the sample against `sample/expected_coating.json`, which an
//! independent program (`sample/expected_coating.py`: shapely, numpy) worked out from the same files, and
//! copies of the sample whose records say what can't be true.

mod applications;
mod asked;
mod claims;
mod film;
mod hull;
mod missing_files;
mod named;
mod owed;
mod shifted;
mod steel;
mod windows;

use std::sync::LazyLock;

use crate::common::{self, examined as read};
use lastdock::calc::coating::Done;
use lastdock::findings::Examined;
use lastdock::records::Project;
use serde_json::Value;

/// How far areas may lie apart, m2: the grid of the polygon crate, 0.1 um, along the edges of all caps.
const AREA_M2: f64 = 5e-5;
/// How far figures may lie apart that the expectation rounds to nine decimals.
const EXACT: f64 = 1e-8;

static EXAMINED: LazyLock<Examined> = LazyLock::new(|| read(&common::sample()));

static EXPECTED: LazyLock<Value> = LazyLock::new(|| common::expected("expected_coating.json"));

fn project() -> &'static Project {
    &EXAMINED.project
}

fn entries(value: &Value) -> impl Iterator<Item = (&str, &Value)> {
    value.as_object().expect("an object").iter().map(|(key, value)| (key.as_str(), value))
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

fn text(value: &Value) -> &str {
    value.as_str().expect("a text")
}

/// Holds a figure that may be absent to one that may be null.
#[track_caller]
fn near(what: &str, found: impl Into<Option<f64>>, wanted: &Value, within: f64) {
    let (found, wanted) = (found.into(), wanted.as_f64());
    let close = match (found, wanted) {
        (Some(found), Some(wanted)) => (found - wanted).abs() <= within,
        (None, None) => true,
        _ => false,
    };
    assert!(close, "{what}: {found:?}, expected {wanted:?}");
}

/// A coat's place in the project's list, by its name.
#[track_caller]
fn coat(name: &str) -> usize {
    let found = project().coats.iter().position(|coat| coat.name == name);
    found.unwrap_or_else(|| panic!("no application {name}"))
}

/// What came of an application's claim, shape by shape.
#[track_caller]
fn done(examined: &Examined, coat: usize) -> &Done {
    let zone = &examined.project.coats[coat].zone;
    let zone = examined.project.zones.iter().position(|known| known.id == *zone).expect("a zone");
    examined.recomputed.coating.zones[zone].done(coat).expect("a place")
}

/// A position's id as the expectation writes classes: the ids of the positions that hid it.
fn hidden_in(hidden: &[bool]) -> Vec<&'static str> {
    let positions = project().positions.iter().zip(hidden);
    positions.filter(|(_, hidden)| **hidden).map(|(position, _)| position.id.as_str()).collect()
}

#[test]
fn every_outcome_is_the_expected_one() {
    common::outcomes_are(&EXAMINED.findings, "expected_coating.json", &EXPECTED, 696);
}
