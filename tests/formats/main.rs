//! A bundle of every version of the format that was ever released stays readable: the golden bundles of
//! this folder are verified for ever, and one of each kind of damage says exactly what verify must say.
//!
//! `thistle-quill-2029.zip` is version 1, written from `project/` by the program as it was then. A golden
//! bundle is never written anew once its version is released; a new version gets a new one.

#[path = "../common/mod.rs"]
mod common;
mod damage;

use common::{Said, list_tags_anew, verify};
use damage::{KINDS, edit, golden, truncated, unpacked, without_directory, zip_with};
use lastdock::bundle::{layout, version};

/// The seal of the golden bundle of version 1, as it was when it was written.
const SEAL: &str = include_str!("thistle-quill-2029-seal.hex");

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
fn every_kind_of_damage_is_named() {
    for kind in KINDS {
        let (_keep, bag) = unpacked();
        (kind.to)(&bag);
        let said = verify(&bag).exits(3).squeezed();
        for wanted in kind.says {
            let wanted = common::squeezed(wanted);
            assert!(said.contains(&wanted), "{}: {wanted:?} is not in\n{said}", kind.what);
        }
    }
}

#[test]
fn the_zip_truncated_and_the_central_directory_lost() {
    for change in [truncated, without_directory] {
        let (_keep, zip) = zip_with(change);
        says(verify(&zip).exits(1), "can't be read as a zip");
    }
}

#[test]
fn a_newer_version_is_refused_by_its_number() {
    let (_keep, bag) = unpacked();
    let label = version::LABEL;
    edit(&bag, layout::BAG_INFO, &format!("{label}: 1"), &format!("{label}: 2"));
    list_tags_anew(&bag);
    says(verify(&bag).exits(1), "has format 2, and this program reads formats 1 to 1");
    edit(&bag, layout::BAG_INFO, &format!("{label}: 2\n"), "");
    list_tags_anew(&bag);
    says(verify(&bag).exits(3), "bag-info.txt does not state the format");
}
