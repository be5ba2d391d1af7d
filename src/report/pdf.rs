//! From a world to the bytes of a PDF/A-3a that is PDF/UA-1 too.

use std::num::NonZeroUsize;

use chrono::{Datelike, NaiveDate};
use typst::diag::SourceDiagnostic;
use typst::ecow::EcoVec;
use typst::foundations::{Content, Datetime, NativeElement, Smart, StyleChain};
use typst::introspection::Introspector;
use typst::model::HeadingElem;
use typst::{World, comemo};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use super::error::ReportError;
use crate::records::contained::contained_in_pool;

/// What the PDF says of itself beside its text.
#[derive(Debug)]
pub struct Stamp<'a> {
    /// Stable name of the document.
    pub ident: &'a str,
    /// Its day; its hour is 00:00 UTC, since the record gives none.
    pub on: NaiveDate,
    /// The program that made it.
    pub program: &'a str,
}

/// A finished PDF and what the typesetter had to remark.
pub(super) struct Made {
    pub bytes: Vec<u8>,
    /// The pages on which its numbered headings of the first level stand, from 1.
    pub begins: Vec<usize>,
    /// Looked at by the tests: the templates must not give any.
    #[cfg_attr(not(test), expect(dead_code))]
    pub warnings: EcoVec<SourceDiagnostic>,
}

/// Lays out and writes.
pub(super) fn make(world: &dyn World, stamp: &Stamp<'_>) -> Result<Made, ReportError> {
    let options = PdfOptions {
        ident: Smart::Custom(stamp.ident.to_string()),
        creator: Smart::Custom(Some(stamp.program.to_string())),
        timestamp: Some(timestamp(stamp.on)?),
        standards: PdfStandards::new(&[PdfStandard::A_3a, PdfStandard::Ua_1])
            .map_err(|error| ReportError::ours(format!("{}.", error.message())))?,
        ..PdfOptions::default()
    };
    // The typesetter sees whatever texts people wrote, and works on all threads.
    let made = contained_in_pool(|| {
        let compiled = typst::compile::<PagedDocument>(world);
        let written = compiled
            .output
            .and_then(|document| Ok((typst_pdf::pdf(&document, &options)?, begins(&document))));
        (written, compiled.warnings)
    });
    // What the typesetter remembers between runs is of no use after this one.
    comemo::evict(0);
    let (written, warnings) = made.map_err(|panicked| {
        ReportError::ours(format!(
            "The typesetter broke down over the report: {}.",
            panicked.message
        ))
    })?;
    match written {
        Ok((bytes, begins)) => Ok(Made { bytes, begins, warnings }),
        Err(refusals) => Err(ReportError::refused(&refusals)),
    }
}

/// The pages on which sections begin: those of the headings that the contents list at the first level.
fn begins(document: &PagedDocument) -> Vec<usize> {
    let introspector = document.introspector();
    let headings = introspector.query(&HeadingElem::ELEM.select());
    let listed = headings.iter().filter(|one| {
        one.to_packed::<HeadingElem>().is_some_and(|heading| {
            let styles = StyleChain::default();
            heading.resolve_level(styles).get() == 1 && heading.outlined.get(styles)
        })
    });
    let page = |one: &Content| introspector.page(one.location()?).map(NonZeroUsize::get);
    listed.filter_map(page).collect()
}

fn timestamp(on: NaiveDate) -> Result<Timestamp, ReportError> {
    let part = |n: u32| u8::try_from(n).ok();
    (0..=9999)
        .contains(&on.year())
        .then_some(())
        .and_then(|()| {
            let (month, day) = (part(on.month())?, part(on.day())?);
            Datetime::from_ymd_hms(on.year(), month, day, 0, 0, 0)
        })
        .map(Timestamp::new_utc)
        .ok_or_else(|| {
            ReportError::new(
                format!("The day of the report, {on}, is not one that a PDF can carry."),
                "Correct closeout.prepared_on in docking.toml.",
            )
        })
}
