//! The docking as the records show it at one moment: what is open, which recoat window closes next, from when the
//! coats may meet the water, what was recorded on that day. It judges nothing; that is for the findings.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta};

use super::Examined;
use super::chronology;
use super::finding::Finding;
use super::progress::cure::{self, Cure};
use super::recomputed::coating::windows::{self, NoWindow};
use crate::records::Project;
use crate::records::coats::Application;
use crate::records::openings::Opened;
use crate::records::place::Place;
use crate::records::scheme::SchemeCoat;
use crate::records::spec::Holds;
use crate::records::value::Value;

/// The docking at one moment.
#[derive(Debug)]
pub struct Day<'a> {
    /// The moment.
    pub as_of: DateTime<FixedOffset>,
    /// Where the latest time of the records stands, if that is the moment.
    pub latest: Option<&'a Place>,
    /// Openings that were opened by then and not closed, in the order of the register.
    pub open: Vec<&'a Opened>,
    /// Coats of the present dry spell over which the scheme has another, the one whose window closes first at the
    /// beginning, those of which no end is known last.
    pub recoats: Vec<Recoat<'a>>,
    /// The position in which the dock is dry, and from when the coats of each zone may meet the water. `None` while
    /// by the records it is not dry.
    pub dry: Option<Dry>,
    /// The day, by the clock of the docking.
    pub day: NaiveDate,
    /// The files in which something is dated on that day up to the moment, each with how many of its rows.
    pub recorded: Vec<(String, usize)>,
}

/// The dry spell of the moment.
#[derive(Debug)]
pub struct Dry {
    /// The position, by its place in the project's list.
    pub position: usize,
    /// From when the coats of each zone may meet the water.
    pub cures: Vec<Cure>,
}

impl Dry {
    /// The last coat to be ready, if that is known of all.
    pub fn last(&self) -> Option<&Cure> {
        let all_known = self.cures.iter().all(|cure| cure.from.is_some());
        self.cures.iter().max_by_key(|cure| cure.from).filter(|_| all_known)
    }
}

/// A coat that waits for the next.
#[derive(Debug)]
pub struct Recoat<'a> {
    /// The coat.
    pub coat: &'a Application,
    /// The next of the scheme.
    pub next: &'a SchemeCoat,
    /// When the next may go on, or why that is not known.
    pub window: Result<Open, Unknown>,
}

/// When the next coat may go on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Open {
    /// Not before.
    pub from: DateTime<FixedOffset>,
    /// To be finished by; `None` where the product's table sets no end.
    pub to: Option<DateTime<FixedOffset>>,
    /// Coldest and warmest steel that was read since the coat was begun, degC.
    pub steel_c: (f64, f64),
}

/// Why a window is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unknown {
    /// When the coat was begun or finished is not recorded.
    NoTimes,
    /// The product's table and the readings give none.
    Window(NoWindow),
}

impl<'a> Day<'a> {
    /// The docking at a moment; `None` is the latest time of the records, papers apart. `None` where they give no
    /// time at all.
    pub fn new(examined: &'a Examined, as_of: Option<DateTime<FixedOffset>>) -> Option<Self> {
        let project = &examined.project;
        let dated = &examined.recomputed.chronology.dated;
        let latest = dated.iter().rfind(|dated| chronology::belongs(dated));
        let (as_of, latest) = match as_of {
            Some(as_of) => (as_of, None),
            None => (latest?.at, latest.map(|latest| &latest.place)),
        };
        let day = chronology::day(project, as_of);
        let is_open = |opened: &&Opened| {
            opened.opened_at.is_none_or(|at| at <= as_of)
                && opened.closed_at.is_none_or(|at| at > as_of)
        };
        let mut rows: BTreeMap<String, BTreeSet<Option<u32>>> = BTreeMap::new();
        for dated in dated.iter().filter(|dated| dated.at <= as_of) {
            if chronology::day(project, dated.at) == day {
                let file = dated.place.sheet_or_file().into_owned();
                rows.entry(file).or_default().insert(dated.place.line);
            }
        }
        let position = position_dry_at(project, as_of);
        Some(Self {
            as_of,
            latest,
            open: project.opened.iter().filter(is_open).collect(),
            recoats: position.map_or_else(Vec::new, |number| recoats(project, number, as_of)),
            dry: position.map(|position| Dry {
                position,
                cures: cure::cures(project, position, Some(as_of)),
            }),
            day,
            recorded: rows.into_iter().map(|(file, rows)| (file, rows.len())).collect(),
        })
    }
}

/// The position in which the dock is dry at a moment, by its place in the project's list.
fn position_dry_at(project: &Project, at: DateTime<FixedOffset>) -> Option<usize> {
    project.positions.iter().rposition(|position| {
        let times = &position.times;
        let water = times.reflood_began.or(times.afloat);
        times.dry.is_some_and(|dry| dry <= at) && water.is_none_or(|water| water > at)
    })
}

