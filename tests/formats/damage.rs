//! The golden bundles, and one way of damaging it for each kind of damage: used by the tests
//! that say exactly what `verify` must say, and by those that hold other people's judges against it.

// Each test target uses its own part of it.
#![allow(dead_code)]

use std::fs;
use std::path::{Path, PathBuf};

use lastdock::bundle::layout;
use tempfile::TempDir;

use crate::common::{list_anew, list_tags_anew, tags, temporary};

/// The name of each.
pub const GOLDEN: &str = "thistle-quill-2029";

/// The versions of the program that wrote them, the oldest first, and their seals as they were then.
pub const WRITTEN_BY: &[(&str, &str)] = &[
    ("0.1.0", include_str!("0.1.0/thistle-quill-2029-seal.hex")),
    ("0.2.0", include_str!("0.2.0/thistle-quill-2029-seal.hex")),
    ("0.3.0", include_str!("0.3.0/thistle-quill-2029-seal.hex")),
    ("0.4.0", include_str!("0.4.0/thistle-quill-2029-seal.hex")),
    ("0.5.0", include_str!("0.5.0/thistle-quill-2029-seal.hex")),
    ("0.6.0", include_str!("0.6.0/thistle-quill-2029-seal.hex")),
    ("0.7.0", include_str!("0.7.0/thistle-quill-2029-seal.hex")),
    ("0.8.0", include_str!("0.8.0/thistle-quill-2029-seal.hex")),
    ("0.9.0", include_str!("0.9.0/thistle-quill-2029-seal.hex")),
];

/// Where the one that a version wrote is.
pub fn golden_of(version: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/formats/{version}/{GOLDEN}.zip"))
}

/// The newest.
pub fn golden() -> PathBuf {
    golden_of(WRITTEN_BY.last().expect("a golden bundle").0)
}

/// The newest unpacked, for a test to damage.
pub fn unpacked() -> (TempDir, PathBuf) {
    let folder = temporary();
    let file = fs::File::open(golden()).expect("the golden bundle");
    zip::ZipArchive::new(file).expect("a zip").extract(folder.path()).expect("to unpack");
    let bag = folder.path().join(GOLDEN);
    (folder, bag)
}

/// A copy of the zip with its bytes changed.
pub fn zip_with(change: impl Fn(&mut Vec<u8>)) -> (TempDir, PathBuf) {
    let folder = temporary();
    let path = folder.path().join(format!("{GOLDEN}.zip"));
    let mut bytes = fs::read(golden()).expect("the golden bundle");
    change(&mut bytes);
    fs::write(&path, bytes).expect("to write it");
    (folder, path)
}

/// Half of the zip.
pub fn truncated(bytes: &mut Vec<u8>) {
    bytes.truncate(bytes.len() / 2);
}

/// The zip without its central directory.
pub fn without_directory(bytes: &mut Vec<u8>) {
    let at = bytes.windows(4).position(|four| four == b"PK\x01\x02").expect("a directory");
    bytes.truncate(at);
}

/// A kind of damage to a bag.
pub struct Damage {
    /// What was done.
    pub what: &'static str,
    /// Does it to an unpacked bag.
    pub to: fn(&Path),
    /// What `verify` says, white space apart.
    pub says: &'static [&'static str],
    /// Whether the PyPI package bagit can see it.
    pub bagit_sees: bool,
    /// Whether the PyPI package bagit-utils can see it.
    pub bagit_utils_sees: bool,
}

const BLOCKS: &str = "data/records/plan/blocks.csv";
const NOTE: &str = "data/papers/note.txt";

