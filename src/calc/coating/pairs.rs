//! Coats that lie on each other, and coats that meet the water.

use std::collections::BTreeMap;

use super::{Cell, Job, Stand};
use crate::calc::plane::area_m2;

/// One coat over another on the same steel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    pub lower: usize,
    pub upper: usize,
    /// Where the two lie on each other, m2 in plan.
    pub area_m2: f64,
}

/// Every pair of coats of which one lies next over the other somewhere, or did before it was taken off. One coat that
/// several rows record at one time, since two gangs or two batches put it on, is one coat and lies not over itself.
pub fn over_each_other(cells: &[Cell], jobs: &[Job]) -> Vec<Pair> {
    let mut areas: BTreeMap<(usize, usize), f64> = BTreeMap::new();
    for cell in cells {
        for pair in cell.chains().flat_map(|chain| chain.windows(2)) {
            if !are_one(&jobs[pair[0]], &jobs[pair[1]]) {
                *areas.entry((pair[1], pair[0])).or_insert(0.0) += area_m2(&cell.shape);
            }
        }
    }
    areas.into_iter().map(|((upper, lower), area_m2)| Pair { lower, upper, area_m2 }).collect()
}

/// Whether two jobs are one coat in two rows: of one number, and put on at one time.
pub fn are_one(one: &Job, other: &Job) -> bool {
    one.coat.is_some()
        && one.coat == other.coat
        && one.from_h < other.to_h
        && other.from_h < one.to_h
}

/// A coat that was the last on some steel when the water came back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Immersed {
    pub job: usize,
    /// The position that the water ended.
    pub stand: usize,
    /// From its finish to the water, h.
    pub after_h: f64,
    /// Where it was the last, m2 in plan.
    pub area_m2: f64,
}

/// Every coat that lay uppermost when the water came back at the end of the dry spell in which it was
/// put on; one that had been under water before is of no account.
pub fn immersed(cells: &[Cell], jobs: &[Job], stands: &[Stand]) -> Vec<Immersed> {
    let mut areas: BTreeMap<(usize, usize), f64> = BTreeMap::new();
    for (at, stand) in stands.iter().enumerate() {
        let Some((dry, water)) = stand.dry_h.filter(|(_, water)| water.is_finite()) else {
            continue;
        };
        for cell in cells {
            // What was taken off before the water came was not there.
            let chain = cell.chain_at(water, jobs);
            let last = chain.iter().rev().find(|job| jobs[**job].to_h <= water);
            if let Some(last) = last.filter(|job| jobs[**job].from_h >= dry) {
                *areas.entry((*last, at)).or_insert(0.0) += area_m2(&cell.shape);
            }
        }
    }
    areas
        .into_iter()
        .filter_map(|((job, stand), area_m2)| {
            let after_h = stands[stand].dry_h?.1 - jobs[job].to_h;
            Some(Immersed { job, stand, after_h, area_m2 })
        })
        .collect()
}

/// Whether the dock was flooded between two jobs: both dry, and not in the same spell.
pub fn flooded_between(stands: &[Stand], earlier_h: f64, later_h: f64) -> bool {
    let spell = |at: f64| {
        stands.iter().position(|s| s.dry_h.is_some_and(|(dry, water)| dry <= at && at <= water))
    };
    spell(earlier_h) != spell(later_h)
}
