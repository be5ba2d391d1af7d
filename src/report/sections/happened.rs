//! What happened: the docking told in the order of its records, phase by phase. Every time, figure and quoted word
//! stands in a record, which is named behind it; nothing is put between them.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, NaiveDateTime, TimeDelta, Timelike};

use super::drawings::drawings_of;
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::recomputed::chronology::{Phase, Stage};
use crate::findings::recomputed::divers::Measured;
use crate::findings::subject::Subject;
use crate::pages::Section;
use crate::pages::pieces::centimetres;
use crate::records::blocks::Block;
use crate::records::coats::Application;
use crate::records::entry::Entry;
use crate::records::grammar::times;
use crate::records::place::Place;
use crate::records::spec::Holds;
use crate::records::{
    Project, checks, climate, coats, divers, drafts, openings, papers, plating, positions,
    preparation, water, weights,
};
use crate::report::figures::Group;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{
    Form, Text, and, code, count, id, list_first, section as in_section, shortened, source, strong,
};

/// Most statements with a time of their own that a phase tells.
const MOST_TOLD: usize = 20;
/// Statements that one sentence joins.
const MOST_JOINED: usize = 4;
/// Most zones whose coats are told one by one.
const MOST_ZONES: usize = 8;
/// Most names, notes and things moved that a sentence gives.
const MOST_NAMED: usize = 6;
/// Most characters of what somebody wrote.
const LONGEST_QUOTE: usize = 140;

pub(super) fn section(inputs: &Inputs<'_>) -> Section {
    let mut section = Section::new("What happened").at("happened").on_own_page();
    let examined = inputs.examined;
    section.paragraph(head(examined));
    section.drawings(drawings_of(inputs, Group::Chronology));
    // Titles stand at the head of their paragraphs: as headings they would take a third of a page.
    for (title, paragraphs) in phases(examined) {
        let mut title = Some(title);
        for text in paragraphs {
            let text = match title.take() {
                Some(title) => text!("{} {}", strong(format!("{title}.")), text),
                None => text,
            };
            section.paragraph(text);
        }
    }
    let absent = absent(examined);
    if !absent.is_empty() {
        section.paragraph(text!("{} {}", strong("What the record does not tell."), absent));
    }
    section
}

/// Who was docked where and when, and how times are written here.
fn head(examined: &Examined) -> Text {
    let (project, clock) = (&examined.project, Clock::new(examined));
    let docking = &project.docking;
    let place = docking.dock.location.as_ref();
    let place = place.map_or(Text::new(), |place| text!(" at {}", place));
    let ids = project.positions.iter().map(|position| Text::from(id(&position.id)));
    let positions = match project.positions.len() {
        0 => "no docking position is recorded".into(),
        1 => text!("one docking position is recorded, {}", Text::listed(ids)),
        _ => text!(
            "the docking positions recorded are {}",
            Text::listed(ids.take(MOST_NAMED.max(12)))
        ),
    };
    let period = match docking.period {
        (Some(began), Some(ended)) => {
            text!("from {} to {}", clock.full_day(began), clock.full_day(ended))
        }
        (Some(began), None) => {
            text!("from {}; the last day is not recorded", clock.full_day(began))
        }
        (None, Some(ended)) => text!("to {}; the first day is not recorded", clock.full_day(ended)),
        (None, None) => "on days that are not recorded as a period".into(),
    };
    let times = match text::offsets(&clock.told_by) {
        Some(offsets) => text!("Times are {}.", offsets),
        None => {
            "Records give different offsets from UTC, so each time is followed by its own.".into()
        }
    };
    text!(
        "{}: {}{}, {}; {}. Told here is only what is recorded; {} behind a sentence is line 4 of {}. Words in quotation \
         marks are those of the people there, levels in brackets those of the water in the dock. {}",
        strong(&docking.ship.name),
        &docking.dock.name,
        place,
        period,
        positions,
        source("landing/water:4"),
        code("landing/water.csv"),
        times
    )
}

/// The clock by which times are told.
pub(super) struct Clock {
    /// The project's, or that of the one offset in which all records are written.
    told_by: times::Clock,
    /// The year that goes without saying.
    year: Option<i32>,
}

impl Clock {
    pub(super) fn new(examined: &Examined) -> Self {
        let dated = &examined.recomputed.chronology.dated;
        let docking = &examined.project.docking;
        let first = dated.first().map(|dated| *dated.at.offset());
        let one = first.filter(|first| dated.iter().all(|dated| dated.at.offset() == first));
        let stated = Some(docking.clock.clone()).filter(|clock| clock.first().is_some());
        let told_by = stated.unwrap_or_else(|| times::Clock::of(one));
        let mut clock = Self { told_by, year: None };
        let began = docking.period.0.or(dated.first().map(|dated| clock.day(dated.at)));
        clock.year = began.map(|day| day.year());
        clock
    }

    fn local(&self, at: DateTime<FixedOffset>) -> NaiveDateTime {
        self.told_by.shown(at).naive_local()
    }

    fn day(&self, at: DateTime<FixedOffset>) -> NaiveDate {
        self.local(at).date()
    }

    fn hour(&self, at: DateTime<FixedOffset>) -> String {
        let local = self.local(at);
        let form = if local.second() == 0 { "%H:%M" } else { "%H:%M:%S" };
        // Of an hour that the clocks showed twice the offset says which it was.
        let own = if self.told_by.first().is_none() || self.told_by.is_twice(local) {
            format!(" ({})", self.told_by.shown(at).offset())
        } else {
            String::new()
        };
        format!("{}{own}", local.format(form))
    }

    /// A time with its day, for a table.
    pub(super) fn moment(&self, at: DateTime<FixedOffset>) -> String {
        format!("{} {}", self.told(self.day(at)), self.hour(at))
    }

    fn full_day(&self, day: NaiveDate) -> String {
        text::day(day)
    }

    /// A day in words, with its year only where it is another than that in which the docking began.
    fn told(&self, day: NaiveDate) -> String {
        let full = text::day(day);
        let short = full.rsplit_once(' ').map_or(full.as_str(), |(short, _)| short);
        if self.year == Some(day.year()) { short.to_string() } else { full }
    }

    /// Days in a row: `10, 14 and 15 April`.
    fn listed(&self, days: &[NaiveDate]) -> String {
        let month = |day: &NaiveDate| (day.year(), day.month());
        let each = days.iter().enumerate().map(|(n, day)| match days.get(n + 1) {
            Some(next) if month(next) == month(day) => day.day().to_string(),
            _ => self.told(*day),
        });
        and(&each.collect::<Vec<String>>())
    }

    /// From one day to another.
    fn span(&self, from: NaiveDate, to: NaiveDate) -> String {
        let is_one_month = (from.year(), from.month()) == (to.year(), to.month());
        let from = if is_one_month { from.day().to_string() } else { self.told(from) };
        format!("{from} to {}", self.told(to))
    }

    /// On which days: `on 11 April`, `on 14 and 16 April`, `from 7 to 15 April`.
    fn on(&self, days: &BTreeSet<NaiveDate>) -> String {
        const MOST_DAYS: usize = 4;
        let (Some(first), Some(last)) = (days.first(), days.last()) else { return String::new() };
        let in_a_row = (*last - *first).num_days() + 1 == days.len() as i64;
        if in_a_row && days.len() > 2 {
            return format!("from {}", self.span(*first, *last));
        }
        if days.len() > MOST_DAYS {
            return format!("on {} days from {}", days.len(), self.span(*first, *last));
        }
        format!("on {}", self.listed(&days.iter().copied().collect::<Vec<_>>()))
    }
}

/// A statement with the time from which it is told.
struct Told<'a> {
    at: DateTime<FixedOffset>,
    /// Where it took until then.
    until: Option<DateTime<FixedOffset>>,
    what: Text,
    /// The position that it is of, where that is not the phase's own.
    position: Option<&'a str>,
    places: Vec<&'a Place>,
    /// What is left out first where there is much to tell: the highest.
    weight: u8,
}

