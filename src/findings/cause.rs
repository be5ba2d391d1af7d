//! The one record from which many findings follow, named once with a count.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::finding::{Cause, Figure, Finding, Outcome};
use super::rests::Rows;
use crate::records::Project;
use crate::records::place::Place;
use crate::records::spec::FileSpec;
use crate::text;
use crate::text::{Text, code};

/// The cause of what could not be checked for want of a whole table.
pub(super) fn missing_table<'a>(
    findings: impl IntoIterator<Item = &'a mut Finding>,
    spec: &FileSpec,
    what: &str,
) {
    let open = findings
        .into_iter()
        .filter(|finding| finding.outcome == Outcome::NotRecorded && finding.cause.is_none());
    for finding in open {
        finding.cause = Some(Cause {
            place: Place::file(spec.path),
            sentence: text!("{} is not there or has no row: {}.", code(spec.path), what),
        });
    }
}

/// The cause of what is not recorded of many things alike, at the record that asks for it.
pub(super) fn unrecorded<'a>(
    findings: impl IntoIterator<Item = &'a mut Finding>,
    place: &Place,
    what: &Text,
) {
    let open = findings
        .into_iter()
        .filter(|finding| finding.outcome == Outcome::NotRecorded && finding.cause.is_none());
    for finding in open {
        finding.cause = Some(Cause { place: place.clone(), sentence: what.clone() });
    }
}

/// Findings, with those that follow from one record behind the first of them.
#[derive(Debug)]
pub struct Group<'a> {
    /// The first of them, or the only one.
    pub first: &'a Finding,
    /// The others that have its cause.
    pub rest: Vec<&'a Finding>,
}

impl Group<'_> {
    /// The record from which they follow, where it is known and the first is not answered.
    pub fn cause(&self) -> Option<&Cause> {
        cause(self.first)
    }
}

/// The cause by which a finding is grouped: one that was answered stands alone, since an answer is never hidden
/// behind another's.
fn cause(finding: &Finding) -> Option<&Cause> {
    let is_open = finding.remark.is_none() && finding.earlier.is_empty();
    finding.cause.as_ref().filter(|_| is_open)
}

/// Groups findings by their causes, in the order of the first of each.
pub fn group<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Vec<Group<'a>> {
    let mut groups: Vec<Group<'a>> = Vec::new();
    let mut at: BTreeMap<&Cause, usize> = BTreeMap::new();
    for finding in findings {
        let cause = cause(finding);
        if let Some(n) = cause.and_then(|cause| at.get(cause)) {
            groups[*n].rest.push(finding);
            continue;
        }
        if let Some(cause) = cause {
            at.insert(cause, groups.len());
        }
        groups.push(Group { first: finding, rest: Vec::new() });
    }
    groups
}

/// Names a record that a finding holds to be wrong as the cause of whatever else rests on it and does not agree, and of
/// that finding itself. The first finding to doubt a record says of what it does not fit; one that doubts several names
/// the first of them for all. A record that is wrong in itself explains what doubts others because of it.
///
/// A row is one record, whichever of its cells is meant.
pub(super) fn follow_doubts(findings: &mut [Finding], project: &Project) {
    let doubting = |finding: &Finding| finding.is_troubled() && !finding.doubted.is_empty();
    if !findings.iter().any(doubting) {
        return;
    }
    let rows = Rows::of(project);
    let mut doubts = Doubts::default();
    let in_itself = |finding: &Finding| finding.section() == "records";
    findings.iter().filter(|finding| doubting(finding) && in_itself(finding)).for_each(|finding| {
        doubts.add(finding);
    });
    let explained: Vec<Option<Cause>> = findings
        .iter()
        .map(|finding| match doubting(finding) && !in_itself(finding) {
            true => doubts.explaining(finding, &rows),
            false => None,
        })
        .collect();
    for (finding, explained) in findings.iter().zip(&explained) {
        if doubting(finding) && !in_itself(finding) && explained.is_none() {
            doubts.add(finding);
        }
    }
    for (finding, explained) in findings.iter_mut().zip(explained) {
        let own = || doubts.of(finding.doubted.first()?).cloned();
        let cause = match (&finding.cause, doubting(finding)) {
            _ if finding.outcome == Outcome::Agrees => None,
            (_, true) => explained.or_else(own),
            (Some(cause), false) if finding.outcome == Outcome::Differs => {
                doubts.of(&cause.place).cloned()
            }
            (Some(cause), false) => {
                doubts.of(&cause.place).cloned().or_else(|| doubts.unlisted(finding, &rows))
            }
            (None, false) => doubts.explaining(finding, &rows),
        };
        if let Some(cause) = cause {
            finding.cause = Some(cause);
        }
    }
}

/// Rows that findings hold to be wrong, each with a place in it and the cause that it is of others.
#[derive(Default)]
struct Doubts(BTreeMap<(Arc<str>, Option<u32>), (Place, Cause)>);

