//! What is wrong with a project's files: for a person with the line shown and the place marked, or as data.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::ops::Range;

use serde::Serialize;
use textwrap::core::display_width;
use unicode_segmentation::UnicodeSegmentation;

use super::page::Page;
use super::print::{width, wrapped};
use crate::records::characters::shown_in_line;
use crate::records::excerpt::Excerpt;
use crate::records::place::Place;
use crate::records::problem::Problem;

/// Of problems that say the same of one column, how many are shown in full.
const SHOWN: usize = 3;

/// Everything that is wrong, by file.
pub fn told(problems: &[Problem]) -> Page {
    let mut alike: BTreeMap<Sort<'_>, Vec<u32>> = BTreeMap::new();
    for problem in problems {
        let row = problem.place.row.or(problem.place.line);
        alike.entry(sort(problem)).or_default().extend(row);
    }
    let mut told: BTreeMap<Sort<'_>, usize> = BTreeMap::new();
    let mut out = Page::new();
    let mut file = None;
    for problem in problems {
        let stands = problem.place.sheet_or_file();
        if file.as_ref() != Some(&stands) {
            out.heading(&stands);
            file = Some(stands);
        }
        let before = told.entry(sort(problem)).or_default();
        if *before < SHOWN || problem.place.column.is_none() {
            out.append(one(problem));
        } else if *before == SHOWN {
            let lines = alike.get(&sort(problem)).and_then(|lines| lines.get(SHOWN..));
            out.push_str(&more(problem, lines.unwrap_or_default()));
        }
        *before += 1;
    }
    let count = problems.len();
    let things = if count == 1 { "1 thing".to_string() } else { format!("{count} things") };
    let following = match problems.iter().map(|problem| problem.follows.len()).sum::<usize>() {
        0 => String::new(),
        1 => ", from which 1 more follows".to_string(),
        n => format!(", from which {n} more follow"),
    };
    let _ = writeln!(out, "\n{things} to mend{following}; nothing was written.");
    out
}

/// What problems have in common that are one mistake made in many rows of a column: file, column, header,
/// and what is wrong.
type Sort<'a> = (&'a str, Option<u32>, &'a str, &'a str);

fn sort(problem: &Problem) -> Sort<'_> {
    let Problem { place, wrong, .. } = problem;
    (&place.file, place.column, &place.name, wrong)
}

fn one(problem: &Problem) -> Page {
    let mut out = Page::new();
    let text = problem.to_string();
    let mut lines = text.lines();
    let _ = writeln!(out, "{}", wrapped(lines.next().unwrap_or_default(), 2));
    if let Some(excerpt) = &problem.shown {
        out.append(shown(excerpt, width()));
    }
    for line in lines {
        let _ = writeln!(out, "{}", wrapped(line.trim_start(), 6));
    }
    out.push_str(&following(problem));
    out
}

/// How many things follow from a problem, and where they stand.
fn following(problem: &Problem) -> String {
    if problem.follows.is_empty() {
        return String::new();
    }
    let mut files: BTreeMap<Cow<'_, str>, Vec<u32>> = BTreeMap::new();
    for follows in &problem.follows {
        let Place { row, line, .. } = follows.place;
        files.entry(follows.place.sheet_or_file()).or_default().extend(row.or(line));
    }
    let of_file = |(file, lines): (Cow<'_, str>, Vec<u32>)| {
        format!("{} in {} ({})", lines.len(), file, stretches(&lines))
    };
    let files: Vec<String> = files.into_iter().map(of_file).collect();
    let count = problem.follows.len();
    let follow = if count == 1 { "thing follows" } else { "things follow" };
    format!("{}\n", wrapped(&format!("{count} more {follow} from it: {}", files.join("; ")), 6))
}

