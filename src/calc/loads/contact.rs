//! The balance of springs that only push.
//!
//! The energy 1/2 u K u - f u + sum of 1/2 k max(0, c)^2 is convex and its slope is piecewise linear in
//! u. Newton steps, each with an exact search along it, therefore come down steadily and end on the
//! bearing set itself. K is a sum of terms too, and the unknowns carry twice the usual digits, so that
//! forces come from small deformations of long chains of stiff elements without losing theirs.
//!
//! The solver is the sparse Cholesky factor of nalgebra-sparse: it keeps the order of the unknowns (a
//! beam numbered along its length fills nothing in), and it computes alike on every machine, which a
//! solver that picks its kernels by the processor does not.

use nalgebra::{DMatrix, DVector};
use nalgebra_sparse::factorization::CscCholesky;
use nalgebra_sparse::{CooMatrix, CscMatrix};

use super::error::LoadsError;

/// Newton steps before giving up; a few dozen are the most that were ever seen.
const MOST_STEPS: usize = 500;
/// Forces this small, as part of the forces applied, are in balance.
const IN_BALANCE: f64 = 1e-12;
/// Where rounding allows no better, forces this small must do.
const ROUNDED_BALANCE: f64 = 1e-7;
/// Stiffness added in every step, as part of the springs' own, so that a movement which nothing
/// resists at the moment has a step of finite length. It slows the steps and moves no result.
const HOLD: f64 = 1e-9;
/// A slope this small, as part of the slope at the start, is level.
const LEVEL: f64 = 1e-12;
/// A curvature this small, as part of the largest on the way, is none.
const NO_CURVATURE: f64 = 1e-13;

/// A term 1/2 stiffness c^2 of the energy, c = row . u - gap.
#[derive(Debug, Clone)]
pub struct Term {
    /// (unknown, coefficient).
    pub row: Vec<(usize, f64)>,
    /// Its stiffness, above 0.
    pub stiffness: f64,
    pub gap: f64,
}

impl Term {
    fn along(&self, u: &[f64]) -> f64 {
        self.row.iter().map(|(unknown, coefficient)| coefficient * u[*unknown]).sum()
    }

    /// c, to the last digit although its parts nearly cancel.
    fn compression(&self, u: &Unknowns) -> f64 {
        let (mut sum, mut rest) = (-self.gap, 0.0);
        for (unknown, coefficient) in &self.row {
            let (high, low) = u.0[*unknown];
            let product = coefficient * high;
            let (next, lost) = two_sum(sum, product);
            rest += lost + libm::fma(*coefficient, high, -product) + coefficient * low;
            sum = next;
        }
        sum + rest
    }
}

/// Unknowns with twice the usual digits: each the sum of a number and what it is short of.
struct Unknowns(Vec<(f64, f64)>);

impl Unknowns {
    fn add(&mut self, far: f64, p: &[f64]) {
        for ((high, low), p) in self.0.iter_mut().zip(p) {
            let (sum, lost) = two_sum(*high, far * p);
            (*high, *low) = two_sum(sum, *low + lost);
        }
    }
}

/// A sum, and what rounding took from it (Knuth).
fn two_sum(a: f64, b: f64) -> (f64, f64) {
    let sum = a + b;
    let of_b = sum - a;
    (sum, (a - (sum - of_b)) + (b - of_b))
}

/// What is to be brought into balance. Every unknown that a row names is below `forces.len()`.
#[derive(Debug, Clone)]
pub struct Problem {
    /// Forces on the unknowns.
    pub forces: Vec<f64>,
    /// Terms that act both ways: K.
    pub both_ways: Vec<Term>,
    /// Springs that only push: they count while c is above 0.
    pub push_only: Vec<Term>,
}

/// The balance found.
#[derive(Debug, Clone)]
pub struct Settled {
    pub unknowns: Vec<f64>,
    /// c of every spring that only pushes: its compression, or less its remaining gap.
    pub compressions: Vec<f64>,
    /// Newton steps taken.
    pub iterations: usize,
}

