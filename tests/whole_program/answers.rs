//! What `check` says, as text and as JSON, and what an unanswered finding does.

use std::collections::BTreeMap;

use crate::common::{
    NAME, Project, Said, closeout, lastdock, program, run, sample, squeezed, verify,
};

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
    let heavy = after.trim_start().strip_prefix("What makes the record doubtful");
    assert!(heavy.is_some_and(|rest| rest.trim_start().starts_with("differs")), "{after}");
    assert!(after.split("Answered").next().unwrap().contains("plan.block.K37.height"), "{after}");

    let json = run(program().args(["check", "--json"]).arg(project.root())).exits(3).json();
    assert_eq!(json["counts"]["unanswered"], 1);

    let said = closeout(&project.root(), &project.out()).exits(3);
    assert!(said.out.contains("plan.block.K37.height"), "{}", said.out);
    let said = verify(&project.out().join(format!("{NAME}.zip")));
    assert!(said.out.contains("every one is what both manifests say"), "{}", said.out);
    assert!(said.squeezed().contains("1findingdiffersorisbeyondalimit,unanswered"), "{}", said.out);
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

const K37: &str = "plan.block.K37.height";

/// The sample with other remarks.
fn remarked(remarks: &str) -> Project {
    let project = Project::copied();
    project.write("remarks.toml", remarks);
    project
}

fn check(project: &Project) -> Said {
    run(program().arg("check").arg(project.root()))
}

fn findings(project: &Project) -> serde_json::Value {
    let said = run(program().args(["check", "--json"]).arg(project.root()));
    assert!([0, 3].contains(&said.status), "{}{}", said.out, said.err);
    said.json()
}

fn finding(project: &Project, id: &str) -> serde_json::Value {
    let all = findings(project);
    let all = all["findings"].as_array().expect("findings");
    all.iter().find(|finding| finding["id"] == id).unwrap_or_else(|| panic!("no {id}")).clone()
}

fn answers(project: &Project, arguments: &[&str]) -> Said {
    run(program().arg("answers").arg(project.root()).args(arguments))
}

/// An answer to the height of K37, with what it states of the finding.
fn k37(states: &str) -> String {
    format!(
        "[[remark]]\nfinding = \"{K37}\"\n{states}answer = \"Figures changed over.\"\n\
         by = \"A. Person\"\non = 2031-05-06\n"
    )
}

/// What the finding on K37 says in the sample, as a remark states it.
fn k37_as_it_is(project: &Project) -> String {
    let said = answers(project, &["--dry-run", K37]).exits(0);
    let lines = said.out.lines().filter(|line| {
        ["outcome", "recorded", "recomputed"].iter().any(|key| line.starts_with(key))
    });
    lines.map(|line| format!("{line}\n")).collect()
}

#[test]
fn an_answer_holds_until_the_figures_change_by_more_than_the_tolerance() {
    let project = remarked("");
    let states = k37_as_it_is(&project);
    assert_eq!(states.lines().count(), 3, "{states}");
    project.write("remarks.toml", k37(&states));
    assert_eq!(finding(&project, K37)["remark"]["answered"]["outcome"], "differs");

    // The tolerance of a block's height is 10 mm: 4 mm more is the same finding, 40 mm more is another.
    let blocks = project.text("plan/blocks.csv");
    let row = blocks.lines().find(|line| line.starts_with("K37,")).expect("the row");
    assert!(row.contains(",1530,"), "{row}");
    for (height, holds) in [(",1534,", true), (",1570,", false)] {
        project.write("plan/blocks.csv", blocks.replace(row, &row.replace(",1530,", height)));
        let finding = finding(&project, K37);
        assert_eq!(finding["outcome"], "differs");
        assert_eq!(finding["remark"].is_object(), holds, "{height}");
        assert_eq!(finding["earlier_remarks"].is_array(), !holds, "{height}");
    }
    let said = check(&project).exits(3);
    let recorded = states.lines().find_map(|line| line.strip_prefix("recorded = \"")).unwrap();
    let then =
        format!("givenwhenitsaid\"differs,recorded{}", squeezed(recorded.trim_end_matches('"')));
    assert!(squeezed(&said.out).to_lowercase().contains(&then), "{then}: {}", said.out);
    let (_, waiting) = said.out.split_once("Without an answer").expect("a heading");
    assert!(waiting.contains(K37));

    // The record is set right: nothing waits any more, and the answer is still shown.
    project.write("plan/blocks.csv", blocks.replace(row, &row.replace(",1530,", ",1350,")));
    assert_eq!(finding(&project, K37)["outcome"], "agrees");
    let said = check(&project);
    let (_, kept) =
        said.out.split_once("Answered, and no longer in need of an answer").expect("a heading");
    assert!(kept.contains(K37) && kept.contains("Figures changed over."), "{kept}");
}

