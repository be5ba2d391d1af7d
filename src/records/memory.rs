//! A project held in memory, for the tests of every room.

use std::collections::BTreeMap;
use std::io;

use super::problem::{Problem, Problems};
use super::project::{Project, read};
use super::store::Store;

/// The files of a project.
pub struct Memory {
    sizes: BTreeMap<String, u64>,
    files: BTreeMap<String, String>,
}

impl Memory {
    /// Files of these paths and texts.
    pub fn new(files: &[(&str, String)]) -> Self {
        let files: BTreeMap<String, String> =
            files.iter().map(|(path, text)| (path.to_string(), text.clone())).collect();
        let sizes = files.iter().map(|(path, text)| (path.clone(), text.len() as u64)).collect();
        Self { sizes, files }
    }
}

impl Store for Memory {
    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        self.files
            .get(path)
            .map(|text| text.clone().into_bytes())
            .ok_or_else(|| io::Error::from(io::ErrorKind::NotFound))
    }
}

/// Reads a project from paths and texts; panics with every problem if it is not sound.
pub fn project(files: &[(&str, String)]) -> Project {
    try_project(files).unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// Reads a project from paths and texts, or returns its problems.
pub fn try_project(files: &[(&str, String)]) -> Result<Project, Vec<Problem>> {
    read(&Memory::new(files), Problems::default())
}
