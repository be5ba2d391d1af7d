//! Pieces of the bottom that no position exposed, enlarged with the caps that hid them.

use geo::{BooleanOps, Coord, LineString, MapCoords, MultiPolygon, Polygon};

use super::canvas::{Canvas, DASH_DOT, Lettered, PAPER, Pen};
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::ground::{Extent, Ground, extent_of};
use super::hatch;
use super::labels::{Area, Labels, Named};
use super::legend::{self, Sample};
use super::lettering::{self, HEADING_PT, SMALL_PT};
use super::scale::Scale;
use super::strip_map::scale_bar;
use super::words;
use crate::calc::exposure::Piece;
use crate::hull::on_hull;
use crate::records::blocks::Block;
use crate::text::Form;

/// Smaller pieces are not enlarged: they are slivers between caps that met.
const LEAST_M2: f64 = 0.01;
/// The most that one window takes, mm.
const WINDOW_MM: (f64, f64) = (118.0, 78.0);
/// The same where the page holds much else.
const SMALL_WINDOW_MM: (f64, f64) = (118.0, 47.0);
/// Least width of a window, which its heading needs, mm.
const LEAST_WIDTH_MM: f64 = 78.0;
const HEAD_MM: f64 = 14.0;
const FOOT_MM: f64 = 9.5;
const BETWEEN_MM: f64 = 12.0;
/// Steel shown around the caps, m.
const AROUND_M: f64 = 0.5;
/// The edge of a piece that was never exposed.
pub const PIECE: Pen = Pen::solid(0.8);
const CAP: Pen = Pen::solid(0.25);
const THIN: Pen = Pen::solid(0.13);

/// The pieces worth enlarging, the largest first, with the numbers by which they are lettered.
pub fn worth(ground: &Ground) -> Vec<(usize, Extent)> {
    let never = &ground.examined.recomputed.never_exposed;
    let mut worth: Vec<(usize, &Piece)> =
        never.iter().enumerate().filter(|(_, piece)| piece.area_m2 >= LEAST_M2).collect();
    worth.sort_by(|a, b| b.1.area_m2.total_cmp(&a.1.area_m2).then(a.0.cmp(&b.0)));
    let windows = worth.iter().filter_map(|(n, piece)| Some((*n, shown(ground, piece)?)));
    windows.filter(|(_, extent)| ground.draws(extent)).collect()
}

/// The largest piece by itself, as wide as a page.
pub fn drawing(ground: &Ground) -> Option<Drawing> {
    let pieces = worth(ground);
    let mut canvas = Canvas::new(WIDTH_MM);
    let (drawn, mut used) =
        windows_within(&mut canvas, ground, WIDTH_MM, 0.0, &pieces, SMALL_WINDOW_MM);
    let first = *drawn.first()?;
    used = legend::rows(&mut canvas, used + 1.0, &samples(ground));
    let never = &ground.examined.recomputed.never_exposed;
    let names: Vec<String> = drawn.iter().map(|n| words::letter(*n)).collect();
    let left = never.len() - drawn.len();
    let more = if left == 0 {
        String::new()
    } else {
        format!(" {} not enlarged.", words::count(left, "smaller piece"))
    };
    let title = match drawn.len() {
        1 => "The piece that was never exposed".to_string(),
        _ => "Pieces that were never exposed".to_string(),
    };
    let said = Words {
        title,
        caption: format!(
            "{} as lettered in the overlay of positions.{more}",
            words::list(&names, 8)
        ),
        alt: format!(
            "The steel around {} in plan, bow to the right, port above.",
            in_words(ground, first)
        ),
    };
    Some(Drawing::new(Group::NeverExposed, "never-exposed", None, said, canvas, used))
}

/// What the marks of [`windows`] mean.
pub fn samples(ground: &Ground) -> Vec<(Sample, String)> {
    let mut samples: Vec<(Sample, String)> = ground
        .berths
        .iter()
        .map(|berth| {
            let meaning = format!("under a cap in {}", lettering::label(&berth.id));
            (Sample::Hatched(vec![hatch::of_position(berth.number)]), meaning)
        })
        .collect();
    samples.push((Sample::Line(PIECE), "never exposed".to_string()));
    samples
}

