//! The commands of the README's cycle, one after another, and what each leaves.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use super::{OLDER, older_project, older_zip, text};
use crate::common::{self, NAME, closeout, copy, files, program, run, temporary, verify};

/// What the history adds to the sample's findings and wants an answer to.
const ANSWERS: &str = r#"
[[remark]]
finding = "history.never_exposed"
answer = "The piece under K23 and K23S that lay over block 13 in 2006. First thing to look at next time."
by = "Anselm Dunmallow"
on = 2031-05-09

[[remark]]
finding = "history.calder-wren-2006.reached"
answer = "The strip over 4S was reached, and of that over 13 about half. The rest is the piece under K23."
by = "Anselm Dunmallow"
on = 2031-05-09
"#;

/// What the cycle leaves.
pub struct Cycle {
    /// The next docking's project, filled in.
    pub next: PathBuf,
    /// Its bundle.
    pub zip: PathBuf,
    /// The same, unpacked.
    pub bag: PathBuf,
}

/// `lastdock start` from the older bundle.
fn start(new: &Path, from: &Path) {
    run(program().arg("start").arg(new).arg("--from").arg(from)).exits(0);
}

/// The whole cycle, once. Tests must not write to it.
pub fn cycle() -> &'static Cycle {
    static CYCLE: OnceLock<Cycle> = OnceLock::new();
    CYCLE.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("cycle");
        if folder.exists() {
            fs::remove_dir_all(&folder).expect("to remove what an earlier run left");
        }
        fs::create_dir_all(&folder).expect("a folder");
        let next = folder.join("next");
        start(&next, &older_zip());
        copy(&common::sample(), &next);
        let remarks = fs::read_to_string(next.join("remarks.toml")).expect("the sample's remarks");
        fs::write(next.join("remarks.toml"), remarks + ANSWERS).expect("to answer");
        let out = folder.join("out");
        closeout(&next, &out).exits(0);
        let zip = out.join(format!("{NAME}.zip"));
        let bag = common::unpack(&zip, &folder.join("unpacked"));
        Cycle { next, zip, bag }
    })
}

/// The rows of a history's list: its cells by the names of their columns.
fn dockings(project: &Path) -> Vec<BTreeMap<String, String>> {
    let mut reader =
        csv::Reader::from_path(project.join("history/dockings.csv")).expect("the list");
    reader.deserialize().map(|row| row.expect("a row")).collect()
}

/// The records of a docking in a history: all but its papers, its own history, and blank sheets to print.
fn records(project: &Path) -> Vec<(String, Vec<u8>)> {
    let own = |path: &str| {
        !path.starts_with("history/")
            && !path.starts_with("forms/")
            && (!path.starts_with("papers/") || path == "papers/papers.csv")
    };
    files(project).into_iter().filter(|(path, _)| own(path)).collect()
}

#[test]
fn a_started_folder_is_a_project_with_its_history_byte_for_byte() {
    let folder = temporary();
    let next = folder.path().join("next");
    start(&next, &older_zip());
    let said = run(program().arg("check").arg(&next).arg("--json"));
    assert_ne!(said.status, 1, "{}{}", said.out, said.err);
    let rows = dockings(&next);
    assert_eq!(rows.len(), 1, "{rows:?}");
    assert_eq!((&*rows[0]["docking"], &*rows[0]["fixity"]), (OLDER, "whole"));
    let kept = files(&next.join("history").join(OLDER));
    assert!(kept == records(&older_project()), "the records of {OLDER} are not what they were");
}

#[test]
fn the_new_bundle_is_whole_and_keeps_its_history() {
    verify(&cycle().zip).exits(0);
    let kept = files(&cycle().bag.join("data/records/history").join(OLDER));
    assert!(kept == records(&older_project()), "the records of {OLDER} are not what they were");
}

#[test]
fn the_docking_after_next_has_both_in_its_history() {
    let folder = temporary();
    let next = folder.path().join("after-next");
    start(&next, &cycle().zip);
    let names: Vec<String> =
        dockings(&next).into_iter().map(|mut row| row.remove("docking").expect("a name")).collect();
    assert_eq!(names, [OLDER, NAME]);
    assert!(files(&next.join("history").join(OLDER)) == records(&older_project()));
    assert!(files(&next.join("history").join(NAME)) == records(&cycle().next));
}

#[test]
fn what_was_carried_over_says_from_where() {
    let folder = temporary();
    let next = folder.path().join("next");
    start(&next, &older_zip());
    for file in [
        "plan/openings.csv",
        "plan/blocks.csv",
        "plan/layers.csv",
        "landing/hydrostatics.csv",
        "coating/scheme.csv",
    ] {
        let rows = |project: &Path| -> Vec<BTreeMap<String, String>> {
            let mut reader = csv::Reader::from_path(project.join(file)).expect("a file of records");
            reader.deserialize().map(|row| row.expect("a row")).collect()
        };
        let (was, carried) = (rows(&older_project()), rows(&next));
        assert_eq!(was.len(), carried.len(), "{file}");
        assert!(carried.iter().all(|row| row["note_carried"] == OLDER), "{file}");
    }
    let openings = fs::read_to_string(next.join("plan/openings.csv")).expect("the openings");
    assert!(openings.contains("OB13") && !openings.contains("2006-09-08"), "{openings}");
}

#[test]
fn the_findings_of_the_history_are_in_the_bundle() {
    let path = cycle().bag.join("data/findings.json");
    let findings: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(path).expect("the findings")).expect("JSON");
    let of_history: Vec<(&str, &str)> = findings["findings"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|finding| (text(&finding["id"]), text(&finding["outcome"])))
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
}
