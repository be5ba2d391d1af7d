//! The marks that tell kinds of openings, wear of plates, and anodes apart in black and white, all of one
//! size whatever the scale.

use geo::Coord;

use super::canvas::{Canvas, INK, OPENING_BLUE, PAPER, Pen};

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

/// How much of the loss that it is allowed a plate has used up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wear {
    /// Under a quarter; the next two go on by quarters.
    Little,
    Some,
    Much,
    /// From three quarters to all of it.
    Nearly,
    /// More than is allowed.
    Beyond,
    /// It can't be said: no original or no limit was recorded.
    Unknown,
}

impl Wear {
    /// Every one, in the order of the legend.
    pub const ALL: [Wear; 6] =
        [Wear::Little, Wear::Some, Wear::Much, Wear::Nearly, Wear::Beyond, Wear::Unknown];

    /// From the part used up, in per cent.
    pub fn of(used_up_pct: f64) -> Self {
        match used_up_pct {
            pct if pct < 25.0 => Wear::Little,
            pct if pct < 50.0 => Wear::Some,
            pct if pct < 75.0 => Wear::Much,
            _ => Wear::Nearly,
        }
    }

    /// Its words in legends and descriptions.
    pub fn words(self) -> &'static str {
        match self {
            Wear::Little => "under 25 % of the loss allowed",
            Wear::Some => "25 to 50 %",
            Wear::Much => "50 to 75 %",
            Wear::Nearly => "75 to 100 %",
            Wear::Beyond => "beyond the limit, lettered",
            Wear::Unknown => "no original or no limit",
        }
    }
}

/// Half of the length and of the breadth of an anode's mark, mm.
pub const ANODE_HALF_MM: (f64, f64) = (1.6, 0.6);

/// Draws an anode: black if it was renewed, white if it was left, with a stroke through it if that was
/// not recorded.
pub fn anode(canvas: &mut Canvas, at: Coord<f64>, renewed: Option<bool>) {
    let pen = Pen::solid(0.2);
    let (x, y) = ANODE_HALF_MM;
    let to = |along: f64, across: f64| Coord { x: at.x + along * x, y: at.y + across * y };
    let bar = [to(-1.0, -1.0), to(1.0, -1.0), to(1.0, 1.0), to(-1.0, 1.0)];
    let fill = if renewed == Some(true) { INK } else { PAPER };
    canvas.ring(&bar, Some(pen), Some(fill));
    if renewed.is_none() {
        canvas.line(to(-1.0, 1.0), to(1.0, -1.0), pen);
    }
}
