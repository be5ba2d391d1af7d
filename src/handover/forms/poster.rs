//! A poster for the dock's wall, A3, one for each position that is still to be taken, or the last: where to put her and
//! by how much that may be missed, what is left out, openings and plugs, and hold points to be signed.

use std::borrow::Cow;

use serde::Serialize;

use crate::findings::Examined;
use crate::findings::recomputed::stops::AtStop;
use crate::findings::recomputed::{PositionRecomputed, clearances, planned};
use crate::findings::shifts::{Query, answer};
use crate::hull::Lie;
use crate::pages;
use crate::records::blocks::Block;
use crate::records::openings::Opening;
use crate::records::positions::Position;
use crate::text;
use crate::text::{Form, Text, id};
use crate::units::System;
use crate::words::cautions;

/// Its file's name in `forms/`.
pub const FILE: &str = "poster.pdf";

pub(super) const TITLE: &str = "Dock-wall poster";
pub(super) const ABOUT: &str =
    "Where to put her, what to mind, and hold points to be signed, for the dock's wall.";

/// What is signed before work goes on, in the order of a docking (common practice, no source). Those that only the dock
/// or the ship has are left to be written in.
const HOLD_POINTS: [&str; 9] = [
    "Blocks set and checked against the plan",
    "Caisson or gates seated",
    "Lined up on the marks",
    "First touch",
    "Divers\u{2019} check of the blocks",
    "Landed fore and aft",
    "Dock dry; blocks and shores checked",
    "Before flooding: openings closed, plugs in, people out",
    "Afloat; no leak found",
];

/// Most blocks, openings or plugs that are named with what is to be said of each.
const MOST_NAMED: usize = 4;

/// Most plugs of which nothing but the names is to be said.
const MOST_PLUGS: usize = 20;

/// Most characters of why a block is left out.
const LONGEST_WHY: usize = 90;

/// One sheet.
#[derive(Debug, Serialize)]
pub(super) struct Poster {
    pub position: Option<String>,
    /// What the place is: planned or recorded.
    pub how: &'static str,
    /// The place to aim at: name, and value or a line to fill in.
    pub aim: Vec<(String, Option<String>)>,
    /// Where she lay, if she was there already.
    pub lay: Option<String>,
    pub lists: Vec<List>,
    pub hold_points: &'static [&'static str],
    /// What is read from near: where the aim comes from, and what the shift study says.
    pub said: Vec<String>,
    pub cautions: [&'static str; 2],
}

/// Things to mind, under a heading.
#[derive(Debug, Serialize)]
pub(super) struct List {
    heading: String,
    items: Vec<Item>,
}

#[derive(Debug, Serialize)]
pub(super) struct Item {
    /// Said large.
    what: String,
    /// Said small below it.
    more: Option<String>,
}

impl Item {
    fn new(what: impl Into<String>) -> Self {
        Self { what: what.into(), more: None }
    }

    fn with(what: impl Into<String>, more: impl Into<String>) -> Self {
        Self { what: what.into(), more: Some(more.into()) }
    }
}

/// The sheets of a project; one with lines to fill in where no position is recorded.
pub(super) fn all(examined: &Examined, only: Option<&str>) -> Vec<Poster> {
    places(examined, only).iter().map(|place| poster(examined, place.as_ref())).collect()
}

/// The positions that are still to be taken, or the last; the one that is asked for, if one is. One that is not known
/// where none is recorded.
pub(super) fn places<'a>(examined: &'a Examined, only: Option<&str>) -> Vec<Option<Place<'a>>> {
    let positions = &examined.project.positions;
    let is_ahead = |position: &Position| {
        position.planned_srp_station_m.is_some() && position.recorded_srp_station_m.is_none()
    };
    let numbered = || positions.iter().enumerate();
    let is_shown = |position: &Position| match only {
        Some(only) => position.id == only,
        None => is_ahead(position),
    };
    let mut shown: Vec<(usize, &Position)> = numbered().filter(|(_, p)| is_shown(p)).collect();
    if shown.is_empty() && only.is_none() {
        shown.extend(numbered().next_back());
    }
    if shown.is_empty() {
        return vec![None];
    }
    let place = |(number, position)| Some(Place::new(examined, number, position));
    shown.into_iter().map(place).collect()
}

