//! Two ships, the wrong order, a damaged bundle, and what can't be read.

use std::fs;

use super::two::Two;
use crate::common::{closeout, lastdock};

#[test]
fn two_different_ships_are_reported_first_with_status_3() {
    let two = Two::new();
    two.edit("older", "docking.toml", "name = \"Fenwhin\"", "name = \"Marshwhin\"");
    let said = two.compare("older", "newer", &[]).exits(3);
    let first = said.out.lines().next().expect("a line");
    assert!(first.starts_with("These records name two ships, Marshwhin and FENWHIN"), "{first}");
    let json = two.compare("older", "newer", &["--json"]).exits(3).json();
    assert_eq!(json["same_ship"], false);
}

#[test]
fn dockings_in_the_wrong_order_are_reported_and_give_no_rates() {
    let two = Two::new();
    let said = two.compare("newer", "older", &[]).exits(3);
    assert!(
        said.out.starts_with("fenwhin-2031 was docked later than fenwhin-2011"),
        "{}",
        said.out
    );
    let json = two.compare("newer", "older", &["--json"]).exits(3).json();
    assert_eq!(json["in_order"], false);
    let strakes = json["plating"]["strakes"].as_array().expect("strakes");
    assert!(!strakes.is_empty() && strakes.iter().all(|strake| strake["rates"] == 0));
}

#[test]
fn a_bundle_gives_what_its_project_gives() {
    let two = Two::new();
    closeout(&two.path("older"), &two.path("out"));
    let mut from_projects = two.json();
    let mut from_bundle = two.compare("out/fenwhin-2011.zip", "newer", &["--json"]).exits(0).json();
    assert_eq!(from_bundle["older"]["fixity"], "whole");
    assert_eq!(from_bundle["older"]["seal"].as_str().map(str::len), Some(64));
    for found in [&mut from_projects, &mut from_bundle] {
        found["older"] = serde_json::Value::Null;
    }
    assert_eq!(from_projects, from_bundle);
}

#[test]
fn a_damaged_bundle_is_read_and_called_damaged() {
    let two = Two::new();
    closeout(&two.path("older"), &two.path("out"));
    let zip = two.path("out/fenwhin-2011.zip");
    let mut bytes = fs::read(&zip).expect("a bundle");
    // A word of the README is harmless to the records.
    let word = b"docking record";
    let at = bytes.windows(word.len()).position(|part| part.eq_ignore_ascii_case(word));
    let at = at.unwrap_or_else(|| {
        let start = b"data/README.txt";
        bytes.windows(start.len()).position(|part| part == start).expect("a README") + 40
    });
    bytes[at] ^= 0x20;
    fs::write(&zip, bytes).expect("to write it");
    let said = two.compare("out/fenwhin-2011.zip", "newer", &[]).exits(3);
    assert!(said.err.contains("the bundle is damaged"), "{}", said.err);
    assert!(said.out.starts_with("The bundle of fenwhin-2011 is damaged"), "{}", said.out);
    let json = two.compare("out/fenwhin-2011.zip", "newer", &["--json"]).exits(3).json();
    assert_eq!(json["older"]["fixity"], "damaged");
}

#[test]
fn problems_of_both_dockings_are_reported_together() {
    let two = Two::new();
    two.edit("older", "plan/blocks.csv", "1,keel,12,0,2,1", "1,keel,twelve,0,2,1");
    two.edit("newer", "plan/blocks.csv", "K2,keel,20,0,1,1", "K2,keels,20,0,1,1");
    let said = two.compare("older", "newer", &[]).exits(1);
    assert!(said.out.is_empty(), "{}", said.out);
    assert!(said.err.contains("twelve") && said.err.contains("keels"), "{}", said.err);
    let json = two.compare("older", "newer", &["--json"]).exits(1).json();
    assert!(json["problems"].is_array(), "{json}");
}

#[test]
fn a_missing_path_or_no_docking_is_refused() {
    let two = Two::new();
    two.compare("older", "nowhere", &[]).exits(1);
    fs::write(two.path("note.txt"), "no bundle").expect("to write it");
    let said = two.compare("note.txt", "newer", &[]).exits(1);
    assert!(said.err.contains("is no bundle: it is not a zip"), "{}", said.err);
    let newer = two.path("newer");
    lastdock([newer.as_os_str()]).exits(2);
    lastdock(["compare".as_ref(), newer.as_os_str()]).exits(2);
}

#[test]
fn lines_fit_a_page_of_a_hundred_columns() {
    let two = Two::new();
    for (older, newer) in [("older", "newer"), ("newer", "older")] {
        let said = two.compare(older, newer, &[]);
        for line in said.out.lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
    }
}
