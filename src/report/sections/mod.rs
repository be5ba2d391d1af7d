//! The data of each section of the report, one file for each.

mod answers;
mod coating;
mod counted;
mod dates;
pub(super) mod drawings;
mod exposure;
mod files;
mod formulas;
mod history;
mod landing;
mod next_team;
mod openings;
mod papers;
mod pieces;
mod plan;
mod plating;
mod positions;
mod reading;
mod shifts;
mod title;
mod words;

use serde::Serialize;

use super::inputs::Inputs;
use crate::pages::Section;
use crate::pages::shown::SectionShown;
use crate::records::docking::Closeout;
use crate::text::Reader;
use drawings::{Placed, placed};

/// The title page, the sections in their order, and the drawings that they place.
#[derive(Serialize)]
pub(super) struct Sections<'a> {
    title: title::Title<'a>,
    sections: Vec<SectionShown>,
    drawings: Vec<Placed<'a>>,
}

pub(super) fn all<'a>(inputs: &Inputs<'a>, closeout: &'a Closeout) -> Sections<'a> {
    let docking = &inputs.examined.project.docking;
    let (system, clock) = (docking.units, docking.offset);
    let reader = Reader { system, clock };
    Sections {
        title: title::section(inputs, closeout, system),
        sections: listed(inputs, closeout).iter().map(|section| section.shown(reader)).collect(),
        drawings: placed(inputs.drawings.iter().enumerate()),
    }
}

/// The sections in their order.
pub(super) fn listed(inputs: &Inputs<'_>, closeout: &Closeout) -> Vec<Section> {
    let examined = inputs.examined;
    let sections = [
        Some(dates::section(inputs)),
        Some(next_team::section(examined)),
        Some(answers::section(examined)),
        Some(reading::section(inputs)),
        Some(plan::section(inputs)),
        Some(exposure::section(inputs)),
        Some(shifts::section(inputs)),
        Some(openings::section(examined)),
        Some(positions::section(examined)),
        Some(landing::section(inputs)),
        Some(coating::section(inputs)),
        Some(plating::section(inputs)),
        Some(papers::section(inputs)),
        history::section(inputs),
        Some(formulas::section(examined)),
        Some(counted::section(examined)),
        Some(files::verify(inputs, closeout)),
        Some(files::section(inputs, closeout)),
        Some(words::cautions()),
        Some(words::words()),
    ];
    sections.into_iter().flatten().collect()
}
