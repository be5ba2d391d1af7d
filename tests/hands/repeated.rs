//! What stands in two parts of a table: rows, whole parts that were copied, and ids.

use super::{FILM, csv, put, rows_of, workbook_of};
use crate::common::{self, Project, run};

/// What `check` says, each problem in a paragraph of its own.
#[track_caller]
fn said(project: &Project) -> String {
    run(common::program().arg("check").arg(project.root())).exits(1).out
}

/// The problems with their places and what is wrong.
#[track_caller]
fn problems(project: &Project) -> Vec<(String, String)> {
    let said = run(common::program().args(["check", "--json"]).arg(project.root())).exits(1);
    let json = said.json();
    let problems = json["problems"].as_array().expect("problems");
    let place = |problem: &serde_json::Value| {
        let line = problem["line"].as_u64().map_or(String::new(), |line| format!(":{line}"));
        format!("{}{line}", problem["file"].as_str().expect("a file"))
    };
    let wrong = |problem: &serde_json::Value| {
        let text = problem["problem"].as_str().or(problem["wrong"].as_str());
        let text = text.unwrap_or_else(|| panic!("{problem}"));
        text.to_string()
    };
    problems.iter().map(|problem| (place(problem), wrong(problem))).collect()
}

/// An inspector saved the file under another name, corrected two readings, and went on.
#[test]
fn a_part_that_is_a_later_copy_of_another_is_named_once() {
    let project = Project::copied();
    let (header, rows) = rows_of(&project, FILM);
    let mut older = rows[..400].to_vec();
    older[17] = older[17].replace(",KL1", ",KL7");
    older[18] = older[18].replace(",KL1", ",KL7");
    assert!(older[17] != rows[17] && older[18] != rows[18]);
    put(&project, "coating/film/anna.csv", csv(&header, &older));
    let found = problems(&project);
    let expected = (
        FILM.to_string(),
        "is most likely a later copy of coating/film/anna.csv: 398 of the 400 rows there stand here too"
            .to_string(),
    );
    assert_eq!(found, [expected]);
    let said = common::squeezed(&said(&project));
    let advice = "see which of the 2 rows that do not stand here are missing here, the first of them \
                  coating/film/anna.csv:19; then move coating/film/anna.csv to papers/";
    assert!(said.contains(&common::squeezed(advice)), "{said}");
    // As it says, it is sound again.
    std::fs::rename(project.path("coating/film/anna.csv"), project.path("papers/anna.csv"))
        .expect("moved");
    common::examined(&project.root());
}

/// Blocks have names: those whose rows were corrected in the copy are not said to be given twice.
#[test]
fn of_a_copy_no_name_is_said_to_be_given_twice() {
    let project = Project::copied();
    let (header, rows) = rows_of(&project, "plan/blocks.csv");
    let mut copy = rows.clone();
    copy[3] = copy[3].replace(",keel,", ",keel, ").replace("1200", "1250");
    assert!(copy[3] != rows[3]);
    put(&project, "plan/blocks/foreman.csv", csv(&header, &copy));
    let found = problems(&project);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].1.starts_with("is most likely a copy of plan/blocks"), "{found:?}");
}

#[test]
fn a_sheet_that_is_a_copy_is_told_by_its_workbook() {
    let project = Project::copied();
    let table = ("landing/gaps.csv", project.text("landing/gaps.csv"));
    put(&project, "workbooks/anna.xlsx", workbook_of(&[table]));
    let said = common::squeezed(&said(&project));
    let sheet = common::squeezed("workbook anna.xlsx, sheet landing-gaps");
    assert!(said.contains(&sheet) && said.contains("1problem"), "{said}");
}

#[test]
fn a_row_that_stands_in_two_parts_is_named_with_both_places() {
    let project = Project::copied();
    let (header, rows) = rows_of(&project, "coating/climate.csv");
    let count = rows.len();
    project.write("coating/climate.csv", csv(&header, &rows[..count - 10]));
    let mut later = rows[count - 10..].to_vec();
    later.push(rows[4].clone());
    put(&project, "coating/climate/ben.csv", csv(&header, &later));
    assert_eq!(
        problems(&project),
        [(
            "coating/climate/ben.csv:12".to_string(),
            "is the same row as coating/climate.csv:6".to_string()
        )]
    );
    // What tells them apart makes them two.
    let noted: Vec<String> = later.iter().map(|row| format!("{row},second gauge")).collect();
    put(&project, "coating/climate/ben.csv", csv(&format!("{header},note_gauge"), &noted));
    common::examined(&project.root());
}

#[test]
fn several_rows_of_another_part_are_one_message() {
    let project = Project::copied();
    let (header, rows) = rows_of(&project, FILM);
    let (one, other) = rows.split_at(1000);
    let mut other = other.to_vec();
    other.extend_from_slice(&one[100..120]);
    project.write(FILM, csv(&header, one));
    put(&project, "coating/film/ben.csv", csv(&header, &other));
    let said = said(&project);
    let squeezed = common::squeezed(&said);
    let wanted = "is the same row as coating/film.csv:102; 20 rows of this file";
    assert!(squeezed.contains(&common::squeezed(wanted)), "{said}");
    assert!(said.lines().count() < 20, "{said}");
}

#[test]
fn a_name_given_in_two_parts_is_named_with_both_places() {
    let project = Project::copied();
    let header = "block,row,station_m,offset_m,length_mm,width_mm";
    let rows = ["X1,keel,90.1,0,600,1200", "k3,keel,90.9,0,600,1200"];
    put(&project, "plan/blocks/new.csv", csv(header, &rows));
    let found = problems(&project);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].0, "plan/blocks/new.csv:3");
    assert!(found[0].1.contains("differs from K3 at plan/blocks.csv:4"), "{found:?}");
    let area = ["RING1,1,38.40,2.90", "RING1,2,40.40,2.90", "RING1,3,40.40,1.90"];
    project.remove("plan/blocks/new.csv");
    put(&project, "coating/areas/ben.csv", csv("area,order,x_m,y_m", &area[2..]));
    let found = problems(&project);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(
        found[0].1.starts_with("is described at coating/areas.csv:2:1 (area) already"),
        "{found:?}"
    );
}

#[test]
fn rows_are_counted_over_all_parts() {
    let project = Project::copied();
    let header = "position,planned_station_m";
    let rows = |from: usize| (from..from + 7).map(|n| format!("Q{n},1")).collect::<Vec<_>>();
    put(&project, "positions/positions/a.csv", csv(header, &rows(0)));
    put(&project, "positions/positions/b.csv", csv(header, &rows(7)));
    let found = problems(&project);
    let many: Vec<_> =
        found.iter().filter(|(_, wrong)| wrong.contains("more than this program reads")).collect();
    assert_eq!(many.len(), 1, "{found:#?}");
    assert!(many[0].1.starts_with("begins with those of the other parts row 13"), "{many:?}");
}
