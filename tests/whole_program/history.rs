//! A project with an earlier docking: closed out, kept byte for byte, and verified.

use std::fs;
use std::path::Path;

use crate::common::{Project, closeout, files, program, run, sample, unpack, verify};

/// The sample with itself as an earlier docking: years before, and 0.20 m further aft in its first position.
pub(super) fn with_history() -> Project {
    let project = Project::copied();
    let folder = project.path("history/calder-wren-2006");
    for (path, bytes) in files(&sample()) {
        if !path.ends_with(".csv") && !path.ends_with(".toml") {
            continue;
        }
        let text = String::from_utf8(bytes).expect("a record in UTF-8").replace("2031", "2006");
        let place = folder.join(&path);
        fs::create_dir_all(place.parent().expect("a folder")).expect("to make it");
        fs::write(place, text.replace("P1,14.30,0.000,14.31,", "P1,14.30,0.000,14.11,"))
            .expect("to write it");
    }
    project.write(
        "history/dockings.csv",
        "docking,bundle,seal,fixity,damage\ncalder-wren-2006,calder-wren-2006.zip,,whole,\n",
    );
    for finding in ["never_exposed", "calder-wren-2006.reached"] {
        project.append(
            "remarks.toml",
            &format!(
                "\n[[remark]]\nfinding = \"history.{finding}\"\nanswer = \"Known.\"\n\
                 by = \"Anselm Dunmallow\"\non = 2031-05-09\n"
            ),
        );
    }
    project
}

fn sum_of(path: &Path, column: &str) -> f64 {
    let mut csv = csv::Reader::from_path(path).expect("a table");
    let at = csv.headers().expect("a header").iter().position(|name| name == column);
    let at = at.expect("the column");
    csv.records().map(|row| row.expect("a row")[at].parse::<f64>().expect("a number")).sum()
}

#[test]
fn earlier_dockings_are_kept_with_the_record_and_verified_with_it() {
    let project = with_history();
    closeout(&project.root(), &project.out()).exits(0);
    let zip = project.out().join("calder-wren-2031.zip");
    verify(&zip).exits(0);
    let bag = unpack(&zip, &project.out().join("unpacked"));
    for (path, bytes) in files(&project.path("history")) {
        let kept = fs::read(bag.join("data/records/history").join(&path));
        assert!(kept.expect("a file of the bundle") == bytes, "{path}");
    }
    let findings = fs::read_to_string(bag.join("data/findings.json")).expect("the findings");
    let findings: serde_json::Value = serde_json::from_str(&findings).expect("JSON");
    let of_history: Vec<(&str, &str)> = findings["findings"]
        .as_array()
        .expect("findings")
        .iter()
        .filter_map(|f| Some((f["id"].as_str()?, f["outcome"].as_str()?)))
        .filter(|(id, _)| id.starts_with("history."))
        .collect();
    assert_eq!(
        of_history,
        [
            ("history.never_exposed", "beyond limit"),
            ("history.calder-wren-2006.reached", "beyond limit"),
            ("history.calder-wren-2006.seal", "agrees"),
        ]
    );
    let tables = bag.join("data/tables");
    let bottom = sum_of(&tables.join("recomputed-exposure.csv"), "area_m2");
    let uppermost = sum_of(&tables.join("recomputed-uppermost.csv"), "area_m2");
    assert!((bottom - uppermost).abs() < 0.01, "{bottom} {uppermost}");
    assert!(bag.join("data/drawings/history-1.svg").is_file());
    assert!(tables.join("recomputed-history-never-exposed.csv").is_file());

    // The report travels with this docking's records, and with the list of earlier ones.
    let report = fs::read(project.out().join("calder-wren-2031-report.pdf")).expect("the report");
    let holds = |name: &str| report.windows(name.len()).any(|window| window == name.as_bytes());
    assert!(holds("(records--history--dockings.csv)") && holds("(records--plan--blocks.csv)"));
    assert!(!holds("(records--history--calder-wren-2006--plan--blocks.csv)"));
}

#[test]
fn problems_of_an_earlier_docking_give_their_full_path() {
    let project = with_history();
    project.edit_cell("history/calder-wren-2006/plan/blocks.csv", "K4", "station_m", "far");
    project.append("history/dockings.csv", "gone-1990,gone.zip,,whole,\n");
    let said = run(program().arg("check").arg(project.root())).exits(1).squeezed();
    assert!(said.contains("history/calder-wren-2006/plan/blocks.csv:5:3"), "{said}");
    assert!(said.contains("hasnofolderhistory/gone-1990/"), "{said}");
}
