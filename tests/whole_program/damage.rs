//! What `verify` says of whole, damaged and dishonest bundles.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use tempfile::TempDir;

use crate::common::{
    SMALL, Said, closed, closeout, files, list_anew, list_tags_anew, program, run, sample, small,
    temporary, unpack, unpacked_copy, verify,
};

/// Holds that a bundle is found damaged and that this is said.
#[track_caller]
fn damaged(bundle: &Path, says: &str) -> Said {
    let said = verify(bundle).exits(3);
    assert!(said.out.contains(says), "{says:?} is not in\n{}", said.out);
    said
}

/// Changes one byte of a file.
fn flip(path: &Path, at: usize) {
    let mut bytes = fs::read(path).expect("a file");
    bytes[at] ^= 1;
    fs::write(path, bytes).expect("to write it");
}

/// Changes one byte in the middle of a file.
fn flip_middle(path: &Path) {
    let size = fs::metadata(path).expect("a file").len() as usize;
    assert!(size > 0, "{} is empty", path.display());
    flip(path, size / 2);
}

/// How many findings the bundle of the sample holds.
fn findings() -> usize {
    let json = fs::read(closed().folder.join("data/findings.json")).expect("findings");
    let json: serde_json::Value = serde_json::from_slice(&json).expect("JSON");
    json["findings"].as_array().expect("a list").len()
}

#[test]
fn a_whole_bundle_is_whole_as_zip_and_as_folder() {
    for bundle in [&closed().zip, &closed().folder] {
        let said = verify(bundle).exits(0);
        let count = files(&closed().folder).len();
        assert!(said.out.contains(&format!("whole       {count} files")), "{}", said.out);
        let all = format!("all{}findingscomeoutoftherecords", findings());
        assert!(said.squeezed().contains(&all), "{}", said.out);
    }
}

#[test]
fn json_says_the_same() {
    let (_keep, bag) = unpacked_copy();
    flip_middle(&bag.join("data/records/docking.toml"));
    let mut command = program();
    let said = run(command.args(["verify", "--json"]).arg(&closed().zip).arg(&bag)).exits(3).json();
    assert_eq!((&said[0]["well"], &said[0]["whole"]), (&true.into(), &true.into()));
    assert_eq!(said[0]["recomputed"]["same"], findings());
    let states: BTreeMap<&str, &str> = said[0]["files"]
        .as_array()
        .expect("files")
        .iter()
        .map(|file| (file["path"].as_str().unwrap(), file["state"].as_str().unwrap()))
        .collect();
    let all = files(&closed().folder);
    assert!(all.iter().all(|(path, _)| states.get(path.as_str()) == Some(&"whole")));
    assert_eq!(states.len(), all.len());
    assert_eq!((&said[1]["well"], &said[1]["whole"]), (&false.into(), &false.into()));
    let changed: Vec<&str> = said[1]["files"]
        .as_array()
        .expect("files")
        .iter()
        .filter(|file| file["state"] == "changed")
        .map(|file| file["path"].as_str().unwrap())
        .collect();
    assert_eq!(changed, ["data/records/docking.toml"]);
}

/// The bundle of the small project: a folder that goes with it, the zip, and what is in it, unpacked.
fn small_bundle() -> (TempDir, PathBuf, PathBuf) {
    let out = temporary();
    closeout(&small(), out.path()).exits(0);
    let zip = out.path().join(format!("{SMALL}.zip"));
    let bag = unpack(&zip, &out.path().join("unpacked"));
    (out, zip, bag)
}

#[test]
fn a_byte_changed_in_any_file_of_the_folder_is_found() {
    let (_keep, _, bag) = small_bundle();
    let all = files(&bag);
    assert!(all.len() > 50, "{}", all.len());
    for (path, bytes) in all {
        let place = bag.join(&path);
        flip_middle(&place);
        let said = verify(&bag).exits(3);
        // Nothing lists a tag manifest: a change in one shows at what it lists.
        if !path.starts_with("tagmanifest") {
            assert!(said.out.contains(&format!("{path}: changed")), "{path}:\n{}", said.out);
        }
        fs::write(&place, bytes).expect("to put it back");
    }
    verify(&bag).exits(0);
}

#[test]
fn a_byte_changed_in_any_file_of_the_zip_is_found() {
    let (_keep, zip, bag) = small_bundle();
    let places: Vec<(String, usize)> = {
        let mut archive =
            zip::ZipArchive::new(fs::File::open(&zip).expect("a file")).expect("a zip");
        (0..archive.len())
            .map(|number| {
                let entry = archive.by_index_raw(number).expect("an entry");
                let name = entry.name().expect("a name in UTF-8");
                let path = name.strip_prefix(SMALL).expect("the folder").trim_start_matches('/');
                let start = entry.data_start().expect("where its bytes begin");
                (path.to_string(), (start + entry.size() / 2) as usize)
            })
            .collect()
    };
    assert_eq!(places.len(), files(&bag).len());
    for (path, middle) in places {
        flip(&zip, middle);
        let said = verify(&zip).exits(3);
        if !path.starts_with("tagmanifest") {
            assert!(said.out.contains(&format!("{path}: changed")), "{path}:\n{}", said.out);
        }
        flip(&zip, middle);
    }
    verify(&zip).exits(0);
}

