//! The line of a file on which a problem stands, and the part of it that is meant.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

use super::place::Place;
use super::problem::{Excerpt, Problem, Problems};
use super::rows;

/// Characters of a line that are shown at most.
pub const LONGEST: usize = 2000;

/// Gives every problem that stands on a line its excerpt, from the file's bytes if they can be read.
pub fn show(problems: &mut [Problem], bytes: impl Fn(&str) -> Option<Vec<u8>>) {
    let mut texts: BTreeMap<Arc<str>, Option<Text>> = BTreeMap::new();
    for problem in problems {
        if problem.place.line.is_none() || problem.shown.is_some() {
            continue;
        }
        let file = &problem.place.file;
        let text = texts
            .entry(file.clone())
            .or_insert_with(|| bytes(file).map(|bytes| Text::new(file, &bytes)));
        let shown =
            text.as_ref().and_then(|text| text.excerpt(&problem.place, problem.value.as_deref()));
        problem.shown = shown.filter(|excerpt| !was_left_out(problem, excerpt));
    }
}

/// Whether of a sheet's cell what is wrong with it was left out of the CSV file that was made of it, whose line then
/// shows nothing of it.
fn was_left_out(problem: &Problem, excerpt: &Excerpt) -> bool {
    let is_blank = excerpt.marked.as_ref().is_none_or(Range::is_empty);
    problem.place.row.is_some() && is_blank && problem.value.is_some()
}

/// A file's text and where its lines begin.
struct Text {
    text: String,
    begins: Vec<usize>,
    /// What stands between cells, if it has cells.
    delimiter: Option<u8>,
}

impl Text {
    fn new(file: &Arc<str>, bytes: &[u8]) -> Self {
        let is_csv = file.ends_with(".csv");
        let dialect =
            is_csv.then(|| rows::dialect(file, bytes, &mut Problems::default())).flatten();
        let (text, delimiter) = match dialect {
            Some(dialect) => (dialect.text.into_owned(), Some(dialect.delimiter)),
            None => {
                let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
                (String::from_utf8_lossy(bytes).into_owned(), is_csv.then_some(b','))
            }
        };
        let ends = text.bytes().enumerate().filter(|(at, byte)| match byte {
            b'\n' => true,
            b'\r' => text.as_bytes().get(at + 1) != Some(&b'\n'),
            _ => false,
        });
        let begins = std::iter::once(0).chain(ends.map(|(at, _)| at + 1)).collect();
        Self { text, begins, delimiter }
    }

    fn excerpt(&self, place: &Place, value: Option<&str>) -> Option<Excerpt> {
        let number = usize::try_from(place.line?).ok()?.checked_sub(1)?;
        let begin = *self.begins.get(number)?;
        let Some(column) = place.column.and_then(|column| usize::try_from(column).ok()) else {
            return Some(self.line(place, number, None));
        };
        let span = match self.delimiter {
            Some(delimiter) => cell(&self.text, delimiter, begin, column)?,
            None => token(&self.text, begin, column, value)?,
        };
        let span = value.and_then(|value| within(&self.text, &span, value)).unwrap_or(span);
        // A cell in quotation marks may begin lines after its row does.
        let number = self.begins.partition_point(|begin| *begin <= span.start) - 1;
        Some(self.line(place, number, Some(span)))
    }

    fn line(&self, place: &Place, number: usize, span: Option<Range<usize>>) -> Excerpt {
        let begin = self.begins[number];
        let end = self.begins.get(number + 1).copied().unwrap_or(self.text.len());
        let text = self.text[begin..end].trim_end_matches(['\r', '\n']);
        let marked = span.map(|span| {
            let chars = |to: usize| self.text[begin..to.clamp(begin, begin + text.len())].chars();
            chars(span.start).count()..chars(span.end).count()
        });
        let line = u32::try_from(number + 1).unwrap_or(u32::MAX);
        let (text, marked) = stretch(text, marked);
        Excerpt { line: place.row.unwrap_or(line), text, marked }
    }
}

/// Of a line that nobody would read to its end the characters about the part that is meant.
fn stretch(text: &str, marked: Option<Range<usize>>) -> (String, Option<Range<usize>>) {
    let from = marked.as_ref().map_or(0, |marked| marked.start.saturating_sub(LONGEST / 2));
    if text.len() <= LONGEST {
        return (text.to_string(), marked);
    }
    let text: String = text.chars().skip(from).take(LONGEST).collect();
    let most = text.chars().count();
    let within = |at: usize| at.saturating_sub(from).min(most);
    (text, marked.map(|marked| within(marked.start)..within(marked.end)))
}

/// The bytes of a CSV row's cell, without its quotation marks; the row begins at `begin`, and `column`
/// counts from 1.
fn cell(text: &str, delimiter: u8, begin: usize, column: usize) -> Option<Range<usize>> {
    let mut start = begin;
    for _ in 1..column {
        let end = end_of_cell(text, delimiter, start);
        start = end + text[end..].starts_with(char::from(delimiter)).then_some(1)?;
    }
    let end = end_of_cell(text, delimiter, start);
    let cell = &text[start..end];
    let inner = cell.strip_prefix('"').map(|rest| rest.strip_suffix('"').unwrap_or(rest));
    Some(match inner {
        Some(inner) if !inner.is_empty() => start + 1..start + 1 + inner.len(),
        _ => start..end,
    })
}

/// Where the cell that begins at `start` ends: before the sign between cells or the end of the row.
fn end_of_cell(text: &str, delimiter: u8, start: usize) -> usize {
    let mut quoted = text[start..].starts_with('"');
    let rest = text[start..].bytes().enumerate().skip(usize::from(quoted));
    for (at, byte) in rest {
        match byte {
            // Doubled marks inside a cell end it and begin it anew.
            b'"' => quoted = !quoted,
            b'\n' | b'\r' if !quoted => return start + at,
            sign if sign == delimiter && !quoted => return start + at,
            _ => {}
        }
    }
    text.len()
}

