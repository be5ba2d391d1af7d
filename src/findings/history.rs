//! This docking and the earlier ones: what was never exposed since records began, and whether what each
//! left has been reached since.

use super::exposure::judge_area;
use super::finding::{Figure, Finding, Outcome};
use super::judge::{Judgement, agrees, differs, incomplete, unchecked};
use super::naming::count;
use super::recomputed::Recomputed;
use super::recomputed::history::{Docked, History, Left};
use crate::calc::history::NEVER_EXPOSED;
use crate::calc::plane::NO_AREA_M2;
use crate::findings::subject::Subject;
use crate::records::Past;
use crate::records::Project;
use crate::records::bounds::Bound;
use crate::records::history::Found;
use crate::records::place::Place;
use crate::records::positions::Position;
use crate::text;
use crate::text::Text;

/// Every finding of the history; none where there is no earlier docking.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let limit = project.docking.bounds.limit("never_exposed");
    let (Some(history), Some(limit)) = (&recomputed.history, limit) else { return Vec::new() };
    let mut found = vec![never_exposed(project, history, limit)];
    for (past, docked) in project.history.iter().zip(&history.dockings) {
        found.push(reached(project, past, docked, limit));
        found.push(seal(project, past));
    }
    found
}

fn never_exposed(project: &Project, history: &History, limit: &Bound) -> Finding {
    let area: f64 = history.never_exposed.iter().map(|piece| piece.area_m2).sum();
    let pieces = count(history.never_exposed.len(), "piece");
    let since = history.since().map(|day| format!(" since {}", day.format("%Y")));
    let since = since.unwrap_or_default();
    let known = history.never_exposed_in_all();
    let judgement = match known {
        None if history.dockings.iter().all(|docking| docking.hidden.is_none()) => unchecked(
            "what was never exposed",
            "no docking on record can be placed with its blocks",
        ),
        None => incomplete(text!(
            "{} of the bottom, in {}, was under blocks in every position on record{}, but not every position of \
             {} can be placed with its blocks.",
            Figure::area(area),
            pieces,
            since,
            history.not_placed().join(", ")
        )),
        Some(_) if history.never_exposed.is_empty() => {
            agrees(text!("All of the bottom was exposed in some position on record{}.", since))
        }
        Some(area) => judge_area(
            area.kept,
            limit,
            text!(
                "{} of the bottom, in {}, was under blocks in every position of every docking{}.",
                area,
                pieces,
                since
            ),
        ),
    };
    judgement
        .finding(Subject::HistoryNeverExposed)
        .recomputed(known.map(Figure::Measure))
        .against(limit)
        .by(&NEVER_EXPOSED)
        .from(&places(project, 0))
}

/// Whether what a docking never exposed was free of blocks in some position of a later one.
fn reached(project: &Project, past: &Past, docked: &Docked, limit: &Bound) -> Finding {
    let judgement = match &docked.left {
        None => unchecked(
            text!("what {} left", past.source.name),
            "where she lay then, or on which blocks, is not known",
        ),
        Some(left) => judge_left(past, left, limit),
    };
    let still = docked.left.as_ref().filter(|_| judgement.outcome != Outcome::NotRecorded);
    let from =
        project.history.iter().position(|other| other.source.name == past.source.name).unwrap_or(0);
    judgement
        .finding(Subject::Reached(past.source.name.clone()))
        .recorded(docked.left.as_ref().map(|left| Figure::Measure(left.area(&docked.name))))
        .recomputed(still.map(|left| Figure::Measure(left.still(&docked.name))))
        .called("left then", "still never exposed")
        .against(limit)
        .by(&NEVER_EXPOSED)
        .from(&places(project, from))
}

/// What a docking left against what was free of blocks since.
fn judge_left(past: &Past, left: &Left, limit: &Bound) -> Judgement {
    let name = &past.source.name;
    if left.area_m2 < NO_AREA_M2 {
        return agrees(text!("{} left no bottom that it never exposed.", name));
    }
    let hid = text!("{} never exposed {} of the bottom", name, left.area(name));
    let still = left.still(name);
    if left.still.0.is_empty() {
        return agrees(text!("{}; all of it was reached since.", hid));
    }
    let hidden = text!("{}; {} of it was under blocks in every position since", hid, still);
    if left.known {
        judge_area(still.kept, limit, text!("{}.", hidden))
    } else {
        incomplete(text!("{} that can be placed, and not all can.", hidden))
    }
}

/// What can be said of an earlier docking's bundle: it was whole, of the same ship, and of an earlier time.
fn seal(project: &Project, past: &Past) -> Finding {
    let (then, now) = (&past.project.docking.ship, &project.docking.ship);
    let mut wrong: Vec<Text> = Vec::new();
    if then.name != now.name {
        wrong.push(text!("it is of the ship {}, and this record of {}", then.name, now.name));
    }
    for (what, then, now) in [
        ("aft perpendicular", then.aft_perpendicular_x_m, now.aft_perpendicular_x_m),
        ("forward perpendicular", then.forward_perpendicular_x_m, now.forward_perpendicular_x_m),
    ] {
        let (Some(then), Some(now)) = (then, now) else { continue };
        if (then - now).abs() > SAME_X_M {
            wrong.push(text!(
                "its {} stands at x {}, and now at {}, so that x may be counted from another point",
                what,
                Figure::length(then),
                Figure::length(now)
            ));
        }
    }
    if let (Some(ended), Some(began)) = (past.project.days().1, project.days().0)
        && began < ended
    {
        wrong.push(text!("it ended on {}, after this docking began on {}", ended, began));
    }
    if past.source.fixity == Found::Damaged {
        let damage = past.source.damage.as_deref().unwrap_or("what was wrong is not recorded");
        wrong.push(text!("its bundle was damaged when it was taken over ({})", damage));
    }
    let name = &past.source.name;
    let judgement = if wrong.is_empty() {
        agrees(text!("{} is of the same ship, and its bundle was whole.", name))
    } else {
        differs(text!("Of {}: {}.", name, Text::joined(wrong, "; ")))
    };
    judgement
        .finding(Subject::Seal(name.to_string()))
        .recorded(past.source.seal.clone().map(Figure::words))
        .from([&past.source.place])
}

/// How far a perpendicular's x may lie from where it was and still be the same: less than it is measured to.
const SAME_X_M: f64 = 0.001 + 1e-9;

/// The rows of the dockings from one on, with their positions, and this docking's positions.
fn places(project: &Project, from: usize) -> Vec<Place> {
    let mut places = Vec::new();
    for past in project.history.iter().skip(from) {
        places.push(past.source.place.clone());
        let whole = |position: &Position| past.whole_place(&position.place);
        places.extend(past.project.positions.iter().map(whole));
    }
    places.extend(project.positions.iter().map(|position| position.place.clone()));
    places
}
