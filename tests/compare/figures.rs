//! The figures, worked out by hand from the two projects.

use serde_json::{Value, json};

use super::two::Two;

/// Areas may lie so far apart, m2: the grid of the polygon crate along the edges of a few caps.
const AREA_M2: f64 = 5e-6;

#[track_caller]
fn near(found: &Value, wanted: f64, within: f64) {
    let number = found.as_f64().unwrap_or_else(|| panic!("{found} is no number"));
    assert!((number - wanted).abs() <= within, "{number}, wanted {wanted}");
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

#[test]
fn the_two_dockings_and_the_ship() {
    let found = Two::new().json();
    assert_eq!(found["same_ship"], true);
    assert_eq!(found["in_order"], true);
    // 6 April 2011 to 7 April 2031 are 7306 days.
    near(&found["years_between"], 7306.0 / 365.25, 1e-6);
    assert_eq!(found["older"]["name"], "fenwhin-2011");
    assert_eq!(found["newer"]["began"], "2031-04-07");
    assert_eq!(found["older"]["fixity"], Value::Null);
    assert!(list(&found["warnings"]).is_empty());
    let datum = |what: &str| {
        let mut data = list(&found["ship"]).iter();
        data.find(|datum| datum["what"] == what).unwrap_or_else(|| panic!("no {what}")).clone()
    };
    assert_eq!(datum("kept by")["change"], "changed");
    // 4 mm are no difference between two lengths over all, 0.3 m are.
    assert_eq!(datum("length over all")["change"], "same");
    assert_eq!(datum("x of the foremost point")["change"], "changed");
    assert_eq!(datum("built")["change"], "added");
    assert_eq!(datum("outline of the bottom")["older"], "180.0 m\u{b2}");
    assert_eq!(datum("outline of the bottom")["change"], "same");
}

#[test]
fn openings_added_removed_renamed_moved_and_changed() {
    let found = &Two::new().json()["openings"];
    assert_eq!((&found["older"], &found["newer"]), (&json!(5), &json!(5)));
    // DP2 lies 50 mm off, which is the tolerance and passes.
    assert_eq!(found["unchanged"], 1);
    let added = list(&found["added"]);
    assert_eq!((added.len(), &added[0]["opening"]), (1, &json!("OB10")));
    let removed = list(&found["removed"]);
    assert_eq!((removed.len(), &removed[0]["opening"]), (1, &json!("OB9")));
    assert_eq!(removed[0]["state"], "blanked, to be plated over");
    assert_eq!(found["renamed"], json!([{"older": "X1", "newer": "Y1"}]));
    let moved = list(&found["moved"]);
    assert_eq!((moved.len(), &moved[0]["opening"]), (1, &json!("SC1")));
    near(&moved[0]["by_m"], 0.3, 1e-9);
    assert_eq!(
        found["changed"],
        json!([
            {"opening": "DP1", "what": "size", "older": "0.060 m across", "newer": "0.080 m across"},
            {"opening": "DP1", "what": "side", "older": "starboard", "newer": "port"},
        ])
    );
}

#[test]
fn without_openings_on_one_side_none_is_called_added() {
    let two = Two::new();
    std::fs::remove_file(two.path("older").join("plan/openings.csv")).expect("to remove it");
    let found = &two.json()["openings"];
    assert_eq!((&found["older"], &found["added"]), (&json!(0), &json!([])));
    let said = two.compare("older", "newer", &[]).exits(0);
    assert!(said.out.contains("No opening was recorded then"), "{}", said.out);
}

#[test]
fn the_bottom_under_blocks() {
    let found = &Two::new().json()["footprints"];
    near(&found["older"]["bottom_m2"], 180.0, AREA_M2);
    near(&found["older"]["under_blocks_m2"], 4.0, AREA_M2);
    near(&found["older"]["never_exposed_m2"], 4.0, AREA_M2);
    near(&found["newer"]["under_blocks_m2"], 3.0, AREA_M2);
    near(&found["newer"]["never_exposed_m2"], 1.0, AREA_M2);
    // x 2 to 3 m.
    near(&found["blocks_in_both_m2"], 1.0, AREA_M2);
    // x 2.5 to 3 m.
    near(&found["never_exposed_in_either_m2"], 0.5, AREA_M2);
    near(&found["reached_since_m2"], 3.5, AREA_M2);
    // x 10 to 10.5 m.
    near(&found["reached_then_only_m2"], 0.5, AREA_M2);
    let [piece] = list(&found["pieces"]) else { panic!("{}", found["pieces"]) };
    near(&piece["x_from_m"], 2.5, 1e-6);
    near(&piece["x_to_m"], 3.0, 1e-6);
    near(&piece["y_from_m"], -0.5, 1e-6);
    assert_eq!((&piece["older_blocks"], &piece["newer_blocks"]), (&json!(["1"]), &json!(["1"])));
}

#[test]
fn a_position_without_a_place_says_nothing_of_the_bottom() {
    let two = Two::new();
    two.edit("newer", "positions/positions.csv", "P2,9.5,0,0", "P2,,,");
    let found = &two.json()["footprints"];
    assert_eq!(found["never_exposed_in_either_m2"], Value::Null);
    assert_eq!(found["newer"]["under_blocks_m2"], Value::Null);
    near(&found["older"]["under_blocks_m2"], 4.0, AREA_M2);
    let said = two.compare("older", "newer", &[]).exits(0);
    assert!(said.squeezed().contains("Positionsaremissingorcan'tbeplaced"), "{}", said.out);
}

#[test]
fn a_missing_yaw_is_stated_to_count_as_none() {
    let two = Two::new();
    assert_eq!(two.json()["footprints"]["older"]["yaw_unknown"], json!([]));
    two.edit("older", "positions/positions.csv", "P1,10,0,0", "P1,10,0,");
    let found = two.json();
    assert_eq!(found["footprints"]["older"]["yaw_unknown"], json!(["P1"]));
    near(&found["footprints"]["never_exposed_in_either_m2"], 0.5, AREA_M2);
    let said = two.compare("older", "newer", &[]).exits(0);
    assert!(said.out.contains("Yaw is not recorded then in P1, and taken as 0."), "{}", said.out);
}

#[test]
fn gaps_side_by_side() {
    let found = &Two::new().json()["blocks"];
    let [pair] = list(&found["pairs"]) else { panic!("{}", found["pairs"]) };
    assert_eq!((&pair["older"], &pair["newer"]), (&json!("P1"), &json!("P1")));
    assert_eq!((&found["older_alone"], &found["newer_alone"]), (&json!([]), &json!(["P2"])));
    let blocks = list(&pair["blocks"]);
    assert_eq!(blocks.len(), 3);
    // The two caps called 1 overlap; K2 stands 4 m from the nearest of then.
    assert_eq!(blocks[0]["matched_by"], "name");
    near(&blocks[0]["forward_m"], 0.5, 1e-9);
    // 3 mm with the dock dry; the 9 mm were measured with water in it.
    near(&blocks[0]["older"]["gap_m"], 0.003, 1e-9);
    near(&blocks[0]["newer"]["gap_m"], 0.005, 1e-9);
    assert_eq!((&blocks[1]["newer"]["block"], &blocks[1]["older"]), (&json!("K2"), &Value::Null));
    assert_eq!((&blocks[2]["older"]["block"], &blocks[2]["newer"]), (&json!("2"), &Value::Null));
    assert_eq!(pair["older_loads_of"], Value::Null);
    assert_eq!(pair["older_why_not"], "layers, weights and stiffness were not recorded");
}

#[test]
fn rates_of_loss_and_years_left() {
    let found = &Two::new().json()["plating"];
    let [a, b] = list(&found["strakes"]) else { panic!("{}", found["strakes"]) };
    let plates = list(&a["plates"]);
    // 10 April 2011 to 10 April 2031 are five times 1461 days, 20 years. 11.1 mm to 10.1 mm: 0.05 mm a year;
    // 20 % of 12 mm leaves 9.6 mm: 0.5 mm at that rate, 10 years.
    near(&plates[0]["rate_m_per_year"], 0.05e-3, 1e-12);
    near(&plates[0]["limit_m"], 0.0096, 1e-9);
    near(&plates[0]["years_left"], 10.0, 1e-6);
    near(&plates[0]["apart_m"], 0.5, 1e-9);
    // Nothing lost in 20 years: a rate of 0, and no end.
    near(&plates[1]["rate_m_per_year"], 0.0, 1e-12);
    assert_eq!(plates[1]["years_left"], Value::Null);
    for (plate, wear) in [(2, "renewed"), (3, "thicker"), (4, "not-gauged-then")] {
        assert_eq!(plates[plate]["wear"], wear);
        assert_eq!(plates[plate]["rate_m_per_year"], Value::Null);
    }
    assert_eq!(a["rates"], 2);
    near(&a["mean_rate_m_per_year"], 0.025e-3, 1e-12);
    near(&a["greatest_rate_m_per_year"], 0.05e-3, 1e-12);
    assert_eq!((&a["greatest_rate_at"], &a["years_left_at"]), (&json!("1"), &json!("1")));
    near(&a["years_left"], 10.0, 1e-6);
    // Plate 5, gauged now only, has 0.1 mm left: four years at the mean rate.
    near(&a["years_left_at_mean_rate"], 4.0, 1e-6);
    assert_eq!(a["first_at_mean_rate"], "5");
    // 8.0 mm is under the 8.5 mm of its limit.
    near(&b["years_left"], 0.0, 0.0);
    assert_eq!(found["older_alone"], json!(["C"]));
}

#[test]
fn a_gauging_without_a_day_takes_that_of_its_docking() {
    let two = Two::new();
    two.edit("older", "hull/plating.csv", "11.1,20,,2011-04-10T10:00:00", "11.1,20,,");
    let found = &two.json()["plating"]["strakes"][0]["plates"][0];
    assert_eq!(found["older_on"], "2011-04-06");
    near(&found["rate_m_per_year"], 0.001 / (7309.0 / 365.25), 1e-12);
    // Without a period neither, there is no rate.
    two.edit("older", "docking.toml", "began = 2011-04-06\nended = 2011-04-20\n", "");
    let found = two.json();
    assert_eq!(found["plating"]["strakes"][0]["plates"][0]["wear"], "no-span");
    assert_eq!(found["in_order"], Value::Null);
    assert!(found["warnings"][0].as_str().is_some_and(|said| said.contains("[period] is missing")));
}

#[test]
fn scheme_and_film_of_each_zone() {
    let found = &Two::new().json()["coating"]["zones"];
    let names: Vec<&Value> = list(found).iter().map(|zone| &zone["zone"]).collect();
    assert_eq!(names, ["BT", "RD", "SD"]);
    let (was, is) = (&found[0]["older"], &found[0]["newer"]);
    near(&was["nominal_m"], 160e-6, 1e-12);
    // The product's own 125 um where the scheme gives none.
    near(&is["nominal_m"], 225e-6, 1e-12);
    assert_eq!(was["scheme"][0]["generic_type"], "chlorinated rubber");
    // The readings after the last coat alone.
    assert_eq!((&was["film"]["after_coat"], &was["film"]["readings"]), (&json!(2), &json!(3)));
    near(&was["film"]["mean_m"], 170e-6, 1e-12);
    near(&is["film"]["least_m"], 120e-6, 1e-12);
    assert_eq!((&found[1]["older"], &found[2]["newer"]), (&Value::Null, &Value::Null));
    // A coat of no known thickness makes no sum.
    assert_eq!(found[2]["older"]["nominal_m"], Value::Null);
}

#[test]
fn findings_without_an_answer_then_and_now() {
    let found = &Two::new().json()["findings"];
    // DP1 lay to port and was recorded to starboard; that has been put right since.
    let then = list(&found["unanswered_then"]);
    let side = then.iter().find(|one| one["id"].as_str().is_some_and(|id| id.contains("DP1")));
    let side = side.unwrap_or_else(|| panic!("{found}"));
    assert_eq!((&side["outcome"], &side["now"]), (&json!("differs"), &json!("agrees")));
    assert_eq!(found["older"]["unanswered"], then.len());
    assert_eq!(found["newer"]["unanswered"], list(&found["unanswered_now"]).len());
}
