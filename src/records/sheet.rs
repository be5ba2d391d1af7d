//! CSV files of records: RFC 4180 and as spreadsheets write it, a header row, places counted by ourselves.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::budget::{MOST_COLUMNS, one_too_many, too_wide};
use super::entry::{Cell, Entry, Frame, Head, fits, may_be_missing, read_cell, recognise};
use super::entry::{LeftOut, Rejected};
use super::grammar::orders::{Calendar, Dates};
use super::grammar::times::{Numbers, Orders, TWO_READINGS};
use super::place::Place;
use super::prepared;
use super::problem::{Problem, Problems, Reach};
use super::rows::{DecimalSigns, Dialect, Row, Rows, dialect};
use super::spec::{Column, FileSpec, Holds, Need};
use super::value::{Reading, Value};
use super::workbook::Workbook;

/// A table that was read: of one CSV file, or of several that are its parts.
#[derive(Debug)]
pub struct Sheet {
    /// What the file holds.
    pub spec: &'static FileSpec,
    /// The paths of the files that make it up, in their order.
    pub files: Vec<Arc<str>>,
    /// The header row as it stands; of parts one after the other.
    pub header: Vec<String>,
    /// The headers of the columns that are carried along unread; those of several parts once.
    pub note_columns: Vec<String>,
    /// Its rows in the order of the files.
    pub entries: Vec<Entry>,
    /// Rows that were carried forward to be read again, and have not been yet: no records.
    pub prepared: Vec<Entry>,
    /// What a problem kept out of them.
    pub left_out: LeftOut,
}

impl Sheet {
    /// Whether any of it stands in another file than the one that is called so.
    pub fn is_in_parts(&self) -> bool {
        self.files.iter().any(|file| **file != *self.spec.path)
    }

    /// How many rows it has, of whatever sort.
    pub(super) fn count(&self) -> usize {
        self.entries.len() + self.prepared.len() + self.left_out.rejected.len()
    }

    /// Its rows, those with a problem too.
    pub(super) fn every_entry(&mut self) -> impl Iterator<Item = &mut Entry> {
        let rejected = self.left_out.rejected.iter_mut().map(|rejected| &mut rejected.entry);
        self.entries.iter_mut().chain(&mut self.prepared).chain(rejected)
    }
}

/// A file that is to be read as a table or as a part of one.
#[derive(Debug, Clone, Copy)]
pub struct Part<'a> {
    /// Its path in the project.
    pub path: &'a str,
    pub bytes: &'a [u8],
    /// Rows of the parts before it.
    pub rows_before: usize,
    /// The workbook of whose sheet it was made: places are those of the sheet.
    pub workbook: Option<&'a Workbook>,
}

/// Reads the CSV file that is called as its description says.
pub fn read(
    spec: &'static FileSpec,
    bytes: &[u8],
    calendar: &Calendar,
    problems: &mut Problems,
) -> Sheet {
    let part = Part { path: spec.path, bytes, rows_before: 0, workbook: None };
    read_part(spec, part, calendar, problems)
}

/// Reads a CSV file. Whatever is wrong goes to `problems`; a row with a problem is left out.
pub fn read_part(
    spec: &'static FileSpec,
    part: Part<'_>,
    calendar: &Calendar,
    problems: &mut Problems,
) -> Sheet {
    let first = problems.count();
    let mut sheet = read_csv(spec, part, calendar, problems);
    if let Some(workbook) = part.workbook {
        for entry in sheet.every_entry() {
            entry.place.row = workbook.row(&entry.place);
        }
        problems.place_from(first, |place| workbook.row(place));
        problems.forget_from(first, |place| workbook.has_refused(place));
        workbook.report_centuries(part.path, calendar, problems);
    }
    sheet
}

