//! A folder with forty typical slips of people who type from paper with a spreadsheet's habits: hardly more messages
//! than slips, each of which leads to its correction, that on which most depends first.

use std::collections::BTreeMap;

use serde_json::Value;

use super::problems;
use super::table::make;
use crate::common::{Project, expected, program, run, squeezed};

/// What was done, as in the table's rows; the place and value that the message names first, and what it says to do.
struct Slip {
    what: &'static str,
    changes: &'static [&'static str],
    place: &'static str,
    value: &'static str,
    leads_to: &'static str,
}

const fn slip(
    what: &'static str,
    changes: &'static [&'static str],
    place: &'static str,
    value: &'static str,
    leads_to: &'static str,
) -> Slip {
    Slip { what, changes, place, value, leads_to }
}

const SLIPS: &[Slip] = &[];

/// What is said of them all, in 80 columns.
const SAID: &str = "tests/mistakes/forty.txt";

/// The most messages that forty slips may get.
const MOST: usize = 45;

/// A project with all of them.
fn slipped() -> Project {
    let project = Project::copied();
    for slip in SLIPS {
        slip.changes.iter().for_each(|change| make(&project, change));
    }
    project
}

#[test]
fn forty_slips_get_hardly_more_messages_and_each_is_led_to_by_one() {
    assert_eq!(SLIPS.len(), 40);
    let project = slipped();
    let problems = problems(&project);
    let mut causes: BTreeMap<u64, &Value> = BTreeMap::new();
    for problem in &problems {
        causes.entry(problem["cause"].as_u64().expect("a cause")).or_insert(problem);
    }
    assert!(causes.len() <= MOST, "{} messages", causes.len());
    let said = run(program().arg("check").arg(project.root()).env("COLUMNS", "80")).exits(1).out;
    assert_eq!(said.matches("\n      do: ").count(), causes.len());
    let mut wrong = Vec::new();
    for slip in SLIPS {
        let is_it = |problem: &&&Value| {
            let text = |key: &str| problem[key].as_str().unwrap_or_default();
            let line = problem["line"].as_u64().map_or(String::new(), |line| format!(":{line}"));
            let place = format!("{}{line}", text("file"));
            place == slip.place && text("value") == slip.value && text("advice").contains(slip.leads_to)
        };
        let found = causes.values().filter(is_it).count();
        let head = if slip.value.is_empty() { String::new() } else { format!("{:?}", slip.value) };
        if found != 1 || !squeezed(&said).contains(&squeezed(&head)) {
            wrong.push(format!("{}: led to by {found} messages", slip.what));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}\n{said}");
    let root = project.root().display().to_string();
    expected::is(SAID, &said.replace(&root, "PROJECT"));
    assert!(said.lines().all(|line| line.chars().count() <= 80 || line.contains(&root)), "{said}");
}

#[test]
fn every_place_of_a_cause_is_told_on_request() {
    let project = slipped();
    let said = run(program().args(["check", "--all"]).arg(project.root())).exits(1).out;
    let said = squeezed(&said);
    for problem in problems(&project) {
        let (file, line) = (problem["file"].as_str().expect("a file"), &problem["line"]);
        let place = if line.is_null() { file.to_string() } else { format!("{file}:{line}") };
        assert!(said.contains(&squeezed(&place)), "{place}");
    }
}