/// Every kind. Where a judge is blind, the bag itself is in order for it: who edits a record and writes
/// all manifests anew is found out by recomputation or by the seal, not by fixity.
pub const KINDS: &[Damage] = &[
    Damage {
        what: "a byte changed",
        to: |bag| {
            let mut bytes = fs::read(bag.join(BLOCKS)).expect("a record");
            bytes[20] ^= 1;
            fs::write(bag.join(BLOCKS), bytes).expect("to write it");
        },
        says: &["data/records/plan/blocks.csv: changed"],
        bagit_sees: true,
        bagit_utils_sees: true,
    },
    Damage {
        what: "a file missing",
        to: |bag| fs::remove_file(bag.join(NOTE)).expect("to remove it"),
        says: &["data/papers/note.txt: missing"],
        bagit_sees: true,
        bagit_utils_sees: true,
    },
    Damage {
        what: "a file added",
        to: |bag| fs::write(bag.join("data/papers/more.txt"), "more\n").expect("to add it"),
        says: &["data/papers/more.txt: not listed"],
        bagit_sees: true,
        bagit_utils_sees: true,
    },
    Damage {
        what: "a line of a manifest removed",
        to: |bag| remove_line(bag, layout::MANIFESTS[0], "note.txt"),
        says: &["data/papers/note.txt: not listed", "manifest-sha256.txt: changed"],
        bagit_sees: true,
        bagit_utils_sees: true,
    },
    Damage {
        what: "a line of one manifest removed, the tag manifests written anew",
        to: |bag| {
            remove_line(bag, layout::MANIFESTS[0], "note.txt");
            list_tags_anew(bag);
        },
        says: &["data/papers/note.txt: not listed"],
        bagit_sees: false,
        bagit_utils_sees: true,
    },
    Damage {
        what: "a line of a manifest repeated, the tag manifests written anew",
        to: |bag| {
            let manifest = bag.join(layout::MANIFESTS[1]);
            let text = fs::read_to_string(&manifest).expect("a manifest");
            let first = text.lines().next().expect("a line").to_string();
            fs::write(&manifest, format!("{text}{first}\n")).expect("to write it");
            list_tags_anew(bag);
        },
        says: &["a second time"],
        bagit_sees: true,
        bagit_utils_sees: false,
    },
    Damage {
        what: "the SHA-256 manifest of the tag files wrong",
        to: |bag| spoil_tag_manifest(bag, 0),
        says: &["bag-info.txt: changed"],
        bagit_sees: true,
        bagit_utils_sees: false,
    },
    Damage {
        what: "the SHA-512 manifest of the tag files wrong",
        to: |bag| spoil_tag_manifest(bag, 1),
        says: &["bag-info.txt: changed"],
        bagit_sees: true,
        bagit_utils_sees: true,
    },
    Damage {
        what: "the lines of the declaration in the wrong order, the tag manifests written anew",
        to: |bag| {
            let text = fs::read_to_string(bag.join(layout::BAGIT)).expect("the declaration");
            let mut lines: Vec<&str> = text.lines().collect();
            lines.reverse();
            fs::write(bag.join(layout::BAGIT), lines.join("\n") + "\n").expect("to write it");
            list_tags_anew(bag);
        },
        says: &["bagit.txt is not the declaration of a BagIt 1.0 bag"],
        bagit_sees: false,
        bagit_utils_sees: false,
    },
    Damage {
        what: "a wrong Oxum, the tag manifests written anew",
        to: |bag| {
            edit(bag, layout::BAG_INFO, "Payload-Oxum: ", "Payload-Oxum: 9");
            list_tags_anew(bag);
        },
        says: &["Payload-Oxum states 9"],
        bagit_sees: true,
        bagit_utils_sees: false,
    },
    Damage {
        what: "a finding edited",
        to: edit_finding,
        says: &["data/findings.json: changed"],
        bagit_sees: true,
        bagit_utils_sees: true,
    },
    Damage {
        what: "a finding edited, all manifests written anew",
        to: |bag| {
            edit_finding(bag);
            list_anew(bag);
        },
        says: &["the bundle says \"differs\", its records give \"agrees\""],
        bagit_sees: false,
        bagit_utils_sees: false,
    },
    Damage {
        what: "a record edited, all manifests written anew",
        to: |bag| {
            edit(bag, BLOCKS, "K3,keel,12.00", "K3,keel,12.40");
            list_anew(bag);
        },
        says: &["its records give"],
        bagit_sees: false,
        bagit_utils_sees: false,
    },
];

fn spoil_tag_manifest(bag: &Path, which: usize) {
    let digest = &tags(bag)["bag-info.txt"].hex[which];
    edit(bag, layout::TAG_MANIFESTS[which], digest, &"0".repeat(digest.len()));
}

fn edit_finding(bag: &Path) {
    // Of one that no change of a rule could explain.
    let text = fs::read_to_string(bag.join(layout::FINDINGS_JSON)).expect("a text");
    let (before, finding) = text.split_once("\"id\": \"positions.P1.times\"").expect("a finding");
    let edited = finding.replacen("\"outcome\": \"agrees\"", "\"outcome\": \"differs\"", 1);
    assert_ne!(edited, finding);
    let text = format!("{before}\"id\": \"positions.P1.times\"{edited}");
    fs::write(bag.join(layout::FINDINGS_JSON), text).expect("to write it");
}

/// Replaces the first place of a text in a file.
pub fn edit(bag: &Path, path: &str, old: &str, new: &str) {
    let text = fs::read_to_string(bag.join(path)).expect("a text");
    assert!(text.contains(old), "{old:?} is not in {path}");
    fs::write(bag.join(path), text.replacen(old, new, 1)).expect("to write it");
}

fn remove_line(bag: &Path, path: &str, with: &str) {
    let text = fs::read_to_string(bag.join(path)).expect("a text");
    let kept: String = text.split_inclusive('\n').filter(|line| !line.contains(with)).collect();
    assert!(kept.len() < text.len(), "{with:?} is not in {path}");
    fs::write(bag.join(path), kept).expect("to write it");
}
