//! Pieces of the bottom that no position exposed, enlarged: the caps that hid them, with dimensions from a frame and
//! from the centreline.

use geo::{Coord, MultiPolygon, Polygon};

use super::canvas::{Canvas, DASH_DOT, DASHED, DOTTED, Lettered, Pen};
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::ground::{Extent, Ground, extent_of};
use super::hatch::{self, Hatch};
use super::legend::{self, Sample};
use super::lettering::{self, HEADING_PT, SMALL_PT};
use super::scale::Scale;
use super::strip_map::scale_bar;
use super::words;
use crate::calc::exposure::Piece;
use crate::text::{Form, nearest_frame};

/// The most pieces that are drawn, the largest of them.
const MOST: usize = 6;
/// Room for the bottom: between the margin for words and that for dimensions, and from the heading down.
const LEFT_MM: f64 = 8.0;
const ROOM_MM: (f64, f64) = (112.0, 42.0);
const TOP_MM: f64 = 7.5;
/// What is shown around the caps, m.
const AROUND_M: f64 = 0.12;
/// Never exposed: both ways, close enough to stay dark in a copy.
const NEVER: [Hatch; 2] =
    [Hatch { angle_deg: 45.0, spacing_mm: 1.1 }, Hatch { angle_deg: 135.0, spacing_mm: 1.1 }];

/// One drawing for each of the largest pieces, the largest first.
pub fn drawings(ground: &Ground) -> Vec<Drawing> {
    let pieces = ground.examined.recomputed.never_exposed.iter().enumerate();
    let mut pieces: Vec<(usize, &Piece)> = pieces.collect();
    pieces.sort_by(|(_, a), (_, b)| b.area_m2.total_cmp(&a.area_m2));
    let largest = pieces.into_iter().take(MOST);
    largest.filter_map(|(n, piece)| drawing(ground, n, piece)).collect()
}

fn drawing(ground: &Ground, number: usize, piece: &Piece) -> Option<Drawing> {
    let units = ground.units;
    let caps = hiding(ground, piece);
    let around = |extent: Extent| Extent {
        aft: extent.aft - AROUND_M,
        forward: extent.forward + AROUND_M,
        starboard: extent.starboard - AROUND_M,
        port: extent.port + AROUND_M,
    };
    let shapes = caps.iter().map(|(_, cap, _)| cap).chain([&piece.shape]);
    let window = around(shapes.filter_map(extent_of).reduce(Extent::with)?);
    let (long_m, wide_m) = (window.forward - window.aft, window.port - window.starboard);
    let fits = |scale: &Scale| scale.to_mm(long_m) <= ROOM_MM.0 && scale.to_mm(wide_m) <= ROOM_MM.1;
    let scale = Scale::usual().find(fits)?;
    // As much of the ship beside it as there is room for.
    let spare_m = (scale.to_m(ROOM_MM.0) - long_m) / 2.0;
    let window = Extent { aft: window.aft - spare_m, forward: window.forward + spare_m, ..window };
    let paper = Paper { window, scale };

    let mut canvas = Canvas::new(WIDTH_MM);
    let letter = words::letter(number);
    let heading = format!("Never exposed, piece {letter}");
    canvas.text(Lettered::new(&heading, Coord { x: 0.0, y: 4.0 }, HEADING_PT));
    scale_bar(&mut canvas, Coord { x: 104.0, y: 4.0 }, scale, units);

    for other in &ground.examined.recomputed.never_exposed {
        if extent_of(&other.shape).is_some_and(|extent| paper.shows(&extent)) {
            let shape = MultiPolygon(vec![paper.polygon(&other.shape)]);
            for hatch in NEVER {
                canvas.lines(&hatch::lines(&shape, hatch), Pen::solid(0.18));
            }
            canvas.shape(&shape, Some(Pen::solid(0.5)), None);
        }
    }
    for (_, cap, pen) in &caps {
        canvas.ring(&paper.polygon(cap).exterior().0, Some(*pen), None);
    }
    let (left, right) = (LEFT_MM, LEFT_MM + ROOM_MM.0);
    let foot = paper.at(0.0, window.starboard).y;
    let corner = |x, y| Coord { x, y };
    let frame = [corner(left, TOP_MM), corner(right, TOP_MM), corner(right, foot), corner(left, foot)];
    canvas.ring(&frame, Some(Pen::solid(0.18)), None);
    let side = |canvas: &mut Canvas, words, y| {
        canvas.text(Lettered::new(words, corner(left - 2.0, y), SMALL_PT).middle().upward());
    };
    side(&mut canvas, "port", TOP_MM + 5.0);
    side(&mut canvas, "starboard", foot - 7.0);
    if window.starboard < 0.0 && window.port > 0.0 {
        let y = paper.at(0.0, 0.0).y;
        canvas.line(corner(left, y), corner(right, y), Pen::solid(0.18).broken(DASH_DOT));
    }
    let used = frames_and_length(&mut canvas, ground, &paper, piece, foot);
    breadth(&mut canvas, ground, &paper, piece);

    let mut samples: Vec<(Sample, String)> = caps
        .iter()
        .map(|(meaning, _, pen)| (Sample::Line(*pen), meaning.clone()))
        .collect();
    samples.push((Sample::Hatched(NEVER.to_vec()), "never exposed".to_string()));
    samples.push((Sample::Line(Pen::solid(0.18).broken(DASH_DOT)), "centreline".to_string()));
    let used = legend::rows(&mut canvas, used + 2.0, &samples);

    let frames = ground.examined.project.docking.frames.as_ref();
    let [x0, x1, ..] = piece.extent;
    let near = nearest_frame(frames, (x0 + x1) / 2.0)
        .map_or(String::new(), |frame| format!(", near frame {frame}"));
    let place = units.place(piece.extent);
    let area = units.area(piece.area_m2, 3);
    let by: Vec<String> = caps.iter().map(|(meaning, ..)| meaning.clone()).collect();
    let words = Words {
        title: format!("Never exposed, piece {letter}"),
        caption: format!("{area} at {place}{near}, scale {scale}; hidden by {}.", words::list(&by, 12)),
        alt: format!("Plan of a piece of the bottom under caps in every position: {area} at {place}{near}."),
    };
    Some(Drawing::new(Group::NeverExposed, format!("never-exposed-{}", number + 1), None, words, canvas, used))
}

