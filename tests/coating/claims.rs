//! Logs that claim what can't be true, or leave out what a check needs: each on a copy of the sample.

use lastdock::calc::plane::area_m2;
use lastdock::findings::Examined;
use lastdock::findings::finding::{Finding, Outcome};

use super::{EXPECTED, done, list, read, text};
use crate::common::Project;

const COATS: &str = "coating/coats.csv";
const PREPARATION: &str = "coating/preparation.csv";
const KL_COAT_1: &str = "KL,exposed,1,EP1,EP1-0917,2031-04-10T10:50:00";

/// A copy without remarks: an edit may take away what one answers.
fn copied() -> Project {
    let project = Project::copied();
    project.write("remarks.toml", "");
    project
}

/// Rewrites the lines of a file; `None` takes one away. Returns how many lines it changed.
fn rewrite(project: &Project, file: &str, change: impl Fn(&str) -> Option<String>) -> usize {
    let text = project.text(file);
    let lines: Vec<(&str, Option<String>)> =
        text.lines().map(|line| (line, change(line))).collect();
    let changed = lines.iter().filter(|(old, new)| new.as_deref() != Some(*old)).count();
    let kept: String =
        lines.into_iter().filter_map(|(_, new)| new).map(|line| line + "\n").collect();
    project.write(file, kept);
    changed
}

fn without(project: &Project, file: &str, goes: impl Fn(&str) -> bool) -> usize {
    rewrite(project, file, |line| (!goes(line)).then(|| line.to_string()))
}

#[track_caller]
fn finding<'a>(examined: &'a Examined, id: &str) -> &'a Finding {
    let found = examined.findings.iter().find(|finding| finding.id == id);
    found.unwrap_or_else(|| panic!("no finding {id}"))
}

#[track_caller]
fn comes_out(examined: &Examined, id: &str, outcome: Outcome, says: &str) {
    let found = finding(examined, id);
    assert_eq!(found.outcome, outcome, "{id}: {}", found.sentence);
    assert!(found.sentence.contains(says), "{id}: {}", found.sentence);
}

/// What P1's blocks hid of the keel strip, in plan, m2.
fn hidden_of_keel_m2() -> f64 {
    let chains = list(&EXPECTED["chains"]["KL"]).iter();
    let hidden = chains.filter(|chain| list(&chain["hidden_in"]).iter().any(|id| text(id) == "P1"));
    hidden.map(|chain| chain["area_m2"].as_f64().expect("an area")).sum()
}

#[test]
fn all_of_the_keel_strip_on_its_blocks_names_them_and_the_area() {
    let project = copied();
    project.edit(COATS, KL_COAT_1, &KL_COAT_1.replace("exposed", "all"));
    let examined = read(&project.root());
    comes_out(
        &examined,
        "coating.KL.coat1.all-P1.claim",
        Outcome::Differs,
        "that stood on K1, K2, K3",
    );
    let claim = finding(&examined, "coating.KL.coat1.all-P1.claim");
    assert!(claim.sentence.contains("in P1"), "{}", claim.sentence);
    let coat =
        examined.project.coats.iter().position(|coat| coat.name == "KL.coat1.all-P1").unwrap();
    let done = done(&examined, coat);
    let (hidden, found) = (hidden_of_keel_m2(), area_m2(&done.on_blocks));
    assert!((found - hidden).abs() < 0.01, "{found}, by the classes {hidden}");
    // Every block that stood on the strip is among the records.
    let blocks =
        examined.project.blocks.iter().filter(|block| claim.records.contains(&block.place));
    let keel =
        examined.project.blocks.iter().filter(|b| b.id.starts_with('K') && b.stands_in("P1"));
    assert_eq!(blocks.count(), keel.count());
    // Nobody painted through a block: the steel is what it was.
    let zone = &examined.recomputed.coating.zones[0];
    let sum = zone.completeness().expect("a scheme");
    let as_before = &EXPECTED["chains"]["KL"][2];
    assert_eq!(list(&as_before["hidden_in"]).len(), 2);
    assert!((sum.none_m2 - as_before["true_area_m2"].as_f64().unwrap()).abs() < 1e-4);
}

