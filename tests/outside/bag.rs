//! The bag: RFC 8493 (BagIt 1.0), by the PyPI package `bagit`, and by ourselves where it does not look.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use crate::common::{closed, files, run, unpacked_copy};
use crate::judge::{content, judge};

fn bagit(bag: &Path) -> Command {
    let mut command = judge("bagit.py");
    command.arg("--validate").arg(bag);
    command
}

#[test]
#[ignore = "needs the PyPI package bagit, see tests/outside/README.md"]
fn bagit_accepts_the_bundle() {
    let said = content(&mut bagit(&closed().folder));
    assert!(said.err.contains("is valid"), "{}", said.err);
}

#[test]
#[ignore = "needs the PyPI package bagit, see tests/outside/README.md"]
fn bagit_rejects_a_changed_byte() {
    let (_keep, bag) = unpacked_copy();
    let path = bag.join("data/records/plan/blocks.csv");
    let mut bytes = fs::read(&path).expect("a record");
    bytes[100] ^= 1;
    fs::write(&path, bytes).expect("to write it");
    let said = run(&mut bagit(&bag)).exits(1);
    assert!(said.err.contains("data/records/plan/blocks.csv"), "{}", said.err);
}

fn text(name: &str) -> String {
    fs::read_to_string(closed().folder.join(name)).expect("a tag file in UTF-8")
}

/// RFC 8493 section 2.1.1: exactly two lines, in this order. `bagit` accepts any order.
#[test]
fn the_declaration_has_its_two_lines_in_order() {
    assert_eq!(text("bagit.txt"), "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n");
}

/// RFC 8493 sections 2.1.3 and 2.2.1: every payload file in every payload manifest; every tag file but
/// the tag manifests in every tag manifest. `bagit` accepts a file that one of two manifests lacks.
#[test]
fn every_manifest_lists_every_file_once() {
    let all: Vec<String> = files(&closed().folder).into_iter().map(|(path, _)| path).collect();
    for (digits, sha) in [(64, "sha256"), (128, "sha512")] {
        let listed = |manifest: String| -> BTreeSet<String> {
            let text = text(&manifest);
            assert!(text.ends_with('\n') && !text.contains('\r') && !text.starts_with('\u{feff}'));
            let paths: Vec<String> = text
                .lines()
                .map(|line| {
                    let (digest, path) = line.split_once("  ").expect("a digest and a path");
                    assert!(digest.len() == digits, "{line}");
                    assert!(
                        digest.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')),
                        "{line}"
                    );
                    path.to_string()
                })
                .collect();
            let set: BTreeSet<String> = paths.iter().cloned().collect();
            assert_eq!(set.len(), paths.len(), "{manifest} lists a file twice");
            set
        };
        let (payload, tags): (BTreeSet<String>, BTreeSet<String>) =
            all.iter().cloned().partition(|path| path.starts_with("data/"));
        let tags = tags.into_iter().filter(|path| !path.starts_with("tagmanifest")).collect();
        assert_eq!(listed(format!("manifest-{sha}.txt")), payload);
        assert_eq!(listed(format!("tagmanifest-{sha}.txt")), tags);
    }
}

/// RFC 8493 section 2.2.2: the labels that the bundle fills, and the Oxum counted anew.
#[test]
fn the_metadata_is_right() {
    let info = text("bag-info.txt");
    let value = |label: &str| {
        let line = info.lines().find_map(|line| line.strip_prefix(&format!("{label}: ")));
        line.unwrap_or_else(|| panic!("no {label} in\n{info}"))
    };
    let payload = files(&closed().folder.join("data"));
    let bytes: usize = payload.iter().map(|(_, bytes)| bytes.len()).sum();
    assert_eq!(value("Payload-Oxum"), format!("{bytes}.{}", payload.len()));
    assert_eq!(value("Bagging-Date"), "2031-05-16", "the day of the record, not of the clock");
    assert_eq!(value("Source-Organization"), "Calder Wren Preservation Society");
    assert_eq!(value("External-Identifier"), "calder-wren-2031");
}

/// What README.txt tells a reader without the program to do, done: GNU coreutils.
#[cfg(unix)]
#[test]
#[ignore = "needs GNU coreutils, see tests/outside/README.md"]
fn common_tools_check_the_bundle_as_its_readme_says() {
    for (tool, manifest) in [
        ("sha256sum", "manifest-sha256.txt"),
        ("sha512sum", "manifest-sha512.txt"),
        ("sha256sum", "tagmanifest-sha256.txt"),
    ] {
        let mut command = Command::new(tool);
        content(
            command
                .args(["--check", "--strict", "--quiet", manifest])
                .current_dir(&closed().folder),
        );
    }
}
