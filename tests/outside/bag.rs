//! The bag: RFC 8493 (BagIt 1.0), by the PyPI packages `bagit` and `bagit-utils`, and by ourselves where
//! they do not look.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use lastdock::bundle::bag::{DECLARATION, encoded};
use lastdock::bundle::manifests::State;
use lastdock::bundle::open::Bundle;
use lastdock::bundle::others;
use md5::{Digest, Md5};

use crate::bagged::BAGS;
use crate::common::{NAME, closed, files, program, run, temporary, unpack};
use crate::damage::{KINDS, unpacked};
use crate::judge::{content, judge};

pub fn bagit(bag: &Path) -> Command {
    let mut command = judge("bagit.py");
    command.arg("--validate").arg(bag);
    command
}

pub fn bagit_utils(bag: &Path) -> Command {
    let mut command = judge("bagit");
    command.arg("validate").arg("-i").arg(bag);
    command
}

/// A supplement to the sample's bundle, unpacked in a folder.
pub fn supplement(room: &Path) -> PathBuf {
    let at = room.join("found-since");
    let seal = || run(program().arg("supplement").arg(&closed().zip).arg(&at));
    seal().exits(0);
    let form = at.join("supplement.toml");
    let text = fs::read_to_string(&form).expect("the form");
    let text = text
        .replace("made_by = \"\"", "made_by = \"N. Harrowgate\"")
        .replace("# made_on", "made_on")
        .replace("about = \"\"", "about = \"a letter that was found\"");
    fs::write(form, text).expect("to write it");
    fs::write(at.join("papers/half of it.txt"), "a letter\n").expect("a paper");
    seal().exits(0);
    unpack(&room.join(format!("found-since-sealed/{NAME}-s1.zip")), room)
}

#[test]
#[ignore = "needs the PyPI packages bagit and bagit-utils, see tests/outside/README.md"]
fn both_judges_accept_every_bundle_that_is_whole() {
    let (_keep, golden) = unpacked();
    let room = temporary();
    let supplement = supplement(room.path());
    for bag in [&closed().folder, &golden, &supplement] {
        let said = content(&mut bagit(bag));
        assert!(said.err.contains("is valid"), "{}", said.err);
        content(&mut bagit_utils(bag));
    }
}

#[test]
#[ignore = "needs the PyPI packages bagit and bagit-utils, see tests/outside/README.md"]
fn each_judge_rejects_every_damage_that_it_can_see() {
    for kind in KINDS {
        let (_keep, bag) = unpacked();
        (kind.to)(&bag);
        for (name, mut judge, sees) in [
            ("bagit", bagit(&bag), kind.bagit_sees),
            ("bagit-utils", bagit_utils(&bag), kind.bagit_utils_sees),
        ] {
            let said = run(&mut judge);
            let all = format!("{}: {name} said\n{}{}", kind.what, said.out, said.err);
            assert_eq!(said.status != 0, sees, "{all}");
        }
    }
}

/// Of bags that others made, what is called sound here is called valid there, and the other way round.
#[test]
#[ignore = "needs the PyPI package bagit, see tests/outside/README.md"]
fn bagit_judges_bags_of_others_alike() {
    let mut differ = Vec::new();
    for case in BAGS {
        let room = temporary();
        let bag = room.path().join("bag");
        (case.make)(&bag);
        let ours = others::judge(&Bundle::open(&bag).expect("a bag"), &|_| {});
        assert_eq!(ours.is_sound(), case.sound, "{}: {ours:?}", case.what);
        let said = run(&mut bagit(&bag));
        if case.judge_agrees.is_some_and(|agrees| agrees != ((said.status == 0) == case.sound)) {
            differ.push(format!("{}: {}{}", case.what, said.out, said.err));
        }
    }
    assert!(differ.is_empty(), "{}", differ.join("\n"));
}

/// The two example bags of RFC 8493, section 4, written out. The RFC leaves out what their files hold and
/// uses MD5 "for brevity"; here their files hold a few bytes, and the manifests are of those.
fn example(name: &str, payload: &[(&str, &str)], tags: &[(&str, &str)], sha_512: bool) -> Example {
    let folder = temporary();
    let example = Example { bag: folder.path().join(name), _keep: folder, sha_512 };
    payload.iter().chain(tags).for_each(|(path, text)| example.write(path, text));
    example.write("bagit.txt", DECLARATION);
    example.list("manifest", &payload.iter().map(|(path, _)| *path).collect::<Vec<_>>());
    example
}

