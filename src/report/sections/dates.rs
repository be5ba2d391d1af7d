//! The docking in dates: its first and last day, the times of each position, and what happened day by day.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime};

use super::drawings::drawings_of;
use crate::findings::Examined;
use crate::findings::chronology::day;
use crate::pages::{Column, Section, Table};
use crate::records::Project;
use crate::records::{checks, climate, coats, drafts, film, openings, papers, plating};
use crate::records::{positions, preparation, water, weights};
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Form, Text, count, id, strong};

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let project = &inputs.examined.project;
    let (began, ended) = project.docking.period;
    let mut section = Section::new("The docking in dates").at("dates");
    let period = [("first day".into(), began.into()), ("last day".into(), ended.into())];
    section.table(Table::facts(["Docking", "Day"], period));
    if project.positions.is_empty() {
        section.paragraph("No docking position is recorded, and so no times either.");
    }
    for position in &project.positions {
        section.part(text!("Position {}", id(&position.id)));
        let times = position.times.in_order().into_iter();
        let columns = [Column::text("Event").mm(45.0), Column::text("Time as recorded")];
        let times = times.map(|(name, time)| [name.into(), time.into()]);
        section.table(Table::new(columns).rows(times));
    }

    section.part("Timeline");
    let days = days(inputs.examined);
    if days.is_empty() {
        section.paragraph("Nothing in the records is dated.");
        return section;
    }
    section.drawings(drawings_of(inputs, Group::Chronology));
    section.subpart("Day by day");
    let columns = [
        Column::name("Day").mm(26.0),
        Column::name("Dock").mm(18.0),
        Column::text("What happened"),
    ];
    let about = text!(
        "Times of positions, openings, applications, landing checks and weights are given one by one; readings \
         are counted. {} says whether it was dry, by position.",
        strong("Dock")
    );
    let rows = days.into_iter().map(|day| {
        let outside = if day.inside { "" } else { ", outside the period" };
        let dock = (!day.dock.is_empty()).then(|| Text::joined(day.dock, LINE));
        let events = day.events.into_iter().map(|(at, what)| text!("{}\u{2002}{}", at, what));
        [
            text!("{}{}", day.date, outside).into(),
            dock.into(),
            Text::joined(events.chain(day.counted), LINE).into(),
        ]
    });
    section.table(Table::new(columns).rows(rows).small().about(about));
    section
}

/// Between two lines of a cell.
const LINE: &str = "\n";

/// A day with anything dated.
struct Day {
    date: NaiveDate,
    /// Whether it lies in the period of the docking, as far as that is recorded.
    inside: bool,
    /// Wet or dry, by position.
    dock: Vec<Text>,
    /// The hour and what happened.
    events: Vec<(String, Text)>,
    /// Readings counted by file, in one sentence part.
    counted: Option<Text>,
}

