//! The data of the templates: one finished value, every string of it legible.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

use super::error::ReportError;
use super::figures::Drawing;
use super::inputs::{Attachment, Inputs, Relationship, Volume, attachment_name};
use super::legible;
use super::sections::drawings::{Placed, placed};
use super::sections::{self, Sections};
use crate::pages::Section;
use crate::pages::shown::{Run, runs};
use crate::records::docking::Closeout;
use crate::text;
use crate::text::{code, count};

/// The most characters of a text in what the PDF says of itself, which holds no more than some
/// thousands, and of a name in the header.
const LONGEST_SAID: usize = 300;
const LONGEST_HEADER: usize = 70;

#[derive(Serialize)]
struct Report<'a> {
    document: Document,
    /// What sort of document it is, above the ship's name.
    kind: &'static str,
    /// Of what it is a part, and where the rest is.
    part_of: Option<Vec<Run>>,
    /// Where each section of the whole report begins, in a document that holds some of them only.
    contents: Option<Vec<Begins>>,
    attachments: Vec<Attached<'a>>,
    #[serde(flatten)]
    sections: Sections<'a>,
}

/// What the PDF says of itself, and what stands above and below every page.
#[derive(Serialize)]
pub(super) struct Document {
    pub title: String,
    author: String,
    about: String,
    keywords: Vec<String>,
    ship: String,
    period: Option<String>,
    /// The offset of the docking's clocks, so that the times on the pages need none.
    pub clock: Option<String>,
    pub foot: String,
}

/// Where a section begins.
#[derive(Serialize)]
struct Begins {
    number: usize,
    title: Vec<Run>,
    page: usize,
}

#[derive(Serialize)]
struct Attached<'a> {
    path: &'a str,
    file: String,
    media_type: &'static str,
    about: &'a str,
    relationship: Relationship,
}

/// The report's data as JSON.
pub(super) fn collect(
    inputs: &Inputs<'_>,
    closeout: &Closeout,
    sections: &[Section],
) -> Result<Vec<u8>, ReportError> {
    let report = Report {
        document: document(inputs, closeout, Volume::Report),
        kind: Volume::Report.kind(),
        part_of: None,
        contents: None,
        attachments: inputs.attachments.iter().enumerate().map(attached).collect(),
        sections: sections::of(inputs, closeout, Volume::Report, sections, sections.len()),
    };
    as_json(&report)
}

/// The summary's data as JSON, the first of the report's sections; `begins` are the pages of the report on which its
/// sections begin.
pub(super) fn collect_summary(
    inputs: &Inputs<'_>,
    closeout: &Closeout,
    sections: &[Section],
    begins: &[usize],
) -> Result<Vec<u8>, ReportError> {
    let system = inputs.examined.project.docking.units;
    let here = sections::IN_SUMMARY;
    let numbered = || sections.iter().zip(1..);
    let report = code(Volume::Report.file(closeout));
    let summary = Report {
        document: document(inputs, closeout, Volume::Summary),
        kind: Volume::Summary.kind(),
        part_of: Some(runs(
            &text!(
                "These pages are the first of {}, which has {}; it is kept beside them and in the bundle.",
                report,
                count(sections.len(), "section", "sections")
            ),
            system,
        )),
        contents: Some(
            numbered()
                .zip(begins)
                .map(|((section, number), page)| Begins {
                    number,
                    title: runs(&section.title, system),
                    page: *page,
                })
                .collect(),
        ),
        attachments: Vec::new(),
        sections: sections::of(inputs, closeout, Volume::Summary, sections, here),
    };
    let mut value = as_value(&summary)?;
    let names: BTreeMap<&str, String> = numbered()
        .skip(here)
        .filter_map(|(section, number)| {
            let title = section.title.shown(system);
            Some((section.anchor?, format!("section {number} of the whole report ({title})")))
        })
        .collect();
    name_sections(&mut value, &names);
    written(value)
}

