//! A position with all that is drawn of its landing.

use crate::findings::Examined;
use crate::findings::recomputed::landing::Landing;
use crate::findings::recomputed::loads::Loads;
use crate::records::Project;
use crate::records::positions::Position;
use crate::report::figures::canvas::Canvas;
use crate::report::figures::drawing::{Drawing, Group, Words};
use crate::report::figures::ground::Ground;
use crate::report::figures::lettering;
use crate::report::figures::words::Units;

/// A position with its landing and the loads on its blocks.
pub struct AtPosition<'a> {
    pub examined: &'a Examined,
    pub project: &'a Project,
    pub units: Units,
    pub position: &'a Position,
    pub landing: &'a Landing,
    pub loads: &'a Loads,
    /// Its id as it can be shown.
    pub id: String,
    /// Its id as a part of a file's name.
    pub stem: String,
}

/// Every position of the record.
pub fn positions<'a>(ground: &'a Ground) -> Vec<AtPosition<'a>> {
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
        AtPosition {
            examined,
            project: &examined.project,
            units: ground.units,
            position,
            landing: &examined.recomputed.landings[number],
            loads: &examined.recomputed.loads[number],
            id: lettering::shown(&position.id),
            stem,
        }
    })
    .collect()
}

impl AtPosition<'_> {
    /// A drawing of this position.
    pub fn draw(
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
