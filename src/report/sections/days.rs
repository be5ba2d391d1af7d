//! The docking day by day: what happened, one by one, and how many readings were taken.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime};
use serde::Serialize;

use crate::findings::Examined;
use crate::findings::chronology::day;
use crate::records::Project;
use crate::records::{checks, climate, coats, drafts, film, openings, papers, plating};
use crate::records::{positions, preparation, water, weights};
use crate::report::text;

/// A day with anything dated.
#[derive(Serialize)]
pub(super) struct Day {
    day: String,
    /// Whether it lies in the period of the docking, as far as that is recorded.
    inside: bool,
    dock: Vec<String>,
    events: Vec<Event>,
    /// Readings counted by file, in one sentence part.
    counted: Option<String>,
}

#[derive(Serialize)]
struct Event {
    at: String,
    what: String,
}

/// Files whose dates are told one by one.
const TOLD: [&str; 6] = [
    positions::SPEC.path,
    openings::SPEC.path,
    openings::OPENED_SPEC.path,
    coats::SPEC.path,
    checks::SPEC.path,
    weights::MOVED_SPEC.path,
];

/// Files whose dates are counted: one of them, several.
const COUNTED: [(&str, &str, &str); 11] = [
    (positions::MARKS_SPEC.path, "sighting", "sightings"),
    (drafts::SPEC.path, "draft reading", "draft readings"),
    (water::SPEC.path, "water level", "water levels"),
    (checks::GAPS_SPEC.path, "gap measured", "gaps measured"),
    (preparation::SPEC.path, "preparation check", "preparation checks"),
    (climate::SPEC.path, "climate reading", "climate readings"),
    (film::SPEC.path, "film reading", "film readings"),
    (film::GAUGES_SPEC.path, "gauge check", "gauge checks"),
    (plating::SPEC.path, "plate gauging", "plate gaugings"),
    (plating::ANODES_SPEC.path, "anode seen", "anodes seen"),
    (papers::SPEC.path, "paper or photograph", "papers or photographs"),
];

/// Every day on which something is dated, in order.
pub(super) fn days(examined: &Examined) -> Vec<Day> {
    let (project, chronology) = (&examined.project, &examined.recomputed.chronology);
    let mut counts: BTreeMap<NaiveDate, BTreeMap<usize, usize>> = BTreeMap::new();
    for dated in &chronology.dated {
        let on_day = counts.entry(day(project, dated.at)).or_default();
        if TOLD.contains(&&*dated.place.file) {
            continue;
        }
        let file = COUNTED.iter().position(|(path, ..)| **path == *dated.place.file);
        *on_day.entry(file.unwrap_or(COUNTED.len())).or_default() += 1;
    }
    let mut told: BTreeMap<NaiveDate, Vec<(DateTime<FixedOffset>, String)>> = BTreeMap::new();
    for (at, what) in events(project) {
        told.entry(day(project, at)).or_default().push((at, what));
    }
    let (began, ended) = project.docking.period;
    counts
        .into_iter()
        .map(|(date, counts)| {
            let mut events = told.remove(&date).unwrap_or_default();
            events.sort_by_key(|(at, _)| *at);
            Day {
                day: text::day(date),
                inside: began.is_none_or(|began| began <= date)
                    && ended.is_none_or(|ended| date <= ended),
                dock: spells_on(examined, date),
                events: events
                    .into_iter()
                    .map(|(at, what)| Event { at: clock(project, at), what })
                    .collect(),
                counted: counted(&counts),
            }
        })
        .collect()
}

fn counted(counts: &BTreeMap<usize, usize>) -> Option<String> {
    let said: Vec<String> = counts
        .iter()
        .map(|(file, count)| match COUNTED.get(*file) {
            Some((_, one, many)) => text::count(*count, one, many),
            None => text::count(*count, "other date", "other dates"),
        })
        .collect();
    let said: Vec<&str> = said.iter().map(String::as_str).collect();
    (!said.is_empty()).then(|| text::and(&said))
}

/// The hour of the day by the project's own clock.
fn clock(project: &Project, at: DateTime<FixedOffset>) -> String {
    let at = project.docking.offset.map_or(at, |offset| at.with_timezone(&offset));
    at.format("%H:%M").to_string()
}

/// What the dock was on a day: every spell that touches it.
fn spells_on(examined: &Examined, date: NaiveDate) -> Vec<String> {
    let project = &examined.project;
    let offset = project.docking.offset;
    let local = |at: DateTime<FixedOffset>| {
        offset.map_or(at, |offset| at.with_timezone(&offset)).naive_local()
    };
    let (Some(next), begin) = (date.succ_opt(), date.and_time(NaiveTime::MIN)) else {
        return Vec::new();
    };
    let end = next.and_time(NaiveTime::MIN);
    let spells = &examined.recomputed.chronology.spells;
    let last = spells.len().saturating_sub(1);
    let mut said: Vec<String> = Vec::new();
    for (n, spell) in spells.iter().enumerate() {
        // Only the water after the last position may go on without an end.
        let known_end = spell.to.is_some() || (n == last && !spell.dry);
        let Some(from) = spell.from.filter(|_| known_end) else { continue };
        if local(from) < end && spell.to.is_none_or(|to| local(to) > begin) {
            let id = project.positions.get(spell.position).map_or("", |position| &position.id);
            let words = format!("{id} {}", if spell.dry { "dry" } else { "wet" });
            if !said.contains(&words) {
                said.push(words);
            }
        }
    }
    said
}

