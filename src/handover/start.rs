//! A new project's folder: blank, or carried forward from the docking before.

use std::collections::BTreeMap;

use super::before::Before;
use super::blank;
use super::carried::carried;
use super::folder::{Content, Place};
use super::readme;
use crate::bundle::error::BundleError;

/// What was written.
#[derive(Debug)]
pub struct Started {
    /// How many files.
    pub files: usize,
    /// What was carried forward: rows of each CSV file, tables of each TOML file, by its path.
    pub carried: BTreeMap<&'static str, usize>,
}

/// Writes the folder, whole or not at all.
pub fn start(place: &Place, before: Option<&Before>) -> Result<Started, BundleError> {
    let mut files: BTreeMap<String, Content<'_>> = BTreeMap::new();
    let mut add = |more: BTreeMap<String, Vec<u8>>| {
        files.extend(more.into_iter().map(|(path, bytes)| (path, Content::Bytes(bytes))));
    };
    add(blank::files());
    let mut counts = BTreeMap::new();
    if let Some(before) = before {
        let taken = carried(&before.project, &before.name).map_err(|error| {
            BundleError::new(&before.file, format!("can't be carried: {error}"), "see to memory")
        })?;
        add(taken.files);
        counts = taken.counts;
    }
    let readme = readme::text(before, &counts);
    add(BTreeMap::from([(readme::PATH.to_string(), readme.into_bytes())]));
    if let Some(before) = before {
        files.extend(before.history()?);
    }
    place.fill(&files)?;
    Ok(Started { files: files.len(), carried: counts })
}
