//! `forms/`: sheets that the program printed to be filled in by hand. As long as they are as they were
//! printed they are no record, and no part of a project. A list of their checksums shows which those are.

use std::collections::BTreeMap;
use std::io;
use std::path::Path;

use sha2::{Digest, Sha256};

/// The folder of the sheets.
pub const FOLDER: &str = "forms/";

/// The list of the sheets with their SHA-256, as `sha256sum -c` reads it in that folder.
pub const LIST: &str = "forms/sheets.sha256";

/// More than any sheet has, in bytes: what is larger is not read to see whether it is one.
const LARGEST_SHEET: u64 = 8 * 1024 * 1024;

/// A line of the list.
pub fn line(file: &str, sha256: &str) -> String {
    format!("{sha256}  {file}\n")
}

/// Whether the list in a project's folder names a sheet.
pub fn lists(project: &Path, file: &str) -> bool {
    let list = std::fs::read_to_string(project.join(LIST)).unwrap_or_default();
    list.lines().any(|line| line.split_once("  ").is_some_and(|(_, listed)| listed == file))
}

/// The paths of the sheets that are as the list says, and of the list itself. Whatever was added to the
/// folder, or written over, is not among them.
pub(super) fn unchanged(
    sizes: &BTreeMap<String, u64>,
    read: impl Fn(&str) -> io::Result<Vec<u8>>,
) -> Vec<String> {
    let read = |path: &str| {
        let is_small = sizes.get(path).is_some_and(|size| *size <= LARGEST_SHEET);
        is_small.then(|| read(path).ok()).flatten()
    };
    let Some(list) = read(LIST).and_then(|bytes| String::from_utf8(bytes).ok()) else {
        return Vec::new();
    };
    let listed: Option<BTreeMap<&str, &str>> =
        list.lines().map(|line| line.split_once("  ").map(|(sum, file)| (file, sum))).collect();
    let Some(listed) = listed else { return Vec::new() };
    let is_same = |path: &String, sum: &str| {
        let hex = |bytes: Vec<u8>| -> String {
            Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
        };
        read(path).map(hex).is_some_and(|found| found == sum)
    };
    let sheets = listed.iter().map(|(file, sum)| (format!("{FOLDER}{file}"), sum));
    let same = sheets.filter(|(path, sum)| is_same(path, sum)).map(|(path, _)| path);
    same.chain([LIST.to_string()]).collect()
}
