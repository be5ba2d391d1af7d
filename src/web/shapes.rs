//! Shapes, lengths and cards as the scripts get them.

use geo::{Coord, LineString, MultiPolygon, Polygon};
use serde::Serialize;

use crate::text::{Form, Reader};
use crate::units::printed;

pub type Ring = Vec<[f64; 2]>;
pub type Shape = Vec<Ring>;

/// How a length or an area is shown: kept metres or square metres times a factor.
#[derive(Serialize)]
pub struct Length {
    unit: &'static str,
    factor: f64,
    decimals: usize,
}

#[derive(Serialize)]
pub struct Hides {
    pub block: String,
    pub shape: Shape,
}

pub fn shown_as(form: Form, reader: Reader) -> Length {
    let unit = form.unit(reader.system);
    Length {
        unit: printed(unit.suffix),
        factor: unit.from_kept(1.0),
        decimals: form.measure(0.0).decimals_in(reader.system),
    }
}

/// The fragment by which a card is known.
pub fn card(kind: &str, id: &str) -> String {
    format!("{kind}.{id}")
}

/// Rounded to a millimetre, which is finer than anything is measured on a hull.
pub fn rounded(value_m: f64) -> f64 {
    (value_m * 1000.0).round() / 1000.0
}

pub fn point(at: Coord<f64>) -> [f64; 2] {
    [rounded(at.x), rounded(at.y)]
}

fn ring(line: &LineString<f64>) -> Ring {
    line.coords().map(|at| point(*at)).collect()
}

pub fn shape(polygon: &Polygon<f64>) -> Shape {
    std::iter::once(polygon.exterior()).chain(polygon.interiors()).map(ring).collect()
}

pub fn shapes(many: &MultiPolygon<f64>) -> Vec<Shape> {
    many.0.iter().map(shape).collect()
}