fn read_csv(
    spec: &'static FileSpec,
    Part { path, bytes, rows_before, .. }: Part<'_>,
    calendar: &Calendar,
    problems: &mut Problems,
) -> Sheet {
    let file: Arc<str> = path.into();
    let left_out = LeftOut { unread: true, ..LeftOut::default() };
    let mut sheet = Sheet {
        spec,
        files: vec![file.clone()],
        header: Vec::new(),
        note_columns: Vec::new(),
        entries: Vec::new(),
        prepared: Vec::new(),
        left_out,
    };
    let Some(dialect) = dialect(&file, bytes, problems) else { return sheet };
    let comma = dialect.has_decimal_commas();
    let mut signs = DecimalSigns::default();
    let mut rows = Rows::new(&dialect);
    let Some(Ok(mut header)) = rows.find(|row| row.as_ref().map_or(true, |row| !row.is_blank()))
    else {
        let names: Vec<String> = spec.columns.iter().map(Column::kept_name).collect();
        problems.add(
            Problem::new(Place::file(&file), "has no header row")
                .expected(format!("column names in the first row: {}", names.join(", ")))
                .advice("add a header row, or remove the file if there is nothing to record"),
        );
        return sheet;
    };
    header.keep_to(0);
    if header.fields.len() > MOST_COLUMNS {
        problems.add(too_wide(Place::line(&file, header.line), header.fields.len(), "columns"));
        return sheet;
    }
    let heads = read_header(spec, &file, &header, &mut sheet.note_columns, problems);
    if !heads.iter().flatten().any(|head| matches!(head, Header::Column(_))) {
        return sheet;
    }
    let named = |index| heads.iter().flatten().any(|head| head.names(index));
    let mut needed = spec.columns.iter().enumerate().filter(|(_, c)| c.need == Need::Always);
    sheet.left_out.unread = needed.any(|(index, _)| !named(index));
    sheet.header = header.fields.iter().map(|head| head.trim().to_string()).collect();
    let width = header.fields.len();
    let frame = Arc::new(Frame {
        file: file.clone(),
        columns: spec.columns,
        notes: sheet.note_columns.clone(),
        names: spec
            .columns
            .iter()
            .enumerate()
            .map(|(index, column)| {
                let written =
                    heads.iter().position(|head| head.as_ref().is_some_and(|h| h.names(index)));
                match written {
                    Some(at) => header.fields[at].trim().into(),
                    None => column.kept_name().as_str().into(),
                }
            })
            .collect(),
    });
    let mut texts = Texts::default();
    // Settled when the first date comes that may need it: most files have none.
    let mut orders: Option<Orders> = None;
    let most = spec.most_rows;
    let mut count = rows_before;
    for row in rows {
        let mut row = match row {
            Ok(row) => row,
            Err(problem) => {
                problems.add(Problem { place: Place::line(&file, problem.0), ..problem.1 });
                sheet.left_out.unread = true;
                continue;
            }
        };
        if row.is_blank() {
            continue;
        }
        count += 1;
        if count > most {
            let what = if rows_before == 0 { "row" } else { "with those of the other parts row" };
            problems.add(one_too_many(Place::line(&file, row.line), most, what));
            sheet.left_out.unread = true;
            break;
        }
        row.keep_to(width);
        let mut cells = vec![None; spec.columns.len()];
        let mut notes = Vec::new();
        let place = Place::line(&file, row.line);
        if row.fields.len() != width {
            problems.add(ragged(&file, &row, &header.fields, dialect.delimiter));
            let entry = Entry { place, title: String::new(), frame: frame.clone(), cells, notes };
            sheet.left_out.rejected.push(Rejected { entry, unread: row.texts() });
            continue;
        }
        let before = problems.count();
        let is_prepared = is_prepared(spec, &heads, &header.fields, &row);
        let mut unread = Vec::new();
        for ((at, text), head) in row.fields.iter().enumerate().zip(&heads) {
            match head {
                // What it lacks is filled in with the reading.
                Some(Header::Column(_)) if is_prepared && text.trim().is_empty() => {}
                Some(Header::Column(head)) => {
                    let column = u32::try_from(at + 1).unwrap_or(u32::MAX);
                    let place = Place::value(&file, row.line, column, &frame.names[head.index]);
                    let holds = spec.columns[head.index].holds;
                    if orders.is_none() && is_dated(holds) && Numbers::begin(text).is_some() {
                        let dates = dates(&dialect, &heads, &frame, calendar);
                        orders = Some(dates.settle(&file, calendar, problems));
                    }
                    let with = Reading {
                        unit: head.unit,
                        clock: &calendar.clock,
                        orders: orders.unwrap_or(Orders::UNSETTLED),
                        comma,
                    };
                    if comma {
                        signs.see(text, &spec.columns[head.index], &place);
                    }
                    let before = problems.count();
                    let mut cell =
                        read_cell(text, &spec.columns[head.index], with, &place, problems);
                    if let Some(Cell { value: Value::Text(text), .. }) = &mut cell {
                        *text = texts.share(text);
                    }
                    cells[head.index] = cell;
                    if problems.count() > before {
                        unread.push(text.trim().to_string());
                    }
                }
                Some(Header::Note) => {
                    let column = u32::try_from(at + 1).unwrap_or(u32::MAX);
                    let name = header.fields[at].trim().into();
                    if fits(text, &Place::value(&file, row.line, column, &name), problems) {
                        notes.push(text.clone());
                    }
                }
                Some(Header::Blank) if !text.trim().is_empty() => {
                    problems.add(nameless(&file, &row, at));
                }
                Some(Header::Blank) | None => {}
            }
        }
        let entry = Entry { place, title: String::new(), frame: frame.clone(), cells, notes };
        if problems.count() == before && is_prepared {
            sheet.prepared.push(entry);
        } else if problems.count() == before {
            sheet.entries.push(entry);
        } else {
            sheet.left_out.rejected.push(Rejected { entry, unread });
        }
    }
    // That they have two readings was said once for all.
    problems.take(TWO_READINGS);
    signs.refuse_both(problems);
    sheet.entries.shrink_to_fit();
    sheet
}

