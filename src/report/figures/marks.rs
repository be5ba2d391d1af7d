//! The marks that tell kinds of openings apart in black and white, all of one size whatever the scale.

use geo::Coord;

use super::canvas::{Canvas, OPENING_BLUE, PAPER, Pen};

/// Half of a mark's width, mm.
pub const HALF_MM: f64 = 1.05;

/// Kinds of openings in the order of the legend, with their names in plain words.
pub const KINDS: [(&str, &str); 10] = [
    ("sea-chest", "sea chest"),
    ("intake", "intake"),
    ("overboard", "overboard"),
    ("docking-plug", "docking plug"),
    ("echo-sounder", "echo sounder"),
    ("speed-log", "speed log"),
    ("shaft", "shaft"),
    ("rudder", "rudder stock"),
    ("thruster", "thruster"),
    ("other", "other opening"),
];

/// Draws the mark of a kind.
pub fn draw(canvas: &mut Canvas, kind: &str, at: Coord<f64>) {
    let pen = Pen::solid(0.2).coloured(OPENING_BLUE);
    let r = HALF_MM;
    let to = |x: f64, y: f64| Coord { x: at.x + x * r, y: at.y + y * r };
    let square = [to(-0.9, -0.9), to(0.9, -0.9), to(0.9, 0.9), to(-0.9, 0.9)];
    let diamond = [to(0.0, -1.1), to(1.1, 0.0), to(0.0, 1.1), to(-1.1, 0.0)];
    let solid = Some(OPENING_BLUE);
    match kind {
        "sea-chest" => {
            canvas.ring(&square, Some(pen), Some(PAPER));
            for y in [-0.3, 0.3] {
                canvas.line(to(-0.9, y), to(0.9, y), pen);
            }
        }
        "intake" => canvas.ring(&[to(-1.0, 0.85), to(1.0, 0.85), to(0.0, -0.95)], Some(pen), solid),
        "overboard" => {
            canvas.ring(&[to(-1.0, 0.85), to(1.0, 0.85), to(0.0, -0.95)], Some(pen), Some(PAPER));
        }
        "docking-plug" => {
            canvas.circle(at, r, Some(pen), Some(PAPER));
            canvas.line(to(-1.0, 0.0), to(1.0, 0.0), pen);
            canvas.line(to(0.0, -1.0), to(0.0, 1.0), pen);
        }
        "echo-sounder" => {
            canvas.circle(at, r, Some(pen), Some(PAPER));
            canvas.circle(at, r * 0.5, Some(pen), None);
        }
        "speed-log" => canvas.ring(&diamond, Some(pen), Some(PAPER)),
        "shaft" => {
            canvas.circle(at, r, Some(pen), Some(PAPER));
            canvas.circle(at, r * 0.4, None, solid);
        }
        "rudder" => canvas.ring(&diamond, Some(pen), solid),
        "thruster" => {
            canvas.ring(&square, Some(pen), Some(PAPER));
            canvas.line(to(-0.9, -0.9), to(0.9, 0.9), pen);
            canvas.line(to(-0.9, 0.9), to(0.9, -0.9), pen);
        }
        _ => canvas.circle(at, r, Some(pen), Some(PAPER)),
    }
}
