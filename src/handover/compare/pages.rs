//! The comparison on paper.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Comparison, Shapes, Side};
use crate::pages::shown::SectionShown;
use crate::pages::{Cell, Column, Section, Table};
use crate::report::error::ReportError;
use crate::report::figures::{Overlaid, two_dockings};
use crate::report::{Stamp, typeset_as};
use crate::text;
use crate::text::{System, Text, strong};
use crate::words::cautions;

/// The most characters of a text in the properties of the PDF.
const LONGEST_PROPERTY: usize = 300;

/// Names in the head of a page.
const LONGEST_HEADER: usize = 70;

#[derive(Serialize)]
struct Pages<'a> {
    document: Document,
    title: String,
    warnings: &'a [String],
    front: SectionShown,
    sections: Vec<SectionShown>,
}

/// The properties of the PDF, and what stands above and below every page.
#[derive(Serialize)]
struct Document {
    title: String,
    author: String,
    about: String,
    keywords: Vec<String>,
    ship: String,
    period: Option<String>,
    foot: String,
}

/// Typesets a comparison as PDF/A-3a and PDF/UA-1, dated as the newer docking's record is. The same two
/// records give the same bytes.
pub fn typeset(
    comparison: &Comparison,
    shapes: &Shapes,
    newer: &Side<'_>,
) -> Result<Vec<u8>, ReportError> {
    let (was, is) = (&comparison.older, &comparison.newer);
    let on = day(newer).ok_or_else(|| {
        ReportError::new(
            format!("The record of {} has no day that the pages could carry.", is.name),
            "Fill in [period] or [closeout] in its docking.toml, or leave --out away.",
        )
    })?;
    let title = comparison.title();
    let names = format!("{} and {}", was.name, is.name);
    let overlaid = Overlaid {
        names: [&was.name, &is.name],
        under_blocks: [&shapes.older, &shapes.newer],
        never: &shapes.never,
    };
    let drawings = two_dockings(newer.examined, &overlaid);
    let units = newer.examined.project.docking.units;
    let sections = comparison.sections(drawings.len());
    let pages = Pages {
        document: Document {
            title: text::shortened(&title, LONGEST_PROPERTY),
            author: comparison.program.clone(),
            about: text::shortened(&format!("{title}, {names}, side by side."), LONGEST_PROPERTY),
            keywords: ["dry-docking", "comparison"].map(str::to_string).to_vec(),
            ship: text::shortened(&title, LONGEST_HEADER),
            period: Some(text::shortened(&names, LONGEST_HEADER)),
            foot: text::shortened(&format!("made by {}", comparison.program), LONGEST_HEADER),
        },
        title,
        warnings: &comparison.warnings,
        front: front(comparison, &sections, units).shown(units),
        sections: sections.iter().map(|section| section.shown(units)).collect(),
    };
    let ident = format!("{} compared with {}", is.name, was.name);
    let stamp = Stamp { ident: &ident, on, program: &comparison.program };
    typeset_as("compare.typ", &pages, &drawings, &stamp)
}

/// The first page: which dockings, the result for each subject, and the cautions.
fn front(comparison: &Comparison, sections: &[Section], units: System) -> Section {
    let mut front = Section::new(comparison.title());
    let dockings = comparison.dockings().into_iter();
    let dockings = dockings.map(|(when, docking)| -> [Cell; 2] { [when.into(), docking.into()] });
    let columns = [Column::name("When").mm(18.0), Column::text("Which docking")];
    front.table(Table::new(columns).rows(dockings));
    front.list(sections.iter().map(|section| {
        let lead = section.lead_paragraph().cloned().unwrap_or_default();
        text!("{}: {}", strong(section.title.shown(units)), lead)
    }));
    front.note(text!(
        "Figures come from the two records, recomputed by {}. A dash stands for what has no meaning there. \
         Where nothing else is said, x is counted forward of the stern reference point and y to port of the \
         centreline.",
        &comparison.program
    ));
    for caution in cautions::FIRST {
        front.note(Text::from(caution));
    }
    front
}

/// The day of the newer docking's report, else its last day, else its first.
fn day(newer: &Side<'_>) -> Option<NaiveDate> {
    let docking = &newer.examined.project.docking;
    let (began, ended) = docking.period;
    docking.closeout.as_ref().map(|closeout| closeout.prepared_on).or(ended).or(began)
}
