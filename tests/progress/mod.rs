//! How complete a record is, section by section, and the lists that matter before landing, before flooding and
//! before closing: on the sample, and on copies of it that are not finished. The counts are made anew here from
//! the project's files.

use std::collections::BTreeSet;
use std::path::Path;

use crate::common::{Project, program, run, sample};
use serde_json::{Value, json};

/// The list of a stage as data, and the exit status.
#[track_caller]
fn list(root: &Path, stage: &str) -> (Value, i32) {
    let said = run(program().args(["check", "--json", "--stage", stage]).arg(root));
    let list = said.json();
    assert!(list["aid"].as_str().is_some_and(|aid| aid.contains("responsible person's own list")));
    assert_eq!(list["open"] == 0, said.status == 0, "{list:#}");
    (list, said.status)
}

/// The entry of a list whose words begin so.
#[track_caller]
fn owed<'a>(list: &'a Value, begins: &str) -> &'a Value {
    let mut all = list["owed"].as_array().expect("a list").iter();
    let found = all.find(|o| o["what"].as_str().is_some_and(|what| what.starts_with(begins)));
    found.unwrap_or_else(|| panic!("nothing begins with {begins:?} in {list:#}"))
}

#[track_caller]
fn owes(list: &Value, begins: &str, recorded: usize, expected: usize, missing: &[&str]) {
    let found = owed(list, begins);
    assert_eq!(
        (&found["recorded"], &found["expected"]),
        (&json!(recorded), &json!(expected)),
        "{found:#}"
    );
    assert_eq!(found["missing"], json!(missing), "{begins}");
}

/// The rows of a CSV file of the sample by their headers.
fn rows(file: &str) -> Vec<csv::StringRecord> {
    let mut reader = csv::Reader::from_path(sample().join(file)).expect("a CSV file");
    reader.records().map(|row| row.expect("a row")).collect()
}

fn header(file: &str, name: &str) -> usize {
    let mut reader = csv::Reader::from_path(sample().join(file)).expect("a CSV file");
    let headers = reader.headers().expect("a header row").clone();
    headers
        .iter()
        .position(|header| header == name)
        .unwrap_or_else(|| panic!("no {name} in {file}"))
}

/// Takes the times away that end a position.
fn still_dry(project: &Project, position: &str) {
    project.edit_cell("positions/positions.csv", position, "reflood_began", "");
    project.edit_cell("positions/positions.csv", position, "afloat", "");
}

#[test]
fn a_gap_is_owed_at_every_keel_block_that_stands() {
    let [row, positions] = ["row", "positions"].map(|name| header("plan/blocks.csv", name));
    let (closing, status) = list(&sample(), "before-closing");
    assert_eq!(status, 3);
    for position in ["P1", "P2"] {
        let standing: BTreeSet<String> = rows("plan/blocks.csv")
            .iter()
            .filter(|block| &block[row] == "keel")
            .filter(|block| {
                block[positions].is_empty() || block[positions].split(';').any(|p| p == position)
            })
            .map(|block| block[0].to_string())
            .collect();
        let measured: BTreeSet<String> = rows("landing/gaps.csv")
            .iter()
            .filter(|gap| &gap[0] == position)
            .map(|gap| gap[1].to_string())
            .collect();
        let found =
            owed(&closing, &format!("the gap at every keel block that stands in {position}"));
        assert_eq!(found["expected"], standing.len());
        let missing: BTreeSet<String> = found["missing"]
            .as_array()
            .expect("names")
            .iter()
            .map(|m| m.as_str().expect("a name").into())
            .collect();
        assert_eq!(missing, &standing - &measured);
        assert!(!measured.is_disjoint(&standing) && !missing.is_empty());
    }
}