/// Titles and paragraphs of the phases of which anything is told.
fn phases(examined: &Examined) -> Vec<(Text, Vec<Text>)> {
    let chronology = &examined.recomputed.chronology;
    let clock = Clock::new(examined);
    let mut told: Vec<Vec<Told>> = chronology.phases.iter().map(|_| Vec::new()).collect();
    for statement in statements(examined) {
        told[chronology.phase_at(statement.at)].push(statement);
    }
    let mut all = Vec::new();
    for (number, (phase, mut told)) in chronology.phases.iter().zip(told).enumerate() {
        told.sort_by_key(|told| told.at);
        let mut paragraphs = vec![sentences(examined, &clock, phase, told)];
        unfound(examined, phase, &mut paragraphs[0]);
        let within = |at: DateTime<FixedOffset>| chronology.phase_at(at) == number;
        paragraphs.extend(work(examined, &clock, &within));
        paragraphs.retain(|text| !text.is_empty());
        if !paragraphs.is_empty() {
            all.push((title(examined, number), paragraphs));
        }
    }
    all
}

fn title(examined: &Examined, number: usize) -> Text {
    let phases = &examined.recomputed.chronology.phases;
    let name = |phase: &Phase| {
        let position = examined.project.positions.get(phase.position?)?;
        Some(Text::from(id(&position.id)))
    };
    let phase = &phases[number];
    let own = name(phase).unwrap_or_default();
    let next = phases[number + 1..].iter().find(|next| next.position != phase.position);
    match (phase.stage, next.and_then(name)) {
        (Stage::Flooding, _) => text!("Flooding and pumping for {}", own),
        (Stage::Landing, _) => text!("Landing in {}", own),
        (Stage::Dry, _) => text!("Dry in {}", own),
        (Stage::Reflooded, Some(next)) => text!("Afloat, from {} to {}", own, next),
        (Stage::Reflooded, None) => text!("Flooding and lift-off from {}", own),
        (Stage::Whole, _) if phase.position.is_some() => text!("Position {}", own),
        (Stage::Whole, _) => "In the order of time".into(),
    }
}

/// The statements of a phase as sentences, each day and each file named once in a row.
fn sentences(examined: &Examined, clock: &Clock, phase: &Phase, mut told: Vec<Told>) -> Text {
    let left_out = told.len().saturating_sub(MOST_TOLD);
    if left_out > 0 {
        let mut order: Vec<usize> = (0..told.len()).collect();
        order.sort_by_key(|n| (told[*n].weight, *n));
        let kept: BTreeSet<usize> = order.into_iter().take(MOST_TOLD).collect();
        let mut n = 0;
        told.retain(|_| {
            n += 1;
            kept.contains(&(n - 1))
        });
    }
    let own = phase.position.and_then(|number| examined.project.positions.get(number));
    let mut day = None;
    let mut clauses: Vec<(Text, Vec<&Place>)> = Vec::new();
    for told in told {
        let mut clause = when(clock, &told, &mut day);
        clause.extend(told.what);
        let of = told.position.filter(|of| own.is_none_or(|own| own.id != **of));
        if let Some(of) = of {
            clause.extend(text!(" ({})", id(of)));
        }
        clauses.push((clause, told.places));
    }
    let mut text = Text::new();
    for joined in clauses.chunks(MOST_JOINED) {
        let sentence = Text::joined(joined.iter().map(|(clause, _)| clause.clone()), "; ");
        let places: Vec<&Place> =
            joined.iter().flat_map(|(_, places)| places.iter().copied()).collect();
        add(&mut text, sentence.capitalized(), &places);
    }
    if left_out > 0 {
        let more = count(left_out, "more statement", "more statements");
        add(
            &mut text,
            text!("{} with a time of their own stand in the files of these records", more)
                .capitalized(),
            &[],
        );
    }
    text
}

/// When a statement was, with its day where that is another than the one before.
fn when(clock: &Clock, told: &Told, day: &mut Option<NaiveDate>) -> Text {
    let (from, hour) = (clock.day(told.at), clock.hour(told.at));
    let until = told.until.filter(|until| *until != told.at);
    let to = until.map(|until| (clock.day(until), clock.hour(until)));
    let is_new = day.replace(from) != Some(from);
    let first = if is_new { format!("on {} ", clock.told(from)) } else { String::new() };
    match to {
        None => text!("{}at {} ", first, hour),
        Some((end, to)) if end == from => text!("{}from {} to {} ", first, hour, to),
        Some((end, to)) => {
            *day = Some(end);
            text!("from {} {} to {} {} ", clock.told(from), hour, clock.told(end), to)
        }
    }
}

/// Adds a sentence and where it stands.
fn add(text: &mut Text, sentence: Text, places: &[&Place]) {
    if sentence.is_empty() {
        return;
    }
    if !text.is_empty() {
        text.push(" ");
    }
    text.extend(sentence);
    let stands = stands(places);
    if !stands.is_empty() {
        text.push(" ");
        text.push(source(format!("({stands})")));
    }
    text.push(".");
}

/// Files, without the end of their names, with their lines where these are few.
fn stands(places: &[&Place]) -> String {
    const MOST_STRETCHES: usize = 4;
    let mut files: BTreeMap<String, BTreeSet<u32>> = BTreeMap::new();
    let mut order: Vec<String> = Vec::new();
    for place in places {
        let file = place.sheet_or_file();
        let file = file.strip_suffix(".csv").unwrap_or(&file).to_string();
        if !order.contains(&file) {
            order.push(file.clone());
        }
        files.entry(file).or_default().extend(place.row.or(place.line));
    }
    let each = order.iter().map(|file| {
        let lines: Vec<u32> = files[file].iter().copied().collect();
        let stretches = lines.chunk_by(|a, b| a + 1 == *b).map(|lines| match lines {
            [first, .., last] => format!("{first}\u{2013}{last}"),
            [one] => one.to_string(),
            [] => String::new(),
        });
        let stretches: Vec<String> = stretches.collect();
        match stretches.len() {
            1..=MOST_STRETCHES => format!("{file}:{}", stretches.join(", ")),
            _ => file.clone(),
        }
    });
    each.collect::<Vec<_>>().join("; ")
}

fn quoted(words: &str) -> String {
    format!("\u{201c}{}\u{201d}", shortened(words.trim(), LONGEST_QUOTE))
}

/// Words of a note behind a comma, where there is one.
fn noted(notes: Option<&String>) -> Text {
    notes.map_or(Text::new(), |notes| text!(", {}", quoted(notes)))
}

/// Everything that is told with a time of its own.
fn statements(examined: &Examined) -> Vec<Told<'_>> {
    let project = &examined.project;
    let mut told = Vec::new();
    for position in &project.positions {
        of_position(project, position, &mut told);
    }
    of_drafts(project, &mut told);
    of_checks(project, &mut told);
    of_divers(examined, &mut told);
    of_papers(project, &mut told);
    told
}

/// The events of the water log that are times of a position too.
const TIMES: [(&str, &str, &str); 6] = [
    ("flooding began", "flooding-began", "flooding of the dock began"),
    ("touched", "first-touch", "she first touched the blocks"),
    ("landed", "landed", "she was landed fore and aft"),
    ("dry", "dry", "the dock was dry"),
    ("reflood began", "reflood-began", "water was let in again"),
    ("afloat", "afloat", "she was afloat"),
];

