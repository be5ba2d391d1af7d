//! The sketch that explains axes and signs. Its numbers are the record's; its lengths are not to
//! scale, and a shift of less than a metre is drawn so that it can be seen.

use geo::{Coord, LineString};

use super::canvas::{CAP_GREY, Canvas, DASH_DOT, DASHED, Lettered, PAPER, Pen};
use super::drawing::{Drawing, Group, WIDTH_MM, Words};
use super::ground::{Berth, Ground, extent_of};
use super::lettering::{self, PLAIN_PT, SMALL_PT};
use super::words::{self, Units};
use crate::hull::{Rectangle, turned};
use crate::records::blocks::{Block, BlockRow};

/// Where the dock's datum is drawn, mm.
const DATUM_MM: f64 = 12.0;
/// Where the dock's other end is drawn.
const HEAD_MM: f64 = 163.0;
/// Where the stern reference point is drawn, unless she moved.
const STERN_MM: f64 = 40.0;
/// How far apart the two stern reference points are drawn.
const SHIFT_MM: f64 = 13.0;
/// Length of the ship as drawn.
const SHIP_MM: f64 = 104.0;
/// Half her breadth as drawn.
const HALF_BREADTH_MM: f64 = 8.0;
/// Where the block is drawn.
const BLOCK_MM: f64 = 108.0;
/// Half the dock's width as drawn.
const HALF_DOCK_MM: f64 = 14.5;
/// Shifts of less are none, m.
const NO_SHIFT_M: f64 = 0.005;

const THIN: Pen = Pen::solid(0.15);
const HULL: Pen = Pen::solid(0.35);
const WALL: Pen = Pen::solid(0.5);

/// The sketch. Without a position that can be placed it shows the axes and no numbers.
pub fn drawing(ground: &Ground) -> Drawing {
    let mut canvas = Canvas::new(WIDTH_MM);
    let first = ground.berths.first();
    let last = ground.berths.last().filter(|_| ground.berths.len() > 1);
    let block = first.and_then(|first| explained_block(ground, first, last));
    let shift_m =
        first.zip(last).map(|(first, last)| last.lie.srp_station_m - first.lie.srp_station_m);
    let shift_m = shift_m.filter(|shift| shift.abs() >= NO_SHIFT_M);
    // She moves on paper the way she moved in the dock.
    let (stern, other) = match shift_m {
        Some(shift) if shift < 0.0 => (STERN_MM + SHIFT_MM / 2.0, STERN_MM - SHIFT_MM / 2.0),
        Some(_) => (STERN_MM - SHIFT_MM / 2.0, STERN_MM + SHIFT_MM / 2.0),
        None => (STERN_MM, STERN_MM),
    };

    let upper = Panel { y: 29.0, stern, axes: true };
    upper.draw(&mut canvas, ground, first, block);
    let mut bottom = upper.y + HALF_DOCK_MM;
    if let Some(last) = last {
        let lower = Panel { y: 71.5, stern: other, axes: false };
        lower.draw(&mut canvas, ground, Some(last), block);
        if block.is_some() {
            let ends = [upper.y + 3.6, lower.y - 3.6].map(|y| Coord { x: BLOCK_MM, y });
            canvas.line(ends[0], ends[1], THIN.broken(DASHED));
        }
        shift_arrow(&mut canvas, ground, (stern, other), shift_m, bottom + 7.0);
        bottom = lower.y + HALF_DOCK_MM;
    }
    station_arrow(&mut canvas, ground.units, block, upper.y - 3.6);
    let used_mm = signs(&mut canvas, bottom + 3.0);

    let words = Words {
        title: "Axes and signs".to_string(),
        caption: caption(ground),
        alt: alt(ground, block),
    };
    Drawing::new(Group::Axes, "axes", None, words, canvas, used_mm)
}

