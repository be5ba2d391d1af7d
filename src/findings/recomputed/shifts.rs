//! Which shift would have done, or would do: the blocks of two positions, or steel that an earlier docking
//! left hidden and the blocks as they are now.
//!
//! Not part of what is recomputed for every check: it is worked out for those who ask.

use geo::MultiPolygon;

use super::loads::{Loads, loads_on};
use super::{Recomputed, planned};
use crate::calc::exposure::Bottom;
use crate::calc::openings::nearest;
use crate::calc::shifts::{
    Band, Footing, KeptClear, NOT_UNDER_M, Pair, Sides, Study, Way, clear_parts, clearances,
    short_stretches,
};
use crate::hull::{Lie, Outline, on_hull, turned};
use crate::records::Project;
use crate::records::blocks::{Block, BlockRow};
use crate::records::openings::Opening;

/// How many pitches of the keel blocks, and how many of the widest caps, are studied each way (our choice:
/// beyond a pitch the blocks begin to repeat themselves).
pub const REACH: f64 = 1.5;

/// Of how many blocks one may be left out: with more the plan is another one (our choice).
pub const FEW: usize = 4;

/// What is asked. What is `None` is as [`shifts`] and [`reaching`] say.
#[derive(Debug, Clone, Default)]
pub struct Query {
    /// The position before the shift, by its number in the project's list.
    pub before: Option<usize>,
    /// The position whose blocks stand after it.
    pub after: Option<usize>,
    /// How far is studied each way, m; more than 0.
    pub reach_m: Option<f64>,
    /// Blocks left out after the shift, by their numbers in the project's list.
    pub leave_out: Vec<usize>,
    /// Whether blocks that were found elsewhere than planned stand after the shift where they were found;
    /// otherwise each stands where it was planned.
    pub as_found: bool,
}

/// What is known of where she lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Placed {
    /// As recorded, and as fitted to the sightings where nothing is recorded.
    Recorded,
    /// As planned.
    Planned,
    /// Nothing is: the blocks are studied among themselves, without outline and openings.
    Unknown,
}

impl std::fmt::Display for Placed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Placed::Recorded => "as she lay",
            Placed::Planned => "as planned",
            Placed::Unknown => "not recorded",
        })
    }
}

/// What the steel hidden before the shift is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Before {
    /// Under the blocks that stand in a position, by its number; `None` if no position is recorded.
    Blocks(Option<usize>),
    /// Steel that was handed in.
    Steel,
}

/// The shift study of a project, both ways.
#[derive(Debug, Clone)]
pub struct Shifts {
    /// What was hidden before.
    pub before: Before,
    /// The position whose blocks stand after, by its number; `None` if no position is recorded.
    pub after: Option<usize>,
    /// Where the ship lies, not shifted.
    pub lie: Lie,
    /// How that is known.
    pub placed: Placed,
    /// By how much every cap was grown all round, m.
    pub overlap_m: f64,
    /// The median distance from one keel block to the next, m; `None` with fewer than two.
    pub pitch_m: Option<f64>,
    /// The caps that stand after the shift, as they are and not grown.
    pub caps: Vec<Footing>,
    /// Blocks that were found elsewhere in the position after, and stand where they were planned here: as
    /// planned and as found, by their numbers in the project's list.
    pub put_back: Vec<(usize, usize)>,
    /// Fore and aft.
    pub fore_and_aft: Study,
    /// Athwart.
    pub athwart: Study,
    sides: Sides,
}

/// An opening after a shift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpeningAfter {
    /// The opening, by its number in the project's list.
    pub opening: usize,
    /// Clear distance to the nearest cap, m; 0 under one.
    pub clear_m: f64,
    /// The block of that cap.
    pub block: usize,
    /// What is wanted, m, if it is recorded.
    pub wanted_m: Option<f64>,
}