/// Whether a row was carried forward to be read again, and has not been yet.
fn is_prepared(spec: &FileSpec, heads: &[Option<Header>], header: &[String], row: &Row) -> bool {
    if prepared::readings(spec).is_empty() {
        return false;
    }
    let mut is_carried = false;
    for ((text, head), name) in row.fields.iter().zip(heads).zip(header) {
        let is_blank = text.trim().is_empty();
        match head {
            Some(Header::Column(head)) => {
                if !is_blank && prepared::is_reading(spec, &spec.columns[head.index]) {
                    return false;
                }
            }
            Some(Header::Note) => is_carried |= name.trim() == prepared::CARRIED && !is_blank,
            Some(Header::Blank) | None => {}
        }
    }
    is_carried
}

fn is_dated(holds: Holds) -> bool {
    matches!(holds, Holds::Time | Holds::Date)
}

/// Every date of a file.
fn dates(
    dialect: &Dialect<'_>,
    heads: &[Option<Header>],
    frame: &Frame,
    calendar: &Calendar,
) -> Dates {
    let mut dates = Dates::default();
    let dated = |head: &Option<Header>| match head {
        Some(Header::Column(head)) if is_dated(frame.columns[head.index].holds) => Some(head.index),
        _ => None,
    };
    for row in Rows::new(dialect).flatten().skip_while(Row::is_blank).skip(1) {
        for ((at, text), head) in row.fields.iter().enumerate().zip(heads) {
            let Some(index) = dated(head) else { continue };
            let column = u32::try_from(at + 1).unwrap_or(u32::MAX);
            let name = &frame.names[index];
            dates.see(text, calendar, || Place::value(&frame.file, row.line, column, name));
        }
    }
    dates
}

/// The texts that stand in many rows of a file, kept once.
#[derive(Debug, Default)]
struct Texts(BTreeSet<Arc<str>>);

impl Texts {
    /// The same text, shared with earlier rows that contain it.
    fn share(&mut self, text: &Arc<str>) -> Arc<str> {
        if let Some(known) = self.0.get(text) {
            return known.clone();
        }
        self.0.insert(text.clone());
        text.clone()
    }
}

enum Header {
    Column(Head),
    Note,
    /// No name, which is well as long as nothing stands under it.
    Blank,
}

impl Header {
    /// Whether it is that column of the description.
    fn names(&self, index: usize) -> bool {
        matches!(self, Header::Column(head) if head.index == index)
    }
}

