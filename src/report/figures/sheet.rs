//! The frame that every strip of a plan or exposure map is drawn in: heading, scale bar, key, frame
//! numbers above, x and dock stations below, match lines at the ends.

use geo::{Coord, LineString, Polygon};

use super::canvas::{Anchor, BACK_GREY, Canvas, DASH_DOT, INK, LONG_DASH, Lettered, PAPER, Pen};
use super::ground::{Extent, Ground, extent_of};
use super::labels::{Area, Labels};
use super::lettering::{self, HEADING_PT, SMALL_PT};
use super::scale::{Room, Scale, Strip, round_up};
use super::{Drawing, PAGE_HEIGHT_MM, SHARED_HEIGHT_MM, WIDTH_MM};
use crate::hull::Lie;
use crate::units::fixed;

/// Width to the left of the window, for the names of the axes, mm.
const MARGIN_MM: f64 = 11.5;
/// Height above the window: heading, scale bar and frame numbers, mm.
const ABOVE_MM: f64 = 12.0;
/// Height of the axis of x, or of the stations, mm.
const AXIS_MM: f64 = 4.6;
/// Width of the widest window, mm.
const WINDOW_WIDTH_MM: f64 = WIDTH_MM - MARGIN_MM - 0.5;
/// Height of what stands around a window above and below, mm.
const AROUND_MM: f64 = ABOVE_MM + 2.0 * AXIS_MM + 0.4;
/// Room for labels inside a window, above and below what it shows, mm.
pub const LABEL_ROOM_MM: f64 = 4.0;
/// Height of the lowest window, so that "starboard" has room beside it, mm.
const LEAST_HEIGHT_MM: f64 = 26.0;

/// The rooms that a strip may have, with so much kept free under its axes, mm: half a page with up to
/// four strips or, where that keeps a ship at 1:200 or 1:500, a page to itself with up to five.
pub fn rooms(under_mm: f64) -> [Room; 2] {
    let room = |height_mm: f64, strips: usize, largest: u64| Room {
        width_mm: WINDOW_WIDTH_MM,
        height_mm: height_mm - AROUND_MM - 2.0 * LABEL_ROOM_MM - under_mm,
        strips,
        largest: Scale(largest),
    };
    [room(SHARED_HEIGHT_MM, 4, 20), room(PAGE_HEIGHT_MM, 5, 200)]
}

/// What a strip's frame needs to know.
#[derive(Debug, Clone)]
pub struct Frame<'a> {
    /// The heading.
    pub heading: String,
    /// The scale.
    pub scale: Scale,
    /// The strip.
    pub strip: Strip,
    /// Least and greatest y to be shown, m.
    pub y_m: (f64, f64),
    /// All that the strips show together, for the key.
    pub whole: Extent,
    /// Whose stations stand along the edge; none where several positions are shown.
    pub lie: Option<&'a Lie>,
}

/// A strip in the making.
#[derive(Debug)]
pub struct Sheet {
    /// What is drawn on.
    pub canvas: Canvas,
    /// The labels to come.
    pub labels: Labels,
    /// The window on paper, mm.
    pub window: Area,
    scale: Scale,
    x_from_m: f64,
    y_top_m: f64,
    /// Height used so far, mm.
    pub height_mm: f64,
}

impl Sheet {
    /// Draws the frame around an empty window.
    pub fn new(ground: &Ground, frame: &Frame) -> Self {
        let scale = frame.scale;
        let (from_m, to_m) = frame.strip.window_m();
        let width = scale.to_mm(to_m - from_m);
        let wanted = scale.to_mm(frame.y_m.1 - frame.y_m.0);
        let height = wanted.max(LEAST_HEIGHT_MM);
        let left = MARGIN_MM + ((WINDOW_WIDTH_MM - width) / 2.0).max(0.0);
        let window = Area { left, top: ABOVE_MM, right: left + width, bottom: ABOVE_MM + height };
        let y_top_m = (frame.y_m.0 + frame.y_m.1) / 2.0 + scale.to_m(height) / 2.0;
        let mut sheet = Self {
            canvas: Canvas::new(WIDTH_MM),
            labels: Labels::new(window.grown(-0.4)),
            window,
            scale,
            x_from_m: from_m,
            y_top_m,
            height_mm: window.bottom,
        };
        sheet.header(ground, frame);
        sheet.frames(ground, from_m, to_m);
        sheet.axis_of_x(from_m, to_m);
        if let Some(lie) = frame.lie {
            sheet.axis_of_stations(lie, from_m, to_m);
        }
        sheet.sides();
        sheet
    }

