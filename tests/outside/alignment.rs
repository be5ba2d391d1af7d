//! Where a keel lies over blocks against numpy's straight lines, from two blocks on: yaw, offsets at the stern reference
//! point and both ends, scatter and standard errors. `alignment.json` was written by `alignment.py` beside it.

use geo::Coord;
use lastdock::calc::alignment::{Mark, Over, along, lie, line};
use lastdock::calc::positions::Agreement;
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    ends_m: Vec<f64>,
    without_mark_m: f64,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    stations_m: Vec<f64>,
    offsets_m: Vec<f64>,
    marks_m: Vec<(f64, f64)>,
    yaw_deg: f64,
    scatter_m: Option<f64>,
    srp_station_m: Option<f64>,
    at_ends_m: Vec<f64>,
    sure_to: Vec<f64>,
}

/// Wider than the scatter that was made, so that nothing is set aside.
const TOLERANCE_M: f64 = 0.05;

#[track_caller]
fn same(ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() < 1e-9, "{ours} is not {theirs}");
}

#[test]
fn keels_lie_where_numpy_puts_them() {
    let fixture: Fixture =
        serde_json::from_str(include_str!("alignment.json")).expect("the fixture");
    assert!(fixture.cases.iter().filter(|case| case.stations_m.len() == 2).count() >= 12);
    for case in &fixture.cases {
        let pairs = case.stations_m.iter().zip(&case.offsets_m);
        let over: Vec<Over> = pairs
            .map(|(station_m, offset_m)| Over { station_m: *station_m, offset_m: *offset_m })
            .collect();
        let marks: Vec<Mark> = case
            .marks_m
            .iter()
            .map(|(x_m, station_m)| Mark { x_m: *x_m, station_m: *station_m })
            .collect();
        let line = line(&over, TOLERANCE_M).expect("a line");
        assert_eq!(line.fitted.agreement, Agreement::Fit);
        same(line.yaw_deg(), case.yaw_deg);
        assert_eq!(line.fitted.scatter_m.is_some(), case.scatter_m.is_some());
        same(line.fitted.scatter_m.unwrap_or(0.0), case.scatter_m.unwrap_or(0.0));
        let along = along(&marks, line.yaw_deg(), TOLERANCE_M);
        assert_eq!(along.is_some(), case.srp_station_m.is_some());
        let station_m = along.map_or(fixture.without_mark_m, |along| along.srp_station_m);
        same(station_m, case.srp_station_m.unwrap_or(fixture.without_mark_m));
        let lie = lie(&line, station_m);
        for ((x_m, at_m), sure_to) in fixture.ends_m.iter().zip(&case.at_ends_m).zip(&case.sure_to)
        {
            let (station_m, offset_m) = lie.to_dock(Coord { x: *x_m, y: 0.0 });
            same(offset_m, *at_m);
            same(line.sure_to_m(station_m, TOLERANCE_M), TOLERANCE_M * sure_to);
        }
    }
}
