//! Supplements to a docking's bundle, as a page tells of them: what became known after it was closed out.

use serde::Serialize;

use super::errata::{self, Correction};
use super::{MOST_ROWS, Section};
use crate::records::corrected::Supplement;
use crate::records::entry::Entry;
use crate::records::plating::{self, Gauging};
use crate::records::spec::Holds;
use crate::text;
use crate::text::{Text, code, count, grouped, id, strong};

/// By which other sections point to it.
pub const ANCHOR: &str = "supplements";

/// A supplement to a docking's bundle.
#[derive(Debug, Clone, Serialize)]
pub struct Later {
    /// The docking whose record it supplements.
    pub docking: String,
    pub name: String,
    /// What it brings, in its own words.
    pub about: String,
    pub by: String,
    pub on: String,
    pub seal: String,
    /// Rows of records that it adds.
    pub rows: Vec<Added>,
    /// Papers that it adds, by their names in its `papers/`.
    pub papers: Vec<String>,
    #[serde(skip)]
    pub corrections: Vec<Correction>,
}

/// A row of records.
#[derive(Debug, Clone, Serialize)]
pub struct Added {
    pub file: &'static str,
    /// Its headings and values as the file has them, in the file's order; empty cells are left out.
    pub cells: Vec<(String, String)>,
    /// The line on which it stands in the supplement's file.
    pub line: Option<u32>,
    /// What it is about, by words such as `block:K2`.
    #[serde(skip)]
    pub about: Vec<String>,
}

impl Added {
    fn new(file: &'static str, row: &Entry) -> Self {
        let cells = row.written().filter_map(|(_, heading, value)| {
            Some((heading.to_string(), value.filter(|value| !value.is_empty())?))
        });
        let words = row.written().flat_map(|(column, _, value)| {
            let kind = match column.holds {
                Holds::Id(kind) | Holds::Ref(kind) | Holds::Refs(kind) => Some(kind),
                _ => None,
            };
            let names = value.filter(|_| kind.is_some()).unwrap_or_default();
            let named = |name: &str| Some(format!("{}:{name}", kind?.word()));
            names.split(';').filter_map(named).collect::<Vec<_>>()
        });
        let gauged = || row.get::<String>(&Gauging::strake).zip(row.get::<String>(&Gauging::plate));
        let plate = (file == plating::SPEC.path).then(gauged).flatten();
        let plate = plate.map(|(strake, plate)| format!("plate:{strake}.{plate}"));
        let about = words.chain(plate).collect();
        Self { file, cells: cells.collect(), line: row.place.line, about }
    }

    /// It in one line: each heading with its value.
    pub fn shown(&self) -> Text {
        let cells = self.cells.iter();
        let cells = cells.map(|(heading, value)| text!("{} {}", heading.as_str(), value.as_str()));
        Text::joined(cells, "; ")
    }
}

impl Later {
    /// What a supplement of this seal says of a docking's record.
    pub fn new(docking: &str, supplement: &Supplement, seal: &str) -> Self {
        let about = &supplement.stated.about;
        let rows = supplement.rows.iter();
        let rows = rows.flat_map(|(file, rows)| rows.iter().map(|row| Added::new(file, row)));
        let errata = supplement.errata.iter();
        let correction = |erratum| Correction::new(docking, &supplement.stated, erratum);
        Self {
            docking: docking.to_string(),
            name: about.name.clone(),
            about: about.about.clone(),
            by: about.made_by.clone(),
            on: about.made_on.to_string(),
            seal: seal.to_string(),
            rows: rows.collect(),
            papers: supplement.papers.clone(),
            corrections: errata
                .map(|placed| correction(&placed.erratum).found_on(placed.line))
                .collect(),
        }
    }
}

/// The section on a record's supplements; `None` if it has none.
pub fn section(supplements: &[Later]) -> Option<Section> {
    if supplements.is_empty() {
        return None;
    }
    let mut section = Section::new("What became known later").at(ANCHOR);
    section.paragraph(text!(
        "The record was closed out, and what is in its bundle is not changed. {} {}; the bytes of each were compared \
         with its checksums, and it was read against what it follows, when this page was made. Figures, drawings and \
         findings elsewhere on this page are of the record as its bundle has it.",
        count(supplements.len(), "supplement", "supplements"),
        if supplements.len() == 1 { "follows it" } else { "follow it" }
    ));
    list(&mut section, supplements);
    let corrections = all_corrections(supplements);
    if !corrections.is_empty() {
        section.part("Values that are said to be wrong");
        section.table(errata::table(&corrections));
    }
    added(&mut section, supplements);
    Some(section)
}

/// What all of them correct, in their order; what a later one corrects again says so.
pub fn all_corrections(supplements: &[Later]) -> Vec<Correction> {
    let mut all: Vec<Correction> =
        supplements.iter().flat_map(|one| &one.corrections).cloned().collect();
    errata::supersede(&mut all);
    all
}

/// Names each supplement.
pub fn list(section: &mut Section, supplements: &[Later]) {
    if supplements.is_empty() {
        return;
    }
    section.list(supplements.iter().map(|one| {
        text!(
            "{}, by {}, {}: {} ({}, {}, {}). Its seal: {}",
            id(&one.name),
            one.by.as_str(),
            one.on.as_str(),
            one.about.as_str(),
            count(one.corrections.len(), "erratum", "errata"),
            count(one.rows.len(), "row of records", "rows of records"),
            count(one.papers.len(), "paper", "papers"),
            code(grouped(&one.seal, 4).join(" "))
        )
    }));
}

/// Adds what the supplements add, as they have it.
pub fn added(section: &mut Section, supplements: &[Later]) {
    let corrections = all_corrections(supplements);
    let row = |supplement: &Later, row: &Added| {
        let is_corrected = corrections.iter().any(|one| {
            one.of.as_deref() == Some(&*supplement.name)
                && one.file == row.file
                && one.found_on == row.line
        });
        let corrected = if is_corrected { "; corrected since, see above" } else { "" };
        text!("{} ({}): {}{}", code(row.file), id(&supplement.name), row.shown(), corrected)
    };
    let paper = |supplement: &Later, name: &String| {
        text!("{} ({})", code(format!("papers/{name}")), id(&supplement.name))
    };
    let rows = supplements.iter().flat_map(|one| one.rows.iter().map(move |added| row(one, added)));
    let papers =
        supplements.iter().flat_map(|one| one.papers.iter().map(move |name| paper(one, name)));
    let all: Vec<Text> = rows.chain(papers).collect();
    if all.is_empty() {
        return;
    }
    section.part("Rows and papers that are added");
    section.paragraph(
        "As the supplements have them: what they say was not recomputed or compared with the record.",
    );
    let more = all.len().saturating_sub(MOST_ROWS);
    let more = (more > 0)
        .then(|| text!("{} {} more, in the supplements themselves.", strong("Not listed:"), more));
    section.list(all.into_iter().take(MOST_ROWS).chain(more));
}
