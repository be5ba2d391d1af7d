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

/// More rows than this of one kind are not printed: nobody reads so many, the typesetter would hold them all in
/// memory, and they stand in the bundle.
const MOST_PRINTED: usize = 1000;

/// Every section, under the name by which its template asks for it.
#[derive(Serialize)]
pub(super) struct Sections<'a> {
    drawings: Vec<Placed<'a>>,
    title: title::Title<'a>,
    next_team: SectionShown,
    answers: SectionShown,
    reading: SectionShown,
    dates: SectionShown,
    plan: SectionShown,
    exposure: SectionShown,
    shifts: shifts::Shifts<'a>,
    openings: SectionShown,
    positions: SectionShown,
    landing: SectionShown,
    coating: SectionShown,
    plating: SectionShown,
    history: Option<SectionShown>,
    papers: SectionShown,
    findings: SectionShown,
    formulas: SectionShown,
    files: SectionShown,
    verify: SectionShown,
    cautions: SectionShown,
    words: SectionShown,
}

pub(super) fn all<'a>(inputs: &Inputs<'a>, closeout: &'a Closeout) -> Sections<'a> {
    let examined = inputs.examined;
    let system = examined.project.docking.units;
    Sections {
        drawings: placed(inputs.drawings.iter().enumerate()),
        title: title::section(inputs, closeout, system),
        next_team: next_team::section(examined).shown(system),
        answers: answers::section(examined).shown(system),
        reading: reading::section(inputs).shown(system),
        dates: dates::section(inputs).shown(system),
        plan: plan::section(inputs).shown(system),
        exposure: exposure::section(inputs).shown(system),
        shifts: shifts::section(inputs),
        openings: openings::section(examined).shown(system),
        positions: positions::section(examined).shown(system),
        landing: landing::section(inputs).shown(system),
        coating: coating::section(inputs).shown(system),
        plating: plating::section(inputs).shown(system),
        history: history::section(inputs).map(|history| history.shown(system)),
        papers: papers::section(inputs).shown(system),
        findings: counted::section(examined).shown(system),
        formulas: formulas::section(examined).shown(system),
        files: files::section(inputs, closeout).shown(system),
        verify: files::verify(inputs, closeout).shown(system),
        cautions: words::cautions().shown(system),
        words: words::words().shown(system),
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

/// The drawings of one group, in their order.
fn drawings<'a>(inputs: &Inputs<'a>, group: &str) -> Vec<Placed<'a>> {
    let drawings: &'a [Drawing] = inputs.drawings;
    placed(drawings.iter().enumerate().filter(|(_, drawing)| drawing.group == group))
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