#[test]
fn patches_before_any_shift_are_nothing() {
    let project = copied();
    project.edit(COATS, "KL,exposed,2,EP2", "KL,patches,2,EP2");
    let examined = read(&project.root());
    let claim = "coating.KL.coat2.patches-P1.claim";
    comes_out(&examined, claim, Outcome::Differs, "no steel that an earlier position had hidden");
    comes_out(&examined, claim, Outcome::Differs, "P1");
    comes_out(&examined, "coating.KL.coat3.exposed-P1.order", Outcome::Differs, "had no coat 2");
    comes_out(&examined, "coating.zone.KL.complete", Outcome::BeyondLimit, "coat 2 missing");
}

#[test]
fn a_preparation_after_the_first_coat_is_none_for_it() {
    // All of the strip's checks before coat 1, the wash too, go to the hour after it.
    let project = copied();
    let moved = rewrite(&project, PREPARATION, |line| {
        let first = line.starts_with("KL,exposed,") && line.contains("2031-04-10T0");
        let wash = line.starts_with("KL,exposed,wash") && line.contains("2031-04-08T10:30");
        let line = line.replace("2031-04-08T10:30", "2031-04-10T10:30");
        Some(if first || wash { line.replace("2031-04-10T", "2031-04-11T") } else { line })
    });
    assert_eq!(moved, 7);
    let examined = read(&project.root());
    let covered = "coating.KL.coat1.exposed-P1.preparation.covered";
    comes_out(&examined, covered, Outcome::Differs, "before its preparation was recorded");
    for what in ["grade", "profile", "salts", "dust", "age"] {
        let id = format!("coating.KL.coat1.exposed-P1.preparation.{what}");
        comes_out(&examined, &id, Outcome::NotRecorded, "not recorded");
    }
    // Beside it nothing changes.
    comes_out(&examined, "coating.BP.coat1.exposed-P1.preparation.covered", Outcome::Agrees, "");
}

#[test]
fn a_wash_alone_is_no_preparation_for_a_coat_that_asks_for_blasting() {
    let project = copied();
    let moved = rewrite(&project, PREPARATION, |line| {
        let blast = line.starts_with("KL,exposed,blast");
        Some(if blast { line.replace("2031-04-10T", "2031-04-11T") } else { line.to_string() })
    });
    assert_eq!(moved, 6);
    let examined = read(&project.root());
    let covered = "coating.KL.coat1.exposed-P1.preparation.covered";
    comes_out(&examined, covered, Outcome::Differs, "before its preparation was recorded");
    comes_out(&examined, "coating.KL.coat1.exposed-P1.preparation.age", Outcome::NotRecorded, "");
}

#[test]
fn coat_2_where_there_is_no_coat_1() {
    let project = copied();
    assert_eq!(without(&project, COATS, |line| line.starts_with(KL_COAT_1)), 1);
    let examined = read(&project.root());
    comes_out(&examined, "coating.KL.coat2.exposed-P1.order", Outcome::Differs, "had no coat 1");
    let order = finding(&examined, "coating.KL.coat2.exposed-P1.order");
    let received =
        EXPECTED["applications"]["KL.coat2.exposed-P1"]["received_m2"].as_f64().expect("an area");
    let done = done(&examined, 4);
    assert_eq!(examined.project.coats[4].name, "KL.coat2.exposed-P1");
    // The points of the strip's ends, narrower than the feathering, are no fault.
    assert!((area_m2(&done.lacking) - received).abs() < 0.1, "{}", order.sentence);
    comes_out(&examined, "coating.KL.coat3.exposed-P1.order", Outcome::Agrees, "lies on coat 2");
    comes_out(&examined, "coating.zone.KL.complete", Outcome::BeyondLimit, "coat 1 missing");
}

#[test]
fn without_a_wash_after_the_flooding_every_tie_in_asks_for_one() {
    let project = copied();
    let gone = without(&project, PREPARATION, |line| {
        line.contains("2031-04-22T") || line.contains(",patches,")
    });
    assert!(gone > 6, "{gone}");
    let examined = read(&project.root());
    let mut asked = 0;
    for tie_in in list(&EXPECTED["tie_ins"]) {
        if list(&tie_in["across_flooding"]).is_empty() {
            continue;
        }
        let id = text(&tie_in["finding"]);
        comes_out(
            &examined,
            id,
            Outcome::NotRecorded,
            "a wash or abrasion after it is not recorded",
        );
        asked += 1;
    }
    assert!(asked >= 12, "{asked}");
}

