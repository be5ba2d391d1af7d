//! The planned stops of the pumping: how she stands at each of them, by the drafts with which she comes.

use super::landing::Landing;
use super::loads::{Buoyancy, Loads};
use super::water::WaterLog;
use crate::calc::landing::Load;
use crate::records::Project;
use crate::records::checks::Gap;
use crate::records::stops::Stop;
use crate::text;
use crate::text::Text;

/// Levels nearer to each other than this, m, are one.
const SAME_LEVEL_M: f64 = 0.1;

/// A block bears that carries more than this, kN.
const SOME_LOAD_KN: f64 = 1.0;

/// How she stands at a stop.
#[derive(Debug)]
pub struct AtStop<'a> {
    pub stop: &'a Stop,
    /// What she does there; or why that is not known, in a sentence's part.
    pub stands: Result<Stands, Text>,
    /// What the blocks carry and what the water still does.
    pub load: Option<Load>,
    /// GM left, the smaller by the two ways of counting the loss, m; as long as the water carries anything.
    pub gm_m: Option<f64>,
    /// The blocks there, in the order of the project's list; or why they are not known, in a sentence's part.
    pub blocks: Result<Vec<BlockAtStop>, Text>,
    /// The gaps that were measured with the water at that level.
    pub measured: Vec<&'a Gap>,
}

/// What she does at a level.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// She floats.
    Afloat,
    /// She turns about her knuckle.
    OnKnuckle,
    /// She is landed fore and aft, and the water still carries part of her.
    Landed,
    /// The water carries nothing of her.
    Dry,
}

/// A block at a stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlockAtStop {
    /// Its number in the project's list.
    pub block: usize,
    /// What it bears, kN; `None` where only gaps are known.
    pub load_kn: Option<f64>,
    /// What is left between cap and hull, m.
    pub gap_m: f64,
}

impl BlockAtStop {
    /// Whether it bears.
    pub fn bears(&self) -> bool {
        self.load_kn.is_none_or(|load_kn| load_kn > SOME_LOAD_KN) && self.gap_m < 1e-6
    }
}

impl AtStop<'_> {
    /// The blocks that bear.
    pub fn bearing(&self) -> impl Iterator<Item = &BlockAtStop> {
        self.blocks.iter().flatten().filter(|block| block.bears())
    }

    /// The block with the widest gap, which is at the light end.
    pub fn widest(&self) -> Option<&BlockAtStop> {
        let blocks = self.blocks.iter().flatten().filter(|block| block.gap_m > 0.0);
        blocks.max_by(|a, b| a.gap_m.total_cmp(&b.gap_m))
    }

    /// The gap that was measured at a block with the water at that level, m: the last.
    pub fn measured_m(&self, block: &str) -> Option<f64> {
        let own = self.measured.iter().filter(|gap| gap.block == block);
        own.max_by_key(|gap| gap.at).map(|gap| gap.gap_m)
    }
}

/// The stops of a position, the highest level first. `record` holds the gaps that were measured; the project itself may be
/// that as planned, which has none.
pub fn stops<'a>(
    record: &'a Project,
    project: &'a Project,
    position: &str,
    landing: &Landing,
    loads: &Loads,
) -> Vec<AtStop<'a>> {
    let mut stops: Vec<&Stop> =
        project.stops.iter().filter(|stop| stop.position == position).collect();
    stops.sort_by(|a, b| b.level_m.total_cmp(&a.level_m));
    stops.into_iter().map(|stop| at_stop(record, project, stop, landing, loads)).collect()
}

fn at_stop<'a>(
    record: &'a Project,
    project: &'a Project,
    stop: &'a Stop,
    landing: &Landing,
    loads: &Loads,
) -> AtStop<'a> {
    let load = landing.load_at(stop.level_m);
    let stands = stands(stop, landing, load.as_ref());
    let blocks = match &stands {
        Err(why_not) => Err(why_not.clone()),
        Ok(Stands::Afloat | Stands::OnKnuckle) => rigid(stop, landing),
        Ok(Stands::Landed | Stands::Dry) => shared(project, stop, loads),
    };
    let wet = matches!(stands, Ok(Stands::Afloat | Stands::OnKnuckle | Stands::Landed));
    AtStop {
        gm_m: load.filter(|_| wet).and_then(|load| landing.gm_under_m(&load)),
        measured: measured(record, stop),
        stop,
        stands,
        load,
        blocks,
    }
}

fn stands(stop: &Stop, landing: &Landing, load: Option<&Load>) -> Result<Stands, Text> {
    if landing.afloat.is_none() {
        return Err("the drafts before landing give no displacement".into());
    }
    let touch = landing.touch.ok_or("on which blocks she lands is not known")?;
    if stop.level_m >= touch.water_level_m {
        return Ok(Stands::Afloat);
    }
    if let Some(why_not) = landing.never_landed {
        return Err(why_not.into());
    }
    let critical = landing.critical.ok_or("the hydrostatic table ends before she is landed")?;
    if stop.level_m > critical.water_level_m {
        return Ok(Stands::OnKnuckle);
    }
    match load {
        Some(load) if load.buoyancy_t > 0.0 => Ok(Stands::Landed),
        Some(_) => Ok(Stands::Dry),
        None => Err("the water stands lower than the hydrostatic table reaches".into()),
    }
}

