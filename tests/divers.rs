//! What divers measure of the keel over the blocks: the figures that follow, the findings, what is said before a landing,
//! and rows that say too little or too much.

use std::path::Path;

use serde_json::{Value, json};

use crate::common::{self, Project, program, run};
use lastdock::findings::Examined;
use lastdock::findings::finding::{Finding, Outcome};

const DIVERS: &str = "positions/divers.csv";
const HEAD: &str = "position,occasion,round,block,keel_offset_mm,port_edge_mm,starboard_edge_mm,frame,mark_x_m,mark_ahead_mm,by,at\n";

/// A copy of the small project with these rows of what divers measured.
fn measured(rows: &[&str]) -> Project {
    let project = Project::copy_of(&common::small());
    let rows: String = rows.iter().map(|row| format!("{row}\n")).collect();
    project.write(DIVERS, format!("{HEAD}{rows}"));
    project
}

#[track_caller]
fn finding<'a>(examined: &'a Examined, id: &str) -> &'a Finding {
    examined.finding_called(id).unwrap_or_else(|| panic!("no finding {id}"))
}

#[track_caller]
fn near(found: Option<f64>, wanted: f64) {
    assert!(found.is_some_and(|found| (found - wanted).abs() < 1e-6), "{found:?} is not {wanted}");
}

/// K1 at station 8, K5 at 16: the keel 100 and 20 mm to port there, so that it goes 10 mm to starboard for each metre. A mark
/// at x 5 is 900 mm forward of K1's after end, at station 8.7. Worked by hand.
const BEFORE: [&str; 2] = [
    "P2,before-touchdown,,K1,100,,,,5.0,900,Wat Ibbotson,2029-05-12T10:30:00",
    "P2,before-touchdown,,K5,,430,470,,,,Wat Ibbotson,2029-05-12T10:35:00",
];

#[test]
fn two_blocks_and_a_mark_say_by_how_much_to_move_her() {
    let project = measured(&BEFORE);
    let examined = common::examined(&project.root());
    let [round] = examined.recomputed.divers.as_slice() else { panic!("one round") };
    let cosine = 1.0 / 1.000_1_f64.sqrt();
    let station = 8.7 - 5.0 * cosine;
    near(round.along.as_ref().map(|along| along.srp_station_m), station);
    near(round.lie.map(|lie| lie.centreline_offset_m), 0.1 - 0.01 * (station - 8.0));
    near(round.lie.map(|lie| lie.yaw_deg), -0.572_938_7);
    let to_aim = round.to_aim.as_ref().expect("an aim");
    near(to_aim.along_m, station - 3.5);
    let [aft, forward] = to_aim.ends.expect("perpendiculars");
    near(Some(aft.off_m()), 0.1 - 0.01 * (station + cosine - 8.0));
    near(Some(forward.off_m()), 0.1 - 0.01 * (station + 23.0 * cosine - 8.0));
    let plan = finding(&examined, "positions.P2.divers.plan");
    assert!(plan.sentence.to_string().contains("was 0.246 m"), "{}", plan.sentence);
    let fit = finding(&examined, "positions.P2.divers.before-touchdown");
    assert_eq!(fit.outcome, Outcome::NotRecorded);
    assert!(fit.sentence.to_string().contains("nothing to check it by"), "{}", fit.sentence);

    let said = run(program()
        .args(["check", "--stage", "before-landing", "--position", "P2"])
        .arg(project.root()));
    let said = said.squeezed();
    for words in [
        "The keel over the blocks, as divers measured it",
        "P2, before touchdown",
        "3.700 m 0.020 m 0.200 m forward 0.200 m aft",
        "0.133 m to port 0.133 m to starboard",
        "0.087 m to starboard 0.087 m to port",
    ] {
        // A table is wrapped cell by cell, so that only its words are looked for, in their order.
        let mut rest = said.as_str();
        for word in words.split(' ') {
            let at = rest.find(word).unwrap_or_else(|| panic!("{words}: {said}"));
            rest = &rest[at + word.len()..];
        }
    }
    for word in ["permitted", "approved", "cleared", "safe to", "may land"] {
        assert!(!said.contains(&common::squeezed(word)), "{word}");
    }
}

