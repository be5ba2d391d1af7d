//! How much of each zone got how much of its scheme, and where it is short.

use serde::Serialize;

use super::{Held, coats, finding};
use crate::findings::Examined;
use crate::findings::recomputed::coating::ZoneHistory;
use crate::findings::recomputed::coating::short::shortfall;
use crate::report::figures::{letter, lettered};
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Zone {
    zone: Narrow,
    kind: &'static str,
    area: Option<String>,
    basis: &'static str,
    full: Option<String>,
    less: Option<String>,
    none: Option<String>,
    missing: Option<String>,
    held: Held,
}

pub(super) fn zones(examined: &Examined) -> Vec<Zone> {
    let zones = examined.project.zones.iter().zip(&examined.recomputed.coating.zones);
    zones
        .map(|(zone, history)| {
            let found = history.completeness();
            let area = |m2: f64| text::number(m2, 3);
            Zone {
                zone: Narrow::new(&zone.id),
                kind: if zone.is_bottom() { "bottom" } else { "side" },
                area: zone.true_area_m2.or(history.plan_area_m2).map(|m2| text::number(m2, 1)),
                basis: if zone.true_area_m2.is_some() { "along the plating" } else { "in plan" },
                full: found.map(|found| area(found.full_m2)),
                less: found.map(|found| area(found.less_m2)),
                none: found.map(|found| area(found.none_m2)),
                missing: found.and_then(|_| missing(history)),
                held: Held::of(finding(examined, &format!("coating.zone.{}.complete", zone.id))),
            }
        })
        .collect()
}

/// Every set of coats that some of the zone lacks, with its area; `None` where nothing is lacking.
fn missing(history: &ZoneHistory) -> Option<String> {
    let mut sets: Vec<(&[i64], f64)> = Vec::new();
    for part in history.parts.iter().filter(|part| !part.missing.is_empty()) {
        let area = part.area_m2.unwrap_or(0.0);
        match sets.iter_mut().find(|(set, _)| *set == part.missing.as_slice()) {
            Some((_, sum)) => *sum += area,
            None => sets.push((&part.missing, area)),
        }
    }
    // Less than the table's last digit is what computing leaves between edges.
    sets.retain(|(_, area)| *area >= 0.0005);
    sets.sort_by(|a, b| a.0.cmp(b.0));
    let all = history.scheme.len();
    let said: Vec<String> = sets
        .into_iter()
        .map(|(set, area)| {
            let coats = if set.len() == all { "all coats".to_string() } else { coats(set) };
            format!("{coats}: {} m\u{b2}", text::number(area, 3))
        })
        .collect();
    (!said.is_empty()).then(|| said.join("; "))
}

#[derive(Serialize)]
pub(super) struct Short {
    pieces: Vec<Piece>,
    more: Option<String>,
    slivers: Option<String>,
}

#[derive(Serialize)]
struct Piece {
    letter: String,
    zone: Narrow,
    missing: String,
    x: String,
    y: String,
    frame: Option<String>,
    area: String,
    hidden_in: Narrow,
}

pub(super) fn short(examined: &Examined) -> Short {
    let project = &examined.project;
    let found = shortfall(project, &examined.recomputed.coating);
    let range = |a: f64, b: f64| format!("{} to {}", text::number(a, 3), text::number(b, 3));
    let listed = lettered(&found);
    let all_m2: f64 = found.pieces.iter().map(|piece| piece.area_m2).sum();
    let rest_m2 = all_m2 - listed.iter().map(|piece| piece.area_m2).sum::<f64>();
    let more = found.pieces.len() - listed.len();
    let pieces = listed.into_iter().enumerate().map(|(number, piece)| {
        let [x0, x1, y0, y1] = piece.extent;
        let hidden: Vec<&str> = piece
            .hidden_in
            .iter()
            .filter_map(|at| project.positions.get(*at))
            .map(|position| position.id.as_str())
            .collect();
        Piece {
            letter: letter(number),
            zone: Narrow::new(project.zones.get(piece.zone).map_or("", |zone| &zone.id)),
            missing: if piece.none { "all coats".to_string() } else { coats(&piece.missing) },
            x: range(x0, x1),
            y: range(y0, y1),
            frame: text::nearest_frame(project.docking.frames.as_ref(), (x0 + x1) / 2.0),
            area: text::number(piece.area_m2, 3),
            hidden_in: Narrow::new(if hidden.is_empty() {
                "none".to_string()
            } else {
                text::and(&hidden)
            }),
        }
    });
    Short {
        pieces: pieces.collect(),
        more: (more > 0).then(|| {
            format!(
                "{}, {} m\u{b2} in all, {} not listed.",
                text::count(more, "smaller piece", "smaller pieces"),
                text::number(rest_m2, 3),
                if more == 1 { "is" } else { "are" }
            )
        }),
        slivers: (found.slivers > 0).then(|| {
            format!(
                "{} no wider than the feathering, {} m\u{b2} in all, {} not listed.",
                text::count(found.slivers, "lap or sliver", "laps and slivers"),
                text::number(found.slivers_m2, 3),
                if found.slivers == 1 { "is" } else { "are" }
            )
        }),
    }
}
