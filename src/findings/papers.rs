//! Papers: missing or not listed, of another kind than their names say, of a kind that won't last, taken
//! at another time than was written down, without a caption.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::finding::{Against, Figure, Finding};
use super::judge::{agrees, beyond_limit, differs, exceeds, incomplete, unchecked};
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::contents::kinds::{self, Fate, Instead, Kind};
use crate::records::contents::{CameraTime, Content, MOST_PIXELS};
use crate::records::papers::{FOLDER, Paper};
use crate::records::place::Place;
use crate::text;
use crate::text::Text;
use crate::text::list_first;

/// Every finding of the papers.
pub fn findings(project: &Project) -> Vec<Finding> {
    let listed = project.listed_papers();
    let paper = |file: &String| listed.get(file.as_str()).copied();
    let mut found: Vec<Finding> = project.papers.iter().map(|paper| file(project, paper)).collect();
    found.extend(project.contents.iter().map(|(file, content)| kind(paper(file), file, content)));
    found.extend(project.papers.iter().filter_map(|paper| time_taken(project, paper)));
    found.extend(project.papers.iter().filter_map(|paper| shown(project, paper)));
    if !project.papers.is_empty() {
        found.push(captions(project));
    }
    found.extend(unlisted(project, &listed));
    found
}

/// What a file holds, in words.
pub fn describe_contents(content: &Content) -> String {
    let kind = match content.kind {
        Some(kind) => kind.name,
        None if content.empty => "nothing at all",
        None => "no kind of file that is known",
    };
    match content.pixels {
        Some((width, height)) => format!("{kind}, {width} by {height} pixels"),
        None => kind.to_string(),
    }
}

fn file(project: &Project, paper: &Paper) -> Finding {
    let judgement = if project.files.contains_key(&paper.path()) {
        agrees(text!("The file of paper {} is there.", paper.file))
    } else {
        incomplete(text!("Paper {} is listed, and its file is not there.", paper.file))
    };
    judgement.finding(Subject::PaperFile(paper.file.clone())).from([&paper.place])
}

/// The name's kind against the content's, and whether that lasts. Where several things are wrong, the gravest is
/// named.
fn kind(paper: Option<&Paper>, file: &str, content: &Content) -> Finding {
    let place =
        paper.map_or_else(|| Place::file(&format!("{FOLDER}{file}")), |paper| paper.place.clone());
    let end = kinds::end_of(file);
    let named = end.as_deref().and_then(kinds::by_extension);
    let as_named = match (content.kind, end.as_deref()) {
        (Some(kind), Some(end)) => named.is_none() || kind.ends.contains(&end),
        (None, _) => named.is_none(),
        (Some(_), None) => true,
    };
    let holds = describe_contents(content);
    let mut against = None;
    let judgement = match (named, content.broken, content.kind) {
        (Some(named), ..) if !as_named => differs(text!(
            "By its name {} is of the kind {}, and it holds {}.",
            file,
            named.name,
            holds
        )),
        (_, Some(why), _) => differs(text!(
            "By its beginning {} is of the kind {}, and something is wrong with it: {}.",
            file,
            holds,
            why
        )),
        _ if content.too_many_pixels() && paper.is_some_and(|paper| paper.in_report) => {
            against = Some(Against::limit(
                "pixels of a picture that is shown",
                Figure::Count(MOST_PIXELS),
                "this program, so that memory does not run out",
            ));
            beyond_limit(text!(
                "The report can't show {}: {}. The file itself is kept.",
                file,
                holds
            ))
        }
        (_, _, Some(Kind { fate: Fate::Ends(instead), .. })) => {
            against = Some(lasting(instead));
            beyond_limit(advice(file, &holds, instead, "may not be read in fifty years"))
        }
        (_, _, Some(Kind { fate: Fate::Better(instead), .. })) => {
            against = Some(lasting(instead));
            incomplete(advice(file, &holds, instead, "may do"))
        }
        (_, _, Some(_)) => agrees(text!("Paper {} is of a kind that lasts: {}.", file, holds)),
        (_, _, None) => {
            unchecked(text!("whether {} is of a kind that lasts", file), "its kind can't be told")
        }
    };
    let mut finding = judgement
        .finding(Subject::PaperKind(file.to_string()))
        .recorded(
            named.map(|named| Figure::words(if as_named { holds.as_str() } else { named.name })),
        )
        .recomputed(Figure::words(holds))
        .from([&place]);
    finding.against = against.map(Box::new);
    finding
}

fn advice(file: &str, holds: &str, instead: &Instead, words: &str) -> Text {
    text!(
        "Paper {} {}: {}; {}. Keep it, and beside it {}.",
        file,
        words,
        holds,
        instead.since,
        instead.to
    )
}

