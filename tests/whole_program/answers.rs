//! What `check` says, as text and as JSON, and what an unanswered finding does.

use std::collections::BTreeMap;

use crate::common::{NAME, Project, closeout, lastdock, program, run, sample, squeezed, verify};

#[test]
fn check_says_the_same_as_text_and_as_json() {
    let sample = sample();
    let sample = sample.to_str().expect("a path in UTF-8");
    let json = lastdock(["check", "--json", sample]).exits(0).json();
    let text = lastdock(["check", "--all", sample]).exits(0);
    let findings = json["findings"].as_array().expect("findings");
    let lines: Vec<&str> = text.out.lines().map(str::trim).collect();
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for finding in findings {
        let (id, outcome) = (finding["id"].as_str().unwrap(), finding["outcome"].as_str().unwrap());
        *counts.entry(outcome).or_default() += 1;
        let shown = |line: &&str| line.starts_with(outcome) && line.ends_with(&format!(" {id}"));
        assert_eq!(lines.iter().filter(|line| shown(line)).count(), 1, "{outcome} {id}");
        let sentence: String = finding["sentence"].as_str().unwrap().split_whitespace().collect();
        assert!(text.squeezed().contains(&sentence), "{id}");
    }
    for (outcome, key) in [
        ("agrees", "agrees"),
        ("differs", "differs"),
        ("beyond limit", "beyond_limit"),
        ("not recorded", "not_recorded"),
    ] {
        assert_eq!(json["counts"][key], counts[outcome], "{outcome}");
    }
    assert_eq!(json["counts"]["unanswered"], 0);
    assert_eq!(json["ship"], "Calder Wren");
    let first = format!("{} findings:", findings.len());
    assert!(text.out.contains(&first), "{}", text.out);
}

#[test]
fn check_without_all_shows_what_does_not_agree_only() {
    let said = run(program().arg("check").arg(sample())).exits(0);
    for id in ["plan.block.K37.height", "exposure.never_exposed", "openings.SC4.closed"] {
        assert!(said.out.contains(id), "{id}");
    }
    assert!(!said.out.contains("plan.block.K36.height"), "{}", said.out);
}

/// A finding that differs, with its remark taken out.
fn without_an_answer() -> Project {
    let project = Project::copied();
    let remarks = project.text("remarks.toml");
    let all: Vec<&str> = remarks.split("[[remark]]").collect();
    let kept: Vec<&str> =
        all.iter().copied().filter(|remark| !remark.contains("K37.height")).collect();
    assert_eq!(kept.len() + 1, all.len(), "one remark is taken out");
    project.write("remarks.toml", kept.join("[[remark]]"));
    project
}

#[test]
fn an_unanswered_finding_exits_with_3_and_the_bundle_is_written_all_the_same() {
    let project = without_an_answer();
    let said = run(program().arg("check").arg(project.root())).exits(3);
    let (before, after) = said.out.split_once("Without an answer").expect("a heading");
    assert!(squeezed(before).contains("1findingwaitsforananswerinremarks.toml"), "{before}");
    assert!(after.trim_start().starts_with("differs"), "{after}");
    assert!(after.split("Answered").next().unwrap().contains("plan.block.K37.height"), "{after}");

    let json = run(program().args(["check", "--json"]).arg(project.root())).exits(3).json();
    assert_eq!(json["counts"]["unanswered"], 1);

    let said = closeout(&project.root(), &project.out()).exits(3);
    assert!(said.out.contains("plan.block.K37.height"), "{}", said.out);
    let said = verify(&project.out().join(format!("{NAME}.zip")));
    assert!(said.out.contains("every one is what both manifests say"), "{}", said.out);
    assert!(said.squeezed().contains("1ofthemdifferorarebeyondalimit,unanswered"), "{}", said.out);
}

#[test]
fn a_record_left_out_is_not_recorded_and_needs_no_answer() {
    let project = Project::copied();
    project.remove("positions/marks.csv");
    let remarks = project.text("remarks.toml");
    let kept: Vec<&str> =
        remarks.split("[[remark]]").filter(|remark| !remark.contains("sighting.M5")).collect();
    project.write("remarks.toml", kept.join("[[remark]]"));
    let json = run(program().args(["check", "--json"]).arg(project.root())).exits(0).json();
    let outcome = |id: &str| {
        let findings = json["findings"].as_array().expect("findings");
        findings.iter().find(|f| f["id"] == id).map(|f| f["outcome"].clone())
    };
    for id in ["station", "offset", "yaw"] {
        let id = format!("positions.P1.{id}");
        assert_eq!(outcome(&id).expect("the finding"), "not recorded", "{id}");
    }
    assert_eq!(outcome("exposure.never_exposed").expect("the finding"), "beyond limit");
}
