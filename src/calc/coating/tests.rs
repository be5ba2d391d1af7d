//! Small bottoms whose histories can be followed by hand.

use geo::{MultiPolygon, Polygon};

use super::pairs::{flooded_between, immersed, over_each_other};
use super::tie_in::{Zone, tie_ins};
use super::*;
use crate::calc::plane::area_m2;

fn rectangle(x: f64, length: f64) -> MultiPolygon<f64> {
    let ring = vec![(x, 0.0), (x + length, 0.0), (x + length, 1.0), (x, 1.0)];
    MultiPolygon(vec![Polygon::new(ring.into(), vec![])])
}

/// A bottom 10 m long and 1 m wide; blocks of 1 m at 2 and 5 in the first position, at 3 and 6 in the
/// second, so that nothing is hidden twice. Dry from hour 0 to 100 and from 120 to 200.
fn stands() -> Vec<Stand> {
    let blocks = |at: [f64; 2]| {
        let shapes: Vec<Polygon<f64>> = at.iter().flat_map(|x| rectangle(*x, 1.0).0).collect();
        MultiPolygon(shapes)
    };
    vec![
        Stand { dry_h: Some((0.0, 100.0)), hidden: blocks([2.0, 5.0]) },
        Stand { dry_h: Some((120.0, 200.0)), hidden: blocks([3.0, 6.0]) },
    ]
}

fn coat(number: i64, from_h: f64, claim: Claim) -> Job {
    Job { from_h, to_h: from_h + 2.0, claim, coat: Some(number), clears: Clears::Nothing }
}

fn near(shape: &MultiPolygon<f64>, area: f64) -> bool {
    (area_m2(shape) - area).abs() < 1e-4
}

fn area_with(steel: &Steel, jobs: &[Job], scheme: &[i64], lacks: &[i64]) -> f64 {
    let of = steel.cells.iter().filter(|cell| missing(&cell.chain, jobs, scheme) == lacks);
    of.map(|cell| area_m2(&cell.shape)).sum()
}

#[test]
fn a_shifted_ship_gets_her_whole_scheme() {
    let jobs = [
        coat(1, 10.0, Claim::Exposed),
        coat(2, 30.0, Claim::Exposed),
        coat(1, 130.0, Claim::Patches),
        coat(2, 150.0, Claim::Patches),
    ];
    let steel = history(&rectangle(0.0, 10.0), &stands(), &jobs, &[1, 2], 0.0);
    assert!((area_with(&steel, &jobs, &[1, 2], &[]) - 10.0).abs() < 1e-4);
    assert!(steel.done.iter().all(|done| done.on_blocks.0.is_empty() && done.lacking.0.is_empty()));
    assert!(near(&steel.done[0].got, 8.0) && near(&steel.done[2].got, 2.0));
    let pairs = over_each_other(&steel.cells, &jobs);
    let found: Vec<(usize, usize)> = pairs.iter().map(|pair| (pair.lower, pair.upper)).collect();
    assert_eq!(found, [(0, 1), (2, 3)]);
    let wet = immersed(&steel.cells, &jobs, &stands());
    let found: Vec<(usize, usize, f64)> =
        wet.iter().map(|one| (one.job, one.stand, one.after_h)).collect();
    assert_eq!(found, [(1, 0, 68.0), (3, 1, 48.0)]);
}

#[test]
fn a_claim_on_steel_under_blocks_counts_only_where_it_was_free() {
    let jobs = [coat(1, 10.0, Claim::All), coat(1, 130.0, Claim::All)];
    let steel = history(&rectangle(0.0, 10.0), &stands(), &jobs, &[1], 0.0);
    assert!(near(&steel.done[0].on_blocks, 2.0) && near(&steel.done[0].got, 8.0));
    assert!((area_with(&steel, &jobs, &[1], &[]) - 10.0).abs() < 1e-4);
}

#[test]
fn a_week_later_everything_is_under_water() {
    let jobs = [coat(1, 101.0, Claim::Exposed), coat(2, 99.0, Claim::Exposed)];
    let steel = history(&rectangle(0.0, 10.0), &stands(), &jobs, &[1, 2], 0.0);
    for done in &steel.done {
        assert!(done.stand.is_none() && done.got.0.is_empty() && !done.claimed.0.is_empty());
    }
    assert!((area_with(&steel, &jobs, &[1, 2], &[1, 2]) - 10.0).abs() < 1e-4);
}