fn read_header(
    spec: &'static FileSpec,
    file: &Arc<str>,
    header: &Row,
    note_columns: &mut Vec<String>,
    problems: &mut Problems,
) -> Vec<Option<Header>> {
    let mut heads: Vec<Option<Header>> = Vec::new();
    let mut taken = vec![false; spec.columns.len()];
    let mut meant = Vec::new();
    let mut misread = Vec::new();
    for (at, written) in header.fields.iter().enumerate() {
        let written = written.trim();
        let column = u32::try_from(at + 1).unwrap_or(u32::MAX);
        let place = Place::value(file, header.line, column, &"header".into());
        if written.is_empty() {
            heads.push(Some(Header::Blank));
            continue;
        }
        if written.starts_with("note") {
            if note_columns.iter().any(|name| name == written) {
                problems.add(twice(place.clone(), written));
            }
            if !fits(written, &place, problems) {
                heads.push(None);
                continue;
            }
            note_columns.push(written.to_string());
            heads.push(Some(Header::Note));
            continue;
        }
        match recognise(written, spec.columns, &place, spec.row_is) {
            Err(not) => {
                meant.extend(not.meant);
                misread.push(not.problem);
                heads.push(None);
            }
            Ok(head) if taken[head.index] => {
                problems.add(twice(place.clone(), written));
                heads.push(None);
            }
            Ok(head) => {
                taken[head.index] = true;
                heads.push(Some(Header::Column(head)));
            }
        }
    }
    if !taken.contains(&true) && meant.is_empty() {
        let names: Vec<String> = spec.columns.iter().map(Column::kept_name).collect();
        problems.add(
            Problem::new(Place::line(file, header.line), "this row contains no known column name")
                .reaches(Reach::File)
                .expected(format!("column names in the first row: {}", names.join(", ")))
                .advice("write the header row, with nothing above it"),
        );
        return heads;
    }
    let unsure = !misread.is_empty();
    let missing: Vec<&Column> = spec
        .columns
        .iter()
        .enumerate()
        .filter(|(index, column)| {
            column.need == Need::Always && !taken[*index] && !meant.contains(index)
        })
        .map(|(_, column)| column)
        .collect();
    let names: Vec<String> =
        missing.iter().map(|column| column.name_with_units(column.name)).collect();
    misread.into_iter().for_each(|problem| problems.add(may_be_missing(problem, &names)));
    for column in missing {
        let wrong = format!("has no column {}", column.kept_name());
        let advice = if unsure {
            "correct the unknown column name, or add this column"
        } else {
            "add the column"
        };
        problems.add(
            Problem::new(Place::line(file, header.line), wrong)
                .expected(column.meaning)
                .advice(advice)
                .reaches(Reach::Column),
        );
    }
    heads
}

fn twice(place: Place, written: &str) -> Problem {
    Problem::new(place, "appears twice in the header row")
        .reaches(Reach::Column)
        .value(written)
        .expected("each column once")
        .advice("remove one of the two, or start its name with note")
}

fn nameless(file: &Arc<str>, row: &Row, at: usize) -> Problem {
    let column = u32::try_from(at + 1).unwrap_or(u32::MAX);
    Problem::new(Place::value(file, row.line, column, &"".into()), "is in a column without a name")
        .value(row.fields[at].trim())
        .expected("a column name above every value")
        .advice("name the column (note keeps it unread), or clear this cell")
}

