//! Acceptance of a film by SSPC-PA 2: spots, areas, and how many of them a size owes.

use super::super::formula::Formula;
use super::statistics::statistics;
use super::{over, parts_begun, under};

/// The rule; the shares of its levels are from memory.
pub const RULE: Formula = Formula {
    name: "SSPC-PA 2",
    title: "Acceptance of film thickness by SSPC-PA 2",
    says: "On readings less the base metal reading of the gauge, where one is recorded: a spot is the mean of at \
           least three readings, an area the mean of five spots. Areas lie from the \
           specified least to the specified greatest thickness. Spots lie from a share of the least to a \
           share of the greatest by the restriction level: 1, 100 % and 100 %; 2, 100 % and 120 %; 3, 80 % \
           and 120 %; 4, 80 % and 150 %; 5, 80 % and no greatest, for areas neither",
    source: "SSPC-PA 2, Procedure for Determining Conformance to Dry Coating Thickness Requirements",
};

/// How many areas are owed.
pub const OWED: Formula = Formula {
    name: "areas owed by SSPC-PA 2",
    title: "Areas to be measured by SSPC-PA 2",
    says: "US rule: up to 300 ft\u{b2} one for each 100 ft\u{b2} or part; up to 1000 ft\u{b2} three; beyond, \
           three and one more for each further 1000 ft\u{b2} or part. Metric rule: the same with 10, 30 \
           and 100 m\u{b2}. Five spots an area, three readings a spot",
    source: "SSPC-PA 2; its two systems of units are not exact equivalents and are never mixed",
};

/// Spots that make an area.
pub const SPOTS_IN_AREA: usize = 5;

/// Readings that a spot has at least.
pub const READINGS_IN_SPOT: usize = 3;

/// By which system of units the areas owed are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SizeRule {
    /// 100, 300 and 1000 ft2.
    Us,
    /// 10, 30 and 100 m2.
    Metric,
}

impl SizeRule {
    /// The size of an area, m2.
    fn area_m2(self) -> f64 {
        const M2_PER_FT2: f64 = 0.3048 * 0.3048;
        match self {
            SizeRule::Us => 100.0 * M2_PER_FT2,
            SizeRule::Metric => 10.0,
        }
    }
}

/// How many areas a coated surface of that size in m2 owes; 0 unless it is over 0.
pub fn areas_owed(coated_m2: f64, rule: SizeRule) -> u32 {
    if coated_m2.is_nan() || coated_m2 <= 0.0 {
        return 0;
    }
    let areas = coated_m2 / rule.area_m2();
    let owed = if parts_begun(areas) <= 3 {
        parts_begun(areas).max(1)
    } else {
        // The first 1000 ft2 or 100 m2 owe three.
        2 + parts_begun(areas / 10.0)
    };
    u32::try_from(owed).unwrap_or(u32::MAX)
}

/// How many spots those areas owe.
pub fn spots_owed(areas: u32) -> u32 {
    areas.saturating_mul(SPOTS_IN_AREA as u32)
}

/// How many readings those spots owe at least.
pub fn readings_owed(spots: u32) -> u32 {
    spots.saturating_mul(READINGS_IN_SPOT as u32)
}

/// How far a spot may lie outside the specified thickness: restriction level 1 to 5, 1 the strictest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Level(u8);

impl Level {
    /// The level that holds where none is named.
    pub const DEFAULT: Level = Level(3);

    /// The level of that number, from 1 to 5.
    pub fn new(number: u8) -> Option<Self> {
        (1..=5).contains(&number).then_some(Level(number))
    }

    pub fn number(self) -> u8 {
        self.0
    }

    /// Least thickness of a spot in per cent of the specified least.
    pub fn spot_least_pct(self) -> f64 {
        if self.0 <= 2 { 100.0 } else { 80.0 }
    }

    /// Greatest thickness of a spot in per cent of the specified greatest; `None` where there is none.
    pub fn spot_greatest_pct(self) -> Option<f64> {
        match self.0 {
            1 => Some(100.0),
            2 | 3 => Some(120.0),
            4 => Some(150.0),
            _ => None,
        }
    }
}

