//! One row of a table or one table of a TOML file, as typed cells that know their places.

use std::sync::Arc;

use super::characters::{refused_in_name, refused_in_text};
use super::grammar::{self, Nothing};
use super::place::Place;
use super::problem::{Alike, Problem, Problems, Reach};
use super::spec::{Column, Holds, Kind, Need};
use super::value::{self, Field, Reading, Value};
use crate::units::{self, Quantity, Unit};

/// What the entries of one file or table have in common.
#[derive(Debug)]
pub(super) struct Frame {
    pub file: Arc<str>,
    pub columns: &'static [Column],
    /// For each of `columns`, the header or key as the file writes it.
    pub names: Vec<Arc<str>>,
    /// The headers or keys that start with `note`, in their order.
    pub notes: Vec<String>,
}

/// A value and where it stands.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    pub value: Value,
    pub line: u32,
    pub column: u32,
}

/// A row or a TOML table. Values are asked for by their columns.
#[derive(Debug, Clone)]
pub struct Entry {
    pub place: Place,
    /// The word of a `[table.word]`; empty elsewhere.
    pub title: String,
    pub(super) frame: Arc<Frame>,
    pub(super) cells: Vec<Option<Cell>>,
    /// What stands in the columns whose names start with `note`, in their order.
    pub notes: Vec<String>,
}

impl Entry {
    fn index(&self, column: &Column) -> usize {
        let found = self.frame.columns.iter().position(|known| known.name == column.name);
        debug_assert!(found.is_some(), "no column {} in {}", column.name, self.frame.file);
        found.unwrap_or(usize::MAX)
    }

    fn cell(&self, column: &Column) -> Option<&Cell> {
        self.cells.get(self.index(column))?.as_ref()
    }

    /// The value in a column, if one was written.
    pub fn value(&self, column: &Column) -> Option<&Value> {
        self.cell(column).map(|cell| &cell.value)
    }

    /// What stands in a column, if one was written in the form that is asked for.
    pub fn get<T: Field>(&self, column: &Column) -> Option<T> {
        self.value(column).and_then(T::from_value)
    }

    /// What a field takes of a column; `None` where nothing is there for one that can't do without.
    pub(super) fn take<T: Field>(&self, column: &Column) -> Option<T> {
        self.get(column).or_else(T::absent)
    }

    /// The values in the order of the description's columns.
    pub fn values(&self) -> impl Iterator<Item = (&'static Column, Option<&Value>)> {
        self.frame.columns.iter().zip(self.cells.iter().map(|c| c.as_ref().map(|c| &c.value)))
    }

    /// Every column with its heading and its value as the file has them: numbers in the heading's unit.
    pub fn written(&self) -> impl Iterator<Item = (&'static Column, &str, Option<String>)> {
        self.values().zip(&self.frame.names).map(|((column, value), heading)| {
            let unit = column.unit_in(heading);
            (column, &**heading, value.map(|value| value.text(unit)))
        })
    }

    /// What stands in the columns whose names start with `note`, with those names.
    pub fn noted(&self) -> impl Iterator<Item = (&str, &str)> {
        let names = self.frame.notes.iter().map(String::as_str);
        names.zip(self.notes.iter().map(String::as_str))
    }

    /// What stands in the columns whose names start with `note`, in one text; `None` where all are empty.
    pub fn joined_notes(&self) -> Option<String> {
        let notes = self.notes.iter().map(String::as_str).filter(|note| !note.is_empty());
        let joined = notes.collect::<Vec<_>>().join("; ");
        (!joined.is_empty()).then_some(joined)
    }

    /// Where a value stands; where it would stand if it is absent.
    pub fn place_of(&self, column: &Column) -> Place {
        let header = self.frame.names.get(self.index(column)).cloned();
        let header = header.unwrap_or_else(|| column.name.into());
        match self.cell(column) {
            Some(cell) => Place {
                row: self.place.row,
                ..Place::value(&self.frame.file, cell.line, cell.column, &header)
            },
            None => Place { name: header, ..self.place.clone() },
        }
    }

