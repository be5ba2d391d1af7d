//! The data of the templates: one finished value, every string of it legible.

use serde::Serialize;

use super::error::ReportError;
use super::figures::Drawing;
use super::inputs::{Attachment, Inputs, Relationship, attachment_name};
use super::legible;
use super::sections::drawings::{Placed, placed};
use super::sections::{self, Sections};
use crate::records::docking::Closeout;
use crate::text;

/// The most characters of a text in what the PDF says of itself, which holds no more than some
/// thousands, and of a name in the header.
const LONGEST_SAID: usize = 300;
const LONGEST_HEADER: usize = 70;

#[derive(Serialize)]
struct Report<'a> {
    document: Document,
    attachments: Vec<Attached<'a>>,
    #[serde(flatten)]
    sections: Sections<'a>,
}

/// What the PDF says of itself, and what stands above and below every page.
#[derive(Serialize)]
struct Document {
    title: String,
    author: String,
    about: String,
    keywords: Vec<String>,
    ship: String,
    period: Option<String>,
    /// The offset of the docking's clocks, so that the times on the pages need none.
    clock: Option<String>,
    seal_begins: Vec<String>,
}

#[derive(Serialize)]
struct Attached<'a> {
    path: &'a str,
    file: String,
    media_type: &'static str,
    about: &'a str,
    relationship: Relationship,
}

/// The data as JSON.
pub(super) fn collect(inputs: &Inputs<'_>, closeout: &Closeout) -> Result<Vec<u8>, ReportError> {
    let docking = &inputs.examined.project.docking;
    let said = |text: &str| text::shortened(text, LONGEST_SAID);
    let (ship, dock) = (said(&docking.ship.name), said(&docking.dock.name));
    let report = Report {
        document: Document {
            title: format!("Closeout report of the docking of {ship}"),
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
            clock: docking.offset.map(|offset| format!("UTC{offset}")),
            seal_begins: text::grouped(
                &inputs.records_seal.chars().take(16).collect::<String>(),
                4,
            ),
        },
        attachments: inputs.attachments.iter().enumerate().map(attached).collect(),
        sections: sections::all(inputs, closeout),
    };
    as_json(&report)
}

/// Any data as JSON, with drawings as its `drawings`.
pub(super) fn with_drawings(
    data: &impl Serialize,
    drawings: &[Drawing],
) -> Result<Vec<u8>, ReportError> {
    #[derive(Serialize)]
    struct Drawn<'a, T: Serialize> {
        #[serde(flatten)]
        data: &'a T,
        drawings: Vec<Placed<'a>>,
    }
    as_json(&Drawn { data, drawings: placed(drawings.iter().enumerate()) })
}

fn as_json(data: &impl Serialize) -> Result<Vec<u8>, ReportError> {
    let not_written = |error: serde_json::Error| {
        ReportError::ours(format!("The report's data can't be written ({error})."))
    };
    let mut value = serde_json::to_value(data).map_err(not_written)?;
    legible::make_legible(&mut value);
    serde_json::to_vec(&value).map_err(not_written)
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
