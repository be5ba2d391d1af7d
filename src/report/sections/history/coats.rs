//! How old the coat is that lies on each part of the bottom.

use chrono::NaiveDate;
use serde::Serialize;

use super::range;
use crate::calc::plane::area_m2;
use crate::calc::{self, DAYS_IN_A_YEAR};
use crate::findings::Examined;
use crate::findings::recomputed::history::{
    History as Laid, Lies, Patch, Patches, Uppermost, records,
};
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Coats {
    /// The last day of this docking, to which ages are reckoned.
    on: Option<String>,
    ages: Vec<Age>,
    /// Earlier dockings of whose coats nothing is recorded.
    not_recorded: Vec<String>,
    patches: Option<Listed>,
}

/// The coats of one docking that lie uppermost.
#[derive(Serialize)]
struct Age {
    what: String,
    put_on: Option<String>,
    area: String,
    share: Option<String>,
    age: Option<String>,
}

#[derive(Serialize)]
struct Listed {
    pieces: Vec<Piece>,
    more: Option<String>,
    slivers: Option<String>,
}

/// A piece under this docking's blocks whose coat is older than this docking.
#[derive(Serialize)]
struct Piece {
    what: String,
    age: Option<String>,
    x: String,
    y: String,
    frame: Option<String>,
    area: String,
    hidden: Narrow,
}

/// Less than the table's last digit is not told.
const SEEN_M2: f64 = 0.0005;
/// Pieces that are listed; the largest.
const MOST_PIECES: usize = 60;

pub(super) fn coats(examined: &Examined, history: &Laid) -> Coats {
    let ended = history.dockings.last().and_then(|newest| newest.days.1);
    let silent = history.dockings.iter().enumerate().filter(|(_, docked)| !docked.coated);
    Coats {
        on: ended.map(text::day),
        ages: ages(history),
        not_recorded: silent.map(|(at, _)| history.called(at).to_string()).collect(),
        patches: history.patches.as_ref().map(|patches| listed(examined, history, patches)),
    }
}

/// Coats of one docking are put together, as long as nothing else of it comes between.
fn ages(history: &Laid) -> Vec<Age> {
    let no_coat_m2 = area_m2(&history.no_coat);
    let whole: f64 = history.uppermost.iter().map(|one| one.area_m2).sum::<f64>() + no_coat_m2;
    let share = |area: f64| (whole > 0.0).then(|| text::number(100.0 * area / whole, 2));
    let alike = |a: &Uppermost, b: &Uppermost| {
        let coat = |one: &Uppermost| matches!(one.lies, Lies::Coat(_));
        a.docking == b.docking && coat(a) && coat(b)
    };
    let mut ages: Vec<Age> = history
        .uppermost
        .chunk_by(alike)
        .filter_map(|group| {
            let (newest, oldest) = (group.first()?, group.last()?);
            let area: f64 = group.iter().map(|one| one.area_m2).sum();
            Some(Age {
                what: what(history, Some(newest)),
                put_on: match (newest.lies, oldest.lies) {
                    (Lies::Coat(last), Lies::Coat(first)) => Some(from_to(first, last)),
                    _ => Some("\u{2013}".to_string()),
                },
                area: text::number(area, 3),
                share: share(area),
                age: match (newest.age_d, oldest.age_d) {
                    (Some(least), Some(greatest)) => Some(age_from_to(least, greatest)),
                    _ => none_is_meant(newest),
                },
            })
        })
        .collect();
    if !history.no_coat.0.is_empty() {
        ages.push(Age {
            what: what(history, None),
            put_on: Some("\u{2013}".to_string()),
            area: text::number(no_coat_m2, 3),
            share: share(no_coat_m2),
            age: Some("\u{2013}".to_string()),
        });
    }
    ages
}

/// Steel without a coat has no age; that of a coat whose place can't be told is not recorded.
fn none_is_meant(one: &Uppermost) -> Option<String> {
    (one.lies == Lies::Blasted).then(|| "\u{2013}".to_string())
}

