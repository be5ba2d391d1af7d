//! A briefing on one page, one for each position that is still to be taken, or the last: the plan with blocks and openings,
//! the place to aim at, levels at which the water stops, and hold points to be signed. What it says it has from the
//! poster, and its levels from what the report shows.

use serde::Serialize;

use super::known::Known;
use super::poster::{List, Place, Poster, places, poster};
use crate::findings::Examined;
use crate::report::figures::{Drawing, Room, finder};
use crate::units::System;

/// Its file's name in `forms/`.
pub(super) const FILE: &str = "briefing.pdf";

pub(super) const TITLE: &str = "Briefing";
pub(super) const ABOUT: &str =
    "One page for those who take her in: plan, aim, levels at which the water stops, hold points.";

/// Width and greatest height of the hull on the plan, mm: both papers have that width.
const PLAN_MM: (f64, f64) = (186.0, 28.0);

/// Stops that the plan or the dockmaster sets, to be written in.
const OTHER_STOPS: usize = 2;

#[derive(Debug, Serialize)]
pub(super) struct Briefing {
    position: Option<String>,
    how: &'static str,
    aim: Vec<(String, Option<String>)>,
    lay: Option<String>,
    lists: Vec<List>,
    stops: Vec<Stop>,
    /// What the levels follow from.
    stops_from: String,
    hold_points: &'static [&'static str],
    said: Vec<String>,
    cautions: [&'static str; 2],
    /// The number of its plan among the drawings.
    plan: Option<usize>,
}

/// A level at which the water is to stop.
#[derive(Debug, Serialize)]
struct Stop {
    /// Why; to be written in where it is not known.
    what: Option<&'static str>,
    level: Option<String>,
}

/// The briefings of a project, and their plans.
pub(super) fn all(examined: &Examined, known: &Known<'_>) -> (Vec<Briefing>, Vec<Drawing>) {
    let mut plans = Vec::new();
    let mut briefings = Vec::new();
    for place in places(examined, known.only) {
        let place = place.as_ref();
        let (width_mm, hull_mm) = PLAN_MM;
        let units = examined.project.docking.units;
        let room = Room { width_mm, hull_mm, names_openings: true, units };
        let lies =
            place.and_then(|place| Some((&*place.position.id, place.lay.or(place.planned)?)));
        let drawn = finder(&examined.project, lies, &room);
        let plan = drawn.map(|mut drawing| {
            drawing.name = format!("plan-{}", plans.len());
            plans.push(drawing);
            plans.len() - 1
        });
        briefings.push(briefing(examined, place, plan));
    }
    (briefings, plans)
}

fn briefing(examined: &Examined, place: Option<&Place<'_>>, plan: Option<usize>) -> Briefing {
    let Poster { position, how, aim, lay, lists, hold_points, mut said, cautions } =
        poster(examined, place);
    // The datum and what the aim may be missed by; the study of shifts is for the poster.
    said.truncate(2);
    let (stops, stops_from) = stops(examined, place);
    Briefing {
        position,
        how,
        aim,
        lay,
        lists,
        stops,
        stops_from,
        hold_points,
        said,
        cautions,
        plan,
    }
}

/// First touch and landed, as the report has them, and room for others.
fn stops(examined: &Examined, place: Option<&Place<'_>>) -> (Vec<Stop>, String) {
    let system: System = examined.project.docking.units;
    let landing = place.and_then(|place| {
        let id = &*place.position.id;
        Some((id, examined.recomputed.landings.get(place.number)?))
    });
    let touched = landing.and_then(|(id, landing)| landing.level_touched(id));
    let landed = landing.and_then(|(id, landing)| landing.level_landed(id));
    let are_known = touched.is_some() || landed.is_some();
    let shown = |level: Option<crate::text::Measure>| level.map(|level| level.with_unit(system));
    let mut stops = vec![
        Stop { what: Some("First touch"), level: shown(touched) },
        Stop { what: Some("Landed fore and aft"), level: shown(landed) },
    ];
    stops.extend((0..OTHER_STOPS).map(|_| Stop { what: None, level: None }));
    let from = if are_known {
        "Levels of the water above the dock\u{2019}s level datum, recomputed from the drafts before landing on record. \
         Drafts that are read anew come first. How long before a level pumping stops, the docking plan says."
    } else {
        "Not recomputed, since the record lacks what that takes, such as drafts before landing. Write in \
         the levels of the docking plan, above the dock\u{2019}s level datum."
    };
    (stops, from.to_string())
}
