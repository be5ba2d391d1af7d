//! Curves along the hull against the ship's size, and each length against the lengths beside it.

use super::weight::Length;
use crate::calc::formula::Formula;

/// Of which size a hull girder's stiffness is.
pub const GIRDER_SIZE: Formula = Formula {
    name: "size of the hull girder",
    title: "Stiffness of the hull against length and breadth",
    says: "bending stiffness of the stiffest length between a thirtieth and thirty times that of a steel section of \
           `I = 3 c L^3 B (C_B + 0.7) x 1e-8 m4`, `c = 10.75 - ((300 - L) / 100)^1.5` from 90 m on and `0.0412 L + 4` \
           under that, `C_B = 0.6`; shear stiffness likewise of `A = 2 L / 12 x (6 + 0.04 L) / 1000 m2`; \
           inside the ends no length stiffer than both beside it by more than five times, or softer",
    source: "IACS UR S7 and S11 for the least section of a new ship, from memory; sides a twelfth of the length deep, and the \
             factors, are our choice",
};

/// Steel: elastic and shear modulus, kPa.
const STEEL_KPA: (f64, f64) = (206e6, 79e6);
/// How many times a hull girder may be stiffer or softer than a steel section by rule: of wood, of composite, corroded,
/// decked over (our choice).
pub const ANY_HULL: f64 = 30.0;
/// How many times a length may differ from both lengths beside it.
pub const BESIDE: f64 = 5.0;
/// The same of the first and the last, which taper.
const AT_AN_END: f64 = 30.0;

/// Bending stiffness E I, kN m2, and shear stiffness G A, kN, of a section that a rule would ask of a steel ship.
pub fn by_rule(length_m: f64, breadth_m: f64) -> (f64, f64) {
    let c = match length_m {
        l if l < 90.0 => 0.0412 * l + 4.0,
        l if l < 300.0 => {
            let part = (300.0 - l) / 100.0;
            10.75 - part * part.sqrt()
        }
        _ => 10.75,
    };
    let second_moment_m4 = 3.0 * c * length_m.powi(3) * breadth_m * 1.3e-8;
    let shear_area_m2 = 2.0 * length_m / 12.0 * (6.0 + 0.04 * length_m) / 1000.0;
    (STEEL_KPA.0 * second_moment_m4, STEEL_KPA.1 * shear_area_m2)
}

/// Of values of lengths in their order the one that is out of the order of its neighbours, without which the others are
/// most in order, and what its neighbours would have it be; `None` where none is.
pub fn out_of_order(values: &[f64]) -> Option<(usize, f64)> {
    let all: Vec<usize> = (0..values.len()).collect();
    let wrong = disordered(values, &all);
    let left_without = |n: usize| {
        let rest: Vec<usize> = all.iter().copied().filter(|other| *other != n).collect();
        disordered(values, &rest).len()
    };
    let (n, _, expected) = wrong
        .into_iter()
        .min_by(|a, b| left_without(a.0).cmp(&left_without(b.0)).then(b.1.total_cmp(&a.1)))?;
    Some((n, expected))
}

/// Of some of the values, in their order, those out of order: which, how many times over, and what its neighbours would have.
fn disordered(values: &[f64], of: &[usize]) -> Vec<(usize, f64, f64)> {
    let beyond = |at: usize| {
        let value = |at: usize| of.get(at).and_then(|n| values.get(*n)).copied();
        let (own, before, after) = (value(at)?, at.checked_sub(1).and_then(value), value(at + 1));
        // An end may be much softer than what is beside it, and not much stiffer.
        let (least, greatest, softer, expected) = match (before, after) {
            (Some(a), Some(b)) => (a.min(b), a.max(b), BESIDE, (a * b).sqrt()),
            (Some(one), None) | (None, Some(one)) => (one, one, AT_AN_END, one),
            (None, None) => return None,
        };
        let times = (own / greatest / BESIDE).max(least / own / softer);
        (times > 1.0).then_some((*of.get(at)?, times, expected))
    };
    (0..of.len()).filter_map(beyond).collect()
}

