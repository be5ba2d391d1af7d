//! The CSV file of a sheet: its cells row by row as texts, and what is said of those that are refused, of rows that are
//! no records, and of what a person does not see.

use std::collections::BTreeSet;
use std::sync::Arc;

use chrono::{Datelike, NaiveDate, NaiveTime};

use super::cells::Cells;
use super::judged::{Head, Refused};
use super::measured::{MOST_CELLS, Merged};
use super::values::{Cell, Dated};
use crate::records::entry::recognise;
use crate::records::grammar::orders::Calendar;
use crate::records::grammar::words;
use crate::records::place::{Place, letters};
use crate::records::problem::{Problem, Problems};
use crate::records::rows::count_line_ends;
use crate::records::spec::{FileSpec, Holds, Need};

/// The CSV file that was made of a sheet.
#[derive(Debug)]
pub(super) struct Made {
    pub csv: Vec<u8>,
    file: Arc<str>,
    /// For each row of the sheet the line on which it begins.
    lines: Vec<u32>,
    /// Cells, by row and column from 1, that were refused for what the workbook holds there.
    refused: BTreeSet<(u32, u32)>,
    /// Dates of the century before this one, with their places.
    early: Vec<(NaiveDate, Place)>,
}

/// How far down the column names are looked for.
const MOST_ABOVE: usize = 20;

impl Made {
    /// As many rows as the sheet has, so that the one numbered so here is the record numbered so there, and every one as
    /// wide as the widest. `None` where a cell lies too far from the rest.
    pub fn of(
        spec: &'static FileSpec,
        file: &str,
        sheet: &Cells,
        problems: &mut Problems,
    ) -> Option<Self> {
        let file: Arc<str> = file.into();
        let rows = sheet.cells.keys().map(|at| at.0 + 1).max().unwrap_or(0);
        let columns = sheet.cells.keys().map(|at| at.1 + 1).max().unwrap_or(0);
        if u64::from(rows) * u64::from(columns) > MOST_CELLS as u64 {
            let far = sheet.cells.keys().max_by_key(|at| u64::from(at.0 + 1) * u64::from(at.1 + 1));
            problems.add(
                Problem::new(
                    far.map_or_else(|| Place::file(&file), |at| place(&file, *at, "")),
                    "lies far from the rest of the table",
                )
                .expected("a table that starts at the top left of its sheet")
                .advice("clear this cell, or move it to the rest"),
            );
            return None;
        }
        let mut made = Self {
            csv: Vec::new(),
            lines: Vec::new(),
            refused: BTreeSet::new(),
            early: Vec::new(),
            file,
        };
        let table = Table::of(spec, sheet, columns);
        let mut found = Vec::new();
        let mut line = 1;
        for row in 0..rows {
            line = made.add_row(&table, row, line, &mut found);
        }
        found.extend(made.above(&table));
        found.extend(made.merged(&table, (rows, columns)));
        found.into_iter().for_each(|problem| problems.add(made.on_its_line(problem)));
        made.unseen(&table)
            .into_iter()
            .for_each(|warning| problems.warn(made.on_its_line(warning)));
        Some(made)
    }

    /// A problem with the line of the CSV file on which its row begins.
    fn on_its_line(&self, mut problem: Problem) -> Problem {
        let line = problem.place.row.and_then(|row| self.lines.get(row as usize - 1));
        problem.place.line = problem.place.line.and(line.copied());
        problem
    }

    /// The row of the sheet, from 1, in which a place of the CSV file lies; the first for the whole of it.
    pub fn row(&self, place: &Place) -> Option<u32> {
        let Some(line) = place.line else { return Some(1) };
        u32::try_from(self.lines.partition_point(|begins| *begins <= line)).ok()
    }

    /// Whether a cell was refused.
    pub fn has_refused(&self, place: &Place) -> bool {
        place.row.zip(place.column).is_some_and(|cell| self.refused.contains(&cell))
    }

    /// Reports dates that lie a hundred years before a day of the docking. Somebody wrote two digits of the year, and
    /// a spreadsheet took them for those of the century before.
    pub fn report_centuries(&self, calendar: &Calendar, problems: &mut Problems) {
        let (Some(began), Some(ended)) = calendar.period else { return };
        for (day, place) in &self.early {
            let Some(meant) = day.with_year(day.year() + 100) else { continue };
            if !(began..=ended).contains(&meant) {
                continue;
            }
            problems.add(
                Problem::new(place.clone(), "is a hundred years before the docking")
                    .value(day.to_string())
                    .expected(format!("a time of the docking ({began} to {ended})"))
                    .advice(format!(
                        "write the year with four digits: of {:02} a spreadsheet made {}; if {} is right, write \
                         the date as text",
                        day.year() % 100,
                        day.year(),
                        day.year()
                    )),
            );
        }
    }

