//! Film thickness by zone and coat: statistics, and what the rule in force says.

use serde::Serialize;

use super::outcome;
use crate::findings::Examined;
use crate::findings::film::judged;
use crate::findings::finding::Outcome;
use crate::findings::recomputed::coating::film::{Film, Why};
use crate::records::film::Rule;
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Row {
    zone: Narrow,
    coat: i64,
    count: String,
    mean: Option<String>,
    deviation: Option<String>,
    least: Option<String>,
    greatest: Option<String>,
    nominal: Option<String>,
    bounds: Option<String>,
    verdict: String,
    outcome: Option<&'static str>,
}

pub(super) fn rows(examined: &Examined) -> Vec<Row> {
    examined.recomputed.coating.film.iter().filter_map(|film| row(examined, film)).collect()
}

fn row(examined: &Examined, film: &Film) -> Option<Row> {
    let zone = examined.project.zones.get(film.zone)?;
    let statistics = film.statistics;
    let um = |m: Option<f64>| text::micrometres(m);
    let bounds = match (um(film.wanted.least_m), um(film.wanted.greatest_m)) {
        (Some(least), Some(most)) => Some(format!("{least} to {most}")),
        (Some(least), None) => Some(format!("from {least}")),
        (None, Some(most)) => Some(format!("to {most}")),
        (None, None) => None,
    };
    Some(Row {
        zone: Narrow::new(&zone.id),
        coat: film.coat,
        count: film.readings.len().to_string(),
        mean: um(statistics.map(|found| found.mean_m)),
        deviation: um(statistics.and_then(|found| found.deviation_m)),
        least: um(statistics.map(|found| found.least_m)),
        greatest: um(statistics.map(|found| found.greatest_m)),
        nominal: um(film.wanted.nominal_m),
        bounds,
        verdict: verdict(film),
        outcome: outcome(examined, &format!("film.{}.coat{}", zone.id, film.coat)),
    })
}

/// The rule and what it says, in words.
fn verdict(film: &Film) -> String {
    let found = judged(film);
    let Some(rule) = found.rule else { return "no rule is named".to_string() };
    let word = match found.outcome {
        _ if !found.could_be => "can’t be applied",
        Outcome::Agrees => "accepted",
        Outcome::NotRecorded => "not taken as it asks",
        _ => "not accepted",
    };
    let mut said = vec![format!("{rule}: {word}")];
    said.extend(found.why);
    if let Some((owed, of)) = film.owed.and_then(|found| Some((found.short_of()?, found))) {
        let what =
            if matches!(film.rule, Some(Rule::SspcPa2 { .. })) { "areas" } else { "readings" };
        said.push(format!("{} {what} measured of {owed} owed", of.measured));
    }
    if found.could_be && film.as_read > 0 {
        said.push(format!("{} as read", readings(film.as_read)));
    }
    said.join("; ")
}

fn readings(count: usize) -> String {
    text::count(count, "reading", "readings")
}

/// Readings that can't have been taken where or when they say, a sentence for each zone and coat.
pub(super) fn doubts(examined: &Examined) -> Vec<String> {
    let project = &examined.project;
    let mut doubts = Vec::new();
    for film in &examined.recomputed.coating.film {
        let Some(zone) = project.zones.get(film.zone) else { continue };
        let mut said = Vec::new();
        let mut blocks: Vec<&str> = Vec::new();
        let (mut on_blocks, mut wet, mut outside) = (0, 0, 0);
        for misplaced in &film.misplaced {
            match misplaced.why {
                Why::Block(block) => {
                    on_blocks += 1;
                    let id = project.blocks.get(block).map_or("", |block| &block.id);
                    if !blocks.contains(&id) {
                        blocks.push(id);
                    }
                }
                Why::Water => wet += 1,
                Why::Outside => outside += 1,
            }
        }
        if on_blocks > 0 {
            said.push(format!("{on_blocks} where {} stood", text::and(&blocks)));
        }
        if wet > 0 {
            said.push(format!("{wet} under water"));
        }
        if outside > 0 {
            said.push(format!("{outside} outside the zone"));
        }
        if !film.too_early.is_empty() {
            said.push(format!("{} before the coat was on", film.too_early.len()));
        }
        if !said.is_empty() {
            let all = readings(film.readings.len());
            doubts.push(format!(
                "Zone {} after coat {}, of {all}: {}.",
                zone.id,
                film.coat,
                said.join(", ")
            ));
        }
    }
    doubts
}