    /// The unit in which the numbers of a column are written; `None` of one that takes none.
    pub fn unit_of(&self, column: &Column) -> Option<&'static Unit> {
        self.frame.names.get(self.index(column)).and_then(|heading| column.unit_in(heading))
    }

    /// The value in a column as its file has it, a number with the unit of its heading: `158 ft`; empty if none
    /// was written.
    pub fn as_written(&self, column: &Column) -> String {
        match self.value(column) {
            Some(Value::Number(kept)) => self.in_its_unit(column, *kept),
            Some(value) => value.text(None),
            None => String::new(),
        }
    }

    /// A number, given in the kept unit, as text in the unit of its column's heading.
    pub fn in_its_unit(&self, column: &Column, kept: f64) -> String {
        let unit = self.unit_of(column);
        let number = Value::Number(kept).text(unit);
        match unit {
            Some(unit) => format!("{number}{}", unit.after_number()),
            None => number,
        }
    }
}

/// Which column a header or key names, and the unit that ends it.
pub(super) struct Head {
    pub index: usize,
    pub unit: Option<&'static Unit>,
}

/// What is wrong with a header or key, and which column it was most likely meant to be.
pub(super) struct Misread {
    pub problem: Problem,
    pub meant: Option<usize>,
}

/// What may be done with a header or key that is no column's at all.
pub(super) const KEPT_UNREAD: &str = "start its name with note to keep it unread";

/// What to do with headers or keys that are not known where columns that must be there are missing: one of
/// them may be meant, and to keep it unread would lose it.
pub(super) fn may_be_missing(problem: Problem, missing: &[String]) -> Problem {
    if missing.is_empty() || problem.advice != KEPT_UNREAD {
        return problem;
    }
    let names: Vec<&str> = missing.iter().map(String::as_str).collect();
    let names = units::one_of(&names);
    let advice = format!(
        "rename it if it is meant to be {names}, which must be here and is missing; {KEPT_UNREAD} \
         only if it is not"
    );
    problem.advice(advice)
}

/// Finds the column that `written` names; otherwise says what is wrong with it.
pub(super) fn recognise(
    written: &str,
    columns: &[Column],
    place: &Place,
    row_is: &str,
) -> Result<Head, Box<Misread>> {
    let lower = written.to_lowercase();
    if lower != written
        && let Ok(head) = recognise(&lower, columns, place, row_is)
    {
        return Ok(head);
    }
    let called = |base: &str| columns.iter().position(|column| column.is_called(base));
    if let Some(unit) = units::heading(written) {
        let index = columns.iter().position(|column| column.quantity() == Some(unit.quantity));
        if let Some(index) = index {
            return Ok(Head { index, unit: Some(unit) });
        }
    }
    let misread = |problem: Problem, meant| Err(Box::new(Misread { problem, meant }));
    if let Some(index) = called(written) {
        let column = &columns[index];
        return match column.quantity() {
            None => Ok(Head { index, unit: None }),
            Some(quantity) => {
                let wrong = "has no unit";
                misread(unit_problem(place, written, column.name, quantity, wrong), Some(index))
            }
        };
    }
    // Of a name such as mct_tm_per_cm every tail that is a unit is tried, the longest first.
    let mut tails: Vec<(usize, &str, &str)> = written
        .char_indices()
        .filter(|(_, c)| *c == '_')
        .map(|(at, _)| (at, &written[..at], &written[at + 1..]))
        .collect();
    tails.sort_by_key(|(at, ..)| *at);
    for (_, base, suffix) in &tails {
        let Some(index) = called(base) else { continue };
        let column = &columns[index];
        let Some(quantity) = column.quantity() else {
            if units::UNITS.iter().any(|unit| unit.suffix == *suffix) {
                let problem =
                    Problem::new(place.clone(), "ends in a unit, but this column takes none")
                        .reaches(Reach::Column)
                        .value(written)
                        .expected(column.name)
                        .advice(format!("rename the column to {}", column.name));
                return misread(problem, Some(index));
            }
            continue;
        };
        return match quantity.unit(suffix) {
            Some(unit) => Ok(Head { index, unit: Some(unit) }),
            None => {
                let wrong =
                    format!("ends in {suffix}, which is not a unit for {}", quantity.name());
                misread(unit_problem(place, written, column.name, quantity, &wrong), Some(index))
            }
        };
    }
    let problem = Problem::new(place.clone(), format!("is not a known name for {row_is}"))
        .value(written)
        .reaches(Reach::Column)
        .alike(Alike::OfValue);
    let plain = plainly(written);
    if plain != written
        && let Ok(head) = recognise(&plain, columns, place, row_is)
    {
        let advice = format!("rename it to {plain}");
        return misread(problem.expected(plain).advice(advice), Some(head.index));
    }
    let (base, unit) = units::split_suffix(written).unzip();
    let names = columns.iter().flat_map(|c| std::iter::once(c.name).chain(c.also));
    let near = value::nearest(base.unwrap_or(written), names);
    let meant = near.and_then(called);
    let advice = match near.zip(meant.map(|index| &columns[index])) {
        Some((near, column)) => {
            let name = match (column.quantity(), unit) {
                (Some(quantity), Some(unit)) if quantity.unit(unit).is_some() => {
                    format!("{near}_{unit}")
                }
                _ => column.name_with_units(near),
            };
            format!("rename it to {name}, or {KEPT_UNREAD}")
        }
        None => KEPT_UNREAD.to_string(),
    };
    let all: Vec<String> = columns.iter().map(Column::kept_name).collect();
    let expected = if all.is_empty() { "nothing".to_string() } else { all.join(", ") };
    misread(problem.expected(expected).advice(advice), meant)
}

