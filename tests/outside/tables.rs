//! The tables and their description: by the PyPI packages `csvw` (W3C CSV on the Web), `frictionless`
//! (through a data package that `tables.py` makes from our own metadata) and `jsonschema` (the findings
//! against their schema).

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;
use tempfile::TempDir;

use crate::common::{Said, closed, copy, run, temporary};
use crate::judge::{content, judge};

/// A copy of a bundle's data folder that a test may spoil.
fn data() -> (TempDir, PathBuf) {
    let folder = temporary();
    let data = folder.path().join("data");
    copy(&closed().folder.join("data/tables"), &data.join("tables"));
    for name in ["findings.csv", "findings.json", "findings.schema.json"] {
        fs::copy(closed().folder.join("data").join(name), data.join(name)).expect("a copy");
    }
    (folder, data)
}

fn csvw(data: &Path) -> Said {
    run(judge("csvwvalidate").arg("-v").arg(data.join("tables/csv-metadata.json")))
}

fn frictionless(data: &Path) -> Said {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/tables.py");
    let made = content(judge("python").arg(script).arg(data));
    assert!(made.out.contains("references"), "{}", made.out);
    run(judge("frictionless").arg("validate").arg(data.join("datapackage.json")))
}

/// Replaces the first place where `old` stands in a file.
fn spoil(path: &Path, old: &str, new: &str) {
    let text = fs::read_to_string(path).expect("a file");
    assert!(text.contains(old), "{old:?} is not in {}", path.display());
    fs::write(path, text.replacen(old, new, 1)).expect("to write it");
}

/// What is spoilt, a file below `tables/`, what stands in it, and what is put there instead.
const SPOILT: [(&str, &str, &str, &str); 6] = [
    ("a word for a number", "plan-openings.csv", ",39.4,", ",amidships,"),
    ("a reference that meets nothing", "positions-marks.csv", ",P1,", ",P9,"),
    ("an id given twice", "plan-blocks.csv", ",K2,", ",K1,"),
    ("a word that is not allowed", "plan-blocks.csv", ",keel,", ",kell,"),
    ("a time without its offset", "landing-water.csv", "+01:00,", ","),
    ("a finding without an outcome", "../findings.csv", ",agrees,", ",,"),
];

#[test]
#[ignore = "needs the PyPI package csvw, see tests/outside/README.md"]
fn csvw_accepts_the_tables() {
    let said = csvw(&data().1).exits(0);
    assert!(!said.out.to_lowercase().contains("fail"), "{}", said.out);
}

#[test]
#[ignore = "needs the PyPI package csvw, see tests/outside/README.md"]
fn csvw_rejects_what_is_spoilt() {
    for (what, file, old, new) in SPOILT {
        let (_keep, data) = data();
        spoil(&data.join("tables").join(file), old, new);
        let said = csvw(&data);
        // It takes a time without an offset for a dateTimeStamp; frictionless does not.
        assert_eq!(said.status == 0, what == "a time without its offset", "{what}:\n{}", said.out);
    }
}

#[test]
#[ignore = "needs the PyPI package frictionless, see tests/outside/README.md"]
fn frictionless_accepts_the_tables() {
    frictionless(&data().1).exits(0);
}

#[test]
#[ignore = "needs the PyPI package frictionless, see tests/outside/README.md"]
fn frictionless_rejects_what_is_spoilt() {
    for (what, file, old, new) in SPOILT {
        let (_keep, data) = data();
        spoil(&data.join("tables").join(file), old, new);
        assert_ne!(frictionless(&data).status, 0, "{what}");
    }
}

#[test]
#[ignore = "needs the PyPI package jsonschema, see tests/outside/README.md"]
fn jsonschema_accepts_the_findings_and_rejects_spoilt_ones() {
    let (_keep, data) = data();
    let is_valid = || {
        let mut command = judge("python");
        command.args(["-W", "ignore", "-m", "jsonschema", "-i"]);
        run(command.arg(data.join("findings.json")).arg(data.join("findings.schema.json"))).status
            == 0
    };
    assert!(is_valid());
    let bytes = fs::read(data.join("findings.json")).expect("a file");
    let findings: Value = serde_json::from_slice(&bytes).expect("JSON");
    let list = findings["findings"].as_array().expect("findings");
    let with = list.iter().position(|finding| finding["records"][0]["line"].is_u64());
    let with = with.expect("a finding with a record");
    let rejects = |edit: &dyn Fn(&mut Value)| {
        let mut copy = findings.clone();
        edit(&mut copy);
        assert_ne!(copy, findings);
        fs::write(data.join("findings.json"), copy.to_string()).expect("to write it");
        assert!(!is_valid());
    };
    rejects(&|copy| copy["format"] = 2.into());
    rejects(&|copy| copy["counts"]["agrees"] = (-1).into());
    rejects(&|copy| copy["findings"][0]["outcome"] = "perhaps".into());
    rejects(&|copy| copy["findings"][0]["more"] = "x".into());
    rejects(&|copy| copy["findings"][with]["records"][0]["line"] = 0.into());
    rejects(&|copy| {
        copy["findings"][0]["recorded"] = serde_json::json!({"value": 1, "unit": "furlong"});
    });
    rejects(&|copy| {
        copy["findings"][0].as_object_mut().expect("an object").remove("sentence");
    });
}