/// A keel block near the middle of the ship that stood in both positions; else any that did.
fn explained_block<'a>(
    ground: &Ground<'a>,
    first: &Berth,
    last: Option<&Berth>,
) -> Option<&'a Block> {
    let project = &ground.examined.project;
    let stood = |block: &Block, berth: &Berth| {
        project.positions.get(berth.number).is_some_and(|position| block.stands_in(&position.id))
    };
    let both: Vec<(&Block, f64)> = ground
        .caps(first)
        .map(|(block, _)| block)
        .filter(|block| stood(block, first) && last.is_none_or(|last| stood(block, last)))
        .map(|block| (block, first.lie.to_hull(block.cap.centre.x, block.cap.centre.y).x))
        .collect();
    let (from, to) = both
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), (_, x)| (from.min(*x), to.max(*x)));
    // Two thirds forward, where it is drawn.
    let wanted = from + (to - from) * 0.65;
    both.into_iter()
        .min_by(|(a, ax), (b, bx)| {
            let other = |block: &Block| block.row != BlockRow::Keel;
            let off = |x: &f64| (x - wanted).abs();
            other(a).cmp(&other(b)).then(off(ax).total_cmp(&off(bx)))
        })
        .map(|(block, _)| block)
}

fn station_arrow(canvas: &mut Canvas, units: Units, block: Option<&Block>, cap_mm: f64) {
    let y = 9.0;
    canvas.arrow(Coord { x: DATUM_MM, y }, Coord { x: HEAD_MM, y }, THIN);
    let text = "station grows this way";
    let at = Coord { x: HEAD_MM, y: y - 1.4 };
    canvas.text(Lettered::new(text, at, PLAIN_PT).end());
    let text = "dock's datum, station 0";
    let at = Coord { x: DATUM_MM, y: y - 3.6 };
    canvas.text(Lettered::new(text, at, PLAIN_PT));
    canvas.line(Coord { x: DATUM_MM, y: y - 2.8 }, Coord { x: DATUM_MM, y: y + 5.5 }, THIN);
    if let Some(block) = block {
        canvas.line(Coord { x: BLOCK_MM, y: y - 1.2 }, Coord { x: BLOCK_MM, y: cap_mm }, THIN);
        let text = format!(
            "block {} stands at station {}",
            lettering::label(&block.id),
            units.length(block.cap.centre.x, 2)
        );
        canvas.text(Lettered::new(&text, Coord { x: BLOCK_MM, y: y - 1.9 }, PLAIN_PT).end());
    }
}

/// One position: the dock in plan, the ship in it, and a block under her.
struct Panel {
    y: f64,
    stern: f64,
    axes: bool,
}

impl Panel {
    fn at(&self, x: f64, up: f64) -> Coord<f64> {
        Coord { x, y: self.y - up }
    }

    fn draw(
        &self,
        canvas: &mut Canvas,
        ground: &Ground,
        berth: Option<&Berth>,
        block: Option<&Block>,
    ) {
        for side in [HALF_DOCK_MM, -HALF_DOCK_MM] {
            canvas.line(self.at(DATUM_MM, side), self.at(HEAD_MM, side), WALL);
        }
        canvas.line(self.at(DATUM_MM, HALF_DOCK_MM), self.at(DATUM_MM, -HALF_DOCK_MM), WALL);
        let ends = (self.at(DATUM_MM, 0.0), self.at(HEAD_MM, 0.0));
        canvas.line(ends.0, ends.1, THIN.broken(DASH_DOT));
        canvas.ring(&self.hull(ground), Some(HULL), Some(PAPER));
        let bow = self.at(self.stern + SHIP_MM, 0.0);
        canvas.line(self.at(self.stern, 0.0), bow, THIN.broken(DASH_DOT));

        let side = self.stern + SHIP_MM * 0.86;
        canvas.text(Lettered::new("port", self.at(side, HALF_BREADTH_MM - 1.0), PLAIN_PT));
        let starboard = self.at(side, -HALF_BREADTH_MM - 0.8);
        canvas.text(Lettered::new("starboard", starboard, PLAIN_PT));
        let bow = self.at(self.stern + SHIP_MM + 1.5, 1.0);
        canvas.text(Lettered::new("bow", bow, PLAIN_PT));
        if let Some(berth) = berth {
            let text = format!("Position {}", lettering::label(&berth.id));
            canvas.text(Lettered::new(&text, self.at(HEAD_MM, HALF_DOCK_MM - 3.4), PLAIN_PT).end());
        }
        if self.axes {
            self.hull_axes(canvas);
        }
        self.stern_point(canvas);
        if let Some((berth, block)) = berth.zip(block) {
            self.block(canvas, ground.units, berth, block);
        }
        if let Some(berth) = berth {
            let text = format!("SRP at {}", ground.units.length(berth.lie.srp_station_m, 2));
            self.dimension(canvas, DATUM_MM, self.stern, &text);
        }
    }

