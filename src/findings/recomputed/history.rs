//! The dockings on record laid over each other on the bottom as it is drawn now: what none of them
//! exposed, what each left to later ones, and how old the coat is that lies on each part.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use geo::{MultiPolygon, Polygon};
use rayon::prelude::*;

use super::coating::{self, Coating, What, ZoneHistory, feathering_m};
use super::position::{caps, laid};
use crate::calc::exposure::{self, Bottom, Class, Hidden, Piece};
use crate::calc::history::{hidden_throughout, seen_from_above};
use crate::calc::plane::{THREAD_M, area_m2, common, extent, union, wider_than};
use crate::hull::Lie;
use crate::records::Past;
use crate::records::Project;
use crate::records::preparation::Treatment;

/// What the dockings on record say together.
#[derive(Debug)]
pub struct History {
    /// Every docking on record, the oldest first; the last is this one.
    pub dockings: Vec<Docked>,
    /// What was hidden in every position of every docking that can be placed, from aft to forward. Who hid
    /// a piece is listed position by position, docking by docking.
    pub never_exposed: Vec<Piece>,
    /// The bottom by what lies uppermost on it, the newest first.
    pub uppermost: Vec<Uppermost>,
    /// Where no docking's record has a coat.
    pub no_coat: MultiPolygon<f64>,
    /// Steel that this docking hid in some position and did not coat; `None` where it can't be placed.
    pub patches: Option<Patches>,
}

/// One docking on record.
#[derive(Debug)]
pub struct Docked {
    /// The name of its bundle.
    pub name: String,
    /// First and last day.
    pub days: (Option<NaiveDate>, Option<NaiveDate>),
    /// What each of its positions hid; `None` where there is none, one can't be placed, or no block is recorded
    /// in it.
    pub hidden: Option<Vec<Hidden>>,
    /// What it left never exposed; `None` where it can't be placed.
    pub left: Option<Left>,
    /// Whether any coat or blasting of the bottom is recorded.
    pub coated: bool,
}

/// What a docking left never exposed.
#[derive(Debug)]
pub struct Left {
    /// Its area, m2.
    pub area_m2: f64,
    /// What of it every position of every later docking hid again, as far as those can be placed.
    pub still: MultiPolygon<f64>,
    /// Whether every later docking can be placed.
    pub known: bool,
}

/// What lies uppermost on the steel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lies {
    /// A coat, by the day on which it was finished.
    Coat(NaiveDate),
    /// None: it was blasted and not coated again.
    Blasted,
    /// A coat was recorded, and what it reached can't be told.
    NotKnown,
}

/// The part of the bottom on which one thing lies uppermost.
#[derive(Debug)]
pub struct Uppermost {
    /// The docking that it comes from, by its place in the list.
    pub docking: usize,
    /// What it is.
    pub lies: Lies,
    /// Where.
    pub shape: MultiPolygon<f64>,
    /// Its area in plan, m2.
    pub area_m2: f64,
    /// Days from a coat's finish to the last day of the newest docking.
    pub age_d: Option<i64>,
}

/// Steel that the newest docking hid in some position and that has no coat of it.
#[derive(Debug, Default)]
pub struct Patches {
    /// The pieces from aft to forward.
    pub pieces: Vec<Patch>,
    /// Area of laps and slivers no wider than the feathering, which are no pieces nor parts of any, m2.
    pub slivers_m2: f64,
}

/// A piece of such steel.
#[derive(Debug)]
pub struct Patch {
    /// What lies on it, by its place in the list; `None` where no record has a coat.
    pub uppermost: Option<usize>,
    /// Where it is.
    pub shape: Polygon<f64>,
    /// Its extent: x from, x to, y from, y to, m.
    pub extent: [f64; 4],
    /// Its area in plan, m2.
    pub area_m2: f64,
    /// For each position of the newest docking, the blocks that hid it, by their places in its list.
    pub hidden_by: Vec<Vec<usize>>,
}

