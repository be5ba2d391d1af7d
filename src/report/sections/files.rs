//! The files of the bundle with their checksums, and how to check them.

use serde::Serialize;

use crate::records::docking::Closeout;
use crate::report::legible::Narrow;
use crate::report::{Inputs, text};

#[derive(Serialize)]
pub(super) struct Files {
    bundle: String,
    count: String,
    bytes: String,
    listed: Vec<OneFile>,
    seal: Vec<String>,
    attached: Vec<(Narrow, String)>,
    /// Whether there are records of earlier dockings, which are not attached.
    earlier: bool,
}

#[derive(Serialize)]
struct OneFile {
    path: Narrow,
    size: String,
    sha256: Vec<String>,
}

pub(super) fn section(inputs: &Inputs<'_>, closeout: &Closeout) -> Files {
    Files {
        bundle: closeout.bundle_name.clone(),
        count: text::count(inputs.files.len(), "file", "files"),
        bytes: text::bytes(inputs.files.iter().map(|file| file.size).sum()),
        listed: inputs
            .files
            .iter()
            .map(|file| OneFile {
                path: Narrow::new(&file.path),
                size: text::bytes(file.size),
                sha256: text::grouped(&file.sha256, 8),
            })
            .collect(),
        seal: text::grouped(inputs.records_seal, 4),
        attached: inputs
            .attachments
            .iter()
            .map(|attachment| (Narrow::new(&attachment.path), attachment.about.clone()))
            .collect(),
        earlier: !inputs.examined.project.history.is_empty(),
    }
}
