//! Charts: frames over each other that share a level axis, with curves, bars and marks that can be told apart in
//! black and white.

use geo::{Coord, LineString};

use super::axis::Axis;
use super::canvas::{CAP_GREY, Canvas, INK, Lettered, PAPER, Pen};
use super::drawing::WIDTH_MM;
use super::hatch::{self, Hatch};
use super::labels::Area;
use super::lettering::{self, PLAIN_PT, SMALL_PT};

/// Left edge of every panel: what the numbers of its upright axis need, mm.
pub const LEFT_MM: f64 = 13.0;
/// Right edge of every panel, mm.
pub const RIGHT_MM: f64 = 166.0;
/// What stands over a panel: the name of its upright axis, mm.
pub const HEAD_MM: f64 = 5.2;
/// What stands under the lowest panel: numbers and name of the level axis, mm.
pub const FOOT_MM: f64 = 8.6;

/// A frame.
const FRAME: Pen = Pen::solid(0.2);
/// Lines at the numbers.
const GRID: Pen = Pen::solid(0.1).coloured("#c4c4c4");
/// Hatching of a band.
const BAND: Pen = Pen::solid(0.1).coloured("#555555");

/// A mark of one reading or result.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marker {
    /// A lying cross, for what was measured.
    Cross,
    /// A filled dot.
    Dot,
    /// An open ring.
    Ring,
}

/// Draws a mark.
pub fn marker(canvas: &mut Canvas, at: Coord<f64>, marker: Marker) {
    match marker {
        Marker::Cross => {
            const HALF_MM: f64 = 0.95;
            let corner = |x: f64, y: f64| Coord { x: at.x + x * HALF_MM, y: at.y + y * HALF_MM };
            let strokes = [
                LineString::new(vec![corner(-1.0, -1.0), corner(1.0, 1.0)]),
                LineString::new(vec![corner(-1.0, 1.0), corner(1.0, -1.0)]),
            ];
            canvas.lines(&strokes, Pen::solid(0.3));
        }
        Marker::Dot => canvas.circle(at, 0.5, None, Some(INK)),
        Marker::Ring => canvas.circle(at, 0.75, Some(Pen::solid(0.2)), Some(PAPER)),
    }
}

/// A frame with an axis along its foot and one up its left side.
#[derive(Debug, Clone)]
pub struct Panel {
    /// The frame on paper.
    pub area: Area,
    /// The level axis.
    pub x: Axis,
    /// The upright axis.
    pub y: Axis,
    /// How far over the frame the name of the upright axis stands, mm.
    name_mm: f64,
}

impl Panel {
    /// A panel of the usual width whose name begins at a height on paper, with a frame so high, mm.
    pub fn new(top_mm: f64, height_mm: f64, x: Axis, y: Axis) -> Self {
        Self::with_room(top_mm, 0.0, height_mm, x, y)
    }

    /// The same with room between the name and the frame, mm.
    pub fn with_room(top_mm: f64, room_mm: f64, height_mm: f64, x: Axis, y: Axis) -> Self {
        let top = top_mm + HEAD_MM + room_mm;
        let area = Area { left: LEFT_MM, right: RIGHT_MM, top, bottom: top + height_mm };
        Self { area, x, y, name_mm: 1.7 + room_mm }
    }

    /// A place on paper; outside the frame if the values lie outside the axes.
    pub fn at(&self, x: f64, y: f64) -> Coord<f64> {
        Coord { x: self.across(x), y: self.up(y) }
    }

    /// A value of the level axis on paper, mm.
    pub fn across(&self, x: f64) -> f64 {
        self.area.left + self.x.part(x) * (self.area.right - self.area.left)
    }

    /// A value of the upright axis on paper, mm.
    pub fn up(&self, y: f64) -> f64 {
        self.area.bottom - self.y.part(y) * (self.area.bottom - self.area.top)
    }

    /// Whether a place lies in the frame.
    fn shows(&self, at: Coord<f64>) -> bool {
        self.area.grown(0.01).holds(&Area::at(at))
    }

