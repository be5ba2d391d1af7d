//! Quartiles of film readings against numpy's, whose method "linear" is definition 7 of Hyndman and Fan (1996).
//! `quartiles.json` was written by `quartiles.py` beside it.

use lastdock::calc::film::statistics::statistics;
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    sets: Vec<Set>,
}

#[derive(Deserialize)]
struct Set {
    readings_um: Vec<f64>,
    quartiles_um: [f64; 3],
}

#[test]
fn quartiles_are_those_of_numpy() {
    let fixture: Fixture =
        serde_json::from_str(include_str!("quartiles.json")).expect("the fixture");
    assert!(fixture.sets.len() > 10);
    for set in &fixture.sets {
        let readings_m: Vec<f64> = set.readings_um.iter().map(|um| um / 1e6).collect();
        let found = statistics(&readings_m).expect("statistics").quartiles_m;
        for (ours_m, theirs_um) in found.iter().zip(set.quartiles_um) {
            assert!((ours_m * 1e6 - theirs_um).abs() < 1e-6, "{:?}: {found:?}", set.quartiles_um);
        }
    }
}
