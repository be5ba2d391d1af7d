//! Places for labels: beside what they name, clear of each other and, where it can be, of the lines.
//!
//! Greedy: in the order given, each label takes the best place that is still free. One that finds no
//! place is left out and counted, so that the caption can say so.

use geo::{Coord, LineString, MultiPolygon, Polygon};

use super::canvas::{Canvas, INK, Lettered, PAPER, Pen};
use super::lettering::{self, SMALL_PT};
use super::words;

/// An upright rectangle on paper, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Area {
    /// The smallest that holds all the points; `None` for none.
    pub fn around(points: impl IntoIterator<Item = Coord<f64>>) -> Option<Self> {
        points.into_iter().map(Self::at).reduce(|area, point| area.with(&point))
    }

    pub fn at(point: Coord<f64>) -> Self {
        Self { left: point.x, top: point.y, right: point.x, bottom: point.y }
    }

    /// The smallest that holds both.
    pub fn with(self, other: &Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// Its corners, clockwise on paper from the upper left.
    pub fn corners(&self) -> [Coord<f64>; 4] {
        [
            Coord { x: self.left, y: self.top },
            Coord { x: self.right, y: self.top },
            Coord { x: self.right, y: self.bottom },
            Coord { x: self.left, y: self.bottom },
        ]
    }

    /// The same as a polygon.
    pub fn polygon(&self) -> Polygon<f64> {
        Polygon::new(LineString::new(self.corners().to_vec()), vec![])
    }

    /// The same as a shape.
    pub fn shape(&self) -> MultiPolygon<f64> {
        MultiPolygon(vec![self.polygon()])
    }

    /// The same with a border added on all sides.
    pub fn grown(self, by_mm: f64) -> Self {
        Self {
            left: self.left - by_mm,
            top: self.top - by_mm,
            right: self.right + by_mm,
            bottom: self.bottom + by_mm,
        }
    }

    pub fn middle(&self) -> Coord<f64> {
        Coord { x: (self.left + self.right) / 2.0, y: (self.top + self.bottom) / 2.0 }
    }

    /// How much the two have in common, mm2.
    pub fn overlap_mm2(&self, other: &Self) -> f64 {
        let x = self.right.min(other.right) - self.left.max(other.left);
        let y = self.bottom.min(other.bottom) - self.top.max(other.top);
        if x > 0.0 && y > 0.0 { x * y } else { 0.0 }
    }

    /// Whether the other lies inside.
    pub fn holds(&self, other: &Self) -> bool {
        other.left >= self.left
            && other.right <= self.right
            && other.top >= self.top
            && other.bottom <= self.bottom
    }

    /// The point of it that is nearest to another point.
    fn nearest(&self, to: Coord<f64>) -> Coord<f64> {
        Coord { x: to.x.clamp(self.left, self.right), y: to.y.clamp(self.top, self.bottom) }
    }

    /// The part of a straight line inside it, if any.
    pub fn clip(&self, a: Coord<f64>, b: Coord<f64>) -> Option<(Coord<f64>, Coord<f64>)> {
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        let sides = [
            (-dx, a.x - self.left),
            (dx, self.right - a.x),
            (-dy, a.y - self.top),
            (dy, self.bottom - a.y),
        ];
        for (toward, room) in sides {
            if toward == 0.0 {
                if room < 0.0 {
                    return None;
                }
            } else if toward < 0.0 {
                from = from.max(room / toward);
            } else {
                to = to.min(room / toward);
            }
        }
        let at = |t: f64| Coord { x: a.x + dx * t, y: a.y + dy * t };
        (from <= to).then(|| (at(from), at(to)))
    }

    /// The parts of a line inside it, each as long as it can be, so that dashes do not begin anew at every corner.
    pub fn clip_line(&self, corners: &[Coord<f64>]) -> Vec<LineString<f64>> {
        let mut parts: Vec<LineString<f64>> = Vec::new();
        for pair in corners.windows(2) {
            let &[a, b] = pair else { continue };
            if ![a.x, a.y, b.x, b.y].iter().all(|mm| mm.is_finite()) {
                continue;
            }
            let Some((a, b)) = self.clip(a, b) else { continue };
            match parts.last_mut().filter(|part| part.0.last() == Some(&a)) {
                Some(part) => part.0.push(b),
                None => parts.push(LineString::new(vec![a, b])),
            }
        }
        parts
    }
}

