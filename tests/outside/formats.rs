//! Formats by name, against the copy of PRONOM that PyPI `opf-fido` brings (signature file 109): every identifier and
//! name that the program knows, and every file of bundles as that program identifies it. Licences by name, against the
//! list of SPDX in PyPI `packaging`.

use std::fs;

use lastdock::bundle::formats::REGISTERED;
use lastdock::records::archive::{CC_CONDITIONS, CC_VERSIONS, SPDX_IDS};

use crate::common::archived::archived;
use crate::common::{closed, closeout, run, unpack};
use crate::judge::judge;

const SCRIPT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/outside/formats.py");

#[test]
#[ignore = "needs the PyPI package opf-fido, see tests/outside/README.md"]
fn identifiers_and_names_are_those_of_the_registry() {
    let mut command = judge("python");
    command.arg(SCRIPT).arg("names");
    for entry in REGISTERED {
        command.arg(format!("{}={}", entry.address, entry.name));
    }
    let said = run(&mut command).exits(0);
    assert!(said.out.contains(&format!("{} entries", REGISTERED.len())), "{}", said.out);
    // It sees a wrong one.
    let mut wrong = judge("python");
    wrong.arg(SCRIPT).arg("names").arg(format!("{}={}", REGISTERED[0].address, REGISTERED[1].name));
    assert_ne!(run(&mut wrong).status, 0);
}

#[test]
#[ignore = "needs the PyPI package packaging, see tests/outside/README.md"]
fn licences_are_those_of_the_spdx_list() {
    let numbered = CC_CONDITIONS.iter().flat_map(|conditions| {
        CC_VERSIONS.iter().map(move |version| format!("CC-{conditions}-{version}"))
    });
    let all: Vec<String> = numbered.chain(SPDX_IDS.iter().map(ToString::to_string)).collect();
    run(judge("python").arg(SCRIPT).arg("licences").args(&all)).exits(0);
    assert_ne!(run(judge("python").arg(SCRIPT).args(["licences", "CC-BY"])).status, 0);
}

/// A file that Pillow, openpyxl or Python's library made: its name, its kind, and its bytes.
type Row = (String, String, Option<(u32, u32)>, Option<String>, String);

#[test]
#[ignore = "needs the PyPI package opf-fido, see tests/outside/README.md"]
fn files_of_bundles_are_identified_alike() {
    let project = archived();
    let rows: Vec<Row> = serde_json::from_str(include_str!("papers.json")).expect("rows of five");
    for (name, _, _, _, hex) in &rows {
        let bytes: Vec<u8> = (0..hex.len())
            .step_by(2)
            .map(|at| u8::from_str_radix(&hex[at..at + 2], 16).expect("two digits"))
            .collect();
        fs::write(project.path(&format!("papers/{name}")), bytes).expect("to write it");
    }
    let said = closeout(&project.root(), &project.out());
    assert!([0, 3].contains(&said.status), "{}", said.err);
    let zip = project.out().join("thistle-quill-2029.zip");
    let papers = unpack(&zip, &project.out().join("unpacked")).join("data");
    for (data, least) in [(closed().folder.join("data"), 100), (papers, 60)] {
        let said = run(judge("python").arg(SCRIPT).arg("files").arg(data)).exits(0);
        let count = said.out.lines().last().and_then(|line| line.split(' ').next()?.parse().ok());
        assert!(count.is_some_and(|count: usize| count >= least), "{}", said.out);
    }
}
