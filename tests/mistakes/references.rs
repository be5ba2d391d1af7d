//! Names that meet nothing are reported whatever else is wrong, unless a row that could not be read may be
//! what they name.

use super::{problems, problems_shown};
use crate::common::{Project, squeezed};

/// The values of the problems, sorted.
fn values(project: &Project) -> Vec<String> {
    let text = |problem: &serde_json::Value| {
        problem["value"].as_str().or(problem["wrong"].as_str()).unwrap_or_default().to_string()
    };
    let mut values: Vec<String> = problems(project).iter().map(text).collect();
    values.sort();
    values
}

#[test]
fn a_name_that_meets_nothing_is_reported_beside_mistakes_elsewhere_and_in_its_own_row() {
    let project = Project::copied();
    project.edit_cell("hull/anodes.csv", "AN3", "renewed", "maybe");
    project.edit("positions/marks.csv", "P2,M5,", "P9,M5,");
    project.edit_cell("plan/blocks.csv", "K3", "station_m", "NaN");
    project.edit_cell("plan/blocks.csv", "K3", "positions", "P1;P7");
    assert_eq!(values(&project), ["NaN", "P7", "P9", "maybe"]);
}

#[test]
fn a_row_with_a_problem_still_gives_its_name() {
    // K3 is named by gaps, layers and papers.
    let project = Project::copied();
    project.edit_cell("plan/blocks.csv", "K10", "station_m", "NaN");
    project.append("landing/gaps.csv", "P1,K100,3,,Nan Corrisk,2031-04-07T13:20:00+01:00,\n");
    assert_eq!(values(&project), ["K100", "NaN"]);
    // And it is given twice all the same.
    project.edit("plan/blocks.csv", "\nK11,", "\nK10,");
    assert!(values(&project).contains(&"K10".to_string()), "{:?}", values(&project));
}

#[test]
fn a_name_that_could_not_be_read_is_not_missed_and_others_are() {
    let project = Project::copied();
    project.edit("plan/blocks.csv", "\nK10,", "\nK 10,");
    project.append("landing/gaps.csv", "P1,K100,3,,Nan Corrisk,2031-04-07T13:20:00+01:00,\n");
    assert_eq!(values(&project), ["K 10", "K100"]);
    // Of a row with a cell too many all its texts may be names.
    let project = Project::copied();
    project.edit("plan/blocks.csv", "\nK10,keel,", "\nK10,keel,keel,keel,keel,keel,keel,");
    project.append("landing/gaps.csv", "P1,K100,3,,Nan Corrisk,2031-04-07T13:20:00+01:00,\n");
    let found = values(&project);
    assert_eq!(found.len(), 2, "{found:?}");
    assert_eq!(found[0], "K100");
    // Where the name itself is not filled in, it may be any.
    let project = Project::copied();
    project.edit("plan/blocks.csv", "\nK10,", "\n,");
    project.append("landing/gaps.csv", "P1,K100,3,,Nan Corrisk,2031-04-07T13:20:00+01:00,\n");
    assert_eq!(values(&project), ["is empty"]);
}

#[test]
fn nothing_is_missed_of_a_kind_whose_file_could_not_be_read() {
    for spoil in [
        (|p| p.remove("plan/blocks.csv")) as fn(&Project),
        |p| p.write("plan/blocks.csv", b"\xff\xfe"),
        |p| p.edit("plan/blocks.csv", "block,row,", "blck,row,"),
        |p| p.edit("plan/blocks.csv", "\nK2,", "\n\"K2,"),
        |p| std::fs::rename(p.path("plan/blocks.csv"), p.path("blocks.csv")).expect("to move it"),
    ] {
        let project = Project::copied();
        spoil(&project);
        project.edit("positions/marks.csv", "P2,M5,", "P9,M5,");
        let found = problems(&project);
        let of_blocks = found.iter().filter(|problem| {
            let wrong = problem["wrong"].as_str().unwrap_or_default();
            wrong.contains("of this project") && problem["value"] != "P9"
        });
        assert_eq!(of_blocks.count(), 0, "{found:#?}");
        assert!(found.iter().any(|problem| problem["value"] == "P9"), "{found:#?}");
    }
}

#[test]
fn a_missing_offset_is_reported_once_and_not_for_every_time() {
    let project = Project::copied();
    project.edit("docking.toml", "offset = \"+01:00\"", "offset = \"one hour\"");
    assert_eq!(values(&project), ["one hour"]);
}

#[test]
fn an_outline_without_a_vertex_that_could_not_be_read_is_not_called_wrong() {
    let project = Project::copied();
    let text = "part,order,x_m,y_m\nbottom,1,0,0\nbottom,2,90,0\nbottom,3,90,y\n";
    project.write("plan/bottom.csv", text);
    assert_eq!(values(&project), ["y"]);
}

#[test]
fn a_name_mistyped_where_it_is_defined_is_reported_once_with_a_count_of_what_follows() {
    let project = Project::copied();
    project.edit_cell("positions/positions.csv", "P2", "position", "P-2");
    let found = problems(&project);
    assert!(found.len() > 100, "{}", found.len());
    for one in &found {
        assert_eq!((&one["value"], &one["cause"]), (&"P2".into(), &1.into()));
        assert!(one["shown"]["text"].is_string(), "{one:#}");
    }
    let said = problems_shown(&project);
    assert!(said.lines().count() < 30, "{said}");
    let count = found.len();
    assert!(
        said.contains(&format!("\n1 problem to fix, in {count} places; nothing was written.\n"))
    );
    for part in [
        "P-2atpositions/positions.csv:3:1(position)isnamednowhereelse:",
        "ifbothmeanthesameposition,writeP2there",
    ] {
        assert!(squeezed(&said).contains(part), "{said}");
    }
}

#[test]
fn a_thing_described_nowhere_is_reported_once() {
    let project = Project::copied();
    let text = project.text("positions/positions.csv");
    let rows: Vec<&str> = text.lines().filter(|row| !row.starts_with("P2,")).collect();
    project.write("positions/positions.csv", rows.join("\n"));
    let found = problems(&project);
    assert!(found.iter().all(|one| one["value"] == "P2" && one["cause"] == 1), "{found:#?}");
    let said = problems_shown(&project);
    assert!(said.lines().count() < 30 && !squeezed(&said).contains("writeP1"), "{said}");
    assert!(squeezed(&said).contains("addP2topositions/positions.csv"), "{said}");
}

#[test]
fn a_table_that_is_missing_is_reported_once_and_not_each_name_from_it() {
    let project = Project::copied();
    project.remove("coating/zones.csv");
    let found = problems(&project);
    let zones = found.iter().filter(|one| one["cause"] == found[0]["cause"]);
    let zones: std::collections::BTreeSet<_> = zones.map(|one| one["value"].as_str()).collect();
    assert_eq!(zones.len(), 5, "{zones:?}");
    let said = problems_shown(&project);
    assert!(said.contains("there is no coating/zones.csv"), "{said}");
    assert!(said.lines().count() < 30, "{said}");
}

#[test]
fn a_few_unknown_names_are_each_shown() {
    let project = Project::copied();
    project.edit("positions/marks.csv", "P2,M5,", "P9,M5,");
    project.edit("positions/marks.csv", "P2,M6,", "P9,M6,");
    assert_eq!(values(&project), ["P9", "P9"]);
    // Which position P9 was meant to be nobody can tell.
    let said = problems_shown(&project);
    assert!(!said.contains("write P"), "{said}");
}
