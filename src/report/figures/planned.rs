//! What of the plan is drawn: the bottom that planned positions would hide while one is still ahead, and what choices of the plan's own
//! positions leave hidden.

use super::drawing::{Drawing, Group};
use super::ground::Ground;
use super::{among, exposure};
use crate::findings::Examined;

/// The drawings of the planning page, as far as anything is planned.
pub fn drawings(examined: &Examined) -> Vec<Drawing> {
    let of_positions = |planned: &Examined| {
        exposure::overlaid(&Ground::new(planned), Group::Planned, "planned-exposure", " as planned")
    };
    // Where all of them are recorded, the map of what was hidden shows nearly the same.
    let project = &examined.project;
    let is_ahead = project.positions.iter().any(|position| project.is_ahead(position));
    let planned = examined.as_planned().filter(|_| is_ahead);
    let mut drawings = planned.map(of_positions).unwrap_or_default();
    drawings.extend(among::drawings(&Ground::new(examined)));
    drawings
}