/// The rest of many that say the same of one column: their lines.
fn more(one: &Problem, lines: &[u32]) -> String {
    let column = match &*one.place.name {
        "" => one.place.sheet_or_file(),
        name => name.into(),
    };
    let text = format!("{} more in {column}: {}, {}", lines.len(), one.wrong, stretches(lines));
    format!("{}\n", wrapped(&text, 2))
}

/// Lines in their order, those that follow each other as a stretch: `lines 3 to 8, 12`.
fn stretches(lines: &[u32]) -> String {
    let mut stretches: Vec<(u32, u32)> = Vec::new();
    for line in lines {
        match stretches.last_mut() {
            Some((_, last)) if *last == *line || *last + 1 == *line => *last = *line,
            _ => stretches.push((*line, *line)),
        }
    }
    let words: Vec<String> = stretches
        .iter()
        .map(|(from, to)| if from == to { from.to_string() } else { format!("{from} to {to}") })
        .collect();
    let many = if words.len() == 1 && lines.len() == 1 { "line" } else { "lines" };
    format!("{many} {}", words.join(", "))
}

/// A line of a file with its number, and signs below the part that is meant; of a long line the stretch
/// about it.
fn shown(excerpt: &Excerpt, width: usize) -> Page {
    let number = format!("{:>6} | ", excerpt.line);
    let room = width.saturating_sub(number.len()).max(20);
    let cells: Vec<&str> = excerpt.text.graphemes(true).collect();
    let marked = excerpt.marked.clone().map(|marked| in_graphemes(&cells, &marked));
    let widths: Vec<usize> = cells.iter().map(|cell| display_width(&shown_in_line(cell))).collect();
    let wide = |of: Range<usize>| widths[of].iter().sum::<usize>();
    let mut from = 0;
    let mut to = cells.len();
    if wide(0..to) > room {
        // The mark stands in the first two thirds, and what is cut off is an ellipsis.
        let first = marked.as_ref().map_or(0, |marked| marked.start);
        while wide(from..first) + from.min(1) > room * 2 / 3 {
            from += 1;
        }
        to = from;
        while to < cells.len() && wide(from..to + 1) + from.min(1) < room {
            to += 1;
        }
    }
    let ellipsis = |there: bool| if there { "\u{2026}" } else { "" };
    let text: String = cells[from..to].iter().map(|cell| shown_in_line(cell)).collect();
    let text = format!("{}{text}{}", ellipsis(from > 0), ellipsis(to < cells.len()));
    let mut out = Page::of(format_args!("{number}{}\n", text.trim_end()));
    if let Some(marked) = marked {
        let (start, end) = (marked.start.clamp(from, to), marked.end.clamp(from, to));
        let before = " ".repeat(wide(from..start) + from.min(1));
        let signs = "^".repeat(wide(start..end).max(1));
        let _ = write!(out, "{:>6} | {before}", "");
        out.bad(&signs);
        out.push_str("\n");
    }
    out
}

/// A range of characters as a range of graphemes.
fn in_graphemes(cells: &[&str], marked: &Range<usize>) -> Range<usize> {
    let mut begins = Vec::with_capacity(cells.len());
    let mut at = 0;
    for cell in cells {
        begins.push(at);
        at += cell.chars().count();
    }
    let index = |char: usize| begins.partition_point(|begin| *begin < char);
    index(marked.start)..index(marked.end)
}

/// A problem as data.
#[derive(Debug, Serialize)]
struct Written<'a> {
    file: &'a str,
    line: Option<u32>,
    column: Option<u32>,
    name: &'a str,
    value: Option<&'a str>,
    wrong: &'a str,
    expected: &'a str,
    advice: &'a str,
    shown: Option<Shown<'a>>,
    /// Where the problem stands from which this one follows.
    cause: Option<At<'a>>,
}

/// A place as data.
#[derive(Debug, Serialize)]
struct At<'a> {
    file: &'a str,
    line: Option<u32>,
    column: Option<u32>,
    name: &'a str,
}

