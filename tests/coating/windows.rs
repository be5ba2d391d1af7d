//! Intervals: coats over each other, patches against the coating round them, coats that met the water.

use std::collections::BTreeMap;

use lastdock::findings::recomputed::coating::applied::Applied;
use lastdock::findings::recomputed::coating::windows::Interval;
use serde_json::Value;

use super::{AREA_M2, EXACT, EXAMINED, EXPECTED, list, near, project, text};

/// How far lengths of tie-ins may lie apart, m: the program and the expectation both divide the area of
/// a strip of 20 mm by its width, and differ in how they make its corners.
const TIE_IN_M: f64 = 0.005;

fn name(coat: usize) -> &'static str {
    &project().coats[coat].name
}

fn applied() -> impl Iterator<Item = &'static Applied> {
    EXAMINED.recomputed.coating.applied.iter()
}

/// What is expected, by the names of the earlier and the later coat.
fn expected(key: &str) -> BTreeMap<(&'static str, &'static str), &'static Value> {
    let expected: &'static Value = &EXPECTED;
    list(&expected[key])
        .iter()
        .map(|one| ((text(&one["earlier"]), text(&one["later"])), one))
        .collect()
}

/// Calls `hold` with every interval found and what is expected of it, none left over on either side.
fn each<'a>(
    found: impl IntoIterator<Item = &'a Interval>,
    key: &str,
    hold: impl Fn(&str, &Interval, &Value),
) {
    let mut wanted = expected(key);
    for interval in found {
        let pair = (name(interval.lower), name(interval.upper));
        let what = format!("{} after {}", pair.1, pair.0);
        let one = wanted.remove(&pair).unwrap_or_else(|| panic!("{what} is not expected"));
        near(&what, interval.shortest_h, &one["least_interval_h"], EXACT);
        near(&what, interval.longest_h, &one["greatest_interval_h"], EXACT);
        hold(&what, interval, one);
    }
    assert!(wanted.is_empty(), "not found: {wanted:#?}");
}

#[test]
fn every_coat_over_another() {
    each(applied().flat_map(|applied| &applied.over), "recoat", |what, interval, wanted| {
        assert!(!interval.flooded, "{what}");
        // A side's stand-in has its true area, which is what is expected.
        near(what, interval.meet, &wanted["area_m2"], AREA_M2);
        let (cold, warm) = interval.steel_c.expect("steel temperatures");
        near(what, cold, &wanted["coldest_c"], EXACT);
        near(what, warm, &wanted["warmest_c"], EXACT);
        let window = interval.window.as_ref().expect("a window");
        near(what, window.least_h, &wanted["window_least_h"], EXACT);
        near(what, window.greatest_h, &wanted["window_greatest_h"], EXACT);
        assert_eq!(interval.by_product, !wanted["table_by"].is_null(), "{what}");
        if interval.by_product {
            assert_eq!(project().coats[interval.upper].product, wanted["table_by"], "{what}");
        }
    });
}

#[test]
fn every_patch_against_the_field_round_it() {
    each(applied().flat_map(|applied| &applied.tie_ins), "tie_ins", |what, interval, wanted| {
        near(what, interval.meet, &wanted["within_strip_m"], TIE_IN_M);
        assert_eq!(interval.flooded, !list(&wanted["across_flooding"]).is_empty(), "{what}");
        if interval.flooded {
            assert_eq!(!interval.renewed.is_empty(), wanted["washed"] == true, "{what}");
            assert!(interval.window.is_err(), "{what}: no window runs across a flooding");
        } else {
            let window = interval.window.as_ref().expect("a window");
            near(what, window.least_h, &wanted["window_least_h"], EXACT);
            near(what, window.greatest_h, &wanted["window_greatest_h"], EXACT);
        }
    });
}

#[test]
fn every_coat_that_met_the_water() {
    let mut wanted: BTreeMap<&str, &Value> =
        list(&EXPECTED["immersion"]).iter().map(|one| (text(&one["finding"]), one)).collect();
    for one in applied().flat_map(|applied| &applied.immersions) {
        let position = &project().positions[one.position].id;
        let id = format!("coating.{}.immersion.{position}", name(one.coat));
        let wanted = wanted.remove(id.as_str()).unwrap_or_else(|| panic!("{id} is not expected"));
        near(&id, one.area_m2, &wanted["area_m2"], AREA_M2);
        near(&id, one.after_h, &wanted["waited_h"], EXACT);
        near(&id, one.least_h, &wanted["least_h"], EXACT);
    }
    assert!(wanted.is_empty(), "not found: {wanted:#?}");
}
