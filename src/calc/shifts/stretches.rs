//! A band cut where something that matters begins or ends.

use std::collections::BTreeSet;

use super::band::{Band, NO_WIDTH_M, SAME_M};

/// A part of a band throughout which the same holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch<T> {
    pub band: Band,
    /// What holds in it.
    pub holds: BTreeSet<T>,
}

/// Cuts a band at every length slid at which one of these begins or ceases to hold, from the least on; parts
/// of no width are left out. The same thing may hold over several bands.
pub fn stretches<T: Copy + Ord>(holding: &[(T, Band)], band: Band) -> Vec<Stretch<T>> {
    let ends = holding.iter().flat_map(|(_, over)| [over.from_m, over.to_m]);
    let cuts = super::contact::critical(ends, (band.from_m, band.to_m));
    let mut found: Vec<Stretch<T>> = Vec::new();
    for pair in cuts.windows(2) {
        let part = Band { from_m: pair[0], to_m: pair[1] };
        if part.width_m() <= NO_WIDTH_M {
            continue;
        }
        let middle_m = part.middle_m();
        let over = |(_, over): &&(T, Band)| over.from_m < middle_m && middle_m < over.to_m;
        let holds: BTreeSet<T> = holding.iter().filter(over).map(|(n, _)| *n).collect();
        match found.last_mut().filter(|last| last.holds == holds) {
            Some(last) => last.band.to_m = part.to_m,
            None => found.push(Stretch { band: part, holds }),
        }
    }
    found
}

/// Cuts a band where a value changes that can only be had at single lengths slid: it is asked for at both ends and at
/// steps of at most `step_m` between, and where two neighbours differ the place is halved down to `near_m`.
/// What changes and changes back between two steps is not seen.
pub fn steady_stretches<T: PartialEq>(
    band: Band,
    (step_m, near_m): (f64, f64),
    value: impl Fn(f64) -> T,
) -> Vec<(Band, T)> {
    let steps = (band.width_m() / step_m - SAME_M).ceil().max(1.0) as usize;
    let at = |n: usize| band.from_m + band.width_m() * n as f64 / steps as f64;
    let mut found: Vec<(Band, T)> = vec![(Band { to_m: band.from_m, ..band }, value(band.from_m))];
    for n in 1..=steps {
        let (mut before, mut after) = (at(n - 1), if n == steps { band.to_m } else { at(n) });
        let now = value(after);
        let Some((last, was)) = found.last_mut() else { break };
        if *was == now {
            last.to_m = after;
            continue;
        }
        let end = after;
        while after - before > near_m {
            let middle = (before + after) / 2.0;
            if value(middle) == *was { before = middle } else { after = middle }
        }
        last.to_m = before;
        found.push((Band { from_m: after, to_m: end }, now));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    const BAND: Band = Band { from_m: 0.0, to_m: 10.0 };

    fn over(from_m: f64, to_m: f64) -> Band {
        Band { from_m, to_m }
    }

    #[test]
    fn a_band_is_cut_where_something_begins_or_ends() {
        let found =
            stretches(&[(7, over(2.0, 5.0)), (8, over(4.0, 11.0)), (7, over(9.0, 12.0))], BAND);
        let parts: Vec<(f64, f64, Vec<usize>)> = found
            .iter()
            .map(|one| (one.band.from_m, one.band.to_m, one.holds.iter().copied().collect()))
            .collect();
        let wanted = [
            (0.0, 2.0, vec![]),
            (2.0, 4.0, vec![7]),
            (4.0, 5.0, vec![7, 8]),
            (5.0, 9.0, vec![8]),
            (9.0, 10.0, vec![7, 8]),
        ];
        assert_eq!(parts, wanted);
        assert_eq!(stretches::<usize>(&[], BAND), [Stretch { band: BAND, holds: BTreeSet::new() }]);
    }

    #[test]
    fn a_change_is_found_between_two_steps() {
        let found = steady_stretches(BAND, (1.0, 0.001), |slid_m| slid_m > 3.4567);
        assert_eq!(found.len(), 2);
        let (first, second) = (&found[0], &found[1]);
        assert!(!first.1 && second.1);
        assert!(first.0.from_m == 0.0 && second.0.to_m == 10.0);
        assert!(first.0.to_m <= 3.4567 && first.0.to_m > 3.4557, "{found:?}");
        assert!(second.0.from_m > 3.4567 && second.0.from_m < 3.4577, "{found:?}");
        assert_eq!(steady_stretches(BAND, (1.0, 0.001), |_| 1), [(BAND, 1)]);
    }
}