/// What a label should stand at.
#[derive(Debug, Clone)]
pub struct Named {
    pub text: String,
    /// What it names, on paper.
    pub area: Area,
    /// Places inside it that may be used, best first: the room there and whether the text reads
    /// upward.
    pub inside: Vec<(Area, bool)>,
    /// Whether a label outside reads upward, as where neighbours stand too close for level ones.
    pub upward: bool,
    /// Whether it may stand away from what it names, with a leader.
    pub leader: bool,
    pub colour: &'static str,
}

impl Named {
    /// A black label that reads level beside what it names, or away from it with a leader.
    pub fn beside(text: String, area: Area) -> Self {
        Self { text, area, inside: Vec::new(), upward: false, leader: true, colour: INK }
    }
}

/// A label that found its place.
#[derive(Debug, Clone)]
pub struct Placed {
    pub text: String,
    pub area: Area,
    pub upward: bool,
    /// Whether it stands inside what it names.
    pub inside: bool,
    /// A line to what it names: from there to the label.
    pub leader: Option<(Coord<f64>, Coord<f64>)>,
    pub colour: &'static str,
}

/// The place that labels share.
#[derive(Debug)]
pub struct Labels {
    /// Labels stay inside.
    window: Area,
    /// What no label may cover.
    marks: Vec<Area>,
    /// What a label had better not cover.
    shapes: Vec<Area>,
    /// Lines that a label had better not cross.
    lines: Vec<(Coord<f64>, Coord<f64>)>,
    placed: Vec<Placed>,
    left_out: usize,
}

/// Shapes and lines that a label had better keep off.
struct Obstacles {
    shapes: Vec<Area>,
    lines: Vec<(Coord<f64>, Coord<f64>)>,
}

impl Obstacles {
    /// How bad it is to cover what an area covers.
    fn cost(&self, area: &Area) -> f64 {
        let covered: f64 = self.shapes.iter().map(|shape| area.overlap_mm2(shape)).sum();
        let crossed: f64 = self
            .lines
            .iter()
            .filter_map(|(a, b)| area.clip(*a, *b))
            .map(|(a, b)| libm::hypot(b.x - a.x, b.y - a.y))
            .sum();
        (covered + crossed) * 3.0
    }
}

/// Room between a label and its neighbours, mm.
const AIR_MM: f64 = 0.35;

impl Labels {
    /// An empty window.
    pub fn new(window: Area) -> Self {
        Self {
            window,
            marks: Vec::new(),
            shapes: Vec::new(),
            lines: Vec::new(),
            placed: Vec::new(),
            left_out: 0,
        }
    }

    /// No label may cover this.
    pub fn keep_clear(&mut self, area: Area) {
        self.marks.push(area);
    }

    /// Labels had better not cover this.
    pub fn avoid(&mut self, area: Area) {
        self.shapes.push(area);
    }

    /// Labels had better not cover what lies within this ring.
    pub fn avoid_shape(&mut self, ring: &LineString<f64>) {
        self.shapes.extend(Area::around(ring.0.iter().copied()));
        self.avoid_lines(std::slice::from_ref(ring));
    }

    /// Labels had better not cross these.
    pub fn avoid_lines(&mut self, lines: &[LineString<f64>]) {
        self.lines.extend(lines.iter().flat_map(|line| line.lines()).map(|l| (l.start, l.end)));
    }

    /// Finds a place for a label; one that has none counts as left out.
    pub fn place(&mut self, named: &Named) {
        if !self.try_place(named) {
            self.left_out += 1;
        }
    }

    /// Finds a place for a label if there is one; returns whether there was.
    pub fn try_place(&mut self, named: &Named) -> bool {
        let best = self.inside(named).or_else(|| self.outside(named));
        let found = best.is_some();
        if let Some(placed) = best {
            self.lines.extend(placed.leader);
            self.placed.push(placed);
        }
        found
    }

    /// Places a label inside what it names, if there is room.
    pub fn place_inside(&mut self, named: &Named) {
        self.placed.extend(self.inside(named));
    }

    fn inside(&self, named: &Named) -> Option<Placed> {
        named.inside.iter().find_map(|(room, upward)| {
            let (width, height) = size_mm(&named.text, *upward);
            let at = room.middle();
            let area = around(at, width, height);
            let free = self.window.holds(&area) && room.holds(&area) && self.is_free(&area);
            free.then(|| Placed {
                text: named.text.clone(),
                area,
                upward: *upward,
                inside: true,
                leader: None,
                colour: named.colour,
            })
        })
    }

