//! What a zone's steel really received: the jobs that its logs claim, held against where the blocks
//! and the water were at the time.

pub mod pairs;
#[cfg(test)]
mod tests;
pub mod tie_in;

use geo::{MultiPolygon, Polygon};

use super::formula::Formula;
use super::plane::{common, solid, union, wider_than, without};

/// How the chain of coats is found.
pub const CHAIN: Formula = Formula {
    name: "coats received",
    title: "Coats that the steel really received",
    says: "A job counts where its claim was free of blocks and the dock dry from its start to its \
           finish; patches = steel that an earlier position hid, whose scheme is not yet complete and that \
           stands free in the position of the time; each class of the bottom and zone carries the chain \
           of such jobs in order of time; blasting and water jetting to bare steel take off the coats that were \
           finished before",
    source: "plane geometry and the times of the record",
};

/// Where the ship stood: the spell for which the dock was dry, and what the blocks hid.
#[derive(Debug, Clone)]
pub struct Stand {
    /// Dock dry and water let in again, hours since any moment; `None` if they are not known.
    pub dry_h: Option<(f64, f64)>,
    /// What the blocks hid.
    pub hidden: MultiPolygon<f64>,
}

/// Which part of a zone a job claims.
#[derive(Debug, Clone)]
pub enum Claim {
    All,
    /// What the position of the time left free.
    Exposed,
    /// What an earlier position hid, is short of its scheme, and stands free in the position of the time.
    Patches,
    Area(MultiPolygon<f64>),
}

/// Something done to a zone: a coat, or a preparation.
#[derive(Debug, Clone)]
pub struct Job {
    pub from_h: f64,
    /// Finish, h; not before the start.
    pub to_h: f64,
    /// What the log claims.
    pub claim: Claim,
    /// Number of the coat; `None` for a preparation.
    pub coat: Option<i64>,
    /// What it does to the coats that are there.
    pub clears: Clears,
}

/// What a job does to the coats that lie on the steel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Clears {
    /// They stay as they are.
    #[default]
    Nothing,
    /// They stay, and places in them are opened so that an earlier coat of the scheme may go on again: abrading,
    /// sweeping, cleaning with tools or spot by spot.
    Spots,
    /// It takes them off.
    All,
}

/// How a job came out.
#[derive(Debug, Clone)]
pub struct Done {
    /// The position in whose dry spell it lay from start to finish.
    pub stand: Option<usize>,
    /// What it claimed, within the zone.
    pub claimed: MultiPolygon<f64>,
    /// What it claimed outside the zone.
    pub outside: MultiPolygon<f64>,
    /// What it claimed where blocks stood, without slivers.
    pub on_blocks: MultiPolygon<f64>,
    /// What it really treated.
    pub got: MultiPolygon<f64>,
    /// Of that, what had not got the coat before this one in the scheme, without slivers.
    pub lacking: MultiPolygon<f64>,
    /// Of what it treated, what carried a later coat of the scheme already and had not been prepared anew since,
    /// without slivers.
    pub over_later: MultiPolygon<f64>,
    /// The uppermost of those later coats, by its place in the list of jobs.
    pub later: Option<usize>,
    /// Where it took off coats, without slivers.
    pub cleared: MultiPolygon<f64>,
}

/// A part of a zone that has one history.
#[derive(Debug, Clone)]
pub struct Cell {
    /// For each position, whether it was hidden there.
    pub hidden_in: Vec<bool>,
    pub shape: MultiPolygon<f64>,
    /// The coats that lie on it, as places in the list of jobs, in order of time.
    pub chain: Vec<usize>,
    /// Coats that were taken off again, likewise, each time with the job that did it.
    pub taken_off: Vec<(usize, Vec<usize>)>,
}

impl Cell {
    /// Every chain of coats that lay on it, those taken off first.
    pub fn chains(&self) -> impl Iterator<Item = &[usize]> {
        let off = self.taken_off.iter().map(|(_, chain)| chain.as_slice());
        off.chain([self.chain.as_slice()])
    }