    /// Adds a row, which begins on that line; gives the line on which the next begins.
    fn add_row(&mut self, table: &Table<'_>, row: u32, line: u32, found: &mut Vec<Problem>) -> u32 {
        let mut fields = vec![String::new(); table.width];
        let is_record = row > table.header;
        let total = if is_record { self.total(table, row) } else { None };
        if row >= table.header && total.is_none() {
            for ((_, column), cell) in table.row(row) {
                let head = if is_record { table.head(*column) } else { None };
                let place = self.place((row, *column), table.heading(*column));
                if let Some(Refused { value, why }) = head.and_then(|head| head.refuses(cell)) {
                    let problem = Problem::new(place, why.wrong).expected(why.expected);
                    found.push(Problem { value, ..problem.advice(why.advice) });
                    self.refused.insert((row + 1, *column + 1));
                    continue;
                }
                if let (Cell::Dated(date), true) = (cell, head.is_some()) {
                    let place = Place { line: Some(line), ..place };
                    self.early.extend(early(*date).map(|day| (day, place)));
                }
                fields[*column as usize] = text_of(cell, table.timed.contains(column));
            }
        }
        found.extend(total);
        let mut writer =
            csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
        // Writing to memory does not fail.
        let written = writer.write_record(&fields).ok().and_then(|()| writer.into_inner().ok());
        let written = written.unwrap_or_default();
        self.lines.push(line);
        self.csv.extend(&written);
        line.saturating_add(count_line_ends(&written))
    }

    /// A cell by row and column from 0; its line is filled in when all are known.
    fn place(&self, at: (u32, u32), name: &str) -> Place {
        place(&self.file, at, name)
    }

    /// What stands above the column names: a title, a remark. As records it can't be read.
    fn above(&self, table: &Table<'_>) -> Option<Problem> {
        let (at, cell) = table.sheet.cells.iter().next().filter(|(at, _)| at.0 < table.header)?;
        let row = table.header + 1;
        let wrong = format!("stands above the column names, which are in row {row}");
        let mut problem = Problem::new(self.place(*at, ""), wrong)
            .expected("the column names above everything else")
            .advice(format!(
                "delete what stands above row {row}, or move it to a sheet whose name begins with note"
            ));
        if let Cell::Text(text) = cell {
            problem = problem.value(text.trim());
        }
        Some(problem)
    }

    /// What is said of a row that sums up others, and is no record.
    fn total(&self, table: &Table<'_>, row: u32) -> Option<Problem> {
        let (label, at) = table.total(row)?;
        let place = self.place(at, table.heading(at.1));
        let problem = Problem::new(place, "begins a row that sums up the others")
            .expected("one record in every row")
            .advice(format!(
                "delete row {}, or move it to a sheet whose name begins with note",
                row + 1
            ));
        Some(Problem { value: label, ..problem })
    }

    /// Of cells that are shown as one a person sees one value for all of them, and the file holds it in the first:
    /// the other rows would silently lack it.
    fn merged(&self, table: &Table<'_>, (rows, columns): (u32, u32)) -> Vec<Problem> {
        let mut found = Vec::new();
        for Merged { first, last } in &table.sheet.merged {
            let lies_in_table = first.0 < rows && first.1 < columns && last.0 >= table.header;
            if first == last || !lies_in_table {
                continue;
            }
            let range = format!("{}:{}", cell_name(*first), cell_name(*last));
            let wrong = format!(
                "begins the merged cells {range}, all but the first of which are empty in the file"
            );
            found.push(
                Problem::new(self.place(*first, table.heading(first.1)), wrong)
                    .expected("a value in every cell")
                    .advice("unmerge the cells, and write into each what applies to it"),
            );
        }
        found
    }

    /// What is read though it is hidden, what is not read, and which numbers are not those that are shown.
    fn unseen(&self, table: &Table<'_>) -> Vec<Problem> {
        [self.hidden(table), self.comments(table), self.rounded(table)]
            .into_iter()
            .flatten()
            .collect()
    }

