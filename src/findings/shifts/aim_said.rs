//! An aim in sentences: the same wherever it is printed.

use super::said::{self, and};
use super::told::{Aim, LoadsTold, OpeningNear, OpeningsTold};
use super::{spans, way_of};
use crate::calc::shifts::{Band, Way};
use crate::units;

/// The kind of a docking plug in plan/openings.csv.
const PLUG: &str = "docking-plug";

/// Openings that are only counted beyond so many, where they are no warning.
const MOST_NAMED: usize = 5;

/// The aim in a band of shifts (from and to, m), in parts of which (slid) the openings are clear. The first
/// sentence says where, by how much it may be missed, and what is known of openings there; then come the loads,
/// and what could not be examined. `is_best` says whether it is the best place of the band, or one that was given.
pub fn sentences(aim: &Aim, shifts: (f64, f64), clear: &[Band], is_best: bool) -> Vec<String> {
    let mut first = match is_best {
        true => format!("Aim at {}, which {}", place(aim), missed(aim)),
        false => format!("{} {}", place(aim), missed(aim)),
    };
    first.push_str(&match &aim.openings {
        None => "; where she lies is not recorded, so that nothing can be said of openings, docking plugs and \
                 loads there"
            .to_string(),
        Some(openings) if openings.near.is_empty() => format!("; {}", none_near(openings)),
        Some(openings) => {
            let elsewhere = elsewhere(way_of(aim.way), shifts, clear, is_best);
            let near: Vec<String> = openings.near.iter().map(near).collect();
            format!("; but there {}, and {elsewhere}", and(&near))
        }
    });
    first.push('.');
    let mut said = vec![first];
    if let Some(openings) = &aim.openings {
        said.extend(not_held(openings));
        said.extend(loads(&aim.loads, "there"));
        said.extend(aim.loads_before.iter().flat_map(|before| loads(before, "before the shift")));
    }
    said
}

/// The place: `0.70 m aft of P1 as she lay (stern reference point at station 13.610 m)`.
fn place(aim: &Aim) -> String {
    let way = way_of(aim.way);
    let shift = said::shift(way, aim.shift_m, aim.decimals);
    let at = match way {
        Way::ForeAndAft => aim
            .srp_station_m
            .map(|m| format!(" (stern reference point at station {} m)", units::fixed(m, 3))),
        Way::Athwart => aim
            .centreline_offset_m
            .map(|m| format!(" (centreline at offset {} m)", units::fixed(m, 3))),
    };
    let at = at.unwrap_or_default();
    match aim.shift_m == 0.0 {
        true => format!("{}{at}", aim.from),
        false => format!("{shift} of {}{at}", aim.from),
    }
}

/// By how much it may be missed, and by how much before what is known of it changes.
fn missed(aim: &Aim) -> String {
    let size = |m: f64| match m {
        m if m > 0.0 => format!("{} m", units::fixed(m, aim.decimals)),
        _ => "less than a millimetre".to_string(),
    };
    let total = format!("may be missed by {} either way", size(aim.miss_m));
    match aim.openings {
        Some(_) if aim.steady_m < aim.miss_m => {
            format!("{total}, but by {} only before what follows changes", size(aim.steady_m))
        }
        _ => total,
    }
}

/// Where in a band the openings are clear.
fn elsewhere(way: Way, shifts: (f64, f64), clear: &[Band], is_best: bool) -> String {
    let span = |shifts: (f64, f64)| {
        let (span, decimals) = said::inward(shifts);
        said::span(way, span, decimals)
    };
    if clear.is_empty() {
        return format!("no shift from {} clears every opening", span(shifts));
    }
    let parts: Vec<String> =
        spans(clear).iter().map(|part| span((part.from_m, part.to_m))).collect();
    let narrow = if is_best { ", too little room to aim at" } else { "" };
    format!("every opening is clear at shifts of {} only{narrow}", and(&parts))
}

