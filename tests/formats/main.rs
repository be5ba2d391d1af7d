//! A bundle of every version of the format that was ever released stays readable: the golden bundles of
//! this folder are verified for ever, and one of each kind of damage says exactly what verify must say.
//!
//! `thistle-quill-2029.zip` is version 1, written from `project/` by the program as it was then. A golden
//! bundle is never written anew once its version is released; a new version gets a new one.

#[path = "../common/mod.rs"]
mod common;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use common::{Said, files, temporary, verify};
use lastdock::bundle::{bag, digest, layout, version};
use tempfile::TempDir;

const GOLDEN: &str = "thistle-quill-2029";

/// The seal of the golden bundle of version 1, as it was when it was written.
const SEAL: &str = include_str!("thistle-quill-2029-seal.hex");

fn golden() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/formats/{GOLDEN}.zip"))
}

/// The golden bundle unpacked, for a test to damage.
fn unpacked() -> (TempDir, PathBuf) {
    let folder = temporary();
    let file = fs::File::open(golden()).expect("the golden bundle");
    zip::ZipArchive::new(file).expect("a zip").extract(folder.path()).expect("to unpack");
    let bag = folder.path().join(GOLDEN);
    (folder, bag)
}

/// A copy of the golden zip with its bytes changed.
fn zip_with(change: impl Fn(&mut Vec<u8>)) -> (TempDir, PathBuf) {
    let folder = temporary();
    let path = folder.path().join(format!("{GOLDEN}.zip"));
    let mut bytes = fs::read(golden()).expect("the golden bundle");
    change(&mut bytes);
    fs::write(&path, bytes).expect("to write it");
    (folder, path)
}

fn edit(bag: &Path, path: &str, old: &str, new: &str) {
    let text = fs::read_to_string(bag.join(path)).expect("a text");
    assert!(text.contains(old), "{old:?} is not in {path}");
    fs::write(bag.join(path), text.replacen(old, new, 1)).expect("to write it");
}

/// Writes manifests anew, as someone would who hides a change.
fn list_anew(bag: &Path) {
    let of = |payload: bool| -> BTreeMap<_, _> {
        files(bag)
            .into_iter()
            .filter(|(path, _)| path.starts_with(layout::DATA) == payload)
            .filter(|(path, _)| !path.starts_with("tagmanifest"))
            .map(|(path, bytes)| (path, digest::of(&bytes)))
            .collect()
    };
    for (which, name) in layout::MANIFESTS.iter().enumerate() {
        fs::write(bag.join(name), bag::manifest(&of(true), which)).expect("a manifest");
    }
    list_tags_anew(bag, &of(false));
}

fn list_tags_anew(bag: &Path, tags: &BTreeMap<String, digest::Digests>) {
    // The payload manifests have just been written: their digests are taken from what stands there.
    let mut tags = tags.clone();
    for name in layout::MANIFESTS {
        tags.insert(name.to_string(), digest::of(&fs::read(bag.join(name)).expect("a manifest")));
    }
    for (which, name) in layout::TAG_MANIFESTS.iter().enumerate() {
        fs::write(bag.join(name), bag::manifest(&tags, which)).expect("a tag manifest");
    }
}

fn tags(bag: &Path) -> BTreeMap<String, digest::Digests> {
    files(bag)
        .into_iter()
        .filter(|(path, _)| !path.starts_with(layout::DATA) && !path.starts_with("tagmanifest"))
        .map(|(path, bytes)| (path, digest::of(&bytes)))
        .collect()
}

#[track_caller]
fn says(said: Said, wanted: &str) {
    let squeezed = common::squeezed(wanted);
    assert!(said.squeezed().contains(&squeezed), "{wanted:?} is not in\n{}{}", said.out, said.err);
}

#[test]
fn the_golden_bundle_of_version_1_is_whole_and_recomputes() {
    let mut command = common::program();
    let said = common::run(command.arg("verify").arg(golden()).args(["--seal", SEAL.trim()]));
    let said = said.exits(0);
    assert!(said.out.contains("it is the seal given"), "{}", said.out);
    says(said, "findings come out of the records as they stand in the bundle");
    let (_keep, bag) = unpacked();
    verify(&bag).exits(0);
}

#[test]
fn every_version_that_is_read_has_its_golden_bundle() {
    assert_eq!((version::OLDEST_READABLE, version::NEWEST_READABLE, version::WRITTEN), (1, 1, 1));
}

