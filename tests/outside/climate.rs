//! Dew points against the vapour pressure of WMO-No. 8, and against a table by psychrolib (formulas of the
//! ASHRAE Handbook). `climate.json` was written by `climate.py` beside it.

use lastdock::calc::climate::dew_point_c;
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    humidity_pct: Vec<f64>,
    /// Air temperature and the dew point at each humidity, degC.
    rows: Vec<(f64, Vec<f64>)>,
}

/// Two formulations of the same physics part by a few hundredths of a kelvin.
const TOLERANCE_K: f64 = 0.05;

#[test]
fn dew_points_as_psychrolib_has_them() {
    let fixture: Fixture = serde_json::from_str(include_str!("climate.json")).expect("the fixture");
    assert_eq!((fixture.rows.len(), fixture.humidity_pct.len()), (41, 15));
    let (mut held, mut frost) = (0, 0);
    let mut wrong = Vec::new();
    for (air_c, points) in &fixture.rows {
        assert_eq!(points.len(), fixture.humidity_pct.len());
        for (humidity_pct, theirs) in fixture.humidity_pct.iter().zip(points) {
            let ours = dew_point_c(*air_c, *humidity_pct).expect("a dew point");
            let agrees = if *theirs >= 0.0 {
                held += 1;
                (ours - theirs).abs() <= TOLERANCE_K
            } else if *air_c >= 0.0 {
                // Theirs is the frost point, which lies above the dew point over water.
                frost += 1;
                ours < *theirs
            } else {
                true // there the humidity itself is one over ice
            };
            if !agrees {
                wrong.push(format!("{air_c} C, {humidity_pct} %: {ours}, psychrolib {theirs}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(held > 400 && frost > 50, "only {held} dew points and {frost} frost points were held");
}

/// The figure that psychrolib 2.5 gives in SI units for 20 degrees C and 50 %.
#[test]
fn a_spring_morning() {
    let ours = dew_point_c(20.0, 50.0).expect("a dew point");
    assert!((ours - 9.2724).abs() <= TOLERANCE_K, "{ours}");
}

/// WMO-No. 8, *Guide to Instruments and Methods of Observation*, annex 4.B: saturation vapour pressure over
/// water e = 6.112 exp(17.62 t / (243.12 + t)) hPa, t from -45 to 60 degrees C. At the dew point it equals
/// the air's vapour pressure, which is its humidity times the saturation pressure at its own temperature.
#[test]
fn at_the_dew_point_the_air_is_saturated() {
    let saturation_hpa = |c: f64| 6.112 * libm::exp(17.62 * c / (243.12 + c));
    for air_c in (-40..=60).step_by(5).map(f64::from) {
        for humidity_pct in (60..=100).step_by(5).map(f64::from) {
            let dew_point_c = dew_point_c(air_c, humidity_pct).expect("a dew point");
            let wanted = saturation_hpa(air_c) * humidity_pct / 100.0;
            let found = saturation_hpa(dew_point_c);
            assert!((found / wanted - 1.0).abs() < 1e-12, "{air_c} {humidity_pct}");
        }
    }
}
