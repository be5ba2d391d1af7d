//! Boolean operations on flat shapes, with one threshold for what is no area at all.
//!
//! The `geo` crate computes on a whole-number grid of some 2^30 steps across the shapes, about a
//! tenth of a micrometre for a ship. What it leaves between edges that should coincide is thinner
//! than that, so shapes under [`NO_AREA_M2`] are dropped and never listed as pieces.

use geo::algorithm::bool_ops::unary_union;
use geo::algorithm::buffer::{BufferStyle, LineJoin};
use geo::orient::{Direction, Orient};
use geo::{Area, BooleanOps, BoundingRect, Buffer, Euclidean, Length, MultiPolygon, Polygon};

/// Areas under this are nothing, m2: a square millimetre.
pub const NO_AREA_M2: f64 = 1e-6;

/// The union of any number of shapes.
pub fn union<'a>(shapes: impl IntoIterator<Item = &'a Polygon<f64>>) -> MultiPolygon<f64> {
    // The crate counts turns: a shape that runs the other way round takes away from the rest, and a hole
    // that runs the way of its outer ring is filled.
    let shapes: Vec<Polygon<f64>> =
        shapes.into_iter().map(|shape| shape.orient(Direction::Default)).collect();
    sound(unary_union(&shapes))
}

/// What two shapes have in common.
pub fn common(a: &MultiPolygon<f64>, b: &MultiPolygon<f64>) -> MultiPolygon<f64> {
    if apart(a, b) { MultiPolygon(vec![]) } else { sound(a.intersection(b)) }
}

/// Whether the extents of two shapes show already that they don't meet.
fn apart(a: &MultiPolygon<f64>, b: &MultiPolygon<f64>) -> bool {
    let (Some(a), Some(b)) = (a.bounding_rect(), b.bounding_rect()) else { return true };
    let beside = |(a0, a1): (f64, f64), (b0, b1): (f64, f64)| a1 < b0 || b1 < a0;
    beside((a.min().x, a.max().x), (b.min().x, b.max().x))
        || beside((a.min().y, a.max().y), (b.min().y, b.max().y))
}

/// What is left of a shape without another.
pub fn without(a: &MultiPolygon<f64>, b: &MultiPolygon<f64>) -> MultiPolygon<f64> {
    sound(a.difference(b))
}

/// A shape grown by a width in m on all sides, corners kept sharp; shrunk by a negative one.
pub fn grown(shape: &MultiPolygon<f64>, width_m: f64) -> MultiPolygon<f64> {
    // Corners sharper than about 10 degrees are cut off, so that a sliver's tip does not shoot out.
    let style = BufferStyle::new(width_m).line_join(LineJoin::Miter(0.17));
    sound(shape.buffer_with_style(style))
}

/// The parts of a shape that are wider than a width in m: what is narrower is shaved off, and nothing
/// is left of a sliver.
pub fn wider_than(shape: &MultiPolygon<f64>, width_m: f64) -> MultiPolygon<f64> {
    let shape = solid(shape);
    if width_m <= 0.0 || shape.0.is_empty() {
        return shape;
    }
    let core = grown(&shape, -width_m / 2.0);
    if core.0.is_empty() {
        return core;
    }
    solid(&common(&shape, &grown(&core, width_m / 2.0)))
}

/// What computing leaves between edges that should coincide is a thread narrower than this, m.
pub const THREAD_M: f64 = 1e-4;

/// The parts of a shape that are more than a thread: on the mean wider than that.
pub fn solid(shape: &MultiPolygon<f64>) -> MultiPolygon<f64> {
    let around_m = |part: &Polygon<f64>| {
        let inner: f64 = part.interiors().iter().map(|ring| Euclidean.length(ring)).sum();
        Euclidean.length(part.exterior()) + inner
    };
    let wide = |part: &&Polygon<f64>| 2.0 * part.unsigned_area() > THREAD_M * around_m(part);
    MultiPolygon(shape.0.iter().filter(wide).cloned().collect())
}

/// Area in m2, never negative.
pub fn area_m2(shape: &MultiPolygon<f64>) -> f64 {
    shape.unsigned_area()
}

/// A shape's extent: x from, x to, y from, y to, in m.
pub fn extent(shape: &Polygon<f64>) -> Option<[f64; 4]> {
    let bounds = shape.bounding_rect()?;
    Some([bounds.min().x, bounds.max().x, bounds.min().y, bounds.max().y])
}

