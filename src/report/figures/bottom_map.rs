//! A map of the bottom in strips: what exposure maps and the map of the gaugings have in common.

use super::canvas::Pen;
use super::ground::{Extent, Ground};
use super::legend::{self, Sample};
use super::plan::part_between;
use super::scale::{self, Scale, Strip};
use super::sheet::{self, Frame, LABEL_ROOM_MM, Sheet};
use crate::hull::Lie;

/// The bottom's outline.
pub const OUTLINE: Pen = Pen::solid(0.35);

/// A map, its scale and its strips.
#[derive(Debug)]
pub struct Map {
    /// All that the strips show together.
    pub whole: Extent,
    /// The scale of all of them.
    pub scale: Scale,
    /// The strips from aft to forward.
    pub strips: Vec<Strip>,
}

impl Map {
    /// The map at the largest scale that pages allow, with so much kept free under each strip for its
    /// legend, mm. `solid` are lengths of x, m, that a match line should not cut.
    pub fn new(whole: Extent, legend_mm: f64, solid: &[(f64, f64)]) -> Self {
        let (scale, strips) = scale::strips(
            (whole.aft, whole.forward),
            whole.port - whole.starboard,
            &sheet::rooms(legend_mm),
            solid,
        );
        Self { whole, scale, strips }
    }

    /// A strip's frame with the centreline: as high as the bottom is there, or as `shown` if that
    /// reaches further.
    pub fn sheet(
        &self,
        ground: &Ground,
        strip: &Strip,
        heading: String,
        lie: Option<&Lie>,
        shown: Option<Extent>,
    ) -> Sheet {
        let (from_m, to_m) = strip.window_m();
        let air = self.scale.to_m(LABEL_ROOM_MM);
        let part = match ground.bottom {
            Some(bottom) => part_between(bottom, from_m, to_m),
            None => Some(self.whole),
        };
        let part = match (part, shown) {
            (Some(part), Some(shown)) => Some(part.with(shown)),
            (one, other) => one.or(other),
        };
        let y_m = part.map_or((-air, air), |e| (e.starboard.min(0.0) - air, e.port.max(0.0) + air));
        let frame =
            Frame { heading, scale: self.scale, strip: *strip, y_m, whole: self.whole, lie };
        let mut sheet = Sheet::new(ground, &frame);
        sheet.centreline();
        sheet
    }
}

/// The outline, over what was drawn before, then perpendiculars and the ends of the strip.
pub fn close_frame(sheet: &mut Sheet, ground: &Ground, strip: &Strip) {
    if let Some(bottom) = ground.bottom {
        let lines = sheet.outline(bottom);
        sheet.canvas.lines(&lines, OUTLINE);
        sheet.labels.avoid_lines(&lines);
    }
    sheet.stations(ground);
    sheet.match_lines(strip);
}

/// A legend in rows under all that is there.
pub fn legend_under(sheet: &mut Sheet, samples: &[(Sample, String)]) {
    sheet.height_mm = legend::rows(&mut sheet.canvas, sheet.height_mm + 0.8, samples);
}
