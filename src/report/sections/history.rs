//! The earlier dockings and this one laid over each other. Shown only where there is an earlier one.

use chrono::NaiveDate;

use super::drawings::drawings_of;
use crate::calc::plane::area_m2;
use crate::calc::{self, DAYS_IN_A_YEAR};
use crate::findings::Examined;
use crate::findings::recomputed::history::{History, Lies, Patch, Patches, Uppermost, records};
use crate::findings::subject::Subject;
use crate::pages::errata::{self, corrections};
use crate::pages::pieces::{self, area, hidden_by, place};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::Past;
use crate::records::history::Found;
use crate::report::figures::{Group, letter};
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{Form, Text, bytes, code, count, grouped, id, iso_period, number, strong};

/// Less than the table's last digit is not said.
const SEEN_M2: f64 = 0.0005;
/// Pieces that are listed; the largest.
const MOST_PIECES: usize = 60;

pub(super) fn section(inputs: &Inputs<'_>) -> Option<Section> {
    let examined = inputs.examined;
    let history = examined.recomputed.history.as_ref()?;
    let mut section = Section::new("Earlier dockings").at("history");
    section.paragraph(
        "The records of earlier dockings stand below history/ in the bundle\u{2019}s records, as their own \
         bundles had them. Here they are laid over each other on the bottom as it is drawn now. Areas are in \
         plan view.",
    );
    section.table(dockings(examined, history));

    section.part("Where the records come from");
    section.paragraph(
        "A seal is the SHA-256 of the bundle\u{2019}s tag manifest, and should be the one that was kept on paper.",
    );
    section.table(bundles(&examined.project.history));
    errata::show(&mut section, &corrections(&examined.project.history));

    section.part("Never exposed since records began");
    never_exposed(&mut section, examined, history);
    section.subpart("What each docking left to later ones");
    section.table(left(examined, history));

    section.part("How old the coat is");
    let ended = history.dockings.last().and_then(|newest| newest.days.1);
    let mut ages =
        Text::from("Each part of the bottom belongs to the last coat that any record gives it. ");
    ages.extend(match ended {
        None => "The last day of this docking is not recorded, so that coats have no age.".into(),
        Some(ended) => {
            text!("Ages are reckoned to {}, the last day of this docking.", ended)
        }
    });
    let silent = history.dockings.iter().enumerate().filter(|(_, docked)| !docked.coated);
    let silent = Text::joined(silent.map(|(at, _)| id(history.called(at)).into()), ", ");
    if !silent.is_empty() {
        ages.extend(text!(" No coat of the bottom is recorded in {}.", silent));
    }
    section.paragraph(ages);
    section.table(coats(history));
    section.drawings(drawings_of(inputs, Group::History));

    section.subpart("Under this docking\u{2019}s blocks, and not coated in it");
    match &history.patches {
        None => section.paragraph(text!(
            "{} not every position of this docking can be placed.",
            strong("Not recorded:")
        )),
        Some(patches) => patches_of(&mut section, examined, history, patches),
    };
    Some(section)
}

fn dockings(examined: &Examined, history: &History) -> Table {
    let columns = [
        Column::name("Docking"),
        Column::name("Days"),
        Column::text("Dock"),
        Column::figure("Positions"),
        Column::measure("Hidden in all of them", Form::Area),
    ];
    let rows = history.dockings.iter().enumerate().map(|(at, docked)| {
        let of = records(&examined.project, at);
        let count = of.positions.len();
        [
            id(history.called(at)).into(),
            iso_period(docked.days).into(),
            (&of.docking.dock.name).into(),
            match docked.hidden {
                None if count > 0 => format!("{count}, not all placed").into(),
                _ => count.into(),
            },
            docked.left.as_ref().map(|left| left.area(&docked.name)).into(),
        ]
    });
    Table::new(columns).rows(rows)
}

