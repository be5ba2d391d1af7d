//! `compare` of the two bundles against `expected.json`.

use std::sync::OnceLock;

use serde_json::Value;

use super::cycle::cycle;
use super::{AREA_M2, LENGTH_M, expected, list, near, number, older_zip, text};
use crate::common::{program, run};

/// What compare says, as JSON.
fn compared() -> &'static Value {
    static COMPARED: OnceLock<Value> = OnceLock::new();
    COMPARED.get_or_init(|| {
        let mut command = program();
        command.arg("compare").arg(older_zip()).arg(&cycle().zip).arg("--json");
        run(&mut command).exits(0).json()
    })
}

#[test]
fn footprints_of_both_dockings() {
    let (found, wanted) = (&compared()["footprints"], &expected()["footprints"]);
    for (found, name) in [
        (&found["newer"]["bottom_m2"], "bottom_m2"),
        (&found["older"]["under_blocks_m2"], "older_under_blocks_m2"),
        (&found["newer"]["under_blocks_m2"], "newer_under_blocks_m2"),
        (&found["older"]["never_exposed_m2"], "older_never_exposed_m2"),
        (&found["newer"]["never_exposed_m2"], "newer_never_exposed_m2"),
        (&found["blocks_in_both_m2"], "under_blocks_in_both_m2"),
        (&found["never_exposed_in_either_m2"], "never_exposed_m2"),
        (&found["reached_since_m2"], "reached_since_m2"),
        (&found["reached_then_only_m2"], "reached_then_only_m2"),
    ] {
        near(name, found, &wanted[name], AREA_M2);
    }
    let (found, wanted) = (list(&found["pieces"]), list(&wanted["never_exposed"]));
    assert_eq!(found.len(), wanted.len());
    for (found, wanted) in found.iter().zip(wanted) {
        for name in ["x_from_m", "x_to_m", "y_from_m", "y_to_m"] {
            near(name, &found[name], &wanted[name], LENGTH_M);
        }
        near("area", &found["area_m2"], &wanted["area_m2"], AREA_M2);
        for side in ["older_blocks", "newer_blocks"] {
            let mut blocks: Vec<&Value> =
                wanted[side].as_object().expect("positions").values().flat_map(list).collect();
            blocks.dedup();
            assert_eq!(list(&found[side]).iter().collect::<Vec<_>>(), blocks, "{side}");
        }
    }
}

#[test]
fn openings_that_came_went_and_moved() {
    let (found, wanted) = (&compared()["openings"], &expected()["openings"]);
    for count in ["older", "newer"] {
        assert_eq!(found[count], wanted[count], "{count}");
    }
    for kind in ["added", "removed"] {
        let mut names: Vec<&str> =
            list(&found[kind]).iter().map(|seen| text(&seen["opening"])).collect();
        names.sort_unstable();
        assert_eq!(names, list(&wanted[kind]).iter().map(text).collect::<Vec<_>>(), "{kind}");
    }
    let moved = wanted["moved"].as_object().expect("those that moved");
    let found = list(&found["moved"]);
    assert_eq!(found.len(), moved.len());
    for opening in found {
        let wanted = &moved[text(&opening["opening"])];
        for (axis, name) in [("x", "forward_m"), ("y", "to_port_m")] {
            let by = number(&opening[format!("newer_{axis}_m")])
                - number(&opening[format!("older_{axis}_m")]);
            assert!((by - number(&wanted[name])).abs() <= LENGTH_M, "{opening}");
        }
    }
}

#[test]
fn rates_of_loss_of_every_strake_and_plate() {
    let strakes = expected()["strakes"].as_object().expect("strakes");
    let found = list(&compared()["plating"]["strakes"]);
    assert_eq!(found.len(), strakes.len());
    let mut plates = 0;
    for strake in found {
        let name = text(&strake["strake"]);
        let wanted = &strakes[name];
        assert_eq!(strake["rates"], wanted["plates"], "{name}");
        let mm = |value: &Value| Value::from(number(value) * 1000.0);
        near(name, &mm(&strake["mean_rate_m_per_year"]), &wanted["mean_mm_per_year"], 1e-6);
        near(name, &mm(&strake["greatest_rate_m_per_year"]), &wanted["greatest_mm_per_year"], 1e-6);
        near(name, &strake["years_left"], &wanted["least_years_left"], 1e-5);
        for plate in
            list(&strake["plates"]).iter().filter(|plate| !plate["rate_m_per_year"].is_null())
        {
            let name = format!("{name} {}", text(&plate["plate"]));
            let wanted = &expected()["plates"][&name];
            near(&name, &mm(&plate["rate_m_per_year"]), &wanted["mm_per_year"], 1e-6);
            match wanted["years_left"].is_null() {
                true => assert!(plate["years_left"].is_null(), "{name}"),
                false => near(&name, &plate["years_left"], &wanted["years_left"], 1e-5),
            }
            plates += 1;
        }
    }
    assert_eq!(plates, expected()["plates"].as_object().expect("plates").len());
    let worst = found.iter().max_by(|a, b| {
        number(&a["mean_rate_m_per_year"]).total_cmp(&number(&b["mean_rate_m_per_year"]))
    });
    assert_eq!(worst.map(|strake| text(&strake["strake"])), Some("F-S"));
}

#[test]
fn both_are_of_one_ship_and_in_order() {
    let compared = compared();
    assert_eq!((&compared["same_ship"], &compared["in_order"]), (&true.into(), &true.into()));
    assert!(list(&compared["warnings"]).is_empty(), "{}", compared["warnings"]);
}
