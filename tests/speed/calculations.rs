//! How long the heaviest calculations take on blocks of which no dock has so many.

use std::time::Instant;

use geo::{Coord, MultiPolygon, Polygon};
use lastdock::calc::loads::girder::{HullLength, girder};
use lastdock::calc::loads::weight::{Curve, Length};
use lastdock::calc::loads::{BlockSpring, Carried};
use lastdock::calc::shifts::{Footing, Sides, Way};
use lastdock::hull::Rectangle;

use super::ALONE;

/// Numbers from 0 to 1 that look random, the same on every run and machine.
fn numbers(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed;
    move || {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1u64 << 53) as f64
    }
}

#[test]
fn loads_of_four_hundred_blocks_and_stations_take_well_under_a_second() {
    let _alone = ALONE.lock();
    let mut number = numbers(400);
    let mut between = |least: f64, most: f64| least + (most - least) * number();
    let mut blocks = Vec::new();
    for n in 0..400 {
        let bilge = n % 4 == 3;
        blocks.push(BlockSpring {
            x_m: 3.0 + 0.73 * n as f64,
            y_m: if bilge { if n % 8 == 3 { -6.0 } else { 6.0 } } else { 0.0 },
            stiffness_kn_per_m: between(1e5, 3e5),
            gap_m: between(0.0, if bilge { 0.02 } else { 0.01 }),
            width_m: 1.2,
        });
    }
    let (mut lengths, mut hull) = (Vec::new(), Vec::new());
    for n in 0..400 {
        let (from_x_m, to_x_m) = (0.75 * n as f64, 0.75 * (n + 1) as f64);
        let mass_t = between(10.0, 150.0);
        lengths.push(Length { from_x_m, to_x_m, mass_t, centre_x_m: (from_x_m + to_x_m) / 2.0 });
        let (bending_kn_m2, shear_kn) = (between(5e9, 2e10), between(2e7, 6e7));
        hull.push(HullLength { from_x_m, to_x_m, bending_kn_m2, shear_kn });
    }
    let carried = Carried::dry(Curve::new(lengths).expect("a curve"));
    let began = Instant::now();
    let found = girder(&blocks, &carried, &hull, 1.0).expect("loads");
    let took = began.elapsed();
    let lifted = found.outcome.loads_kn.iter().filter(|load| **load == 0.0).count();
    println!("{took:?}, {} steps, {lifted} do not bear", found.outcome.iterations);
    assert!(found.stations.len() > 790 && lifted > 0);
    if !cfg!(debug_assertions) {
        assert!(took.as_secs_f64() < 0.5, "{took:?}");
    }
}

#[test]
fn shifts_of_four_hundred_blocks_take_some_seconds_at_most() {
    let _alone = ALONE.lock();
    let mut random = numbers(1);
    let mut line = Vec::new();
    for n in 0..400 {
        let x = f64::from(n % 200) * 1.4 + 0.3 * random();
        let y = if n < 200 { 0.0 } else { 3.0 + random() };
        let (length_m, width_m) = (0.45 + 0.3 * random(), 1.0 + 0.3 * random());
        let turn_deg = 20.0 * random() - 10.0;
        line.push(Rectangle { centre: Coord { x, y }, length_m, width_m, turn_deg });
    }
    let footings: Vec<Footing> = line
        .into_iter()
        .enumerate()
        .map(|(block, cap)| Footing { block, cap }.grown(0.02))
        .collect();
    let ring =
        vec![(-1.0, -0.5), (140.0, -0.55), (281.0, -0.5), (281.0, 3.2), (140.0, 3.9), (-1.0, 3.1)];
    let outline = Some(MultiPolygon(vec![Polygon::new(ring.into(), vec![])]));
    let began = Instant::now();
    let sides = Sides::of_blocks(&footings, &footings, &outline);
    let along = sides.study(Way::ForeAndAft, (-2.1, 2.1));
    let across = sides.study(Way::Athwart, (-1.8, 1.8));
    let studied = began.elapsed();
    let pair = sides.pair(Way::ForeAndAft, (-2.1, 2.1), 0.02);
    println!(
        "400 blocks: {} and {} critical lengths in {studied:?}; with the pair {:?}, {pair:?}",
        along.curve.len(),
        across.curve.len(),
        began.elapsed()
    );
    assert!(along.curve.len() > 5000);
    assert!(studied.as_secs_f64() < 10.0, "{studied:?}");
}