/// What this docking is called beside the earlier ones.
const THIS: &str = "this docking";

/// A layer of one docking: what lies uppermost of it, and where.
type Layer = (Lies, MultiPolygon<f64>);

impl History {
    /// Lays the dockings over each other; `None` where there is no earlier one. `hidden` is empty where this
    /// docking can't be placed.
    pub fn new(
        project: &Project,
        bottom: &Bottom,
        hidden: &[Hidden],
        coating: &Coating,
    ) -> Option<Self> {
        if project.history.is_empty() {
            return None;
        }
        let (mut dockings, mut layers): (Vec<Docked>, Vec<Vec<Layer>>) =
            earlier(&project.history, bottom).into_iter().unzip();
        let name = project.docking.closeout.as_ref().map(|closeout| closeout.bundle_name.clone());
        let name = name.unwrap_or_else(|| THIS.to_string());
        let this = known(hidden.to_vec());
        let (this, own) = docked(name, project, this, &coating.zones);
        dockings.push(this);
        layers.push(own);
        for at in 0..dockings.len() {
            dockings[at].left = left(&dockings, at);
        }
        let (uppermost, no_coat) = uppermost(bottom, &dockings, layers);
        let patches = patches(&dockings, &uppermost, &no_coat, feathering_m(project));
        let never_exposed = never_exposed(&dockings);
        Some(Self { dockings, never_exposed, uppermost, no_coat, patches })
    }

    /// Area never exposed since records began, m2. `None` where a docking can't be placed, unless nothing
    /// was hidden by all the others.
    pub fn never_exposed_m2(&self) -> Option<f64> {
        let placed = self.dockings.iter().filter(|docking| docking.hidden.is_some()).count();
        let known = placed == self.dockings.len() || (placed > 0 && self.never_exposed.is_empty());
        known.then(|| self.never_exposed.iter().map(|piece| piece.area_m2).sum())
    }

    /// The dockings that can't be placed, as they are called.
    pub fn not_placed(&self) -> Vec<&str> {
        let not = self.dockings.iter().enumerate().filter(|(_, docking)| docking.hidden.is_none());
        not.map(|(at, _)| self.called(at)).collect()
    }

    /// The first day on record.
    pub fn since(&self) -> Option<NaiveDate> {
        let (began, ended) = self.dockings.first()?.days;
        began.or(ended)
    }

    /// The newest docking, this one, by its place in the list.
    pub fn newest(&self) -> usize {
        self.dockings.len().saturating_sub(1)
    }

    /// What a docking is called in sentences and tables, by its place in the list.
    pub fn called(&self, docking: usize) -> &str {
        match self.dockings.get(docking) {
            Some(docked) if docking != self.newest() => &docked.name,
            _ => THIS,
        }
    }

    /// Who hid a never-exposed piece: docking by its place in the list, position and blocks by their ids.
    pub fn hiding<'a>(
        &self,
        project: &'a Project,
        piece: &Piece,
    ) -> Vec<(usize, &'a str, Vec<&'a str>)> {
        let mut hiding = Vec::new();
        let mut by = piece.hidden_by.iter();
        for (at, docking) in self.dockings.iter().enumerate() {
            let of = records(project, at);
            for position in of.positions.iter().filter(|_| docking.hidden.is_some()) {
                let blocks = by.next().into_iter().flatten().filter_map(|n| of.blocks.get(*n));
                hiding.push((at, &*position.id, blocks.map(|block| &*block.id).collect()));
            }
        }
        hiding
    }
}

/// The records of a docking by its place in the list of all of them.
pub fn records(project: &Project, docking: usize) -> &Project {
    project.history.get(docking).map_or(project, |past| &past.project)
}

/// The earlier dockings, worked out side by side.
fn earlier(history: &[Past], bottom: &Bottom) -> Vec<(Docked, Vec<Layer>)> {
    history.par_iter().map(|past| one_earlier(past, bottom)).collect()
}

