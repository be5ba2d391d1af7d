//! Every judge on packages other than the sample's: a bundle of each earlier format as it was frozen, one with hardly
//! anything in it, one whose `[archive]` is filled in, and a supplement.

use std::fs;
use std::path::{Path, PathBuf};

use tempfile::TempDir;

use crate::bag::{bagit, bagit_utils, supplement};
use crate::common::archived::{archived, bare};
use crate::common::{Project, SMALL, closeout_command, run, temporary, unpack};
use crate::judge::{conformance, content, judge};

/// Frozen bundles, unpacked, by the version that wrote them.
fn frozen(room: &Path) -> Vec<(String, PathBuf)> {
    let formats = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/formats");
    let entries = fs::read_dir(formats).expect("the frozen bundles");
    let entries = entries.map(|entry| entry.expect("a folder").path());
    let mut found: Vec<(String, PathBuf)> = entries
        .filter(|at| at.join(format!("{SMALL}.zip")).is_file())
        .map(|at| {
            let version = at.file_name().expect("a name").to_string_lossy().into_owned();
            let bag = unpack(&at.join(format!("{SMALL}.zip")), &room.join(&version));
            (version, bag)
        })
        .collect();
    found.sort();
    assert!(found.len() >= 9, "{found:?}");
    found
}

/// A project's bundle, unpacked.
fn made(project: &Project, name: &str, room: &Path) -> PathBuf {
    let out = room.join(format!("out-{name}"));
    let status = run(&mut closeout_command(&project.root(), &out)).status;
    assert!([0, 3].contains(&status), "{name}: {status}");
    unpack(&out.join(format!("{name}.zip")), &room.join(name))
}

fn bundles() -> (TempDir, Vec<(String, PathBuf)>) {
    let room = temporary();
    let mut all = frozen(room.path());
    all.push(("bare".to_string(), made(&bare(), "sorrel-pike-2033", room.path())));
    let full = archived();
    // In a manifest its name has %25 for the per cent sign (RFC 8493, 2.1.3), which `bagit` does not read back.
    fs::remove_file(full.path("papers/100 % sure #1 größer.txt")).expect("to remove it");
    all.push(("archived".to_string(), made(&full, SMALL, room.path())));
    (room, all)
}

#[test]
#[ignore = "needs the PyPI packages bagit and bagit-utils, see tests/outside/README.md"]
fn each_is_a_bag() {
    let (room, mut all) = bundles();
    all.push(("supplement".to_string(), supplement(room.path())));
    for (what, bag) in &all {
        let said = content(&mut bagit(bag));
        assert!(said.err.contains("is valid"), "{what}: {}", said.err);
        content(&mut bagit_utils(bag));
    }
}

#[test]
#[ignore = "needs the PyPI packages csvw and jsonschema, see tests/outside/README.md"]
fn each_describes_its_tables_and_keeps_the_schema_of_its_findings() {
    let (_room, all) = bundles();
    for (what, bag) in &all {
        let data = bag.join("data");
        let tables = data.join("tables/csv-metadata.json");
        let said = run(judge("csvwvalidate").arg("-v").arg(tables));
        assert_eq!(said.status, 0, "{what}: {}{}", said.out, said.err);
        let mut command = judge("python");
        command.args(["-W", "ignore", "-m", "jsonschema", "-i"]);
        let said =
            run(command.arg(data.join("findings.json")).arg(data.join("findings.schema.json")));
        assert_eq!(said.status, 0, "{what}: {}{}", said.out, said.err);
    }
}

#[test]
#[ignore = "needs the PyPI package page-validation and qpdf, see tests/outside/README.md"]
fn each_report_keeps_pdf_a_and_pdf_ua() {
    let (_room, all) = bundles();
    for (what, bag) in &all {
        let said = run(conformance().arg(bag.join("data/closeout-report.pdf")));
        assert_eq!(said.status, 0, "{what}: {}{}", said.out, said.err);
    }
}
