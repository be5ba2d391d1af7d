//! What each part of a zone received, against shapely 2.2 (GEOS): random zones, blocks, positions and logs
//! of every sort of claim, some of them in the wet. `chains.json` was written by `chains.py` beside it,
//! which finds the steel of each job first and cuts the parts out of that.

use std::collections::{BTreeMap, BTreeSet};

use geo::{Coord, MultiPolygon, Polygon};
use lastdock::calc::coating::{Claim, Clears, Job, Stand, Steel, history};
use lastdock::calc::exposure::hidden;
use lastdock::calc::plane::area_m2;
use lastdock::hull::{Cap, Lie};
use serde::Deserialize;

/// How far areas may lie apart, m2: the grid of the polygon crate, 0.1 um, along the edges of every cap in
/// every position and of every area.
const AREA_M2: f64 = 1e-4;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    zone: Vec<(f64, f64)>,
    /// Count, station of the first, pitch, offset, length, width, skew: m and degrees.
    rows: Vec<(u32, f64, f64, f64, f64, f64, f64)>,
    /// SRP station, offset, yaw: m and degrees.
    lies: Vec<(f64, f64, f64)>,
    /// Dock dry and water back in each position, h.
    dry_h: Vec<(f64, f64)>,
    /// How many coats the scheme has.
    scheme: i64,
    coats: Vec<Coat>,
    /// Area by class, one letter a position, and chain, the numbers of the coats in order of time.
    chains_m2: BTreeMap<String, f64>,
}

#[derive(Deserialize)]
struct Coat {
    coat: i64,
    from_h: f64,
    to_h: f64,
    claim: String,
    area: Option<Vec<(f64, f64)>>,
    /// What `patches` in a dry spell claim.
    claimed_m2: Option<f64>,
}

fn shape(ring: &[(f64, f64)]) -> MultiPolygon<f64> {
    MultiPolygon(vec![Polygon::new(ring.to_vec().into(), vec![])])
}

impl Case {
    fn caps(&self) -> Vec<(usize, Cap)> {
        let mut caps = Vec::new();
        for (count, station, pitch, offset, length_m, width_m, turn_deg) in &self.rows {
            for n in 0..*count {
                let centre = Coord { x: station + f64::from(n) * pitch, y: *offset };
                let cap =
                    Cap { centre, length_m: *length_m, width_m: *width_m, turn_deg: *turn_deg };
                caps.push((caps.len(), cap));
            }
        }
        caps
    }

    fn stands(&self) -> Vec<Stand> {
        let caps = self.caps();
        let each = self.lies.iter().zip(&self.dry_h);
        each.map(|((srp_station_m, centreline_offset_m, yaw_deg), dry_h)| {
            let lie = Lie {
                srp_station_m: *srp_station_m,
                centreline_offset_m: *centreline_offset_m,
                yaw_deg: *yaw_deg,
            };
            Stand { dry_h: Some(*dry_h), hidden: hidden(caps.iter().copied(), &lie, &None).shape }
        })
        .collect()
    }

    fn jobs(&self) -> Vec<Job> {
        let claim = |coat: &Coat| match (coat.claim.as_str(), &coat.area) {
            ("all", None) => Claim::All,
            ("exposed", None) => Claim::Exposed,
            ("patches", None) => Claim::Patches,
            ("area", Some(ring)) => Claim::Area(shape(ring)),
            other => panic!("{other:?}"),
        };
        let job = |coat: &Coat| Job {
            from_h: coat.from_h,
            to_h: coat.to_h,
            claim: claim(coat),
            coat: Some(coat.coat),
            clears: Clears::Nothing,
        };
        self.coats.iter().map(job).collect()
    }

    fn steel(&self) -> Steel {
        let scheme: Vec<i64> = (1..=self.scheme).collect();
        history(&shape(&self.zone), &self.stands(), &self.jobs(), &scheme, 0.0)
    }

    /// Areas by class and chain as the program finds them.
    fn found(&self) -> BTreeMap<String, f64> {
        let steel = self.steel();
        let mut found = BTreeMap::new();
        for cell in &steel.cells {
            let class: String =
                cell.hidden_in.iter().map(|hidden| if *hidden { 'h' } else { 'e' }).collect();
            let chain: Vec<String> = cell.chain.iter().map(ToString::to_string).collect();
            let name = format!("{class}: {}", chain.join(" "));
            *found.entry(name.trim().to_string()).or_insert(0.0) += area_m2(&cell.shape);
        }
        found
    }
}

#[test]
fn every_chain_has_the_area_that_shapely_finds() {
    let fixture: Fixture = serde_json::from_str(include_str!("chains.json")).expect("the fixture");
    assert_eq!(fixture.cases.len(), 200);
    let (mut wrong, mut held, mut greatest) = (Vec::new(), 0, 0.0_f64);
    for (number, case) in fixture.cases.iter().enumerate() {
        let found = case.found();
        let names: BTreeSet<&String> = found.keys().chain(case.chains_m2.keys()).collect();
        for name in names {
            let of = |areas: &BTreeMap<String, f64>| areas.get(name).copied().unwrap_or(0.0);
            let (area, wanted) = (of(&found), of(&case.chains_m2));
            greatest = greatest.max((area - wanted).abs());
            held += 1;
            if (area - wanted).abs() > AREA_M2 {
                wrong.push(format!("case {number}, {name}: {area}, shapely {wanted}"));
            }
        }
    }
    println!("{held} chains, {greatest:e} m2 apart at most");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(held > 1600, "{held}");
}

#[test]
fn every_claim_of_patches_is_the_free_and_unfinished_steel_that_shapely_finds() {
    let fixture: Fixture = serde_json::from_str(include_str!("chains.json")).expect("the fixture");
    let (mut wrong, mut held, mut some) = (Vec::new(), 0, 0);
    for (number, case) in fixture.cases.iter().enumerate() {
        let steel = case.steel();
        for (job, (coat, done)) in case.coats.iter().zip(&steel.done).enumerate() {
            let Some(wanted) = coat.claimed_m2 else { continue };
            let claimed = area_m2(&done.claimed);
            held += 1;
            some += usize::from(wanted > 0.0);
            if (claimed - wanted).abs() > AREA_M2 || !done.on_blocks.0.is_empty() {
                wrong.push(format!("case {number}, coat {job}: {claimed}, shapely {wanted}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(held > 300 && some > 200, "{held} claims, {some} of some steel");
}
