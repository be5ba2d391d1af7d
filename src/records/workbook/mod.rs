//! Workbooks whose sheets stand for CSV files, each named as its file (`plan-blocks` for `plan/blocks.csv`):
//! `project.xlsx` or `project.ods`, and those in `workbooks/`, whose sheets are parts of tables.
//!
//! A sheet is turned into the text of its CSV file, and only that is read: so what is archived beside the
//! workbook, and read again in fifty years, is what was read here.

mod cells;
mod judged;
mod made;
mod markup;
mod measured;
mod unpacked;
mod unseen;
mod values;

use std::collections::BTreeMap;

use super::grammar::orders::Calendar;
use super::place::{Place, WORKBOOKS, is_workbook, path_in_workbook};
use super::problem::{Problem, Problems};
use super::spec::FileSpec;
use super::store::{LARGEST_RECORD_FILE, Store, unreadable};
use super::value::nearest;
use cells::{Cells, Room};
use made::Made;
use unpacked::Format;

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
        self.made.get(&*place.file)?.row(place)
    }

    /// Whether a cell was refused for what the workbook holds there, so that nothing more is to be said of it.
    pub(super) fn has_refused(&self, place: &Place) -> bool {
        self.made.get(&*place.file).is_some_and(|made| made.has_refused(place))
    }

    /// Reports dates of a sheet that lie a century before the docking.
    pub(super) fn report_centuries(
        &self,
        path: &str,
        calendar: &Calendar,
        problems: &mut Problems,
    ) {
        if let Some(made) = self.made.get(path) {
            made.report_centuries(calendar, problems);
        }
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
        if let Some(made) = Made::of(spec, &file, &sheet, problems) {
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
    let plain = sheet.name.trim().to_lowercase().replace([' ', '_', '/', '.'], "-");
    if sheet.cells.is_empty() || plain.starts_with(NOTE) {
        return None;
    }
    // Capital letters and what stands between words don't count.
    let found = files.iter().copied().find(|spec| spec.table_name() == plain);
    if found.is_none() {
        let names: Vec<String> = files.iter().map(|spec| spec.table_name()).collect();
        // A name without its folder, `blocks`, where one table alone is called so.
        let mut ends = names.iter().filter(|name| name.ends_with(&format!("-{plain}")));
        let alone = ends.next().filter(|_| ends.next().is_none()).map(String::as_str);
        let keep = format!("start its name with {NOTE} to keep it unread");
        let near = alone.or_else(|| nearest(&plain, names.iter().map(String::as_str)));
        let (expected, advice) = match near {
            Some(near) => (near.to_string(), format!("rename it to {near}, or {keep}")),
            None => (
                names.join(", "),
                format!("{keep}; if it holds records, rename it to one of these"),
            ),
        };
        problems.add(
            Problem::new(Place::file(path), "is not the name of a sheet of records")
                .value(&sheet.name)
                .expected(expected)
                .advice(advice),
        );
    }
    found
}
