//! Hatching drawn line by line, so that a viewer needs neither patterns nor clipping.

use geo::{BooleanOps, BoundingRect, Coord, LineString, MultiLineString, MultiPolygon};

use crate::hull::turned;

/// Lines of one direction and distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hatch {
    /// Direction, degrees anticlockwise from the right as seen on paper.
    pub angle_deg: f64,
    /// From line to line, mm; more than 0.
    pub spacing_mm: f64,
}

/// The hatch that stands for a position, by its number from 0. Neighbours differ in direction and in density, so that
/// they can be told apart in a poor copy and where two cross.
pub fn of_position(number: usize) -> Hatch {
    const HATCHES: [(f64, f64); 8] = [
        (45.0, 0.75),
        (135.0, 1.3),
        (0.0, 1.0),
        (90.0, 1.6),
        (22.5, 0.75),
        (112.5, 1.3),
        (67.5, 1.0),
        (157.5, 1.6),
    ];
    let round = number / HATCHES.len();
    let (angle_deg, spacing_mm) =
        HATCHES.get(number % HATCHES.len()).copied().unwrap_or(HATCHES[0]);
    Hatch { angle_deg, spacing_mm: spacing_mm + 0.4 * round.min(20) as f64 }
}

/// The lines of a hatch inside a shape, mm. Lines lie on one grid over the whole paper, so that
/// neighbouring shapes are hatched alike.
pub fn lines(shape: &MultiPolygon<f64>, hatch: Hatch) -> Vec<LineString<f64>> {
    // A page holds some 400 lines of the closest hatch; the bound keeps any other shape harmless.
    const MOST_LINES: i64 = 2000;
    // The paper's y grows downward.
    let along = turned(Coord { x: 1.0, y: 0.0 }, -hatch.angle_deg);
    let across = Coord { x: -along.y, y: along.x };
    let mut found = Vec::new();
    for polygon in &shape.0 {
        let Some(bounds) = polygon.bounding_rect() else { continue };
        let (low, high) = (bounds.min(), bounds.max());
        let corners = [low, high, Coord { x: low.x, y: high.y }, Coord { x: high.x, y: low.y }];
        let range = |axis: Coord<f64>| {
            let places = corners.map(|c| c.x * axis.x + c.y * axis.y);
            (
                places.iter().copied().fold(f64::INFINITY, f64::min),
                places.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            )
        };
        let ((from, to), (first, last)) = (range(along), range(across));
        let first = (first / hatch.spacing_mm).ceil() as i64;
        let last = ((last / hatch.spacing_mm).floor() as i64).min(first.saturating_add(MOST_LINES));
        let full: Vec<LineString<f64>> = (first..=last)
            .map(|n| {
                let off = n as f64 * hatch.spacing_mm;
                let place = |t: f64| Coord {
                    x: along.x * t + across.x * off,
                    y: along.y * t + across.y * off,
                };
                LineString::new(vec![place(from - 1.0), place(to + 1.0)])
            })
            .collect();
        let mut inside = polygon.clip(&MultiLineString(full), false).0;
        inside.sort_by(|a, b| {
            let key = |line: &LineString<f64>| line.0.first().map_or((0.0, 0.0), |c| (c.x, c.y));
            let (a, b) = (key(a), key(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        found.append(&mut inside);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::{Area, Euclidean, Length, Polygon, polygon};

    fn with_hole() -> Polygon<f64> {
        polygon!(
            exterior: [(x: 0.0, y: 0.0), (x: 30.0, y: 3.0), (x: 24.0, y: 20.0), (x: 2.0, y: 14.0)],
            interiors: [[(x: 8.0, y: 5.0), (x: 16.0, y: 6.0), (x: 12.0, y: 12.0)]],
        )
    }

    #[test]
    fn every_line_stays_inside_the_shape() {
        use geo::{Distance, Intersects, Point};
        let shape = with_hole();
        for number in 0..10 {
            let hatch = of_position(number);
            let lines = lines(&MultiPolygon(vec![shape.clone()]), hatch);
            assert!(lines.len() > 10);
            for line in &lines {
                for part in line.lines() {
                    for t in [0.0, 0.25, 0.5, 0.75, 1.0] {
                        let at = Point::from(part.start + part.delta() * t);
                        let off = Euclidean.distance(&at, &shape);
                        assert!(shape.intersects(&at) || off < 1e-5, "{at:?} {off}");
                    }
                }
            }
        }
    }

    #[test]
    fn the_lines_fill_the_shape() {
        // Length of hatching times its spacing approaches the area, holes left out.
        let shape = with_hole();
        for number in 0..8 {
            let hatch = Hatch { spacing_mm: 0.05, ..of_position(number) };
            let lines = lines(&MultiPolygon(vec![shape.clone()]), hatch);
            let length: f64 = lines.iter().map(|line| Euclidean.length(line)).sum();
            let ratio = length * hatch.spacing_mm / shape.unsigned_area();
            assert!((ratio - 1.0).abs() < 0.01, "{number}: {ratio}");
        }
    }

    #[test]
    fn no_two_positions_are_hatched_alike() {
        for one in 0..12 {
            for other in 0..one {
                assert_ne!(of_position(one), of_position(other));
            }
        }
    }
}
