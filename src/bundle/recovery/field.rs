//! The field of PAR 2.0, GF(2^16) with the generator polynomial 0x1100B, and its constants.
//!
//! An element is a polynomial over GF(2) of degree below 16, its bits the coefficients: a sum is an
//! exclusive or, a product is taken modulo x^16 + x^12 + x^3 + x + 1. The element 2 generates all others
//! but 0, so that logarithms turn products into sums.

use std::sync::LazyLock;

/// What x^16 is in this field: the generator polynomial 0x1100B without its highest term.
pub const REDUCED: u16 = 0x100B;

/// Elements but 0: the order of the multiplicative group.
const ORDER: usize = 65_535;

/// Primes whose product is [`ORDER`].
const FACTORS: [u32; 4] = [3, 5, 17, 257];

struct Tables {
    /// Logarithm to the base 2 by element; that of 0 has no meaning.
    log: Vec<u16>,
    /// Power of 2 by exponent, twice over, so that a sum of two logarithms needs no reduction.
    power: Vec<u16>,
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| {
    let mut log = vec![0; ORDER + 1];
    let mut power = vec![0; 2 * ORDER];
    let mut element = 1;
    for exponent in 0..ORDER {
        log[usize::from(element)] = exponent as u16;
        power[exponent] = element;
        power[exponent + ORDER] = element;
        element = doubled(element);
    }
    Tables { log, power }
});

/// An element times 2.
pub fn doubled(element: u16) -> u16 {
    (element << 1) ^ ((element >> 15) * REDUCED)
}

/// The product of two elements.
pub fn product(a: u16, b: u16) -> u16 {
    #[cfg(test)]
    counted::more(1);
    if a == 0 || b == 0 {
        return 0;
    }
    let tables = &*TABLES;
    tables.power[usize::from(tables.log[usize::from(a)]) + usize::from(tables.log[usize::from(b)])]
}

/// The element whose product with `a` is 1; `None` for 0.
pub fn inverse(a: u16) -> Option<u16> {
    let tables = &*TABLES;
    (a != 0).then(|| tables.power[ORDER - usize::from(tables.log[usize::from(a)])])
}

/// An element to a power; anything to the power 0 is 1.
pub fn power(base: u16, exponent: u32) -> u16 {
    if exponent == 0 {
        return 1;
    }
    if base == 0 {
        return 0;
    }
    let tables = &*TABLES;
    let log = u64::from(tables.log[usize::from(base)]) * u64::from(exponent);
    tables.power[(log % ORDER as u64) as usize]
}

/// Adds a row times a factor to another row of the same length.
pub fn add_scaled(to: &mut [u16], row: &[u16], factor: u16) {
    if factor == 0 {
        return;
    }
    #[cfg(test)]
    counted::more(row.len());
    let tables = &*TABLES;
    let power = &tables.power[usize::from(tables.log[usize::from(factor)])..][..ORDER];
    for (to, element) in to.iter_mut().zip(row) {
        if *element != 0 {
            *to ^= power[usize::from(tables.log[usize::from(*element)])];
        }
    }
}

/// The constants of the first `count` input slices: powers of 2 whose exponents have no factor in common
/// with 65535, in order. There are 32768 of them; the result has no more.
pub fn constants(count: usize) -> Vec<u16> {
    (1..ORDER as u32)
        .filter(|exponent| FACTORS.iter().all(|factor| exponent % factor != 0))
        .map(|exponent| power(2, exponent))
        .take(count)
        .collect()
}

/// Products taken on a thread, so that tests can hold how the work grows.
#[cfg(test)]
pub mod counted {
    use std::cell::Cell;

    thread_local!(static COUNT: Cell<u64> = const { Cell::new(0) });

    pub(super) fn more(products: usize) {
        COUNT.set(COUNT.get() + products as u64);
    }

    /// How many there have been.
    pub fn so_far() -> u64 {
        COUNT.get()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The product by the definition: term by term, then the remainder of a long division.
    fn by_hand(a: u16, b: u16) -> u16 {
        let mut sum: u32 = 0;
        for bit in 0..16 {
            if b >> bit & 1 == 1 {
                sum ^= u32::from(a) << bit;
            }
        }
        for bit in (16..32).rev() {
            if sum >> bit & 1 == 1 {
                sum ^= 0x1100B << (bit - 16);
            }
        }
        sum as u16
    }

    #[test]
    fn products_are_those_of_the_definition() {
        assert_eq!(product(0x8000, 2), 0x100B);
        let mut state: u32 = 1;
        for _ in 0..20_000 {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let (a, b) = ((state >> 16) as u16, (state >> 3) as u16);
            assert_eq!(product(a, b), by_hand(a, b), "{a} times {b}");
        }
        for a in [0, 1, 2, 0xFFFF] {
            assert_eq!((product(a, 0), product(0, a), product(a, 1)), (0, 0, a));
        }
    }

    #[test]
    fn two_generates_every_element_and_every_element_but_0_has_an_inverse() {
        let mut seen = vec![false; ORDER + 1];
        (0..ORDER as u32).for_each(|exponent| seen[usize::from(power(2, exponent))] = true);
        assert!(!seen[0] && seen[1..].iter().all(|seen| *seen));
        assert_eq!(inverse(0), None);
        for a in 1..=u16::MAX {
            assert_eq!(inverse(a).map(|b| product(a, b)), Some(1), "{a}");
        }
    }

    #[test]
    fn powers_are_products_one_after_another() {
        for base in [0, 1, 2, 3, 0x100B, 0xABCD] {
            let mut expected = 1;
            for exponent in 0..200 {
                assert_eq!(power(base, exponent), expected, "{base} to the {exponent}");
                expected = product(expected, base);
            }
        }
        assert_eq!(power(3, 65_535), 1);
        assert_eq!(power(3, 65_536), 3);
    }

    /// The first constants as the PAR 2.0 specification lists them (from memory), and their count.
    #[test]
    fn constants_are_those_of_the_specification() {
        let first = [2, 4, 16, 128, 256, 2048, 8192, 16_384, 4107, 32_856, 17_132];
        assert_eq!(constants(first.len()), first);
        let all = constants(usize::MAX);
        assert_eq!(all.len(), 32_768);
        let mut sorted = all.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(sorted.len(), all.len(), "no two are the same");
    }
}
