//! Which blocks, left out, would give room for a shift, or more room.

use std::collections::{BTreeMap, BTreeSet};

use super::band::{Band, NO_WIDTH_M, SAME_M};
use super::contact::{Contact, critical};

/// No more blocks than this are looked for (our choice: with more, the plan is to be drawn again).
pub const MOST_LEFT_OUT: usize = 6;

/// Blocks that could be left out, and the room that it gives.
#[derive(Debug, Clone, PartialEq)]
pub struct LeavingOut {
    /// Blocks of the second side, by their numbers in the caller's list, growing.
    pub of_after: Vec<usize>,
    /// Blocks of the first side.
    pub of_before: Vec<usize>,
    /// The widest band that leaves nothing hidden twice then.
    pub band: Band,
}

impl LeavingOut {
    /// How many blocks.
    pub fn count(&self) -> usize {
        self.of_after.len() + self.of_before.len()
    }
}

/// Which side's blocks may be left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    After,
    Either,
}

/// For each number of blocks, fewest first, the widest band that leaving so many out gives: of the second
/// side alone, and of both where that gives more. Only what is better than with fewer.
pub(super) fn leaving_out(
    contacts: &[Contact],
    range_m: (f64, f64),
    either: bool,
) -> Vec<LeavingOut> {
    let windows = Windows::new(contacts, range_m);
    let best_of = |most: usize, of: Of| windows.widest(most, of);
    let width = |found: &Option<LeavingOut>| found.as_ref().map_or(0.0, |out| out.band.width_m());
    // Least by which a band must be wider to be worth a block.
    let wider = |now: f64, before: f64| now > before + NO_WIDTH_M;
    let none = width(&best_of(0, Of::After));
    let (mut after_alone, mut of_both) = (none, none);
    let mut found = Vec::new();
    for most in 1..=MOST_LEFT_OUT {
        let out = best_of(most, Of::After);
        if wider(width(&out), after_alone) {
            after_alone = width(&out);
            found.extend(out);
        }
        of_both = of_both.max(after_alone);
        if either {
            let out = best_of(most, Of::Either);
            if wider(width(&out), of_both) {
                of_both = width(&out);
                found.extend(out);
            }
        }
    }
    found
}

/// Two blocks that meet: of the first side, of the second.
type Pair = (usize, usize);

/// The range cut at every length slid at which a contact begins or ends.
struct Windows {
    /// Where it is cut, growing, m.
    cuts: Vec<f64>,
    /// The pairs that begin to meet at each cut.
    begin: Vec<Vec<Pair>>,
    /// The pairs that cease to meet at each cut.
    end: Vec<Vec<Pair>>,
}

impl Windows {
    fn new(contacts: &[Contact], range_m: (f64, f64)) -> Self {
        let cuts = critical(contacts.iter().flat_map(|c| [c.from_m, c.to_m]), range_m);
        let mut windows =
            Self { begin: vec![Vec::new(); cuts.len()], end: vec![Vec::new(); cuts.len()], cuts };
        for contact in contacts {
            let (begins, ends) = (windows.cut_at(contact.from_m), windows.cut_at(contact.to_m));
            if begins < ends {
                let pair = (contact.before, contact.after);
                windows.begin[begins].push(pair);
                windows.end[ends].push(pair);
            }
        }
        windows
    }

    /// The last cut that lies at a length or before it.
    fn cut_at(&self, slid_m: f64) -> usize {
        self.cuts.partition_point(|cut| *cut < slid_m + SAME_M).saturating_sub(1)
    }

    /// The widest window in which no more than so many blocks are in the way, and those blocks. For each
    /// cut the window that ends there is as wide as it can be: its beginning only ever moves on.
    fn widest(&self, most: usize, of: Of) -> Option<LeavingOut> {
        let mut best: Option<(Band, Vec<Pair>)> = None;
        let mut meeting: BTreeMap<Pair, usize> = BTreeMap::new();
        let mut first = 0;
        for last in 1..self.cuts.len() {
            for pair in &self.begin[last - 1] {
                *meeting.entry(*pair).or_default() += 1;
            }
            while first < last && cover(meeting.keys().copied(), of, most).is_none() {
                first += 1;
                for pair in &self.end[first] {
                    if let Some(count) = meeting.get_mut(pair) {
                        *count -= 1;
                        if *count == 0 {
                            meeting.remove(pair);
                        }
                    }
                }
            }
            let band = Band { from_m: self.cuts[first], to_m: self.cuts[last] };
            let wide = band.width_m() > NO_WIDTH_M;
            if wide && best.as_ref().is_none_or(|(best, _)| band.better_than(best)) {
                best = Some((band, meeting.keys().copied().collect()));
            }
        }
        let (band, pairs) = best?;
        let (of_before, of_after) = cover(pairs.into_iter(), of, most)?;
        Some(LeavingOut { of_after, of_before, band })
    }
}

