//! Bundles: the zip opened, its fixity, its findings recomputed, what survives salvaged.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::OnceLock;

use lastdock::bundle::bag::{self, unsafe_path};
use lastdock::bundle::digest::{self, Digests};
use lastdock::bundle::error::BundleError;
use lastdock::bundle::open::Bundle;
use lastdock::bundle::recompute::recompute;
use lastdock::bundle::salvage::salvage;
use lastdock::bundle::verify::fixity;
use lastdock::bundle::{layout, version};
use lastdock::findings::written::FindingsWritten;
use tempfile::TempDir;

use super::project::{Files, judged};
use super::zipped::zipped;

/// Words of zips and of what stands in a bundle.
pub const WORDS: &[&str] = &[
    "PK\u{1}\u{2}",
    "PK\u{3}\u{4}",
    "PK\u{5}\u{6}",
    "PK\u{6}\u{6}",
    "PK\u{6}\u{7}",
    "PK\u{7}\u{8}",
    "\u{1}",
    "\u{0}",
    "../",
    "/",
    "\\",
    "C:",
    "data/",
    "data/records/",
    "data/records/docking.toml",
    "data/records/plan/blocks.csv",
    "data/papers/",
    "data/findings.json",
    "bagit.txt",
    "bag-info.txt",
    "manifest-sha256.txt",
    "manifest-sha512.txt",
    "tagmanifest-sha256.txt",
    "tagmanifest-sha512.txt",
    "Payload-Oxum: ",
    "\nDocking-Record-Format: 2",
    "-data/",
    "+bag/data/",
    "\"findings\": [",
    "\"counts\"",
    "\"value\": 1e308",
    "\"program\": \"a test\"",
    "18446744073709551616",
    "con",
    "a:b",
    "%0A",
    "\u{feff}",
];

/// The folder in the zip.
const ROOT: &str = "wren-2031";

type Bag = BTreeMap<String, Vec<u8>>;

/// A small bundle that is whole and whose findings follow from its records, but for the manifests.
fn sound() -> &'static Bag {
    static SOUND: OnceLock<Bag> = OnceLock::new();
    SOUND.get_or_init(|| {
        let files = Files::example_ashore("");
        let examined = judged(&files).expect("the example is sound");
        let findings = serde_json::to_vec(&FindingsWritten::new(&examined, PROGRAM));
        let mut bag: Bag =
            files.iter().map(|(path, bytes)| (layout::in_bundle(path), bytes.to_vec())).collect();
        bag.insert(layout::FINDINGS_JSON.to_string(), findings.expect("findings as JSON"));
        bag.insert(layout::BAGIT.to_string(), bag::DECLARATION.into());
        bag
    })
}

const PROGRAM: &str = "a test";

/// Adds what lists a bag, but for what is there already.
fn listed(mut bag: Bag) -> Bag {
    let digests = |bag: &Bag, payload: bool| -> BTreeMap<String, Digests> {
        let of = bag.iter().filter(|(path, _)| path.starts_with(layout::DATA) == payload);
        of.map(|(path, bytes)| (path.clone(), digest::digests(bytes))).collect()
    };
    let payload = digests(&bag, true);
    let info = [("Payload-Oxum", bag::oxum(&payload)), (version::LABEL, "1".to_string())];
    bag.entry(layout::BAG_INFO.to_string()).or_insert_with(|| bag::info(&info).into());
    for (which, name) in layout::MANIFESTS.iter().enumerate() {
        bag.entry(name.to_string()).or_insert_with(|| bag::manifest(&payload, which).into());
    }
    let mut tags = digests(&bag, false);
    tags.retain(|path, _| !layout::TAG_MANIFESTS.contains(&path.as_str()));
    for (which, name) in layout::TAG_MANIFESTS.iter().enumerate() {
        bag.entry(name.to_string()).or_insert_with(|| bag::manifest(&tags, which).into());
    }
    bag
}

/// The zip of a bundle that is sound but for some of its entries: `path 0x01 bytes`, 0x00 between them. A `-`
/// before the path takes the entry out, a `+` adds one of that name outside of the bundle's folder.
pub fn zip_with(changes: &[u8]) -> Vec<u8> {
    let (mut bag, mut more) = (sound().clone(), Vec::new());
    for change in changes.split(|byte| *byte == 0).filter(|change| !change.is_empty()) {
        let at = change.iter().position(|byte| *byte == 1).unwrap_or(change.len());
        let (name, bytes) = (&change[..at], change.get(at + 1..).unwrap_or_default().to_vec());
        match (name.first(), String::from_utf8(name.to_vec())) {
            (Some(b'+'), _) => more.push((name[1..].to_vec(), bytes)),
            (Some(b'-'), Ok(path)) => _ = bag.remove(&path[1..]),
            (_, Ok(path)) => _ = bag.insert(path, bytes),
            (_, Err(_)) => more.push(([ROOT.as_bytes(), b"/", name].concat(), bytes)),
        }
    }
    let inside = |(path, bytes): (String, Vec<u8>)| (format!("{ROOT}/{path}").into_bytes(), bytes);
    let mut entries: Vec<(Vec<u8>, Vec<u8>)> = listed(bag).into_iter().map(inside).collect();
    entries.append(&mut more);
    zipped(&entries)
}

