//! Where in a project's files something stands.

use std::fmt;
use std::sync::Arc;

/// The place of one value, one row or one file. Lines and columns are counted from 1.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Place {
    /// Path inside the project, with `/` between folders.
    pub file: Arc<str>,
    /// Line where it begins; `None` when the file as a whole is meant.
    pub line: Option<u32>,
    /// In a CSV the number of the field in its row, in TOML the character in its line.
    pub column: Option<u32>,
    /// The column's header or the key; empty when a whole row or file is meant.
    pub name: Arc<str>,
}

impl Place {
    /// A whole file.
    pub fn file(path: &str) -> Self {
        Self { file: path.into(), line: None, column: None, name: "".into() }
    }

    /// A line of a file: a row of a table, or the beginning of an entry.
    pub fn line(path: &Arc<str>, line: u32) -> Self {
        Self { file: path.clone(), line: Some(line), column: None, name: "".into() }
    }

    /// A value in a file.
    pub fn value(path: &Arc<str>, line: u32, column: u32, name: &Arc<str>) -> Self {
        Self { file: path.clone(), line: Some(line), column: Some(column), name: name.clone() }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
            if let Some(column) = self.column {
                write!(f, ":{column}")?;
            }
        }
        if !self.name.is_empty() {
            write!(f, " ({})", self.name)?;
        }
        Ok(())
    }
}
