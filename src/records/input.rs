//! The contents of a project's files, as the records' own readers look them up.

use super::budget::Budget;
use super::entry::Entry;
use super::ids::Ids;
use super::keyed::{Keyed, KeyedSpec};
use super::problem::Problems;
use super::sheet::Sheet;
use super::spec::{Column, FileSpec};
use super::store::Store;

/// What records are read from.
pub(super) struct Input<'a> {
    pub sheets: &'a [Sheet],
    pub keyed: &'a [Keyed],
    pub ids: &'a Ids,
    pub store: &'a dyn Store,
    pub budget: &'a mut Budget,
    pub problems: &'a mut Problems,
}

impl<'a> Input<'a> {
    pub fn sheet(&self, spec: &FileSpec) -> Option<&'a Sheet> {
        self.sheets.iter().find(|sheet| sheet.spec.path == spec.path)
    }

    /// The rows of a file that have no problem, in its order.
    pub fn rows(&self, spec: &FileSpec) -> impl Iterator<Item = &'a Entry> + use<'a> {
        self.sheet(spec).into_iter().flat_map(|sheet| &sheet.entries)
    }

    /// Whether a column is missed for a reason of its own: no heading is theirs, and of that something was
    /// said already.
    pub fn is_told_of(&self, spec: &FileSpec, entry: &Entry, column: &Column) -> bool {
        let headings = self.sheet(spec).into_iter().flat_map(|sheet| &sheet.header);
        let mut theirs = headings.filter(|heading| column.is_headed(heading));
        theirs.next().is_none() && self.problems.concern(&entry.place.file)
    }

    /// What could be read of the rows of a file that have one.
    pub fn rejected(&self, spec: &FileSpec) -> impl Iterator<Item = &'a Entry> + use<'a> {
        let rejected = self.sheet(spec).into_iter().flat_map(|sheet| &sheet.left_out.rejected);
        rejected.map(|rejected| &rejected.entry)
    }

    /// The tables of a TOML file; none where it is not there.
    pub fn tables(&self, spec: &KeyedSpec) -> &'a Keyed {
        tables(self.keyed, spec)
    }
}

pub(super) fn tables<'a>(keyed: &'a [Keyed], spec: &KeyedSpec) -> &'a Keyed {
    static NOTHING: Keyed = Keyed::nothing();
    keyed.iter().find(|file| file.path == spec.path).unwrap_or(&NOTHING)
}

/// Reads a file row by row, each by itself.
pub(super) fn rows<T>(
    read: fn(&Entry) -> Option<T>,
) -> impl Fn(&FileSpec, &mut Input<'_>) -> Vec<T> {
    move |spec, input| input.rows(spec).filter_map(read).collect()
}

/// Reads a file row by row; `read` may refuse a row for what it contains.
pub(super) fn checked<T>(
    read: fn(&Entry, &mut Input<'_>) -> Option<T>,
) -> impl Fn(&FileSpec, &mut Input<'_>) -> Vec<T> {
    move |spec, input| input.rows(spec).filter_map(|entry| read(entry, input)).collect()
}