    /// The bottom's outline drawn out to the sketch's length and breadth; a plain shape without one.
    fn hull(&self, ground: &Ground) -> Vec<Coord<f64>> {
        let recorded = ground.bottom.and_then(|bottom| Some((bottom, extent_of(bottom)?)));
        match recorded {
            Some((bottom, extent)) => {
                let forward = ground
                    .examined
                    .project
                    .docking
                    .ship
                    .foremost_x_m
                    .filter(|x| *x >= extent.forward)
                    .unwrap_or(extent.forward);
                let aft = extent.aft.min(0.0);
                let length = (forward - aft).max(1e-3);
                let half = extent.port.abs().max(extent.starboard.abs()).max(1e-3);
                let place = |c: &Coord<f64>| {
                    self.at(self.stern + c.x / length * SHIP_MM, c.y / half * HALF_BREADTH_MM)
                };
                bottom.exterior().0.iter().map(place).collect()
            }
            None => {
                let side =
                    [(0.0, 0.25), (0.1, 0.7), (0.25, 1.0), (0.7, 1.0), (0.88, 0.6), (1.0, 0.0)];
                let port = side.iter().map(|(x, y)| (*x, *y));
                let starboard = side.iter().rev().skip(1).map(|(x, y)| (*x, -*y));
                port.chain(starboard)
                    .map(|(x, y)| self.at(self.stern + x * SHIP_MM, y * HALF_BREADTH_MM))
                    .collect()
            }
        }
    }

    fn hull_axes(&self, canvas: &mut Canvas) {
        let origin = self.at(self.stern, 0.0);
        let (x, y) = (self.at(self.stern + 21.0, 0.0), self.at(self.stern, 10.5));
        canvas.arrow(origin, x, Pen::solid(0.3));
        canvas.arrow(origin, y, Pen::solid(0.3));
        canvas.text(Lettered::new("x forward", self.at(self.stern + 22.5, 0.9), PLAIN_PT));
        canvas.text(Lettered::new("y to port", self.at(self.stern + 1.0, 8.6), PLAIN_PT));
    }

    fn stern_point(&self, canvas: &mut Canvas) {
        let at = self.at(self.stern, 0.0);
        canvas.circle(at, 0.9, Some(Pen::solid(0.25)), Some(PAPER));
        canvas.circle(at, 0.35, None, Some("#000000"));
        canvas.text(Lettered::new("SRP", self.at(self.stern - 1.6, 1.2), PLAIN_PT).end());
    }

    fn block(&self, canvas: &mut Canvas, units: Units, berth: &Berth, block: &Block) {
        let (half, across) = (1.8, 3.6);
        let corners = [
            self.at(BLOCK_MM - half, -across),
            self.at(BLOCK_MM + half, -across),
            self.at(BLOCK_MM + half, across),
            self.at(BLOCK_MM - half, across),
        ];
        canvas.ring(&corners, Some(Pen::solid(0.25)), Some(CAP_GREY));
        let hull = berth.lie.to_hull(block.cap.centre.x, block.cap.centre.y);
        let text =
            format!("{} bears at x = {}", lettering::label(&block.id), units.length(hull.x, 2));
        self.dimension(canvas, self.stern, BLOCK_MM, &text);
    }

    /// A length along the dock, under the ship.
    fn dimension(&self, canvas: &mut Canvas, from: f64, to: f64, text: &str) {
        let up = -HALF_DOCK_MM + 2.2;
        for x in [from, to] {
            // From the SRP, or the edge of the block's cap, down to the arrow.
            let top = if x == DATUM_MM {
                up + 1.0
            } else if x == BLOCK_MM {
                -3.6
            } else {
                -0.9
            };
            canvas.line(self.at(x, top), self.at(x, up - 1.0), THIN);
        }
        let (a, b) = (self.at(from, up), self.at(to, up));
        canvas.arrow(a, b, THIN);
        let middle = self.at((from + to) / 2.0, up + 0.8);
        canvas.text(Lettered::new(text, middle, PLAIN_PT).middle());
    }
}

