//! The coating of each zone as the logs have it: which coats every part of it got, and what it is short of.

use super::graded::grade_of;
use crate::calc::coating::{self, Claim, Clears, Done, Job, Stand, Steel, missing};
use crate::calc::exposure::{Bottom, Hidden};
use crate::calc::plane::{area_m2, solid, union, wider_than};
use crate::hull::Lie;
use crate::records::Project;
use crate::records::blocks::BlockRow;
use crate::records::coats::Application;
use crate::records::preparation::{Preparation, Treatment};
use crate::records::scheme::SchemeCoat;
use crate::records::zones::{Extent, Lies, Zone};
use chrono::{DateTime, FixedOffset};
use geo::{Coord, MultiPolygon, Polygon};
use rayon::prelude::*;

/// What a job of a zone is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// A coat, by its place in the project's list.
    Coat(usize),
    /// A preparation check, by its place in the project's list.
    Preparation(usize),
}

/// A zone and what its steel received.
#[derive(Debug)]
pub struct ZoneHistory {
    /// Its shape in plan; `None` for a side, and for a bottom zone whose outline is not known.
    pub shape: Option<MultiPolygon<f64>>,
    /// Its area in plan, m2.
    pub plan_area_m2: Option<f64>,
    /// What an area of its shape is along the plating: the true area over that in plan, 1 where the zone
    /// states no true area; for a side, whose shape is of its true area, 1. `None` where nothing of it can
    /// be measured.
    pub true_factor: Option<f64>,
    /// Its scheme, by places in the project's list.
    pub scheme: Vec<usize>,
    /// When it could be worked on in each position, h.
    pub dry_h: Vec<Option<(f64, f64)>>,
    /// Whether all that tells wet from dry is recorded: every position's times, and for a side that was
    /// worked on with water in the dock the water log and its lowest z.
    pub dry_known: bool,
    /// What each of its jobs is. Jobs without a time are left out.
    pub what: Vec<What>,
    /// Its jobs.
    pub jobs: Vec<Job>,
    /// Their history; `None` where the steel can't be placed.
    pub steel: Option<Steel>,
    /// The steel by class and chain, in a steady order; none as long as no coat of any zone is recorded.
    pub parts: Vec<Part>,
}

/// Steel of one zone that was hidden in the same positions and received the same coats.
#[derive(Debug, Clone)]
pub struct Part {
    /// For each position, whether it was hidden there.
    pub hidden_in: Vec<bool>,
    /// The coats in order of time, by their places in the project's list.
    pub chain: Vec<usize>,
    /// Numbers of the scheme's coats that it did not get.
    pub missing: Vec<i64>,
    /// Where it is.
    pub shape: MultiPolygon<f64>,
    /// Its area, m2: along the plating where the zone states its true area, else in plan. `None` for a
    /// side without one.
    pub area_m2: Option<f64>,
}

/// How much of a zone got how much of its scheme, m2: along the plating where the zone states its true area,
/// else in plan.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Completeness {
    /// With every coat.
    pub full_m2: f64,
    /// With some, but not every coat.
    pub less_m2: f64,
    /// With none.
    pub none_m2: f64,
    /// All of it in plan.
    pub plan_m2: f64,
    /// What of that is short of the scheme.
    pub short_plan_m2: f64,
}

impl ZoneHistory {
    /// How much of it got how much of its scheme; `None` without a scheme or any coat on record, or where
    /// areas or places are not known.
    pub fn completeness(&self) -> Option<Completeness> {
        if self.scheme.is_empty() || self.parts.is_empty() {
            return None;
        }
        let mut sum = Completeness::default();
        for part in &self.parts {
            let area = part.area_m2?;
            let plan = area_m2(&part.shape);
            sum.plan_m2 += plan;
            sum.short_plan_m2 += if part.missing.is_empty() { 0.0 } else { plan };
            if part.missing.is_empty() {
                sum.full_m2 += area;
            } else if part.missing.len() == self.scheme.len() {
                sum.none_m2 += area;
            } else {
                sum.less_m2 += area;
            }
        }
        Some(sum)
    }

