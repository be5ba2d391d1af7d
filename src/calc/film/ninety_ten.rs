//! Acceptance of a film by the 90/10 rule.

use super::super::formula::Formula;
use super::statistics::{Statistics, statistics};
use super::{count, parts_begun, share_pct, under};

pub const RULE: Formula = Formula {
    name: "90/10 rule",
    title: "Acceptance of film thickness by the 90/10 rule",
    says: "on readings less the correction for profile, where one is recorded: at least 90 % of the readings are not under the nominal thickness, and none is under 90 % of it",
    source: "IMO Res. MSC.215(82), Performance Standard for Protective Coatings, table 1",
};

/// How many readings are owed.
pub const OWED: Formula = Formula {
    name: "readings owed by the 90/10 rule",
    title: "Readings to be taken by the 90/10 rule",
    says: "one reading for each 5 m\u{b2} of flat surface or part; what the rule asks at edges, stiffeners \
           and openings beside that is not counted here",
    source: "IMO Res. MSC.215(82), Performance Standard for Protective Coatings, annex 3",
};

/// Flat surface for which one reading is owed, m2. IMO Res. MSC.215(82), annex 3, from memory.
const M2_A_READING: f64 = 5.0;

/// How many readings a flat surface of that size in m2 owes; 0 unless it is over 0.
pub fn readings_owed(area_m2: f64) -> u64 {
    if area_m2.is_nan() || area_m2 <= 0.0 {
        return 0;
    }
    parts_begun(area_m2 / M2_A_READING)
}

/// Part of the nominal thickness under which no reading may be.
pub const LEAST_PART: f64 = 0.9;

/// The rule's verdict on a set of readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verdict {
    pub statistics: Statistics,
    /// Readings not under the nominal thickness, per cent of all.
    pub reached_pct: f64,
    /// Whether those are at least 90 % of all.
    pub enough_reached: bool,
    /// Readings under 90 % of the nominal thickness; none may be.
    pub under_90_pct: usize,
}

impl Verdict {
    /// Whether both halves of the rule are kept.
    pub fn passes(&self) -> bool {
        self.enough_reached && self.under_90_pct == 0
    }
}

/// Holds readings against a nominal thickness; m. `None` without readings, where one is not a finite
/// number, and unless the nominal thickness is over 0.
pub fn verdict(readings_m: &[f64], nominal_m: f64) -> Option<Verdict> {
    let statistics = statistics(readings_m).filter(|_| nominal_m > 0.0)?;
    let reached = count(readings_m, |reading| !under(reading, nominal_m));
    Some(Verdict {
        statistics,
        reached_pct: share_pct(reached, statistics.count),
        // In whole numbers, so that exactly 90 % is exactly that.
        enough_reached: reached * 10 >= statistics.count * 9,
        under_90_pct: count(readings_m, |reading| under(reading, LEAST_PART * nominal_m)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_half_alone_can_fail() {
        let judged = |readings_um: &[f64]| {
            let readings: Vec<f64> = readings_um.iter().map(|um| um / 1e6).collect();
            verdict(&readings, 320e-6).expect("a verdict")
        };
        let mut readings = [330.0; 10];
        assert!(judged(&readings).passes());
        readings[0] = 300.0;
        assert!(judged(&readings).passes());
        readings[0] = 287.0;
        let thin = judged(&readings);
        assert!(!thin.passes() && thin.enough_reached && thin.under_90_pct == 1);
        readings[..2].fill(300.0);
        let many = judged(&readings);
        assert!(!many.passes() && !many.enough_reached && many.under_90_pct == 0);
        assert!((many.reached_pct - 80.0).abs() < 1e-12);
    }

    #[test]
    fn a_reading_for_each_five_square_metres_begun() {
        let sizes = [(0.1, 1), (5.0, 1), (5.1, 2), (431.0, 87), (1000.0, 200)];
        for (m2, wanted) in sizes {
            assert_eq!(readings_owed(m2), wanted, "{m2} m2");
        }
        assert_eq!([0.0, -3.0, f64::NAN].map(readings_owed), [0; 3]);
    }

    #[test]
    fn nothing_to_judge() {
        assert_eq!(verdict(&[], 320e-6), None);
        assert_eq!(verdict(&[f64::NAN], 320e-6), None);
        assert_eq!(verdict(&[320e-6], -1.0), None);
    }
}