fn row(place: &Place) -> (Arc<str>, Option<u32>) {
    (place.file.clone(), place.line)
}

impl Doubts {
    fn add(&mut self, finding: &Finding) {
        let Some(first) = finding.doubted.first() else { return };
        let before = finding.doubted.iter().find_map(|place| self.of(place));
        let cause = before
            .cloned()
            .unwrap_or_else(|| Cause { place: first.clone(), sentence: does_not_fit(finding) });
        for place in &finding.doubted {
            self.0.entry(row(place)).or_insert_with(|| (place.clone(), cause.clone()));
        }
    }

    fn of(&self, place: &Place) -> Option<&Cause> {
        self.0.get(&row(place)).map(|(_, cause)| cause)
    }

    /// The cause of a finding: where it rests on several doubted rows, the first that it names.
    fn explaining(&self, finding: &Finding, rows: &Rows<'_>) -> Option<Cause> {
        let named = finding.records.iter().find_map(|place| self.of(place));
        named.cloned().or_else(|| self.unlisted(finding, rows))
    }

    /// The cause of a finding that rests on a doubted row without naming it.
    fn unlisted(&self, finding: &Finding, rows: &Rows<'_>) -> Option<Cause> {
        let places = self.0.values().map(|(place, _)| place);
        let place = follows(finding).then(|| rows.resting(finding, places))??;
        self.of(place).cloned()
    }
}

/// Whether a finding may follow from a record that it does not list. What was not recorded is missing whatever that record
/// says; what could not be worked out may be so because of it.
fn follows(finding: &Finding) -> bool {
    finding.is_troubled() || !finding.sentence.contains("recorded")
}

/// What is said of the records that a finding doubts.
fn does_not_fit(finding: &Finding) -> Text {
    match finding.doubted.len() {
        0 | 1 => text!("this record does not fit, see {}.", code(&finding.id)),
        count => {
            text!("this record and {} more do not fit, see {}.", count - 1, code(&finding.id))
        }
    }
}

/// The fewest findings that one figure must explain before it is named as their cause.
const FEWEST: usize = 4;

