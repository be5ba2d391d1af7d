//! The data of each section of the report, one file for each.

mod answers;
mod coating;
mod counted;
mod dates;
mod exposure;
mod files;
mod formulas;
mod history;
mod landing;
mod lookup;
mod next_team;
mod openings;
mod papers;
mod plan;
mod plating;
mod positions;
mod reading;
mod shifts;
mod title;
mod words;

use serde::Serialize;

use super::figures::Drawing;
use super::{Inputs, data, text};
use crate::pages::shown::SectionShown;
use crate::records::docking::Closeout;

/// The title page, the sections in their order, and the drawings that they place.
#[derive(Serialize)]
pub(super) struct Sections<'a> {
    title: title::Title<'a>,
    sections: Vec<SectionShown>,
    drawings: Vec<Placed<'a>>,
}

pub(super) fn all<'a>(inputs: &Inputs<'a>, closeout: &'a Closeout) -> Sections<'a> {
    let examined = inputs.examined;
    let system = examined.project.docking.units;
    let sections = [
        Some(next_team::section(examined)),
        Some(answers::section(examined)),
        Some(counted::section(examined)),
        Some(reading::section(inputs)),
        Some(dates::section(inputs)),
        Some(plan::section(inputs)),
        Some(exposure::section(inputs)),
        Some(shifts::section(inputs)),
        Some(openings::section(examined)),
        Some(positions::section(examined)),
        Some(landing::section(inputs)),
        Some(coating::section(inputs)),
        Some(plating::section(inputs)),
        history::section(inputs),
        Some(papers::section(inputs)),
        Some(formulas::section(examined)),
        Some(files::section(inputs, closeout)),
        Some(files::verify(inputs, closeout)),
        Some(words::cautions()),
        Some(words::words()),
    ];
    Sections {
        title: title::section(inputs, closeout, system),
        sections: sections.iter().flatten().map(|section| section.shown(system)).collect(),
        drawings: placed(inputs.drawings.iter().enumerate()),
    }
}

/// The most characters of the words for those who can't see a picture; a PDF holds some thousands.
const LONGEST_ALT: usize = 3000;

/// A drawing as its template places it.
#[derive(Serialize)]
pub(super) struct Placed<'a> {
    file: String,
    position: Option<&'a str>,
    title: &'a str,
    caption: &'a str,
    alt: String,
    width_mm: f64,
    page: Page,
}

/// The page on which a drawing fits at its own size.
#[derive(Serialize, Clone, Copy, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
enum Page {
    Upright,
    Across,
    /// On none: it is shown smaller than its scale says, and the report says so.
    Shrunk,
}

/// Room for a drawing with its title and caption: width and height in mm, upright and across.
const UPRIGHT_MM: (f64, f64) = (170.0, 222.0);
const ACROSS_MM: (f64, f64) = (257.0, 135.0);

/// The numbers of the drawings of one group, in their order.
fn drawings_of(inputs: &Inputs<'_>, group: &str) -> Vec<usize> {
    let drawings = inputs.drawings.iter().enumerate();
    drawings.filter(|(_, drawing)| drawing.group == group).map(|(n, _)| n).collect()
}

/// Drawings as their template places them, each with its number among the files.
pub(super) fn placed<'a>(drawings: impl Iterator<Item = (usize, &'a Drawing)>) -> Vec<Placed<'a>> {
    drawings
        .map(|(n, drawing)| {
            let fits = |(width, height): (f64, f64)| {
                drawing.width_mm <= width + 0.01 && drawing.height_mm <= height + 0.01
            };
            let page = match (fits(UPRIGHT_MM), fits(ACROSS_MM)) {
                (true, _) => Page::Upright,
                (false, true) => Page::Across,
                (false, false) => Page::Shrunk,
            };
            Placed {
                file: data::drawing_name(n),
                position: drawing.position.as_deref(),
                title: &drawing.title,
                caption: &drawing.caption,
                alt: text::shortened(&drawing.alt, LONGEST_ALT),
                width_mm: match page {
                    Page::Shrunk => {
                        let (width, height) = UPRIGHT_MM;
                        width.min(drawing.width_mm * height / drawing.height_mm.max(1.0))
                    }
                    _ => drawing.width_mm,
                },
                page,
            }
        })
        .collect()
}
