//! Two convex shapes, one of which slides past the other: while their insides meet, and how much of
//! them is then in common.

use geo::Coord;

use super::band::SAME_M;
use super::convex::Convex;
use super::way::Way;
use crate::calc::plane::NO_AREA_M2;

/// A contact less deep than this is touching, m.
const TOUCHING_M: f64 = 1e-9;

/// Between which lengths slid (m) the inside of `moving` meets that of `still`: one open interval, since
/// both are convex. By the separating axes: two convex shapes are apart where they are apart seen along
/// the edges of either. `None` where they do not meet, or never with as much as [`NO_AREA_M2`].
pub(super) fn meeting(still: &Convex, moving: &Convex, way: Way) -> Option<(f64, f64)> {
    let (near, far) = (still.across(way), moving.across(way));
    if near.1 - far.0 <= TOUCHING_M || far.1 - near.0 <= TOUCHING_M {
        return None;
    }
    let (mut from, mut to) = (f64::NEG_INFINITY, f64::INFINITY);
    for (a, b) in still.edges().chain(moving.edges()) {
        let along = b - a;
        let length = (along.x * along.x + along.y * along.y).sqrt();
        let axis = Coord { x: along.y / length, y: -along.x / length };
        let extent = |shape: &Convex| {
            shape.corners().iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), c| {
                let at = c.x * axis.x + c.y * axis.y;
                (least.min(at), most.max(at))
            })
        };
        let (still, moving, pace) = (extent(still), extent(moving), way.along(axis));
        // Slid by s the moving one is seen pace x s further along the axis.
        let (least, most) = (still.0 - moving.1, still.1 - moving.0);
        if pace.abs() < 1e-12 {
            if least >= -TOUCHING_M || most <= TOUCHING_M {
                return None;
            }
            continue;
        }
        let (one, other) = (least / pace, most / pace);
        (from, to) = (from.max(one.min(other)), to.min(one.max(other)));
        if from >= to {
            return None;
        }
    }
    // The root of what two convex shapes have in common is concave in the length slid, so that in the
    // middle it is at least half of what it ever is.
    let middle = common_m2(still, moving, way, (from + to) / 2.0);
    (middle >= NO_AREA_M2 / 4.0).then_some((from, to))
}

/// What a shape has in common with one slid by a length in m, m2.
pub(super) fn common_m2(still: &Convex, moving: &Convex, way: Way, slid_m: f64) -> f64 {
    still.common(&moving.slid(way, slid_m)).map_or(0.0, |shape| shape.area_m2())
}

/// What two shapes have in common while one slides past the other. Between the lengths slid at which a
/// corner of one meets an edge of the other it is a polynomial of the second degree.
#[derive(Debug)]
pub(super) struct Lap {
    /// Lengths slid at which it changes its form, and area in common there: m, m2.
    pub knots: Vec<(f64, f64)>,
    /// Area in common midway from each to the next, m2.
    middles: Vec<f64>,
}

impl Lap {
    /// The lap of two shapes that meet between two lengths slid.
    pub fn new(still: &Convex, moving: &Convex, way: Way, (from, to): (f64, f64)) -> Self {
        let mut at = vec![from, to];
        let mut corners_on_edges = |corners: &Convex, edges: &Convex, sign: f64| {
            for (a, b) in edges.edges() {
                let (start, end) = (way.across(a), way.across(b));
                if (end - start).abs() < 1e-12 {
                    continue;
                }
                for corner in corners.corners() {
                    let part = (way.across(*corner) - start) / (end - start);
                    if (-1e-9..=1.0 + 1e-9).contains(&part) {
                        let edge = way.along(a) + part * (way.along(b) - way.along(a));
                        at.push(sign * (way.along(*corner) - edge));
                    }
                }
            }
        };
        corners_on_edges(still, moving, 1.0);
        corners_on_edges(moving, still, -1.0);
        at.retain(|slid| from <= *slid && *slid <= to);
        at.sort_by(f64::total_cmp);
        at.dedup_by(|next, kept| *next - *kept < SAME_M);
        let area = |slid: f64| common_m2(still, moving, way, slid);
        Self {
            middles: at.iter().zip(at.iter().skip(1)).map(|(a, b)| area((a + b) / 2.0)).collect(),
            knots: at.into_iter().map(|slid| (slid, area(slid))).collect(),
        }
    }

    /// Adds the area in common to each of a list of lengths slid, which grow.
    pub fn add_to(&self, curve: &mut [(f64, f64)]) {
        let pieces = self.knots.iter().zip(self.knots.iter().skip(1)).zip(&self.middles);
        for (((from, at_from), (to, at_to)), middle) in pieces {
            let first = curve.partition_point(|(slid, _)| slid < from);
            for (slid, area) in curve[first..].iter_mut().take_while(|(slid, _)| slid < to) {
                let part = (*slid - from) / (to - from);
                *area += at_from * (1.0 - part) * (1.0 - 2.0 * part)
                    + 4.0 * middle * part * (1.0 - part)
                    + at_to * part * (2.0 * part - 1.0);
            }
        }
    }
}

/// A footprint before the shift meets one after it while slid between two lengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Contact {
    pub(super) before: usize,
    pub(super) after: usize,
    pub(super) from_m: f64,
    pub(super) to_m: f64,
}

/// Lengths inside a range and both its ends, growing, each but once.
pub(super) fn critical(lengths: impl Iterator<Item = f64>, range_m: (f64, f64)) -> Vec<f64> {
    let inside = |slid: &f64| range_m.0 + SAME_M < *slid && *slid < range_m.1 - SAME_M;
    let mut critical: Vec<f64> = lengths.filter(inside).collect();
    critical.extend([range_m.0, range_m.1]);
    critical.sort_by(f64::total_cmp);
    critical.dedup_by(|next, kept| *next - *kept < SAME_M);
    critical
}