/// Of the lengths of a curve the one without which the others follow each other most smoothly, and the mass that the
/// lengths before and behind it would give it, t; point masses aside. `None` with fewer than five.
pub fn least_like_its_neighbours(lengths: &[Length]) -> Option<(usize, f64)> {
    let mut long: Vec<usize> =
        (0..lengths.len()).filter(|n| lengths[*n].to_x_m > lengths[*n].from_x_m).collect();
    long.sort_by(|a, b| lengths[*a].from_x_m.total_cmp(&lengths[*b].from_x_m));
    if long.len() < 5 {
        return None;
    }
    let density = |n: usize| lengths[n].mass_t / (lengths[n].to_x_m - lengths[n].from_x_m);
    let middle_m = |n: usize| (lengths[n].from_x_m + lengths[n].to_x_m) / 2.0;
    // On the line through two others.
    let on_line = |n: usize, a: usize, b: usize| {
        let run_m = middle_m(b) - middle_m(a);
        if run_m.abs() < 1e-9 {
            return (density(a) + density(b)) / 2.0;
        }
        density(a) + (middle_m(n) - middle_m(a)) / run_m * (density(b) - density(a))
    };
    let roughness = |without: usize| -> f64 {
        let rest: Vec<usize> = long.iter().copied().filter(|n| *n != without).collect();
        rest.windows(3)
            .map(|three| (density(three[1]) - on_line(three[1], three[0], three[2])).abs())
            .sum()
    };
    let rough: Vec<f64> = long.iter().map(|n| roughness(*n)).collect();
    let at = (0..long.len()).min_by(|a, b| rough[*a].total_cmp(&rough[*b]))?;
    let n = long[at];
    let expected = match at {
        0 => on_line(n, long[1], long[2]),
        at if at + 1 == long.len() => on_line(n, long[at - 1], long[at - 2]),
        at => on_line(n, long[at - 1], long[at + 1]),
    };
    Some((n, (expected * (lengths[n].to_x_m - lengths[n].from_x_m)).max(0.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decimal_point_off_is_out_of_order_and_a_taper_is_not() {
        let tapering = [0.05, 0.44, 0.74, 1.02, 1.36, 1.22, 0.66, 0.38, 0.03];
        assert_eq!(out_of_order(&tapering), None);
        for n in 0..tapering.len() {
            let mut slipped = tapering;
            slipped[n] *= 100.0;
            assert_eq!(out_of_order(&slipped).map(|found| found.0), Some(n));
            slipped[n] *= 1e-4;
            if (1..tapering.len() - 1).contains(&n) {
                assert_eq!(out_of_order(&slipped).map(|found| found.0), Some(n));
            }
        }
        assert_eq!(out_of_order(&[1.0]), None);
        assert_eq!(out_of_order(&[]), None);
    }

    #[test]
    fn the_length_that_has_a_figure_too_many_is_least_like_its_neighbours() {
        let masses = [10.0, 20.0, 30.0, 38.0, 40.0, 34.0, 22.0, 10.0];
        let lengths = |masses: &[f64]| -> Vec<Length> {
            let each = masses.iter().enumerate();
            each.map(|(n, mass_t)| {
                let from_x_m = 3.0 * n as f64;
                Length {
                    from_x_m,
                    to_x_m: from_x_m + 3.0,
                    mass_t: *mass_t,
                    centre_x_m: from_x_m + 1.5,
                }
            })
            .collect()
        };
        for n in 0..masses.len() {
            let mut slipped = masses;
            slipped[n] += 200.0;
            assert_eq!(least_like_its_neighbours(&lengths(&slipped)).map(|found| found.0), Some(n));
        }
        assert!(least_like_its_neighbours(&lengths(&masses[..3])).is_none());
    }
}
