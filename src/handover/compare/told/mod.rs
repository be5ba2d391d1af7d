//! The comparison in finished text: the same sentences and tables on paper and on a terminal.

mod blocks;
mod coating;
mod findings;
mod footprints;
mod openings;
mod plating;
mod ship;

use serde::Serialize;

use super::{Comparison, Docking};
use crate::report::text;

/// A subject.
#[derive(Debug, Clone, Serialize)]
pub struct Section {
    /// Its title.
    pub title: &'static str,
    /// What came out, in a sentence or two.
    pub lead: String,
    /// The rest in sentences.
    pub says: Vec<String>,
    /// Its tables.
    pub tables: Vec<Table>,
    /// Whether the drawings stand here.
    pub drawn: bool,
}

impl Section {
    fn new(title: &'static str, lead: impl Into<String>) -> Self {
        Self { title, lead: lead.into(), says: Vec::new(), tables: Vec::new(), drawn: false }
    }
}

/// A table.
#[derive(Debug, Clone, Serialize)]
pub struct Table {
    /// What it lists.
    pub about: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows; a cell that is `None` was not recorded, or has no meaning there.
    pub rows: Vec<Vec<Option<String>>>,
    /// Where it is shown.
    pub shown: Shown,
}

/// Where a table is shown: some are too long for a terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Shown {
    /// On paper and on a terminal.
    Both,
    /// On paper only.
    Paper,
    /// On a terminal only.
    Screen,
}

/// A column.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct Column {
    /// Its head.
    pub head: &'static str,
    /// How its cells are set.
    pub set: Set,
}

/// How the cells of a column are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Set {
    /// Names: to the left.
    Name,
    /// Figures: to the right.
    Figure,
    /// Text, which takes the room that is left and breaks into lines.
    Text,
}

fn name(head: &'static str) -> Column {
    Column { head, set: Set::Name }
}

fn figure(head: &'static str) -> Column {
    Column { head, set: Set::Figure }
}

fn words(head: &'static str) -> Column {
    Column { head, set: Set::Text }
}

impl Table {
    fn new<const N: usize>(about: impl Into<String>, columns: [Column; N]) -> Self {
        Self {
            about: about.into(),
            columns: columns.to_vec(),
            rows: Vec::new(),
            shown: Shown::Both,
        }
    }

    fn shown(mut self, shown: Shown) -> Self {
        self.shown = shown;
        self
    }

    fn rows<const N: usize>(mut self, rows: impl IntoIterator<Item = [Option<String>; N]>) -> Self {
        self.rows = rows.into_iter().map(|row| row.to_vec()).collect();
        self
    }

    /// Adds it where it has a row.
    fn to(self, section: &mut Section) {
        if !self.rows.is_empty() {
            section.tables.push(self);
        }
    }
}

/// What a comparison is called.
pub fn title(comparison: &Comparison) -> String {
    let (was, is) = (&comparison.older, &comparison.newer);
    if comparison.same_ship {
        format!("Two dockings of {}", is.ship)
    } else {
        format!("A docking of {} and one of {}", was.ship, is.ship)
    }
}

/// Which docking is meant by then, and which by now.
pub fn dockings(comparison: &Comparison) -> Vec<(&'static str, String)> {
    let said = |docking: &Docking| {
        let place = docking.place.as_ref().map(|place| format!(", {place}")).unwrap_or_default();
        let days = text::period((docking.began, docking.ended))
            .unwrap_or_else(|| "days not recorded".to_string());
        let fixity = match docking.fixity {
            Some("whole") => "; bundle whole",
            Some(_) => "; bundle damaged",
            None => "; a project, not a bundle",
        };
        format!("{}: {}{place}; {days}{fixity}", docking.name, docking.dock)
    };
    let years = comparison.years_between.filter(|years| *years > 0.0);
    let mut said = vec![("then", said(&comparison.older)), ("now", said(&comparison.newer))];
    said.extend(years.map(|years| ("between", format!("{} years", text::number(years, 1)))));
    said
}

/// Every subject.
pub fn sections(comparison: &Comparison) -> Vec<Section> {
    vec![
        footprints::section(comparison),
        openings::section(comparison),
        plating::section(comparison),
        blocks::section(comparison),
        coating::section(comparison),
        findings::section(comparison),
        ship::section(comparison),
    ]
}
