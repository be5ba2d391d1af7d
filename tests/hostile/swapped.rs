//! What was proved is what is used: files that are something else when they are opened again. The swaps are made at
//! one moment, so that nothing here depends on who is faster: between two calls of the library, or when fixity has
//! told of the last byte that it reads.

use std::fs;
use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicU64, Ordering};

use lastdock::bundle::manifests::State;
use lastdock::bundle::mend::{self, Outcome};
use lastdock::bundle::open::{Bundle, Kept};
use lastdock::bundle::recompute::recompute;
use lastdock::bundle::verify::fixity;
use lastdock::handover::before::Before;
use lastdock::handover::blank::House;
use lastdock::handover::folder::Place;
use lastdock::handover::start::start;
use lastdock::records;
use lastdock::records::problem::Problems;
use lastdock::records::store::{Folder, Store};

use super::zips::{golden, unpacked};
use crate::common::{Zip, copy, run, sample, temporary};

const PROGRAM: &str = "lastdock 0.0.0";
const RECORD: &str = "data/records/docking.toml";

/// What a file is swapped for.
type Swap = (&'static str, fn(&Path));

const SWAPS: &[Swap] = &[
    ("a link to the same bytes", |at| {
        let other = at.with_extension("other");
        fs::rename(at, &other).expect("to move it");
        symlink(&other, at).expect("a link");
    }),
    ("a link to other bytes", |at| {
        fs::remove_file(at).expect("to remove it");
        symlink("/etc/hostname", at).expect("a link");
    }),
    ("a pipe", |at| {
        fs::remove_file(at).expect("to remove it");
        run(Command::new("mkfifo").arg(at)).exits(0);
    }),
    ("other bytes, as many", |at| {
        let mut bytes = fs::read(at).expect("its bytes");
        bytes.reverse();
        let other = at.with_extension("other");
        fs::write(&other, bytes).expect("to write it");
        fs::rename(&other, at).expect("to replace it");
    }),
    ("more bytes", |at| {
        let bytes = fs::read(at).expect("its bytes");
        fs::write(at, [&bytes[..], b"\n# more\n"].concat()).expect("to write it");
    }),
    ("nothing", |at| fs::remove_file(at).expect("to remove it")),
    ("a folder", |at| {
        fs::remove_file(at).expect("to remove it");
        fs::create_dir(at).expect("a folder");
    }),
    ("the same file in a folder that is reached by a link", |at| {
        let around = at.parent().expect("a folder");
        let other = around.with_extension("elsewhere");
        fs::rename(around, &other).expect("to move it");
        symlink(&other, around).expect("a link");
    }),
];

#[track_caller]
fn is_told<T>(told: Result<T, lastdock::bundle::error::BundleError>, what: &str) {
    let error = told.err().unwrap_or_else(|| panic!("{what}: nothing was told"));
    assert!(error.wrong.starts_with("changed while it was read"), "{what}: {error}");
}

fn bundle(at: &Path) -> Bundle {
    Bundle::open(at).expect("a bundle")
}

#[test]
fn a_file_swapped_before_recomputation_is_noticed() {
    for (what, swap) in SWAPS {
        let (_keep, bag) = unpacked();
        let bundle = bundle(&bag);
        assert!(fixity(&bundle, &|_| {}).expect("fixity").is_whole());
        swap(&bag.join(RECORD));
        recompute(&bundle, PROGRAM);
        is_told(bundle.refuse_changed(), what);
    }
}

/// As `compare` and `shifts` read a bundle.
#[test]
fn a_file_swapped_before_it_is_read_as_a_project_is_noticed() {
    for (what, swap) in SWAPS {
        for path in [RECORD, "data/papers/note.txt"] {
            let (_keep, bag) = unpacked();
            let bundle = bundle(&bag);
            fixity(&bundle, &|_| {}).expect("fixity");
            swap(&bag.join(path));
            let _ = records::read(&Kept::new(&bundle), Problems::default());
            is_told(bundle.refuse_changed(), what);
        }
    }
}

#[test]
fn a_file_swapped_between_listing_and_fixity_is_noticed() {
    for (what, swap) in SWAPS {
        let (_keep, bag) = unpacked();
        let bundle = bundle(&bag);
        swap(&bag.join(RECORD));
        match fixity(&bundle, &|_| {}) {
            // Nothing was read of it before: that it isn't what the manifests say is damage.
            Ok(fixity) => {
                assert_eq!(*what, "other bytes, as many");
                assert_eq!(fixity.files[RECORD], State::Changed);
            }
            Err(error) => is_told::<()>(Err(error), what),
        }
    }
}

/// Does something when fixity tells of the last byte.
fn at_the_end<F: Fn() + Sync>(bundle: &Bundle, done: F) -> impl Fn(u64) + Sync + use<F> {
    let left = AtomicU64::new(bundle.sizes().map(|(_, size)| size).sum());
    move |bytes| {
        if left.fetch_sub(bytes, Ordering::SeqCst) == bytes {
            done();
        }
    }
}

#[test]
fn nothing_is_started_from_what_is_swapped_once_it_was_proved() {
    for (what, swap) in SWAPS {
        let (_keep, bag) = unpacked();
        let bundle = bundle(&bag);
        let moved = at_the_end(&bundle, || swap(&bag.join(RECORD)));
        let said = Before::read(bundle, Vec::new(), PROGRAM, true, &moved);
        let errors = said.err().unwrap_or_else(|| panic!("{what}: it was taken"));
        assert!(errors[0].wrong.starts_with("changed while it was read"), "{what}: {}", errors[0]);
    }
}

#[test]
fn nothing_is_copied_that_is_swapped_once_it_was_read() {
    for (what, swap) in SWAPS {
        let (_keep, bag) = unpacked();
        let before =
            Before::read(bundle(&bag), Vec::new(), PROGRAM, false, &|_| {}).expect("it is whole");
        swap(&bag.join(RECORD));
        let room = temporary();
        let new = room.path().join("new");
        let place = Place::new(&new).expect("a place");
        let error = start(&place, Some(&before), false, House::default(), PROGRAM).expect_err(what);
        assert!(error.wrong.contains("changed while it was read"), "{what}: {error}");
        assert_eq!(fs::read_dir(room.path()).expect("a folder").count(), 0, "{what}");
    }
}

#[test]
fn a_zip_that_is_swapped_is_read_as_it_was_opened_and_one_that_is_written_to_is_told() {
    for (what, swap) in SWAPS.iter().filter(|(what, _)| *what != "more bytes") {
        let room = temporary();
        let folder = room.path().join("in");
        fs::create_dir(&folder).expect("a folder");
        let zip = folder.join("a.zip");
        fs::copy(golden(), &zip).expect("a copy");
        let bundle = bundle(&zip);
        swap(&zip);
        assert!(fixity(&bundle, &|_| {}).expect("fixity").is_whole(), "{what}");
        assert!(recompute(&bundle, PROGRAM).troubles().is_empty(), "{what}");
    }
    let room = temporary();
    let zip = room.path().join("a.zip");
    fs::copy(golden(), &zip).expect("a copy");
    let bundle = bundle(&zip);
    fixity(&bundle, &|_| {}).expect("fixity");
    let mut bytes = fs::read(&zip).expect("its bytes");
    let text = b"[ship]";
    let at = bytes.windows(text.len()).position(|found| found == text).expect("the record");
    bytes[at] = b'{';
    fs::write(&zip, bytes).expect("to write it");
    recompute(&bundle, PROGRAM);
    is_told(bundle.refuse_changed(), "written to");
}

#[test]
fn a_project_is_read_as_it_was_listed() {
    for (what, swap) in SWAPS {
        for path in ["docking.toml", "papers/specs/coating-data-sheet.txt"] {
            let room = temporary();
            let root = room.path().join("project");
            copy(&sample(), &root);
            let mut problems = Problems::default();
            let folder = Folder::open(&root, &mut problems);
            let path = match folder.sizes().contains_key(path) {
                true => path.to_string(),
                false => {
                    let mut papers =
                        folder.sizes().keys().filter(|path| path.starts_with("papers/"));
                    papers.next().expect("a paper").clone()
                }
            };
            assert!(folder.file(&path).is_ok() && folder.read(&path).is_ok());
            // The folder around a file at the top is the project's own, which may be reached by a link.
            if *what == "the same file in a folder that is reached by a link" && !path.contains('/')
            {
                continue;
            }
            swap(&root.join(&path));
            assert!(folder.file(&path).is_err(), "{what}: {path}");
            assert!(folder.read(&path).is_err(), "{what}: {path}");
            assert!(folder.part(&path, 0, 10).is_err(), "{what}: {path}");
        }
    }
}

/// Mending reads the zip several times. Whatever comes to stand in its place, nothing waits, and what comes out is the
/// bundle or an error.
#[test]
fn a_zip_that_is_swapped_while_it_is_mended_gives_the_bundle_or_an_error() {
    for (what, swap) in SWAPS.iter().filter(|(what, _)| !what.contains("reached by a link")) {
        for damaged in [false, true] {
            let zip = Zip::copied();
            if damaged {
                let mut bytes = zip.bytes.clone();
                let middle = bytes.len() / 2;
                bytes[middle] ^= 1;
                fs::write(&zip.path, bytes).expect("to damage it");
            }
            let swapped = AtomicU64::new(0);
            let moved = |_| {
                if swapped.fetch_add(1, Ordering::SeqCst) == 0 {
                    swap(&zip.path);
                }
            };
            let out: PathBuf = zip.path.with_extension("mended.zip");
            let request = mend::Request {
                bundle: &zip.path,
                out: Some(&out),
                salvage_to: None,
                also: &[],
                seal: None,
                progress: &moved,
            };
            match mend::mend(&request).map(|mending| mending.outcome) {
                Ok(Outcome::Whole(fixity)) => {
                    let same = fs::read(&zip.path).is_ok_and(|bytes| bytes == zip.bytes);
                    assert!(same || !fixity.is_whole(), "{what}");
                }
                Ok(Outcome::Mended { at, fixity, .. }) => {
                    assert!(fixity.expect("a bundle").is_whole(), "{what}");
                    assert!(fs::read(at).expect("it") == zip.bytes, "{what}");
                }
                Ok(Outcome::Beyond { .. }) | Err(_) => {}
            }
            assert!(swapped.into_inner() > 0, "{what}: it was not swapped");
        }
    }
}
