//! What all drawings of one docking stand on: the outlines, where each position lay, and how much of
//! the plane is drawn.

use geo::{BoundingRect, Coord, LineString, MultiPolygon, Polygon};

use super::words::Units;
use super::{lettering, words};
use crate::findings::Examined;
use crate::hull::{Lie, Outline, on_hull};
use crate::records::blocks::Block;
use crate::records::openings::Opening;

/// A part of the plane in hull axes, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// Least x.
    pub aft: f64,
    /// Greatest x.
    pub forward: f64,
    /// Least y.
    pub starboard: f64,
    /// Greatest y.
    pub port: f64,
}

impl Extent {
    /// The smallest around all the corners; `None` for none.
    pub fn around(corners: impl IntoIterator<Item = Coord<f64>>) -> Option<Self> {
        corners.into_iter().map(Self::at).reduce(Self::with)
    }

    /// A place without any length.
    pub fn at(place: Coord<f64>) -> Self {
        Self { aft: place.x, forward: place.x, starboard: place.y, port: place.y }
    }

    /// The same as a polygon.
    pub fn polygon(&self) -> Polygon<f64> {
        let Self { aft, forward, starboard, port } = *self;
        let corners = vec![
            Coord { x: aft, y: starboard },
            Coord { x: forward, y: starboard },
            Coord { x: forward, y: port },
            Coord { x: aft, y: port },
        ];
        Polygon::new(LineString::new(corners), vec![])
    }

    /// The smallest around both.
    pub fn with(self, other: Self) -> Self {
        Self {
            aft: self.aft.min(other.aft),
            forward: self.forward.max(other.forward),
            starboard: self.starboard.min(other.starboard),
            port: self.port.max(other.port),
        }
    }

    pub fn holds(&self, other: &Self) -> bool {
        other.aft >= self.aft
            && other.forward <= self.forward
            && other.starboard >= self.starboard
            && other.port <= self.port
    }

    fn grown(self, along: f64, across: f64) -> Self {
        Self {
            aft: self.aft - along,
            forward: self.forward + along,
            starboard: self.starboard - across,
            port: self.port + across,
        }
    }
}

/// A position that can be drawn.
#[derive(Debug, Clone)]
pub struct Berth {
    /// Its number in the project's list.
    pub number: usize,
    /// Its id as it can be shown.
    pub id: String,
    /// Its id as a part of a file's name.
    pub stem: String,
    /// Where the ship lay.
    pub lie: Lie,
    /// Whether the yaw is unknown and drawn as 0.
    pub yaw_unknown: bool,
}

#[derive(Debug)]
pub struct Ground<'a> {
    pub examined: &'a Examined,
    pub units: Units,
    /// The bottom's outline, where one is recorded.
    pub bottom: Option<&'a Polygon<f64>>,
    /// The flat keel's, where it is recorded.
    pub flat_keel: Option<&'a Polygon<f64>>,
    /// The positions that can be placed, in the order of the file.
    pub berths: Vec<Berth>,
    /// Ids of the positions that can't, as they can be shown.
    pub not_placed: Vec<String>,
    /// What is drawn at most; what reaches out of it is taken for a mistake in the record.
    bounds: Extent,
}

/// The stem of the drawings over all positions; no position's own.
pub const OVER_ALL: &str = "all";

/// Beyond this from the stern reference point, m, nothing is drawn.
const FARTHEST_M: f64 = 5000.0;

impl<'a> Ground<'a> {
    pub fn new(examined: &'a Examined) -> Self {
        let project = &examined.project;
        let everything = Extent {
            aft: -FARTHEST_M,
            forward: FARTHEST_M,
            starboard: -FARTHEST_M,
            port: FARTHEST_M,
        };
        let drawable = |outline: &&Polygon<f64>| {
            extent_of(outline).is_some_and(|extent| everything.holds(&extent))
        };
        let bottom = project.bottom.bottom.as_ref().filter(drawable);
        let flat_keel = project.bottom.flat_keel.as_ref().filter(drawable);
        let mut berths: Vec<Berth> = Vec::new();
        let mut not_placed = Vec::new();
        for (number, (position, recomputed)) in
            project.positions.iter().zip(&examined.recomputed.positions).enumerate()
        {
            let id = lettering::shown(&position.id);
            match recomputed.lie {
                Some(lie) => {
                    let mut stem = stem(&position.id);
                    let known = |stem: &str| {
                        let mut stems = berths.iter().map(|berth| berth.stem.as_str());
                        stem.eq_ignore_ascii_case(OVER_ALL)
                            || stems.any(|other| other.eq_ignore_ascii_case(stem))
                    };
                    while known(&stem) {
                        stem.push('_');
                    }
                    let yaw_unknown = recomputed.yaw_unknown;
                    berths.push(Berth { number, id, stem, lie, yaw_unknown });
                }
                None => not_placed.push(id),
            }
        }
        let bounds = hull(examined, bottom)
            .map(|hull| {
                let (length, breadth) = (hull.forward - hull.aft, hull.port - hull.starboard);
                hull.grown(length * 0.25, breadth)
            })
            .filter(|bounds| everything.holds(bounds))
            .unwrap_or(everything);
        let units = Units::new(examined);
        Self { examined, units, bottom, flat_keel, berths, not_placed, bounds }
    }