    /// The area of some of its steel, m2: along the plating where the zone states its true area, else in plan.
    pub fn area_along_m2(&self, shape: &MultiPolygon<f64>) -> Option<f64> {
        Some(area_m2(shape) * self.true_factor?)
    }

    /// Whether steel wider than laps and slivers up to `feathering_m` is short of the scheme.
    pub fn falls_short(&self, feathering_m: f64) -> bool {
        let short = self.parts.iter().filter(|part| !part.missing.is_empty());
        let shape = union(short.flat_map(|part| &part.shape.0));
        !wider_than(&shape, feathering_m).0.is_empty()
    }

    /// How a coat came out, by its place in the project's list.
    pub fn done(&self, coat: usize) -> Option<&Done> {
        let at = self.what.iter().position(|what| *what == What::Coat(coat))?;
        self.steel.as_ref()?.done.get(at)
    }
}

/// A time in hours.
pub fn hours(at: DateTime<FixedOffset>) -> f64 {
    at.timestamp() as f64 / 3600.0
}

/// From start to finish in hours; one whose end is not recorded, or lies before its beginning, is
/// taken as a moment.
pub fn span_h(coat: &Application) -> Option<(f64, f64)> {
    let from = hours(coat.began?);
    Some((from, coat.ended.map_or(from, hours).max(from)))
}

/// Nominal dry film of a scheme's coat, m: the scheme's, or else the product's.
pub fn nominal_dft_m(project: &Project, row: &SchemeCoat) -> Option<f64> {
    let usual = || project.products.product(&row.product)?.nominal_dft_m;
    row.nominal_dft_m.or_else(usual)
}

/// The coats of a zone's scheme, by their places in the project's list.
fn scheme_of(project: &Project, zone: &str) -> Vec<usize> {
    let of = |(_, coat): &(usize, &SchemeCoat)| coat.zone == zone;
    project.scheme.iter().enumerate().filter(of).map(|(at, _)| at).collect()
}

/// The zones' histories, worked out side by side.
pub(in crate::findings::recomputed) fn histories(
    project: &Project,
    hidden: Option<&[Hidden]>,
    lies: &[Lie],
    bottom: &Bottom,
) -> Vec<ZoneHistory> {
    let zones = project.zones.par_iter();
    zones.map(|zone| history(project, zone, hidden, lies, bottom)).collect()
}

fn history(
    project: &Project,
    zone: &Zone,
    hidden: Option<&[Hidden]>,
    lies: &[Lie],
    bottom: &Bottom,
) -> ZoneHistory {
    let shape = match &zone.lies {
        Lies::Bottom(Some(outline)) => Some(MultiPolygon(vec![outline.clone()])),
        Lies::Bottom(None) => bottom.clone(),
        Lies::Side { .. } => None,
    };
    let scheme = scheme_of(project, &zone.id);
    let (dry_h, dry_known) = dry_spells(project, zone, lies);
    let (what, jobs) = jobs(project, zone);
    let plan_area_m2 = shape.as_ref().map(area_m2);
    let true_factor = match (zone.true_area_m2, plan_area_m2) {
        (Some(truly), Some(plan)) if plan > 0.0 => Some(truly / plan),
        (None, None) => None,
        _ => Some(1.0),
    };
    let ground = match &zone.lies {
        Lies::Bottom(_) => shape.clone(),
        Lies::Side { .. } => Some(stand_in(zone.true_area_m2.unwrap_or(1.0))),
    };
    let nothing = || MultiPolygon(vec![]);
    let stands: Option<Vec<Stand>> = match (zone.is_bottom(), hidden) {
        (true, None) => None,
        (true, Some(hidden)) => {
            let each = dry_h.iter().zip(hidden);
            Some(each.map(|(dry, h)| Stand { dry_h: *dry, hidden: h.shape.clone() }).collect())
        }
        (false, _) => {
            Some(dry_h.iter().map(|dry| Stand { dry_h: *dry, hidden: nothing() }).collect())
        }
    };
    let numbers: Vec<i64> = scheme.iter().map(|at| project.scheme[*at].coat).collect();
    let feathering = feathering_m(project);
    let steel = ground
        .zip(stands)
        .map(|(ground, stands)| coating::history(&ground, &stands, &jobs, &numbers, feathering));
    let mut zone_history = ZoneHistory {
        shape,
        plan_area_m2,
        true_factor,
        scheme,
        dry_h,
        dry_known,
        what,
        jobs,
        steel,
        parts: Vec::new(),
    };
    if !project.coats.is_empty() {
        zone_history.parts = parts(project, zone, &zone_history, &numbers);
    }
    zone_history
}

