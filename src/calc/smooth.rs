//! A table held against itself: each value beside the curve through its neighbours.

use super::formula::Formula;
use crate::units::Quantity;

/// How a value is told that does not lie on the curve of the others.
pub const SMOOTH: Formula = Formula {
    name: "curve through the neighbours",
    title: "A value of a table against the curve through its neighbours",
    says: "each value beside the cubic through the four nearest rows; a row is doubted where, without it, all rows near it \
           lie on such curves at least eight times as well as it does itself; the last digit written and the roughness of \
           the table itself are allowed for four times over",
    source: "Lagrange's interpolation; eight and four are our choice",
};

/// A value that does not lie on the curve of the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Misfit {
    /// The row, from 0.
    pub row: usize,
    pub found: f64,
    /// What the curve through its neighbours gives.
    pub smooth: f64,
}

/// The fewest rows of which one can be told from the rest: five to show that they are smooth, and two beside the
/// doubtful one, so that what it does to its neighbours is no matter.
pub const FEWEST_ROWS: usize = 8;
/// How many times better the others must fit without a row.
const BETTER: f64 = 8.0;
/// How many times over rounding and roughness are allowed for.
const MARGIN: f64 = 4.0;
/// So many rows at the most are looked at one by one: a table that is rough all along is none that this can judge.
const MOST_LOOKED_AT: usize = 20;

/// A value beside the cubic through the nearest four others.
#[derive(Debug, Clone, Copy)]
struct Beside {
    row: usize,
    smooth: f64,
    /// How far off it lies.
    off: f64,
    /// By how much errors of the five values can add up, in units of one of them.
    spread: f64,
}

impl Beside {
    /// How far off it lies, as the error of one value that would explain it.
    fn error(&self) -> f64 {
        self.off / self.spread
    }
}

/// The step of the last digit with which most of some numbers were written: a power of ten of a unit in which lengths,
/// masses and what a table makes of them are written, 1e-6 at the least. Whole long tons are steps of 1.016 t.
pub fn last_digit(values: &[f64]) -> f64 {
    const WRITTEN: [Quantity; 4] =
        [Quantity::Length, Quantity::Mass, Quantity::Immersion, Quantity::TrimMoment];
    let is_multiple = |value: f64, step: f64| {
        let steps = value / step;
        (steps - steps.round()).abs() <= 1e-4
    };
    let of_unit = |factor: f64| {
        (-6..=3).rev().map(|power| factor * 10_f64.powi(power)).find(|step| {
            let count = values.iter().filter(|value| is_multiple(**value, *step)).count();
            count * 5 >= values.len() * 4
        })
    };
    // The kept unit comes first; another counts where its step is plainly the greater.
    let factors = WRITTEN.into_iter().flat_map(Quantity::accepted).map(|unit| unit.factor);
    let steps = std::iter::once(1.0).chain(factors).filter_map(of_unit);
    let greater = |known: f64, step: f64| if step > known * 1.001 { step } else { known };
    steps.fold(1e-6, greater)
}

/// The rows whose values don't lie on the curve of the others by more than `least` of each, at places that grow
/// from row to row; the worst first. A bend or a step of the curve itself is none, nor is a rough table.
pub fn misfits(places: &[f64], values: &[f64], least: impl Fn(f64) -> f64) -> Vec<Misfit> {
    let count = places.len().min(values.len());
    if count < FEWEST_ROWS {
        return Vec::new();
    }
    let rounding = last_digit(values) / 2.0;
    let (mut dropped, mut left_alone): (Vec<usize>, Vec<usize>) = (Vec::new(), Vec::new());
    let mut found: Vec<Misfit> = Vec::new();
    for _ in 0..MOST_LOOKED_AT {
        let rows = beside(places, values, &dropped, 0..count);
        let is_open = |row: &&Beside| {
            !left_alone.contains(&row.row)
                && row.off > least(row.smooth)
                && row.error() > MARGIN * rounding
        };
        let worst = rows.iter().filter(is_open).max_by(|a, b| a.error().total_cmp(&b.error()));
        let Some(worst) = worst.map(|worst| worst.row) else { break };
        let near = worst.saturating_sub(2)..(worst + 3).min(count);
        let singles = near.clone().map(|row| vec![row]);
        let pairs = near.flat_map(|row| [vec![row, row + 1], vec![row, row + 2]]);
        let without = singles.chain(pairs.filter(|pair| pair.iter().all(|row| *row < count)));
        let wrong = without
            .filter(|rows| rows.iter().all(|row| !dropped.contains(row)))
            .filter_map(|rows| explained(places, values, &dropped, &rows, rounding))
            .find(|misfits| {
                misfits.iter().all(|one| (one.found - one.smooth).abs() > least(one.smooth))
            });
        match wrong {
            Some(misfits) if (dropped.len() + misfits.len()) * 4 <= count => {
                dropped.extend(misfits.iter().map(|misfit| misfit.row));
                found.extend(misfits);
            }
            _ => left_alone.push(worst),
        }
    }
    let off =
        |misfit: &Misfit| (misfit.found - misfit.smooth).abs() / least(misfit.smooth).max(1e-12);
    found.sort_by(|a, b| off(b).total_cmp(&off(a)));
    found
}

