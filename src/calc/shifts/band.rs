//! Bands of lengths slid.

/// Places this near to each other are the same, m.
pub(super) const SAME_M: f64 = 1e-9;

/// A band narrower than this is no answer, m.
pub const NO_WIDTH_M: f64 = 1e-6;

/// Lengths slid from one to another, both counted in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Slid, m.
    pub from_m: f64,
    /// Slid, m; not under `from_m`.
    pub to_m: f64,
}

impl Band {
    /// What to aim at: slid, m.
    pub fn middle_m(&self) -> f64 {
        (self.from_m + self.to_m) / 2.0
    }

    pub fn width_m(&self) -> f64 {
        self.to_m - self.from_m
    }

    /// By how much the middle may be missed either way, m.
    pub fn miss_m(&self) -> f64 {
        self.width_m() / 2.0
    }

    /// The length in it that is nearest to nothing: slid, m.
    pub fn nearest_m(&self) -> f64 {
        0.0_f64.max(self.from_m).min(self.to_m)
    }

    /// Whether it is the better answer: wider, else its middle nearer to nothing, else the ship shifted aft.
    pub fn better_than(&self, other: &Self) -> bool {
        let keys = |band: &Self| [band.width_m(), -band.middle_m().abs(), band.middle_m()];
        let differing =
            keys(self).into_iter().zip(keys(other)).find(|(a, b)| (a - b).abs() > SAME_M);
        differing.is_some_and(|(a, b)| a > b)
    }
}

/// What a range has outside all intervals, as far as it is wider than that, from the least on. No more
/// intervals are asked for once nothing is left.
pub(super) fn outside(
    intervals: impl Iterator<Item = (f64, f64)>,
    range_m: (f64, f64),
    least_width_m: f64,
) -> Vec<Band> {
    let mut free = vec![Band { from_m: range_m.0, to_m: range_m.1 }];
    for (from, to) in intervals {
        free = free
            .into_iter()
            .flat_map(|band| {
                [
                    Band { to_m: band.to_m.min(from), ..band },
                    Band { from_m: band.from_m.max(to), ..band },
                ]
            })
            .filter(|band| band.width_m() > least_width_m)
            .collect();
        if free.is_empty() {
            break;
        }
    }
    free
}