fn bundles(history: &[Past]) -> Table {
    let columns = [
        Column::name("Docking"),
        Column::text("Bundle"),
        Column::name("Seal").mm(62.0),
        Column::text("How the bundle was found"),
    ];
    let rows = history.iter().map(|Past { source, .. }| {
        let seal = source.seal.as_ref().map(|seal| code(grouped(seal, 4).join(" ")));
        let found = match (source.fixity, &source.damage) {
            (Found::Whole, _) => "whole".into(),
            (Found::Damaged, Some(damage)) => text!("damaged: {}", damage),
            (Found::Damaged, None) => "damaged".into(),
        };
        [id(&source.name).into(), (&source.bundle).into(), seal.into(), found.into()]
    });
    Table::new(columns).rows(rows)
}

fn never_exposed(section: &mut Section, examined: &Examined, history: &History) {
    let not_placed = history.not_placed();
    if !not_placed.is_empty() {
        section.paragraph(text!(
            "Not every position can be placed of {}. What follows is what the other dockings hid in every \
             position.",
            Text::joined(not_placed.into_iter().map(|name| id(name).into()), ", ")
        ));
    }
    let since = match history.since() {
        None => " in any docking".into(),
        Some(day) => text!(" since {}", day),
    };
    section.paragraph(match (history.never_exposed_in_all(), history.never_exposed.is_empty()) {
        (None, true) => {
            text!("{} no docking on record can be placed.", strong("Not recorded:"))
        }
        (Some(_), true) => text!(
            "There is no such piece: all of the bottom was free of blocks at least once{}.",
            since
        ),
        (None, false) => text!(
            "{} how much was never exposed{}. At most it is this:",
            strong("Not recorded:"),
            since
        ),
        (Some(in_all), false) => text!("{} in all never exposed{}:", in_all, since),
    });
    let [x, y, frame, area] = pieces::columns();
    let columns = [Column::name("Piece"), x, y, frame, area, Column::text("Hidden in")];
    let frames = examined.project.docking.frames.as_ref();
    let rows = history.never_exposed.iter().enumerate().map(|(number, piece)| {
        let hiding = history.hiding(&examined.project, piece);
        let hidden = hiding.into_iter().map(|(docking, position, blocks)| {
            let blocks = Text::listed(blocks.into_iter().map(|block| id(block).into()));
            text!("{} {} by {}", id(history.called(docking)), id(position), blocks)
        });
        let [x, y, frame, area] = pieces::cells(piece.extent, piece.area_m2, frames);
        [letter(number).into(), x, y, frame, area, Text::joined(hidden, "; ").into()]
    });
    section.table(Table::new(columns).rows(rows));
}

/// What each earlier docking never exposed, and what came of it.
fn left(examined: &Examined, history: &History) -> Table {
    let columns = [
        Column::name("Docking"),
        Column::measure("Never exposed in it", Form::Area).share(1.0),
        Column::measure("Of that under blocks in every position since", Form::Area).share(1.0),
        Column::figure("Limit"),
        Column::outcome(),
    ];
    let rows = history.dockings.iter().take(history.newest()).map(|docked| {
        let left = docked.left.as_ref();
        let still = left.filter(|left| left.known || left.still.0.is_empty());
        let made = examined.finding(&Subject::Reached(docked.name.clone()));
        [
            id(&docked.name).into(),
            left.map(|left| left.area(&docked.name)).into(),
            still.map(|left| left.still(&docked.name)).into(),
            Cell::against(made),
            Cell::outcome_of(made),
        ]
    });
    Table::new(columns).rows(rows)
}

