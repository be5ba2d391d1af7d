//! What a scheme and a product's sheet ask, and what is quiet where nothing is wrong: each on a copy of the sample.

use std::collections::BTreeMap;

use lastdock::findings::Examined;
use lastdock::findings::finding::{Finding, Outcome};

use super::read;
use crate::common::Project;

/// A copy without remarks: an edit may take away what one answers.
fn copied() -> Project {
    let project = Project::copied();
    project.write("remarks.toml", "");
    project
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

/// The outcomes of findings, by their ids.
fn outcomes(examined: &Examined) -> BTreeMap<String, Outcome> {
    examined.findings.iter().map(|finding| (finding.id.clone(), finding.outcome)).collect()
}

const GRADE: &str = "coating.KL.coat1.exposed-P1.preparation.grade";
const SALTS: &str = "coating.KL.coat1.exposed-P1.preparation.salts";

#[test]
fn a_grade_of_another_standard_counts_only_where_the_scheme_accepts_it() {
    let project = copied();
    project.edit(
        "coating/preparation.csv",
        "KL,exposed,blast,Sa2.5,63",
        "KL,exposed,blast,SSPC-SP 10,63",
    );
    comes_out(&read(&project.root()), GRADE, Outcome::NotRecorded, "can't be compared with Sa2.5");
    let scheme = project.text("coating/scheme.csv");
    let accepted = |grades: &str| {
        let mut lines = scheme.lines();
        let head = format!("{},accepts\n", lines.next().expect("a header"));
        let rows = lines.map(|line| match line.starts_with("KL,1,") {
            true => format!("{line},{grades}\n"),
            false => format!("{line},\n"),
        });
        project.write("coating/scheme.csv", head + &rows.collect::<String>());
        read(&project.root())
    };
    comes_out(&accepted("SP 6"), GRADE, Outcome::Agrees, "reached the grade");
    comes_out(
        &accepted("NACE No. 2/SSPC-SP 10;WJ-1 L"),
        GRADE,
        Outcome::Agrees,
        "reached the grade",
    );
    comes_out(
        &accepted("SP 5"),
        GRADE,
        Outcome::BeyondLimit,
        "reached SSPC-SP 10, and Sa2.5 is asked",
    );
    comes_out(&accepted("St 3"), GRADE, Outcome::NotRecorded, "can't be compared");
}

#[test]
fn salts_of_one_kind_are_never_held_against_a_limit_of_another() {
    let project = copied();
    let checks = project.text("coating/preparation.csv");
    project.write("coating/preparation.csv", checks.replacen("salts_mg_m2", "chloride_mg_m2", 1));
    let examined = read(&project.root());
    comes_out(
        &examined,
        SALTS,
        Outcome::NotRecorded,
        "chloride is recorded, and the limit is of total soluble salts",
    );
    assert!(!outcomes(&examined).contains_key("coating.KL.coat1.exposed-P1.preparation.chloride"));
    // With a limit of its own kind it is judged, in whatever unit that is written: 2 ug/cm2 are 20 mg/m2.
    let scheme = project.text("coating/scheme.csv");
    let lines = scheme.lines().enumerate().map(|(n, line)| match (n, line.starts_with("KL,1,")) {
        (0, _) => format!("{line},greatest_chloride_ug_cm2\n"),
        (_, true) => format!("{line},2\n"),
        (_, false) => format!("{line},\n"),
    });
    project.write("coating/scheme.csv", lines.collect::<String>());
    let examined = read(&project.root());
    comes_out(
        &examined,
        "coating.KL.coat1.exposed-P1.preparation.chloride",
        Outcome::BeyondLimit,
        "The chloride on the steel for KL coat 1 (exposed) was 30.0",
    );
    // A conductivity says nothing of salts either.
    project
        .write("coating/preparation.csv", checks.replacen("salts_mg_m2", "conductivity_us_cm", 1));
    comes_out(&read(&project.root()), SALTS, Outcome::NotRecorded, "conductivity is recorded");
}

#[test]
fn stripe_coats_are_no_coats_of_their_zones() {
    let without = copied();
    without.remove("coating/stripes.csv");
    let (with, without) = (read(&copied().root()), read(&without.root()));
    let others = |examined: &Examined| {
        let mut found = outcomes(examined);
        found.retain(|id, _| !id.contains(".stripe"));
        found
    };
    assert_eq!(others(&with), others(&without));
    let areas = |examined: &Examined| -> Vec<Option<f64>> {
        let zones = examined.recomputed.coating.zones.iter();
        zones.map(|zone| zone.completeness().map(|sum| sum.full_m2)).collect()
    };
    assert_eq!(areas(&with), areas(&without));
    comes_out(
        &without,
        "coating.zone.KL.stripe2",
        Outcome::NotRecorded,
        "The stripe coat before coat 2 of KL",
    );
}

/// The coat of one zone by two gangs, each with its share of the paint: no application twice, and no coat over itself.
#[test]
fn two_gangs_at_one_coat_are_no_mistake() {
    let row =
        "SP,all,1,EP1,EP1-0917,2031-04-11T10:10:00,2031-04-11T15:50:00,98.5,180,Corwin Thackerell";
    let project = copied();
    let coats = project.text("coating/coats.csv");
    let whole = coats.lines().find(|line| line.starts_with(row)).expect("the row");
    let gang = |batch: &str, began: &str, by: &str| {
        whole
            .replace("EP1-0917", batch)
            .replace("2031-04-11T10:10:00", began)
            .replace(",98.5,", ",49.2,")
            .replace("Corwin Thackerell", by)
    };
    for batches in [["EP1-0917", "EP1-1104"], ["EP1-0917", "EP1-0917"]] {
        let one = gang(batches[0], "2031-04-11T10:10:00", "Corwin Thackerell");
        let other = gang(batches[1], "2031-04-11T10:25:00", "Bettany Skaive");
        project.write("coating/coats.csv", coats.replace(whole, &format!("{one}\n{other}")));
        let examined = read(&project.root());
        comes_out(&examined, "coating.entered_once", Outcome::Agrees, "32 applications");
        let wrong = examined.findings.iter().find(|finding| {
            finding.id.starts_with("coating.SP.coat1") && finding.id.contains(".recoat.")
        });
        assert!(wrong.is_none(), "{wrong:?}");
    }
}

/// A limit typed from a data sheet asks once for what is recorded of no application.
#[test]
fn limits_of_a_product_ask_quietly() {
    let project = copied();
    let products = project.text("coating/products.toml");
    project.write(
        "coating/products.toml",
        products.replace("latest_immersion_d = 60\n", "pot_life_h = 6\n"),
    );
    let examined = read(&project.root());
    let unknown: Vec<&Finding> = examined
        .findings
        .iter()
        .filter(|finding| finding.id.contains("coat4") && finding.id.ends_with(".pot_life"))
        .collect();
    assert!(unknown.len() > 5, "{}", unknown.len());
    assert!(unknown.iter().all(|finding| finding.outcome == Outcome::NotRecorded));
    let causes: Vec<_> = unknown.iter().filter_map(|finding| finding.cause.as_ref()).collect();
    assert_eq!(causes.len(), unknown.len());
    assert!(causes.windows(2).all(|two| two[0] == two[1]), "one cause");
}

/// Where parts of the steel were treated in different ways since a flooding, each is told, and none of the whole.
#[test]
fn blasting_is_told_only_of_what_was_blasted() {
    let examined = read(&copied().root());
    let border = "coating.BP.coat1.patches-P2.border.";
    let ties = examined.findings.iter().filter(|finding| finding.id.starts_with(border));
    let told: Vec<String> = ties.map(|finding| finding.sentence.to_string()).collect();
    assert!(!told.is_empty());
    for sentence in told {
        assert!(sentence.contains("a wash is recorded on 2031-04-22"), "{sentence}");
        assert!(!sentence.contains("blasting"), "only the patches were blasted: {sentence}");
    }
}
