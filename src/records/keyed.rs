//! TOML files of records: the same typed entries as a CSV's rows, one for each table.

use std::sync::Arc;

use chrono::FixedOffset;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::budget::{MOST_COLUMNS, one_too_many, too_wide};
use super::entry::{Cell, Entry, Frame, fits, may_be_missing, read_cell, recognise};
use super::entry::{LeftOut, Rejected};
use super::grammar::orders::{Calendar, Dates};
use super::grammar::times::{Clock, Order, Orders, TWO_READINGS};
use super::hints;
use super::place::Place;
use super::problem::{Problem, Problems, Reach};
use super::rows::utf8;
use super::slips::{self, Readable};
use super::spec::{Column, Holds, Need, Stands, TableSpec};
use super::value::{Reading, Value, nearest};

/// A TOML file that was read: its tables as entries.
#[derive(Debug, Default)]
pub struct Keyed {
    /// Its path inside the project; empty if it was not there.
    pub path: &'static str,
    tables: Vec<(&'static str, Entry)>,
    /// What a problem kept out of them.
    pub left_out: LeftOut,
    /// For each of those tables its name.
    rejected: Vec<&'static str>,
}

impl Keyed {
    /// A file that is not there.
    pub(super) const fn nothing() -> Self {
        let left_out = LeftOut { rejected: Vec::new(), unread: false };
        Self { path: "", tables: Vec::new(), left_out, rejected: Vec::new() }
    }

    /// The name of the derived table: `coating-products`.
    pub fn table_name(&self) -> String {
        self.path.trim_end_matches(".toml").replace('/', "-")
    }

    /// The entries of one table, in the order of the file.
    pub fn all<'a>(&'a self, table: &'a str) -> impl Iterator<Item = &'a Entry> {
        self.tables.iter().filter(move |(name, _)| *name == table).map(|(_, entry)| entry)
    }

    /// The entry of a table that stands once.
    pub fn single(&self, table: &str) -> Option<&Entry> {
        self.tables.iter().find(|(name, _)| *name == table).map(|(_, entry)| entry)
    }

    /// Whether a table stands in the file without a problem, or does not stand there.
    pub fn is_sound(&self, table: &str) -> bool {
        !self.path.is_empty() && !self.left_out.unread && !self.rejected.contains(&table)
    }

    /// The entries of all its tables, those with a problem too.
    pub(super) fn every_entry(&mut self) -> impl Iterator<Item = &mut Entry> {
        let rejected = self.left_out.rejected.iter_mut().map(|rejected| &mut rejected.entry);
        self.tables.iter_mut().map(|(_, entry)| entry).chain(rejected)
    }

    pub fn entries(&self) -> impl Iterator<Item = (&'static str, &Entry)> {
        self.tables.iter().map(|(name, entry)| (*name, entry))
    }
}

/// A TOML file's description: the keys above the first table, and the tables.
#[derive(Debug, Clone, Copy)]
pub struct KeyedSpec {
    pub path: &'static str,
    /// A small file of this kind, which with those of the other files makes up a whole project.
    pub example: &'static str,
    /// The keys above the first table, as a table without a name.
    pub top: TableSpec,
    pub tables: &'static [TableSpec],
}

/// Reads a TOML file. Whatever is wrong goes to `problems`. Days and times are read by the calendar, or, in the file
/// that has a table `period`, by that.
pub fn read(spec: &KeyedSpec, bytes: &[u8], calendar: &Calendar, problems: &mut Problems) -> Keyed {
    let file: Arc<str> = spec.path.into();
    let left_out = LeftOut { unread: true, ..LeftOut::default() };
    let nothing = Keyed { path: spec.path, left_out, ..Keyed::default() };
    let Some(text) = utf8(&file, bytes, problems) else { return nothing };
    let (mut document, errors) = DeTable::parse_recoverable(text);
    let mut readable = Readable::default();
    if !errors.is_empty() {
        readable = slips::take_out(text);
        document = DeTable::parse_recoverable(&readable.text).0;
    }
    let stated = stated_in(document.get_ref());
    let calendar = stated.as_ref().unwrap_or(calendar);
    let mut reader = Reader {
        file: &file,
        text,
        begins: text.match_indices('\n').map(|(at, _)| at + 1).collect(),
        clock: calendar.clock.clone(),
        orders: Orders::UNSETTLED,
        readable: &readable,
    };
    for slip in &readable.slips {
        let (before, after) = text.split_at_checked(slip.at).unwrap_or((text, ""));
        let (wrong, advice) = hints::toml(&slip.says, before, after);
        problems.add(
            Problem::new(reader.place(slip.at, ""), wrong)
                .expected("valid TOML")
                .advice(advice)
                .reaches(Reach::File),
        );
    }
    if !errors.is_empty() && readable.text.is_empty() {
        return nothing;
    }
    let mut dates = Dates::default();
    reader.dates(spec, document.get_ref(), calendar, &mut dates);
    reader.orders = dates.settle(&file, calendar, problems);
    let mut keyed = reader.document(spec, document.get_ref(), problems);
    problems.take(TWO_READINGS);
    keyed.left_out.unread |= readable.lacks_tables;
    keyed
}

/// What a table `period` in this file says of the clock and of the order of dates, before it is read as a table.
fn stated_in(document: &DeTable<'_>) -> Option<Calendar> {
    let period = document.get("period")?.get_ref();
    let text = |key: &str| period.get(key)?.get_ref().as_str();
    let offset = text("offset").and_then(|offset| offset.parse().ok());
    let order = text("dates").and_then(|word| Order::by(&word.trim().to_lowercase()));
    Some(Calendar { clock: Clock::of(offset), order, ..Calendar::default() })
}

/// The table of the changes of the clocks.
pub(super) const CHANGES: &str = "period.offsets";

struct Reader<'a> {
    file: &'a Arc<str>,
    text: &'a str,
    /// Where each line but the first begins.
    begins: Vec<usize>,
    clock: Clock,
    orders: Orders,
    /// What was taken out of the text, since it can't be read.
    readable: &'a Readable,
}

