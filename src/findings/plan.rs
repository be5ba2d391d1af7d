//! The plan against itself: blocks, frames, openings; and planned positions against those that it offers.

use super::cause::shared_difference;
use super::finding::{Figure, Finding, Outcome};
use super::judge::{Comparison, Facts, agrees, compare, differs, not_recorded, unchecked};
use super::recomputed::shifts::as_planned;
use super::recomputed::{caps, planned};
use super::shifts::sentences;
use crate::calc::blocks;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::blocks::Block;
use crate::records::openings::Opening;
use crate::records::positions::Position;
use crate::text;
use crate::text::{Form, Text, id};

/// Every finding of the plan.
pub fn findings(project: &Project) -> Vec<Finding> {
    let mut found = vec![apart(project)];
    found.extend(heights(project));
    found.extend(frames(project));
    for (opening, frame) in project.openings.iter().zip(frames_of_openings(project)) {
        found.extend(frame);
        found.push(side(project, opening));
    }
    let positions = project.positions.iter().enumerate();
    found.extend(positions.filter_map(|(n, position)| as_offered(project, n, position)));
    found
}

/// A planned position against the one that the plan offers: where she is to lie, and which blocks stand.
fn as_offered(project: &Project, number: usize, position: &Position) -> Option<Finding> {
    /// Plans give places to the millimetre.
    const SAME_M: f64 = 0.001;
    let offered = project.plan_positions.iter();
    let offered = offered.clone().find(|one| Some(&one.id) == position.from_plan.as_ref())?;
    let subject = text!("{} against position {} of the plan", id(&position.id), offered.id);
    let (judgement, places) = match planned(position) {
        None => (unchecked(subject, "no station is planned for it"), Vec::new()),
        Some(lie) => {
            let wanted = offered.lie();
            let mut faults = Vec::new();
            let [station_m, offset_m] = [
                lie.srp_station_m - wanted.srp_station_m,
                lie.centreline_offset_m - wanted.centreline_offset_m,
            ];
            if [station_m, offset_m].iter().any(|m| compare(*m, 0.0, SAME_M) == Outcome::Differs) {
                faults.push(text!(
                    "its planned place is {} of the plan\u{2019}s",
                    sentences::both_ways(station_m, offset_m)
                ));
            }
            let (stands, _) = as_planned(project, Some(number));
            let mut places = Vec::new();
            for (n, block) in project.blocks.iter().enumerate() {
                let is_out = offered.leaves_out(&block.id);
                let fault = match (block.moved_from.is_none(), stands.contains(&n)) {
                    (true, true) if is_out => {
                        text!("{} stands, which the plan leaves out there", id(&block.id))
                    }
                    (true, false) if !is_out && block.left_out_because.is_none() => {
                        text!("{} does not stand, which the plan has there", id(&block.id))
                    }
                    _ => continue,
                };
                faults.push(fault);
                places.push(&block.place);
            }
            let name = id(&position.id);
            let judgement = match faults.is_empty() {
                true => agrees(text!(
                    "{} is planned as position {} of the plan: station, offset, and blocks but for those with a reason on \
                     record why they were left out.",
                    name,
                    offered.id
                )),
                false => differs(text!(
                    "{} is not planned as position {} of the plan: {}.",
                    name,
                    offered.id,
                    Text::joined(faults, "; ")
                )),
            };
            (judgement, places)
        }
    };
    let finding = judgement.finding(Subject::AsOffered(position.id.clone()));
    Some(finding.from([&position.place, &offered.place]).from(places))
}

/// Caps that stand in the same position can't overlap.
fn apart(project: &Project) -> Finding {
    let mut pairs: Vec<(usize, usize, f64)> = project
        .positions
        .iter()
        .flat_map(|position| blocks::overlaps(&caps(project, &position.id).collect::<Vec<_>>()))
        .collect();
    pairs.sort_by_key(|pair| (pair.0, pair.1));
    pairs.dedup_by_key(|pair| (pair.0, pair.1));
    let overlaps = pairs.iter().map(|(a, b, area)| {
        let (a, b) = (&project.blocks[*a], &project.blocks[*b]);
        text!("{} and {} overlap by {}", a.id, b.id, Figure::area(*area))
    });
    let subject = "which blocks stand clear of each other";
    let judgement = if project.blocks.is_empty() {
        unchecked(subject, "no block is recorded")
    } else if project.positions.is_empty() {
        unchecked(subject, "no docking position is recorded")
    } else {
        Facts {
            subject: "the caps".into(),
            faults: overlaps.collect(),
            missing: Vec::new(),
            sound: "No two caps overlap in any position.".into(),
        }
        .judge()
    };
    let places = pairs.iter().flat_map(|(a, b, _)| [*a, *b]).map(|n| &project.blocks[n].place);
    judgement.finding(Subject::CapsApart).by(&blocks::APART).from(places)
}

/// Every block's height; that of the floor is in all of them.
fn heights(project: &Project) -> Vec<Finding> {
    let mut found: Vec<Finding> =
        project.blocks.iter().filter_map(|block| height(project, block)).collect();
    if let Some(tolerance) = project.docking.bounds.tolerance("block_height") {
        let floor = project.docking.dock.floor_level_place.as_ref();
        shared_difference(
            found.iter_mut().collect(),
            tolerance.value,
            (floor, "the level of the floor"),
        );
    }
    found
}