/// The limit under which laps and slivers are no fault, m.
pub fn feathering_m(project: &Project) -> f64 {
    project.docking.bounds.limit("feathering").map_or(0.0, |limit| limit.value)
}

/// A side has no plan: a strip of its area, far from everything, stands for it.
fn stand_in(area_m2: f64) -> MultiPolygon<f64> {
    let far = -1000.0;
    let ring = [(far, 0.0), (far + area_m2, 0.0), (far + area_m2, 1.0), (far, 1.0)];
    let ring: Vec<Coord<f64>> = ring.into_iter().map(Coord::from).collect();
    MultiPolygon(vec![Polygon::new(ring.into(), vec![])])
}

fn jobs(project: &Project, zone: &Zone) -> (Vec<What>, Vec<Job>) {
    let claim = |extent: &Extent| match extent {
        Extent::All => Claim::All,
        Extent::Exposed => Claim::Exposed,
        Extent::Patches => Claim::Patches,
        Extent::Area(id) => {
            let shapes = project.areas.iter().filter(|area| area.id == *id);
            Claim::Area(MultiPolygon(shapes.map(|area| area.outline.clone()).collect()))
        }
    };
    let coats = project.coats.iter().enumerate().filter(|(_, coat)| coat.zone == zone.id);
    let coats = coats.filter_map(|(at, coat)| {
        let (from_h, to_h) = span_h(coat)?;
        let claim = claim(&coat.extent);
        Some((
            What::Coat(at),
            Job { from_h, to_h, claim, coat: Some(coat.coat), clears: Clears::Nothing },
        ))
    });
    let checks = project.preparation.iter().enumerate().filter(|(_, check)| check.zone == zone.id);
    let checks = checks.filter_map(|(at, check)| {
        let at_h = hours(check.at?);
        let claim = claim(&check.extent);
        Some((
            What::Preparation(at),
            Job { from_h: at_h, to_h: at_h, claim, coat: None, clears: clears(check) },
        ))
    });
    coats.chain(checks).unzip()
}

/// What a preparation does to the coats that are there, by its grade or else by its treatment: a grade says more than
/// the word for the treatment, since water takes off paint too, and a light blast leaves it.
fn clears(check: &Preparation) -> Clears {
    let grade = check.grade.as_deref().and_then(grade_of);
    match (grade, check.treatment) {
        (Some(grade), _) if grade.leaves_bare_steel() => Clears::All,
        (None, Treatment::Blast) => Clears::All,
        (None, Treatment::Wash | Treatment::Other) => Clears::Nothing,
        (Some(_), _) | (None, Treatment::Sweep | Treatment::Abrade) => Clears::Spots,
    }
}

