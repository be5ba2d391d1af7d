//! Mending with whole files from other places: `mend --also`.

use std::fs;
use std::path::Path;

use crate::common::{NAME, Said, Zip, closed, program, run, unpacked_copy, verify};

const BLOCKS: &str = "data/records/plan/blocks.csv";
const FINDINGS: &str = "data/findings.json";
const PAPER: &str = "data/papers/afloat.png";
const TAG_MANIFEST: &str = "tagmanifest-sha256.txt";

/// Spoils a byte in each of some files of a zip.
fn spoil(zip: &Zip, paths: &[&str]) {
    let mut bytes = zip.bytes.clone();
    paths.iter().for_each(|path| bytes[zip.start_of(path) + 20] ^= 1);
    zip.becomes(bytes);
}

fn mend(zip: &Zip, more: &[&Path]) -> Said {
    let mut command = program();
    command.arg("mend").arg(&zip.path);
    more.iter().for_each(|place| {
        command.arg("--also").arg(place);
    });
    run(&mut command)
}

fn seal() -> String {
    let text = fs::read_to_string(&closed().seal_file).expect("the seal");
    text.lines().next().expect("a line").to_string()
}

#[track_caller]
fn is_as_it_was(zip: &Zip) {
    assert!(fs::read(zip.mended()).is_ok_and(|mended| mended == zip.bytes));
}

/// Without any recovery data, records come back from the report that has them attached, though it is damaged too.
#[test]
fn records_come_back_from_the_report() {
    let zip = Zip::alone();
    spoil(&zip, &[BLOCKS, FINDINGS]);
    let report = zip.folder().join("a-report.pdf");
    let mut bytes = fs::read(&closed().report).expect("the report");
    let end = bytes.len() - 3000;
    bytes[end..].fill(0);
    bytes[2000] ^= 1;
    fs::write(&report, bytes).expect("to write it");
    let said = mend(&zip, &[&report]).exits(3);
    assert!(said.squeezed().contains("putbackwheretheyhadstood"), "{}", said.out);
    assert!(said.squeezed().contains("comparethesealwiththeoneonpaper"), "{}", said.out);
    assert!(said.out.contains(BLOCKS) && said.out.contains(FINDINGS), "{}", said.out);
    is_as_it_was(&zip);
}

/// Of two damaged zips of one bundle each has what the other lacks.
#[test]
fn two_damaged_zips_make_a_whole_one() {
    let (zip, other) = (Zip::alone(), Zip::alone());
    spoil(&zip, &[PAPER, BLOCKS]);
    spoil(&other, &[FINDINGS, "data/closeout-summary.pdf"]);
    let json =
        run(program().args(["mend", "--json"]).arg(&zip.path).arg("--also").arg(&other.path))
            .exits(3)
            .json();
    assert_eq!(json["taken"].as_object().map(serde_json::Map::len), Some(2));
    assert_eq!(json["taken"][PAPER], other.path.to_str().expect("UTF-8"));
    is_as_it_was(&zip);
}

/// Recovery data does the rest where the other places don't have everything.
#[test]
fn what_other_places_lack_recovery_data_makes_good() {
    let zip = Zip::copied();
    let mut bytes = zip.bytes.clone();
    let (page, size) = ("data/start-here.html", 2_000_000);
    let at = zip.start_of(page);
    bytes[at..at + size].fill(0);
    bytes[zip.start_of(PAPER) + 20] ^= 1;
    zip.becomes(bytes);
    zip.mend().exits(1);
    let salvaged = zip.folder().join(format!("{NAME}-salvaged"));
    fs::remove_dir_all(salvaged).expect("what was salvaged");
    let beside = closed().zip.with_file_name(format!("{NAME}-start-here.html"));
    let said = mend(&zip, &[&beside]).exits(3);
    assert!(said.squeezed().contains("byteforbyte"), "{}", said.out);
    is_as_it_was(&zip);
}

/// Half of a zip, without its directory, and a folder that it was once unpacked to: a new zip of the same files and the
/// same seal. A file that somebody edited in the folder is not taken, and then the bundle is not whole.
#[test]
fn a_new_zip_is_made_of_an_unpacked_folder() {
    let (_keep, folder) = unpacked_copy();
    let zip = Zip::alone();
    fs::copy(&closed().seal_file, zip.folder().join(format!("{NAME}-seal.txt"))).expect("a copy");
    zip.becomes(&zip.bytes[..zip.bytes.len() / 2]);
    let summary = folder.join("data/closeout-summary.pdf");
    let whole = fs::read(&summary).expect("the summary");
    fs::write(&summary, b"edited").expect("to edit it");
    let said = mend(&zip, &[&folder]).exits(1);
    assert!(said.squeezed().contains("1filesofthebundlearewholeinnone"), "{}", said.out);
    fs::remove_dir_all(zip.folder().join(format!("{NAME}-salvaged"))).expect("what was salvaged");

    fs::write(&summary, whole).expect("to put it back");
    let said = mend(&zip, &[&folder]).exits(3);
    assert!(said.squeezed().contains("provedbythesealinthefilebesidethezip"), "{}", said.out);
    let said = verify(&zip.mended()).exits(0);
    assert!(said.squeezed().contains(&seal().replace(' ', "")), "{}", said.out);
}

/// A tag manifest that only stands in another place proves nothing until the seal on paper fits it.
#[test]
fn nothing_is_taken_until_it_is_proved_what_belongs_to_the_bundle() {
    let (_keep, folder) = unpacked_copy();
    let zip = Zip::alone();
    spoil(&zip, &[TAG_MANIFEST, BLOCKS]);
    let said = mend(&zip, &[&folder]).exits(1);
    assert!(said.squeezed().contains("nothingthatisleftproves"), "{}", said.out);
    fs::remove_dir_all(zip.folder().join(format!("{NAME}-salvaged"))).expect("what was salvaged");
    let sealed = |seal: &str| {
        let mut command = program();
        command.arg("mend").arg(&zip.path).arg("--also").arg(&folder);
        run(command.args(["--seal", seal]))
    };
    let said = sealed(&"0".repeat(64)).exits(1);
    assert!(said.squeezed().contains("thatisleftfitsthesealgiven"), "{}", said.out);
    fs::remove_dir_all(zip.folder().join(format!("{NAME}-salvaged"))).expect("what was salvaged");
    let said = sealed(&seal()).exits(3);
    assert!(said.squeezed().contains("provedbythesealgiven"), "{}", said.out);
    is_as_it_was(&zip);
    let nowhere = zip.folder().join("nowhere");
    fs::remove_file(zip.mended()).expect("the mended one");
    let said = mend(&zip, &[&nowhere]).exits(1);
    assert!(said.err.contains("is not there"), "{}", said.err);
}
