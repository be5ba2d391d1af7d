//! Film thickness: statistics, and the rules by which a coat is accepted.
//!
//! A reading after coat n is the total so far; the caller gives the sums for coats 1 to n as nominal,
//! least and greatest. A thickness at a bound keeps it: the rules speak of *under* and *over*.

pub mod iso_19840;
pub mod ninety_ten;
pub mod pa_2;
pub mod statistics;

/// What is no difference between a thickness and a bound, as a part of the bound.
const SLACK: f64 = 1e-9;

/// Whether a thickness is under a bound, and not merely by a last bit.
fn under(thickness_m: f64, bound_m: f64) -> bool {
    thickness_m < bound_m - SLACK * bound_m.abs()
}

/// Whether a thickness is over a bound, and not merely by a last bit.
fn over(thickness_m: f64, bound_m: f64) -> bool {
    thickness_m > bound_m + SLACK * bound_m.abs()
}

/// How many whole parts a number of parts begins. One that is whole but for a last bit begins no other for
/// that bit.
fn parts_begun(parts: f64) -> u64 {
    (parts * (1.0 - SLACK)).ceil().max(0.0) as u64
}

/// How many readings do something.
fn count(readings_m: &[f64], does: impl Fn(f64) -> bool) -> usize {
    readings_m.iter().filter(|reading| does(**reading)).count()
}

/// A count in per cent of another that is not 0.
fn share_pct(count: usize, all: usize) -> f64 {
    100.0 * count as f64 / all as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_last_bit_is_no_difference_and_a_thousandth_of_a_micrometre_is() {
        // 80 % of 350 um, as a machine has it, is a bit more than 280 um.
        let bound_m = 0.8 * 350e-6;
        assert!(bound_m > 280e-6);
        assert!(!under(280e-6, bound_m) && !over(280e-6, bound_m));
        // Three tenths are a bit more than a tenth and two tenths.
        assert!(0.1 + 0.2 > 0.3 && !over(0.1 + 0.2, 0.3));
        assert!(under(279.999e-6, bound_m) && over(280.001e-6, bound_m));
    }
}