/// Reads a zip: the bytes themselves, or one that holds them.
pub fn read(bytes: &[u8]) {
    let (how, rest) = super::first(bytes);
    let zip = if how % 2 == 0 { rest.to_vec() } else { zip_with(rest) };
    let folder = tempfile::tempdir().expect("a temporary folder");
    let at = folder.path().join("bundle.zip");
    fs::write(&at, &zip).expect("to write it");
    match Bundle::open(&at) {
        Ok(bundle) => is_well_read(&bundle, zip.len() as u64, how % 2 == 1 && rest.is_empty()),
        Err(error) => is_well_told(&error),
    }
    is_well_salvaged(&folder, &at);
}

fn is_well_read(bundle: &Bundle, length: u64, is_sound: bool) {
    for (path, _) in bundle.sizes() {
        assert_eq!(unsafe_path(path), None, "{path:?}");
    }
    let read = || fixity(bundle, &|_| {}).expect("a zip that can be read");
    let (first, second) = (read(), read());
    assert_eq!((&first.files, &first.wrong), (&second.files, &second.wrong), "read twice");
    assert!(first.is_whole() == (first.troubles().count() == 0));
    assert!(first.bytes <= length.saturating_mul(first.files.len().max(1) as u64));
    if let Err(error) = version::refuse_others(bundle) {
        is_well_told(&error);
    }
    let said = recompute(bundle, PROGRAM);
    assert!(said.troubles().iter().all(|trouble| !trouble.is_empty()));
    if is_sound {
        assert!(first.is_whole(), "{:?}", first.troubles().collect::<Vec<_>>());
        assert!(said.is_well(), "{said:?}");
    }
}

/// Whatever is salvaged stands in the folder that was named, and is all that stands there.
fn is_well_salvaged(folder: &TempDir, zip: &Path) {
    let to = folder.path().join("salvaged");
    match salvage(zip, &to) {
        Ok(salvaged) => {
            for path in salvaged.files.keys() {
                assert_eq!(unsafe_path(path), None, "{path:?}");
                assert!(to.join(path).is_file(), "{path:?}");
            }
            assert_eq!(files_below(&to), salvaged.files.len());
        }
        Err(error) => is_well_told(&error),
    }
    let beside = files_below(folder.path()) - files_below(&to);
    assert_eq!(beside, 1, "something else stands beside the zip");
}

/// How many files a folder holds.
pub fn files_below(folder: &Path) -> usize {
    let Ok(entries) = fs::read_dir(folder) else { return 0 };
    entries
        .map(|entry| entry.expect("an entry").path())
        .map(|path| if path.is_dir() { files_below(&path) } else { 1 })
        .sum()
}

/// An error says where, what, and what to do.
pub fn is_well_told(error: &BundleError) {
    assert!(![&error.at, &error.wrong, &error.advice].into_iter().any(String::is_empty), "{error}");
}

/// The bundle itself, and with one of its entries in another way.
pub fn seeds() -> Vec<Vec<u8>> {
    let mut seeds = vec![[b"0", zip_with(b"").as_slice()].concat(), b"1".to_vec()];
    let few = [
        (format!("{ROOT}/bagit.txt").into_bytes(), bag::DECLARATION.into()),
        (format!("{ROOT}/data/a.txt").into_bytes(), b"a".to_vec()),
    ];
    seeds.push([b"0", zipped(&few).as_slice()].concat());
    for (path, bytes) in sound() {
        seeds.push([b"1", path.as_bytes(), b"\x01", bytes.as_slice()].concat());
    }
    for (path, bytes) in listed(sound().clone()).iter().filter(|(path, _)| !path.contains('/')) {
        seeds.push([b"1", path.as_bytes(), b"\x01", bytes.as_slice()].concat());
        seeds.push([b"1-", path.as_bytes()].concat());
    }
    let odd = [
        "+../a\u{1}a",
        "+wren-2031/bagit.txt\u{1}a",
        "+other/data/a\u{1}a",
        "data/papers/x.png\u{1}a",
    ];
    seeds.extend(odd.iter().map(|odd| [b"1", odd.as_bytes()].concat()));
    seeds
}