#[test]
fn an_answer_in_another_unit_is_the_same_and_a_wrong_figure_is_not() {
    let project = remarked("");
    let states = k37_as_it_is(&project);
    let recorded = states.lines().find_map(|line| line.strip_prefix("recorded = \"")).unwrap();
    let metres: f64 = recorded.trim_end_matches(" m\"").parse().expect("metres");
    let millimetres = format!("\"{:.0} mm\"", metres * 1000.0);
    let in_mm = states.replace(&format!("\"{recorded}"), &millimetres);
    assert_ne!(in_mm, states);
    project.write("remarks.toml", k37(&in_mm));
    assert!(finding(&project, K37)["remark"].is_object(), "{in_mm}");
    for (wrong, what) in [
        (states.replace("differs", "beyond limit"), "another outcome"),
        (states.replace(recorded, "nothing\""), "words for a figure"),
        (states.replace("recorded = ", "limit = "), "a figure in another's place"),
    ] {
        project.write("remarks.toml", k37(&wrong));
        assert!(!finding(&project, K37)["remark"].is_object(), "{what}: {wrong}");
    }
}

#[test]
fn an_answer_that_does_not_state_what_it_answered_counts_and_is_mentioned() {
    let project = remarked(&k37(""));
    let said = check(&project).exits(3);
    let heading = "Answers that do not state what they answered";
    let (_, lacking) = said.out.split_once(heading).expect("a heading");
    assert!(lacking.contains("remarks.toml:2:11 (finding)"), "{lacking}");
    for line in k37_as_it_is(&remarked("")).lines() {
        assert!(lacking.contains(&format!("    {line}\n")), "{line}: {lacking}");
    }
    assert!(squeezed(&said.out).contains("1answerdoesnotstatetheoutcome"), "{}", said.out);
    assert!(finding(&project, K37)["remark"]["answered"].is_null());
    // Beside one that does state it, nobody could tell which came last.
    let both = k37("") + "\n" + &k37(&k37_as_it_is(&remarked("")));
    project.write("remarks.toml", both);
    let finding = finding(&project, K37);
    assert_eq!(finding["remark"]["answered"]["outcome"], "differs");
    assert_eq!(finding["earlier_remarks"].as_array().map(Vec::len), Some(1));
}

#[test]
fn an_answer_whose_finding_is_gone_is_kept_and_stops_nothing() {
    let project = Project::copied();
    let before = findings(&project);
    let gone = "[[remark]]\nfinding = \"plan.block.K37.hieght\"\noutcome = \"differs\"\n\
                recorded = \"1.2 m\"\nanswer = \"Seen.\"\nby = \"A. Person\"\non = 2031-05-06\n";
    let line = 2 + project.text("remarks.toml").lines().count() + 1;
    project.append("remarks.toml", &format!("\n{gone}"));
    let said = check(&project).exits(0);
    let (_, kept) =
        said.out.split_once("Answers whose finding is not in this record").expect("a heading");
    let flat = squeezed(kept);
    for wanted in [
        "plan.block.K37.hieght",
        &format!("remarks.toml:{line}:11"),
        "givenwhenitsaid\"differs,recorded1.2m\"",
        "Seen.",
    ] {
        assert!(flat.contains(wanted), "{wanted}: {kept}");
    }
    assert!(!kept.contains(K37), "no other id is named: {kept}");
    assert!(
        squeezed(&said.out).contains("1answeristoafindingthatisnotinthisrecord"),
        "{}",
        said.out
    );
    let json = findings(&project);
    assert_eq!(json["counts"], before["counts"]);
    assert_eq!(json["answers_without_finding"][0]["finding"], "plan.block.K37.hieght");
    assert_eq!(json["answers_without_finding"][0]["remark"]["answered"]["recorded"], "1.2 m");
    assert!(before["answers_without_finding"].is_null());
}

