//! Progress as data.

use serde::Serialize;

use super::{Due, Owed, Progress, Section};
use crate::findings::Examined;

/// The list that matters at a stage, with how complete the whole record is.
#[derive(Debug, Serialize)]
pub struct DueWritten<'a> {
    /// The stage: `before-landing`, `before-flooding` or `before-closing`.
    stage: &'static str,
    /// What this list is, and what it is not.
    aid: &'static str,
    /// The positions that it is about.
    positions: Vec<&'a str>,
    /// How many things are open.
    open: usize,
    /// What is owed by then, open or not.
    owed: Vec<OwedWritten<'a>>,
    /// The ids of findings without an answer that bear on it.
    unanswered: Vec<&'a str>,
    /// From when the coats may meet the water.
    water_not_before: Vec<CureWritten<'a>>,
    /// What could be recorded before the landing as well: nothing in the records calls for it.
    offered: Vec<OfferedWritten>,
    /// Every section of the record.
    sections: Vec<SectionWritten>,
}

#[derive(Debug, Serialize)]
struct OwedWritten<'a> {
    section: &'static str,
    what: &'a str,
    file: &'static str,
    position: Option<&'a str>,
    recorded: usize,
    expected: usize,
    missing: &'a [String],
}

#[derive(Debug, Serialize)]
struct OfferedWritten {
    what: &'static str,
    file: &'static str,
}

#[derive(Debug, Serialize)]
struct CureWritten<'a> {
    position: Option<&'a str>,
    zone: &'a str,
    application: &'a str,
    from: Option<String>,
}

#[derive(Debug, Serialize)]
struct SectionWritten {
    section: &'static str,
    recorded: usize,
    expected: usize,
}

impl<'a> DueWritten<'a> {
    /// The list as data.
    pub fn new(examined: &'a Examined, progress: &Progress, due: &'a Due<'_>) -> Self {
        let name = |number: usize| examined.project.positions.get(number).map(|p| p.id.as_str());
        let owed = |owed: &&'a Owed| OwedWritten {
            section: owed.section.word(),
            what: &owed.what,
            file: owed.file,
            position: owed.position.and_then(name),
            recorded: owed.recorded(),
            expected: owed.expected,
            missing: &owed.missing,
        };
        Self {
            stage: due.stage.word(),
            aid: super::AID,
            positions: due.positions.iter().filter_map(|number| name(*number)).collect(),
            open: due.open(),
            owed: due.owed.iter().map(owed).collect(),
            unanswered: due.findings.iter().map(|finding| finding.id.as_str()).collect(),
            water_not_before: due
                .cures
                .iter()
                .map(|cure| CureWritten {
                    position: name(cure.position),
                    zone: &cure.zone,
                    application: &cure.application,
                    from: cure.from.map(|at| at.to_rfc3339()),
                })
                .collect(),
            offered: due
                .offered
                .iter()
                .map(|offered| OfferedWritten { what: offered.what, file: offered.file })
                .collect(),
            sections: Section::ALL
                .into_iter()
                .map(|section| {
                    let (recorded, expected) = progress.counts(section);
                    SectionWritten { section: section.word(), recorded, expected }
                })
                .collect(),
        }
    }
}
