//! The report's drawings: the axes, the block plan of each position, the exposure maps, the shift to
//! choose, how she landed, what was coated, the plating, earlier dockings, and the docking on one line,
//! as SVG of their true size on paper.
//!
//! Hull axes lie on paper with the bow to the right and port above. Lengths on paper are millimetres.

mod axes;
mod bottom_map;
mod canvas;
mod chart;
mod chronology;
mod coating;
mod exposure;
mod ground;
mod hatch;
mod history;
mod labels;
mod landing;
mod legend;
mod lettering;
mod marks;
mod plan;
mod plating;
mod scale;
mod sheet;
mod shifts;
mod two_dockings;
mod words;

use geo::{BooleanOps, LineString, MapCoords, MultiPolygon, Polygon};

pub use coating::lettered;
pub use landing::{centre_said_m, events as water_events};
pub use plating::lettered as plates_beyond;
pub use two_dockings::{Overlaid, two_dockings};
pub use words::letter;

use crate::findings::Examined;
use canvas::Canvas;
use ground::Ground;
use labels::Area;
use sheet::Sheet;

/// Width of every drawing: what an A4 page has between its margins, mm.
const WIDTH_MM: f64 = 170.0;
/// Height of a drawing that shares its page with another and their captions, mm.
const SHARED_HEIGHT_MM: f64 = 110.0;
/// Height of a drawing that has a page to itself but for its caption, mm.
const PAGE_HEIGHT_MM: f64 = 228.0;

/// One drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Stem of its file's name, such as `plan-P1-2`: unique, of plain letters, figures, `-` and `_`.
    pub name: String,
    /// Its place in the report: `axes`, `plan`, `exposure`, `exposure-all`, `shifts`, `plating`, `history`,
    /// `chronology`, or one of the landing's or the coating's, which begin with `landing-` and `coating-`;
    /// `two-dockings` in a comparison.
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
    drawings.extend(chronology::drawing(examined));
    drawings.extend(plan::drawings(&ground));
    drawings.extend(exposure::drawings(&ground));
    drawings.extend(shifts::drawings(&ground));
    drawings.extend(landing::drawings(&ground));
    drawings.extend(coating::drawings(&ground));
    drawings.extend(plating::drawings(&ground));
    drawings.extend(history::drawings(&ground));
    drawings
}

/// A finished drawing; `words` are title, caption and what it shows for whoever can't see it.
fn finish(
    group: &str,
    name: String,
    position: Option<String>,
    (title, caption, alt): (String, String, String),
    canvas: Canvas,
    used_mm: f64,
) -> Drawing {
    let height_mm = Canvas::height_mm(used_mm);
    Drawing {
        name,
        group: group.to_string(),
        position,
        svg: canvas.finish(height_mm, &title, &format!("{caption} {alt}")),
        title,
        caption,
        alt,
        width_mm: WIDTH_MM,
        height_mm,
    }
}

/// A shape in hull axes on paper, cut to the window.
fn on_paper(sheet: &Sheet, shape: &MultiPolygon<f64>) -> MultiPolygon<f64> {
    let ring = LineString::new(sheet.window.corners().to_vec());
    let window = Polygon::new(ring, vec![]);
    let parts = shape.0.iter().map(|polygon| polygon.map_coords(|c| sheet.at(c)));
    let cut = |polygon: Polygon<f64>| {
        let area = Area::around(polygon.exterior().0.iter().copied());
        match area {
            Some(area) if sheet.window.holds(&area) => vec![polygon],
            Some(area) if sheet.window.overlap_mm2(&area) > 0.0 => polygon.intersection(&window).0,
            _ => Vec::new(),
        }
    };
    MultiPolygon(parts.flat_map(cut).collect())
}

#[cfg(test)]
mod tests;
