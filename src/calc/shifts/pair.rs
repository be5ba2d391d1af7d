//! Two shifts, one after the other, where no single one reaches everything.

use super::band::{Band, NO_WIDTH_M, SAME_M, outside};
use super::study::Sides;
use super::way::Way;

/// Into how many steps the range is divided to look for the first shift.
const STEPS: usize = 240;

/// No more lengths than this are tried for the first shift.
const MOST_TRIED: usize = 2000;

/// Two shifts after which nothing was hidden in all three positions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// How far the footprints are slid by the first shift, m.
    pub first_m: f64,
    /// How far they may be slid in the third position, counted from the first position like `first_m`: m.
    pub second: Band,
}

impl Pair {
    /// How far she lies from the first position at the furthest, m, the second shift being the smallest of
    /// its band.
    pub fn furthest_m(&self) -> f64 {
        self.first_m.abs().max(self.second.nearest_m().abs())
    }
}

impl Sides {
    /// The two shifts, of the same blocks, that take her least far from the first position and leave
    /// nothing hidden in all three; of pairs alike that with the wider band for the second shift, then that
    /// whose first shift is smaller, then that in which the ship is first shifted aft. The second band is at
    /// least so wide (m). `None` if there is none, or a single shift does it.
    ///
    /// What the first shift leaves hidden twice is studied against the blocks for each of these lengths:
    /// those at which contacts begin and end, their halves (where first and second shift are equally far,
    /// to either side), and an even grid of the range, at most 2000 in all. So a pair that is there may be
    /// missed only if its first shift must be hit more closely than a 240th of the range.
    pub fn pair(&self, way: Way, range_m: (f64, f64), least_width_m: f64) -> Option<Pair> {
        let least_width_m = least_width_m.max(NO_WIDTH_M);
        let meeting: Vec<(f64, f64)> =
            self.contacts(way, range_m).map(|c| (c.from_m, c.to_m)).collect();
        if !outside(meeting.iter().copied(), range_m, NO_WIDTH_M).is_empty() {
            return None;
        }
        let ends: Vec<f64> = meeting.into_iter().flat_map(|(from, to)| [from, to]).collect();
        let mut best: Option<Pair> = None;
        for first_m in tried(&ends, range_m) {
            if best.is_some_and(|best| first_m.abs() > best.furthest_m() + SAME_M) {
                break;
            }
            let second = outside(self.meeting_twice(way, first_m, range_m), range_m, least_width_m);
            for pair in second.into_iter().map(|second| Pair { first_m, second }) {
                if best.is_none_or(|best| better(&pair, &best)) {
                    best = Some(pair);
                }
            }
        }
        best
    }

    /// The lengths slid, from the first position on, at which a shift after a first one leaves nothing hidden
    /// in all three positions.
    pub fn after_a_first(&self, way: Way, first_m: f64, range_m: (f64, f64)) -> Vec<Band> {
        outside(self.meeting_twice(way, first_m, range_m), range_m, NO_WIDTH_M)
    }

    /// The lengths slid at which what a first shift left hidden twice is hidden again.
    fn meeting_twice(
        &self,
        way: Way,
        first_m: f64,
        range_m: (f64, f64),
    ) -> impl Iterator<Item = (f64, f64)> {
        let after = &self.after.whole;
        let left = self.before.whole.parts.iter().flat_map(move |(_, before)| {
            let slid = after.near(before, way, (first_m, first_m)).iter();
            slid.filter_map(move |(_, part)| before.common(&part.slid(way, first_m)))
        });
        left.flat_map(move |left| {
            let meeting = after.meeting(&left, way, range_m);
            meeting.map(|(_, _, interval)| interval).collect::<Vec<_>>()
        })
    }
}

fn better(one: &Pair, other: &Pair) -> bool {
    let keys = |pair: &Pair| {
        [-pair.furthest_m(), pair.second.width_m(), -pair.first_m.abs(), pair.first_m]
    };
    let differing = keys(one).into_iter().zip(keys(other)).find(|(a, b)| (a - b).abs() > SAME_M);
    differing.is_some_and(|(a, b)| a > b)
}

/// Lengths to try for the first shift, the smallest first, the ship aft before forward.
fn tried(ends: &[f64], range_m: (f64, f64)) -> Vec<f64> {
    let in_range = |slid: &f64| range_m.0 <= *slid && *slid <= range_m.1;
    let distinct = |lengths: &mut Vec<f64>| {
        lengths.retain(in_range);
        lengths.sort_by(f64::total_cmp);
        lengths.dedup_by(|next, kept| *next - *kept < SAME_M);
    };
    let step = (range_m.1 - range_m.0) / STEPS as f64;
    let grid = (0..=STEPS).map(|n| range_m.0 + n as f64 * step);
    let mut critical: Vec<f64> =
        ends.iter().flat_map(|end| [*end, end / 2.0, -end / 2.0]).collect();
    distinct(&mut critical);
    let every = critical.len().div_ceil(MOST_TRIED - STEPS - 1).max(1);
    let mut found: Vec<f64> = critical.into_iter().step_by(every).chain(grid).collect();
    distinct(&mut found);
    found.sort_by(|a, b| a.abs().total_cmp(&b.abs()).then(b.total_cmp(a)));
    found
}