#[test]
fn answers_adds_a_blank_for_each_finding_that_waits_and_touches_nothing_else() {
    for (before, end) in
        [("# Ours.\n", "\n"), ("# Ours, without an end", "\n"), ("# Ours.\r\n", "\r\n"), ("", "\n")]
    {
        let project = remarked(before);
        let waiting = findings(&project)["counts"]["unanswered"].as_u64().expect("a count");
        assert!(waiting > 10);
        let said = answers(&project, &[]).exits(0);
        assert!(said.out.contains(&format!("{waiting} blanks added")), "{}", said.out);
        let after = project.text("remarks.toml");
        assert!(after.starts_with(before), "{after}");
        assert_eq!(after.matches("[[remark]]").count() as u64, waiting);
        assert_eq!(after.contains("\r\n"), end == "\r\n");
        assert_eq!(after.matches(end).count(), after.matches('\n').count());
        let json = findings(&project);
        assert_eq!(json["counts"]["unanswered"], waiting, "a blank is no answer");
        assert!(check(&project).exits(3).out.contains("Its blank stands at remarks.toml:"));
        // A second run finds nothing to add.
        let said = answers(&project, &[]).exits(0);
        assert!(said.squeezed().contains("Nothingwasadded"), "{}", said.out);
        assert_eq!(project.text("remarks.toml"), after);
        // Filled in, every one is an answer to what its finding says.
        let filled = after
            .replace("answer = \"\"", "answer = \"Known.\"")
            .replace("by = \"\"", "by = \"A. Person\"")
            .replace("on = \"\"", "on = 2031-05-16");
        project.write("remarks.toml", filled);
        let json = findings(&project);
        assert_eq!(json["counts"]["unanswered"], 0, "{before:?}");
        let all = json["findings"].as_array().unwrap();
        let stated = all.iter().filter(|f| f["remark"]["answered"]["outcome"] == f["outcome"]);
        assert_eq!(stated.count() as u64, waiting);
    }
}

#[test]
fn answers_makes_the_file_where_there_is_none_and_a_dry_run_writes_nothing() {
    let project = Project::copied();
    project.remove("remarks.toml");
    let said = answers(&project, &["--dry-run"]).exits(0);
    assert!(!project.path("remarks.toml").exists());
    let json = answers(&project, &["--dry-run", "--json"]).exits(0).json();
    assert_eq!(json["written"], false);
    let added = json["added"].as_array().expect("blanks").len();
    assert_eq!(said.out.matches("[[remark]]").count(), added);
    answers(&project, &[]).exits(0);
    assert_eq!(project.text("remarks.toml"), said.out);
    let left: Vec<_> = std::fs::read_dir(project.root())
        .expect("the folder")
        .map(|entry| entry.expect("an entry").file_name())
        .filter(|name| name.to_string_lossy().starts_with('.'))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn one_answer_serves_the_findings_that_it_names() {
    let project = remarked("");
    let (one, other) = (K37, "plan.opening.OB7.side");
    answers(&project, &[one, other]).exits(0);
    let text = project.text("remarks.toml");
    assert_eq!(text.matches("[[remark]]").count(), 1, "{text}");
    let said = answers(&project, &[one]).exits(1);
    assert!(squeezed(&said.err).contains("hasablankatremarks.toml"), "{}", said.err);
    let said = answers(&project, &["plan.block.K37.hieght"]).exits(1);
    assert!(said.err.contains("is not a finding of this project"), "{}", said.err);
    assert!(!said.err.contains(one), "no other id is named: {}", said.err);
    let filled = text
        .replace("answer = \"\"", "answer = \"Known.\"")
        .replace("by = \"\"", "by = \"A. Person\"")
        .replace("on = \"\"", "on = 2031-05-16");
    project.write("remarks.toml", &filled);
    for id in [one, other] {
        assert_eq!(finding(&project, id)["remark"]["answer"], "Known.", "{id}");
        assert_eq!(finding(&project, id)["remark"]["answered"]["outcome"], "differs", "{id}");
    }
    // Each holds by itself: what one of them says changes, and the other stays answered.
    project.write("remarks.toml", filled.replacen("  \"differs\",", "  \"beyond limit\",", 1));
    assert!(!finding(&project, one)["remark"].is_object());
    assert!(finding(&project, other)["remark"].is_object());
    // Typed by hand, a list needs no more than its ids.
    let by_hand = format!(
        "[[remark]]\nfinding = [\"{one}\", \"{other}\"]\nanswer = \"Known.\"\nby = \"A. Person\"\n\
         on = 2031-05-16\n"
    );
    project.write("remarks.toml", &by_hand);
    assert!(finding(&project, one)["remark"].is_object());
    // The lines that it lacks, added where check says, make it state what it answered.
    let said = check(&project).exits(3);
    let (_, after) = said.out.split_once("remarks.toml:2:11 (finding)\n").expect("its place");
    let lines: Vec<&str> = after.lines().take_while(|line| line.starts_with("    ")).collect();
    let lines = lines.join("\n") + "\n";
    let head = by_hand.find("answer").expect("a key");
    let (before, after) = by_hand.split_at(head);
    project.write("remarks.toml", format!("{before}{lines}{after}"));
    for id in [one, other] {
        assert_eq!(finding(&project, id)["remark"]["answered"]["outcome"], "differs", "{id}");
    }
}

#[test]
fn an_answer_to_what_a_finding_no_longer_says_gets_a_new_blank_beside_it() {
    let project = remarked("");
    let states = k37_as_it_is(&project).replace("differs", "beyond limit");
    project.write("remarks.toml", k37(&states));
    answers(&project, &[K37]).exits(0);
    let text = project.text("remarks.toml");
    assert!(text.starts_with(&k37(&states)));
    assert!(
        text.contains("# Answered at remarks.toml:2:11 (finding) when it said: beyond limit,"),
        "{text}"
    );
    let filled = text
        .replace("answer = \"\"", "answer = \"Again.\"")
        .replace("by = \"\"", "by = \"A. Person\"")
        .replace("on = \"\"", "on = 2031-05-16");
    project.write("remarks.toml", filled);
    let finding = finding(&project, K37);
    assert_eq!(finding["remark"]["answer"], "Again.");
    assert_eq!(finding["earlier_remarks"][0]["answer"], "Figures changed over.");
}

#[test]
fn a_remark_that_may_not_be_written_to_is_left_alone() {
    let project = remarked("# Ours.\n");
    let path = project.path("remarks.toml");
    let mut permissions = std::fs::metadata(&path).expect("it").permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&path, permissions).expect("to lock it");
    let said = answers(&project, &[]).exits(1);
    assert!(said.err.contains("is not writable"), "{}", said.err);
    assert_eq!(project.text("remarks.toml"), "# Ours.\n");
}