/// A position, and where she lies in it.
pub(super) struct Place<'a> {
    pub number: usize,
    pub position: &'a Position,
    pub planned: Option<Lie>,
    /// Where she lay, if she was there.
    pub lay: Option<Lie>,
    /// For each opening the clear distance from the nearest cap there, m, and that cap's block.
    clearances: Cow<'a, [Option<(f64, usize)>]>,
}

impl<'a> Place<'a> {
    fn new(examined: &'a Examined, number: usize, position: &'a Position) -> Self {
        let project = &examined.project;
        let found: Option<&PositionRecomputed> = examined.recomputed.positions.get(number);
        let lay = found.and_then(|found| found.lie);
        let planned = planned(position);
        let clearances = match (found, &planned) {
            (Some(found), _) if lay.is_some() => Cow::from(&found.clearances),
            (_, Some(lie)) => Cow::from(clearances(project, position, lie)),
            _ => Cow::from(vec![None; project.openings.len()]),
        };
        Self { number, position, planned, lay, clearances }
    }

    fn is_known(&self) -> bool {
        self.planned.is_some() || self.lay.is_some()
    }
}

pub(super) fn poster(examined: &Examined, place: Option<&Place<'_>>) -> Poster {
    let project = &examined.project;
    let system = project.docking.units;
    let length = |m: f64| Form::Length.measure(m).with_unit(system);
    let planned = place.and_then(|place| place.planned);
    let lay = place.and_then(|place| place.lay);
    let (how, station, offset) = match (place, planned, lay) {
        (Some(place), Some(lie), _) => {
            ("as planned", Some(lie.srp_station_m), place.position.planned_offset_m)
        }
        (_, None, Some(lie)) => {
            ("as recorded", Some(lie.srp_station_m), Some(lie.centreline_offset_m))
        }
        _ => ("", None, None),
    };
    let limit = project.docking.bounds.limit("position_from_plan");
    let mut said = vec![match &project.docking.dock.datum {
        Some(datum) => format!("Station 0: {datum}."),
        None => "Where station 0 is, is not recorded.".to_string(),
    }];
    if let Some(limit) = limit {
        let source = limit.source.trim_end_matches('.');
        said.push(format!(
            "By how much the place may be missed in all, along and across: {source}."
        ));
    }
    said.extend(study(examined, place.map(|place| place.number)));
    let sideways = match offset.map(|m| to_a_side(m, system)) {
        Some((size, Some(side))) => {
            (format!("Centreline to {side} of the dock\u{2019}s"), Some(size))
        }
        Some((size, None)) => ("Centreline off the dock\u{2019}s".to_string(), Some(size)),
        None => ("Centreline to port of the dock\u{2019}s".to_string(), None),
    };
    Poster {
        position: place.map(|place| place.position.id.clone()),
        how,
        aim: vec![
            ("Stern reference point at station".to_string(), station.map(length)),
            sideways,
            (
                "To be missed by no more than".to_string(),
                limit.map(|limit| {
                    let most = Form::Length.measure(limit.value).rounded_down();
                    most.with_unit(system)
                }),
            ),
        ],
        lay: lay.filter(|_| planned.is_some()).map(|lie| {
            let station = length(lie.srp_station_m);
            match to_a_side(lie.centreline_offset_m, system) {
                (size, Some(side)) => {
                    format!("She lay there at station {station}, {size} to {side}.")
                }
                (_, None) => format!("She lay there at station {station}, on the centreline."),
            }
        }),
        lists: [
            List { heading: "Blocks left out".into(), items: left_out(examined, place) },
            openings(examined, place),
            List { heading: "Docking plugs".into(), items: plugs(examined, place) },
        ]
        .into_iter()
        .chain(stops(examined, place))
        .collect(),
        hold_points: &HOLD_POINTS,
        said,
        cautions: [cautions::SHORT, DEFERS],
    }
}

const DEFERS: &str = "The dockmaster, the docking plan and the local rules come before this sheet, and may ask for other hold points. \
                      Where they differ from it, stop and ask. These are no orders, and a signature here stands for no permit.";

