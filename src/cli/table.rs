//! Tables on a terminal: columns as narrow as their cells allow, text broken into what is left.

use textwrap::core::display_width;

use super::page::Page;
use super::print;
use crate::handover::compare::told::{Column, Set, Table};
use crate::records::characters::shown_in_line;

/// Spaces before a row, and between its columns.
const INDENT: usize = 4;
const GAP: usize = 2;

/// The narrowest column of text.
const LEAST_TEXT: usize = 12;

/// Lines that heads may have, the fewest for which there is room.
const HEAD_LINES: [usize; 2] = [2, 3];

/// A table in lines.
pub fn table(table: &Table) -> Page {
    let heads: Vec<String> = table.columns.iter().map(|column| column.head.to_string()).collect();
    let rows: Vec<Vec<String>> = table
        .rows
        .iter()
        .map(|row| row.iter().map(|cell| plain(cell.as_deref())).collect())
        .collect();
    let widths = widths(&table.columns, &rows, print::width());
    let mut out = Page::new();
    for line in lines(&heads, &table.columns, &widths) {
        out.heading(&line);
    }
    for row in &rows {
        for line in lines(row, &table.columns, &widths) {
            out.push_str(&format!("{line}\n"));
        }
    }
    out
}

/// A text with the signs of a keyboard, as everything on a terminal has them.
pub fn plain(text: Option<&str>) -> String {
    shown_in_line(text.unwrap_or("-")).replace('\u{2212}', "-").replace('\u{a0}', " ")
}

fn widths(columns: &[Column], rows: &[Vec<String>], whole: usize) -> Vec<usize> {
    let longest_word = |text: &str| text.split_whitespace().map(display_width).max().unwrap_or(0);
    let of = |n: usize, head: usize| {
        let cells = rows.iter().filter_map(|row| row.get(n)).map(|cell| display_width(cell));
        cells.max().unwrap_or(0).max(head)
    };
    let mut widths: Vec<usize> =
        columns.iter().enumerate().map(|(n, column)| of(n, longest_word(column.head))).collect();
    let is_text = |n: usize| columns[n].set == Set::Text;
    let between = INDENT + GAP * columns.len().saturating_sub(1);
    let fixed = |widths: &[usize]| -> usize {
        (0..columns.len()).filter(|n| !is_text(*n)).map(|n| widths[n]).sum()
    };
    let texts = (0..columns.len()).filter(|n| is_text(*n)).count();
    let roomy = HEAD_LINES.into_iter().find_map(|most| {
        let heads = columns.iter().zip(&widths).enumerate();
        let roomy: Vec<usize> =
            heads.map(|(n, (column, width))| of(n, low_head(column.head, *width, most))).collect();
        (between + fixed(&roomy) + 2 * LEAST_TEXT * texts <= whole).then_some(roomy)
    });
    widths = roomy.unwrap_or(widths);
    let mut left = whole.saturating_sub(between + fixed(&widths));
    let mut texts: Vec<usize> = (0..columns.len()).filter(|n| is_text(*n)).collect();
    // The narrow ones take what they need, and the others share what is left.
    texts.sort_by_key(|n| widths[*n]);
    for (done, n) in texts.iter().enumerate() {
        let share = (left / (texts.len() - done)).max(LEAST_TEXT);
        widths[*n] = widths[*n].min(share);
        left = left.saturating_sub(widths[*n]);
    }
    widths
}

/// The least width, from one on, at which a head has no more than so many lines.
fn low_head(head: &str, from: usize, most: usize) -> usize {
    let from = from.max(1);
    let mut widths = from..=display_width(head).max(from);
    widths.find(|width| textwrap::wrap(head, *width).len() <= most).unwrap_or(from)
}

/// A row in as many lines as its longest cell takes.
fn lines(cells: &[String], columns: &[Column], widths: &[usize]) -> Vec<String> {
    let broken: Vec<Vec<String>> = cells
        .iter()
        .zip(widths)
        .map(|(cell, width)| {
            textwrap::wrap(cell, (*width).max(1))
                .into_iter()
                .map(|line| line.into_owned())
                .collect()
        })
        .collect();
    let most = broken.iter().map(Vec::len).max().unwrap_or(0);
    (0..most)
        .map(|line| {
            let mut out = " ".repeat(INDENT);
            for (n, (column, width)) in columns.iter().zip(widths).enumerate() {
                let text = broken.get(n).and_then(|cell| cell.get(line)).map_or("", String::as_str);
                let room = " ".repeat(width.saturating_sub(display_width(text)));
                let gap = if n > 0 { " ".repeat(GAP) } else { String::new() };
                let set = match column.set {
                    Set::Figure => format!("{gap}{room}{text}"),
                    Set::Name | Set::Text => format!("{gap}{text}{room}"),
                };
                out.push_str(&set);
            }
            out.trim_end().to_string()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_takes_the_room_that_figures_leave() {
        let columns = [
            Column { head: "Block", set: Set::Name },
            Column { head: "Load, kN", set: Set::Figure },
            Column { head: "Note", set: Set::Text },
        ];
        let rows = vec![
            vec![
                "K1".to_string(),
                "612".to_string(),
                "a note that is broken into two lines".to_string(),
            ],
            vec!["K2".to_string(), "-".to_string(), String::new()],
        ];
        let widths = widths(&columns, &rows, 40);
        assert_eq!(widths, [5, 5, 22]);
        let all: Vec<String> = rows.iter().flat_map(|row| lines(row, &columns, &widths)).collect();
        assert_eq!(
            all,
            [
                "    K1       612  a note that is broken",
                "                  into two lines",
                "    K2         -",
            ]
        );
    }

    #[test]
    fn wide_letters_count_twice() {
        let columns = [Column { head: "A", set: Set::Name }, Column { head: "B", set: Set::Name }];
        let row = vec!["\u{8239}".to_string(), "x".to_string()];
        let widths = widths(&columns, &[row.clone(), vec!["ab".into(), "y".into()]], 40);
        assert_eq!(lines(&row, &columns, &widths), ["    \u{8239}  x"]);
    }
}
