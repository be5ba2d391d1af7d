//! Acceptance of a film by the 90/10 rule.

use super::super::formula::Formula;
use super::statistics::{Statistics, statistics};
use super::{count, share_pct, under};

/// The rule.
pub const RULE: Formula = Formula {
    name: "90/10 rule",
    title: "Acceptance of film thickness by the 90/10 rule",
    says: "at least 90 % of the readings are not under the nominal thickness, and none is under 90 % of it",
    source: "IMO Res. MSC.215(82), Performance Standard for Protective Coatings, table 1",
};

/// Part of the nominal thickness under which no reading may be.
const LEAST_PART: f64 = 0.9;

/// What the rule says of a set of readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verdict {
    /// The readings' statistics.
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
    fn nothing_to_judge() {
        assert_eq!(verdict(&[], 320e-6), None);
        assert_eq!(verdict(&[f64::NAN], 320e-6), None);
        assert_eq!(verdict(&[320e-6], -1.0), None);
    }
}