struct Example {
    _keep: tempfile::TempDir,
    bag: PathBuf,
    sha_512: bool,
}

impl Example {
    fn write(&self, path: &str, text: &str) {
        let at = self.bag.join(path);
        fs::create_dir_all(at.parent().expect("a folder")).expect("a folder");
        fs::write(at, text).expect("to write it");
    }

    /// Writes a manifest of files that are there; the result is its name.
    fn list(&self, kind: &str, paths: &[&str]) -> String {
        let digest = |path: &&str| -> String {
            let bytes = fs::read(self.bag.join(path)).expect("a file");
            let digest = if self.sha_512 {
                lastdock::bundle::digest::digests(&bytes).hex[1].clone()
            } else {
                Md5::digest(&bytes).iter().map(|byte| format!("{byte:02x}")).collect()
            };
            format!("{digest} {}\n", encoded(path))
        };
        let name = format!("{kind}-{}.txt", if self.sha_512 { "sha512" } else { "md5" });
        self.write(&name, &paths.iter().map(digest).collect::<String>());
        name
    }

    /// `bagit-utils` refuses tag files that no tag manifest lists, though the RFC wants none: it gets one.
    fn with_its_tags_listed(&self) -> &Path {
        let manifest = format!("manifest-{}.txt", if self.sha_512 { "sha512" } else { "md5" });
        let all = ["bagit.txt", "bag-info.txt", "fetch.txt", &manifest];
        let there: Vec<&str> =
            all.into_iter().filter(|path| self.bag.join(path).exists()).collect();
        self.list("tagmanifest", &there);
        &self.bag
    }
}

/// Section 4.1: an image and what was read from it, complete and valid.
fn basic(sha_512: bool) -> Example {
    const PAYLOAD: [(&str, &str); 2] = [
        ("data/27613-h/images/q172.png", "image bytes"),
        ("data/27613-h/images/q172.txt", "OCR text"),
    ];
    example("myfirstbag", &PAYLOAD, &[], sha_512)
}

/// Section 4.2: a bag whose one file is still to be fetched, and which is therefore not complete.
fn to_be_fetched(sha_512: bool) -> Example {
    let tags = [
        (
            "fetch.txt",
            "https://cdn.loc.gov/master/pnp/highsm/23300/23364a.tif 216951362 data/23364a.tif\n",
        ),
        (
            "bag-info.txt",
            "Internal-Sender-Description: Download link found at\n \
             https://www.loc.gov/resource/highsm.23364/\n",
        ),
    ];
    let example = example("highsmith-tahoe", &[("data/23364a.tif", "image")], &tags, sha_512);
    fs::remove_file(example.bag.join("data/23364a.tif")).expect("to leave it out");
    example
}

#[test]
#[ignore = "needs the PyPI packages bagit and bagit-utils, see tests/outside/README.md"]
fn both_judges_take_the_examples_of_the_rfc_as_it_says() {
    for sha_512 in [false, true] {
        let (valid, incomplete) = (basic(sha_512), to_be_fetched(sha_512));
        content(&mut bagit(&valid.bag));
        content(&mut bagit_utils(valid.with_its_tags_listed()));
        assert_ne!(run(&mut bagit(&incomplete.bag)).status, 0);
        assert_ne!(run(&mut bagit_utils(incomplete.with_its_tags_listed())).status, 0);
    }
}

/// The program takes them so too.
#[test]
fn the_examples_of_the_rfc_are_taken_as_it_says() {
    let states = |bag: &Path| -> Vec<(String, State)> {
        let bundle = Bundle::open(bag).expect("a bag");
        let found = others::judge(&bundle, &|_| {});
        found.files.into_iter().filter(|(path, _)| path.starts_with("data/")).collect()
    };
    let all = |states: Vec<(String, State)>, wanted: State| {
        assert!(!states.is_empty());
        for (path, state) in states {
            assert_eq!(state, wanted, "{path}");
        }
    };
    all(states(&basic(true).bag), State::Whole);
    all(states(&to_be_fetched(true).bag), State::Missing);
    all(states(&basic(false).bag), State::Whole);
    all(states(&to_be_fetched(false).bag), State::Missing);
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
    assert_eq!(value("External-Identifier"), "CWPS D-2031");
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
