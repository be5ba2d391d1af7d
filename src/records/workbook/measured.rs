//! How much an OpenDocument sheet unfolds to, and how its cells look: which are shown as per cent, rounded or as an
//! error, hidden, or commented on. Cells and rows say how often they repeat, so that a few bytes may stand for a whole
//! sheet; and the library that reads them tells nothing of how they look.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::markup::{self, Broken, Kind, Tag};
use super::unseen::Unseen;
use super::values::Shown;

/// The most cells that all sheets together may have: far more than any docking has.
pub(super) const MOST_CELLS: usize = 1_000_000;

/// The most text that their cells may hold, in bytes.
pub(super) const MOST_TEXT: usize = 32 << 20;

const MOST_ROWS: usize = 1 << 20;
const MOST_COLUMNS: usize = 1 << 14;
/// Markup stands round every text.
const MOST_BYTES: usize = 4 * MOST_TEXT;
const TOO_MUCH: Broken = Broken("unfolds to more cells than any docking needs");

/// A cell: its sheet, row and column, each from 0.
type InSheet = (usize, u32, u32);

/// Cells that are shown as one: the first and the last of them by row and column, each from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Merged {
    pub first: (u32, u32),
    pub last: (u32, u32),
}

/// How cells look, as far as it says what they hold. Sheets are counted from 0 in the order in which they stand.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Looks {
    /// Cells shown as per cent: sheet, row and column, each from 0.
    pub shares: BTreeSet<(usize, u32, u32)>,
    /// Cells that hold a date alone and are shown with a time of day, which is midnight.
    pub midnights: BTreeSet<(usize, u32, u32)>,
    /// Cells that show an error in place of a result.
    pub errors: BTreeSet<(usize, u32, u32)>,
    /// Cells that show a number, with so many decimals, where that can be told.
    pub decimals: BTreeMap<(usize, u32, u32), u8>,
    /// Cells shown as one, with their sheets.
    pub merged: Vec<(usize, Merged)>,
    /// What is hidden and what is commented on, by sheet.
    pub unseen: BTreeMap<usize, Unseen>,
}

/// Measures the part that holds the cells.
pub(super) fn measure(content: &[u8]) -> Result<Looks, Broken> {
    let mut sheets = Sheets::default();
    markup::tags(content, |tag| {
        if (tag.name, tag.kind) == ("text:p", Kind::Closes) {
            sheets.shown(content)?;
        }
        sheets.tag(tag)
    })?;
    Ok(sheets.looks)
}

#[derive(Default)]
struct Sheets {
    looks: Looks,
    sheet: usize,
    inside: bool,
    /// Rows before this one, and those among them up to the last with anything in it.
    rows: usize,
    filled_rows: usize,
    /// The widest row so far.
    width: usize,
    /// How often this row stands, cells before this one, those up to the last that is filled.
    repeats: usize,
    columns: usize,
    filled: usize,
    /// Bytes of the row's filled cells, unfolded; where such a cell began and how often it stands.
    row_bytes: usize,
    cell: Option<(usize, usize)>,
    /// The cells of which the one that is read is a date alone, and where its text begins.
    day: Vec<(usize, u32, u32)>,
    text: usize,
    /// The cells of which the one that is read is a number, and that number as it is shown.
    number: Option<(Vec<InSheet>, f64)>,
    /// Columns of the sheet before the one that is described.
    described: usize,
    /// Where the cell that is read stands, and whether a comment on it is read.
    at: (usize, usize),
    in_comment: bool,
    /// Cells of the sheets before this one, and bytes of all, unfolded.
    cells: usize,
    bytes: usize,
}