/// A position's times with the levels read at them, and what else its water log says.
fn of_position<'a>(
    project: &'a Project,
    position: &'a positions::Position,
    told: &mut Vec<Told<'a>>,
) {
    let log: Vec<&water::WaterLevel> =
        project.water.iter().filter(|water| water.position == position.id).collect();
    let again = |at: DateTime<FixedOffset>| {
        project.positions.iter().any(|other| other.times.reflood_began == Some(at))
    };
    for ((_, at), (_, _, words)) in position.times.in_order().into_iter().zip(TIMES) {
        let Some(at) = at else { continue };
        // One flooding lifts her off one position and serves the next: it is told once.
        if position.times.flooding_began == Some(at) && again(at) {
            continue;
        }
        let read = log.iter().find(|water| water.at == at);
        let level = read.map_or(Text::new(), |water| text!(" ({})", centimetres(water.level_m)));
        let mut places = vec![&position.place];
        places.extend(read.map(|water| &water.place));
        let what =
            text!("{}{}{}", words, level, noted(read.and_then(|water| water.notes.as_ref())));
        told.push(Told { at, until: None, what, position: Some(&position.id), places, weight: 0 });
    }
    // A halt ends where pumping is resumed, a dive where the divers come up: one statement for both.
    let end_of = |water: &water::WaterLevel| {
        let end = match water.event.as_deref()? {
            "halt" => "pumping-resumed",
            "diver-down" => "diver-up",
            _ => return None,
        };
        let same = |other: &&&water::WaterLevel| {
            other.at > water.at
                && (other.event == water.event || other.event.as_deref() == Some(end))
        };
        let next = log.iter().filter(same).min_by_key(|other| other.at)?;
        (next.event.as_deref() == Some(end) && next.notes.is_none()).then_some(*next)
    };
    let ends: Vec<&Place> = log.iter().filter_map(|water| Some(&end_of(water)?.place)).collect();
    for water in &log {
        if ends.contains(&&water.place) {
            continue;
        }
        let end = end_of(water);
        let (event, notes) = (water.event.as_deref(), water.notes.as_ref());
        let known = TIMES.iter().position(|(_, known, _)| event == Some(*known));
        let own = known.and_then(|n| position.times.in_order()[n].1);
        // Of two flooding events at one time, one per position, the first is told.
        let doubled = event == Some("flooding-began") && notes.is_none() && again(water.at);
        // What divers found is told from the landing checks.
        let is_dive = matches!(event, Some("diver-down" | "diver-up")) && notes.is_none();
        if is_dive
            || (event.is_none() && notes.is_none())
            || (known.is_some() && own == Some(water.at))
            || doubled
        {
            continue;
        }
        let words = match event {
            Some("pumping-began") => "pumping began",
            Some("halt") => "there was a halt",
            Some("pumping-resumed") => "pumping was resumed",
            Some("diver-down") if end.is_some() => "divers were down",
            Some("diver-down") => "divers went down",
            Some("diver-up") => "divers came up",
            Some("lift-off") => "she lifted off",
            Some("other") | None => "",
            Some(_) => known.map_or("", |n| TIMES[n].2),
        };
        let level = text!("({})", centimetres(water.level_m));
        let what = match (words, event) {
            ("", _) => {
                let said =
                    notes.map_or("an event without words".to_string(), |notes| quoted(notes));
                text!("{} {}", said, level)
            }
            (words, Some("diver-down" | "diver-up")) => text!("{}{}", words, noted(notes)),
            (words, _) if known.is_some() => {
                text!("by the water log {} {}{}", words, level, noted(notes))
            }
            (words, _) => text!("{} {}{}", words, level, noted(notes)),
        };
        let weight = match event {
            Some("pumping-began" | "lift-off") => 0,
            Some(_) => 2,
            None => 4,
        };
        let position = Some(position.id.as_str());
        let places =
            [Some(&water.place), end.map(|end| &end.place)].into_iter().flatten().collect();
        told.push(Told {
            at: water.at,
            until: end.map(|end| end.at),
            what,
            position,
            places,
            weight,
        });
    }
}

/// Rows of one kind as one statement, from the first of their times to the last; `None` where none has a time.
fn together<'a>(
    rows: impl IntoIterator<Item = (Option<DateTime<FixedOffset>>, &'a Place)>,
    what: impl FnOnce(usize) -> Text,
    position: Option<&'a str>,
    weight: u8,
) -> Option<Told<'a>> {
    let rows: Vec<(DateTime<FixedOffset>, &Place)> =
        rows.into_iter().filter_map(|(at, place)| Some((at?, place))).collect();
    let (at, until) = (rows.iter().map(|row| row.0).min()?, rows.iter().map(|row| row.0).max());
    let places: Vec<&Place> = rows.iter().map(|row| row.1).collect();
    Some(Told { at, until, what: what(places.len()), position, places, weight })
}

fn of_drafts<'a>(project: &'a Project, told: &mut Vec<Told<'a>>) {
    let mut surveys: BTreeMap<(Option<&str>, drafts::Occasion), Vec<&drafts::DraftReading>> =
        BTreeMap::new();
    for reading in project.drafts.iter().filter(|reading| reading.is_read()) {
        surveys.entry((reading.position.as_deref(), reading.occasion)).or_default().push(reading);
    }
    for ((position, occasion), readings) in surveys {
        let occasion = match occasion {
            drafts::Occasion::Arrival => "on arrival",
            drafts::Occasion::BeforeLanding => "before landing",
            drafts::Occasion::LiftOff => "after lift-off",
            drafts::Occasion::Departure => "on departure",
        };
        let what = |n| {
            let marks = count(n, "mark", "marks");
            text!("drafts were read {} ({})", occasion, marks)
        };
        let rows = readings.iter().map(|reading| (reading.at, &reading.place));
        told.extend(together(rows, what, position, 1));
    }
}

/// Landing checks, those together that follow each other within the hour and came out alike.
fn of_checks<'a>(project: &'a Project, told: &mut Vec<Told<'a>>) {
    let mut checks: Vec<(DateTime<FixedOffset>, &checks::LandingCheck)> =
        project.checks.iter().filter_map(|check| Some((check.at?, check))).collect();
    checks.sort_by_key(|(at, _)| *at);
    let alike = |a: &checks::LandingCheck, b: &checks::LandingCheck| {
        a.position == b.position && a.as_planned == b.as_planned
    };
    for group in checks.chunk_by(|a, b| alike(a.1, b.1) && b.0 - a.0 < TimeDelta::hours(1)) {
        let Some((_, first)) = group.first() else { continue };
        let mut kind = "";
        let found = group.iter().take(MOST_NAMED).map(|(_, check)| {
            let called = match std::mem::replace(&mut kind, &check.check) == check.check {
                true => Text::new(),
                false => text!("{} ", checks::called(&check.check)),
            };
            let block = check.block.as_ref().map_or(Text::new(), |block| text!("{} ", id(block)));
            let found = match (&check.recorded, check.recorded_m) {
                (Some(words), _) => quoted(words).into(),
                (None, Some(value)) => centimetres(value).into(),
                (None, None) => Text::from("with nothing recorded of what was found"),
            };
            text!("{}{}{}", called, block, found)
        });
        let mut found = Text::joined(found, ", ");
        let more = group.len().saturating_sub(MOST_NAMED);
        if more > 0 {
            found.extend(text!(" and {} more", more));
        }
        let judged = match first.as_planned {
            Some(true) => "found as planned",
            Some(false) => "found not as planned",
            None => "checked",
        };
        let what = |_| text!("{}: {}", judged, found);
        let rows = group.iter().map(|(at, check)| (Some(*at), &check.place));
        let weight = if first.as_planned == Some(false) { 0 } else { 1 };
        told.extend(together(rows, what, Some(&first.position), weight));
    }
}

/// What divers measured at the blocks, round by round.
fn of_divers<'a>(examined: &'a Examined, told: &mut Vec<Told<'a>>) {
    let project = &examined.project;
    for round in &examined.recomputed.divers {
        let row = |one: &Measured| &project.divers[one.row];
        let mut blocks: Vec<&str> = round.measured.iter().map(|one| &*row(one).block).collect();
        blocks.dedup();
        let what = |_| text!("divers measured the keel at {}", list_first(&blocks, MOST_NAMED));
        let rows = round.measured.iter().map(|one| (row(one).at, &row(one).place));
        let position = &project.positions[round.position].id;
        told.extend(together(rows, what, Some(position), 1));
    }
}

/// Papers about a block that was found elsewhere than planned: what they say of it.
fn of_papers<'a>(project: &'a Project, told: &mut Vec<Told<'a>>) {
    let moved: BTreeSet<&str> = (project.blocks.iter())
        .filter_map(|block| Some([block.id.as_str(), block.moved_from.as_deref()?]))
        .flatten()
        .collect();
    let about = |paper: &papers::Paper| {
        paper.about.iter().any(|name| moved.contains(name.rsplit(':').next().unwrap_or(name)))
    };
    for paper in project.papers.iter().filter(|paper| about(paper)) {
        let (Some(at), Some(caption)) = (paper.taken_at, &paper.caption) else { continue };
        let Some(kind @ ("photograph" | "letter")) = paper.kind.as_deref() else { continue };
        let what = text!("a {} is dated: {}", kind, quoted(caption));
        told.push(Told {
            at,
            until: None,
            what,
            position: None,
            places: vec![&paper.place],
            weight: 3,
        });
    }
}

