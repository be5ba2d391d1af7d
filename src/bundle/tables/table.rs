//! A derived table and its CSV.

use super::column::TableColumn;
use crate::findings::harmless::harmless;
use crate::records::spec::{Holds, Kind};

/// A derived table.
#[derive(Debug, Clone)]
pub struct Table {
    /// File name inside `data/tables/`.
    pub name: String,
    /// What it holds, a few words.
    pub title: String,
    /// What one row is, and where it comes from.
    pub about: String,
    /// Its columns.
    pub columns: Vec<TableColumn>,
    /// Names of the columns that together tell its rows apart, if any do.
    pub key: Vec<&'static str>,
    /// Its rows, a text a cell.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// Its CSV: UTF-8, commas, a header row, lines that end in LF, texts made [`harmless`].
    pub fn csv(&self) -> Result<Vec<u8>, csv::Error> {
        let mut out = csv::Writer::from_writer(Vec::new());
        out.write_record(self.columns.iter().map(|column| &column.name))?;
        for row in &self.rows {
            out.write_record(row.iter().enumerate().map(|(n, cell)| {
                let is_text = self.columns.get(n).is_none_or(TableColumn::is_text);
                if is_text { harmless(cell) } else { cell.clone() }
            }))?;
        }
        out.into_inner().map_err(|error| error.into_error().into())
    }

    /// The column by whose values things of a kind are known, one row a thing.
    pub(super) fn column_of_ids(&self, kind: Kind) -> Option<&TableColumn> {
        self.columns.iter().find(|column| column.holds() == Some(Holds::Id(kind)))
    }
}