#[test]
fn any_byte_of_a_file_counts() {
    let (_keep, bag) = unpacked_copy();
    let place = bag.join("data/records/positions/positions.csv");
    let size = fs::metadata(&place).expect("a file").len() as usize;
    for at in [0, 1, size / 3, size - 2, size - 1] {
        flip(&place, at);
        damaged(&bag, "data/records/positions/positions.csv: changed");
        flip(&place, at);
    }
    verify(&bag).exits(0);
}

#[test]
fn a_file_that_is_missing_is_named() {
    for path in ["data/papers/afloat.png", "data/findings.json", "bag-info.txt"] {
        let (_keep, bag) = unpacked_copy();
        fs::remove_file(bag.join(path)).expect("to remove it");
        damaged(&bag, &format!("{path}: missing"));
    }
    for path in ["manifest-sha512.txt", "tagmanifest-sha256.txt", "bagit.txt"] {
        let (_keep, bag) = unpacked_copy();
        fs::remove_file(bag.join(path)).expect("to remove it");
        damaged(&bag, &format!("{path} is not there"));
    }
}

#[test]
fn a_file_that_was_added_is_named() {
    for path in ["data/records/plan/extra.txt", "data/papers/.hidden", "more.txt"] {
        let (_keep, bag) = unpacked_copy();
        fs::write(bag.join(path), "more").expect("to add it");
        damaged(&bag, &format!("{path}: not listed"));
    }
}

#[test]
fn a_file_listed_in_one_manifest_only_is_named() {
    let (_keep, bag) = unpacked_copy();
    let manifest = bag.join("manifest-sha512.txt");
    let text = fs::read_to_string(&manifest).expect("a manifest");
    let kept: String =
        text.split_inclusive('\n').filter(|line| !line.contains("afloat.png")).collect();
    fs::write(&manifest, kept).expect("to write it");
    list_tags_anew(&bag);
    damaged(&bag, "data/papers/afloat.png: not listed");
}

#[cfg(unix)]
#[test]
fn a_link_in_place_of_a_file_is_not_followed() {
    let (keep, bag) = unpacked_copy();
    let (place, elsewhere) = (bag.join("data/README.txt"), keep.path().join("elsewhere"));
    fs::rename(&place, &elsewhere).expect("to move it");
    std::os::unix::fs::symlink(&elsewhere, &place).expect("a link");
    damaged(&bag, "data/README.txt is a link");
}

/// Edits a tag file and lists it anew, so that only what it says is wrong.
fn edit_tag(bag: &Path, name: &str, edit: impl Fn(&str) -> String) {
    let text = fs::read_to_string(bag.join(name)).expect("a tag file");
    let edited = edit(&text);
    assert_ne!(edited, text);
    fs::write(bag.join(name), edited).expect("to write it");
    list_tags_anew(bag);
}

#[test]
fn a_wrong_oxum_is_named() {
    let (_keep, bag) = unpacked_copy();
    edit_tag(&bag, "bag-info.txt", |text| text.replace("Payload-Oxum: ", "Payload-Oxum: 1"));
    damaged(&bag, "Payload-Oxum states 1");
}

#[test]
fn a_declaration_with_its_lines_swapped_is_named() {
    let (_keep, bag) = unpacked_copy();
    edit_tag(&bag, "bagit.txt", |text| {
        text.lines().rev().map(|line| format!("{line}\n")).collect()
    });
    damaged(&bag, "bagit.txt is not the declaration");
}

#[test]
fn a_path_that_leads_out_of_the_bundle_is_named_and_not_followed() {
    let (_keep, bag) = unpacked_copy();
    edit_tag(&bag, "manifest-sha256.txt", |text| {
        format!("{text}{}  ../../etc/hostname\n", "0".repeat(64))
    });
    damaged(&bag, "lists a path that leaves the bundle");
}

/// Edits a file of the payload and makes every checksum right again.
fn edit_and_list(bag: &Path, path: &str, old: &str, new: &str) {
    let text = fs::read_to_string(bag.join(path)).expect("a text");
    assert!(text.contains(old), "{old:?} is not in {path}");
    fs::write(bag.join(path), text.replacen(old, new, 1)).expect("to write it");
    list_anew(bag);
}

#[test]
fn a_finding_edited_under_right_checksums_disagrees_with_the_records() {
    let (_keep, bag) = unpacked_copy();
    let json = fs::read_to_string(bag.join("data/findings.json")).expect("findings.json");
    let at = json.find("exposure.never_exposed").expect("the finding");
    let outcome = json[at..].find("beyond limit").expect("its outcome") + at;
    let edited = format!("{}agrees{}", &json[..outcome], &json[outcome + "beyond limit".len()..]);
    fs::write(bag.join("data/findings.json"), edited).expect("to write it");
    list_anew(&bag);
    let said = damaged(&bag, "every one is what both manifests say");
    assert!(
        said.squeezed().contains(
            "exposure.never_exposed:thebundlesays\"agrees\",itsrecordsgive\"beyondlimit\""
        ),
        "{}",
        said.out
    );
}

