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
    pub column: String,
    /// What stands there; null where nothing does.
    pub stands: Option<String>,
    /// What is right; null where it is withdrawn.
    pub right: Option<String>,
    pub by: String,
    pub on: String,
    pub ground: String,
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
            column: erratum.column.clone(),
            stands: erratum.stands.clone(),
            right: erratum.right.clone(),
            by: erratum.by.clone(),
            on: erratum.on.to_string(),
            ground: erratum.ground.clone(),
        }
    }

    /// What it says, without where it stands.
    pub fn sentence(&self) -> Text {
        text!(
            "{}: there stands {}; right is {}. Says {}, {}: {} ({} {})",
            code(self.column.as_str()),
            written(&self.stands, "nothing"),
            written(&self.right, "nothing, it is withdrawn"),
            self.by.as_str(),
            self.on.as_str(),
            self.ground.as_str(),
            id(&self.supplement),
            id(&self.erratum)
        )
    }

    /// Whether both are one erratum of one supplement.
    pub fn is_same_erratum(&self, other: &Self) -> bool {
        (&self.docking, &self.supplement, &self.erratum)
            == (&other.docking, &other.supplement, &other.erratum)
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
    all.collect()
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
            text!(
                "{}, {}: {} ({} {})",
                one.by.as_str(),
                one.on.as_str(),
                one.ground.as_str(),
                id(&one.supplement),
                id(&one.erratum)
            )
            .into(),
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