/// Finds the balance. An error where there is none, or where rounding hides it; never NaN. An unknown
/// that nothing resists in the end is 0, unless that would close a gap.
pub fn settle(problem: &Problem) -> Result<Settled, LoadsError> {
    let mut search = Search { problem, hold: hold(problem), factor: None, iterations: 0 };
    // First every spring acts both ways: a ship above all of her blocks would not know where to go.
    let mut u = Unknowns(vec![(0.0, 0.0); problem.forces.len()]);
    let c = compressions(problem, &u);
    let all = vec![true; c.len()];
    let p = search.step(&all, &slope(problem, &u, &c, &all))?;
    u.add(1.0, &p);
    search.descend(&mut u)?;
    if free_to_nought(problem, &mut u) {
        search.descend(&mut u)?;
    }
    let compressions = compressions(problem, &u);
    let unknowns = u.0.iter().map(|(high, low)| high + low).collect();
    Ok(Settled { unknowns, compressions, iterations: search.iterations })
}

/// The way down.
struct Search<'a> {
    problem: &'a Problem,
    hold: Vec<f64>,
    factor: Option<CscCholesky<f64>>,
    iterations: usize,
}

impl Search<'_> {
    /// Comes down from `u` until the forces balance.
    fn descend(&mut self, u: &mut Unknowns) -> Result<(), LoadsError> {
        let mut before: Option<(Vec<bool>, f64)> = None;
        while self.iterations < MOST_STEPS {
            let c = compressions(self.problem, u);
            let bears: Vec<bool> = c.iter().map(|c| *c > 0.0).collect();
            let slope = slope(self.problem, u, &c, &bears);
            let out = size(&slope, &self.hold) / size(&self.problem.forces, &self.hold);
            let stuck = before.is_some_and(|(was, was_out)| was == bears && out > was_out / 2.0);
            if out <= IN_BALANCE || (stuck && out <= ROUNDED_BALANCE) {
                return Ok(());
            }
            let p = self.step(&bears, &slope)?;
            match how_far(self.problem, &c, &p, dot(&slope, &p)) {
                Some(far) => u.add(far, &p),
                None if out <= ROUNDED_BALANCE => return Ok(()),
                None => return Err(LoadsError::NotSettled),
            }
            before = Some((bears, out));
        }
        Err(LoadsError::NotSettled)
    }

    /// The Newton step down a slope with the given springs bearing.
    fn step(&mut self, bears: &[bool], slope: &[f64]) -> Result<Vec<f64>, LoadsError> {
        self.iterations += 1;
        let matrix = stiffness(self.problem, bears, &self.hold);
        let factored = match self.factor.take() {
            Some(mut factor) => factor.refactor(matrix.values()).map(|()| factor),
            None => CscCholesky::factor(&matrix),
        };
        let factor = factored.map_err(|_| LoadsError::NotSettled)?;
        let up: DMatrix<f64> = factor.solve(&DVector::from_column_slice(slope));
        self.factor = Some(factor);
        Ok(up.iter().map(|up| -up).collect())
    }
}

