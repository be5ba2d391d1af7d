//! All that is wrong is said in one run, and the same as data.

use std::collections::BTreeSet;

use serde_json::Value;

use super::table::rows;
use super::{problems, problems_shown};
use crate::common::{self, Project, program, run, squeezed};

/// Mistakes that can all stand in one project.
const TOGETHER: &str = "tests/mistakes/table/coating.txt";

/// A problem without its line, which moves as other mistakes add and take rows.
fn without_line(problem: &Value) -> String {
    let text = |key: &str| problem[key].as_str().unwrap_or_default();
    let wrong: String = text("wrong").chars().filter(|c| !c.is_ascii_digit()).collect();
    [text("file"), text("name"), text("value"), &wrong, text("advice")].join("|")
}

#[test]
fn all_mistakes_in_a_project_are_reported_in_one_run_and_nothing_else() {
    let all = Project::copied();
    let mut wanted = Vec::new();
    for mistake in rows(TOGETHER) {
        let alone = Project::copied();
        mistake.make(&alone);
        mistake.make(&all);
        let found = problems(&alone);
        assert_eq!(found.len(), 1, "{}: {found:#?}", mistake.what);
        wanted.push(without_line(&found[0]));
    }
    let mut found: Vec<String> = problems(&all).iter().map(without_line).collect();
    found.sort();
    wanted.sort();
    assert!(wanted.len() > 25);
    let (wanted, found): (BTreeSet<_>, BTreeSet<_>) =
        (wanted.into_iter().collect(), found.into_iter().collect());
    let missing: Vec<_> = wanted.difference(&found).collect();
    let more: Vec<_> = found.difference(&wanted).collect();
    assert!(missing.is_empty() && more.is_empty(), "missing {missing:#?}, more {more:#?}");
}

#[test]
fn json_gives_the_same_problems_with_line_and_place() {
    let project = Project::copied();
    project.edit_cell("plan/blocks.csv", "K3", "station_m", "24,30");
    project.edit("plan/openings.csv", ",valve_tag,", ",valve_tga,");
    for command in ["check", "closeout"] {
        let said = run(program().arg(command).arg("--json").arg(project.root())).exits(1);
        let problems = &said.json()["problems"];
        assert_eq!(problems.as_array().map(Vec::len), Some(2), "{problems:#}");
        // A column's name keeps more from being read than one cell does.
        assert_eq!(problems[0]["file"], "plan/openings.csv");
        let first = &problems[1];
        assert_eq!(first["file"], "plan/blocks.csv");
        assert_eq!((&first["line"], &first["column"]), (&4.into(), &3.into()));
        assert_eq!(first["name"], "station_m");
        assert_eq!(first["value"], "24,30");
        assert_eq!(first["advice"], "write 24.30");
        let (shown, from) = (&first["shown"], "K3,keel,\"".len());
        assert_eq!(shown["line"], 4);
        assert_eq!(shown["marked"], serde_json::json!([from, from + "24,30".len()]));
        assert!(shown["text"].as_str().is_some_and(|text| text.starts_with("K3,keel,\"24,30\",")));
        assert!(said.err.is_empty(), "{}", said.err);
    }
}

#[cfg(unix)]
#[test]
fn a_link_is_named_and_not_followed() {
    let project = Project::copied();
    std::os::unix::fs::symlink("/etc/hostname", project.path("papers/link.txt")).expect("a link");
    std::os::unix::fs::symlink("..", project.path("up")).expect("a link");
    let said = problems_shown(&project);
    assert!(squeezed(&said).contains("papers/link.txt:isalink"), "{said}");
    assert!(squeezed(&said).contains("isalink;2placesin2files"), "{said}");
    assert!(squeezed(&said).contains("alsoup"), "{said}");
    assert!(said.contains("1 problem to fix, in 2 places"), "{said}");
}

#[test]
fn a_folder_that_is_not_there_or_is_a_file() {
    let project = Project::copied();
    for path in [project.path("nowhere"), project.path("docking.toml")] {
        let said = run(common::program().arg("check").arg(&path)).exits(1);
        assert!(said.squeezed().contains("isnotafolder"), "{}", said.err);
    }
}
