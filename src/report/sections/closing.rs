//! Whether openings that were opened were closed and tested, as far as it is recorded.

use crate::records::Project;
use crate::records::openings::Opened;
use crate::text::{and, list_first};

/// Openings with an entry of which something holds, each once, in the order of the records.
fn openings(project: &Project, holds: impl Fn(&Opened) -> bool) -> Vec<&str> {
    let mut found: Vec<&str> = Vec::new();
    for opened in project.opened.iter().filter(|opened| holds(opened)) {
        if !found.contains(&opened.opening.as_str()) {
            found.push(&opened.opening);
        }
    }
    found
}

/// What is said of one question, and whether nothing is missing in the answer.
pub(super) struct Said {
    pub text: String,
    pub is_complete: bool,
}

impl Said {
    fn new(text: String, is_complete: bool) -> Self {
        Self { text, is_complete }
    }
}

/// Whether what was opened was closed again, as far as it is recorded, with at most so many named.
pub(super) fn closed(project: &Project, most: usize) -> Said {
    let all = openings(project, |_| true);
    let not_closed = openings(project, |opened| opened.closed_at.is_none());
    let text = match (all.len(), not_closed.len()) {
        (0, _) => "No opening is recorded as opened or closed.".to_string(),
        (1, 0) => format!("{} was opened, and the time of its closing is recorded.", and(&all)),
        (n, 0) => {
            format!(
                "The time of closing is recorded for each of the {n} openings recorded as opened."
            )
        }
        _ => {
            let named = list_first(&not_closed, most);
            format!("Opened, without a recorded time of closing: {named}.")
        }
    };
    Said::new(text, !all.is_empty() && not_closed.is_empty())
}

/// Whether what was closed was tested, likewise.
pub(super) fn tested(project: &Project, most: usize) -> Said {
    let all = openings(project, |opened| opened.closed_at.is_some());
    let untested =
        openings(project, |opened| opened.closed_at.is_some() && opened.tested_how.is_none());
    let text = match (all.len(), untested.len()) {
        (0, _) => {
            "No opening has a recorded time of closing, and so none could be tested after it."
                .to_string()
        }
        (1, 0) => format!("A test of {} on closing is recorded.", and(&all)),
        (n, 0) => {
            format!(
                "A test on closing is recorded for each of the {n} openings recorded as closed."
            )
        }
        _ => format!("Closed without a recorded test: {}.", list_first(&untested, most)),
    };
    Said::new(text, !all.is_empty() && untested.is_empty())
}