/// The values of some rows as misfits, if all rows near them are smooth without them.
fn explained(
    places: &[f64],
    values: &[f64],
    dropped: &[usize],
    wrong: &[usize],
    rounding: f64,
) -> Option<Vec<Misfit>> {
    let count = places.len().min(values.len());
    let mut without = dropped.to_vec();
    without.extend(wrong);
    let (first, last) = (wrong.iter().min()?, wrong.iter().max()?);
    let near = first.saturating_sub(5)..(last + 6).min(count);
    let (own, others): (Vec<Beside>, Vec<Beside>) = beside(places, values, &without, near)
        .into_iter()
        .filter(|row| !dropped.contains(&row.row))
        .partition(|row| wrong.contains(&row.row));
    let least = own.iter().map(Beside::error).min_by(f64::total_cmp)?;
    let greatest = others.iter().map(Beside::error).max_by(f64::total_cmp)?;
    let all = beside(places, values, &without, 0..count);
    let mut errors: Vec<f64> =
        (all.iter().filter(|row| !without.contains(&row.row))).map(Beside::error).collect();
    errors.sort_by(f64::total_cmp);
    let usual = errors.get(errors.len() / 2).copied()?;
    let noise = rounding.max(3.0 * usual);
    (least > MARGIN * noise && least >= BETTER * greatest).then(|| {
        own.iter()
            .map(|row| Misfit { row: row.row, found: values[row.row], smooth: row.smooth })
            .collect()
    })
}