impl OpeningAfter {
    /// Whether it lies under a cap, in whole or in part.
    pub fn is_under(&self) -> bool {
        self.clear_m <= 0.0
    }

    /// Whether it lies under a cap, or nearer to one than is wanted.
    pub fn is_near(&self) -> bool {
        self.is_under() || self.wanted_m.is_some_and(|wanted| self.clear_m + 1e-9 < wanted)
    }
}

/// Every opening with its clear distance where the ship lies so on these blocks of the project's list; nothing where
/// there is none.
pub fn openings_at(project: &Project, standing: &[usize], lie: &Lie) -> Vec<OpeningAfter> {
    let after = |(opening, record): (usize, &Opening)| {
        let caps = standing.iter().map(|n| (*n, project.blocks[*n].cap));
        let (clear_m, block) = nearest(&record.outline, caps, lie)?;
        let wanted_m = record.wants_clear_m(&project.docking.bounds);
        Some(OpeningAfter { opening, clear_m, block, wanted_m })
    };
    project.openings.iter().enumerate().filter_map(after).collect()
}

/// An opening that lies nearer to a cap than is wanted, or under one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Near {
    /// The opening, by its number in the project's list.
    pub opening: usize,
    /// Whether it lies under the cap.
    pub under: bool,
}

/// Studies the blocks of one position against those of another, both where they bear in the first: a length
/// slid of 0 is no shift. By default the first position recorded and the second, or the same again where
/// there is no second; one and a half pitches of the keel blocks fore and aft, and one and a half of the
/// widest cap athwart.
pub fn shifts(project: &Project, recomputed: &Recomputed, query: &Query) -> Shifts {
    let count = project.positions.len();
    let before = query.before.or((count > 0).then_some(0));
    let next = before.map(|before| before + 1).filter(|next| *next < count);
    let after = query.after.or(next).or(before);
    let (lie, placed) = lie(project, recomputed, before);
    let ground = Ground::new(project, after, (lie, placed), query);
    let standing = standing(project, before);
    let caps: Vec<Footing> = standing.into_iter().map(|n| footing(project, n, &lie)).collect();
    let sides = Sides::of_blocks(
        &ground.grown(&caps),
        &ground.grown(&ground.caps),
        &ground.outline(recomputed),
    );
    ground.studied(project, Before::Blocks(before), sides, query)
}

/// Studies steel that is to be reached (on the hull, such as what an earlier docking never exposed) against
/// the blocks of a position, by default the first, where it is planned: a length slid of 0 is that plan.
pub fn reaching(
    project: &Project,
    recomputed: &Recomputed,
    steel: &MultiPolygon<f64>,
    query: &Query,
) -> Shifts {
    let after = query.after.or((!project.positions.is_empty()).then_some(0));
    let planned = after.and_then(|n| planned(project.positions.get(n)?));
    let place = match planned {
        Some(lie) => (lie, Placed::Planned),
        None => lie(project, recomputed, after),
    };
    let ground = Ground::new(project, after, place, query);
    let steel = match ground.overlap_m > 0.0 {
        true => &crate::calc::plane::grown(steel, ground.overlap_m),
        false => steel,
    };
    let sides = Sides::of_steel(steel, &ground.grown(&ground.caps), &ground.outline(recomputed));
    ground.studied(project, Before::Steel, sides, query)
}

/// What an earlier docking left to be reached: the steel never exposed in it, and the steel under the blocks
/// of its last position. `None` if its positions can't be placed or no block stands in one of them.
pub fn left_by(past: &Recomputed) -> Option<(MultiPolygon<f64>, MultiPolygon<f64>)> {
    past.never_exposed_m2()?;
    let last = past.hidden.last()?;
    let pieces = past.never_exposed.iter().map(|piece| piece.shape.clone());
    Some((MultiPolygon(pieces.collect()), last.shape.clone()))
}

