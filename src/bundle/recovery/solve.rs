//! Solving for missing slices: with which coefficients each of them is a sum of the slices that are there and
//! of recovery slices.
//!
//! The recovery slice of exponent e is the sum of c^e times the slice, over all slices and their constants c.
//! With as many recovery slices as slices are missing, whose exponents follow each other from e0 on, that is
//! a transposed Vandermonde system, and its inverse can be written down: with the polynomial P that is 0 at the
//! constants of the missing slices, and L = P / ((z - c) P'(c)), which is 1 at one of them, c, and 0 at the
//! others, the coefficient of the recovery slice e0 + i for that missing slice is c^-e0 times the coefficient of
//! z^i in L, and that of a slice that is there, of constant d, is (d / c)^e0 times L(d). (Lagrange's
//! interpolation, in any field; sums and differences are the same in this one.)
//!
//! Where h exponents between the first and the last are lost, L may have a multiple q P of P added to it, q of a
//! degree below h, so that its terms at the gaps vanish: h equations for every missing slice, all with the same
//! matrix. All that takes n (n + p) (h + 3) products or so for n missing slices and p that are there, where
//! elimination takes 2 n^3 + n^2 p.

use rayon::prelude::*;

use super::field;

/// Coefficients that may be held at most: missing slices times all slices, two bytes each.
pub const MOST_COEFFICIENTS: usize = 1 << 25;

/// Products that solving may take at most: some minutes of two cores.
pub const MOST_PRODUCTS: u64 = 1 << 38;

/// Stretches of exponents that are tried at most, before elimination among all of them.
const MOST_TRIED: usize = 8;

/// Which recovery slices are used, and what counts how much.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solution {
    /// The exponents of the recovery slices that are used, as many as slices are missing.
    pub exponents: Vec<u32>,
    /// For each missing slice the coefficients of the slices that are there and, after them, of the recovery
    /// slices.
    pub coefficients: Vec<Vec<u16>>,
}

/// Why there is no solution.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unsolved {
    /// It would take this many products in the field, more than [`MOST_PRODUCTS`].
    TooMuch(u64),
    /// No choice among the recovery slices that there are determines the missing ones.
    Undetermined,
}

/// Exponents that are used, as many as slices are missing: where they begin among those that there are, and how
/// many between the first and the last are lacking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Stretch {
    from: usize,
    gaps: usize,
}

/// Every choice of neighbours among the exponents, those with the fewest gaps first.
fn stretches(missing: usize, exponents: &[u32]) -> Vec<Stretch> {
    let spans = exponents.windows(missing.max(1)).enumerate();
    let gaps = |used: &[u32]| (used[used.len() - 1] - used[0]) as usize + 1 - used.len();
    let mut all: Vec<Stretch> =
        spans.map(|(from, used)| Stretch { from, gaps: gaps(used) }).collect();
    all.sort_by_key(|stretch| (stretch.gaps, stretch.from));
    all
}

/// Products that interpolation takes, about.
fn by_interpolation(missing: usize, present: usize, gaps: usize) -> u64 {
    let [n, p, h] = [missing, present, gaps].map(|count| count as u64);
    let of_each = (n + p).saturating_mul(h + 3).saturating_add(h * h);
    n.saturating_mul(of_each).saturating_add((2 * h * h).saturating_mul(h))
}

/// Products that elimination takes, about.
fn by_elimination(missing: usize, present: usize) -> u64 {
    let [n, p] = [missing, present].map(|count| count as u64);
    (n * n).saturating_mul(2 * n + p)
}

/// How many products in the field solving takes, about: before it is begun.
pub fn products(missing: usize, present: usize, exponents: &[u32]) -> u64 {
    let gaps = stretches(missing, exponents).first().map_or(0, |stretch| stretch.gaps);
    by_interpolation(missing, present, gaps).min(by_elimination(missing, present))
}

/// Solves for the missing slices, given their constants, those of the slices that are there, and the exponents
/// of the recovery slices that there are, in ascending order and none twice.
pub fn solve(missing: &[u16], present: &[u16], exponents: &[u32]) -> Result<Solution, Unsolved> {
    let most = products(missing.len(), present.len(), exponents);
    if most > MOST_PRODUCTS {
        return Err(Unsolved::TooMuch(most));
    }
    let elimination = by_elimination(missing.len(), present.len());
    for stretch in stretches(missing.len(), exponents).into_iter().take(MOST_TRIED) {
        let used = &exponents[stretch.from..][..missing.len()];
        if by_interpolation(missing.len(), present.len(), stretch.gaps) > elimination {
            break;
        }
        if let Some(coefficients) = interpolated(missing, present, used) {
            return Ok(Solution { exponents: used.to_vec(), coefficients });
        }
    }
    if elimination > MOST_PRODUCTS {
        return Err(Unsolved::TooMuch(elimination));
    }
    eliminated(missing, present, exponents).ok_or(Unsolved::Undetermined)
}

