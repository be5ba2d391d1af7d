//! The closeout report: the data that the templates see, the typesetter's world, and the PDF.
//!
//! People's text reaches the templates as strings of `data.json` and is never markup; every figure is
//! text already, so that a template only places what it is given.

mod data;
pub mod error;
pub mod figures;
mod fonts;
pub mod inputs;
pub mod legible;
pub mod letters;
mod paper;
mod pdf;
pub mod seal_sheet;
mod sections;
mod template;
mod world;

use std::collections::BTreeMap;

use error::ReportError;
pub use inputs::{Attachment, Inputs, Listed, Relationship, Volume};
pub use paper::{PaperTable, typeset_tables};
pub use pdf::Stamp;
use template::{attached, closeout, drawn};
pub use template::{typeset_as, typeset_with};
use typst::foundations::Bytes;

use crate::findings::Examined;
use crate::findings::exceptions::Exception;
use crate::pages::Section;
use crate::records::docking::Closeout;
use crate::records::papers::Paper;
use crate::text::Text;

/// Typesets the report as PDF/A-3a and PDF/UA-1. The same inputs give the same bytes. The project
/// must have its closeout filled in.
pub fn typeset(inputs: &Inputs<'_>) -> Result<Vec<u8>, ReportError> {
    make(inputs).map(|made| made.bytes)
}

/// The documents of one closeout, each a PDF.
#[derive(Debug)]
pub struct Volumes {
    /// The report.
    pub report: Vec<u8>,
    /// Its first pages, to be handed out alone.
    pub summary: Vec<u8>,
}

/// Typesets the report and its summary, as [`typeset`] does the report.
pub fn typeset_volumes(inputs: &Inputs<'_>) -> Result<Volumes, ReportError> {
    let (report, summary) = make_volumes(inputs)?;
    Ok(Volumes { report: report.bytes, summary: summary.bytes })
}

fn make_volumes(inputs: &Inputs<'_>) -> Result<(pdf::Made, pdf::Made), ReportError> {
    let closeout = closeout(inputs)?;
    let sections = sections::listed(inputs);
    let files = files(inputs);
    let data = data::collect(inputs, closeout, &sections)?;
    let report = make_volume(inputs, closeout, Volume::Report, with_data(files.clone(), data))?;
    let data = data::collect_summary(inputs, closeout, &sections, &report.begins)?;
    let summary = make_volume(inputs, closeout, Volume::Summary, with_data(files, data))?;
    Ok((report, summary))
}

fn make(inputs: &Inputs<'_>) -> Result<pdf::Made, ReportError> {
    let closeout = closeout(inputs)?;
    let data = data::collect(inputs, closeout, &sections::listed(inputs))?;
    make_volume(inputs, closeout, Volume::Report, with_data(files(inputs), data))
}

fn make_volume(
    inputs: &Inputs<'_>,
    closeout: &Closeout,
    volume: Volume,
    files: BTreeMap<String, Bytes>,
) -> Result<pdf::Made, ReportError> {
    let world = world::ReportWorld::new("report.typ", files)?;
    let file = volume.file(closeout);
    let stamp = pdf::Stamp {
        ident: match volume {
            Volume::Report => &closeout.bundle_name,
            Volume::Summary | Volume::Tables => file.trim_end_matches(".pdf"),
        },
        on: closeout.prepared_on,
        program: inputs.program,
    };
    pdf::make(&world, &stamp)
}

/// The report's sections in their order, typed as they are before they are set. How to verify is told once the
/// record is closed.
pub fn sections(inputs: &Inputs<'_>) -> Vec<Section> {
    sections::listed(inputs)
}

/// The same with the particulars of the plan, for which a page for a browser has room.
pub fn sections_with_particulars(inputs: &Inputs<'_>) -> Vec<Section> {
    sections::with_particulars(inputs)
}

/// What page one says: heads with the sentences under each.
pub fn at_a_glance(examined: &Examined) -> [(&'static str, Vec<Text>); 3] {
    sections::at_a_glance(examined)
}

/// What an exception of the coating says.
pub fn says_exception(examined: &Examined, one: &Exception<'_>) -> Text {
    sections::says_exception(examined, one)
}

/// What a numbered picture is, for those who can't see it.
pub fn says_picture(number: usize, paper: &Paper) -> String {
    sections::alternative(Some(number), Some(paper))
}

/// All that the typesetter sees for a report, as files: the templates, `report.typ` first among them, what they
/// read, and the fonts in `fonts/`. Any compiler of the same language can make the report's pages of it.
pub fn typesetters_files(inputs: &Inputs<'_>) -> Result<BTreeMap<String, Vec<u8>>, ReportError> {
    let closeout = closeout(inputs)?;
    let data = data::collect(inputs, closeout, &sections::listed(inputs))?;
    let files = with_data(files(inputs), data);
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

/// The files of the typesetter's world beside the templates and the data.
fn files(inputs: &Inputs<'_>) -> BTreeMap<String, Bytes> {
    let mut files = drawn(inputs.drawings);
    files.extend(attached(&inputs.attachments));
    for (n, (_, picture)) in inputs.pictures.pictures().iter().enumerate() {
        if let Ok(picture) = picture {
            let bytes = Bytes::new(picture.bytes.clone());
            files.insert(inputs::picture_name(n, picture.extension), bytes);
        }
    }
    files
}

fn with_data(mut files: BTreeMap<String, Bytes>, data: Vec<u8>) -> BTreeMap<String, Bytes> {
    files.insert("data.json".to_string(), Bytes::new(data));
    files
}

#[cfg(test)]
mod tests;