#[test]
fn the_samples_sections_add_up() {
    let (closing, _) = list(&sample(), "before-closing");
    for section in closing["sections"].as_array().expect("sections") {
        let sum = |key: &str| -> u64 {
            let owed = closing["owed"].as_array().expect("a list").iter();
            let own = owed.filter(|owed| owed["section"] == section["section"]);
            own.map(|owed| owed[key].as_u64().expect("a number")).sum()
        };
        assert_eq!(section["recorded"], sum("recorded"), "{section}");
        assert_eq!(section["expected"], sum("expected"), "{section}");
        assert!(section["expected"] != 0, "{section}");
    }
    let coats = rows("coating/scheme.csv").len();
    owes(&closing, "an application of every coat", coats, coats, &[]);
    owes(&closing, "film readings after every coat", coats, coats, &[]);
    let anodes = rows("hull/anodes.csv").len();
    owes(&closing, "every anode as found", anodes, anodes, &[]);
    assert_eq!(closing["unanswered"], json!([]));
}

#[test]
fn before_flooding_an_opening_must_be_closed_and_tested_and_a_plug_refitted() {
    let project = Project::copied();
    still_dry(&project, "P2");
    let (before, _) = list(&project.root(), "before-flooding");
    assert_eq!(before["positions"], json!(["P2"]));
    owes(&before, "when every docking plug drawn in P2 was refitted", 3, 3, &[]);
    owes(&before, "when every opening opened in P2 was closed", 2, 2, &[]);
    let opened = project.text("plan/opened.csv");
    let mut changed = String::new();
    for line in opened.lines() {
        let cells: Vec<&str> = line.splitn(4, ',').collect();
        let line = match cells[0] {
            // Neither closed nor tested; the plug is still out.
            "SC2" => format!("SC2,{},{},,,", cells[1], cells[2]),
            "DP6" => format!("DP6,{},{},,,", cells[1], cells[2]),
            _ => line.to_string(),
        };
        changed.push_str(&(line + "\n"));
    }
    project.write("plan/opened.csv", changed);
    let (after, status) = list(&project.root(), "before-flooding");
    assert_eq!(status, 3);
    owes(&after, "when every docking plug drawn in P2 was refitted", 2, 3, &["DP6"]);
    owes(&after, "when every opening opened in P2 was closed", 1, 2, &["SC2"]);
    owes(&after, "how the tightness of every opening and plug opened in P2", 3, 5, &["DP6", "SC2"]);
    // What was opened in P1 is past.
    let words = after["owed"].as_array().expect("a list");
    assert!(words.iter().all(|owed| owed["position"] != "P1"), "{after:#}");
}

#[test]
fn before_flooding_the_water_must_wait_for_the_coats() {
    let project = Project::copied();
    still_dry(&project, "P2");
    let (list, _) = list(&project.root(), "before-flooding");
    // Worked out by hand: AF4 ended 27 April 15:15, 16:20, and 28 April 12:20, each and 12 h.
    assert_eq!(
        list["water_not_before"],
        json!([
            { "position": "P2", "zone": "BP", "application": "BP.coat4.patches-P2", "from": "2031-04-29T00:20:00+01:00" },
            { "position": "P2", "zone": "BS", "application": "BS.coat4.patches-P2", "from": "2031-04-28T04:20:00+01:00" },
            { "position": "P2", "zone": "KL", "application": "KL.coat4.patches-P2", "from": "2031-04-28T03:15:00+01:00" },
        ])
    );
}

#[test]
fn before_flooding_the_weights_moved_must_be_noted() {
    let project = Project::copied();
    still_dry(&project, "P2");
    let words = "weights moved while she was docked";
    owes(&list(&project.root(), "before-flooding").0, words, 1, 1, &[]);
    let header = project.text("landing/moved.csv");
    project.write("landing/moved.csv", header.lines().next().expect("a header row"));
    owes(&list(&project.root(), "before-flooding").0, words, 0, 1, &["a row"]);
}

