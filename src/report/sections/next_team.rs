//! What the next team needs to know, on one page: whatever is long is cut here and said to be cut.

use serde::Serialize;

use crate::calc::exposure::Piece;
use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::shifts::sentences;
use crate::records::Project;
use crate::records::openings::Opened;
use crate::report::text::{self, First};
use crate::text::System;

#[derive(Serialize)]
pub(super) struct NextTeam {
    positions: First<Position>,
    shifts: First<Shift>,
    landings: First<String>,
    never_exposed: Option<NeverExposed>,
    history: Vec<String>,
    shift: Vec<String>,
    /// Printed beside the shift to choose.
    cautions: Vec<&'static str>,
    coating: Vec<String>,
    undone: Undone,
    clearances: First<Clearance>,
    /// What is known where no opening was too near, and which could not be held.
    clearances_said: Vec<String>,
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
    unanswered: String,
    not_recorded: usize,
    tested: String,
    closed: String,
}

#[derive(Serialize)]
struct Clearance {
    opening: String,
    position: String,
    clear: String,
    wanted: Option<String>,
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
/// Warnings are not cut: so many openings would be the plan's own fault, and then all stand in their section.
const MOST_CLEARANCES: usize = 60;
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
        history: super::history::lines(examined)
            .iter()
            .map(|line| line.shown(System::Si))
            .collect(),
        shift: match examined.shift_to_choose() {
            Ok(told) => sentences::brief(told),
            Err(why) => vec![format!("No shift can be named. {why}")],
        },
        cautions: sentences::CAUTIONS.to_vec(),
        coating: super::coating::summary::headline(examined),
        undone: Undone {
            unanswered: answered(examined),
            not_recorded: examined.count(Outcome::NotRecorded),
            tested: tested(project),
            closed: closed(project),
        },
        clearances: First::of(short.found, MOST_CLEARANCES),
        clearances_said: short.said,
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
fn openings(project: &Project, holds: impl Fn(&Opened) -> bool) -> Vec<&str> {
    let mut found: Vec<&str> = Vec::new();
    for opened in project.opened.iter().filter(|opened| holds(opened)) {
        if !found.contains(&opened.opening.as_str()) {
            found.push(&opened.opening);
        }
    }
    found
}

/// Whether what was opened was closed again, as far as it is recorded.
fn closed(project: &Project) -> String {
    let all = openings(project, |_| true);
    let not_closed = openings(project, |opened| opened.closed_at.is_none());
    match (all.len(), not_closed.len()) {
        (0, _) => "No opening is recorded as opened or closed.".to_string(),
        (1, 0) => format!("{} was opened, and when it was closed is recorded.", text::and(&all)),
        (n, 0) => {
            format!("When each of the {n} openings recorded as opened was closed is recorded.")
        }
        _ => format!("Opened, without a recorded time of closing: {}.", not_closed.join(", ")),
    }
}

/// Whether what was closed was tested, as far as it is recorded.
fn tested(project: &Project) -> String {
    let all = openings(project, |opened| opened.closed_at.is_some());
    let untested =
        openings(project, |opened| opened.closed_at.is_some() && opened.tested_how.is_none());
    match (all.len(), untested.len()) {
        (0, _) => {
            "No opening has a recorded time of closing, so that no test can be missed.".to_string()
        }
        (1, 0) => format!("How {} was tested when it was closed is recorded.", text::and(&all)),
        (n, 0) => {
            format!("How each of the {n} openings recorded as closed was tested is recorded.")
        }
        _ => format!("Closed without a recorded test: {}.", untested.join(", ")),
    }
}

/// Whether findings that want an answer have one.
fn answered(examined: &Examined) -> String {
    let all = examined.count(Outcome::Differs) + examined.count(Outcome::BeyondLimit);
    match (all, examined.unanswered().count()) {
        (0, _) => "No finding differs or is beyond a limit, among the checks that could be made."
            .to_string(),
        (1, 0) => "The one finding that differs or is beyond a limit has an answer.".to_string(),
        (n, 0) => {
            format!("Each of the {n} findings that differ or are beyond a limit has an answer.")
        }
        (n, open) => format!(
            "Of the {n} findings that differ or are beyond a limit {open} {} no answer.",
            if open == 1 { "has" } else { "have" }
        ),
    }
}

struct ShortClearances {
    found: Vec<Clearance>,
    said: Vec<String>,
}

/// Openings under a cap or nearer to one than is wanted, the worst first, and what could not be held.
fn short_clearances(examined: &Examined) -> ShortClearances {
    let project = &examined.project;
    let mut short: Vec<(f64, Clearance)> = Vec::new();
    let (mut held, mut not_held) = (0, 0);
    for (n, opening) in project.openings.iter().enumerate() {
        let wanted_m = opening.wants_clear_m(&project.docking.bounds);
        not_held += usize::from(wanted_m.is_none());
        for (position, recomputed) in project.positions.iter().zip(&examined.recomputed.positions) {
            let Some((clear_m, block)) = recomputed.clearances.get(n).copied().flatten() else {
                continue;
            };
            held += usize::from(wanted_m.is_some());
            if clear_m <= 0.0 || wanted_m.is_some_and(|wanted_m| clear_m + 1e-9 < wanted_m) {
                let drains = opening.is_docking_plug() && clear_m <= 0.0;
                let cannot = if drains { " (docking plug, could not drain)" } else { "" };
                short.push((
                    clear_m - wanted_m.unwrap_or(0.0),
                    Clearance {
                        opening: format!("{}{cannot}", opening.id),
                        position: position.id.clone(),
                        clear: text::number(clear_m, 3),
                        wanted: text::metres(wanted_m),
                        block: project.blocks.get(block).map_or("", |block| &block.id).to_string(),
                    },
                ));
            }
        }
    }
    short.sort_by(|a, b| a.0.total_cmp(&b.0));
    let found: Vec<Clearance> = short.into_iter().map(|(_, one)| one).collect();
    let mut said = Vec::new();
    if project.openings.is_empty() {
        said.push("No opening is recorded.".to_string());
    } else if found.is_empty() && held > 0 {
        said.push(
            "None was nearer than wanted, of those that could be held against it.".to_string(),
        );
    }
    if not_held > 0 {
        said.push(format!(
            "For {} no clear distance is stated, so that it was only seen whether a cap lay under it.",
            text::count(not_held, "opening", "openings")
        ));
    }
    let unknown: Vec<&str> = project
        .positions
        .iter()
        .zip(&examined.recomputed.positions)
        .filter(|(_, out)| out.clearances.iter().all(Option::is_none))
        .map(|(position, _)| position.id.as_str())
        .collect();
    if !project.openings.is_empty() && (project.positions.is_empty() || !unknown.is_empty()) {
        said.push(match unknown.as_slice() {
            [] => "No docking position is recorded, so that none could be held against the blocks.".to_string(),
            unknown => format!(
                "Where she lay in {}, or which blocks stood, is not recorded, so that none could be held against \
                 them there.",
                text::and(unknown)
            ),
        });
    }
    ShortClearances { found, said }
}

fn unanswered(finding: &Finding) -> Unanswered {
    Unanswered {
        id: finding.id.clone(),
        sentence: finding.sentence.to_string(),
        outcome: finding.outcome.words(),
    }
}
