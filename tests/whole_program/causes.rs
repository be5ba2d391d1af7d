//! One wrong record from which many findings follow is told once, with a count; as data each finding has it.

use crate::common::{Project, program, run, squeezed};

/// The findings of a project whose cause stands at a key of docking.toml, as data, and what is said of them.
fn caused(project: &Project, by: &str) -> (Vec<serde_json::Value>, String) {
    let json = run(program().args(["check", "--json"]).arg(project.root())).exits(3).json();
    let all = json["findings"].as_array().expect("findings");
    let of = |finding: &&serde_json::Value| {
        let record = &finding["cause"]["record"];
        record["file"] == "docking.toml" && record["name"].as_str().unwrap_or("").starts_with(by)
    };
    let found: Vec<_> = all.iter().filter(of).cloned().collect();
    (found, run(program().arg("check").arg(project.root())).exits(3).out)
}

#[test]
fn a_wrong_floor_level_is_reported_once_for_all_blocks() {
    let project = Project::copied();
    let text = project.text("docking.toml");
    let line = text.lines().find(|line| line.starts_with("floor_level_m")).expect("the level");
    let level: f64 =
        line.split(['=', '#']).nth(1).and_then(|n| n.trim().parse().ok()).expect("a number");
    project.edit("docking.toml", line, &format!("floor_level_m = {:.3}", level + 0.3));
    let (found, said) = caused(&project, "floor_level");
    assert!(found.len() > 80, "{}", found.len());
    assert!(found.iter().all(|finding| finding["outcome"] == "differs"));
    let head = found[0]["id"].as_str().expect("an id");
    let rest = found.len() - 1;
    assert!(said.contains(&format!("{rest} more follow from it: ")), "{said}");
    assert!(squeezed(&said).contains("thelevelofthefloorwouldexplainthat"), "{said}");
    assert!(said.contains(head));
    let told =
        said.lines().filter(|line| line.contains("differs") && line.contains(".height")).count();
    assert!(told < 5, "{told} heights are told one by one");
    // Nothing is hidden: all of them wait for an answer, and are counted.
    assert!(squeezed(&said).contains("findingswaitforananswer"), "{said}");
}

#[test]
fn one_block_that_differs_has_no_such_cause() {
    let project = Project::copied();
    project.edit_cell("plan/blocks.csv", "K3", "top_level_m", "-9.0");
    let (found, said) = caused(&project, "");
    assert!(found.is_empty(), "{found:#?}");
    assert!(said.contains("plan.block.K3.height"), "{said}");
}

#[test]
fn a_missing_table_is_reported_once_and_not_at_every_gap() {
    let project = Project::copied();
    project.remove("landing/weights.csv");
    let told = run(program().arg("check").arg(project.root()));
    let not_recorded = told.out.split("\nNot recorded\n").nth(1).expect("what is not recorded");
    let one_by_one = not_recorded.matches("not recorded  landing.P1.gap.").count();
    assert_eq!(one_by_one, 1, "{not_recorded}");
    let json = run(program().args(["check", "--json"]).arg(project.root())).json();
    let all = json["findings"].as_array().expect("findings");
    let gaps: Vec<_> = all
        .iter()
        .filter(|finding| {
            finding["id"].as_str().is_some_and(|id| id.starts_with("landing.P1.gap."))
        })
        .filter(|finding| finding["outcome"] == "not recorded")
        .collect();
    assert!(gaps.len() > 50, "{}", gaps.len());
    for gap in &gaps {
        assert_eq!(gap["cause"]["record"]["file"], "positions/positions.csv", "{gap:#}");
    }
    let rest = gaps.iter().filter(|gap| gap["cause"] == gaps[0]["cause"]).count() - 1;
    assert!(not_recorded.contains(&format!("{rest} more follow from it: ")), "{not_recorded}");
}