#[test]
fn a_byte_changed() {
    let mut archive =
        zip::ZipArchive::new(fs::File::open(golden()).expect("a file")).expect("a zip");
    let name = format!("{GOLDEN}/data/records/plan/blocks.csv");
    let start = archive.by_name(&name).expect("it").data_start().expect("an offset") as usize;
    let (_keep, zip) = zip_with(|bytes| bytes[start + 20] ^= 1);
    says(verify(&zip).exits(3), "data/records/plan/blocks.csv: changed");
}

#[test]
fn a_file_missing() {
    let (_keep, bag) = unpacked();
    fs::remove_file(bag.join("data/papers/note.txt")).expect("to remove it");
    says(verify(&bag).exits(3), "data/papers/note.txt: missing");
}

#[test]
fn a_file_added() {
    let (_keep, bag) = unpacked();
    fs::write(bag.join("data/papers/more.txt"), "more\n").expect("to add it");
    says(verify(&bag).exits(3), "data/papers/more.txt: not listed");
}

#[test]
fn a_manifest_line_removed() {
    let (_keep, bag) = unpacked();
    let manifest = bag.join(layout::MANIFESTS[0]);
    let text = fs::read_to_string(&manifest).expect("a manifest");
    let kept: String =
        text.split_inclusive('\n').filter(|line| !line.contains("note.txt")).collect();
    fs::write(&manifest, kept).expect("to write it");
    let said = verify(&bag).exits(3);
    assert!(said.out.contains("data/papers/note.txt: not listed"), "{}", said.out);
    says(said, "manifest-sha256.txt: changed");
}

#[test]
fn the_manifest_of_the_tag_files_wrong() {
    let (_keep, bag) = unpacked();
    let digest = &tags(&bag)["bag-info.txt"].hex[0];
    edit(&bag, layout::TAG_MANIFESTS[0], digest, &"0".repeat(64));
    says(verify(&bag).exits(3), "bag-info.txt: changed");
}

#[test]
fn the_zip_truncated_and_the_central_directory_lost() {
    let (_keep, zip) = zip_with(|bytes| bytes.truncate(bytes.len() / 2));
    says(verify(&zip).exits(1), "can't be read as a zip");
    let (_keep, zip) = zip_with(|bytes| {
        let directory = b"PK\x01\x02";
        let at = bytes.windows(4).position(|four| four == directory).expect("a directory");
        bytes.truncate(at);
    });
    says(verify(&zip).exits(1), "can't be read as a zip");
}

#[test]
fn a_wrong_oxum() {
    let (_keep, bag) = unpacked();
    edit(&bag, layout::BAG_INFO, "Payload-Oxum: ", "Payload-Oxum: 9");
    list_tags_anew(&bag, &tags(&bag));
    says(verify(&bag).exits(3), "Payload-Oxum says 9");
}

#[test]
fn a_finding_edited() {
    let (_keep, bag) = unpacked();
    edit(&bag, layout::FINDINGS_JSON, "\"outcome\": \"agrees\"", "\"outcome\": \"differs\"");
    let (without, _) = (verify(&bag).exits(3), ());
    assert!(without.out.contains("data/findings.json: changed"), "{}", without.out);
    list_anew(&bag);
    says(verify(&bag).exits(3), "the bundle says \"differs\", its records give \"agrees\"");
}

#[test]
fn a_record_edited_with_manifests_redone() {
    let (_keep, bag) = unpacked();
    edit(&bag, "data/records/plan/blocks.csv", "K3,keel,12.00", "K3,keel,12.40");
    list_anew(&bag);
    says(verify(&bag).exits(3), "its records give");
}

#[test]
fn a_newer_version_is_refused_by_its_number() {
    let (_keep, bag) = unpacked();
    let label = version::LABEL;
    edit(&bag, layout::BAG_INFO, &format!("{label}: 1"), &format!("{label}: 2"));
    list_tags_anew(&bag, &tags(&bag));
    says(verify(&bag).exits(1), "has format 2, and this program reads formats 1 to 1");
    edit(&bag, layout::BAG_INFO, &format!("{label}: 2\n"), "");
    list_tags_anew(&bag, &tags(&bag));
    says(verify(&bag).exits(3), "bag-info.txt does not state the format");
}
