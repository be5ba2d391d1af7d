//! Bundles as RO-Crates: by PyPI `roc-validator` at its required level, which `crate.py` runs without a network.

use std::fs;
use std::path::{Path, PathBuf};

use tempfile::TempDir;

use crate::bag::supplement;
use crate::common::archived::{archived, bare};
use crate::common::{Project, Said, closed, closeout, copy, run, temporary, unpack};
use crate::judge::judge;

fn validate(data: &[PathBuf]) -> Said {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/crate.py");
    run(judge("python").arg(script).args(data))
}

/// The payload's folder of a project's bundle.
fn data(project: &Project, name: &str) -> PathBuf {
    let said = closeout(&project.root(), &project.out());
    assert!([0, 3].contains(&said.status), "{}", said.err);
    let zip = project.out().join(format!("{name}.zip"));
    unpack(&zip, &project.out().join("unpacked")).join("data")
}

#[test]
#[ignore = "needs the PyPI packages roc-validator and rocrate, see tests/outside/README.md"]
fn the_sample_a_bare_project_a_full_one_and_a_supplement_are_ro_crates() {
    let (bare, full, room) = (bare(), archived(), temporary());
    let all = [
        closed().folder.join("data"),
        data(&bare, "sorrel-pike-2033"),
        data(&full, "thistle-quill-2029"),
        supplement(room.path()).join("data"),
    ];
    let said = validate(&all).exits(0);
    let judged: Vec<&str> = said.out.lines().filter(|line| line.contains(" checks, ")).collect();
    assert_eq!(judged.len(), 4, "{}", said.out);
    assert!(judged.iter().all(|line| !line.contains(": 0 checks")), "{}", said.out);
}

/// A copy of a payload that a test may spoil.
fn spoilt(old: &str, new: &str) -> (TempDir, PathBuf) {
    let keep = temporary();
    let data = keep.path().join("data");
    copy(&closed().folder.join("data"), &data);
    let path = data.join("ro-crate-metadata.json");
    let text = fs::read_to_string(&path).expect("the metadata");
    assert!(text.contains(old), "{old:?} is not there");
    fs::write(path, text.replacen(old, new, 1)).expect("to write it");
    (keep, data)
}

#[test]
#[ignore = "needs the PyPI packages roc-validator and rocrate, see tests/outside/README.md"]
fn what_is_spoilt_is_seen() {
    for (old, new) in [
        ("\"license\"", "\"licence\""),
        ("\"datePublished\": \"2031-05-16\"", "\"datePublished\": \"last May\""),
        (
            "\"@id\": \"papers/afloat.png\",\n      \"@type\"",
            "\"@id\": \"papers/gone.png\",\n      \"@type\"",
        ),
    ] {
        let (_keep, data) = spoilt(old, new);
        assert_ne!(validate(&[data]).status, 0, "{old}");
    }
}
