//! What a project knows before anything is measured: the rows that are printed in.

use chrono::{DateTime, FixedOffset};

use crate::findings::recomputed::planned;
use crate::hull::Lie;
use crate::records::Project;
use crate::records::blocks::Block;
use crate::records::docking::Paper;
use crate::records::entry::Entry;
use crate::records::spec::{Column, FileSpec, Holds, Kind};
use crate::records::value::Value;
use crate::units::System;

/// A row that is printed in: the values of some columns.
pub(super) type Row = Vec<(Column, Value)>;

/// What is known of a docking; nothing without a project.
pub(super) struct Known<'a> {
    pub project: Option<&'a Project>,
    /// The position that sheets are wanted for; all if none is named.
    pub only: Option<&'a str>,
    /// Units and paper where there is no project.
    pub otherwise: (System, Paper),
}

impl Known<'_> {
    /// The paper that the sheets are printed on.
    pub fn paper(&self) -> Paper {
        self.project.map(|project| project.docking.paper).unwrap_or(self.otherwise.1)
    }

    /// The units of blank files.
    pub fn system(&self) -> System {
        self.project.map(|project| project.docking.units).unwrap_or(self.otherwise.0)
    }

    /// The positions; one without a name where none is recorded.
    pub fn positions(&self) -> Vec<Option<&str>> {
        let named = self.project.into_iter().flat_map(|project| &project.positions);
        let wanted = |id: &&str| self.only.is_none_or(|only| only == *id);
        let named: Vec<Option<&str>> =
            named.map(|one| one.id.as_str()).filter(wanted).map(Some).collect();
        if named.is_empty() { vec![None] } else { named }
    }

    /// Whether no other position comes before one.
    pub fn is_first(&self, position: Option<&str>) -> bool {
        let first = self.project.and_then(|project| project.positions.first());
        first.is_none_or(|first| position.is_none_or(|position| first.id == position))
    }

    /// The first time that is recorded of a position.
    pub fn began(&self, position: Option<&str>) -> Option<DateTime<FixedOffset>> {
        let found = self.project?.positions.iter().find(|one| Some(&*one.id) == position)?;
        found.times.in_order().into_iter().find_map(|(_, at)| at)
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

    /// Where she lies or is to lie in a position.
    pub fn lie(&self, position: &str) -> Option<Lie> {
        let project = self.project?;
        let found = project.positions.iter().find(|one| one.id == position)?;
        planned(found).or_else(|| {
            Some(Lie {
                srp_station_m: found.recorded_srp_station_m?,
                centreline_offset_m: found.recorded_offset_m.unwrap_or(0.0),
                yaw_deg: 0.0,
            })
        })
    }

    /// What a file of this project says in some columns, equal rows once.
    pub fn planned(&self, spec: &FileSpec, columns: &[Column]) -> Vec<Row> {
        self.planned_where(spec, columns, |_| true)
    }

    /// The same of the rows that are wanted.
    pub fn planned_where(
        &self,
        spec: &FileSpec,
        columns: &[Column],
        is_wanted: impl Fn(&Entry) -> bool,
    ) -> Vec<Row> {
        self.project.map(|project| rows(project, spec, columns, is_wanted)).unwrap_or_default()
    }

    /// The same of this project, or else of the latest earlier docking that has any such row.
    pub fn latest(&self, spec: &FileSpec, columns: &[Column]) -> Vec<Row> {
        let Some(project) = self.project else { return Vec::new() };
        let earlier = project.history.iter().rev().map(|past| &*past.project);
        let mut all =
            std::iter::once(project).chain(earlier).map(|one| rows(one, spec, columns, |_| true));
        all.find(|rows| !rows.is_empty()).unwrap_or_default()
    }

    /// The names that a column may hold, for kinds of which a docking has few.
    pub fn names(&self, column: &Column) -> Vec<&str> {
        let Some(project) = self.project else { return Vec::new() };
        match column.holds {
            Holds::Ref(Kind::Zone) => project.zones.iter().map(|zone| zone.id.as_str()).collect(),
            Holds::Ref(Kind::Product) => {
                project.products.products.iter().map(|product| product.id.as_str()).collect()
            }
            Holds::Ref(Kind::Area) => project.areas.iter().map(|area| area.id.as_str()).collect(),
            _ => Vec::new(),
        }
    }
}

fn rows(
    project: &Project,
    spec: &FileSpec,
    columns: &[Column],
    is_wanted: impl Fn(&Entry) -> bool,
) -> Vec<Row> {
    let row = |entry: &Entry| -> Row {
        let values = columns.iter().map(|column| Some((*column, entry.value(column)?.clone())));
        values.flatten().collect()
    };
    let sheets = project.sheets.iter().filter(|sheet| sheet.spec.path == spec.path);
    let mut found: Vec<Row> = Vec::new();
    let entries = sheets.flat_map(|sheet| sheet.entries.iter().chain(&sheet.prepared));
    for row in entries.filter(|entry| is_wanted(entry)).map(row) {
        if !found.contains(&row) {
            found.push(row);
        }
    }
    found
}