    /// A place on the hull, on paper.
    pub fn at(&self, hull: Coord<f64>) -> Coord<f64> {
        Coord {
            x: self.across(hull.x),
            y: self.window.top + self.scale.to_mm(self.y_top_m - hull.y),
        }
    }

    fn across(&self, x_m: f64) -> f64 {
        self.window.left + self.scale.to_mm(x_m - self.x_from_m)
    }

    /// A length on the hull in m, on paper in mm.
    pub fn mm(&self, length_m: f64) -> f64 {
        self.scale.to_mm(length_m)
    }

    /// A polygon's outline on paper as lines inside the window.
    pub fn outline(&self, shape: &Polygon<f64>) -> Vec<LineString<f64>> {
        let rings = std::iter::once(shape.exterior()).chain(shape.interiors());
        rings.flat_map(|ring| self.inside(ring.0.iter().map(|c| self.at(*c)))).collect()
    }

    /// The parts of a line on paper that lie inside the window, each as long as it can be.
    pub fn inside(&self, line: impl Iterator<Item = Coord<f64>>) -> Vec<LineString<f64>> {
        let mut parts: Vec<LineString<f64>> = Vec::new();
        let points: Vec<Coord<f64>> = line.collect();
        for pair in points.windows(2) {
            let [a, b] = pair else { continue };
            let Some((a, b)) = self.window.clip(*a, *b) else { continue };
            match parts.last_mut() {
                Some(part) if part.0.last() == Some(&a) => part.0.push(b),
                _ => parts.push(LineString::new(vec![a, b])),
            }
        }
        parts
    }

    fn header(&mut self, ground: &Ground, frame: &Frame) {
        const BASE_MM: f64 = 4.4;
        let canvas = &mut self.canvas;
        let at = Coord { x: 0.5, y: BASE_MM };
        canvas.text(Lettered::new(&frame.heading, at, HEADING_PT));
        scale_bar(canvas, Coord { x: 84.0, y: BASE_MM }, frame.scale);
        key(canvas, ground, frame, Area { left: 137.0, top: 0.8, right: 161.0, bottom: 5.6 });
    }

    fn frames(&mut self, ground: &Ground, from_m: f64, to_m: f64) {
        const ROW_MM: f64 = 2.0;
        let top = self.window.top;
        let name = Lettered::new("frame", Coord { x: MARGIN_MM - 0.6, y: top - ROW_MM }, SMALL_PT);
        let edge = [Coord { x: self.window.left, y: top }, Coord { x: self.window.right, y: top }];
        self.canvas.line(edge[0], edge[1], Pen::solid(0.18));
        let frames = ground.examined.project.docking.frames.as_ref();
        // Spacings of less than a centimetre are no frames, and would be far too many.
        let Some(frames) = frames.filter(|f| f.stretches.iter().all(|s| s.spacing_m >= 0.01))
        else {
            return;
        };
        self.canvas.text(name.end());
        let ticks = frames.between(from_m, to_m);
        let xs: Vec<f64> = ticks.iter().map(|(_, x)| self.across(*x)).collect();
        let closest = xs
            .windows(2)
            .map(|pair| (pair[1] - pair[0]).abs())
            .filter(|mm| *mm > 1e-6)
            .fold(f64::INFINITY, f64::min);
        let widest = ticks
            .iter()
            .map(|(n, _)| lettering::width_mm(&n.to_string(), SMALL_PT))
            .fold(0.0, f64::max);
        let every = |room: f64| {
            [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000]
                .into_iter()
                .find(|step| *step as f64 * closest >= room)
                .unwrap_or(100_000)
        };
        let (tick, label) = (every(0.7), every(widest + 1.8).max(5));
        let mut free_from = f64::NEG_INFINITY;
        let mut numbered = ticks.iter().zip(&xs).collect::<Vec<_>>();
        numbered.sort_by(|a, b| a.1.total_cmp(b.1));
        for ((number, _), x) in numbered {
            let labelled = number % label == 0;
            if number % tick != 0 && !labelled {
                continue;
            }
            let long = if labelled { 1.6 } else { 0.8 };
            self.canvas.line(
                Coord { x: *x, y: top },
                Coord { x: *x, y: top - long },
                Pen::solid(0.13),
            );
            let text = number.to_string();
            let half = lettering::width_mm(&text, SMALL_PT) / 2.0;
            // Numbers may meet where the spacing changes by mistake; the first one stands.
            let (from, to) = (self.window.left - 0.2, self.window.right + 0.4);
            if labelled && x - half >= free_from.max(from) && x + half <= to {
                let at = Coord { x: *x, y: top - ROW_MM };
                self.canvas.text(Lettered::new(&text, at, SMALL_PT).middle());
                free_from = x + half + 0.5;
            }
        }
    }