impl Sheets {
    fn tag(&mut self, tag: &Tag<'_>) -> Result<(), Broken> {
        match (tag.name, tag.kind) {
            ("table:table", Kind::Opens) if self.inside => {
                return Err(Broken("has a sheet within a sheet"));
            }
            ("table:table", Kind::Opens) => {
                (self.inside, self.rows, self.filled_rows, self.width) = (true, 0, 0, 0);
                self.described = 0;
            }
            ("table:table", Kind::Closes) => {
                self.inside = false;
                self.sheet += 1;
                self.cells = self.cells.saturating_add(self.filled_rows * self.width);
            }
            ("table:table-column", Kind::Opens | Kind::Alone) => {
                let count = tag.count("table:number-columns-repeated", MOST_COLUMNS)?;
                if is_hidden(tag) {
                    let stretch = stretch(self.described, count)?;
                    self.unseen().columns.push(stretch);
                }
                self.described = self.described.saturating_add(count);
            }
            ("table:table-row", Kind::Opens) => {
                self.repeats = tag.count("table:number-rows-repeated", MOST_ROWS)?;
                (self.columns, self.filled, self.row_bytes) = (0, 0, 0);
                if is_hidden(tag) {
                    let stretch = stretch(self.rows, self.repeats)?;
                    self.unseen().rows.push(stretch);
                }
            }
            ("table:table-row", Kind::Closes) => self.end_row(tag.at)?,
            ("table:table-row", Kind::Alone) => {
                let count = tag.count("table:number-rows-repeated", MOST_ROWS)?;
                if is_hidden(tag) {
                    let stretch = stretch(self.rows, count)?;
                    self.unseen().rows.push(stretch);
                }
                self.rows += count;
            }
            ("table:table-cell" | "table:covered-table-cell", Kind::Opens | Kind::Alone) => {
                self.begin_cell(tag)?;
            }
            ("office:annotation", Kind::Opens | Kind::Alone) => {
                self.in_comment = tag.kind == Kind::Opens;
                if let (Ok(row), Ok(column)) = (self.at.0.try_into(), self.at.1.try_into()) {
                    self.unseen().comments.insert((row, column));
                }
            }
            ("office:annotation", Kind::Closes) => self.in_comment = false,
            ("text:p", Kind::Opens) if !self.in_comment => self.text = tag.at,
            ("text:s", Kind::Opens | Kind::Alone) => {
                let spaces = tag.count("text:c", MOST_TEXT)?;
                let repeats = self.cell.map_or(1, |(_, repeats)| repeats);
                self.row_bytes = self.row_bytes.saturating_add(spaces.saturating_mul(repeats));
            }
            _ => {}
        }
        Ok(())
    }