/// The bytes of a TOML key or value that begins at a character of a line.
fn token(text: &str, begin: usize, column: usize, value: Option<&str>) -> Option<Range<usize>> {
    let line = &text[begin..];
    let line = &line[..line.find(['\n', '\r']).unwrap_or(line.len())];
    let at = line.char_indices().nth(column.checked_sub(1)?).map_or(line.len(), |(at, _)| at);
    let rest = &line[at..];
    let length = match rest.chars().next() {
        Some(mark @ ('"' | '\'')) => rest[1..].find(mark).map_or(rest.len(), |end| end + 2),
        _ if value.is_some_and(|value| rest.starts_with(value)) => value.map_or(0, str::len),
        _ => rest.find([' ', '\t', '=', ',', '#', ']', '}']).unwrap_or(rest.len()),
    };
    Some(begin + at..begin + at + length)
}

/// Where a value stands within a span, if it stands there once: one name of a list, say.
fn within(text: &str, span: &Range<usize>, value: &str) -> Option<Range<usize>> {
    let inside = &text[span.clone()];
    let word = |c: char| c.is_alphanumeric() || c == '-' || c == '_';
    let mut found = inside.match_indices(value).filter(|(at, _)| {
        let (before, after) = (&inside[..*at], &inside[at + value.len()..]);
        !value.is_empty() && !before.ends_with(word) && !after.starts_with(word)
    });
    let (at, _) = found.next()?;
    found.next().is_none().then(|| span.start + at..span.start + at + value.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn marked(
        file: &str,
        text: &str,
        line: u32,
        column: u32,
        value: Option<&str>,
    ) -> (u32, String) {
        let place = Place::value(&file.into(), line, column, &"".into());
        let found = Text::new(&place.file, text.as_bytes());
        let found = found.excerpt(&place, value).expect("an excerpt");
        let range = found.marked.expect("a part of the line");
        (found.line, found.text.chars().skip(range.start).take(range.len()).collect())
    }

    fn in_csv(text: &str, line: u32, column: u32, value: Option<&str>) -> (u32, String) {
        marked("plan/blocks.csv", text, line, column, value)
    }

    #[test]
    fn a_cell_is_found_whatever_stands_before_it() {
        for end in ["\n", "\r\n", "\r"] {
            let text = ["a,b,c", "1,\"2,\"\"x\"\"\",3", "4,5,6", ""].join(end);
            assert_eq!(in_csv(&text, 2, 3, None), (2, "3".to_string()), "{end:?}");
            assert_eq!(in_csv(&text, 2, 2, None), (2, "2,\"\"x\"\"".to_string()), "{end:?}");
            assert_eq!(in_csv(&text, 3, 3, None), (3, "6".to_string()), "{end:?}");
        }
        let long = format!("h\n{},b,{}\n", "\u{e9}".repeat(9000), "c".repeat(9000));
        assert_eq!(in_csv(&long, 2, 2, None), (2, "b".to_string()));
        assert_eq!(in_csv("\u{feff}a,\u{e9}\u{e9},c\n", 1, 3, None), (1, "c".to_string()));
        assert_eq!(in_csv("a;b;c\n1,5;\"x;y\";z\n", 2, 2, None), (2, "x;y".to_string()));
        // An empty cell is a place all the same.
        assert_eq!(in_csv("a,b,c\n1,,3\n", 2, 2, None), (2, String::new()));
    }

    #[test]
    fn a_cell_after_one_of_several_lines_stands_on_its_own_line() {
        assert_eq!(in_csv("a,b,c\n1,\"two\nlines\",x\n", 2, 3, None), (3, "x".to_string()));
        // Of a cell of several lines, what stands on the first.
        assert_eq!(in_csv("a,b,c\n1,\"two\nlines\",x\n", 2, 2, None), (2, "two".to_string()));
    }

    #[test]
    fn of_a_list_the_one_name_is_marked() {
        let text = "a,b\nK1,P1;P13;P3\n";
        assert_eq!(in_csv(text, 2, 2, Some("P3")), (2, "P3".to_string()));
        assert_eq!(in_csv(text, 2, 2, Some("P")), (2, "P1;P13;P3".to_string()));
    }

    #[test]
    fn keys_and_values_of_toml() {
        let text = "[a]\nlong_m = -14.6 # note\nname = \"two words\"\nday = 2031-04-07\n";
        let at = |line, column, value| marked("docking.toml", text, line, column, value).1;
        assert_eq!(at(2, 1, None), "long_m");
        assert_eq!(at(2, 10, Some("-14.6")), "-14.6");
        assert_eq!(at(3, 8, None), "\"two words\"");
        assert_eq!(at(3, 8, Some("two words")), "two words");
        assert_eq!(at(4, 7, None), "2031-04-07");
        assert_eq!(at(1, 2, Some("a")), "a");
    }

    #[test]
    fn whole_lines_bad_bytes_and_places_that_are_not_there() {
        let text = Text::new(&"a.csv".into(), b"one\ncaf\xe9,x\xff\xc3\xa9\n");
        let line = text.excerpt(&Place::line(&"a.csv".into(), 2), None).expect("a line");
        assert_eq!((line.text.as_str(), line.marked), ("caf\u{fffd},x\u{fffd}\u{e9}", None));
        for (line, column) in [(0, 1), (9, 1), (1, 9)] {
            let place = Place::value(&"a.csv".into(), line, column, &"".into());
            assert_eq!(text.excerpt(&place, None), None, "{line}:{column}");
        }
    }
}
