//! The plan against itself: blocks, frames, openings.

use super::cause::one_length;
use super::finding::{Figure, Finding, Outcome};
use super::judge::{self, Comparison};
use super::recomputed::caps;
use crate::calc::blocks;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::blocks::Block;
use crate::records::openings::Opening;
use crate::text;
use crate::text::{Form, Text};

/// Every finding of the plan.
pub fn findings(project: &Project) -> Vec<Finding> {
    let mut found = vec![apart(project)];
    found.extend(heights(project));
    found.extend(frames(project));
    let mut of_frames = frames_of_openings(project).into_iter();
    for opening in &project.openings {
        found.extend(of_frames.next().flatten());
        found.push(side(project, opening));
    }
    found
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
    let subject = Subject::CapsApart;
    let finding = if project.blocks.is_empty() {
        Finding::new(subject, "No block is recorded.", Outcome::NotRecorded)
    } else if project.positions.is_empty() {
        let sentence =
            "No docking position is recorded, so that it is not known which blocks stand together.";
        Finding::new(subject, sentence, Outcome::NotRecorded)
    } else if pairs.is_empty() {
        Finding::new(subject, "No two caps overlap in any position.", Outcome::Agrees)
    } else {
        let named: Vec<Text> = pairs
            .iter()
            .map(|(a, b, area)| {
                let (a, b) = (&project.blocks[*a], &project.blocks[*b]);
                text!("{} and {} by {}", a.id, b.id, Figure::area(*area))
            })
            .collect();
        let sentence = text!("Caps overlap: {}.", Text::joined(named, ", "));
        Finding::new(subject, sentence, Outcome::Differs)
    };
    let places = pairs.iter().flat_map(|(a, b, _)| [*a, *b]).map(|n| &project.blocks[n].place);
    finding.by(&blocks::APART).from(places)
}

/// Every block's height; that of the floor is in all of them.
fn heights(project: &Project) -> Vec<Finding> {
    let mut found: Vec<Finding> =
        project.blocks.iter().filter_map(|block| height(project, block)).collect();
    if let Some(tolerance) = project.docking.bounds.tolerance("block_height") {
        let floor = project.docking.dock.floor_level_place.as_ref();
        one_length(found.iter_mut().collect(), tolerance.value, (floor, "the level of the floor"));
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
        one_length(of_stretch.collect(), tolerance.value, (place, "where these frames begin"));
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
            subject: text!("the level of the top of {}", text::id(&block.id)),
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
    let broken: Vec<Text> = frames
        .joints()
        .into_iter()
        .filter(|(_, computed, recorded)| {
            judge::compare(*recorded, *computed, tolerance.value) == Outcome::Differs
        })
        .map(|(frame, computed, recorded)| {
            text!(
                "frame {} is recorded at x {} and the stretch before it ends at {}",
                frame,
                Figure::length(recorded),
                Figure::length(computed)
            )
        })
        .collect();
    let (sentence, outcome) = if broken.is_empty() {
        (text!("The stretches of frames join."), Outcome::Agrees)
    } else {
        (
            text!("The stretches of frames do not join: {}.", Text::joined(broken, "; ")),
            Outcome::Differs,
        )
    };
    let places = &project.docking.frame_places;
    Some(Finding::new(Subject::Frames, sentence, outcome).against(tolerance).from(places))
}

/// An opening's x against its frame; not compared where the project knows no frames at all.
fn frame(project: &Project, opening: &Opening) -> Option<Finding> {
    let frames = project.docking.frames.as_ref();
    if frames.is_none() && opening.frame.is_none() {
        return None;
    }
    let tolerance = project.docking.bounds.tolerance("frame")?;
    let at_frame = frames.zip(opening.frame).map(|(frames, frame)| frames.x_m(frame));
    let (sentence, outcome) = match at_frame {
        Some(x) => {
            let outcome = judge::compare(x, opening.centre.x, tolerance.value);
            let sentence = match outcome {
                Outcome::Agrees => text!("Frame and x of {} agree.", opening.id),
                _ => text!(
                    "The recorded frame of {} is {} from its x.",
                    opening.id,
                    Figure::length((x - opening.centre.x).abs())
                ),
            };
            (sentence, outcome)
        }
        None if opening.frame.is_none() => {
            (text!("The frame of {} was not recorded.", opening.id), Outcome::NotRecorded)
        }
        None => (
            text!("The frame of {} can't be placed: frames are not described.", opening.id),
            Outcome::NotRecorded,
        ),
    };
    Some(
        Finding::new(Subject::OpeningFrame(opening.id.clone()), sentence, outcome)
            .recorded(at_frame.map(Figure::length))
            .recomputed(Figure::length(opening.centre.x))
            .against(tolerance)
            .from([&opening.place]),
    )
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
    let (sentence, outcome) = match opening.side.as_deref() {
        None => (text!("The side of {} was not recorded.", opening.id), Outcome::NotRecorded),
        Some(side) if fits(side) => (text!("Side and y of {} agree.", opening.id), Outcome::Agrees),
        Some(side) => (
            text!("{} is recorded as {}, but its y lies {}.", opening.id, side, lies),
            Outcome::Differs,
        ),
    };
    let finding = Finding::new(Subject::OpeningSide(opening.id.clone()), sentence, outcome)
        .recorded(opening.side.clone().map(Figure::words))
        .recomputed(Figure::words(text!("{} (y {})", lies, Figure::length(y))))
        .from([&opening.place]);
    match tolerance {
        Some(tolerance) => finding.against(tolerance),
        None => finding,
    }
}
