//! The derived tables: what the records say, and what comes out of them, in the kept units, one row a
//! record; and their description as CSV on the Web.

mod metadata;
mod recomputed;
mod records;
mod table;

pub use metadata::METADATA;
pub use table::{Cells, Table, TableColumn};

use crate::findings::Examined;
use crate::findings::written::FindingsWritten;

/// Every derived table of a docking: one for each CSV file of its records, one for each kind of table in
/// its TOML files (remarks stand in the findings), and those of what was recomputed.
pub fn tables(examined: &Examined) -> Vec<Table> {
    let mut tables = records::tables(&examined.project);
    tables.extend(recomputed::tables(examined));
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
    let [id, others @ ..] = &FindingsWritten::CSV_COLUMNS;
    let id = TableColumn::from(id).as_key();
    Table {
        name: "../findings.csv".to_string(),
        title: "findings".to_string(),
        about: "one row is a finding: one comparison of the record with its recomputation"
            .to_string(),
        from: Vec::new(),
        columns: std::iter::once(id).chain(others.iter().map(TableColumn::from)).collect(),
        rows: Vec::new(),
    }
}
