//! The ways in which a ship is shifted, and the caps that are shifted under her.

use geo::Coord;

use crate::hull::Rectangle;

/// The way in which the ship is shifted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Along the dock: slid + is forward, the ship's shift + is forward.
    ForeAndAft,
    /// Across it: + is to port.
    Athwart,
}

/// As it stands after "shifted".
impl std::fmt::Display for Way {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Way::ForeAndAft => "fore and aft",
            Way::Athwart => "athwart",
        })
    }
}

impl Way {
    pub(super) fn along(self, place: Coord<f64>) -> f64 {
        match self {
            Self::ForeAndAft => place.x,
            Self::Athwart => place.y,
        }
    }

    pub(super) fn across(self, place: Coord<f64>) -> f64 {
        match self {
            Self::ForeAndAft => place.y,
            Self::Athwart => place.x,
        }
    }

    /// A length along the way as a vector in hull axes.
    pub fn vector(self, slid_m: f64) -> Coord<f64> {
        match self {
            Self::ForeAndAft => Coord { x: slid_m, y: 0.0 },
            Self::Athwart => Coord { x: 0.0, y: slid_m },
        }
    }
}

/// A block's cap in hull axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Footing {
    /// The block, by its number in the caller's list.
    pub block: usize,
    /// Its cap on the hull, not cut to the outline.
    pub cap: Rectangle,
}

impl Footing {
    /// The cap grown by an overlap in m all round.
    pub fn grown(self, overlap_m: f64) -> Self {
        Self { cap: self.cap.grown(overlap_m), ..self }
    }
}