    fn axis_of_x(&mut self, from_m: f64, to_m: f64) {
        let ticks = self.round_places(from_m, to_m, Some);
        self.axis("x, m", &ticks);
    }

    fn axis_of_stations(&mut self, lie: &Lie, from_m: f64, to_m: f64) {
        // The stations of the ship's centreline; with her far askew there is no such scale.
        let cos = libm::cos(lie.yaw_deg.to_radians());
        if cos < 0.5 {
            return;
        }
        let station = |x: f64| lie.srp_station_m + x * cos;
        let x = |station: f64| Some((station - lie.srp_station_m) / cos);
        let ticks = self.round_places(station(from_m), station(to_m), x);
        self.axis("station, m", &ticks);
    }

    /// Round places along an axis: x on paper, and the number where one has room.
    fn round_places(
        &self,
        from: f64,
        to: f64,
        x_m: impl Fn(f64) -> Option<f64>,
    ) -> Vec<(f64, Option<String>)> {
        let text = |value: f64, step: f64| fixed(value, if step < 1.0 { 1 } else { 0 });
        let widest = [from, to]
            .map(|end| lettering::width_mm(&text(end, 1.0), SMALL_PT))
            .into_iter()
            .fold(0.0, f64::max);
        let step = round_up(self.scale.to_m(widest + 3.5)).max(0.5);
        let fine = step / 5.0;
        let (first, last) = ((from / fine).ceil() as i64, (to / fine).floor() as i64);
        (first..=last.min(first.saturating_add(2000)))
            .filter_map(|n| {
                let value = n as f64 * fine;
                let label = (n % 5 == 0).then(|| text(value, step));
                x_m(value).map(|x| (self.across(x), label))
            })
            .filter(|(x, _)| *x >= self.window.left - 1e-9 && *x <= self.window.right + 1e-9)
            .collect()
    }

    /// One more axis under what is there.
    fn axis(&mut self, name: &str, ticks: &[(f64, Option<String>)]) {
        let y = self.height_mm;
        let (from, to) = (self.window.left, self.window.right);
        self.canvas.line(Coord { x: from, y }, Coord { x: to, y }, Pen::solid(0.18));
        let base = y + 1.9 + lettering::capital_mm(SMALL_PT);
        let at = Coord { x: MARGIN_MM - 0.6, y: base };
        self.canvas.text(Lettered::new(name, at, SMALL_PT).end());
        for (x, label) in ticks {
            let long = if label.is_some() { 1.5 } else { 0.8 };
            self.canvas.line(Coord { x: *x, y }, Coord { x: *x, y: y + long }, Pen::solid(0.13));
            let half = label.as_ref().map_or(0.0, |l| lettering::width_mm(l, SMALL_PT) / 2.0);
            if let Some(label) =
                label.as_ref().filter(|_| x - half >= from - 0.2 && x + half <= to + 0.4)
            {
                let at = Coord { x: *x, y: base };
                self.canvas.text(Lettered::new(label, at, SMALL_PT).middle());
            }
        }
        self.height_mm = y + AXIS_MM;
    }

    fn sides(&mut self) {
        let x = self.window.left - 1.6;
        for (text, y, anchor) in [
            ("port", self.window.top + 0.8, Anchor::End),
            ("starboard", self.window.bottom - 0.8, Anchor::Start),
        ] {
            let lettered = Lettered::new(text, Coord { x, y }, SMALL_PT).upward();
            self.canvas.text(Lettered { anchor, ..lettered });
        }
    }