/// What the positions hid; `None` where there is no position, or one in which no block is recorded: it would count
/// as steel that stood free.
fn known(hidden: Vec<Hidden>) -> Option<Vec<Hidden>> {
    let stood = |hidden: &Hidden| !hidden.footprints.is_empty();
    (!hidden.is_empty() && hidden.iter().all(stood)).then_some(hidden)
}

fn one_earlier(past: &Past, bottom: &Bottom) -> (Docked, Vec<Layer>) {
    let project = &past.project;
    let lies: Option<Vec<Lie>> =
        project.positions.iter().map(|position| laid(project, position).2).collect();
    let lies = lies.unwrap_or_default();
    let hidden: Vec<Hidden> = lies
        .iter()
        .zip(&project.positions)
        .map(|(lie, position)| exposure::hidden(caps(project, &position.id), lie, bottom))
        .collect();
    let hidden = known(hidden);
    let own = project.bottom.bottom.clone().map(|outline| MultiPolygon(vec![outline]));
    let zones = coating::histories(project, hidden.as_deref(), &lies, &own);
    docked(past.source.name.clone(), project, hidden, &zones)
}

fn docked(
    name: String,
    project: &Project,
    hidden: Option<Vec<Hidden>>,
    zones: &[ZoneHistory],
) -> (Docked, Vec<Layer>) {
    let layers = layers(project, zones);
    let coated = !layers.is_empty();
    (Docked { name, days: project.days(), hidden, left: None, coated }, layers)
}

/// What a docking left on the bottom, the uppermost first: coats by their days, then steel that was blasted
/// and got none, then the zones of which something was recorded that can't be told.
fn layers(project: &Project, zones: &[ZoneHistory]) -> Vec<Layer> {
    let mut coats: BTreeMap<NaiveDate, Vec<&Polygon<f64>>> = BTreeMap::new();
    let (mut blasted, mut not_known) = (Vec::new(), Vec::new());
    let nothing = MultiPolygon(vec![]);
    let zones = project.zones.iter().zip(zones).filter(|(zone, _)| zone.is_bottom());
    for (zone, history) in zones {
        let of_zone = || project.coats.iter().filter(|coat| coat.zone == zone.id);
        for part in &history.parts {
            let last = part.chain.last().and_then(|at| project.coats.get(*at));
            if let Some(at) = last.and_then(|coat| coat.ended.or(coat.began)) {
                coats.entry(at.date_naive()).or_default().extend(&part.shape.0);
            }
        }
        if let Some(steel) = &history.steel {
            let checks = history.what.iter().zip(&steel.done).filter(|(what, _)| {
                matches!(what, What::Preparation(at)
                    if project.preparation[*at].treatment == Treatment::Blast)
            });
            blasted.extend(checks.flat_map(|(_, done)| &done.got.0));
        }
        let told = history.steel.is_some() && history.dry_known;
        if of_zone().any(|coat| !told || coat.began.is_none()) {
            not_known.push(history.shape.as_ref().unwrap_or(&nothing));
        }
    }
    let mut layers: Vec<Layer> =
        coats.into_iter().rev().map(|(day, parts)| (Lies::Coat(day), union(parts))).collect();
    if !blasted.is_empty() {
        layers.push((Lies::Blasted, union(blasted)));
    }
    if !not_known.is_empty() {
        layers.push((Lies::NotKnown, union(not_known.iter().flat_map(|shape| &shape.0))));
    }
    layers
}

fn shapes(hidden: Option<&Vec<Hidden>>) -> impl Iterator<Item = &MultiPolygon<f64>> {
    hidden.into_iter().flatten().map(|hidden| &hidden.shape)
}

fn left(dockings: &[Docked], at: usize) -> Option<Left> {
    let left = hidden_throughout(shapes(Some(dockings[at].hidden.as_ref()?)));
    let later = &dockings[at + 1..];
    let hidden_later = later.iter().flat_map(|docking| shapes(docking.hidden.as_ref()));
    Some(Left {
        area_m2: area_m2(&left),
        still: hidden_throughout(std::iter::once(&left).chain(hidden_later)),
        known: later.iter().all(|docking| docking.hidden.is_some()),
    })
}

