//! Workbooks whose sheets stand for CSV files, each named as its file (`plan-blocks` for `plan/blocks.csv`):
//! `project.xlsx` or `project.ods`, and those in `workbooks/`, whose sheets are parts of tables.
//!
//! A sheet is turned into the text of its CSV file, and only that is read: so what is archived beside the
//! workbook, and read again in fifty years, is what was read here.

mod cells;
mod markup;
mod measured;
mod unpacked;
mod values;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::NaiveTime;

use super::entry::{recognise, refers};
use super::place::{Place, WORKBOOKS, is_workbook, letters, path_in_workbook};
use super::problem::{Problem, Problems};
use super::rows::count_line_ends;
use super::spec::{FileSpec, Holds};
use super::store::{LARGEST_RECORD_FILE, Store, unreadable};
use super::value::nearest;
use cells::{Cells, Room};
use measured::{MOST_CELLS, Merged};
use unpacked::Format;
use values::Cell;

/// The names that the workbook of a project may have.
pub const NAMES: [&str; 2] = ["project.xlsx", "project.ods"];

/// So many workbooks are read at the most: many times the people of whom each would keep one.
const MOST: usize = 40;

/// A workbook and what was made of it.
#[derive(Debug, Default)]
pub struct Workbook {
    /// Its path in the project.
    pub path: String,
    /// Its bytes as they were read: somebody may be saving it again by now.
    pub bytes: Vec<u8>,
    made: BTreeMap<String, Made>,
}

/// The CSV file that was made of a sheet.
#[derive(Debug)]
struct Made {
    csv: Vec<u8>,
    /// For each row of the sheet the line on which it begins.
    lines: Vec<u32>,
}

impl Workbook {
    /// The CSV files that were made of its sheets, by their paths in the project.
    pub fn made(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.made.iter().map(|(path, made)| (path.as_str(), made.csv.as_slice()))
    }

    /// The CSV file that was made of a sheet.
    pub fn csv(&self, path: &str) -> Option<&[u8]> {
        self.made.get(path).map(|made| made.csv.as_slice())
    }

    /// The row of a sheet, from 1, in which a place of its CSV file lies; the first for the whole of it.
    pub fn row(&self, place: &Place) -> Option<u32> {
        let made = self.made.get(&*place.file)?;
        let Some(line) = place.line else { return Some(1) };
        u32::try_from(made.lines.partition_point(|begins| *begins <= line)).ok()
    }
}