/// What is told one by one: the positions' times, openings opened and closed, applications, landing
/// checks and weights moved.
fn events(project: &Project) -> Vec<(DateTime<FixedOffset>, String)> {
    let mut events = Vec::new();
    let mut tell = |at: Option<DateTime<FixedOffset>>, what: String| {
        events.extend(at.map(|at| (at, what)));
    };
    for position in &project.positions {
        for (name, at) in position.times.in_order() {
            tell(at, format!("{}: {name}", position.id));
        }
    }
    for opened in &project.opened {
        tell(opened.opened_at, format!("{} opened", opened.opening));
        tell(opened.closed_at, format!("{} closed", opened.opening));
    }
    for coat in &project.coats {
        let what = format!("{} coat {}, {}", coat.zone, coat.coat, coat.product);
        match (coat.began, coat.ended) {
            (Some(began), Some(ended)) if day(project, began) == day(project, ended) => {
                tell(coat.began, format!("{what}, until {}", clock(project, ended)));
            }
            _ => {
                tell(coat.began, format!("{what} begun"));
                tell(coat.ended, format!("{what} ended"));
            }
        }
    }
    for check in &project.checks {
        let of = check.block.as_deref().map(|block| format!(" {block}")).unwrap_or_default();
        let check_is = checks::called(&check.check);
        let found = check.recorded.as_deref().map(|found| format!(": {found}"));
        tell(check.at, format!("{} {check_is}{of}{}", check.position, found.unwrap_or_default()));
    }
    for moved in &project.moved {
        let mass = text::number(moved.mass_t.abs(), 1);
        let way = if moved.mass_t < 0.0 { "off" } else { "on" };
        tell(Some(moved.at), format!("{mass}\u{a0}t {way}: {}", moved.item));
    }
    events
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::examine;
    use crate::records::{FILES, memory, spec::Holds};

    #[test]
    fn every_file_with_times_is_told_or_counted() {
        for spec in FILES {
            let has_times = spec.columns.iter().any(|column| column.holds == Holds::Time);
            let known =
                TOLD.contains(&spec.path) || COUNTED.iter().any(|(path, ..)| *path == spec.path);
            assert_eq!(has_times, known, "{}", spec.path);
        }
    }

    #[test]
    fn a_day_tells_what_happened_and_counts_what_was_read() {
        let times = "position,flooding_began,touched,landed,dry,reflood_began,afloat\n\
                     P1,2031-04-01T06:00:00+01:00,,,2031-04-01T16:00:00+01:00,\
                     2031-04-03T06:00:00+01:00,\n";
        let project = memory::project(&[
            (
                "docking.toml",
                "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n[period]\n\
                 began = 2031-04-01\nended = 2031-04-03\noffset = \"+01:00\"\n"
                    .to_string(),
            ),
            ("plan/blocks.csv", "block,row,station_m,offset_m,length_m,width_m\n".into()),
            ("positions/positions.csv", times.into()),
            (
                "landing/moved.csv",
                "at,item,mass_t,x_m,y_m,z_m\n2031-04-02T10:15:00,scrap landed,-10.2,44,0,2\n".into(),
            ),
            (
                "coating/climate.csv",
                // The first is 00:30 of the 2nd by the project's clock.
                "at,air_temperature_c\n2031-04-01T23:30:00+00:00,9\n2031-04-02T12:00:00,9\n\
                 2031-04-09T12:00:00,9\n"
                    .into(),
            ),
        ]);
        let examined = examine(project).unwrap_or_else(|problems| panic!("{problems:?}"));
        let days = days(&examined);
        let said: Vec<&str> = days.iter().map(|day| day.day.as_str()).collect();
        assert_eq!(said, ["1 April 2031", "2 April 2031", "3 April 2031", "9 April 2031"]);
        let told = |n: usize| -> Vec<String> {
            days[n].events.iter().map(|event| format!("{} {}", event.at, event.what)).collect()
        };
        assert_eq!(told(0), ["06:00 P1: flooding began", "16:00 P1: dry"]);
        assert_eq!(days[0].dock, ["P1 wet", "P1 dry"]);
        assert_eq!(told(1), ["10:15 10.2\u{a0}t off: scrap landed"]);
        assert_eq!(
            (days[1].dock.join(" "), &days[1].counted),
            ("P1 dry".to_string(), &Some("2 climate readings".to_string()))
        );
        assert_eq!(days[2].dock, ["P1 dry", "P1 wet"]);
        assert!(days[2].inside && !days[3].inside);
        assert_eq!((days[3].dock.join(" "), days[3].events.len()), ("P1 wet".to_string(), 0));
    }
}
