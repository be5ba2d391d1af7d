//! The data of the templates: one finished value, every string of it legible.

use serde::Serialize;

use super::error::ReportError;
use super::legible;
use super::pictures::Picture;
use super::sections::{self, Sections};
use super::{Attachment, Inputs, text};
use crate::records::docking::Closeout;

/// Name of an attachment's file in the typesetter's world.
pub(super) fn attachment_name(n: usize) -> String {
    format!("attachments/{n}")
}

/// Name of a drawing's file in the typesetter's world.
pub(super) fn drawing_name(n: usize) -> String {
    format!("drawings/{n}.svg")
}

/// Name of a picture's file in the typesetter's world.
pub(super) fn picture_name(n: usize, extension: &str) -> String {
    format!("pictures/{n}.{extension}")
}

#[derive(Serialize)]
struct Report<'a> {
    document: Document<'a>,
    attachments: Vec<Attached<'a>>,
    #[serde(flatten)]
    sections: Sections<'a>,
}

/// What the PDF says of itself, and what stands above and below every page.
#[derive(Serialize)]
struct Document<'a> {
    title: String,
    author: &'a str,
    about: String,
    keywords: Vec<&'a str>,
    ship: &'a str,
    period: Option<String>,
    seal_begins: Vec<String>,
}

#[derive(Serialize)]
struct Attached<'a> {
    path: &'a str,
    file: String,
    media_type: &'static str,
    about: &'a str,
}

/// The data as JSON.
pub(super) fn collect(
    inputs: &Inputs<'_>,
    closeout: &Closeout,
    pictures: &[Result<Picture, String>],
) -> Result<Vec<u8>, ReportError> {
    let docking = &inputs.examined.project.docking;
    let period = text::period(docking.period);
    let title = format!("Closeout report of the docking of {}", docking.ship.name);
    let report = Report {
        document: Document {
            title,
            author: &closeout.prepared_by,
            about: format!(
                "What was recorded when {} was dry-docked in {}{}, recomputed and checked.",
                docking.ship.name,
                docking.dock.name,
                period.as_ref().map(|period| format!(", {period}")).unwrap_or_default()
            ),
            keywords: vec![
                "dry-docking",
                "closeout report",
                "docking position",
                "block plan",
                &docking.ship.name,
                &docking.dock.name,
            ],
            ship: &docking.ship.name,
            period: text::iso_period(docking.period),
            seal_begins: text::grouped(
                &inputs.records_seal.chars().take(16).collect::<String>(),
                4,
            ),
        },
        attachments: inputs.attachments.iter().enumerate().map(attached).collect(),
        sections: sections::all(inputs, closeout, pictures),
    };
    let not_written = |error: serde_json::Error| {
        ReportError::new(
            format!("The report's data can't be written ({error})."),
            "This is a fault of the program and not of the records: report it with this message.",
        )
    };
    let mut value = serde_json::to_value(&report).map_err(not_written)?;
    legible::make_legible(&mut value);
    serde_json::to_vec(&value).map_err(not_written)
}

fn attached((n, attachment): (usize, &Attachment)) -> Attached<'_> {
    Attached {
        path: &attachment.path,
        file: attachment_name(n),
        media_type: attachment.media_type,
        about: &attachment.about,
    }
}
