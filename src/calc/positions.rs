//! Where the ship lay, from sightings of marks on her hull.

use geo::Coord;

use super::formula::Formula;

/// How a position is found from sightings.
pub const FIT: Formula = Formula {
    name: "position from sightings",
    title: "Docking position from the sightings",
    says: "station = s + x cos(yaw) - y sin(yaw), offset = o + x sin(yaw) + y cos(yaw), solved for s, \
           o and yaw by least squares over all sightings; yaw is given only where the marks spread by \
           at least 1 m (root of the sum of squares about their mean)",
    source: "two-dimensional rigid motion, least squares by Gauss-Newton iteration",
};

/// How a shift is found.
pub const SHIFT: Formula = Formula {
    name: "shift",
    title: "Shift between two positions",
    says: "shift fore and aft = station of the SRP in the later position less that in the earlier one \
           (+ forward), shift athwart = the same of the offsets (+ to port)",
    source: "definition of the docking position",
};

/// How far a position is from its plan.
pub const FROM_PLAN: Formula = Formula {
    name: "distance from plan",
    title: "Distance of a position from the planned one",
    says: "root of (recorded less planned station)^2 + (recorded less planned offset)^2",
    source: "plane geometry",
};

/// The least spread of marks that gives a yaw, m: with less, a reading wrong by 20 mm turns the ship
/// by more than a degree (our choice).
pub const LEAST_SPREAD_M: f64 = 1.0;

/// Without a yaw, the mean of the marks may lie this far from the line that no yaw moves, m. A degree
/// of yaw then moves the result by less than two millimetres (our choice).
pub const MOST_LEVER_M: f64 = 0.1;

/// What was seen of one mark: a station, an offset, or both, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// The mark in hull axes.
    pub hull: Coord<f64>,
    /// Station at which it was seen.
    pub station_m: Option<f64>,
    /// Offset at which it was seen.
    pub offset_m: Option<f64>,
}

/// A position fitted to sightings. What the marks can't give is `None`.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Station of the stern reference point, m.
    pub srp_station_m: Option<f64>,
    /// Offset of the centreline at the stern reference point, m.
    pub centreline_offset_m: Option<f64>,
    /// Yaw, degrees.
    pub yaw_deg: Option<f64>,
    /// Seen less fitted for each sighting in its order, m: station, offset.
    pub residuals: Vec<(Option<f64>, Option<f64>)>,
    /// Readings beyond those that the result needs; with 0 the residuals say nothing.
    pub spare: usize,
}

/// Fits a position. `given_yaw_deg` is a yaw known otherwise; it is used only where the marks can't
/// give one, so that station and offset can still be found.
pub fn fit(seen: &[Seen], given_yaw_deg: Option<f64>) -> Fit {
    let solved = solve_yaw(seen);
    let yaw = solved.or(given_yaw_deg.map(f64::to_radians));
    let at = At::new(seen, yaw.unwrap_or(0.0));
    let known = |rest: &[f64], lever: &[f64]| {
        let settled = yaw.is_some() || mean(lever).abs() <= MOST_LEVER_M;
        (!rest.is_empty() && settled).then(|| mean(rest))
    };
    let srp_station_m = known(&at.station_rest, &at.station_turn);
    let centreline_offset_m = known(&at.offset_rest, &at.offset_turn);
    let residuals = seen
        .iter()
        .map(|one| {
            let (x, y) = turned(one.hull, yaw.unwrap_or(0.0));
            (
                one.station_m.zip(srp_station_m).map(|(seen, s)| seen - s - x),
                one.offset_m.zip(centreline_offset_m).map(|(seen, o)| seen - o - y),
            )
        })
        .collect();
    let used = |known: Option<f64>, rest: &[f64]| known.map_or(0, |_| rest.len());
    let readings =
        used(srp_station_m, &at.station_rest) + used(centreline_offset_m, &at.offset_rest);
    let found = [srp_station_m, centreline_offset_m, solved].iter().flatten().count();
    Fit {
        srp_station_m,
        centreline_offset_m,
        yaw_deg: solved.map(f64::to_degrees),
        residuals,
        spare: readings.saturating_sub(found),
    }
}

/// The readings about one yaw: what is left of each for station or offset of the stern reference
/// point, and how it changes with the yaw (m per radian).
struct At {
    station_rest: Vec<f64>,
    station_turn: Vec<f64>,
    offset_rest: Vec<f64>,
    offset_turn: Vec<f64>,
}

impl At {
    fn new(seen: &[Seen], yaw: f64) -> Self {
        let mut at = Self {
            station_rest: Vec::new(),
            station_turn: Vec::new(),
            offset_rest: Vec::new(),
            offset_turn: Vec::new(),
        };
        for one in seen {
            let (x, y) = turned(one.hull, yaw);
            if let Some(station) = one.station_m {
                at.station_rest.push(station - x);
                at.station_turn.push(-y);
            }
            if let Some(offset) = one.offset_m {
                at.offset_rest.push(offset - y);
                at.offset_turn.push(x);
            }
        }
        at
    }
}

