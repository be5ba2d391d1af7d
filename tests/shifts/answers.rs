//! Answers that can be worked out on paper. What shifts of whole and half blocks do is common practice, no
//! source.

use super::invented::{Docking, bands, number, same, spans};

/// Caps of 0.6 m every 1.4 m: 0.6 to 0.8 m either way leaves nothing hidden twice, and so does 2.0 to 2.1 m,
/// where the range of one and a half pitches ends. Athwart a cap of 1.2 m is cleared from 1.2 m on, but then
/// the keel is off its blocks.
#[test]
fn even_keel_blocks() {
    let docking = Docking::new(12, 0.6, 1.4).lying(&[8.0]);
    let said = docking.shifts(&["--json"]).exits(0);
    let json = said.json();
    let mirrored = [(-2.1, -2.0), (-0.8, -0.6), (0.6, 0.8), (2.0, 2.1)];
    same(&bands(&json, 0), &mirrored);
    same(&bands(&json, 1), &[]);
    same(&spans(&json["ways"][1]["off_keel"]), &[(-1.8, -1.2), (1.2, 1.8)]);
    let choice = &json["choice"];
    assert_eq!(choice["way"], "fore and aft");
    assert_eq!(choice["band"]["aim"]["shift_m"], -0.7);
    assert_eq!(choice["band"]["aim"]["miss_m"], 0.1);
    assert_eq!(choice["band"]["aim"]["srp_station_m"], 7.3);
    assert_eq!(choice["smallest_m"], -0.6);
    assert_eq!(json["one_shift_does"], true);
    assert!(json["two_shifts"].is_null());
    // Not shifted, everything stays hidden; at the aim nothing.
    let at = |shift: f64| {
        let rows = json["ways"][0]["at_round_shifts"].as_array().expect("rows");
        let row = rows.iter().find(|row| (number(&row["shift_m"]) - shift).abs() < 1e-9);
        number(&row.expect("a round shift")["area_m2"])
    };
    assert!((at(0.0) - 12.0 * 0.6 * 1.2).abs() < 1e-6, "{}", at(0.0));
    assert!((at(0.4) - 12.0 * 0.2 * 1.2).abs() < 1e-6, "{}", at(0.4));
    assert_eq!(at(-0.6), 0.0);
    // All but the last block meet their neighbour's place.
    assert!((at(1.4) - 11.0 * 0.6 * 1.2).abs() < 1e-6, "{}", at(1.4));

    let text = docking.shifts(&[]).exits(0).squeezed();
    for part in [
        "Oneshift,withonereflooding,leavesnothingofthebottomunderblocksasecondtime.",
        "Aimat0.70maftofP1asshelay(sternreferencepointatstation7.300m),whichmaybemissedby0.10meitherway",
        "noopeningisonrecord,sothatnonecouldbeheldagainstthecaps",
        "Theloadsontheblockstherecouldnotbeworkedout",
        "Thesmallestshiftthatdoesit,withnoroomtomissitoneway,is0.60maft.",
        "noapprovaltodock",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
}

/// A band of 6 mm, from 0.702 to 0.708 m, holds no whole centimetre: the smallest shift is not rounded past its end.
#[test]
fn the_smallest_shift_lies_in_its_band() {
    let docking = Docking::new(12, 0.702, 1.41).lying(&[8.0]);
    let text = docking.shifts(&["--reach", "1.3m"]).exits(0).squeezed();
    let said = "Thesmallestshiftthatdoesit,withnoroomtomissitoneway,is0.702maft.";
    assert!(text.contains(said), "{text}");
}

/// Caps longer than the room between them: no single shift, but two shifts of about half a cap.
#[test]
fn long_caps_take_two_shifts() {
    let docking = Docking::new(30, 1.2, 2.0).lying(&[8.0]);
    let json = docking.shifts(&["--json", "--reach", "1.9m"]).exits(3).json();
    same(&bands(&json, 0), &[]);
    same(&spans(&json["ways"][1]["off_keel"]), &[(-1.9, -1.2), (1.2, 1.9)]);
    let text = docking.shifts(&["--reach", "1.9m"]).exits(3).squeezed();
    assert!(text.contains("would,buttheytakethekeeloffitsblocks."), "{text}");
    // Not so far athwart, nothing does.
    let said = docking.shifts(&["--json", "--reach", "1.1m"]).exits(3);
    let json = said.json();
    let (first, second) = (
        number(&json["two_shifts"]["first"]["aim"]["shift_m"]),
        (
            number(&json["two_shifts"]["second"]["from_m"]),
            number(&json["two_shifts"]["second"]["to_m"]),
        ),
    );
    let aim = |which: &str| json["two_shifts"][which]["aim"].clone();
    // The first leaves some of it hidden, both nothing; nothing is known of loads at either.
    assert!(number(&aim("first")["hidden_m2"]) > 1.0);
    assert_eq!(number(&aim("second")["hidden_m2"]), 0.0);
    for which in ["first", "second"] {
        assert!(aim(which)["loads"]["why_not"].is_string(), "{json}");
        assert!(number(&aim(which)["steady_m"]) <= number(&aim(which)["miss_m"]));
    }
    let hidden = |shifts: &[f64]| {
        // Places along the middle of the row, a millimetre apart; blocks stand every 2 m, 1.2 m long.
        (0..2000).any(|mm| {
            let x = f64::from(mm) / 1000.0 + 0.0005;
            shifts.iter().all(|shift| (x + shift + 20.0).rem_euclid(2.0) < 1.2)
        })
    };
    assert!(hidden(&[0.0, first]), "{first} alone would do");
    let miss = number(&json["two_shifts"]["first"]["aim"]["miss_m"]);
    assert!(miss > 0.01 && second.1 - second.0 > 0.02, "{miss} {second:?}");
    // Wherever in its room each lands.
    for first in [first - miss, first, first + miss] {
        for second in [second.0, (second.0 + second.1) / 2.0, second.1] {
            assert!(!hidden(&[0.0, first, second]), "{first}, {second}");
        }
    }
    let text = docking.shifts(&["--reach", "1.1m"]).exits(3).squeezed();
    assert!(text.contains("Nosingleshiftdoesit,upto1.10mforeandaftorupto1.10mathwart."), "{text}");
    assert!(text.contains("twoshiftsandtworefloodings"), "{text}");
}

/// One block that stands where a shift would have to put its neighbour: left out, one shift does it.
#[test]
fn leaving_out_the_block_in_the_way() {
    let docking = Docking::new(12, 0.6, 1.4).lying(&[8.0, 7.3]);
    docking.append("plan/blocks.csv", "K5S,keel,25.2,0,0.6,1.2,0,P2\n");
    let json = docking.shifts(&["--json", "--reach", "1.0m"]).exits(3).json();
    assert_eq!(json["asked"]["after"], "P2");
    assert_eq!(
        (json["asked"]["blocks_before"].clone(), json["asked"]["blocks_after"].clone()),
        (12.into(), 13.into())
    );
    let out = &json["leaving_out"][0];
    assert_eq!(out["of_second"], serde_json::json!(["K5S"]));
    assert_eq!(out["of_first"], serde_json::json!([]));
    assert_eq!(out["band"]["aim"]["shift_m"], -0.7);
    let why = out["band"]["aim"]["loads"]["why_not"].as_str().expect("why there are no loads");
    assert!(!why.is_empty());
    let text = docking.shifts(&["--reach", "1.0m"]).exits(3).squeezed();
    let said =
        "LeaveoutK5Saftertheshift,andoneshiftwithonerefloodingdoesit.-Aimat0.70maftofP1asshelay";
    assert!(text.contains(said), "{text}");

    // Asked for, it is the answer.
    let json = docking.shifts(&["--json", "--leave-out", "K5S"]).exits(0).json();
    assert_eq!(json["choice"]["band"]["aim"]["shift_m"], -0.7);
    assert_eq!(json["asked"]["left_out"], serde_json::json!(["K5S"]));
    assert_eq!(json["asked"]["blocks_after"], 12);
}

/// Openings at the aim: a plug that would lie under a cap, and one near it.
#[test]
fn openings_at_the_aim() {
    let docking = Docking::new(12, 0.6, 1.4).lying(&[8.0]);
    // K1 lies on the hull from x 11.7 to 12.3, and after 0.70 m aft from 12.4 to 13.0.
    docking.write(
        "plan/openings.csv",
        "opening,kind,x_m,y_m,diameter_m,clearance_wanted_m\n\
         DP1,docking-plug,12.7,0.2,0.06,0.10\n\
         IN1,intake,12.7,0.75,0.10,0.15\n\
         IN2,intake,12.7,2.75,0.10,0.15\n\
         IN3,intake,12.7,0.7,0.10,\n",
    );
    let json = docking.shifts(&["--json"]).exits(0).json();
    // 0.70 m aft, plug and intake lie under or near K1.
    let aft = json["ways"][0]["bands"].as_array().expect("bands");
    let aft = aft.iter().find(|band| number(&band["aim"]["shift_m"]) == -0.7).expect("0.70 m aft");
    let openings = &aft["aim"]["openings"];
    let short = openings["near"].as_array().expect("openings");
    let names: Vec<&str> = short.iter().map(|o| o["opening"].as_str().expect("a name")).collect();
    assert_eq!(names, ["DP1", "IN1"]);
    assert_eq!(number(&short[0]["clear_m"]), 0.0);
    assert!((number(&short[1]["clear_m"]) - 0.1).abs() < 1e-9);
    assert_eq!(short[0]["block"], "K1");
    assert_eq!(openings["plugs_under"], serde_json::json!(["DP1"]));
    assert_eq!(
        (openings["held"].clone(), openings["not_held"].clone()),
        (3.into(), serde_json::json!(["IN3"]))
    );
    let said = aft["aim"]["said"].as_array().expect("sentences");
    let said: Vec<&str> = said.iter().map(|one| one.as_str().expect("a sentence")).collect();
    assert_eq!(
        said[0],
        "Aim at 0.70 m aft of P1 as she lay (stern reference point at station 7.300 m), which may be missed by \
         0.10 m either way; but there docking plug DP1 lies under K1 and could not drain (0.100 m wanted) and IN1 \
         is 0.100 m from K1 (0.150 m wanted), and no shift from 0.60 to 0.80 m aft clears every opening."
    );
    assert!(
        said[1].starts_with("For 1 of the openings no clear distance wanted is recorded (IN3)"),
        "{said:?}"
    );
    // Forward K2 lies over the plug; a band that clears all is chosen, and says what was examined.
    let chosen = &json["choice"]["band"]["aim"];
    assert_eq!(chosen["shift_m"], -2.05);
    assert_eq!(chosen["openings"]["near"], serde_json::json!([]));
    let text = docking.shifts(&[]).exits(0).squeezed();
    let part =
        "eachofthe3openingsforwhichacleardistanceiswantedhasitthere,andthedockingplugisfreetodrain";
    assert!(text.contains(part), "{text}");
}

/// Within a band the part that clears an opening is aimed at, and the sentence says how far that holds.
#[test]
fn the_part_of_a_band_that_clears_an_opening_comes_before_its_middle() {
    let docking = Docking::new(12, 0.6, 1.4).lying(&[8.0]);
    // K1 bears from x 11.7 to 12.3; her shift aft by s takes it to x 11.7 + s. The opening's edge, at x 11.40 to
    // 11.60 athwart y 0, is 0.10 m clear of K1 as it was. Blocks that come from aft are none, since K1 is the first.
    docking.write(
        "plan/openings.csv",
        "opening,kind,x_m,y_m,diameter_m,clearance_wanted_m\nES1,echo-sounder,11.30,0,0.20,0.15\n",
    );
    let json = docking.shifts(&["--json", "--reach", "0.9m"]).exits(0).json();
    let bands = json["ways"][0]["bands"].as_array().expect("bands");
    let forward = bands.iter().find(|band| number(&band["to_m"]) > 0.0).expect("a band forward");
    // Forward by s K1 lies from 11.7 - s to 12.3 - s, over 0.60 to 0.80 m: ES1 is under it or near it.
    assert_eq!(forward["aim"]["openings"]["near"][0]["opening"], "ES1");
    // The opening moved so that up to 0.70 m leaves it clear: wanted 0.15 m from its edge at x 10.85.
    docking.write(
        "plan/openings.csv",
        "opening,kind,x_m,y_m,diameter_m,clearance_wanted_m\nES1,echo-sounder,10.75,0,0.20,0.15\n",
    );
    let json = docking.shifts(&["--json", "--reach", "0.9m"]).exits(0).json();
    let bands = json["ways"][0]["bands"].as_array().expect("bands");
    let forward = bands.iter().find(|band| number(&band["to_m"]) > 0.0).expect("a band forward");
    same(&spans(&forward["openings_clear"]), &[(0.6, 0.7)]);
    let aim = &forward["aim"];
    assert_eq!(
        (number(&aim["shift_m"]), number(&aim["miss_m"]), number(&aim["steady_m"])),
        (0.65, 0.05, 0.05)
    );
    assert_eq!(aim["openings"]["near"], serde_json::json!([]));
    // Wanted 0.10 m more from it, the clear part is too narrow to be aimed at, and that is said.
    docking.write(
        "plan/openings.csv",
        "opening,kind,x_m,y_m,diameter_m,clearance_wanted_m\nES1,echo-sounder,10.75,0,0.20,0.23\n",
    );
    let json = docking.shifts(&["--json", "--reach", "0.9m"]).exits(0).json();
    let bands = json["ways"][0]["bands"].as_array().expect("bands");
    let forward = bands.iter().find(|band| number(&band["to_m"]) > 0.0).expect("a band forward");
    same(&spans(&forward["openings_clear"]), &[(0.6, 0.62)]);
    let said = forward["aim"]["said"][0].as_str().expect("a sentence");
    assert!(said.contains("too little room to aim at") && said.contains("ES1 is 0."), "{said}");
}

/// Grown by 50 mm all round, caps hide 0.7 m: 0.7 m is the only shift, and a band of no width no answer.
#[test]
fn the_overlap_of_blasting_narrows_the_band() {
    let docking = Docking::new(12, 0.6, 1.4).lying(&[8.0]);
    docking.append(
        "docking.toml",
        "[limits.shift_overlap]\nvalue = 40\nunit = \"mm\"\nsource = \"docking specification\"\n",
    );
    let json = docking.shifts(&["--json", "--reach", "1.0m"]).exits(0).json();
    same(&bands(&json, 0), &[(-0.72, -0.68), (0.68, 0.72)]);
    assert_eq!(json["choice"]["band"]["aim"]["miss_m"], 0.02);
    docking.write("docking.toml", &{
        let text = std::fs::read_to_string(docking.root().join("docking.toml")).expect("a file");
        text.replace("value = 40", "value = 50")
    });
    let json = docking.shifts(&["--json", "--reach", "1.0m"]).exits(3).json();
    same(&bands(&json, 0), &[]);
}

/// Without any position the blocks are studied among themselves.
#[test]
fn a_plan_without_positions() {
    let docking = Docking::new(6, 0.6, 1.4);
    let json = docking.shifts(&["--json"]).exits(0).json();
    assert_eq!(json["choice"]["band"]["aim"]["shift_m"], -0.7);
    assert!(json["choice"]["band"]["aim"]["openings"].is_null());
    assert!(json["asked"]["before"].is_null());
    let text = docking.shifts(&[]).exits(0).squeezed();
    assert!(
        text.contains("Fromthefirstposition,on6blocks,toasecondpositiononthesameblocks"),
        "{text}"
    );
}

/// Where she lies is not known, nothing can be said of openings, and nothing is.
#[test]
fn without_a_position_nothing_is_said_of_openings() {
    let docking = Docking::new(6, 0.6, 1.4);
    docking.write(
        "plan/openings.csv",
        "opening,kind,x_m,y_m,diameter_m,clearance_wanted_m\nDP1,docking-plug,12.7,0.2,0.06,0.10\n",
    );
    let text = docking.shifts(&[]).exits(0).squeezed();
    let said =
        "whereshelies is not recorded, so that nothing can be said of openings".replace(' ', "");
    assert!(text.contains(&said), "{text}");
    for claim in ["hasthecleardistancewanted", "freetodrain", "openingsclear2", "DP1"] {
        assert!(!text.contains(claim), "{claim}: {text}");
    }
    assert!(text.contains("notknown"), "{text}");
    let json = docking.shifts(&["--json"]).exits(0).json();
    let bands = json["ways"][0]["bands"].as_array().expect("bands");
    for band in bands {
        assert!(band["aim"]["openings"].is_null(), "{band}");
        assert_eq!(band["openings_clear"], serde_json::json!([]));
    }
}

/// No ship stands on one block: no shift is named.
#[test]
fn one_block_gives_no_advice() {
    let docking = Docking::new(1, 0.6, 1.4).lying(&[8.0]);
    let said = docking.shifts(&[]).exits(1);
    assert!(said.out.is_empty(), "{}", said.out);
    assert!(said.err.contains("only 1 block that stands in position P1"), "{}", said.err);
    let docking = Docking::new(2, 0.6, 1.4).lying(&[8.0]);
    docking.shifts(&["--leave-out", "K2"]).exits(1);
}

/// A block that slipped is taken where it was planned, and where it was found if that is asked for.
#[test]
fn a_block_found_elsewhere_is_planned_where_it_was_planned() {
    let docking = Docking::new(12, 0.6, 1.4).lying(&[8.0, 7.3]);
    let blocks = std::fs::read_to_string(docking.root().join("plan/blocks.csv")).expect("a file");
    let moved: String = blocks
        .lines()
        .map(|line| match line {
            header if header.starts_with("block,") => format!("{header},moved_from\n"),
            row if row.starts_with("K5,") => format!("{row}P1,\nK5S,keel,25.2,0,0.6,1.2,0,P2,K5\n"),
            row => format!("{row},\n"),
        })
        .collect();
    docking.write("plan/blocks.csv", &moved);
    let json = docking.shifts(&["--json", "--reach", "1.0m"]).exits(0).json();
    assert_eq!(json["choice"]["band"]["aim"]["shift_m"], -0.7);
    assert_eq!(
        json["asked"]["put_back"],
        serde_json::json!([{ "block": "K5", "found_as": "K5S" }])
    );
    assert_eq!(json["asked"]["blocks_after"], 12);
    let text = docking.shifts(&["--reach", "1.0m"]).exits(0).squeezed();
    assert!(text.contains("K5(foundasK5S)istakenwhereitwasplanned."), "{text}");
    let found = docking.shifts(&["--json", "--reach", "1.0m", "--as-found"]).exits(3).json();
    assert_eq!(found["leaving_out"][0]["of_second"], serde_json::json!(["K5S"]));
    // Left out by the name under which it was found, where it is taken as planned.
    let said = docking.shifts(&["--leave-out", "K5S"]).exits(1);
    assert!(said.err.contains("name K5"), "{}", said.err);
    docking.shifts(&["--leave-out", "K5S", "--as-found"]).exits(0);
    // One block can't stand in two places at once, nor be itself elsewhere.
    docking.write("plan/blocks.csv", &moved.replace("0.6,1.2,0,P1,", "0.6,1.2,0,P1;P2,"));
    let said = docking.shifts(&[]).exits(1);
    assert!(
        said.err.contains("puts one block in two places in P2: as K5 and as K5S"),
        "{}",
        said.err
    );
    docking.write("plan/blocks.csv", &moved.replace("P2,K5\n", "P2,K5S\n"));
    let said = docking.shifts(&[]).exits(1);
    assert!(said.err.contains("says that the block was moved from itself"), "{}", said.err);
}
