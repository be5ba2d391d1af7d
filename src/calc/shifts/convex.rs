//! Convex shapes, cut exactly: no grid of whole numbers as in [`plane`](crate::calc::plane), so that edges stay
//! where they are to the last bits, and the shifts at which they meet with them.

use geo::{Coord, CoordsIter, MultiPolygon, Polygon};

use super::way::Way;
use crate::hull::Rectangle;

/// A corner this near to a line lies on it, m.
const ON_THE_LINE_M: f64 = 1e-11;

/// Slabs narrower and edges shorter than this are left out, m.
const NARROWEST_M: f64 = 1e-9;

/// A convex part has more than this area, m2.
const LEAST_M2: f64 = 1e-12;

/// A convex shape, its corners anticlockwise.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Convex {
    corners: Vec<Coord<f64>>,
    least: Coord<f64>,
    greatest: Coord<f64>,
}

impl Convex {
    fn new(mut corners: Vec<Coord<f64>>) -> Option<Self> {
        // An edge of no length has no direction to cut along.
        let same = |a: Coord<f64>, b: Coord<f64>| {
            (a.x - b.x).abs() < NARROWEST_M && (a.y - b.y).abs() < NARROWEST_M
        };
        corners.dedup_by(|next, kept| same(*next, *kept));
        let first = *corners.first()?;
        while corners.len() > 1 && corners.last().is_some_and(|last| same(*last, first)) {
            corners.pop();
        }
        let (mut least, mut greatest) = (first, first);
        for corner in &corners {
            least = Coord { x: least.x.min(corner.x), y: least.y.min(corner.y) };
            greatest = Coord { x: greatest.x.max(corner.x), y: greatest.y.max(corner.y) };
        }
        let shape = Self { corners, least, greatest };
        (shape.area_m2() > LEAST_M2).then_some(shape)
    }

    /// A rectangle; `None` if it has no area.
    pub fn of_rectangle(rectangle: &Rectangle) -> Option<Self> {
        Self::new(rectangle.polygon().exterior().coords().take(4).copied().collect())
    }

    /// Its corners, anticlockwise.
    pub fn corners(&self) -> &[Coord<f64>] {
        &self.corners
    }

    /// Its edges, each from a corner to the next.
    pub fn edges(&self) -> impl Iterator<Item = (Coord<f64>, Coord<f64>)> {
        let ahead = self.corners.iter().cycle().skip(1);
        self.corners.iter().copied().zip(ahead.copied())
    }

    pub fn area_m2(&self) -> f64 {
        let Some(first) = self.corners.first() else { return 0.0 };
        let twice: f64 = self.edges().map(|(a, b)| cross(a - *first, b - *first)).sum();
        twice / 2.0
    }

    /// Its extent along a way: from, to, in m.
    pub fn along(&self, way: Way) -> (f64, f64) {
        (way.along(self.least), way.along(self.greatest))
    }

    /// Its extent across a way: from, to, in m.
    pub fn across(&self, way: Way) -> (f64, f64) {
        (way.across(self.least), way.across(self.greatest))
    }

    /// Whether the extents of two shapes overlap.
    fn near(&self, other: &Self) -> bool {
        self.least.x < other.greatest.x
            && other.least.x < self.greatest.x
            && self.least.y < other.greatest.y
            && other.least.y < self.greatest.y
    }

    /// The same shape, slid by a length in m.
    pub fn slid(&self, way: Way, slid_m: f64) -> Self {
        let by = way.vector(slid_m);
        Self {
            corners: self.corners.iter().map(|corner| *corner + by).collect(),
            least: self.least + by,
            greatest: self.greatest + by,
        }
    }

    /// The parts to the left and to the right of a line from one place through another.
    fn cut(&self, from: Coord<f64>, to: Coord<f64>) -> (Option<Self>, Option<Self>) {
        let along = to - from;
        let length = (along.x * along.x + along.y * along.y).sqrt();
        let height = |place: Coord<f64>| {
            let height = cross(along, place - from) / length;
            if height.abs() < ON_THE_LINE_M { 0.0 } else { height }
        };
        let (mut left, mut right) = (Vec::new(), Vec::new());
        for (a, b) in self.edges() {
            let (at, next) = (height(a), height(b));
            if at >= 0.0 {
                left.push(a);
            }
            if at <= 0.0 {
                right.push(a);
            }
            if at * next < 0.0 {
                let crossing = a + (b - a) * (at / (at - next));
                left.push(crossing);
                right.push(crossing);
            }
        }
        (Self::new(left), Self::new(right))
    }

