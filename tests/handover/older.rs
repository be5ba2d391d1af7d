//! The older docking as it stands here: its bundle is that of its records.

use std::collections::BTreeMap;
use std::fs;

use super::{OLDER, here, older_project, older_zip};
use crate::common::{files, program, run, temporary};

/// The seal as its file has it, in groups of four.
fn seal() -> String {
    let text = fs::read_to_string(here().join(format!("{OLDER}-seal.txt"))).expect("its seal");
    let digits = |line: &&str| {
        let digits = line.split_whitespace().collect::<String>();
        digits.len() == 64 && digits.bytes().all(|b| b.is_ascii_hexdigit())
    };
    text.lines().find(digits).expect("the line of the seal").trim().to_string()
}

#[test]
fn the_older_bundle_is_whole_and_says_what_its_records_say() {
    run(program().arg("verify").arg(older_zip()).arg("--seal").arg(seal())).exits(0);
}

#[test]
fn its_records_are_those_of_the_folder_beside_it() {
    let folder = temporary();
    let bag = fs::File::open(older_zip()).expect("the bundle");
    zip::ZipArchive::new(bag).expect("a zip").extract(folder.path()).expect("to unpack");
    let data = folder.path().join(OLDER).join("data");
    let kept: BTreeMap<String, Vec<u8>> = files(&data.join("records")).into_iter().collect();
    let papers = files(&data.join("papers"))
        .into_iter()
        .map(|(name, bytes)| (format!("papers/{name}"), bytes));
    let kept: BTreeMap<String, Vec<u8>> = kept.into_iter().chain(papers).collect();
    let there: BTreeMap<String, Vec<u8>> = files(&older_project()).into_iter().collect();
    let names = |files: &BTreeMap<String, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&kept), names(&there));
    assert!(kept == there, "the bundle is of other records: see README.md here");
}

/// What 0.1.0 wrote waited for no answer. What this version asks beyond it is the number of readings that a rule
/// of film thickness owes for the size of the steel.
#[test]
fn nothing_of_it_waited_for_an_answer_when_it_was_written() {
    let folder = temporary();
    let bag = fs::File::open(older_zip()).expect("the bundle");
    zip::ZipArchive::new(bag).expect("a zip").extract(folder.path()).expect("to unpack");
    let kept = fs::read_to_string(folder.path().join(OLDER).join("data/findings.json"));
    let kept: serde_json::Value = serde_json::from_str(&kept.expect("findings")).expect("JSON");
    assert_eq!(kept["counts"]["unanswered"], 0, "{}", kept["counts"]);
    let said = run(program().arg("check").arg(older_project()).arg("--json")).exits(3).json();
    let waits = |finding: &&serde_json::Value| {
        ["differs", "beyond limit"].contains(&finding["outcome"].as_str().unwrap_or_default())
            && finding["remark"].is_null()
    };
    let all = said["findings"].as_array().expect("findings");
    let waiting: Vec<&str> =
        all.iter().filter(waits).filter_map(|finding| finding["id"].as_str()).collect();
    let owed =
        ["film.BP.coat3.owed", "film.BS.coat3.owed", "film.SP.coat2.owed", "film.SS.coat2.owed"];
    assert_eq!(waiting, owed);
    assert_eq!(said["counts"]["unanswered"], owed.len());
}