    /// The hull's centreline through the window.
    pub fn centreline(&mut self) {
        let y = self.at(Coord { x: 0.0, y: 0.0 }).y;
        if y > self.window.top && y < self.window.bottom {
            let ends = [self.window.left, self.window.right].map(|x| Coord { x, y });
            self.canvas.line(ends[0], ends[1], Pen::solid(0.13).broken(DASH_DOT));
            self.labels.avoid_lines(&[LineString::new(ends.to_vec())]);
        }
    }

    /// The perpendiculars and the stern reference point, as far as they lie in the window.
    pub fn stations(&mut self, ground: &Ground) {
        let mut named: Vec<Area> = Vec::new();
        for (name, x_m) in ground.stations() {
            let x = self.across(x_m);
            let width = lettering::width_mm(name, SMALL_PT) + 0.6;
            if x < self.window.left || x + width + 0.5 > self.window.right {
                continue;
            }
            let (top, bottom) = (self.window.top, self.window.bottom);
            let pen = Pen::solid(0.13).broken(LONG_DASH);
            self.canvas.line(Coord { x, y: top }, Coord { x, y: bottom }, pen);
            let mut area =
                Area { left: x + 0.5, right: x + 0.5 + width, top: top + 0.6, bottom: top + 2.9 };
            while named.iter().any(|other| other.overlap_mm2(&area) > 0.0) {
                area = Area { top: area.top + 2.6, bottom: area.bottom + 2.6, ..area };
            }
            let at = Coord { x: area.left + 0.3, y: area.bottom - 0.4 };
            self.canvas.text(Lettered::new(name, at, SMALL_PT));
            named.push(area);
            self.labels.keep_clear(area);
            let line = LineString::new(vec![Coord { x, y: top }, Coord { x, y: bottom }]);
            self.labels.avoid_lines(&[line]);
        }
    }

    /// Match lines where the ship goes on in another strip.
    pub fn match_lines(&mut self, strip: &Strip) {
        let ends = [
            (strip.number > 1, strip.from_m, strip.number.saturating_sub(1), -1.0),
            (strip.number < strip.of, strip.to_m, strip.number + 1, 1.0),
        ];
        let mut lines: Vec<LineString<f64>> = Vec::new();
        for (continues, x_m, other, toward) in ends {
            if !continues {
                continue;
            }
            let x = self.across(x_m);
            let (top, bottom) = (self.window.top, self.window.bottom);
            let line = [Coord { x, y: top - 1.6 }, Coord { x, y: bottom }];
            self.canvas.line(line[0], line[1], Pen::solid(0.35).broken(LONG_DASH));
            let text = format!("strip {other}");
            let capital = lettering::capital_mm(SMALL_PT);
            let length = lettering::width_mm(&text, SMALL_PT);
            let middle = x + toward * (0.6 + capital / 2.0);
            let at_height = |below: f64| Area {
                left: middle - capital / 2.0 - 0.2,
                right: middle + capital / 2.0 + 0.2,
                top: below - length - 0.4,
                bottom: below,
            };
            // As low as it stands clear of the ship; at the bottom if it is clear nowhere.
            let lowest = bottom - 0.6;
            let area = (0..)
                .map(|step| at_height(lowest - f64::from(step)))
                .take_while(|area| area.top > top + 0.5)
                .find(|area| self.labels.is_clear(area))
                .unwrap_or(at_height(lowest));
            let at = Coord { x: middle + capital / 2.0, y: area.bottom - 0.2 };
            self.canvas.text(Lettered::new(&text, at, SMALL_PT).upward());
            lines.push(LineString::new(line.to_vec()));
            self.labels.keep_clear(area);
        }
        self.labels.avoid_lines(&lines);
    }

    /// Draws the labels and closes the drawing.
    pub fn drawn(mut self, told: Told) -> Drawing {
        self.labels.draw(&mut self.canvas);
        let height_mm = Canvas::height_mm(self.height_mm + 0.3);
        let description = format!("{} {}", told.caption, told.alt);
        Drawing {
            svg: self.canvas.finish(height_mm, &told.title, &description),
            name: told.name,
            group: told.group,
            position: told.position,
            title: told.title,
            caption: told.caption,
            alt: told.alt,
            width_mm: WIDTH_MM,
            height_mm,
        }
    }
}

