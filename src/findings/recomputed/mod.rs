//! Every figure derived again from the raw readings, once, for findings and report alike.

pub mod afloat;
pub mod approach;
pub mod chronology;
pub mod coating;
pub mod divers;
pub mod history;
pub mod landing;
pub mod loads;
pub mod measures;
pub mod plating;
pub mod position;
pub mod repairs;
pub mod shifts;
pub mod stops;
pub mod water;

use geo::MultiPolygon;

use crate::calc::exposure::{self, Class, Hidden, Piece};
use crate::calc::plane;
use crate::hull::Lie;
use crate::records::Project;
use afloat::Ship;
use chronology::Chronology;
use coating::Coating;
use divers::Round;
use history::History;
use landing::Landing;
use loads::Loads;
use plating::Strake;
use position::recompute_position;
pub use position::{PositionRecomputed, bearing_shape, caps, clearances, planned};
use repairs::Repaired;

/// What comes out of one docking's records.
#[derive(Debug)]
pub struct Recomputed {
    /// The bottom's outline, if it is recorded.
    pub bottom: exposure::Bottom,
    /// The positions in the order of the file.
    pub positions: Vec<PositionRecomputed>,
    /// What each position hid, in the same order; empty unless every position can be placed.
    pub hidden: Vec<Hidden>,
    /// The bottom by the positions that hid it.
    pub classes: Vec<Class>,
    /// What was never exposed, piece by piece from aft to forward.
    pub never_exposed: Vec<Piece>,
    /// What divers measured at the blocks, round by round, position by position.
    pub divers: Vec<Round>,
    /// The ship afloat.
    pub ship: Ship,
    /// How she landed, position by position.
    pub landings: Vec<Landing>,
    /// How the blocks shared the load, position by position.
    pub loads: Vec<Loads>,
    /// What was coated.
    pub coating: Coating,
    /// What the plating has lost, strake by strake.
    pub strakes: Vec<Strake>,
    /// The repairs in the order of the project's list, each with the coats that it was made behind.
    pub repairs: Vec<Option<Repaired>>,
    /// Every dated record on one line.
    pub chronology: Chronology,
    /// What the dockings on record say together; `None` where there is no earlier one.
    pub history: Option<History>,
}

impl Recomputed {
    /// Recomputes a project.
    pub fn new(project: &Project) -> Self {
        let bottom = project.bottom.bottom.clone().map(|outline| MultiPolygon(vec![outline]));
        let positions: Vec<PositionRecomputed> = project
            .positions
            .iter()
            .map(|position| recompute_position(project, position))
            .collect();
        let lies: Option<Vec<Lie>> = positions.iter().map(|position| position.lie).collect();
        let lies = lies.unwrap_or_default();
        let hidden: Vec<Hidden> = lies
            .iter()
            .zip(&project.positions)
            .map(|(lie, position)| exposure::hidden(caps(project, &position.id), lie, &bottom))
            .collect();
        let classes = exposure::classes(&bottom, &hidden);
        let never_exposed = exposure::never_exposed(&classes, &hidden);
        let ship = Ship::new(project);
        // The coating asks nothing of the landing: the two are worked out side by side.
        let (coating, (landings, loads)) = rayon::join(
            || Coating::new(project, &hidden, &lies, &bottom),
            || landed(project, &ship, &positions),
        );
        Self {
            history: History::new(project, &bottom, &hidden, &coating),
            strakes: plating::strakes(project),
            repairs: repairs::repairs(project, &coating.zones),
            chronology: Chronology::new(project),
            divers: divers::rounds(project, &positions),
            bottom,
            positions,
            hidden,
            classes,
            never_exposed,
            ship,
            landings,
            loads,
            coating,
        }
    }

    /// Area never exposed, m2; `None` where a position could not be placed or no block is recorded as standing
    /// in it, or there is none.
    pub fn never_exposed_m2(&self) -> Option<f64> {
        let known = |hidden: &Hidden| !hidden.footprints.is_empty();
        let known = !self.hidden.is_empty() && self.hidden.iter().all(known);
        known.then(|| self.never_exposed.iter().map(|p| p.area_m2).sum())
    }

    /// Share of the bottom that was free of blocks in some position, in per cent; `None` where what was never exposed
    /// or the bottom's outline is not known.
    pub fn exposed_pct(&self) -> Option<f64> {
        let bottom_m2 = self.bottom.as_ref().map(plane::area_m2).filter(|area| *area > 0.0)?;
        Some(100.0 * (1.0 - self.never_exposed_m2()? / bottom_m2))
    }
}

/// How she landed in each position, and how the blocks then shared the load.
fn landed(
    project: &Project,
    ship: &Ship,
    positions: &[PositionRecomputed],
) -> (Vec<Landing>, Vec<Loads>) {
    let landings: Vec<Landing> = positions
        .iter()
        .enumerate()
        .map(|(number, position)| {
            let lie = position.lie.as_ref();
            let area = |block: usize| {
                Some(plane::area_m2(&bearing_shape(project, &project.blocks[block], lie?)))
            };
            landing::landing(project, ship, number, lie, &area)
        })
        .collect();
    let loads = positions
        .iter()
        .zip(&landings)
        .enumerate()
        .map(|(number, (position, landing))| {
            loads::loads(project, ship, number, position.lie.as_ref(), landing)
        })
        .collect();
    (landings, loads)
}