    /// Draws the grid, the frame and the numbers; those of the level axis only where `foot` says so.
    pub fn draw(&self, canvas: &mut Canvas, foot: bool) {
        let area = self.area;
        let mut grid = Vec::new();
        for value in self.x.ticks() {
            let x = self.across(value);
            grid.push(LineString::new(vec![Coord { x, y: area.top }, Coord { x, y: area.bottom }]));
        }
        for value in self.y.ticks() {
            let y = self.up(value);
            grid.push(LineString::new(vec![Coord { x: area.left, y }, Coord { x: area.right, y }]));
            let base = y + lettering::capital_mm(SMALL_PT) / 2.0;
            let at = Coord { x: area.left - 1.0, y: base };
            canvas.text(Lettered::new(&self.y.lettered(value), at, SMALL_PT).end());
        }
        canvas.lines(&grid, GRID);
        canvas.ring(&area.corners(), Some(FRAME), None);
        let at = Coord { x: 1.0, y: area.top - self.name_mm };
        canvas.text(Lettered::new(&self.y.title, at, PLAIN_PT));
        if foot {
            self.foot(canvas, 0.0);
        }
    }

    /// The numbers and the name of the level axis, so far under the frame, mm.
    pub fn foot(&self, canvas: &mut Canvas, below_mm: f64) {
        let area = Area { bottom: self.area.bottom + below_mm, ..self.area };
        for value in self.x.ticks() {
            let at = Coord {
                x: self.across(value),
                y: area.bottom + 1.0 + lettering::capital_mm(SMALL_PT),
            };
            canvas.text(Lettered::new(&self.x.lettered(value), at, SMALL_PT).middle());
        }
        let at = Coord { x: (area.left + area.right) / 2.0, y: area.bottom + FOOT_MM - 1.4 };
        canvas.text(Lettered::new(&self.x.title, at, PLAIN_PT).middle());
    }

    /// A line through points, as far as it lies in the frame.
    pub fn curve(&self, canvas: &mut Canvas, points: &[(f64, f64)], pen: Pen) {
        let points: Vec<Coord<f64>> = points.iter().map(|(x, y)| self.at(*x, *y)).collect();
        canvas.lines(&self.area.clip_line(&points), pen);
    }

    /// A level line from side to side.
    pub fn level(&self, canvas: &mut Canvas, y: f64, pen: Pen) {
        self.curve(canvas, &[(self.x.from, y), (self.x.to, y)], pen);
    }

    /// An upright line from foot to top.
    pub fn upright(&self, canvas: &mut Canvas, x: f64, pen: Pen) {
        self.curve(canvas, &[(x, self.y.from), (x, self.y.to)], pen);
    }

    /// A mark, if it lies in the frame.
    pub fn mark(&self, canvas: &mut Canvas, (x, y): (f64, f64), kind: Marker) {
        let at = self.at(x, y);
        if self.shows(at) {
            marker(canvas, at, kind);
        }
    }

    /// A band between two values of the level axis, hatched.
    pub fn hatched(&self, canvas: &mut Canvas, from: f64, to: f64) {
        let within = |x: f64| self.across(x).clamp(self.area.left, self.area.right);
        let band = Area { left: within(from), right: within(to), ..self.area };
        if band.right - band.left > 0.05 {
            canvas.lines(&hatch::lines(&band.shape(), HALT), BAND);
        }
    }

    /// A bar, so wide on either side of its place; nothing where it lies outside.
    fn bar(&self, canvas: &mut Canvas, bar: &Bar) {
        let (left, right) = (self.across(bar.x - bar.half), self.across(bar.x + bar.half));
        // Never too thin to be seen.
        let grown = (bar.least_mm - (right - left)).max(0.0) / 2.0;
        let up = |value: f64| self.up(value).clamp(self.area.top, self.area.bottom);
        let area = Area {
            left: left - grown,
            right: right + grown,
            top: up(bar.to),
            bottom: up(bar.from),
        };
        if self.area.holds(&area) {
            canvas.ring(&area.corners(), Some(bar.edge), Some(CAP_GREY));
        }
    }

