//! Where the keel lies over the blocks, from what divers measured at some of them.

use geo::Coord;

use super::formula::Formula;
use super::positions::{self, Agreement, Seen};
use crate::hull::Lie;

/// How the keel's line is found.
pub const LINE: Formula = Formula {
    name: "keel's line over the blocks",
    title: "Where the keel lies by what divers measured at blocks",
    says: "`offset = m + (station - S) tan(yaw)` by least squares over all blocks at which the keel's centreline was \
           measured, S the mean of their stations; yaw is given only where the blocks spread by at least 1 m \
           (root of the sum of squares about their mean). `s = station of a mark - x cos(yaw)`, the mean over \
           all marks. The offset of the SRP and of the ends is that of the line at their stations, with the \
           planned s where no mark was measured. One that does not fit is set aside as among sightings",
    source: "straight line by least squares; plane geometry",
};

/// How far the keel's line is to be believed.
pub const SURE_TO: Formula = Formula {
    name: "standard error of the keel's line",
    title: "How sure the keel's line is",
    says: "`e sqrt(1/n + (station - S)^2 / sum (station of a block - S)^2)` for an offset at a station, \
           `e / sqrt(sum (station of a block - S)^2)` for the slope, `e / sqrt(k)` for the station from k marks; e the \
           tolerance for what divers measure, or where it is greater the scatter found, \
           `sqrt(sum of squares of the residuals / readings to spare)`",
    source: "standard errors of a straight line by least squares",
};

/// How the keel is brought from where it lies to where it is to lie.
pub const TO_MOVE: Formula = Formula {
    name: "to the aim",
    title: "How she is to be moved to where she is to land",
    says: "along the ship the planned less the found station of the SRP; athwart, for each of SRP, after and forward \
           end, the planned less the found offset of the centreline at its x",
    source: "definition of the docking position",
};

/// Offset of the keel's centreline in the dock, measured at a station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Over {
    pub station_m: f64,
    pub offset_m: f64,
}

/// A mark on the keel's centreline, and the station at which it was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    pub x_m: f64,
    pub station_m: f64,
}

/// How well readings fit what was fitted to them.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// Measured less fitted for each reading in its order, m.
    pub residuals_m: Vec<f64>,
    /// Readings beyond those that the result needs; with 0 the residuals say nothing.
    pub spare: usize,
    pub agreement: Agreement,
    /// Standard deviation of the readings that count, m; `None` without one to spare.
    pub scatter_m: Option<f64>,
}

impl Fitted {
    fn new(residuals_m: Vec<f64>, spare: usize, agreement: Agreement) -> Self {
        let counts = |n: &usize| agreement != Agreement::SetAside(*n);
        let squares = residuals_m.iter().enumerate().filter(|(n, _)| counts(n));
        let sum: f64 = squares.map(|(_, off_m)| off_m * off_m).sum();
        let scatter_m = (spare > 0).then(|| libm::sqrt(sum / spare as f64));
        Self { residuals_m, spare, agreement, scatter_m }
    }

    /// Whether the readings contradict each other, and which is mistaken can't be told.
    pub fn contradicts_itself(&self) -> bool {
        matches!(self.agreement, Agreement::OneOf(_) | Agreement::NotOne)
    }

    /// To what a single reading is taken to be good, m.
    fn reading_m(&self, tolerance_m: f64) -> f64 {
        self.scatter_m.map_or(tolerance_m, |scatter_m| scatter_m.max(tolerance_m))
    }
}

/// The line of the keel's centreline in the dock.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Mean station of the blocks that count, m, and the line's offset there, m.
    pub middle_station_m: f64,
    pub middle_offset_m: f64,
    /// Metres to port for each metre of station.
    pub slope: f64,
    /// How many blocks count.
    pub blocks: usize,
    /// Sum of the squares of their stations about the mean, m2.
    pub spread_m2: f64,
    pub fitted: Fitted,
}

impl Line {
    pub fn yaw_deg(&self) -> f64 {
        libm::atan(self.slope).to_degrees()
    }

    /// Offset of the centreline at a station, m.
    pub fn offset_at_m(&self, station_m: f64) -> f64 {
        self.middle_offset_m + (station_m - self.middle_station_m) * self.slope
    }

    /// Standard error of the offset at a station, m, with readings good to the tolerance or to their scatter.
    pub fn sure_to_m(&self, station_m: f64, tolerance_m: f64) -> f64 {
        let away_m = station_m - self.middle_station_m;
        let part = 1.0 / self.blocks as f64 + away_m * away_m / self.spread_m2;
        self.fitted.reading_m(tolerance_m) * libm::sqrt(part)
    }

