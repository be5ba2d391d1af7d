//! Dates that can't be meant: the docking's period against all that is dated in it, and what was planned, made or written long
//! before or after.

use chrono::{Datelike, Days, NaiveDate};

use crate::findings::finding::Finding;
use crate::findings::judge::differs;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::docking;
use crate::records::entry::Entry;
use crate::records::papers;
use crate::records::place::Place;
use crate::records::spec::Column;
use crate::records::value::Value;
use crate::text;
use crate::text::{Text, code, count};

/// So many days before the first record and after the last a docking's period may reach: a ship may lie in dock while nothing is
/// done, and two months of that would be remarkable.
const IDLE_DAYS: u64 = 120;

/// From how long before the docking's first day until how long after its last something may be dated, days.
struct Reach {
    file: &'static str,
    table: &'static str,
    column: &'static str,
    before: u64,
    after: u64,
    because: &'static str,
}

const YEAR: u64 = 366;

/// Dates that are no records of what happened in the dock. Those are held to the period by `chronology.period`.
const REACHES: &[Reach] = &[
    Reach {
        file: "docking.toml",
        table: "closeout",
        column: "prepared_on",
        before: 0,
        after: 10 * YEAR,
        because: "a report is prepared once she has been docked, or some years later",
    },
    Reach {
        file: "docking.toml",
        table: "plan",
        column: "chosen_on",
        before: 3 * YEAR,
        after: 0,
        because: "positions are chosen in the months before",
    },
    Reach {
        file: "coating/products.toml",
        table: "batch",
        column: "made",
        before: 10 * YEAR,
        after: 0,
        because: "paint is made before it is used, and does not keep for ten years",
    },
    Reach {
        file: "papers/papers.csv",
        table: "",
        column: "taken_at",
        before: 250 * YEAR,
        after: 5 * YEAR,
        because: "no paper of a ship is 250 years old, and those of her docking are written by the years after",
    },
];

/// How far what is planned may lie from the docking: months if she came early or late.
const PLANNED_DAYS: u64 = 2 * YEAR;

/// A date of the records that lies too far off.
struct Far {
    file: String,
    column: String,
    place: Place,
    day: NaiveDate,
    from: NaiveDate,
    to: NaiveDate,
    because: &'static str,
}

pub(super) fn findings(project: &Project) -> Vec<Finding> {
    let mut found: Vec<Finding> = period(project).into_iter().collect();
    // Where the period itself is in doubt nothing is held to it.
    if found.is_empty() {
        found.extend(far(project));
    }
    found
}

fn day_of(project: &Project, value: &Value) -> Option<NaiveDate> {
    match value {
        Value::Date(day) => Some(*day),
        Value::Time(at) => Some(project.docking.clock.shown(*at).date_naive()),
        _ => None,
    }
}

/// Days of what was recorded in the dock: all times that are not planned, but those of papers.
fn recorded(project: &Project) -> Vec<NaiveDate> {
    let sheets = project.sheets.iter().filter(|sheet| sheet.spec.path != papers::SPEC.path);
    let values = sheets.flat_map(|sheet| &sheet.entries).flat_map(Entry::values);
    let values = values.filter(|(column, _)| !column.is_planned());
    let mut days: Vec<NaiveDate> =
        values.filter_map(|(_, value)| day_of(project, value?)).collect();
    days.sort();
    days
}

