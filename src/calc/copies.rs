//! Runs of readings that stand twice: how long one must be before chance is no explanation.

use std::collections::BTreeMap;

use super::formula::Formula;

pub const COPIED: Formula = Formula {
    name: "run of readings that stands twice",
    title: "A run of readings that stands twice",
    says: "`n (n - 1) / 2` pairs of places at which a run may begin, times the chance that two readings agree for every \
           reading of the run; that chance is the share of pairs within a series that are alike: of readings for the first \
           at a spot, and for the others the greater of that and of the steps from one to the next; it is called a copy \
           where less than one such run is to be expected in a million records",
    source: "expectation of a sum; the bound is our choice",
};

/// The shortest run that is looked at.
const LEAST: usize = 6;

/// Runs expected by chance, from which on a run is no longer called a copy.
const RARE: f64 = 1e-6;

/// Readings in the order in which they were taken.
#[derive(Debug, Clone, Default)]
pub struct Series {
    /// In any unit in which readings that were written alike are equal.
    pub values: Vec<i64>,
    /// For each, whether it is the first at its spot: those of one spot lie close to each other anyway.
    pub begins: Vec<bool>,
}

impl Series {
    /// Adds a reading.
    pub fn push(&mut self, value: i64, begins: bool) {
        self.values.push(value);
        self.begins.push(begins);
    }
}

/// A run of readings that stands in two places.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// The series and the place in it where it stands first.
    pub first: (usize, usize),
    /// The same where it stands again.
    pub again: (usize, usize),
    pub length: usize,
    /// How many such runs are to be expected by chance in a record as large as this.
    pub expected: f64,
}

/// The chance that two readings are alike: of any two, and of two steps from one reading to the next at its spot.
pub fn chances(series: &[Series], least: f64) -> (f64, f64) {
    let values = series.iter().map(|one| one.values.clone());
    let steps = series.iter().flat_map(|one| {
        let next = one.values.windows(2).zip(one.begins.iter().skip(1));
        next.filter(|(_, begins)| !**begins).map(|(pair, _)| pair[1].wrapping_sub(pair[0]))
    });
    let any = share_alike(values).max(least);
    (any, share_alike([steps.collect()]).max(any))
}

/// The share of pairs within each series that are alike.
fn share_alike(series: impl IntoIterator<Item = Vec<i64>>) -> f64 {
    let (mut alike, mut all) = (0.0, 0.0);
    for values in series {
        let mut counts: BTreeMap<i64, f64> = BTreeMap::new();
        values.iter().for_each(|value| *counts.entry(*value).or_default() += 1.0);
        let pairs = |n: f64| n * (n - 1.0) / 2.0;
        alike += counts.into_values().map(pairs).sum::<f64>();
        all += pairs(values.len() as f64);
    }
    if all > 0.0 { alike / all } else { 0.0 }
}

/// The runs that stand twice and are too long for chance. `least` is a chance below which that of two readings to be alike
/// is never put, since few readings show it badly.
pub fn runs(series: &[Series], least: f64) -> Vec<Run> {
    let (any, step) = chances(series, least);
    let all = series.iter().map(|one| one.values.len()).sum::<usize>() as f64;
    let pairs = all * (all - 1.0) / 2.0;
    let mut seen: BTreeMap<&[i64], (usize, usize)> = BTreeMap::new();
    let mut found = Vec::new();
    for (s, one) in series.iter().enumerate() {
        let mut at = 0;
        while let Some(beginning) = one.values.get(at..at + LEAST) {
            let Some((t, from)) = seen.get(beginning).copied() else {
                seen.insert(beginning, (s, at));
                at += 1;
                continue;
            };
            // A run does not overlap itself.
            let most = if t == s { at - from } else { usize::MAX };
            let before = series[t].values[from..].iter();
            let alike = before.zip(&one.values[at..]).take(most).take_while(|(a, b)| a == b);
            let length = alike.count();
            let begins = &one.begins[at..at + length];
            let by_chance = |begins: &bool| if *begins { any } else { step };
            let expected = pairs * begins.iter().map(by_chance).product::<f64>();
            if length >= LEAST && expected < RARE {
                found.push(Run { first: (t, from), again: (s, at), length, expected });
                at += length;
            } else {
                // What begins further on in it is shorter, and no less likely.
                at += (length + 1).saturating_sub(LEAST).max(1);
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn series(values: &[i64]) -> Series {
        Series { values: values.to_vec(), begins: vec![true; values.len()] }
    }

    /// Readings that look like chance, from 100 to 199.
    fn readings(count: usize, mut state: u64) -> Vec<i64> {
        let mut next = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            100 + ((state >> 33) % 100) as i64
        };
        (0..count).map(|_| next()).collect()
    }

    #[test]
    fn a_run_that_was_copied_is_found_where_it_stands_again() {
        let (mut first, mut again) = (readings(60, 1), readings(60, 2));
        again.splice(20..35, first[5..20].to_vec());
        let found = runs(&[series(&first), series(&again)], 0.01);
        let at: Vec<_> = found.iter().map(|run| (run.first, run.again, run.length)).collect();
        assert_eq!(at, [((0, 5), (1, 20), 15)]);
        assert!(found[0].expected < 1e-20, "{}", found[0].expected);

        let copy = first.clone();
        first.extend(copy);
        let found = runs(&[series(&first)], 0.01);
        assert_eq!((found[0].first, found[0].again, found[0].length), ((0, 0), (0, 60), 60));
    }

    #[test]
    fn readings_that_repeat_by_themselves_are_no_copies() {
        assert!(runs(&[series(&[150; 5000])], 0.01).is_empty(), "all alike");
        let coarse: Vec<i64> = readings(2000, 3).iter().map(|value| value / 40).collect();
        assert!(runs(&[series(&coarse)], 0.01).is_empty(), "rounded to three values");
        let [one, other] = [readings(500, 4), readings(500, 5)];
        assert!(runs(&[series(&one), series(&other)], 0.01).is_empty(), "nothing alike");
    }

    #[test]
    fn readings_of_one_spot_count_by_their_steps() {
        let spots = |values: &[i64]| Series {
            values: values.iter().flat_map(|value| [*value, value + 1, *value]).collect(),
            begins: values.iter().flat_map(|_| [true, false, false]).collect(),
        };
        let values = readings(40, 6);
        let (any, step) = chances(&[spots(&values)], 0.01);
        assert!(any < 0.05 && (step - 0.5).abs() < 0.02, "{any} {step}");
    }
}