/// How old the coats are that lie uppermost: those of one docking are put together, as long as nothing else of it
/// comes between.
fn coats(history: &History) -> Table {
    let no_coat_m2 = area_m2(&history.no_coat);
    let whole = history.uppermost.iter().map(|part| part.area_m2).sum::<f64>() + no_coat_m2;
    let share = |area: f64| {
        (whole > 0.0).then(|| Form::Ratio.measure(100.0 * area / whole).decimals(2)).into()
    };
    let alike = |a: &Uppermost, b: &Uppermost| {
        let is_coat = |part: &Uppermost| matches!(part.lies, Lies::Coat(_));
        a.docking == b.docking && is_coat(a) && is_coat(b)
    };
    let groups = history.uppermost.chunk_by(alike).filter_map(|group| {
        let (newest, oldest) = (group.first()?, group.last()?);
        let area_m2: f64 = group.iter().map(|part| part.area_m2).sum();
        Some([
            what(history, Some(newest)).into(),
            match (newest.lies, oldest.lies) {
                (Lies::Coat(last), Lies::Coat(first)) => from_to(first, last).into(),
                _ => Cell::DoesNotApply,
            },
            area(area_m2).into(),
            share(area_m2),
            match (newest.age_d, oldest.age_d) {
                (Some(least), Some(greatest)) => age_from_to(least, greatest).into(),
                // Steel without a coat has no age; that of a coat whose place can't be told is not recorded.
                _ if newest.lies == Lies::Blasted => Cell::DoesNotApply,
                _ => Cell::NotRecorded,
            },
        ])
    });
    let no_coat = (!history.no_coat.0.is_empty()).then(|| {
        let none = || Cell::DoesNotApply;
        [what(history, None).into(), none(), area(no_coat_m2).into(), share(no_coat_m2), none()]
    });
    let columns = [
        Column::text("What lies uppermost"),
        Column::name("Finished"),
        Column::measure("Area", Form::Area),
        Column::measure("Share of the bottom", Form::Ratio),
        Column::figure("Age"),
    ];
    Table::new(columns).rows(groups.chain(no_coat))
}

/// Steel under this docking's blocks whose coat is older than this docking.
fn patches_of<'s>(
    section: &'s mut Section,
    examined: &Examined,
    history: &History,
    patches: &Patches,
) -> &'s mut Section {
    if patches.pieces.is_empty() {
        section.paragraph(
            "There is no such piece: wherever this docking\u{2019}s blocks stood, its own coats lie uppermost.",
        );
    }
    let mut order: Vec<usize> = (0..patches.pieces.len()).collect();
    order.sort_by(|a, b| patches.pieces[*b].area_m2.total_cmp(&patches.pieces[*a].area_m2));
    let left_off = order.split_off(MOST_PIECES.min(order.len()));
    order.sort_unstable();
    let [x, y, frame, area_column] = pieces::columns();
    let columns = [
        x,
        y,
        frame,
        area_column,
        Column::text("What lies uppermost"),
        Column::figure("Age"),
        Column::text("Hidden in"),
    ];
    let rows = order.into_iter().map(|at| patch(examined, history, &patches.pieces[at]));
    section.table(Table::new(columns).rows(rows));
    if !left_off.is_empty() {
        let rest_m2: f64 = left_off.iter().map(|at| patches.pieces[*at].area_m2).sum();
        section.paragraph(text!(
            "{}, {} in all, not listed.",
            count(left_off.len(), "smaller piece", "smaller pieces"),
            area(rest_m2)
        ));
    }
    if patches.slivers_m2 >= SEEN_M2 {
        section.paragraph(text!(
            "Laps and slivers no wider than the feathering, {} in all, are not listed.",
            area(patches.slivers_m2)
        ));
    }
    section
}

fn patch(examined: &Examined, history: &History, patch: &Patch) -> [Cell; 7] {
    let uppermost = patch.uppermost.and_then(|at| history.uppermost.get(at));
    let project = records(&examined.project, history.newest());
    let what = what(history, uppermost);
    let (what, age): (Text, Cell) = match uppermost.map(|part| (part.lies, part.age_d)) {
        Some((Lies::Coat(day), days)) => {
            (text!("{}, {}", what, day.to_string()), days.map(age).into())
        }
        _ => (what, Cell::DoesNotApply),
    };
    let [x, y, frame, area] =
        pieces::cells(patch.extent, patch.area_m2, project.docking.frames.as_ref());
    [x, y, frame, area, what.into(), age, hidden_by(project, &patch.hidden_by).into()]
}

/// What lies uppermost, in words.
fn what(history: &History, uppermost: Option<&Uppermost>) -> Text {
    let Some(part) = uppermost else { return "no coat on record".into() };
    let docking = id(history.called(part.docking));
    match part.lies {
        Lies::Coat(_) => text!("coat of {}", docking),
        Lies::Blasted => text!("none: blasted in {} and not coated again", docking),
        Lies::NotKnown => text!("not known: coats of {} that can't be placed", docking),
    }
}

fn from_to(first: NaiveDate, last: NaiveDate) -> String {
    if first == last { first.to_string() } else { format!("{first} to {last}") }
}

