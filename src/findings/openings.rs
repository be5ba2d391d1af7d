//! Openings against blocks in every position, and whether what was opened was closed again.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::finding::{Against, Figure, Finding, Outcome};
use super::judge::{Facts, Limited, Side, agrees, beyond_limit, differs, not_recorded, unchecked};
use super::recomputed::{PositionRecomputed, Recomputed};
use crate::calc::openings::CLEARANCE;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::openings::{Opened, Opening};
use crate::records::place::Place;
use crate::records::positions::Position;
use crate::text;
use crate::text::{Measure, id};

/// Every finding of the openings.
pub fn findings(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut opened: BTreeMap<&str, Vec<&Opened>> = BTreeMap::new();
    for row in &project.opened {
        opened.entry(&row.opening).or_default().push(row);
    }
    for (number, opening) in project.openings.iter().enumerate() {
        for (position, out) in project.positions.iter().zip(&recomputed.positions) {
            let nearest = out.clear_distance(project, &position.id, number);
            found.push(clearance(project, opening, position, out, nearest));
            if opening.is_docking_plug() {
                found.push(drain(project, opening, position, out, nearest));
            }
        }
        let mut times: Vec<&Opened> = opened.remove(opening.id.as_str()).unwrap_or_default();
        times.sort_by_key(|opened| (opened.opened_at.or(opened.closed_at), opened.place.clone()));
        if !times.is_empty() {
            found.push(closed(project, opening, &times));
            found.push(order(project, opening, &times));
        }
    }
    found.extend(plugs(project));
    found
}

fn clearance(
    project: &Project,
    opening: &Opening,
    position: &Position,
    out: &PositionRecomputed,
    nearest: Option<(Measure, usize)>,
) -> Finding {
    let limit = project.docking.bounds.limit("opening_clearance");
    let wanted = match opening.clearance_wanted_m {
        Some(wanted) => Some(Against::limit(
            "clearance_wanted",
            Figure::length(wanted),
            format!("the register, {}", opening.place),
        )),
        None => limit.map(Against::from),
    };
    let (o, p) = (id(&opening.id), id(&position.id));
    let nearest = nearest.map(|(distance, block)| (distance, &project.blocks[block]));
    let found = Limited {
        subject: match nearest {
            Some((_, block)) => text!("the clearance of {} from {} in {}", o, id(&block.id), p),
            None => text!("the clearance of {} in {}", o, p),
        },
        value: match nearest {
            Some((distance, _)) => Ok(distance),
            None if out.lie.is_none() => Err(text!("where she lay is not known")),
            None => Err(text!("no block is recorded as standing then")),
        },
        limit: wanted.map(|wanted| (wanted, Side::AtLeast)),
    }
    .finding(Subject::Clearance(opening.id.clone(), position.id.clone()));
    let found = match nearest {
        Some((distance, block)) if distance.kept <= 0.0 => {
            let unknown = match found.outcome {
                Outcome::NotRecorded => "; the clearance wanted was not recorded",
                _ => "",
            };
            let sentence = text!("{} lies over {} in {}{}.", o, id(&block.id), p, unknown);
            Finding { sentence, ..found }
        }
        _ => found,
    };
    let found = found
        .by(&CLEARANCE)
        .from([&opening.place, &position.place])
        .from(nearest.map(|(_, block)| &block.place));
    if out.lie.is_none() { unknown_lie(found, position) } else { found }
}

/// What can't be judged because nobody wrote down where the ship lay.
fn unknown_lie(finding: Finding, position: &Position) -> Finding {
    let sentence = text!("Where {} lay is not known.", position.id);
    finding.because(&position.place, sentence)
}

/// A docking plug that stands on a block can't be drawn, and nothing drains through it.
fn drain(
    project: &Project,
    opening: &Opening,
    position: &Position,
    out: &PositionRecomputed,
    nearest: Option<(Measure, usize)>,
) -> Finding {
    let (o, p) = (&opening.id, &position.id);
    let mut places = vec![&opening.place, &position.place];
    let subject = text!("whether {} could drain in {}", o, p);
    let judgement = match nearest {
        None if out.lie.is_none() => unchecked(subject, "where she lay is not known"),
        None => unchecked(subject, "no block is recorded as standing then"),
        Some((distance, block)) if distance.kept <= 0.0 => {
            let block = &project.blocks[block];
            places.push(&block.place);
            beyond_limit(text!(
                "Docking plug {} lies over {} in {} and could not drain.",
                o,
                block.id,
                p
            ))
        }
        Some(_) => agrees(text!("Docking plug {} was free to drain in {}.", o, p)),
    };
    let finding = judgement
        .finding(Subject::Drain(o.clone(), p.clone()))
        .recomputed(nearest.map(|(distance, _)| Figure::Measure(distance)))
        .against(Against::limit(
            "drain",
            Figure::words("clear of every cap"),
            "a plug under a cap can't be drawn (common practice, no source)",
        ))
        .by(&CLEARANCE)
        .from(places);
    if out.lie.is_none() { unknown_lie(finding, position) } else { finding }
}

