//! The sample project and its bundle.

use std::fs;

use crate::common::{NAME, Zip, closed, lastdock, program, run, sample};
use crate::invented::number;

/// K23 slid between the positions, so that as the blocks stood no single shift does it; without it one does.
#[test]
fn the_block_that_slipped_is_in_the_way() {
    let json = run(program().args(["shifts", "--json"]).arg(sample())).exits(3).json();
    assert_eq!((json["format"].clone(), json["docking"].clone()), (1.into(), NAME.into()));
    assert_eq!(
        (json["whole"].clone(), json["one_shift_does"].clone()),
        (true.into(), false.into())
    );
    let out = &json["leaving_out"][0];
    assert_eq!(out["of_second"], serde_json::json!(["K23S"]));
    let (aim, miss) = (number(&out["band"]["aim_m"]), number(&out["band"]["miss_m"]));
    assert!(miss > 0.05 && aim - miss > -0.81 && aim + miss < -0.59, "{aim} {miss}");
    let loads = &out["loads"];
    assert!(
        number(&loads["greatest_t"]) > 20.0 && number(&loads["pressure_kpa"]) > 500.0,
        "{loads}"
    );
    assert!(loads["on"].as_str().is_some_and(|block| block != "K23S"));
    // Without it, asked for.
    let arguments = ["shifts", "--json", "--leave-out", "K23S"];
    let json = run(program().args(arguments).arg(sample())).exits(0).json();
    assert_eq!(json["choice"]["band"]["aim_m"], out["band"]["aim_m"]);
    assert_eq!(json["choice"]["loads"], *loads);
    assert_eq!(json["asked"]["blocks_before"].as_u64(), Some(87));
}

#[test]
fn a_bundle_answers_as_its_project_does() {
    let of = |at: &std::path::Path| run(program().arg("shifts").arg(at)).exits(3).out;
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
    let said = lastdock(["shifts", "--json", "--leave-out", "K23S", path]).exits(3);
    assert_eq!(said.json()["whole"], false);
    assert!(said.err.contains("the bundle is damaged"), "{}", said.err);
}

#[test]
fn the_bundle_holds_the_drawings() {
    for way in ["fore-and-aft", "athwart"] {
        let path = closed().folder.join(format!("data/drawings/shifts-{way}.svg"));
        let svg = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path:?}: {error}"));
        assert!(svg.contains("under blocks both before and after"), "{way}");
    }
}
