//! Tie-ins: where a patch borders on the coating round it.

use std::collections::BTreeMap;

use geo::{MultiPolygon, Polygon};
use rayon::prelude::*;

use super::{Cell, Done, Job, Stand, earlier};
use crate::calc::plane::{area_m2, common, grown, union, without};

/// How wide a strip round a patch is searched for the surrounding coating, m (our choice: wide beside what computing
/// leaves between edges, narrow beside any overlap).
pub const STRIP_M: f64 = 0.02;

/// Shorter meetings are corners that touch, m.
const LEAST_M: f64 = 0.05;

#[derive(Debug, Clone, Copy)]
pub struct Zone<'a> {
    pub cells: &'a [Cell],
    /// Its jobs, the coats among them in the chains of the parts.
    pub jobs: &'a [Job],
    /// How they came out.
    pub done: &'a [Done],
}

/// A job: its zone and its place in that zone's jobs.
pub type Of = (usize, usize);

/// A coat on patches, and the last coat before it of the surrounding coating, along some of the patches' edge.
#[derive(Debug, Clone, PartialEq)]
pub struct TieIn {
    /// The coat on the patches: its zone and place in that zone's jobs.
    pub patch: Of,
    /// The last coat of what surrounds them before it: its zone and place in that zone's jobs.
    pub surrounding: Of,
    /// Along how much of the edge, m.
    pub length_m: f64,
    /// The surrounding steel there, in a strip round the patches.
    pub strip: MultiPolygon<f64>,
}

/// Every tie-in of a coat on patches to the last coat before it round them. Patches are what a job
/// treated of steel that an earlier position had hidden; what surrounds them was coated before the shift, or since on steel that had been exposed.
pub fn tie_ins(zones: &[Zone<'_>], stands: &[Stand]) -> Vec<TieIn> {
    let found: Vec<Strips> =
        (0..zones.len()).into_par_iter().map(|z| strips(zones, z, stands)).collect();
    found
        .into_iter()
        .flatten()
        .map(|((patch, surrounding), met)| {
            let strip = MultiPolygon(met);
            TieIn { patch, surrounding, length_m: area_m2(&strip) / STRIP_M, strip }
        })
        .filter(|tie_in| tie_in.length_m >= LEAST_M)
        .collect()
}

/// The surrounding steel in the strips round patches, by the coat on the patches and the one that surrounds them.
type Strips = BTreeMap<(Of, Of), Vec<Polygon<f64>>>;

/// Those round the patches of one zone.
fn strips(zones: &[Zone<'_>], z: usize, stands: &[Stand]) -> Strips {
    let mut strips = Strips::new();
    let zone = &zones[z];
    let mut known: Option<Around> = None;
    for (j, (job, done)) in zone.jobs.iter().zip(zone.done).enumerate() {
        if job.coat.is_none() || done.stand.is_none() {
            continue;
        }
        let over = earlier(stands, job.from_h);
        // Coat follows coat on the same patches: what lies round them is worked out once.
        let around = match known.take() {
            Some(around) if around.over == over && around.got == done.got => around,
            _ => match Around::new(&done.got, over, stands) {
                Some(around) => around,
                None => continue,
            },
        };
        let around = known.insert(around);
        let cells: Vec<(Of, (usize, usize))> =
            surrounding(zones, &around.over, job, done).collect();
        for (of, at) in cells {
            let met = around
                .met
                .entry(at)
                .or_insert_with(|| common(&zones[at.0].cells[at.1].shape, &around.strip));
            if !met.0.is_empty() {
                strips.entry(((z, j), of)).or_default().extend(met.0.iter().cloned());
            }
        }
    }
    strips
}

/// What lies round the patches that a job treated.
struct Around {
    got: MultiPolygon<f64>,
    over: Vec<usize>,
    /// The strip round them.
    strip: MultiPolygon<f64>,
    /// What of it each cell of each zone holds, as far as it was asked.
    met: BTreeMap<(usize, usize), MultiPolygon<f64>>,
}

impl Around {
    /// `None` where the job treated no patch.
    fn new(got: &MultiPolygon<f64>, over: Vec<usize>, stands: &[Stand]) -> Option<Self> {
        let patches = match over.as_slice() {
            [] => return None,
            [one] => common(got, &stands[*one].hidden),
            several => {
                let hidden = union(several.iter().flat_map(|at| &stands[*at].hidden.0));
                common(got, &hidden)
            }
        };
        if patches.0.is_empty() {
            return None;
        }
        let strip = without(&grown(&patches, STRIP_M), got);
        Some(Self { got: got.clone(), over, strip, met: BTreeMap::new() })
    }
}

/// The cells that surround patches, by zone and place in it, with their last coat before a job: its zone and job. Patches
/// beside the job's own that were coated in the same dry spell are not among them.
fn surrounding<'a>(
    zones: &'a [Zone<'a>],
    over: &'a [usize],
    job: &'a Job,
    done: &'a Done,
) -> impl Iterator<Item = (Of, (usize, usize))> {
    zones.iter().enumerate().flat_map(move |(z, zone)| {
        zone.cells.iter().enumerate().filter_map(move |(c, cell)| {
            let before = |at: &&usize| zone.jobs[**at].from_h < job.from_h;
            let last = *cell.chain.iter().rev().find(before)?;
            let patch = over.iter().any(|at| cell.hidden_in[*at]);
            (!(patch && zone.done[last].stand == done.stand)).then_some(((z, last), (z, c)))
        })
    })
}
