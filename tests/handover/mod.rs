//! From one docking to the next, as the README has it: the bundle of 2006 is verified, the next docking's
//! folder is started from it and filled in with the sample project, closed out, verified, and compared with
//! the older one. Figures are held to `expected.json`, which an independent program (`expected.py`: shapely,
//! numpy) worked out from the files of both dockings.

mod compared;
pub(crate) mod cycle;
mod history;
mod older;
mod shifts;

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use serde_json::Value;

/// The name of the older docking.
const OLDER: &str = "calder-wren-2006";

/// How far areas may lie apart, m2: the grid of the polygon crate, 0.1 um, along some hundred metres.
const AREA_M2: f64 = 1e-5;
/// How far lengths may lie apart, m.
const LENGTH_M: f64 = 1e-6;

fn here() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/handover")
}

/// The older docking's bundle. Nothing may write to it.
fn older_zip() -> PathBuf {
    here().join(format!("{OLDER}.zip"))
}

/// The records of the older docking.
fn older_project() -> PathBuf {
    here().join(OLDER)
}

/// What was worked out independently.
fn expected() -> &'static Value {
    static EXPECTED: OnceLock<Value> = OnceLock::new();
    EXPECTED.get_or_init(|| {
        let text = fs::read_to_string(here().join("expected.json")).expect("expected.json");
        serde_json::from_str(&text).expect("expected.json is JSON")
    })
}

#[track_caller]
fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is not a number"))
}

#[track_caller]
fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap_or_else(|| panic!("{value} is not a list"))
}

#[track_caller]
fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("{value} is not a text"))
}

#[track_caller]
fn near(what: &str, found: &Value, wanted: &Value, within: f64) {
    let (found, wanted) = (number(found), number(wanted));
    assert!((found - wanted).abs() <= within, "{what}: {found}, expected {wanted}");
}
