//! Acceptance of a film by ISO 19840: four rules.

use super::super::formula::Formula;
use super::statistics::{Statistics, statistics};
use super::{count, over, parts_begun, share_pct, under};

/// The rule, from memory.
pub const RULE: Formula = Formula {
    name: "ISO 19840",
    title: "Acceptance of film thickness by ISO 19840",
    says: "on readings less the correction for profile: the mean is not under the nominal thickness; no \
           reading is under 80 % of it; those from 80 % to under 100 % are fewer than 20 % of all; none is \
           over the greatest, where one is given",
    source: "ISO 19840:2012, acceptance criteria; it is written for a nominal thickness of \
             40 \u{b5}m or more",
};

/// How many readings are owed.
pub const OWED: Formula = Formula {
    name: "readings owed by ISO 19840",
    title: "Readings to be taken by ISO 19840",
    says: "up to 1 m\u{b2} of inspection area 5 readings; up to 3 m\u{b2} 10; up to 10 m\u{b2} 15; up to \
           30 m\u{b2} 20; up to 100 m\u{b2} 30; beyond, 10 more for each further 100 m\u{b2} or part. A \
           zone is one inspection area",
    source: "ISO 19840:2012, numbers of measurements by area of the inspection area",
};

/// How many readings an inspection area of that size in m2 owes; 0 unless it is over 0. ISO 19840:2012, from
/// memory.
pub fn readings_owed(area_m2: f64) -> u64 {
    const STEPS: [(f64, u64); 5] = [(1.0, 5), (3.0, 10), (10.0, 15), (30.0, 20), (100.0, 30)];
    if area_m2.is_nan() || area_m2 <= 0.0 {
        return 0;
    }
    // A size that is whole but for a last bit owes nothing for that bit.
    match STEPS.iter().find(|(most_m2, _)| !over(area_m2, *most_m2)) {
        Some((_, owed)) => *owed,
        None => parts_begun((area_m2 - 100.0) / 100.0).saturating_mul(10).saturating_add(30),
    }
}

/// Part of the nominal thickness under which no reading may be.
pub const LEAST_PART: f64 = 0.8;

/// What the four rules say of a set of readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verdict {
    pub statistics: Statistics,
    /// Whether the mean is not under the nominal thickness.
    pub mean_reached: bool,
    /// Readings under 80 % of the nominal thickness; none may be.
    pub under_80_pct: usize,
    /// Readings from 80 % to under 100 % of the nominal thickness.
    pub thin: usize,
    /// Those in per cent of all.
    pub thin_share_pct: f64,
    /// Whether those are fewer than 20 % of all.
    pub thin_few: bool,
    /// Readings over the greatest thickness, where one is given; none may be.
    pub over_greatest: Option<usize>,
}

impl Verdict {
    /// Whether all the rules are kept.
    pub fn passes(&self) -> bool {
        self.mean_reached
            && self.under_80_pct == 0
            && self.thin_few
            && self.over_greatest.is_none_or(|count| count == 0)
    }
}

/// Holds readings, already less the correction, against a nominal thickness and, where one is specified,
/// a greatest; m. `None` without readings, where one is not a finite number, and unless the nominal
/// thickness is over 0.
pub fn verdict(readings_m: &[f64], nominal_m: f64, greatest_m: Option<f64>) -> Option<Verdict> {
    let statistics = statistics(readings_m).filter(|_| nominal_m > 0.0)?;
    let under_80_pct = count(readings_m, |reading| under(reading, LEAST_PART * nominal_m));
    let thin = count(readings_m, |reading| under(reading, nominal_m)) - under_80_pct;
    Some(Verdict {
        statistics,
        mean_reached: !under(statistics.mean_m, nominal_m),
        under_80_pct,
        thin,
        thin_share_pct: share_pct(thin, statistics.count),
        // In whole numbers, so that exactly 20 % is exactly that.
        thin_few: thin * 5 < statistics.count,
        over_greatest: greatest_m
            .map(|greatest_m| count(readings_m, |reading| over(reading, greatest_m))),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn judged(readings_um: &[f64], greatest_um: Option<f64>) -> Verdict {
        let readings: Vec<f64> = readings_um.iter().map(|um| um / 1e6).collect();
        verdict(&readings, 300e-6, greatest_um.map(|um| um / 1e6)).expect("a verdict")
    }

    #[test]
    fn each_rule_alone_can_fail() {
        let sound = [300.0, 310.0, 320.0, 330.0, 340.0, 350.0];
        assert!(judged(&sound, Some(350.0)).passes());

        let low_mean = judged(&[299.0, 300.0, 300.0, 300.0, 300.0, 300.0], None);
        assert!(!low_mean.passes() && !low_mean.mean_reached && low_mean.thin_few);

        let too_thin = judged(&[239.0, 400.0, 400.0, 400.0, 400.0, 400.0], None);
        assert!(!too_thin.passes() && too_thin.mean_reached && too_thin.thin_few);
        assert_eq!((too_thin.under_80_pct, too_thin.thin), (1, 0));

        let a_fifth = judged(&[290.0, 400.0, 400.0, 400.0, 400.0], None);
        assert!(
            !a_fifth.passes() && !a_fifth.thin_few && (a_fifth.thin_share_pct - 20.0).abs() < 1e-12
        );

        let many_thin = judged(&[240.0, 290.0, 400.0, 400.0, 400.0, 400.0], None);
        assert!(!many_thin.passes() && many_thin.mean_reached && many_thin.under_80_pct == 0);
        assert!((many_thin.thin_share_pct - 100.0 / 3.0).abs() < 1e-12);

        let too_thick = judged(&sound, Some(349.0));
        assert!(!too_thick.passes() && too_thick.over_greatest == Some(1));
    }

    #[test]
    fn sizes_at_their_edges() {
        let sizes = [(0.2, 5), (1.0, 5), (1.01, 10), (3.0, 10), (3.01, 15), (10.0, 15), (10.1, 20)];
        let larger = [(30.0, 20), (30.1, 30), (100.0, 30), (100.1, 40), (200.0, 40), (200.1, 50)];
        for (m2, wanted) in sizes.into_iter().chain(larger).chain([(1000.0, 120)]) {
            assert_eq!(readings_owed(m2), wanted, "{m2} m2");
        }
        assert_eq!([0.0, -3.0, f64::NAN].map(readings_owed), [0; 3]);
    }

    #[test]
    fn nothing_to_judge() {
        assert_eq!(verdict(&[], 300e-6, None), None);
        assert_eq!(verdict(&[f64::NAN], 300e-6, None), None);
        assert_eq!(verdict(&[300e-6], 0.0, None), None);
        assert_eq!(verdict(&[300e-6], f64::NAN, None), None);
    }
}