/// A piece's size, place and the blocks that hid it.
pub fn in_words(ground: &Ground, number: usize) -> String {
    let Some(piece) = ground.examined.recomputed.never_exposed.get(number) else {
        return String::new();
    };
    let project = &ground.examined.project;
    let of_position = piece.hidden_by.iter().zip(&project.positions);
    let blocks: Vec<String> = of_position
        .map(|(blocks, position)| {
            let blocks = blocks.iter().filter_map(|n| project.blocks.get(*n));
            let ids: Vec<String> = blocks.map(|block| lettering::shown(&block.id)).collect();
            format!("{} in {}", words::list(&ids, 4), lettering::shown(&position.id))
        })
        .collect();
    format!(
        "{} of {} at {}, hidden by {}",
        words::letter(number),
        ground.units.area(piece.area_m2, 3),
        ground.units.place(piece.extent),
        words::list(&blocks, 6),
    )
}

/// Windows beside each other as far as the width goes; the numbers of the pieces drawn, and the height reached.
pub fn windows(
    canvas: &mut Canvas,
    ground: &Ground,
    width_mm: f64,
    top_mm: f64,
    pieces: &[(usize, Extent)],
) -> (Vec<usize>, f64) {
    windows_within(canvas, ground, width_mm, top_mm, pieces, WINDOW_MM)
}

/// Likewise, none of them larger than so much.
fn windows_within(
    canvas: &mut Canvas,
    ground: &Ground,
    width_mm: f64,
    top_mm: f64,
    pieces: &[(usize, Extent)],
    most_mm: (f64, f64),
) -> (Vec<usize>, f64) {
    let (mut left, mut reached) = (MARGIN_MM, top_mm);
    let mut drawn = Vec::new();
    for (number, extent) in pieces {
        let scale = fitting(extent, most_mm);
        let (along, across) = size_mm(scale, extent);
        if left + along.max(LEAST_WIDTH_MM) > width_mm - 1.0 {
            break;
        }
        let top = top_mm + HEAD_MM;
        let area = Area { left, top, right: left + along, bottom: top + across };
        Window { ground, scale, extent: *extent, area }.draw(canvas, *number);
        reached = reached.max(area.bottom + FOOT_MM);
        left += along.max(LEAST_WIDTH_MM) + BETWEEN_MM + MARGIN_MM;
        drawn.push(*number);
    }
    (drawn, reached)
}

/// Width to the left of a window, mm.
const MARGIN_MM: f64 = 6.0;

/// The caps that hid a piece, whole, with some steel around them.
fn shown(ground: &Ground, piece: &Piece) -> Option<Extent> {
    let [aft, forward, starboard, port] = piece.extent;
    let own = Extent { aft, forward, starboard, port };
    let caps = ground.berths.iter().flat_map(|berth| {
        let blocks = piece.hidden_by.get(berth.number).map_or(&[][..], Vec::as_slice);
        blocks.iter().filter_map(|n| {
            let block = ground.examined.project.blocks.get(*n)?;
            extent_of(&on_hull(&block.cap, &berth.lie).polygon())
        })
    });
    let all = caps.fold(own, Extent::with);
    [all.aft, all.forward, all.starboard, all.port].iter().all(|m| m.is_finite()).then_some(
        Extent {
            aft: all.aft - AROUND_M,
            forward: all.forward + AROUND_M,
            starboard: all.starboard - AROUND_M,
            port: all.port + AROUND_M,
        },
    )
}

fn size_mm(scale: Scale, extent: &Extent) -> (f64, f64) {
    (scale.to_mm(extent.forward - extent.aft), scale.to_mm(extent.port - extent.starboard))
}

fn fitting(extent: &Extent, most_mm: (f64, f64)) -> Scale {
    let fits = |scale: &Scale| {
        let (along, across) = size_mm(*scale, extent);
        along <= most_mm.0 && across <= most_mm.1
    };
    Scale::usual().find(fits).unwrap_or(Scale(1_000_000))
}

