//! Dew points against the vapour pressure of WMO-No. 8, against a table by psychrolib (formulas of the ASHRAE
//! Handbook) from 0 degrees C up, and against one by MetPy below. `climate.json` was written by `climate.py` beside it.

use lastdock::calc::climate::dew_point_c;
use serde::Deserialize;

/// Air temperature and the dew point at each humidity, degC.
type Row = (f64, Vec<f64>);

#[derive(Deserialize)]
struct Fixture {
    humidity_pct: Vec<f64>,
    /// By psychrolib.
    rows: Vec<Row>,
    /// By MetPy: over water, however cold.
    over_water: Vec<Row>,
}

fn fixture() -> Fixture {
    serde_json::from_str(include_str!("climate.json")).expect("the fixture")
}

/// Two formulations of the same physics part by a few hundredths of a kelvin.
const TOLERANCE_K: f64 = 0.05;

/// Holds ours to theirs; gives what is wrong, and how many were held.
fn differences(
    humidity_pct: &[f64],
    rows: &[Row],
    agrees: impl Fn(f64, f64) -> Option<bool>,
) -> (Vec<String>, usize) {
    let (mut wrong, mut held) = (Vec::new(), 0);
    for (air_c, points) in rows {
        assert_eq!(points.len(), humidity_pct.len());
        for (humidity_pct, theirs) in humidity_pct.iter().zip(points) {
            let ours = dew_point_c(*air_c, *humidity_pct).expect("a dew point");
            let Some(agrees) = agrees(ours, *theirs) else { continue };
            held += 1;
            if !agrees {
                wrong.push(format!("{air_c} C, {humidity_pct} %: {ours}, theirs {theirs}"));
            }
        }
    }
    (wrong, held)
}

#[test]
fn dew_points_as_psychrolib_has_them() {
    let fixture = fixture();
    let from_0 =
        |ours: f64, theirs: f64| (theirs >= 0.0).then(|| (ours - theirs).abs() <= TOLERANCE_K);
    let (wrong, count) = differences(&fixture.humidity_pct, &fixture.rows, from_0);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(count > 400, "only {count} dew points were held");
}

/// Where it gives the frost point, which lies above the dew point over water.
#[test]
fn frost_points_lie_above() {
    let fixture = fixture();
    let frost = |ours: f64, theirs: f64| (theirs < 0.0).then_some(ours < theirs);
    let (wrong, count) = differences(&fixture.humidity_pct, &fixture.rows, frost);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(count > 50, "only {count} frost points were held");
}

/// Under 0 degrees C the dew point is still one over water.
#[test]
fn dew_points_below_freezing_as_metpy_has_them() {
    let fixture = fixture();
    let below_0 =
        |ours: f64, theirs: f64| (theirs < 0.0).then(|| (ours - theirs).abs() <= TOLERANCE_K);
    let (wrong, count) = differences(&fixture.humidity_pct, &fixture.over_water, below_0);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(count > 400, "only {count} dew points were held");
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