/// How far off the dock's centreline, and on which side of it.
fn to_a_side(offset_m: f64, system: System) -> (String, Option<&'static str>) {
    let far = |m: f64| Form::Length.measure(m).with_unit(system);
    let size = far(offset_m.abs());
    let side = if offset_m < 0.0 { "starboard" } else { "port" };
    let is_off = size != far(0.0);
    (size, is_off.then_some(side))
}

/// What the study of shifts says of a position that follows another.
fn study(examined: &Examined, number: Option<usize>) -> Vec<String> {
    let system = examined.project.docking.units;
    let Some(number) = number else { return Vec::new() };
    let Some(before) = number.checked_sub(1) else {
        return vec![
            "No position comes before it on record, so that the records give no shift to aim at."
                .to_string(),
        ];
    };
    let query = Query { before: Some(before), after: Some(number), ..Query::default() };
    let found = answer(&examined.project, &examined.recomputed, &query, &[]);
    let aim = found.as_ref().ok().and_then(|answer| answer.choice.as_ref());
    match aim {
        Some(choice) => {
            let said: Vec<String> =
                choice.band.aim.said.iter().map(|said| said.shown(system)).collect();
            vec![format!(
                "The shift study, which knows the records and not the plan\u{2019}s reasons: {}",
                said.join(" ")
            )]
        }
        None => vec![
            "The shift study has no one shift that reaches all that was hidden before: see lastdock shifts and the report."
                .to_string(),
        ],
    }
}

/// The first items, and how many more there are.
fn first(mut items: Vec<Item>, none: &str) -> Vec<Item> {
    if items.is_empty() {
        return vec![Item::new(none)];
    }
    let more = items.len().saturating_sub(MOST_NAMED);
    if more > 0 {
        items.truncate(MOST_NAMED);
        items.push(Item::with(format!("and {more} more"), "see the docking plan"));
    }
    items
}

const NO_PLACE: &str = "where she is to lie is not recorded";

fn left_out(examined: &Examined, place: Option<&Place<'_>>) -> Vec<Item> {
    let blocks = &examined.project.blocks;
    let Some(Place { position, .. }) = place else {
        return vec![Item::new("no position is recorded")];
    };
    if blocks.is_empty() {
        return vec![Item::new("no block is recorded")];
    }
    let is_found_elsewhere = |block: &str| {
        blocks.iter().any(|b| b.moved_from.as_deref() == Some(block) && b.stands_in(&position.id))
    };
    let absent = blocks.iter().filter(|block| {
        !block.stands_in(&position.id)
            && block.moved_from.is_none()
            && !is_found_elsewhere(&block.id)
    });
    let said = absent.map(|block| match &block.left_out_because {
        Some(why) => Item::with(block.id.clone(), text::shortened(why, LONGEST_WHY)),
        None => Item::with(block.id.clone(), "why is not recorded"),
    });
    first(said.collect(), "none by the block plan")
}

