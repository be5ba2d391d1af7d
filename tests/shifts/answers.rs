//! Answers that can be worked out on paper. What shifts of whole and half blocks do is common practice, no
//! source.

use crate::invented::{Docking, bands, number, same, spans};

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
    assert_eq!(choice["band"]["aim_m"], -0.7);
    assert_eq!(choice["band"]["miss_m"], 0.1);
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
        "Aimatashiftof0.70maft",
        "itmaybemissedby0.10meitherway",
        "Thesmallestshiftthatdoesitis0.60maft.Ittakesonereflooding.",
        "noapprovaltodock",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
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
        number(&json["two_shifts"]["first_m"]),
        (
            number(&json["two_shifts"]["second"]["from_m"]),
            number(&json["two_shifts"]["second"]["to_m"]),
        ),
    );
    let hidden = |shifts: &[f64]| {
        // Places along the middle of the row, a millimetre apart; blocks stand every 2 m, 1.2 m long.
        (0..2000).any(|mm| {
            let x = f64::from(mm) / 1000.0 + 0.0005;
            shifts.iter().all(|shift| (x + shift + 20.0).rem_euclid(2.0) < 1.2)
        })
    };
    assert!(hidden(&[0.0, first]), "{first} alone would do");
    let miss = number(&json["two_shifts"]["first_miss_m"]);
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
    assert_eq!(out["band"]["aim_m"], -0.7);
    let why = out["loads"]["why_not"].as_str().expect("why there are no loads");
    assert!(!why.is_empty());
    let text = docking.shifts(&["--reach", "1.0m"]).exits(3).squeezed();
    assert!(text.contains("LeaveoutK5Saftertheshift,andoneshiftdoesit:aimat0.70maft"), "{text}");

    // Asked for, it is the answer.
    let json = docking.shifts(&["--json", "--leave-out", "K5S"]).exits(0).json();
    assert_eq!(json["choice"]["band"]["aim_m"], -0.7);
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
    let short = json["choice"]["openings_short"].as_array().expect("openings");
    let names: Vec<&str> = short.iter().map(|o| o["opening"].as_str().expect("a name")).collect();
    assert_eq!(names, ["DP1", "IN1"]);
    assert_eq!(number(&short[0]["clear_m"]), 0.0);
    assert!((number(&short[1]["clear_m"]) - 0.1).abs() < 1e-9);
    assert_eq!(short[0]["block"], "K1");
    assert_eq!(
        (json["asked"]["openings_held"].clone(), json["asked"]["openings_not_held"].clone()),
        (3.into(), 1.into())
    );
    let text = docking.shifts(&[]).exits(0).squeezed();
    assert!(text.contains("dockingplugDP1,underK1,wanted0.100m"), "{text}");
    assert!(text.contains("IN1,0.100mfromK1,wanted0.150m"), "{text}");
    assert!(text.contains("Atthataim2openingsarenearertoacapthanwanted:"), "{text}");
    assert!(!text.contains("IN2"), "{text}");
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
    assert_eq!(json["choice"]["band"]["miss_m"], 0.02);
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
    assert_eq!(json["choice"]["band"]["aim_m"], -0.7);
    assert!(json["asked"]["before"].is_null());
    let text = docking.shifts(&[]).exits(0).squeezed();
    assert!(
        text.contains("Fromthefirstposition,on6blocks,toasecondpositiononthesameblocks"),
        "{text}"
    );
}