/// Reads the workbooks of a project, whose sheets stand for some of these files.
pub fn read(
    store: &dyn Store,
    files: &[&'static FileSpec],
    problems: &mut Problems,
) -> Vec<Workbook> {
    if !store.takes_workbooks() {
        return Vec::new();
    }
    let paths = || store.sizes().keys().map(String::as_str);
    paths().filter_map(other_workbook).for_each(|other| problems.warn(other));
    let mut own = NAMES.into_iter().filter(|name| store.sizes().contains_key(*name));
    let mut found: Vec<&str> = own.next().into_iter().collect();
    if let Some(other) = own.next() {
        problems.add(
            Problem::new(Place::file(other), format!("exists beside {}", found[0]))
                .expected("project.xlsx or project.ods, not both")
                .advice(format!(
                    "remove one of the two, or move it to {WORKBOOKS} if each holds rows of its own"
                )),
        );
        return Vec::new();
    }
    found.extend(paths().filter(|path| is_of_folder(path)));
    if let Some(next) = found.get(MOST) {
        problems.add(
            Problem::new(Place::file(next), format!("is workbook {} of this project", MOST + 1))
                .expected(format!("at most {MOST}"))
                .advice("put the rows of several into one, or save their sheets as CSV files"),
        );
        found.truncate(MOST);
    }
    let mut left = LARGEST_RECORD_FILE;
    found.retain(|path| {
        let size = store.sizes().get(*path).copied().unwrap_or_default();
        let fits = left.checked_sub(size);
        left = fits.unwrap_or(left);
        if fits.is_none() {
            problems.add(
                Problem::new(Place::file(path), format!("has {size} bytes"))
                    .expected(format!(
                        "at most {LARGEST_RECORD_FILE} bytes in all workbooks together; {left} are left for this one"
                    ))
                    .advice("move pictures out of it into papers/, or save its sheets as CSV files"),
            );
        }
        fits.is_some()
    });
    let mut room = Room::default();
    found.into_iter().filter_map(|path| read_one(store, path, files, &mut room, problems)).collect()
}

/// Whether a path is that of a workbook which holds parts of tables.
fn is_of_folder(path: &str) -> bool {
    let name = path.strip_prefix(WORKBOOKS).filter(|name| !name.contains('/'));
    name.is_some_and(is_workbook)
}

fn read_one(
    store: &dyn Store,
    path: &str,
    files: &[&'static FileSpec],
    room: &mut Room,
    problems: &mut Problems,
) -> Option<Workbook> {
    let is_ods = path.to_lowercase().ends_with(".ods");
    let format = if is_ods { Format::OpenDocument } else { Format::OfficeOpen };
    let bytes = match store.read(path) {
        Ok(bytes) => bytes,
        Err(error) => {
            problems.add(unreadable(path, &error.to_string()));
            return None;
        }
    };
    let sheets = match cells::read(&bytes, format, room) {
        Ok(sheets) => sheets,
        Err(wrong) => {
            problems.add(
                Problem::new(Place::file(path), wrong)
                    .expected("a workbook as a spreadsheet saves it, without a password")
                    .advice(
                        "open it in a spreadsheet, correct the cell if one is named, and save it \
                         again; or keep the records as CSV",
                    ),
            );
            return None;
        }
    };
    let mut workbook = Workbook { path: path.to_string(), bytes, made: BTreeMap::new() };
    for sheet in sheets {
        let Some(spec) = described(path, files, &sheet, problems) else { continue };
        let file = match is_of_folder(path) {
            true => path_in_workbook(path, &spec.table_name()),
            false => spec.path.to_string(),
        };
        if store.sizes().contains_key(&file) || workbook.made.contains_key(&file) {
            problems.add(
                Problem::new(Place::file(&file), format!("is also a sheet of {path}"))
                    .value(sheet.name)
                    .expected("the records in one place: a sheet or a CSV file")
                    .advice(format!(
                        "keep the one that is right: remove the file, or start the sheet's name with {NOTE}; if each \
                         holds rows of its own, move the workbook to {WORKBOOKS}"
                    )),
            );
            continue;
        }
        if let Some(made) = made(spec, &file, &sheet, problems) {
            workbook.made.insert(file, made);
        }
    }
    Some(workbook)
}

/// What the name of a sheet begins with that is kept unread.
const NOTE: &str = "note";

/// A workbook under another name in the project's folder itself, or of a kind that is not read among those that are,
/// is most likely meant to be read.
fn other_workbook(path: &str) -> Option<Problem> {
    const ENDS: [&str; 5] = [".xlsx", ".ods", ".xls", ".xlsm", ".xlsb"];
    let lower = path.to_lowercase();
    let (folder, _) = lower.rsplit_once('/').unwrap_or(("", &lower));
    let is_read = NAMES.contains(&path) || is_of_folder(path);
    let lies_where_read = folder.is_empty() || folder.starts_with("workbook");
    if is_read || !lies_where_read || !ENDS.iter().any(|end| lower.ends_with(end)) {
        return None;
    }
    let expected = format!("{}, or .xlsx and .ods files in {WORKBOOKS}", NAMES.join(" or "));
    let advice = format!(
        "save it as project.xlsx or project.ods, or in {WORKBOOKS} as .xlsx or .ods, to have its sheets read; \
         otherwise move it to papers/"
    );
    Some(
        Problem::new(Place::file(path), "is kept, but nothing is read from it")
            .expected(expected)
            .advice(advice),
    )
}

/// What a sheet holds. One without cells, or whose name begins with note, holds nothing.
fn described(
    path: &str,
    files: &[&'static FileSpec],
    sheet: &Cells,
    problems: &mut Problems,
) -> Option<&'static FileSpec> {
    if sheet.cells.is_empty() || sheet.name.starts_with(NOTE) {
        return None;
    }
    let found = files.iter().copied().find(|spec| spec.table_name() == sheet.name);
    if found.is_none() {
        let names: Vec<String> = files.iter().map(|spec| spec.table_name()).collect();
        let lower = sheet.name.trim().to_lowercase().replace([' ', '_', '/'], "-");
        let advice = match nearest(&lower, names.iter().map(String::as_str)) {
            Some(near) => {
                format!("rename it to {near}, or start its name with {NOTE} to keep it unread")
            }
            None => format!(
                "rename it to one of these, or start its name with {NOTE} to keep it unread"
            ),
        };
        problems.add(
            Problem::new(Place::file(path), "is not the name of a sheet of records")
                .value(&sheet.name)
                .expected(names.join(", "))
                .advice(advice),
        );
    }
    found
}

/// The CSV file of a sheet: as many rows as the sheet has, so that the one numbered so here is the record
/// numbered so there, and every one as wide as the widest.
fn made(
    spec: &'static FileSpec,
    file: &str,
    sheet: &Cells,
    problems: &mut Problems,
) -> Option<Made> {
    let file: Arc<str> = file.into();
    let rows = sheet.cells.keys().map(|at| at.0 + 1).max().unwrap_or(0);
    let columns = sheet.cells.keys().map(|at| at.1 + 1).max().unwrap_or(0);
    if u64::from(rows) * u64::from(columns) > MOST_CELLS as u64 {
        let far = |(row, column)| Place {
            row: Some(row + 1),
            ..Place::value(&file, row + 1, column + 1, &"".into())
        };
        let last = sheet.cells.keys().max_by_key(|at| u64::from(at.0 + 1) * u64::from(at.1 + 1));
        problems.add(
            Problem::new(
                last.map_or(Place::file(&file), |at| far(*at)),
                "lies far from the rest of the table",
            )
            .expected("a table that starts at the top left of its sheet")
            .advice("clear this cell, or move it to the rest"),
        );
        return None;
    }
    let timed: BTreeSet<u32> = sheet
        .cells
        .iter()
        .filter(|(_, cell)| matches!(cell, Cell::Moment(at) if at.time() != NaiveTime::MIN))
        .map(|((_, column), _)| *column)
        .collect();
    refuse_dated_names(spec, &file, sheet, problems);
    refuse_merged(&file, sheet, (rows, columns), problems);
    let mut made = Made { csv: Vec::new(), lines: Vec::new() };
    let mut line = 1;
    for row in 0..rows {
        let mut fields = vec![String::new(); columns as usize];
        let at = |column: u32| Place {
            row: Some(row + 1),
            ..Place::value(&file, line, column + 1, &"".into())
        };
        for ((_, column), cell) in sheet.cells.range((row, 0)..(row + 1, 0)) {
            fields[*column as usize] = match cell {
                Cell::Text(text) => text.clone(),
                Cell::Moment(_) | Cell::Day(_) => {
                    cell.dated(timed.contains(column)).unwrap_or_default()
                }
                Cell::NoDate(number) => {
                    problems.add(
                        Problem::new(
                            at(*column),
                            "is a number formatted as a date, but not a calendar date",
                        )
                        .value(number)
                        .expected("a date from 1900-03-01 to 9999-12-31")
                        .advice(
                            "write the date that was meant, as text if it is earlier; if a number \
                             was meant, format the cell as a number",
                        ),
                    );
                    continue;
                }
                Cell::NotCalculated => {
                    problems.add(
                        Problem::new(
                            at(*column),
                            "is a formula whose result is not in the file",
                        )
                        .expected("a value")
                        .advice(
                            "open the workbook in a spreadsheet and save it, or write the value",
                        ),
                    );
                    continue;
                }
            };
        }
        let mut writer =
            csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
        // Writing to memory does not fail.
        let written = writer.write_record(&fields).ok().and_then(|()| writer.into_inner().ok());
        let written = written.unwrap_or_default();
        made.lines.push(line);
        line = line.saturating_add(count_line_ends(&written));
        made.csv.extend(written);
    }
    Some(made)
}

/// A spreadsheet makes a date of a name such as 4-12 when it is typed in, and the name is lost.
fn refuse_dated_names(
    spec: &'static FileSpec,
    file: &Arc<str>,
    sheet: &Cells,
    problems: &mut Problems,
) {
    let Some(top) = sheet.cells.keys().next().map(|at| at.0) else { return };
    let place = |at: (u32, u32), name: &str| Place {
        row: Some(at.0 + 1),
        ..Place::value(file, at.0 + 1, at.1 + 1, &name.into())
    };
    for ((_, column), header) in sheet.cells.range((top, 0)..(top + 1, 0)) {
        let Cell::Text(name) = header else { continue };
        let Ok(head) = recognise(name.trim(), spec.columns, &place((top, *column), name), "")
        else {
            continue;
        };
        if !holds_names(spec.columns[head.index].holds) {
            continue;
        }
        for (at, cell) in sheet.cells.iter().filter(|(at, _)| at.1 == *column) {
            let Some(day) = cell.dated(false) else { continue };
            problems.add(
                Problem::new(place(*at, name.trim()), "is stored as a date")
                    .value(day)
                    .expected(spec.columns[head.index].meaning)
                    .advice("format the column as text, then write the name again"),
            );
        }
    }
}

/// Of cells that are shown as one a person sees one value for all of them, and the file holds it in the first:
/// the other rows would silently lack it.
fn refuse_merged(
    file: &Arc<str>,
    sheet: &Cells,
    (rows, columns): (u32, u32),
    problems: &mut Problems,
) {
    for Merged { first, last } in &sheet.merged {
        let lies_in_table = first.0 < rows && first.1 < columns;
        if first == last || !lies_in_table {
            continue;
        }
        let (row, column) = (first.0 + 1, first.1 + 1);
        let range = format!(
            "{}{row}:{}{}",
            letters(column),
            letters(last.1.saturating_add(1)),
            last.0.saturating_add(1)
        );
        problems.add(
            Problem::new(
                Place { row: Some(row), ..Place::value(file, row, column, &"".into()) },
                format!(
                    "begins the merged cells {range}, all but the first of which are empty in the \
                     file"
                ),
            )
            .expected("a value in every cell")
            .advice("unmerge the cells, and write into each what applies to it"),
        );
    }
}

fn holds_names(holds: Holds) -> bool {
    matches!(holds, Holds::Id(_) | Holds::Part(_) | Holds::Name) || refers(holds)
}
