//! The words of the report.

use serde::Serialize;

use crate::words::GROUPS;

#[derive(Serialize)]
pub(super) struct Group {
    title: &'static str,
    words: Vec<(String, &'static str)>,
}

pub(super) fn section() -> Vec<Group> {
    GROUPS
        .iter()
        .map(|group| Group {
            title: group.title,
            words: group.words.iter().map(|word| (word.headed(), word.means)).collect(),
        })
        .collect()
}
