//! What plates and anodes have lost.

use super::formula::Formula;

/// How the loss of a plate is found.
pub const LOSS: Formula = Formula {
    name: "loss of plate thickness",
    title: "Loss of plate thickness",
    says: "`original - measured`, and that in per cent of the original; a limit may be a loss, a loss in per \
           cent of the original, or a least thickness; a loss equal to the limit passes",
    source: "definition",
};

pub const ANODE_LOSS: Formula = Formula {
    name: "loss of an anode",
    title: "Loss of an anode",
    says: "`(mass fitted - mass found) / mass fitted`, in per cent",
    source: "definition",
};

/// How fast a plate is lost, and how long it lasts. API 510 was not at hand: its formulas were read in the worksheet that
/// the test below names.
pub const RATE: Formula = Formula {
    name: "rate of loss",
    title: "Rate of loss of plating, and years left",
    says: "`rate = (thickness then - thickness now) / years`, from the one gauging to the other, a year \
           being 365.25 days; `years left = (thickness now - thickness at the limit) / rate`, 0 beyond the \
           limit and none where nothing is being lost; a rate of the past need not be that of the future",
    source: "short-term corrosion rate and remaining life as API 510, 10th edition, 7.1.1 and 7.2.1, has them",
};

/// What is no difference between two thicknesses, m.
const SLACK_M: f64 = 1e-9;

/// What a plate may lose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// Greatest loss, m.
    Loss(f64),
    /// Greatest loss, per cent of the original thickness.
    RelativeLoss(f64),
    /// Least thickness left, m.
    LeastThickness(f64),
}

/// Loss in m, from original and measured thickness in m; negative where more is measured.
pub fn loss_m(original_m: f64, measured_m: f64) -> f64 {
    original_m - measured_m
}

/// Loss in per cent of the original thickness. `None` unless that is over 0.
pub fn loss_pct(original_m: f64, measured_m: f64) -> Option<f64> {
    (original_m > 0.0).then(|| 100.0 * loss_m(original_m, measured_m) / original_m)
}

/// The loss in m that a limit allows a plate of that original thickness in m.
pub fn allowed_loss_m(original_m: f64, limit: Limit) -> f64 {
    match limit {
        Limit::Loss(loss_m) => loss_m,
        Limit::RelativeLoss(pct) => original_m * pct / 100.0,
        Limit::LeastThickness(least_m) => original_m - least_m,
    }
}

/// Loss in m a year of a plate that was `then_m` thick and is `now_m` thick so many years later; negative
/// where more is measured. `None` unless it is later.
pub fn rate_m_per_year(then_m: f64, now_m: f64, years: f64) -> Option<f64> {
    (years > 0.0).then(|| (then_m - now_m) / years)
}

/// Years until a plate that is `now_m` thick is down to `least_m` at a rate in m a year: 0 where it is
/// thinner already. `None` where the rate is not over 0, so that it never is.
pub fn years_left(now_m: f64, least_m: f64, rate_m_per_year: f64) -> Option<f64> {
    let left_m = now_m - least_m;
    if left_m < -SLACK_M {
        return Some(0.0);
    }
    (rate_m_per_year > 0.0).then(|| left_m.max(0.0) / rate_m_per_year)
}

/// Whether a plate has lost more than its limit allows. Equality passes.
pub fn beyond(original_m: f64, measured_m: f64, limit: Limit) -> bool {
    loss_m(original_m, measured_m) > allowed_loss_m(original_m, limit) + SLACK_M
}

/// How much of the loss that a limit allows is gone, per cent; over 100 beyond the limit. `None` where the
/// limit allows no loss at all.
pub fn used_up_pct(original_m: f64, measured_m: f64, limit: Limit) -> Option<f64> {
    let allowed_m = allowed_loss_m(original_m, limit);
    (allowed_m > SLACK_M).then(|| 100.0 * loss_m(original_m, measured_m) / allowed_m)
}

/// A plate's thickness at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    /// As built, m.
    pub original_m: f64,
    pub measured_m: f64,
    /// What it may lose.
    pub limit: Option<Limit>,
}

impl Plate {
    fn loss_m(&self) -> f64 {
        loss_m(self.original_m, self.measured_m)
    }

