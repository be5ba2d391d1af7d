//! `shifts` of both dockings, and of the newer one given the older, against `expected.json`.

use std::ffi::OsStr;
use std::path::Path;

use serde_json::Value;

use super::common::{program, run, sample};
use super::{AREA_M2, expected, list, near, older_zip};

/// The program rounds shifts to a micrometre.
const ROUNDED_M: f64 = 2e-6;

fn shifts(at: &Path, past: Option<&Path>) -> Value {
    let past = past.into_iter().flat_map(|past| [OsStr::new("--past"), past.as_os_str()]);
    run(program().arg("shifts").arg(at).args(past).arg("--json")).json()
}

#[track_caller]
fn same_band(found: &Value, wanted: &Value) {
    for end in ["from_m", "to_m"] {
        near(end, &found[end], &wanted[end], ROUNDED_M);
    }
}

#[track_caller]
fn same_bands(found: &Value, wanted: &Value) {
    let (found, wanted) = (list(found), list(wanted));
    assert_eq!(found.len(), wanted.len(), "{found:?}, expected {wanted:?}");
    found.iter().zip(wanted).for_each(|(found, wanted)| same_band(found, wanted));
}

/// Bands fore and aft and athwart, and the fewest blocks of the second position that give one when left out.
fn held(told: &Value, wanted: &Value) {
    same_bands(&told["ways"][0]["bands"], &wanted["bands"]);
    // Athwart they take the keel off its blocks, and so are no answer.
    assert!(list(&told["ways"][1]["bands"]).is_empty(), "{told}");
    same_bands(&told["ways"][1]["off_keel"], &wanted["athwart"]);
    let of_second =
        |out: &&Value| list(&out["of_first"]).is_empty() && out["way"] == "fore and aft";
    let fewest = list(&told["leaving_out"]).iter().find(of_second).expect("blocks to leave out");
    let wanted = &list(&wanted["leaving_out_of_after"])[0];
    assert_eq!(fewest["of_second"], wanted["blocks"]);
    same_band(&fewest["band"], wanted);
}

#[test]
fn of_2006() {
    held(&shifts(&older_zip(), None), &expected()["shifts"]["older"]);
}

#[test]
fn of_2031() {
    held(&shifts(&sample(), None), &expected()["shifts"]["newer"]);
}

#[test]
fn where_2031_was_to_land_given_what_2006_never_exposed() {
    let told = shifts(&sample(), Some(&older_zip()));
    let left = list(&told["past"][0]["left"]);
    let never =
        left.iter().find(|left| left["what"] == "never exposed").expect("what it never exposed");
    let wanted = expected();
    near("left", &never["area_m2"], &wanted["footprints"]["older_never_exposed_m2"], AREA_M2);
    near(
        "hidden again",
        &never["hidden_again_m2"],
        &wanted["landings"]["hidden_again_m2"],
        AREA_M2,
    );
    same_bands(&never["ways"][0]["bands"], &wanted["landings"]["bands"]);
}
