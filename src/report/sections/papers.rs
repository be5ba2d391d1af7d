//! Papers and photographs: the pictures that are shown, and a list of all.

use crate::findings::papers::describe_contents;
use crate::pages::{Column, Image, MOST_ROWS, Section, Table};
use crate::records::papers::{Paper, SPEC};
use crate::report::inputs::{Inputs, picture_name};
use crate::records::pictures::{Album, MOST_BYTES_OF_ALL, PER_INCH, Picture};
use crate::text;
use crate::text::{Text, code, count, id, shortened, strong, time};

/// As many files that nobody listed are named at the most.
const MOST_UNLISTED: usize = 100;

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let project = &inputs.examined.project;
    let listed = project.listed_papers();
    let mut section = Section::new("Papers and photographs").at("papers");
    let pictures = inputs.pictures.pictures().iter().enumerate();
    let pictures: Vec<Image> = pictures
        .map(|(n, (name, picture))| image(n, name, listed.get(name.as_str()).copied(), picture))
        .collect();
    section.paragraph(if pictures.is_empty() {
        text!("No pictures are shown in this report.")
    } else {
        text!(
            "Pictures are printed with at most {} dots to the inch and take at most {} MB of this report. The \
             files themselves are kept in the bundle as they were.",
            PER_INCH.to_string(),
            (MOST_BYTES_OF_ALL / 1_000_000).to_string()
        )
    });
    section.images(pictures);

    section.part("All papers");
    let columns = [
        Column::name("File").mm(28.0),
        Column::name("Kind").mm(18.0),
        Column::name("About").mm(18.0),
        Column::name("Taken or written").mm(23.0),
        Column::name("By").mm(26.0),
        Column::text("Caption"),
        Column::name("Shown").mm(12.0),
    ];
    let rows = project.papers.iter().map(|paper| {
        let mut file: Text = id(&paper.file).into();
        if !project.files.contains_key(&paper.path()) {
            file.extend(text!(" {}", strong("(the file is missing)")));
        }
        if let Some(content) = project.contents.get(&paper.file) {
            file.extend(text!("\n{}", describe_contents(content)));
        }
        let about = (!paper.about.is_empty()).then(|| paper.about.join(", "));
        [
            file.into(),
            paper.kind.as_deref().into(),
            about.into(),
            paper.taken_at.into(),
            paper.by.as_deref().into(),
            paper.caption.as_deref().into(),
            is_shown(inputs.pictures, paper).into(),
        ]
    });
    if project.papers.is_empty() {
        section.paragraph("No paper is listed.");
    } else if project.papers.len() > MOST_ROWS {
        section.paragraph(text!(
            "{} are listed, too many to print; they stand in the bundle, in {}.",
            count(project.papers.len(), "paper", "papers"),
            code(format!("data/tables/{}.csv", SPEC.table_name()))
        ));
    } else {
        section.table(Table::new(columns).rows(rows).small());
    }
    let unlisted = project.paper_files().map(|(file, _)| file);
    let unlisted: Vec<&str> = unlisted.filter(|file| !listed.contains_key(*file)).collect();
    let more = match unlisted.len().saturating_sub(MOST_UNLISTED) {
        0 => String::new(),
        more => format!(", and {more} more, all of them in the bundle\u{2019}s folder of papers"),
    };
    if !unlisted.is_empty() {
        let names = unlisted.iter().take(MOST_UNLISTED).map(|file| Text::from(id(*file)));
        section.paragraph(text!(
            "Kept in the bundle but not listed: {}{}.",
            Text::joined(names, ", "),
            more
        ));
    }
    section
}

/// Whether the report shows a paper's picture: what came of it, and not only what was wished.
fn is_shown(album: &Album, paper: &Paper) -> &'static str {
    let made = |(name, picture): &(String, Result<Picture, String>)| {
        *name == paper.file && picture.is_ok()
    };
    match (album.pictures().iter().any(made), paper.in_report) {
        (true, _) => "yes",
        (false, true) => "no, though requested",
        (false, false) => "no",
    }
}

/// A picture with its caption, or why it is not shown.
fn image(n: usize, name: &str, paper: Option<&Paper>, picture: &Result<Picture, String>) -> Image {
    let caption = paper.and_then(|paper| paper.caption.as_deref());
    let kind = paper.and_then(|paper| paper.kind.as_deref()).unwrap_or("picture");
    let mut kind: Vec<char> = kind.chars().collect();
    if let Some(first) = kind.first_mut() {
        first.make_ascii_uppercase();
    }
    let kind: String = kind.into_iter().collect();
    let by = paper.and_then(|paper| paper.by.as_deref()).unwrap_or("not recorded");
    let at = paper.and_then(|paper| paper.taken_at).map(time);
    Image {
        file: picture.as_ref().ok().map(|picture| picture_name(n, picture.extension)),
        why_not: picture.as_ref().err().cloned(),
        wide: picture.as_ref().is_ok_and(|picture| picture.wide),
        alt: match caption {
            Some(caption) => {
                shortened(&format!("{kind} {name}: {caption}"), super::drawings::LONGEST_ALT)
            }
            None => format!("{kind} {name}, without a recorded caption"),
        },
        caption: caption.unwrap_or("Caption not recorded.").to_string(),
        source: text!("{}; by {}; {}", id(name), by, at.as_deref().unwrap_or("time not recorded")),
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
            seen_from: Vec::new(),
            notes: None,
            place: Place::file("papers/papers.csv"),
        };
        assert_eq!(is_shown(&album, &paper("broken.png", true)), "no, though requested");
        assert_eq!(is_shown(&album, &paper("missing.png", true)), "no, though requested");
        assert_eq!(is_shown(&album, &paper("letter.txt", false)), "no");
    }
}
