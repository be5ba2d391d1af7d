//! How long a large case takes.

use std::time::Instant;

use lastdock::calc::loads::girder::{HullLength, girder};
use lastdock::calc::loads::weight::{Curve, Length};
use lastdock::calc::loads::{BlockSpring, Carried};

use super::{Numbers, sound};

#[test]
fn four_hundred_blocks_and_stations_take_well_under_a_second() {
    let mut numbers = Numbers(400);
    let mut blocks = Vec::new();
    for n in 0..400 {
        let bilge = n % 4 == 3;
        blocks.push(BlockSpring {
            x_m: 3.0 + 0.73 * n as f64,
            y_m: if bilge { if n % 8 == 3 { -6.0 } else { 6.0 } } else { 0.0 },
            stiffness_kn_per_m: numbers.between(1e5, 3e5),
            gap_m: numbers.between(0.0, if bilge { 0.02 } else { 0.01 }),
            width_m: 1.2,
        });
    }
    let (mut lengths, mut hull) = (Vec::new(), Vec::new());
    for n in 0..400 {
        let (from_x_m, to_x_m) = (0.75 * n as f64, 0.75 * (n + 1) as f64);
        let mass_t = numbers.between(10.0, 150.0);
        lengths.push(Length { from_x_m, to_x_m, mass_t, centre_x_m: (from_x_m + to_x_m) / 2.0 });
        let (bending_kn_m2, shear_kn) = (numbers.between(5e9, 2e10), numbers.between(2e7, 6e7));
        hull.push(HullLength { from_x_m, to_x_m, bending_kn_m2, shear_kn });
    }
    let carried = Carried::dry(Curve::new(lengths).expect("a curve"));
    let began = Instant::now();
    let found = sound(girder(&blocks, &carried, &hull, 1.0));
    let took = began.elapsed();
    let lifted = found.outcome.loads_kn.iter().filter(|load| **load == 0.0).count();
    println!("{took:?}, {} steps, {lifted} do not bear", found.outcome.iterations);
    assert!(found.stations.len() > 790 && lifted > 0);
    if !cfg!(debug_assertions) {
        assert!(took.as_secs_f64() < 0.5, "{took:?}");
    }
}