/// For each opening its frame; where a stretch of frames begins is in all that lie on it.
fn frames_of_openings(project: &Project) -> Vec<Option<Finding>> {
    let mut found: Vec<Option<Finding>> =
        project.openings.iter().map(|opening| frame(project, opening)).collect();
    let (Some(frames), Some(tolerance)) =
        (&project.docking.frames, project.docking.bounds.tolerance("frame"))
    else {
        return found;
    };
    for (number, place) in project.docking.frame_places.iter().enumerate() {
        let from = |number: usize| frames.stretches.get(number).map(|s| s.from_frame as f64);
        let on_stretch = |opening: &Opening| {
            opening.frame.is_some_and(|frame| {
                from(number).is_some_and(|from| frame >= from)
                    && from(number + 1).is_none_or(|next| frame < next)
            })
        };
        let of_stretch = project
            .openings
            .iter()
            .zip(&mut found)
            .filter(|(opening, _)| on_stretch(opening))
            .filter_map(|(_, finding)| finding.as_mut());
        let place = Some(place);
        shared_difference(
            of_stretch.collect(),
            tolerance.value,
            (place, "where these frames begin"),
        );
    }
    found
}

/// A block's height against the measured level of its top. A block that was left out of every
/// position, and one of which neither is recorded, is not compared.
fn height(project: &Project, block: &Block) -> Option<Finding> {
    let nowhere = block.positions.as_ref().is_some_and(Vec::is_empty);
    if nowhere || (block.height_m.is_none() && block.top_level_m.is_none()) {
        return None;
    }
    let dock = &project.docking.dock;
    let recomputed = match (dock.floor_level_m, dock.declivity_pct, block.height_m) {
        (Some(floor), Some(declivity), Some(height)) => {
            Some(blocks::top_level_m(floor, declivity, block.cap.centre.x, height))
        }
        _ => None,
    };
    let tolerance = project.docking.bounds.tolerance("block_height")?;
    Some(
        Comparison {
            subject: text!("the level of the top of {}", id(&block.id)),
            recorded: block.top_level_m.map(|kept| Form::Length.measure(kept)),
            recomputed: recomputed.map(|kept| Form::Length.measure(kept)),
            source: text!("the level that its height gives"),
            why_not: text!(
                "its height, and the floor's level and declivity, are needed to recompute it"
            ),
            tolerance,
        }
        .finding(Subject::BlockHeight(block.id.clone()))
        .by(&blocks::TOP)
        .from([&block.place]),
    )
}

/// Each stretch of frames begins where the one before it ends.
fn frames(project: &Project) -> Option<Finding> {
    let frames = project.docking.frames.as_ref()?;
    let tolerance = project.docking.bounds.tolerance("frame")?;
    let broken = frames.joints().into_iter().filter(|(_, computed, recorded)| {
        compare(*recorded, *computed, tolerance.value) == Outcome::Differs
    });
    let faults = broken.map(|(frame, computed, recorded)| {
        text!(
            "frame {} is recorded at x {} and the stretch before it ends at {}",
            frame,
            Figure::length(recorded),
            Figure::length(computed)
        )
    });
    let facts = Facts {
        subject: "the stretches of frames".into(),
        faults: faults.collect(),
        missing: Vec::new(),
        sound: "Each stretch of frames begins where the one before it ends.".into(),
    };
    let places = &project.docking.frame_places;
    Some(facts.finding(Subject::Frames).against(tolerance).from(places))
}

/// An opening's x against its frame; not compared where the project knows no frames at all.
fn frame(project: &Project, opening: &Opening) -> Option<Finding> {
    let frames = project.docking.frames.as_ref();
    if frames.is_none() && opening.frame.is_none() {
        return None;
    }
    let tolerance = project.docking.bounds.tolerance("frame")?;
    let at_frame = frames.zip(opening.frame).map(|(frames, frame)| frames.x_m(frame));
    let x = Form::Length.measure(opening.centre.x);
    let found = Comparison {
        subject: text!("the frame of {}", id(&opening.id)),
        recorded: at_frame.map(|kept| Form::Length.measure(kept)),
        recomputed: Some(x),
        source: text!("its x"),
        why_not: Text::new(),
        tolerance,
    }
    .finding(Subject::OpeningFrame(opening.id.clone()))
    .from([&opening.place]);
    Some(match (at_frame, opening.frame) {
        (None, Some(_)) => unchecked(
            text!("the frame of {}", id(&opening.id)),
            "the stretches of frames are not recorded",
        )
        .replace_in(found),
        _ => found,
    })
}

/// An opening's side against its y.
fn side(project: &Project, opening: &Opening) -> Finding {
    let tolerance = project.docking.bounds.tolerance("side");
    let centre = tolerance.map_or(0.0, |tolerance| tolerance.value) + 1e-9;
    let y = opening.centre.y;
    // An opening near the centreline may be called by either name.
    let fits = |side: &str| match side {
        "port" => y >= -centre && y != 0.0,
        "starboard" => y <= centre && y != 0.0,
        _ => y.abs() <= centre,
    };
    let lies = if y.abs() <= centre {
        "centre"
    } else if y > 0.0 {
        "port"
    } else {
        "starboard"
    };
    let judgement = match opening.side.as_deref() {
        None => not_recorded(text!("the side of {}", id(&opening.id))),
        Some(side) if fits(side) => agrees(text!("The side of {} agrees with its y.", opening.id)),
        Some(side) => differs(text!(
            "{} is recorded as {}, but its y puts it {}.",
            opening.id,
            side,
            match lies {
                "centre" => "at the centreline".to_string(),
                side => format!("to {side}"),
            }
        )),
    };
    judgement
        .finding(Subject::OpeningSide(opening.id.clone()))
        .recorded(opening.side.clone().map(Figure::words))
        .recomputed(Figure::words(text!("{} (y {})", lies, Figure::length(y))))
        .from([&opening.place])
        .against_any(tolerance)
}
