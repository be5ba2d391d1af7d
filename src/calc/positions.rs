//! Where the ship lay, from sightings of marks on her hull.

use geo::Coord;

use super::formula::Formula;
use crate::hull::Lie;

/// How a position is found from sightings.
pub const FIT: Formula = Formula {
    name: "position from sightings",
    title: "Docking position from the sightings",
    says: "`station = s + x cos(yaw) - y sin(yaw)`, `offset = o + x sin(yaw) + y cos(yaw)`, solved for s, o \
           and yaw by least squares over all sightings; yaw is given only where the marks spread by at least \
           1 m (root of the sum of squares about their mean). Where a sighting does not fit, the one is set \
           aside without which all others fit with a reading to spare, if there is just one such",
    source: "two-dimensional rigid motion, least squares by Gauss-Newton iteration; leaving one out is our choice",
};

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
    says: "`sqrt(a^2 + b^2)`, a the recorded less the planned station of the SRP, b the same of its offset",
    source: "plane geometry",
};

/// Where the ship's centreline lies over a block.
pub const CENTRELINE: Formula = Formula {
    name: "centreline over a block",
    title: "Offset of the centreline over a block",
    says: "`o + (station of the block - s) x tan(yaw)`, o and s the offset and station of the SRP, less the \
           offset in the dock of the line against which it was checked: planned offset less planned value of \
           the check, or 0 (the dock's centreline) where one of them was not recorded",
    source: "plane geometry",
};

/// Offset of the ship's centreline in the dock at a station, m.
pub fn centreline_at_m(lie: &Lie, station_m: f64) -> f64 {
    lie.centreline_offset_m + (station_m - lie.srp_station_m) * libm::tan(lie.yaw_deg.to_radians())
}

/// The least spread of marks that gives a yaw, m: with less, a reading wrong by 20 mm turns the ship
/// by more than a degree (our choice).
pub const LEAST_SPREAD_M: f64 = 1.0;

/// Without a yaw, the mean of the marks may lie this far from the line that no yaw moves, m. A degree
/// of yaw then moves the result by less than two millimetres (our choice).
pub const MOST_LEVER_M: f64 = 0.1;

/// So many sightings at most are left out in turn, those furthest off. Among more than these no single one weighs
/// so much that the fit leans to it and another stands out in its place (our choice).
const MOST_SUSPECTS: usize = 50;

/// What was seen of one mark: a station, an offset, or both, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// The mark in hull axes.
    pub hull: Coord<f64>,
    pub station_m: Option<f64>,
    pub offset_m: Option<f64>,
}

/// A position fitted to sightings. What the marks can't give is `None`.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Station of the stern reference point, m.
    pub srp_station_m: Option<f64>,
    /// Offset of the centreline at the stern reference point, m.
    pub centreline_offset_m: Option<f64>,
    pub yaw_deg: Option<f64>,
    /// Seen less fitted for each sighting in its order, m: station, offset.
    pub residuals: Vec<(Option<f64>, Option<f64>)>,
    /// Readings beyond those that the result needs; with 0 the residuals say nothing.
    pub spare: usize,
    /// Whether the sightings agree, and if not, which one is to blame.
    pub agreement: Agreement,
}

impl Fit {
    /// How far a sighting is from where the position puts it, m; `None` where that is not known.
    pub fn off_m(&self, sighting: usize) -> Option<f64> {
        match self.residuals.get(sighting)? {
            (None, None) => None,
            (station, offset) => Some(libm::hypot(station.unwrap_or(0.0), offset.unwrap_or(0.0))),
        }
    }

    fn fits(&self, sighting: usize, tolerance_m: f64) -> bool {
        self.off_m(sighting).is_none_or(|off| off <= tolerance_m + 1e-9)
    }
}

/// What the sightings of a position say of each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Agreement {
    /// Each fits, or there is no reading to spare by which one could be found not to.
    Fit,
    /// This one does not fit, and without it all others do: the position is fitted to those.
    SetAside(usize),
    /// Without any one of these the others fit, so it is unknown which is mistaken.
    OneOf(Vec<usize>),
    /// They do not fit, and leaving out any single one does not mend it.
    NotOne,
}

