//! What the next team needs to know, on one page: whatever is long is cut here and said to be cut.

use serde::Serialize;

use crate::calc::exposure::Piece;
use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::shifts::answer;
use crate::records::Project;
use crate::records::openings::Opened;
use crate::report::text::{self, First};

#[derive(Serialize)]
pub(super) struct NextTeam {
    positions: First<Position>,
    shifts: First<Shift>,
    landings: First<String>,
    never_exposed: Option<NeverExposed>,
    history: Vec<String>,
    shift: Vec<String>,
    coating: Vec<String>,
    undone: Undone,
    clearances: First<Clearance>,
    clearances_not_held: usize,
    unanswered: First<Unanswered>,
}

#[derive(Serialize)]
struct Position {
    id: String,
    station: Option<String>,
    offset: Option<String>,
    yaw: Option<String>,
    from: &'static str,
}

#[derive(Serialize)]
struct Shift {
    from: String,
    to: String,
    fore_and_aft: Option<String>,
    athwart: Option<String>,
}

#[derive(Serialize)]
struct NeverExposed {
    area: String,
    count: String,
    pieces: First<NeverExposedPiece>,
}

#[derive(Serialize)]
struct NeverExposedPiece {
    x: String,
    y: String,
    frame: Option<String>,
    area: String,
    blocks: String,
}

#[derive(Serialize)]
struct Undone {
    unanswered: usize,
    not_recorded: usize,
    untested: First<String>,
    not_closed: First<String>,
}

#[derive(Serialize)]
struct Clearance {
    opening: String,
    position: String,
    clear: String,
    wanted: String,
    block: String,
}

#[derive(Serialize)]
struct Unanswered {
    id: String,
    sentence: String,
    outcome: &'static str,
}

/// How much of each list one page holds.
const MOST_POSITIONS: usize = 6;
const MOST_SHIFTS: usize = 5;
const MOST_PIECES: usize = 6;
const MOST_OPENINGS: usize = 12;
const MOST_CLEARANCES: usize = 6;
const MOST_UNANSWERED: usize = 5;

pub(super) fn section(examined: &Examined) -> NextTeam {
    let project = &examined.project;
    let short = short_clearances(examined);
    NextTeam {
        positions: First::of(positions(examined), MOST_POSITIONS),
        shifts: First::of(shifts(examined), MOST_SHIFTS),
        landings: super::landing::summary::lines(examined),
        never_exposed: examined.recomputed.never_exposed_m2().map(|area_m2| NeverExposed {
            area: text::number(area_m2, 3),
            count: text::count(examined.recomputed.never_exposed.len(), "piece", "pieces"),
            pieces: First::of(pieces(examined), MOST_PIECES),
        }),
        history: super::history::summary::lines(examined),
        shift: examined.shift_to_choose().map(answer::brief).unwrap_or_default(),
        coating: super::coating::summary::headline(examined),
        undone: Undone {
            unanswered: examined.unanswered().count(),
            not_recorded: examined.count(Outcome::NotRecorded),
            untested: First::of(
                openings(project, |opened| {
                    opened.closed_at.is_some() && opened.tested_how.is_none()
                }),
                MOST_OPENINGS,
            ),
            not_closed: First::of(
                openings(project, |opened| opened.closed_at.is_none()),
                MOST_OPENINGS,
            ),
        },
        clearances: First::of(short.found, MOST_CLEARANCES),
        clearances_not_held: short.not_held,
        unanswered: First::of(examined.unanswered().map(unanswered).collect(), MOST_UNANSWERED),
    }
}

fn positions(examined: &Examined) -> Vec<Position> {
    let records = examined.project.positions.iter();
    records
        .zip(&examined.recomputed.positions)
        .map(|(position, recomputed)| {
            let recorded =
                position.recorded_srp_station_m.is_some() && position.recorded_offset_m.is_some();
            Position {
                id: position.id.clone(),
                station: text::metres(recomputed.lie.map(|lie| lie.srp_station_m)),
                offset: text::metres(recomputed.lie.map(|lie| lie.centreline_offset_m)),
                yaw: text::degrees(
                    recomputed.lie.filter(|_| !recomputed.yaw_unknown).map(|lie| lie.yaw_deg),
                ),
                from: match (recomputed.lie, recorded) {
                    (None, _) => "neither recorded nor sighted",
                    (Some(_), true) => "as recorded",
                    (Some(_), false) => "from the sightings",
                },
            }
        })
        .collect()
}