impl Shifts {
    /// The study of a way.
    pub fn study(&self, way: Way) -> &Study {
        match way {
            Way::ForeAndAft => &self.fore_and_aft,
            Way::Athwart => &self.athwart,
        }
    }

    /// The two shifts fore and aft where no single one does it: such as may be missed by the tolerance of
    /// stations either way, or else any.
    pub fn pair(&self, project: &Project) -> Option<Pair> {
        let tolerance = project.docking.bounds.tolerance("station").map_or(0.0, |t| t.value);
        let (way, range) = (Way::ForeAndAft, self.fore_and_aft.range_m);
        self.sides.pair(way, range, 2.0 * tolerance).or_else(|| self.sides.pair(way, range, 0.0))
    }

    /// The bands of a shift fore and aft, from the first position on, after a first one that slid by so much, m.
    pub fn after_a_first(&self, first_m: f64) -> Vec<Band> {
        self.sides.after_a_first(Way::ForeAndAft, first_m, self.fore_and_aft.range_m)
    }

    /// Bottom hidden both before and after, slid by a length in m, m2.
    pub fn hidden_twice_m2(&self, way: Way, slid_m: f64) -> f64 {
        self.sides.hidden_twice_m2(way, slid_m)
    }

    /// Every opening with its clear distance at a length slid (m), some blocks left out. Nothing where it is
    /// not known where she lies, or no cap stands.
    pub fn openings(
        &self,
        project: &Project,
        way: Way,
        slid_m: f64,
        without: &[usize],
    ) -> Vec<OpeningAfter> {
        if self.placed == Placed::Unknown {
            return Vec::new();
        }
        let outlines: Vec<Outline> = project.openings.iter().map(|o| o.outline).collect();
        let at = clearances(&outlines, &self.caps_without(without), way, slid_m);
        let openings = project.openings.iter().enumerate().zip(at);
        openings
            .filter_map(|((n, opening), at)| {
                let (clear_m, block) = at?;
                let wanted_m = opening.wants_clear_m(&project.docking.bounds);
                Some(OpeningAfter { opening: n, clear_m, block, wanted_m })
            })
            .collect()
    }

    /// The blocks whose caps lie over an opening, or nearer to one than it wants, at a length slid (m), some
    /// blocks left out already.
    pub fn too_near(
        &self,
        project: &Project,
        way: Way,
        slid_m: f64,
        without: &[usize],
    ) -> Vec<usize> {
        let caps = self.caps_without(without);
        let outlines: Vec<Outline> = project.openings.iter().map(|o| o.outline).collect();
        let wanted = |opening: &Opening| opening.wants_clear_m(&project.docking.bounds);
        let near = |footing: &&Footing| {
            let at = clearances(&outlines, &[**footing], way, slid_m).into_iter().flatten();
            at.zip(&project.openings).enumerate().any(|(n, ((clear_m, block), opening))| {
                let after = OpeningAfter { opening: n, clear_m, block, wanted_m: wanted(opening) };
                after.is_near()
            })
        };
        caps.iter().filter(near).map(|footing| footing.block).collect()
    }

    /// Where in a band openings lie under caps or nearer to them than they want, some blocks left out.
    /// Nothing where it is not known where she lies.
    pub fn nearness(
        &self,
        project: &Project,
        way: Way,
        band: Band,
        without: &[usize],
    ) -> Vec<(Near, Band)> {
        if self.placed == Placed::Unknown {
            return Vec::new();
        }
        let caps = self.caps_without(without);
        let numbered = project.openings.iter().enumerate();
        let one = |(n, opening): (usize, &Opening)| {
            let over = |wanted_m: f64| {
                let kept = KeptClear { outline: opening.outline, wanted_m };
                short_stretches(&kept, &caps, way, band)
            };
            let wanted_m = opening.wants_clear_m(&project.docking.bounds).unwrap_or(0.0);
            [(wanted_m.max(NOT_UNDER_M), false), (NOT_UNDER_M, true)]
                .into_iter()
                .flat_map(|(wanted_m, under)| {
                    over(wanted_m).into_iter().map(move |over| (Near { opening: n, under }, over))
                })
                .collect::<Vec<_>>()
        };
        numbered.flat_map(one).collect()
    }