fn never_exposed(dockings: &[Docked]) -> Vec<Piece> {
    let placed = || dockings.iter().filter_map(|docking| docking.hidden.as_ref());
    let positions: Vec<Hidden> = placed().flatten().cloned().collect();
    let shape = hidden_throughout(positions.iter().map(|hidden| &hidden.shape));
    let hidden_in = vec![true; positions.len()];
    let class = Class { hidden_in, area_m2: area_m2(&shape), shape };
    exposure::never_exposed(&[class], &positions)
}

fn uppermost(
    bottom: &Bottom,
    dockings: &[Docked],
    layers: Vec<Vec<Layer>>,
) -> (Vec<Uppermost>, MultiPolygon<f64>) {
    let newest_first: Vec<(usize, Layer)> = layers
        .into_iter()
        .enumerate()
        .rev()
        .flat_map(|(docking, layers)| layers.into_iter().map(move |layer| (docking, layer)))
        .collect();
    let all = || newest_first.iter().map(|(_, (_, shape))| shape);
    let ground = match bottom {
        Some(bottom) => bottom.clone(),
        None => {
            let hidden = dockings.iter().flat_map(|docking| shapes(docking.hidden.as_ref()));
            union(all().chain(hidden).flat_map(|shape| &shape.0))
        }
    };
    let (seen, no_coat) = seen_from_above(&ground, all());
    let ended = dockings.last().and_then(|newest| newest.days.1);
    let uppermost = newest_first.iter().zip(seen).map(|((docking, (lies, _)), shape)| Uppermost {
        docking: *docking,
        lies: *lies,
        area_m2: area_m2(&shape),
        shape,
        age_d: match lies {
            Lies::Coat(day) => ended.map(|ended| (ended - *day).num_days()),
            Lies::Blasted | Lies::NotKnown => None,
        },
    });
    (uppermost.filter(|uppermost| !uppermost.shape.0.is_empty()).collect(), no_coat)
}

fn patches(
    dockings: &[Docked],
    uppermost: &[Uppermost],
    no_coat: &MultiPolygon<f64>,
    feathering_m: f64,
) -> Option<Patches> {
    let newest = dockings.len().checked_sub(1)?;
    let hidden = dockings[newest].hidden.as_ref()?;
    let any = union(hidden.iter().flat_map(|hidden| &hidden.shape.0));
    let older = uppermost.iter().enumerate().filter(|(_, one)| match one.lies {
        Lies::Coat(_) => one.docking != newest,
        Lies::Blasted => true,
        Lies::NotKnown => false,
    });
    let older = older.map(|(at, one)| (Some(at), &one.shape));
    let mut found = Patches::default();
    for (uppermost, shape) in older.chain([(None, no_coat)]) {
        let part = common(shape, &any);
        // Laps along the edges of other caps hang on the pieces and would put their extents wrong.
        let wide = wider_than(&part, feathering_m.max(THREAD_M));
        found.slivers_m2 += (area_m2(&part) - area_m2(&wide)).max(0.0);
        for polygon in wide.0 {
            let Some(extent) = extent(&polygon) else { continue };
            let one = MultiPolygon(vec![polygon.clone()]);
            found.pieces.push(Patch {
                uppermost,
                extent,
                area_m2: area_m2(&one),
                hidden_by: hidden.iter().map(|hidden| hidden.hiding(&one)).collect(),
                shape: polygon,
            });
        }
    }
    found.pieces.sort_by(|a, b| {
        let middle = |piece: &Patch| piece.extent[0] + piece.extent[1];
        middle(a).total_cmp(&middle(b)).then(a.extent[2].total_cmp(&b.extent[2]))
    });
    Some(found)
}

#[cfg(test)]
mod tests;