/// The rule's verdict on a set of spots. Numbers of spots and areas are their places in order, from 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// Each spot's mean, m; `None` for a spot without readings.
    pub spot_means_m: Vec<Option<f64>>,
    /// Each whole area's mean of its spots, m; `None` where one of them has no readings.
    pub area_means_m: Vec<Option<f64>>,
    /// Spots thinner than the level allows.
    pub spots_below: Vec<usize>,
    /// Spots thicker than the level allows.
    pub spots_above: Vec<usize>,
    /// Areas thinner than the specified least.
    pub areas_below: Vec<usize>,
    /// Areas thicker than the specified greatest.
    pub areas_above: Vec<usize>,
    /// Spots with fewer than three readings.
    pub spots_short: Vec<usize>,
    /// Spots left over at the end that make no whole area, 0 to 4. As spots they are judged all the same.
    pub spots_over: usize,
}

impl Verdict {
    /// Whether nothing that was measured lies outside its bounds.
    pub fn within(&self) -> bool {
        [&self.spots_below, &self.spots_above, &self.areas_below, &self.areas_above]
            .iter()
            .all(|outside| outside.is_empty())
    }

    /// Whether it was measured as the rule wants: at least one area, all of them of five spots, and every
    /// spot of three readings.
    pub fn complete(&self) -> bool {
        !self.area_means_m.is_empty() && self.spots_over == 0 && self.spots_short.is_empty()
    }

    /// Whether the film is accepted: measured as the rule wants, and within the bounds.
    pub fn passes(&self) -> bool {
        self.complete() && self.within()
    }
}

/// Holds spots, each given by its readings in m, against the specified least and greatest thickness in m.
/// Spots come in order, and each five that follow one another make an area. `None` without spots, where a
/// reading is not a finite number, and unless the least is over 0.
pub fn verdict(
    spots: &[Vec<f64>],
    least_m: f64,
    greatest_m: Option<f64>,
    level: Level,
) -> Option<Verdict> {
    let finite = spots.iter().flatten().all(|reading| reading.is_finite());
    let sound = least_m > 0.0 && finite && !spots.is_empty();
    if !sound {
        return None;
    }
    let spot_means_m: Vec<Option<f64>> =
        spots.iter().map(|readings| Some(statistics(readings)?.mean_m)).collect();
    let areas = spot_means_m.chunks_exact(SPOTS_IN_AREA);
    let spots_over = areas.remainder().len();
    let area_means_m: Vec<Option<f64>> = areas
        .map(|area| {
            let means: Option<Vec<f64>> = area.iter().copied().collect();
            Some(statistics(&means?)?.mean_m)
        })
        .collect();
    let spot_least_m = least_m * level.spot_least_pct() / 100.0;
    let spot_greatest_m = greatest_m
        .zip(level.spot_greatest_pct())
        .map(|(greatest_m, greatest_pct)| greatest_m * greatest_pct / 100.0);
    let too_thick = |mean: f64, greatest: Option<f64>| greatest.is_some_and(|g| over(mean, g));
    Some(Verdict {
        spots_below: which(&spot_means_m, |mean| under(mean, spot_least_m)),
        spots_above: which(&spot_means_m, |mean| too_thick(mean, spot_greatest_m)),
        areas_below: which(&area_means_m, |mean| under(mean, least_m)),
        // Level 5 sets no greatest, for spots and areas alike (from memory).
        areas_above: which(&area_means_m, |mean| {
            too_thick(mean, greatest_m.filter(|_| level.spot_greatest_pct().is_some()))
        }),
        spots_short: (0..spots.len())
            .filter(|n| spots.get(*n).is_some_and(|spot| spot.len() < READINGS_IN_SPOT))
            .collect(),
        spots_over,
        spot_means_m,
        area_means_m,
    })
}

