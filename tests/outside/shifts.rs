//! The shift study against shapely 2.2 (GEOS) on random block plans: even and uneven lines, blocks of many
//! sizes, turned ones, outlines that cut caps, blocks moved between the positions. `shifts.json` was written by
//! `shifts.py` beside it. And facts of the trade: common practice, no source.

use geo::{BooleanOps, Coord, MultiPolygon, Polygon, Translate};
use lastdock::calc::plane::{area_m2, union};
use lastdock::calc::shifts::{Band, Footing, LeavingOut, Sides, Way};
use lastdock::hull::Rectangle;
use serde::Deserialize;

/// x, y, length, width, turn: m and degrees.
type Block = (f64, f64, f64, f64, f64);

#[derive(Deserialize)]
struct Fixture {
    plans: Vec<Plan>,
    least: Vec<Least>,
    pairs: Vec<Two>,
}

#[derive(Deserialize)]
struct Plan {
    before: Vec<Block>,
    after: Vec<Block>,
    overlap: f64,
    outline: Option<Vec<(f64, f64)>>,
    /// `x` for fore and aft, `y` for athwart.
    way: String,
    reach: f64,
    /// Length slid (m), area (m2).
    areas: Vec<(f64, f64)>,
    /// Lengths slid that leave under a square millimetre, from and to (m).
    bands: Vec<(f64, f64)>,
}

/// The widest band with no block left out, one, two and three, by trying every set.
#[derive(Deserialize)]
struct Least {
    before: Vec<Block>,
    after: Vec<Block>,
    reach: f64,
    of_after: Vec<f64>,
    of_either: Vec<f64>,
}

/// The least furthest shift of two, on a grid of a 40th of the reach.
#[derive(Deserialize)]
struct Two {
    before: Vec<Block>,
    after: Vec<Block>,
    reach: f64,
    furthest: Option<f64>,
}

fn fixture() -> Fixture {
    serde_json::from_str(include_str!("shifts.json")).expect("the fixture")
}

fn footings(blocks: &[Block], overlap_m: f64) -> Vec<Footing> {
    let cap = |(x, y, length_m, width_m, turn_deg): &Block| Rectangle {
        centre: Coord { x: *x, y: *y },
        length_m: *length_m,
        width_m: *width_m,
        turn_deg: *turn_deg,
    };
    let footing = |(block, cap)| Footing { block, cap };
    blocks.iter().map(cap).enumerate().map(footing).map(|f| f.grown(overlap_m)).collect()
}

fn sides(before: &[Block], after: &[Block]) -> Sides {
    Sides::of_blocks(&footings(before, 0.0), &footings(after, 0.0), &None)
}

/// Where edges are parallel a square millimetre is some micrometres of contact; a corner that leads may have
/// gone in by a millimetre and more.
fn square_mm_m(blocks: &[Block]) -> f64 {
    let turned = |block: &Block| block.4.abs() > 1e-5;
    if blocks.iter().any(turned) { 1.5e-3 } else { 1e-5 }
}

impl Plan {
    fn sides(&self) -> Sides {
        let ring = |ring: &Vec<(f64, f64)>| Polygon::new(ring.clone().into(), vec![]);
        let outline = self.outline.as_ref().map(|vertices| MultiPolygon(vec![ring(vertices)]));
        let of = |blocks| footings(blocks, self.overlap);
        Sides::of_blocks(&of(&self.before), &of(&self.after), &outline)
    }

    fn way(&self) -> Way {
        if self.way == "x" { Way::ForeAndAft } else { Way::Athwart }
    }
}

#[test]
fn areas_hidden_twice_are_those_that_shapely_finds() {
    let plans = fixture().plans;
    assert_eq!(plans.len(), 150);
    let mut some = 0;
    for (number, plan) in plans.iter().enumerate() {
        let sides = plan.sides();
        for (slid, wanted) in &plan.areas {
            let found = sides.hidden_twice_m2(plan.way(), *slid);
            let wanted = if *wanted < 1e-6 { 0.0 } else { *wanted };
            some += usize::from(wanted > 0.0);
            assert!((found - wanted).abs() < 2e-6, "plan {number} at {slid}: {found}, {wanted}");
        }
    }
    assert!(some > 1000, "only {some} areas are any");
}