/// Where she lay by the record, and blocks found elsewhere than planned, neither of which has a time: in the phase of
/// the position's landing, or in the only one that the position has.
fn unfound(examined: &Examined, phase: &Phase, text: &mut Text) {
    let (project, phases) = (&examined.project, &examined.recomputed.chronology.phases);
    let of_phase: Vec<&positions::Position> = match phase.position {
        None => project.positions.iter().collect(),
        Some(number) => {
            let own = |other: &&Phase| other.position == Some(number);
            let landing = phases.iter().filter(own).find(|own| own.stage == Stage::Landing);
            let chosen = landing.or_else(|| phases.iter().find(own));
            project.positions.get(number).filter(|_| chosen == Some(phase)).into_iter().collect()
        }
    };
    for position in of_phase {
        let name = id(&position.id);
        if let (Some(station), Some(offset)) =
            (position.recorded_srp_station_m, position.recorded_offset_m)
        {
            let side = if offset < 0.0 { "to starboard" } else { "to port" };
            let sentence = text!(
                "In {} her stern reference point is recorded at station {}, {} {}",
                name,
                centimetres(station),
                Form::Length.measure(offset.abs()),
                side
            );
            add(text, sentence, &[&position.place]);
        }
        for block in project.blocks.iter().filter(|block| block.stands_in(&position.id)) {
            let planned = block.moved_from.as_ref();
            let planned =
                planned.and_then(|id| project.blocks.iter().find(|block| block.id == *id));
            if let Some(planned) = planned {
                add(
                    text,
                    found_elsewhere(block, planned, position),
                    &[&block.place, &planned.place],
                );
            }
        }
    }
}

/// How far a block was found from where it was planned.
fn found_elsewhere(block: &Block, planned: &Block, position: &positions::Position) -> Text {
    let ways = |metres: f64, more: &str, less: &str| {
        let way = if metres > 0.0 { more } else { less };
        (metres.abs() >= 0.0005).then(|| text!("{} {}", Form::Length.measure(metres.abs()), way))
    };
    let (at, from) = (block.cap.centre, planned.cap.centre);
    let turned = block.cap.turn_deg - planned.cap.turn_deg;
    let turn = (turned.abs() >= 0.05).then(|| {
        let way = if turned > 0.0 { "anticlockwise" } else { "clockwise" };
        text!("turned {} {}", Form::Angle.measure(turned.abs()).decimals(1), way)
    });
    let parts = [
        ways(at.x - from.x, "forward", "aft"),
        ways(at.y - from.y, "to port", "to starboard"),
        turn,
    ];
    let parts = Text::listed(parts.into_iter().flatten());
    let by = if parts.is_empty() {
        "in its planned place".into()
    } else {
        text!("{} from its planned place", parts)
    };
    text!(
        "In {} block {} is recorded as {}, {}{}",
        id(&position.id),
        id(&planned.id),
        id(&block.id),
        by,
        noted(block.notes.as_ref())
    )
}

/// Work in a phase, told by subject: openings and steel; coating and weather.
fn work(
    examined: &Examined,
    clock: &Clock,
    within: &dyn Fn(DateTime<FixedOffset>) -> bool,
) -> [Text; 2] {
    let mut steel = of_openings(&examined.project, clock, within);
    for sentence in [
        of_gaugings(&examined.project, clock, within),
        of_anodes(&examined.project, clock, within),
        of_weights(&examined.project, clock, within),
    ] {
        add(&mut steel, sentence.0, &sentence.1);
    }
    let mut coating = of_preparation(&examined.project, clock, within);
    for (sentence, places) in of_coats(&examined.project, clock, within) {
        add(&mut coating, sentence, &places);
    }
    for (sentence, places) in of_weather(examined, clock, within) {
        add(&mut coating, sentence, &places);
    }
    [steel, coating]
}

type Sentence<'a> = (Text, Vec<&'a Place>);
type Within<'a> = &'a dyn Fn(DateTime<FixedOffset>) -> bool;

/// The days of some times.
fn days(
    clock: &Clock,
    times: impl IntoIterator<Item = DateTime<FixedOffset>>,
) -> BTreeSet<NaiveDate> {
    times.into_iter().map(|at| clock.day(at)).collect()
}

/// A few names, or how many there are.
fn names(names: &BTreeSet<&str>) -> Option<Text> {
    (names.len() <= MOST_NAMED).then(|| Text::listed(names.iter().map(|name| id(*name).into())))
}

fn of_openings(project: &Project, clock: &Clock, within: Within<'_>) -> Text {
    let mut text = Text::new();
    let falls = |at: Option<DateTime<FixedOffset>>| at.is_some_and(within);
    let opened: Vec<&openings::Opened> =
        project.opened.iter().filter(|row| falls(row.opened_at)).collect();
    let closed: Vec<&openings::Opened> =
        project.opened.iter().filter(|row| falls(row.closed_at)).collect();
    fn ids<'a>(rows: &[&'a openings::Opened]) -> BTreeSet<&'a str> {
        rows.iter().map(|row| row.opening.as_str()).collect()
    }
    let places = |rows: &[&'_ openings::Opened]| -> Vec<Place> {
        rows.iter().map(|row| row.place.clone()).collect()
    };
    let mut say = |sentence: Text, rows: &[&openings::Opened]| {
        let places = places(rows);
        add(&mut text, sentence, &places.iter().collect::<Vec<_>>());
    };
    if !opened.is_empty() {
        let on = clock.on(&days(clock, opened.iter().filter_map(|row| row.opened_at)));
        let names = ids(&opened);
        let which = self::names(&names).unwrap_or_else(|| by_kind(project, &names));
        say(text!("Openings were opened {}: {}", on, which), &opened);
        let open: Vec<_> = opened.iter().copied().filter(|row| row.closed_at.is_none()).collect();
        if !open.is_empty() {
            let which = self::names(&ids(&open)).unwrap_or_else(|| open.len().to_string().into());
            say(text!("Of {} no closing is recorded", which), &open);
        }
    }
    if !closed.is_empty() {
        let on = clock.on(&days(clock, closed.iter().filter_map(|row| row.closed_at)));
        let names = ids(&closed);
        let which =
            self::names(&names).unwrap_or_else(|| count(names.len(), "opening", "openings").into());
        let mut tests: BTreeMap<&str, usize> = BTreeMap::new();
        let tested = closed.iter().filter_map(|row| row.tested_how.as_deref());
        tested.for_each(|how| *tests.entry(how).or_default() += 1);
        let mut tests: Vec<(&str, usize)> = tests.into_iter().collect();
        tests.sort_by_key(|(how, times)| (std::cmp::Reverse(*times), *how));
        let others = tests.len().saturating_sub(3);
        let mut how: Vec<Text> =
            tests.iter().take(3).map(|(how, times)| text!("{} ({})", quoted(how), times)).collect();
        if others > 0 {
            how.push(text!("{} written otherwise", others));
        }
        let how =
            if how.is_empty() { Text::new() } else { text!(", tested {}", Text::listed(how)) };
        say(text!("Closed {}: {}{}", on, which, how), &closed);
        let untested: Vec<_> =
            closed.iter().copied().filter(|row| row.tested_how.is_none()).collect();
        if !untested.is_empty() {
            let which =
                self::names(&ids(&untested)).unwrap_or_else(|| untested.len().to_string().into());
            say(text!("No test is recorded for the closing of {}", which), &untested);
        }
    }
    text
}

/// How many openings of each kind.
fn by_kind(project: &Project, names: &BTreeSet<&str>) -> Text {
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    let named = project.openings.iter().filter(|opening| names.contains(opening.id.as_str()));
    named.for_each(|opening| *kinds.entry(opening.kind.as_str()).or_default() += 1);
    let each = kinds.into_iter().map(|(kind, number)| {
        let (one, many) = match kind {
            "overboard" => ("overboard discharge".to_string(), "overboard discharges".to_string()),
            "other" => ("other opening".to_string(), "other openings".to_string()),
            kind => (kind.replace('-', " "), format!("{}s", kind.replace('-', " "))),
        };
        Text::from(count(number, &one, &many))
    });
    Text::listed(each)
}