/// Fits a position to sightings that agree within a tolerance, a single mistaken one set aside.
/// `given_yaw_deg` is a yaw known otherwise; it is used only where the marks can't give one, so that station
/// and offset can still be found.
pub fn fit(seen: &[Seen], given_yaw_deg: Option<f64>, tolerance_m: f64) -> Fit {
    let all = fit_all(seen, given_yaw_deg);
    if all.spare == 0 || (0..seen.len()).all(|n| all.fits(n, tolerance_m)) {
        return all;
    }
    let known = |fit: &Fit| {
        [fit.srp_station_m, fit.centreline_offset_m, fit.yaw_deg].map(|found| found.is_some())
    };
    let mut suspects: Vec<usize> = (0..seen.len()).collect();
    let off = |n: &usize| all.off_m(*n).unwrap_or(0.0);
    suspects.sort_by(|a, b| off(b).total_cmp(&off(a)));
    suspects.truncate(MOST_SUSPECTS);
    suspects.sort_unstable();
    let mut without: Vec<(usize, Fit)> = suspects
        .into_iter()
        .map(|n| {
            let mut rest = seen.to_vec();
            let left_out = rest.remove(n);
            let mut fit = fit_all(&rest, given_yaw_deg);
            let yaw = fit.yaw_deg.or(given_yaw_deg).unwrap_or(0.0).to_radians();
            let residual = residual(&left_out, fit.srp_station_m, fit.centreline_offset_m, yaw);
            fit.residuals.insert(n, residual);
            (n, fit)
        })
        .filter(|(left_out, fit)| {
            let others_fit = (0..seen.len()).all(|n| (n == *left_out) != fit.fits(n, tolerance_m));
            fit.spare > 0 && known(fit) == known(&all) && others_fit
        })
        .collect();
    match (without.pop(), without.is_empty()) {
        (None, _) => Fit { agreement: Agreement::NotOne, ..all },
        (Some((n, fit)), true) => Fit { agreement: Agreement::SetAside(n), ..fit },
        (Some((last, _)), false) => {
            let suspects = without.iter().map(|(n, _)| *n).chain([last]).collect();
            Fit { agreement: Agreement::OneOf(suspects), ..all }
        }
    }
}

/// Station and offset at which a mark was seen less those that a position gives it, m; yaw in radians.
fn residual(
    one: &Seen,
    srp_station_m: Option<f64>,
    centreline_offset_m: Option<f64>,
    yaw: f64,
) -> (Option<f64>, Option<f64>) {
    let (x, y) = turned(one.hull, yaw);
    (
        one.station_m.zip(srp_station_m).map(|(seen, s)| seen - s - x),
        one.offset_m.zip(centreline_offset_m).map(|(seen, o)| seen - o - y),
    )
}

