//! Papers: missing or not listed, of another kind than their names say, of a kind that won't last, taken
//! at another time than was written down, without a caption.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::finding::{Against, Figure, Finding, Outcome};
use super::judge;
use super::naming::first;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::bounds::Sort;
use crate::records::contents::kinds::{self, Fate, Instead, Kind};
use crate::records::contents::{CameraTime, Content, MOST_PIXELS};
use crate::records::papers::{FOLDER, Paper};
use crate::records::place::Place;
use crate::text;
use crate::text::Text;

/// Every finding of the papers.
pub fn findings(project: &Project) -> Vec<Finding> {
    let listed = project.listed_papers();
    let paper = |file: &String| listed.get(file.as_str()).copied();
    let mut found: Vec<Finding> =
        project.papers.iter().map(|paper| there(project, paper)).collect();
    found.extend(project.contents.iter().map(|(file, content)| kind(paper(file), file, content)));
    found.extend(project.papers.iter().filter_map(|paper| taken(project, paper)));
    if !project.papers.is_empty() {
        found.push(captions(project));
    }
    found.extend(unlisted(project, &listed));
    found
}

/// What a file holds, in words.
pub fn holds(content: &Content) -> String {
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

fn there(project: &Project, paper: &Paper) -> Finding {
    let (words, outcome) = if project.files.contains_key(&paper.path()) {
        ("is there", Outcome::Agrees)
    } else {
        ("is listed, and the file is not there", Outcome::NotRecorded)
    };
    let sentence = text!("Paper {} {}.", paper.file, words);
    Finding::new(Subject::PaperFile(paper.file.clone()), sentence, outcome).from([&paper.place])
}

/// The name's kind against the content's, and whether that lasts. The gravest of all that is found is said.
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
    let holds = holds(content);
    let mut against = None;
    let (sentence, outcome) = match (named, content.broken, content.kind) {
        (Some(named), ..) if !as_named => (
            text!("By its name {} is of the kind {}, and it holds {}.", file, named.name, holds),
            Outcome::Differs,
        ),
        (_, Some(why), _) => (
            text!(
                "By its beginning {} is of the kind {}, and it can't be decoded: {}.",
                file,
                holds,
                why
            ),
            Outcome::Differs,
        ),
        _ if content.too_many_pixels() && paper.is_some_and(|paper| paper.in_report) => {
            against = Some(Against {
                sort: Sort::Limit,
                name: "pixels of a picture that is shown".to_string(),
                value: Figure::Count(MOST_PIXELS),
                source: "this program, so that memory does not run out".to_string(),
            });
            (
                text!("The report can't show {}: {}. The file itself is kept.", file, holds),
                Outcome::BeyondLimit,
            )
        }
        (_, _, Some(Kind { fate: Fate::Ends(instead), .. })) => {
            against = Some(lasting(instead));
            (advice(file, &holds, instead, "may not be read in fifty years"), Outcome::BeyondLimit)
        }
        (_, _, Some(Kind { fate: Fate::Better(instead), .. })) => {
            against = Some(lasting(instead));
            (advice(file, &holds, instead, "may do"), Outcome::NotRecorded)
        }
        (_, _, Some(_)) => {
            (text!("Paper {} is of a kind that lasts: {}.", file, holds), Outcome::Agrees)
        }
        (_, _, None) => (
            text!("Of what kind {} is can't be told, and so not whether it lasts.", file),
            Outcome::NotRecorded,
        ),
    };
    let mut finding = Finding::new(Subject::PaperKind(file.to_string()), sentence, outcome)
        .recorded(
            named.map(|named| Figure::words(if as_named { holds.as_str() } else { named.name })),
        )
        .recomputed(Figure::words(holds))
        .from([&place]);
    finding.against = against;
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
    Against {
        sort: Sort::Limit,
        name: "kinds that last".to_string(),
        value: Figure::words(instead.to),
        source: "common practice, no source".to_string(),
    }
}

/// A photograph's recorded time against its camera's. Of other papers the time is that of writing, and a
/// camera's only that of the copy.
fn taken(project: &Project, paper: &Paper) -> Option<Finding> {
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
        let sentence =
            text!("When {} was taken was not recorded; its camera says {}.", file, shown);
        let finding = Finding::new(subject, sentence, Outcome::NotRecorded);
        return Some(finding.recomputed(Figure::words(shown)).from([&paper.place]));
    };
    let apart_h = apart_h(recorded, camera);
    let tolerance = project.docking.bounds.tolerance("camera_clock")?;
    let (words, outcome) = if !judge::exceeds(apart_h.abs(), tolerance.value) {
        ("agrees with its camera's clock", Outcome::Agrees)
    } else {
        ("does not agree with its camera's clock", Outcome::Differs)
    };
    let clock = match camera.offset {
        Some(_) => "",
        None => ", whose clock was taken to show local time",
    };
    let sentence = text!("The time recorded for {} {}{}.", file, words, clock);
    Some(
        Finding::new(subject, sentence, outcome)
            .recorded(Figure::words(recorded.to_rfc3339()))
            .recomputed(Figure::words(shown))
            .against(tolerance)
            .from([&paper.place]),
    )
}

/// Recorded time less the camera's, hours. A clock without an offset is read as local time.
fn apart_h(recorded: DateTime<FixedOffset>, camera: CameraTime) -> f64 {
    let apart = match camera.offset {
        Some(offset) => recorded.naive_utc() - (camera.at - offset),
        None => recorded.naive_local() - camera.at,
    };
    apart.num_seconds() as f64 / 3600.0
}

/// As many files are named in a sentence at the most.
const MOST_NAMED: usize = 50;

fn captions(project: &Project) -> Finding {
    let without: Vec<&Paper> =
        project.papers.iter().filter(|paper| paper.caption.is_none()).collect();
    let names: Vec<&str> = without.iter().map(|paper| paper.file.as_str()).collect();
    let (sentence, outcome) = if names.is_empty() {
        (text!("Every paper that is listed has a caption."), Outcome::Agrees)
    } else {
        let sentence =
            text!("What these papers show was not recorded: {}.", first(&names, MOST_NAMED));
        (sentence, Outcome::NotRecorded)
    };
    Finding::new(Subject::Captions, sentence, outcome)
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
    let (sentence, outcome) = if unlisted.is_empty() {
        (text!("Every file in papers/ is listed."), Outcome::Agrees)
    } else {
        let names = first(&unlisted, MOST_NAMED);
        let sentence = text!("What these files in papers/ are was not recorded: {}.", names);
        (sentence, Outcome::NotRecorded)
    };
    Some(
        Finding::new(Subject::Unlisted, sentence, outcome)
            .recomputed(Figure::Count(unlisted.len() as u64)),
    )
}

#[cfg(test)]
mod tests;
