//! The shift study of the sample project: its bands and areas against shapely 2.2 (`shifts.json`, written by
//! `shifts.py`), and what it says of lies and loads against what the same records give otherwise.

use std::sync::OnceLock;

use lastdock::calc::exposure::{footprint, hidden};
use lastdock::calc::plane::{area_m2, common, union};
use lastdock::calc::shifts::{Band, Way};
use lastdock::findings::Examined;
use lastdock::findings::recomputed::caps;
use lastdock::findings::recomputed::loads::{Bearing, loads_on};
use lastdock::findings::recomputed::shifts::{
    Before, Placed, Query, Shifts, left_by, reaching, shifts, slid,
};
use lastdock::records::problem::Problems;
use lastdock::records::store::Folder;
use lastdock::{findings, records};
use serde_json::Value;

use crate::common;

const ALONG: Way = Way::ForeAndAft;

fn examined() -> &'static Examined {
    static EXAMINED: OnceLock<Examined> = OnceLock::new();
    EXAMINED.get_or_init(|| {
        let mut problems = Problems::default();
        let folder = Folder::open(&common::sample(), &mut problems);
        let project = records::read(&folder, problems).expect("the sample can be read");
        findings::examine(project).expect("its remarks answer findings")
    })
}

fn studied(asked: &Query) -> Shifts {
    shifts(&examined().project, &examined().recomputed, asked)
}

fn as_found() -> Query {
    Query { as_found: true, ..Query::default() }
}

fn first_alone() -> Query {
    Query { after: Some(0), ..Query::default() }
}

fn block(id: &str) -> usize {
    examined()
        .project
        .blocks
        .iter()
        .position(|block| block.id == id)
        .expect("a block of the sample")
}

fn is_near(band: &Band, from_m: f64, to_m: f64) -> bool {
    // A corner may go in by a millimetre and more before it hides a square millimetre.
    (band.from_m - from_m).abs() < 1.5e-3 && (band.to_m - to_m).abs() < 1.5e-3
}

#[test]
fn bands_and_areas_are_those_that_shapely_finds() {
    let fixture: Value = serde_json::from_str(include_str!("shifts.json")).expect("the fixture");
    for (name, asked) in [("P1", first_alone()), ("P2", as_found())] {
        let found = studied(&asked);
        assert_eq!(found.placed, Placed::Recorded);
        assert_eq!(found.before, Before::Blocks(Some(0)));
        assert!((found.pitch_m.expect("a pitch") - 1.4).abs() < 1e-6);
        assert!((found.fore_and_aft.range_m.1 - 2.1).abs() < 1e-5);
        let number = |value: &Value| value.as_f64().expect("a number");
        let wanted = fixture["sample"][name]["bands"].as_array().expect("bands");
        assert_eq!(found.fore_and_aft.bands.len(), wanted.len(), "{:?}", found.fore_and_aft.bands);
        for (band, wanted) in found.fore_and_aft.bands.iter().zip(wanted) {
            assert!(is_near(band, number(&wanted[0]), number(&wanted[1])), "{name}: {band:?}");
        }
        let areas = fixture["sample"][name]["areas"].as_array().expect("areas");
        assert_eq!(areas.len(), 61);
        for wanted in areas {
            let (by, wanted) = (number(&wanted[0]), number(&wanted[1]));
            let found = found.hidden_twice_m2(ALONG, by);
            assert!((found - wanted).abs() < 1e-5, "{name} at {by}: {found}, {wanted}");
        }
    }
}

#[test]
fn the_plan_aims_at_seven_tenths_and_the_block_that_slipped_spoils_it() {
    // As design and shift were planned: the same line of blocks, 0.60 of 1.40 m.
    let band = studied(&first_alone()).fore_and_aft.widest().expect("a band");
    assert!(is_near(&band, 0.6, 0.8), "{band:?}");
    // So it is with K23 where it was planned in the second position.
    let planned = studied(&Query::default());
    let stands = |id: &str| planned.caps.iter().any(|footing| footing.block == block(id));
    assert!(stands("K23") && !stands("K23S") && !stands("K45"));
    assert_eq!(planned.put_back, [(block("K23"), block("K23S"))]);
    assert!(planned.fore_and_aft.bands.iter().any(|band| is_near(band, 0.6, 0.8)));
    // K23 lay 0.4 m out of step in the second position: no shift reached everything any more.
    let spoilt = studied(&as_found());
    assert_eq!(spoilt.fore_and_aft.smallest(), None);
    let out = &spoilt.fore_and_aft.leaving_out[0];
    assert_eq!(
        (out.of_after.as_slice(), out.of_before.as_slice()),
        (&[block("K23S")][..], &[][..])
    );
    assert!(is_near(&out.band, 0.6, 0.8), "{out:?}");
    let left_out = studied(&Query { leave_out: vec![block("K23S")], ..as_found() });
    assert!(is_near(&left_out.fore_and_aft.widest().expect("a band"), 0.6, 0.8));
    let band = left_out.fore_and_aft.widest().expect("a band");
    assert!((band.from_m - out.band.from_m).abs() < 1e-8);
    assert!((band.to_m - out.band.to_m).abs() < 1e-8);
}

#[test]
fn a_length_slid_is_the_lie_shifted_the_other_way() {
    let (project, recomputed) = (&examined().project, &examined().recomputed);
    let found = studied(&as_found());
    for (way, by) in [(ALONG, 0.7), (ALONG, -0.35), (Way::Athwart, 0.4)] {
        let lie = slid(&found.lie, way, by);
        let after = hidden(caps(project, "P2"), &lie, &recomputed.bottom).shape;
        let twice = area_m2(&common(&recomputed.hidden[0].shape, &after));
        let area = found.hidden_twice_m2(way, by);
        assert!((twice - area).abs() < 1e-4, "{by}: {twice}, {area}");
    }
    assert!(
        (slid(&found.lie, ALONG, 0.7).srp_station_m - (found.lie.srp_station_m - 0.7)).abs() < 1e-6
    );
}

