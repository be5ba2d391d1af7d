//! The project's own shift: what it left, or is to leave, under blocks both times.

use super::invented::{Docking, number};
use crate::common::{program, run, sample};

const FOOT_M: f64 = 0.3048;

/// Twelve keel blocks four feet long and 1.2 m wide, nine feet from one to the next.
fn four_foot_blocks() -> Docking {
    Docking::new(12, 4.0 * FOOT_M, 9.0 * FOOT_M)
}

/// Common practice, no source: of blocks four feet long a shift of two feet leaves half of what was hidden hidden, one
/// of four feet nothing.
#[test]
fn two_feet_leave_half_and_four_feet_nothing() {
    for (feet, wanted_m2) in [(2.0, 12.0 * 2.0 * FOOT_M * 1.2), (4.0, 0.0)] {
        let docking = four_foot_blocks().planned(&[8.0, 8.0 - feet * FOOT_M]);
        let said = docking.shifts(&["--json"]);
        let own = &said.json()["own"];
        assert!((number(&own["hidden_twice_m2"]) - wanted_m2).abs() < 1e-5, "{own}");
        assert!((number(&own["fore_and_aft_m"]) + feet * FOOT_M).abs() < 1e-6, "{own}");
        let pieces = own["pieces"].as_array().expect("a list").len();
        assert_eq!(
            (pieces, own["is_made"].as_bool()),
            (if feet < 4.0 { 12 } else { 0 }, Some(false))
        );
    }
}

/// It stands before everything else, says whether it was made, and counts from where she lay.
#[test]
fn it_comes_first_and_says_whether_it_was_made() {
    let planned = four_foot_blocks().planned(&[8.0, 7.6]).shifts(&[]).squeezed();
    let first = "Theshiftthatisplanned,fromP1toP2,0.400maftand0.000mathwart,leaves";
    let (at, question) = (planned.find(first), planned.find("FromP1asplanned"));
    assert!(at.is_some() && at < question, "{planned}");
    let made = four_foot_blocks().lying(&[8.0, 7.6]).shifts(&[]).squeezed();
    assert!(made.contains("Theshiftthatwasmade,fromP1toP2,0.400maft"), "{made}");
    assert!(made.contains("noopeningisonrecord"), "{made}");
    assert!(
        made.contains("Theloadsontheblocksthere couldnotbeworkedout".replace(' ', "").as_str()),
        "{made}"
    );
    let one = four_foot_blocks().lying(&[8.0]).shifts(&["--json"]).json();
    assert!(one["own"].is_null(), "{one}");
}

/// Without a block a shift that is planned would leave less; one that was made left what it left.
#[test]
fn leaving_out_counts_for_a_plan_alone() {
    let without =
        |docking: Docking| docking.shifts(&["--json", "--leave-out", "k3"]).json()["own"].clone();
    let planned = without(four_foot_blocks().planned(&[8.0, 7.6]));
    assert_eq!(planned["pieces"].as_array().map(Vec::len), Some(11));
    assert_eq!(planned["without"], serde_json::json!(["K3"]));
    let made = without(four_foot_blocks().lying(&[8.0, 7.6]));
    assert_eq!(made["pieces"].as_array().map(Vec::len), Some(12));
    assert_eq!(made["without"], serde_json::json!([]));
    assert_eq!(made["pieces"][0]["under"], serde_json::json!([["K1"], ["K1"]]));
}

/// An opening that the place brings under a cap is named, and the overlap is counted beside what is literally hidden.
#[test]
fn openings_and_the_overlap_are_counted_where_it_ends() {
    let docking = four_foot_blocks().planned(&[8.0, 8.0 - 4.0 * FOOT_M]);
    docking.write(
        "plan/openings.csv",
        "opening,kind,x_m,y_m,diameter_m,clearance_wanted_m\nDP1,docking-plug,13.2,0.2,0.06,0.10\n",
    );
    docking.append(
        "docking.toml",
        "[limits.shift_overlap]\nvalue = 50\nunit = \"mm\"\nsource = \"the painter\"\n",
    );
    let own = docking.shifts(&["--json"]).json()["own"].clone();
    assert_eq!(own["openings"]["plugs_under"], serde_json::json!(["DP1"]));
    assert_eq!(number(&own["hidden_twice_m2"]), 0.0);
    // A strip of 0.1 m at each block, the caps being 1.3 m wide.
    assert!((number(&own["hidden_twice_grown_m2"]) - 12.0 * 0.1 * 1.3).abs() < 1e-5, "{own}");
    let text = docking.shifts(&[]).squeezed();
    assert!(text.contains("dockingplugDP1liesunderK1andcouldnotdrain"), "{text}");
    assert!(text.contains("Witheverycapgrownby50mmallrounditis1.560m"), "{text}");
}

/// The sample's shift left what the record calls never exposed: K23 had slid, and where she lay is as recorded.
#[test]
fn the_shift_of_the_sample_left_what_was_never_exposed() {
    let json = run(program().args(["shifts", "--json"]).arg(sample())).exits(0).json();
    let own = &json["own"];
    assert_eq!(own["is_made"], true);
    assert_eq!(own["pieces"][0]["under"], serde_json::json!([["K23"], ["K23S"]]));
    let check = run(program().args(["check", "--json"]).arg(sample())).json();
    let findings = check["findings"].as_array().expect("findings");
    let never =
        findings.iter().find(|one| one["id"] == "exposure.never_exposed").expect("a finding");
    let sentence: String =
        never["sentence"].as_str().expect("a sentence").split_whitespace().collect();
    let said: String = own["said"][0].as_str().expect("a sentence").split_whitespace().collect();
    assert!(sentence.starts_with("0.330") && said.contains("left0.330"), "{sentence} {said}");
}
