//! Tables that come in parts, since several people keep them: the parts as one table, and what stands in two of them.

use std::collections::{BTreeMap, BTreeSet};
use std::hash::{DefaultHasher, Hasher};

use super::budget::{MOST_COLUMNS, too_wide};
use super::entry::Entry;
use super::place::{Place, in_workbook, sheet_name};
use super::prepared;
use super::problem::{Problem, Problems};
use super::sheet::Sheet;
use super::spec::{Column, Holds, Kind};
use super::value::Value;

/// The table that these parts make up, in their order; `None` where there is none. What stands in two of them is a
/// problem, and kept in the first alone, so that nothing else is said of it.
pub(super) fn joined(mut parts: Vec<Sheet>, problems: &mut Problems) -> Option<Sheet> {
    if parts.len() > 1 {
        refuse_repeated(&mut parts, problems);
        refuse_divided(&mut parts, problems);
        leave_out_read(&mut parts);
    }
    let mut parts = parts.into_iter();
    let mut whole = parts.next()?;
    let mut notes: BTreeSet<String> = whole.note_columns.iter().cloned().collect();
    for part in parts {
        append(&mut whole, part, &mut notes, problems);
    }
    if let Some(warning) = prepared::warning(whole.spec, &whole.prepared) {
        problems.warn(warning);
    }
    Some(whole)
}

/// Adds a part to those before it, whose columns of notes are `notes`.
fn append(whole: &mut Sheet, part: Sheet, notes: &mut BTreeSet<String>, problems: &mut Problems) {
    let mut new = part.note_columns;
    new.retain(|note| notes.insert(note.clone()));
    let count = whole.note_columns.len() + new.len();
    if count > MOST_COLUMNS {
        let place = part.files.first().map_or_else(Place::default, |file| Place::file(file));
        problems.add(too_wide(place, count, "columns of notes with those of the parts before it"));
    } else {
        whole.note_columns.extend(new);
    }
    whole.files.extend(part.files);
    whole.header.extend(part.header);
    whole.entries.extend(part.entries);
    whole.prepared.extend(part.prepared);
    whole.left_out.rejected.extend(part.left_out.rejected);
    whole.left_out.unread |= part.left_out.unread;
}

/// A row of a part, one with a problem too.
#[derive(Clone, Copy)]
struct Row<'a> {
    entry: &'a Entry,
    /// The texts in it that could not be read.
    unread: &'a [String],
}

impl Row<'_> {
    /// What was written in its columns, notes apart.
    fn text(self) -> String {
        let mut text = String::new();
        for (_, value) in self.entry.values() {
            text.push_str(&value.map(|value| value.text(None)).unwrap_or_default());
            text.push('\u{1f}');
        }
        self.unread.iter().for_each(|unread| {
            text.push_str(unread);
            text.push('\u{1f}');
        });
        text
    }
}

/// The rows of a part that could be records, in the order of the file.
fn rows(part: &Sheet) -> Vec<Row<'_>> {
    let read = part.entries.iter().map(|entry| Row { entry, unread: &[] });
    let rejected = part.left_out.rejected.iter();
    let rejected =
        rejected.map(|rejected| Row { entry: &rejected.entry, unread: &rejected.unread });
    let mut rows: Vec<Row<'_>> = read.chain(rejected).collect();
    rows.sort_by_key(|row| row.entry.place.line);
    rows
}

/// A number that stands for a text: equal texts have equal numbers.
fn number_of(text: &str) -> u64 {
    let mut hasher = DefaultHasher::new();
    hasher.write(text.as_bytes());
    hasher.finish()
}

