//! Whether the dates of the records can be true: within the docking's period, and within the time in
//! which their position was on the blocks.

use crate::text;
use chrono::{DateTime, FixedOffset, NaiveDate};

use super::finding::{Figure, Finding};
use super::judge::{agrees, differs, incomplete, not_recorded, unchecked};
use super::recomputed::Recomputed;
use super::recomputed::chronology::Dated;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::checks::LandingCheck;
use crate::records::divers;
use crate::records::papers;
use crate::records::place::Place;
use crate::records::positions::Position;
use crate::text::list_first;

/// How many records a sentence names.
const MOST_NAMED: usize = 4;
/// Checks of the blocks rather than of the ship on them, which may be made before she touches.
const OF_THE_BLOCKS: [&str; 3] = ["wedge", "declivity", "other"];

/// Every finding of the chronology.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let mut found = vec![period(project, &recomputed.chronology.dated)];
    found.extend(project.positions.iter().map(|position| on_the_blocks(project, position)));
    found
}

/// The day of a record by the project's own clock.
pub fn day(project: &Project, at: DateTime<FixedOffset>) -> NaiveDate {
    project.docking.clock.shown(at).date_naive()
}

/// Whether the records of a table belong to the docking's period: papers may be older or younger.
pub fn belongs(dated: &Dated) -> bool {
    dated.table != papers::SPEC.path
}

/// No record is dated outside the docking.
fn period(project: &Project, dated: &[Dated]) -> Finding {
    let (began, ended) = project.docking.period;
    let outside: Vec<&Dated> = dated
        .iter()
        .filter(|dated| belongs(dated))
        .filter(|dated| {
            let day = day(project, dated.at);
            began.is_some_and(|began| day < began) || ended.is_some_and(|ended| day > ended)
        })
        .collect();
    let count = dated.iter().filter(|dated| belongs(dated)).count();
    let named = |day: Option<NaiveDate>| day.map_or("an unknown day".into(), |d| d.to_string());
    let whole = format!("{} to {}", named(began), named(ended));
    let judgement = match (began, ended) {
        (None, None) => not_recorded("the first and the last day of the docking"),
        _ if !outside.is_empty() => {
            let named = names(outside.iter().map(|dated| (dated.at, &dated.place)), project);
            differs(text!(
                "{} of {} dates can't be right, outside the period of the docking, {}: {}.",
                outside.len(),
                count,
                whole,
                named
            ))
        }
        (Some(_), Some(_)) => {
            agrees(text!("All {} dates of the records lie within {}.", count, whole))
        }
        _ => incomplete(
            "The first or the last day of the docking was not recorded; no date lies outside the other.",
        ),
    };
    let finding = judgement
        .finding(Subject::Period)
        .recorded(began.or(ended).map(|_| Figure::words(whole)))
        .recomputed(Figure::words(format!("{} outside of {count}", outside.len())));
    // Each date stands in a place of its own, and a period mistyped may leave all of them outside.
    Finding { records: outside.iter().map(|dated| dated.place.clone()).collect(), ..finding }
}

/// A record of a position that tells when it was made.
struct Made<'a> {
    at: DateTime<FixedOffset>,
    place: &'a Place,
    /// Whether it can only have been made with the ship on the blocks.
    on_blocks: bool,
}

/// Sightings, landing checks and gaps of a position lie between its first touch and her floating again.
fn on_the_blocks(project: &Project, position: &Position) -> Finding {
    let id = &position.id;
    let (touched, afloat) = (position.times.touched, position.times.afloat);
    let of_the_blocks = |check: &LandingCheck| OF_THE_BLOCKS.contains(&check.check.as_str());
    let sightings = project.sightings.iter().filter(|sighting| sighting.position == *id);
    let sightings =
        sightings.filter_map(|row| Some(Made { at: row.at?, place: &row.place, on_blocks: true }));
    let divers = project.divers.iter().filter(|row| row.position == *id);
    let divers = divers.filter_map(|row| {
        let on_blocks = row.occasion != divers::Occasion::BeforeTouchdown;
        Some(Made { at: row.at?, place: &row.place, on_blocks })
    });
    let checks = project.checks.iter().filter(|check| check.position == *id);
    let checks = checks.filter_map(|row| {
        Some(Made { at: row.at?, place: &row.place, on_blocks: !of_the_blocks(row) })
    });
    let gaps = project.gaps.iter().filter(|gap| gap.position == *id);
    let gaps =
        gaps.filter_map(|row| Some(Made { at: row.at?, place: &row.place, on_blocks: true }));
    let made: Vec<Made> = sightings.chain(divers).chain(checks).chain(gaps).collect();
    let outside: Vec<&Made> = made
        .iter()
        .filter(|made| {
            let early = made.on_blocks && touched.is_some_and(|touched| made.at < touched);
            early || afloat.is_some_and(|afloat| made.at > afloat)
        })
        .collect();
    let judgement = match (touched, afloat) {
        _ if !outside.is_empty() => differs(text!(
            "{} of {} sightings, landing checks and gaps can't have been made of {}, since she was not on its \
             blocks then: {}.",
            outside.len(),
            made.len(),
            id,
            names(outside.iter().map(|made| (made.at, made.place)), project)
        )),
        (Some(_), Some(_)) if made.is_empty() => unchecked(
            text!("the dates of {}", id),
            "no sighting, landing check or gap of it says when it was made",
        ),
        (Some(_), Some(_)) => agrees(text!(
            "All {} dated sightings, landing checks and gaps of {} lie between touched and afloat, or are checks \
             of the blocks before.",
            made.len(),
            id
        )),
        _ => not_recorded(text!("when she touched in {}, or floated again,", id)),
    };
    let end = |time: Option<DateTime<FixedOffset>>| {
        time.map_or("not recorded".to_string(), |time| time.to_rfc3339())
    };
    judgement
        .finding(Subject::PositionPeriod(id.clone()))
        .recorded(Figure::words(format!("touched {}, afloat {}", end(touched), end(afloat))))
        .recomputed(Figure::words(format!("{} outside of {}", outside.len(), made.len())))
        .from([&position.place])
        .from(outside.iter().map(|made| made.place))
}

