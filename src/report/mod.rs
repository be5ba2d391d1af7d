//! The closeout report: the data that the templates see, the typesetter's world, and the PDF.
//!
//! People's text reaches the templates as strings of `data.json` and is never markup; every figure is
//! text already, so that a template only places what it is given.

mod data;
mod decoded;
pub mod error;
pub mod figures;
mod fonts;
pub mod legible;
mod pdf;
pub mod pictures;
mod sections;
mod world;

use std::collections::BTreeMap;

pub use crate::text;
use error::ReportError;
use figures::Drawing;
pub use pdf::Stamp;
use pictures::Album;
use serde::Serialize;
use typst::foundations::Bytes;

use crate::findings::Examined;
use crate::records::docking::Closeout;

/// A file of the bundle with its checksum.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// Path in the bundle, `data/...`.
    pub path: String,
    /// Size in bytes.
    pub size: u64,
    /// SHA-256 in hexadecimal.
    pub sha256: String,
}

/// A file that is attached to the report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attachment {
    /// Path inside the project.
    pub path: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Its media type, `text/csv`.
    pub media_type: &'static str,
    /// What it is, one line.
    pub about: String,
    /// What it is to the report.
    pub relationship: Relationship,
}

/// What an attached file is to the report (ISO 19005-3, annex E).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Relationship {
    /// The report was made from it.
    Source,
    /// It holds the figures that the report shows.
    Data,
}

/// All that a report is made of.
#[derive(Debug)]
pub struct Inputs<'a> {
    /// Records, recomputation and findings.
    pub examined: &'a Examined,
    /// Drawings in the order in which they are shown.
    pub drawings: &'a [Drawing],
    /// The files of the bundle.
    pub files: &'a [Listed],
    /// The seal of the records, 64 hexadecimal digits.
    pub records_seal: &'a str,
    /// Files to attach.
    pub attachments: Vec<Attachment>,
    /// Pictures to show.
    pub pictures: Album,
    /// Name and version of this program.
    pub program: &'a str,
}

/// Typesets the report as PDF/A-3a and PDF/UA-1. The same inputs give the same bytes. The project
/// must have its closeout filled in.
pub fn typeset(inputs: &Inputs<'_>) -> Result<Vec<u8>, ReportError> {
    make(inputs).map(|made| made.bytes)
}

/// Typesets another template by its name, to the same standards. It finds `data` in `data.json`, every string
/// of it legible, with the drawings as its `drawings`, placed in their order.
pub fn typeset_as(
    template: &str,
    data: &impl Serialize,
    drawings: &[Drawing],
    stamp: &Stamp<'_>,
) -> Result<Vec<u8>, ReportError> {
    make_as(template, data, drawings, stamp).map(|made| made.bytes)
}

fn make_as(
    template: &str,
    data: &impl Serialize,
    drawings: &[Drawing],
    stamp: &Stamp<'_>,
) -> Result<pdf::Made, ReportError> {
    let mut files = drawn(drawings);
    files.insert("data.json".to_string(), Bytes::new(data::with_drawings(data, drawings)?));
    pdf::make(&world::ReportWorld::new(template, files)?, stamp)
}

fn make(inputs: &Inputs<'_>) -> Result<pdf::Made, ReportError> {
    let closeout = closeout(inputs)?;
    let world = world::ReportWorld::new("report.typ", files(inputs, closeout)?)?;
    let stamp = pdf::Stamp {
        ident: &closeout.bundle_name,
        on: closeout.prepared_on,
        program: inputs.program,
    };
    pdf::make(&world, &stamp)
}

/// All that the typesetter sees for a report, as files: the templates, `report.typ` first among them, what they
/// read, and the fonts in `fonts/`. Any compiler of the same language can make the report's pages of it.
pub fn typesetters_files(inputs: &Inputs<'_>) -> Result<BTreeMap<String, Vec<u8>>, ReportError> {
    let files = files(inputs, closeout(inputs)?)?;
    let mut all: BTreeMap<String, Vec<u8>> =
        files.into_iter().map(|(path, bytes)| (path, bytes.to_vec())).collect();
    let templates = world::TEMPLATES.iter();
    all.extend(templates.map(|(name, text)| (name.to_string(), text.as_bytes().to_vec())));
    all.extend(
        fonts::FONTS
            .all
            .iter()
            .enumerate()
            .map(|(n, font)| (format!("fonts/{n}.otf"), font.data().to_vec())),
    );
    Ok(all)
}

/// The files of the typesetter's world beside the templates.
fn files(inputs: &Inputs<'_>, closeout: &Closeout) -> Result<BTreeMap<String, Bytes>, ReportError> {
    let mut files = drawn(inputs.drawings);
    for (n, attachment) in inputs.attachments.iter().enumerate() {
        files.insert(data::attachment_name(n), Bytes::new(attachment.bytes.clone()));
    }
    let data = data::collect(inputs, closeout)?;
    for (n, (_, picture)) in inputs.pictures.pictures().iter().enumerate() {
        if let Ok(picture) = picture {
            let bytes = Bytes::new(picture.bytes.clone());
            files.insert(data::picture_name(n, picture.extension), bytes);
        }
    }
    files.insert("data.json".to_string(), Bytes::new(data));
    Ok(files)
}

/// The drawings as files.
fn drawn(drawings: &[Drawing]) -> BTreeMap<String, Bytes> {
    let svg = |drawing: &Drawing| Bytes::from_string(legible::shown(&drawing.svg));
    drawings.iter().enumerate().map(|(n, one)| (data::drawing_name(n), svg(one))).collect()
}

fn closeout<'a>(inputs: &Inputs<'a>) -> Result<&'a Closeout, ReportError> {
    inputs.examined.project.docking.closeout.as_ref().ok_or_else(|| {
        ReportError::new(
            "The record is not closed: docking.toml has no table [closeout].",
            "Add it with prepared_by, prepared_on and bundle_name.",
        )
    })
}

#[cfg(test)]
mod tests;