    /// The part used up of what it may lose, per cent. Where nothing may be lost, any loss is beyond all
    /// others.
    fn used_up_pct(&self) -> Option<f64> {
        let limit = self.limit?;
        Some(used_up_pct(self.original_m, self.measured_m, limit).unwrap_or_else(|| {
            match beyond(self.original_m, self.measured_m, limit) {
                true => f64::INFINITY,
                false => 100.0,
            }
        }))
    }
}

/// What a group of plates, such as a strake, has lost.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Mean loss, m; places where more than the original is measured count as a gain.
    pub mean_loss_m: f64,
    /// The place with the greatest loss in m, from 0; of equal ones the first, here and below.
    pub worst: usize,
    /// The place with the greatest loss in per cent, from 0.
    pub worst_pct: Option<usize>,
    /// The place that has used up the greatest part of what it may lose, from 0; of those that have a limit.
    pub nearest_limit: Option<usize>,
    /// Places that are beyond their limit, from 0.
    pub beyond: Vec<usize>,
}

/// Mean and worst of a group of places; `None` without any.
pub fn group(plates: &[Plate]) -> Option<Group> {
    let first = plates.first()?;
    let sum: f64 = plates.iter().map(|plate| plate.loss_m() - first.loss_m()).sum();
    Some(Group {
        mean_loss_m: first.loss_m() + sum / plates.len() as f64,
        worst: greatest(plates, |plate| Some(plate.loss_m()))?,
        worst_pct: greatest(plates, |plate| loss_pct(plate.original_m, plate.measured_m)),
        nearest_limit: greatest(plates, Plate::used_up_pct),
        beyond: plates
            .iter()
            .enumerate()
            .filter(|(_, plate)| {
                plate.limit.is_some_and(|limit| beyond(plate.original_m, plate.measured_m, limit))
            })
            .map(|(n, _)| n)
            .collect(),
    })
}

/// The first place at which something is greatest.
fn greatest(plates: &[Plate], what: impl Fn(&Plate) -> Option<f64>) -> Option<usize> {
    let mut found: Option<(f64, usize)> = None;
    for (n, value) in plates.iter().enumerate().filter_map(|(n, plate)| Some((n, what(plate)?))) {
        if found.is_none_or(|(known, _)| value > known) {
            found = Some((value, n));
        }
    }
    found.map(|(_, n)| n)
}