    /// The chain that lay on it at a time, with what was put on it afterwards before it was taken off.
    pub fn chain_at(&self, at_h: f64, jobs: &[Job]) -> &[usize] {
        let later = |(by, _): &&(usize, Vec<usize>)| jobs[*by].from_h > at_h;
        self.taken_off.iter().find(later).map_or(&self.chain, |(_, chain)| chain)
    }
}

#[derive(Debug, Clone)]
pub struct Steel {
    pub cells: Vec<Cell>,
    /// How each job came out, in the order of the list of jobs.
    pub done: Vec<Done>,
}

/// The history of a zone under a list of jobs. `scheme` holds the numbers of the coats that it is to
/// get; `feathering_m` is the width up to which laps and slivers are no fault.
pub fn history(
    zone: &MultiPolygon<f64>,
    stands: &[Stand],
    jobs: &[Job],
    scheme: &[i64],
    feathering_m: f64,
) -> Steel {
    let mut cells = by_position(zone, stands);
    let mut in_time: Vec<usize> = (0..jobs.len()).collect();
    // What begins at one moment is put in order by what it is, and by its place in the list only if it is alike.
    in_time.sort_by(|a, b| {
        let (one, other) = (&jobs[*a], &jobs[*b]);
        (one.from_h.total_cmp(&other.from_h))
            .then(one.coat.cmp(&other.coat))
            .then(one.to_h.total_cmp(&other.to_h))
            .then(a.cmp(b))
    });
    let free: Vec<MultiPolygon<f64>> =
        stands.iter().map(|stand| solid(&without(zone, &stand.hidden))).collect();
    let mut done: Vec<Option<Done>> = vec![None; jobs.len()];
    // Checks follow each other by the dozen; until a coat goes on, patches stay what they are.
    let mut patches: Option<(usize, Reach)> = None;
    for at in in_time {
        let job = &jobs[at];
        let stand = stand_of(stands, job);
        let known = match (&job.claim, &patches) {
            (Claim::Patches, Some((of, reach))) if stand == Some(*of) => Some(reach.clone()),
            _ => None,
        };
        let reach = known.unwrap_or_else(|| {
            let on = stand.map(|stand| (&stands[stand].hidden, &free[stand]));
            reach(zone, job, on, feathering_m, || {
                open(&cells, &earlier(stands, job.from_h), jobs, scheme)
            })
        });
        if let (Claim::Patches, Some(stand)) = (&job.claim, stand) {
            patches = Some((stand, reach.clone()));
        }
        let Reach { claimed, outside, on_blocks, got } = reach;
        let lacking = lacking(&got, job, &cells, jobs, scheme, feathering_m);
        let (over_later, later) = over_later(&got, job, &cells, jobs, &done, feathering_m);
        let mut cleared = MultiPolygon(vec![]);
        if job.coat.is_some() && !got.0.is_empty() {
            let lay = |cell: &mut Cell| cell.chain.push(at);
            cells = cells.into_iter().flat_map(|cell| split(cell, &got, lay)).collect();
            patches = None;
        } else if job.clears == Clears::All && !got.0.is_empty() {
            let finished = |coat: &usize| jobs[*coat].to_h <= job.from_h;
            let coated = |cell: &Cell| cell.chain.iter().any(finished);
            let off = cells.iter().filter(|cell| coated(cell));
            let off = union(&off.flat_map(|cell| common(&cell.shape, &got).0).collect::<Vec<_>>());
            cleared = wider_than(&off, feathering_m);
            if !cleared.0.is_empty() {
                let strip = |cell: &mut Cell| {
                    let (off, stays): (Vec<usize>, Vec<usize>) =
                        cell.chain.iter().copied().partition(&finished);
                    cell.chain = stays;
                    cell.taken_off.push((at, off));
                };
                cells = cells
                    .into_iter()
                    .flat_map(|cell| match coated(&cell) {
                        true => split(cell, &cleared, strip),
                        false => vec![cell],
                    })
                    .collect();
                patches = None;
            }
        }
        done[at] = Some(Done {
            stand,
            claimed,
            outside,
            on_blocks,
            got,
            lacking,
            over_later,
            later,
            cleared,
        });
    }
    Steel { cells, done: done.into_iter().flatten().collect() }
}