/// Files whose dates are given one by one.
const ONE_BY_ONE: [&str; 6] = [
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
fn days(examined: &Examined) -> Vec<Day> {
    let (project, chronology) = (&examined.project, &examined.recomputed.chronology);
    let mut counts: BTreeMap<NaiveDate, BTreeMap<usize, usize>> = BTreeMap::new();
    for dated in &chronology.dated {
        let on_day = counts.entry(day(project, dated.at)).or_default();
        if ONE_BY_ONE.contains(&&*dated.place.file) {
            continue;
        }
        let file = COUNTED.iter().position(|(path, ..)| **path == *dated.place.file);
        *on_day.entry(file.unwrap_or(COUNTED.len())).or_default() += 1;
    }
    let mut by_day: BTreeMap<NaiveDate, Vec<(DateTime<FixedOffset>, Text)>> = BTreeMap::new();
    for (at, what) in events(project) {
        by_day.entry(day(project, at)).or_default().push((at, what));
    }
    let (began, ended) = project.docking.period;
    counts
        .into_iter()
        .map(|(date, counts)| {
            let mut events = by_day.remove(&date).unwrap_or_default();
            events.sort_by_key(|(at, _)| *at);
            Day {
                date,
                inside: began.is_none_or(|began| began <= date)
                    && ended.is_none_or(|ended| date <= ended),
                dock: spells_on(examined, date),
                events: events.into_iter().map(|(at, what)| (clock(project, at), what)).collect(),
                counted: counted(&counts),
            }
        })
        .collect()
}

fn counted(counts: &BTreeMap<usize, usize>) -> Option<Text> {
    let each = counts.iter().map(|(file, readings)| match COUNTED.get(*file) {
        Some((_, one, many)) => count(*readings, one, many).into(),
        None => count(*readings, "other date", "other dates").into(),
    });
    (!counts.is_empty()).then(|| Text::listed(each))
}

/// The hour of the day by the project's own clock.
fn clock(project: &Project, at: DateTime<FixedOffset>) -> String {
    let at = project.docking.offset.map_or(at, |offset| at.with_timezone(&offset));
    at.format("%H:%M").to_string()
}

/// What the dock was on a day: every spell that touches it.
fn spells_on(examined: &Examined, date: NaiveDate) -> Vec<Text> {
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
    let mut spells_on: Vec<Text> = Vec::new();
    for (n, spell) in spells.iter().enumerate() {
        // Only the water after the last position may go on without an end.
        let known_end = spell.to.is_some() || (n == last && !spell.dry);
        let Some(from) = spell.from.filter(|_| known_end) else { continue };
        if local(from) < end && spell.to.is_none_or(|to| local(to) > begin) {
            let position = project.positions.get(spell.position).map_or("", |found| &found.id);
            let words = text!("{} {}", id(position), if spell.dry { "dry" } else { "wet" });
            if !spells_on.contains(&words) {
                spells_on.push(words);
            }
        }
    }
    spells_on
}

/// What is given one by one: the positions' times, openings opened and closed, applications, landing
/// checks and weights moved.
fn events(project: &Project) -> Vec<(DateTime<FixedOffset>, Text)> {
    let mut events = Vec::new();
    let mut add = |at: Option<DateTime<FixedOffset>>, what: Text| {
        events.extend(at.map(|at| (at, what)));
    };
    for position in &project.positions {
        for (name, at) in position.times.in_order() {
            add(at, text!("{}: {}", id(&position.id), name));
        }
    }
    for opened in &project.opened {
        add(opened.opened_at, text!("{} opened", id(&opened.opening)));
        add(opened.closed_at, text!("{} closed", id(&opened.opening)));
    }
    for coat in &project.coats {
        let what = text!("zone {} coat {} ({})", id(&coat.zone), coat.coat, &coat.product);
        match (coat.began, coat.ended) {
            (Some(began), Some(ended)) if day(project, began) == day(project, ended) => {
                add(coat.began, text!("{}, until {}", what, clock(project, ended)));
            }
            _ => {
                add(coat.began, text!("{} begun", &what));
                add(coat.ended, text!("{} ended", what));
            }
        }
    }
    for check in &project.checks {
        let mut what = text!("{} {}", id(&check.position), checks::called(&check.check));
        if let Some(block) = &check.block {
            what.extend(text!(" {}", id(block)));
        }
        if let Some(found) = &check.recorded {
            what.extend(text!(": {}", found));
        }
        add(check.at, what);
    }
    for moved in &project.moved {
        let mass = Form::Mass.measure(moved.mass_t.abs()).decimals(1);
        let way = if moved.mass_t < 0.0 { "off" } else { "on" };
        add(Some(moved.at), text!("{} {}: {}", mass, way, &moved.item));
    }
    events
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::examine;
    use crate::records::{FILES, memory, spec::Holds};

    #[test]
    fn every_file_with_times_is_given_or_counted() {
        for spec in FILES {
            let has_times = spec.columns.iter().any(|column| column.holds == Holds::Time);
            let known = ONE_BY_ONE.contains(&spec.path)
                || COUNTED.iter().any(|(path, ..)| *path == spec.path);
            assert_eq!(has_times, known, "{}", spec.path);
        }
    }

    #[test]
    fn a_day_says_what_happened_and_counts_what_was_read() {
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
        let dates: Vec<String> = days.iter().map(|day| text::day(day.date)).collect();
        assert_eq!(dates, ["1 April 2031", "2 April 2031", "3 April 2031", "9 April 2031"]);
        let events = |n: usize| -> Vec<String> {
            days[n].events.iter().map(|(at, what)| format!("{at} {what}")).collect()
        };
        let dock = |n: usize| -> Vec<String> { days[n].dock.iter().map(Text::to_string).collect() };
        assert_eq!(events(0), ["06:00 P1: flooding began", "16:00 P1: dry"]);
        assert_eq!(dock(0), ["P1 wet", "P1 dry"]);
        assert_eq!(events(1), ["10:15 10.2 t off: scrap landed"]);
        assert_eq!(dock(1), ["P1 dry"]);
        assert_eq!(days[1].counted, Some("2 climate readings".into()));
        assert_eq!(dock(2), ["P1 dry", "P1 wet"]);
        assert!(days[2].inside && !days[3].inside);
        assert_eq!((dock(3), days[3].events.len()), (vec!["P1 wet".to_string()], 0));
    }
}
