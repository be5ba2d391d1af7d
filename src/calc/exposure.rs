//! Which part of the bottom each block hides in each position, and what was never exposed.

use geo::{BoundingRect, Contains, Intersects, MultiPolygon, Point, Polygon, Rect};

use super::formula::Formula;
use super::plane::{NO_AREA_M2, area_m2, common, extent, union, without};
use crate::hull::{Cap, Lie, on_hull};

pub const EXPOSURE: Formula = Formula {
    name: "exposure",
    title: "Bottom hidden and exposed",
    says: "`x = station - SRP station`, `y = offset - centreline offset`, turned by -yaw about the SRP; a \
           class is the bottom hidden in exactly the same positions; areas in plan view",
    source: "plane geometry: union, intersection and difference of polygons",
};

/// The bottom's outline as a shape to cut with; `None` where no outline is recorded.
pub type Bottom = Option<MultiPolygon<f64>>;

/// A block's footprint: the part of the bottom that its cap covers. Without an outline, the whole cap.
pub fn footprint(cap: &Cap, lie: &Lie, bottom: &Bottom) -> MultiPolygon<f64> {
    let cap = MultiPolygon(vec![on_hull(cap, lie).polygon()]);
    match bottom {
        Some(bottom) => common(&cap, bottom),
        None => cap,
    }
}

/// What one position hides.
#[derive(Debug, Clone)]
pub struct Hidden {
    /// The blocks that stand in it, by their places in the caller's list, with their footprints.
    pub footprints: Vec<(usize, MultiPolygon<f64>)>,
    pub shape: MultiPolygon<f64>,
    /// The extents of the footprints.
    bounds: Vec<Option<Rect<f64>>>,
}

impl Hidden {
    /// The first block whose footprint a point lies in.
    pub fn over(&self, point: Point<f64>) -> Option<usize> {
        let near = |bounds: &Option<Rect<f64>>| bounds.is_some_and(|rect| rect.intersects(&point));
        let mut footprints = self.footprints.iter().zip(&self.bounds);
        let over = footprints.find(|((_, print), bounds)| near(bounds) && print.contains(&point));
        over.map(|((block, _), _)| *block)
    }

    /// The blocks that hide some of a shape.
    pub fn hiding(&self, shape: &MultiPolygon<f64>) -> Vec<usize> {
        let bounds = shape.bounding_rect();
        let near = |footprint: &Option<Rect<f64>>| match (footprint, bounds) {
            (Some(one), Some(other)) => one.intersects(&other),
            _ => false,
        };
        let over = |footprint: &MultiPolygon<f64>| area_m2(&common(footprint, shape)) >= NO_AREA_M2;
        let footprints = self.footprints.iter().zip(&self.bounds);
        let hiding = footprints.filter(|((_, print), bounds)| near(bounds) && over(print));
        hiding.map(|((block, _), _)| *block).collect()
    }
}

/// Everything that the caps standing in one position hide. `caps` pairs each with its number in the
/// caller's list of blocks.
pub fn hidden(caps: impl IntoIterator<Item = (usize, Cap)>, lie: &Lie, bottom: &Bottom) -> Hidden {
    let footprints: Vec<(usize, MultiPolygon<f64>)> =
        caps.into_iter().map(|(block, cap)| (block, footprint(&cap, lie, bottom))).collect();
    let shape = union(footprints.iter().flat_map(|(_, shape)| &shape.0));
    let bounds = footprints.iter().map(|(_, shape)| shape.bounding_rect()).collect();
    Hidden { footprints, shape, bounds }
}

/// The part of the bottom that was hidden in exactly the same positions.
#[derive(Debug, Clone)]
pub struct Class {
    /// For each position, whether it was hidden there.
    pub hidden_in: Vec<bool>,
    pub shape: MultiPolygon<f64>,
    /// Its area in plan, m2.
    pub area_m2: f64,
}

impl Class {
    /// Whether it was hidden in every position.
    pub fn never_exposed(&self) -> bool {
        !self.hidden_in.is_empty() && self.hidden_in.iter().all(|hidden| *hidden)
    }
}

/// The arrangement of the bottom into classes by the positions that hid it; empty classes are left
/// out. Without an outline the class that no position hid has no bounds and is left out too. The
/// classes are ordered by the first position in which they differ, hidden before exposed.
pub fn classes(bottom: &Bottom, positions: &[Hidden]) -> Vec<Class> {
    let whole = match bottom {
        Some(bottom) => bottom.clone(),
        None => union(positions.iter().flat_map(|position| &position.shape.0)),
    };
    let mut parts: Vec<(Vec<bool>, MultiPolygon<f64>)> = vec![(Vec::new(), whole)];
    for position in positions {
        parts = parts
            .into_iter()
            .flat_map(|(was, shape)| {
                [true, false].map(|hidden| {
                    let part = if hidden {
                        common(&shape, &position.shape)
                    } else {
                        without(&shape, &position.shape)
                    };
                    let mut hidden_in = was.clone();
                    hidden_in.push(hidden);
                    (hidden_in, part)
                })
            })
            .filter(|(_, shape)| !shape.0.is_empty())
            .collect();
    }
    parts
        .into_iter()
        .map(|(hidden_in, shape)| Class { area_m2: area_m2(&shape), hidden_in, shape })
        .collect()
}

