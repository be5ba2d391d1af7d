//! What was never exposed.

use super::finding::{Figure, Finding};
use super::judge::{Judgement, agrees, beyond_limit, unchecked};
use super::naming::count;
use super::recomputed::Recomputed;
use crate::calc::exposure::EXPOSURE;
use crate::calc::plane::NO_AREA_M2;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::bounds::Bound;
use crate::text;
use crate::text::Text;

/// Every finding of the exposure.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let Some(limit) = project.docking.bounds.limit("never_exposed") else { return Vec::new() };
    let area = recomputed.never_exposed();
    let subject = "what was never exposed";
    let mut judgement = match area {
        None if project.positions.is_empty() => {
            unchecked(subject, "no docking position is recorded")
        }
        None if !recomputed.hidden.is_empty() => {
            unchecked(subject, "no block is recorded as standing in some position")
        }
        None => unchecked(subject, "where she lay in some position is not known"),
        Some(_) if recomputed.never_exposed.is_empty() => {
            agrees("All of the bottom was exposed in at least one position.")
        }
        Some(area) => judge_area(
            area.kept,
            limit,
            text!(
                "{} of the bottom in plan, in {}, was under blocks in every position.",
                area,
                count(recomputed.never_exposed.len(), "piece")
            ),
        ),
    };
    if area.is_some() && recomputed.bottom.is_none() {
        judgement.sentence.push(" The bottom's outline is not recorded; whole caps were taken.");
    }
    if recomputed.positions.iter().any(|position| position.yaw_unknown && position.lie.is_some()) {
        judgement.sentence.push(" A yaw that is not known was taken as 0.");
    }
    let hiding = recomputed.never_exposed.iter().flat_map(|piece| piece.hidden_by.iter().flatten());
    vec![
        judgement
            .finding(Subject::NeverExposed)
            .recomputed(area.map(Figure::Measure))
            .against(limit)
            .by(&EXPOSURE)
            .from(project.positions.iter().map(|position| &position.place))
            .from(hiding.map(|block| &project.blocks[*block].place)),
    ]
}

/// Judges bottom that was never exposed by its limit; slivers too small to be an area don't count.
pub(super) fn judge_area(area_m2: f64, limit: &Bound, sentence: Text) -> Judgement {
    if area_m2 > limit.value + NO_AREA_M2 { beyond_limit(sentence) } else { agrees(sentence) }
}