/// The fewest blocks, of the first side and of the second, that are one of every pair; `None` if they
/// are more than so many.
fn cover(
    pairs: impl Iterator<Item = Pair>,
    of: Of,
    most: usize,
) -> Option<(Vec<usize>, Vec<usize>)> {
    match of {
        Of::After => {
            let mut after = BTreeSet::new();
            for (_, block) in pairs {
                after.insert(block);
                if after.len() > most {
                    return None;
                }
            }
            Some((Vec::new(), after.into_iter().collect()))
        }
        Of::Either => least_cover(pairs, most),
    }
}

/// By Koenig's theorem: as many blocks as pairs can be matched so that no block is in two. Of all such
/// covers, that with the most blocks of the second side.
fn least_cover(pairs: impl Iterator<Item = Pair>, most: usize) -> Option<(Vec<usize>, Vec<usize>)> {
    let mut before_of: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut matching = Matching::default();
    for (before, after) in pairs {
        before_of.entry(after).or_default().push(before);
        // A match from pair to pair as they come is a lower bound that mostly suffices.
        if !matching.after_of.contains_key(&before) && !matching.before_of.contains_key(&after) {
            matching.join(before, after);
            if matching.after_of.len() > most {
                return None;
            }
        }
    }
    for after in before_of.keys() {
        if !matching.before_of.contains_key(after) {
            matching.augment(*after, &before_of, &mut BTreeSet::new());
            if matching.after_of.len() > most {
                return None;
            }
        }
    }
    // What is reached from the unmatched of the second side, to and fro along pairs and matches.
    let mut reached: BTreeSet<usize> = BTreeSet::new();
    let mut open: Vec<usize> =
        before_of.keys().copied().filter(|after| !matching.before_of.contains_key(after)).collect();
    let mut seen: BTreeSet<usize> = open.iter().copied().collect();
    while let Some(after) = open.pop() {
        for before in before_of.get(&after).into_iter().flatten() {
            if reached.insert(*before) {
                let next = matching.after_of.get(before).copied();
                open.extend(next.filter(|next| seen.insert(*next)));
            }
        }
    }
    let of_after = before_of.keys().copied().filter(|after| !seen.contains(after)).collect();
    Some((reached.into_iter().collect(), of_after))
}

/// Pairs of which no two have a block in common.
#[derive(Default)]
struct Matching {
    after_of: BTreeMap<usize, usize>,
    before_of: BTreeMap<usize, usize>,
}

impl Matching {
    fn join(&mut self, before: usize, after: usize) {
        self.after_of.insert(before, after);
        self.before_of.insert(after, before);
    }

    /// Finds a match for a block of the second side, for which others may have to change theirs. Paths
    /// are no longer than the cover that is still looked for.
    fn augment(
        &mut self,
        after: usize,
        before_of: &BTreeMap<usize, Vec<usize>>,
        tried: &mut BTreeSet<usize>,
    ) -> bool {
        for before in before_of.get(&after).into_iter().flatten() {
            if tried.insert(*before) {
                let other = self.after_of.get(before).copied();
                if other.is_none_or(|other| self.augment(other, before_of, tried)) {
                    self.join(*before, after);
                    return true;
                }
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The size of a least cover, by trying every set of blocks.
    fn by_trying(pairs: &[Pair]) -> usize {
        (0u32..1 << 10)
            .filter(|set| pairs.iter().all(|(b, a)| set >> b & 1 == 1 || set >> (5 + a) & 1 == 1))
            .map(|set| set.count_ones() as usize)
            .min()
            .unwrap_or(0)
    }

    #[test]
    fn covers_are_least() {
        // A fixed linear congruential sequence, so that the cases are the same everywhere.
        let mut state = 7_u64;
        let mut next = || {
            state = state.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (state >> 33) as usize
        };
        for _ in 0..300 {
            let pairs: BTreeSet<Pair> =
                (0..next() % 12).map(|_| (next() % 5, next() % 5)).collect();
            let pairs: Vec<Pair> = pairs.into_iter().collect();
            let wanted = by_trying(&pairs);
            let found = cover(pairs.iter().copied(), Of::Either, wanted);
            let (before, after) = found.expect("a cover of that size");
            assert_eq!(before.len() + after.len(), wanted, "{pairs:?}");
            assert!(pairs.iter().all(|(b, a)| before.contains(b) || after.contains(a)));
            if wanted > 0 {
                assert_eq!(cover(pairs.iter().copied(), Of::Either, wanted - 1), None);
            }
        }
    }
}