    /// Standard error of the yaw, degrees.
    pub fn yaw_sure_to_deg(&self, tolerance_m: f64) -> f64 {
        let slope = self.fitted.reading_m(tolerance_m) / libm::sqrt(self.spread_m2);
        libm::atan(slope).to_degrees()
    }
}

/// Station of the stern reference point, from marks.
#[derive(Debug, Clone, PartialEq)]
pub struct Along {
    pub srp_station_m: f64,
    /// How many marks count.
    pub marks: usize,
    pub fitted: Fitted,
}

impl Along {
    /// Standard error of the station, m.
    pub fn sure_to_m(&self, tolerance_m: f64) -> f64 {
        self.fitted.reading_m(tolerance_m) / libm::sqrt(self.marks as f64)
    }
}

/// How many readings count, and which.
fn counting(n: usize, agreement: &Agreement) -> impl Fn(&usize) -> bool + use<> {
    let left_out = match agreement {
        Agreement::SetAside(n) => Some(*n),
        _ => None,
    };
    move |number| *number < n && Some(*number) != left_out
}

/// The line through what was measured; `None` where too few blocks lie too near each other to give a yaw.
pub fn line(over: &[Over], tolerance_m: f64) -> Option<Line> {
    let mean = |of: &dyn Fn(&usize) -> bool, value: &dyn Fn(&Over) -> f64| {
        let values: Vec<f64> = (0..over.len()).filter(of).map(|n| value(&over[n])).collect();
        values.iter().sum::<f64>() / values.len() as f64
    };
    let station_m = |over: &Over| over.station_m;
    let from_m = mean(&|_| true, &station_m);
    // A place as far along the ship as the block is along the dock: what is fitted is then the line's own offset and, as
    // the sine of a yaw, its slope.
    let seen = |over: &Over| Seen {
        hull: Coord { x: over.station_m - from_m, y: 0.0 },
        station_m: None,
        offset_m: Some(over.offset_m),
    };
    let seen: Vec<Seen> = over.iter().map(seen).collect();
    let fit = positions::fit(&seen, None, tolerance_m);
    let slope = libm::sin(fit.yaw_deg?.to_radians());
    let offset_m = fit.centreline_offset_m?;
    let counts = counting(over.len(), &fit.agreement);
    let middle_station_m = mean(&counts, &station_m);
    let away_m = |n: usize| over[n].station_m - middle_station_m;
    let numbers = || (0..over.len()).filter(&counts);
    let residuals_m = fit.residuals.iter().map(|(_, offset_m)| offset_m.unwrap_or(0.0)).collect();
    Some(Line {
        middle_station_m,
        middle_offset_m: offset_m + (middle_station_m - from_m) * slope,
        slope,
        blocks: numbers().count(),
        spread_m2: numbers().map(|n| away_m(n) * away_m(n)).sum(),
        fitted: Fitted::new(residuals_m, fit.spare, fit.agreement),
    })
}

/// The station of the stern reference point from marks, with her yaw; `None` without a mark.
pub fn along(marks: &[Mark], yaw_deg: f64, tolerance_m: f64) -> Option<Along> {
    let seen = |mark: &Mark| Seen {
        hull: Coord { x: mark.x_m, y: 0.0 },
        station_m: Some(mark.station_m),
        offset_m: None,
    };
    let seen: Vec<Seen> = marks.iter().map(seen).collect();
    let fit = positions::fit(&seen, Some(yaw_deg), tolerance_m);
    let srp_station_m = fit.srp_station_m?;
    let counts = counting(marks.len(), &fit.agreement);
    let residuals_m = fit.residuals.iter().map(|(station_m, _)| station_m.unwrap_or(0.0)).collect();
    Some(Along {
        srp_station_m,
        marks: (0..marks.len()).filter(counts).count(),
        fitted: Fitted::new(residuals_m, fit.spare, fit.agreement),
    })
}