#[test]
fn openings_after_a_shift_are_as_in_the_position_itself() {
    let (project, recomputed) = (&examined().project, &examined().recomputed);
    let found = studied(&first_alone());
    let openings = found.openings(project, ALONG, 0.0, &[]);
    assert_eq!(openings.len(), project.openings.len());
    for (after, was) in openings.iter().zip(&recomputed.positions[0].clearances) {
        let (clear, block) = was.expect("a clearance");
        assert!((after.clear_m - clear).abs() < 1e-9 && after.block == block);
    }
    // In what remains of a band no opening is short, and outside it one is.
    let band = Band { from_m: -0.9, to_m: 0.9 };
    let parts = found.clear_parts(project, ALONG, band, &[]);
    let short = |by: f64| {
        let openings = found.openings(project, ALONG, by, &[]);
        openings.iter().any(|opening| opening.is_near())
    };
    for step in 0..=90 {
        let by = band.from_m + f64::from(step) * 0.02;
        let near_an_end = parts
            .iter()
            .any(|part| (part.from_m - by).abs() < 1e-6 || (part.to_m - by).abs() < 1e-6);
        let inside = parts.iter().any(|part| part.from_m < by && by < part.to_m);
        assert!(near_an_end || inside != short(by), "{by}: {parts:?}");
    }
}

#[test]
fn loads_without_a_shift_are_those_of_the_position_and_what_is_left_out_is_shared() {
    let (project, recomputed) = (&examined().project, &examined().recomputed);
    let found = studied(&first_alone());
    let stood = recomputed.loads[0].girder.as_ref().expect("loads");
    let same = found.loads(project, ALONG, 0.0, &[]);
    assert_eq!(same.blocks, recomputed.loads[0].blocks);
    assert_eq!(&same.girder.as_ref().expect("loads").loads_kn, &stood.loads_kn);
    let gone = block("K30");
    let without = found.loads(project, ALONG, 0.0, &[gone]);
    let shared = without.girder.as_ref().expect("loads");
    let total = |loads: &[f64]| loads.iter().sum::<f64>();
    assert!((total(&shared.loads_kn) - total(&stood.loads_kn)).abs() < 1.0);
    // The hull is stiff and hands it on along many blocks, more to those near by than to those far off.
    let gain = |n: u32| {
        let number = block(&format!("K{n}"));
        let at = |blocks: &[Bearing]| blocks.iter().position(|bearing| bearing.block == number);
        let (stood_at, now_at) = (at(&same.blocks).expect("it"), at(&without.blocks).expect("it"));
        shared.loads_kn[now_at] - stood.loads_kn[stood_at]
    };
    for near in [28, 29, 31, 32] {
        for far in [14, 15, 43, 44] {
            assert!(gain(near) > gain(far) && gain(near) > 10.0, "K{near} {}", gain(near));
        }
    }
}

#[test]
fn a_block_put_back_takes_what_the_position_says_that_it_would() {
    let (project, recomputed) = (&examined().project, &examined().recomputed);
    let found = studied(&Query { before: Some(1), ..as_found() });
    let now = found.loads(project, ALONG, 0.0, &[]);
    assert_eq!(now.blocks, recomputed.loads[1].blocks);
    let mut standing: Vec<usize> = found.caps.iter().map(|footing| footing.block).collect();
    standing.push(block("K45"));
    let with = loads_on(project, 1, &found.lie, &standing);
    let loads = &with.girder.as_ref().expect("loads").loads_kn;
    let left_out: Vec<_> =
        recomputed.loads[1].left_out.iter().filter(|out| out.block == block("K45")).collect();
    assert_eq!(left_out.len(), 2);
    for out in left_out {
        let at = with.blocks.iter().position(|bearing| bearing.block == out.neighbour);
        let load = loads[at.expect("the neighbour")];
        // The line of the tops is drawn through one block more or fewer, which moves all of them a little.
        let gained = (out.without_kn - out.with_kn).abs();
        assert!(gained > 5.0);
        assert!((load - out.with_kn).abs() < gained / 10.0, "{load} and {}", out.with_kn);
    }
}

#[test]
fn steel_that_a_docking_left_is_reached_by_the_same_study() {
    let (project, recomputed) = (&examined().project, &examined().recomputed);
    let (never, under) = left_by(recomputed).expect("what it left");
    let asked = Query::default();
    let found = reaching(project, recomputed, &never, &asked);
    assert_eq!((found.before, found.placed), (Before::Steel, Placed::Planned));
    assert!(found.fore_and_aft.leaving_out.iter().all(|out| out.of_before.is_empty()));
    // The plan's own position hides some of it again, and a shift of her own length none.
    let caps_there = found.caps.iter().map(|footing| footing.cap.polygon()).collect::<Vec<_>>();
    let hidden_again = area_m2(&common(&never, &union(&caps_there)));
    assert!((found.hidden_twice_m2(ALONG, 0.0) - hidden_again).abs() < 1e-5);
    assert!(!found.fore_and_aft.bands.is_empty());
    let all = reaching(project, recomputed, &under, &asked);
    let first = &project.blocks[0];
    assert!(area_m2(&footprint(&first.cap, &all.lie, &recomputed.bottom)) > 0.0);
    assert!(all.hidden_twice_m2(ALONG, 0.0) > found.hidden_twice_m2(ALONG, 0.0));
}
