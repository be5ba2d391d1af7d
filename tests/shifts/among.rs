//! The plan's positions compared, every choice and every order.

use super::invented::{Docking, number};
use crate::common::{program, run};

const FOOT_M: f64 = 0.3048;

/// Twelve keel blocks four feet long and 1.2 m wide, nine feet from one to the next, and positions of the plan two feet
/// apart.
fn two_feet_apart(more: &[&str]) -> Docking {
    let docking = Docking::new(12, 4.0 * FOOT_M, 9.0 * FOOT_M);
    let rows = (0..3).map(|n| format!("{},{},0,\n", n + 1, 10.0 - f64::from(n) * 2.0 * FOOT_M));
    let header = "plan_position,srp_station_m,offset_m,left_out\n";
    let rows = rows.chain(more.iter().map(|row| format!("{row}\n")));
    docking.write("plan/positions.csv", &(header.to_string() + &rows.collect::<String>()));
    docking
}

/// The choices of an answer: positions in order, what stays hidden.
fn choices(json: &serde_json::Value) -> Vec<(Vec<String>, f64)> {
    let all = json["choices"].as_array().expect("choices");
    let names = |one: &serde_json::Value| {
        let names = one["positions"].as_array().expect("names").iter();
        names.map(|name| name.as_str().expect("a name").to_string()).collect()
    };
    all.iter().map(|one| (names(one), number(&one["hidden_m2"]))).collect()
}

fn choice<'a>(json: &'a serde_json::Value, positions: &[&str]) -> &'a serde_json::Value {
    let all = json["choices"].as_array().expect("choices");
    let found = all.iter().find(|one| one["positions"] == serde_json::json!(positions));
    found.unwrap_or_else(|| panic!("no choice {positions:?} in {json}"))
}