#[test]
fn patches_are_what_was_hidden_before_and_lacks_a_coat() {
    // In the first position nothing had been hidden before.
    let none = [coat(1, 10.0, Claim::Patches)];
    let steel = history(&rectangle(0.0, 10.0), &stands(), &none, &[1], 0.0);
    assert!(steel.done[0].claimed.0.is_empty());
    // In the second the whole bottom but the first position's blocks is complete.
    let jobs = [coat(1, 10.0, Claim::Exposed), coat(1, 130.0, Claim::Patches)];
    let steel = history(&rectangle(0.0, 10.0), &stands(), &jobs, &[1], 0.0);
    assert!(near(&steel.done[1].claimed, 2.0));
    // A block that hides a patch again: nobody could paint there, and the word claims what is free.
    let mut slipped = stands();
    slipped[1].hidden = MultiPolygon([rectangle(2.5, 1.0).0, rectangle(6.0, 1.0).0].concat());
    let steel = history(&rectangle(0.0, 10.0), &slipped, &jobs, &[1], 0.0);
    assert!(near(&steel.done[1].claimed, 1.5) && near(&steel.done[1].got, 1.5));
    assert!(steel.done[1].on_blocks.0.is_empty());
    assert!((area_with(&steel, &jobs, &[1], &[1]) - 0.5).abs() < 1e-4);
}

#[test]
fn laps_up_to_the_feathering_are_no_fault() {
    let lap = |width: f64| {
        let jobs = [coat(1, 10.0, Claim::Area(rectangle(3.0 - width, 2.0 + width)))];
        history(&rectangle(0.0, 10.0), &stands(), &jobs, &[1], 0.05)
    };
    assert!(lap(0.04).done[0].on_blocks.0.is_empty());
    assert!(near(&lap(0.08).done[0].on_blocks, 0.08));
}

#[test]
fn a_coat_without_the_one_before_it_is_named() {
    let jobs = [
        coat(1, 10.0, Claim::Area(rectangle(7.0, 2.0))),
        coat(2, 20.0, Claim::Area(rectangle(7.0, 3.0))),
        coat(2, 30.0, Claim::Area(rectangle(9.0, 2.0))),
    ];
    let steel = history(&rectangle(0.0, 10.0), &stands(), &jobs, &[1, 2], 0.0);
    assert!(steel.done[0].lacking.0.is_empty());
    assert!(near(&steel.done[1].lacking, 1.0));
    // The last reaches a metre outside the zone.
    assert!(near(&steel.done[2].outside, 1.0) && near(&steel.done[2].claimed, 1.0));
}

/// Common practice, no source: each further shift stretches the intervals at a tie-in by days or weeks. The
/// patches of the third position meet a coating whose last coat is older by two floodings than the patches'
/// own.
#[test]
fn each_shift_makes_the_tie_in_older() {
    let mut stands = stands();
    stands.push(Stand { dry_h: Some((220.0, 300.0)), hidden: rectangle(8.0, 1.0) });
    let jobs = [
        coat(1, 50.0, Claim::Exposed),
        coat(1, 130.0, Claim::Area(rectangle(2.0, 1.0))),
        coat(1, 250.0, Claim::Patches),
    ];
    let zone = rectangle(0.0, 10.0);
    let steel = history(&zone, &stands, &jobs, &[1], 0.0);
    let zones = [Zone { cells: &steel.cells, jobs: &jobs, done: &steel.done }];
    let found = tie_ins(&zones, &stands);
    let waits: Vec<(usize, f64)> = found
        .iter()
        .map(|tie_in| {
            let (patch, around) = (tie_in.patch.1, tie_in.surrounding.1);
            assert!(flooded_between(&stands, jobs[around].to_h, jobs[patch].from_h));
            assert!((tie_in.length_m - 2.0).abs() < 0.2, "{tie_in:?}");
            (patch, jobs[patch].from_h - jobs[around].to_h)
        })
        .collect();
    assert_eq!(waits, [(1, 78.0), (2, 198.0)]);
}

fn preparation(at_h: f64, claim: Claim, clears: Clears) -> Job {
    Job { from_h: at_h, to_h: at_h, claim, coat: None, clears }
}

