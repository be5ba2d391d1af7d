//! A new project's folder: blank, or carried forward from the docking before.

use std::collections::BTreeMap;

use super::before::Before;
use super::blank;
use super::carried::carried;
use super::folder::{Content, Place};
use super::{readme, workbook};
use crate::bundle::error::BundleError;

/// What was written.
#[derive(Debug)]
pub struct Started {
    /// How many files.
    pub files: usize,
    /// What was carried forward: rows of each CSV file, tables of each TOML file, by its path.
    pub carried: BTreeMap<&'static str, usize>,
}

/// Writes the folder, whole or not at all; its tables as CSV files, or as the sheets of one workbook.
pub fn start(
    place: &Place,
    before: Option<&Before>,
    as_workbook: bool,
) -> Result<Started, BundleError> {
    let mut written = blank::files();
    let mut counts = BTreeMap::new();
    if let Some(before) = before {
        let taken = carried(&before.project, &before.name).map_err(|error| {
            BundleError::new(&before.file, format!("can't be carried: {error}"), "see to memory")
        })?;
        written.extend(taken.files);
        counts = taken.counts;
    }
    let tables = if as_workbook {
        workbook::instead(&mut written).map_err(|error| {
            BundleError::new(workbook::PATH, format!("can't be made: {error}"), "see to memory")
        })?;
        workbook::TOLD
    } else {
        ""
    };
    let readme = readme::text(before, &counts, tables);
    written.insert(readme::PATH.to_string(), readme.into_bytes());
    let bytes = |(path, bytes)| (path, Content::Bytes(bytes));
    let mut files: BTreeMap<String, Content<'_>> = written.into_iter().map(bytes).collect();
    if let Some(before) = before {
        files.extend(before.history()?);
    }
    place.fill(&files)?;
    Ok(Started { files: files.len(), carried: counts })
}