    /// The parts of a band in which every opening has the clear distance that it wants, some blocks left out;
    /// of those for which none is recorded, in which none lies under a cap. Nothing where it is not known where
    /// she lies.
    pub fn clear_parts(
        &self,
        project: &Project,
        way: Way,
        band: Band,
        without: &[usize],
    ) -> Vec<Band> {
        if self.placed == Placed::Unknown {
            return Vec::new();
        }
        let kept = |opening: &Opening| {
            let wanted_m = opening.wants_clear_m(&project.docking.bounds).unwrap_or(0.0);
            KeptClear { outline: opening.outline, wanted_m: wanted_m.max(NOT_UNDER_M) }
        };
        let kept: Vec<KeptClear> = project.openings.iter().map(kept).collect();
        clear_parts(&kept, &self.caps_without(without), way, band)
    }

    /// The loads on the blocks in the dry dock after a shift, some blocks left out.
    pub fn loads(&self, project: &Project, way: Way, slid_m: f64, without: &[usize]) -> Loads {
        if self.placed == Placed::Unknown {
            let why_not = Some("where she lies was not recorded".into());
            return Loads { why_not, ..Loads::default() };
        }
        let standing: Vec<usize> =
            self.caps_without(without).iter().map(|footing| footing.block).collect();
        let number = self.after.unwrap_or(0);
        loads_on(project, number, &slid(&self.lie, way, slid_m), &standing)
    }

    fn caps_without(&self, blocks: &[usize]) -> Vec<Footing> {
        self.caps.iter().filter(|footing| !blocks.contains(&footing.block)).copied().collect()
    }
}

/// The lie of a ship whose footprints are slid on the hull: she is shifted the other way.
pub fn slid(lie: &Lie, way: Way, slid_m: f64) -> Lie {
    let by = turned(way.vector(slid_m), lie.yaw_deg);
    Lie {
        srp_station_m: lie.srp_station_m - by.x,
        centreline_offset_m: lie.centreline_offset_m - by.y,
        ..*lie
    }
}

/// What a study stands on, before it is known what was hidden.
struct Ground {
    after: Option<usize>,
    lie: Lie,
    placed: Placed,
    overlap_m: f64,
    caps: Vec<Footing>,
    put_back: Vec<(usize, usize)>,
}

impl Ground {
    fn new(
        project: &Project,
        after: Option<usize>,
        (lie, placed): (Lie, Placed),
        query: &Query,
    ) -> Self {
        let overlap = project.docking.bounds.limit("shift_overlap");
        let (mut standing, put_back) = match query.as_found {
            true => (standing(project, after), Vec::new()),
            false => as_planned(project, after),
        };
        standing.retain(|block| !query.leave_out.contains(block));
        Self {
            after,
            lie,
            placed,
            overlap_m: overlap.map_or(0.0, |limit| limit.value),
            caps: standing.into_iter().map(|n| footing(project, n, &lie)).collect(),
            put_back,
        }
    }

    fn grown(&self, caps: &[Footing]) -> Vec<Footing> {
        caps.iter().map(|footing| footing.grown(self.overlap_m)).collect()
    }

    fn outline(&self, recomputed: &Recomputed) -> Bottom {
        recomputed.bottom.clone().filter(|_| self.placed != Placed::Unknown)
    }

