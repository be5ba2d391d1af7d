//! How she landed, drawn: drafts, the landing curve, the water, the load as it falls, block loads, gaps.

mod blocks;
mod curve;
mod drafts;
mod water;

use super::canvas::Canvas;
use super::drawing::{Drawing, Group, Words};
use super::ground::Ground;
use super::lettering;
use crate::findings::Examined;
use crate::findings::recomputed::landing::Landing;
use crate::findings::recomputed::loads::Loads;
use crate::records::Project;
use crate::records::drafts::Occasion;
use crate::records::positions::Position;

/// One position with all that is drawn of it.
struct One<'a> {
    examined: &'a Examined,
    project: &'a Project,
    position: &'a Position,
    landing: &'a Landing,
    loads: &'a Loads,
    /// Its id as it can be shown.
    id: String,
    /// Its id as a part of a file's name.
    stem: String,
}

/// The drawings of the arrival, then of every position. What was not recorded is not drawn.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let ship = &ground.examined.recomputed.ship;
    let mut drawings: Vec<Drawing> = ship
        .survey(None, Occasion::Arrival)
        .and_then(|survey| drafts::drawing(ground.examined, survey, "landing-arrival", None))
        .into_iter()
        .collect();
    for (number, one) in positions(ground).iter().enumerate() {
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

fn positions<'a>(ground: &'a Ground) -> Vec<One<'a>> {
    let examined = ground.examined;
    let mut stems: Vec<String> = Vec::new();
    let each = examined.project.positions.iter().enumerate();
    each.map(|(number, position)| {
        let berth = ground.berths.iter().find(|berth| berth.number == number);
        // One that can't be placed has no name for its files yet; `arrival` is that of the ship.
        let mut stem = berth.map_or(format!("position-{}", number + 1), |berth| berth.stem.clone());
        let taken = |stem: &str| {
            let others = ground.berths.iter().filter(|other| other.number != number);
            others.map(|other| &other.stem).chain(&stems).any(|s| s.eq_ignore_ascii_case(stem))
        };
        while taken(&stem) {
            stem.push('_');
        }
        stems.push(stem.clone());
        One {
            examined,
            project: &examined.project,
            position,
            landing: &examined.recomputed.landings[number],
            loads: &examined.recomputed.loads[number],
            id: lettering::shown(&position.id),
            stem,
        }
    })
    .collect()
}

impl One<'_> {
    fn draw(
        &self,
        group: Group,
        what: &str,
        words: Words,
        canvas: Canvas,
        used_mm: f64,
    ) -> Drawing {
        let name = format!("landing-{}-{what}", self.stem);
        Drawing::new(group, name, Some(&self.position.id), words, canvas, used_mm)
    }
}

#[cfg(test)]
mod tests;