/// The places of the means that do something.
fn which(means_m: &[Option<f64>], does: impl Fn(f64) -> bool) -> Vec<usize> {
    let means = means_m.iter().enumerate();
    means.filter(|(_, mean)| mean.is_some_and(&does)).map(|(n, _)| n).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Spots of three readings each whose means are given in um.
    fn spots(means_um: &[f64]) -> Vec<Vec<f64>> {
        means_um.iter().map(|um| vec![(um - 7.0) / 1e6, um / 1e6, (um + 7.0) / 1e6]).collect()
    }

    fn judged(means_um: &[f64], level: u8) -> Verdict {
        let level = Level::new(level).expect("a level");
        verdict(&spots(means_um), 250e-6, Some(350e-6), level).expect("a verdict")
    }

    #[test]
    fn spots_and_areas_by_hand() {
        let found =
            judged(&[260.0, 210.0, 300.0, 280.0, 290.0, 199.0, 421.0, 250.0, 220.0, 150.0], 3);
        assert!(found.area_means_m[0].is_some_and(|m| (m - 268e-6).abs() < 1e-15));
        assert!(found.area_means_m[1].is_some_and(|m| (m - 248e-6).abs() < 1e-15));
        assert_eq!(found.spots_below, vec![5, 9]);
        assert_eq!(found.spots_above, vec![6]);
        assert_eq!((found.areas_below.clone(), found.areas_above.len()), (vec![1], 0));
        assert!(found.complete() && !found.within() && !found.passes());
        assert!(judged(&[260.0, 210.0, 300.0, 280.0, 290.0], 3).passes());
        // Thick all over: each spot is within level 3, the area is not.
        let thick = judged(&[360.0, 380.0, 400.0, 410.0, 340.0], 3);
        assert!(thick.spots_above.is_empty() && thick.areas_above == vec![0] && !thick.passes());
    }

    #[test]
    fn what_is_short_or_left_over() {
        let found = judged(&[300.0; 7], 3);
        assert_eq!((found.area_means_m.len(), found.spots_over), (1, 2));
        assert!(found.within() && !found.complete() && !found.passes());
        let mut two_readings = spots(&[300.0; 5]);
        two_readings[3].pop();
        two_readings[4].clear();
        let found = verdict(&two_readings, 250e-6, None, Level::DEFAULT).expect("a verdict");
        assert_eq!(found.spots_short, vec![3, 4]);
        assert_eq!((found.spot_means_m[4], found.area_means_m[0]), (None, None));
        assert!(found.within() && !found.passes());
        // Fewer than five spots make no area.
        assert!(!judged(&[300.0; 4], 3).passes());
    }

    #[test]
    fn nothing_to_judge() {
        assert_eq!(verdict(&[], 250e-6, None, Level::DEFAULT), None);
        assert_eq!(verdict(&spots(&[300.0]), 0.0, None, Level::DEFAULT), None);
        assert_eq!(verdict(&[vec![f64::NAN]], 250e-6, None, Level::DEFAULT), None);
        assert_eq!((Level::new(0), Level::new(6)), (None, None));
    }

    #[test]
    fn sizes_at_their_edges() {
        let metric = |m2: f64| areas_owed(m2, SizeRule::Metric);
        let sizes = [(0.1, 1), (10.0, 1), (10.1, 2), (20.0, 2), (20.1, 3), (30.0, 3), (30.1, 3)];
        let larger = [(100.0, 3), (100.1, 4), (200.0, 4), (200.1, 5), (1000.0, 12)];
        for (m2, wanted) in sizes.into_iter().chain(larger) {
            assert_eq!(metric(m2), wanted, "{m2} m2");
            // The same figures by ten in square feet.
            assert_eq!(areas_owed(m2 * 10.0 * 0.3048 * 0.3048, SizeRule::Us), wanted, "{m2}0 ft2");
        }
        assert_eq!((metric(0.0), metric(-5.0), metric(f64::NAN)), (0, 0, 0));
        assert_eq!((spots_owed(3), readings_owed(15)), (15, 45));
    }
}
