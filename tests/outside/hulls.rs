//! Hydrostatic tables of a box and of two hulls given by formulas, integrated by numpy and rounded as yards round, against
//! the checks of a table by itself: none of them may raise a doubt, and a row that is spoilt must be found.
//! `hulls.json` was written by `hulls.py` beside it.

use lastdock::calc::hydrostatics::Row;
use lastdock::calc::hydrostatics::sizes::{Size, Sized};
use lastdock::calc::hydrostatics::slopes::slopes;
use lastdock::calc::smooth::misfits;
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    length_m: f64,
    breadth_m: f64,
    tables: Vec<Hull>,
}

#[derive(Deserialize)]
struct Hull {
    name: String,
    rows: Vec<[f64; 7]>,
}

fn fixture() -> Fixture {
    serde_json::from_str(include_str!("hulls.json")).expect("the fixture")
}

fn rows(hull: &Hull) -> Vec<Row> {
    let row =
        |[draft_m, displacement_t, lcb_x_m, lcf_x_m, tpc_t_per_cm, mct_tm_per_cm, km_m]: &[f64;
              7]| Row {
            draft_m: *draft_m,
            displacement_t: *displacement_t,
            lcb_x_m: *lcb_x_m,
            lcf_x_m: *lcf_x_m,
            tpc_t_per_cm: *tpc_t_per_cm,
            mct_tm_per_cm: *mct_tm_per_cm,
            km_m: *km_m,
        };
    hull.rows.iter().map(row).collect()
}

#[test]
fn tables_of_true_hulls_raise_no_doubt() {
    let fixture = fixture();
    assert_eq!(fixture.tables.len(), 27);
    for hull in &fixture.tables {
        let (name, rows) = (&hull.name, rows(hull));
        let drafts: Vec<f64> = rows.iter().map(|row| row.draft_m).collect();
        for column in 1..7 {
            let values: Vec<f64> = hull.rows.iter().map(|row| row[column]).collect();
            let off = misfits(&drafts, &values, |smooth| 0.001 * smooth.abs());
            assert!(off.is_empty(), "{name}, column {column}: {off:?}");
        }
        let slopes = slopes(&rows, fixture.length_m).expect("rows enough");
        for growth in [slopes.whole, slopes.worst, slopes.centre] {
            assert!(growth.fits(), "{name}: {growth:?}");
        }
        let size = Size {
            length_m: fixture.length_m,
            overall_m: fixture.length_m,
            breadth_m: fixture.breadth_m,
            amidships_x_m: 0.0,
            water_density_t_m3: 1.025,
        };
        for sized in Sized::ALL {
            assert!(size.holds(sized, &rows), "{name}: {sized:?}");
        }
    }
}

#[test]
fn a_metre_of_km_is_found_in_any_row_of_a_true_hull() {
    for hull in fixture().tables.iter().filter(|hull| hull.name.contains("every 0.1 m")) {
        let drafts: Vec<f64> = hull.rows.iter().map(|row| row[0]).collect();
        for row in 0..drafts.len() {
            let mut km: Vec<f64> = hull.rows.iter().map(|row| row[6]).collect();
            km[row] += 1.0;
            let found: Vec<usize> =
                misfits(&drafts, &km, |_| 0.03).iter().map(|misfit| misfit.row).collect();
            assert_eq!(found, [row], "{}", hull.name);
        }
    }
}