#[test]
fn a_finding_taken_out_under_right_checksums_is_missed() {
    let (_keep, bag) = unpacked_copy();
    let place = bag.join("data/findings.json");
    let mut json: serde_json::Value =
        serde_json::from_slice(&fs::read(&place).expect("findings.json")).expect("JSON");
    let findings = json["findings"].as_array_mut().expect("findings");
    findings.retain(|finding| finding["id"] != "exposure.never_exposed");
    fs::write(&place, serde_json::to_vec_pretty(&json).expect("JSON")).expect("to write it");
    list_anew(&bag);
    let said = damaged(&bag, "disagrees");
    assert!(said.squeezed().contains("exposure.never_exposed:therecordsgiveit"), "{}", said.out);
}

#[test]
fn a_record_edited_under_right_checksums_disagrees_with_the_findings() {
    let (_keep, bag) = unpacked_copy();
    edit_and_list(&bag, "data/records/plan/blocks.csv", "K3,keel,24.30", "K3,keel,24.90");
    let said = damaged(&bag, "every one is what both manifests say");
    assert!(said.out.contains("disagrees"), "{}", said.out);
    assert!(said.out.contains("plan.block.K3.height"), "{}", said.out);
}

#[test]
fn a_remark_edited_under_right_checksums_disagrees_with_the_findings() {
    let (_keep, bag) = unpacked_copy();
    edit_and_list(&bag, "data/records/remarks.toml", "K23 slid in the shift", "K23 was pushed");
    let said = damaged(&bag, "every one is what both manifests say");
    assert!(said.squeezed().contains("exposure.never_exposed:itsremarkisnot"), "{}", said.out);
}

#[test]
fn unreadable_records_under_right_checksums_are_reported() {
    let (_keep, bag) = unpacked_copy();
    edit_and_list(&bag, "data/records/plan/blocks.csv", "K3,keel,24.30", "K3,keel,NaN");
    let said = damaged(&bag, "every one is what both manifests say");
    assert!(said.squeezed().contains("plan/blocks.csv:4:3(station_m)"), "{}", said.out);
}

/// The seal of the sample's bundle as its file gives it, in groups of four.
fn seal() -> String {
    let text = fs::read_to_string(&closed().seal_file).expect("the seal");
    text.lines().next().expect("a line").to_string()
}

fn verify_sealed(bundle: &Path, seal: &str) -> Said {
    run(program().arg("verify").arg(bundle).arg("--seal").arg(seal))
}

#[test]
fn the_seal_kept_on_paper_is_compared() {
    let seal = seal();
    let plain = seal.replace(' ', "");
    for given in [&seal, &plain, &plain.to_uppercase(), &seal.replace(' ', "-")] {
        let said = verify_sealed(&closed().zip, given).exits(0);
        assert!(said.out.contains("it is the seal given"), "{}", said.out);
    }
    let other = if seal.starts_with('0') { "1" } else { "0" }.to_string() + &plain[1..];
    let said = verify_sealed(&closed().zip, &other).exits(3);
    assert!(said.squeezed().contains("notthebundlethatthesealwastakenof"), "{}", said.out);
    for malformed in
        ["", "0123", &plain[1..], &format!("{plain}0"), &plain.replace(&plain[..1], "x")]
    {
        verify_sealed(&closed().zip, malformed).exits(2);
    }
}

#[test]
fn the_seal_shows_what_right_checksums_hide() {
    let (_keep, bag) = unpacked_copy();
    let caption = "Afloat again";
    edit_and_list(&bag, "data/records/papers/papers.csv", caption, "Afloat at last");
    verify(&bag).exits(0);
    verify_sealed(&bag, &seal()).exits(3);
}

#[test]
fn anything_but_a_bundle_exits_with_1() {
    let folder = temporary();
    let nothing = folder.path().join("nothing.zip");
    verify(&nothing).exits(1);
    let text = folder.path().join("text.zip");
    fs::write(&text, "this is no zip").expect("to write it");
    verify(&text).exits(1);
    let said = verify(&sample()).exits(1);
    assert!(said.err.contains("is no bundle"), "{}", said.err);
    // The whole one beside it is verified all the same.
    let said = run(program().arg("verify").arg(&nothing).arg(&closed().zip)).exits(1);
    assert!(said.out.contains("every one is what both manifests say"), "{}", said.out);
}

#[test]
fn a_zip_cut_short_is_refused_with_advice() {
    let folder = temporary();
    let zip = folder.path().join("cut.zip");
    let bytes = fs::read(&closed().zip).expect("the bundle");
    fs::write(&zip, &bytes[..bytes.len() * 2 / 3]).expect("to write it");
    let said = verify(&zip).exits(1);
    assert!(said.err.contains("can't be read as a zip"), "{}", said.err);
    let zip = zip.display();
    assert!(said.err.contains(&format!("do: run lastdock mend {zip}")), "{}", said.err);
    assert!(!said.err.contains("zip -FF"), "{}", said.err);
}
