//! Every dated record of the project on one line: the wet and dry spells, the phases of the docking, and the
//! climate readings beyond a limit.

use chrono::{DateTime, FixedOffset};

use crate::calc::climate::dew_point_c;
use crate::records::Project;
use crate::records::climate::Climate;
use crate::records::place::Place;
use crate::records::spec::Holds;
use crate::records::value::Value;

/// The line.
#[derive(Debug, Default)]
pub struct Chronology {
    /// Every point in time that a row of the records gives, in order of time; what is planned has not happened.
    pub dated: Vec<Dated>,
    /// The spells of the dock, in order of time.
    pub spells: Vec<Spell>,
    /// The phases of the docking, in order of time; at least one.
    pub phases: Vec<Phase>,
    /// The climate readings beyond a limit, in order of time.
    pub weather: Vec<Beyond>,
}

/// A phase of the docking: from the time at which it begins to that of the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phase {
    pub stage: Stage,
    /// The position, by its place in the project's list; `None` where no time of a position is recorded.
    pub position: Option<usize>,
    /// When it begins. What is dated before the first phase belongs to it.
    pub from: Option<DateTime<FixedOffset>>,
}

/// What a phase is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// The dock is flooded for the position, and pumped until she touches.
    Flooding,
    /// From her first touch until the dock is dry.
    Landing,
    /// The dock is dry.
    Dry,
    /// From the water's return on.
    Reflooded,
    /// Whatever is dated in a position whose times don't follow each other, or in a docking without any.
    Whole,
}

/// A climate reading beyond a limit, whether or not anything was coated then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beyond {
    /// Its place in the project's list.
    pub reading: usize,
    pub at: DateTime<FixedOffset>,
    /// The humidity is over its limit.
    pub humid: bool,
    /// The steel is less above the dew point than its limit.
    pub near_dew_point: bool,
}

/// A point in time of the records.
#[derive(Debug, Clone)]
pub struct Dated {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// The path of the table whose row it is.
    pub table: &'static str,
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
        for sheet in &project.sheets {
            for entry in &sheet.entries {
                for (column, value) in entry.values().filter(|(column, _)| !column.is_planned()) {
                    if let (Holds::Time, Some(Value::Time(at))) = (column.holds, value) {
                        let (table, place) = (sheet.spec.path, entry.place_of(column));
                        dated.push(Dated { at: *at, table, place });
                    }
                }
            }
        }
        dated.shrink_to_fit();
        dated.sort_by(|a, b| (a.at, &a.place).cmp(&(b.at, &b.place)));
        let mut weather: Vec<Beyond> = beyond(project);
        weather.sort_by_key(|beyond| (beyond.at, beyond.reading));
        Self { dated, spells: spells(project), phases: phases(project), weather }
    }

    /// Whether a climate reading carries a note of the weather: what one of a single zone says of itself is mostly where
    /// it was taken, unless it is beyond a limit.
    pub fn is_of_weather(&self, project: &Project, reading: &Climate) -> bool {
        let same = |beyond: &Beyond| {
            project.climate.get(beyond.reading).is_some_and(|other| other.place == reading.place)
        };
        reading.notes.is_some() && (reading.zone.is_none() || self.weather.iter().any(same))
    }

    /// The phase of a time, by its place in the list.
    pub fn phase_at(&self, at: DateTime<FixedOffset>) -> usize {
        let begun = |phase: &Phase| phase.from.is_none_or(|from| from <= at);
        self.phases.iter().rposition(begun).unwrap_or(0)
    }
}

fn beyond(project: &Project) -> Vec<Beyond> {
    let limit = |name: &str| project.docking.bounds.limit(name).map(|limit| limit.value);
    let (most_humidity, least_margin) = (limit("humidity"), limit("dew_point_margin"));
    let readings = project.climate.iter().enumerate();
    let judged = readings.map(|(reading, climate)| {
        let dew = climate.air_c.zip(climate.humidity_pct);
        let dew = dew.and_then(|(air_c, humidity_pct)| dew_point_c(air_c, humidity_pct));
        let margin = climate.steel_c.zip(dew).map(|(steel_c, dew_c)| steel_c - dew_c);
        let over = climate.humidity_pct.zip(most_humidity).is_some_and(|(pct, most)| pct > most);
        let near = margin.zip(least_margin).is_some_and(|(k, least)| k < least - 1e-9);
        Beyond { reading, at: climate.at, humid: over, near_dew_point: near }
    });
    judged.filter(|beyond| beyond.humid || beyond.near_dew_point).collect()
}

/// The phases of all positions that state a time. A later position's flooding is the reflooding of the one before.
fn phases(project: &Project) -> Vec<Phase> {
    let mut phases: Vec<Phase> = Vec::new();
    let mut flooded_again = false;
    for (number, position) in project.positions.iter().enumerate() {
        let times = &position.times;
        let recorded = times.in_order().map(|(_, at)| at);
        let recorded: Vec<DateTime<FixedOffset>> = recorded.into_iter().flatten().collect();
        let mut add = |stage: Stage, from: Option<DateTime<FixedOffset>>| {
            let phase = Phase { stage, position: Some(number), from };
            phases.extend(from.is_some().then_some(phase));
        };
        if !recorded.is_sorted() {
            add(Stage::Whole, recorded.iter().min().copied());
            continue;
        }
        if !flooded_again {
            add(Stage::Flooding, times.flooding_began);
        }
        add(Stage::Landing, times.touched.or(times.landed));
        add(Stage::Dry, times.dry);
        add(Stage::Reflooded, times.reflood_began.or(times.afloat));
        flooded_again = times.reflood_began.is_some();
    }
    phases.sort_by_key(|phase| phase.from);
    if phases.is_empty() {
        phases.push(Phase { stage: Stage::Whole, position: None, from: None });
    }
    phases
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