/// Drops what is no area, and puts the rest in order of place, so that the same shapes come out in
/// the same order whatever the order in which they went in. Holes that touch the outer ring may come out
/// of the crate running the wrong way; they are turned round.
fn sound(shape: MultiPolygon<f64>) -> MultiPolygon<f64> {
    let mut parts: Vec<Polygon<f64>> = shape
        .0
        .into_iter()
        .filter(|part| part.unsigned_area() >= NO_AREA_M2)
        .map(|part| part.orient(Direction::Default))
        .collect();
    parts.sort_by(|a, b| {
        let key = |p: &Polygon<f64>| extent(p).unwrap_or([0.0; 4]);
        let (a, b) = (key(a), key(b));
        a.iter()
            .zip(&b)
            .map(|(a, b)| a.total_cmp(b))
            .find(|o| o.is_ne())
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    MultiPolygon(parts)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(x: f64, y: f64, length: f64, width: f64) -> MultiPolygon<f64> {
        let ring = vec![(x, y), (x + length, y), (x + length, y + width), (x, y + width)];
        MultiPolygon(vec![Polygon::new(ring.into(), vec![])])
    }

    #[test]
    fn a_rectangle_grows_and_shrinks_with_sharp_corners() {
        let one = rectangle(3.0, -1.0, 2.0, 1.0);
        assert!((area_m2(&grown(&one, 0.1)) - 2.2 * 1.2).abs() < 1e-5);
        assert!((area_m2(&grown(&one, -0.1)) - 1.8 * 0.8).abs() < 1e-5);
        assert!(grown(&one, -0.6).0.is_empty());
    }

    #[test]
    fn which_way_round_a_shape_is_drawn_does_not_matter() {
        let turned = |shape: &MultiPolygon<f64>| -> Polygon<f64> {
            let mut ring = shape.0[0].exterior().clone();
            ring.0.reverse();
            Polygon::new(ring, vec![])
        };
        let (one, other) = (rectangle(0.0, 0.0, 2.0, 1.0), rectangle(1.0, 0.0, 3.0, 1.0));
        let (again, back) = (turned(&one), turned(&other));
        for pair in [[&one.0[0], &back], [&again, &other.0[0]], [&again, &back]] {
            assert!((area_m2(&union(pair)) - 4.0).abs() < 1e-6);
        }
        let hole = rectangle(1.0, 0.25, 0.5, 0.5).0[0].exterior().clone();
        let holed = Polygon::new(one.0[0].exterior().clone(), vec![hole]);
        assert!((area_m2(&union([&holed])) - 1.75).abs() < 1e-6);
    }

    /// A cap that meets the outline in one of its corners, as a random plan had it.
    #[test]
    fn a_hole_that_touches_the_outline_stays_a_hole() {
        let ring = |ring: Vec<(f64, f64)>| Polygon::new(ring.into(), vec![]);
        let bottom = ring(vec![
            (0.0, -0.05),
            (1.07, -0.328),
            (3.44, -0.5),
            (6.4, -0.05),
            (6.4, 0.05),
            (3.44, 0.5),
            (1.07, 0.328),
            (0.0, 0.05),
        ]);
        let cap = ring(vec![
            (1.07, 0.328),
            (1.064, 0.3266),
            (1.1333, -0.3326),
            (1.7412, -0.3767),
            (1.6627, 0.371),
        ]);
        let (bottom, cap) = (MultiPolygon(vec![bottom]), MultiPolygon(vec![cap]));
        let free = without(&bottom, &common(&cap, &bottom));
        let wanted = area_m2(&bottom) - area_m2(&common(&cap, &bottom));
        assert!((area_m2(&free) - wanted).abs() < 1e-6);
        assert!((area_m2(&union(&free.0)) - wanted).abs() < 1e-6);
    }

    #[test]
    fn slivers_are_shaved_off() {
        let block = rectangle(0.0, 0.0, 0.6, 1.2);
        let lap = rectangle(0.6, 0.0, 5.0, 0.03);
        let both = union(block.0.iter().chain(&lap.0));
        assert!((area_m2(&wider_than(&both, 0.05)) - 0.72).abs() < 1e-5);
        assert!((area_m2(&wider_than(&both, 0.02)) - 0.87).abs() < 1e-5);
        assert!(wider_than(&lap, 0.05).0.is_empty());
        assert!(solid(&rectangle(0.0, 0.0, 60.0, 1e-6)).0.is_empty());
        assert_eq!(solid(&block), block);
    }
}
