//! The planning page: what the plan means, on paper before she comes in.

use serde::Serialize;

use super::known::Known;
use super::{Document, EDITION, heads, paper_name};
use crate::findings::Examined;
use crate::pages;
use crate::pages::shown::SectionShown;
use crate::report::error::ReportError;
use crate::report::figures::planned;
use crate::report::{Stamp, typeset_as};
use crate::text::{self, Reader};
use crate::words::cautions;

pub const FILE: &str = "planning.pdf";

const ABOUT: &str = "What is planned for the docking, examined before she comes in: positions, openings, landing, coats.";

/// The most characters of a name in the head of a page.
const LONGEST_HEADER: usize = 70;

#[derive(Serialize)]
struct Pages<'a> {
    document: Properties,
    paper: &'static str,
    title: &'a str,
    dock: String,
    caution: &'static str,
    sections: Vec<SectionShown>,
}

/// What the PDF says of itself, and what stands above and below every page.
#[derive(Serialize)]
struct Properties {
    #[serde(flatten)]
    document: Document,
    keywords: Vec<String>,
    ship: String,
    period: Option<String>,
    clock: Option<String>,
    foot: String,
}

/// Typesets it; `None` where no position is planned.
pub fn typeset(
    examined: &Examined,
    known: &Known<'_>,
    program: &str,
) -> Result<Option<Vec<u8>>, ReportError> {
    let drawings = planned::drawings(examined);
    let Some(section) = pages::planned::section(examined, 0..drawings.len()) else {
        return Ok(None);
    };
    let docking = &examined.project.docking;
    let reader = Reader { system: docking.units, clock: docking.clock.first() };
    let (title, ..) = heads("Planning page", known);
    let pages = Pages {
        document: Properties {
            document: Document { title: title.clone(), author: program.to_string(), about: ABOUT },
            keywords: Vec::new(),
            ship: text::shortened(&docking.ship.name, LONGEST_HEADER),
            period: text::iso_period(docking.period),
            clock: None,
            foot: format!("planning page, {program}"),
        },
        paper: paper_name(known.paper(), false),
        title: &title,
        dock: text::shortened(&docking.dock.name, LONGEST_HEADER),
        caution: cautions::SHORT,
        sections: vec![section.shown(reader)],
    };
    let ident = format!("{program} {FILE}");
    let stamp = Stamp { ident: &ident, on: EDITION, program };
    typeset_as("forms/planning.typ", &pages, &drawings, &stamp).map(Some)
}
