//! What supplements to an earlier docking's bundle correct, beside the record that they correct.

use serde::Serialize;

use super::{Column, Section, Table};
use crate::records::Past;
use crate::records::errata::Erratum;
use crate::records::supplement::Stated;
use crate::text;
use crate::text::{Text, code, id};

/// A value of an earlier record that a supplement says is wrong.
#[derive(Debug, Clone, Serialize)]
pub struct Correction {
    /// The docking whose record it is.
    pub docking: String,
    /// The supplement, and the name of the erratum in it.
    pub supplement: String,
    pub erratum: String,
    /// The supplement whose record is corrected; null where it is the bundle's.
    pub of: Option<String>,
    pub file: String,
    pub row: Option<String>,
    pub line: Option<i64>,
    /// The line of the file on which the row begins or the key stands, where that was looked for.
    #[serde(skip)]
    pub found_on: Option<u32>,
    pub column: String,
    /// What stands there; null where nothing does.
    pub stands: Option<String>,
    /// What is right; null where it is withdrawn.
    pub right: Option<String>,
    pub by: String,
    pub on: String,
    pub ground: String,
    /// A later erratum of the same value, which counts instead; null for the last.
    pub superseded_by: Option<String>,
}

impl Correction {
    /// What an erratum of a supplement says of a docking's record.
    pub fn new(docking: &str, supplement: &Stated, erratum: &Erratum) -> Self {
        Self {
            docking: docking.to_string(),
            supplement: supplement.about.name.clone(),
            erratum: erratum.id.clone(),
            of: erratum.of.clone(),
            file: erratum.file.clone(),
            row: erratum.row.clone(),
            line: erratum.line,
            found_on: None,
            column: erratum.column.clone(),
            stands: erratum.stands.clone(),
            right: erratum.right.clone(),
            by: erratum.by.clone(),
            on: erratum.on.to_string(),
            ground: erratum.ground.clone(),
            superseded_by: None,
        }
    }

    /// The same with the line on which what it corrects was found.
    pub fn found_on(self, line: u32) -> Self {
        Self { found_on: Some(line), ..self }
    }

    /// Whether both are about the same value.
    pub fn is_of_same_value(&self, other: &Self) -> bool {
        let value = |one: &Self| {
            let column = one.column.trim().to_lowercase();
            (one.docking.clone(), one.of.clone(), one.file.clone(), column)
        };
        let is_same_row = match (self.found_on, other.found_on) {
            (Some(one), Some(other)) => one == other,
            _ => (&self.row, self.line) == (&other.row, other.line),
        };
        value(self) == value(other) && is_same_row
    }

    /// What it says, without where it stands.
    pub fn sentence(&self) -> Text {
        text!(
            "{}: there stands {}; right is {}. Says {}",
            code(self.column.as_str()),
            written(&self.stands, "nothing"),
            written(&self.right, "nothing, it is withdrawn"),
            self.said_by()
        )
    }

    /// Who says so, when, on what ground and where, and whether a later erratum counts instead.
    fn said_by(&self) -> Text {
        let later = self.superseded_by.as_ref();
        let later = later.map(|later| text!("; {} corrects it again, and counts", id(later)));
        text!(
            "{}, {}: {} ({} {}){}",
            self.by.as_str(),
            self.on.as_str(),
            self.ground.as_str(),
            id(&self.supplement),
            id(&self.erratum),
            later.unwrap_or_default()
        )
    }

    /// Whether both are one erratum of one supplement.
    pub fn is_same_erratum(&self, other: &Self) -> bool {
        (&self.docking, &self.supplement, &self.erratum)
            == (&other.docking, &other.supplement, &other.erratum)
    }
}

/// Says of each which later one of the same value there is; they stand in the order of their supplements.
pub fn supersede(corrections: &mut [Correction]) {
    for at in 0..corrections.len() {
        let (before, after) = corrections.split_at_mut(at + 1);
        let Some(this) = before.last_mut() else { continue };
        let later = after.iter().rev().find(|later| later.is_of_same_value(this));
        this.superseded_by = later.map(|later| format!("{} {}", later.supplement, later.erratum));
    }
}

/// Every correction of the records of earlier dockings that stands beside them in a project's history.
pub fn corrections(history: &[Past]) -> Vec<Correction> {
    let supplements = history.iter().flat_map(|past| {
        past.supplements.iter().map(move |supplement| (&past.source.name, supplement))
    });
    let all = supplements.flat_map(|(docking, supplement)| {
        let errata = supplement.errata.iter();
        errata.map(move |erratum| Correction::new(docking, &supplement.stated, erratum))
    });
    let mut all: Vec<Correction> = all.collect();
    supersede(&mut all);
    all
}

/// Adds the corrections to a section, unless there are none: what stands is what everything else was worked out from.
pub fn show(section: &mut Section, corrections: &[Correction]) {
    if corrections.is_empty() {
        return;
    }
    section.paragraph(
        "Supplements that came later say that these values of earlier records are wrong. All figures here are \
         worked out from the records as their bundles have them, not from what the supplements say.",
    );
    section.table(table(corrections));
}

/// What stands, what is right, and who says so.
pub fn table(corrections: &[Correction]) -> Table {
    let columns = [
        Column::name("Docking"),
        Column::text("Where").share(1.3),
        Column::text("Stands"),
        Column::text("Right"),
        Column::text("By, on, ground").share(1.6),
    ];
    let rows = corrections.iter().map(|one| {
        [
            id(&one.docking).into(),
            place(one).into(),
            written(&one.stands, "nothing").into(),
            written(&one.right, "withdrawn").into(),
            one.said_by().into(),
        ]
    });
    Table::new(columns).rows(rows).small()
}

/// A value as it is written, or what is said where there is none.
fn written(value: &Option<String>, absent: &str) -> Text {
    value.as_ref().map_or_else(|| absent.into(), |value| code(value.as_str()).into())
}

/// The file, the row or line, and the column.
fn place(one: &Correction) -> Text {
    let row = match (&one.row, one.line) {
        (Some(row), _) => text!(", {}", id(row)),
        (None, Some(line)) => text!(", line {}", line),
        (None, None) => Text::new(),
    };
    let of = one.of.as_ref().map(|of| text!(" of {}", id(of))).unwrap_or_default();
    text!("{}{}{}, {}", code(one.file.as_str()), of, row, one.column.as_str())
}