struct Window<'a> {
    ground: &'a Ground<'a>,
    scale: Scale,
    extent: Extent,
    area: Area,
}

impl Window<'_> {
    fn at(&self, hull: Coord<f64>) -> Coord<f64> {
        Coord {
            x: self.area.left + self.scale.to_mm(hull.x - self.extent.aft),
            y: self.area.top + self.scale.to_mm(self.extent.port - hull.y),
        }
    }

    fn on_paper(&self, shape: &Polygon<f64>) -> Polygon<f64> {
        shape.map_coords(|c| self.at(c))
    }

    fn draw(&self, canvas: &mut Canvas, number: usize) {
        let Some(piece) = self.ground.examined.recomputed.never_exposed.get(number) else { return };
        let mut labels = Labels::new(self.area.grown(-0.5));
        self.head(canvas, number);
        self.frames(canvas, &mut labels);
        self.centreline(canvas, &mut labels);
        let outline = self.on_paper(&piece.shape);
        labels.avoid_shape(outline.exterior());
        let mut named = Vec::new();
        let positions = &self.ground.examined.project.positions;
        for berth in &self.ground.berths {
            let Some(position) = positions.get(berth.number) else { continue };
            let standing = |block: &Block| block.stands_in(&position.id);
            for (block, cap) in self.ground.caps(berth).filter(|(block, _)| standing(block)) {
                let whole = self.on_paper(&cap);
                let inside = whole.intersection(&self.area.polygon());
                if inside.0.is_empty() {
                    continue;
                }
                let lines = hatch::lines(&inside, hatch::of_position(berth.number));
                canvas.lines(&lines, THIN);
                canvas.lines(&self.area.clip_line(&whole.exterior().0), CAP);
                labels.avoid_lines(std::slice::from_ref(whole.exterior()));
                let name =
                    format!("{} in {}", lettering::label(&block.id), lettering::label(&berth.id));
                if let Some(area) = around(&inside) {
                    named.push(Named::beside(name, area));
                }
            }
        }
        canvas.ring(&outline.exterior().0, Some(PIECE), None);
        self.sizes(canvas, &mut labels, piece);
        named.iter().for_each(|name| labels.place(name));
        labels.draw(canvas);
        canvas.ring(&self.area.corners(), Some(Pen::solid(0.18)), None);
        self.foot(canvas, piece);
    }

    fn head(&self, canvas: &mut Canvas, number: usize) {
        let base = self.area.top - HEAD_MM + 4.6;
        let units = self.ground.units;
        let piece = self.ground.examined.recomputed.never_exposed.get(number);
        let area = piece.map_or(String::new(), |piece| units.area(piece.area_m2, 3));
        let heading = format!("{}: {area}", words::letter(number));
        canvas.text(Lettered::new(&heading, Coord { x: self.area.left, y: base }, HEADING_PT));
        scale_bar(canvas, Coord { x: self.area.left + 42.0, y: base }, self.scale, units);
    }

    /// Frames as thin lines across the window, numbered over it.
    fn frames(&self, canvas: &mut Canvas, labels: &mut Labels) {
        let Some(frames) = self.ground.examined.project.docking.frames.as_ref() else { return };
        if frames.stretches.iter().any(|stretch| stretch.spacing_m < 0.01) {
            return;
        }
        let mut free_from = f64::NEG_INFINITY;
        for (number, x_m) in frames.between(self.extent.aft, self.extent.forward) {
            let x = self.at(Coord { x: x_m, y: 0.0 }).x;
            let name = format!("fr {number}");
            let half = lettering::width_mm(&name, SMALL_PT) / 2.0;
            if x - half < free_from {
                continue;
            }
            let ends = [self.area.top - 1.4, self.area.bottom].map(|y| Coord { x, y });
            canvas.line(ends[0], ends[1], THIN.broken(&[0.6, 1.0]));
            labels.avoid_lines(&[LineString::new(ends.to_vec())]);
            let at = Coord { x, y: self.area.top - 2.0 };
            canvas.text(Lettered::new(&name, at, SMALL_PT).middle());
            free_from = x + half + 1.0;
        }
    }

    fn centreline(&self, canvas: &mut Canvas, labels: &mut Labels) {
        if self.extent.starboard < 0.0 && self.extent.port > 0.0 {
            let ends = [self.extent.aft, self.extent.forward].map(|x| self.at(Coord { x, y: 0.0 }));
            canvas.line(ends[0], ends[1], Pen::solid(0.18).broken(DASH_DOT));
            labels.avoid_lines(&[LineString::new(ends.to_vec())]);
            let at = Coord { x: self.area.left - 1.0, y: ends[0].y + 0.9 };
            canvas.text(Lettered::new("CL", at, SMALL_PT).end());
        }
    }

    /// The length and breadth of the piece, beside it.
    fn sizes(&self, canvas: &mut Canvas, labels: &mut Labels, piece: &Piece) {
        let [aft, forward, starboard, port] = piece.extent;
        let units = self.ground.units;
        let (upper, lower) =
            (self.at(Coord { x: aft, y: port }), self.at(Coord { x: forward, y: starboard }));
        let y = self.area.bottom - 5.0;
        let (a, b) = (Coord { x: upper.x, y }, Coord { x: lower.x, y });
        canvas.arrow(b, a, THIN);
        canvas.arrow(a, b, THIN);
        for x in [upper.x, lower.x] {
            canvas.line(Coord { x, y: lower.y + 0.6 }, Coord { x, y: y + 0.9 }, THIN);
        }
        let middle = Coord { x: (a.x + b.x) / 2.0, y: y + 3.2 };
        self.size(canvas, labels, &units.length(forward - aft, 2), middle, false);
        let x = self.area.right - 5.0;
        let (a, b) = (Coord { x, y: upper.y }, Coord { x, y: lower.y });
        canvas.arrow(b, a, THIN);
        canvas.arrow(a, b, THIN);
        for y in [upper.y, lower.y] {
            canvas.line(Coord { x: lower.x + 0.6, y }, Coord { x: x + 0.9, y }, THIN);
        }
        let middle = Coord { x: x + 3.2, y: (a.y + b.y) / 2.0 };
        self.size(canvas, labels, &units.length(port - starboard, 2), middle, true);
    }

    /// A size on blank paper, its baseline in the middle of a place.
    fn size(
        &self,
        canvas: &mut Canvas,
        labels: &mut Labels,
        text: &str,
        at: Coord<f64>,
        upward: bool,
    ) {
        let half = lettering::width_mm(text, SMALL_PT) / 2.0 + 0.3;
        let capital = lettering::capital_mm(SMALL_PT);
        let (half, above, beside) =
            if upward { (capital + 0.3, half, 0.3) } else { (half, capital + 0.3, half) };
        let area = if upward {
            Area {
                left: at.x - half,
                right: at.x + beside,
                top: at.y - above,
                bottom: at.y + above,
            }
        } else {
            Area { left: at.x - half, right: at.x + beside, top: at.y - above, bottom: at.y + 0.3 }
        };
        canvas.ring(&area.corners(), None, Some(PAPER));
        let lettered = Lettered::new(text, at, SMALL_PT).middle();
        canvas.text(if upward { lettered.upward() } else { lettered });
        labels.keep_clear(area);
    }

    /// Where the piece lies.
    fn foot(&self, canvas: &mut Canvas, piece: &Piece) {
        let units = self.ground.units;
        let base = self.area.bottom + 4.0;
        let at = |y| Coord { x: self.area.left, y };
        let place = units.place(piece.extent);
        canvas.text(Lettered::new(&place, at(base), SMALL_PT));
        let unit = units.unit(Form::Length);
        let from = format!("from the stern reference point and the centreline, {unit}");
        canvas.text(Lettered::new(&from, at(base + 3.4), SMALL_PT));
    }
}

fn around(shape: &MultiPolygon<f64>) -> Option<Area> {
    Area::around(shape.0.iter().flat_map(|polygon| polygon.exterior().0.iter().copied()))
}
