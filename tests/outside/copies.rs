//! Runs of readings that stand twice: how often readings are alike, against numpy, which compares every pair; and how many
//! pairs of people share a birthday. `copies.json` was written by `copies.py` beside it.

use serde::Deserialize;

use lastdock::calc::copies::{Series, chances, runs};

#[derive(Deserialize)]
struct Case {
    values: Vec<Vec<i64>>,
    begins: Vec<Vec<bool>>,
    any: f64,
    step: f64,
}

#[test]
fn readings_are_alike_as_often_as_numpy_finds_them() {
    let cases: Vec<Case> = serde_json::from_str(include_str!("copies.json")).expect("the fixture");
    assert_eq!(cases.len(), 3);
    for case in cases {
        let series = case.values.into_iter().zip(case.begins);
        let series: Vec<Series> =
            series.map(|(values, begins)| Series { values, begins }).collect();
        let (any, step) = chances(&series, 0.0);
        assert!((any - case.any).abs() < 1e-12, "{any} and {}", case.any);
        assert!((step - case.step).abs() < 1e-12, "{step} and {}", case.step);
        assert!(runs(&series, 0.0).is_empty(), "nothing was copied");
    }
}

/// Of 23 people 253 / 365 pairs are to be expected that share a birthday: the birthday problem of von Mises (1939; from
/// memory). A run of readings is a birthday among the places at which it may begin.
#[test]
fn runs_are_expected_as_birthdays_are() {
    // Ten readings of which two are alike by copying, each as likely as a day of the year.
    let days = [11, 75, 203, 304, 41, 166, 290, 8, 350, 121, 59];
    let mut values = days.to_vec();
    values.extend(&days);
    values.push(1);
    assert_eq!(values.len(), 23);
    let series = [Series { begins: vec![true; 23], values }];
    let found = runs(&series, 1.0 / 365.0);
    // Of the 253 pairs within these readings eleven are alike, which is more than one in a year.
    let (any, _) = chances(&series, 1.0 / 365.0);
    assert!((any - 11.0 / 253.0).abs() < 1e-12, "{any}");
    let expected = 253.0 * libm::pow(11.0 / 253.0, 11.0);
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].first, found[0].again, found[0].length), ((0, 0), (0, 11), 11));
    assert!((found[0].expected / expected - 1.0).abs() < 1e-12, "{}", found[0].expected);
}
