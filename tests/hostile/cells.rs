//! Texts that a spreadsheet takes for formulas.
