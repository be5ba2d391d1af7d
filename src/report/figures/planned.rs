//! What of the plan is drawn: the bottom that the planned positions would hide.

use super::drawing::{Drawing, Group};
use super::exposure;
use super::ground::Ground;
use crate::findings::Examined;

/// The drawings of the planning page; none where no position is planned.
pub fn drawings(examined: &Examined) -> Vec<Drawing> {
    let planned = examined.as_planned();
    planned.map(|planned| of_positions(planned)).unwrap_or_default()
}

fn of_positions(planned: &Examined) -> Vec<Drawing> {
    exposure::overlaid(&Ground::new(planned), Group::Planned, "planned-exposure", " as planned")
}
