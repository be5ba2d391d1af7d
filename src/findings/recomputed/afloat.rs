//! The ship afloat: her table, her draft surveys, and the weights moved between them.

use chrono::{DateTime, FixedOffset};

use crate::calc::drafts::{self, Displacement, Drafts, Perpendiculars, Reading};
use crate::calc::hydrostatics::{Row, Table};
use crate::calc::landing::Change;
use crate::records::Project;
use crate::records::drafts::{DraftReading, Occasion};
use crate::records::weights::Moved;
use crate::text;
use crate::text::{Text, id};

/// The ship as her papers describe her.
#[derive(Debug)]
pub struct Ship {
    /// Her perpendiculars, if recorded.
    pub perpendiculars: Option<Perpendiculars>,
    /// Her hydrostatic table, if recorded.
    pub table: Option<Table>,
    /// The draft surveys, in the order of the occasions and positions.
    pub surveys: Vec<Survey>,
    /// The same of drafts that are planned. They are no readings: nothing that was measured is held against them.
    pub planned: Vec<Survey>,
}

/// The readings of one occasion and what they give.
#[derive(Debug)]
pub struct Survey {
    /// The position, by its number in the project's list; `None` for arrival and departure.
    pub position: Option<usize>,
    /// The occasion.
    pub occasion: Occasion,
    /// What was read, in the order of the project's list.
    pub readings: Vec<Read>,
    /// When the last of them was taken.
    pub at: Option<DateTime<FixedOffset>>,
    /// Density of the water, t/m3: the mean of those recorded.
    pub water_density_t_m3: Option<f64>,
    /// Drafts, trim, list and hog.
    pub drafts: Option<Drafts>,
    /// Displacement and centre of gravity.
    pub displacement: Option<Displacement>,
}

/// A draft that was read, or is planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Read {
    /// The row, by its number in the project's list.
    pub row: usize,
    /// The draft, m.
    pub draft_m: f64,
}

impl Survey {
    /// Its name in the ids of findings: `P1.before-landing`, `arrival`.
    pub fn name(&self, project: &Project) -> String {
        match self.position.and_then(|n| project.positions.get(n)) {
            Some(position) => format!("{}.{}", position.id, self.occasion.word()),
            None => self.occasion.word().to_string(),
        }
    }
}

impl Survey {
    /// What it is called in sentences: `the survey before landing in P1`.
    pub fn in_words(&self, project: &Project) -> Text {
        let position = self.position.and_then(|n| project.positions.get(n));
        let survey = match self.occasion {
            Occasion::Arrival => "the survey on arrival",
            Occasion::BeforeLanding => "the survey before landing",
            Occasion::LiftOff => "the survey at lift-off",
            Occasion::Departure => "the survey on departure",
        };
        match position {
            Some(position) => text!("{} in {}", survey, id(&position.id)),
            None => survey.into(),
        }
    }
}

impl Ship {
    /// Works out the ship.
    pub fn new(project: &Project) -> Self {
        let perpendiculars = perpendiculars(project);
        let table = table(project);
        let surveys = |draft_m: fn(&DraftReading) -> Option<f64>| {
            surveys(project, draft_m, perpendiculars.as_ref(), table.as_ref())
        };
        let (read, planned) = (surveys(|row| row.draft_m), surveys(|row| row.planned_draft_m));
        Self { perpendiculars, table, surveys: read, planned }
    }

    /// The survey of a position on an occasion; arrival and departure also without a position.
    pub fn survey(&self, position: Option<usize>, occasion: Occasion) -> Option<&Survey> {
        self.surveys
            .iter()
            .find(|survey| survey.position == position && survey.occasion == occasion)
    }

    /// The first survey with a displacement on arrival, or else before the first landing: what the
    /// weight curve is held against.
    pub fn first_survey(&self) -> Option<&Survey> {
        let first = |occasion: Occasion| {
            self.surveys.iter().find(|s| s.occasion == occasion && s.displacement.is_some())
        };
        first(Occasion::Arrival).or_else(|| first(Occasion::BeforeLanding))
    }
}

fn perpendiculars(project: &Project) -> Option<Perpendiculars> {
    let ship = &project.docking.ship;
    let (aft_x_m, forward_x_m) = (ship.aft_perpendicular_x_m?, ship.forward_perpendicular_x_m?);
    Some(Perpendiculars { aft_x_m, forward_x_m })
}

/// The table; its rows were found in order when they were read.
fn table(project: &Project) -> Option<Table> {
    let datum = project.docking.hydrostatics.as_ref()?;
    let rows: Vec<Row> = project
        .hydrostatics
        .iter()
        .map(|row| Row {
            draft_m: row.draft_m,
            displacement_t: row.displacement_t,
            lcb_x_m: datum.lcb_lcf_from_x_m + row.lcb_m,
            lcf_x_m: datum.lcb_lcf_from_x_m + row.lcf_m,
            tpc_t_per_cm: row.tpc_t_per_cm,
            mct_tm_per_cm: row.mct_tm_per_cm,
            km_m: row.km_m,
        })
        .collect();
    Table::new(rows, datum.water_density_t_m3, datum.trim_m).ok()
}

