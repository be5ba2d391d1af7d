//! Dry-docking stability against Barrass and Derrett, *Ship Stability for Masters and Mates*, chapter on
//! dry-docking: its worked examples, with the figures as printed there.

use lastdock::calc::landing::{loss_by_kg_m, loss_by_km_m, upthrust_by_fall_t, upthrust_t};

fn near(found: f64, printed: f64, half_a_last_digit: f64) {
    assert!((found - printed).abs() <= half_a_last_digit, "{found}, printed {printed}");
}

/// 6000 t, trim 0.3 m by the stern, KM 7.5 m, KG 6 m, MCT 90 t m/cm, LCF 45 m from aft, where she takes
/// the blocks: P = 60 t, virtual loss of GM 0.075 m by P KM / W and 0.061 m by P KG / (W - P).
#[test]
fn virtual_loss_when_taking_the_blocks() {
    let p = upthrust_t(90.0, 30.0, 45.0);
    near(p, 60.0, 0.5);
    near(loss_by_km_m(p, 7.5, 6000.0), 0.075, 0.0005);
    near(loss_by_kg_m(p, 6.0, 6000.0), 0.061, 0.0005);
}

/// 3000 t, 100 m long, KM 6 m, KG 5.5 m, LCF 2 m aft of amidships, MCT 40 t m/cm: with GM not to be less
/// than 0.3 m she may be trimmed by 120 cm (126.3 cm by the other method).
#[test]
fn greatest_trim_for_a_least_gm() {
    let (weight, km, kg, lever) = (3000.0, 6.0, 5.5, 50.0 - 2.0);
    let gm_left = |trim_cm: f64, loss: fn(f64, f64, f64) -> f64, height: f64| {
        km - kg - loss(upthrust_t(40.0, trim_cm, lever), height, weight)
    };
    near(gm_left(120.0, loss_by_km_m, km), 0.3, 1e-9);
    near(gm_left(126.3, loss_by_kg_m, kg), 0.3, 1e-4);
    assert!(gm_left(121.0, loss_by_km_m, km) < 0.3 && gm_left(127.0, loss_by_kg_m, kg) < 0.3);
}

/// 5000 t, KM 6 m, KG 5.5 m, TPC 50: after the water fell 0.24 m from where she is landed all along,
/// P = 1200 t and the loss is 1.44 m (1.737 m by the other method).
#[test]
fn virtual_loss_after_the_water_fell() {
    let p = upthrust_by_fall_t(50.0, 24.0);
    near(p, 1200.0, 0.5);
    near(loss_by_km_m(p, 6.0, 5000.0), 1.44, 0.005);
    near(loss_by_kg_m(p, 5.5, 5000.0), 1.737, 0.0005);
}

/// Common practice, no source: a heavy stern can bring a large ship in with ten feet of trim; she is
/// ballasted below five feet, and preferably to about two, before landing, so that she does not pivot on
/// the aftmost block. The upthrust that does the pivoting grows with the trim, and so does the loss.
#[test]
fn why_she_is_ballasted_before_landing() {
    const FOOT_CM: f64 = 30.48;
    let loss = |feet: f64| loss_by_km_m(upthrust_t(400.0, feet * FOOT_CM, 100.0), 12.0, 40_000.0);
    near(loss(10.0) / loss(2.0), 5.0, 1e-9);
    assert!(loss(2.0) < loss(5.0) && loss(5.0) < loss(10.0));
}
