//! Draft surveys against the formulas of the UNECE *Code of Uniform Standards and Procedures for the
//! Performance of Draught Surveys of Coal Cargoes*, ECE/ENERGY/19 (1992), written out here a second time
//! in the code's own steps, with figures of our own.

use lastdock::calc::drafts::{Perpendiculars, Reading, displacement, drafts};
use lastdock::calc::hydrostatics::{Row, Table};

/// A bulk carrier's figures, invented: length between perpendiculars 179 m, marks 9.45 m forward of the
/// aft perpendicular, amidships, and 1.70 m aft of the forward perpendicular.
#[test]
fn the_codes_steps_give_the_same_displacement() {
    let ends = Perpendiculars { aft_x_m: 5.0, forward_x_m: 184.0 };
    let read = [
        (5.0 + 9.45, 3.1, 11.16, 11.19),
        (94.5, 16.1, 10.90, 11.03),
        (184.0 - 1.70, 2.2, 10.79, 10.81),
    ];
    let readings: Vec<Reading> = read
        .iter()
        .flat_map(|(x_m, y, port, starboard)| {
            [(*y, *port), (-*y, *starboard)].map(|(y_m, draft_m)| Reading {
                x_m: *x_m,
                y_m,
                draft_m,
            })
        })
        .collect();
    let rows: Vec<Row> = (0..=60)
        .map(|n| {
            let draft_m = 8.0 + f64::from(n) * 0.1;
            Row {
                draft_m,
                displacement_t: 52_000.0 * draft_m / 10.0
                    + 12.0 * (draft_m - 10.0) * (draft_m - 10.0),
                lcb_x_m: 97.0 - 0.2 * draft_m,
                lcf_x_m: 98.0 - 0.6 * draft_m,
                tpc_t_per_cm: 52.0 + 0.24 * (draft_m - 10.0),
                mct_tm_per_cm: 700.0 + 11.0 * (draft_m - 10.0),
                km_m: 13.0,
            }
        })
        .collect();
    let table = Table::new(rows, 1.025, 0.0).expect("a table");
    let found = drafts(&readings, &ends, 0.2).expect("drafts");
    let out = displacement(&found, &ends, &table, 1.021).expect("a displacement");

    // The code: means of port and starboard; apparent trim over the distance between the marks; the
    // corrections to the perpendiculars in proportion; mean of means of means.
    let (aft, mid, fore) = ((11.16 + 11.19) / 2.0, (10.90 + 11.03) / 2.0, (10.79 + 10.81) / 2.0);
    let between_marks = 179.0 - 9.45 - 1.70;
    let apparent = aft - fore;
    let aft = aft + apparent * 9.45 / between_marks;
    let fore = fore - apparent * 1.70 / between_marks;
    assert!((found.aft_m - aft).abs() < 1e-9 && (found.forward_m - fore).abs() < 1e-9);
    assert!((found.amidships_m.expect("amidships") - mid).abs() < 1e-9);
    let mean_of_means = ((aft + fore) / 2.0 + mid) / 2.0;
    let quarter = (mean_of_means + mid) / 2.0;
    assert!((found.mean_m - quarter).abs() < 1e-9);

    // First trim correction: trim (cm) x LCF from amidships x TPC / LBP, here LCF aft and trim by the
    // stern; second (Nemoto): 50 x trim (m)^2 x (MCT +50 cm - MCT -50 cm) / LBP; then density.
    let at = |draft: f64| table.at_draft(draft).expect("inside the table");
    let trim = aft - fore;
    let row = at(quarter);
    let lcf_aft = 94.5 - row.lcf_x_m;
    let first = trim * 100.0 * lcf_aft * row.tpc_t_per_cm / 179.0;
    let dm = at(quarter + 0.5).mct_tm_per_cm - at(quarter - 0.5).mct_tm_per_cm;
    let second = 50.0 * trim * trim * dm / 179.0;
    assert!(lcf_aft > 0.0 && first > 0.0 && second > 0.0);
    let salt = row.displacement_t + first + second;
    assert!((out.displacement_t - salt * 1.021 / 1.025).abs() < 1e-6);
}