#[test]
fn the_curve_is_the_area_at_every_critical_length_and_straight_or_bent_between() {
    for (number, plan) in fixture().plans.iter().enumerate() {
        let (sides, way) = (plan.sides(), plan.way());
        let curve = sides.study(way, (-plan.reach, plan.reach)).curve;
        assert_eq!(curve[0].0, -plan.reach);
        assert_eq!(curve[curve.len() - 1].0, plan.reach);
        for (slid, area) in curve.iter().step_by(1 + curve.len() / 60) {
            let direct = sides.hidden_twice_m2(way, *slid);
            assert!((area - direct).abs() < 1e-6, "plan {number} at {slid}: {area}, {direct}");
        }
        // Between two neighbours it is of the second degree: four places on it say so.
        for pair in curve.windows(2).step_by(1 + curve.len() / 20) {
            let (from, to) = (pair[0].0, pair[1].0);
            let at = |part: f64| sides.hidden_twice_m2(way, from + part * (to - from));
            let third = 3.0 * (at(2.0 / 3.0) - at(1.0 / 3.0)) + at(0.0) - at(1.0);
            assert!(third.abs() < 5e-6, "plan {number} from {from} to {to}: {third}");
        }
    }
}

#[test]
fn bands_are_those_that_shapely_finds() {
    let mut compared = 0;
    for (number, plan) in fixture().plans.iter().enumerate() {
        let found = plan.sides().study(plan.way(), (-plan.reach, plan.reach)).bands;
        let all: Vec<Block> = plan.before.iter().chain(&plan.after).copied().collect();
        let near = square_mm_m(&all).max(if plan.outline.is_some() { 1.5e-3 } else { 0.0 });
        let step = 2.0 * plan.reach / 300.0;
        for (from, to) in plan.bands.iter().filter(|(from, to)| to - from > 4.0 * near) {
            let met =
                |band: &&Band| (band.from_m - from).abs() < near && (band.to_m - to).abs() < near;
            let met = found.iter().find(met);
            assert!(met.is_some(), "plan {number}: shapely's {from} to {to} is not in {found:?}");
            compared += 1;
        }
        for band in found.iter().filter(|band| band.width_m() > step) {
            let met = |(from, to): &&(f64, f64)| {
                band.from_m > from - 1e-6 && band.to_m < to + 1e-6 && band.width_m() > 0.0
            };
            assert!(
                plan.bands.iter().any(|b| met(&b)),
                "plan {number}: {band:?}, {:?}",
                plan.bands
            );
        }
    }
    assert!(compared > 100, "only {compared} bands were compared");
}

#[test]
fn no_other_blocks_left_out_give_more_room() {
    let mut gained = 0;
    for (number, case) in fixture().least.iter().enumerate() {
        let study =
            sides(&case.before, &case.after).study(Way::ForeAndAft, (-case.reach, case.reach));
        let widest = study.widest().map_or(0.0, |band| band.width_m());
        let near = 2.0 * square_mm_m(&case.before);
        let best = |count: usize, after_alone: bool| {
            let fits = |out: &&LeavingOut| {
                out.count() <= count && (!after_alone || out.of_before.is_empty())
            };
            study
                .leaving_out
                .iter()
                .filter(fits)
                .map(|out| out.band.width_m())
                .fold(widest, f64::max)
        };
        for count in 0..=3 {
            for (after_alone, wanted) in [(true, &case.of_after), (false, &case.of_either)] {
                let (found, wanted) = (best(count, after_alone), wanted[count]);
                assert!((found - wanted).abs() < near, "case {number}, {count}: {found}, {wanted}");
            }
        }
        // Each does what it says.
        for out in &study.leaving_out {
            gained += 1;
            let stay = |blocks: &[Block], gone: &[usize]| -> Vec<Footing> {
                footings(blocks, 0.0).into_iter().filter(|f| !gone.contains(&f.block)).collect()
            };
            let without = Sides::of_blocks(
                &stay(&case.before, &out.of_before),
                &stay(&case.after, &out.of_after),
                &None,
            );
            let bands = without.study(Way::ForeAndAft, (-case.reach, case.reach)).bands;
            let is = |b: &Band| {
                (b.from_m - out.band.from_m).abs() < 1e-8 && (b.to_m - out.band.to_m).abs() < 1e-8
            };
            assert!(bands.iter().any(is), "case {number}: {out:?}, {bands:?}");
        }
    }
    assert!(gained > 40, "only {gained}");
}