/// A drawing's names, and what is said of it: see [`Drawing`].
pub struct Told {
    pub name: String,
    pub group: String,
    pub position: Option<String>,
    pub title: String,
    pub caption: String,
    pub alt: String,
}

/// Length of a scale bar on the ship, m: round, and so that the bar is a good inch or two on paper.
pub fn bar_length_m(scale: Scale) -> f64 {
    round_up(scale.to_m(16.0))
}

/// The stated scale, and a bar of five parts with its length.
fn scale_bar(canvas: &mut Canvas, at: Coord<f64>, scale: Scale) {
    const THICK_MM: f64 = 1.0;
    canvas.text(Lettered::new(&format!("scale {scale}"), at, HEADING_PT).end());
    let length_m = bar_length_m(scale);
    let length = scale.to_mm(length_m);
    let left = at.x + 4.0;
    for part in 0..5 {
        let x = |n: i32| left + length * f64::from(n) / 5.0;
        let corners = [
            Coord { x: x(part), y: at.y },
            Coord { x: x(part + 1), y: at.y },
            Coord { x: x(part + 1), y: at.y - THICK_MM },
            Coord { x: x(part), y: at.y - THICK_MM },
        ];
        let fill = if part % 2 == 0 { INK } else { PAPER };
        canvas.ring(&corners, Some(Pen::solid(0.13)), Some(fill));
    }
    let y = at.y - THICK_MM - 0.6;
    canvas.text(Lettered::new("0", Coord { x: left, y }, SMALL_PT).middle());
    let decimals = if length_m < 1.0 { 1 } else { 0 };
    let end = format!("{} m", fixed(length_m, decimals));
    canvas.text(Lettered::new(&end, Coord { x: left + length, y }, SMALL_PT).middle());
}

/// A small ship from stern to bow with this strip in grey.
fn key(canvas: &mut Canvas, ground: &Ground, frame: &Frame, area: Area) {
    let whole = frame.whole;
    let (length, breadth) = (whole.forward - whole.aft, whole.port - whole.starboard);
    let along = (area.right - area.left) / length.max(1e-3);
    let across = along.min((area.bottom - area.top) / breadth.max(1e-3));
    let middle = area.middle();
    let at = |c: Coord<f64>| Coord {
        x: area.left + (c.x - whole.aft) * along,
        y: middle.y - (c.y - (whole.port + whole.starboard) / 2.0) * across,
    };
    let x = |x_m: f64| at(Coord { x: x_m.clamp(whole.aft, whole.forward), y: 0.0 }).x;
    let (from, to) = (x(frame.strip.from_m), x(frame.strip.to_m));
    let part = Area { left: from, right: to, ..area };
    canvas.ring(&part.corners(), Some(Pen::solid(0.1)), Some("#c4c4c4"));
    match ground.bottom {
        Some(bottom) if extent_of(bottom).is_some() => {
            let ring: Vec<Coord<f64>> = bottom.exterior().0.iter().map(|c| at(*c)).collect();
            canvas.ring(&ring, Some(Pen::solid(0.15)), None);
        }
        _ => {
            let ends = [area.left, area.right].map(|x| Coord { x, y: middle.y });
            canvas.line(ends[0], ends[1], Pen::solid(0.15).coloured(BACK_GREY));
        }
    }
    let base = middle.y + lettering::capital_mm(SMALL_PT) / 2.0;
    let stern = Lettered::new("stern", Coord { x: area.left - 1.0, y: base }, SMALL_PT);
    canvas.text(stern.end());
    let (tail, tip) =
        (Coord { x: area.right + 0.6, y: middle.y }, Coord { x: area.right + 3.4, y: middle.y });
    canvas.arrow(tail, tip, Pen::solid(0.18));
    canvas.text(Lettered::new("bow", Coord { x: tip.x + 0.5, y: base }, SMALL_PT));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_fit_beside_the_stated_scale() {
        for scale in [20, 50, 100, 200, 500, 1000, 2000, 5000] {
            let scale = Scale(scale);
            let on_paper = scale.to_mm(bar_length_m(scale));
            assert!((16.0..=40.0 + 1e-9).contains(&on_paper), "{scale}: {on_paper}");
        }
    }
}
