//! How far each opening is from the nearest cap.

use geo::{Contains, Distance, Euclidean, Point, Polygon};

use super::formula::Formula;
use crate::hull::{Cap, Lie, Outline, on_hull};

/// How the clear distance is found.
pub const CLEARANCE: Formula = Formula {
    name: "clear distance",
    title: "Clear distance of an opening from the nearest cap",
    says: "the least distance in plan from the edge of the opening to the edge of a cap, the whole \
           cap and not cut to the bottom's outline; 0 where they overlap",
    source: "plane geometry: distance of two polygons, and of a point and a polygon less a radius",
};

/// The clear distance in metres from an opening to the nearest cap and that cap's number, or `None`
/// if no cap stands. Of caps at the same distance the first counts.
pub fn nearest(
    opening: &Outline,
    caps: impl IntoIterator<Item = (usize, Cap)>,
    lie: &Lie,
) -> Option<(f64, usize)> {
    let mut found: Option<(f64, usize)> = None;
    for (block, cap) in caps {
        let distance = clear_distance_m(opening, &cap, lie);
        if found.is_none_or(|(least, _)| distance < least) {
            found = Some((distance, block));
        }
    }
    found
}

/// The clear distance in metres in plan between an opening and one cap.
pub fn clear_distance_m(opening: &Outline, cap: &Cap, lie: &Lie) -> f64 {
    clear_of(opening, &on_hull(cap, lie).polygon())
}

/// The clear distance in metres in plan between an opening and a shape on the hull.
pub fn clear_of(opening: &Outline, shape: &Polygon<f64>) -> f64 {
    match opening {
        Outline::Round { centre, diameter_m } => {
            let centre = Point::from(*centre);
            if shape.contains(&centre) {
                return 0.0;
            }
            (Euclidean.distance(shape, &centre) - diameter_m / 2.0).max(0.0)
        }
        Outline::Rectangular(rectangle) => Euclidean.distance(&rectangle.polygon(), shape),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hull::Rectangle;
    use geo::Coord;

    const LIE: Lie = Lie { srp_station_m: 10.0, centreline_offset_m: 0.0, yaw_deg: 0.0 };

    fn cap(station: f64, offset: f64) -> Cap {
        let centre = Coord { x: station, y: offset };
        Cap { centre, length_m: 0.6, width_m: 1.2, turn_deg: 0.0 }
    }

    #[test]
    fn by_hand() {
        // Cap from x 4.7 to 5.3 and y -0.6 to 0.6 on the hull.
        let block = cap(15.0, 0.0);
        let round = |x: f64, y: f64| Outline::Round { centre: Coord { x, y }, diameter_m: 0.2 };
        let near = |opening: Outline| clear_distance_m(&opening, &block, &LIE);
        assert!((near(round(5.8, 0.0)) - 0.4).abs() < 1e-12);
        assert!((near(round(5.7, 1.1)) - (0.41_f64.sqrt() - 0.1)).abs() < 1e-12);
        assert_eq!(near(round(5.35, 0.0)), 0.0);
        assert_eq!(near(round(5.0, 0.1)), 0.0);
        let centre = Coord { x: 6.0, y: 2.0 };
        let flat = Rectangle { centre, length_m: 1.0, width_m: 2.0, turn_deg: 0.0 };
        assert!(
            (near(Outline::Rectangular(flat)) - (0.2_f64.powi(2) + 0.4_f64.powi(2)).sqrt()).abs()
                < 1e-12
        );
        let over = Rectangle { centre: Coord { x: 5.0, y: 0.0 }, ..flat };
        assert_eq!(near(Outline::Rectangular(over)), 0.0);
    }

    #[test]
    fn the_nearest_of_several() {
        let caps = [cap(15.0, 0.0), cap(16.4, 0.0), cap(17.8, 0.0)];
        let opening = Outline::Round { centre: Coord { x: 6.0, y: 0.0 }, diameter_m: 0.1 };
        let (distance, block) =
            nearest(&opening, caps.into_iter().enumerate(), &LIE).unwrap_or((f64::NAN, 9));
        assert_eq!(block, 1);
        assert!((distance - 0.05).abs() < 1e-9);
        assert_eq!(nearest(&opening, [], &LIE), None);
    }
}
