//! Readings that a rule owes for a zone's size, the correction for profile under every rule, and figures that
//! are printed with the digits that they need.

use lastdock::findings::finding::{Figure, Finding, Outcome};
use lastdock::text::System;

use super::read;
use crate::common::Project;

const FILM: &str = "coating/film.csv";

/// A copy without remarks: an edit may take away what one answers.
fn copied() -> Project {
    let project = Project::copied();
    project.write("remarks.toml", "");
    project
}

fn finding(project: &Project, id: &str) -> Finding {
    let found = read(&project.root()).findings.into_iter().find(|finding| finding.id == id);
    found.unwrap_or_else(|| panic!("no finding {id}"))
}

/// Leaves so many readings of a zone after a coat.
fn keep(project: &Project, of: &str, most: usize) {
    let mut kept = 0;
    let text = project.text(FILM);
    let lines = text.lines().filter(|line| {
        let one = line.starts_with(of);
        kept += usize::from(one);
        !one || kept <= most
    });
    let lines: Vec<&str> = lines.collect();
    project.write(FILM, lines.join("\n") + "\n");
    assert!(kept > most, "{of} has {kept} readings");
}

#[test]
fn too_few_readings_for_the_zones_size_are_reported_for_each_rule() {
    // BP is 251.2 m2: 30 readings for the first 100 m2 and twice 10. SS is 431 m2: one for each 5 m2. BS
    // owes five areas, 25 spots of three readings.
    for (of, id, most, owed) in [
        ("BP,1,", "film.BP.coat1.owed", 49, 50),
        ("SS,1,", "film.SS.coat1.owed", 86, 87),
        ("BS,1,", "film.BS.coat1.owed", 60, 5),
    ] {
        let project = copied();
        assert_eq!(finding(&project, id).outcome, Outcome::Agrees, "{id}");
        keep(&project, of, most);
        let short = finding(&project, id);
        assert_eq!(short.outcome, Outcome::BeyondLimit, "{}", short.sentence);
        assert_eq!(short.recomputed, Some(Figure::Count(owed)), "{}", short.sentence);
        let accepted = finding(&project, id.trim_end_matches(".owed"));
        assert_eq!(accepted.outcome, Outcome::Agrees, "{}", accepted.sentence);
    }
}

/// Each gauge's correction by another value; the readings stay.
fn corrected_by(project: &Project, um: &str) {
    let text = project.text("coating/gauges.csv").replace(",20,2031", &format!(",{um},2031"));
    project.write("coating/gauges.csv", text.replace(",21,2031", &format!(",{um},2031")));
}

#[test]
fn the_profile_is_taken_off_under_every_rule() {
    for (id, nominal_um) in
        [("film.KL.coat4", 425.0), ("film.BS.coat4", 0.0), ("film.SS.coat3", 0.0)]
    {
        let project = copied();
        let mean = |finding: &Finding| match finding.recorded {
            Some(Figure::Measure(measure)) => measure.in_unit(System::Si),
            ref other => panic!("{other:?}"),
        };
        let found = finding(&project, id);
        assert_eq!(found.outcome, Outcome::Agrees, "{}", found.sentence);
        corrected_by(&project, "200");
        let thinner = finding(&project, id);
        assert!((mean(&found) - mean(&thinner) - 179.5).abs() < 0.6, "{id} {nominal_um}");
        assert_eq!(thinner.outcome, Outcome::BeyondLimit, "{}", thinner.sentence);
    }
}

#[test]
fn readings_of_a_gauge_without_a_correction_are_taken_as_read_and_that_is_stated() {
    let project = copied();
    corrected_by(&project, "");
    for (id, outcome, says) in [
        (
            "film.KL.coat4",
            Outcome::NotRecorded,
            "the gauge's correction for the profile is not recorded",
        ),
        ("film.BS.coat4", Outcome::Agrees, "All of them count as read"),
        ("film.SS.coat3", Outcome::Agrees, "All of them count as read"),
    ] {
        let found = finding(&project, id);
        assert_eq!(found.outcome, outcome, "{}", found.sentence);
        assert!(found.sentence.contains(says), "{}", found.sentence);
    }
}

#[test]
fn a_claim_of_next_to_nothing_is_one_of_nothing_and_uses_no_share_of_paint() {
    let project = copied();
    project.append(
        "coating/areas.csv",
        "DOT,1,40,1.5\nDOT,2,40.005,1.5\nDOT,3,40.005,1.506\nDOT,4,40,1.506\n",
    );
    project.edit("coating/coats.csv", "BP,RING1,4,", "BP,DOT,4,");
    let paint = finding(&project, "coating.BP.coat4.DOT-P1.paint");
    assert_eq!(paint.outcome, Outcome::NotRecorded, "{}", paint.sentence);
    assert!(
        paint.sentence.contains("reached no steel, or less than 0.001 m\u{b2}"),
        "{}",
        paint.sentence
    );
    let claim = finding(&project, "coating.BP.coat4.DOT-P1.claim");
    assert_eq!(claim.outcome, Outcome::Differs, "{}", claim.sentence);
}

#[test]
fn a_limit_prints_with_the_unit_and_the_digits_that_it_needs() {
    let project = copied();
    let docking = project.text("docking.toml");
    let docking =
        docking.replace("[limits.humidity]\nvalue = 85\n", "[limits.humidity]\nvalue = 74.96\n");
    project.write("docking.toml", docking);
    let examined = read(&project.root());
    let bounds = &examined.project.docking.bounds;
    let printed = |bound| Figure::bound(bound).to_string();
    assert_eq!(bounds.tolerance("plate_thickness").map(printed).as_deref(), Some("0.2 mm"));
    assert_eq!(bounds.limit("humidity").map(printed).as_deref(), Some("74.96 %"));
    assert_eq!(bounds.limit("end_gap").map(printed).as_deref(), Some("0.040 m"));
}

#[test]
fn a_margin_just_under_its_limit_is_not_printed_as_the_limit() {
    let limit = Figure::temperature_difference(3.0);
    let margin = Figure::temperature_difference(2.98);
    assert_eq!(
        (margin.to_string().as_str(), margin.apart_from(&limit).to_string().as_str()),
        ("3.0 K", "2.98 K")
    );
    let alike = Figure::temperature_difference(3.0).apart_from(&limit);
    assert_eq!(alike.to_string(), "3.0 K");
    assert_eq!(Figure::film(299.6e-6).to_string(), "299.6 \u{b5}m");
    assert_eq!(Figure::film(125e-6).to_string(), "125 \u{b5}m");
}
