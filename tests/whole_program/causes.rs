//! One wrong record from which many findings follow is told once, with a count; as data each finding has it.

use crate::common::{Project, program, run};

/// The findings of a project that have a cause, as data, and what is said of them.
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
fn a_wrong_floor_level_is_told_once_for_all_blocks() {
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
    assert!(said.contains("the level of the floor would explain"), "{said}");
    assert!(said.contains(head));
    let told =
        said.lines().filter(|line| line.contains("differs") && line.contains(".height")).count();
    assert!(told < 5, "{told} heights are told one by one");
    // Nothing is hidden: all of them wait for an answer, and are counted.
    assert!(said.split_whitespace().collect::<String>().contains("findingswaitforananswer"));
}

#[test]
fn one_block_that_differs_has_no_such_cause() {
    let project = Project::copied();
    project.edit_cell("plan/blocks.csv", "K3", "top_level_m", "-9.0");
    let (found, said) = caused(&project, "");
    assert!(found.is_empty(), "{found:#?}");
    assert!(said.contains("plan.block.K3.height"), "{said}");
}
