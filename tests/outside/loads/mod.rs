//! Block loads against what others computed. Each check names its source.

mod block_lines;
mod closed_forms;
mod every_set;
mod properties;

use lastdock::calc::loads::girder::{Girder, HullLength};
use lastdock::calc::loads::weight::{Curve, Length};
use lastdock::calc::loads::{BlockSpring, Carried, LoadsError};

/// Numbers that look random, the same on every run and machine.
pub struct Numbers(pub u64);

impl Numbers {
    /// A number between two.
    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        least + (most - least) * ((self.0 >> 11) as f64 / (1u64 << 53) as f64)
    }

    /// A whole number from `least` up to, not including, `most`.
    pub fn count(&mut self, least: usize, most: usize) -> usize {
        (self.between(least as f64, most as f64) as usize).min(most - 1)
    }

    /// True once in so many times.
    pub fn once_in(&mut self, times: usize) -> bool {
        self.count(0, times) == 0
    }
}

/// A random ship on random blocks.
pub struct Case {
    /// Her blocks.
    pub blocks: Vec<BlockSpring>,
    /// Her weight and buoyancy.
    pub carried: Carried,
    /// Her stiffness.
    pub hull: Vec<HullLength>,
}

/// Draws a case: unequal spacing, gaps, now and then widths, bilge blocks, a list and some buoyancy.
/// Some of them topple.
pub fn draw(numbers: &mut Numbers, blocks: usize, long_m: f64) -> Case {
    let wide = numbers.once_in(2);
    let mut line = Vec::new();
    for _ in 0..blocks {
        let bilge = numbers.once_in(4);
        line.push(BlockSpring {
            x_m: numbers.between(0.0, long_m),
            y_m: if bilge { numbers.between(-5.0, 5.0) } else { 0.0 },
            stiffness_kn_per_m: numbers.between(4e4, 3e5),
            gap_m: if numbers.once_in(3) { 0.0 } else { numbers.between(0.0, 0.01) },
            width_m: if wide { numbers.between(0.3, 1.5) } else { 0.0 },
        });
    }
    let mut curve = |count: usize, total_t: f64| {
        let mut lengths = Vec::new();
        for _ in 0..count {
            let (a, b) = (numbers.between(0.0, long_m), numbers.between(0.0, long_m));
            let (from_x_m, to_x_m) = if numbers.once_in(4) { (a, a) } else { (a.min(b), a.max(b)) };
            let lean = numbers.between(-1.0, 1.0) * (to_x_m - from_x_m) / 6.0;
            lengths.push(Length {
                from_x_m,
                to_x_m,
                mass_t: total_t / count as f64,
                centre_x_m: (from_x_m + to_x_m) / 2.0 + lean,
            });
        }
        Curve::new(lengths).expect("a curve drawn by the rules")
    };
    let (weight, buoyancy) = (curve(7, 25.0 * long_m), curve(3, 8.0 * long_m));
    let buoyancy = if numbers.once_in(3) { buoyancy } else { Curve::none() };
    let athwart_tm = if wide { numbers.between(-1.0, 1.0) * long_m } else { 0.0 };
    let parts = numbers.count(1, 5);
    let edge = |n: usize| long_m * n as f64 / parts as f64;
    let hull = (0..parts)
        .map(|n| HullLength {
            from_x_m: edge(n),
            to_x_m: edge(n + 1),
            bending_kn_m2: numbers.between(1e8, 4e9),
            shear_kn: numbers.between(4e6, 3e7),
        })
        .collect();
    Case { blocks: line, carried: Carried { weight, buoyancy, athwart_tm }, hull }
}

/// What was found, or a failed test.
pub fn sound(found: Result<Girder, LoadsError>) -> Girder {
    found.unwrap_or_else(|error| panic!("{error:?}"))
}
