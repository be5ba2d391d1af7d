//! Whether the blocks can hold the ship up at all.

use core::f64::consts::{PI, TAU};

use super::error::LoadsError;

/// Blocks closer fore and aft than this stand at one station, m (our choice).
const ONE_STATION_M: f64 = 1e-3;
/// The centre this near to a bearing line lies on it, m: rounding only.
const ON_IT_M: f64 = 1e-9;
/// Directions this much beyond half a turn apart still close, radians: rounding only.
const HALF_TURN_OVER_RAD: f64 = 1e-9;

/// Refuses a centre of load outside the convex hull of the bearing lines, since pushing forces have
/// their resultant inside it. A centre is inside when the directions from it to the bearing lines
/// leave no gap of more than half a turn.
pub fn check(points: &[(f64, f64)], x_m: f64, y_m: f64) -> Result<(), LoadsError> {
    let stations = || points.iter().map(|(x, _)| *x);
    let (least, most) =
        (stations().fold(f64::INFINITY, f64::min), stations().fold(f64::NEG_INFINITY, f64::max));
    if most - least < ONE_STATION_M {
        return Err(LoadsError::OneStation);
    }
    let mut directions = Vec::new();
    for (x, y) in points {
        let (ahead, across) = (x - x_m, y - y_m);
        if libm::hypot(ahead, across) <= ON_IT_M {
            return Ok(());
        }
        directions.push(libm::atan2(across, ahead));
    }
    directions.sort_by(f64::total_cmp);
    let round = directions.first().zip(directions.last()).map_or(TAU, |(a, b)| a + TAU - b);
    let widest = directions.windows(2).map(|pair| pair[1] - pair[0]).fold(round, f64::max);
    if widest > PI + HALF_TURN_OVER_RAD { Err(LoadsError::Topples { x_m, y_m }) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_centre_within_the_blocks_is_held() {
        let line = [(0.0, 0.0), (10.0, 0.0)];
        assert!(check(&line, 5.0, 0.0).is_ok());
        assert!(check(&line, 10.0, 0.0).is_ok());
        assert!(matches!(check(&line, 10.1, 0.0), Err(LoadsError::Topples { .. })));
        assert!(matches!(check(&line, 5.0, 0.01), Err(LoadsError::Topples { .. })));
        let bilge = [(0.0, 0.0), (10.0, 0.0), (5.0, 4.0), (5.0, -4.0)];
        assert!(check(&bilge, 5.0, 3.9).is_ok());
        assert!(check(&bilge, 9.0, 1.0).is_err());
        assert_eq!(check(&[(3.0, -1.0), (3.0, 1.0)], 3.0, 0.0), Err(LoadsError::OneStation));
    }
}