/// Where most findings of a kind differ by the same length, within the tolerance, names the figure that all of them
/// share as their cause: if it is wrong by that length, they all agree. `what` says what that figure is.
pub(super) fn shared_difference(
    mut findings: Vec<&mut Finding>,
    tolerance_m: f64,
    (place, what): (Option<&Place>, &str),
) {
    let metres = |figure: &Option<Figure>| Some(figure.as_ref()?.measure()?.kept);
    let by = |finding: &Finding| Some(metres(&finding.recorded)? - metres(&finding.recomputed)?);
    let mut all: Vec<f64> = findings.iter().filter_map(|finding| by(finding)).collect();
    all.sort_by(f64::total_cmp);
    let (Some(place), Some(middle)) = (place, all.get(all.len() / 2).copied()) else { return };
    let explained = |finding: &Finding| {
        finding.outcome == Outcome::Differs
            && by(finding).is_some_and(|by| (by - middle).abs() <= tolerance_m)
    };
    let count = findings.iter().filter(|finding| explained(finding)).count();
    if count < FEWEST || count * 2 <= all.len() {
        return;
    }
    let sentence = text!(
        "{} of the {} that could be compared differ by {} the same way, within {}: {} would explain \
         that, if it is wrong by so much.",
        count,
        all.len(),
        Figure::length(middle.abs()),
        Figure::length(tolerance_m),
        what
    );
    for finding in &mut findings {
        if !explained(finding) {
            continue;
        }
        finding.cause = Some(Cause { place: place.clone(), sentence: sentence.clone() });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::subject::Subject;
    use crate::records::memory;

    fn named(by_mm: &[i32]) -> usize {
        let finding = |by: &i32| {
            let outcome = if by.abs() <= 10 { Outcome::Agrees } else { Outcome::Differs };
            Finding::new(Subject::Frames, "", outcome)
                .recorded(Figure::length(2.0 + f64::from(*by) / 1000.0))
                .recomputed(Figure::length(2.0))
        };
        let mut findings: Vec<Finding> = by_mm.iter().map(finding).collect();
        shared_difference(
            findings.iter_mut().collect(),
            0.010,
            (Some(&Place::file("docking.toml")), "the floor's level"),
        );
        findings.iter().filter(|finding| finding.cause.is_some()).count()
    }

    /// How many findings follow from each group's first.
    fn counts(findings: &mut [Finding], project: &Project) -> Vec<usize> {
        follow_doubts(findings, project);
        group(&*findings).iter().map(|group| group.rest.len()).collect()
    }

    fn of_water(position: &str) -> Finding {
        Finding::new(Subject::WaterEvents(position.to_string()), "", Outcome::Differs)
    }

    fn docking() -> Project {
        let files = [
            ("docking.toml", "format = 1\n[ship]\nname = \"S\"\n[dock]\nname = \"D\"\n"),
            ("plan/blocks.csv", "block,row,station_m,offset_m,length_m,width_m\nK1,keel,9,0,1,1\n"),
            ("positions/positions.csv", "position\nP1\nP2\n"),
            (
                "positions/marks.csv",
                "position,mark,hull_x_m,hull_y_m,dock_station_m\nP1,M1,0,0,9\nP2,M1,0,0,8\n",
            ),
            ("landing/water.csv", "position,at,level_m\nP1,2031-04-07T05:10:00Z,1.0\n"),
        ];
        memory::project(&files.map(|(path, text)| (path, text.into())))
    }

    #[test]
    fn what_rests_on_a_doubted_row_is_counted_under_it() {
        let file: Arc<str> = "elsewhere.csv".into();
        let row = |line| Place::line(&file, line);
        let cell = |line| Place::value(&file, line, 3, &"level_m".into());
        let mut findings = [
            of_water("resting").from([&row(7), &row(9)]),
            of_water("doubting").doubting(&cell(9)),
            of_water("doubting it too").doubting(&row(9)),
            of_water("elsewhere").from([&row(8)]),
            Finding::new(Subject::WaterEvents("agreeing".into()), "", Outcome::Agrees)
                .from([&row(9)]),
            of_water("with a cause").from([&row(9)]).because(&row(1), "of its own"),
        ];
        assert_eq!(counts(&mut findings, &docking()), [2, 0, 0, 0]);
        assert_eq!(group(&findings)[0].cause().map(|cause| &cause.place), Some(&cell(9)));
        assert!(findings[4].cause.is_none(), "it agrees");

        let mut agreeing = [
            Finding { outcome: Outcome::Agrees, ..of_water("doubting").doubting(&row(9)) },
            of_water("resting").from([&row(9)]),
        ];
        follow_doubts(&mut agreeing, &docking());
        assert!(agreeing[1].cause.is_none(), "nothing is doubted");
    }

    #[test]
    fn records_that_are_doubted_together_are_one_cause() {
        let file: Arc<str> = "elsewhere.csv".into();
        let row = |line| Place::line(&file, line);
        let mut findings = [
            of_water("on the second").from([&row(3)]),
            of_water("doubting two").doubting_all(&[row(2), row(3)]),
            of_water("doubting one of them, and another").doubting_all(&[row(3), row(4)]),
            of_water("on that").from([&row(4)]),
            of_water("on another").from([&row(5)]),
        ];
        assert_eq!(counts(&mut findings, &docking()), [3, 0]);
        let cause =
            findings[3].cause.as_ref().map(|cause| (&cause.place, cause.sentence.to_string()));
        let wanted = "this record and 1 more do not fit, see landing.doubting two.water_events.";
        assert_eq!(cause.map(|(place, said)| (place.clone(), said)), Some((row(2), wanted.into())));
    }

    #[test]
    fn what_rests_on_a_row_that_it_does_not_list_is_counted_under_it() {
        let clearance = |position: &str, outcome| {
            let subject = Subject::Clearance("SC1".to_string(), position.to_string());
            Finding::new(subject, "", outcome)
        };
        let doubting = |path: &str, line| {
            let place = Place::line(&path.into(), line);
            Finding::new(Subject::PositionOrder, "", Outcome::Differs).doubting(&place)
        };
        let of = |path, line| {
            let mut findings = [
                doubting(path, line),
                clearance("P1", Outcome::BeyondLimit),
                clearance("P2", Outcome::BeyondLimit),
                Finding {
                    sentence: "The limit was not recorded.".into(),
                    ..clearance("P1", Outcome::NotRecorded)
                },
                of_water("P1"),
            ];
            follow_doubts(&mut findings, &docking());
            findings.iter().map(|finding| finding.cause.is_some()).collect::<Vec<_>>()
        };
        assert_eq!(of("positions/marks.csv", 2), [true, true, false, false, false]);
        assert_eq!(of("positions/marks.csv", 3), [true, false, true, false, false]);
        assert_eq!(of("plan/blocks.csv", 2), [true, true, true, false, false]);
        assert_eq!(of("landing/water.csv", 2), [true, false, false, false, true]);
        assert_eq!(of("landing/water.csv", 9), [true, false, false, false, false]);
    }

    #[test]
    fn a_figure_is_named_only_where_it_would_explain_most_of_them() {
        assert_eq!(named(&[300, 302, 298, 301, 300]), 5);
        assert_eq!(named(&[300, 302, 298, 301, 340, 5]), 4, "two have reasons of their own");
        assert_eq!(named(&[300, 302, 298]), 0, "too few to tell");
        assert_eq!(named(&[300, -302, 298, -301, 300, 299, -297, -300]), 0, "not the same way");
        assert_eq!(named(&[300, 301, 299, 300, 0, 0, 0, 0, 0]), 0, "most agree");
        assert_eq!(named(&[2, 3, 1, 2, 2]), 0, "all agree");
    }
}
