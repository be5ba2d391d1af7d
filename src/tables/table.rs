//! A derived table, its columns and its CSV.

use crate::findings::harmless::{for_spreadsheets, harmless};
use crate::records::spec::{Column, Holds, Kind, Need};
use crate::text::Form;
use crate::units::split_suffix;

/// A derived table.
#[derive(Debug, Clone)]
pub struct Table {
    /// File name inside `data/tables/`.
    pub name: String,
    /// What it holds, a few words.
    pub title: String,
    /// What one row is, and where it comes from.
    pub about: String,
    /// The files of the project that its rows stand in; none where it was worked out from all records.
    pub from: Vec<String>,
    pub columns: Vec<TableColumn>,
    /// The cells of each row, one for each column.
    pub rows: Vec<Vec<String>>,
}

/// A column of a derived table. The page model has no use here: a header is an identifier with a kept unit's
/// suffix, and a cell is described by the types of CSV on the Web, not by how it is set on a page.
#[derive(Debug, Clone, PartialEq)]
pub struct TableColumn {
    /// Its header; a quantity's ends in the suffix of the kept unit.
    pub name: String,
    /// What it means, one line.
    pub about: String,
    pub cells: Cells,
    /// Whether it is filled in every row.
    pub filled: bool,
    /// Whether it is one of the columns that together tell the table's rows apart.
    pub is_key: bool,
    /// Whether the program calculated what stands in it, rather than took it from the records as they are.
    pub is_calculated: bool,
    /// The suffix of the unit in which its quantity is shown to people, if that is not the kept one.
    pub printed_in: Option<&'static str>,
}

/// What the cells of a table's column hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cells {
    /// What a column of the records may hold.
    Values(Holds),
    /// Whole numbers, separated by `;`.
    Wholes,
    /// Whatever was written in a column that the program keeps but does not read.
    Unread,
}

impl Table {
    /// Its CSV: UTF-8, commas, a header row, lines that end in LF, texts made [`harmless`], as [`for_spreadsheets`].
    pub fn csv(&self) -> Result<Vec<u8>, csv::Error> {
        let mut out = csv::Writer::from_writer(Vec::new());
        out.write_record(self.columns.iter().map(|column| &column.name))?;
        for row in &self.rows {
            out.write_record(row.iter().zip(&self.columns).map(|(cell, column)| {
                if column.is_text() { harmless(cell) } else { cell.clone() }
            }))?;
        }
        out.into_inner().map(for_spreadsheets).map_err(|error| error.into_error().into())
    }

    /// Whether a row comes from a line of a file of the project.
    pub fn stands_at(&self, row: usize, file: &str, line: Option<u32>) -> bool {
        let cell = |name: &str| {
            let at = self.columns.iter().position(|column| column.name == name)?;
            self.rows.get(row)?.get(at)
        };
        let is_line = line.is_some_and(|line| cell("record_line") == Some(&line.to_string()));
        is_line && cell("record_file").is_none_or(|found| found == file)
    }

    /// The column that names things of a kind, one row a thing.
    pub(super) fn column_of_ids(&self, kind: Kind) -> Option<&TableColumn> {
        self.columns.iter().find(|column| column.holds() == Some(Holds::Id(kind)))
    }
}

impl From<&Column> for TableColumn {
    /// The same column with its name in the kept unit.
    fn from(column: &Column) -> Self {
        Self {
            name: column.kept_name(),
            about: column.meaning.to_string(),
            cells: Cells::Values(column.holds),
            filled: column.need == Need::Always,
            is_key: false,
            is_calculated: false,
            printed_in: column.printed_in,
        }
    }
}

impl TableColumn {
    /// A column of whole numbers, separated by `;`.
    pub fn wholes(name: &str, about: &str) -> Self {
        Self { cells: Cells::Wholes, ..Self::note(name, about) }
    }

    /// A column that is kept unread.
    pub fn note(header: &str, about: &str) -> Self {
        Self {
            name: harmless(header),
            about: about.to_string(),
            cells: Cells::Unread,
            filled: false,
            is_key: false,
            is_calculated: false,
            printed_in: None,
        }
    }

    /// The same column as one of the table's key.
    pub fn as_key(self) -> Self {
        Self { is_key: true, ..self }
    }

    /// Whether its cells hold free text or names, not numbers, times or fixed words.
    pub fn is_text(&self) -> bool {
        match self.cells {
            Cells::Unread => true,
            Cells::Wholes => false,
            Cells::Values(holds) => matches!(
                holds,
                Holds::Id(_)
                    | Holds::Part(_)
                    | Holds::Ref(_)
                    | Holds::Refs(_)
                    | Holds::AnyRefs
                    | Holds::Name
                    | Holds::Text
                    | Holds::Called
                    | Holds::Texts
            ),
        }
    }

    /// How a number of it is shown to people; `None` where it holds none with a unit.
    pub fn form(&self) -> Option<Form> {
        let quantity = match self.holds()? {
            Holds::Measure(quantity, _) | Holds::Bound(quantity) => quantity,
            Holds::Draft => return Some(Form::Draft),
            _ => return None,
        };
        let unit = self.printed_in.and_then(|suffix| quantity.unit(suffix));
        Some(Form::in_unit(unit.unwrap_or(quantity.kept())))
    }

    /// Its name without the unit's suffix, in words.
    pub fn words(&self) -> String {
        let has_unit =
            matches!(self.holds(), Some(Holds::Measure(..) | Holds::Bound(_) | Holds::Draft));
        let name = match split_suffix(&self.name) {
            Some((name, _)) if has_unit => name,
            _ => &self.name,
        };
        name.replace('_', " ")
    }

    /// What its cells hold, where a column of the records may hold it too.
    pub fn holds(&self) -> Option<Holds> {
        match self.cells {
            Cells::Values(holds) => Some(holds),
            Cells::Wholes | Cells::Unread => None,
        }
    }
}