/// The caps that hid a piece, position by position, as they lay on the hull, each with its words and its line.
fn hiding(ground: &Ground, piece: &Piece) -> Vec<(String, Polygon<f64>, Pen)> {
    const LINES: [&[f64]; 4] = [&[], DASHED, DASH_DOT, DOTTED];
    let blocks = &ground.examined.project.blocks;
    let mut found = Vec::new();
    for berth in &ground.berths {
        let hid = piece.hidden_by.get(berth.number).into_iter().flatten();
        let ids: Vec<&str> = hid.filter_map(|n| Some(blocks.get(*n)?.id.as_str())).collect();
        let pen = Pen { dashes_mm: LINES[berth.number % LINES.len()], ..Pen::solid(0.35) };
        for (block, cap) in ground.caps(berth).filter(|(block, _)| ids.contains(&block.id.as_str())) {
            let position = lettering::label(&berth.id);
            found.push((format!("{} in {position}", lettering::label(&block.id)), cap, pen));
        }
    }
    found
}

/// The part of the bottom that is shown, on paper.
struct Paper {
    window: Extent,
    scale: Scale,
}

impl Paper {
    fn at(&self, x_m: f64, y_m: f64) -> Coord<f64> {
        Coord {
            x: LEFT_MM + self.scale.to_mm(x_m - self.window.aft),
            y: TOP_MM + self.scale.to_mm(self.window.port - y_m),
        }
    }

    fn polygon(&self, shape: &Polygon<f64>) -> Polygon<f64> {
        let corners = shape.exterior().0.iter().map(|corner| self.at(corner.x, corner.y)).collect();
        Polygon::new(corners, vec![])
    }

    /// Whether all of it is in the window.
    fn shows(&self, extent: &Extent) -> bool {
        let Extent { aft, forward, starboard, port } = self.window;
        extent.aft >= aft && extent.forward <= forward && extent.starboard >= starboard && extent.port <= port
    }
}

