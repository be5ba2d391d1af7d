//! The one record from which many findings follow, named once with a count.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::finding::{Cause, Figure, Finding, Outcome};
use crate::records::place::Place;
use crate::records::spec::FileSpec;
use crate::text;
use crate::text::code;

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
/// that finding itself. The first finding to doubt a record says of what it does not fit.
///
/// A row is one record, whichever of its cells is meant.
pub(super) fn follow_doubts(findings: &mut [Finding]) {
    let row = |place: &Place| (place.file.clone(), place.line);
    let mut doubts: BTreeMap<(Arc<str>, Option<u32>), (Place, String)> = BTreeMap::new();
    for finding in findings.iter().filter(|finding| finding.is_troubled()) {
        if let Some(place) = &finding.doubted {
            doubts.entry(row(place)).or_insert_with(|| (place.clone(), finding.id.clone()));
        }
    }
    if doubts.is_empty() {
        return;
    }
    for finding in findings.iter_mut().filter(|finding| finding.outcome != Outcome::Agrees) {
        let own = finding.doubted.as_ref().filter(|_| finding.is_troubled());
        // Where it rests on several, the first that it names.
        let doubt = match own {
            Some(own) => doubts.get(&row(own)),
            None if finding.cause.is_some() => None,
            None => finding.records.iter().find_map(|place| doubts.get(&row(place))),
        };
        if let Some((place, id)) = doubt {
            let sentence = text!("this record does not fit, see {}.", code(id));
            finding.cause = Some(Cause { place: place.clone(), sentence });
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

    #[test]
    fn what_rests_on_a_doubted_row_is_counted_under_it() {
        let file: Arc<str> = "landing/water.csv".into();
        let row = |line| Place::line(&file, line);
        let cell = |line| Place::value(&file, line, 3, &"level_m".into());
        let differs = |position: &str| {
            let subject = Subject::WaterEvents(position.to_string());
            Finding::new(subject, "", Outcome::Differs)
        };
        let mut findings = [
            differs("resting").from([&row(7), &row(9)]),
            differs("doubting").doubting(&cell(9)),
            differs("doubting it too").doubting(&row(9)),
            differs("elsewhere").from([&row(8)]),
            Finding::new(Subject::WaterEvents("agreeing".into()), "", Outcome::Agrees)
                .from([&row(9)]),
            differs("with a cause").from([&row(9)]).because(&row(1), "of its own"),
        ];
        follow_doubts(&mut findings);
        let groups = group(&findings);
        let counts: Vec<usize> = groups.iter().map(|group| group.rest.len()).collect();
        assert_eq!(counts, [2, 0, 0, 0]);
        assert_eq!(groups[0].cause().map(|cause| &cause.place), Some(&cell(9)));
        assert!(groups[2].first.cause.is_none(), "it agrees");

        let mut agreeing = [
            Finding { outcome: Outcome::Agrees, ..differs("doubting").doubting(&row(9)) },
            differs("resting").from([&row(9)]),
        ];
        follow_doubts(&mut agreeing);
        assert!(agreeing[1].cause.is_none(), "nothing is doubted");
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