/// An age in days and years.
fn age(days: i64) -> String {
    age_from_to(days, days)
}

fn age_from_to(least: i64, greatest: i64) -> String {
    let range = |least: String, greatest: String| {
        if least == greatest { least } else { format!("{least} to {greatest}") }
    };
    let days = range(spaced(least), spaced(greatest));
    if (greatest as f64) < DAYS_IN_A_YEAR {
        return format!("{days} days");
    }
    format!("{days} days ({} years)", range(years(least), years(greatest)))
}

/// Days as years.
fn years(days: i64) -> String {
    number(calc::years(days), 1)
}

fn spaced(days: i64) -> String {
    match u64::try_from(days) {
        Ok(days) => bytes(days),
        Err(_) => number(days as f64, 0),
    }
}

/// Pieces that find room in a sentence.
const MOST_IN_A_SENTENCE: usize = 3;

/// Sentences for the page of what the next team needs to know; none where there is no earlier docking.
pub(super) fn lines(examined: &Examined) -> Vec<Text> {
    let Some(history) = &examined.recomputed.history else { return Vec::new() };
    let mut lines = vec![never_exposed_line(history)];
    lines.extend(older_coats_line(history));
    lines
}

fn never_exposed_line(history: &History) -> Text {
    let since = history.since().map(|day| format!(" since {}", day.format("%Y")));
    let since = since.unwrap_or_default();
    let names = |names: Vec<&str>| Text::listed(names.into_iter().map(|name| id(name).into()));
    let all = names((0..history.dockings.len()).map(|at| history.called(at)).collect());
    match history.never_exposed_in_all() {
        None => text!(
            "What no docking on record{} exposed is not known: not every position of {} can be placed with its \
             blocks.",
            since,
            names(history.not_placed())
        ),
        Some(_) if history.never_exposed.is_empty() => {
            text!("Over {}, all of the bottom was exposed at least once{}.", all, since)
        }
        Some(in_all) => {
            let mut pieces: Vec<_> = history.never_exposed.iter().collect();
            pieces.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
            let largest = pieces.iter().take(MOST_IN_A_SENTENCE);
            text!(
                "Over {}, {} of the bottom in {} was never exposed{}: at {}{}.",
                all,
                in_all,
                count(pieces.len(), "piece", "pieces"),
                since,
                Text::joined(largest.map(|piece| place(piece.extent)), "; "),
                more(pieces.len().saturating_sub(MOST_IN_A_SENTENCE))
            )
        }
    }
}

/// Steel under this docking's blocks whose coat is older than this docking.
fn older_coats_line(history: &History) -> Option<Text> {
    let patches = history.patches.as_ref()?;
    let mut pieces: Vec<&Patch> = patches.pieces.iter().collect();
    pieces.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
    let Some(largest) = pieces.first() else {
        return Some(
            "Wherever this docking\u{2019}s blocks stood, its own coats lie uppermost.".into(),
        );
    };
    let area_m2: f64 = pieces.iter().map(|piece| piece.area_m2).sum();
    let uppermost = |patch: &Patch| patch.uppermost.and_then(|at| history.uppermost.get(at));
    let oldest = pieces.iter().filter_map(|patch| uppermost(patch)?.age_d).max();
    let coats = pieces.iter().filter_map(|patch| match uppermost(patch)?.lies {
        Lies::Coat(day) => Some(day),
        _ => None,
    });
    let since = match (coats.min(), oldest) {
        (None, _) => Text::new(),
        (Some(day), None) => text!("; the oldest coat there is of {}", day),
        (Some(day), Some(days)) => text!(
            "; the oldest coat there is of {}, {} years before this docking ended",
            day,
            years(days)
        ),
    };
    Some(text!(
        "Under this docking\u{2019}s blocks {} of the bottom in {} kept what lay on it before: {} at {}{}{}.",
        area(area_m2),
        count(pieces.len(), "piece", "pieces"),
        what(history, uppermost(largest)),
        place(largest.extent),
        more(pieces.len() - 1),
        since
    ))
}

fn more(count: usize) -> String {
    if count == 0 { String::new() } else { format!("; and {count} more") }
}