impl<'a> At<'a> {
    fn of(place: &'a Place) -> Self {
        Self { file: &place.file, line: place.line, column: place.column, name: &place.name }
    }
}

/// The line on which it stands; the part that is meant in characters from 0, without the last.
#[derive(Debug, Serialize)]
struct Shown<'a> {
    line: u32,
    text: &'a str,
    marked: Option<[usize; 2]>,
}

/// Problems as data, each followed by those that follow from it.
pub fn as_data(problems: &[Problem]) -> serde_json::Value {
    fn with_following(problem: &Problem) -> impl Iterator<Item = (&Problem, Option<At<'_>>)> {
        let cause = || Some(At::of(&problem.place));
        let follows = problem.follows.iter().map(move |follows| (follows, cause()));
        std::iter::once((problem, None)).chain(follows)
    }
    let data: Vec<Written<'_>> = problems
        .iter()
        .flat_map(with_following)
        .map(|(problem, cause)| Written {
            file: &problem.place.file,
            line: problem.place.line,
            column: problem.place.column,
            name: &problem.place.name,
            value: problem.value.as_deref(),
            wrong: &problem.wrong,
            expected: &problem.expected,
            advice: &problem.advice,
            shown: problem.shown.as_ref().map(|shown| Shown {
                line: shown.line,
                text: &shown.text,
                marked: shown.marked.as_ref().map(|marked| [marked.start, marked.end]),
            }),
            cause,
        })
        .collect();
    serde_json::json!({ "problems": data })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &str, marked: Option<Range<usize>>, width: usize) -> Vec<String> {
        let excerpt = Excerpt { line: 12, text: text.to_string(), marked };
        let plain = anstream::adapter::strip_str(shown(&excerpt, width).as_ansi()).to_string();
        plain.lines().map(String::from).collect()
    }

    #[test]
    fn signs_stand_below_the_part_that_is_meant() {
        let found = lines("K3,keel,\"24,30\",0", Some(9..14), 80);
        assert_eq!(found, ["    12 | K3,keel,\"24,30\",0", "       |          ^^^^^"]);
        assert_eq!(lines("a,,c", Some(2..2), 80)[1], "       |   ^");
        assert_eq!(lines("a,,c", None, 80).len(), 1);
    }

    #[test]
    fn wide_characters_take_two_columns_and_accents_none() {
        // Two ideographs are four columns; e and a combining accent are one.
        assert_eq!(lines("\u{8239}\u{53f0},x", Some(3..4), 80)[1], "       |      ^");
        assert_eq!(lines("e\u{301},x", Some(3..4), 80)[1], "       |   ^");
        assert_eq!(lines("\u{8239}", Some(0..1), 80)[1], "       | ^^");
    }

    #[test]
    fn of_a_long_line_the_stretch_about_the_mark_is_shown() {
        let text = format!("{}X{}", "a".repeat(300), "b".repeat(300));
        let found = lines(&text, Some(300..301), 60);
        assert!(found.iter().all(|line| display_width(line) <= 60), "{found:?}");
        let column = found[1].find('^').expect("a sign");
        assert_eq!(found[0].chars().nth(column), Some('X'), "{found:?}");
        assert!(found[0].contains("| \u{2026}a") && found[0].ends_with("b\u{2026}"), "{found:?}");
        let end = lines(&text, Some(600..601), 60);
        assert!(end[0].ends_with('b') && end[1].ends_with('^'), "{end:?}");
        let begin = lines(&text, None, 60);
        assert!(
            begin[0].starts_with("    12 | aaa") && begin[0].ends_with('\u{2026}'),
            "{begin:?}"
        );
    }

    #[test]
    fn nothing_in_a_file_reaches_the_terminal_as_an_order() {
        let found = lines("a\u{1b}[31m\u{202e}b\tc\u{7}", None, 80);
        assert_eq!(found[0], "    12 | a\\u{1b}[31m\\u{202e}b c\\u{7}");
    }
}
