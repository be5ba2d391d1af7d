//! The report's drawings, as SVG of their true size on paper.
//!
//! Hull axes lie on paper with the bow to the right and port above. Lengths on paper are millimetres.
//! `canvas`, `hatch`, `lettering`, `labels` and `legend` draw anything; `strip_map` the maps of the bottom,
//! `strakes` those of the shell, `chart` what has axes; every other file is a kind of drawing. `words` has the one
//! function by which numbers are written.

mod among;
mod axes;
mod axis;
mod canvas;
mod chart;
mod chronology;
mod coating;
mod cover;
mod docked;
mod dockings;
mod drawing;
mod enlarged;
mod exposure;
mod finder;
mod ground;
mod hatch;
mod labels;
mod landing;
mod legend;
mod lettering;
mod marks;
mod photographs;
mod plan;
pub mod planned;
mod plating;
mod pressures;
mod qr;
mod scale;
mod shifts;
mod strakes;
mod strip_map;
mod wastage;
mod words;

pub use dockings::{Overlaid, two_dockings};
pub use drawing::{Drawing, Group, SHEET_HEIGHT_MM};
pub use finder::{ENLARGED, Room, finder, never_exposed_small};
pub use photographs::pictures as pictures_numbered;
pub use plating::lettered as plates_beyond;
pub use pressures::{Pressed, PressedPair, PressedRow, pressures};
pub use qr::code as qr_code;
pub use wastage::{Wasted, WastedPlate, WastedStrake, wastage};
pub use words::letter;

use crate::findings::Examined;
use crate::records::papers::Paper;
use geo::Coord;
use ground::Ground;

/// All drawings of a docking, in the order of the report. What was not recorded is not drawn, and the
/// captions say so.
pub fn drawings(examined: &Examined) -> Vec<Drawing> {
    let ground = Ground::new(examined);
    let mut drawings: Vec<Drawing> = cover::drawing(&ground).into_iter().collect();
    drawings.push(axes::drawing(&ground));
    drawings.extend(chronology::drawing(examined));
    drawings.extend(plan::drawings(&ground));
    drawings.extend(exposure::drawings(&ground));
    drawings.extend(shifts::drawings(&ground));
    drawings.extend(planned::drawings(examined));
    drawings.extend(landing::drawings(&ground));
    drawings.extend(coating::drawings(&ground));
    drawings.extend(plating::drawings(&ground));
    drawings.extend(photographs::drawing(&ground));
    drawings.extend(dockings::uppermost_coats(&ground));
    drawings
}

/// The pictures with where on the hull what each shows lies, where that is known, in the order of their numbers.
pub fn pictures_placed(examined: &Examined) -> Vec<(&Paper, Option<Coord<f64>>)> {
    photographs::pictures_placed(&Ground::new(examined))
}

#[cfg(test)]
pub(crate) mod tests;
