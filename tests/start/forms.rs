//! The sheets to be filled in by hand: printed at the start and again, never kept as records, and never
//! printed over what somebody made of them.

use std::fs;

use lastdock::records::problem::Problems;
use lastdock::records::store::{Folder, Store};

use super::Room;
use crate::common::{Project, closed, files, program, run, temporary};

/// The sheets by their paths in a project.
pub const SHEETS: [&str; 14] = [
    "forms/arrival-and-departure.pdf",
    "forms/ballast.pdf",
    "forms/blocks.pdf",
    BRIEFING,
    "forms/climate-and-coating.pdf",
    GAPS,
    LANDING,
    "forms/lift-off.pdf",
    "forms/openings.pdf",
    "forms/photographs.pdf",
    "forms/plating-and-anodes.pdf",
    "forms/stops.pdf",
    "forms/water.pdf",
    "forms/weights-moved.pdf",
];

pub const BRIEFING: &str = "forms/briefing.pdf";
const GAPS: &str = "forms/gaps.pdf";
const LANDING: &str = "forms/landing.pdf";

/// What a project holds of its `forms/`.
fn forms_in(project: &Project) -> Vec<String> {
    let mut problems = Problems::default();
    let folder = Folder::open(&project.root(), &mut problems);
    assert_eq!(problems.into_sorted(), []);
    folder.sizes().keys().filter(|path| path.starts_with("forms/")).cloned().collect()
}

fn forms(project: &Project, more: &[&str]) -> crate::common::Said {
    run(program().arg("forms").arg(project.root()).args(more))
}

#[test]
fn printing_again_right_after_the_start_changes_nothing() {
    let room = Room::new();
    room.start_from(&closed().zip).exits(0);
    let before = files(&room.new_folder());
    assert!(SHEETS.iter().all(|sheet| before.iter().any(|(path, _)| path == sheet)));
    run(program().arg("forms").arg(room.new_folder())).exits(0);
    assert!(before == files(&room.new_folder()));
}

#[test]
fn a_project_without_names_is_told_what_to_fill_in() {
    let room = Room::new();
    room.start().exits(0);
    let said = run(program().arg("forms").arg(room.new_folder())).exits(1);
    assert!(said.squeezed().contains("theship'sname"), "{}", said.err);
    room.name_both();
    let blank = fs::read(room.new_folder().join(GAPS)).expect("a sheet");
    run(program().arg("forms").arg(room.new_folder())).exits(0);
    // The names are in the heads now, and the sheets are no longer those of before.
    assert_ne!(blank, fs::read(room.new_folder().join(GAPS)).expect("a sheet"));
}

#[test]
fn sheets_as_they_were_printed_are_no_part_of_the_project_and_anything_else_is() {
    let project = Project::copied();
    let check = || run(program().args(["check", "--json"]).arg(project.root())).out;
    let before = check();
    forms(&project, &[]).exits(0);
    assert_eq!(forms_in(&project), Vec::<String>::new());
    assert_eq!(check(), before);
    // Somebody writes on one, and lays a scan beside them.
    let mut written_on = fs::read(project.path(LANDING)).expect("a sheet");
    written_on.extend(b"% a note");
    project.write(LANDING, &written_on);
    project.write("forms/scan.pdf", "%PDF-1.4");
    assert_eq!(forms_in(&project), [LANDING, "forms/scan.pdf"]);
    // It is not printed over unless that is asked for.
    let said = forms(&project, &[]).exits(1);
    assert!(said.squeezed().contains("landing.pdf"), "{}", said.err);
    assert_eq!(fs::read(project.path(LANDING)).expect("a sheet"), written_on);
    forms(&project, &["--replace"]).exits(0);
    assert_eq!(forms_in(&project), ["forms/scan.pdf"]);
    // Without the list nobody knows them.
    project.remove("forms/sheets.sha256");
    assert_eq!(forms_in(&project).len(), SHEETS.len() + 2);
}

#[test]
fn a_list_that_is_none_or_leads_elsewhere_hides_nothing() {
    let project = Project::copied();
    fs::create_dir(project.path("forms")).expect("a folder");
    for list in ["no list", "0  ../docking.toml\n", "", "\u{0}  x\n"] {
        project.write("forms/sheets.sha256", list);
        run(program().args(["check", "--json"]).arg(project.root())).exits(0);
        project.write("forms/gaps.pdf", "mine");
        assert!(forms_in(&project).contains(&"forms/gaps.pdf".to_string()), "{list:?}");
    }
    project.write("forms/sheets.sha256", [0xff, 0xfe]);
    assert_eq!(forms_in(&project).len(), 2);
}

#[test]
fn they_go_where_they_are_asked_to_but_not_among_the_records() {
    let project = Project::copied();
    let inside = project.path("papers/sheets");
    forms(&project, &["--out", inside.to_str().expect("a path")]).exits(1);
    assert!(!inside.exists());
    let folder = temporary();
    let out = folder.path().join("new");
    let out_text = out.to_str().expect("a path");
    let said = forms(&project, &["--json", "--out", out_text]).exits(0).json();
    // The sample is planned: its planning page lies with the sheets.
    assert_eq!(said["files"].as_array().map(Vec::len), Some(SHEETS.len() + 1));
    assert_eq!(files(&out).len(), SHEETS.len() + 1);
    assert!(out.join("planning.pdf").exists());
    assert!(!project.path("forms").exists());
    fs::write(out.join("gaps.pdf"), "mine").expect("to write it");
    forms(&project, &["--out", out_text]).exits(1);
    assert_eq!(fs::read(out.join("gaps.pdf")).expect("the file"), b"mine");
}

/// The poster is a sheet like the others: as it was printed it is no record, and printing the sheets again keeps it so.
#[test]
fn a_poster_is_printed_when_asked_for_and_stays_no_record() {
    let project = Project::copied();
    let check = || run(program().args(["check", "--json"]).arg(project.root())).out;
    let before = check();
    forms(&project, &["--poster"]).exits(0);
    let poster = fs::read(project.path("forms/poster.pdf")).expect("the poster");
    assert!(poster.starts_with(b"%PDF"));
    assert_eq!(forms_in(&project), Vec::<String>::new());
    assert_eq!(check(), before);
    forms(&project, &[]).exits(0);
    assert_eq!(forms_in(&project), Vec::<String>::new());
    assert_eq!(fs::read(project.path("forms/poster.pdf")).expect("the poster"), poster);
}

/// Sheets of one position lie beside those of all, and all of them stay no record.
#[test]
fn sheets_of_one_position_are_files_of_their_own() {
    let project = Project::copied();
    forms(&project, &[]).exits(0);
    let whole = files(&project.path("forms"));
    forms(&project, &["--position", "P1"]).exits(0);
    assert_eq!(forms_in(&project), Vec::<String>::new());
    let both = files(&project.path("forms"));
    let is_kept = |(path, bytes): &(String, Vec<u8>)| {
        path.ends_with(".sha256") || both.iter().any(|(other, now)| other == path && now == bytes)
    };
    assert!(whole.iter().all(is_kept));
    assert!(both.iter().any(|(path, _)| path == "landing-P1.pdf"));
    // The list, and the planning page, which is of all positions.
    assert_eq!(both.len(), 2 * SHEETS.len() + 2);
    let said = forms(&project, &["--position", "P9"]).exits(1);
    assert!(said.squeezed().contains("nameoneofitspositions:P1,P2"), "{}", said.err);
}
