//! Boolean operations on flat shapes, with one threshold for what is no area at all.
//!
//! The `geo` crate computes on a whole-number grid of some 2^30 steps across the shapes, about a
//! tenth of a micrometre for a ship. What it leaves between edges that should coincide is thinner
//! than that, so shapes under [`NO_AREA_M2`] are dropped and never listed as pieces.

use geo::algorithm::bool_ops::unary_union;
use geo::{Area, BooleanOps, BoundingRect, MultiPolygon, Polygon};

/// Areas under this are nothing, m2: a square millimetre.
pub const NO_AREA_M2: f64 = 1e-6;

/// The union of any number of shapes.
pub fn union<'a>(shapes: impl IntoIterator<Item = &'a Polygon<f64>>) -> MultiPolygon<f64> {
    let shapes: Vec<&Polygon<f64>> = shapes.into_iter().collect();
    sound(unary_union(shapes))
}

/// What two shapes have in common.
pub fn common(a: &MultiPolygon<f64>, b: &MultiPolygon<f64>) -> MultiPolygon<f64> {
    sound(a.intersection(b))
}

/// What is left of a shape without another.
pub fn without(a: &MultiPolygon<f64>, b: &MultiPolygon<f64>) -> MultiPolygon<f64> {
    sound(a.difference(b))
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
/// the same order whatever the order in which they went in.
fn sound(shape: MultiPolygon<f64>) -> MultiPolygon<f64> {
    let mut parts: Vec<Polygon<f64>> =
        shape.0.into_iter().filter(|part| part.unsigned_area() >= NO_AREA_M2).collect();
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