/// Frames under the window, and how far the piece lies from the last of them abaft it and how long it is; returns the
/// height reached.
fn frames_and_length(
    canvas: &mut Canvas,
    ground: &Ground,
    paper: &Paper,
    piece: &Piece,
    foot: f64,
) -> f64 {
    let window = &paper.window;
    let frames = ground.examined.project.docking.frames.as_ref();
    let frames = frames.map_or(Vec::new(), |frames| frames.between(window.aft, window.forward));
    let x_of = |x_m: f64| paper.at(x_m, 0.0).x;
    for (frame, x_m) in &frames {
        let x = x_of(*x_m);
        canvas.line(Coord { x, y: foot }, Coord { x, y: foot + 1.6 }, Pen::solid(0.18));
        let text = format!("fr {frame}");
        canvas.text(Lettered::new(&text, Coord { x, y: foot + 4.6 }, SMALL_PT).middle());
    }
    let [x0, x1, ..] = piece.extent;
    let y = foot + 9.5;
    let abaft = frames.iter().map(|(_, x_m)| *x_m).filter(|x_m| *x_m <= x0).reduce(f64::max);
    for x_m in [abaft, Some(x0), Some(x1)].into_iter().flatten() {
        let x = x_of(x_m);
        let from = if Some(x_m) == abaft { foot + 5.4 } else { foot };
        canvas.line(Coord { x, y: from }, Coord { x, y: y + 1.0 }, Pen::solid(0.13));
    }
    let length = |m: f64| ground.units.length(m, 3);
    if let Some(from) = abaft {
        dimension(canvas, [Coord { x: x_of(from), y }, Coord { x: x_of(x0), y }], &length(x0 - from), true);
    }
    dimension(canvas, [Coord { x: x_of(x0), y }, Coord { x: x_of(x1), y }], &length(x1 - x0), false);
    y + 1.5
}

/// A line with arrowheads at both ends and its length; beside it, before or after, where there is no room on it.
fn dimension(canvas: &mut Canvas, [from, to]: [Coord<f64>; 2], text: &str, before: bool) {
    let pen = Pen::solid(0.18);
    canvas.arrow(from, to, pen);
    canvas.arrowhead(to, from, pen.colour);
    let y = from.y + 1.0;
    let width = lettering::width_mm(text, SMALL_PT);
    if width + 2.0 <= to.x - from.x {
        let middle = Coord { x: (from.x + to.x) / 2.0, y: from.y - 0.8 };
        canvas.text(Lettered::new(text, middle, SMALL_PT).middle());
    } else if before {
        canvas.text(Lettered::new(text, Coord { x: from.x - 1.2, y }, SMALL_PT).end());
    } else {
        canvas.text(Lettered::new(text, Coord { x: to.x + 1.2, y }, SMALL_PT));
    }
}

/// How far the piece reaches from the centreline, beside the window.
fn breadth(canvas: &mut Canvas, ground: &Ground, paper: &Paper, piece: &Piece) {
    let [_, x1, y0, y1] = piece.extent;
    let right = LEFT_MM + ROOM_MM.0;
    let x = right + 4.0;
    let y_of = |y_m: f64| paper.at(0.0, y_m).y;
    let line = |canvas: &mut Canvas, y_m: f64, from: f64| {
        let y = y_of(y_m);
        canvas.line(Coord { x: from, y }, Coord { x: x + 1.0, y }, Pen::solid(0.13));
    };
    let edge = paper.at(x1, 0.0).x;
    line(canvas, y0, edge);
    line(canvas, y1, edge);
    let shows_centreline = paper.window.starboard < 0.0 && paper.window.port > 0.0;
    if shows_centreline {
        line(canvas, 0.0, right);
    }
    let between = if !shows_centreline {
        vec![(y0, y1)]
    } else if y0 < 0.0 && y1 > 0.0 {
        vec![(y0, 0.0), (0.0, y1)]
    } else if y0 >= 0.0 {
        vec![(0.0, y0), (y0, y1)]
    } else {
        vec![(y1, 0.0), (y0, y1)]
    };
    for (low, high) in between {
        let (from, to) = (Coord { x, y: y_of(low) }, Coord { x, y: y_of(high) });
        if from.y - to.y < 1.0 {
            continue;
        }
        canvas.arrow(from, to, Pen::solid(0.18));
        canvas.arrowhead(to, from, Pen::solid(0.18).colour);
        let words = match (low < 0.0, high > 0.0) {
            (true, false) if high == 0.0 => " to starboard of the centreline",
            (false, true) if low == 0.0 => " to port of the centreline",
            _ => " wide",
        };
        let number = ground.units.measure(high - low, Form::Length, 3);
        let middle = (from.y + to.y) / 2.0 + 1.0;
        let at = Coord { x: x + 1.5, y: middle };
        canvas.text(Lettered::new(&format!("{number}{words}"), at, SMALL_PT));
    }
}