/// Finds rows that stand in two parts, and parts that are copies of each other.
fn refuse_repeated(parts: &mut [Sheet], problems: &mut Problems) {
    let all: Vec<Vec<Row<'_>>> = parts.iter().map(rows).collect();
    let numbers: Vec<Vec<u64>> =
        (all.iter()).map(|rows| rows.iter().map(|row| number_of(&row.text())).collect()).collect();
    // For two parts, the earlier first, the rows of the later that stand in the earlier too, each with that one.
    let mut repeated: BTreeMap<(usize, usize), Vec<(usize, usize)>> = BTreeMap::new();
    let mut first: BTreeMap<u64, (usize, usize)> = BTreeMap::new();
    for (part, numbers) in numbers.iter().enumerate() {
        for (row, number) in numbers.iter().enumerate() {
            let (earlier, there) = *first.entry(*number).or_insert((part, row));
            if earlier != part && all[earlier][there].text() == all[part][row].text() {
                repeated.entry((earlier, part)).or_default().push((row, there));
            }
        }
    }
    if repeated.is_empty() {
        return;
    }
    let known: Vec<BTreeSet<u64>> =
        numbers.iter().map(|numbers| numbers.iter().copied().collect()).collect();
    let names: Vec<BTreeSet<String>> =
        all.iter().map(|rows| rows.iter().filter_map(|row| named(row.entry)).collect()).collect();
    let mut gone: Vec<BTreeSet<Place>> = vec![BTreeSet::new(); parts.len()];
    for ((earlier, later), found) in &repeated {
        // The older of two is the one with fewer rows: a file that is copied is added to.
        let (older, newer) = match all[*earlier].len() <= all[*later].len() {
            true => (*earlier, *later),
            false => (*later, *earlier),
        };
        // Only parts with enough in common are compared row by row: there may be very many.
        if found.len() > 1 && 4 * found.len() > all[older].len() {
            let alone: Vec<&Place> = (all[older].iter().zip(&numbers[older]))
                .filter(|(_, number)| !known[newer].contains(number))
                .map(|(row, _)| &row.entry.place)
                .collect();
            let total = all[older].len();
            if 2 * alone.len() < total {
                problems.add(copy(&parts[older], &parts[newer], (total, all[newer].len()), &alone));
                let again = all[*later].iter().filter(|row| {
                    named(row.entry).is_some_and(|name| names[*earlier].contains(&name))
                });
                gone[*later].extend(again.map(|row| row.entry.place.clone()));
                let rows = found.iter().map(|(row, _)| all[*later][*row].entry.place.clone());
                gone[*later].extend(rows);
                continue;
            }
        }
        let same: Vec<(&Place, &Place)> = found
            .iter()
            .map(|(row, there)| (all[*later][*row], all[*earlier][*there]))
            .filter(|(row, there)| row.entry.joined_notes() == there.entry.joined_notes())
            .map(|(row, there)| (&row.entry.place, &there.entry.place))
            .collect();
        gone[*later].extend(same.iter().map(|(place, _)| (*place).clone()));
        report_rows(&parts[*later], &same, problems);
    }
    for (part, gone) in parts.iter_mut().zip(gone).filter(|(_, gone)| !gone.is_empty()) {
        part.entries.retain(|entry| !gone.contains(&entry.place));
        part.left_out.rejected.retain(|rejected| !gone.contains(&rejected.entry.place));
    }
}

/// Refuses a thing of which rows stand in several parts: whoever draws an area knows no other of its name. Those of
/// the first part are kept.
fn refuse_divided(parts: &mut [Sheet], problems: &mut Problems) {
    let mut known: BTreeMap<String, Place> = BTreeMap::new();
    for part in parts {
        let mut here: BTreeMap<String, Place> = BTreeMap::new();
        let mut entries: Vec<&mut Entry> = part.every_entry().collect();
        entries.sort_by(|a, b| a.place.cmp(&b.place));
        for entry in entries {
            let Some((column, kind, id)) = divisible(entry) else { continue };
            if here.contains_key(&id) {
                continue;
            }
            let place = entry.place_of(column);
            if let Some(first) = known.get(&id) {
                let thing = kind.word();
                problems.add(
                    Problem::new(place.clone(), format!("is described at {first} already"))
                        .value(entry.as_written(column))
                        .expected(format!("all rows of one {thing} in one part of the table"))
                        .advice(format!(
                            "rename one if these are two; otherwise put all rows of the {thing} into one part"
                        )),
                );
            }
            here.insert(id, place);
        }
        let is_new =
            |entry: &Entry| divisible(entry).is_none_or(|(_, _, id)| !known.contains_key(&id));
        part.entries.retain(is_new);
        part.left_out.rejected.retain(|rejected| is_new(&rejected.entry));
        here.into_iter().for_each(|(id, place)| {
            known.entry(id).or_insert(place);
        });
    }
}

/// Of which thing that several rows make up a row is one: its column, its kind, and its name without capital letters.
fn divisible(entry: &Entry) -> Option<(&'static Column, Kind, String)> {
    entry.values().find_map(|(column, value)| match (column.holds, value) {
        (Holds::Part(kind), Some(Value::Text(id))) => Some((column, kind, id.to_lowercase())),
        _ => None,
    })
}

/// The name, without capital letters, of what a row describes.
fn named(entry: &Entry) -> Option<String> {
    entry.values().find_map(|(column, value)| match (column.holds, value) {
        (Holds::Id(_) | Holds::Part(_), Some(Value::Text(id))) => Some(id.to_lowercase()),
        _ => None,
    })
}