/// Openings under a cap or nearer to one than is wanted, where she lay or is to lie.
fn openings(examined: &Examined, place: Option<&Place<'_>>) -> List {
    let project = &examined.project;
    let system = project.docking.units;
    let list =
        |how: &str, items: Vec<Item>| List { heading: format!("Openings near blocks{how}"), items };
    let Some(place) = place.filter(|place| place.is_known()) else {
        return list("", vec![Item::new(NO_PLACE)]);
    };
    let how = if place.lay.is_some() { ", as she lay" } else { ", as planned" };
    if project.openings.is_empty() {
        return list("", vec![Item::new("no opening is recorded")]);
    }
    let bounds = &project.docking.bounds;
    let numbered = project.openings.iter().zip(place.clearances.iter());
    let mut found: Vec<(f64, &Opening, &Block)> = numbered
        .filter_map(|(opening, nearest)| {
            let (clear_m, block) = (*nearest)?;
            Some((clear_m, opening, project.blocks.get(block)?))
        })
        .collect();
    found.sort_by(|one, other| one.0.total_cmp(&other.0));
    let length = |m: f64| Form::Length.measure(m);
    let near = found.into_iter().filter_map(|(clear_m, opening, block)| {
        let (o, b, kind) = (id(&opening.id), id(&block.id), opening.kind.replace('-', " "));
        if clear_m <= 0.0 {
            return Some(Item::with(text!("{} under {}", o, b).shown(system), kind));
        }
        let wanted_m = opening.wants_clear_m(bounds).filter(|wanted_m| clear_m < *wanted_m)?;
        let what = text!("{}: {}", o, length(clear_m));
        let more = text!("{}, from {}; {} is wanted", kind, b, length(wanted_m));
        Some(Item::with(what.shown(system), more.shown(system)))
    });
    let near: Vec<Item> = near.collect();
    let unknown = project.openings.iter().filter(|one| one.wants_clear_m(bounds).is_none()).count();
    let mut near = match place.clearances.iter().all(Option::is_none) {
        true => vec![Item::new("not known: no block is recorded as standing")],
        false => first(near, "none is under a cap or nearer than is wanted"),
    };
    if unknown > 0 {
        near.push(Item::new(format!(
            "{unknown} not judged: no clear distance is recorded for them"
        )));
    }
    list(how, near)
}

/// The planned stops of the pumping, from the highest; nothing where none is planned.
fn stops(examined: &Examined, place: Option<&Place<'_>>) -> Option<List> {
    let system = examined.project.docking.units;
    let stops = pages::planned::stops::at_position(examined, &place?.position.id)?;
    let item = |stop: &AtStop<'_>| {
        let level = Form::Length.measure(stop.stop.level_m).decimals(2);
        let stands = stop.stands.as_ref().ok().map(|stands| stands.in_words());
        let load = stop
            .load
            .map(|load| text!("{} on the blocks", Form::Mass.measure(load.load_t).decimals(0)));
        let predicted = Text::joined(stands.into_iter().chain(load), ", ");
        let why = text::shortened(&stop.stop.why, LONGEST_WHY);
        let more = match predicted.is_empty() {
            true => why,
            false => text!("{}; by calculation {}", why, predicted).shown(system),
        };
        Item::with(text!("{}", level).shown(system), more)
    };
    let items: Vec<Item> = stops.stops.iter().map(item).collect();
    Some(List { heading: "Pumping stops at level".into(), items: first(items, "") })
}

fn plugs(examined: &Examined, place: Option<&Place<'_>>) -> Vec<Item> {
    let project = &examined.project;
    let numbered = project.openings.iter().enumerate();
    let plugs: Vec<(usize, &Opening)> = numbered.filter(|(_, o)| o.is_docking_plug()).collect();
    if plugs.is_empty() {
        return vec![Item::new("no docking plug is recorded")];
    }
    let under = |number: usize| {
        let (clear_m, block) = (*place?.clearances.get(number)?)?;
        (clear_m <= 0.0).then(|| project.blocks.get(block)).flatten()
    };
    let blocked = plugs.iter().filter_map(|(number, plug)| Some((plug, under(*number)?)));
    let blocked: Vec<Item> = blocked
        .map(|(plug, block)| {
            Item::with(format!("{} under {}", plug.id, block.id), "can\u{2019}t be drawn")
        })
        .collect();
    let free: Vec<Text> = plugs
        .iter()
        .filter(|(number, _)| under(*number).is_none())
        .map(|(_, plug)| id(&plug.id).into())
        .collect();
    let mut said = if blocked.is_empty() { Vec::new() } else { first(blocked, "") };
    if !free.is_empty() {
        let more = free.len().saturating_sub(MOST_PLUGS);
        let mut names: Vec<Text> = free.into_iter().take(MOST_PLUGS).collect();
        if more > 0 {
            names.push(text!("{} more", more));
        }
        let what = Text::listed(names).shown(project.docking.units);
        let drawn = place.is_some_and(Place::is_known);
        said.push(match drawn {
            true => Item::with(what, "drawn when dry, as the docking plan says"),
            false => Item::with(what, "whether a block stands under one is not known"),
        });
    }
    said.push(Item::with(format!("{} on record", plugs.len()), "all counted back before flooding"));
    said
}
