//! Papers and photographs: the pictures that are shown, and a list of all.

use serde::Serialize;

use super::MOST_PRINTED;
use crate::findings::papers::holds;
use crate::records::papers::{Paper, SPEC};
use crate::report::legible::Narrow;
use crate::report::pictures::{Album, MOST_BYTES_OF_ALL, PER_INCH, Picture};
use crate::report::text::First;
use crate::report::{Inputs, data, text};

#[derive(Serialize)]
pub(super) struct Papers {
    shown: Vec<Shown>,
    /// How finely pictures are printed, and how much of the report they may take.
    per_inch: String,
    megabytes: String,
    listed: Vec<Listed>,
    /// How many are listed, and the table that has them, where they are too many to print.
    elsewhere: Option<(String, String)>,
    unlisted: First<String>,
}

/// A picture that is shown, or the sentence that stands in its place.
#[derive(Serialize)]
struct Shown {
    name: String,
    file: Option<String>,
    why_not: Option<String>,
    wide: bool,
    caption: Option<String>,
    alt: String,
    by: Option<String>,
    at: Option<String>,
}

#[derive(Serialize)]
struct Listed {
    file: Narrow,
    there: bool,
    holds: Option<Narrow>,
    kind: Option<String>,
    about: Option<Narrow>,
    at: Option<String>,
    by: Option<Narrow>,
    caption: Option<String>,
    shown: &'static str,
}

/// As many files that nobody listed are named at the most.
const MOST_UNLISTED: usize = 100;

pub(super) fn section(inputs: &Inputs<'_>) -> Papers {
    let project = &inputs.examined.project;
    let listed = project.listed_papers();
    let printed = project.papers.len() <= MOST_PRINTED;
    let unlisted = project.paper_files().map(|(file, _)| file.to_string());
    let unlisted = unlisted.filter(|file| !listed.contains_key(file.as_str())).collect();
    Papers {
        per_inch: PER_INCH.to_string(),
        megabytes: (MOST_BYTES_OF_ALL / 1_000_000).to_string(),
        shown: inputs
            .pictures
            .pictures()
            .iter()
            .enumerate()
            .map(|(n, (name, picture))| shown(n, name, listed.get(name.as_str()).copied(), picture))
            .collect(),
        elsewhere: (!printed).then(|| {
            let count = text::count(project.papers.len(), "paper", "papers");
            (count, format!("data/tables/{}.csv", SPEC.table_name()))
        }),
        listed: project
            .papers
            .iter()
            .filter(|_| printed)
            .map(|paper| Listed {
                file: Narrow::new(&paper.file),
                there: project.files.contains_key(&paper.path()),
                holds: project.contents.get(&paper.file).map(|c| Narrow::new(holds(c))),
                kind: paper.kind.clone(),
                about: (!paper.about.is_empty()).then(|| Narrow::new(paper.about.join(", "))),
                at: paper.taken_at.map(text::time),
                by: paper.by.as_deref().map(Narrow::new),
                caption: paper.caption.clone(),
                shown: is_shown(&inputs.pictures, paper),
            })
            .collect(),
        unlisted: First::of(unlisted, MOST_UNLISTED),
    }
}

/// Whether the report shows a paper's picture: what came of it, and not only what was wished.
fn is_shown(album: &Album, paper: &Paper) -> &'static str {
    let made = |(name, picture): &(String, Result<Picture, String>)| {
        *name == paper.file && picture.is_ok()
    };
    match (album.pictures().iter().any(made), paper.in_report) {
        (true, _) => "yes",
        (false, true) => "no, though wanted",
        (false, false) => "no",
    }
}

fn shown(n: usize, name: &str, paper: Option<&Paper>, picture: &Result<Picture, String>) -> Shown {
    let caption = paper.and_then(|paper| paper.caption.clone());
    let kind = paper.and_then(|paper| paper.kind.as_deref()).unwrap_or("picture");
    let mut kind: Vec<char> = kind.chars().collect();
    if let Some(first) = kind.first_mut() {
        first.make_ascii_uppercase();
    }
    let kind: String = kind.into_iter().collect();
    Shown {
        name: name.to_string(),
        file: picture.as_ref().ok().map(|picture| data::picture_name(n, picture.extension)),
        why_not: picture.as_ref().err().cloned(),
        wide: picture.as_ref().is_ok_and(|picture| picture.wide),
        alt: match &caption {
            Some(caption) => {
                text::shortened(&format!("{kind} {name}: {caption}"), super::LONGEST_ALT)
            }
            None => format!("{kind} {name}, without a recorded caption"),
        },
        caption,
        by: paper.and_then(|paper| paper.by.clone()),
        at: paper.and_then(|paper| paper.taken_at).map(text::time),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::place::Place;

    #[test]
    fn a_picture_that_could_not_be_shown_is_not_said_to_be() {
        let mut album = Album::default();
        album.add("broken.png", Ok(b"no picture"));
        let paper = |file: &str, in_report| Paper {
            file: file.to_string(),
            kind: None,
            about: Vec::new(),
            taken_at: None,
            by: None,
            caption: None,
            in_report,
            notes: None,
            place: Place::file("papers/papers.csv"),
        };
        assert_eq!(is_shown(&album, &paper("broken.png", true)), "no, though wanted");
        assert_eq!(is_shown(&album, &paper("missing.png", true)), "no, though wanted");
        assert_eq!(is_shown(&album, &paper("letter.txt", false)), "no");
    }
}