    fn draw_mark(&self, canvas: &mut Canvas, mark: &Mark) {
        match mark {
            Mark::Curve(points, pen) => self.curve(canvas, points, *pen),
            Mark::Level(y, pen) => self.level(canvas, *y, *pen),
            Mark::Upright(x, pen) => self.upright(canvas, *x, *pen),
            Mark::Hatched(from, to) => self.hatched(canvas, *from, *to),
            Mark::Point(x, y, kind) => self.mark(canvas, (*x, *y), *kind),
            Mark::AtTheFoot(x, kind) => {
                let foot = self.at(*x, 0.0);
                marker(canvas, Coord { y: foot.y - 1.2, ..foot }, *kind);
            }
            Mark::Bar(bar) => self.bar(canvas, bar),
            Mark::Stroke { x, half, y, pen } => {
                let at = self.at(*x, *y);
                let reach = (self.across(x + half) - at.x).max(0.5) + 0.15;
                if self.shows(at) {
                    let ends = [at.x - reach, at.x + reach].map(|x| Coord { x, y: at.y });
                    canvas.lines(&[LineString::new(ends.to_vec())], *pen);
                }
            }
        }
    }

    /// Names under the frame, each under its place: every one, or every second, fifth, tenth and so on, so that they
    /// stand clear of each other.
    fn names(&self, canvas: &mut Canvas, names: &[(f64, String)]) {
        const APART_MM: f64 = 1.6;
        const EVERY: [usize; 9] = [1, 2, 5, 10, 20, 50, 100, 200, 500];
        let y = self.area.bottom + 1.5 + lettering::capital_mm(SMALL_PT);
        let placed = names
            .iter()
            .map(|(x, name)| (self.across(*x), lettering::width_mm(name, SMALL_PT) / 2.0, name));
        let placed: Vec<(f64, f64, &String)> = placed
            .filter(|(x, half, _)| {
                *x >= self.area.left && x - half > 0.5 && x + half < WIDTH_MM - 0.5
            })
            .collect();
        let clear = |every: usize| {
            let chosen: Vec<&(f64, f64, &String)> = placed.iter().step_by(every).collect();
            chosen.windows(2).all(|pair| pair[0].0 + pair[0].1 + APART_MM <= pair[1].0 - pair[1].1)
        };
        if let Some(every) = EVERY.into_iter().find(|every| clear(*every)) {
            for (x, _, name) in placed.iter().step_by(every) {
                canvas.text(Lettered::new(name, Coord { x: *x, y }, SMALL_PT).middle());
            }
        }
    }
}

/// What is drawn in a frame; what lies outside it is left out. Places are values of its axes.
pub enum Mark {
    Curve(Vec<(f64, f64)>, Pen),
    /// A line from side to side.
    Level(f64, Pen),
    /// A line from foot to top.
    Upright(f64, Pen),
    /// A band between two values of the level axis.
    Hatched(f64, f64),
    Point(f64, f64, Marker),
    /// A mark that stands on the value 0.
    AtTheFoot(f64, Marker),
    Bar(Bar),
    /// A short level line, so long on either side of its place.
    Stroke {
        x: f64,
        half: f64,
        y: f64,
        pen: Pen,
    },
}

/// A grey bar from one value of the upright axis to another, so wide on either side of its place.
pub struct Bar {
    pub x: f64,
    pub half: f64,
    pub from: f64,
    pub to: f64,
    pub edge: Pen,
    /// Its least width on paper, mm.
    pub least_mm: f64,
}

/// A frame of several over each other.
pub struct Row {
    pub y: Axis,
    pub height_mm: f64,
    /// Drawn under the grid and the frame.
    pub under: Vec<Mark>,
    pub over: Vec<Mark>,
    /// Names under the frame, at values of the level axis.
    pub names: Option<Vec<(f64, String)>>,
    /// Room between its name and the frame, mm.
    pub room_mm: f64,
    /// Room to the next frame, mm.
    pub gap_mm: f64,
}

/// Height of a line of names under a frame, mm.
pub const NAMES_MM: f64 = 4.0;

impl Row {
    pub fn new(y: Axis, height_mm: f64, over: Vec<Mark>) -> Self {
        Self { y, height_mm, under: Vec::new(), over, names: None, room_mm: 0.0, gap_mm: 1.0 }
    }
}

/// Draws frames over each other from a height on, the last of them with the numbers of the level axis under it; returns
/// the height reached.
pub fn draw_rows(canvas: &mut Canvas, x: &Axis, top_mm: f64, rows: &[Row]) -> f64 {
    let mut top = top_mm;
    for (n, row) in rows.iter().enumerate() {
        let is_last = n + 1 == rows.len();
        top = draw_row(canvas, x, top, row, is_last).1;
    }
    top
}

