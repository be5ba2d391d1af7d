//! Litres expected against the theoretical spreading rate as the trade states it.

use lastdock::calc::paint::{dry_from_wet_m, expected_l};

const LITRES_PER_US_GALLON: f64 = 3.785411784; // NIST SP 811, appendix B.8
const M2_PER_FT2: f64 = 0.09290304;
const METRES_PER_MIL: f64 = 2.54e-5;

/// Spreading rate in m2/l = 10 x volume solids in per cent / dry film in um: one litre of paint that is all
/// solids covers 1000 m2 at 1 um. Common practice.
#[test]
fn the_metric_rate() {
    for (solids_pct, film_um) in [(100.0, 1.0), (50.0, 50.0), (82.0, 150.0), (55.0, 100.0)] {
        let covered_m2 = 10.0 * solids_pct / film_um;
        let litres = expected_l(covered_m2, film_um / 1e6, solids_pct).expect("litres");
        assert!((litres - 1.0).abs() < 1e-12, "{solids_pct} % at {film_um} um: {litres}");
    }
}

/// One US gallon of paint that is all solids covers 1604 square feet at one mil: 231 cubic inches spread a
/// thousandth of an inch thick are 1604.17 square feet. Common practice.
#[test]
fn the_us_rate() {
    let printed_ft2 = 1604.0;
    let litres = expected_l(printed_ft2 * M2_PER_FT2, METRES_PER_MIL, 100.0).expect("litres");
    assert!((litres / LITRES_PER_US_GALLON * printed_ft2 - printed_ft2).abs() <= 0.5, "{litres}");
    let litres = expected_l(231_000.0 / 144.0 * M2_PER_FT2, METRES_PER_MIL, 100.0).expect("litres");
    assert!((litres - LITRES_PER_US_GALLON).abs() < 1e-9, "{litres}");
}

/// What is on the steel wet is what was used: the two formulas are one and the same volume.
#[test]
fn wet_film_times_area_is_the_paint_used() {
    let (area_m2, wet_m, solids_pct) = (180.0, 240e-6, 62.5);
    let dry_m = dry_from_wet_m(wet_m, solids_pct).expect("a dry film");
    assert!((dry_m - 150e-6).abs() < 1e-15);
    let litres = expected_l(area_m2, dry_m, solids_pct).expect("litres");
    assert!((litres - 1000.0 * area_m2 * wet_m).abs() < 1e-9);
}