    fn outside(&self, named: &Named) -> Option<Placed> {
        const STEPS: [f64; 7] = [0.0, 1.6, 3.2, 5.2, 7.5, 10.0, 13.0];
        const STEP_COST: f64 = 1.2;
        let (width, height) = size_mm(&named.text, named.upward);
        let near = self.near(named.area.grown(15.0 + width.max(height)));
        let mut best: Option<(f64, Placed)> = None;
        for step in STEPS.iter().take(if named.leader { STEPS.len() } else { 1 }) {
            if best.as_ref().is_some_and(|(least, _)| *least <= step * STEP_COST) {
                break;
            }
            for (turn, at) in around_at(&named.area, width, height, *step).into_iter().enumerate() {
                let area = around(at, width, height);
                if !self.window.holds(&area) || !self.is_free(&area.grown(AIR_MM)) {
                    continue;
                }
                let leader = (*step > 0.0).then(|| leader(&named.area, &area));
                if leader.is_some_and(|leader| !self.may_lead(leader, &named.area)) {
                    continue;
                }
                let cost = near.cost(&area.grown(AIR_MM)) + step * STEP_COST + turn as f64 * 0.02;
                if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                    let placed = Placed {
                        text: named.text.clone(),
                        area,
                        upward: named.upward,
                        inside: false,
                        leader,
                        colour: named.colour,
                    };
                    best = Some((cost, placed));
                }
            }
        }
        best.map(|(_, placed)| placed)
    }

    /// What of shapes and lines reaches into an area.
    fn near(&self, area: Area) -> Obstacles {
        let shapes = self.shapes.iter().filter(|shape| shape.overlap_mm2(&area) > 0.0);
        let lines = self.lines.iter().filter(|(a, b)| area.clip(*a, *b).is_some());
        Obstacles { shapes: shapes.copied().collect(), lines: lines.copied().collect() }
    }

    fn is_free(&self, area: &Area) -> bool {
        let labels = self.placed.iter().map(|placed| &placed.area);
        self.marks.iter().chain(labels).all(|other| area.overlap_mm2(other) <= 0.0)
            && self
                .placed
                .iter()
                .filter_map(|placed| placed.leader)
                .all(|(a, b)| area.clip(a, b).is_none())
    }

    /// Whether a leader crosses no label, no other leader's way and no mark but its own.
    fn may_lead(&self, (a, b): (Coord<f64>, Coord<f64>), own: &Area) -> bool {
        let labels = self.placed.iter().map(|placed| &placed.area);
        let marks = self.marks.iter().filter(|mark| own.grown(0.5).overlap_mm2(mark) <= 0.0);
        labels.chain(marks).all(|area| area.clip(a, b).is_none())
            && self.placed.iter().filter_map(|p| p.leader).all(|other| !cross((a, b), other))
    }

    /// Whether an area covers nothing at all.
    pub fn is_clear(&self, area: &Area) -> bool {
        self.is_free(area) && self.near(*area).cost(area) <= 0.0
    }

    /// How many found no place.
    pub fn left_out(&self) -> usize {
        self.left_out
    }

    /// How many found no place, as a caption says it: nothing if all did.
    pub fn left_out_note(&self, noun: &str, see: &str) -> String {
        match self.left_out {
            0 => String::new(),
            count => {
                let labels = words::count(count, noun);
                format!(" Left out for want of room: {labels}; see the {see}.")
            }
        }
    }

    /// Draws leaders and labels; a label stands on a patch of paper, so that a line it crosses does
    /// not run through its letters.
    pub fn draw(&self, canvas: &mut Canvas) {
        for (from, to) in self.placed.iter().filter_map(|placed| placed.leader) {
            canvas.line(from, to, Pen::solid(0.1));
        }
        for label in &self.placed {
            let area = label.area;
            if !label.inside && self.near(area).cost(&area) > 0.0 {
                canvas.ring(&area.corners(), None, Some(PAPER));
            }
            let capital = lettering::capital_mm(SMALL_PT) / 2.0;
            let middle = area.middle();
            let text = if label.upward {
                let at = Coord { x: middle.x + capital, y: middle.y };
                Lettered::new(&label.text, at, SMALL_PT).upward()
            } else {
                let at = Coord { x: middle.x, y: middle.y + capital };
                Lettered::new(&label.text, at, SMALL_PT)
            };
            canvas.text(text.middle().coloured(label.colour));
        }
    }
}

