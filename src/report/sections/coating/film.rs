//! Film thickness by zone and coat: statistics, and what the rule in force says.

use serde::Serialize;

use super::outcome;
use crate::calc::film::{iso_19840, ninety_ten, pa_2};
use crate::findings::Examined;
use crate::findings::recomputed::coating::film::{Film, Verdict, Why};
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
    let Some(rule) = film.rule else { return "no rule is named".to_string() };
    let name = match rule {
        Rule::Iso19840 => "ISO 19840".to_string(),
        Rule::SspcPa2 { level, .. } => format!("SSPC-PA 2, level {level}"),
        Rule::NinetyTen => "90/10".to_string(),
    };
    let Some(verdict) = &film.verdict else {
        return format!("{name}: can’t be applied, something that it needs is not recorded");
    };
    let (passes, faults) = match verdict {
        Verdict::Iso19840(found) => (found.passes(), iso(found)),
        Verdict::SspcPa2 { spots, owed, .. } => {
            let owed = owed.filter(|owed| (spots.area_means_m.len() as u64) < u64::from(*owed));
            (spots.passes(), pa2(spots, owed))
        }
        Verdict::NinetyTen(found) => (found.passes(), ninety(found)),
    };
    let word = if passes { "accepted" } else { "not accepted" };
    if faults.is_empty() {
        return format!("{name}: {word}");
    }
    format!("{name}: {word}; {}", faults.join("; "))
}

fn readings(count: usize) -> String {
    text::count(count, "reading", "readings")
}

fn iso(found: &iso_19840::Verdict) -> Vec<String> {
    let mut faults = Vec::new();
    let mean = text::number(found.statistics.mean_m * 1e6, 0);
    if !found.mean_reached {
        faults.push(format!("mean less correction, {mean} \u{b5}m, under nominal"));
    }
    if found.under_80_pct > 0 {
        faults.push(format!("{} under 80 % of nominal", readings(found.under_80_pct)));
    }
    if !found.thin_few {
        let share = text::number(found.thin_share_pct, 1);
        faults.push(format!("{share} % of readings from 80 % to under 100 %"));
    }
    if let Some(over) = found.over_greatest.filter(|over| *over > 0) {
        faults.push(format!("{} over the greatest", readings(over)));
    }
    faults
}

fn pa2(found: &pa_2::Verdict, owed: Option<u32>) -> Vec<String> {
    let mut faults = Vec::new();
    let mut add = |count: usize, one: &str, many: &str, what: &str| {
        if count > 0 {
            faults.push(format!("{} {what}", text::count(count, one, many)));
        }
    };
    add(found.spots_below.len(), "spot", "spots", "thinner than the level allows");
    add(found.spots_above.len(), "spot", "spots", "thicker than the level allows");
    add(found.areas_below.len(), "area", "areas", "thinner than the least");
    add(found.areas_above.len(), "area", "areas", "thicker than the greatest");
    add(found.spots_short.len(), "spot", "spots", "of fewer than three readings");
    add(found.spots_over, "spot", "spots", "left over");
    if let Some(owed) = owed {
        faults.push(format!("{} areas measured of {owed} owed", found.area_means_m.len()));
    }
    faults
}

fn ninety(found: &ninety_ten::Verdict) -> Vec<String> {
    let mut faults = Vec::new();
    if !found.enough_reached {
        let share = text::number(found.reached_pct, 1);
        faults.push(format!("only {share} % of readings reach nominal"));
    }
    if found.under_90_pct > 0 {
        faults.push(format!("{} under 90 % of nominal", readings(found.under_90_pct)));
    }
    faults
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
