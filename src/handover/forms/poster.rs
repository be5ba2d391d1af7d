//! A poster for the dock's wall, A3, one for each position that is still to be taken, or the last: where to put her and
//! by how much that may be missed, what is left out, openings and plugs, and hold points to be signed.

use serde::Serialize;

use crate::calc::openings::nearest;
use crate::findings::Examined;
use crate::findings::recomputed::caps;
use crate::findings::shifts::{Query, answer};
use crate::hull::Lie;
use crate::records::positions::Position;
use crate::text;
use crate::text::{Form, Text, id};
use crate::words::cautions;

/// Its file's name in `forms/`.
pub const FILE: &str = "poster.pdf";

pub(super) const TITLE: &str = "Dock-wall poster";
pub(super) const ABOUT: &str =
    "Where to put her, what to mind, and hold points to be signed, for the dock's wall.";

/// What is signed before work goes on, in the order of a docking, with who is usually asked (common practice, no
/// source; the docking plan and the local rules may ask for others).
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

/// Most blocks, openings or plugs that are named.
const MOST_NAMED: usize = 12;

/// One sheet.
#[derive(Debug, Serialize)]
pub(super) struct Poster {
    position: Option<String>,
    /// What stands of the place to aim at: name, value or a line to fill in.
    aim: Vec<(&'static str, Option<String>)>,
    /// Where that comes from, and what the shift study says.
    said: Vec<String>,
    lists: Vec<(&'static str, Vec<String>)>,
    hold_points: &'static [&'static str],
    cautions: [&'static str; 2],
}

/// The sheets of a project; one with lines to fill in where no position is recorded.
pub(super) fn all(examined: &Examined) -> Vec<Poster> {
    let positions = &examined.project.positions;
    let is_ahead = |position: &Position| {
        position.planned_srp_station_m.is_some() && position.recorded_srp_station_m.is_none()
    };
    let numbered = || positions.iter().enumerate();
    let mut shown: Vec<(usize, &Position)> = numbered().filter(|(_, p)| is_ahead(p)).collect();
    if shown.is_empty() {
        shown.extend(numbered().next_back());
    }
    if shown.is_empty() {
        return vec![poster(examined, None)];
    }
    shown.into_iter().map(|one| poster(examined, Some(one))).collect()
}

/// Where a position is to be taken: as planned, or as recorded where no plan is.
fn place(examined: &Examined, number: usize, position: &Position) -> (Option<Lie>, &'static str) {
    let planned = position.planned_srp_station_m.map(|srp_station_m| Lie {
        srp_station_m,
        centreline_offset_m: position.planned_offset_m.unwrap_or(0.0),
        yaw_deg: 0.0,
    });
    let recorded = || examined.recomputed.positions.get(number).and_then(|found| found.lie);
    match planned {
        Some(lie) => (Some(lie), "as planned"),
        None => (recorded(), "as recorded"),
    }
}

fn poster(examined: &Examined, one: Option<(usize, &Position)>) -> Poster {
    let project = &examined.project;
    let system = project.docking.units;
    let shown = |text: &Text| text.shown(system);
    let length = |m: f64| Form::Length.measure(m).with_unit(system);
    let (lie, how) = one.map_or((None, ""), |(n, position)| place(examined, n, position));
    let planned = one.and_then(|(_, position)| position.planned_srp_station_m);
    let offset = match one {
        Some((_, position)) if planned.is_some() => position.planned_offset_m,
        _ => lie.map(|lie| lie.centreline_offset_m),
    };
    let limit = project.docking.bounds.limit("position_from_plan");
    let aim = vec![
        ("Stern reference point at station", lie.map(|lie| length(lie.srp_station_m))),
        ("Centreline, offset to port", offset.map(length)),
        ("Off the plan by no more than", limit.map(|limit| length(limit.value))),
    ];
    let mut said = Vec::new();
    if lie.is_some() {
        said.push(format!("The place is {how}."));
    }
    if let Some(limit) = limit {
        said.push(format!("By how much it may be off: {}.", limit.source.trim_end_matches('.')));
    }
    said.push(match &project.docking.dock.datum {
        Some(datum) => format!("Station 0: {datum}."),
        None => "Where station 0 is, is not recorded.".to_string(),
    });
    said.extend(study(examined, one.map(|(n, _)| n), &shown));
    Poster {
        position: one.map(|(_, position)| position.id.clone()),
        aim,
        said,
        lists: vec![
            ("Blocks left out", left_out(examined, one.map(|(_, position)| position))),
            ("Openings near blocks", openings(examined, one.zip(lie), &shown)),
            ("Docking plugs", plugs(examined, one.zip(lie), &shown)),
        ],
        hold_points: &HOLD_POINTS,
        cautions: [cautions::SHORT, DEFERS],
    }
}

const DEFERS: &str = "The dockmaster, the docking plan and the local rules come before this sheet. Where they differ from it, stop \
                      and ask. These are no orders, and a signature here stands for no permit.";

/// What the study of shifts says of a position that follows another.
fn study(
    examined: &Examined,
    number: Option<usize>,
    shown: &dyn Fn(&Text) -> String,
) -> Vec<String> {
    let Some(before) = number.and_then(|n| n.checked_sub(1)) else {
        return vec![
            "No position comes before it on record: by how much the shift may be missed is not known from the records."
                .to_string(),
        ];
    };
    let query = Query { before: Some(before), after: number, ..Query::default() };
    let found = answer(&examined.project, &examined.recomputed, &query, &[]);
    let aim = found.as_ref().ok().and_then(|answer| answer.choice.as_ref());
    match aim {
        Some(choice) => {
            let said: Vec<String> = choice.band.aim.said.iter().map(shown).collect();
            vec![format!("By the shift study: {}", said.join(" "))]
        }
        None => vec![
            "The shift study has no one shift that reaches all that was hidden before: see lastdock shifts and the report."
                .to_string(),
        ],
    }
}

/// Names, so many at most.
fn named(mut names: Vec<String>, none: &str) -> Vec<String> {
    if names.is_empty() {
        return vec![none.to_string()];
    }
    let more = names.len().saturating_sub(MOST_NAMED);
    names.truncate(MOST_NAMED);
    if more > 0 {
        names.push(format!("and {more} more: see the docking plan"));
    }
    names
}

fn left_out(examined: &Examined, position: Option<&Position>) -> Vec<String> {
    let blocks = &examined.project.blocks;
    let Some(position) = position else { return vec!["no position is recorded".to_string()] };
    let is_found_elsewhere = |block: &str| {
        blocks.iter().any(|b| b.moved_from.as_deref() == Some(block) && b.stands_in(&position.id))
    };
    let absent = blocks.iter().filter(|block| {
        !block.stands_in(&position.id)
            && block.moved_from.is_none()
            && !is_found_elsewhere(&block.id)
    });
    let said = absent.map(|block| match &block.left_out_because {
        Some(why) => format!("{}: {}", block.id, text::shortened(why, 90)),
        None => format!("{}: why is not recorded", block.id),
    });
    named(said.collect(), "none by the block plan")
}

/// Openings under a cap or nearer to one than is wanted, where she is to lie.
fn openings(
    examined: &Examined,
    one: Option<((usize, &Position), Lie)>,
    shown: &dyn Fn(&Text) -> String,
) -> Vec<String> {
    let project = &examined.project;
    let Some(((_, position), lie)) = one else { return vec![NO_PLACE.to_string()] };
    if project.openings.is_empty() {
        return vec!["no opening is recorded".to_string()];
    }
    let mut unknown = 0;
    let near = project.openings.iter().filter_map(|opening| {
        let (clear_m, block) = nearest(&opening.outline, caps(project, &position.id), &lie)?;
        let wanted_m = opening.wants_clear_m(&project.docking.bounds);
        unknown += usize::from(wanted_m.is_none());
        let block = id(&project.blocks.get(block)?.id);
        let kind = opening.kind.replace('-', " ");
        let said = match wanted_m {
            _ if clear_m <= 0.0 => text!("{}, {}: under {}", id(&opening.id), kind, block),
            Some(wanted_m) if clear_m < wanted_m => text!(
                "{}, {}: {} from {}, wanted {}",
                id(&opening.id),
                kind,
                Form::Length.measure(clear_m).decimals(2),
                block,
                Form::Length.measure(wanted_m).decimals(2)
            ),
            _ => return None,
        };
        Some(shown(&said))
    });
    let mut near = named(near.collect(), "none is under a cap or nearer than is wanted there");
    if unknown > 0 {
        near.push(format!("for {unknown} no clear distance is recorded"));
    }
    near
}

const NO_PLACE: &str = "where she is to lie is not recorded";

fn plugs(
    examined: &Examined,
    one: Option<((usize, &Position), Lie)>,
    shown: &dyn Fn(&Text) -> String,
) -> Vec<String> {
    let project = &examined.project;
    let plugs: Vec<_> = project.openings.iter().filter(|o| o.is_docking_plug()).collect();
    if plugs.is_empty() {
        return vec!["no docking plug is recorded".to_string()];
    }
    let under = |opening: &crate::records::openings::Opening| {
        let ((_, position), lie) = one?;
        let (clear_m, block) = nearest(&opening.outline, caps(project, &position.id), &lie)?;
        (clear_m <= 0.0).then(|| project.blocks.get(block)).flatten()
    };
    let mut said = Vec::new();
    let free: Vec<Text> =
        plugs.iter().filter(|plug| under(plug).is_none()).map(|plug| id(&plug.id).into()).collect();
    if !free.is_empty() {
        let drained = match one {
            Some(_) => text!("Draw when dry, as the docking plan says: {}", Text::listed(free)),
            None => text!("On record: {}", Text::listed(free)),
        };
        said.push(shown(&drained));
    }
    let blocked = plugs.iter().filter_map(|plug| Some((plug, under(plug)?)));
    said.extend(blocked.map(|(plug, block)| {
        shown(&text!("{}: under {}, can\u{2019}t be drawn", id(&plug.id), id(&block.id)))
    }));
    said.push(format!("Refit and count before flooding: {} on record", plugs.len()));
    said
}
