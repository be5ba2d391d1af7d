//! The steel as it was gauged: plates, anodes, the instrument, a repair.

use crate::plan::clock;
use crate::sheet::{Sheet, row};
use crate::yard::{MINUTES_A_DAY, Truth};

/// Plates as gauged.
pub fn plating(truth: &Truth, strakes: &[(&str, f64)], by: &str) -> String {
    let yard = truth.yard;
    let mut scatter = truth.scatter("gauging");
    let mut sheet = Sheet::new(
        yard.is_us,
        "strake plate x_m:2/2 y_m:2/2 original_mm:1/3 measured_mm:1/3 relative_loss_limit_pct:0 at by instrument through_coating pit_depth_mm:1/3",
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
                by,
                "UT1",
                "no",
                (n % 4 == 1).then(|| scatter.between(0.3, 1.2))
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

/// Checks of the instrument on the steps of a block, before the plates were gauged.
pub fn instruments(truth: &Truth, by: &str) -> String {
    let mut scatter = truth.scatter("step block");
    let mut sheet =
        Sheet::new(truth.yard.is_us, "instrument reference_mm:1/3 reading_mm:1/3 at by");
    let began = (truth.positions[0].day * MINUTES_A_DAY + 580) as f64;
    for (n, reference) in [5.0, 10.0, 20.0].into_iter().enumerate() {
        let reading = reference + scatter.within(0.1);
        sheet.add(row!["UT1", reference, reading, clock(began + n as f64), by]);
    }
    sheet.text()
}

/// A doubler welded on before anything was painted there.
pub fn repairs(truth: &Truth, zone: &str, by: &str) -> String {
    let mut sheet = Sheet::new(
        truth.yard.is_us,
        "repair kind about zone x_m:2/2 y_m:2/2 length_mm:0/1 width_mm:0/1 began ended by",
    );
    let day = (truth.positions[0].day * MINUTES_A_DAY) as f64;
    let x = 0.5 * truth.yard.length_overall_m;
    let y = truth.yard.ship.form.breadth_m / 2.0;
    let (began, ended) = (clock(day + 780.0), clock(day + 960.0));
    sheet.add(row!["D1", "doubler", "", zone, x, y, 700.0, 500.0, began, ended, by]);
    sheet.text()
}