/// The gaps under a rigid keel that floats or turns about its knuckle.
fn rigid(stop: &Stop, landing: &Landing) -> Result<Vec<BlockAtStop>, Text> {
    let gaps = landing.gaps_m(stop.level_m).ok_or("her trim there is not known")?;
    let on_knuckle = landing.load_at(stop.level_m).map(|load| load.load_t);
    let knuckle = landing.touch.map(|touch| touch.seat);
    let blocks = landing.seats.iter().zip(gaps).enumerate();
    Ok(blocks
        .map(|(n, ((block, _), gap_m))| BlockAtStop {
            block: *block,
            load_kn: on_knuckle.map(|load_t| match Some(n) == knuckle {
                true => load_t * crate::units::STANDARD_GRAVITY_M_PER_S2,
                false => 0.0,
            }),
            gap_m,
        })
        .collect())
}

/// Loads and gaps of the girder with so much water.
fn shared(project: &Project, stop: &Stop, loads: &Loads) -> Result<Vec<BlockAtStop>, Text> {
    let floor_m = project
        .docking
        .dock
        .floor_level_m
        .ok_or("the level of the dock's floor was not recorded")?;
    let (outcome, _): (_, Buoyancy) = loads.with_water(Some(stop.level_m - floor_m))?;
    let rows = loads.rows(outcome);
    Ok(rows
        .map(|(bearing, load_kn, _, gap_m)| BlockAtStop {
            block: bearing.block,
            load_kn: Some(load_kn),
            gap_m,
        })
        .collect())
}

/// The gaps that were measured at the level of a stop: by the depth of water written beside them, or else by the water log
/// at their time.
fn measured<'a>(project: &'a Project, stop: &Stop) -> Vec<&'a Gap> {
    let log = WaterLog::new(project, &stop.position);
    let floor_m = project.docking.dock.floor_level_m;
    let level = |gap: &Gap| match gap.water_depth_m {
        Some(depth_m) => Some(floor_m? + depth_m),
        None => log.level_at(gap.at?),
    };
    let is_there = |gap: &&Gap| {
        gap.position == stop.position
            && level(gap).is_some_and(|level_m| (level_m - stop.level_m).abs() <= SAME_LEVEL_M)
    };
    project.gaps.iter().filter(is_there).collect()
}

/// A gap that was measured twice at one block.
#[derive(Debug, Clone, Copy)]
pub struct Closing<'a> {
    pub from: &'a Gap,
    pub to: &'a Gap,
    /// How fast it closed, m/h; below 0 if it opened.
    pub rate_m_per_h: f64,
    /// The fastest that it may close by the stop towards which the water fell, m/h, if that states one of its own.
    pub limit_m_per_h: Option<f64>,
}

/// How fast the gaps of a position closed between any two readings of one block that follow each other.
pub fn closing<'a>(project: &'a Project, position: &str) -> Vec<Closing<'a>> {
    let mut gaps: Vec<&Gap> =
        project.gaps.iter().filter(|gap| gap.position == position && gap.at.is_some()).collect();
    gaps.sort_by(|a, b| (&a.block, a.at).cmp(&(&b.block, b.at)));
    let log = WaterLog::new(project, position);
    let mut stops: Vec<&Stop> =
        project.stops.iter().filter(|stop| stop.position == position).collect();
    stops.sort_by(|a, b| b.level_m.total_cmp(&a.level_m));
    let pairs = gaps.windows(2).filter(|pair| pair[0].block == pair[1].block);
    let rates = pairs.filter_map(|pair| {
        let (from, to) = (pair[0], pair[1]);
        let hours = (to.at? - from.at?).num_seconds() as f64 / 3600.0;
        let level_m = to
            .water_depth_m
            .and_then(|depth_m| Some(project.docking.dock.floor_level_m? + depth_m))
            .or_else(|| log.level_at(to.at?));
        // The stop towards which the water fell: the highest that is not above the level then.
        let toward = level_m
            .and_then(|level_m| stops.iter().find(|stop| stop.level_m <= level_m + SAME_LEVEL_M));
        (hours > 0.0).then(|| Closing {
            from,
            to,
            rate_m_per_h: (from.gap_m - to.gap_m) / hours,
            limit_m_per_h: toward.and_then(|stop| stop.gap_rate_m_per_h),
        })
    });
    rates.collect()
}

/// How fast the gap at the light end is to close between two stops, by what is predicted at both and their planned times,
/// m/h; `None` where one of these is not known.
pub fn predicted_closing_m_per_h(before: &AtStop<'_>, after: &AtStop<'_>) -> Option<f64> {
    let widest = before.widest()?;
    let blocks = after.blocks.as_ref().ok()?;
    let then = blocks.iter().find(|block| block.block == widest.block)?;
    let hours = (after.stop.planned_at? - before.stop.planned_at?).num_seconds() as f64 / 3600.0;
    (hours > 0.0).then(|| (widest.gap_m - then.gap_m.max(0.0)) / hours)
}

/// What she does, in words.
impl Stands {
    pub fn in_words(self) -> Text {
        match self {
            Stands::Afloat => text!("afloat"),
            Stands::OnKnuckle => text!("on the knuckle"),
            Stands::Landed => text!("landed"),
            Stands::Dry => text!("out of the water"),
        }
    }
}
