//! Tables for a person: columns as wide as what stands in them, the last one wrapped.

use textwrap::core::display_width;

use super::print;
use crate::records::characters::shown_in_line;

/// What stands before every row.
const INDENT: usize = 2;
/// From column to column.
const APART: usize = 2;
/// The last column is wrapped to no less than this.
const NARROWEST: usize = 20;

/// A table with its header. Every row has as many cells as the header.
pub fn rows(header: &[&str], rows: &[Vec<String>]) -> String {
    let Some(last) = header.len().checked_sub(1) else { return String::new() };
    let header: Vec<String> = header.iter().map(ToString::to_string).collect();
    let rows: Vec<Vec<String>> =
        rows.iter().map(|row| row.iter().map(|cell| shown_in_line(cell)).collect()).collect();
    let all = || std::iter::once(&header).chain(&rows);
    let width = |n: usize| all().filter_map(|row| row.get(n)).map(|cell| display_width(cell)).max();
    let widths: Vec<usize> = (0..last).map(|n| width(n).unwrap_or(0) + APART).collect();
    let before = INDENT + widths.iter().sum::<usize>();
    let room = print::width().saturating_sub(before).max(NARROWEST);
    let mut out = String::new();
    for row in all() {
        let mut line = " ".repeat(INDENT);
        for (cell, width) in row.iter().zip(&widths) {
            line.push_str(cell);
            line.push_str(&" ".repeat(width - display_width(cell).min(*width)));
        }
        let wrapped = textwrap::wrap(row.get(last).map_or("", String::as_str), room);
        for (n, part) in wrapped.iter().enumerate() {
            if n > 0 {
                line.push_str(&" ".repeat(before));
            }
            line.push_str(part);
            out.push_str(line.trim_end());
            out.push('\n');
            line.clear();
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_under_each_other() {
        let cells = |row: [&str; 2]| row.map(String::from).to_vec();
        let long = "word ".repeat(30);
        let text = rows(&["a", "b"], &[cells(["K23S", "1"]), cells(["\u{2212}1", long.trim()])]);
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines[..2], ["  a     b", "  K23S  1"]);
        assert!(lines.len() > 3 && lines[3].starts_with("        word"), "{text}");
        assert!(lines.iter().all(|line| line.chars().count() <= 100));
        assert_eq!(rows(&[], &[]), "");
    }
}
