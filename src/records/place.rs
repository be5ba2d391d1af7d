//! Where in a project's files something stands.

use std::borrow::Cow;
use std::fmt;
use std::sync::Arc;

/// The place of one value, one row or one file. Lines and columns are counted from 1.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Place {
    /// Path inside the project, with `/` between folders.
    pub file: Arc<str>,
    /// Line where it begins; `None` when the file as a whole is meant.
    pub line: Option<u32>,
    /// In a CSV the number of the field in its row, in TOML the character in its line.
    pub column: Option<u32>,
    /// The column's header or the key; empty when a whole row or file is meant.
    pub name: Arc<str>,
    /// Where the file was made from a sheet of a workbook, the row there.
    pub row: Option<u32>,
}

impl Place {
    /// A whole file.
    pub fn file(path: &str) -> Self {
        Self { file: path.into(), line: None, column: None, name: Arc::default(), row: None }
    }

    /// A line of a file: a row of a table, or the beginning of an entry.
    pub fn line(path: &Arc<str>, line: u32) -> Self {
        Self { file: path.clone(), line: Some(line), column: None, name: Arc::default(), row: None }
    }

    /// A value in a file.
    pub fn value(path: &Arc<str>, line: u32, column: u32, name: &Arc<str>) -> Self {
        Self { column: Some(column), name: name.clone(), ..Self::line(path, line) }
    }

    /// The place as a message begins with it: of a sheet its name and the cell, as a spreadsheet shows them.
    pub fn in_words(&self) -> String {
        let Some(row) = self.row else { return self.to_string() };
        let sheet = match in_workbook(&self.file) {
            Some((workbook, sheet)) => format!("workbook {workbook}, sheet {sheet}"),
            None => format!("sheet {}", sheet_name(&self.file)),
        };
        let cell = match (self.line, self.column) {
            (None, _) => String::new(),
            (_, None) => format!(", row {row}"),
            (_, Some(column)) => format!(", cell {}{row}", letters(column)),
        };
        let name = if self.name.is_empty() { String::new() } else { format!(" ({})", self.name) };
        format!("{sheet}{cell}{name}")
    }

    /// The file, or the sheet where it was made from one.
    pub fn sheet_or_file(&self) -> Cow<'_, str> {
        match (self.row, in_workbook(&self.file)) {
            (Some(_), Some((workbook, sheet))) => format!("[{workbook}]{sheet}").into(),
            (Some(_), None) => sheet_name(&self.file).into(),
            (None, _) => (&*self.file).into(),
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.sheet_or_file())?;
        match (self.line, self.row) {
            (Some(_), Some(row)) => write!(f, "!{}{row}", letters(self.column.unwrap_or(1)))?,
            (Some(line), None) => {
                write!(f, ":{line}")?;
                if let Some(column) = self.column {
                    write!(f, ":{column}")?;
                }
            }
            (None, _) => {}
        }
        if !self.name.is_empty() {
            write!(f, " ({})", self.name)?;
        }
        Ok(())
    }
}

/// The name of the sheet that may stand for a CSV file: `plan-blocks` for `plan/blocks.csv`.
pub fn sheet_name(path: &str) -> String {
    path.trim_end_matches(".csv").replace('/', "-")
}

/// The folder of workbooks that each hold parts of tables.
pub const WORKBOOKS: &str = "workbooks/";

/// The CSV file that is made of a sheet of a workbook in that folder: `workbooks/anna.xlsx/coating-film.csv`.
pub(super) fn path_in_workbook(workbook: &str, sheet: &str) -> String {
    format!("{workbook}/{sheet}.csv")
}

/// The name of the workbook and of the sheet of which such a file was made.
pub(super) fn in_workbook(path: &str) -> Option<(&str, &str)> {
    let (workbook, sheet) = path.strip_prefix(WORKBOOKS)?.split_once('/')?;
    let sheet = sheet.strip_suffix(".csv").filter(|sheet| !sheet.contains('/'))?;
    is_workbook(workbook).then_some((workbook, sheet))
}

/// Whether a file is a workbook by the end of its name.
pub(super) fn is_workbook(path: &str) -> bool {
    let lower = path.to_lowercase();
    lower.ends_with(".xlsx") || lower.ends_with(".ods")
}

/// A column of a sheet, counted from 1, in letters: A to Z, then AA.
pub(super) fn letters(mut column: u32) -> String {
    let mut letters = Vec::new();
    while column > 0 {
        column -= 1;
        letters.push(char::from(b'A' + (column % 26) as u8));
        column /= 26;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_in_a_sheet_is_told_as_a_spreadsheet_tells_it() {
        let file: Arc<str> = "plan/blocks.csv".into();
        let place = Place::value(&file, 19, 6, &"height_mm".into());
        assert_eq!(place.to_string(), "plan/blocks.csv:19:6 (height_mm)");
        let place = Place { row: Some(17), ..place };
        assert_eq!(place.to_string(), "plan-blocks!F17 (height_mm)");
        assert_eq!(place.in_words(), "sheet plan-blocks, cell F17 (height_mm)");
        let row = Place { row: Some(17), ..Place::line(&file, 19) };
        assert_eq!(row.to_string(), "plan-blocks!A17");
        assert_eq!(row.in_words(), "sheet plan-blocks, row 17");
        assert_eq!(Place { row: Some(1), ..Place::file(&file) }.in_words(), "sheet plan-blocks");
        assert_eq!(Place::line(&file, 19).in_words(), "plan/blocks.csv:19");
        assert_eq!(Place { row: Some(1), ..Place::file(&file) }.to_string(), "plan-blocks");
        let file: Arc<str> = path_in_workbook("workbooks/anna.xlsx", "plan-blocks").into();
        let place = Place { row: Some(17), ..Place::value(&file, 19, 6, &"height_mm".into()) };
        assert_eq!(place.to_string(), "[anna.xlsx]plan-blocks!F17 (height_mm)");
        assert_eq!(place.in_words(), "workbook anna.xlsx, sheet plan-blocks, cell F17 (height_mm)");
        let place = Place { row: None, ..place };
        assert_eq!(place.to_string(), "workbooks/anna.xlsx/plan-blocks.csv:19:6 (height_mm)");
    }

    #[test]
    fn columns_have_the_letters_of_a_spreadsheet() {
        let told = [(1, "A"), (26, "Z"), (27, "AA"), (52, "AZ"), (702, "ZZ"), (703, "AAA")];
        for (column, expected) in told.into_iter().chain([(16384, "XFD")]) {
            assert_eq!(letters(column), expected);
        }
    }
}
