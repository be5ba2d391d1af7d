//! The files of the bundle with their checksums, and how to check them.

use std::collections::BTreeMap;

use serde::Serialize;

use super::MOST_PRINTED;
use crate::records::docking::Closeout;
use crate::report::legible::Narrow;
use crate::report::{Inputs, Listed, text};

#[derive(Serialize)]
pub(super) struct Files {
    bundle: String,
    count: String,
    bytes: String,
    listed: Vec<OneFile>,
    /// Whether a folder of many files has a single row in that list.
    some_together: bool,
    seal: Vec<String>,
    attached: Vec<(Narrow, String)>,
    /// Whether there are records of earlier dockings, which are not attached.
    earlier: bool,
}

#[derive(Serialize)]
struct OneFile {
    path: Narrow,
    size: String,
    /// Empty where the row is of many files.
    sha256: Vec<String>,
}

/// Every file; those of a folder of many in one row.
fn listed(files: &[Listed]) -> Vec<OneFile> {
    let mut folders: BTreeMap<&str, Vec<&Listed>> = BTreeMap::new();
    for file in files {
        folders.entry(folder(&file.path)).or_default().push(file);
    }
    let mut rows = Vec::new();
    for file in files {
        let Some(of_folder) = folders.get(folder(&file.path)) else { continue };
        if of_folder.len() <= MOST_PRINTED {
            rows.push(OneFile {
                path: Narrow::new(&file.path),
                size: text::bytes(file.size),
                sha256: text::grouped(&file.sha256, 8),
            });
        } else if of_folder.first().is_some_and(|first| first.path == file.path) {
            let count = text::count(of_folder.len(), "file", "files");
            rows.push(OneFile {
                path: Narrow::new(format!("{}: {count}", folder(&file.path))),
                size: text::bytes(of_folder.iter().map(|file| file.size).sum()),
                sha256: Vec::new(),
            });
        }
    }
    rows
}

/// The folder of a file just below the bundle's `data/`.
fn folder(path: &str) -> &str {
    let below = path.match_indices('/').nth(1);
    below.map_or("", |(at, _)| &path[..=at])
}

pub(super) fn section(inputs: &Inputs<'_>, closeout: &Closeout) -> Files {
    let listed = listed(inputs.files);
    Files {
        bundle: closeout.bundle_name.clone(),
        count: text::count(inputs.files.len(), "file", "files"),
        bytes: text::bytes(inputs.files.iter().map(|file| file.size).sum()),
        some_together: listed.iter().any(|row| row.sha256.is_empty()),
        listed,
        seal: text::grouped(inputs.records_seal, 4),
        attached: inputs
            .attachments
            .iter()
            .map(|attachment| (Narrow::new(&attachment.path), attachment.about.clone()))
            .collect(),
        earlier: !inputs.examined.project.history.is_empty(),
    }
}
