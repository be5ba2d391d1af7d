//! Ids and outcomes do not depend on the order in which rows stand in a file.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use lastdock::findings::finding::{Figure, Finding};
use walkdir::WalkDir;

use crate::common::{Project, examined};

/// Files whose order is itself recorded, so that another order is another record: a table is read along its
/// drafts, and she stood in the positions one after another.
const IN_ORDER: [&str; 2] = ["landing/hydrostatics.csv", "positions/positions.csv"];
/// The finding that holds that the log of the water was written as time went by.
const OF_THE_LOG: &str = ".water_events";

/// Every CSV file of a project, with its rows; none of the sample's cells has a line break.
fn tables(project: &Project) -> Vec<(String, Vec<String>)> {
    let root = project.root();
    let files =
        WalkDir::new(&root).sort_by_file_name().into_iter().map(|entry| entry.expect("an entry"));
    let csv = files.filter(|entry| entry.path().extension().is_some_and(|end| end == "csv"));
    csv.map(|entry| {
        let text = fs::read_to_string(entry.path()).expect("text");
        assert!(text.lines().all(|line| line.matches('"').count() % 2 == 0), "{:?}", entry.path());
        let path = entry.path().strip_prefix(&root).expect("inside").to_string_lossy().into_owned();
        (path, text.lines().map(str::to_string).collect())
    })
    .collect()
}

/// Outcome and figures of every finding, by its id.
fn outcomes(project: &Project) -> BTreeMap<String, String> {
    let examined = examined(&project.root());
    let figure = |figure: &Option<Figure>| figure.as_ref().map(ToString::to_string);
    let said = |f: &Finding| {
        let (recorded, recomputed) = (figure(&f.recorded), figure(&f.recomputed));
        (f.id.clone(), format!("{}, {recorded:?}, {recomputed:?}", f.outcome))
    };
    let all: BTreeMap<String, String> = examined.findings.iter().map(said).collect();
    assert_eq!(all.len(), examined.findings.len(), "every id once");
    all
}

fn ids(all: &BTreeMap<String, String>) -> BTreeSet<&str> {
    all.keys().map(String::as_str).collect()
}

/// Rows in another order: the same for the same seed, another for another.
fn shuffled(rows: &[String], seed: u64) -> Vec<String> {
    let mut rows = rows.to_vec();
    let mut state = seed;
    for at in (1..rows.len()).rev() {
        // The multiplier and increment are Knuth's, for MMIX.
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        rows.swap(at, ((state >> 33) as usize) % (at + 1));
    }
    rows
}

/// Two surveys of one gap, two checks of one thing and two sightings of one mark: the ties.
fn with_ties() -> Project {
    let project = Project::copied();
    for (file, column) in [
        ("landing/gaps.csv", "gap_mm"),
        ("landing/checks.csv", "at"),
        ("positions/marks.csv", "at"),
    ] {
        let text = project.text(file);
        let head: Vec<&str> = text.lines().next().expect("a head").split(',').collect();
        let at = head
            .iter()
            .position(|name| *name == column)
            .unwrap_or_else(|| panic!("{file}: {head:?}"));
        let row = text.lines().skip(1).find(|line| !line.contains('"')).expect("a plain row");
        let mut cells: Vec<String> = row.split(',').map(str::to_string).collect();
        cells[at] = match column {
            "gap_mm" => "77".to_string(),
            _ => "2031-05-02T11:11:00+01:00".to_string(),
        };
        project.append(file, &format!("{}\n", cells.join(",")));
    }
    project
}

#[test]
fn rows_in_another_order_give_the_same_findings() {
    let project = with_ties();
    let straight = outcomes(&project);
    assert!(straight.keys().any(|id| id.contains(".2031-05-02T1111")), "a tie told apart by time");
    let tables = tables(&project);
    assert!(tables.len() > 25);
    for seed in 1..=3 {
        for (path, rows) in tables.iter().filter(|(path, _)| !IN_ORDER.contains(&path.as_str())) {
            let (head, body) = rows.split_first().expect("a head");
            let mixed = match seed {
                1 => body.iter().rev().cloned().collect(),
                seed => shuffled(body, seed),
            };
            project.write(path, format!("{head}\n{}\n", mixed.join("\n")));
        }
        let mixed = outcomes(&project);
        let odd: Vec<&str> = ids(&straight).symmetric_difference(&ids(&mixed)).copied().collect();
        assert!(odd.is_empty(), "order {seed}: {odd:#?}");
        let others: Vec<String> = straight
            .iter()
            .filter(|(id, said)| mixed[*id] != **said && !id.ends_with(OF_THE_LOG))
            .map(|(id, said)| format!("{id}: {said}; then {}", mixed[id]))
            .collect();
        assert!(others.is_empty(), "order {seed}: {others:#?}");
    }
}

#[test]
fn the_ids_are_the_same_whatever_the_order_of_the_positions() {
    let project = Project::copied();
    let straight = outcomes(&project);
    let text = project.text("positions/positions.csv");
    let mut rows: Vec<&str> = text.lines().collect();
    rows[1..].reverse();
    project.write("positions/positions.csv", format!("{}\n", rows.join("\n")));
    assert_eq!(ids(&straight), ids(&outcomes(&project)));
}
