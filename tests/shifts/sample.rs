//! The sample project and its bundle.

use std::fs;

use super::invented::number;
use crate::common::{NAME, Zip, closed, lastdock, program, run, sample};

/// K23 slid between the positions, so that as the blocks were found no single shift does it; without it one does.
#[test]
fn the_block_that_slipped_is_in_the_way_where_it_was_found() {
    let of = |arguments: &[&str]| {
        run(program().args(["shifts", "--json"]).args(arguments).arg(sample()))
    };
    let json = of(&["--as-found"]).exits(3).json();
    assert_eq!((json["format"].clone(), json["docking"].clone()), (2.into(), NAME.into()));
    assert_eq!(
        (json["whole"].clone(), json["one_shift_does"].clone()),
        (true.into(), false.into())
    );
    let out = &json["leaving_out"][0];
    assert_eq!(out["of_second"], serde_json::json!(["K23S"]));
    let aim = &out["band"]["aim"];
    let (at, miss) = (number(&aim["shift_m"]), number(&aim["miss_m"]));
    assert!(miss > 0.05 && at - miss > -0.81 && at + miss < -0.59, "{at} {miss}");
    let loads = &aim["loads"];
    assert!(
        number(&loads["greatest_t"]) > 20.0 && number(&loads["pressure_kpa"]) > 500.0,
        "{loads}"
    );
    assert!(loads["on"].as_str().is_some_and(|block| block != "K23S"));
    // Without it, asked for.
    let json = of(&["--as-found", "--leave-out", "K23S"]).exits(0).json();
    let bands = json["ways"][0]["bands"].as_array().expect("bands");
    let same =
        bands.iter().find(|band| band["aim"]["shift_m"] == aim["shift_m"]).expect("the band");
    assert_eq!(same["aim"], *aim);
    assert_eq!(json["asked"]["blocks_before"].as_u64(), Some(87));
}

/// Advice about the plan is about K23 where it was planned: one shift does it.
#[test]
fn the_plan_takes_the_block_where_it_was_planned() {
    let json = run(program().args(["shifts", "--json"]).arg(sample())).exits(0).json();
    assert_eq!(
        json["asked"]["put_back"],
        serde_json::json!([{ "block": "K23", "found_as": "K23S" }])
    );
    assert!(json["leaving_out"].as_array().expect("a list").is_empty());
}

/// Terminal and JSON print the same sentences for every aim of the answer; so do the report's pages
/// (`tests/outside/aims.rs`).
#[test]
fn an_aim_has_the_same_sentences_in_terminal_and_json() {
    let json = run(program().args(["shifts", "--json"]).arg(sample())).exits(0).json();
    let terminal = run(program().arg("shifts").arg(sample())).exits(0).squeezed();
    let choice = &json["choice"];
    for aim in [&choice["band"]["aim"], &choice["clear_without"]["band"]["aim"]] {
        let said = aim["said"].as_array().expect("sentences");
        assert!(said.len() >= 2, "{aim}");
        for said in said {
            let said: String = said.as_str().expect("a sentence").split_whitespace().collect();
            assert!(terminal.contains(&said), "{said}: {terminal}");
        }
    }
}

#[test]
fn a_bundle_answers_as_its_project_does() {
    let of = |at: &std::path::Path| run(program().arg("shifts").arg(at)).exits(0).out;
    let project = of(&sample());
    assert_eq!(of(&closed().zip), project);
    assert_eq!(of(&closed().folder), project);
}

#[test]
fn a_damaged_bundle_answers_and_says_so() {
    let zip = Zip::alone();
    let mut bytes = zip.bytes.clone();
    let at = zip.start_of("data/papers/sc3-grid.png") + 100;
    bytes[at] ^= 0x40;
    zip.becomes(&bytes);
    let path = zip.path.to_str().expect("a path in UTF-8");
    let said = lastdock(["shifts", "--json", path]).exits(3);
    assert_eq!(said.json()["whole"], false);
    assert!(said.err.contains("the bundle is damaged"), "{}", said.err);
}

#[test]
fn the_bundle_holds_the_drawings() {
    let path = |way: &str| closed().folder.join(format!("data/drawings/shifts-{way}.svg"));
    let svg = fs::read_to_string(path("fore-and-aft")).expect("the way in which a shift does");
    assert!(svg.contains("under blocks both before and after"));
    assert!(!path("athwart").exists(), "no shift athwart does");
}
