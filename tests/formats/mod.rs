//! What earlier versions of the program wrote stays proof: the golden bundles of this folder are verified for
//! ever, what is computed otherwise since is explained by the rule that changed, and one of each kind of damage
//! says exactly what verify must say.

mod damage;

use crate::common::{self, Said, list_tags_anew, verify};
use damage::{
    KINDS, WRITTEN_BY, edit, golden_of, truncated, unpacked, without_directory, zip_with,
};
use lastdock::bundle::{layout, version};

#[track_caller]
fn says(said: Said, wanted: &str) {
    let squeezed = common::squeezed(wanted);
    assert!(said.squeezed().contains(&squeezed), "{wanted:?} is not in\n{}{}", said.out, said.err);
}

#[test]
fn bundles_of_each_version_are_whole_and_changed_rules_explain_every_difference() {
    for (version, seal) in WRITTEN_BY {
        let mut command = common::program();
        command.arg("verify").arg(golden_of(version)).args(["--seal", seal.trim()]);
        let said = common::run(&mut command).exits(0);
        assert!(said.out.contains("it is the seal given"), "{version}: {}", said.out);
        assert!(!said.out.contains("disagrees"), "{version}: {}", said.out);
        says(said, "findings come out of the records as they stand in the bundle");
    }
    let (_keep, bag) = unpacked();
    verify(&bag).exits(0);
}

/// What verify says of the findings of a bundle as JSON.
fn recomputed(bundle: &std::path::Path, status: i32) -> serde_json::Value {
    let mut command = common::program();
    let json = common::run(command.args(["verify", "--json"]).arg(bundle)).exits(status).json();
    json[0]["recomputed"].clone()
}

/// A change of a rule explains nothing that other rules compute, and nothing that the same or a newer version
/// wrote.
#[test]
fn what_no_rule_explains_is_a_disagreement() {
    const ID: &str = "plan.block.K1.height";
    let (_keep, bag) = unpacked();
    let place = bag.join(layout::FINDINGS_JSON);
    let text = std::fs::read_to_string(&place).expect("findings");
    let mut findings: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let all = findings["findings"].as_array_mut().expect("findings");
    let one = all.iter_mut().find(|finding| finding["id"] == ID).expect("the finding");
    assert_eq!(one["outcome"], "agrees");
    one["outcome"] = "differs".into();
    for program in ["lastdock 0.0.1", "lastdock 99.9.9", "no version", lastdock::PROGRAM] {
        findings["program"] = program.into();
        std::fs::write(&place, findings.to_string()).expect("to write it");
        common::list_anew(&bag);
        let said = recomputed(&bag, 3);
        let troubles: Vec<&str> = said["troubles"]
            .as_array()
            .expect("troubles")
            .iter()
            .filter_map(|t| t.as_str())
            .collect();
        let wanted = format!("{ID}: the bundle says \"differs\", its records give \"agrees\"");
        assert!(troubles.contains(&wanted.as_str()), "{program}: {troubles:?}");
        assert_eq!(said["agrees"], false, "{program}");
    }
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