/// The first few of some records with their places, and how many more there are.
fn names<'a>(
    records: impl Iterator<Item = (DateTime<FixedOffset>, &'a Place)>,
    project: &Project,
) -> String {
    let all: Vec<String> = records
        .map(|(at, place)| {
            let at = project.docking.clock.shown(at);
            let line = place.line.map(|line| format!(":{line}")).unwrap_or_default();
            format!("{} at {}{line}", at.format("%Y-%m-%d %H:%M"), place.file)
        })
        .collect();
    list_first(&all, MOST_NAMED)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::finding::Outcome;
    use crate::findings::{Examined, examine};
    use crate::records::memory;

    const P1: &str = "P1,10,0,2031-04-07T11:00:00Z,2031-04-09T11:00:00Z\n";

    fn examined(period: &str, positions: &str, checks: &str, sightings: &str) -> Examined {
        let docking = format!(
            "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n[period]\n{period}"
        );
        let project = memory::project(&[
            ("docking.toml", docking),
            (
                "plan/blocks.csv",
                "block,row,station_m,offset_m,length_m,width_m\nK1,keel,12,0,0.6,1.2\n".into(),
            ),
            (
                "positions/positions.csv",
                format!(
                    "position,recorded_srp_station_m,recorded_offset_m,touched,afloat\n{positions}"
                ),
            ),
            (
                "positions/marks.csv",
                format!(
                    "position,mark,hull_x_m,hull_y_m,dock_station_m,dock_offset_m,at\n{sightings}"
                ),
            ),
            ("landing/checks.csv", format!("position,check,block,recorded,at\n{checks}")),
            (
                "papers/papers.csv",
                "file,kind,about,taken_at\nold.png,photograph,,1999-01-01T00:00:00Z\n".into(),
            ),
        ]);
        examine(project).unwrap_or_else(|problems| panic!("{problems:?}"))
    }

    fn finding<'a>(examined: &'a Examined, id: &str) -> &'a Finding {
        let found = examined.findings.iter().find(|finding| finding.id == id);
        found.unwrap_or_else(|| panic!("no {id}"))
    }

    #[test]
    fn the_period_counts_whole_days_by_the_projects_own_clock() {
        // 23:30 of the 8th in UTC is already the 9th one hour east.
        let sighting = "P1,M1,0,0,10,0,2031-04-09T23:30:00Z\n";
        let days = "began = 2031-04-07\nended = 2031-04-09\n";
        let inside = examined(&format!("{days}offset = \"+00:00\"\n"), P1, "", sighting);
        let found = finding(&inside, "chronology.period");
        // The paper of 1999 belongs to no docking.
        assert_eq!(found.outcome, Outcome::Agrees, "{}", found.sentence);
        let outside = examined(&format!("{days}offset = \"+01:00\"\n"), P1, "", sighting);
        let found = finding(&outside, "chronology.period");
        assert_eq!(found.outcome, Outcome::Differs);
        assert!(
            found.sentence.contains("2031-04-10 00:30 at positions/marks.csv:2"),
            "{}",
            found.sentence
        );
        assert_eq!(found.records.len(), 1);
        for open in ["", "began = 2031-04-01\n"] {
            let open = examined(&format!("{open}offset = \"+00:00\"\n"), P1, "", sighting);
            assert_eq!(finding(&open, "chronology.period").outcome, Outcome::NotRecorded);
        }
        let late = examined("began = 2031-04-08\noffset = \"+00:00\"\n", P1, "", "");
        assert_eq!(finding(&late, "chronology.period").outcome, Outcome::Differs);
    }

    #[test]
    fn only_checks_of_the_blocks_may_come_before_she_touches() {
        let of_p1 = |positions: &str, checks: &str, sightings: &str| {
            let examined = examined("offset = \"+00:00\"\n", positions, checks, sightings);
            let found = finding(&examined, "chronology.P1");
            (found.outcome, found.sentence.clone())
        };
        let early = "P1,wedge,,tight,2031-04-07T04:00:00Z\n";
        let contact = "P1,diver-contact,K1,hard,2031-04-07T10:59:00Z\n";
        let good = "P1,M1,0,0,10,0,2031-04-07T12:00:00Z\n";
        assert_eq!(of_p1(P1, early, good).0, Outcome::Agrees);
        let (outcome, sentence) = of_p1(P1, &format!("{early}{contact}"), good);
        assert_eq!(outcome, Outcome::Differs);
        assert!(sentence.contains("1 of 3 ") && sentence.contains("checks.csv:3"), "{sentence}");
        let late = "P1,M1,0,0,10,0,2031-04-09T11:01:00Z\n".repeat(6);
        let (outcome, sentence) = of_p1(P1, "", &late);
        assert_eq!(outcome, Outcome::Differs);
        assert!(sentence.contains("6 of 6 ") && sentence.contains("and 2 more"), "{sentence}");
        assert_eq!(of_p1(P1, "", "").0, Outcome::NotRecorded);
        assert_eq!(of_p1("P1,10,0,,\n", early, good).0, Outcome::NotRecorded);
        // One end alone can already contradict.
        assert_eq!(of_p1("P1,10,0,2031-04-07T13:00:00Z,\n", "", good).0, Outcome::Differs);
    }
}