#[test]
fn a_blast_takes_off_what_was_there_and_nothing_beside_it() {
    let blasted = Claim::Area(rectangle(8.0, 1.0));
    let jobs = [
        coat(1, 10.0, Claim::Exposed),
        coat(2, 30.0, Claim::Exposed),
        preparation(40.0, blasted.clone(), Clears::All),
        coat(1, 50.0, blasted.clone()),
    ];
    let steel = history(&rectangle(0.0, 10.0), &stands(), &jobs, &[1, 2], 0.0);
    assert!(near(&steel.done[2].cleared, 1.0));
    assert!(steel.done[3].over_later.0.is_empty(), "it lies on bare steel");
    // Eight metres were free: seven have both coats, the blasted one the first alone.
    assert!((area_with(&steel, &jobs, &[1, 2], &[]) - 7.0).abs() < 1e-4);
    assert!((area_with(&steel, &jobs, &[1, 2], &[2]) - 1.0).abs() < 1e-4);
    let pairs = over_each_other(&steel.cells, &jobs);
    let found: Vec<(usize, usize)> = pairs.iter().map(|pair| (pair.lower, pair.upper)).collect();
    assert_eq!(found, [(0, 1)], "the interval of the coats that were there is still one");
    assert!((pairs[0].area_m2 - 8.0).abs() < 1e-4);
    // Under water lay what was uppermost then: the touch-up where she was blasted.
    let wet = immersed(&steel.cells, &jobs, &stands());
    let found: Vec<usize> = wet.iter().map(|one| one.job).collect();
    assert_eq!(found, [1, 3]);
    assert!((wet[0].area_m2 - 7.0).abs() < 1e-4 && (wet[1].area_m2 - 1.0).abs() < 1e-4);
}

#[test]
fn a_check_dated_while_a_coat_goes_on_takes_nothing_of_it_off() {
    let jobs = [coat(1, 10.0, Claim::Exposed), preparation(11.0, Claim::Exposed, Clears::All)];
    let steel = history(&rectangle(0.0, 10.0), &stands(), &jobs, &[1], 0.0);
    assert!(steel.done[1].cleared.0.is_empty());
    assert!((area_with(&steel, &jobs, &[1], &[]) - 8.0).abs() < 1e-4);
}

#[test]
fn what_was_blasted_in_the_next_dry_spell_had_been_under_water() {
    let jobs = [
        coat(1, 10.0, Claim::Exposed),
        preparation(125.0, Claim::Area(rectangle(8.0, 1.0)), Clears::All),
    ];
    let steel = history(&rectangle(0.0, 10.0), &stands(), &jobs, &[1], 0.0);
    let wet = immersed(&steel.cells, &jobs, &stands());
    assert_eq!(wet.iter().map(|one| (one.job, one.stand)).collect::<Vec<_>>(), [(0, 0)]);
    assert!((wet[0].area_m2 - 8.0).abs() < 1e-4);
}

#[test]
fn an_earlier_coat_over_a_later_one_is_named_unless_the_steel_was_prepared_anew() {
    let over = |clears: Clears| {
        let jobs = [
            coat(1, 10.0, Claim::Exposed),
            coat(2, 30.0, Claim::Exposed),
            preparation(40.0, Claim::Area(rectangle(7.0, 2.0)), clears),
            coat(1, 50.0, Claim::Area(rectangle(7.0, 3.0))),
        ];
        history(&rectangle(0.0, 10.0), &stands(), &jobs, &[1, 2], 0.0).done[3].clone()
    };
    let washed = over(Clears::Nothing);
    assert!(near(&washed.over_later, 3.0) && washed.later == Some(1));
    for clears in [Clears::Spots, Clears::All] {
        assert!(near(&over(clears).over_later, 1.0), "{clears:?}: one metre was not prepared");
    }
}

#[test]
fn one_coat_in_two_rows_lies_not_over_itself() {
    let mut jobs = vec![coat(1, 10.0, Claim::Exposed), coat(1, 11.0, Claim::Exposed)];
    let pairs = |jobs: &[Job]| {
        let steel = history(&rectangle(0.0, 10.0), &stands(), jobs, &[1], 0.0);
        over_each_other(&steel.cells, jobs).len()
    };
    assert_eq!(pairs(&jobs), 0);
    jobs[1] = coat(1, 13.0, Claim::Exposed);
    assert_eq!(pairs(&jobs), 1);
}