/// What is known where no opening is near a cap.
fn none_near(openings: &OpeningsTold) -> String {
    let all = openings.held + openings.not_held.len();
    if all == 0 {
        return "no opening is on record, so that none could be held against the caps".to_string();
    }
    let mut said = match (openings.held, openings.not_held.len()) {
        (0, 1) => "the one opening on record does not lie under a cap there".to_string(),
        (0, _) => format!("none of the {all} openings on record lies under a cap there"),
        (1, 0) => "the one opening on record has the clear distance wanted there".to_string(),
        (held, 0) => {
            format!("each of the {held} openings on record has the clear distance wanted there")
        }
        (1, _) => "the one opening for which a clear distance is wanted has it there".to_string(),
        (held, _) => {
            format!("each of the {held} openings for which a clear distance is wanted has it there")
        }
    };
    match openings.plugs_held {
        0 => {}
        1 => said.push_str(", and the docking plug is free to drain"),
        n => said.push_str(&format!(", and each of the {n} docking plugs is free to drain")),
    }
    said
}

fn near(near: &OpeningNear) -> String {
    let is_plug = near.kind == PLUG;
    let plug = if is_plug { "docking plug " } else { "" };
    let wanted = near.wanted_m.map_or("no distance on record".to_string(), |wanted| {
        format!("{} m wanted", units::fixed(wanted, 3))
    });
    match near.clear_m {
        clear if clear > 0.0 => {
            let clear = units::fixed(clear, 3);
            format!("{plug}{} is {clear} m from {} ({wanted})", near.opening, near.block)
        }
        _ if is_plug => {
            format!(
                "{plug}{} lies under {} and could not drain ({wanted})",
                near.opening, near.block
            )
        }
        _ => format!("{} lies under {} ({wanted})", near.opening, near.block),
    }
}

fn not_held(openings: &OpeningsTold) -> Option<String> {
    let count = openings.not_held.len();
    if count == 0 {
        return None;
    }
    if openings.held == 0 {
        return Some("A clear distance wanted is recorded for none of the openings.".to_string());
    }
    let named = openings.not_held.iter().take(MOST_NAMED).cloned().collect::<Vec<_>>();
    let more = match count - named.len() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    Some(format!(
        "For {count} of the openings no clear distance wanted is recorded ({}{more}): of these it is only known \
         whether they lie under a cap.",
        named.join(", ")
    ))
}

/// The loads, those beyond a limit, and what is not known of them.
fn loads(told: &LoadsTold, when: &str) -> Vec<String> {
    if told.greatest_t.is_none() {
        let why = told.why_not.as_deref().unwrap_or("no load was found");
        return vec![format!("The loads on the blocks {when} could not be worked out: {why}.")];
    }
    let (load, pressure) = figures(told);
    let which = match told.limit_kpa {
        Some(_) => "pressure nearest its limit",
        None => "greatest pressure",
    };
    let mut said =
        vec![format!("The greatest load on a block {when} is {load}; the {which}, {pressure}.")];
    if !told.beyond.is_empty() {
        let each: Vec<String> = told
            .beyond
            .iter()
            .map(|one| {
                let kpa = |kpa: f64| units::fixed(kpa, 0);
                format!(
                    "{} ({} kPa, limit {} kPa)",
                    one.block,
                    kpa(one.pressure_kpa),
                    kpa(one.limit_kpa)
                )
            })
            .collect();
        said.push(format!("Beyond their bearing limit {when}: {}.", and(&each)));
    }
    match told.no_limit {
        0 => {}
        1 => said.push("For 1 block no bearing limit is recorded.".to_string()),
        n => said.push(format!("For {n} blocks no bearing limit is recorded.")),
    }
    said
}

/// The greatest load, and the pressure nearest its limit, with their blocks.
pub fn figures(told: &LoadsTold) -> (String, String) {
    let why = told.why_not.as_deref().unwrap_or("not recorded");
    let unknown = || format!("not recorded: {why}");
    let load = told.greatest_t.zip(told.on.as_ref());
    let pressure = told.pressure_kpa.zip(told.pressed.as_ref());
    let held = match told.limit_kpa.zip(told.pressure_kpa) {
        Some((limit, kpa)) if kpa > limit => {
            format!(", beyond its limit of {} kPa", units::fixed(limit, 0))
        }
        Some((limit, _)) => format!(", limit {} kPa", units::fixed(limit, 0)),
        None => ", no limit on record".to_string(),
    };
    (
        load.map_or_else(unknown, |(t, block)| format!("{} t on {block}", units::fixed(t, 1))),
        pressure.map_or_else(unknown, |(kpa, block)| {
            format!("{} kPa on {block}{held}", units::fixed(kpa, 0))
        }),
    )
}