/// Where a part stands: its file, or its sheet in a workbook.
fn name_of(part: &Sheet) -> String {
    place_of(part).sheet_or_file().into_owned()
}

/// The whole of a part, as a place.
fn place_of(part: &Sheet) -> Place {
    let file = part.files.first().map_or(part.spec.path, |file| file);
    let rejected = part.left_out.rejected.iter().map(|rejected| &rejected.entry);
    let row = part.entries.iter().chain(rejected).next().and_then(|entry| entry.place.row);
    Place { row: row.map(|_| 1), ..Place::file(file) }
}

/// How a part is kept without being read.
fn put_aside(part: &Sheet) -> String {
    let place = place_of(part);
    match (place.row, in_workbook(&place.file)) {
        (Some(_), Some((workbook, sheet))) => {
            format!("start the name of the sheet {sheet} in {workbook} with note")
        }
        (Some(_), None) => {
            format!("start the name of the sheet {} with note", sheet_name(&place.file))
        }
        (None, _) => format!("move {} to papers/", place.file),
    }
}

/// What tells rows apart that were both recorded.
fn tell_apart(part: &Sheet) -> String {
    let holds =
        |wanted: Holds| move |column: &&Column| column.holds == wanted && !column.is_planned();
    let find = |wanted: Holds| part.spec.columns.iter().find(holds(wanted));
    let (by, at) = (find(Holds::Called), find(Holds::Time));
    match by.or(at) {
        Some(column) => format!("in a column such as {}, or in a note,", column.name),
        None => "in a column whose name begins with note,".to_string(),
    }
}

/// What is wrong with a part that is a later copy of another, `rows` and `rows_now` being how many each has, and `alone`
/// those of the older that do not stand in the newer.
fn copy(
    older: &Sheet,
    newer: &Sheet,
    (rows, rows_now): (usize, usize),
    alone: &[&Place],
) -> Problem {
    let what = if rows_now > rows { "a later copy" } else { "a copy" };
    let stand = match alone.len() {
        0 => format!("all {rows} rows there stand here too"),
        count => format!("{} of the {rows} rows there stand here too", rows - count),
    };
    let aside = put_aside(older);
    let do_this = match alone {
        [] => aside,
        [one] => {
            format!("see whether {one}, which does not stand here, is missing here; then {aside}")
        }
        [first, ..] => format!(
            "see which of the {} rows that do not stand here are missing here, the first of them {first}; then \
             {aside}",
            alone.len()
        ),
    };
    let wrong = format!("is most likely {what} of {}: {stand}", name_of(older));
    Problem::new(place_of(newer), wrong).expected("each row in one part of the table").advice(
        format!(
            "if it is, {do_this}; if both were recorded, write {} what tells their rows apart",
            tell_apart(newer)
        ),
    )
}

/// Reports the rows of a part that stand in an earlier one, each with its place there.
fn report_rows(part: &Sheet, same: &[(&Place, &Place)], problems: &mut Problems) {
    for (place, there) in same {
        let wrong = format!("is the same row as {there}");
        let advice = format!(
            "remove one of the two; if both were recorded, write {} what tells them apart",
            tell_apart(part)
        );
        problems.add(
            Problem::new((*place).clone(), wrong)
                .expected("each row in one part of the table")
                .advice(advice),
        );
    }
}

/// So many sorts of rows that are still to be read are held against those that were.
const MOST_SORTS: usize = 8;

/// Leaves out rows that were carried forward to be read again where another part has them read: each person was given
/// all of them.
fn leave_out_read(parts: &mut [Sheet]) {
    let filled = |entry: &Entry| -> Vec<usize> {
        let cells = entry.values().enumerate();
        cells.filter(|(_, (_, value))| value.is_some()).map(|(at, _)| at).collect()
    };
    let text = |entry: &Entry, columns: &[usize]| {
        let values: Vec<Option<&Value>> = entry.values().map(|(_, value)| value).collect();
        let cell = |at: &usize| values.get(*at).copied().flatten().map(|value| value.text(None));
        columns.iter().map(|at| cell(at).unwrap_or_default() + "\u{1f}").collect::<String>()
    };
    let sorts: BTreeSet<Vec<usize>> =
        parts.iter().flat_map(|part| &part.prepared).map(filled).collect();
    for columns in sorts.iter().take(MOST_SORTS) {
        let read = parts.iter().flat_map(|part| &part.entries);
        let mut known: BTreeSet<String> = read.map(|entry| text(entry, columns)).collect();
        for part in parts.iter_mut() {
            // The same row, still to be read, counts once.
            part.prepared
                .retain(|entry| filled(entry) != *columns || known.insert(text(entry, columns)));
        }
    }
}