#[test]
fn before_landing_the_list_is_about_the_next_position() {
    let project = Project::copied();
    let positions = project.text("positions/positions.csv");
    let mut lines = positions.lines();
    let (head, first) = (lines.next().expect("a header"), lines.next().expect("P1"));
    project.write("positions/positions.csv", format!("{head}\n{first}\nP2,13.60,,,,,,,,,,,,,,,\n"));
    let readings = project.text("landing/drafts.csv");
    let kept: Vec<&str> =
        readings.lines().filter(|line| !line.starts_with("P2,before-landing,")).collect();
    project.write("landing/drafts.csv", kept.join("\n"));
    // Remarks on what is now not recorded would answer no finding.
    project.remove("remarks.toml");
    let (list, status) = list(&project.root(), "before-landing");
    assert_eq!((status, &list["positions"]), (3, &json!(["P2"])));
    owes(&list, "where she is to lie in P2", 1, 2, &["planned_offset"]);
    assert_eq!(owed(&list, "the draft before landing in P2")["expected"], 6);
    assert_eq!(owed(&list, "the draft before landing in P2")["recorded"], 0);
    owes(&list, "the layers of every block that stands", 88, 88, &[]);
}

#[test]
fn before_closing_every_finding_must_be_answered() {
    let project = Project::copied();
    let remarks = project.text("remarks.toml");
    let first = remarks.split("[[remark]]").nth(1).expect("a remark");
    let id = first.split('"').nth(1).expect("an id").to_string();
    project.write("remarks.toml", remarks.replacen(&format!("[[remark]]{first}"), "", 1));
    let (list, status) = list(&project.root(), "before-closing");
    assert_eq!((status, &list["unanswered"]), (3, &json!([id])));
    assert_eq!(owed(&list, "an answer to every finding")["missing"], json!([id]));
}

#[test]
fn a_project_that_has_only_begun_is_led_on() {
    let project = Project::copied();
    std::fs::remove_dir_all(project.root()).expect("the folder");
    std::fs::create_dir_all(project.path("plan")).expect("a folder");
    let ship =
        "format = 1\n\n[ship]\nname = \"Fenwhin\"\n\n[dock]\nname = \"Quernholt Old Dock\"\n";
    project.write("docking.toml", ship);
    let blocks = "block,row,station_m,offset_m,length_mm,width_mm\nK1,keel,5,0,600,1200\n";
    project.write("plan/blocks.csv", blocks);
    let (list, status) = list(&project.root(), "before-landing");
    assert_eq!((status, &list["positions"]), (3, &json!([])));
    owes(&list, "where she is to lie", 0, 1, &["a docking position"]);
    owes(&list, "the register of through-hull openings", 0, 1, &["the register"]);
    assert_eq!(owed(&list, "the draft on arrival")["expected"], 6);
    let said = run(program().arg("check").arg(project.root()));
    assert!(said.out.contains("How complete the record is"), "{}", said.out);
    assert!(said.out.contains("Missing before landing"), "{}", said.out);
    assert!(said.squeezed().contains("--stagebefore-landing"), "{}", said.out);
}

#[test]
fn each_list_says_what_it_is_in_words_too() {
    let project = Project::copied();
    still_dry(&project, "P2");
    for (stage, words) in [
        ("before-landing", "before landing"),
        ("before-flooding", "before flooding, P2"),
        ("before-closing", "before closing the record"),
    ] {
        let said = run(program().args(["check", "--stage", stage]).arg(project.root()));
        assert!(said.out.contains(&format!("Calder Wren: {words}")), "{}", said.out);
        assert!(said.squeezed().contains("aidtotheresponsibleperson'sownlist"), "{}", said.out);
        assert!(said.out.lines().all(|line| line.chars().count() <= 100), "{}", said.out);
        let open = list(&project.root(), stage).0["open"].as_u64().expect("a number");
        let sum = match open {
            0 => "Nothing is open".to_string(),
            1 => "1 item is open".to_string(),
            n => format!("{n} items are open"),
        };
        assert!(said.out.contains(&sum), "{sum}: {}", said.out);
    }
    run(program().args(["check", "--stage", "in-dock"]).arg(project.root())).exits(2);
}
