//! The steel as it was gauged: plates and anodes.

use crate::plan::clock;
use crate::sheet::{Sheet, row};
use crate::yard::{MINUTES_A_DAY, Truth};

/// Plates as gauged.
pub fn plating(truth: &Truth, strakes: &[(&str, f64)], by: &str) -> String {
    let yard = truth.yard;
    let mut scatter = truth.scatter("gauging");
    let mut sheet = Sheet::new(
        yard.is_us,
        "strake plate x_m:2/2 y_m:2/2 original_mm:1/3 measured_mm:1/3 relative_loss_limit_pct:0 at by",
    );
    let mut at = (truth.positions[0].day * MINUTES_A_DAY + 600) as f64;
    for (strake, part) in strakes {
        let plates = 9;
        for n in 0..plates {
            let x = (0.12 + 0.76 * (n as f64 + 0.5) / f64::from(plates)) * yard.length_overall_m
                + scatter.within(0.4);
            let y = part * yard.ship.form.half_breadth_m(x, yard.bottom_z_m);
            let original: f64 = if (2..7).contains(&n) { 12.5 } else { 11.0 };
            // Rolled a little over or under what was ordered; wasted since.
            let measured = original * scatter.between(0.86, 1.0) + scatter.within(0.1);
            sheet.add(row![
                *strake,
                (n + 1) as usize,
                x,
                y,
                original,
                measured,
                20.0,
                clock(at),
                by
            ]);
            at += 3.0;
        }
    }
    sheet.text()
}

pub fn anodes(truth: &Truth, kg: f64, by: &str) -> String {
    let yard = truth.yard;
    let mut scatter = truth.scatter("anodes");
    let mut sheet = Sheet::new(
        yard.is_us,
        "anode x_m:2/2 y_m:2/2 mass_fitted_kg:1/1 mass_found_kg:1/1 renewed at by",
    );
    for n in 0..6_usize {
        let x = (0.2 + 0.11 * n as f64) * yard.length_overall_m;
        let y = 0.8 * yard.ship.form.half_breadth_m(x, yard.bottom_z_m);
        for (side, sign) in [1.0, -1.0].into_iter().enumerate() {
            let found = kg * scatter.between(0.35, 0.6);
            let renewed = if found < 0.5 * kg { "yes" } else { "no" };
            let at = truth.positions[0].day * MINUTES_A_DAY + 480 + 6 * (2 * n + side) as i64;
            sheet.add(row![
                format!("AN{}", 2 * n + side + 1),
                x,
                sign * y,
                kg + scatter.within(0.03 * kg),
                found,
                renewed,
                clock(at as f64),
                by
            ]);
        }
    }
    sheet.text()
}