type Found<'a, 'b> = (&'a Spanned<std::borrow::Cow<'b, str>>, &'a Spanned<DeValue<'b>>);

impl Reader<'_> {
    fn place(&self, offset: usize, name: &str) -> Place {
        let before = self.begins.partition_point(|begin| *begin <= offset);
        let start = before.checked_sub(1).map_or(0, |last| self.begins[last]);
        let line = before + 1;
        let column = self.text.get(start..offset).unwrap_or_default().chars().count() + 1;
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Place::value(self.file, count(line), count(column), &name.into())
    }

    /// Every value of a key that holds days or times.
    fn dates(
        &self,
        spec: &KeyedSpec,
        document: &DeTable<'_>,
        calendar: &Calendar,
        dates: &mut Dates,
    ) {
        let is_dated = |key: &str| {
            let keys = spec.tables.iter().flat_map(|table| table.keys);
            let mut dated = keys.filter(|key| matches!(key.holds, Holds::Date | Holds::Time));
            dated.any(|column| column.is_called(key))
        };
        for (key, value) in document.iter() {
            let key = key.get_ref();
            match value.get_ref() {
                DeValue::Table(inner) => self.dates(spec, inner, calendar, dates),
                DeValue::Array(items) => items
                    .iter()
                    .filter_map(|item| item.get_ref().as_table())
                    .for_each(|inner| self.dates(spec, inner, calendar, dates)),
                DeValue::String(text) if is_dated(key) => {
                    dates.see(text, calendar, || self.place(value.span().start, key));
                }
                _ => {}
            }
        }
    }

    fn document(
        &mut self,
        spec: &KeyedSpec,
        document: &DeTable<'_>,
        problems: &mut Problems,
    ) -> Keyed {
        let mut keyed = Keyed { path: spec.path, ..Keyed::default() };
        let (tables, top): (Vec<Found<'_, '_>>, Vec<Found<'_, '_>>) =
            document.iter().partition(|(_, value)| holds_tables(value.get_ref()));
        self.entry(&spec.top, &top, 0, "", &mut keyed, problems);
        for table in spec.tables {
            let named: Vec<Found<'_, '_>> = match table.name.split_once('.') {
                None => {
                    tables.iter().copied().filter(|(key, _)| key.get_ref() == table.name).collect()
                }
                Some((outer, inner)) => tables
                    .iter()
                    .filter(|(key, _)| key.get_ref() == outer)
                    .filter_map(|(_, value)| value.get_ref().as_table()?.get_key_value(inner))
                    .collect(),
            };
            for (key, value) in named {
                let start = key.span().start;
                match (table.stands, value.get_ref()) {
                    (Stands::Once, DeValue::Table(inner)) => {
                        let is_table = |key: &str| {
                            let name = format!("{}.{key}", table.name);
                            spec.tables.iter().any(|table| table.name == name)
                        };
                        let found: Vec<_> =
                            inner.iter().filter(|(key, _)| !is_table(key.get_ref())).collect();
                        self.entry(table, &found, start, "", &mut keyed, problems);
                    }
                    (Stands::Often, DeValue::Array(items)) => {
                        let most = table.most;
                        if let Some(next) = items.get(most) {
                            let place = Place { column: None, ..self.place(next.span().start, "") };
                            let what = format!("[[{}]]", table.name);
                            problems.add(one_too_many(place, most, &what));
                            keyed.left_out.unread = true;
                        }
                        for item in items.iter().take(most) {
                            let Some(inner) = item.get_ref().as_table() else { continue };
                            let found: Vec<_> = inner.iter().collect();
                            let start = item.span().start;
                            self.entry(table, &found, start, "", &mut keyed, problems);
                            // The next change of the clocks is told by what they were put to here.
                            let put_to = inner.get("offset").and_then(|o| o.get_ref().as_str());
                            if let (CHANGES, Some(Ok(offset))) =
                                (table.name, put_to.map(str::parse::<FixedOffset>))
                            {
                                self.clock = Clock::of(Some(offset));
                            }
                        }
                    }
                    (Stands::Named, DeValue::Table(words)) => {
                        for (word, item) in words.iter() {
                            let start = word.span().start;
                            let name = format!("{}.{}", table.name, word.get_ref());
                            let Some(inner) = item.get_ref().as_table() else {
                                problems.add(
                                    Problem::new(self.place(start, &name), "is not a table")
                                        .expected(format!("[{name}] followed by its keys"))
                                        .advice("write it as a table"),
                                );
                                continue;
                            };
                            let found: Vec<_> = inner.iter().collect();
                            let word = word.get_ref();
                            self.entry(table, &found, start, word, &mut keyed, problems);
                        }
                    }
                    _ => problems.add(
                        Problem::new(
                            self.place(start, table.name),
                            "is written here in the wrong form",
                        )
                        .expected(match table.stands {
                            Stands::Once => format!("[{}], once", table.name),
                            Stands::Often => format!("[[{}]], once for each", table.name),
                            Stands::Named => format!("[{}.NAME]", table.name),
                        })
                        .advice("correct the brackets"),
                    ),
                }
            }
        }
        for (key, _) in &tables {
            if !spec.tables.iter().any(|table| key.get_ref() == table.name) {
                let place = self.place(key.span().start, key.get_ref());
                let names: Vec<&str> = spec.tables.iter().map(|table| table.name).collect();
                let advice = match nearest(key.get_ref(), names.iter().copied()) {
                    Some(near) => {
                        keyed.rejected.push(near);
                        format!("rename it to {near}")
                    }
                    None => "remove it, or turn it into a comment".to_string(),
                };
                problems.add(
                    Problem::new(place, "is not a table of this file")
                        .reaches(Reach::Column)
                        .value(key.get_ref().to_string())
                        .expected(names.join(", "))
                        .advice(advice),
                );
            }
        }
        keyed
    }

    fn entry(
        &self,
        spec: &TableSpec,
        found: &[Found<'_, '_>],
        start: usize,
        title: &str,
        keyed: &mut Keyed,
        problems: &mut Problems,
    ) {
        let before = problems.count();
        // What it lacks may be what could not be read.
        let is_damaged = self.readable.is_damaged(start);
        if found.len() > MOST_COLUMNS {
            let place = Place { column: None, ..self.place(start, "") };
            problems.add(too_wide(place, found.len(), "keys in one table"));
            keyed.left_out.unread = true;
            return;
        }
        let row_is = if spec.name.is_empty() {
            "the keys above the first table".to_string()
        } else {
            format!("the table {}", spec.name)
        };
        let mut names: Vec<Arc<str>> =
            spec.keys.iter().map(|key| key.kept_name().as_str().into()).collect();
        let mut cells = vec![None; spec.keys.len()];
        let (mut note_names, mut notes) = (Vec::new(), Vec::new());
        let mut given = vec![false; spec.keys.len()];
        let mut meant = given.clone();
        let mut unread = Vec::new();
        let mut misread = Vec::new();
        for (key, value) in found {
            let written = key.get_ref().as_ref();
            let place = self.place(key.span().start, written);
            if written.starts_with("note") {
                let note = text_of(value.get_ref()).unwrap_or_default();
                let at = self.place(value.span().start, written);
                if fits(written, &place, problems) && fits(&note, &at, problems) {
                    note_names.push(written.to_string());
                    notes.push(note);
                }
                continue;
            }
            let head = match recognise(written, spec.keys, &place, &row_is) {
                Ok(head) => head,
                Err(not) => {
                    not.meant.into_iter().for_each(|index| meant[index] = true);
                    misread.push(not.problem);
                    continue;
                }
            };
            if given[head.index] {
                problems.add(
                    Problem::new(place, "is given twice")
                        .value(written)
                        .expected("each key once")
                        .advice("remove one of the two"),
                );
                continue;
            }
            given[head.index] = true;
            names[head.index] = written.into();
            let place = self.place(value.span().start, written);
            if spec.keys[head.index].holds == Holds::Texts {
                cells[head.index] =
                    texts(value.get_ref(), &spec.keys[head.index], &place, problems);
                continue;
            }
            match text_of(value.get_ref()) {
                Some(text) => {
                    let with = Reading {
                        unit: head.unit,
                        clock: &self.clock,
                        orders: self.orders,
                        comma: false,
                    };
                    let key: &Column = &spec.keys[head.index];
                    let before = problems.count();
                    cells[head.index] = read_cell(&text, key, with, &place, problems);
                    if problems.count() > before {
                        unread.push(text.trim().to_string());
                    }
                }
                None => problems.add(
                    Problem::new(place, "is not a single value")
                        .expected(spec.keys[head.index].meaning)
                        .advice("write one value"),
                ),
            }
        }
        let place = Place { column: None, ..self.place(start, "") };
        if is_damaged {
            unread.push(String::new());
        }
        let is_owed =
            |index: &usize| spec.keys[*index].need == Need::Always && !given[*index] && !is_damaged;
        let owed: Vec<usize> = (0..spec.keys.len()).filter(is_owed).collect();
        unread.extend(owed.iter().map(|_| String::new()));
        let missing: Vec<&Column> = owed
            .into_iter()
            .filter(|index| !meant[*index])
            .map(|index| &spec.keys[index])
            .collect();
        let missing_names: Vec<String> =
            missing.iter().map(|key| key.name_with_units(key.name)).collect();
        misread.into_iter().for_each(|not| problems.add(may_be_missing(not, &missing_names)));
        for key in missing {
            let wrong = if spec.name.is_empty() {
                format!("has no {}", key.kept_name())
            } else {
                let stop = if title.is_empty() { "" } else { "." };
                format!("[{}{stop}{title}] has no {}", spec.name, key.kept_name())
            };
            problems.add(
                Problem::new(place.clone(), wrong).expected(key.meaning).advice("add the key"),
            );
        }
        let file = self.file.clone();
        let frame = Arc::new(Frame { file, columns: spec.keys, names, notes: note_names });
        let entry = Entry { place, title: title.to_string(), frame, cells, notes };
        if problems.count() == before && !is_damaged {
            keyed.tables.push((spec.name, entry));
        } else {
            keyed.rejected.push(spec.name);
            keyed.left_out.rejected.push(Rejected { entry, unread });
        }
    }
}

