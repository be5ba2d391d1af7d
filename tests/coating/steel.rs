//! What the steel of each zone received: zones, chains of coats by class, what is short of its scheme.

use std::collections::BTreeMap;

use lastdock::calc::plane::{area_m2, common, extent, union, without};
use lastdock::findings::recomputed::coating::ZoneHistory;
use lastdock::records::zones::Zone;
use serde_json::Value;

use super::{AREA_M2, EXAMINED, EXPECTED, entries, hidden_in, list, near, project, text};

fn zones() -> impl Iterator<Item = (&'static Zone, &'static ZoneHistory)> {
    project().zones.iter().zip(&EXAMINED.recomputed.coating.zones)
}

#[test]
fn every_zone_has_the_expected_areas_and_they_cover_the_bottom() {
    assert_eq!(zones().count(), entries(&EXPECTED["zones"]).count());
    for (zone, history) in zones() {
        let wanted = &EXPECTED["zones"][&zone.id];
        assert_eq!(zone.is_bottom(), wanted["kind"] == "bottom", "{}", zone.id);
        near(&zone.id, history.plan_area_m2, &wanted["plan_m2"], AREA_M2);
        near(&zone.id, zone.true_area_m2, &wanted["true_m2"], 1e-9);
    }
    let bottom = EXAMINED.recomputed.bottom.as_ref().expect("an outline");
    near("the bottom", area_m2(bottom), &EXPECTED["bottom_m2"], AREA_M2);
    let shapes: Vec<_> = zones().filter_map(|(_, history)| history.shape.as_ref()).collect();
    let all = union(shapes.iter().flat_map(|shape| &shape.0));
    near("in no zone", area_m2(&without(bottom, &all)), &EXPECTED["uncovered_m2"], AREA_M2);
    let mut twice = 0.0;
    for (n, shape) in shapes.iter().enumerate() {
        twice += shapes[n + 1..].iter().map(|other| area_m2(&common(shape, other))).sum::<f64>();
    }
    near("in two zones", twice, &EXPECTED["in_two_m2"], AREA_M2);
}

/// Areas by the positions that hid the steel and the coats that it received.
type Chains = BTreeMap<(Vec<String>, Vec<String>), [f64; 2]>;

#[test]
fn every_class_of_every_zone_received_the_expected_chain_of_coats() {
    for (zone, history) in zones() {
        let mut found = Chains::new();
        for part in &history.parts {
            let hidden: Vec<String> =
                hidden_in(&part.hidden_in).into_iter().map(String::from).collect();
            let coats = part.chain.iter().map(|at| project().coats[*at].name.clone()).collect();
            let areas = found.entry((hidden, coats)).or_default();
            let truly = part.area_m2.expect("an area");
            // A side has no plan; its true area stands for it.
            areas[0] += if zone.is_bottom() { area_m2(&part.shape) } else { truly };
            areas[1] += truly;
        }
        let wanted = list(&EXPECTED["chains"][&zone.id]);
        for chain in wanted {
            let texts = |key: &str| list(&chain[key]).iter().map(|v| text(v).to_string()).collect();
            let key = (texts("hidden_in"), texts("coats"));
            let areas = found.remove(&key).unwrap_or_else(|| panic!("{}: no {key:?}", zone.id));
            near(&format!("{} {key:?}", zone.id), areas[0], &chain["area_m2"], AREA_M2);
            near(&format!("{} {key:?}", zone.id), areas[1], &chain["true_area_m2"], AREA_M2);
        }
        assert!(found.is_empty(), "{}: not expected: {found:?}", zone.id);
    }
}

#[test]
fn as_much_is_short_of_its_scheme_as_expected_and_at_the_expected_places() {
    for (zone, history) in zones() {
        let wanted = &EXPECTED["completeness"][&zone.id];
        let factor = history.true_factor.expect("an area");
        let sum = history.completeness().expect("a scheme and areas");
        let plan = |truly: f64| truly / factor;
        near(&zone.id, plan(sum.full_m2), &wanted["full_m2"], AREA_M2);
        near(&zone.id, plan(sum.none_m2), &wanted["none_m2"], AREA_M2);
        assert_eq!((sum.less_m2, list(&wanted["less_m2"]).len()), (0.0, 0), "{}", zone.id);
        let beyond_slivers = wanted["short_beyond_slivers_m2"].as_f64().expect("an area");
        assert_eq!(history.falls_short(0.03), beyond_slivers > 0.0, "{}", zone.id);
        if zone.is_bottom() {
            pieces(&zone.id, history, &wanted["pieces"]);
        }
    }
}

fn pieces(zone: &str, history: &ZoneHistory, wanted: &Value) {
    let short = history.parts.iter().filter(|part| !part.missing.is_empty());
    let short: Vec<_> = union(short.flat_map(|part| &part.shape.0)).0;
    assert_eq!(short.len(), list(wanted).len(), "{zone}");
    for (piece, wanted) in short.iter().zip(list(wanted)) {
        let ends = ["x_from_m", "x_to_m", "y_from_m", "y_to_m"];
        for (end, found) in ends.iter().zip(extent(piece).expect("an extent")) {
            near(&format!("{zone} {end}"), found, &wanted[end], 1e-6);
        }
        let area = area_m2(&geo::MultiPolygon(vec![piece.clone()]));
        near(zone, area, &wanted["area_m2"], AREA_M2);
    }
}
