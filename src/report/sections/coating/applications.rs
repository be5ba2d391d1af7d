//! Every application: where, when, with what, and on how much steel it really went.

use serde::Serialize;

use super::{entry, notes, outcome};
use crate::calc::coating::Done;
use crate::calc::paint::{dry_from_wet_m, expected_l, used_pct};
use crate::calc::plane::{NO_AREA_M2, area_m2, common};
use crate::findings::Examined;
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
    received: Option<String>,
    contradicted: Option<Narrow>,
    used: Option<String>,
    expected: Option<String>,
    part: Option<String>,
    wet: Option<String>,
    dry: Option<String>,
    nominal: Option<String>,
    outcomes: Vec<(&'static str, &'static str)>,
}

/// Blocks that a cell names; more are counted.
const MOST_BLOCKS: usize = 6;

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
    let zones = project.zones.iter().zip(&coating.zones);
    let zone = zones.clone().find(|(zone, _)| zone.id == coat.zone);
    let done = coating.done(project, at);
    // A side has no plan; without its true area nothing can be measured on it.
    let measured = zone.filter(|(zone, _)| zone.is_bottom() || zone.true_area_m2.is_some());
    let factor = measured.map(
        |(zone, history)| {
            if zone.is_bottom() { history.true_factor(zone) } else { 1.0 }
        },
    );
    let area = |shape: fn(&Done) -> &geo::MultiPolygon<f64>| Some(area_m2(shape(done?)) * factor?);
    let claimed_m2 = area(|done| &done.claimed);
    let product = project.products.product(&coat.product);
    let solids = product.and_then(|product| product.volume_solids_pct);
    let row = project.scheme.iter().find(|row| row.zone == coat.zone && row.coat == coat.coat);
    let nominal_m = row
        .and_then(|row| row.nominal_dft_m)
        .or_else(|| product.and_then(|product| product.nominal_dft_m));
    let expected = claimed_m2
        .filter(|m2| *m2 > NO_AREA_M2)
        .zip(nominal_m)
        .zip(solids)
        .and_then(|((m2, nominal), solids)| expected_l(m2, nominal, solids));
    let part = coat.used_l.zip(expected).and_then(|(used, expected)| used_pct(used, expected));
    let dry = coat.wet_film_m.zip(solids).and_then(|(wet, solids)| dry_from_wet_m(wet, solids));
    Application {
        name: Narrow::new(&coat.name),
        extent: Narrow::new(coat.extent.word()),
        product: Narrow::new(&coat.product),
        batch: coat.batch.as_ref().map(Narrow::new),
        time: coat.began.map(|began| text::span(began, coat.ended)),
        by: coat.by.as_deref(),
        note: notes(entry(project, "coating/coats.csv", &coat.place)),
        claimed: claimed_m2.map(|m2| text::number(m2, 2)),
        received: area(|done| &done.got).map(|m2| text::number(m2, 2)),
        contradicted: done
            .zip(factor)
            .and_then(|(done, factor)| contradicted(examined, done, factor)),
        used: coat.used_l.map(|litres| text::number(litres, 1)),
        expected: expected.map(|litres| text::number(litres, 1)),
        part: part.map(|pct| text::number(pct, 0)),
        wet: text::micrometres(coat.wet_film_m),
        dry: text::micrometres(dry),
        nominal: text::micrometres(nominal_m),
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
fn contradicted(examined: &Examined, done: &Done, factor: f64) -> Option<Narrow> {
    let mut said = Vec::new();
    let area = |shape: &geo::MultiPolygon<f64>| text::number(area_m2(shape) * factor, 3);
    if done.stand.is_none() {
        said.push("all of it: not in a dry spell from start to finish".to_string());
    }
    if !done.on_blocks.0.is_empty() {
        let blocks = blocks(examined, done);
        let names: Vec<&str> = blocks.iter().take(MOST_BLOCKS).copied().collect();
        let more = blocks.len() - names.len();
        let names = if more > 0 {
            format!("{} and {more} more", names.join(", "))
        } else {
            text::and(&names)
        };
        said.push(format!("{} m\u{b2} on {names}", area(&done.on_blocks)));
    }
    if !done.outside.0.is_empty() {
        said.push(format!("{} m\u{b2} outside the zone", area(&done.outside)));
    }
    if done.claimed.0.is_empty() && done.stand.is_some() {
        said.push("nothing was there to be coated".to_string());
    }
    (!said.is_empty()).then(|| Narrow::new(said.join("; ")))
}

/// The blocks that stood on what was claimed.
fn blocks<'a>(examined: &'a Examined, done: &Done) -> Vec<&'a str> {
    let hidden = done.stand.and_then(|stand| examined.recomputed.hidden.get(stand));
    let prints = hidden.into_iter().flat_map(|hidden| &hidden.footprints);
    prints
        .filter(|(_, print)| area_m2(&common(print, &done.on_blocks)) > NO_AREA_M2)
        .filter_map(|(block, _)| examined.project.blocks.get(*block))
        .map(|block| block.id.as_str())
        .collect()
}