fn turned(v: Coord<f64>, yaw: f64) -> (f64, f64) {
    let (sin, cos) = (libm::sin(yaw), libm::cos(yaw));
    (v.x * cos - v.y * sin, v.x * sin + v.y * cos)
}

/// The yaw in radians, or `None` if the marks do not spread enough or the iteration does not settle.
fn solve_yaw(seen: &[Seen]) -> Option<f64> {
    const MOST_STEPS: usize = 60;
    let mut yaw = 0.0;
    for _ in 0..MOST_STEPS {
        let at = At::new(seen, yaw);
        let (station, offset) =
            (spread(&at.station_turn, &at.station_rest), spread(&at.offset_turn, &at.offset_rest));
        let square = station.0 + offset.0;
        if square < LEAST_SPREAD_M * LEAST_SPREAD_M {
            return None;
        }
        let step = (station.1 + offset.1) / square;
        yaw += step;
        if step.abs() < 1e-13 {
            return yaw.is_finite().then_some(yaw);
        }
    }
    None
}

/// Sums about the means: of the squares of `a`, and of the products of `a` and `b`.
fn spread(a: &[f64], b: &[f64]) -> (f64, f64) {
    let (mean_a, mean_b) = (mean(a), mean(b));
    a.iter().zip(b).fold((0.0, 0.0), |(squares, products), (a, b)| {
        (squares + (a - mean_a) * (a - mean_a), products + (a - mean_a) * (b - mean_b))
    })
}

fn mean(values: &[f64]) -> f64 {
    if values.is_empty() { 0.0 } else { values.iter().sum::<f64>() / values.len() as f64 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hull::Lie;

    fn seen(lie: &Lie, x: f64, y: f64, which: (bool, bool)) -> Seen {
        let hull = Coord { x, y };
        let (station, offset) = lie.to_dock(hull);
        Seen { hull, station_m: which.0.then_some(station), offset_m: which.1.then_some(offset) }
    }

    const LIE: Lie = Lie { srp_station_m: 12.34, centreline_offset_m: -0.056, yaw_deg: 0.7 };
    const BOTH: (bool, bool) = (true, true);

    fn near(found: Option<f64>, wanted: f64) -> bool {
        found.is_some_and(|found| (found - wanted).abs() < 1e-9)
    }

    #[test]
    fn exact_sightings_give_the_position_back() {
        let all = [
            seen(&LIE, 5.0, 4.0, BOTH),
            seen(&LIE, 90.0, -2.0, BOTH),
            seen(&LIE, 48.0, 7.3, (true, false)),
            seen(&LIE, 48.0, -7.3, (false, true)),
        ];
        let fit = fit(&all, None);
        assert!(near(fit.srp_station_m, 12.34));
        assert!(near(fit.centreline_offset_m, -0.056));
        assert!(near(fit.yaw_deg, 0.7));
        assert_eq!(fit.spare, 3);
        for (station, offset) in fit.residuals {
            assert!(station.unwrap_or(0.0).abs() < 1e-9 && offset.unwrap_or(0.0).abs() < 1e-9);
        }
    }

    #[test]
    fn what_the_marks_cant_give_is_not_given() {
        // One mark far forward on the centreline: its station gives the station, not the offset.
        let one = fit(&[seen(&LIE, 90.0, 0.0, BOTH)], None);
        assert!(one.srp_station_m.is_some());
        assert_eq!((one.centreline_offset_m, one.yaw_deg), (None, None));
        assert_eq!(one.spare, 0);
        // Stations alone, all on the centreline.
        let stations = [seen(&LIE, 10.0, 0.0, (true, false)), seen(&LIE, 80.0, 0.0, (true, false))];
        let stations = fit(&stations, None);
        assert_eq!((stations.centreline_offset_m, stations.yaw_deg), (None, None));
        // Offsets alone, fore and aft: yaw and offset, no station.
        let offsets = [seen(&LIE, 2.0, 0.0, (false, true)), seen(&LIE, 80.0, 0.0, (false, true))];
        let offsets = fit(&offsets, None);
        assert!(near(offsets.yaw_deg, 0.7) && near(offsets.centreline_offset_m, -0.056));
        assert_eq!(offsets.srp_station_m, None);
        // Nothing at all.
        let nothing = fit(&[], None);
        assert_eq!((nothing.srp_station_m, nothing.yaw_deg, nothing.spare), (None, None, 0));
    }

    #[test]
    fn a_yaw_known_otherwise_serves_where_the_marks_give_none() {
        let one = fit(&[seen(&LIE, 90.0, 3.0, BOTH)], Some(0.7));
        assert!(near(one.srp_station_m, 12.34) && near(one.centreline_offset_m, -0.056));
        assert_eq!(one.yaw_deg, None);
    }

    #[test]
    fn a_turned_ship_is_found_from_far() {
        let lie = Lie { yaw_deg: 40.0, ..LIE };
        let all = [seen(&lie, 0.0, 4.0, BOTH), seen(&lie, 90.0, -2.0, BOTH)];
        assert!(near(fit(&all, None).yaw_deg, 40.0));
    }
}