fn of_gaugings<'a>(project: &'a Project, clock: &Clock, within: Within<'_>) -> Sentence<'a> {
    let rows = project.plating.iter().filter(|row| row.at.is_some_and(within));
    let rows: Vec<&plating::Gauging> = rows.collect();
    if rows.is_empty() {
        return Sentence::default();
    }
    let on = clock.on(&days(clock, rows.iter().filter_map(|row| row.at)));
    let strakes: BTreeSet<&str> = rows.iter().map(|row| row.strake.as_str()).collect();
    let sentence = text!(
        "The plating was gauged {}: {} on {}",
        on,
        count(rows.len(), "reading", "readings"),
        count(strakes.len(), "strake", "strakes")
    );
    (sentence, rows.iter().map(|row| &row.place).collect())
}

fn of_anodes<'a>(project: &'a Project, clock: &Clock, within: Within<'_>) -> Sentence<'a> {
    let rows = project.anodes.iter().filter(|row| row.at.is_some_and(within));
    let rows: Vec<&plating::Anode> = rows.collect();
    if rows.is_empty() {
        return Sentence::default();
    }
    let on = clock.on(&days(clock, rows.iter().filter_map(|row| row.at)));
    let renewed = rows.iter().filter(|row| row.renewed == Some(true)).count();
    let unknown = rows.iter().filter(|row| row.renewed.is_none()).count();
    let mut sentence = text!(
        "{} looked at {}; {} renewed",
        count(rows.len(), "anode was", "anodes were"),
        on,
        count(renewed, "is recorded as", "are recorded as")
    );
    if unknown > 0 {
        sentence.extend(text!("; of {} that is not recorded", unknown));
    }
    (sentence, rows.iter().map(|row| &row.place).collect())
}

fn of_weights<'a>(project: &'a Project, clock: &Clock, within: Within<'_>) -> Sentence<'a> {
    let rows: Vec<&weights::Moved> =
        project.moved.iter().filter(|row| row.at.is_some_and(within)).collect();
    if rows.is_empty() {
        return Sentence::default();
    }
    let on = clock.on(&days(clock, rows.iter().filter_map(|row| row.at)));
    let off = rows.iter().filter(|row| row.mass_t < 0.0).count();
    let sentence = match (off, rows.len() - off) {
        (0, on_board) => text!("Weights put on board {}: {}", on, on_board),
        (off, 0) => text!("Weights taken off {}: {}", on, off),
        (off, on_board) => text!("Weights moved {}: {} off, {} on board", on, off, on_board),
    };
    (sentence, rows.iter().map(|row| &row.place).collect())
}

/// How steel was prepared, in the order in which it began.
fn of_preparation(project: &Project, clock: &Clock, within: Within<'_>) -> Text {
    let mut kinds: Vec<(DateTime<FixedOffset>, Text, BTreeSet<&str>)> = Vec::new();
    let mut places: Vec<&Place> = Vec::new();
    for treatment in preparation::Treatment::ALL {
        let rows = project.preparation.iter().filter(|row| row.treatment == *treatment);
        let rows: Vec<&preparation::Preparation> =
            rows.filter(|row| row.at.is_some_and(within)).collect();
        let Some(first) = rows.iter().filter_map(|row| row.at).min() else { continue };
        let words = match treatment {
            preparation::Treatment::Blast => "blasting",
            preparation::Treatment::Sweep => "sweep blasting",
            preparation::Treatment::Abrade => "abrading",
            preparation::Treatment::Wash => "washing",
            preparation::Treatment::Other => "other treatment",
        };
        let on = clock.on(&days(clock, rows.iter().filter_map(|row| row.at)));
        let checks = count(rows.len(), "check", "checks");
        places.extend(rows.iter().map(|row| &row.place));
        let zones: BTreeSet<&str> = rows.iter().map(|row| row.zone.as_str()).collect();
        kinds.push((first, text!("{} {} ({})", words, on, checks), zones));
    }
    kinds.sort_by_key(|(first, ..)| *first);
    let which = |zones: &BTreeSet<&str>| match names(zones) {
        Some(names) => text!("zones {}", names),
        None => text!("{} zones", zones.len()),
    };
    let mut text = Text::new();
    let Some((.., zones)) = kinds.first() else { return text };
    let one = kinds.iter().all(|(.., other)| other == zones).then(|| which(zones));
    let each = kinds.iter().map(|(_, words, zones)| match &one {
        Some(_) => words.clone(),
        None => text!("{} of {}", words, which(zones)),
    });
    let each = Text::listed(each.collect::<Vec<_>>());
    let of = one.as_ref().map_or(Text::new(), |zones| text!(" of {}", zones));
    add(&mut text, text!("Preparation recorded: {}{}", each, of), &places);
    text
}

/// Coats, zone by zone.
fn of_coats<'a>(project: &'a Project, clock: &Clock, within: Within<'_>) -> Vec<Sentence<'a>> {
    let at = |coat: &Application| coat.began.or(coat.ended);
    let mut rows: Vec<&Application> =
        (project.coats.iter()).filter(|coat| at(coat).is_some_and(within)).collect();
    rows.sort_by_key(|coat| (at(coat), coat.coat));
    if rows.is_empty() {
        return Vec::new();
    }
    let mut zones: BTreeMap<&str, Vec<&Application>> = BTreeMap::new();
    rows.iter().for_each(|coat| zones.entry(&coat.zone).or_default().push(coat));
    let mut sentences: Vec<Sentence> = Vec::new();
    if zones.len() > MOST_ZONES {
        let on = clock.on(&days(clock, rows.iter().filter_map(|coat| at(coat))));
        let sentence = text!(
            "Coats went on {}: {} on {} zones",
            on,
            count(rows.len(), "application", "applications"),
            zones.len()
        );
        sentences.push((sentence, rows.iter().map(|coat| &coat.place).collect()));
    } else {
        let each =
            zones.iter().map(|(zone, coats)| text!("{} {}", id(*zone), of_zone(clock, coats)));
        let sentence = text!("Coats: {}", Text::joined(each, "; "));
        sentences.push((sentence, rows.iter().map(|coat| &coat.place).collect()));
    }
    let noted: Vec<&&Application> = rows.iter().filter(|coat| coat.notes.is_some()).collect();
    if !noted.is_empty() {
        let each = noted.iter().take(MOST_NAMED).map(|coat| {
            let notes = coat.notes.as_deref().unwrap_or_default();
            text!("{} coat {}, {}", id(&coat.zone), coat.coat, quoted(notes))
        });
        let mut each: Vec<Text> = each.collect();
        let more = noted.len().saturating_sub(MOST_NAMED);
        if more > 0 {
            each.push(text!("{} more", more));
        }
        let sentence = text!("Noted beside them: {}", Text::joined(each, "; "));
        sentences.push((sentence, noted.iter().take(MOST_NAMED).map(|coat| &coat.place).collect()));
    }
    sentences
}

/// The coats of one zone with their days, by what of it they are claimed for.
fn of_zone(clock: &Clock, coats: &[&Application]) -> Text {
    const MOST_COATS: usize = 8;
    let mut extents: Vec<&str> = Vec::new();
    for coat in coats {
        if !extents.contains(&coat.extent.word()) {
            extents.push(coat.extent.word());
        }
    }
    let each = extents.iter().map(|extent| {
        let own: Vec<&&Application> =
            coats.iter().filter(|coat| coat.extent.word() == *extent).collect();
        let ends = |coat: &Application| {
            let began = coat.began.or(coat.ended).map(|at| clock.day(at));
            began.zip(coat.ended.or(coat.began).map(|at| clock.day(at)))
        };
        let spans: Vec<(NaiveDate, NaiveDate)> = own.iter().filter_map(|coat| ends(coat)).collect();
        let in_order = own.windows(2).all(|pair| pair[1].coat == pair[0].coat + 1);
        let one_day_each = spans.iter().all(|(from, to)| from == to)
            && spans.windows(2).all(|pair| pair[0].0 < pair[1].0);
        let what = match (own.first(), own.last()) {
            (Some(first), Some(last)) if own.len() > 1 && in_order && one_day_each => {
                let days: Vec<NaiveDate> = spans.iter().map(|(day, _)| *day).collect();
                text!("{} to {} on {}", first.coat, last.coat, clock.listed(&days))
            }
            _ if own.len() > MOST_COATS => {
                let all: BTreeSet<NaiveDate> =
                    spans.iter().flat_map(|(from, to)| [*from, *to]).collect();
                text!("{} applications {}", own.len(), clock.on(&all))
            }
            _ => Text::listed(own.iter().zip(&spans).map(|(coat, (from, to))| {
                let day = if from == to {
                    format!("on {}", clock.told(*from))
                } else {
                    format!("from {}", clock.span(*from, *to))
                };
                text!("{} {}", coat.coat, day)
            })),
        };
        match *extent {
            "all" => what,
            extent => text!("{} ({})", what, extent),
        }
    });
    Text::joined(each, ", ")
}

