//! A map of the bottom in strips: what the maps of exposure, of the coating and of the gaugings have in
//! common.

use geo::{Coord, LineString, MultiPolygon, Polygon};

use super::canvas::{INK, Pen};
use super::ground::{Extent, Ground};
use super::hatch::{self, Hatch};
use super::labels::{Area, Named};
use super::legend::{self, Sample};
use super::plan::part_between;
use super::scale::{self, Scale, Strip};
use super::sheet::{self, Frame, LABEL_ROOM_MM, Sheet};
use super::{on_paper, words};
use crate::calc::plane::{area_m2, common, extent};
use crate::hull::Lie;
use crate::units::fixed;

/// The bottom's outline.
pub const OUTLINE: Pen = Pen::solid(0.35);
const HATCHING: Pen = Pen::solid(0.13);
/// The edge of what is hatched.
const EDGE: Pen = Pen::solid(0.18);
/// Edge of what was never exposed, so that slivers are seen.
pub const NEVER: Pen = Pen::solid(0.3);
/// Steel of which nothing can be said.
pub const UNKNOWN: [Hatch; 2] =
    [Hatch { angle_deg: 0.0, spacing_mm: 2.4 }, Hatch { angle_deg: 90.0, spacing_mm: 2.4 }];
/// Steel that is as it should be: a colour that helps where there is colour; marks carry the meaning.
pub const FULL_TINT: &str = "#e6f0e4";
/// Room that the legend of hatched maps may take under a strip, mm.
pub const LEGEND_MM: f64 = 14.0;

/// A piece of the bottom that is lettered.
pub struct Piece<'a> {
    /// Its letter.
    pub letter: String,
    /// Where it is.
    pub shape: &'a Polygon<f64>,
    /// Its area, m2.
    pub area_m2: f64,
}

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

    /// The part of a shape between a strip's match lines; beyond the ends of the ship too.
    pub fn between(&self, shape: &MultiPolygon<f64>, strip: &Strip) -> MultiPolygon<f64> {
        let whole = self.whole;
        let reach = (whole.forward - whole.aft) + (whole.port - whole.starboard) + 1.0;
        let from = if strip.number == 1 { strip.from_m - reach } else { strip.from_m };
        let to = if strip.number == strip.of { strip.to_m + reach } else { strip.to_m };
        let (low, high) = (whole.starboard - reach, whole.port + reach);
        let ring = vec![
            Coord { x: from, y: low },
            Coord { x: to, y: low },
            Coord { x: to, y: high },
            Coord { x: from, y: high },
        ];
        let part = Polygon::new(LineString::new(ring), vec![]);
        common(shape, &MultiPolygon(vec![part]))
    }
}

/// The bottom's outline, over what was drawn before.
pub fn outline(sheet: &mut Sheet, ground: &Ground) {
    if let Some(bottom) = ground.bottom {
        let lines = sheet.outline(bottom);
        sheet.canvas.lines(&lines, OUTLINE);
        sheet.labels.avoid_lines(&lines);
    }
}

/// The perpendiculars and the ends of the strip, lettered clear of what is there.
pub fn close_frame(sheet: &mut Sheet, ground: &Ground, strip: &Strip) {
    sheet.stations(ground);
    sheet.match_lines(strip);
}

/// A legend in rows under all that is there.
pub fn legend_under(sheet: &mut Sheet, samples: &[(Sample, String)]) {
    sheet.height_mm = legend::rows(&mut sheet.canvas, sheet.height_mm + 0.8, samples);
}

/// A shape hatched, with its edge.
pub fn hatched(sheet: &mut Sheet, shape: &MultiPolygon<f64>, hatches: &[Hatch]) {
    let on_paper = on_paper(sheet, shape);
    for hatch in hatches {
        let lines = hatch::lines(&on_paper, *hatch);
        sheet.canvas.lines(&lines, HATCHING);
    }
    for polygon in &shape.0 {
        let lines = sheet.outline(polygon);
        sheet.canvas.lines(&lines, EDGE);
    }
    for polygon in &on_paper.0 {
        sheet.labels.avoid_shape(polygon.exterior());
    }
}

/// The letter and area of a piece beside it; one too small to be seen gets a ring.
pub fn letter_piece(sheet: &mut Sheet, piece: &Piece) {
    const SMALL_MM: f64 = 1.2;
    const RING_MM: f64 = 1.8;
    let Some(area) = Area::around(piece.shape.exterior().0.iter().map(|c| sheet.at(*c))) else {
        return;
    };
    let small = area.right - area.left < SMALL_MM && area.bottom - area.top < SMALL_MM;
    let area = if small {
        let at = area.middle();
        sheet.canvas.circle(at, RING_MM, Some(Pen::solid(0.25)), None);
        Area { left: at.x, right: at.x, top: at.y, bottom: at.y }.grown(RING_MM)
    } else {
        area
    };
    sheet.labels.keep_clear(area);
    let letter = &piece.letter;
    let named = |text: String| Named {
        text,
        area,
        inside: Vec::new(),
        upward: false,
        leader: true,
        colour: INK,
    };
    // Of slivers an area to two decimals says nothing.
    let full = named(format!("{letter}: {} m\u{b2}", fixed(piece.area_m2, 2)));
    if piece.area_m2 < 0.01 || !sheet.labels.try_place(&full) {
        sheet.labels.place(&named(letter.clone()));
    }
}

/// What was never exposed, in black: drawn and, with outline and frame, lettered piece by piece. The
/// result are the numbers of the pieces of this strip.
pub fn never_exposed(
    sheet: &mut Sheet,
    ground: &Ground,
    strip: &Strip,
    pieces: &[&Polygon<f64>],
) -> Vec<usize> {
    for piece in pieces {
        let shape = on_paper(sheet, &MultiPolygon(vec![(*piece).clone()]));
        sheet.canvas.shape(&shape, Some(NEVER), Some(INK));
    }
    outline(sheet, ground);
    close_frame(sheet, ground, strip);
    let middle = |piece| extent(piece).map(|[aft, forward, ..]| (aft + forward) / 2.0);
    let here = |n: &usize| middle(pieces[*n]).is_some_and(|x| strip.holds(x));
    let here: Vec<usize> = (0..pieces.len()).filter(here).collect();
    for number in &here {
        let shape = pieces[*number];
        let area_m2 = area_m2(&MultiPolygon(vec![shape.clone()]));
        letter_piece(sheet, &Piece { letter: words::letter(*number), shape, area_m2 });
    }
    here
}

/// Says in a caption what could not be drawn.
pub fn says_what_is_missing(caption: &mut String, ground: &Ground, strip: &Strip) {
    if ground.bottom.is_none() {
        caption.push_str(" Outline of the bottom not recorded: caps are shown whole.");
    }
    if strip.number == 1 {
        caption.push_str(&ground.says_not_placed());
    }
}
