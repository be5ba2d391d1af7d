//! The files of records that a project may hold, and which of them a path names or was meant to name.

use std::collections::BTreeMap;

use super::keyed::{Keyed, KeyedSpec};
use super::place::Place;
use super::problem::{Problem, Problems};
use super::sheet::Sheet;
use super::spec::{Column, FileSpec};
use super::store::Strange;
use super::{history, value};

/// The files of records, by their descriptions.
#[derive(Debug, Clone, Copy)]
pub(super) struct Known {
    pub rows: &'static [&'static FileSpec],
    pub tables: &'static [&'static KeyedSpec],
    /// Those without which there is no project.
    pub required: &'static [&'static str],
    /// The folder whose files are papers, whatever they are called.
    pub papers: &'static str,
}

impl Known {
    /// Whether a path is that of a file of records.
    pub fn contains(self, path: &str) -> bool {
        self.paths().any(|known| known == path) || history::is_record(path)
    }

    /// The paths of all files, those of earlier dockings apart.
    fn paths(self) -> impl Iterator<Item = &'static str> {
        let tables = self.tables.iter().map(|spec| spec.path);
        tables.chain(self.rows.iter().map(|spec| spec.path))
    }

    /// Each file with the columns of its rows, or of one of its tables.
    pub fn columns(self) -> impl Iterator<Item = (&'static str, &'static [Column])> {
        let rows = self.rows.iter().map(|spec| (spec.path, spec.columns));
        let tables = self.tables.iter();
        rows.chain(tables.flat_map(|spec| spec.tables.iter().map(|table| (spec.path, table.keys))))
    }

    /// The files that stand in the folder under another name, or could not be read, or are required and missing.
    pub fn unread(
        self,
        sizes: &BTreeMap<String, u64>,
        sheets: &[Sheet],
        keyed: &[Keyed],
    ) -> Vec<&'static str> {
        let is_read = |path: &str| {
            let is_keyed = || keyed.iter().any(|file| file.path == path);
            sheets.iter().any(|sheet| sheet.spec.path == path) || is_keyed()
        };
        let meant: Vec<&str> = sizes.keys().filter_map(|path| self.meant(path)).collect();
        let is_expected = |path: &str| {
            sizes.contains_key(path) || meant.contains(&path) || self.required.contains(&path)
        };
        self.paths().filter(|path| !is_read(path) && is_expected(path)).collect()
    }

    /// The file of records that a path with a mistyped name or in another folder is most likely meant to be.
    pub fn meant(self, path: &str) -> Option<&'static str> {
        if self.contains(path) || path.starts_with(self.papers) {
            return None;
        }
        let stem = |path: &str| {
            let name = path.rsplit('/').next().unwrap_or(path).to_lowercase();
            name.rsplit_once('.').map_or(name.clone(), |(stem, _)| stem.to_string())
        };
        let written = stem(path);
        // `blocks (1).csv` and `blocks - copy.csv` are what systems call a copy.
        let copy = |stem: &str| {
            let rest = written.strip_prefix(stem);
            rest.is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
        };
        let known: Vec<(String, &str)> = self.paths().map(|known| (stem(known), known)).collect();
        let named =
            |stem: &str| known.iter().find(|(known, _)| known == stem).map(|(_, path)| *path);
        let copied = known.iter().find(|(stem, _)| copy(stem)).map(|(_, path)| *path);
        let near = || value::nearest(&written, known.iter().map(|(stem, _)| stem.as_str()));
        copied.or_else(|| near().and_then(named))
    }

    /// The known files of the folder in which a file lies; all if there is none.
    fn neighbours(self, path: &str) -> Vec<&'static str> {
        let folder = path.rfind('/').map_or("", |at| &path[..=at]);
        let here = |known: &&str| !folder.is_empty() && known.starts_with(folder);
        let here: Vec<&str> = self.paths().filter(here).collect();
        if here.is_empty() { self.paths().collect() } else { here }
    }

    /// A CSV or TOML file that no description knows is most often a known one with its name mistyped, and
    /// nothing would be read from it; other files are kept as they are.
    pub fn report_unknown(self, sizes: &BTreeMap<String, u64>, problems: &mut Problems) {
        let mut strange = Strange::default();
        for path in
            sizes.keys().filter(|path| !self.contains(path) && !path.starts_with(self.papers))
        {
            let lower = path.to_lowercase();
            if !lower.ends_with(".csv") && !lower.ends_with(".toml") {
                continue;
            }
            let advice = match self.meant(path) {
                Some(near) if sizes.contains_key(near) => {
                    format!("{near} exists as well: remove this file, or move it to papers/")
                }
                Some(near) => format!(
                    "if it is {near}, rename it; otherwise move it to papers/ to keep it unread"
                ),
                None => "move it to papers/ to keep it unread".to_string(),
            };
            let problem = Problem::new(Place::file(path), "is not a known file of records")
                .expected(self.neighbours(path).join(", "))
                .advice(advice);
            strange.add(problem, problems);
        }
        strange.report_rest(problems);
    }
}
