//! How far each opening is from the nearest cap.

use geo::{Contains, Distance, Euclidean, Point, Polygon};

use super::formula::Formula;
use crate::hull::{Cap, Lie, Outline, Rectangle, on_hull};

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
    let (centre, own_m) = match opening {
        Outline::Round { centre, diameter_m } => (*centre, diameter_m / 2.0),
        Outline::Rectangular(rectangle) => (rectangle.centre, reach_m(rectangle)),
    };
    let mut found: Option<(f64, usize)> = None;
    for (block, cap) in caps {
        // Most caps are further off than the nearest so far, wherever their edges are.
        let apart_m = Euclidean.distance(centre, lie.to_hull(cap.centre.x, cap.centre.y));
        let least_m = apart_m - own_m - reach_m(&cap) - ROUNDING_M;
        if found.is_some_and(|(nearest_m, _)| least_m > nearest_m) {
            continue;
        }
        let distance = clear_distance_m(opening, &cap, lie);
        if found.is_none_or(|(least, _)| distance < least) {
            found = Some((distance, block));
        }
    }
    found
}

/// More than distances are rounded by, m.
const ROUNDING_M: f64 = 1e-6;

/// How far the corners of a rectangle are from its centre, m.
fn reach_m(rectangle: &Rectangle) -> f64 {
    libm::hypot(rectangle.length_m, rectangle.width_m) / 2.0
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

    /// Caps that are passed over as too far off are never the nearest.
    #[test]
    fn the_nearest_is_the_least_of_all_distances() {
        let spread =
            |n: u32, by: u32| f64::from(n.wrapping_mul(2_654_435_761) >> 8) % f64::from(by);
        let turned =
            |n| Cap { turn_deg: spread(n, 90), ..cap(spread(n, 60), spread(3 * n, 9) - 4.0) };
        let caps: Vec<Cap> = (1..200).map(turned).collect();
        let lie = Lie { srp_station_m: 3.0, centreline_offset_m: 0.2, yaw_deg: 0.7 };
        for n in 1..100 {
            let centre = Coord { x: spread(7 * n, 60), y: spread(11 * n, 20) - 10.0 };
            let flat = Rectangle { centre, length_m: 1.5, width_m: 0.3, turn_deg: 0.0 };
            let round = Outline::Round { centre, diameter_m: 0.4 };
            for opening in [round, Outline::Rectangular(flat)] {
                let all = caps.iter().map(|cap| clear_distance_m(&opening, cap, &lie));
                let least = all.fold(f64::INFINITY, f64::min);
                let found = nearest(&opening, caps.iter().copied().enumerate(), &lie);
                let (distance, block) = found.unwrap_or((f64::NAN, 0));
                assert_eq!(distance, least);
                assert_eq!(clear_distance_m(&opening, &caps[block], &lie), least);
            }
        }
    }
}
