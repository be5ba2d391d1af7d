//! What a project knows before anything is measured: the rows that are printed in.

use crate::records::Project;
use crate::records::blocks::Block;
use crate::records::drafts::DraftReading;
use crate::records::positions::Sighting;

/// What is printed into one cell.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// A name or a word.
    Text(String),
    /// A length, m.
    Metres(f64),
}

/// A row that is printed in: cells by the names of their columns.
pub(super) type Row = Vec<(&'static str, Cell)>;

/// What is known of a docking; nothing without a project.
pub(super) struct Known<'a> {
    pub project: Option<&'a Project>,
}

impl Known<'_> {
    /// The positions; one without a name where none is recorded.
    pub fn positions(&self) -> Vec<Option<&str>> {
        let named = self.project.into_iter().flat_map(|project| &project.positions);
        let named: Vec<Option<&str>> = named.map(|one| Some(one.id.as_str())).collect();
        if named.is_empty() { vec![None] } else { named }
    }

    /// The blocks that stand in a position, in the order of the plan.
    pub fn blocks(&self, position: Option<&str>) -> Vec<&str> {
        let blocks = self.project.into_iter().flat_map(|project| &project.blocks);
        let stands = |block: &&Block| match position {
            Some(position) => block.stands_in(position),
            None => block.positions.as_ref().is_none_or(|positions| !positions.is_empty()),
        };
        blocks.filter(stands).map(|block| block.id.as_str()).collect()
    }

    /// What records of one kind say in this docking, else in the latest one on record that says any of it.
    fn latest<T>(&self, records: impl Fn(&Project) -> &Vec<T>) -> Vec<&T> {
        let Some(project) = self.project else { return Vec::new() };
        let earlier = project.history.iter().rev().map(|past| &past.project);
        let mut found = std::iter::once(project).chain(earlier).map(records);
        found.find(|rows| !rows.is_empty()).into_iter().flatten().collect()
    }

    /// The marks on the hull that were sighted, each once.
    pub fn hull_marks(&self) -> Vec<Row> {
        let row = |one: &Sighting| {
            let mark = Cell::Text(one.mark.clone());
            let (x, y) = (Cell::Metres(one.hull.x), Cell::Metres(one.hull.y));
            vec![("mark", mark), ("hull_x", x), ("hull_y", y)]
        };
        once(self.latest(|project| &project.sightings).into_iter().map(row))
    }

    /// The draft marks that were read, each once.
    pub fn draft_marks(&self) -> Vec<Row> {
        let row = |one: &DraftReading| {
            vec![("mark_x", Cell::Metres(one.mark_x_m)), ("mark_y", Cell::Metres(one.mark_y_m))]
        };
        once(self.latest(|project| &project.drafts).into_iter().map(row))
    }

    /// The openings, with what does not change.
    pub fn openings(&self) -> Vec<Row> {
        let openings = self.project.into_iter().flat_map(|project| &project.openings);
        openings
            .map(|one| {
                let mut row = vec![
                    ("opening", Cell::Text(one.id.clone())),
                    ("kind", Cell::Text(one.kind.clone())),
                ];
                let text = |text: &Option<String>| text.clone().map(Cell::Text);
                row.extend(text(&one.side).map(|side| ("side", side)));
                row.extend(text(&one.valve_tag).map(|tag| ("valve_tag", tag)));
                row
            })
            .collect()
    }

    /// The names that a column may hold.
    pub fn names(&self, column: &str) -> Vec<&str> {
        let Some(project) = self.project else { return Vec::new() };
        match column {
            "zone" => project.zones.iter().map(|zone| zone.id.as_str()).collect(),
            "product" => project.products.products.iter().map(|one| one.id.as_str()).collect(),
            "area" => project.areas.iter().map(|area| area.id.as_str()).collect(),
            _ => Vec::new(),
        }
    }
}

fn once(rows: impl Iterator<Item = Row>) -> Vec<Row> {
    let mut found: Vec<Row> = Vec::new();
    for row in rows {
        if !found.contains(&row) {
            found.push(row);
        }
    }
    found
}