/// Where she lies by a line and the station of the stern reference point.
pub fn lie(line: &Line, srp_station_m: f64) -> Lie {
    Lie {
        srp_station_m,
        centreline_offset_m: line.offset_at_m(srp_station_m),
        yaw_deg: line.yaw_deg(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calc::positions::centreline_at_m;

    const LIE: Lie = Lie { srp_station_m: 13.6, centreline_offset_m: -0.05, yaw_deg: 0.12 };
    const TOLERANCE_M: f64 = 0.02;

    fn over(station_m: f64) -> Over {
        Over { station_m, offset_m: centreline_at_m(&LIE, station_m) }
    }

    fn mark(x_m: f64) -> Mark {
        Mark { x_m, station_m: LIE.to_dock(Coord { x: x_m, y: 0.0 }).0 }
    }

    #[test]
    fn two_blocks_and_a_mark_give_the_position_back() {
        let line = line(&[over(20.0), over(95.0)], TOLERANCE_M).expect("a line");
        let along = along(&[mark(40.2)], line.yaw_deg(), TOLERANCE_M).expect("a station");
        let found = lie(&line, along.srp_station_m);
        assert!((found.srp_station_m - LIE.srp_station_m).abs() < 1e-9, "{found:?}");
        assert!((found.centreline_offset_m - LIE.centreline_offset_m).abs() < 1e-9, "{found:?}");
        assert!((found.yaw_deg - LIE.yaw_deg).abs() < 1e-9, "{found:?}");
        assert_eq!((line.fitted.spare, line.fitted.scatter_m), (0, None));
        assert_eq!((along.fitted.spare, along.fitted.scatter_m), (0, None));
    }

    #[test]
    fn one_block_or_two_beside_each_other_give_no_line() {
        assert_eq!(line(&[over(20.0)], TOLERANCE_M), None);
        assert_eq!(line(&[over(20.0), over(21.2)], TOLERANCE_M), None);
        assert_eq!(line(&[], TOLERANCE_M), None);
        assert_eq!(along(&[], 0.0, TOLERANCE_M), None);
    }

    /// Two readings good to 20 mm each, 75 m apart: at either block 20 mm, between them less, beyond them more, and
    /// as much as the one mistake that moves one end and leaves the other.
    #[test]
    fn the_line_is_less_sure_the_further_it_is_drawn() {
        let line = line(&[over(20.0), over(95.0)], TOLERANCE_M).expect("a line");
        let sure = |station_m| line.sure_to_m(station_m, TOLERANCE_M);
        assert!((sure(20.0) - 0.02).abs() < 1e-12 && (sure(95.0) - 0.02).abs() < 1e-12);
        assert!((sure(57.5) - 0.02 / 2_f64.sqrt()).abs() < 1e-12);
        let beyond = (1.2_f64.powi(2) + 0.2_f64.powi(2)).sqrt() * 0.02;
        assert!((sure(110.0) - beyond).abs() < 1e-12, "{}", sure(110.0));
        let yaw = libm::atan(0.02 * 2_f64.sqrt() / 75.0).to_degrees();
        assert!((line.yaw_sure_to_deg(TOLERANCE_M) - yaw).abs() < 1e-12);
    }

    #[test]
    fn one_block_read_wrongly_is_set_aside_and_the_others_give_the_line() {
        let stations = [20.0, 40.0, 60.0, 95.0];
        let mut all = stations.map(over).to_vec();
        all[2].offset_m += 0.2;
        let line = line(&all, TOLERANCE_M).expect("a line");
        assert_eq!(line.fitted.agreement, Agreement::SetAside(2));
        assert!((line.yaw_deg() - LIE.yaw_deg).abs() < 1e-9);
        assert_eq!((line.blocks, line.fitted.spare), (3, 1));
        assert!((line.fitted.residuals_m[2] - 0.2).abs() < 1e-9);
        assert!(line.fitted.scatter_m.expect("a scatter") < 1e-9);
        assert!((line.middle_station_m - 155.0 / 3.0).abs() < 1e-12);
        // With three of which one is wrong, any two fit: which is mistaken can't be told.
        all.remove(0);
        let three = super::line(&all, TOLERANCE_M).expect("a line");
        assert!(three.fitted.contradicts_itself(), "{:?}", three.fitted);
    }

    /// A scatter greater than the tolerance is what the readings are good to.
    #[test]
    fn the_scatter_counts_where_it_is_greater() {
        let mut all = [20.0, 40.0, 60.0, 80.0].map(over).to_vec();
        for (n, wrong_m) in [0.05, -0.05, -0.05, 0.05].into_iter().enumerate() {
            all[n].offset_m += wrong_m;
        }
        let line = line(&all, TOLERANCE_M).expect("a line");
        // The errors are even about the middle, and so in the slope's favour neither way.
        assert!((line.yaw_deg() - LIE.yaw_deg).abs() < 1e-9);
        let scatter_m = (4.0 * 0.05_f64.powi(2) / 2.0).sqrt();
        assert!((line.fitted.scatter_m.expect("a scatter") - scatter_m).abs() < 1e-9);
        assert!((line.sure_to_m(50.0, TOLERANCE_M) - scatter_m / 2.0).abs() < 1e-9);
    }
}
