//! Where she lay, told against what was seen: sightings of which one or two are mistyped, and checks of the
//! centreline made while she landed.

use crate::common::{self, Project};
use lastdock::findings::Examined;
use lastdock::findings::finding::{Finding, Outcome};

const MARKS: &str = "positions/marks.csv";
const CHECKS: &str = "landing/checks.csv";
const POSITIONS: &str = "positions/positions.csv";

#[track_caller]
fn finding<'a>(examined: &'a Examined, id: &str) -> &'a Finding {
    let found = examined.findings.iter().find(|finding| finding.id == id);
    found.unwrap_or_else(|| panic!("no finding {id}"))
}

/// The ids of the sightings' findings in P1 with their outcomes.
fn sightings(examined: &Examined) -> Vec<(&str, Outcome)> {
    let begins = "positions.P1.sighting.";
    let of_p1 = examined
        .findings
        .iter()
        .filter_map(|finding| Some((finding.id.strip_prefix(begins)?, finding.outcome)));
    of_p1.collect()
}

#[test]
fn one_mistyped_sighting_is_named_and_the_others_are_judged_without_it() {
    let project = Project::copied();
    project.edit(MARKS, "55.065", "58.065");
    let examined = common::examined(&project.root());
    for (mark, outcome) in sightings(&examined) {
        let wanted = if mark == "M3" { Outcome::Differs } else { Outcome::Agrees };
        assert_eq!(outcome, wanted, "{mark}");
    }
    let sentence = &finding(&examined, "positions.P1.sighting.M3").sentence;
    assert!(
        sentence.contains("3.002 m from where the others put it, and is set aside"),
        "{sentence}"
    );
    let station = finding(&examined, "positions.P1.station");
    assert_eq!(station.outcome, Outcome::Agrees);
    let words = "The sighting of M3 does not fit the others and is set aside.";
    assert!(station.sentence.to_string().ends_with(words), "{}", station.sentence);
    // The fit is that of the seven others: as by least squares without it (numpy, by expected.py's steps).
    let fit = &examined.recomputed.positions[0].fit;
    let found = fit.srp_station_m.expect("a station");
    assert!((found - 14.307_560_8).abs() < 1e-6, "{found}");
}

#[test]
fn of_two_mistyped_sightings_none_is_blamed_alone() {
    let project = Project::copied();
    project.edit(MARKS, "55.065", "58.065");
    project.edit(MARKS, "80.146", "81.046");
    let examined = common::examined(&project.root());
    for (mark, outcome) in sightings(&examined) {
        assert_ne!(outcome, Outcome::Agrees, "{mark}");
    }
    let sentence = &finding(&examined, "positions.P1.sighting.M3").sentence;
    assert!(sentence.contains("no single sighting explains that"), "{sentence}");
    let station = finding(&examined, "positions.P1.station");
    assert_ne!(station.outcome, Outcome::Agrees);
    assert!(
        station.sentence.contains("no single one of them explains that"),
        "{}",
        station.sentence
    );
}

#[test]
fn a_position_is_not_proved_by_sightings_that_contradict_each_other() {
    let project = Project::copied();
    // By as much forward as aft on the same side, so that the fit stays where it was.
    project.edit(MARKS, "55.065", "56.065");
    project.edit(MARKS, "80.146", "79.146");
    let examined = common::examined(&project.root());
    let station = finding(&examined, "positions.P1.station");
    assert_eq!(station.outcome, Outcome::NotRecorded, "{}", station.sentence);
    assert!(
        station.sentence.contains("its sightings do not fit each other"),
        "{}",
        station.sentence
    );
    let shift = finding(&examined, "positions.P1-P2.shift");
    assert_eq!(shift.outcome, Outcome::NotRecorded, "{}", shift.sentence);
}

#[test]
fn a_check_of_the_centreline_is_held_against_where_she_lay() {
    let id = "landing.P1.check.centreline.K1";
    // She lay well off the plan, and the check says so too: the two agree.
    let project = Project::copied();
    project.edit(POSITIONS, "14.31,0.012", "14.31,0.092");
    project.edit(CHECKS, "0.000,0.014,yes", "0.000,0.094,no");
    let examined = common::examined(&project.root());
    let found = finding(&examined, id);
    assert_eq!(found.outcome, Outcome::Agrees, "{}", found.sentence);
    assert!(
        found.sentence.to_string().ends_with(" The checker did not find it as planned."),
        "{}",
        found.sentence
    );
    assert_eq!(finding(&examined, "positions.P1.plan").outcome, Outcome::BeyondLimit);
    // She lay off the plan, and the check says that she did not: they contradict each other.
    let project = Project::copied();
    project.edit(POSITIONS, "14.31,0.012", "14.31,0.092");
    let examined = common::examined(&project.root());
    let found = finding(&examined, id);
    assert_eq!(found.outcome, Outcome::Differs, "{}", found.sentence);
    assert!(
        found.sentence.contains("K1 in P1 is 0.082 m from where she lay"),
        "{}",
        found.sentence
    );
}

#[test]
fn the_line_of_a_check_may_be_that_of_the_plan() {
    // Planned 0.1 m off the dock's centreline, the caps scribed for it: the check's planned value is 0 there.
    let project = Project::copied();
    project.edit(POSITIONS, "P1,14.30,0.000,14.31,0.012", "P1,14.30,0.100,14.31,0.112");
    let found = common::examined(&project.root());
    let found = finding(&found, "landing.P1.check.centreline.K1");
    assert_eq!(found.outcome, Outcome::Agrees, "{}", found.sentence);
}

#[test]
fn a_check_of_the_centreline_that_cant_be_compared_is_not_one_that_passed() {
    let outcome = |spoil: &dyn Fn(&Project)| {
        let project = Project::copied();
        spoil(&project);
        let examined = common::examined(&project.root());
        let found = examined
            .findings
            .iter()
            .find(|finding| finding.id.starts_with("landing.P1.check.centreline"));
        let found = found.expect("a finding of the check");
        (found.outcome, found.sentence.clone())
    };
    let (found, sentence) =
        outcome(&|project| project.edit(CHECKS, "P1,centreline,K1,", "P1,centreline,,"));
    assert_eq!(found, Outcome::NotRecorded);
    assert!(sentence.contains("at which block it was made was not recorded"), "{sentence}");
    let (found, sentence) = outcome(&|project| {
        project.edit(POSITIONS, "14.31,0.012,0.03", "14.31,0.012,");
        // Without offsets the sightings give no yaw either: all that is left is one station.
        let kept: Vec<String> = project
            .text(MARKS)
            .lines()
            .filter(|line| !line.starts_with("P1,") || line.starts_with("P1,M1,"))
            .map(String::from)
            .collect();
        project.write(MARKS, kept.join("\n"));
    });
    assert_eq!(found, Outcome::NotRecorded);
    assert!(sentence.contains("her yaw is not known"), "{sentence}");
}