    fn hidden(&self, table: &Table<'_>) -> Option<Problem> {
        let unseen = &table.sheet.unseen;
        let below = || table.sheet.cells.keys().filter(|at| at.0 > table.header);
        let rows = below().map(|at| at.0).collect();
        let columns = below().map(|at| at.1).collect();
        let rows = hidden("row", &unseen.rows, &rows, |row| (row + 1).to_string());
        let columns = hidden("column", &unseen.columns, &columns, |column| letters(column + 1));
        let what = match (unseen.is_hidden, rows, columns) {
            (true, ..) => "the whole sheet is".to_string(),
            (_, Some((rows, _)), Some((columns, _))) => format!("{rows} and {columns} are"),
            (_, Some((what, is)), None) | (_, None, Some((what, is))) => format!("{what} {is}"),
            (_, None, None) => return None,
        };
        let place = Place { row: Some(1), ..Place::file(&self.file) };
        let problem = Problem::new(place, format!("{what} hidden, and read like the rest"))
            .expected("what is to be read, where everyone can see it")
            .advice(
                "show what is hidden; delete what is no record, or move it to a sheet whose name begins \
                 with note",
            );
        Some(problem)
    }

    fn comments(&self, table: &Table<'_>) -> Option<Problem> {
        let all = table.sheet.unseen.comments.iter();
        let mut all = all.filter(|at| at.0 > table.header);
        let first = all.next()?;
        let wrong = match all.count() {
            0 => "has a comment, which is not read".to_string(),
            1 => "and 1 more cell have comments, which are not read".to_string(),
            n => format!("and {n} more cells have comments, which are not read"),
        };
        let problem = Problem::new(self.place(*first, table.heading(first.1)), wrong)
            .expected("what the record is to keep, in cells")
            .advice(
                "write it into a column whose name begins with note; the workbook is archived with its \
                 comments, but nothing shows them",
            );
        Some(problem)
    }

    fn rounded(&self, table: &Table<'_>) -> Option<Problem> {
        let numbers = table.sheet.cells.iter().filter_map(|(at, cell)| match cell {
            Cell::Number(number) if at.0 > table.header && table.head(at.1).is_some() => {
                Some((*at, number.rounded.as_deref()?, number))
            }
            _ => None,
        });
        let mut numbers = numbers.peekable();
        let (at, shown, number) = numbers.peek().copied()?;
        let more = match numbers.count() {
            1 => String::new(),
            2 => "; so is 1 more number of this sheet".to_string(),
            n => format!("; so are {} more numbers of this sheet", n - 1),
        };
        let sign = if number.is_share { "%" } else { "" };
        let wrong = format!(
            "is shown as {shown}{sign} and read with all the digits that it holds, {}{more}",
            number.text()
        );
        let problem = Problem::new(self.place(at, table.heading(at.1)), wrong)
            .expected("the reading as it was read off")
            .advice("if what is shown is what was read off, write that");
        Some(problem)
    }
}

/// A date of the century before this one.
fn early(date: Dated) -> Option<NaiveDate> {
    Some(date.at.date()).filter(|day| (1900..2000).contains(&day.year()))
}

/// A sheet as a table of records.
struct Table<'a> {
    sheet: &'a Cells,
    /// The row of the column names, from 0.
    header: u32,
    width: usize,
    /// By column: the description, where the heading is known.
    heads: Vec<Option<Head>>,
    headings: Vec<&'a str>,
    /// Columns in which a date has a time of day.
    timed: BTreeSet<u32>,
}

impl<'a> Table<'a> {
    fn of(spec: &'static FileSpec, sheet: &'a Cells, columns: u32) -> Self {
        let names = |row: u32| {
            let cells = row_of(sheet, row);
            cells.filter(|(_, cell)| head_of(spec, cell).is_some()).count()
        };
        let mut rows: Vec<u32> = sheet.cells.keys().map(|at| at.0).collect();
        rows.dedup();
        let top = rows.first().copied().unwrap_or(0);
        // One known name may be a word of a title.
        let below = || rows.iter().copied().take(MOST_ABOVE).find(|row| names(*row) > 1);
        let header = if names(top) > 0 { top } else { below().unwrap_or(top) };
        let mut table = Self {
            sheet,
            header,
            width: columns as usize,
            heads: vec![None; columns as usize],
            headings: vec![""; columns as usize],
            timed: BTreeSet::new(),
        };
        for ((_, column), cell) in row_of(sheet, header) {
            table.heads[*column as usize] = head_of(spec, cell);
            if let Cell::Text(name) = cell {
                table.headings[*column as usize] = name.trim();
            }
        }
        let timed = sheet.cells.iter().filter(
            |(_, cell)| matches!(cell, Cell::Dated(date) if date.has_time && date.at.time() != NaiveTime::MIN),
        );
        table.timed = timed.map(|((_, column), _)| *column).collect();
        table
    }

    fn row(&self, row: u32) -> impl Iterator<Item = (&'a (u32, u32), &'a Cell)> {
        row_of(self.sheet, row)
    }

    fn head(&self, column: u32) -> Option<Head> {
        self.heads.get(column as usize).copied().flatten()
    }