/// The period against what is dated in it: a year mistyped makes it much longer than all that happened.
fn period(project: &Project) -> Option<Finding> {
    let days = recorded(project);
    let (Some(began), Some(ended)) = project.docking.period else { return None };
    // One date mistyped is told by the chronology.
    if days.len() < 8 {
        return None;
    }
    let (first, last) = (days[days.len() / 20], days[days.len() - 1 - days.len() / 20]);
    let idle = Days::new(IDLE_DAYS);
    let early = began.checked_add_days(idle).is_some_and(|day| day < first);
    let late = ended.checked_sub_days(idle).is_some_and(|day| day > last);
    if !early && !late {
        return None;
    }
    let entry = project.keyed.iter().find(|keyed| keyed.path == docking::SPEC.path)?;
    let entry = entry.single("period")?;
    let (name, day) = if early { ("began", began) } else { ("ended", ended) };
    let column: &Column =
        entry.values().map(|(column, _)| column).find(|column| column.name == name)?;
    // The year or the month of the records nearest to it, if either alone would put it right.
    let near = if early { first } else { last };
    let other_year = day.with_year(near.year());
    let within = |day: &NaiveDate| {
        let apart = (near - *day).num_days() * if early { 1 } else { -1 };
        (-1..=IDLE_DAYS as i64).contains(&apart)
    };
    let remedy = match other_year.filter(|day| within(day)) {
        Some(day) => text!("; {} would fit", day),
        None => Text::new(),
    };
    let sentence = text!(
        "The docking {} on {} by its period, and of {} nearly all lie between {} and {}: nothing is recorded of the months \
         between{}.",
        name,
        day,
        count(days.len(), "date", "dates"),
        first,
        last,
        remedy
    );
    let subject = Subject::Range("docking-period".to_string(), name.to_string());
    Some(differs(sentence).finding(subject).doubting_all([&entry.place_of(column), &entry.place]))
}

/// Dates of plans, batches and papers, each against the docking.
fn far(project: &Project) -> Vec<Finding> {
    let (began, ended) = project.days();
    let (Some(began), Some(ended)) = (began.or(ended), ended.or(began)) else { return Vec::new() };
    let mut all: Vec<Far> = Vec::new();
    let mut hold = |file: &'static str, table: &'static str, entry: &Entry| {
        for (column, value) in entry.values() {
            let Some(day) = value.and_then(|value| day_of(project, value)) else { continue };
            let reach = REACHES.iter().find(|known| {
                (known.file, known.table, known.column) == (file, table, column.name)
            });
            let (before, after, because) = match reach {
                Some(reach) => (reach.before, reach.after, reach.because),
                None if column.is_planned() => (
                    PLANNED_DAYS,
                    PLANNED_DAYS,
                    "what is planned for a docking happens in the same year, or the next",
                ),
                None => continue,
            };
            let from = began.checked_sub_days(Days::new(before)).unwrap_or(NaiveDate::MIN);
            let to = ended.checked_add_days(Days::new(after)).unwrap_or(NaiveDate::MAX);
            if !(from..=to).contains(&day) {
                let name = if table.is_empty() { String::new() } else { format!("-{table}") };
                let file =
                    file.trim_end_matches(".csv").trim_end_matches(".toml").replace('/', "-");
                all.push(Far {
                    file: format!("{file}{name}"),
                    column: column.name.to_string(),
                    place: entry.place_of(column),
                    day,
                    from,
                    to,
                    because,
                });
            }
        }
    };
    for sheet in &project.sheets {
        sheet.entries.iter().for_each(|entry| hold(sheet.spec.path, "", entry));
    }
    for keyed in &project.keyed {
        keyed.entries().for_each(|(table, entry)| hold(keyed.path, table, entry));
    }
    let mut found: Vec<Finding> = Vec::new();
    while let Some(first) = all.first() {
        let key = (first.file.clone(), first.column.clone());
        let (same, others): (Vec<Far>, Vec<Far>) =
            all.into_iter().partition(|far| (far.file == key.0) && (far.column == key.1));
        found.extend(finding(&same));
        all = others;
    }
    found
}

fn finding(far: &[Far]) -> Option<Finding> {
    let first = far.first()?;
    let more = match far.len() {
        1 => Text::new(),
        several => text!(", with {} more of its column", several - 1),
    };
    let sentence = text!(
        "{} says {}, outside of what is plausible, {} to {}, since {}{}.",
        code(first.place.to_string()),
        first.day,
        first.from,
        first.to,
        first.because,
        more
    );
    let subject = Subject::Range(first.file.clone(), first.column.clone());
    let places: Vec<&Place> = far.iter().map(|far| &far.place).collect();
    Some(differs(sentence).finding(subject).doubting_all(places))
}