/// The coefficients by interpolation. Without gaps there always are some; with gaps not every choice of
/// exponents determines the missing slices, and then it is `None`.
fn interpolated(missing: &[u16], present: &[u16], used: &[u32]) -> Option<Vec<Vec<u16>>> {
    let (Some(first), Some(last)) = (used.first(), used.last()) else { return Some(Vec::new()) };
    let places: Vec<usize> = used.iter().map(|exponent| (exponent - first) as usize).collect();
    let length = (last - first) as usize + 1;
    let gaps = lacking(&places, length);
    let zero_at = with_zeros(missing);
    let of_multiples = |gap: &usize| -> Vec<u16> {
        let term = |degree: usize| gap.checked_sub(degree).and_then(|at| zero_at.get(at));
        (0..gaps.len()).map(|degree| term(degree).copied().unwrap_or(0)).collect()
    };
    let (_, multiples) = inverse_of(gaps.len(), gaps.iter().map(of_multiples))?;

    // Of the slices that are there: the value of P, the shift by e0, and powers for the values of q.
    let values: Vec<u16> = present.iter().map(|d| value(&zero_at, *d)).collect();
    let shifts: Vec<u16> = present.iter().map(|d| field::power(*d, *first)).collect();
    let mut powers: Vec<Vec<u16>> = Vec::with_capacity(gaps.len());
    for degree in 0..gaps.len() {
        let next = match degree.checked_sub(1).and_then(|before| powers.get(before)) {
            None => vec![1; present.len()],
            Some(before) => {
                before.iter().zip(present).map(|(a, d)| field::product(*a, *d)).collect()
            }
        };
        powers.push(next);
    }

    let of_one = |constant: &u16| -> Option<Vec<u16>> {
        let mut polynomial = without_zero(&zero_at, *constant);
        let at_constant =
            field::product(value(&polynomial, *constant), field::power(*constant, *first));
        let scale = field::inverse(at_constant)?;
        polynomial.resize(length, 0);
        let at_gaps: Vec<u16> = gaps.iter().map(|gap| polynomial[*gap]).collect();
        let mut multiple = vec![0; gaps.len()];
        for (q, row) in multiple.iter_mut().zip(&multiples) {
            *q = row.iter().zip(&at_gaps).fold(0, |sum, (a, b)| sum ^ field::product(*a, *b));
        }
        let mut of_present = vec![0; present.len()];
        for (degree, q) in multiple.iter().enumerate() {
            field::add_scaled(&mut polynomial[degree..][..zero_at.len()], &zero_at, *q);
            field::add_scaled(&mut of_present, &powers[degree], *q);
        }
        for (number, of_one) in of_present.iter_mut().enumerate() {
            let apart = field::inverse(present[number] ^ constant)? ^ *of_one;
            *of_one = field::product(field::product(apart, values[number]), shifts[number]);
        }
        let of_recovery = places.iter().map(|place| polynomial[*place]);
        let row = of_present.into_iter().chain(of_recovery);
        Some(row.map(|element| field::product(element, scale)).collect())
    };
    missing.par_iter().map(of_one).collect()
}

/// The numbers below a length that are not among some in ascending order.
fn lacking(places: &[usize], length: usize) -> Vec<usize> {
    let mut there = vec![false; length];
    places.iter().for_each(|place| there[*place] = true);
    (0..length).filter(|place| !there[*place]).collect()
}

/// The coefficients, the constant term first, of the polynomial with some zeros and the highest term 1.
fn with_zeros(zeros: &[u16]) -> Vec<u16> {
    let mut polynomial = vec![1];
    for zero in zeros {
        // Times z, plus the zero times what it was.
        let before = polynomial.clone();
        polynomial.insert(0, 0);
        field::add_scaled(&mut polynomial[..before.len()], &before, *zero);
    }
    polynomial
}

/// A polynomial divided by (z - zero), where it is 0.
fn without_zero(polynomial: &[u16], zero: u16) -> Vec<u16> {
    let mut quotient = polynomial.to_vec();
    let mut above = 0;
    for element in quotient.iter_mut().rev() {
        let here = *element ^ field::product(above, zero);
        *element = above;
        above = here;
    }
    quotient.pop();
    quotient
}

/// The value of a polynomial at a point.
fn value(polynomial: &[u16], at: u16) -> u16 {
    polynomial.iter().rev().fold(0, |sum, element| field::product(sum, at) ^ element)
}