/// Fits a position to all sightings alike.
fn fit_all(seen: &[Seen], given_yaw_deg: Option<f64>) -> Fit {
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
        .map(|one| residual(one, srp_station_m, centreline_offset_m, yaw.unwrap_or(0.0)))
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
        agreement: Agreement::Fit,
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

    fn seen(lie: &Lie, x: f64, y: f64, which: (bool, bool)) -> Seen {
        let hull = Coord { x, y };
        let (station, offset) = lie.to_dock(hull);
        Seen { hull, station_m: which.0.then_some(station), offset_m: which.1.then_some(offset) }
    }

    const LIE: Lie = Lie { srp_station_m: 12.34, centreline_offset_m: -0.056, yaw_deg: 0.7 };
    const BOTH: (bool, bool) = (true, true);
    const TOLERANCE_M: f64 = 0.02;

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
        let fit = fit(&all, None, TOLERANCE_M);
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
        let one = fit(&[seen(&LIE, 90.0, 0.0, BOTH)], None, TOLERANCE_M);
        assert!(one.srp_station_m.is_some());
        assert_eq!((one.centreline_offset_m, one.yaw_deg), (None, None));
        assert_eq!(one.spare, 0);
        // Stations alone, all on the centreline.
        let stations = [seen(&LIE, 10.0, 0.0, (true, false)), seen(&LIE, 80.0, 0.0, (true, false))];
        let stations = fit(&stations, None, TOLERANCE_M);
        assert_eq!((stations.centreline_offset_m, stations.yaw_deg), (None, None));
        // Offsets alone, fore and aft: yaw and offset, no station.
        let offsets = [seen(&LIE, 2.0, 0.0, (false, true)), seen(&LIE, 80.0, 0.0, (false, true))];
        let offsets = fit(&offsets, None, TOLERANCE_M);
        assert!(near(offsets.yaw_deg, 0.7) && near(offsets.centreline_offset_m, -0.056));
        assert_eq!(offsets.srp_station_m, None);
        // Nothing at all.
        let nothing = fit(&[], None, TOLERANCE_M);
        assert_eq!((nothing.srp_station_m, nothing.yaw_deg, nothing.spare), (None, None, 0));
    }

    #[test]
    fn a_yaw_known_otherwise_serves_where_the_marks_give_none() {
        let one = fit(&[seen(&LIE, 90.0, 3.0, BOTH)], Some(0.7), TOLERANCE_M);
        assert!(near(one.srp_station_m, 12.34) && near(one.centreline_offset_m, -0.056));
        assert_eq!(one.yaw_deg, None);
    }

    #[test]
    fn a_turned_ship_is_found_from_far() {
        let lie = Lie { yaw_deg: 40.0, ..LIE };
        let all = [seen(&lie, 0.0, 4.0, BOTH), seen(&lie, 90.0, -2.0, BOTH)];
        assert!(near(fit(&all, None, TOLERANCE_M).yaw_deg, 40.0));
    }

    /// Four marks in station and offset, one sighting wrong by `wrong` metres in station.
    fn with_wrong(wrong: &[(usize, f64)]) -> Vec<Seen> {
        let mut all: Vec<Seen> = [(0.0, 0.0), (30.0, 6.0), (60.0, -6.0), (95.0, 0.0)]
            .map(|(x, y)| seen(&LIE, x, y, BOTH))
            .to_vec();
        for (n, by) in wrong {
            all[*n].station_m = all[*n].station_m.map(|station| station + by);
        }
        all
    }

    #[test]
    fn one_mistyped_sighting_is_found_and_set_aside() {
        for wrong in 0..4 {
            let fit = fit(&with_wrong(&[(wrong, 3.6)]), None, TOLERANCE_M);
            assert_eq!(fit.agreement, Agreement::SetAside(wrong));
            assert!(near(fit.srp_station_m, 12.34) && near(fit.yaw_deg, 0.7));
            assert_eq!(fit.spare, 3);
            for n in 0..4 {
                let off = if n == wrong { 3.6 } else { 0.0 };
                assert!(near(fit.off_m(n), off), "{n}: {:?}", fit.off_m(n));
            }
        }
        // Within the tolerance nothing is set aside.
        let fit = fit(&with_wrong(&[(1, 0.02)]), None, TOLERANCE_M);
        assert_eq!(fit.agreement, Agreement::Fit);
    }

    #[test]
    fn where_no_single_sighting_explains_it_none_is_blamed() {
        let two = fit(&with_wrong(&[(0, 3.6), (2, -1.1)]), None, TOLERANCE_M);
        assert_eq!(two.agreement, Agreement::NotOne);
        // Two stations that contradict each other: either may be the mistaken one.
        let offsets = [0.0, 50.0, 95.0].map(|x| seen(&LIE, x, 0.0, (false, true)));
        let mut all = offsets.to_vec();
        all.extend([10.0, 80.0].map(|x| seen(&LIE, x, 0.0, (true, false))));
        all[4].station_m = all[4].station_m.map(|station| station + 1.0);
        assert_eq!(fit(&all, None, TOLERANCE_M).agreement, Agreement::OneOf(vec![3, 4]));
        // What a fit needs every reading for proves nothing.
        assert_eq!(fit(&all[1..4], None, TOLERANCE_M).agreement, Agreement::Fit);
    }
}