    fn begin_cell(&mut self, tag: &Tag<'_>) -> Result<(), Broken> {
        self.end_cell(tag.at);
        self.day.clear();
        self.number = None;
        self.at = (self.rows, self.columns);
        let repeats = tag.count("table:number-columns-repeated", MOST_COLUMNS)?;
        let holds =
            |(key, _): &(&str, Cow<'_, str>)| key.starts_with("office:") || *key == "table:formula";
        if tag.attributes.iter().any(holds) {
            match tag.attribute("office:value-type") {
                Some(kind @ ("percentage" | "float")) => {
                    let cells = self.cells_at(repeats)?;
                    let is_share = kind == "percentage";
                    let number =
                        tag.attribute("office:value").and_then(|value| value.parse::<f64>().ok());
                    let number =
                        number.map(|number| if is_share { number * 100.0 } else { number });
                    if is_share {
                        self.looks.shares.extend(&cells);
                    }
                    self.number = number.map(|number| (cells, number));
                }
                Some("date")
                    if !tag.attribute("office:date-value").is_some_and(|at| at.contains('T')) =>
                {
                    self.day = self.cells_at(repeats)?;
                }
                _ => {}
            }
            if tag.attribute("calcext:value-type") == Some("error") {
                let cells = self.cells_at(repeats)?;
                self.looks.errors.extend(cells);
            }
            self.filled = self.columns + repeats;
            self.cell = Some((tag.at, repeats));
        }
        let (rows, columns) = (
            tag.count("table:number-rows-spanned", MOST_ROWS)?,
            tag.count("table:number-columns-spanned", MOST_COLUMNS)?,
        );
        if rows > 1 || columns > 1 {
            self.take_merged(rows, columns)?;
        }
        self.columns += repeats;
        Ok(())
    }

    fn take_merged(&mut self, rows: usize, columns: usize) -> Result<(), Broken> {
        let at = |row: usize, column: usize| {
            u32::try_from(row).ok().zip(u32::try_from(column).ok()).ok_or(TOO_MUCH)
        };
        let merged = Merged {
            first: at(self.rows, self.columns)?,
            last: at(self.rows + rows.max(1) - 1, self.columns + columns.max(1) - 1)?,
        };
        self.looks.merged.push((self.sheet, merged));
        Ok(())
    }

    /// Where the cells stand that a cell stands for which repeats, in rows that repeat.
    fn cells_at(&self, repeats: usize) -> Result<Vec<(usize, u32, u32)>, Broken> {
        let known = self.looks.shares.len() + self.looks.decimals.len() + self.looks.errors.len();
        if known.saturating_add(repeats.saturating_mul(self.repeats)) > MOST_CELLS {
            return Err(TOO_MUCH);
        }
        let mut cells = Vec::new();
        for row in self.rows..self.rows + self.repeats {
            for column in self.columns..self.columns + repeats {
                let (Ok(row), Ok(column)) = (u32::try_from(row), u32::try_from(column)) else {
                    return Err(TOO_MUCH);
                };
                cells.push((self.sheet, row, column));
            }
        }
        Ok(cells)
    }

    /// What a person does not see of the sheet that is read.
    fn unseen(&mut self) -> &mut Unseen {
        self.looks.unseen.entry(self.sheet).or_default()
    }

    /// At the end of a cell's text: a date that is shown with hours and minutes is midnight of that day, and a number is
    /// shown with some decimals.
    fn shown(&mut self, content: &[u8]) -> Result<(), Broken> {
        if self.in_comment {
            return Ok(());
        }
        let text = content.get(self.text..).unwrap_or_default();
        let mut parts = text.split(|byte| b"<>".contains(byte)).skip(2);
        let text = parts.next().unwrap_or_default();
        if let Some((cells, number)) = self.number.take() {
            let text = std::str::from_utf8(text).unwrap_or_default();
            if let Some(decimals) = Shown::decimals_of(number, text) {
                self.looks.decimals.extend(cells.into_iter().map(|cell| (cell, decimals)));
            }
        }
        if !self.day.is_empty() && text.contains(&b':') {
            if self.looks.midnights.len().saturating_add(self.day.len()) > MOST_CELLS {
                return Err(TOO_MUCH);
            }
            self.looks.midnights.extend(self.day.drain(..));
        }
        Ok(())
    }

    fn end_cell(&mut self, at: usize) {
        if let Some((from, repeats)) = self.cell.take() {
            self.row_bytes = self.row_bytes.saturating_add((at - from).saturating_mul(repeats));
        }
    }

    fn end_row(&mut self, at: usize) -> Result<(), Broken> {
        self.end_cell(at);
        self.rows = self.rows.saturating_add(self.repeats);
        if self.filled > 0 {
            self.filled_rows = self.rows;
            self.width = self.width.max(self.filled);
            self.bytes = self.bytes.saturating_add(self.row_bytes.saturating_mul(self.repeats));
        }
        let cells = self.cells.saturating_add(self.filled_rows.saturating_mul(self.width));
        if cells > MOST_CELLS || self.bytes > MOST_BYTES { Err(TOO_MUCH) } else { Ok(()) }
    }
}

/// Whether a row or a column is hidden, by hand or by a filter.
fn is_hidden(tag: &Tag<'_>) -> bool {
    matches!(tag.attribute("table:visibility"), Some("collapse" | "filter"))
}

/// So many rows or columns from one on: the first and the last.
fn stretch(from: usize, count: usize) -> Result<(u32, u32), Broken> {
    let number = |at: usize| u32::try_from(at).map_err(|_| TOO_MUCH);
    Ok((number(from)?, number(from.saturating_add(count.max(1)) - 1)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(rows: &str) -> Result<Looks, Broken> {
        measure(format!("<table:table table:name='a'>{rows}</table:table>").as_bytes())
    }

    #[test]
    fn what_a_spreadsheet_leaves_empty_is_not_counted() {
        let rows = "<table:table-row><table:table-cell office:value-type='float' office:value='1'/>\
                    <table:table-cell table:number-columns-repeated='16383'/></table:table-row>";
        let rest = "<table:table-row table:number-rows-repeated='1048575'>\
                    <table:table-cell table:number-columns-repeated='16384'/></table:table-row>";
        assert_eq!(sheet(&(rows.repeat(1000) + rest)), Ok(Looks::default()));
    }

    #[test]
    fn a_few_bytes_that_stand_for_a_whole_sheet_are_refused() {
        let cell = |more: &str| format!("<table:table-cell office:value-type='float' {more}/>");
        let row =
            |more: &str, cells: &str| format!("<table:table-row {more}>{cells}</table:table-row>");
        let wide = "table:number-columns-repeated='16384'";
        let deep = "table:number-rows-repeated='1048576'";
        let empty = format!("<table:table-cell {wide}/>");
        let spaces = "<table:table-cell office:value-type='string'><text:p><text:s text:c='40000000'/>\
                      </text:p></table:table-cell>";
        for rows in [
            row(deep, &cell(wide)),
            row("", &cell(wide)).repeat(100),
            row(deep, "") + &row("", &cell("")).repeat(2),
            row("", &(empty + &cell(""))).repeat(100),
            row("", spaces).repeat(10),
            row("table:number-rows-repeated='1048577'", ""),
            row("", &cell("table:number-columns-repeated='&#49;'")),
            format!("{}<table:table></table:table>", row("", &cell(""))),
        ] {
            assert!(sheet(&rows).is_err(), "{rows:.300}");
        }
    }

    #[test]
    fn shares_are_found_where_they_stand() {
        let rows = "<table:table-row table:number-rows-repeated='2'><table:table-cell/></table:table-row>\
                    <table:table-row><table:table-cell table:number-columns-repeated='2'/>\
                    <table:table-cell office:value-type='percentage' office:value='0.85'/>\
                    </table:table-row>";
        let looks = Looks { shares: BTreeSet::from([(0, 2, 2)]), ..Looks::default() };
        assert_eq!(sheet(rows), Ok(looks));
    }

    #[test]
    fn midnight_is_what_is_shown_with_its_time() {
        let cell = |value: &str, text: &str| {
            format!(
                "<table:table-cell office:value-type='date' office:date-value='{value}'>\
                 <text:p>{text}</text:p></table:table-cell>"
            )
        };
        let day = "2031-04-08";
        let cells = [
            cell(day, "2031-04-08 00:00"),
            cell(day, "8 Apr 2031"),
            cell("2031-04-08T06:40:00", "06:40"),
            "<table:table-cell office:value-type='string'><text:p>a:b</text:p></table:table-cell>"
                .into(),
        ];
        let row = format!("<table:table-row>{}</table:table-row>", cells.concat());
        assert_eq!(sheet(&row).map(|looks| looks.midnights), Ok(BTreeSet::from([(0, 0, 0)])));
    }

    #[test]
    fn what_is_rounded_hidden_an_error_or_commented_on_is_found_where_it_stands() {
        let columns = "<table:table-column table:number-columns-repeated='2'/>\
                       <table:table-column table:visibility='collapse'/>";
        let cells = "<table:table-cell office:value-type='float' office:value='12.345'><text:p>12,35</text:p>\
                     </table:table-cell>\
                     <table:table-cell office:value-type='string' office:string-value='' \
                     calcext:value-type='error'><office:annotation><text:p>9:30</text:p></office:annotation>\
                     <text:p>#REF!</text:p></table:table-cell>";
        let rows = format!(
            "{columns}<table:table-row/><table:table-row table:visibility='filter' \
             table:number-rows-repeated='2'>{cells}</table:table-row>"
        );
        let looks = sheet(&rows).expect("a sheet");
        assert_eq!(looks.decimals, BTreeMap::from([((0, 1, 0), 2), ((0, 2, 0), 2)]));
        assert_eq!(looks.errors, BTreeSet::from([(0, 1, 1), (0, 2, 1)]));
        assert!(looks.midnights.is_empty());
        let unseen = Unseen {
            is_hidden: false,
            rows: vec![(1, 2)],
            columns: vec![(2, 2)],
            comments: BTreeSet::from([(1, 1)]),
        };
        assert_eq!(looks.unseen, BTreeMap::from([(0, unseen)]));
    }

    #[test]
    fn merged_cells_are_found_where_they_stand() {
        let rows = "<table:table-row/><table:table-row><table:table-cell/>\
                    <table:table-cell table:number-columns-spanned='1' table:number-rows-spanned='3'/>\
                    </table:table-row>";
        let merged = vec![(0, Merged { first: (1, 1), last: (3, 1) })];
        assert_eq!(sheet(rows), Ok(Looks { merged, ..Looks::default() }));
    }
}
