//! Every dated record of the project on one line, with the wet and dry spells.

use chrono::{DateTime, FixedOffset};

use crate::records::Project;
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
    /// Where it stands.
    pub place: Place,
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
        let mut dated: Vec<Dated> = Vec::new();
        for entry in project.sheets.iter().flat_map(|sheet| &sheet.entries) {
            for (column, value) in entry.values() {
                if let (Holds::Time, Some(Value::Time(at))) = (column.holds, value) {
                    dated.push(Dated { at: *at, place: entry.place_of(column) });
                }
            }
        }
        dated.shrink_to_fit();
        dated.sort_by(|a, b| (a.at, &a.place).cmp(&(b.at, &b.place)));
        Self { dated, spells: spells(project) }
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
