//! The report's drawings: the axes, the block plan of each position and the exposure maps, as SVG of
//! their true size on paper.
//!
//! Hull axes lie on paper with the bow to the right and port above. Lengths on paper are millimetres.

mod axes;
mod canvas;
mod exposure;
mod ground;
mod hatch;
mod labels;
mod legend;
mod lettering;
mod marks;
mod plan;
mod scale;
mod sheet;
mod words;

use geo::{BooleanOps, Coord, LineString, MapCoords, MultiPolygon, Polygon};

pub use words::letter;

use crate::findings::Examined;
use ground::Ground;
use sheet::Sheet;

/// Width of every drawing: what an A4 page has between its margins, mm.
const WIDTH_MM: f64 = 170.0;
/// Height of the highest drawing, so that two with their captions share a page, mm.
const GREATEST_HEIGHT_MM: f64 = 110.0;
/// Room above and below what is drawn, for labels, mm.
const LABEL_ROOM_MM: f64 = 5.0;
/// Most strips of one position.
const MOST_STRIPS: usize = 6;

/// One drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Stem of its file's name, such as `plan-P1-2`: unique, of plain letters, figures, `-` and `_`.
    pub name: String,
    /// Its place in the report: `axes`, `plan`, `exposure` or `exposure-all`.
    pub group: String,
    /// Id of the position it shows, if it shows one.
    pub position: Option<String>,
    /// Its title.
    pub title: String,
    /// What stands under it: the scale, and what the marks mean.
    pub caption: String,
    /// The same content in words and figures, for whoever can't see it.
    pub alt: String,
    /// Width on paper, mm.
    pub width_mm: f64,
    /// Height on paper, mm.
    pub height_mm: f64,
    /// The drawing as SVG of that size.
    pub svg: String,
}

/// All drawings of a docking, in the order of the report. What was not recorded is not drawn, and the
/// captions say so.
pub fn drawings(examined: &Examined) -> Vec<Drawing> {
    let ground = Ground::new(examined);
    let mut drawings = vec![axes::drawing(&ground)];
    drawings.extend(plan::drawings(&ground));
    drawings.extend(exposure::drawings(&ground));
    drawings
}

/// A shape in hull axes on paper, cut to the window.
fn on_paper(sheet: &Sheet, shape: &MultiPolygon<f64>) -> MultiPolygon<f64> {
    let w = sheet.window;
    let ring = vec![
        Coord { x: w.left, y: w.top },
        Coord { x: w.right, y: w.top },
        Coord { x: w.right, y: w.bottom },
        Coord { x: w.left, y: w.bottom },
    ];
    let window = MultiPolygon(vec![Polygon::new(LineString::new(ring), vec![])]);
    shape.map_coords(|c| sheet.at(c)).intersection(&window)
}

#[cfg(test)]
mod tests;