#[test]
fn a_remark_that_is_filled_in_by_half_is_named_with_what_it_lacks() {
    let open = "answer = \"\"\nby = \"\"\non = \"\"\n";
    let head = format!("[[remark]]\nfinding = \"{K37}\"\n");
    check(&remarked(&format!("{head}{open}"))).exits(3);
    for (filled, lacks) in [
        (open.replace("answer = \"\"", "answer = \"Known.\""), ["no by", "no on"].as_slice()),
        (open.replace("by = \"\"", "by = \"A. Person\""), &["no answer", "no on"]),
        ("answer = \"Known.\"\nby = \"A. Person\"\n".to_string(), &["no on"]),
    ] {
        let said = check(&remarked(&format!("{head}{filled}"))).exits(1);
        for lack in lacks {
            assert!(said.out.contains(&format!("[remark] has {lack}\n")), "{lack}: {}", said.out);
        }
        assert_eq!(said.out.matches("[remark] has no").count(), lacks.len(), "{}", said.out);
    }
    for (states, wrong) in [
        ("outcome = \"fails\"\n", "\"fails\" is not an outcome of a finding"),
        ("recorded = \"1 m\"\n", "(recorded): is given without the outcome"),
        ("outcome = [\"differs\", \"differs\"]\n", "(outcome): has 2 values for 1 finding"),
        ("outcome = [[\"differs\"]]\n", "(outcome): is neither a value nor a list of values"),
    ] {
        let said = check(&remarked(&k37(states))).exits(1);
        assert!(said.out.contains(wrong), "{wrong}: {}", said.out);
    }
}

#[test]
fn two_answers_to_what_a_finding_says_now_are_a_mistake() {
    for states in [String::new(), k37_as_it_is(&remarked(""))] {
        let said = check(&remarked(&format!("{}\n{}", k37(&states), k37(&states)))).exits(1);
        assert!(
            said.squeezed().contains("isansweredatremarks.toml:2:11(finding)too"),
            "{}",
            said.err
        );
    }
}