/// The coefficients by elimination, among all exponents that there are.
fn eliminated(missing: &[u16], present: &[u16], exponents: &[u32]) -> Option<Solution> {
    let row_of = |constants: &[u16], exponent: u32| -> Vec<u16> {
        constants.iter().map(|c| field::power(*c, exponent)).collect()
    };
    let rows = exponents.iter().map(|exponent| row_of(missing, *exponent));
    let (used, inverse) = inverse_of(missing.len(), rows)?;
    let exponents: Vec<u32> = used.iter().map(|row| exponents[*row]).collect();
    let powers: Vec<Vec<u16>> =
        exponents.iter().map(|exponent| row_of(present, *exponent)).collect();
    let of_one = |of_recovery: Vec<u16>| {
        let mut row = vec![0; present.len()];
        for (powers, factor) in powers.iter().zip(&of_recovery) {
            field::add_scaled(&mut row, powers, *factor);
        }
        row.extend(of_recovery);
        row
    };
    Some(Solution { exponents, coefficients: inverse.into_par_iter().map(of_one).collect() })
}

/// Gauss-Jordan elimination: of some rows of `count` elements the numbers of those that are used, and the inverse
/// of the matrix that they make. Rows that add nothing are passed over; `None` if the others are too few.
fn inverse_of(
    count: usize,
    rows: impl Iterator<Item = Vec<u16>>,
) -> Option<(Vec<usize>, Vec<Vec<u16>>)> {
    // Each: its pivot, what is left of the row, and the rows that it was made of.
    let mut done: Vec<(usize, Vec<u16>, Vec<u16>)> = Vec::with_capacity(count);
    let mut used = Vec::with_capacity(count);
    for (number, mut row) in rows.enumerate() {
        if done.len() == count {
            break;
        }
        let mut made_of = vec![0; count];
        made_of[done.len()] = 1;
        for (pivot, other, other_made_of) in &done {
            let factor = row[*pivot];
            field::add_scaled(&mut row, other, factor);
            field::add_scaled(&mut made_of, other_made_of, factor);
        }
        let Some(pivot) = row.iter().position(|element| *element != 0) else { continue };
        let inverse = field::inverse(row[pivot])?;
        for element in row.iter_mut().chain(&mut made_of) {
            *element = field::product(*element, inverse);
        }
        done.par_iter_mut().for_each(|(_, other, other_made_of)| {
            let factor = other[pivot];
            field::add_scaled(other, &row, factor);
            field::add_scaled(other_made_of, &made_of, factor);
        });
        done.push((pivot, row, made_of));
        used.push(number);
    }
    if done.len() < count {
        return None;
    }
    done.sort_by_key(|(pivot, _, _)| *pivot);
    Some((used, done.into_iter().map(|(_, _, made_of)| made_of).collect()))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The slices that are missing and those that are there, by their constants.
    fn parted(slices: usize, is_missing: impl Fn(usize) -> bool) -> (Vec<u16>, Vec<u16>) {
        let constants = field::constants(slices).into_iter().enumerate();
        let (missing, present): (Vec<_>, Vec<_>) =
            constants.partition(|(number, _)| is_missing(*number));
        let only = |parts: Vec<(usize, u16)>| parts.into_iter().map(|(_, c)| c).collect();
        (only(missing), only(present))
    }

    /// By the definition of recovery slices: made of slices of one word by chance, they and the slices that are
    /// there give the missing ones back.
    fn gives_back(missing: &[u16], present: &[u16], solution: &Solution) -> bool {
        let word = |c: &u16| c.wrapping_mul(40_503) ^ 0x5A5A;
        let known = present.iter().map(word);
        let recovery = solution.exponents.iter().map(|e| {
            let share = |c: &u16| field::product(field::power(*c, *e), word(c));
            missing.iter().chain(present).fold(0, |sum, c| sum ^ share(c))
        });
        let inputs: Vec<u16> = known.chain(recovery).collect();
        missing.iter().zip(&solution.coefficients).all(|(c, row)| {
            let products = row.iter().zip(&inputs).map(|(a, b)| field::product(*a, *b));
            row.len() == inputs.len() && products.fold(0, |sum, one| sum ^ one) == word(c)
        })
    }

    proptest! {
        /// Whatever is missing and whichever recovery slices are left: what interpolation gives is what
        /// elimination gives with the same exponents, and both give the missing words back.
        #[test]
        fn interpolation_gives_what_elimination_gives(
            gone in prop::collection::vec(any::<bool>(), 1..60),
            begin in 0_u32..65_000,
            steps in prop::collection::vec(prop_oneof![8 => Just(1_u32), 1 => 2_u32..5], 60),
        ) {
            let (missing, present) = parted(gone.len(), |number| gone[number]);
            let exponents: Vec<u32> = steps
                .iter()
                .scan(begin, |at, step| Some(std::mem::replace(at, *at + step)))
                .take(missing.len())
                .collect();
            let both = (
                interpolated(&missing, &present, &exponents),
                eliminated(&missing, &present, &exponents),
            );
            match both {
                (Some(coefficients), Some(solution)) => {
                    prop_assert_eq!(&solution.exponents, &exponents);
                    prop_assert!(gives_back(&missing, &present, &solution));
                    prop_assert_eq!(coefficients, solution.coefficients);
                }
                (None, None) => {}
                (one, other) => {
                    prop_assert!(false, "{} and {}", one.is_some(), other.is_some());
                }
            }
        }
    }

    #[test]
    fn neighbours_without_gaps_are_chosen_where_there_are_some() {
        let (missing, present) = parted(40, |number| number % 5 == 2);
        let exponents: Vec<u32> = (0..60).filter(|e| *e % 7 != 3 || (20..30).contains(e)).collect();
        let solution = solve(&missing, &present, &exponents).expect("a solution");
        assert_eq!(solution.exponents, (18..26).collect::<Vec<u32>>());
        assert!(gives_back(&missing, &present, &solution));
    }

    /// Exponents of which no choice of neighbours determines what is missing, though others do: two constants to
    /// the power 0 and 21845 (a third of the order) may differ by a factor that is the same.
    #[test]
    fn what_neighbours_do_not_determine_others_may() {
        let third = 65_535 / 3;
        let constants = field::constants(4);
        let alike = |c: &&u16| field::power(**c, third) == field::power(constants[0], third);
        let missing: Vec<u16> = constants.iter().filter(alike).copied().take(2).collect();
        assert_eq!(missing.len(), 2, "{constants:?}");
        assert_eq!(solve(&missing, &[], &[0, third]), Err(Unsolved::Undetermined));
        let solution = solve(&missing, &[], &[0, third, third + 1]).expect("a solution");
        assert!(gives_back(&missing, &[], &solution));
        assert_eq!(solve(&missing, &[], &[0]), Err(Unsolved::Undetermined));
        assert_eq!(solve(&[], &constants, &[]).map(|s| s.coefficients.len()), Ok(0));
    }

    /// Products counted as they are taken, on one thread.
    fn counted(work: impl FnOnce() -> Option<usize> + Send) -> u64 {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a thread");
        pool.install(|| {
            let before = field::counted::so_far();
            work().expect("a solution");
            field::counted::so_far() - before
        })
    }

    /// Half of all slices missing, in one run of exponents: twice as many take four times the work. The same by
    /// elimination would take eight times.
    #[test]
    fn work_grows_as_the_square_of_what_is_missing() {
        let solving = |missing: usize, lost: u32| {
            let (gone, present) = parted(2 * missing, |number| number % 2 == 0);
            let all = missing as u32 + lost;
            let is_left = |e: &u32| (1..=lost).all(|part| *e != part * all / (lost + 1));
            let exponents: Vec<u32> = (0..all).filter(is_left).collect();
            let work = counted(|| Some(solve(&gone, &present, &exponents).ok()?.exponents.len()));
            let said = products(missing, missing, &exponents);
            assert!(work <= 2 * said && said <= 2 * work, "{work}, and {said} were expected");
            work
        };
        for lost in [0, 4] {
            let work = [256, 512, 1024].map(|missing| solving(missing, lost));
            println!("{work:?} products");
            assert!(work.is_sorted_by(|a, b| *b as f64 <= 4.5 * *a as f64), "{work:?}");
        }
        let eliminating = |missing: usize| {
            let (gone, present) = parted(2 * missing, |number| number % 2 == 0);
            let exponents: Vec<u32> = (0..missing as u32).collect();
            counted(|| Some(eliminated(&gone, &present, &exponents)?.exponents.len()))
        };
        let (a, b) = (eliminating(64), eliminating(128));
        assert!(b > 7 * a && by_elimination(128, 128) < 2 * b, "{a} and {b}");
    }

    #[test]
    fn too_much_work_is_refused_before_it_is_begun() {
        let exponents: Vec<u32> = (0..30_000).map(|e| 2 * e).collect();
        let (missing, present) = parted(20_000, |number| number % 2 == 0);
        let refused = solve(&missing, &present, &exponents);
        assert!(matches!(refused, Err(Unsolved::TooMuch(work)) if work > MOST_PRODUCTS));
    }
}
