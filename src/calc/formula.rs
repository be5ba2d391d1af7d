//! The name, method and source of every calculation.

/// How a figure is computed, as the report prints it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Formula {
    /// Its name in findings.
    pub name: &'static str,
    /// Its title in the report.
    pub title: &'static str,
    /// The formula in words and symbols.
    pub says: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}