fn ragged(file: &Arc<str>, row: &Row, header: &[String], delimiter: u8) -> Problem {
    let (found, width) = (row.fields.len(), header.len());
    let advice = if row.fields.iter().any(|field| field.contains(['\n', '\r'])) {
        "this row runs over several lines: close the quotation mark opened in it where its text ends"
    } else {
        match (found > width, delimiter) {
            (true, b',') => {
                "use decimal points, and put text that contains a comma in quotation marks"
            }
            (true, _) => "put text that contains the cell separator in quotation marks",
            (false, b',') => "add the missing commas, including those for empty cells",
            (false, b';') => "add the missing semicolons, including those for empty cells",
            (false, _) => "add the missing tabs, including those for empty cells",
        }
    };
    let near = header.get(found.min(width).saturating_sub(1)).cloned().unwrap_or_default();
    let cells = |n: usize| if n == 1 { "1 cell".to_string() } else { format!("{n} cells") };
    Problem::new(Place::line(file, row.line), format!("this row has {}", cells(found)))
        .expected(format!(
            "{}, as in the header row (the last cell here falls under {near})",
            cells(width)
        ))
        .advice(advice)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::spec::{Kind, Range};
    use crate::units::Quantity;

    static SPEC: FileSpec = FileSpec {
        path: "plan/things.csv",
        row_is: "a thing",
        example: "",
        columns: &[
            Column::always("thing", Holds::Id(Kind::Block), "its name"),
            Column::always("station", Holds::Measure(Quantity::Length, Range::Any), "where it is"),
            Column::optional("count", Holds::Whole { least: 1 }, "how many"),
        ],
        most_rows: usize::MAX,
    };

    fn lines(text: &str) -> (Vec<Option<u32>>, Vec<Problem>) {
        let mut problems = Problems::default();
        let sheet = read(&SPEC, text.as_bytes(), &Calendar::default(), &mut problems);
        (sheet.entries.iter().map(|e| e.place.line).collect(), problems.into_sorted())
    }

    #[test]
    fn lines_are_right_with_lf_crlf_cr_and_blank_lines() {
        for end in ["\n", "\r\n", "\r"] {
            let text = ["thing,station_m", "A,1", "", "", "B,2", "\"C\",3", ""].join(end);
            let (found, problems) = lines(&text);
            assert_eq!(problems, vec![], "{end:?}");
            assert_eq!(found, [Some(2), Some(5), Some(6)], "{end:?}");
        }
    }

    #[test]
    fn lines_are_right_after_a_cell_with_line_breaks_and_a_byte_order_mark() {
        let text = "\u{feff}thing,station_m,note\r\nA,1,\"two\r\nlines\"\r\nB,x,\r\nC,3,\r\n";
        let (found, problems) = lines(text);
        assert_eq!(found, [Some(2), Some(5)]);
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].place.line, Some(4));
        assert_eq!(problems[0].place.column, Some(2));
        assert_eq!(&*problems[0].place.name, "station_m");
    }

    #[test]
    fn every_problem_is_reported_with_its_place() {
        let text = "thing,station_mm,count\nA,1,0\nB,NaN,2\nC,4\nD,5,6,7\n,8,9\nbad id,inf,1.5\n";
        let (found, problems) = lines(text);
        assert!(found.is_empty());
        let at: Vec<_> = problems.iter().map(|p| (p.place.line, p.place.column)).collect();
        assert_eq!(
            at,
            [
                (Some(2), Some(3)),
                (Some(3), Some(2)),
                (Some(4), None),
                (Some(5), None),
                (Some(6), Some(1)),
                (Some(7), Some(1)),
                (Some(7), Some(2)),
                (Some(7), Some(3)),
            ]
        );
    }

    #[test]
    fn headers_unknown_doubled_missing_or_with_a_wrong_unit() {
        let says = |text: &str| {
            let problems = lines(text).1;
            problems.iter().map(|p| p.to_string()).collect::<Vec<_>>().join("\n")
        };
        assert!(says("thing,statoin_m\n").contains("rename it to station_m"));
        assert!(says("thing,station_m,station_ft\n").contains("twice"));
        assert!(says("thing\n").contains("has no column station_m"));
        assert!(says("thing,station\n").contains("has no unit"));
        assert!(says("thing,station_kg\n").contains("station_m, station_cm"));
        assert!(says("thing,station_furlong\n").contains("furlong, which is not a unit"));
        assert!(says("thing,station_m,count_m\n").contains("takes none"));
        assert!(says("").contains("no header row"));
    }

    #[test]
    fn a_quotation_mark_left_open_is_named_on_its_own_row() {
        let (found, problems) = lines("thing,station_m\nA,1\n\"B,2\nC,3\n");
        assert_eq!(found, [Some(2)]);
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].place.line, Some(3));
        assert!(problems[0].wrong.contains("never closed"));
    }

    #[test]
    fn a_text_said_again_is_the_one_kept() {
        let mut texts = Texts::default();
        let [first, again, other] = ["F3", "F3", "F4"].map(|text| texts.share(&text.into()));
        assert!(Arc::ptr_eq(&first, &again));
        assert_eq!((&*again, &*other), ("F3", "F4"));
    }
}