/// Where a job reached, as [`Done`] has it.
#[derive(Clone)]
struct Reach {
    claimed: MultiPolygon<f64>,
    outside: MultiPolygon<f64>,
    on_blocks: MultiPolygon<f64>,
    got: MultiPolygon<f64>,
}

/// Where a job reached. `on` is what was hidden and free where it lay wholly in one dry spell; `open`
/// gives the steel that earlier positions hid and that is short of its scheme.
fn reach(
    zone: &MultiPolygon<f64>,
    job: &Job,
    on: Option<(&MultiPolygon<f64>, &MultiPolygon<f64>)>,
    feathering_m: f64,
    open: impl Fn() -> MultiPolygon<f64>,
) -> Reach {
    let none = || MultiPolygon(vec![]);
    let (claimed, outside) = match &job.claim {
        Claim::All => (zone.clone(), none()),
        Claim::Exposed => (on.map_or_else(|| zone.clone(), |(_, free)| free.clone()), none()),
        // Nobody who writes `patches` means what a block stands on again.
        Claim::Patches => {
            (on.map_or_else(&open, |(hidden, _)| solid(&without(&open(), hidden))), none())
        }
        Claim::Area(area) => (common(area, zone), wider_than(&without(area, zone), feathering_m)),
    };
    let (on_blocks, got) = match (&job.claim, on) {
        (_, None) => (none(), none()),
        (Claim::All, Some((hidden, free))) => {
            (wider_than(&common(zone, hidden), feathering_m), free.clone())
        }
        (Claim::Exposed, Some((_, free))) => (none(), free.clone()),
        (Claim::Patches, Some(_)) => (none(), claimed.clone()),
        (Claim::Area(_), Some((hidden, _))) => {
            (wider_than(&common(&claimed, hidden), feathering_m), solid(&without(&claimed, hidden)))
        }
    };
    Reach { claimed, outside, on_blocks, got }
}

/// Steel that earlier positions hid and that is short of its scheme.
fn open(cells: &[Cell], over: &[usize], jobs: &[Job], scheme: &[i64]) -> MultiPolygon<f64> {
    let open = cells.iter().filter(|cell| {
        over.iter().any(|at| cell.hidden_in[*at]) && !complete(&cell.chain, jobs, scheme)
    });
    solid(&union(open.flat_map(|cell| &cell.shape.0)))
}

/// Of what a job treated, what had not got the coat before this one in the scheme, without slivers.
fn lacking(
    got: &MultiPolygon<f64>,
    job: &Job,
    cells: &[Cell],
    jobs: &[Job],
    scheme: &[i64],
    feathering_m: f64,
) -> MultiPolygon<f64> {
    let before = job.coat.and_then(|coat| scheme.iter().rev().find(|known| **known < coat));
    let Some(before) = before.filter(|_| !got.0.is_empty()) else { return MultiPolygon(vec![]) };
    let bare = cells
        .iter()
        .filter(|cell| !cell.chain.iter().any(|at| jobs[*at].coat == Some(*before)))
        .flat_map(|cell| common(&cell.shape, got).0);
    let bare: Vec<_> = bare.collect();
    wider_than(&union(&bare), feathering_m)
}

