//! What plates and anodes have lost.

use super::formula::Formula;

/// How the loss of a plate is found.
pub const LOSS: Formula = Formula {
    name: "loss of plate thickness",
    title: "Loss of plate thickness",
    says: "original - measured, and that in per cent of the original; a limit may be a loss, a loss in per \
           cent of the original, or a least thickness; a loss equal to the limit passes",
    source: "definition",
};

/// How the loss of an anode is found.
pub const ANODE_LOSS: Formula = Formula {
    name: "loss of an anode",
    title: "Loss of an anode",
    says: "(mass fitted - mass found) in per cent of the mass fitted",
    source: "definition",
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
    /// As found, m.
    pub measured_m: f64,
    /// What it may lose.
    pub limit: Option<Limit>,
}

impl Plate {
    /// Loss, m.
    fn loss_m(&self) -> f64 {
        loss_m(self.original_m, self.measured_m)
    }

    /// What it may still lose, m; negative beyond the limit.
    fn left_m(&self) -> Option<f64> {
        Some(allowed_loss_m(self.original_m, self.limit?) - self.loss_m())
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
    /// The place that is nearest to its limit or furthest beyond it, from 0; of those that have a limit.
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
        nearest_limit: greatest(plates, |plate| Some(-plate.left_m()?)),
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
            plate(12.0, 11.0, Some(Limit::LeastThickness(0.0105))), // 1.0 mm, 8.3 %, 0.5 mm left
            plate(20.0, 18.0, Some(Limit::RelativeLoss(20.0))),     // 2.0 mm, 10 %, 2.0 mm left
            plate(8.0, 6.5, Some(Limit::Loss(0.001))),              // 1.5 mm, 18.75 %, 0.5 mm over
            plate(10.0, 10.1, None),                                // a gain of 0.1 mm
        ];
        let found = group(&strake).expect("a group");
        assert!((found.mean_loss_m - 0.0011).abs() < 1e-12);
        assert_eq!((found.worst, found.worst_pct, found.nearest_limit), (1, Some(2), Some(2)));
        assert_eq!(found.beyond, vec![2]);
        assert_eq!(group(&strake[..2]).and_then(|g| g.nearest_limit), Some(0));
        assert_eq!(group(&strake[3..]).map(|g| g.nearest_limit), Some(None));
        assert_eq!(group(&[]), None);
    }

    #[test]
    fn anodes_by_hand() {
        assert_eq!(anode_loss_pct(0.010, 0.004), Some(60.0));
        assert_eq!(anode_loss_pct(0.0, 0.004), None);
        assert!(anode_loss_pct(0.010, 0.011).is_some_and(|pct| pct < 0.0));
    }
}
