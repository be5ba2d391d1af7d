//! `shifts` of both dockings, and of the newer one given the older, against `expected.json`.

use std::ffi::OsStr;
use std::path::Path;

use serde_json::Value;

use super::{AREA_M2, expected, list, near, number, older_zip};
use crate::common::{program, run, sample};

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
fn hold(told: &Value, wanted: &Value) {
    same_bands(&told["ways"][0]["bands"], &wanted["bands"]);
    assert_eq!(same_aims(&told["ways"][0]["bands"], &wanted["aims"]), 0);
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
/// The program rounds the place to a centimetre and what it may be missed by down to one. It also keeps clear of
/// blocks beyond their limit, which are not reckoned independently here: how many aims lie a centimetre off for that.
fn same_aims(bands: &Value, wanted: &Value) -> usize {
    let (bands, wanted) = (list(bands), list(wanted));
    assert_eq!(bands.len(), wanted.len());
    let mut moved = 0;
    for (band, wanted) in bands.iter().zip(wanted) {
        let aim = &band["aim"];
        let at = number(&aim["shift_m"]);
        let off_m = (at - number(&wanted["shift_m"])).abs();
        let room_m = (at - number(&band["from_m"])).min(number(&band["to_m"]) - at);
        let (miss, steady) = (number(&aim["miss_m"]), number(&aim["steady_m"]));
        assert!(miss <= room_m + 1e-5 && miss > room_m - 0.0101, "{miss}, {room_m}");
        assert!(steady <= number(&wanted["steady_m"]) + off_m + 1e-5, "{aim}, {wanted}");
        let found = list(&aim["openings"]["near"]);
        let near_by = wanted["near"].as_object().expect("openings by name");
        let names: Vec<&str> = found.iter().filter_map(|one| one["opening"].as_str()).collect();
        assert!(
            names.len() == near_by.len() && names.iter().all(|name| near_by.contains_key(*name)),
            "{aim}"
        );
        same_bands(&band["openings_clear"], &wanted["clear"]);
        if off_m > ROUNDED_M {
            assert!(off_m < 0.0101, "{aim}, {wanted}");
            moved += 1;
            continue;
        }
        assert!(steady > number(&wanted["steady_m"]) - 0.0101, "{aim}, {wanted}");
        for opening in found {
            let name = opening["opening"].as_str().expect("a name");
            let wanted = &near_by[name];
            near(name, &opening["clear_m"], &wanted["clear_m"], ROUNDED_M);
            near(name, &opening["wanted_m"], &wanted["wanted_m"], ROUNDED_M);
            assert_eq!(opening["block"], wanted["block"], "{name}");
        }
    }
    moved
}

#[test]
fn shifts_after_2006() {
    hold(&shifts(&older_zip(), &[]), &expected()["shifts"]["older"]);
}

#[test]
fn shifts_after_2031() {
    let wanted = &expected()["shifts"]["newer"];
    hold(&shifts(&sample(), &[]), wanted);
    hold(&shifts(&sample(), &["--as-found".as_ref()]), &wanted["as_found"]);
}

fn landing(past: &Path, wanted: &Value, moved: usize) -> Value {
    let told = shifts(&sample(), &["--past".as_ref(), past.as_os_str()]);
    let left = list(&told["past"][0]["left"]);
    let never =
        left.iter().find(|left| left["what"] == "never exposed").expect("what it never exposed");
    near("hidden again", &never["hidden_again_m2"], &wanted["hidden_again_m2"], AREA_M2);
    same_bands(&never["ways"][0]["bands"], &wanted["bands"]);
    assert_eq!(same_aims(&never["ways"][0]["bands"], &wanted["aims"]), moved);
    never.clone()
}

#[test]
fn where_2031_was_to_land_given_what_2006_never_exposed() {
    let wanted = expected();
    // In the last 4 mm of one band K1, which the keel's end has nearly left, bears more than its limit.
    let never = landing(&older_zip(), &wanted["landings"], 1);
    near("left", &never["area_m2"], &wanted["footprints"]["older_never_exposed_m2"], AREA_M2);
}

/// The landing that puts K46 on the echo sounder, over the whole of its band.
#[test]
fn where_to_land_next_time_given_what_2031_never_exposed() {
    let never = landing(&sample(), &expected()["next_landings"], 0);
    let aim = &never["aim"];
    assert_eq!(aim["openings"]["near"][0]["opening"], "ES1");
    assert_eq!(aim["openings"]["near"][0]["block"], "K46");
    assert_eq!(never["clear_without"]["blocks"], serde_json::json!(["K46"]));
}