/// The last coat of each zone and extent in a dry spell, where the zone's scheme has another over it.
fn recoats(project: &Project, position: usize, as_of: DateTime<FixedOffset>) -> Vec<Recoat<'_>> {
    let mut recoats: Vec<Recoat<'_>> = cure::last_coats(project, position, Some(as_of))
        .into_iter()
        .filter_map(|coat| {
            let next = |next: &&SchemeCoat| next.zone == coat.zone && next.coat > coat.coat;
            let next = project.scheme.iter().filter(next).min_by_key(|next| next.coat)?;
            Some(Recoat { coat, next, window: open(project, coat, next, as_of) })
        })
        .collect();
    let closes = |recoat: &Recoat<'_>| match recoat.window {
        Ok(Open { to: Some(to), .. }) => (0, Some(to)),
        Ok(Open { to: None, .. }) => (1, None),
        Err(_) => (2, None),
    };
    recoats.sort_by_key(|recoat| (closes(recoat), &recoat.coat.name));
    recoats
}

fn open(
    project: &Project,
    coat: &Application,
    next: &SchemeCoat,
    as_of: DateTime<FixedOffset>,
) -> Result<Open, Unknown> {
    let (began, ended) = coat.began.zip(coat.ended).ok_or(Unknown::NoTimes)?;
    let products = [coat.product.as_str(), next.product.as_str()];
    let spell = (windows::hours(began), windows::hours(as_of));
    let read = windows::window_between(project, products, &coat.zone, spell);
    let window = read.window.map_err(Unknown::Window)?;
    let steel_c = read.steel_c.ok_or(Unknown::Window(NoWindow::NoSteel))?;
    let after = |at: DateTime<FixedOffset>, hours: f64| {
        at.checked_add_signed(TimeDelta::try_seconds((hours * 3600.0).round() as i64)?)
    };
    let from = after(ended, window.least_h).ok_or(Unknown::NoTimes)?;
    Ok(Open { from, to: window.greatest_h.and_then(|h| after(began, h)), steel_c })
}

/// What the records hold of one person.
#[derive(Debug)]
pub struct Person<'a> {
    /// Openings that the person opened and that are not closed.
    pub open: Vec<&'a Opened>,
    /// Applications by the person without a finish.
    pub unfinished: Vec<&'a Application>,
    /// Findings without an answer that follow from rows that name the person.
    pub findings: Vec<&'a Finding>,
    /// How many rows name the person.
    pub rows: usize,
}

impl Person<'_> {
    /// Whether anything of these is open.
    pub fn is_open(&self) -> bool {
        !(self.open.is_empty() && self.unfinished.is_empty() && self.findings.is_empty())
    }
}

/// What the records hold of one person, whose name is read without regard to capitals; or else all names that the
/// records give.
pub fn by_name<'a>(examined: &'a Examined, name: &str) -> Result<Person<'a>, Vec<String>> {
    let project = &examined.project;
    let is_meant = |written: &str| written.trim().to_lowercase() == name.trim().to_lowercase();
    let mut names: BTreeSet<String> = BTreeSet::new();
    let mut rows: BTreeSet<(&str, Option<u32>)> = BTreeSet::new();
    for entry in project.sheets.iter().flat_map(|sheet| &sheet.entries) {
        for (column, value) in entry.values() {
            let (true, Some(Value::Text(written))) = (is_by_whom(column.name, column.holds), value)
            else {
                continue;
            };
            if is_meant(written) {
                rows.insert((&entry.place.file, entry.place.line));
            }
            names.insert(written.to_string());
        }
    }
    let is_person = |by: &Option<String>| by.as_deref().is_some_and(is_meant);
    if rows.is_empty() {
        // Those that have the name in them come first.
        let mut names: Vec<String> = names.into_iter().collect();
        let wanted = name.trim().to_lowercase();
        names.sort_by_key(|known| !known.to_lowercase().contains(&wanted));
        return Err(names);
    }
    let names_person = |finding: &&Finding| {
        finding.records.iter().any(|place| rows.contains(&(&*place.file, place.line)))
    };
    Ok(Person {
        open: project
            .opened
            .iter()
            .filter(|opened| opened.closed_at.is_none() && is_person(&opened.opened_by))
            .collect(),
        unfinished: project
            .coats
            .iter()
            .filter(|coat| coat.ended.is_none() && is_person(&coat.by))
            .collect(),
        findings: examined.unanswered().filter(names_person).collect(),
        rows: rows.len(),
    })
}

/// Whether a column says who did what its row tells.
fn is_by_whom(name: &str, holds: Holds) -> bool {
    holds == Holds::Called && (name == "by" || name.ends_with("_by"))
}