/// Common practice, no source: three positions two feet apart reach everything on blocks four feet long, two that are
/// neighbours leave half of what was hidden, and the first and the third reach everything in one shift.
#[test]
fn four_foot_blocks_and_positions_two_feet_apart() {
    let docking = two_feet_apart(&[]);
    let json = docking.shifts(&["--among", "1,2,3", "--json"]).exits(0).json();
    let once = 12.0 * 4.0 * FOOT_M * 1.2;
    let wanted: [(&[&str], f64); 7] = [
        (&["1"], once),
        (&["2"], once),
        (&["3"], once),
        (&["1", "3"], 0.0),
        (&["1", "2"], once / 2.0),
        (&["2", "3"], once / 2.0),
        (&["1", "2", "3"], 0.0),
    ];
    let found = choices(&json);
    assert_eq!(found.len(), wanted.len(), "{found:?}");
    for (positions, m2) in wanted {
        let (_, found_m2) =
            found.iter().find(|(names, _)| names == positions).expect("that choice");
        assert!((found_m2 - m2).abs() < 1e-5, "{positions:?}: {found_m2}, wanted {m2}");
    }
    assert_eq!((json["orders"].clone(), json["some_reach_all"].clone()), (15.into(), true.into()));
    let both = choice(&json, &["1", "3"]);
    assert_eq!((both["landings"].clone(), both["refloodings"].clone()), (2.into(), 1.into()));
    assert!((number(&both["hauled_m"]) - 4.0 * FOOT_M).abs() < 1e-6, "{both}");
    assert!(both["cost"].is_null(), "{both}");
    // Caps as long as the shift: neither may be missed.
    assert!(number(&both["room_m"]) < 1e-6, "{both}");
    assert!(
        choice(&json, &["1", "2"])["room_m"].is_null()
            && choice(&json, &["1", "2", "3"])["room_m"].is_null()
    );

    let text = docking.shifts(&["--among", "all"]).exits(0).squeezed();
    for part in [
        "7choicesofthemin15orderswereexamined",
        "Thefewestlandingsthatleavenothingofthebottomunderblocksinallofthemare2,with1reflooding:positions1and3.",
        "With1landingtheleastthatstayshiddenis17.556m²:position1;orposition2;orposition3.",
        "noopeningisonrecord,sothatnonecouldbeheldagainstthecaps",
        "Theloadsontheblockscouldnotbeworkedoutinanyofthesepositions",
        "noapprovaltodock",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    // Two neighbours alone do not.
    let text = docking.shifts(&["--among", "1,2"]).exits(3).squeezed();
    for part in [
        "Oftheplan's3positionsthesearecompared:1and2.",
        "Eachofthesechoicesleavessomeofthebottomunderblocksinallofitspositions.Theleastis8.778m²,with2landings:positions1and2.",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
}

/// The first and the third do it only if nothing stands in the way: a docking plug under a cap in the third, and a sea
/// chest that is under one in both.
#[test]
fn what_stands_in_the_way_is_said() {
    let docking = two_feet_apart(&[]);
    // In position 3 the caps reach from 0.61 m aft of x 11.2192 to 0.61 m forward of it; the blocks of the first from 10.
    let plug = "DP1,docking-plug,10.9,0.1,,,60,0.1\n";
    let chest = "SC1,sea-chest,10.61,0.2,300,300,,0.3\n";
    let header = "opening,kind,x_m,y_m,length_mm,width_mm,diameter_mm,clearance_wanted_m\n";
    docking.write("plan/openings.csv", &format!("{header}{plug}{chest}"));
    let json = docking.shifts(&["--among", "1,2,3", "--json"]).exits(0).json();
    let both = choice(&json, &["1", "3"]);
    assert_eq!(both["never_clear"], serde_json::json!(["SC1"]), "{both}");
    let under = serde_json::json!([{ "plug": "DP1", "position": "3", "block": "K1" }]);
    assert_eq!(both["plugs_under"], under, "{both}");
    let text = docking.shifts(&["--among", "1,2,3"]).exits(0).squeezed();
    assert!(text.contains("dockingplugDP1liesunderK1andcouldnotdrain"), "{text}");
    assert!(text.contains("SC1;DP1underK1in3"), "{text}");
    // Left out, neither lies under it.
    let json = docking.shifts(&["--among", "1,3", "--leave-out", "K1", "--json"]).exits(0).json();
    let both = choice(&json, &["1", "3"]);
    assert_eq!(
        (&both["never_clear"], &both["plugs_under"]),
        (&serde_json::json!([]), &serde_json::json!([]))
    );
    assert_eq!(json["left_out"], serde_json::json!(["K1"]));
    // The plan itself may leave it out in the third alone.
    let rows = "plan_position,srp_station_m,offset_m,left_out\n1,10,0,\n3,8.7808,0,K1\n";
    docking.write("plan/positions.csv", rows);
    let json = docking.shifts(&["--among", "all", "--json"]).exits(0).json();
    assert_eq!(choice(&json, &["1", "3"])["plugs_under"], serde_json::json!([]));
    assert_eq!(json["offered"][1]["left_out"], serde_json::json!(["K1"]));
    assert_eq!(
        (json["offered"][0]["blocks"].clone(), json["offered"][1]["blocks"].clone()),
        (12.into(), 11.into())
    );
}

/// What the plan's positions leave is what the docking's own shift between them leaves, to the same figure; costs are
/// those of its landings.
#[test]
fn the_same_figure_as_that_of_the_shift_itself() {
    let docking = two_feet_apart(&[]).planned(&[]);
    let rows =
        "position,from_plan,planned_srp_station_m,planned_offset_m\nP1,2,9.3904,0\nP2,1,10,0\n";
    docking.write("positions/positions.csv", rows);
    docking.append("docking.toml", "[plan]\ncost_of_a_landing = 18000\ncurrency = \"crowns\"\n");
    let own = docking.shifts(&["--json"]).json()["own"].clone();
    let json = docking.shifts(&["--among", "all", "--json"]).json();
    let both = choice(&json, &["1", "2"]);
    assert_eq!(own["hidden_twice_m2"], both["hidden_m2"], "{own} {both}");
    assert_eq!(
        own["pieces"].as_array().expect("a list").len(),
        both["pieces"].as_array().expect("a list").len()
    );
    assert_eq!(both["used_as"], serde_json::json!(["P2", "P1"]));
    assert_eq!(number(&both["cost"]), 36000.0);
    let text = docking.shifts(&["--among", "all"]).squeezed();
    assert!(text.contains("Thisdockinguses1and2oftheplan,asP2andP1:8.778m²ofthebottomstaysunderblocksinallofthem,andoneotherchoiceleaveslesswithasmanylandingsorfewer."), "{text}");
    assert!(text.contains("Costsarethoseofthelandingsalone."), "{text}");
    assert!(text.contains("0.6136000"), "{text}");
}

/// Caps of 0.6 m every 1.4 m: 0.6 to 0.8 m leave nothing, so that of a shift of 0.65 m the second may be missed by 50 mm.
#[test]
fn by_how_much_the_second_may_be_missed() {
    let docking = Docking::new(12, 0.6, 1.4);
    docking.write("plan/positions.csv", "plan_position,srp_station_m\n1,10\n2,9.35\n");
    let json = docking.shifts(&["--among", "all", "--json"]).exits(0).json();
    let room = number(&choice(&json, &["1", "2"])["room_m"]);
    assert!((room - 0.05).abs() < 1e-6, "{room}");
}

/// A position that is not planned as the plan has it is found; so is a block that the plan leaves out and that stands.
#[test]
fn a_position_that_departs_from_the_plan_is_found() {
    let docking = two_feet_apart(&["4,7.5,0,K2"]).planned(&[]);
    let rows =
        "position,from_plan,planned_srp_station_m,planned_offset_m\nP1,1,10,0\nP2,4,7.52,0\n";
    docking.write("positions/positions.csv", rows);
    let said = run(program().arg("check").arg("--json").arg(docking.root())).json();
    let findings = said["findings"].as_array().expect("findings");
    let of = |id: &str| {
        let found = findings.iter().find(|finding| finding["id"] == id);
        let found = found.unwrap_or_else(|| panic!("no {id} in {said}"));
        (
            found["outcome"].as_str().expect("words").to_string(),
            found["sentence"].as_str().expect("a sentence").to_string(),
        )
    };
    assert_eq!(of("positions.P1.offered").0, "agrees");
    let (outcome, sentence) = of("positions.P2.offered");
    assert_eq!(outcome, "differs");
    for part in ["0.020 m forward", "K2 stands, which the plan leaves out there"] {
        assert!(sentence.contains(part), "{sentence}");
    }
}

#[test]
fn what_cannot_be_compared_is_refused() {
    let without = Docking::new(4, 0.6, 1.4);
    let said = without.shifts(&["--among", "1"]).exits(1);
    assert!(said.err.contains("no positions of the plan on record"), "{}", said.err);
    let docking = two_feet_apart(&[]);
    let said = docking.shifts(&["--among", "1,5", "--leave-out", "K99"]).exits(1);
    assert!(said.err.contains("has no position of the plan \"5\""), "{}", said.err);
    assert!(said.err.contains("has no block \"K99\""), "{}", said.err);
    docking.shifts(&["--among", "1", "--before", "P1"]).exits(2);
    let more: Vec<String> = (4..10).map(|n| format!("{n},{n},0,")).collect();
    let more: Vec<&str> = more.iter().map(String::as_str).collect();
    let said = two_feet_apart(&more).shifts(&["--among", "all"]).exits(1);
    assert!(said.err.contains("at most 8 can be compared"), "{}", said.err);
    // With eight of them the table shows those that leave the least of each number of landings.
    let json = two_feet_apart(&more[..5]).shifts(&["--among", "all", "--json"]).json();
    assert_eq!((choices(&json).len(), json["orders"].clone()), (255, 109_600.into()));
    let text = two_feet_apart(&more[..5]).shifts(&["--among", "all"]).squeezed();
    assert!(text.contains("moreareintheanswerasJSON"), "{text}");
}

/// A position in which she would not stand on her keel, or on too few blocks, is in no choice.
#[test]
fn positions_that_cannot_be_used_are_left_out() {
    let docking = two_feet_apart(&["4,10,0.7,"]);
    let json = docking.shifts(&["--among", "1,3,4", "--json"]).exits(0).json();
    assert_eq!(choices(&json).len(), 3);
    assert_eq!(json["offered"][2]["why_not"], "her centreline lies over none of the keel blocks");
    let text = docking.shifts(&["--among", "1,3,4"]).exits(0).squeezed();
    let part = "Position4oftheplanisinnochoice:hercentrelineliesovernoneofthekeelblocks.";
    assert!(text.contains(part), "{text}");
}

/// Where she lay before stands beside the plan, and what that docking left and a choice hides again.
#[test]
fn earlier_dockings_stand_beside_the_plan() {
    let older = Docking::new(12, 4.0 * FOOT_M, 9.0 * FOOT_M).lying(&[10.0, 9.95]);
    let docking = two_feet_apart(&[]);
    let past = older.root();
    let past = past.to_str().expect("UTF-8");
    let json = docking.shifts(&["--among", "1,2,3", "--past", past, "--json"]).exits(0).json();
    let beside = &json["earlier"][0];
    assert_eq!(beside["positions"][1]["nearest"], "1");
    assert!((number(&beside["positions"][1]["forward_of_it_m"]) + 0.05).abs() < 1e-6, "{beside}");
    // It left all but 50 mm of each cap, and all of that stays hidden if she is landed in the first position alone.
    let left = number(&beside["never_exposed_m2"]);
    assert!((left - 12.0 * (4.0 * FOOT_M - 0.05) * 1.2).abs() < 1e-5, "{left}");
    let again = |positions: &[&str]| number(&choice(&json, positions)["hidden_again_m2"][0]);
    assert!((again(&["1"]) - left).abs() < 1e-5, "{}", again(&["1"]));
    assert_eq!(again(&["1", "3"]), 0.0);
    let text = docking.shifts(&["--among", "1,2,3", "--past", past]).exits(0).squeezed();
    assert!(text.contains("1,0.05maftfromit"), "{text}");
}