/// Readings beyond a limit by their days, coats that went on in such weather, and what was noted.
fn of_weather<'a>(examined: &'a Examined, clock: &Clock, within: Within<'_>) -> Vec<Sentence<'a>> {
    let project = &examined.project;
    let mut sentences: Vec<Sentence> = Vec::new();
    let read = project.climate.iter().filter(|reading| within(reading.at)).count();
    let beyond: Vec<_> =
        examined.recomputed.chronology.weather.iter().filter(|beyond| within(beyond.at)).collect();
    let limit = |name: &str| project.docking.bounds.limit(name).map(|limit| limit.value);
    if !beyond.is_empty() {
        let humidity =
            limit("humidity").map(|pct| text!("{} humidity", Form::Ratio.measure(pct).decimals(0)));
        let margin = limit("dew_point_margin")
            .map(|k| text!("{} over the dew point", Form::TemperatureDifference.measure(k)));
        // What the limits are is said where the first reading is beyond one.
        let is_first = examined.recomputed.chronology.weather.first() == beyond.first().copied();
        let limits = Text::joined([humidity, margin].into_iter().flatten(), ", ");
        let limits = if is_first { text!(" ({})", limits) } else { Text::new() };
        let sentence = text!(
            "Of {} {} outside the limits for coating{}, {}",
            count(read, "climate reading", "climate readings"),
            count(beyond.len(), "lies", "lie"),
            limits,
            clock.on(&days(clock, beyond.iter().map(|beyond| beyond.at)))
        );
        let places = beyond.iter().filter_map(|beyond| project.climate.get(beyond.reading));
        sentences.push((sentence, places.map(|reading| &reading.place).collect()));
    }
    let coats = project.coats.iter().filter(|coat| coat.began.or(coat.ended).is_some_and(within));
    let breached = coats.filter(|coat| {
        [Subject::ClimateMargin(coat.name.clone()), Subject::ClimateHumidity(coat.name.clone())]
            .iter()
            .filter_map(|subject| examined.finding(subject))
            .any(|finding| finding.outcome == Outcome::BeyondLimit)
    });
    let breached: Vec<&Application> = breached.collect();
    if !breached.is_empty() {
        let each = breached
            .iter()
            .take(MOST_NAMED)
            .map(|coat| text!("{} coat {}", id(&coat.zone), coat.coat));
        let mut each: Vec<Text> = each.collect();
        let more = breached.len().saturating_sub(MOST_NAMED);
        if more > 0 {
            each.push(text!("{} more", more));
        }
        let sentence = text!(
            "Outside a limit while a coat went on: {} (see {})",
            Text::listed(each),
            in_section("answers")
        );
        sentences.push((sentence, breached.iter().map(|coat| &coat.place).collect()));
    }
    let is_told = |reading: &&climate::Climate| {
        within(reading.at) && examined.recomputed.chronology.is_of_weather(project, reading)
    };
    let mut noted: Vec<&climate::Climate> = project.climate.iter().filter(is_told).collect();
    noted.sort_by_key(|reading| reading.at);
    if !noted.is_empty() {
        let mut day = None;
        let each = noted.iter().take(MOST_NAMED + 2).map(|reading| {
            let on = clock.day(reading.at);
            let is_new = day.replace(on) != Some(on);
            let when = if is_new { format!("{} ", clock.told(on)) } else { String::new() };
            let notes = reading.notes.as_deref().unwrap_or_default();
            text!("{}{}, {}", when, clock.hour(reading.at), quoted(notes))
        });
        let mut each: Vec<Text> = each.collect();
        let more = noted.len().saturating_sub(MOST_NAMED + 2);
        if more > 0 {
            each.push(text!("{} more", more));
        }
        let sentence = text!("Noted with the climate: {}", Text::joined(each, "; "));
        sentences.push((sentence, noted.iter().map(|reading| &reading.place).collect()));
    }
    sentences
}

/// Times of positions that nobody wrote down, rows without a time, and what the record has nothing of.
fn absent(examined: &Examined) -> Text {
    let project = &examined.project;
    let mut text = Text::new();
    for position in &project.positions {
        let times = position.times.in_order();
        let missing: Vec<&str> =
            times.iter().filter(|(_, at)| at.is_none()).map(|(name, _)| *name).collect();
        if !missing.is_empty() {
            let sentence = match missing.len() {
                6 => text!("Of {} no time is recorded", id(&position.id)),
                _ => {
                    text!("Of {} these times are not recorded: {}", id(&position.id), and(&missing))
                }
            };
            add(&mut text, sentence, &[&position.place]);
        }
        let recorded: Vec<_> = times.iter().filter_map(|(_, at)| *at).collect();
        if !recorded.is_sorted() {
            let sentence = text!("The times of {} do not follow each other", id(&position.id));
            add(&mut text, sentence, &[&position.place]);
        }
    }
    let undated: Vec<Text> = UNDATED
        .iter()
        .filter_map(|(path, one, many)| {
            let sheet = project.sheets.iter().find(|sheet| sheet.spec.path == *path)?;
            let dated = |entry: &&Entry| {
                let recorded = entry.values().filter(|(column, _)| !column.is_planned());
                let mut times = recorded.filter(|(column, _)| column.holds == Holds::Time);
                times.any(|(_, value)| value.is_some()) || project.is_to_come(sheet.spec, entry)
            };
            let without = sheet.entries.iter().filter(|entry| !dated(entry)).count();
            (without > 0)
                .then(|| text!("{} {}", count(without, one, many), source(format!("({path})"))))
        })
        .collect();
    if !undated.is_empty() {
        add(
            &mut text,
            text!("Without a time, and so not told above: {}", Text::listed(undated)),
            &[],
        );
    }
    let nothing: Vec<&str> = NOTHING
        .iter()
        .filter(|(path, _)| {
            let sheet = project.sheets.iter().find(|sheet| sheet.spec.path == *path);
            sheet.is_none_or(|sheet| {
                sheet.entries.iter().all(|entry| project.is_to_come(sheet.spec, entry))
            })
        })
        .map(|(_, what)| *what)
        .collect();
    if !nothing.is_empty() {
        add(&mut text, text!("The record has no rows of {}", and(&nothing)), &[]);
    }
    text
}

/// Files whose rows may lack a time: one of them, several.
const UNDATED: [(&str, &str, &str); 10] = [
    (openings::OPENED_SPEC.path, "opening and closing", "openings and closings"),
    (positions::MARKS_SPEC.path, "sighting", "sightings"),
    (divers::SPEC.path, "divers\u{2019} measurement", "divers\u{2019} measurements"),
    (drafts::SPEC.path, "draft reading", "draft readings"),
    (checks::SPEC.path, "landing check", "landing checks"),
    (checks::GAPS_SPEC.path, "gap", "gaps"),
    (preparation::SPEC.path, "preparation check", "preparation checks"),
    (coats::SPEC.path, "application", "applications"),
    (plating::SPEC.path, "gauging", "gaugings"),
    (plating::ANODES_SPEC.path, "anode", "anodes"),
];