fn holds_tables(value: &DeValue<'_>) -> bool {
    match value {
        DeValue::Table(_) => true,
        DeValue::Array(items) => {
            !items.is_empty() && items.iter().all(|item| item.get_ref().is_table())
        }
        _ => false,
    }
}

/// One text or a list of them, without the white space around each; `None` where nothing is written.
fn texts(
    value: &DeValue<'_>,
    key: &Column,
    place: &Place,
    problems: &mut Problems,
) -> Option<Cell> {
    let one = |value: &DeValue<'_>| match value {
        DeValue::Array(_) => None,
        value => text_of(value).map(|text| text.trim().to_string()),
    };
    let list: Option<Vec<String>> = match value {
        DeValue::Array(items) => items.iter().map(|item| one(item.get_ref())).collect(),
        value => one(value).map(|text| vec![text]),
    };
    let Some(list) = list else {
        problems.add(
            Problem::new(place.clone(), "is neither a value nor a list of values")
                .expected(key.meaning)
                .advice("write one text, or several in square brackets, separated by commas"),
        );
        return None;
    };
    let needed = key.need == Need::Always;
    if list.iter().all(String::is_empty) || (needed && list.iter().any(String::is_empty)) {
        if needed {
            problems.add(
                Problem::new(place.clone(), "is empty")
                    .expected(key.meaning)
                    .advice("fill it in; the entry can't be used without it"),
            );
        }
        return None;
    }
    let (line, column) = (place.line.unwrap_or(1), place.column.unwrap_or(1));
    let fits = list.iter().all(|text| fits(text, place, problems));
    fits.then_some(Cell { value: Value::List(list), line, column })
}

/// A value as the text that a CSV cell would have; lists of texts with `;` between them.
fn text_of(value: &DeValue<'_>) -> Option<String> {
    match value {
        DeValue::String(text) => Some(text.to_string()),
        DeValue::Integer(number) if number.radix() == 10 => Some(number.as_str().to_string()),
        DeValue::Integer(_) | DeValue::Table(_) => None,
        DeValue::Float(number) => Some(number.as_str().to_string()),
        DeValue::Boolean(flag) => Some(flag.to_string()),
        DeValue::Datetime(time) => Some(time.to_string()),
        DeValue::Array(items) => {
            let texts: Option<Vec<String>> = items
                .iter()
                .map(|item| if item.get_ref().is_array() { None } else { text_of(item.get_ref()) })
                .collect();
            texts.map(|texts| texts.join(";"))
        }
    }
}
