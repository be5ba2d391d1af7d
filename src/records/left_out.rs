//! Rows that a problem kept out of the entries: what they may have said, so that nothing is called
//! unknown or incomplete for want of them alone.

use std::sync::Arc;

use super::entry::Entry;
use super::spec::{Column, Holds, Kind};

/// What was left out of one file.
#[derive(Debug, Default)]
pub struct LeftOut {
    /// Rows and tables with a problem, in the order of the file.
    pub torn: Vec<Torn>,
    /// Whether the file can't be read as rows at all, or lacks a column that every row needs.
    pub unread: bool,
}

/// A row or table with a problem.
#[derive(Debug)]
pub struct Torn {
    /// What could be read of it.
    pub entry: Entry,
    /// The texts in it that could not be read; an empty one where a cell had to be filled.
    pub unread: Vec<String>,
}

impl Torn {
    /// Whether it may have that text in that column.
    pub fn may_hold(&self, column: &Column, text: &str) -> bool {
        match self.entry.get::<Arc<str>>(column) {
            Some(read) => *read == *text,
            None => self.unread.iter().any(|unread| unread.is_empty() || alike(unread, text)),
        }
    }
}

impl LeftOut {
    /// Whether something that was left out may have that text in that column.
    pub fn may_hold(&self, column: &Column, text: &str) -> bool {
        self.unread || self.torn.iter().any(|torn| torn.may_hold(column, text))
    }
}

/// The kinds of things to which rows with these columns give names, each with its column.
pub(super) fn kinds(columns: &'static [Column]) -> impl Iterator<Item = (Kind, &'static Column)> {
    columns.iter().filter_map(|column| match column.holds {
        Holds::Id(kind) | Holds::Part(kind) => Some((kind, column)),
        _ => None,
    })
}

/// Whether two texts are one name but for spaces, signs and capital letters: `K 12` and `k12`.
fn alike(one: &str, other: &str) -> bool {
    plain(one) == plain(other)
}

/// A text without spaces, signs and capital letters.
pub(super) fn plain(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}
