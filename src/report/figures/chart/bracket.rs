//! Brackets: from an earliest to a latest place along a level axis.

use geo::{Coord, LineString};

use crate::report::figures::canvas::{Canvas, INK, Pen};

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