    /// The bottom as a shape to cut with.
    pub fn bottom_shape(&self) -> Option<MultiPolygon<f64>> {
        self.bottom.map(|outline| MultiPolygon(vec![outline.clone()]))
    }

    /// Whether a shape with these corners is drawn.
    pub fn draws(&self, extent: &Extent) -> bool {
        self.bounds.holds(extent)
    }

    /// Whether a place so far forward is drawn, m.
    pub fn draws_x(&self, x_m: f64) -> bool {
        (self.bounds.aft..=self.bounds.forward).contains(&x_m)
    }

    /// Every block with its cap on the hull in a position, if it is drawn there.
    pub fn caps(&self, berth: &Berth) -> impl Iterator<Item = (&'a Block, Polygon<f64>)> {
        let lie = berth.lie;
        self.examined.project.blocks.iter().filter_map(move |block| {
            let cap = on_hull(&block.cap, &lie).polygon();
            extent_of(&cap).filter(|extent| self.draws(extent)).map(|_| (block, cap))
        })
    }

    /// Every opening that is drawn.
    pub fn openings(&self) -> impl Iterator<Item = &'a Opening> {
        let openings = &self.examined.project.openings;
        openings.iter().filter(|opening| self.draws(&extent_of_opening(opening)))
    }

    /// How many blocks that a position knows, and openings, lie too far off to be drawn.
    pub fn too_far(&self, berth: &Berth) -> usize {
        let project = &self.examined.project;
        project.blocks.len() - self.caps(berth).count() + project.openings.len()
            - self.openings().count()
    }

    /// The perpendiculars and the stern reference point: name and x in m, where they are drawn.
    pub fn stations(&self) -> Vec<(&'static str, f64)> {
        let ship = &self.examined.project.docking.ship;
        [
            ("SRP", Some(0.0)),
            ("AP", ship.aft_perpendicular_x_m),
            ("FP", ship.forward_perpendicular_x_m),
        ]
        .into_iter()
        .filter_map(|(name, x)| x.map(|x| (name, x)))
        .filter(|(_, x)| *x >= self.bounds.aft && *x <= self.bounds.forward)
        .collect()
    }

    /// A sentence on positions that can't be placed; empty if there are none.
    pub fn not_placed_note(&self) -> String {
        match self.not_placed.as_slice() {
            [] => String::new(),
            [one] => format!(" Position {one} is not drawn: its place was not recorded."),
            more => format!(
                " Positions {} are not drawn: their places were not recorded.",
                words::list(more, 20)
            ),
        }
    }
}

/// The hull as far as it is known: the bottom's outline, and length and breadth as recorded.
fn hull(examined: &Examined, bottom: Option<&Polygon<f64>>) -> Option<Extent> {
    let ship = &examined.project.docking.ship;
    let outline = bottom.and_then(extent_of);
    let length = ship.foremost_x_m.or(ship.length_overall_m).filter(|length| *length > 0.0);
    let half = ship.breadth_m.map(|breadth| breadth / 2.0).filter(|half| *half > 0.0);
    let stated = length.zip(half.or_else(|| outline.map(|o| o.port.abs().max(o.starboard.abs()))));
    let stated =
        stated.map(|(forward, half)| Extent { aft: 0.0, forward, starboard: -half, port: half });
    match (outline, stated) {
        (Some(outline), Some(stated)) => Some(outline.with(stated)),
        (one, other) => one.or(other),
    }
}

pub fn extent_of(shape: &Polygon<f64>) -> Option<Extent> {
    let bounds = shape.bounding_rect()?;
    Extent::around([bounds.min(), bounds.max()])
}

pub fn extent_of_opening(opening: &Opening) -> Extent {
    let (centre, along, across) = match opening.outline {
        Outline::Round { centre, diameter_m } => (centre, diameter_m / 2.0, diameter_m / 2.0),
        Outline::Rectangular(shape) => (shape.centre, shape.length_m / 2.0, shape.width_m / 2.0),
    };
    Extent::at(centre).grown(along, across)
}

/// An id as a part of a file's name that every system can hold.
fn stem(id: &str) -> String {
    let stem: String =
        id.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '_' }).collect();
    if stem.is_empty() { "_".to_string() } else { stem }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stems_are_plain() {
        assert_eq!(stem("P1"), "P1");
        assert_eq!(stem("../\u{e9} a"), "_____a");
        assert_eq!(stem(""), "_");
    }
}
