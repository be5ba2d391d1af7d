//! `papers/papers.csv` and the files beside it: papers and photographs.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::entry::Entry;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::sheet::Sheet;
use super::spec::{Column, FileSpec, Holds};
use super::store::unkeepable;

/// The folder of the papers inside a project.
pub const FOLDER: &str = "papers/";

/// What the file holds.
pub static SPEC: FileSpec = FileSpec {
    path: "papers/papers.csv",
    row_is: "a paper or photograph",
    example: include_str!("../../templates/example/papers/papers.csv"),
    columns: &[
        Column::always("file", Holds::Text, "the file's name inside papers/"),
        Column::optional(
            "kind",
            Holds::Word(&["photograph", "drawing", "letter", "certificate", "log", "other"]),
            "what kind of paper it is",
        ),
        Column::optional("about", Holds::AnyRefs, "what it is about: ids, with ; between them"),
        Column::optional("taken_at", Holds::Time, "when it was taken or written"),
        Column::optional("by", Holds::Called, "who took or wrote it"),
        Column::optional("caption", Holds::Text, "what it shows"),
        Column::optional("in_report", Holds::Flag, "whether the report is to show it"),
    ],
};

/// A paper or photograph that the record lists.
#[derive(Debug, Clone)]
pub struct Paper {
    /// File name inside `papers/`.
    pub file: String,
    /// Its kind.
    pub kind: Option<String>,
    /// What it is about.
    pub about: Vec<String>,
    /// When it was taken.
    pub taken_at: Option<DateTime<FixedOffset>>,
    /// Who took it.
    pub by: Option<String>,
    /// What it shows.
    pub caption: Option<String>,
    /// Whether the report is to show it.
    pub in_report: bool,
    /// What its columns whose names begin with `note` hold, in one text.
    pub notes: Option<String>,
    /// Its row in the file.
    pub place: Place,
}

impl Paper {
    /// Its path inside the project.
    pub fn path(&self) -> String {
        format!("{FOLDER}{}", self.file)
    }

    pub(super) fn read_all(sheet: &Sheet, problems: &mut Problems) -> Vec<Self> {
        let mut papers: Vec<Self> = Vec::new();
        let mut listed: BTreeMap<String, Place> = BTreeMap::new();
        for entry in &sheet.entries {
            let Some(paper) = Self::read(entry) else { continue };
            if let Some(wrong) = unkeepable(&paper.file) {
                problems.add(
                    Problem::new(entry.place_of("file"), wrong)
                        .value(paper.file.clone())
                        .expected("the name of a file inside papers/, with / between folders")
                        .advice("correct the name, and rename the file if need be"),
                );
            }
            if let Some(other) = listed.get(&paper.file) {
                problems.add(
                    Problem::new(entry.place_of("file"), format!("stands at {other} too"))
                        .value(paper.file.clone())
                        .expected("each file in one row")
                        .advice("put what the two rows say into one"),
                );
            }
            listed.entry(paper.file.clone()).or_insert_with(|| paper.place.clone());
            papers.push(paper);
        }
        papers
    }

    fn read(entry: &Entry) -> Option<Self> {
        Some(Self {
            file: entry.text("file")?,
            kind: entry.text("kind"),
            about: entry.list("about").unwrap_or_default(),
            taken_at: entry.time("taken_at"),
            by: entry.text("by"),
            caption: entry.text("caption"),
            in_report: entry.flag("in_report").unwrap_or(false),
            notes: entry.joined_notes(),
            place: entry.place.clone(),
        })
    }
}