    fn heading(&self, column: u32) -> &'a str {
        self.headings.get(column as usize).copied().unwrap_or_default()
    }

    /// The label and the first cell of a row that sums up others: it says so in a cell that takes something else, or
    /// it holds nothing but formulas that do.
    fn total(&self, row: u32) -> Option<(Option<String>, (u32, u32))> {
        let known: Vec<((u32, u32), &Cell, Head)> =
            self.row(row).filter_map(|(at, cell)| Some((*at, cell, self.head(at.1)?))).collect();
        let filled = |wanted: &Head| known.iter().any(|(_, _, head)| head.column == wanted.column);
        let lacks = self
            .heads
            .iter()
            .flatten()
            .any(|head| head.column.need == Need::Always && !filled(head));
        let label = known.iter().find_map(|(at, cell, head)| {
            let Cell::Text(text) = cell else { return None };
            let may_be_name =
                !lacks && !matches!(head.column.holds, Holds::Measure(..) | Holds::Number(_));
            (is_label(text, *head) && !may_be_name).then(|| (text.trim().to_string(), *at))
        });
        if let Some((label, at)) = label {
            return Some((Some(label), at));
        }
        let is_sum = |at: &(u32, u32)| self.sheet.totals.contains(at);
        let (first, ..) = known.first().filter(|_| known.iter().all(|(at, ..)| is_sum(at)))?;
        Some((None, *first))
    }
}

/// What people write before sums.
const LABELS: [&str; 8] =
    ["total", "totals", "grand total", "subtotal", "sum", "mean", "average", "avg"];

fn is_label(text: &str, head: Head) -> bool {
    let plain = text.trim().trim_end_matches([':', '.', '=']).trim().to_lowercase();
    let is_word = match head.column.holds {
        Holds::Word(known) | Holds::Words(known) => words::read(text, known).is_some(),
        Holds::Text | Holds::Called | Holds::Texts => true,
        _ => false,
    };
    !is_word && LABELS.contains(&plain.as_str())
}

fn row_of(sheet: &Cells, row: u32) -> impl Iterator<Item = (&(u32, u32), &Cell)> {
    sheet.cells.range((row, 0)..(row + 1, 0))
}

/// The column that a heading names.
fn head_of(spec: &'static FileSpec, cell: &Cell) -> Option<Head> {
    let Cell::Text(name) = cell else { return None };
    let found = recognise(name.trim(), spec.columns, &Place::default(), "").ok()?;
    Some(Head { column: &spec.columns[found.index], unit: found.unit })
}

/// The text of a cell in the CSV file.
fn text_of(cell: &Cell, with_time: bool) -> String {
    match cell {
        Cell::Text(text) | Cell::Hours(text) | Cell::NoDate(text) | Cell::Error(text) => {
            text.clone()
        }
        Cell::Number(number) => number.text(),
        Cell::Dated(date) => date.text(with_time),
        Cell::NotCalculated => String::new(),
    }
}

/// A cell by row and column from 0, on the line of the CSV file that has its number.
fn place(file: &Arc<str>, (row, column): (u32, u32), name: &str) -> Place {
    Place { row: Some(row + 1), ..Place::value(file, row + 1, column + 1, &name.into()) }
}

fn cell_name((row, column): (u32, u32)) -> String {
    format!("{}{}", letters(column.saturating_add(1)), row.saturating_add(1))
}

/// Hidden rows or columns of those that are there, by their names, and whether it is one or several: `rows 4 to 6, 9`.
fn hidden(
    what: &str,
    stretches: &[(u32, u32)],
    there: &BTreeSet<u32>,
    name: impl Fn(u32) -> String,
) -> Option<(String, &'static str)> {
    const SHOWN: usize = 5;
    let mut hidden: BTreeSet<u32> = BTreeSet::new();
    let mut from = 0;
    let mut sorted = stretches.to_vec();
    sorted.sort_unstable();
    for (first, last) in sorted.into_iter().filter(|(first, last)| first <= last) {
        // Stretches may overlap; what one covered is not looked at again.
        let first = first.max(from);
        if first <= last {
            hidden.extend(there.range(first..=last));
            from = last.saturating_add(1);
        }
    }
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for one in &hidden {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *one => *last = *one,
            _ => runs.push((*one, *one)),
        }
    }
    let run = |(first, last): &(u32, u32)| match first == last {
        true => name(*first),
        false => format!("{} to {}", name(*first), name(*last)),
    };
    let mut names: Vec<String> = runs.iter().take(SHOWN).map(run).collect();
    names.extend((runs.len() > SHOWN).then(|| "and more".to_string()));
    let names = names.join(", ");
    match hidden.len() {
        0 => None,
        1 => Some((format!("{what} {names}"), "is")),
        _ => Some((format!("{what}s {names}"), "are")),
    }
}