/// Draws one frame, with the numbers of the level axis if it is the last; returns it and the height reached.
pub fn draw_row(canvas: &mut Canvas, x: &Axis, top: f64, row: &Row, is_last: bool) -> (Panel, f64) {
    let panel = Panel::with_room(top, row.room_mm, row.height_mm, x.clone(), row.y.clone());
    row.under.iter().for_each(|mark| panel.draw_mark(canvas, mark));
    panel.draw(canvas, is_last && row.names.is_none());
    row.over.iter().for_each(|mark| panel.draw_mark(canvas, mark));
    let mut below = 0.0;
    if let Some(names) = &row.names {
        panel.names(canvas, names);
        below = NAMES_MM;
        if is_last {
            panel.foot(canvas, below);
        }
    }
    let gap = if is_last { FOOT_MM } else { row.gap_mm };
    let reached = panel.area.bottom + below + gap;
    (panel, reached)
}

/// Half the height of a bracket's ends, mm.
pub const HALF_END_MM: f64 = 0.75;

/// A bracket from one place to another; with an arrow where it goes on beyond.
pub fn bracket(canvas: &mut Canvas, (left, right): (f64, f64), y: f64, goes_on: bool, pen: Pen) {
    const FOOT_MM: f64 = 0.5;
    let at = |x: f64, h: f64| Coord { x, y: y + h };
    let end = |x: f64, toward: f64| {
        LineString::new(vec![
            at(x + toward * FOOT_MM, -HALF_END_MM),
            at(x, -HALF_END_MM),
            at(x, HALF_END_MM),
            at(x + toward * FOOT_MM, HALF_END_MM),
        ])
    };
    canvas.line(at(left, 0.0), at(right, 0.0), pen);
    let solid = Pen::solid(0.3);
    canvas.lines(&[end(left, 1.0)], solid);
    if goes_on {
        canvas.arrowhead(at(left, 0.0), at(right, 0.0), INK);
    } else {
        canvas.lines(&[end(right, -1.0)], solid);
    }
}

/// The hatch of a band.
pub const HALT: Hatch = Hatch { angle_deg: 45.0, spacing_mm: 1.5 };

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::figures::axis::Scaling;

    fn panel() -> Panel {
        let x = Axis::over("x", Scaling::NONE, [0.0, 10.0], 150.0, 15.0).unwrap();
        let y = Axis::over("y", Scaling::NONE, [0.0, 4.0], 40.0, 8.0).unwrap();
        Panel::new(0.0, 40.0, x, y)
    }

    #[test]
    fn the_ends_of_the_axes_are_the_corners() {
        let panel = panel();
        let at = panel.at(0.0, 0.0);
        assert_eq!((at.x, at.y), (LEFT_MM, HEAD_MM + 40.0));
        let at = panel.at(10.0, 4.0);
        assert!((at.x - RIGHT_MM).abs() < 1e-9 && (at.y - HEAD_MM).abs() < 1e-9, "{at:?}");
        let falling = Panel { x: panel.x.clone().falling(), ..panel };
        assert_eq!(falling.at(10.0, 0.0).x, LEFT_MM);
    }

    #[test]
    fn nothing_leaves_the_frame() {
        let panel = panel();
        let mut canvas = Canvas::new(170.0);
        panel.curve(&mut canvas, &[(-5.0, 2.0), (5.0, 2.0), (5.0, 90.0)], Pen::solid(0.2));
        panel.curve(&mut canvas, &[(0.0, f64::NAN), (5.0, 1.0)], Pen::solid(0.2));
        panel.mark(&mut canvas, (50.0, 1.0), Marker::Dot);
        let bar = Bar { x: 30.0, half: 0.5, from: 0.0, to: 2.0, edge: FRAME, least_mm: 0.5 };
        panel.bar(&mut canvas, &bar);
        let svg = canvas.finish(60.0, "t", "d");
        assert!(svg.contains(&format!("M{LEFT_MM} 25.2L89.5 25.2")), "{svg}");
        assert!(svg.contains("L89.5 5.2") && !svg.contains("NaN"), "{svg}");
        assert!(!svg.contains("<circle"));
    }
}