    /// What two shapes have in common; `None` if that is no area.
    pub fn common(&self, other: &Self) -> Option<Self> {
        if !self.near(other) {
            return None;
        }
        other.edges().try_fold(self.clone(), |rest, (from, to)| rest.cut(from, to).0)
    }

    /// What is left of a shape without another, in convex parts.
    fn without(self, other: &Self) -> Vec<Self> {
        if self.common(other).is_none() {
            return vec![self];
        }
        let mut parts = Vec::new();
        let mut rest = Some(self);
        for (from, to) in other.edges() {
            let Some(shape) = rest else { break };
            let (inside, outside) = shape.cut(from, to);
            parts.extend(outside);
            rest = inside;
        }
        parts
    }

    /// The part of it inside an outline, in convex parts; itself if all of it lies inside.
    pub fn inside(self, outline: &MultiPolygon<f64>) -> Vec<Self> {
        let slabs = outline.iter().flat_map(|part| slabs(part, self.along(Way::ForeAndAft)));
        let parts: Vec<Self> = slabs.filter_map(|slab| self.common(&slab)).collect();
        let area: f64 = parts.iter().map(Self::area_m2).sum();
        if (area - self.area_m2()).abs() < 1e-9 { vec![self] } else { parts }
    }
}

/// A shape in convex parts that do not overlap.
pub(super) fn parts(shape: &MultiPolygon<f64>) -> Vec<Convex> {
    shape.iter().flat_map(|part| slabs(part, (f64::NEG_INFINITY, f64::INFINITY))).collect()
}

/// The same steel in parts that do not overlap: each without those before it.
pub(super) fn disjoint(parts: &[(usize, Convex)]) -> Vec<(usize, Convex)> {
    let mut apart = Vec::new();
    for (n, (block, part)) in parts.iter().enumerate() {
        let mut left = vec![part.clone()];
        for (_, earlier) in parts[..n].iter().filter(|(_, earlier)| earlier.near(part)) {
            left = left.into_iter().flat_map(|piece| piece.without(earlier)).collect();
        }
        apart.extend(left.into_iter().map(|piece| (*block, piece)));
    }
    apart
}

/// A polygon from one x to another, cut athwart at each of its corners: what lies between two
/// neighbouring cuts are trapezoids, each between two edges.
fn slabs(polygon: &Polygon<f64>, (from, to): (f64, f64)) -> Vec<Convex> {
    let corners = || polygon.coords_iter().map(|corner| corner.x);
    let (first, last) = corners()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), x| (least.min(x), most.max(x)));
    let (from, to) = (from.max(first), to.min(last));
    let mut cuts: Vec<f64> = corners().filter(|x| from < *x && *x < to).collect();
    cuts.extend([from, to]);
    cuts.sort_by(f64::total_cmp);
    let mut found = Vec::new();
    for (aft, forward) in cuts.iter().copied().zip(cuts.iter().skip(1).copied()) {
        if forward - aft < NARROWEST_M {
            continue;
        }
        let middle = (aft + forward) / 2.0;
        let rings = std::iter::once(polygon.exterior()).chain(polygon.interiors());
        let mut spans: Vec<[f64; 3]> = rings
            .flat_map(|ring| ring.lines())
            .filter(|line| (line.start.x < middle) != (line.end.x < middle))
            .map(|line| {
                let y = |x: f64| {
                    line.start.y
                        + (line.end.y - line.start.y) * (x - line.start.x)
                            / (line.end.x - line.start.x)
                };
                [middle, aft, forward].map(y)
            })
            .collect();
        spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
        // From the starboard side an edge leads in, the next leads out again.
        for pair in spans.chunks_exact(2) {
            let [[_, a, b], [_, d, c]] = [pair[0], pair[1]];
            let corner = |x: f64, y: f64| Coord { x, y };
            found.extend(Convex::new(vec![
                corner(aft, a),
                corner(forward, b),
                corner(forward, c),
                corner(aft, d),
            ]));
        }
    }
    found
}

/// The cross product of two vectors.
pub(super) fn cross(a: Coord<f64>, b: Coord<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}