/// A header as a person types it, `Station (m)`, in the form of this format, `station_m`.
fn plainly(written: &str) -> String {
    let words = written.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect::<Vec<_>>().join("_")
}

fn unit_problem(
    place: &Place,
    written: &str,
    base: &str,
    quantity: Quantity,
    wrong: &str,
) -> Problem {
    let names: Vec<String> =
        quantity.accepted().map(|unit| format!("{base}_{}", unit.suffix)).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    Problem::new(place.clone(), wrong)
        .value(written)
        .expected(units::one_of(&names))
        .advice(format!(
            "end the name with the unit of its numbers: {}",
            quantity.accepted_as_text()
        ))
        .reaches(Reach::Column)
        .alike(Alike::Anywhere)
}

/// Characters that a text may have: what one cell of a spreadsheet holds (common practice, no source).
const LONGEST_TEXT: usize = 32_767;

/// Whether a text is not too long; one that is, is a problem.
pub(super) fn fits(text: &str, place: &Place, problems: &mut Problems) -> bool {
    // A character has a byte at least.
    let count = if text.len() > LONGEST_TEXT { text.chars().count() } else { 0 };
    if count > LONGEST_TEXT {
        problems.add(
            Problem::new(place.clone(), format!("is {count} characters long"))
                .value(text.chars().take(80).collect::<String>())
                .expected(format!(
                    "at most {LONGEST_TEXT} characters, as many as a spreadsheet cell holds"
                ))
                .advice("move it into a file in papers/, and name that file here"),
        );
    }
    count <= LONGEST_TEXT && is_plain(text, None, place, problems)
}

/// Whether a text has the characters alone that it may have where it stands; one that has others is a problem.
fn is_plain(text: &str, holds: Option<Holds>, place: &Place, problems: &mut Problems) -> bool {
    let is_name = holds == Some(Holds::Called);
    let refused = if is_name { refused_in_name(text) } else { refused_in_text(text) };
    let Some(c) = refused else { return true };
    let code = format!("U+{:04X}", u32::from(c));
    !problems.add_in_project(|| {
        let (wrong, expected) = match (c.is_control(), is_name) {
            (true, true) => {
                (format!("contains the control character {code}"), "a name on one line")
            }
            (true, false) => (
                format!("contains the control character {code}"),
                "visible text, with no control characters other than tabs and line ends",
            ),
            (false, _) => (
                format!("contains {code}, which ends a line or reverses the text next to it"),
                "a name on one line; of such marks only U+200E, U+200F and U+061C are allowed",
            ),
        };
        Problem::new(place.clone(), wrong).value(text).expected(expected).advice(
            "remove it; it is invisible, so delete the characters around it and type them again",
        )
    })
}

