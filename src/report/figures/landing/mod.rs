//! How she landed and left, drawn: drafts, the landing curve, the water with the load, block loads, bending of the
//! hull, gaps. All positions share a drawing, above each other on one scale.

mod at_position;
mod bending;
mod blocks;
mod curve;
mod drafts;
mod events;
mod water;

use super::drawing::Drawing;
use super::ground::Ground;

/// The drawings of the landing. What was not recorded is not drawn.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let all = at_position::positions(ground);
    let mut drawings = drafts::drawings(ground.examined);
    drawings.extend(curve::drawings(&all));
    drawings.extend(water::landing(&all));
    drawings.extend(blocks::loads(&all));
    drawings.extend(bending::drawings(&all));
    drawings.extend(blocks::gaps(&all));
    drawings.extend(water::undocking(&all));
    drawings
}

#[cfg(test)]
mod tests;