fn surveys(
    project: &Project,
    draft_m: fn(&DraftReading) -> Option<f64>,
    perpendiculars: Option<&Perpendiculars>,
    table: Option<&Table>,
) -> Vec<Survey> {
    let number = |reading: &DraftReading| {
        let id = reading.position.as_deref()?;
        project.positions.iter().position(|position| position.id == id)
    };
    let has_draft = |reading: &&DraftReading| draft_m(reading).is_some();
    let mut keys: Vec<(Option<usize>, Occasion)> = (project.drafts.iter().filter(has_draft))
        .map(|reading| (number(reading), reading.occasion))
        .collect();
    // Arrival first, departure last, and between them position by position.
    let rank = |key: &(Option<usize>, Occasion)| match key.1 {
        Occasion::Arrival => (0, key.0, key.1),
        Occasion::Departure => (2, key.0, key.1),
        _ => (1, key.0, key.1),
    };
    keys.sort_by_key(rank);
    keys.dedup();
    keys.into_iter()
        .map(|(position, occasion)| {
            let rows =
                project.drafts.iter().enumerate().filter(|(_, reading)| {
                    number(reading) == position && reading.occasion == occasion
                });
            let readings: Vec<Read> = rows
                .filter_map(|(row, reading)| Some(Read { row, draft_m: draft_m(reading)? }))
                .collect();
            survey(project, position, occasion, readings, perpendiculars, table)
        })
        .collect()
}

fn survey(
    project: &Project,
    position: Option<usize>,
    occasion: Occasion,
    readings: Vec<Read>,
    perpendiculars: Option<&Perpendiculars>,
    table: Option<&Table>,
) -> Survey {
    let records: Vec<&DraftReading> =
        readings.iter().map(|read| &project.drafts[read.row]).collect();
    let marks: Vec<Reading> = (records.iter().zip(&readings))
        .map(|(r, read)| Reading { x_m: r.mark_x_m, y_m: r.mark_y_m, draft_m: read.draft_m })
        .collect();
    let densities: Vec<f64> = records.iter().filter_map(|r| r.water_density_t_m3).collect();
    let water_density_t_m3 =
        (!densities.is_empty()).then(|| densities.iter().sum::<f64>() / densities.len() as f64);
    let slip = project.docking.bounds.tolerance("draft").map_or(0.03, |tolerance| tolerance.value);
    let drafts =
        perpendiculars.and_then(|perpendiculars| drafts::drafts(&marks, perpendiculars, slip));
    let displacement = match (&drafts, perpendiculars, table, water_density_t_m3) {
        (Some(drafts), Some(perpendiculars), Some(table), Some(density)) => {
            drafts::displacement(drafts, perpendiculars, table, density)
        }
        _ => None,
    };
    Survey {
        position,
        occasion,
        at: records.iter().filter_map(|reading| reading.at).max(),
        readings,
        water_density_t_m3,
        drafts,
        displacement,
    }
}

/// What was moved between two times.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct MovedSum {
    /// Mass and moments.
    pub change: Change,
    /// How many weights.
    pub count: usize,
}

/// The weights moved after `from` and up to `to`; an open end takes all on its side.
pub fn moved_between(
    project: &Project,
    from: Option<DateTime<FixedOffset>>,
    to: Option<DateTime<FixedOffset>>,
) -> MovedSum {
    project
        .moved
        .iter()
        .filter(|moved| {
            let is_between = |at| from.is_none_or(|from| at > from) && to.is_none_or(|to| at <= to);
            moved.at.is_some_and(is_between)
        })
        .fold(MovedSum::default(), |sum, moved| sum.and(moved, moved.mass_t))
}

impl MovedSum {
    /// Both together.
    pub fn with(&self, other: &Self) -> Self {
        let (a, b) = (&self.change, &other.change);
        let change = Change {
            mass_t: a.mass_t + b.mass_t,
            x_tm: a.x_tm + b.x_tm,
            y_tm: a.y_tm + b.y_tm,
            z_tm: a.z_tm + b.z_tm,
        };
        Self { change, count: self.count + other.count }
    }

    /// The same with another weight of a mass in t.
    pub fn and(self, moved: &Moved, mass_t: f64) -> Self {
        let free_surface_tm = moved.free_surface_tm.unwrap_or(0.0);
        let change = Change {
            mass_t: self.change.mass_t + mass_t,
            x_tm: self.change.x_tm + mass_t * moved.x_m,
            y_tm: self.change.y_tm + mass_t * moved.y_m,
            z_tm: self.change.z_tm + mass_t * moved.z_m + free_surface_tm,
        };
        Self { change, count: self.count + 1 }
    }
}
