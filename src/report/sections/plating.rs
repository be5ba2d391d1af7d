//! The plating, strake by strake, and the anodes.

use serde::Serialize;

use super::lookup::finding;
use super::{Inputs, Placed, drawings};
use crate::calc::plating::anode_loss_pct;
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::plating::limit_figure;
use crate::findings::recomputed::plating::{Strake, loss};
use crate::records::plating::{Anode, Gauging, PlateLimit};
use crate::report::figures::{letter, plates_beyond};
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Plating<'a> {
    /// Gaugings in a sentence; none without any.
    gauged: Option<String>,
    strakes: Vec<Row>,
    beyond: Vec<Beyond>,
    /// Sentences on strakes that are thicker than they were built.
    thicker: Vec<String>,
    anodes: Vec<AnodeRow>,
    anode_limit: Option<String>,
    drawings: Vec<Placed<'a>>,
}

/// A gauging with what is lost there.
#[derive(Serialize)]
struct Place {
    plate: Narrow,
    x: Option<String>,
    y: Option<String>,
    original: Option<String>,
    measured: String,
    loss: Option<String>,
    loss_pct: Option<String>,
    limit: Option<String>,
}

#[derive(Serialize)]
struct Row {
    strake: Narrow,
    gaugings: usize,
    mean: Option<String>,
    /// The place that has used up most of what it may lose; without limits that with the greatest loss.
    worst: Option<Place>,
    outcome: Option<&'static str>,
}

#[derive(Serialize)]
struct Beyond {
    letter: String,
    strake: Narrow,
    place: Place,
    frame: Option<String>,
    note: Option<String>,
}

#[derive(Serialize)]
struct AnodeRow {
    id: Narrow,
    x: Option<String>,
    y: Option<String>,
    fitted: Option<String>,
    found: Option<String>,
    loss_pct: Option<String>,
    renewed: Option<&'static str>,
    outcome: Option<&'static str>,
    note: Option<String>,
}

pub(super) fn section<'a>(inputs: &Inputs<'a>) -> Plating<'a> {
    let examined = inputs.examined;
    let project = &examined.project;
    let strakes = &examined.recomputed.strakes;
    let outcome = |id: &str| finding(examined, id).map(|finding| finding.outcome);
    let thicker = strakes.iter().filter_map(|strake| {
        let finding = finding(examined, &format!("plating.{}.original", strake.name))?;
        (finding.outcome == Outcome::Differs).then(|| finding.sentence.to_string())
    });
    let limit = project.docking.bounds.limit("anode_loss");
    Plating {
        gauged: gauged(examined),
        strakes: strakes
            .iter()
            .map(|strake| Row {
                strake: Narrow::new(&strake.name),
                gaugings: strake.gaugings.len() + strake.without_original.len(),
                mean: strake.group.as_ref().map(|group| millimetres(group.mean_loss_m)),
                worst: worst(examined, strake).map(place),
                outcome: outcome(&format!("plating.{}.loss", strake.name)).map(Outcome::words),
            })
            .collect(),
        beyond: beyond(examined),
        thicker: thicker.collect(),
        anodes: project.anodes.iter().map(|anode| row_of_anode(examined, anode)).collect(),
        anode_limit: limit.map(text::bound),
        drawings: drawings(inputs, "plating"),
    }
}

/// How many gaugings, of how many strakes, from which day to which.
fn gauged(examined: &Examined) -> Option<String> {
    let plating = &examined.project.plating;
    if plating.is_empty() {
        return None;
    }
    let days: Vec<_> = plating.iter().filter_map(|gauging| gauging.at).collect();
    let day = |at: Option<&chrono::DateTime<chrono::FixedOffset>>| {
        at.map(|at| text::day(at.date_naive()))
    };
    let when = match (day(days.iter().min()), day(days.iter().max())) {
        (Some(first), Some(last)) if first == last => format!(" on {first}"),
        (Some(first), Some(last)) => format!(" from {first} to {last}"),
        _ => ", on days that were not recorded".to_string(),
    };
    let strakes = text::count(examined.recomputed.strakes.len(), "strake", "strakes");
    Some(format!("{} of {strakes}{when}", text::count(plating.len(), "gauging", "gaugings")))
}

fn worst<'a>(examined: &'a Examined, strake: &Strake) -> Option<&'a Gauging> {
    let group = strake.group.as_ref()?;
    let number = group.nearest_limit.unwrap_or(group.worst);
    examined.project.plating.get(*strake.gaugings.get(number)?)
}

/// Metres as millimetres to the hundredth.
fn millimetres(value_m: f64) -> String {
    text::number(value_m * 1000.0, 2)
}

fn place(gauging: &Gauging) -> Place {
    let lost = loss(gauging);
    Place {
        plate: Narrow::new(&gauging.plate),
        x: text::centimetres(gauging.hull.map(|hull| hull.x)),
        y: text::centimetres(gauging.hull.map(|hull| hull.y)),
        original: gauging.original_m.map(millimetres),
        measured: millimetres(gauging.measured_m),
        loss: lost.map(|lost| millimetres(lost.m)),
        loss_pct: lost.and_then(|lost| lost.pct).map(|pct| text::number(pct, 1)),
        limit: gauging.limit.map(limit),
    }
}

fn limit(limit: PlateLimit) -> String {
    let value = text::figure(&limit_figure(limit).as_stated());
    match limit {
        PlateLimit::Loss(_) | PlateLimit::RelativeLoss(_) => format!("{value} lost"),
        PlateLimit::LeastThickness(_) => format!("{value} left"),
    }
}

fn beyond(examined: &Examined) -> Vec<Beyond> {
    let project = &examined.project;
    let numbered = plates_beyond(examined).into_iter().enumerate();
    numbered
        .filter_map(|(n, at)| {
            let gauging = project.plating.get(at)?;
            let x_m = gauging.hull.map(|hull| hull.x);
            Some(Beyond {
                letter: letter(n),
                strake: Narrow::new(&gauging.strake),
                place: place(gauging),
                frame: x_m
                    .and_then(|x_m| text::nearest_frame(project.docking.frames.as_ref(), x_m)),
                note: gauging.notes.clone(),
            })
        })
        .collect()
}

fn row_of_anode(examined: &Examined, anode: &Anode) -> AnodeRow {
    let kilograms = |mass_t: f64| text::number(mass_t * 1000.0, 1);
    let masses = anode.mass_fitted_t.zip(anode.mass_found_t);
    let pct = masses.and_then(|(fitted, found)| anode_loss_pct(fitted, found));
    AnodeRow {
        id: Narrow::new(&anode.id),
        x: text::centimetres(anode.hull.map(|hull| hull.x)),
        y: text::centimetres(anode.hull.map(|hull| hull.y)),
        fitted: anode.mass_fitted_t.map(kilograms),
        found: anode.mass_found_t.map(kilograms),
        loss_pct: pct.map(|pct| text::number(pct, 1)),
        renewed: anode.renewed.map(|renewed| if renewed { "yes" } else { "no" }),
        outcome: finding(examined, &format!("anodes.{}.loss", anode.id))
            .map(|finding| finding.outcome.words()),
        note: anode.notes.clone(),
    }
}