/// What was opened must be closed and tested before the water comes back.
fn closed(project: &Project, opening: &Opening, times: &[&Opened]) -> Finding {
    let o = &opening.id;
    let mut late = Vec::new();
    let mut missing = Vec::new();
    for opened in times {
        let returns = opened.opened_at.and_then(|at| water_returns(project, at));
        match (opened.closed_at, returns) {
            (None, _) => missing.push("when it was closed".into()),
            (Some(_), None) if opened.opened_at.is_none() => {
                missing.push("when it was opened".into());
            }
            (Some(_), None) => missing.push("when the water came back".into()),
            (Some(closed), Some((position, water))) if closed > water => late.push(format!(
                "closed {closed}, after the water was let in on {position} at {water}"
            )),
            _ => {}
        }
        if opened.tested_how.is_none() {
            missing.push("how its tightness was tested".into());
        }
    }
    missing.dedup();
    let judgement = if late.is_empty() {
        Facts {
            subject: text!("the closing of {}", o),
            faults: Vec::new(),
            missing,
            sound: text!("{} was closed and tested before the water came back.", o),
        }
        .judge()
    } else {
        beyond_limit(text!("{} was {}.", o, late.join("; ")))
    };
    judgement
        .finding(Subject::Closed(o.clone()))
        .recorded(latest(times.iter().filter_map(|opened| opened.closed_at)))
        .against(Against::limit(
            "closed before flooding",
            Figure::words("closed and tested before the water is let in"),
            "no opening may be left open to the sea (common practice, no source)",
        ))
        .from(places(times))
}

/// Opened before closed, opened only while the dock was dry, and not opened again before it was closed.
fn order(project: &Project, opening: &Opening, times: &[&Opened]) -> Finding {
    let mut faults = Vec::new();
    let mut missing_any = false;
    for opened in times {
        match (opened.opened_at, opened.closed_at) {
            (Some(at), Some(closed)) if closed < at => {
                faults.push(format!("closed {closed}, before it was opened {at}").into());
            }
            (Some(_), _) => {}
            (None, _) => missing_any = true,
        }
        if let Some(at) = opened.opened_at {
            match dry_at(project, at) {
                Some(true) => {}
                Some(false) => {
                    faults.push(format!("opened {at}, when the dock was not dry").into());
                }
                None => missing_any = true,
            }
        }
    }
    for pair in times.windows(2) {
        if let (Some(closed), Some(again)) = (pair[0].closed_at, pair[1].opened_at)
            && again < closed
        {
            faults.push(format!("opened again {again}, before it was closed {closed}").into());
        }
    }
    let o = &opening.id;
    let missing = text!("when {} was opened, or when the dock was dry,", o);
    Facts {
        subject: text!("the times of {}", o),
        faults,
        missing: if missing_any { vec![missing] } else { Vec::new() },
        sound: text!("{} was opened while the dock was dry, and then closed.", o),
    }
    .finding(Subject::OpeningOrder(o.clone()))
    .recorded(latest(times.iter().filter_map(|opened| opened.opened_at)))
    .from(places(times))
}

/// As many docking plugs refitted as were drawn.
fn plugs(project: &Project) -> Option<Finding> {
    let plugs: Vec<&str> = project
        .openings
        .iter()
        .filter(|opening| opening.is_docking_plug())
        .map(|opening| opening.id.as_str())
        .collect();
    if plugs.is_empty() {
        return None;
    }
    let rows: Vec<&Opened> =
        project.opened.iter().filter(|opened| plugs.contains(&opened.opening.as_str())).collect();
    let count = |has: fn(&Opened) -> bool| rows.iter().filter(|opened| has(opened)).count();
    let drawn = count(|opened| opened.opened_at.is_some() || opened.opened_by.is_some());
    let refitted = count(|opened| opened.closed_at.is_some() || opened.closed_by.is_some());
    let judgement = if drawn == 0 && refitted == 0 {
        not_recorded("the drawing and refitting of docking plugs")
    } else if drawn == refitted {
        agrees(text!("Docking plugs were drawn {} times and refitted as often.", drawn))
    } else {
        differs(text!("Docking plugs were drawn {} times and refitted {} times.", drawn, refitted))
    };
    Some(
        judgement
            .finding(Subject::Plugs)
            .recorded(Figure::Count(refitted as u64))
            .recomputed(Figure::Count(drawn as u64))
            .called("refitted", "drawn")
            .from(rows.iter().map(|opened| &opened.place)),
    )
}

/// The first water let in after a time: the position that it ended, and when.
fn water_returns(
    project: &Project,
    after: DateTime<FixedOffset>,
) -> Option<(&str, DateTime<FixedOffset>)> {
    project
        .positions
        .iter()
        .filter_map(|position| Some((position.id.as_str(), position.times.reflood_began?)))
        .filter(|(_, water)| *water > after)
        .min_by_key(|(_, water)| *water)
}

/// Whether the dock was dry at a time; `None` where a position's spell has no end or no beginning
/// recorded and the time might lie in it.
fn dry_at(project: &Project, at: DateTime<FixedOffset>) -> Option<bool> {
    let mut unsure = false;
    for position in &project.positions {
        match (position.times.dry, position.times.reflood_began) {
            (Some(dry), Some(water)) if dry <= at && at <= water => return Some(true),
            (Some(_), Some(_)) => {}
            (Some(dry), None) => unsure |= dry <= at,
            (None, Some(water)) => unsure |= at <= water,
            (None, None) => unsure = true,
        }
    }
    if unsure || project.positions.is_empty() { None } else { Some(false) }
}

fn latest(times: impl Iterator<Item = DateTime<FixedOffset>>) -> Option<Figure> {
    times.max().map(|time| Figure::words(time.to_rfc3339()))
}

fn places<'a>(times: &[&'a Opened]) -> Vec<&'a Place> {
    times.iter().map(|opened| &opened.place).collect()
}
