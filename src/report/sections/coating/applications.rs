//! Every application: where, when, with what, and on how much steel it really went.

use serde::Serialize;

use super::outcome;
use crate::calc::coating::Done;
use crate::findings::Examined;
use crate::findings::coating::blocks_named;
use crate::findings::recomputed::coating::applied::Applied;
use crate::records::coats::Application as Record;
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Application<'a> {
    name: Narrow,
    extent: Narrow,
    product: Narrow,
    batch: Option<Narrow>,
    time: Option<String>,
    by: Option<&'a str>,
    note: Option<String>,
    claimed: Option<String>,
    reached: Option<String>,
    contradicted: Option<Narrow>,
    used: Option<String>,
    expected: Option<String>,
    part: Option<String>,
    wet: Option<String>,
    dry: Option<String>,
    nominal: Option<String>,
    outcomes: Vec<(&'static str, &'static str)>,
}

/// Checks of an application that this table speaks for, with their words.
const CHECKS: [(&str, &str); 7] = [
    ("claim", "claim"),
    ("order", "order of coats"),
    ("product", "product"),
    ("batch", "batch"),
    ("times", "times"),
    ("paint", "paint used"),
    ("wet_film", "wet film"),
];

pub(super) fn applications(examined: &Examined) -> Vec<Application<'_>> {
    let coats = examined.project.coats.iter().enumerate();
    coats.map(|(at, coat)| application(examined, at, coat)).collect()
}

fn application<'a>(examined: &'a Examined, at: usize, coat: &'a Record) -> Application<'a> {
    let (project, coating) = (&examined.project, &examined.recomputed.coating);
    let applied = &coating.applied[at];
    let square_metres = |m2: Option<f64>| m2.map(|m2| text::number(m2, 3));
    Application {
        name: Narrow::new(&coat.name),
        extent: Narrow::new(coat.extent.word()),
        product: Narrow::new(&coat.product),
        batch: coat.batch.as_ref().map(Narrow::new),
        time: coat.began.map(|began| text::span(began, coat.ended)),
        by: coat.by.as_deref(),
        note: coat.notes.clone(),
        claimed: square_metres(applied.claimed_m2),
        reached: square_metres(applied.reached_m2),
        contradicted: coating
            .done(project, at)
            .and_then(|done| contradicted(examined, done, applied)),
        used: coat.used_l.map(|litres| text::number(litres, 1)),
        expected: applied.expected_l.map(|litres| text::number(litres, 1)),
        part: applied.used_pct.map(|pct| text::number(pct, 1)),
        wet: text::micrometres(coat.wet_film_m),
        dry: text::micrometres(applied.dry_from_wet_m),
        nominal: text::micrometres(applied.nominal_m),
        outcomes: CHECKS
            .iter()
            .filter_map(|(what, words)| {
                let outcome = outcome(examined, &format!("coating.{}.{what}", coat.name))?;
                (outcome != "agrees").then_some((*words, outcome))
            })
            .collect(),
    }
}

/// What of a claim can't be true, in words; `None` where nothing is contradicted.
fn contradicted(examined: &Examined, done: &Done, applied: &Applied) -> Option<Narrow> {
    let mut said = Vec::new();
    let area = |m2: Option<f64>| match m2 {
        Some(m2) => format!("{} m\u{b2}", text::number(m2, 3)),
        None => "steel".to_string(),
    };
    if done.stand.is_none() {
        said.push("all of it: not in a dry spell from start to finish".to_string());
    }
    if !done.on_blocks.0.is_empty() {
        let names = blocks_named(&examined.project, applied);
        said.push(format!("{} on {names}", area(applied.on_blocks_m2)));
    }
    if !done.outside.0.is_empty() {
        said.push(format!("{} outside the zone", area(applied.outside_m2)));
    }
    if (done.claimed.0.is_empty() || applied.claims_nothing()) && done.stand.is_some() {
        said.push("nothing was there to be coated".to_string());
    }
    (!said.is_empty()).then(|| Narrow::new(said.join("; ")))
}
