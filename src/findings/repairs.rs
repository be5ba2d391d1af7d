//! Repairs of the shell: their times, and the coating on the steel that they touched.

use chrono::{DateTime, FixedOffset};

use super::finding::{Figure, Finding};
use super::judge::{Facts, agrees, differs, not_recorded, unchecked};
use super::recomputed::Recomputed;
use super::recomputed::repairs::Repaired;
use crate::calc::coating::CHAIN;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::repairs::{Repair, RepairKind};
use crate::text;
use crate::text::{Form, Text, and};

/// Every finding of the repairs.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let pairs = project.repairs.iter().zip(&recomputed.repairs);
    pairs
        .flat_map(|(repair, found)| [times(repair), coating(project, repair, found.as_ref())])
        .collect()
}

/// What a repair is called in a sentence: `the doubler R1`.
fn name(repair: &Repair) -> Text {
    let what = match repair.kind {
        RepairKind::Doubler => "doubler",
        RepairKind::Renewal => "renewal",
        RepairKind::Weld => "weld",
        RepairKind::Other => "repair",
    };
    text!("the {} {}", what, repair.id.as_str())
}

fn times(repair: &Repair) -> Finding {
    let before = |one: Option<DateTime<FixedOffset>>, other: Option<DateTime<FixedOffset>>| {
        one.zip(other).is_some_and(|(one, other)| one < other)
    };
    let faults = [
        (before(repair.ended, repair.began), "it ended before it began"),
        (before(repair.touched_up, repair.ended), "the coating was made good before it ended"),
    ];
    let faults = faults.into_iter().filter(|(is_so, _)| *is_so);
    let missing = [(repair.began, "its start"), (repair.ended, "its finish")];
    let missing = missing.into_iter().filter(|(at, _)| at.is_none());
    let time = |at: Option<DateTime<FixedOffset>>| at.map(|at| Figure::words(at.to_rfc3339()));
    Facts {
        subject: text!("the times of {}", name(repair)),
        faults: faults.map(|(_, what)| what.into()).collect(),
        missing: missing.map(|(_, what)| what.into()).collect(),
        sound: text!("{} has its start and finish.", name(repair).capitalized()),
    }
    .finding(Subject::RepairTimes(repair.id.clone()))
    .recorded(time(repair.began))
    .recomputed(time(repair.ended))
    .called("began", "ended")
    .doubting(&repair.place)
}

/// Coats that were finished before it lie on the steel that it touched: whether they are recorded again.
fn coating(project: &Project, repair: &Repair, found: Option<&Repaired>) -> Finding {
    let subject = text!("the coating on the steel that {} touched", name(repair));
    let numbers = |coats: &[usize]| {
        let mut numbers: Vec<i64> = coats.iter().map(|at| project.coats[*at].coat).collect();
        numbers.sort_unstable();
        numbers.dedup();
        and(&numbers.iter().map(ToString::to_string).collect::<Vec<_>>())
    };
    let judgement = match found {
        None if repair.zone.is_none() => {
            unchecked(subject, "which zone of the coating it touched was not recorded")
        }
        None if repair.began.or(repair.ended).is_none() => {
            unchecked(subject, "when it was made was not recorded")
        }
        None => unchecked(subject, "where the coating's steel lies is not known"),
        Some(found) if found.before.is_empty() => agrees(text!(
            "No coat of this docking was finished where {} was made when it began.",
            name(repair)
        )),
        Some(found) if found.missing.is_empty() => agrees(text!(
            "{} was made behind coats {}, and they are recorded again since.",
            name(repair).capitalized(),
            numbers(&found.before)
        )),
        Some(_)
            if repair.touched_up.is_some_and(|at| repair.ended.is_some_and(|ended| at < ended)) =>
        {
            differs(text!(
                "{} touched coating that is recorded as made good before it ended.",
                name(repair).capitalized()
            ))
        }
        Some(found) if repair.touched_up.is_some() => agrees(text!(
            "{} was made behind coats {}, and the coating there is recorded as made good since.",
            name(repair).capitalized(),
            numbers(&found.before)
        )),
        Some(found) => {
            let missing = and(&found.missing.iter().map(ToString::to_string).collect::<Vec<_>>());
            not_recorded(text!(
                "the touch-up of the coating that {} was made behind, coat {}{},",
                name(repair),
                missing,
                match found.missing_m2 {
                    Some(m2) => text!(" on {}", Form::Area.measure(m2)),
                    None => Text::new(),
                }
            ))
        }
    };
    let coats = found.into_iter().flat_map(|found| found.before.iter().chain(&found.after));
    judgement
        .finding(Subject::RepairCoating(repair.id.clone()))
        .by(&CHAIN)
        .from([&repair.place])
        .from(coats.map(|at| &project.coats[*at].place))
}
