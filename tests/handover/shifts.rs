//! `shifts` of both dockings, and of the newer one given the older, against `expected.json`.

use std::ffi::OsStr;
use std::path::Path;

use serde_json::Value;

use super::common::{program, run, sample};
use super::{AREA_M2, expected, list, near, number, older_zip};

/// The program rounds shifts to a micrometre.
const ROUNDED_M: f64 = 2e-6;

fn shifts(at: &Path, arguments: &[&OsStr]) -> Value {
    run(program().arg("shifts").arg(at).args(arguments).arg("--json")).json()
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

/// Bands fore and aft and athwart, the aims in them, and the fewest blocks of the second position that give one when
/// left out.
fn held(told: &Value, wanted: &Value) {
    same_bands(&told["ways"][0]["bands"], &wanted["bands"]);
    same_aims(&told["ways"][0]["bands"], &wanted["aims"]);
    // Athwart they take the keel off its blocks, and so are no answer.
    assert!(list(&told["ways"][1]["bands"]).is_empty(), "{told}");
    same_bands(&told["ways"][1]["off_keel"], &wanted["athwart"]);
    let of_second =
        |out: &&Value| list(&out["of_first"]).is_empty() && out["way"] == "fore and aft";
    let fewest = list(&told["leaving_out"]).iter().find(of_second);
    let wanted = list(&wanted["leaving_out_of_after"]).first();
    assert_eq!(fewest.is_some(), wanted.is_some(), "{told}");
    if let (Some(fewest), Some(wanted)) = (fewest, wanted) {
        assert_eq!(fewest["of_second"], wanted["blocks"]);
        same_band(&fewest["band"], wanted);
    }
}

/// Where to aim in each band, by how much it may be missed, and each opening near a cap there with its distances.
/// The program rounds the place to a centimetre and what it may be missed by down to one.
fn same_aims(bands: &Value, wanted: &Value) {
    let (bands, wanted) = (list(bands), list(wanted));
    assert_eq!(bands.len(), wanted.len());
    for (band, wanted) in bands.iter().zip(wanted) {
        let aim = &band["aim"];
        near("aim", &aim["shift_m"], &wanted["shift_m"], ROUNDED_M);
        for (what, rounded) in [("miss_m", &aim["miss_m"]), ("steady_m", &aim["steady_m"])] {
            let (rounded, exact) = (number(rounded), number(&wanted[what]));
            assert!(
                rounded <= exact + 1e-5 && rounded > exact - 0.0101,
                "{what}: {rounded}, {exact}"
            );
        }
        let found = list(&aim["openings"]["near"]);
        let near_by = wanted["near"].as_object().expect("openings by name");
        assert_eq!(found.len(), near_by.len(), "{aim}");
        for opening in found {
            let name = opening["opening"].as_str().expect("a name");
            let wanted = near_by.get(name).unwrap_or_else(|| panic!("{name} is not near a cap"));
            near(name, &opening["clear_m"], &wanted["clear_m"], ROUNDED_M);
            near(name, &opening["wanted_m"], &wanted["wanted_m"], ROUNDED_M);
            assert_eq!(opening["block"], wanted["block"], "{name}");
        }
        same_bands(&band["openings_clear"], &wanted["clear"]);
    }
}

#[test]
fn of_2006() {
    held(&shifts(&older_zip(), &[]), &expected()["shifts"]["older"]);
}

#[test]
fn of_2031() {
    let wanted = &expected()["shifts"]["newer"];
    held(&shifts(&sample(), &[]), wanted);
    held(&shifts(&sample(), &["--as-found".as_ref()]), &wanted["as_found"]);
}

fn landing(past: &Path, wanted: &Value) -> Value {
    let told = shifts(&sample(), &["--past".as_ref(), past.as_os_str()]);
    let left = list(&told["past"][0]["left"]);
    let never =
        left.iter().find(|left| left["what"] == "never exposed").expect("what it never exposed");
    near("hidden again", &never["hidden_again_m2"], &wanted["hidden_again_m2"], AREA_M2);
    same_bands(&never["ways"][0]["bands"], &wanted["bands"]);
    same_aims(&never["ways"][0]["bands"], &wanted["aims"]);
    never.clone()
}

#[test]
fn where_2031_was_to_land_given_what_2006_never_exposed() {
    let wanted = expected();
    let never = landing(&older_zip(), &wanted["landings"]);
    near("left", &never["area_m2"], &wanted["footprints"]["older_never_exposed_m2"], AREA_M2);
}

/// The landing that puts K46 on the echo sounder, over the whole of its band.
#[test]
fn where_to_land_next_time_given_what_2031_never_exposed() {
    let never = landing(&sample(), &expected()["next_landings"]);
    let aim = &never["aim"];
    assert_eq!(aim["openings"]["near"][0]["opening"], "ES1");
    assert_eq!(aim["openings"]["near"][0]["block"], "K46");
    assert_eq!(never["clear_without"]["blocks"], serde_json::json!(["K46"]));
}