/// From where the stern reference point was to where it came, with the true length of the shift.
fn shift_arrow(
    canvas: &mut Canvas,
    ground: &Ground,
    (stern, other): (f64, f64),
    shift_m: Option<f64>,
    y: f64,
) {
    let said = shift_in_words(ground).unwrap_or_default();
    let at = |x: f64| Coord { x, y };
    if shift_m.is_some() {
        canvas.line(Coord { x: stern, y: y - 6.0 }, Coord { x: stern, y: y + 1.2 }, THIN);
        canvas.line(Coord { x: other, y: y - 1.2 }, Coord { x: other, y: y + 20.1 }, THIN);
        canvas.arrow(at(stern), at(other), Pen::solid(0.4));
    }
    // In two lines, so that neither reaches the block's line.
    let lines = match said.split_once(": ") {
        Some((names, lengths)) => vec![format!("{names}:"), lengths.to_string()],
        None => vec![said],
    };
    let capital = lettering::capital_mm(PLAIN_PT);
    let base = y + capital / 2.0 - (lines.len() - 1) as f64 * 1.6;
    for (n, words) in lines.iter().enumerate() {
        let at = Coord { x: stern.max(other) + 2.5, y: base + n as f64 * 3.2 };
        canvas.text(Lettered::new(words, at, PLAIN_PT));
    }
    let at = Coord { x: HEAD_MM, y: y + capital / 2.0 };
    canvas.text(Lettered::new("not to scale", at, SMALL_PT).end());
}

/// The shift from the first position to the last in words; `None` where there is one position only.
fn shift_in_words(ground: &Ground) -> Option<String> {
    let (first, last) = (ground.berths.first()?, ground.berths.last()?);
    if first.number == last.number {
        return None;
    }
    let along = last.lie.srp_station_m - first.lie.srp_station_m;
    let across = last.lie.centreline_offset_m - first.lie.centreline_offset_m;
    let said = |length: f64, more: &str, less: &str| {
        (length.abs() >= NO_SHIFT_M).then(|| {
            format!(
                "{} {}",
                ground.units.length(length.abs(), 2),
                if length > 0.0 { more } else { less }
            )
        })
    };
    let parts: Vec<String> =
        [said(along, "forward", "aft"), said(across, "to port", "to starboard")]
            .into_iter()
            .flatten()
            .collect();
    let names = format!("from {} to {}", lettering::label(&first.id), lettering::label(&last.id));
    Some(if parts.is_empty() {
        format!("{names} she was not shifted")
    } else {
        format!("shift {names}: {}", words::list(&parts, 2))
    })
}