#[test]
fn a_wash_of_the_patches_alone_is_none_of_the_field_round_them() {
    // What is left after the flooding was done to the patches only; the coating round them is old paint.
    let project = copied();
    assert_eq!(without(&project, PREPARATION, |line| line.contains("2031-04-22T")), 3);
    let examined = read(&project.root());
    let id = "coating.KL.coat1.patches-P2.border.BP.coat4.exposed-P1";
    comes_out(&examined, id, Outcome::NotRecorded, "a wash or abrasion after it is not recorded");
}

#[test]
fn a_wash_of_one_square_metre_is_none_of_all_that_lies_across_a_flooding() {
    let project = copied();
    project.append("coating/areas.csv", "SPOT,1,40,0\nSPOT,2,41,0\nSPOT,3,41,0.5\nSPOT,4,40,0.5\n");
    let washes = rewrite(&project, PREPARATION, |line| {
        let wash = line.starts_with("KL,exposed,wash") && line.contains("2031-04-22T");
        let other = line.contains(",patches,abrade") && line.starts_with("KL");
        if other {
            return None;
        }
        Some(if wash { line.replace("KL,exposed", "KL,SPOT") } else { line.to_string() })
    });
    assert_eq!(washes, 2);
    let examined = read(&project.root());
    let id = "coating.KL.coat1.patches-P2.border.KL.coat4.exposed-P1";
    comes_out(&examined, id, Outcome::NotRecorded, "a wash or abrasion after it is not recorded");
}

#[test]
fn steel_outside_a_products_table_has_no_window() {
    let project = copied();
    // EP1 keeps its rows of 10 and 15 degrees; the steel was down to 6.8.
    let table = project.text("coating/products.toml");
    let cold = |entry: &&str| {
        let of = |c: &str| entry.contains(&format!("steel_temperature_c = {c}\n"));
        entry.contains("\"EP1\"") && (of("0") || of("5"))
    };
    let kept: Vec<&str> = table.split("[[recoat]]").filter(|entry| !cold(entry)).collect();
    assert_eq!(table.split("[[recoat]]").count() - kept.len(), 2);
    project.write("coating/products.toml", kept.join("[[recoat]]"));
    let examined = read(&project.root());
    for pair in list(&EXPECTED["recoat"]) {
        let (earlier, id) = (text(&pair["earlier"]), text(&pair["finding"]));
        if earlier.contains("coat1") && pair["coldest_c"].as_f64().expect("degrees") < 10.0 {
            comes_out(
                &examined,
                id,
                Outcome::NotRecorded,
                "the steel was outside its recoat table",
            );
            assert!(finding(&examined, id).against.is_none(), "{id}");
        }
    }
    comes_out(
        &examined,
        "coating.KL.coat3.exposed-P1.recoat.coat2.exposed-P1",
        Outcome::Agrees,
        "within the window",
    );
}

#[test]
fn an_area_that_reaches_out_of_its_zone_is_a_contradiction() {
    let project = copied();
    rewrite(&project, "coating/areas.csv", |line| {
        Some(line.replace("RING1,3,40.40,4.30", "RING1,3,40.40,8.30"))
    });
    let examined = read(&project.root());
    comes_out(&examined, "coating.BP.coat4.RING1-P1.claim", Outcome::Differs, "outside BP");
}

#[test]
fn times_that_are_missing_or_the_wrong_way_round() {
    let project = copied();
    project.edit(
        COATS,
        "2031-04-10T10:50:00,2031-04-10T13:05:00",
        "2031-04-10T13:05:00,2031-04-10T10:50:00",
    );
    project.edit(COATS, "2031-04-16T10:20:00,2031-04-16T12:30:00", ",");
    let examined = read(&project.root());
    comes_out(
        &examined,
        "coating.KL.coat1.exposed-P1.times",
        Outcome::Differs,
        "ended before it began",
    );
    for what in ["times", "claim", "climate.margin", "climate.humidity", "climate.age"] {
        let id = format!("coating.KL.coat4.exposed-P1.{what}");
        comes_out(&examined, &id, Outcome::NotRecorded, "");
    }
    comes_out(&examined, "coating.zone.KL.complete", Outcome::BeyondLimit, "coat 4 missing");
}
