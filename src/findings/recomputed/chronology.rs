//! Every dated record of the project on one line, with the wet and dry spells.

use chrono::{DateTime, FixedOffset};

use crate::records::Project;
use crate::records::entry::Entry;
use crate::records::place::Place;
use crate::records::spec::Holds;
use crate::records::value::Value;

/// The line.
#[derive(Debug, Default)]
pub struct Chronology {
    /// Every point in time that a row of the records gives, in order of time.
    pub dated: Vec<Dated>,
    /// The spells of the dock, in order of time.
    pub spells: Vec<Spell>,
}

/// A point in time of the records.
#[derive(Debug, Clone)]
pub struct Dated {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// The file's path.
    pub file: &'static str,
    /// What one row of that file is, with its article.
    pub row_is: &'static str,
    /// The words of the row's ids: `SC1`, `KL coat 2`.
    pub of: String,
    /// The column, in words: `opened at`.
    pub what: String,
    /// Where it stands.
    pub place: Place,
    /// The spell of the dock in which it lies, by its number in [`Chronology::spells`].
    pub spell: Option<usize>,
}

/// A spell of the dock.
#[derive(Debug, Clone)]
pub struct Spell {
    /// The position, by its place in the project's list.
    pub position: usize,
    /// Whether the dock was dry.
    pub dry: bool,
    /// From when.
    pub from: Option<DateTime<FixedOffset>>,
    /// Until when.
    pub to: Option<DateTime<FixedOffset>>,
}

impl Chronology {
    /// Lays the records on one line.
    pub fn new(project: &Project) -> Self {
        let spells = spells(project);
        let mut dated: Vec<Dated> = Vec::new();
        for sheet in &project.sheets {
            for entry in &sheet.entries {
                for (column, value) in entry.values() {
                    let (Holds::Time, Some(Value::Time(at))) = (column.holds, value) else {
                        continue;
                    };
                    dated.push(Dated {
                        at: *at,
                        file: sheet.spec.path,
                        row_is: sheet.spec.row_is,
                        of: words_of(entry),
                        what: column.name.replace('_', " "),
                        place: entry.place_of(column.name),
                        spell: spells.iter().position(|spell| {
                            spell.from.is_some_and(|from| from <= *at)
                                && spell.to.is_none_or(|to| *at < to)
                        }),
                    });
                }
            }
        }
        dated.sort_by(|a, b| (a.at, &a.place).cmp(&(b.at, &b.place)));
        Self { dated, spells }
    }
}

/// Water from a position's flooding to dock dry, then dry until the water came back; after the last, the
/// water again.
fn spells(project: &Project) -> Vec<Spell> {
    let mut spells = Vec::new();
    for (position, row) in project.positions.iter().enumerate() {
        let times = &row.times;
        spells.push(Spell { position, dry: false, from: times.flooding_began, to: times.dry });
        spells.push(Spell { position, dry: true, from: times.dry, to: times.reflood_began });
    }
    if let Some(last) = project.positions.last() {
        let position = project.positions.len() - 1;
        if last.times.reflood_began.is_some() {
            spells.push(Spell { position, dry: false, from: last.times.reflood_began, to: None });
        }
    }
    spells
}

/// What a row is of: the ids and references that stand in it, and a coat's number.
fn words_of(entry: &Entry) -> String {
    let mut words: Vec<String> = Vec::new();
    for (column, value) in entry.values() {
        match (column.holds, value) {
            (
                Holds::Id(_) | Holds::Part(_) | Holds::Ref(_) | Holds::Word(_),
                Some(Value::Text(text)),
            ) => {
                words.push(text.clone());
            }
            (Holds::Whole { .. }, Some(Value::Whole(number))) if column.name.contains("coat") => {
                words.push(format!("coat {number}"));
            }
            _ => {}
        }
    }
    words.join(" ")
}