/// What is hidden in all three positions, by the library that the exposure map is made with, m2.
fn hidden_thrice_m2(before: &[Block], after: &[Block], first: f64, second: f64) -> f64 {
    let shape = |blocks: &[Block]| {
        let caps: Vec<Polygon<f64>> =
            footings(blocks, 0.0).iter().map(|footing| footing.cap.polygon()).collect();
        union(&caps)
    };
    let after = |by: f64| shape(after).translate(by, 0.0);
    let hidden = shape(before).intersection(&union(&after(first).0));
    area_m2(&hidden.intersection(&union(&after(second).0)))
}

#[test]
fn no_pair_of_a_grid_is_nearer() {
    for (number, case) in fixture().pairs.iter().enumerate() {
        let wanted = case.furthest.expect("a pair on the grid");
        let sides = sides(&case.before, &case.after);
        let range = (-case.reach, case.reach);
        assert!(sides.study(Way::ForeAndAft, range).bands.is_empty());
        let pair = sides.pair(Way::ForeAndAft, range, 0.0).expect("a pair");
        assert!(pair.furthest_m() < wanted + 1e-9, "case {number}: {pair:?}, {wanted}");
        assert!(
            pair.furthest_m() > wanted - case.reach / 40.0,
            "case {number}: {pair:?}, {wanted}"
        );
        for second in [pair.second.from_m, pair.second.middle_m(), pair.second.to_m] {
            let left = hidden_thrice_m2(&case.before, &case.after, pair.first_m, second);
            assert!(left < 5e-6, "case {number}: {pair:?} leaves {left} m2");
        }
    }
}

/// A row of blocks 1.2 m wide: how many, the first one's x, pitch, length.
fn row(count: u32, x: f64, pitch: f64, length: f64) -> Vec<Block> {
    (0..count).map(|n| (x + f64::from(n) * pitch, 0.0, length, 1.2, 0.0)).collect()
}

#[test]
fn one_whole_block_shift_does_it_or_two_half_block_shifts() {
    let studied = |pitch: f64| {
        let row = row(40, 2.0, pitch, 0.6);
        (sides(&row, &row), (-1.5 * pitch, 1.5 * pitch))
    };
    // Gaps wider than a block: the whole block, and what the gap has more than it.
    let (whole, range) = studied(1.4);
    let study = whole.study(Way::ForeAndAft, range);
    assert!(study.smallest().is_some_and(|slid| (slid - 0.6).abs() < 1e-9));
    let band = study.widest().expect("a band");
    assert!((band.middle_m() - 0.7).abs() < 1e-9 && (band.miss_m() - 0.1).abs() < 1e-9);
    assert!(study.leaving_out.iter().all(|out| out.band.width_m() > 0.2));
    assert_eq!(whole.pair(Way::ForeAndAft, range, 0.0), None);
    // Gaps of two thirds of a block: no single shift, but half a block each way from where she lay.
    let (half, range) = studied(1.0);
    assert_eq!(half.study(Way::ForeAndAft, range).widest(), None);
    let pair = half.pair(Way::ForeAndAft, range, 0.02).expect("a pair");
    assert!((pair.first_m - 0.3).abs() < 1e-9, "{pair:?}");
    assert!((pair.second.to_m + 0.3).abs() < 1e-9 && (pair.second.from_m + 0.4).abs() < 1e-9);
    // Gaps of a third of a block: not with two shifts either.
    let (third, range) = studied(0.8);
    assert_eq!(third.pair(Way::ForeAndAft, range, 0.0), None);
}

#[test]
fn one_block_that_stands_off_an_opening_left_out_turns_two_shifts_into_one() {
    // The twentieth block was moved half a metre to stand clear of a sea chest.
    let mut line = row(40, 2.0, 1.4, 0.6);
    line[19].0 += 0.5;
    let range = (-1.3, 1.3);
    let study = sides(&line, &line).study(Way::ForeAndAft, range);
    assert_eq!(study.bands, []);
    let out = &study.leaving_out[0];
    assert_eq!((out.of_after.as_slice(), out.of_before.as_slice()), (&[19][..], &[][..]));
    let band = out.band;
    assert!((band.from_m - 0.6).abs() < 1e-9 && (band.to_m - 0.8).abs() < 1e-9, "{band:?}");
}
