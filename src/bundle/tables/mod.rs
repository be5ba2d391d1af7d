//! The derived tables: what the records say, and what comes out of them, in the kept units, one row a
//! record; and their description as CSV on the Web.

mod column;
mod history;
mod metadata;
mod recomputed;
mod records;

pub use column::{Cells, TableColumn};
pub use metadata::METADATA;

use crate::findings::Examined;
use crate::findings::harmless::harmless;
use crate::findings::written::{self, FindingsWritten};
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
    fn column_of_ids(&self, kind: Kind) -> Option<&TableColumn> {
        self.columns.iter().find(|column| column.holds() == Some(Holds::Id(kind)))
    }
}

/// Every derived table of a docking: one for each CSV file of its records, one for each kind of table in
/// its TOML files (remarks stand in the findings), and those of what was recomputed.
pub fn tables(examined: &Examined) -> Vec<Table> {
    let mut tables = records::tables(&examined.project);
    tables.extend(recomputed::tables(examined));
    tables.extend(history::tables(examined));
    tables
}

/// `csv-metadata.json`: what every column of the tables and of `findings.csv` means.
pub fn metadata(tables: &[Table], examined: &Examined) -> Result<Vec<u8>, serde_json::Error> {
    let mut bytes = serde_json::to_vec_pretty(&metadata::group(tables, &findings(), examined))?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// `findings.csv` as a table without its rows.
fn findings() -> Table {
    let columns = FindingsWritten::CSV_COLUMNS.into_iter().map(|(name, about, filled)| {
        let holds = match name {
            "answered_on" => Holds::Date,
            "outcome" => Holds::Word(&written::OUTCOMES),
            _ => Holds::Text,
        };
        let make = if filled { TableColumn::always } else { TableColumn::optional };
        make(name, holds, about)
    });
    Table {
        name: "../findings.csv".to_string(),
        title: "findings".to_string(),
        about: "one row is a finding: one comparison of the record with its recomputation"
            .to_string(),
        columns: columns.collect(),
        key: vec!["finding"],
        rows: Vec::new(),
    }
}