/// Sets to 0 what no bearing spring and no other term resists; whether anything changed.
fn free_to_nought(problem: &Problem, u: &mut Unknowns) -> bool {
    let mut resisted = vec![false; u.0.len()];
    let bearing = problem.push_only.iter().filter(|term| term.compression(u) > 0.0);
    for (unknown, coefficient) in problem.both_ways.iter().chain(bearing).flat_map(|term| &term.row)
    {
        resisted[*unknown] |= *coefficient != 0.0;
    }
    let mut changed = false;
    for (u, _) in u.0.iter_mut().zip(resisted).filter(|(_, resisted)| !resisted) {
        changed |= u.0 != 0.0;
        *u = (0.0, 0.0);
    }
    changed
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Size of forces of unlike kinds, each measured by the stiffness of the springs against it.
fn size(forces: &[f64], hold: &[f64]) -> f64 {
    libm::sqrt(forces.iter().zip(hold).map(|(force, hold)| force * force / hold).sum())
}

fn compressions(problem: &Problem, u: &Unknowns) -> Vec<f64> {
    problem.push_only.iter().map(|term| term.compression(u)).collect()
}

/// The stiffness of all springs against each unknown alone; their mean where there is none, and at
/// least a thousandth of it, since a spring beside a node hardly feels that node's turn.
fn hold(problem: &Problem) -> Vec<f64> {
    let mut hold = vec![0.0_f64; problem.forces.len()];
    for term in &problem.push_only {
        for (unknown, coefficient) in &term.row {
            hold[*unknown] += term.stiffness * coefficient * coefficient;
        }
    }
    let felt = hold.iter().filter(|hold| **hold > 0.0).count();
    let mean = hold.iter().sum::<f64>() / felt.max(1) as f64;
    hold.iter().map(|hold| if *hold > 0.0 { hold.max(mean / 1000.0) } else { mean }).collect()
}

/// Slope of the energy: the forces out of balance.
fn slope(problem: &Problem, u: &Unknowns, c: &[f64], bears: &[bool]) -> Vec<f64> {
    let mut slope: Vec<f64> = problem.forces.iter().map(|force| -force).collect();
    let mut push = |term: &Term, c: f64| {
        for (unknown, coefficient) in &term.row {
            slope[*unknown] += term.stiffness * c * coefficient;
        }
    };
    for term in &problem.both_ways {
        push(term, term.compression(u));
    }
    for ((term, c), _) in problem.push_only.iter().zip(c).zip(bears).filter(|(_, bears)| **bears) {
        push(term, *c);
    }
    slope
}

/// The stiffness matrix with the given springs bearing. Springs that do not bear keep their places
/// with value 0, so that the pattern is always the same.
fn stiffness(problem: &Problem, bears: &[bool], hold: &[f64]) -> CscMatrix<f64> {
    let mut matrix = CooMatrix::new(hold.len(), hold.len());
    let mut push = |term: &Term, stiffness: f64| {
        for (i, a) in &term.row {
            for (j, b) in &term.row {
                matrix.push(*i, *j, stiffness * a * b);
            }
        }
    };
    for term in &problem.both_ways {
        push(term, term.stiffness);
    }
    for (term, bears) in problem.push_only.iter().zip(bears) {
        push(term, if *bears { term.stiffness } else { 0.0 });
    }
    for (unknown, hold) in hold.iter().enumerate() {
        matrix.push(unknown, unknown, HOLD * hold);
    }
    CscMatrix::from(&matrix)
}

/// How far along `p` the energy is least: its slope along `p` is a rising line with a kink wherever a
/// spring begins or ceases to bear. `None` where it never stops falling, or does not fall.
fn how_far(problem: &Problem, c: &[f64], p: &[f64], downhill: f64) -> Option<f64> {
    let mut slope = downhill;
    let mut curvature: f64 = problem
        .both_ways
        .iter()
        .map(|term| {
            let along = term.along(p);
            term.stiffness * along * along
        })
        .sum();
    let mut kinks = Vec::new();
    for (term, c) in problem.push_only.iter().zip(c) {
        let along = term.along(p);
        let change = term.stiffness * along * along;
        let begins = *c < 0.0 && along > 0.0;
        let ceases = *c > 0.0 && along < 0.0;
        if *c > 0.0 || (*c == 0.0 && along > 0.0) {
            curvature += change;
        }
        if begins || ceases {
            kinks.push((-c / along, if begins { change } else { -change }));
        }
    }
    if !(slope < 0.0 && curvature.is_finite()) {
        return None;
    }
    kinks.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut at, mut largest) = (0.0, curvature);
    for (next, change) in kinks {
        let there = slope + curvature * (next - at);
        if there >= 0.0 {
            break;
        }
        if there >= LEVEL * downhill {
            return Some(next);
        }
        (at, slope) = (next, there);
        curvature = (curvature + change).max(0.0);
        largest = largest.max(curvature);
    }
    (curvature > NO_CURVATURE * largest).then(|| at - slope / curvature).filter(|t| t.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spring(coefficients: &[f64], stiffness: f64, gap: f64) -> Term {
        Term { row: coefficients.iter().copied().enumerate().collect(), stiffness, gap }
    }

    /// A short run of numbers that look random, the same every time.
    struct Numbers(u64);

    impl Numbers {
        fn between(&mut self, least: f64, most: f64) -> f64 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            least + (most - least) * ((self.0 >> 11) as f64 / (1u64 << 53) as f64)
        }
    }

    /// The bearing set by trying all of them, with dense matrices.
    fn by_trying(problem: &Problem) -> Vec<Vec<f64>> {
        let n = problem.forces.len();
        let count = problem.push_only.len();
        let mut found = Vec::new();
        for set in 0..1_u32 << count {
            let mut k = DMatrix::zeros(n, n);
            let mut f = DVector::from_vec(problem.forces.clone());
            let bearing = |i: usize| set >> i & 1 == 1;
            let bears = problem.push_only.iter().enumerate().filter(|(i, _)| bearing(*i));
            for term in problem.both_ways.iter().chain(bears.map(|(_, term)| term)) {
                for (i, a) in &term.row {
                    f[*i] += term.stiffness * term.gap * a;
                    for (j, b) in &term.row {
                        k[(*i, *j)] += term.stiffness * a * b;
                    }
                }
            }
            let Some(u) = k.cholesky().map(|k| k.solve(&f)) else { continue };
            let c: Vec<f64> =
                problem.push_only.iter().map(|term| term.along(u.as_slice()) - term.gap).collect();
            if c.iter().enumerate().all(|(i, c)| if bearing(i) { *c > -1e-9 } else { *c < 1e-9 }) {
                found.push(c);
            }
        }
        found
    }

    #[test]
    fn agrees_with_trying_every_set() {
        let mut numbers = Numbers(7);
        let mut lifted = 0;
        for _ in 0..300 {
            let count = 3 + (numbers.between(0.0, 6.0) as usize);
            let mut side = || -> Vec<Term> {
                (0..count)
                    .map(|_| {
                        let row = [1.0, numbers.between(-2.0, 2.0), numbers.between(-1.0, 1.0)];
                        spring(&row, numbers.between(0.5, 5.0), numbers.between(0.0, 1.0))
                    })
                    .collect()
            };
            let problem = Problem {
                push_only: side(),
                both_ways: vec![
                    spring(&[0.0, 1.0, 0.0], 0.2, 0.0),
                    spring(&[0.0, 0.0, 1.0], 0.1, 0.0),
                ],
                forces: vec![2.0, numbers.between(-1.0, 1.0), numbers.between(-1.0, 1.0)],
            };
            let tried = by_trying(&problem);
            let settled = settle(&problem);
            assert_eq!(tried.len(), 1, "{problem:?}");
            let c = settled.map(|settled| settled.compressions).unwrap_or_default();
            assert_eq!(c.len(), count);
            lifted += c.iter().filter(|c| **c < 0.0).count();
            assert!(c.iter().zip(&tried[0]).all(|(a, b)| (a - b).abs() < 1e-9), "{c:?} {tried:?}");
        }
        assert!(lifted > 300, "only {lifted} springs ever lifted");
    }

    #[test]
    fn what_has_no_balance_is_an_error() {
        let pulled = Problem {
            forces: vec![-1.0, 0.0],
            both_ways: vec![spring(&[0.0, 1.0], 1.0, 0.0)],
            push_only: vec![spring(&[1.0, 0.0], 1.0, 0.0)],
        };
        assert!(matches!(settle(&pulled), Err(LoadsError::NotSettled)));
        let odd = Problem { forces: vec![f64::NAN, 0.0], ..pulled.clone() };
        assert!(matches!(settle(&odd), Err(LoadsError::NotSettled)));
        let huge = Problem { push_only: vec![spring(&[1.0, 0.0], 1e308, 1e308)], ..pulled };
        assert!(settle(&huge).is_err());
    }

    #[test]
    fn what_nothing_resists_and_nothing_moves_stays() {
        let free = Problem {
            forces: vec![3.0, 0.0],
            both_ways: vec![],
            push_only: vec![spring(&[1.0, 0.0], 1.5, 0.25)],
        };
        let settled = settle(&free).map(|settled| settled.unknowns).unwrap_or_default();
        assert!((settled[0] - 2.25).abs() < 1e-12 && settled[1] == 0.0);
    }
}