/// What lies uppermost, in words.
pub(super) fn what(history: &Laid, uppermost: Option<&Uppermost>) -> String {
    let Some(one) = uppermost else { return "no coat on record".to_string() };
    let docking = history.called(one.docking);
    match one.lies {
        Lies::Coat(_) => format!("coat of {docking}"),
        Lies::Blasted => format!("none: blasted in {docking} and not coated again"),
        Lies::NotKnown => format!("not known: coats of {docking} that can't be placed"),
    }
}

fn from_to(first: NaiveDate, last: NaiveDate) -> String {
    if first == last { first.to_string() } else { format!("{first} to {last}") }
}

/// An age in days and years.
pub(super) fn age(days: i64) -> String {
    format!("{} days{}", spaced(days), in_years(&years(days), days))
}

fn age_from_to(least: i64, greatest: i64) -> String {
    if least == greatest {
        return age(least);
    }
    let years = match (years(least), years(greatest)) {
        (least, greatest) if least == greatest => least,
        (least, greatest) => format!("{least} to {greatest}"),
    };
    format!("{} to {} days{}", spaced(least), spaced(greatest), in_years(&years, greatest))
}

/// The same in years, where it is a year at least.
fn in_years(years: &str, days: i64) -> String {
    if days as f64 >= DAYS_IN_A_YEAR { format!(" ({years} years)") } else { String::new() }
}

/// Days as years.
pub(super) fn years(days: i64) -> String {
    text::number(calc::years(days), 1)
}

fn spaced(days: i64) -> String {
    match u64::try_from(days) {
        Ok(days) => text::bytes(days),
        Err(_) => text::number(days as f64, 0),
    }
}

fn listed(examined: &Examined, history: &Laid, patches: &Patches) -> Listed {
    let mut order: Vec<usize> = (0..patches.pieces.len()).collect();
    order.sort_by(|a, b| patches.pieces[*b].area_m2.total_cmp(&patches.pieces[*a].area_m2));
    let left_off = order.split_off(MOST_PIECES.min(order.len()));
    order.sort_unstable();
    let rest_m2: f64 = left_off.iter().map(|at| patches.pieces[*at].area_m2).sum();
    Listed {
        pieces: order.into_iter().map(|at| piece(examined, history, &patches.pieces[at])).collect(),
        more: (!left_off.is_empty()).then(|| {
            format!(
                "{}, {} m\u{b2} in all, not listed.",
                text::count(left_off.len(), "smaller piece", "smaller pieces"),
                text::number(rest_m2, 3)
            )
        }),
        slivers: (patches.slivers_m2 >= SEEN_M2).then(|| {
            format!(
                "Laps and slivers no wider than the feathering, {} m\u{b2} in all, are not listed.",
                text::number(patches.slivers_m2, 3)
            )
        }),
    }
}

fn piece(examined: &Examined, history: &Laid, patch: &Patch) -> Piece {
    let uppermost = patch.uppermost.and_then(|at| history.uppermost.get(at));
    let project = records(&examined.project, history.newest());
    let hidden = project.positions.iter().zip(&patch.hidden_by);
    let hidden = hidden.filter(|(_, blocks)| !blocks.is_empty()).map(|(position, blocks)| {
        let blocks = blocks.iter().filter_map(|n| project.blocks.get(*n));
        let blocks: Vec<&str> = blocks.map(|block| block.id.as_str()).collect();
        format!("{} by {}", position.id, text::and(&blocks))
    });
    let [x0, x1, y0, y1] = patch.extent;
    Piece {
        what: match uppermost.map(|one| one.lies) {
            Some(Lies::Coat(day)) => format!("{}, {day}", what(history, uppermost)),
            _ => what(history, uppermost),
        },
        age: match uppermost.map(|one| (one.lies, one.age_d)) {
            Some((Lies::Coat(_), days)) => days.map(age),
            _ => Some("\u{2013}".to_string()),
        },
        x: range(x0, x1),
        y: range(y0, y1),
        frame: text::nearest_frame(project.docking.frames.as_ref(), (x0 + x1) / 2.0),
        area: text::number(patch.area_m2, 3),
        hidden: Narrow::new(hidden.collect::<Vec<_>>().join("; ")),
    }
}