/// Of what a job treated, what carried a later coat of the scheme and was not prepared anew since, without slivers;
/// and the uppermost of those coats.
fn over_later(
    got: &MultiPolygon<f64>,
    job: &Job,
    cells: &[Cell],
    jobs: &[Job],
    done: &[Option<Done>],
    feathering_m: f64,
) -> (MultiPolygon<f64>, Option<usize>) {
    let mut parts: Vec<Polygon<f64>> = Vec::new();
    let mut uppermost: Option<usize> = None;
    for cell in cells {
        let later = |at: &&usize| {
            jobs[**at].coat > job.coat && job.coat.is_some() && jobs[**at].to_h <= job.from_h
        };
        let Some(later) = cell.chain.iter().rev().find(later).copied() else { continue };
        let mut found = common(&cell.shape, got);
        for (at, prepared) in jobs.iter().enumerate() {
            let since = jobs[later].to_h <= prepared.from_h && prepared.from_h <= job.from_h;
            if prepared.coat.is_some() || prepared.clears == Clears::Nothing || !since {
                continue;
            }
            if let Some(prepared) = &done[at] {
                found = without(&found, &prepared.got);
            }
        }
        if !wider_than(&found, feathering_m).0.is_empty() {
            uppermost = uppermost.max(Some(later));
            parts.extend(found.0);
        }
    }
    (wider_than(&union(&parts), feathering_m), uppermost)
}

/// A zone cut into parts by the positions that hid them.
fn by_position(zone: &MultiPolygon<f64>, stands: &[Stand]) -> Vec<Cell> {
    let mut cells = vec![Cell {
        hidden_in: Vec::new(),
        shape: zone.clone(),
        chain: Vec::new(),
        taken_off: Vec::new(),
    }];
    for stand in stands {
        cells = cells
            .into_iter()
            .flat_map(|cell| {
                let parts = [
                    (true, solid(&common(&cell.shape, &stand.hidden))),
                    (false, solid(&without(&cell.shape, &stand.hidden))),
                ];
                parts.map(|(hidden, shape)| {
                    let mut hidden_in = cell.hidden_in.clone();
                    hidden_in.push(hidden);
                    Cell { hidden_in, shape, chain: Vec::new(), taken_off: Vec::new() }
                })
            })
            .filter(|cell| !cell.shape.0.is_empty())
            .collect();
    }
    cells
}

/// A cell as what a job treated of it, with what that did to it, and what it did not.
fn split(cell: Cell, got: &MultiPolygon<f64>, does: impl Fn(&mut Cell)) -> Vec<Cell> {
    let treated = solid(&common(&cell.shape, got));
    if treated.0.is_empty() {
        return vec![cell];
    }
    let rest = solid(&without(&cell.shape, got));
    let mut treated = Cell { shape: treated, ..cell.clone() };
    does(&mut treated);
    if rest.0.is_empty() { vec![treated] } else { vec![treated, Cell { shape: rest, ..cell }] }
}

/// The position in whose dry spell a job lay wholly.
fn stand_of(stands: &[Stand], job: &Job) -> Option<usize> {
    stands.iter().position(|stand| {
        stand.dry_h.is_some_and(|(dry, water)| dry <= job.from_h && job.to_h <= water)
    })
}

/// The positions that were over, or at least that others followed, at a time.
pub fn earlier(stands: &[Stand], at_h: f64) -> Vec<usize> {
    let begun = |at: &usize| stands[*at].dry_h.is_some_and(|(dry, _)| dry <= at_h);
    let mut begun: Vec<usize> = (0..stands.len()).filter(begun).collect();
    begun.sort_by(|a, b| {
        let dry = |at: usize| stands[at].dry_h.map_or(f64::INFINITY, |(dry, _)| dry);
        dry(*a).total_cmp(&dry(*b))
    });
    // The last one begun is where she stands, unless the water is back already.
    if let Some(last) = begun.pop()
        && stands[last].dry_h.is_some_and(|(_, water)| water < at_h)
    {
        begun.push(last);
    }
    begun
}

/// The coats of a scheme that a chain lacks.
pub fn missing(chain: &[usize], jobs: &[Job], scheme: &[i64]) -> Vec<i64> {
    let has = |coat: i64| chain.iter().any(|at| jobs[*at].coat == Some(coat));
    scheme.iter().copied().filter(|coat| !has(*coat)).collect()
}

/// Whether a chain holds every coat of a scheme; never where there is none.
fn complete(chain: &[usize], jobs: &[Job], scheme: &[i64]) -> bool {
    !scheme.is_empty() && missing(chain, jobs, scheme).is_empty()
}
