//! The earlier dockings and this one laid over each other. Shown only where there is an earlier one.

mod coats;
pub(super) mod summary;

use serde::Serialize;

use super::lookup::{Held, finding};
use super::{Placed, drawings};
use crate::calc::plane::area_m2;
use crate::findings::Examined;
use crate::findings::recomputed::history::{History as Laid, records};
use crate::records::history::{Found, Past};
use crate::report::figures::letter;
use crate::report::legible::Narrow;
use crate::report::{Inputs, text};

#[derive(Serialize)]
pub(super) struct History<'a> {
    dockings: Vec<Docking>,
    bundles: Vec<Bundle<'a>>,
    since: Option<String>,
    /// Area never exposed; `None` where it can't be said.
    never_exposed: Option<String>,
    not_placed: Vec<String>,
    pieces: Vec<Piece>,
    left: Vec<Left>,
    coats: coats::Coats,
    drawings: Vec<Placed<'a>>,
}

/// A docking in a row.
#[derive(Serialize)]
struct Docking {
    docking: String,
    days: Option<String>,
    dock: String,
    positions: String,
    hidden: Option<String>,
}

/// What its records were taken from.
#[derive(Serialize)]
struct Bundle<'a> {
    docking: &'a str,
    bundle: Narrow,
    seal: Option<Vec<String>>,
    found: String,
}

/// A piece that no docking exposed.
#[derive(Serialize)]
struct Piece {
    letter: String,
    x: String,
    y: String,
    frame: Option<String>,
    area: String,
    hidden: Narrow,
}

/// What a docking never exposed, and what came of it.
#[derive(Serialize)]
struct Left {
    docking: String,
    left: Option<String>,
    still: Option<String>,
    held: Held,
}

pub(super) fn section<'a>(inputs: &Inputs<'a>) -> Option<History<'a>> {
    let examined = inputs.examined;
    let history = examined.recomputed.history.as_ref()?;
    Some(History {
        dockings: dockings(examined, history),
        bundles: examined.project.history.iter().map(bundle).collect(),
        since: history.since().map(text::day),
        never_exposed: history.never_exposed_m2().map(|area| text::number(area, 3)),
        not_placed: history.not_placed().into_iter().map(str::to_string).collect(),
        pieces: pieces(examined, history),
        left: left(examined, history),
        coats: coats::coats(examined, history),
        drawings: drawings(inputs, "history"),
    })
}

fn dockings(examined: &Examined, history: &Laid) -> Vec<Docking> {
    let each = history.dockings.iter().enumerate().map(|(at, docked)| {
        let of = records(&examined.project, at);
        let count = of.positions.len();
        let throughout = docked.left.as_ref().map(|left| text::number(left.area_m2, 3));
        Docking {
            docking: history.called(at).to_string(),
            days: text::iso_period(docked.days),
            dock: of.docking.dock.name.clone(),
            positions: match docked.hidden {
                None if count > 0 => format!("{count}, not all placed"),
                _ => count.to_string(),
            },
            hidden: throughout,
        }
    });
    each.collect()
}

fn bundle(past: &Past) -> Bundle<'_> {
    Bundle {
        docking: &past.name,
        bundle: Narrow::new(&past.bundle),
        seal: past.seal.as_ref().map(|seal| text::grouped(seal, 8)),
        found: match (past.fixity, &past.damage) {
            (Found::Whole, _) => "whole".to_string(),
            (Found::Damaged, Some(damage)) => format!("damaged: {damage}"),
            (Found::Damaged, None) => "damaged".to_string(),
        },
    }
}

fn range(from: f64, to: f64) -> String {
    format!("{} to {}", text::number(from, 3), text::number(to, 3))
}

fn pieces(examined: &Examined, history: &Laid) -> Vec<Piece> {
    let frames = examined.project.docking.frames.as_ref();
    let each = history.never_exposed.iter().enumerate().map(|(number, piece)| {
        let [x0, x1, y0, y1] = piece.extent;
        let hiding = history.hiding(&examined.project, piece);
        let hidden = hiding.into_iter().map(|(docking, position, blocks)| {
            format!("{} {position} by {}", history.called(docking), text::and(&blocks))
        });
        Piece {
            letter: letter(number),
            x: range(x0, x1),
            y: range(y0, y1),
            frame: text::nearest_frame(frames, (x0 + x1) / 2.0),
            area: text::number(piece.area_m2, 3),
            hidden: Narrow::new(hidden.collect::<Vec<_>>().join("; ")),
        }
    });
    each.collect()
}

fn left(examined: &Examined, history: &Laid) -> Vec<Left> {
    let earlier = history.dockings.iter().take(history.newest());
    let each = earlier.map(|docked| Left {
        docking: docked.name.clone(),
        left: docked.left.as_ref().map(|left| text::number(left.area_m2, 3)),
        still: docked
            .left
            .as_ref()
            .filter(|left| left.known || left.still.0.is_empty())
            .map(|left| text::number(area_m2(&left.still), 3)),
        held: Held::of(finding(examined, &format!("history.{}.reached", docked.name))),
    });
    each.collect()
}