/// What a docking that is told whole has rows of.
const NOTHING: [(&str, &str); 9] = [
    (positions::SPEC.path, "docking positions"),
    (water::SPEC.path, "water levels"),
    (drafts::SPEC.path, "drafts"),
    (checks::SPEC.path, "landing checks"),
    (preparation::SPEC.path, "prepared steel"),
    (coats::SPEC.path, "coats"),
    (climate::SPEC.path, "climate"),
    (plating::SPEC.path, "gaugings"),
    (weights::MOVED_SPEC.path, "weights moved"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::examine;
    use crate::records::memory;
    use crate::text::System;

    const POSITIONS: &str = "position,flooding_began,touched,landed,dry,reflood_began,afloat\n";
    const BLOCKS: &str =
        "block,row,station_m,offset_m,length_m,width_m,skew_deg,positions,moved_from,note\n";

    /// A made-up docking: its own `docking.toml`, an empty plan, and what else is given, which comes first.
    fn examined(files: &[(&str, &str)]) -> Examined {
        let docking = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n\
                       [period]\nbegan = 2031-04-01\nended = 2031-04-20\noffset = \"+01:00\"\n";
        let mut all: BTreeMap<&str, &str> = BTreeMap::new();
        all.insert("docking.toml", docking);
        all.insert("plan/blocks.csv", BLOCKS);
        all.extend(files.iter().copied());
        let files: Vec<(&str, String)> =
            all.into_iter().map(|(path, text)| (path, text.to_string())).collect();
        examine(memory::project(&files)).unwrap_or_else(|problems| panic!("{problems:?}"))
    }

    /// What is told, a line for each paragraph, with plain spaces.
    fn told(examined: &Examined) -> String {
        let mut all = vec![head(examined)];
        for (title, paragraphs) in phases(examined) {
            all.push(text!("# {}", title));
            all.extend(paragraphs);
        }
        all.push(absent(examined));
        let lines = all.iter().map(|text| text.shown(System::Si).replace('\u{a0}', " "));
        lines.collect::<Vec<_>>().join("\n")
    }

    fn two_positions() -> Examined {
        examined(&[
            (
                "plan/blocks.csv",
                &format!(
                    "{BLOCKS}K1,keel,10,0,0.6,1.2,0,P1,,\n\
                     K1S,keel,9.7,0.05,0.6,1.2,2,P2,K1,slid under her\n"
                ),
            ),
            (
                "plan/openings.csv",
                "opening,kind,x_m,y_m,diameter_mm,opened_at,closed_at,tested_how\n\
                 SC1,sea-chest,5,1,300,2031-04-02T09:10:00,2031-04-05T15:20:00,hosed\n\
                 DP1,docking-plug,6,0,50,2031-04-02T09:30:00,2031-04-06T10:20:00,\n\
                 DP2,docking-plug,7,0,50,2031-04-03T09:30:00,,\n",
            ),
            (
                "positions/positions.csv",
                &format!(
                    "{POSITIONS}P1,2031-04-01T05:10:00,2031-04-01T11:42:00,2031-04-01T12:31:00,\
                     2031-04-01T16:50:00,2031-04-10T06:20:00,2031-04-10T09:05:00\n\
                     P2,2031-04-10T06:20:00,2031-04-10T13:10:00,,2031-04-10T18:05:00,,\n"
                ),
            ),
            (
                "landing/water.csv",
                "position,at,level_m,event,note\n\
                 P1,2031-04-01T10:20:00,1.79,pumping-began,\n\
                 P1,2031-04-01T11:42:00,0.75,first-touch,\n\
                 P1,2031-04-01T11:45:00,0.73,halt,for the divers\n\
                 P1,2031-04-01T12:12:00,0.72,pumping-resumed,\n\
                 P1,2031-04-01T14:00:00,-2.00,,\n",
            ),
            (
                "landing/checks.csv",
                "position,check,block,recorded,as_planned,at\n\
                 P1,diver-contact,K1,hard contact,yes,2031-04-01T11:52:00\n\
                 P1,end-gap,K1,wider than drawn,no,2031-04-01T11:58:00\n\
                 P1,wedge,,all tight,yes,\n",
            ),
            ("coating/zones.csv", "zone,kind\nKL,bottom\n"),
            ("coating/products.toml", "[[product]]\nproduct = \"EP1\"\n"),
            (
                "coating/coats.csv",
                "zone,extent,coat,product,began,ended,note\n\
                 KL,exposed,1,EP1,2031-04-03T10:00:00,2031-04-03T12:00:00,\n\
                 KL,exposed,2,EP1,2031-04-05T10:00:00,2031-04-05T12:00:00,pump broke down\n\
                 KL,patches,1,EP1,2031-04-12T10:00:00,2031-04-12T12:00:00,\n",
            ),
            (
                "coating/climate.csv",
                // The second is 00:30 of the 5th by the project's clock.
                "at,air_temperature_c,humidity_pct,steel_temperature_c,note\n\
                 2031-04-04T06:00:00,8,92,9,rain since three\n\
                 2031-04-04T23:30:00+00:00,12,50,12,\n",
            ),
            (
                "landing/moved.csv",
                "at,item,mass_t,x_m,y_m,z_m\n2031-04-04T10:15:00,scrap landed,-10.2,4,0,2\n",
            ),
        ])
    }

    #[test]
    fn a_docking_is_told_in_the_order_in_which_it_happened() {
        let told = told(&two_positions());
        let steps = [
            "Sedge Pike: Long Dock, from 1 April 2031 to 20 April 2031",
            "UTC+01:00",
            "# Flooding and pumping for P1",
            "On 1 April at 05:10 flooding of the dock began",
            "at 10:20 pumping began (1.79 m)",
            "# Landing in P1",
            "at 11:42 she first touched the blocks (0.75 m)",
            "from 11:45 to 12:12 there was a halt (0.73 m), \u{201c}for the divers\u{201d}",
            "at 11:52 found as planned: divers' block check K1 \u{201c}hard contact\u{201d}",
            "at 11:58 found not as planned: end gap K1 \u{201c}wider than drawn\u{201d}",
            "12:31 she was landed fore and aft",
            "# Dry in P1",
            "at 16:50 the dock was dry",
            "Openings were opened on 2 and 3 April: DP1, DP2 and SC1",
            "Of DP2 no closing is recorded",
            "Closed on 5 and 6 April: DP1 and SC1, tested \u{201c}hosed\u{201d} (1)",
            "No test is recorded for the closing of DP1",
            "Weights taken off on 4 April: 1",
            "Coats: KL 1 to 2 on 3 and 5 April (exposed)",
            "KL coat 2, \u{201c}pump broke down\u{201d}",
            "Of 2 climate readings 1 lies outside the limits for coating",
            "4 April 06:00, \u{201c}rain since three\u{201d}",
            "# Afloat, from P1 to P2",
            "On 10 April at 06:20 water was let in again",
            "at 09:05 she was afloat",
            "# Landing in P2",
            "at 13:10 she first touched the blocks",
            "In P2 block K1 is recorded as K1S, 0.300 m aft, 0.050 m to port and turned 2.0\u{b0} anticlockwise from \
             its planned place, \u{201c}slid under her\u{201d}",
            "# Dry in P2",
            "Coats: KL 1 on 12 April (patches)",
            "Of P2 these times are not recorded: landed, reflood began and afloat",
            "not told above: 1 landing check",
            "The record has no rows of drafts",
        ];
        let mut from = 0;
        for step in steps {
            let found = told[from..].find(step);
            from +=
                found.unwrap_or_else(|| panic!("{step:?} is not told, or too early, in\n{told}"));
        }
        // One flooding is told once, though it stands with both positions.
        assert_eq!(told.matches("06:20").count(), 1, "{told}");
        assert!(told.contains("(positions/positions:2; landing/water:2)"), "{told}");
    }

    /// Every hour of the day that is told is that of a dated record, and every day that of one or of the period.
    fn invents_nothing(examined: &Examined) {
        let told = told(examined);
        let clock = Clock::new(examined);
        let dated = &examined.recomputed.chronology.dated;
        let hours: BTreeSet<String> = dated.iter().map(|dated| clock.hour(dated.at)).collect();
        let mut days: BTreeSet<String> = BTreeSet::new();
        let (began, ended) = examined.project.docking.period;
        let all = dated.iter().map(|dated| clock.day(dated.at)).chain(began).chain(ended);
        days.extend(all.map(|day| day.day().to_string()));
        let mut quoted = false;
        let own: String = told
            .chars()
            .filter(|c| {
                quoted = (quoted || *c == '\u{201c}') && *c != '\u{201d}';
                !quoted
            })
            .collect();
        let own = own.replace("UTC+01:00", "");
        let words: Vec<&str> = own.split([' ', ',', ';', '(', ')', '\n']).collect();
        let mut seen = 0;
        for (n, word) in words.iter().enumerate() {
            let is_hour = word.len() == 5 && word.as_bytes()[2] == b':';
            if is_hour {
                seen += 1;
                assert!(hours.contains(*word), "{word} is no record's: {told}");
            }
            if words.get(n + 1).is_some_and(|next| *next == "April") {
                assert!(days.contains(*word), "{word} April is no record's: {told}");
            }
        }
        assert!(seen > 0 || dated.is_empty(), "{told}");
    }

    #[test]
    fn every_time_that_is_told_is_a_record_s() {
        invents_nothing(&two_positions());
    }

    /// What people's papers show is what is told, and of the hour that came twice which it was.
    #[test]
    fn times_are_told_by_the_clock_that_was_in_force() {
        let docking = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n[period]\n\
                       began = 2031-10-20\nended = 2031-11-05\noffset = \"-04:00\"\n[[period.offsets]]\n\
                       from = \"2031-11-02 02:00\"\noffset = \"-05:00\"\n";
        let climate = "at,air_temperature_c,note\n2031-10-30T12:00:00,9,sleet\n\
                       2031-11-02T01:30:00-04:00,9,hail\n2031-11-02T01:30:00-05:00,9,rain\n\
                       2031-11-03T12:00:00,9,snow\n";
        let positions = format!("{POSITIONS}P1,,,,,,\n");
        let told = told(&examined(&[
            ("docking.toml", docking),
            ("positions/positions.csv", &positions),
            ("coating/climate.csv", climate),
        ]));
        for said in [
            "Times are UTC-04:00, and from 2031-11-02 02:00 on UTC-05:00.",
            "30 October 12:00, \u{201c}sleet",
            "2 November 01:30 (-04:00), \u{201c}hail",
            "; 01:30 (-05:00), \u{201c}rain",
            "3 November 12:00, \u{201c}snow",
        ] {
            assert!(told.contains(said), "{said}: {told}");
        }
    }

    #[test]
    fn a_docking_of_two_files_says_what_it_lacks() {
        let told = told(&examined(&[]));
        assert!(told.contains("no docking position is recorded"), "{told}");
        assert!(
            told.contains("The record has no rows of docking positions, water levels, "),
            "{told}"
        );
        assert!(!told.contains('#'), "{told}");
    }

    #[test]
    fn positions_without_times_or_with_times_that_cannot_be_are_told_with_what_is_known() {
        let climate =
            ("coating/climate.csv", "at,air_temperature_c,note\n2031-04-03T12:00:00,9,sleet\n");
        let without =
            [("positions/positions.csv", &*format!("{POSITIONS}P1,,,,,,\nP2,,,,,,\n")), climate];
        let without = told(&examined(&without));
        assert!(without.contains("# In the order of time\n"), "{without}");
        assert!(without.contains("3 April 12:00, \u{201c}sleet\u{201d}"), "{without}");
        assert!(without.contains("Of P1 no time is recorded"), "{without}");
        // Landed before she touched.
        let rows = format!("{POSITIONS}P1,,2031-04-02T12:00:00,2031-04-02T11:00:00,,,\n");
        let backward = examined(&[("positions/positions.csv", &rows), climate]);
        let text = told(&backward);
        assert!(text.contains("# Position P1\n"), "{text}");
        assert!(text.contains("The times of P1 do not follow each other"), "{text}");
        let landed = text.find("at 11:00 she was landed").expect("landed");
        assert!(text.find("at 12:00 she first touched").is_some_and(|touched| landed < touched));
        invents_nothing(&backward);
    }

    #[test]
    fn three_positions_in_any_order_of_the_file_are_told_in_the_order_of_time() {
        let row = |id: &str, day: u32| {
            format!(
                "{id},,2031-04-{day:02}T08:00:00,,2031-04-{day:02}T12:00:00,2031-04-{:02}T07:00:00,\n",
                day + 3
            )
        };
        let rows = format!("{POSITIONS}{}{}{}", row("P3", 12), row("P1", 2), row("P2", 7));
        let three = examined(&[("positions/positions.csv", &rows)]);
        let text = told(&three);
        let titles: Vec<&str> = text.lines().filter(|line| line.starts_with('#')).collect();
        let wanted = [
            "# Landing in P1",
            "# Dry in P1",
            "# Afloat, from P1 to P2",
            "# Landing in P2",
            "# Dry in P2",
            "# Afloat, from P2 to P3",
            "# Landing in P3",
            "# Dry in P3",
            "# Flooding and lift-off from P3",
        ];
        assert_eq!(titles, wanted);
        invents_nothing(&three);
    }

    #[test]
    fn hundreds_of_days_and_coats_are_told_in_few_words() {
        let corner = |zone: usize, n: usize| {
            let (x, y) = [(0, 0), (1, 0), (1, 2)][n];
            format!("Z{zone},bottom,{},{},{y}\n", n + 1, x + 2 * zone)
        };
        let zones: String = (0..40).flat_map(|zone| (0..3).map(move |n| corner(zone, n))).collect();
        let (mut coats, mut climate, mut water) = (String::new(), String::new(), String::new());
        for n in 0..800 {
            let day = format!("2031-{:02}-{:02}", 1 + n / 70, 1 + n % 28);
            coats += &format!(
                "Z{},all,{},EP1,{day}T08:{:02}:00,,note {n}\n",
                n % 40,
                1 + n / 40,
                n % 60
            );
            climate += &format!("{day}T07:{:02}:00,9,note {n}\n", n % 60);
            water += &format!("P1,{day}T09:{:02}:00,1,other,note {n}\n", n % 60);
        }
        let positions = format!("{POSITIONS}P1,,,,2031-01-01T06:00:00,,\n");
        let many = examined(&[
            ("positions/positions.csv", &positions),
            ("coating/zones.csv", &format!("zone,kind,order,x_m,y_m\n{zones}")),
            ("coating/products.toml", "[[product]]\nproduct = \"EP1\"\n"),
            ("coating/coats.csv", &format!("zone,extent,coat,product,began,ended,note\n{coats}")),
            ("coating/climate.csv", &format!("at,air_temperature_c,note\n{climate}")),
            ("landing/water.csv", &format!("position,at,level_m,event,note\n{water}")),
        ]);
        let text = told(&many);
        assert!(text.contains("800 applications on 40 zones"), "{text}");
        assert!(text.contains("more statements with a time of their own"), "{text}");
        assert!(text.split_whitespace().count() < 600, "{}", text.split_whitespace().count());
        invents_nothing(&many);
    }

    #[test]
    fn times_of_several_offsets_each_show_their_own() {
        let docking = "format = 1\n[ship]\nname = \"Sedge Pike\"\n[dock]\nname = \"Long Dock\"\n";
        let rows = format!("{POSITIONS}P1,,2031-04-02T12:00:00Z,,2031-04-02T18:00:00+02:00,,\n");
        let text =
            told(&examined(&[("docking.toml", docking), ("positions/positions.csv", &rows)]));
        assert!(text.contains("each time is followed by its own"), "{text}");
        assert!(text.contains("at 12:00 (+00:00) she first touched"), "{text}");
        assert!(text.contains("at 18:00 (+02:00) the dock was dry"), "{text}");
    }

    /// Air of 20 degrees and 50 % has its dew point at 9.3 degrees by the tables of ISO 8502-4 (value from memory).
    #[test]
    fn a_reading_is_beyond_a_limit_just_where_the_limit_says() {
        let rows = "at,air_temperature_c,humidity_pct,steel_temperature_c\n\
             2031-04-04T06:00:00,20,50,12.4\n2031-04-04T07:00:00,20,50,12.1\n\
             2031-04-04T08:00:00,20,85,30\n2031-04-04T09:00:00,20,86,30\n2031-04-04T10:00:00,20,,1\n";
        let examined = examined(&[("coating/climate.csv", rows)]);
        let weather = &examined.recomputed.chronology.weather;
        let found: Vec<_> =
            weather.iter().map(|one| (one.reading, one.humid, one.near_dew_point)).collect();
        assert_eq!(found, [(1, false, true), (3, true, false)]);
    }
}