/// Width and height of a label on paper, mm.
fn size_mm(text: &str, upward: bool) -> (f64, f64) {
    let (long, high) = (lettering::width_mm(text, SMALL_PT), lettering::capital_mm(SMALL_PT) + 0.3);
    if upward { (high, long) } else { (long, high) }
}

fn around(middle: Coord<f64>, width: f64, height: f64) -> Area {
    Area {
        left: middle.x - width / 2.0,
        right: middle.x + width / 2.0,
        top: middle.y - height / 2.0,
        bottom: middle.y + height / 2.0,
    }
}

/// Middles of a label around an area, at a distance: right, left, below, above, the corners, and
/// places between, preferred in that order.
fn around_at(area: &Area, width: f64, height: f64, away: f64) -> Vec<Coord<f64>> {
    let gap = 0.5 + away;
    let middle = area.middle();
    let (left, right) = (area.left - gap - width / 2.0, area.right + gap + width / 2.0);
    let (top, bottom) = (area.top - gap - height / 2.0, area.bottom + gap + height / 2.0);
    let mut places = vec![
        Coord { x: right, y: middle.y },
        Coord { x: left, y: middle.y },
        Coord { x: middle.x, y: bottom },
        Coord { x: middle.x, y: top },
        Coord { x: right, y: bottom },
        Coord { x: right, y: top },
        Coord { x: left, y: bottom },
        Coord { x: left, y: top },
    ];
    // Set off along the upper and lower side, still touching the width of what is named.
    let off = (width + area.right - area.left) / 4.0;
    for y in [bottom, top] {
        places.push(Coord { x: middle.x + off, y });
        places.push(Coord { x: middle.x - off, y });
    }
    let off = (height + area.bottom - area.top) / 4.0;
    for x in [right, left] {
        places.push(Coord { x, y: middle.y + off });
        places.push(Coord { x, y: middle.y - off });
    }
    places
}

fn leader(named: &Area, label: &Area) -> (Coord<f64>, Coord<f64>) {
    let to = label.nearest(named.middle());
    (named.nearest(to), to)
}

fn cross(one: (Coord<f64>, Coord<f64>), other: (Coord<f64>, Coord<f64>)) -> bool {
    let side = |(a, b): (Coord<f64>, Coord<f64>), p: Coord<f64>| {
        (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)
    };
    side(one, other.0) * side(one, other.1) < 0.0 && side(other, one.0) * side(other, one.1) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(text: &str, x: f64, y: f64) -> Named {
        Named::beside(text.to_string(), around(Coord { x, y }, 2.0, 2.0))
    }

    fn window() -> Area {
        Area { left: 0.0, top: 0.0, right: 60.0, bottom: 40.0 }
    }

    #[test]
    fn crowded_labels_never_overlap_and_what_has_no_room_is_counted() {
        let mut labels = Labels::new(window());
        let all: Vec<Named> = (0..120)
            .map(|n| {
                named(&format!("B{n}"), 20.0 + (n % 12) as f64 * 2.2, 10.0 + (n / 12) as f64 * 2.0)
            })
            .collect();
        all.iter().for_each(|named| labels.keep_clear(named.area));
        all.iter().for_each(|named| labels.place(named));
        let fitted = labels.placed.len();
        assert!(fitted > 20 && fitted < 120, "{fitted}");
        assert_eq!(labels.left_out, 120 - fitted);
        for (n, one) in labels.placed.iter().enumerate() {
            assert!(window().holds(&one.area));
            for other in &labels.placed[..n] {
                assert_eq!(one.area.overlap_mm2(&other.area), 0.0);
            }
        }
    }

    #[test]
    fn a_free_label_stands_to_the_right_without_a_leader() {
        let mut labels = Labels::new(window());
        let named = named("K1", 30.0, 20.0);
        assert!(labels.try_place(&named));
        let placed = &labels.placed[0];
        assert!(placed.leader.is_none() && placed.area.left > named.area.right);
    }

    #[test]
    fn lines_are_clipped_to_an_area() {
        let at = |x, y| Coord { x, y };
        let inside = window().clip(at(-10.0, 20.0), at(70.0, 20.0));
        assert_eq!(inside, Some((at(0.0, 20.0), at(60.0, 20.0))));
        assert_eq!(window().clip(at(-10.0, -1.0), at(70.0, -1.0)), None);
        assert_eq!(window().clip(at(5.0, 5.0), at(5.0, 5.0)), Some((at(5.0, 5.0), at(5.0, 5.0))));
    }
}