/// Puts names of sections in place of references to them, where these stand in another document.
fn name_sections(value: &mut Value, names: &BTreeMap<&str, String>) {
    match value {
        Value::Array(items) => items.iter_mut().for_each(|item| name_sections(item, names)),
        Value::Object(fields) => {
            let name = fields.get("section").and_then(Value::as_str);
            match name.and_then(|anchor| names.get(anchor)) {
                Some(name) if fields.len() == 1 => {
                    *value = serde_json::json!({ "words": name });
                }
                _ => fields.values_mut().for_each(|field| name_sections(field, names)),
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

/// What a volume says of itself.
pub(super) fn document(inputs: &Inputs<'_>, closeout: &Closeout, volume: Volume) -> Document {
    let docking = &inputs.examined.project.docking;
    let said = |text: &str| text::shortened(text, LONGEST_SAID);
    let (ship, dock) = (said(&docking.ship.name), said(&docking.dock.name));
    let kind = match volume {
        Volume::Report => "Closeout report",
        Volume::Summary => "Summary of the closeout report",
        Volume::Tables => "Tables of the closeout report",
    };
    Document {
        title: format!("{kind} of the docking of {ship}"),
        author: said(&closeout.prepared_by),
        about: format!(
            "What was recorded when {ship} was dry-docked in {dock}{}, recomputed and checked.",
            text::period(docking.period).map(|days| format!(", {days}")).unwrap_or_default()
        ),
        keywords: ["dry-docking", "closeout report", "docking position", "block plan"]
            .map(str::to_string)
            .into_iter()
            .chain([ship, dock])
            .collect(),
        ship: text::shortened(&docking.ship.name, LONGEST_HEADER),
        period: text::iso_period(docking.period),
        clock: docking.clock.first().map(|offset| {
            let unless = if docking.clock.is_changed() { " unless stated" } else { "" };
            format!("UTC{offset}{unless}")
        }),
        foot: volume.file(closeout).trim_end_matches(".pdf").to_string(),
    }
}

/// Any data as JSON, with drawings as its `drawings` and files as its `attachments`.
pub(super) fn with_drawings(
    data: &impl Serialize,
    drawings: &[Drawing],
    attachments: &[Attachment],
) -> Result<Vec<u8>, ReportError> {
    #[derive(Serialize)]
    struct Drawn<'a, T: Serialize> {
        #[serde(flatten)]
        data: &'a T,
        drawings: Vec<Placed<'a>>,
        attachments: Vec<Attached<'a>>,
    }
    as_json(&Drawn {
        data,
        drawings: placed(drawings.iter().enumerate()),
        attachments: attachments.iter().enumerate().map(attached).collect(),
    })
}

fn as_json(data: &impl Serialize) -> Result<Vec<u8>, ReportError> {
    written(as_value(data)?)
}

fn as_value(data: &impl Serialize) -> Result<Value, ReportError> {
    serde_json::to_value(data).map_err(not_written)
}

/// A value as JSON, every string of it legible.
fn written(mut value: Value) -> Result<Vec<u8>, ReportError> {
    set_metadata_apart(&mut value);
    explain_code_points(&mut value);
    legible::make_legible(&mut value);
    serde_json::to_vec(&value).map_err(not_written)
}

fn not_written(error: serde_json::Error) -> ReportError {
    ReportError::ours(format!("The report's data can't be written ({error})."))
}

/// What the PDF says of itself is never drawn, and so may hold characters that no font has: it gets fields of its own.
fn set_metadata_apart(value: &mut Value) {
    let Some(Value::Object(document)) = value.get_mut("document") else { return };
    let said = ["title", "author", "about", "keywords"];
    let said =
        said.iter().filter_map(|name| Some((name.to_string(), document.get(*name)?.clone())));
    let metadata = said.collect();
    document.insert("metadata".to_string(), Value::Object(metadata));
}

/// Where the first code point stands for a character, a note behind it says what such are.
fn explain_code_points(value: &mut Value) {
    const NOTE: &str = "Letters and digits in square brackets, as [U+20AC] for the sign of the euro, stand for a \
                        character that the letters of this document lack or that can\u{2019}t be seen: they are its \
                        number in Unicode.";
    let Some(sections) = value.get_mut("sections").and_then(Value::as_array_mut) else { return };
    for section in sections {
        let Some(blocks) = section.get_mut("blocks").and_then(Value::as_array_mut) else {
            continue;
        };
        if let Some(first) = blocks.iter().position(legible::has_code_points) {
            let note = serde_json::json!({ "kind": "note", "text": [{ "words": NOTE }] });
            blocks.insert(first + 1, note);
            return;
        }
    }
}

fn attached((n, attachment): (usize, &Attachment)) -> Attached<'_> {
    Attached {
        path: &attachment.path,
        file: attachment_name(n),
        media_type: attachment.media_type,
        about: &attachment.about,
        relationship: attachment.relationship,
    }
}
