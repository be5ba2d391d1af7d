//! The comparison on paper.

use chrono::NaiveDate;
use serde::Serialize;

use super::{Comparison, Shapes, Side};
use crate::pages::shown::{SectionShown, TableShown};
use crate::pages::{Cell, Column, Section, Table};
use crate::report::error::ReportError;
use crate::report::{Attachment, Relationship, Stamp, typeset_with};
use crate::text;
use crate::text::code;
use crate::words::cautions;

/// The most characters of a text in the properties of the PDF.
const LONGEST_PROPERTY: usize = 300;

/// The name under which the whole comparison is attached.
const ATTACHED: &str = "compared.json";

/// Names in the head of a page.
const LONGEST_HEADER: usize = 70;

#[derive(Serialize)]
struct Pages<'a> {
    document: Document,
    title: String,
    warnings: &'a [String],
    /// Which dockings.
    dockings: TableShown,
    /// What stands on the first page.
    front: Vec<SectionShown>,
    notes: SectionShown,
    cautions: &'static [&'static str],
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
    let (drawings, drawn) = comparison.drawings(shapes, newer);
    let units = newer.examined.project.docking.units;
    let sections = comparison.sections(drawn);
    let front = [comparison.in_short(&sections), comparison.not_compared()];
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
        dockings: dockings(comparison).shown(units),
        front: front.iter().map(|section| section.shown(units)).collect(),
        notes: notes(comparison).shown(units),
        cautions: &cautions::FIRST,
        sections: sections.iter().map(|section| section.shown(units)).collect(),
    };
    let ident = format!("{} compared with {}", is.name, was.name);
    let stamp = Stamp { ident: &ident, on, program: &comparison.program };
    let attached = [attachment(comparison)?];
    typeset_with("compare.typ", &pages, &drawings, &attached, &stamp)
}

/// The whole comparison, as `--json` prints it.
fn attachment(comparison: &Comparison) -> Result<Attachment, ReportError> {
    let mut bytes = serde_json::to_vec_pretty(comparison).map_err(|error| {
        ReportError::ours(format!("The comparison can\u{2019}t be written ({error})."))
    })?;
    bytes.push(b'\n');
    Ok(Attachment {
        path: ATTACHED.to_string(),
        bytes,
        media_type: "application/json",
        about: "The whole comparison with every row, in SI units".to_string(),
        relationship: Relationship::Data,
    })
}

/// Which docking is meant by then, and which by now.
fn dockings(comparison: &Comparison) -> Table {
    let dockings = comparison.dockings().into_iter();
    let dockings = dockings.map(|(when, docking)| -> [Cell; 2] { [when.into(), docking.into()] });
    let columns = [Column::name("When").mm(18.0), Column::text("Which docking")];
    Table::new(columns).rows(dockings)
}

/// How to read the pages.
fn notes(comparison: &Comparison) -> Section {
    let mut notes = Section::new("How to read this");
    if let Some(units) = comparison.units_note() {
        notes.note(units);
    }
    notes.note(text!(
        "Figures come from the two records, recomputed by {}. An empty cell stands for what has no meaning there. \
         Where nothing else is said, x is counted forward of the stern reference point and y to port of the \
         centreline. Tables show what differs or matters and count the rest; every row is in {}, which is attached to this \
         document, in SI units.",
        &comparison.program,
        code(ATTACHED)
    ));
    notes
}

/// The day of the newer docking's report, else its last day, else its first.
fn day(newer: &Side<'_>) -> Option<NaiveDate> {
    let docking = &newer.examined.project.docking;
    let (began, ended) = docking.period;
    docking.closeout.as_ref().map(|closeout| closeout.prepared_on).or(ended).or(began)
}
