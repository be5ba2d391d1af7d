//! What block loads and gaps share: the rows of blocks along the ship, cut into strips where there are
//! too many to tell apart.

use geo::Coord;

use super::One;
use crate::records::blocks::{Block, BlockRow};
use crate::report::figures::canvas::{Canvas, Lettered};
use crate::report::figures::chart::{Axis, LEFT_MM, Panel, RIGHT_MM};
use crate::report::figures::drawing::WIDTH_MM;
use crate::report::figures::lettering::{self, SMALL_PT};

/// The rows in the order in which they are drawn, with their names.
pub const ROWS: [(BlockRow, &str); 4] = [
    (BlockRow::Keel, "keel row"),
    (BlockRow::BilgePort, "bilge, port"),
    (BlockRow::BilgeStarboard, "bilge, starboard"),
    (BlockRow::Other, "other blocks"),
];

/// Blocks of one row that a strip can show.
const MOST_BLOCKS: usize = 90;
/// Most strips.
const MOST_STRIPS: usize = 6;

/// A block with its place on the hull.
#[derive(Clone, Copy)]
pub struct Placed<'a> {
    /// The block.
    pub block: &'a Block,
    /// Its number in the project's list.
    pub number: usize,
    /// x of the middle of its cap, m.
    pub x_m: f64,
    /// Whether it stands in the position.
    pub stands: bool,
}

/// The blocks from aft to forward that stand in the position or have a reason not to.
pub fn placed<'a>(one: &One<'a>) -> Vec<Placed<'a>> {
    let positions = one.project.positions.iter().zip(&one.examined.recomputed.positions);
    let lie = positions.filter(|(p, _)| p.id == one.position.id).find_map(|(_, found)| found.lie);
    let Some(lie) = lie else { return Vec::new() };
    let mut placed: Vec<Placed> = one
        .project
        .blocks
        .iter()
        .enumerate()
        .map(|(number, block)| Placed {
            block,
            number,
            x_m: lie.to_hull(block.cap.centre.x, block.cap.centre.y).x,
            stands: block.stands_in(&one.position.id),
        })
        .filter(|placed| placed.stands || placed.block.left_out_because.is_some())
        .collect();
    placed.sort_by(|a, b| a.x_m.total_cmp(&b.x_m));
    placed
}

/// The level axes of the strips, from aft to forward.
pub fn strips(blocks: &[Placed]) -> Vec<Axis> {
    let keel = blocks.iter().filter(|placed| placed.block.row == BlockRow::Keel).count();
    let count = keel.div_ceil(MOST_BLOCKS).clamp(1, MOST_STRIPS);
    let reach = |placed: &Placed| placed.block.cap.length_m / 2.0 + 0.5;
    let ends = blocks
        .iter()
        .map(|placed| (placed.x_m - reach(placed), placed.x_m + reach(placed)))
        .filter(|(from, to)| from.abs() < 5000.0 && to.abs() < 5000.0)
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
    let Some((from, to)) = ends else { return Vec::new() };
    let each = (to - from) / count as f64;
    (0..count)
        .filter_map(|n| {
            let begins = from + each * n as f64;
            let title = "x, m forward of the stern reference point";
            Axis::between(title, (begins, begins + each), RIGHT_MM - LEFT_MM, 12.0)
        })
        .collect()
}

/// The ids of a row's blocks under its panel: every one, or every second, fifth, tenth and so on, so that
/// they stand clear of each other; gives the height taken.
pub fn letter_ids(canvas: &mut Canvas, panel: &Panel, blocks: &[Placed]) -> f64 {
    const ROW_MM: f64 = 4.0;
    const APART_MM: f64 = 1.6;
    const EVERY: [usize; 9] = [1, 2, 5, 10, 20, 50, 100, 200, 500];
    let y = panel.area.bottom + 1.5 + lettering::capital_mm(SMALL_PT);
    let labels: Vec<(f64, f64, String)> = blocks
        .iter()
        .map(|placed| {
            let words = lettering::label(&placed.block.id);
            let half = lettering::width_mm(&words, SMALL_PT) / 2.0;
            (panel.across(placed.x_m), half, words)
        })
        .filter(|(x, half, _)| *x >= panel.area.left && x - half > 0.5 && x + half < WIDTH_MM - 0.5)
        .collect();
    let clear = |every: usize| {
        let chosen: Vec<&(f64, f64, String)> = labels.iter().step_by(every).collect();
        chosen.windows(2).all(|pair| pair[0].0 + pair[0].1 + APART_MM <= pair[1].0 - pair[1].1)
    };
    if let Some(every) = EVERY.into_iter().find(|every| clear(*every)) {
        for (x, _, words) in labels.iter().step_by(every) {
            canvas.text(Lettered::new(words, Coord { x: *x, y }, SMALL_PT).middle());
        }
    }
    ROW_MM
}
