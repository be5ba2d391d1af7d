//! Blocks in the dock: heights against levels, and overlapping caps.

use geo::{Area, BooleanOps, BoundingRect, Polygon};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::formula::Formula;
use crate::hull::Cap;

/// How a block's top is found from its height.
pub const TOP: Formula = Formula {
    name: "level of a block's top",
    title: "Level of a block's top from its height",
    says: "`level of the floor at station 0 + declivity x station + height of the block`",
    source: "definition of level and declivity",
};

pub const APART: Formula = Formula {
    name: "caps apart",
    title: "Overlapping caps",
    says: "the area that two caps standing in the same position have in common; under 0.01 m2 it is \
           taken for the scatter of the stations read",
    source: "plane geometry; the 0.01 m2 is our choice",
};

/// Two caps may have this area in common before the plan is contradicted, m2: blocks that touch, with
/// stations and offsets read to some 5 mm (our choice).
pub const OVERLAP_M2: f64 = 0.01;

/// Level of a block's top in metres from the floor's level at station 0 (m), the floor's rise toward
/// the bow (per cent), the block's station and height (m).
pub fn top_level_m(floor_level_m: f64, declivity_pct: f64, station_m: f64, height_m: f64) -> f64 {
    floor_level_m + declivity_pct / 100.0 * station_m + height_m
}

/// Every pair of caps that have more than [`OVERLAP_M2`] in common: their numbers and that area, m2.
pub fn overlaps(caps: &[(usize, Cap)]) -> Vec<(usize, usize, f64)> {
    let shapes: Vec<Polygon<f64>> = caps.iter().map(|(_, cap)| cap.polygon()).collect();
    let extents: Vec<Option<AABB<[f64; 2]>>> = shapes.iter().map(extent).collect();
    let numbered = extents.iter().enumerate().filter_map(|(n, extent)| Some((n, (*extent)?)));
    let extents_alone = numbered.map(|(n, extent)| {
        GeomWithData::new(Rectangle::from_corners(extent.lower(), extent.upper()), n)
    });
    let tree = RTree::bulk_load(extents_alone.collect());
    let mut found = Vec::new();
    for (n, (one, cap)) in caps.iter().enumerate() {
        let Some(extent) = &extents[n] else { continue };
        let near = tree.locate_in_envelope_intersecting(extent).map(|other| other.data);
        let mut near: Vec<usize> =
            near.filter(|other| *other > n && cap.overlaps(&caps[*other].1)).collect();
        near.sort_unstable();
        for other in near {
            let area = shapes[n].intersection(&shapes[other]).unsigned_area();
            if area > OVERLAP_M2 {
                found.push((*one, caps[other].0, area));
            }
        }
    }
    found
}

/// The extent of a shape; `None` where it has none in numbers.
fn extent(shape: &Polygon<f64>) -> Option<AABB<[f64; 2]>> {
    let extent = shape.bounding_rect()?;
    let [low, high] = [extent.min(), extent.max()].map(|corner| [corner.x, corner.y]);
    let finite = low.iter().chain(&high).all(|value| value.is_finite());
    finite.then(|| AABB::from_corners(low, high))
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::Coord;

    #[test]
    fn only_caps_that_stand_in_one_another_are_named() {
        let cap = |x: f64, turn_deg: f64| Cap {
            centre: Coord { x, y: 0.0 },
            length_m: 0.6,
            width_m: 1.2,
            turn_deg,
        };
        let caps =
            [(0, cap(0.0, 0.0)), (4, cap(0.5, 0.0)), (5, cap(1.095, 0.0)), (9, cap(9.0, 45.0))];
        let found = overlaps(&caps);
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].0, found[0].1), (0, 4));
        assert!((found[0].2 - 0.12).abs() < 1e-6);
    }

    #[test]
    fn the_floor_rises_toward_the_bow() {
        assert!((top_level_m(-4.85, 0.2, 50.0, 1.35) - -3.40).abs() < 1e-12);
    }
}