/// A piece of the bottom that was never exposed.
#[derive(Debug, Clone)]
pub struct Piece {
    pub shape: Polygon<f64>,
    /// x from, x to, y from, y to, m.
    pub extent: [f64; 4],
    /// Its area in plan, m2.
    pub area_m2: f64,
    /// For each position, the blocks that hid it, by their numbers in the caller's list.
    pub hidden_by: Vec<Vec<usize>>,
}

/// The never-exposed bottom, piece by piece, from aft to forward. No position, no piece.
pub fn never_exposed(classes: &[Class], positions: &[Hidden]) -> Vec<Piece> {
    classes
        .iter()
        .filter(|class| class.never_exposed())
        .flat_map(|class| &class.shape.0)
        .map(|shape| {
            let alone = MultiPolygon(vec![shape.clone()]);
            let hidden_by = positions.iter().map(|position| position.hiding(&alone)).collect();
            Piece {
                shape: shape.clone(),
                extent: extent(shape).unwrap_or([0.0; 4]),
                area_m2: area_m2(&alone),
                hidden_by,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::Coord;

    fn line_of_blocks(count: usize, pitch_m: f64, length_m: f64) -> Vec<(usize, Cap)> {
        (0..count)
            .map(|n| {
                let centre = Coord { x: 10.0 + n as f64 * pitch_m, y: 0.0 };
                (n, Cap { centre, length_m, width_m: 1.2, turn_deg: 0.0 })
            })
            .collect()
    }

    fn at(srp_station_m: f64, yaw_deg: f64) -> Lie {
        Lie { srp_station_m, centreline_offset_m: 0.0, yaw_deg }
    }

    fn area_never_exposed(lies: &[Lie], caps: &[(usize, Cap)]) -> f64 {
        let positions: Vec<Hidden> =
            lies.iter().map(|lie| hidden(caps.iter().copied(), lie, &None)).collect();
        let classes = classes(&None, &positions);
        classes.iter().filter(|c| c.never_exposed()).map(|c| c.area_m2).sum()
    }

    /// Common practice, no source: with blocks four feet long and room between them, a shift of two
    /// feet leaves half of what was hidden still hidden, a shift of four feet nothing; three positions
    /// two feet apart reach everything too; a shift of one pitch hides everything again.
    #[test]
    fn trade_facts_of_shifts() {
        const FOOT: f64 = 0.3048;
        let caps = line_of_blocks(20, 9.0 * FOOT, 4.0 * FOOT);
        let once = 20.0 * 4.0 * FOOT * 1.2;
        let shifted = |feet: &[f64]| {
            let lies: Vec<Lie> = feet.iter().map(|feet| at(-feet * FOOT, 0.0)).collect();
            area_never_exposed(&lies, &caps)
        };
        assert!((shifted(&[0.0, 2.0]) - once / 2.0).abs() < 1e-4);
        assert_eq!(shifted(&[0.0, 4.0]), 0.0);
        assert_eq!(shifted(&[0.0, 2.0, 4.0]), 0.0);
        let again = shifted(&[0.0, 9.0]);
        assert!((again - once * 19.0 / 20.0).abs() < 1e-4, "{again} of {once}");
    }

    #[test]
    fn nearly_collinear_edges_keep_their_overlap() {
        let caps = line_of_blocks(40, 1.4, 0.6);
        let once = 40.0 * 0.6 * 1.2;
        for yaw in [0.0, 1e-9, 1e-7, 1e-6, -1e-6, 1e-5] {
            let twice = area_never_exposed(&[at(0.0, 0.0), at(0.0, yaw)], &caps);
            assert!((twice - once).abs() < 1e-3, "yaw {yaw}: {twice} of {once}");
        }
    }

    #[test]
    fn the_classes_make_up_the_bottom() {
        let ring = vec![(8.0, -3.0), (40.0, -3.0), (44.0, 0.0), (40.0, 3.0), (8.0, 3.0)];
        let bottom = Some(MultiPolygon(vec![Polygon::new(ring.into(), vec![])]));
        let caps = line_of_blocks(30, 1.4, 0.6);
        let lies = [at(0.0, 0.0), at(-0.7, 0.02), at(-0.3, -0.02)];
        let positions: Vec<Hidden> =
            lies.iter().map(|lie| hidden(caps.iter().copied(), lie, &bottom)).collect();
        let classes = classes(&bottom, &positions);
        let total: f64 = classes.iter().map(|class| class.area_m2).sum();
        let whole = area_m2(&bottom.clone().unwrap_or_else(|| MultiPolygon(vec![])));
        assert!((total - whole).abs() < 1e-4, "{total} of {whole}");
        for (n, position) in positions.iter().enumerate() {
            let hidden: f64 = classes.iter().filter(|c| c.hidden_in[n]).map(|c| c.area_m2).sum();
            assert!((hidden - area_m2(&position.shape)).abs() < 1e-4);
        }
    }
}
