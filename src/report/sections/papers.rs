//! Photographs and papers: where on the hull each picture was taken, the pictures, and what else there is.

use super::drawings::drawings_of;
use super::next_team;
use super::pictures::image;
use crate::findings::papers::describe_contents;
use crate::pages::{Column, Image, MOST_ROWS, Section, Table};
use crate::records::papers::{Paper, SPEC};
use crate::records::pictures::{Album, PER_INCH, Picture};
use crate::report::figures::{Group, pictures_numbered};
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Text, and, code, count, id, section as see, strong};

/// As many files that nobody listed are named at the most.
const MOST_UNLISTED: usize = 100;

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let project = &inputs.examined.project;
    let listed = project.listed_papers();
    let mut section = Section::new("Photographs and papers").at("papers");
    let numbered = pictures_numbered(inputs.examined);
    let number = |file: &str| numbered.iter().position(|paper| paper.file == file).map(|n| n + 1);
    section.drawings(drawings_of(inputs, Group::Photographs));
    let there: Vec<&str> =
        next_team::pictures(inputs).map(|(_, paper, _)| paper.file.as_str()).collect();
    index(&mut section, inputs, &numbered, &there);
    let elsewhere = |file: &str| there.contains(&file);
    let pictures = inputs.pictures.pictures().iter().enumerate();
    let pictures: Vec<Image> = pictures
        .filter(|(_, (name, _))| !elsewhere(name))
        .map(|(n, (name, picture))| {
            image(n, number(name), name, listed.get(name.as_str()).copied(), picture)
        })
        .collect();
    if !pictures.is_empty() {
        section.part("The pictures");
        section.paragraph(text!(
            "The report prints them with at most {} dots to the inch, their colours as sRGB; the files themselves are in the bundle as \
             they were.",
            PER_INCH.to_string()
        ));
        section.images(pictures);
    }
    others(&mut section, inputs, &numbered);
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

/// Every picture in a row, with its number in the drawing, and whether it is printed, or `there`, on the page for the next
/// team.
fn index(section: &mut Section, inputs: &Inputs<'_>, numbered: &[&Paper], there: &[&str]) {
    if numbered.is_empty() {
        section.paragraph("No photograph is listed.");
        return;
    }
    if numbered.len() > MOST_ROWS {
        section.paragraph(text!(
            "{} are listed, too many to print; {}.",
            count(numbered.len(), "picture", "pictures"),
            elsewhere()
        ));
        return;
    }
    let columns = [
        Column::figure("No.").mm(9.0),
        Column::name("Picture").mm(30.0),
        Column::name("About").mm(22.0),
        Column::name("Seen from").mm(29.0),
        Column::name("When").mm(35.0),
        Column::name("By").share(1.0),
        Column::name("Printed").mm(15.0),
    ];
    let rows = numbered.iter().enumerate().map(|(n, paper)| {
        let mut file: Text = id(&paper.file).into();
        if !inputs.examined.project.files.contains_key(&paper.path()) {
            file.extend(text!(" {}", strong("(the file is missing)")));
        }
        let from = (!paper.seen_from.is_empty()).then(|| and(&paper.seen_from));
        [
            (n + 1).into(),
            file.into(),
            (!paper.about.is_empty()).then(|| paper.about.join(", ")).into(),
            from.into(),
            paper.taken_at.into(),
            paper.by.as_deref().into(),
            match there.contains(&paper.file.as_str()) {
                true => text!("{}", see("next-team")).into(),
                false => is_shown(inputs.pictures, paper).into(),
            },
        ]
    });
    let about = "Photographs and drawings, numbered as on the hull:";
    section.table(Table::new(columns).rows(rows).about(about).small());
}

/// Where all papers are listed.
fn elsewhere() -> Text {
    text!("they stand in the bundle, in {}", code(format!("data/tables/{}.csv", SPEC.table_name())))
}

/// The papers that are no pictures.
fn others(section: &mut Section, inputs: &Inputs<'_>, numbered: &[&Paper]) {
    let project = &inputs.examined.project;
    let others: Vec<&Paper> = project
        .papers
        .iter()
        .filter(|paper| numbered.iter().all(|picture| picture.file != paper.file))
        .collect();
    if others.is_empty() {
        return;
    }
    section.part("Other papers");
    if others.len() > MOST_ROWS {
        section.paragraph(text!(
            "{} are listed, too many to print; {}.",
            count(others.len(), "paper", "papers"),
            elsewhere()
        ));
        return;
    }
    let columns = [
        Column::name("File").mm(32.0),
        Column::name("Kind").mm(18.0),
        Column::name("About").mm(20.0),
        Column::name("Written").mm(24.0),
        Column::name("By").mm(28.0),
        Column::text("What it is"),
    ];
    let rows = others.iter().map(|paper| {
        let mut file: Text = id(&paper.file).into();
        if !project.files.contains_key(&paper.path()) {
            file.extend(text!(" {}", strong("(the file is missing)")));
        }
        if let Some(content) = project.contents.get(&paper.file) {
            file.extend(text!("\n{}", describe_contents(content)));
        }
        [
            file.into(),
            paper.kind.as_deref().into(),
            (!paper.about.is_empty()).then(|| paper.about.join(", ")).into(),
            paper.taken_at.into(),
            paper.by.as_deref().into(),
            match next_team::is_printed(inputs, paper) {
                true => {
                    let caption = paper.caption.as_deref().map_or(Text::new(), |c| text!("{} ", c));
                    text!("{}Printed in {}.", caption, see("next-team")).into()
                }
                false => paper.caption.as_deref().into(),
            },
        ]
    });
    section.table(Table::new(columns).rows(rows).small());
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::place::Place;

    #[test]
    fn a_picture_that_could_not_be_shown_is_not_said_to_be() {
        let mut album = Album::default();
        album.add("broken.png", Ok(b"no picture"));
        let paper = |file: &str, in_report| Paper {
            for_next_time: false,
            file: file.to_string(),
            kind: None,
            about: Vec::new(),
            taken_at: None,
            by: None,
            caption: None,
            in_report,
            seen_from: Vec::new(),
            language: None,
            notes: None,
            place: Place::file("papers/papers.csv"),
        };
        assert_eq!(is_shown(&album, &paper("broken.png", true)), "no, though requested");
        assert_eq!(is_shown(&album, &paper("missing.png", true)), "no, though requested");
        assert_eq!(is_shown(&album, &paper("letter.txt", false)), "no");
    }
}
