//! What was never exposed.

use super::finding::{Figure, Finding, Outcome};
use super::recomputed::Recomputed;
use crate::calc::exposure::EXPOSURE;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::text;

/// Every finding of the exposure.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let Some(limit) = project.docking.bounds.limit("never_exposed") else { return Vec::new() };
    let area = recomputed.never_exposed_m2();
    let mut sentence = match (area, recomputed.never_exposed.len()) {
        (None, _) if project.positions.is_empty() => text!("No docking position is recorded."),
        (None, _) if !recomputed.hidden.is_empty() => {
            text!(
                "No block is recorded as standing in some position, so that the bottom it hid is not known."
            )
        }
        (None, _) => {
            text!("Where a position lay is not known, so that the bottom it hid is not.")
        }
        (Some(_), 0) => text!("All of the bottom was exposed in at least one position."),
        (Some(area), pieces) => {
            let parts =
                if pieces == 1 { "1 piece".to_string() } else { format!("{pieces} pieces") };
            text!(
                "{} of the bottom in plan, in {}, was under blocks in every position.",
                Figure::area(area),
                parts
            )
        }
    };
    if area.is_some() && recomputed.bottom.is_none() {
        sentence.push(" The bottom's outline is not recorded; whole caps were taken.");
    }
    if recomputed.positions.iter().any(|position| position.yaw_unknown && position.lie.is_some()) {
        sentence.push(" A yaw that is not known was taken as 0.");
    }
    let outcome = match area {
        None => Outcome::NotRecorded,
        Some(area) if area > limit.value + crate::calc::plane::NO_AREA_M2 => Outcome::BeyondLimit,
        Some(_) => Outcome::Agrees,
    };
    let hiding = recomputed.never_exposed.iter().flat_map(|piece| piece.hidden_by.iter().flatten());
    vec![
        Finding::new(Subject::NeverExposed, sentence, outcome)
            .recomputed(area.map(Figure::area))
            .against(limit)
            .by(&EXPOSURE)
            .from(project.positions.iter().map(|position| &position.place))
            .from(hiding.map(|block| &project.blocks[*block].place)),
    ]
}
