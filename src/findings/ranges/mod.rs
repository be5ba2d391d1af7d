//! Orders of magnitude: numbers that are outside of what is plausible for their column, for this ship and dock, or for what they
//! are of; and which unit or decimal point would make each plausible.

mod blocks;
mod coats;
mod dates;
mod number;
mod remedy;
mod ship;

use std::collections::{BTreeMap, BTreeSet};

use number::{Number, Odd, all};

use super::finding::Finding;
use super::judge::{agrees, differs};
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::place::Place;
use crate::records::plausible::{Held, plausible};
use crate::records::spec::Holds;
use crate::text;
use crate::text::{Text, code, count};

/// So many values are named in one sentence.
const MOST_NAMED: usize = 4;

/// So many rows a finding doubts: more are one mistake in their heading.
const MOST_DOUBTED: usize = 500;

/// Every finding of what is not plausible, and one that says what was looked through.
pub fn findings(project: &Project) -> Vec<Finding> {
    let (mut examined, mut columns) = (0, BTreeSet::new());
    let mut odd: Vec<Odd<'_>> = Vec::new();
    let mut last = (("", "", ""), None);
    for number in all(project) {
        let key = (number.of, number.table, number.name());
        if last.0 != key {
            last = (key, plausible(key.0, key.1, key.2));
        }
        let Some(known) = last.1 else { continue };
        let Held::Within(least, greatest) = known.held else { continue };
        examined += 1;
        columns.insert(key);
        odd.extend(number.outside(least, greatest, known.because));
    }
    if examined == 0 {
        return Vec::new();
    }
    // A number that is wrong makes others of its row seem so.
    let row = |odd: &Odd<'_>| {
        let table = odd.number.table;
        if table.is_empty() { odd.number.row.place.clone() } else { place(odd) }
    };
    let mut known: BTreeSet<Place> = odd.iter().map(row).collect();
    let relative = ship::odd(project).into_iter();
    let relative = relative.chain(blocks::odd(project)).chain(coats::odd(project));
    for one in relative {
        if known.insert(row(&one)) {
            odd.push(one);
        }
    }
    let mut by_column: BTreeMap<(&str, &str, &str), Vec<Odd<'_>>> = BTreeMap::new();
    for one in odd {
        let key = (one.number.of, one.number.table, one.number.name());
        by_column.entry(key).or_default().push(one);
    }
    let mut found: Vec<Finding> =
        by_column.into_values().map(|odd| finding(project, odd)).collect();
    found.extend(dates::findings(project));
    let of_their_own = match found.len() {
        0 => text!("; all are plausible."),
        several => text!(
            "; what is not is told in {}.",
            count(several, "finding of its own", "findings of their own")
        ),
    };
    let sentence = text!(
        "{} of {} were held to what is plausible of them{}",
        count(examined, "value", "values"),
        count(columns.len(), "column", "columns"),
        of_their_own
    );
    // Of a project that is yet to be filled in there is nothing to say.
    let mut filled = project.sheets.iter().filter(|sheet| !sheet.entries.is_empty()).peekable();
    if filled.peek().is_some() {
        let files: Vec<Place> = filled.map(|sheet| Place::file(sheet.spec.path)).collect();
        found.push(agrees(sentence).finding(Subject::Ranges).from(&files));
    }
    found
}

fn place(odd: &Odd<'_>) -> Place {
    odd.number.row.place_of(odd.number.column)
}

/// How a sentence names the row of a number, by its own name or by its line; nothing of a bound, which has one figure.
fn row_name(number: &Number<'_>) -> Text {
    let own = number.row.values().find(|(column, _)| matches!(column.holds, Holds::Id(_)));
    let place = number.row.place_of(number.column);
    match (own.and_then(|(_, value)| value), place.row, place.line) {
        _ if number.bound.is_some() => Text::new(),
        (Some(value), ..) => text!(" of {}", text::id(value.text(None))),
        (None, Some(row), _) => text!(" (row {})", row),
        (None, None, line) => text!(" (line {})", line.unwrap_or_default()),
    }
}

/// One finding for the values of a column that are not plausible.
fn finding(project: &Project, odd: Vec<Odd<'_>>) -> Finding {
    let first = &odd[0];
    let number = &first.number;
    let all: Vec<f64> = all_of_column(project, number);
    let remedies = remedy::remedies(&odd, &all);
    let range =
        text!("{} to {}", number.bound_text(first.least), number.bound_text(first.greatest));
    let heading = match number.bound {
        Some((bound, _)) => text!("{} of {}", code(bound), code(format!("[{}]", number.table))),
        None => text!("{}", code(number.row.place_of(number.column).name.to_string())),
    };
    let file = code(first.number.row.place.file.to_string());
    let sentence = if odd.len() == 1 {
        text!(
            "{}{} in {} is {}, outside of what is plausible, {}, since {}{}.",
            heading,
            row_name(number),
            file,
            number.text(number.kept),
            range,
            first.because.clone(),
            remedies
        )
    } else {
        let named = odd
            .iter()
            .take(MOST_NAMED)
            .map(|odd| text!("{}{}", odd.number.text(odd.number.kept), row_name(&odd.number)));
        let more = match odd.len().saturating_sub(MOST_NAMED) {
            0 => Text::new(),
            more => text!(" and {} more", more),
        };
        text!(
            "{} of {} values of {} in {} are outside of what is plausible, for the first of them {}, since {}: {}{}{}.",
            odd.len(),
            all.len(),
            heading,
            file,
            range,
            first.because.clone(),
            Text::joined(named, ", "),
            more,
            remedies
        )
    };
    let mut file = number.of.trim_end_matches(".csv").trim_end_matches(".toml").replace('/', "-");
    if !number.table.is_empty() {
        file = format!("{file}-{}", number.table);
    }
    let subject = Subject::Range(file, number.name().to_string());
    let cells = odd.iter().take(MOST_DOUBTED).map(place);
    // A key of a TOML table stands on a line of its own; what rests on its table lists that by its first line.
    let rows = odd.iter().filter(|odd| !odd.number.table.is_empty() && odd.number.bound.is_none());
    let rows = rows.map(|odd| odd.number.row.place.clone());
    let doubted: Vec<Place> = cells.chain(rows).collect();
    differs(sentence).finding(subject).doubting_all(&doubted)
}

/// All values of a number's column.
fn all_of_column(project: &Project, number: &Number<'_>) -> Vec<f64> {
    if number.bound.is_some() {
        return vec![number.kept];
    }
    let same = |other: &Number<'_>| {
        (other.of, other.table, other.column.name) == (number.of, number.table, number.column.name)
    };
    all(project).filter(|other| same(other)).map(|other| other.kept).collect()
}