fn lasting(instead: &Instead) -> Against {
    Against::limit("kinds that last", Figure::words(instead.to), "common practice, no source")
}

/// A photograph's recorded time against its camera's. Of other papers the time is that of writing, and a
/// camera's only that of the copy.
fn time_taken(project: &Project, paper: &Paper) -> Option<Finding> {
    if paper.kind.as_deref().is_some_and(|kind| kind != "photograph") {
        return None;
    }
    let camera = project.contents.get(&paper.file)?.taken?;
    let file = &paper.file;
    let subject = Subject::PaperTaken(file.clone());
    let shown = match camera.offset {
        Some(offset) => format!("{} {offset}", camera.at.format("%Y-%m-%d %H:%M")),
        None => camera.at.format("%Y-%m-%d %H:%M").to_string(),
    };
    let Some(recorded) = paper.taken_at else {
        return Some(
            incomplete(text!(
                "When {} was taken was not recorded; its camera says {}.",
                file,
                shown
            ))
            .finding(subject)
            .recomputed(Figure::words(shown))
            .from([&paper.place]),
        );
    };
    let apart_h = apart_h(recorded, camera);
    let tolerance = project.docking.bounds.tolerance("camera_clock")?;
    let clock = match camera.offset {
        Some(_) => "",
        None => ", whose clock was taken to show local time",
    };
    let judgement = if exceeds(apart_h.abs(), tolerance.value) {
        differs(text!(
            "The time recorded for {} does not agree with its camera's clock{}.",
            file,
            clock
        ))
    } else {
        agrees(text!("The time recorded for {} agrees with its camera's clock{}.", file, clock))
    };
    Some(
        judgement
            .finding(subject)
            .recorded(Figure::words(recorded.to_rfc3339()))
            .recomputed(Figure::words(shown))
            .against(tolerance)
            .from([&paper.place]),
    )
}

/// Whether the report can show what it is asked to. Nothing is said where the file is missing, or where its kind is wrong
/// with it already, since that has a finding.
fn shown(project: &Project, paper: &Paper) -> Option<Finding> {
    let file = &paper.file;
    let content = project.contents.get(file)?;
    if content.broken.is_some() || content.too_many_pixels() {
        return None;
    }
    let (_, picture) = project.pictures.pictures().iter().find(|(name, _)| name == file)?;
    let judgement = match picture {
        Ok(picture) => match &picture.note {
            Some(note) => agrees(text!("The report shows {}. {}", file, note.as_str())),
            None => agrees(text!("The report shows {}.", file)),
        },
        Err(why) => differs(text!(
            "The record asks for {} to be shown, and the report can't show it: {}. The file itself is kept.",
            file,
            why.as_str()
        )),
    };
    Some(judgement.finding(Subject::PaperShown(file.clone())).from([&paper.place]))
}

/// Recorded time less the camera's, hours. A clock without an offset is read as local time.
fn apart_h(recorded: DateTime<FixedOffset>, camera: CameraTime) -> f64 {
    let apart = match camera.offset {
        Some(offset) => recorded.naive_utc() - (camera.at - offset),
        None => recorded.naive_local() - camera.at,
    };
    apart.num_seconds() as f64 / 3600.0
}

/// How many files a sentence names at the most.
const MOST_NAMED: usize = 50;

fn captions(project: &Project) -> Finding {
    let without: Vec<&Paper> =
        project.papers.iter().filter(|paper| paper.caption.is_none()).collect();
    let names: Vec<&str> = without.iter().map(|paper| paper.file.as_str()).collect();
    let judgement = if names.is_empty() {
        agrees("Every paper that is listed has a caption.")
    } else {
        incomplete(text!(
            "What these papers show was not recorded: {}.",
            list_first(&names, MOST_NAMED)
        ))
    };
    judgement
        .finding(Subject::Captions)
        .recomputed(Figure::Count(names.len() as u64))
        .from(without.iter().map(|paper| &paper.place))
}

fn unlisted(project: &Project, listed: &BTreeMap<&str, &Paper>) -> Option<Finding> {
    let unlisted: Vec<&str> = project
        .paper_files()
        .map(|(name, _)| name)
        .filter(|name| !listed.contains_key(name))
        .collect();
    if project.papers.is_empty() && unlisted.is_empty() {
        return None;
    }
    let judgement = if unlisted.is_empty() {
        agrees("Every file in papers/ is listed.")
    } else {
        let names = list_first(&unlisted, MOST_NAMED);
        incomplete(text!("What these files in papers/ are was not recorded: {}.", names))
    };
    Some(judgement.finding(Subject::Unlisted).recomputed(Figure::Count(unlisted.len() as u64)))
}

#[cfg(test)]
mod tests;
