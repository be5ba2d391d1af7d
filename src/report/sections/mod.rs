//! The data of each section of the report, one file for each.

mod by_weight;
mod closing;
mod coating;
mod codes;
mod counted;
mod cover;
pub(super) mod drawings;
mod exposure;
mod files;
mod formulas;
mod happened;
mod history;
mod landing;
mod next_team;
mod openings;
mod papers;
mod pictures;
mod plan;
mod plating;
mod positions;
mod reading;
mod shifts;
mod words;

use serde::Serialize;

use super::figures::Group;
use super::inputs::{Inputs, Volume};
use crate::pages::shown::SectionShown;
use crate::pages::{self, Section};
use crate::records::docking::Closeout;
use crate::text::Reader;
pub(super) use coating::says as says_exception;
pub(super) use cover::at_a_glance;
use drawings::{Placed, placed};
pub(super) use pictures::alternative;

/// The cover, the sections in their order, and the drawings that they place.
#[derive(Serialize)]
pub(super) struct Sections<'a> {
    cover: cover::Cover<'a>,
    sections: Vec<SectionShown>,
    drawings: Vec<Placed<'a>>,
}

/// A volume's cover, and the first of the sections that are listed, as many as stand in it.
pub(super) fn of<'a>(
    inputs: &Inputs<'a>,
    closeout: &'a Closeout,
    volume: Volume,
    sections: &[Section],
    shown: usize,
) -> Sections<'a> {
    let docking = &inputs.examined.project.docking;
    let reader = Reader { system: docking.units, clock: docking.clock.first() };
    Sections {
        cover: cover::section(inputs, closeout, volume, sections),
        sections: sections.iter().take(shown).map(|section| section.shown(reader)).collect(),
        drawings: placed(inputs.drawings.iter().enumerate()),
    }
}

/// How many of the listed sections, from the first on, are handed out alone with the cover: what happened.
pub(super) const IN_SUMMARY: usize = 1;

/// The sections in their order.
pub(super) fn listed(inputs: &Inputs<'_>) -> Vec<Section> {
    let examined = inputs.examined;
    let closeout = examined.project.docking.closeout.as_ref();
    let sections = [
        Some(happened::section(inputs)),
        Some(next_team::section(inputs)),
        Some(by_weight::section(examined)),
        Some(reading::section(inputs)),
        Some(plan::section(inputs)),
        Some(exposure::section(inputs)),
        Some(shifts::section(inputs)),
        planned(inputs),
        Some(openings::section(examined)),
        Some(positions::section(examined)),
        Some(landing::section(inputs)),
        Some(coating::section(inputs)),
        Some(plating::section(inputs)),
        Some(papers::section(inputs)),
        history::section(inputs),
        Some(formulas::section(examined)),
        Some(counted::section(examined)),
        closeout.map(|closeout| files::verify(inputs, closeout)),
        Some(words::cautions()),
    ];
    let mut sections: Vec<Section> = sections.into_iter().flatten().collect();
    let words = words::words(&said(inputs, &sections));
    sections.push(words);
    sections
}

/// The docking as planned, beside the docking as done. Its particulars stand on the page for a browser and among the forms.
fn planned(inputs: &Inputs<'_>) -> Option<Section> {
    let drawings = drawings::drawings_of(inputs, Group::Planned);
    let mut section = pages::planned::section(inputs.examined, drawings)?;
    if let Some(among) = inputs.examined.among() {
        section.part("Among which positions");
        section.list(among.answer.iter().cloned());
        among.cautions.iter().for_each(|caution| _ = section.note(*caution));
    }
    Some(section)
}

/// The sections with what the page for a browser has room for: the particulars of the plan, behind the plan.
pub fn with_particulars(inputs: &Inputs<'_>) -> Vec<Section> {
    let mut sections = listed(inputs);
    let choices = drawings::drawings_of(inputs, Group::Among);
    let before = sections.iter().position(|section| section.anchor == Some("openings"));
    let at = before.unwrap_or(sections.len());
    sections.splice(at..at, pages::planned::particulars(inputs.examined, choices));
    sections
}

/// All that sections and drawings say, to look words up in.
fn said(inputs: &Inputs<'_>, sections: &[Section]) -> String {
    let system = inputs.examined.project.docking.units;
    let mut said: String = sections.iter().map(|section| section.said(system)).collect();
    for drawing in inputs.drawings {
        for text in [&drawing.title, &drawing.caption, &drawing.alt, &drawing.note] {
            said.push_str(text);
            said.push('\n');
        }
    }
    said
}
