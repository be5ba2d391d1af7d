//! First touch, the critical instant, and the load afterwards.

use serde::Serialize;

use super::{Held, finding};
use crate::calc::landing::{loss_by_kg_m, loss_by_km_m};
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::recomputed::landing::water_level_at;
use crate::report::figures::centre_said_m;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Touch {
    rows: Vec<Row>,
    /// Why there is nothing, in a sentence.
    why_not: Option<String>,
}

#[derive(Serialize)]
struct Row {
    what: &'static str,
    value: Option<String>,
    held: Held,
}

fn metres(value_m: Option<f64>) -> Option<String> {
    value_m.map(|value| format!("{} m", text::number(value, 3)))
}

fn tonnes(value_t: Option<f64>) -> Option<String> {
    value_t.map(|value| format!("{} t", text::number(value, 1)))
}

/// The landing of the position of a number.
pub(super) fn touch(examined: &Examined, number: usize) -> Touch {
    let project = &examined.project;
    let (Some(position), Some(landing)) =
        (project.positions.get(number), examined.recomputed.landings.get(number))
    else {
        return Touch { rows: Vec::new(), why_not: None };
    };
    let id = |what: &str| format!("landing.{}.{what}", position.id);
    let held = |what: &str| Held::of(finding(examined, &id(what)));
    let why_not = finding(examined, &id("knuckle"))
        .filter(|finding| finding.outcome == Outcome::NotRecorded && landing.touch.is_none())
        .map(|finding| finding.sentence.to_string());
    let (Some(afloat), Some(touch)) = (landing.afloat.as_ref(), landing.touch) else {
        let nothing = why_not.unwrap_or_else(|| "Of the landing nothing was recorded.".to_string());
        return Touch { rows: Vec::new(), why_not: Some(nothing) };
    };
    let block = |seat: usize| {
        let (number, seat) = landing.seats.get(seat)?;
        let block = project.blocks.get(*number)?;
        Some(format!("{}, at x = {} m", block.id, text::number(seat.x_m, 2)))
    };
    let second = landing.second.and_then(|second| {
        let left = if second.left_m < 0.0 { "past" } else { "left over" };
        Some(format!(
            "{}, with {} m of trim {left} the line of the blocks",
            block(second.seat)?,
            text::number(second.left_m.abs(), 3)
        ))
    });
    let critical = landing.critical;
    let weight = afloat.displacement_t;
    let kg = landing.kg_m;
    let gm = critical.zip(kg).map(|(critical, kg)| critical.gm_m(kg, weight));
    let margin = critical
        .zip(landing.instability_draft_m)
        .map(|(critical, nil)| critical.draft_at_lcf_m - nil);
    let level = |recomputed: Option<f64>, at: Option<_>| {
        let logged = at.and_then(|at| water_level_at(project, &position.id, at));
        let logged = match logged {
            Some(level) => format!("{} m by the log", text::number(level, 3)),
            None => "log: not recorded".to_string(),
        };
        recomputed.map(|level| format!("{} m; {logged}", text::number(level, 3)))
    };
    let row = |what, value, held| Row { what, value, held };
    let none = Held::default;
    let rows = vec![
        row("Trim against the line of the blocks", metres(landing.relative_trim_m), held("trim")),
        row("Knuckle block: the first touched", block(touch.seat), held("knuckle")),
        row(
            "Water level at first touch, recomputed",
            level(Some(touch.water_level_m), position.times.touched),
            held("water_touched"),
        ),
        row("Block touched second, turning about the knuckle", second, held("second_touch")),
        row("Upthrust P by the formula MCT t / l", tonnes(landing.simple_upthrust_t), none()),
        row(
            "Upthrust P by equilibrium, at the critical instant",
            tonnes(critical.map(|critical| critical.upthrust_t)),
            held("knuckle_load"),
        ),
        row(
            "Pressure of all P on the knuckle block’s cap alone",
            landing.knuckle_pressure_kpa.map(|kpa| format!("{} kPa", text::number(kpa, 0))),
            held("knuckle_pressure"),
        ),
        row(
            "Loss of GM as P KM / W",
            metres(critical.map(|c| loss_by_km_m(c.upthrust_t, c.km_m, weight))),
            none(),
        ),
        row(
            "Loss of GM as P KG / (W \u{2212} P)",
            metres(critical.zip(kg).map(|(c, kg)| loss_by_kg_m(c.upthrust_t, kg, weight))),
            none(),
        ),
        row("GM left, by P KM / W", metres(gm.map(|gm| gm[0])), none()),
        row("GM left, by P KG / (W \u{2212} P)", metres(gm.map(|gm| gm[1])), none()),
        row(
            "The smaller GM at the critical instant",
            metres(gm.map(|gm| gm[0].min(gm[1]))),
            held("gm"),
        ),
        row("Draft at the LCF when landed", metres(critical.map(|c| c.draft_at_lcf_m)), none()),
        row(
            "Draft at instability (GM nil), at the LCF",
            metres(landing.instability_draft_m),
            none(),
        ),
        row("Margin: landed deeper than the draft at instability", metres(margin), held("nil_gm")),
        row(
            "Water level when landed, recomputed",
            level(critical.map(|critical| critical.water_level_m), position.times.landed),
            held("water_landed"),
        ),
    ];
    Touch { rows, why_not: None }
}

/// The load at one water level.
#[derive(Serialize)]
pub(super) struct Fall {
    level: String,
    load: String,
    centre: Option<String>,
}

/// The load as the water falls, some ten of its levels, first and last among them.
pub(super) fn fall(examined: &Examined, number: usize) -> Vec<Fall> {
    const MOST: usize = 9;
    let Some(landing) = examined.recomputed.landings.get(number) else { return Vec::new() };
    let weight = landing.afloat.as_ref().map_or(0.0, |afloat| afloat.displacement_t);
    let count = landing.loads.len();
    let every = count.saturating_sub(1).div_ceil(MOST).max(1);
    landing
        .loads
        .iter()
        .enumerate()
        .filter(|(n, _)| n % every == 0 || n + 1 == count)
        .filter_map(|(_, (n, load))| {
            Some(Fall {
                level: text::number(examined.project.water.get(*n)?.level_m, 2),
                load: text::number(load.load_t, 0),
                centre: text::centimetres(centre_said_m(load, weight)),
            })
        })
        .collect()
}