#[test]
fn the_plans_limit_holds_for_the_last_round_alone() {
    let limit = "\n[limits.position_from_plan]\nvalue = 60\nunit = \"mm\"\n";
    let second = [
        "P2,before-touchdown,2,K1,20,,,,5.0,710,Wat Ibbotson,2029-05-12T10:50:00",
        "P2,before-touchdown,2,K3,19,,,,,,Wat Ibbotson,2029-05-12T10:51:00",
        "P2,before-touchdown,2,K5,22,,,,,,Wat Ibbotson,2029-05-12T10:55:00",
    ];
    for (rows, outcome) in [
        (BEFORE.to_vec(), Outcome::BeyondLimit),
        ([&BEFORE[..], &second[..]].concat(), Outcome::Agrees),
    ] {
        let project = measured(&rows);
        project.append("docking.toml", limit);
        let examined = common::examined(&project.root());
        let plan = finding(&examined, "positions.P2.divers.plan");
        assert_eq!(plan.outcome, outcome, "{}", plan.sentence);
    }
    // A round at first touch that was made before the second one before touchdown is not the last.
    let touched = "P2,first-touch,,K1,400,,,,,,Wat Ibbotson,2029-05-12T10:40:00";
    let project = measured(&[&BEFORE[..], &[touched], &second[..]].concat());
    project.append("docking.toml", limit);
    let examined = common::examined(&project.root());
    let names: Vec<String> = examined.recomputed.divers.iter().map(|round| round.name()).collect();
    assert_eq!(names, ["before-touchdown", "first-touch", "before-touchdown-2"]);
    assert_eq!(finding(&examined, "positions.P2.divers.plan").outcome, Outcome::Agrees);
    let second = finding(&examined, "positions.P2.divers.before-touchdown-2");
    assert_eq!(second.outcome, Outcome::Agrees, "{}", second.sentence);
}

#[test]
fn one_block_measured_wrongly_is_named_and_set_aside() {
    let rows = [
        "P1,landed,,K1,10,,,,,,,",
        "P1,landed,,K2,11,,,,,,,",
        "P1,landed,,K4,112,,,,,,,",
        "P1,landed,,K5,13,,,,,,,",
    ];
    let project = measured(&rows);
    let examined = common::examined(&project.root());
    let fit = finding(&examined, "positions.P1.divers.landed");
    assert_eq!(fit.outcome, Outcome::Differs);
    let said = fit.sentence.to_string();
    assert!(said.contains("at K4 is 0.100 m off the line"), "{said}");
    // She lay at offset 0 there.
    let lay = finding(&examined, "positions.P1.divers.lay");
    assert_eq!(lay.outcome, Outcome::Differs);
    let said = lay.sentence.to_string();
    assert!(said.contains("0.112 m from where she lay, over K4"), "{said}");
}

#[test]
fn once_landed_what_divers_measured_is_held_against_where_she_lay() {
    let rows = ["P1,landed,,K1,12,,,,,,,", "P1,landed,,K5,-8,,,,4.0,220,,"];
    let examined = common::examined(&measured(&rows).root());
    // A mark at x 4, 220 mm forward of K5's after end at 15.8: station 16.02, and so the reference point at 12.02.
    let lay = finding(&examined, "positions.P1.divers.lay");
    assert_eq!(lay.outcome, Outcome::Differs);
    assert!(
        lay.sentence.to_string().contains("8.010 m from where she lay, along the ship"),
        "{}",
        lay.sentence
    );
    let rows = ["P1,landed,,K1,12,,,,,,,", "P1,landed,,K5,-8,,,,12.0,220,,"];
    let examined = common::examined(&measured(&rows).root());
    assert_eq!(finding(&examined, "positions.P1.divers.lay").outcome, Outcome::Agrees);
}

#[test]
fn one_block_tells_nothing_of_how_she_lies() {
    let examined = common::examined(&measured(&BEFORE[..1]).root());
    for id in ["positions.P2.divers.plan", "positions.P2.divers.before-touchdown"] {
        let found = finding(&examined, id);
        assert_eq!(found.outcome, Outcome::NotRecorded, "{}", found.sentence);
        assert!(found.sentence.to_string().contains("over two blocks"), "{}", found.sentence);
    }
}

#[test]
fn a_frame_stands_for_its_place() {
    let rows = ["P2,before-touchdown,,K1,0,,,10,,900,,", "P2,before-touchdown,,K5,0,,,,,,,"];
    let project = measured(&rows);
    let without = common::examined(&project.root());
    let fit = finding(&without, "positions.P2.divers.before-touchdown");
    assert!(fit.sentence.to_string().contains("its frames are"), "{}", fit.sentence);
    let frames = "\n[[frames]]\nfrom_frame = 0\nx_m = 0.0\nspacing_mm = 500\n";
    project.edit("docking.toml", "breadth_m = 5.2", "breadth_m = 5.2\nframes_from = \"aft\"");
    project.append("docking.toml", frames);
    let examined = common::examined(&project.root());
    near(examined.recomputed.divers[0].along.as_ref().map(|along| along.srp_station_m), 3.7);
}

#[test]
fn rows_that_say_too_little_or_too_much_are_refused() {
    for (row, said) in [
        ("P1,landed,,K1,,,,,,,,", "gives nothing that was measured"),
        ("P1,landed,,K1,,120,,,,,,", "is the edge of one side only"),
        ("P1,landed,,K1,,,120,,,,,", "is the edge of one side only"),
        ("P1,landed,,K1,5,120,130,,,,,", "stands beside the edges"),
        ("P1,landed,,K1,5,,,,,300,,", "is of a mark that is not named"),
        ("P1,landed,,K1,5,,,10,,,,", "is a mark whose distance from the cap is not given"),
        ("P1,landed,,K1,5,,,,4.0,,,", "is a mark whose distance from the cap is not given"),
        ("P1,landed,,K1,5,,,10,5.0,300,,", "stands beside a frame"),
    ] {
        let project = measured(&[row]);
        let run = run(program().arg("check").arg(project.root())).exits(1);
        assert!(run.squeezed().contains(&common::squeezed(said)), "{row}: {}{}", run.out, run.err);
    }
}