/// When a zone could be worked on in each position, and whether all that tells is recorded. The bottom
/// is free from dock dry to the water's return; a last position that was not refilled yet has no end. A
/// side is free too while the log has the water under its lowest edge.
fn dry_spells(project: &Project, zone: &Zone, lies: &[Lie]) -> (Vec<Option<(f64, f64)>>, bool) {
    let last = project.positions.len().saturating_sub(1);
    let mut known = !project.positions.is_empty();
    let mut spells: Vec<Option<(f64, f64)>> = Vec::new();
    for (at, position) in project.positions.iter().enumerate() {
        let (dry, water) = (position.times.dry.map(hours), position.times.reflood_began.map(hours));
        let water = if at == last { water.or(Some(f64::INFINITY)) } else { water };
        known &= dry.is_some() && water.is_some();
        spells.push(dry.zip(water));
    }
    let Lies::Side { lowest_z_m } = zone.lies else { return (spells, known) };
    let keel =
        |at: usize| lies.get(at).and(lowest_keel_level_m(project, &project.positions[at].id));
    let mut log: Vec<(f64, f64)> =
        project.water.iter().map(|reading| (hours(reading.at), reading.level_m)).collect();
    log.sort_by(|a, b| a.0.total_cmp(&b.0));
    known &= lowest_z_m.is_some() && !log.is_empty();
    for (at, spell) in spells.iter_mut().enumerate() {
        let (Some((dry, water)), Some(z), Some(keel)) = (spell.as_mut(), lowest_z_m, keel(at))
        else {
            continue;
        };
        let under = |reading: &&(f64, f64)| reading.1 < keel + z;
        let (was, is) = (*dry, *water);
        let before = log.iter().rev().filter(|reading| reading.0 <= was).take_while(under);
        let after = log.iter().filter(|reading| reading.0 >= is).take_while(under);
        *dry = before.map(|reading| reading.0).fold(was, f64::min);
        *water = after.map(|reading| reading.0).fold(is, f64::max);
    }
    (spells, known)
}

/// The lowest top of the keel blocks that stand in a position, m: nowhere is the keel lower, so that the
/// water is taken as high on the hull as it can have been.
fn lowest_keel_level_m(project: &Project, position: &str) -> Option<f64> {
    let standing = project.blocks.iter().filter(|block| block.stands_in(position));
    standing
        .filter(|block| block.row == BlockRow::Keel)
        .filter_map(|block| crate::findings::recomputed::landing::top_of(project, block))
        .reduce(f64::min)
}

fn parts(project: &Project, zone: &Zone, history: &ZoneHistory, numbers: &[i64]) -> Vec<Part> {
    let Some(steel) = &history.steel else { return Vec::new() };
    let mut parts: Vec<Part> = steel
        .cells
        .iter()
        .map(|cell| {
            let chain = cell.chain.iter().filter_map(|at| match history.what[*at] {
                What::Coat(coat) => Some(coat),
                What::Preparation(_) => None,
            });
            let shape = solid(&cell.shape);
            let area = match zone.lies {
                Lies::Bottom(_) => history.true_factor.map(|factor| area_m2(&shape) * factor),
                Lies::Side { .. } => zone.true_area_m2,
            };
            Part {
                hidden_in: cell.hidden_in.clone(),
                chain: chain.collect(),
                missing: missing(&cell.chain, &history.jobs, numbers),
                area_m2: area,
                shape,
            }
        })
        .collect();
    // What was hidden least comes first, and within it what lacks least.
    parts.sort_by(|a, b| {
        let key = |part: &Part| {
            let hidden = part.hidden_in.iter().filter(|hidden| **hidden).count();
            (hidden, part.hidden_in.iter().map(|hidden| !hidden).collect::<Vec<_>>())
        };
        key(a)
            .cmp(&key(b))
            .then(a.missing.len().cmp(&b.missing.len()))
            .then_with(|| chain_key(project, a).cmp(&chain_key(project, b)))
    });
    parts
}

fn chain_key<'a>(project: &'a Project, part: &Part) -> Vec<&'a str> {
    part.chain.iter().map(|coat| project.coats[*coat].name.as_str()).collect()
}