fn shifts(examined: &Examined) -> Vec<Shift> {
    let lies: Vec<_> =
        examined.project.positions.iter().zip(&examined.recomputed.positions).collect();
    lies.windows(2)
        .map(|pair| {
            let lies = pair[0].1.lie.zip(pair[1].1.lie);
            let aft = lies.map(|(a, b)| b.srp_station_m - a.srp_station_m);
            let port = lies.map(|(a, b)| b.centreline_offset_m - a.centreline_offset_m);
            Shift {
                from: pair[0].0.id.clone(),
                to: pair[1].0.id.clone(),
                fore_and_aft: aft.map(|m| toward(m, "forward", "aft")),
                athwart: port.map(|m| toward(m, "to port", "to starboard")),
            }
        })
        .collect()
}

fn toward(value_m: f64, plus: &str, minus: &str) -> String {
    let size = text::number(value_m.abs(), 3);
    let zero = size.bytes().all(|b| b == b'0' || b == b'.');
    match (zero, value_m > 0.0) {
        (true, _) => "0.000 m".to_string(),
        (false, true) => format!("{size} m {plus}"),
        (false, false) => format!("{size} m {minus}"),
    }
}

fn pieces(examined: &Examined) -> Vec<NeverExposedPiece> {
    let mut largest_first: Vec<&Piece> = examined.recomputed.never_exposed.iter().collect();
    largest_first.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
    let frames = examined.project.docking.frames.as_ref();
    largest_first
        .into_iter()
        .map(|piece| {
            let [x0, x1, y0, y1] = piece.extent;
            NeverExposedPiece {
                x: format!("{} to {}", text::number(x0, 2), text::number(x1, 2)),
                y: format!("{} to {}", text::number(y0, 2), text::number(y1, 2)),
                frame: text::nearest_frame(frames, (x0 + x1) / 2.0),
                area: text::number(piece.area_m2, 3),
                blocks: hidden_by(&examined.project, piece),
            }
        })
        .collect()
}

/// The blocks that hid a piece, position by position.
pub(super) fn hidden_by(project: &Project, piece: &Piece) -> String {
    let positions = project.positions.iter().zip(&piece.hidden_by);
    let each = positions.map(|(position, blocks)| {
        let names: Vec<&str> = blocks
            .iter()
            .filter_map(|n| project.blocks.get(*n))
            .map(|block| block.id.as_str())
            .collect();
        format!("{} by {}", position.id, text::and(&names))
    });
    each.collect::<Vec<_>>().join("; ")
}

/// Openings with an entry of which something holds, each once, in the order of the records.
fn openings(project: &Project, holds: impl Fn(&Opened) -> bool) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for opened in project.opened.iter().filter(|opened| holds(opened)) {
        if !found.contains(&opened.opening) {
            found.push(opened.opening.clone());
        }
    }
    found
}

struct ShortClearances {
    found: Vec<Clearance>,
    /// Openings for which no clear distance is wanted, so that none could be held against it.
    not_held: usize,
}

fn short_clearances(examined: &Examined) -> ShortClearances {
    let project = &examined.project;
    let mut short: Vec<(f64, Clearance)> = Vec::new();
    let mut not_held = 0;
    for (n, opening) in project.openings.iter().enumerate() {
        let Some(wanted_m) = opening.wants_clear_m(&project.docking.bounds) else {
            not_held += 1;
            continue;
        };
        for (position, recomputed) in project.positions.iter().zip(&examined.recomputed.positions) {
            let Some((clear_m, block)) = recomputed.clearances.get(n).copied().flatten() else {
                continue;
            };
            if clear_m + 1e-9 < wanted_m {
                short.push((
                    clear_m - wanted_m,
                    Clearance {
                        opening: opening.id.clone(),
                        position: position.id.clone(),
                        clear: text::number(clear_m, 3),
                        wanted: text::number(wanted_m, 3),
                        block: project.blocks.get(block).map_or("", |block| &block.id).to_string(),
                    },
                ));
            }
        }
    }
    short.sort_by(|a, b| a.0.total_cmp(&b.0));
    ShortClearances { found: short.into_iter().map(|(_, one)| one).collect(), not_held }
}

fn unanswered(finding: &Finding) -> Unanswered {
    Unanswered {
        id: finding.id.clone(),
        sentence: finding.sentence.clone(),
        outcome: finding.outcome.words(),
    }
}
