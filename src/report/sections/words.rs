//! The words of the report.

use serde::Serialize;

use crate::words::{GROUPS, HELD};

#[derive(Serialize)]
pub(super) struct Group {
    title: &'static str,
    words: Vec<(String, &'static str)>,
}

/// All words but those that cells of files hold, which `format.txt` explains.
pub(super) fn section() -> Vec<Group> {
    GROUPS
        .iter()
        .filter(|group| group.title != HELD)
        .map(|group| Group {
            title: group.title,
            words: group.words.iter().map(|word| (word.headed(), word.means)).collect(),
        })
        .collect()
}