/// Rows beside the cubics through their nearest neighbours, without those that were dropped.
fn beside(
    places: &[f64],
    values: &[f64],
    dropped: &[usize],
    rows: std::ops::Range<usize>,
) -> Vec<Beside> {
    let count = places.len().min(values.len());
    let kept = |row: &usize| !dropped.contains(row);
    rows.filter_map(|row| {
        let before: Vec<usize> = (0..row).rev().filter(kept).take(4).collect();
        let after: Vec<usize> = (row + 1..count).filter(kept).take(4).collect();
        let from_before = 2.max(4_usize.saturating_sub(after.len())).min(before.len());
        let nearest: Vec<usize> = before
            .into_iter()
            .take(from_before)
            .chain(after.into_iter().take(4 - from_before))
            .collect();
        let x = places[row];
        let weight = |n: &usize| -> f64 {
            let others = nearest.iter().filter(|other| *other != n);
            others.map(|other| (x - places[*other]) / (places[*n] - places[*other])).product()
        };
        let weights: Vec<f64> = nearest.iter().map(weight).collect();
        let smooth =
            weights.iter().zip(&nearest).map(|(weight, n)| weight * values[*n]).sum::<f64>();
        let spread = 1.0 + weights.iter().map(|weight| weight.abs()).sum::<f64>();
        let off = (values[row] - smooth).abs();
        (nearest.len() == 4 && off.is_finite() && spread.is_finite()).then_some(Beside {
            row,
            smooth,
            off,
            spread,
        })
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(count: usize) -> Vec<f64> {
        (0..count).map(|n| 2.0 + n as f64 * 0.1).collect()
    }

    fn rounded(value: f64, step: f64) -> f64 {
        (value / step).round() * step
    }

    /// KM of a wall-sided vessel: half the draft, and a second moment over the volume.
    fn km(draft: f64) -> f64 {
        draft / 2.0 + 15.0 / draft
    }

    fn rows(values: &[f64], least: f64) -> Vec<usize> {
        let found = misfits(&places(values.len()), values, |_| least);
        found.iter().map(|misfit| misfit.row).collect()
    }

    #[test]
    fn the_last_digit_is_that_of_most_values() {
        assert_eq!(last_digit(&[1652.6, 1740.5, 1829.4, 1919.0, 2010.3]), 0.1);
        assert_eq!(last_digit(&[1650.0, 1740.0, 1830.0, 1900.0]), 10.0);
        assert_eq!(last_digit(&[0.258, 0.238, 0.216, 0.19, 0.2]), 0.001);
        // Whole long tons, and tenths of a foot; the factors after NIST SP 811.
        let long_tons = [170.0, 193.0, 217.0, 242.0, 267.0].map(|lt| lt * 1.016_046_908_8);
        assert!((last_digit(&long_tons) - 1.016_046_908_8).abs() < 1e-9);
        let feet = [11.1, 11.2, 11.4, 10.8, 10.6].map(|ft| ft * 0.3048);
        assert!((last_digit(&feet) - 0.03048).abs() < 1e-9);
    }

    #[test]
    fn one_row_off_is_found_wherever_it_stands_and_its_neighbours_are_not() {
        for step in [0.001, 0.01] {
            let smooth: Vec<f64> = places(30).into_iter().map(|x| rounded(km(x), step)).collect();
            assert!(rows(&smooth, 0.02).is_empty());
            for row in 0..30 {
                for by in [1.0, -0.5, 0.3] {
                    let mut values = smooth.clone();
                    values[row] += by;
                    let found = rows(&values, 0.02);
                    let is_seen = found == [row];
                    // At the ends the curve goes beyond its rows, and rounding weighs more.
                    let may_hide = (row == 0 || row == 29) && step > 0.005;
                    assert!(
                        is_seen || may_hide && found.is_empty(),
                        "{step} {row} {by}: {found:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn two_values_that_changed_places_are_both_found() {
        let mut values: Vec<f64> = places(30).into_iter().map(|x| rounded(km(x), 0.001)).collect();
        values.swap(4, 5);
        let mut found = rows(&values, 0.02);
        found.sort_unstable();
        assert_eq!(found, [4, 5]);
        values.swap(4, 5);
        values[8] += 1.0;
        values[20] -= 1.0;
        let mut found = rows(&values, 0.02);
        found.sort_unstable();
        assert_eq!(found, [8, 20]);
    }

    /// Where a transom meets the water the curve bends or steps; a table drawn by hand is rough.
    #[test]
    fn bends_steps_and_roughness_are_no_misfits() {
        let bend: Vec<f64> =
            places(30).into_iter().map(|x| 8.0 * x + 3.0 * (x - 3.0).max(0.0)).collect();
        assert!(rows(&bend, 0.001).is_empty());
        let step: Vec<f64> = places(30)
            .into_iter()
            .map(|x| if x > 3.05 { 11.0 + x / 9.0 } else { 9.0 + x / 9.0 })
            .collect();
        assert!(rows(&step, 0.001).is_empty());
        let mut state = 7_u64;
        let mut chance = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 40) as f64 / (1_u64 << 24) as f64 - 0.5
        };
        for _ in 0..2000 {
            let rough: Vec<f64> = places(30).into_iter().map(|x| km(x) + 0.03 * chance()).collect();
            assert!(rows(&rough, 0.03).is_empty());
        }
        // At rows a metre apart the curve itself is no cubic.
        let coarse: Vec<f64> = (1..=12).map(|n| km(f64::from(n))).collect();
        let drafts: Vec<f64> = (1..=12).map(f64::from).collect();
        assert!(misfits(&drafts, &coarse, |_| 0.02).is_empty());
        assert!(misfits(&drafts[..5], &coarse, |_| 0.0).is_empty());
    }
}