/// Three small sketches of the signs; returns the height reached.
fn signs(canvas: &mut Canvas, top: f64) -> f64 {
    let (height, width) = (21.0, WIDTH_MM / 3.0);
    let middle = top + 8.5;
    let names = ["offset + : ship to port", "yaw + : bow to port", "skew + : anticlockwise"];
    for (n, name) in names.iter().enumerate() {
        let x = width * (n as f64 + 0.5);
        canvas.text(Lettered::new(name, Coord { x, y: top + 18.5 }, PLAIN_PT).middle());
    }
    let line = |canvas: &mut Canvas, x: f64, y: f64, half: f64, pen: Pen| {
        canvas.line(Coord { x: x - half, y }, Coord { x: x + half, y }, pen);
    };

    let x = width * 0.5;
    line(canvas, x, middle + 3.2, 22.0, THIN.broken(DASH_DOT));
    line(canvas, x, middle - 3.8, 22.0, Pen::solid(0.3).broken(DASH_DOT));
    canvas.arrow(
        Coord { x: x + 14.0, y: middle + 3.2 },
        Coord { x: x + 14.0, y: middle - 3.8 },
        Pen::solid(0.3),
    );
    let left = x - 21.5;
    canvas.text(Lettered::new("dock's centreline", Coord { x: left, y: middle + 6.4 }, SMALL_PT));
    canvas.text(Lettered::new("ship's centreline", Coord { x: left, y: middle - 4.8 }, SMALL_PT));

    let x = width * 1.5;
    let pivot = Coord { x: x - 20.0, y: middle + 4.0 };
    line(canvas, x, pivot.y, 20.0, THIN.broken(DASH_DOT));
    arc(canvas, pivot, 32.0, 15.0);
    let tip = moved(pivot, 39.0, 15.0);
    canvas.line(pivot, tip, Pen::solid(0.3).broken(DASH_DOT));
    canvas.circle(pivot, 0.7, Some(Pen::solid(0.25)), Some(PAPER));
    let at = Coord { x: pivot.x, y: pivot.y + 3.4 };
    canvas.text(Lettered::new("SRP", at, SMALL_PT).middle());
    let at = Coord { x: tip.x + 0.8, y: tip.y + 0.6 };
    canvas.text(Lettered::new("bow", at, SMALL_PT));

    let centre = Coord { x: width * 2.5, y: middle };
    let cap = |turn_deg: f64| Rectangle { centre, length_m: 8.0, width_m: 13.0, turn_deg };
    let (straight, askew) = (cap(0.0), cap(-20.0));
    let ring = |cap: Rectangle| cap.polygon().exterior().0.clone();
    canvas.ring(&ring(askew), Some(Pen::solid(0.25)), Some(CAP_GREY));
    canvas.ring(&ring(straight), Some(THIN.broken(DASHED)), None);
    canvas.line(centre, moved(centre, 13.0, 0.0), THIN);
    canvas.line(centre, moved(centre, 13.0, 20.0), THIN);
    arc(canvas, centre, 11.5, 20.0);
    let at = Coord { x: centre.x + 14.5, y: centre.y + 0.9 };
    canvas.text(Lettered::new("to the bow", at, SMALL_PT));
    top + height
}

/// A place at a distance from another, turned from the right by an angle as seen on paper.
fn moved(from: Coord<f64>, distance: f64, angle_deg: f64) -> Coord<f64> {
    let v = turned(Coord { x: distance, y: 0.0 }, -angle_deg);
    Coord { x: from.x + v.x, y: from.y + v.y }
}

/// An arc from the right to an angle, with an arrowhead there.
fn arc(canvas: &mut Canvas, centre: Coord<f64>, radius: f64, angle_deg: f64) {
    let at = |part: f64| moved(centre, radius, angle_deg * part);
    let points: Vec<Coord<f64>> = (0..=12).map(|n| at(f64::from(n) / 12.0)).collect();
    canvas.lines(&[LineString::new(points)], THIN);
    canvas.arrowhead(at(0.85), at(1.0), THIN.colour);
}

fn caption(ground: &Ground) -> String {
    let mut caption =
        "Bottom and dock from above, not to scale; a shift is drawn larger than it was."
            .to_string();
    if ground.bottom.is_none() {
        caption.push_str(" Outline not recorded: a plain shape stands for the ship.");
    }
    caption.push_str(&ground.not_placed_note());
    caption
}

fn alt(ground: &Ground, block: Option<&Block>) -> String {
    let mut alt = String::from(
        "The dock in plan, bow to the right, port above, with the signs of offset, yaw and skew.",
    );
    if let Some(berth) = ground.berths.first() {
        let station = ground.units.length(berth.lie.srp_station_m, 2);
        alt.push_str(&format!(" In position {} the SRP is at station {station}", berth.id));
        if let Some(block) = block {
            let hull = berth.lie.to_hull(block.cap.centre.x, block.cap.centre.y);
            alt.push_str(&format!(
                " and block {}, at station {}, bears at x = {}",
                lettering::shown(&block.id),
                ground.units.length(block.cap.centre.x, 2),
                ground.units.length(hull.x, 2)
            ));
        }
        alt.push('.');
    }
    if let Some(said) = shift_in_words(ground) {
        alt.push_str(&format!(" The drawing says: {said}."));
    }
    alt
}
