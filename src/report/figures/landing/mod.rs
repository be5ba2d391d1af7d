//! How she landed, drawn: drafts, the landing curve, the water, the load as it falls, block loads, gaps.

mod at_position;
mod blocks;
mod curve;
mod drafts;
mod water;

use super::drawing::Drawing;
use super::ground::Ground;
use crate::records::drafts::Occasion;

/// The drawings of the arrival, then of every position. What was not recorded is not drawn.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let ship = &ground.examined.recomputed.ship;
    let mut drawings: Vec<Drawing> = ship
        .survey(None, Occasion::Arrival)
        .and_then(|survey| drafts::drawing(ground.examined, survey, "landing-arrival", None))
        .into_iter()
        .collect();
    for (number, one) in at_position::positions(ground).iter().enumerate() {
        let survey = ship.survey(Some(number), Occasion::BeforeLanding);
        let name = format!("landing-{}-drafts", one.stem);
        drawings.extend(survey.and_then(|survey| {
            drafts::drawing(ground.examined, survey, &name, Some(&one.position.id))
        }));
        drawings.extend(curve::drawing(one));
        drawings.extend(water::drawings(one));
        drawings.extend(curve::load_as_the_water_falls(one));
        drawings.extend(blocks::loads(one));
        drawings.extend(blocks::gaps(one));
    }
    drawings
}

#[cfg(test)]
mod tests;
