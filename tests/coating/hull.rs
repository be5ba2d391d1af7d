//! Plating, anodes and the dates of the whole record.

use lastdock::calc::plating::{allowed_loss_m, anode_loss_pct, loss_m, loss_pct, used_up_pct};
use lastdock::findings::finding::Outcome;
use lastdock::findings::recomputed::plating::plate;
use serde_json::json;

use super::{EXACT, EXAMINED, EXPECTED, entries, list, near, project, text};

#[test]
fn what_every_strake_has_lost() {
    let strakes = &EXAMINED.recomputed.strakes;
    assert_eq!(strakes.len(), entries(&EXPECTED["plating"]).count());
    for strake in strakes {
        let (name, wanted) = (&strake.name, &EXPECTED["plating"][&strake.name]);
        assert!(strake.without_original.is_empty(), "{name}");
        assert_eq!(strake.gaugings.len(), wanted["plates"], "{name}");
        let group = strake.group.as_ref().expect("gaugings");
        near(name, group.mean_loss_m * 1e3, &wanted["mean_loss_mm"], EXACT);
        let gauging = |n: usize| &project().plating[strake.gaugings[n]];
        let worst = gauging(group.worst);
        assert_eq!(worst.plate, wanted["worst_plate"], "{name}");
        let original = worst.original_m.expect("an original");
        let lost = loss_m(original, worst.measured_m);
        near(name, lost * 1e3, &wanted["worst_loss_mm"], EXACT);
        near(name, loss_pct(original, worst.measured_m), &wanted["worst_loss_pct"], EXACT);
        let nearest = group.nearest_limit.expect("a limit");
        assert_eq!(gauging(nearest).plate, wanted["nearest_limit_plate"], "{name}");
        let near_limit = plate(project(), strake.gaugings[nearest]).expect("an original");
        let limit = near_limit.limit.expect("a limit");
        let (original, measured) = (near_limit.original_m, near_limit.measured_m);
        let part = loss_m(original, measured) / allowed_loss_m(original, limit);
        near(name, part, &wanted["part_of_limit"], EXACT);
        let used = used_up_pct(original, measured, limit).map(|pct| pct / 100.0);
        near(name, used, &wanted["part_of_limit"], EXACT);
        let beyond: Vec<&str> = group.beyond.iter().map(|n| gauging(*n).plate.as_str()).collect();
        assert_eq!(json!(beyond), wanted["beyond"], "{name}");
    }
}

#[test]
fn what_every_anode_has_lost() {
    assert_eq!(project().anodes.len(), entries(&EXPECTED["anodes"]).count());
    for anode in &project().anodes {
        let wanted = &EXPECTED["anodes"][&anode.id];
        let (fitted, found) = anode.mass_fitted_t.zip(anode.mass_found_t).expect("two masses");
        near(&anode.id, fitted * 1e3, &wanted["fitted_kg"], EXACT);
        near(&anode.id, found * 1e3, &wanted["found_kg"], EXACT);
        near(&anode.id, anode_loss_pct(fitted, found), &wanted["loss_pct"], EXACT);
    }
}

#[test]
fn how_many_dates_the_record_holds() {
    let wanted = &EXPECTED["period"];
    let dated = EXAMINED.recomputed.chronology.dated.iter();
    let dated = dated.filter(|dated| *dated.place.file != *"papers/papers.csv").count();
    assert_eq!(dated, wanted["dated_records"]);
    let outside: Vec<&str> = list(&wanted["outside"]).iter().map(text).collect();
    assert!(outside.is_empty());
    let period = EXAMINED.findings.iter().find(|f| f.id == "chronology.period");
    let sentence = &period.expect("the finding").sentence;
    assert!(sentence.contains(&format!("All {dated} dates")), "{sentence}");
}

#[test]
fn only_the_two_faults_put_in_on_purpose_are_found_and_both_are_answered() {
    let sections = ["plating", "anodes", "chronology"];
    let found: Vec<_> = EXAMINED
        .findings
        .iter()
        .filter(|finding| sections.contains(&finding.section()))
        .filter(|finding| finding.outcome != Outcome::Agrees)
        .map(|finding| (finding.id.as_str(), finding.outcome, finding.remark.is_some()))
        .collect();
    let wanted = [
        ("plating.F-S.loss", Outcome::BeyondLimit, true),
        ("anodes.AN17.loss", Outcome::Differs, true),
    ];
    assert_eq!(found, wanted);
}