/// Loss of an anode in per cent of the mass fitted, from the masses fitted and found in t; negative where
/// more is found. `None` unless the mass fitted is over 0.
pub fn anode_loss_pct(fitted_t: f64, found_t: f64) -> Option<f64> {
    (fitted_t > 0.0).then(|| 100.0 * (fitted_t - found_t) / fitted_t)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_of_three_kinds_at_their_edges() {
        // 12 mm down to 9 mm: 3 mm, 25 %.
        assert!((loss_m(0.012, 0.009) - 0.003).abs() < 1e-12);
        assert!(loss_pct(0.012, 0.009).is_some_and(|pct| (pct - 25.0).abs() < 1e-9));
        for passes in [Limit::Loss(0.003), Limit::RelativeLoss(25.0), Limit::LeastThickness(0.009)]
        {
            assert!(!beyond(0.012, 0.009, passes), "{passes:?}");
            assert!(beyond(0.012, 0.00899, passes), "{passes:?}");
        }
        for (limit, used) in [
            (Limit::Loss(0.004), Some(75.0)),
            (Limit::RelativeLoss(20.0), Some(125.0)),
            (Limit::LeastThickness(0.006), Some(50.0)),
            (Limit::LeastThickness(0.013), None),
        ] {
            let found = used_up_pct(0.012, 0.009, limit);
            assert_eq!(found.map(|pct| (pct * 1e6).round() / 1e6), used, "{limit:?}");
        }
        assert_eq!(loss_pct(0.0, 0.009), None);
        assert!(loss_m(0.012, 0.0121) < 0.0);
    }

    fn plate(original_mm: f64, measured_mm: f64, limit: Option<Limit>) -> Plate {
        Plate { original_m: original_mm / 1000.0, measured_m: measured_mm / 1000.0, limit }
    }

    #[test]
    fn mean_and_worst_of_a_group() {
        let strake = [
            plate(12.0, 11.0, Some(Limit::LeastThickness(0.0105))), // 1.0 of 1.5 mm, 8.3 %
            plate(20.0, 18.0, Some(Limit::RelativeLoss(20.0))),     // 2.0 of 4.0 mm, 10 %
            plate(8.0, 6.5, Some(Limit::Loss(0.001))),              // 1.5 of 1.0 mm, 18.75 %
            plate(10.0, 10.1, None),                                // a gain of 0.1 mm
        ];
        let found = group(&strake).expect("a group");
        assert!((found.mean_loss_m - 0.0011).abs() < 1e-12);
        assert_eq!((found.worst, found.worst_pct, found.nearest_limit), (1, Some(2), Some(2)));
        assert_eq!(found.beyond, vec![2]);
        assert_eq!(group(&strake[..2]).and_then(|g| g.nearest_limit), Some(0));
        assert_eq!(group(&strake[3..]).map(|g| g.nearest_limit), Some(None));
        assert_eq!(group(&[]), None);
        // 4 mm of 5 is more of what is allowed than 0.5 mm of 1, though more is left of it in mm; what may
        // not lose anything comes before all.
        let unlike = [
            plate(12.0, 11.5, Some(Limit::Loss(0.001))),
            plate(20.0, 16.0, Some(Limit::Loss(0.005))),
            plate(8.0, 7.9, Some(Limit::LeastThickness(0.008))),
        ];
        assert_eq!(group(&unlike[..2]).and_then(|g| g.nearest_limit), Some(1));
        assert_eq!(group(&unlike).and_then(|g| g.nearest_limit), Some(2));
    }

    /// Figures of the worksheet "API 510 Corrosion Rate and Remaining Life Calculations" (an invented test separator,
    /// 11 August 2014), made after API 510, 10th edition, 7.1.1 and 7.2.1, in inches: 0.413 to 0.352
    /// in 5 years is 0.012 a year; 0.5 to 0.4 in one year is 0.1, and leaves one year to 0.3.
    #[test]
    fn rate_and_years_left_of_a_worksheet() {
        let rate = rate_m_per_year(0.413, 0.352, 5.0).expect("a rate");
        assert_eq!(format!("{rate:.3}"), "0.012");
        let rate = rate_m_per_year(0.5, 0.4, 1.0).expect("a rate");
        assert!((rate - 0.1).abs() < 1e-12);
        assert!(years_left(0.4, 0.3, rate).is_some_and(|left| (left - 1.0).abs() < 1e-9));
    }

    #[test]
    fn rates_by_hand() {
        // 11.2 mm down to 10.1 mm: 1.1 mm in 22 years, 0.05 mm a year. With 20 % of
        // 12.0 mm allowed the limit is 9.6 mm: 0.5 mm left, ten years.
        let rate = rate_m_per_year(0.0112, 0.0101, 22.0).expect("a rate");
        assert!((rate - 0.00005).abs() < 1e-12);
        let least = 0.012 - allowed_loss_m(0.012, Limit::RelativeLoss(20.0));
        assert!(years_left(0.0101, least, rate).is_some_and(|left| (left - 10.0).abs() < 1e-6));
        // At the limit none are left, beyond it neither, whatever the rate; what is not lost lasts.
        assert!(years_left(0.0096, least, rate).is_some_and(|left| left < 1e-6));
        assert_eq!(years_left(0.0095, least, -rate), Some(0.0));
        assert_eq!(years_left(0.0101, least, 0.0), None);
        assert_eq!(years_left(0.0101, least, -rate), None);
        // Thicker now is a rate under 0; the same day, or the other way round, is no rate.
        assert!(rate_m_per_year(0.0101, 0.0112, 22.0).is_some_and(|rate| rate < 0.0));
        assert_eq!(rate_m_per_year(0.0112, 0.0101, 0.0), None);
        assert_eq!(rate_m_per_year(0.0112, 0.0101, -22.0), None);
        assert_eq!(crate::calc::years(1461), 4.0);
    }

    #[test]
    fn anodes_by_hand() {
        assert_eq!(anode_loss_pct(0.010, 0.004), Some(60.0));
        assert_eq!(anode_loss_pct(0.0, 0.004), None);
        assert!(anode_loss_pct(0.010, 0.011).is_some_and(|pct| pct < 0.0));
    }
}