/// Parses one cell; an empty one is `None`, which is a problem where the column must be filled.
pub(super) fn read_cell(
    text: &str,
    column: &Column,
    with: Reading<'_>,
    place: &Place,
    problems: &mut Problems,
) -> Option<Cell> {
    let text = text.trim();
    if text.is_empty() {
        if column.need == Need::Always {
            problems.add(
                Problem::new(place.clone(), "is empty")
                    .expected(column.meaning)
                    .advice("fill it in; the entry can't be used without it"),
            );
        }
        return None;
    }
    if let Some(nothing) = grammar::nothing(text).filter(|nothing| takes(column.holds, *nothing)) {
        if column.need == Need::Always {
            let wrong = match nothing {
                Nothing::Dash => "is an empty cell",
                Nothing::NotApplicable => "says that this does not apply",
            };
            problems.add(
                Problem::new(place.clone(), wrong)
                    .value(text)
                    .expected(column.meaning)
                    .advice("fill it in; the entry can't be used without it"),
            );
        }
        return None;
    }
    let is_name = column.holds == Holds::Called;
    if (is_name && !is_plain(text, Some(column.holds), place, problems))
        || !fits(text, place, problems)
    {
        return None;
    }
    match value::parse(text, column.holds, with) {
        Ok(value) => {
            if let Some(not) = value::beyond_records(&value) {
                problems.add_in_project(|| {
                    Problem::new(place.clone(), not.wrong)
                        .value(text)
                        .expected(not.expected)
                        .advice(not.advice)
                });
            }
            Some(Cell { value, line: place.line.unwrap_or(1), column: place.column.unwrap_or(1) })
        }
        Err(not) => {
            problems.add(
                Problem::new(place.clone(), not.wrong)
                    .value(text)
                    .expected(not.expected)
                    .advice(not.advice)
                    .reaches(match column.holds {
                        Holds::Id(_) | Holds::Part(_) => Reach::Name,
                        _ => Reach::Cell,
                    })
                    .alike(with_cause_of(text, column.holds)),
            );
            None
        }
    }
}

/// What has the same cause as a text that is not what its column holds: a word or name is wrong wherever it stands, and a
/// way of writing numbers or times that can't be read is one habit. A number that can be read is wrong by itself.
fn with_cause_of(text: &str, holds: Holds) -> Alike {
    match holds {
        Holds::Word(_) | Holds::Words(_) | Holds::Flag | Holds::Name => Alike::OfValue,
        Holds::Grade | Holds::Grades => Alike::OfValue,
        _ if refers(holds) => Alike::OfValue,
        Holds::Time | Holds::Date => Alike::OfForm,
        Holds::Number(_) | Holds::Measure(..) | Holds::Bound(_) | Holds::Draft
            if text.parse::<f64>().is_err() =>
        {
            Alike::OfForm
        }
        _ => Alike::InColumn,
    }
}

/// Whether a dash or `n/a` in a column says that nothing is there: in a text it may be meant as it is, and a dash may
/// be a name as long as it is not known that it is none.
fn takes(holds: Holds, nothing: Nothing) -> bool {
    match holds {
        Holds::Text | Holds::Called | Holds::Texts => false,
        Holds::Id(_) | Holds::Part(_) | Holds::Name => nothing == Nothing::NotApplicable,
        _ => nothing == Nothing::NotApplicable || !refers(holds),
    }
}

/// Whether a column's value names things described elsewhere.
pub(super) fn refers(holds: Holds) -> bool {
    matches!(holds, Holds::Ref(_) | Holds::Refs(_) | Holds::AnyRefs)
}

/// What was left out of one file.
#[derive(Debug, Default)]
pub struct LeftOut {
    /// Rows and tables with a problem, in the order of the file.
    pub rejected: Vec<Rejected>,
    /// Whether the file can't be read as rows at all, or lacks a column that every row needs.
    pub unread: bool,
}

/// A row or table with a problem.
#[derive(Debug)]
pub struct Rejected {
    /// What could be read of it.
    pub entry: Entry,
    /// The texts in it that could not be read; an empty one where a cell had to be filled.
    pub unread: Vec<String>,
}

impl Rejected {
    /// Whether it may have that text in that column.
    pub fn may_hold(&self, column: &Column, text: &str) -> bool {
        match self.entry.get::<Arc<str>>(column) {
            Some(read) => *read == *text,
            None => self.unread.iter().any(|unread| unread.is_empty() || alike(unread, text)),
        }
    }
}

impl LeftOut {
    /// Whether something that was left out may have that text in that column.
    pub fn may_hold(&self, column: &Column, text: &str) -> bool {
        self.unread || self.rejected.iter().any(|rejected| rejected.may_hold(column, text))
    }
}

/// The kinds of things to which rows with these columns give names, each with its column.
pub(super) fn kinds(columns: &'static [Column]) -> impl Iterator<Item = (Kind, &'static Column)> {
    columns.iter().filter_map(|column| match column.holds {
        Holds::Id(kind) | Holds::Part(kind) => Some((kind, column)),
        _ => None,
    })
}

/// Whether two texts are one name but for spaces, signs and capital letters: `K 12` and `k12`.
fn alike(one: &str, other: &str) -> bool {
    plain(one) == plain(other)
}

/// A text without spaces, signs and capital letters.
pub(super) fn plain(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}
