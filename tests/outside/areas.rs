//! Areas of the exposure classes against shapely 2.2 (GEOS), on random block plans with everything that
//! polygon libraries trip over: the same row twice, edges that meet, yaws from 1e-9 to 1e-6 degrees,
//! skewed caps, outlines. `areas.json` was written by `areas.py` beside it.

use std::collections::BTreeMap;

use geo::{Coord, MultiPolygon, Polygon};
use lastdock::calc::exposure::{Hidden, classes, hidden};
use lastdock::hull::{Cap, Lie};
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    /// The outline's vertices, or none.
    bottom: Option<Vec<(f64, f64)>>,
    /// Count, station of the first, pitch, offset, length, width, skew: m and degrees.
    rows: Vec<(u32, f64, f64, f64, f64, f64, f64)>,
    /// SRP station, offset, yaw: m and degrees.
    lies: Vec<(f64, f64, f64)>,
    /// Area by class, one letter a position: h for hidden, e for exposed.
    classes_m2: BTreeMap<String, f64>,
}

impl Case {
    fn caps(&self) -> Vec<(usize, Cap)> {
        let row = |(count, station, pitch, offset, length_m, width_m, turn_deg): &(
            u32,
            _,
            _,
            _,
            _,
            _,
            _,
        )| {
            let (station, pitch, offset): (f64, f64, f64) = (*station, *pitch, *offset);
            let (length_m, width_m, turn_deg) = (*length_m, *width_m, *turn_deg);
            (0..*count)
                .map(move |n| Coord { x: station + f64::from(n) * pitch, y: offset })
                .map(move |centre| Cap { centre, length_m, width_m, turn_deg })
                .collect::<Vec<Cap>>()
        };
        self.rows.iter().flat_map(row).enumerate().collect()
    }

    /// The areas as the program finds them.
    fn found(&self) -> BTreeMap<String, f64> {
        let ring = |ring: &Vec<(f64, f64)>| Polygon::new(ring.clone().into(), vec![]);
        let bottom = self.bottom.as_ref().map(|vertices| MultiPolygon(vec![ring(vertices)]));
        let caps = self.caps();
        let hide = |(srp_station_m, centreline_offset_m, yaw_deg): &(f64, f64, f64)| {
            let lie = Lie {
                srp_station_m: *srp_station_m,
                centreline_offset_m: *centreline_offset_m,
                yaw_deg: *yaw_deg,
            };
            hidden(caps.iter().copied(), &lie, &bottom)
        };
        let positions: Vec<Hidden> = self.lies.iter().map(hide).collect();
        let name = |hidden: &[bool]| hidden.iter().map(|h| if *h { 'h' } else { 'e' }).collect();
        classes(&bottom, &positions)
            .iter()
            .map(|class| (name(&class.hidden_in), class.area_m2))
            .collect()
    }

    /// What the program's grid may leave, m2: its step, about 0.1 um, along the edges of every cap in
    /// every position.
    fn tolerance_m2(&self) -> f64 {
        let edges: f64 =
            self.caps().iter().map(|(_, cap)| 2.0 * (cap.length_m + cap.width_m)).sum();
        1e-7 * edges * self.lies.len() as f64 + 1e-6
    }
}

#[test]
fn classes_have_the_areas_that_shapely_finds() {
    let fixture: Fixture = serde_json::from_str(include_str!("areas.json")).expect("the fixture");
    assert_eq!(fixture.cases.len(), 300);
    let mut wrong = Vec::new();
    for (number, case) in fixture.cases.iter().enumerate() {
        let found = case.found();
        for name in found.keys().filter(|name| !case.classes_m2.contains_key(*name)) {
            wrong.push(format!("case {number}: shapely has no class {name}"));
        }
        for (name, wanted) in &case.classes_m2 {
            let area = found.get(name).copied().unwrap_or(0.0);
            let tolerance = case.tolerance_m2();
            if (area - wanted).abs() > tolerance {
                wrong.push(format!(
                    "case {number}, class {name}: {area}, shapely {wanted}, tolerance {tolerance:e}"
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