    fn studied(self, project: &Project, before: Before, sides: Sides, query: &Query) -> Shifts {
        let pitch_m = pitch_m(project, &self.caps);
        let longest = |of: fn(&Footing) -> f64| self.caps.iter().map(of).fold(0.0, f64::max);
        // Without a row of keel blocks a pitch is taken for twice the longest cap.
        let pitch = pitch_m.unwrap_or_else(|| 2.0 * longest(|footing| footing.cap.length_m));
        let widest = longest(|footing| footing.cap.width_m) + 2.0 * self.overlap_m;
        let range = |reach_m: f64| {
            // Where nothing stands there is nothing to hide, and any range will do.
            let reach_m = if reach_m > 0.0 { reach_m } else { 1.0 };
            (-reach_m, reach_m)
        };
        let (along, across) = match query.reach_m {
            Some(reach_m) => (reach_m, reach_m),
            None => (REACH * pitch, REACH * widest),
        };
        Shifts {
            before,
            after: self.after,
            lie: self.lie,
            placed: self.placed,
            overlap_m: self.overlap_m,
            pitch_m,
            caps: self.caps,
            put_back: self.put_back,
            fore_and_aft: sides.study(Way::ForeAndAft, range(along)),
            athwart: sides.study(Way::Athwart, range(across)),
            sides,
        }
    }
}

/// Where she lies in a position: as recorded or fitted, else as planned, else not known.
pub fn lie(project: &Project, recomputed: &Recomputed, position: Option<usize>) -> (Lie, Placed) {
    let known = position.and_then(|n| recomputed.positions.get(n)?.lie);
    let planned = || position.and_then(|n| planned(project.positions.get(n)?));
    match (known, planned()) {
        (Some(lie), _) => (lie, Placed::Recorded),
        (None, Some(lie)) => (lie, Placed::Planned),
        (None, None) => {
            let nowhere = Lie { srp_station_m: 0.0, centreline_offset_m: 0.0, yaw_deg: 0.0 };
            (nowhere, Placed::Unknown)
        }
    }
}

/// The blocks that stand in a position when each that was found elsewhere is put back where it was planned,
/// and which those are: as planned and as found.
pub fn as_planned(project: &Project, position: Option<usize>) -> (Vec<usize>, Vec<(usize, usize)>) {
    let found = standing(project, position);
    let planned = |number: usize| {
        let from = project.blocks.get(number)?.moved_from.as_ref()?;
        project.blocks.iter().position(|block| block.id == *from)
    };
    let put_back: Vec<(usize, usize)> =
        found.iter().filter_map(|n| Some((planned(*n)?, *n))).collect();
    let mut standing: Vec<usize> =
        found.into_iter().map(|number| planned(number).unwrap_or(number)).collect();
    standing.sort_unstable();
    standing.dedup();
    (standing, put_back)
}

/// The blocks that stand in a position, each where it was found; without one those that stand in all.
pub fn standing(project: &Project, position: Option<usize>) -> Vec<usize> {
    let position = position.and_then(|n| project.positions.get(n));
    let stands = |block: &Block| match position {
        Some(position) => block.stands_in(&position.id),
        None => block.positions.is_none(),
    };
    let blocks = project.blocks.iter().enumerate();
    blocks.filter(|(_, block)| stands(block)).map(|(n, _)| n).collect()
}

fn footing(project: &Project, block: usize, lie: &Lie) -> Footing {
    Footing { block, cap: on_hull(&project.blocks[block].cap, lie) }
}

/// The median distance from the middle of one keel block to that of the next.
fn pitch_m(project: &Project, caps: &[Footing]) -> Option<f64> {
    let keel = caps.iter().filter(|f| project.blocks[f.block].row == BlockRow::Keel);
    let mut along: Vec<f64> = keel.map(|footing| footing.cap.centre.x).collect();
    along.sort_by(f64::total_cmp);
    let mut apart: Vec<f64> = along
        .iter()
        .zip(along.iter().skip(1))
        .map(|(a, b)| b - a)
        // Two blocks side by side are one place of the line.
        .filter(|apart| *apart > 0.05)
        .collect();
    apart.sort_by(f64::total_cmp);
    apart.get(apart.len() / 2).copied()
}
