//! What of the plan is drawn: the bottom that the planned positions would hide, and what choices of the plan's own
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
    let mut drawings = examined.as_planned().map(of_positions).unwrap_or_default();
    drawings.extend(among::drawings(&Ground::new(examined)));
    drawings
}