#[test]
fn a_block_that_did_not_stand_there_can_have_been_measured_by_nobody() {
    let project = measured(&BEFORE);
    let blocks = project.text("plan/blocks.csv");
    let mut lines = blocks.lines().map(|line| match line {
        line if line.starts_with("block,") => format!("{line},positions\n"),
        line if line.starts_with("K5,") => format!("{line},P1\n"),
        line => format!("{line},\n"),
    });
    project.write("plan/blocks.csv", lines.by_ref().collect::<String>());
    let examined = common::examined(&project.root());
    let fit = finding(&examined, "positions.P2.divers.before-touchdown");
    assert_eq!(fit.outcome, Outcome::Differs);
    assert!(fit.sentence.to_string().contains("K5"), "{}", fit.sentence);

    // Before the landing in P2 only the blocks that stand in it are asked for.
    let owed = |position: &str| {
        let list = list(&project.root(), position);
        let all = list["owed"].as_array().expect("a list").clone();
        let layers = all.iter().find(|owed| owed["file"] == "plan/layers.csv").cloned();
        layers.expect("layers")["missing"].clone()
    };
    assert_eq!(owed("P1"), json!(["K1", "K2", "K3", "K4", "K5"]));
    assert_eq!(owed("P2"), json!(["K1", "K2", "K3", "K4"]));
}

/// The list before one landing.
#[track_caller]
fn list(root: &Path, position: &str) -> Value {
    let stage = ["check", "--json", "--stage", "before-landing", "--position", position];
    run(program().args(stage).arg(root)).json()
}

#[test]
fn before_a_landing_only_that_landing_is_asked_about() {
    let project = measured(&BEFORE);
    for (position, other) in [("P1", "P2"), ("P2", "P1")] {
        let list = list(&project.root(), position);
        assert_eq!(list["positions"], json!([position]));
        let owed = list["owed"].as_array().expect("a list");
        assert!(owed.iter().all(|owed| owed["position"] != other), "{list:#}");
        assert!(owed.iter().any(|owed| owed["position"] == position), "{list:#}");
        let arrival = owed
            .iter()
            .any(|owed| owed["what"].as_str().is_some_and(|what| what.contains("on arrival")));
        assert_eq!(arrival, position == "P1");
        // Since divers measured in one position, they are to measure in the other.
        let keel = owed.iter().find(|owed| owed["file"] == DIVERS).expect("the divers");
        let wanted = if position == "P2" { 2 } else { 0 };
        assert_eq!((&keel["recorded"], &keel["expected"]), (&json!(wanted), &json!(2)));
        let offered = list["offered"].as_array().expect("what could be recorded too");
        assert!(offered.iter().all(|one| one["file"] != DIVERS), "{list:#}");
        let unanswered = list["unanswered"].as_array().expect("ids");
        assert!(unanswered.iter().all(|id| !id.as_str().is_some_and(|id| id.contains(other))));
    }
    project.remove(DIVERS);
    let list = list(&project.root(), "P1");
    let offered = list["offered"].as_array().expect("what could be recorded too");
    let files: Vec<&str> = offered.iter().filter_map(|one| one["file"].as_str()).collect();
    assert_eq!(files, ["landing/drafts.csv", "landing/moved.csv", "landing/stops.csv", DIVERS]);
    // Once a stop is planned for one landing, one is called for in the other.
    project.write("landing/stops.csv", "position,level_m,why\nP1,-0.5,divers look\n");
    for (position, missing) in [("P1", json!([])), ("P2", json!(["a stop"]))] {
        let list = self::list(&project.root(), position);
        let owed = list["owed"].as_array().expect("a list");
        let stops = owed.iter().find(|owed| owed["file"] == "landing/stops.csv").expect("stops");
        assert_eq!(stops["missing"], missing);
    }
    assert!(list["owed"].as_array().expect("a list").iter().all(|owed| owed["file"] != DIVERS));
}

#[test]
fn a_stage_of_a_position_that_is_not_there_is_refused() {
    let root = common::small();
    let asked = |stage: &str, position: &str| {
        run(program().args(["check", "--stage", stage, "--position", position]).arg(&root))
    };
    let said = asked("before-landing", "P7").exits(1).squeezed();
    assert!(said.contains("P1,P2"), "{said}");
    let said = asked("before-closing", "P1").exits(1).squeezed();
    assert!(said.contains("forallitspositionsatonce"), "{said}");
    let alone = run(program().args(["check", "--position", "P1"]).arg(&root));
    assert_eq!(alone.status, 2, "{}", alone.err);
}
