//! What to aim at, as the report's pages print it, read back by poppler: the sentences of `lastdock shifts --json`.

use serde_json::Value;

use crate::common::{program, run, sample};
use crate::report::{flowing, plain, text_to};

fn shifts(arguments: &[&std::ffi::OsStr]) -> Value {
    run(program().arg("shifts").arg(sample()).args(arguments).arg("--json")).json()
}

fn sentences(aim: &Value) -> Vec<String> {
    let said = aim["said"].as_array().expect("sentences");
    said.iter().map(|one| plain(one.as_str().expect("a sentence"))).collect()
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn section_and_next_team_page_print_the_aim_that_the_command_prints() {
    let text = plain(&flowing());
    let choice = &shifts(&[])["choice"];
    for aim in [&choice["band"]["aim"], &choice["clear_without"]["band"]["aim"]] {
        for said in sentences(aim) {
            assert!(text.matches(&said).count() >= 2, "{said}");
        }
    }
    // And so for where to land next time, which the section prints as what this docking left.
    let sample = sample();
    let left = shifts(&["--past".as_ref(), sample.as_os_str()])["past"][0]["left"][0].clone();
    assert_eq!(left["what"], "never exposed");
    for aim in [&left["aim"], &left["clear_without"]["band"]["aim"]] {
        for said in sentences(aim) {
            assert!(text.matches(&said).count() >= 2, "{said}");
        }
    }
    assert!(text.contains(&plain("but there ES1 lies under K46 (0.200 m wanted)")));
}

/// The caution stands on the page of what the next team needs to know, behind the aim that it belongs to.
#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn the_caution_stands_beside_the_advice() {
    let text = plain(&text_to(None));
    let (_, after) =
        text.split_once(&plain("The shift to choose \u{2022} One shift")).expect("the page");
    let (advice, _) = after.split_once(&plain("Openings too near a block")).expect("its end");
    for part in
        ["no approval to dock or to shift", "a licensed naval architect", "Loads are estimates"]
    {
        assert!(advice.contains(&plain(part)), "{part}: {advice}");
    }
}
