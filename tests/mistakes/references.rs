//! Names that meet nothing are reported whatever else is wrong, unless a row that could not be read may be
//! what they name.

use super::{problems, problems_shown};
use crate::common::{Project, squeezed};

/// The values of the problems, in their order.
fn values(project: &Project) -> Vec<String> {
    let text = |problem: &serde_json::Value| {
        problem["value"].as_str().or(problem["wrong"].as_str()).unwrap_or_default().to_string()
    };
    problems(project).iter().map(text).collect()
}

#[test]
fn a_name_that_meets_nothing_is_reported_beside_mistakes_elsewhere_and_in_its_own_row() {
    let project = Project::copied();
    project.edit_cell("hull/anodes.csv", "AN3", "renewed", "maybe");
    project.edit("positions/marks.csv", "P2,M5,", "P9,M5,");
    project.edit_cell("plan/blocks.csv", "K3", "station_m", "NaN");
    project.edit_cell("plan/blocks.csv", "K3", "positions", "P1;P7");
    assert_eq!(values(&project), ["maybe", "NaN", "P7", "P9"]);
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
    assert_eq!(values(&project), ["K100", "K 10"]);
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
    let (head, rest) = found.split_first().expect("a problem");
    let head =
        (0..found.len()).find(|at| found[*at]["cause"].is_null()).map_or(head, |at| &found[at]);
    assert_eq!((&head["file"], &head["value"]), (&"positions/positions.csv".into(), &"P-2".into()));
    assert_eq!(found.iter().filter(|problem| problem["cause"].is_null()).count(), 1);
    assert!(rest.len() > 100, "{}", rest.len());
    for one in found.iter().filter(|problem| !problem["cause"].is_null()) {
        assert_eq!(one["value"], "P2");
        assert_eq!(one["cause"]["line"], head["line"]);
        assert!(one["shown"]["text"].is_string(), "{one:#}");
    }
    let said = problems_shown(&project);
    let follow = found.len() - 1;
    assert!(said.lines().count() < 30, "{said}");
    assert!(said.contains(&format!("{follow} more problems follow from it: ")), "{said}");
    assert!(said.ends_with(&format!(
        "\n1 problem to fix, from which {follow} more follow; nothing was written.\n"
    )));
    assert!(squeezed(&said).contains("ifbothmeanthesameposition,writeP2here"), "{said}");
}

#[test]
fn a_thing_described_nowhere_is_reported_once() {
    let project = Project::copied();
    let text = project.text("positions/positions.csv");
    let rows: Vec<&str> = text.lines().filter(|row| !row.starts_with("P2,")).collect();
    project.write("positions/positions.csv", rows.join("\n"));
    let found = problems(&project);
    let heads: Vec<_> = found.iter().filter(|problem| problem["cause"].is_null()).collect();
    assert_eq!(heads.len(), 1, "{heads:#?}");
    assert_eq!(
        (&heads[0]["file"], &heads[0]["value"]),
        (&"positions/positions.csv".into(), &"P2".into())
    );
    let said = problems_shown(&project);
    assert!(said.lines().count() < 30 && !squeezed(&said).contains("writeP1"), "{said}");
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
