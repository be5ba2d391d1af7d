//! What is planned and has not happened yet, among the findings of the record.

use std::collections::BTreeMap;

use super::finding::{Finding, Outcome};
use super::subject::Subject;
use crate::text;
use crate::text::and;

impl Subject {
    /// Whether it is about all positions together, some of which may be recorded while others are ahead.
    fn is_of_all_positions(&self) -> bool {
        matches!(self, Subject::NeverExposed | Subject::HistoryNeverExposed | Subject::Reached(_))
    }

    /// Whether it can be judged of a plan: where she is to lie, what that hides and stands under, how she would land, and
    /// the coats in their order. What was read, seen or done has no plan.
    pub fn is_of_plans(&self) -> bool {
        matches!(
            self,
            Subject::NeverExposed
                | Subject::Clearance(..)
                | Subject::Drain(..)
                | Subject::Trim(_)
                | Subject::List(_)
                | Subject::LeastGm(_)
                | Subject::KnuckleLoad(_)
                | Subject::KnucklePressure(_)
                | Subject::Knuckle(_)
                | Subject::SecondTouch(_)
                | Subject::NilGm(_)
                | Subject::LoadsBalance(_)
                | Subject::LoadsPressure(_)
                | Subject::BendingMoment(_)
                | Subject::ShearForce(_)
                | Subject::FloorLoad(_)
                | Subject::FloorPressure(_)
                | Subject::Claim(_)
                | Subject::CoatOrder(_)
                | Subject::Product(_)
                | Subject::Recoat(..)
                | Subject::TieIn(..)
                | Subject::Immersion(..)
                | Subject::LatestImmersion(..)
                | Subject::HistoryNeverExposed
                | Subject::Reached(_)
        )
    }
}

/// The findings of the record with those of what is ahead: each stands for the one of the same subject that could not be
/// judged by the record, or behind the one that it follows there. What the record says already stays as it is.
/// `positions` are those that are ahead.
pub(super) fn joined(
    record: Vec<Finding>,
    ahead: Vec<Finding>,
    positions: &[&str],
) -> Vec<Finding> {
    let planned = |finding: Finding| {
        let before = match finding.subject.is_of_all_positions() && !positions.is_empty() {
            true => text!("With {} as planned: ", and(positions)),
            false => "As planned: ".into(),
        };
        finding.of_the_plan(before)
    };
    let mut places: BTreeMap<String, usize> =
        record.iter().map(|finding| finding.id.clone()).zip(0..).collect();
    // Each finding of the record, with those that follow it.
    let mut joined: Vec<Vec<Finding>> = record.into_iter().map(|finding| vec![finding]).collect();
    let mut before: Vec<Finding> = Vec::new();
    let mut last: Option<usize> = None;
    for finding in ahead {
        let place = places.get(&finding.id).copied();
        let judged = finding.subject.is_of_plans() && finding.outcome != Outcome::NotRecorded;
        match place {
            Some(place) => {
                if judged && joined[place][0].outcome == Outcome::NotRecorded {
                    joined[place][0] = planned(finding);
                }
                last = Some(place);
            }
            None if judged => {
                let follows = last.map_or(&mut before, |last| &mut joined[last]);
                places.insert(finding.id.clone(), last.unwrap_or_default());
                follows.push(planned(finding));
            }
            None => {}
        }
    }
    before.into_iter().chain(joined.into_iter().flatten()).collect()
}
