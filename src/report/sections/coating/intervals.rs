//! Intervals between coats and to the water, each with its window.

use serde::Serialize;

use super::outcome;
use crate::findings::Examined;
use crate::findings::coating::windows::{kept_words, why_none};
use crate::findings::recomputed::coating::windows::Interval as Found;
use crate::report::legible::Narrow;
use crate::report::text;
use crate::units::nine_digits;

#[derive(Serialize)]
pub(super) struct Interval {
    upper: Narrow,
    lower: Narrow,
    meet: String,
    shortest: String,
    longest: String,
    steel: Option<String>,
    window: Option<String>,
    kept: String,
    outcome: Option<&'static str>,
}

/// Coats over each other: they meet on areas in plan.
pub(super) fn over(examined: &Examined, found: &[Found]) -> Vec<Interval> {
    found.iter().filter_map(|one| interval(examined, one, false)).collect()
}

/// Tie-ins of patches to the surrounding coating: they meet along metres of edge.
pub(super) fn tie_ins(examined: &Examined, found: &[Found]) -> Vec<Interval> {
    found.iter().filter_map(|one| interval(examined, one, true)).collect()
}

fn interval(examined: &Examined, found: &Found, tie_in: bool) -> Option<Interval> {
    let project = &examined.project;
    let (upper, lower) = (project.coats.get(found.upper)?, project.coats.get(found.lower)?);
    let id = if tie_in {
        format!("coating.{}.border.{}", upper.name, lower.name)
    } else {
        format!("coating.{}.recoat.{}", upper.name, lower.name_in_zone())
    };
    let steel = found
        .steel_c
        .map(|(cold, warm)| format!("{} to {}", text::number(cold, 1), text::number(warm, 1)));
    let window = found.window.ok().map(|window| {
        let least = nine_digits(window.least_h);
        match window.greatest_h {
            Some(most) => format!("{least} to {}", nine_digits(most)),
            None => format!("from {least}, no end"),
        }
    });
    Some(Interval {
        upper: Narrow::new(&upper.name),
        lower: Narrow::new(&lower.name),
        meet: text::number(found.meet, 2),
        shortest: text::number(found.shortest_h, 1),
        longest: text::number(found.longest_h, 1),
        steel,
        window,
        kept: kept(examined, found),
        outcome: outcome(examined, &id),
    })
}

/// How an interval came out against its window, in words.
fn kept(examined: &Examined, found: &Found) -> String {
    if found.flooded {
        let check = found.renewed.and_then(|at| examined.project.preparation.get(at));
        return match check {
            Some(check) => {
                let at = check.at.map(|at| format!(" on {}", at.format("%m-%d")));
                let at = at.unwrap_or_default();
                format!("across a flooding; {}{at}", past(check.treatment.word()))
            }
            None => "across a flooding; no wash or abrasion since".to_string(),
        };
    }
    match (found.kept, found.window) {
        (Some(kept), _) => kept_words(kept).to_string(),
        (None, window) => format!("no window: {}", window.err().map_or("", why_none)),
    }
}

fn past(treatment: &str) -> &'static str {
    match treatment {
        "blast" => "blasted",
        "sweep" => "swept by blasting",
        "abrade" => "abraded",
        "wash" => "washed",
        _ => "treated",
    }
}

#[derive(Serialize)]
pub(super) struct Immersion {
    position: Narrow,
    coat: Narrow,
    product: Narrow,
    area: String,
    after: String,
    least: Option<String>,
    outcome: Option<&'static str>,
}

pub(super) fn immersions(examined: &Examined) -> Vec<Immersion> {
    let project = &examined.project;
    let found = examined.recomputed.coating.windows.immersions.iter();
    found
        .filter_map(|one| {
            let coat = project.coats.get(one.coat)?;
            let position = project.positions.get(one.position)?;
            let product = project.products.product(&coat.product);
            let least = product.and_then(|product| product.least_to_immersion_h);
            let id = format!("coating.{}.immersion.{}", coat.name, position.id);
            Some(Immersion {
                position: Narrow::new(&position.id),
                coat: Narrow::new(&coat.name),
                product: Narrow::new(&coat.product),
                area: text::number(one.area_m2, 2),
                after: text::number(one.after_h, 1),
                least: least.map(nine_digits),
                outcome: outcome(examined, &id),
            })
        })
        .collect()
}
