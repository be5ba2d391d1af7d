//! A template set with its data and drawings: what every document of a closeout and the forms have in common.

use std::collections::BTreeMap;

use serde::Serialize;
use typst::foundations::Bytes;

use super::error::ReportError;
use super::figures::Drawing;
use super::inputs::{Attachment, Inputs, attachment_name, drawing_name};
use super::pdf::{Stamp, make};
use super::world::ReportWorld;
use super::{data, legible};
use crate::records::docking::Closeout;

/// Typesets another template by its name, to the same standards. It finds `data` in `data.json`, every string
/// of it legible, with the drawings as its `drawings`, placed in their order.
pub fn typeset_as(
    template: &str,
    data: &impl Serialize,
    drawings: &[Drawing],
    stamp: &Stamp<'_>,
) -> Result<Vec<u8>, ReportError> {
    typeset_with(template, data, drawings, &[], stamp)
}

/// The same with files that the template finds as its `attachments`.
pub fn typeset_with(
    template: &str,
    data: &impl Serialize,
    drawings: &[Drawing],
    attachments: &[Attachment],
    stamp: &Stamp<'_>,
) -> Result<Vec<u8>, ReportError> {
    let mut files = drawn(drawings);
    files.extend(attached(attachments));
    let data = data::with_drawings(data, drawings, attachments)?;
    files.insert("data.json".to_string(), Bytes::new(data));
    make(&ReportWorld::new(template, files)?, stamp).map(|made| made.bytes)
}

/// Attachments as files of the typesetter's world.
pub(super) fn attached(attachments: &[Attachment]) -> impl Iterator<Item = (String, Bytes)> {
    let bytes = |one: &Attachment| Bytes::new(one.bytes.clone());
    attachments.iter().enumerate().map(move |(n, one)| (attachment_name(n), bytes(one)))
}

/// The drawings as files of the typesetter's world.
pub(super) fn drawn(drawings: &[Drawing]) -> BTreeMap<String, Bytes> {
    let svg = |drawing: &Drawing| Bytes::from_string(legible::shown(&drawing.svg));
    drawings.iter().enumerate().map(|(n, one)| (drawing_name(n), svg(one))).collect()
}

/// What closes the record, without which there is no report.
pub(super) fn closeout<'a>(inputs: &Inputs<'a>) -> Result<&'a Closeout, ReportError> {
    inputs.examined.project.docking.closeout.as_ref().ok_or_else(|| {
        ReportError::new(
            "The record is not closed: docking.toml has no table [closeout].",
            "Add it with prepared_by, prepared_on and bundle_name.",
        )
    })
}
