//! Dry-docking stability against Barrass and Derrett, *Ship Stability for Masters and Mates*, chapter on
//! dry-docking: its worked examples, with the figures as printed there.

use lastdock::calc::drafts::Perpendiculars;
use lastdock::calc::hydrostatics::{Row, Table};
use lastdock::calc::landing::{
    Afloat, Change, Seat, Way, greatest_trim, line_of, loss_by_kg_m, loss_by_km_m,
    upthrust_by_fall_t, upthrust_t,
};

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

/// A ship of the chapter's examples: MCT, KM and LCF the same at all drafts, so that the upthrust by equilibrium is that of
/// the simple formula. On a level keel, G over B, the aftermost block at the aft perpendicular.
fn level(weight_t: f64, mct: f64, lcf_x_m: f64, km_m: f64) -> Afloat {
    let tpc_t_per_cm = 20.0;
    let draft_m = 5.0;
    let rows = (0..=4000).map(|n| {
        let fallen_m = 1.0 - f64::from(n) * 0.0005;
        let displacement_t = weight_t - 100.0 * tpc_t_per_cm * fallen_m;
        Row {
            draft_m: draft_m - fallen_m,
            displacement_t,
            // Buoyancy that is lost is lost at the LCF.
            lcb_x_m: (weight_t * 50.0 - (weight_t - displacement_t) * lcf_x_m) / displacement_t,
            lcf_x_m,
            tpc_t_per_cm,
            mct_tm_per_cm: mct,
            km_m,
        }
    });
    Afloat {
        perpendiculars: Perpendiculars { aft_x_m: 0.0, forward_x_m: 100.0 },
        table: Table::new(rows.collect(), 1.025, 0.0).expect("a table"),
        water_density_t_m3: 1.025,
        displacement_t: weight_t,
        lcg_x_m: 50.0,
        draft_aft_m: draft_m,
        trim_m: 0.0,
        hog_m: 0.0,
    }
}

/// The same example of the greatest trim by the program's search over whole landings, a block under every ten metres of
/// her keel: 120 cm by one method, 126.3 cm by the other.
#[test]
fn greatest_trim_found_by_landing_her() {
    let (weight, kg) = (3000.0, 5.5);
    let ship = level(weight, 40.0, 48.0, 6.0);
    let seats: Vec<Seat> =
        (0..=10).map(|n| Seat { x_m: 10.0 * f64::from(n), level_m: 0.0 }).collect();
    let line = line_of(&seats).expect("a line");
    let greatest = |method: usize| {
        let found = greatest_trim(&ship, &seats, &line, Way::Stern, |_, _, landed| {
            (landed.critical.gm_m(kg, weight)[method] < 0.3).then_some("GM")
        });
        let found = found.expect("some trim keeps the GM");
        assert_eq!(found.broken, Some("GM"));
        found.relative_m * 100.0
    };
    near(greatest(0), 120.0, 0.05);
    near(greatest(1), 126.3, 0.05);
}

/// Weights moved, from memory of the form of the handbook's examples, worked by hand here: 5000 t with KG 6.0 m; 200 t
/// put on at 1.0 m above the keel, a tank 15 m long and 10 m wide left slack with sea water in it. Its free surface has
/// 1.025 x 15 x 10^3 / 12 = 1281.25 t m, and KG becomes (30 000 + 200 + 1281.25) / 5200 = 6.054 m.
#[test]
fn a_slack_tank_and_a_weight_put_on() {
    let ship = level(5000.0, 90.0, 50.0, 7.5);
    let change = Change {
        mass_t: 200.0,
        x_tm: 200.0 * 50.0,
        y_tm: 0.0,
        z_tm: 200.0 * 1.0 + 1.025 * 15.0 * 1000.0 / 12.0,
    };
    let changed = ship.after(&change, 1.025, Some(6.0), Some(0.0)).expect("inside the table");
    near(changed.kg_m.expect("KG"), 6.054, 0.0005);
    near(changed.gm_m.expect("GM"), 7.5 - 6.054, 0.0005);
    // TPC 20: 200 t at the LCF let her down by 10 cm all along.
    near(changed.afloat.draft_aft_m, 5.1, 0.0005);
    near(changed.afloat.trim_m, 0.0, 1e-6);
    // 45 t moved 40 m aft, MCT 90: a trim of 20 cm.
    let change = Change { x_tm: -45.0 * 40.0, ..Change::default() };
    let moved = ship.after(&change, 1.025, Some(6.0), Some(0.0)).expect("inside the table");
    near(moved.afloat.trim_m, 0.20, 0.0005);
}
