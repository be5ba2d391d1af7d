//! What is wrong with a project's files: a message for each cause, with the line shown and the place marked; or as data.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::ops::Range;

use serde::Serialize;
use textwrap::core::display_width;
use unicode_segmentation::UnicodeSegmentation;

use super::page::Page;
use super::print::{width, wrapped};
use crate::records::causes::{self, Cause};
use crate::records::characters::{quoted, shown_in_line};
use crate::records::problem::{Excerpt, Problem, Reach};

/// How much is told of what is wrong.
#[derive(Debug, Clone, Copy)]
pub enum Detail<'a> {
    /// A message for each cause; what tells every place.
    Causes { more: &'a str },
    /// Every place.
    All,
}

/// The most messages for a person: more than anyone follows before checking again.
const MOST: usize = 200;

/// What is wrong, a message for each cause, that on which most depends first.
pub fn render(problems: &[Problem], detail: Detail<'_>) -> Page {
    let causes = causes::group(problems);
    let most = match detail {
        Detail::All => causes.len(),
        Detail::Causes { .. } => MOST.min(causes.len()),
    };
    let (told, hidden) = causes.split_at(most);
    let mut out = Page::new();
    for of_reach in told.chunk_by(|a, b| a.reach == b.reach) {
        let Some(first) = of_reach.first() else { continue };
        out.heading(heading(first.reach));
        of_reach.iter().for_each(|cause| out.append(render_cause(cause, detail)));
    }
    if !hidden.is_empty() {
        let more = format!("and {} more, which are less urgent", hidden.len());
        let _ = writeln!(out, "{}", wrapped(&more, 2));
    }
    let counted = match causes.len() {
        1 => "1 problem to fix".to_string(),
        n => format!("{n} problems to fix"),
    };
    let places = match problems.len() {
        n if n == causes.len() => String::new(),
        n => format!(", in {n} places"),
    };
    let _ = writeln!(out, "\n{counted}{places}; nothing was written.");
    let is_cut = !hidden.is_empty() || told.iter().any(|cause| cause.others.len() > FEW);
    if let (Detail::Causes { more }, true) = (detail, is_cut) {
        let _ = writeln!(out, "Every place: {more}");
    }
    out
}

/// What is said above those on which as much depends.
fn heading(reach: Reach) -> &'static str {
    match reach {
        Reach::File => "Files",
        Reach::Docking => "docking.toml",
        Reach::Column => "Columns and keys",
        Reach::Name => "Names",
        Reach::Cell => "Rows and cells",
    }
}

fn render_cause(cause: &Cause<'_>, detail: Detail<'_>) -> Page {
    let first = cause.first;
    let value = first.value.as_deref().map_or(String::new(), |value| format!("{} ", quoted(value)));
    let head =
        format!("{}: {value}{}{}", first.place.in_words(), first.wrong, describe_count(cause));
    let mut out = Page::from_text(format_args!("{}\n", wrapped(&head, 2)));
    if let Some(excerpt) = &first.shown {
        out.append(render_excerpt(excerpt, width()));
    }
    for (what, text) in [("expected", &first.expected), ("do", &first.advice)] {
        for (number, line) in text.lines().enumerate() {
            let line = if number == 0 { format!("{what}: {line}") } else { line.to_string() };
            let _ = writeln!(out, "{}", wrapped(&line, if number == 0 { 6 } else { 8 }));
        }
    }
    match detail {
        Detail::All => {
            for other in &cause.others {
                let text = describe_other(other, first, other.place.to_string());
                let _ = writeln!(out, "{}", wrapped(&text, 6));
            }
        }
        Detail::Causes { .. } if cause.others.is_empty() => {}
        Detail::Causes { .. } => {
            let _ = writeln!(out, "{}", wrapped(&describe_others(cause), 6));
        }
    }
    out
}

/// How many places there are of a cause, where they are more than one.
fn describe_count(cause: &Cause<'_>) -> String {
    let every = || std::iter::once(&cause.first).chain(&cause.others).copied();
    let noun = |problem: &Problem| match &problem.place {
        place if place.row.is_none() && !place.file.ends_with(".csv") => "places",
        place if &*place.name == "header" => "headers",
        place if place.column.is_some() => "cells",
        place if place.line.is_some() => "rows",
        _ => "places",
    };
    let nouns: BTreeSet<&str> = every().map(noun).collect();
    let noun = if nouns.len() == 1 { noun(cause.first) } else { "places" };
    let files = every().map(|problem| &problem.place.file).collect::<BTreeSet<_>>().len();
    let names = every().map(|problem| &problem.place.name).collect::<BTreeSet<_>>().len();
    match (cause.count(), files) {
        (1, _) => String::new(),
        (n, 1) if noun == "cells" && names == 1 => format!("; {n} cells of this column"),
        (n, 1) => format!("; {n} {noun} of this file"),
        (n, files) => format!("; {n} {noun} in {files} files"),
    }
}

/// So many others of a cause are told one by one, and so many values as examples of more.
const FEW: usize = 3;

/// Of many others of a cause, in how many files they are told.
const FILES: usize = 6;

/// Of lines that say the same, how many stretches are named.
const STRETCHES: usize = 8;

/// Where the others of a cause are: a few one by one, many by their lines, with some of their values.
fn describe_others(cause: &Cause<'_>) -> String {
    let first = cause.first;
    if cause.others.len() <= FEW {
        let others = cause.others.iter().map(|other| {
            let is_here = other.place.file == first.place.file && first.place.line.is_some();
            let place = match other.place.row.or(other.place.line).filter(|_| is_here) {
                Some(line) if other.place.name == first.place.name => format!("line {line}"),
                Some(line) => format!("line {line} ({})", other.place.name),
                None => other.place.to_string(),
            };
            describe_other(other, first, place)
        });
        return format!("also {}", others.collect::<Vec<_>>().join("; "));
    }
    let mut places: Vec<String> = Vec::new();
    let files: Vec<_> = cause.others.chunk_by(|a, b| a.place.file == b.place.file).collect();
    for of_file in files.iter().take(FILES) {
        let mut lines: Vec<u32> =
            of_file.iter().filter_map(|other| other.place.row.or(other.place.line)).collect();
        lines.sort_unstable();
        let names: BTreeSet<&str> = of_file.iter().map(|other| &*other.place.name).collect();
        let is_same = names.iter().all(|name| *name == &*first.place.name);
        let mut names: Vec<&str> = names.into_iter().filter(|_| !is_same).collect();
        if names.len() > FEW {
            names.truncate(FEW);
            names.push("\u{2026}");
        }
        let names =
            if names.is_empty() { String::new() } else { format!(" ({})", names.join(", ")) };
        let is_here = of_file.iter().all(|other| other.place.file == first.place.file);
        let file = match of_file.first() {
            Some(other) if !is_here => format!("{} ", other.place.sheet_or_file()),
            _ => String::new(),
        };
        places.push(format!("{file}{}{names}", stretches(&lines)).trim_end().to_string());
    }
    if files.len() > FILES {
        places.push(format!("and {} more files", files.len() - FILES));
    }
    let mut known: BTreeSet<&str> = first.value.as_deref().into_iter().collect();
    let values = cause
        .others
        .iter()
        .filter(|other| other.value.as_deref().is_some_and(|value| known.insert(value)));
    let values: Vec<String> =
        values.take(FEW).map(|other| describe_other(other, first, String::new())).collect();
    let values =
        if values.is_empty() { String::new() } else { format!("; such as {}", values.join(", ")) };
    format!("also {}{values}", places.join("; "))
}

/// A problem beside the first of its cause: at which place, and in what it differs from that.
fn describe_other(other: &Problem, first: &Problem, place: String) -> String {
    let value = other.value.as_deref().filter(|_| other.value != first.value);
    let place = match (value.map(quoted), place.is_empty(), place.starts_with("line ")) {
        (None, ..) => place,
        (Some(value), true, _) => value,
        (Some(value), false, true) => format!("{value} in {place}"),
        (Some(value), false, false) => format!("{value} at {place}"),
    };
    if other.advice == first.advice { place } else { format!("{place} ({})", other.advice) }
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
    let mut words: Vec<String> = stretches
        .iter()
        .take(STRETCHES)
        .map(|(from, to)| if from == to { from.to_string() } else { format!("{from} to {to}") })
        .collect();
    if let (Some(more), Some((_, last))) =
        (stretches.len().checked_sub(STRETCHES + 1), stretches.last())
    {
        words.push(format!("and {} more up to {last}", more + 1));
    }
    match (lines.first(), lines.last()) {
        (None, _) | (_, None) => String::new(),
        (one, other) if one == other => format!("line {}", words.join(", ")),
        _ => format!("lines {}", words.join(", ")),
    }
}

/// A line of a file with its number, and signs below the part that is meant; of a long line the stretch
/// about it.
fn render_excerpt(excerpt: &Excerpt, width: usize) -> Page {
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
    let mut out = Page::from_text(format_args!("{number}{}\n", text.trim_end()));
    if let Some(marked) = marked {
        let (start, end) = (marked.start.clamp(from, to), marked.end.clamp(from, to));
        let before = " ".repeat(wide(from..start) + from.min(1));
        let signs = "^".repeat(wide(start..end).max(1));
        let _ = write!(out, "{:>6} | {before}", "");
        out.red(&signs);
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
struct ProblemWritten<'a> {
    file: &'a str,
    line: Option<u32>,
    column: Option<u32>,
    name: &'a str,
    value: Option<&'a str>,
    wrong: &'a str,
    expected: &'a str,
    advice: &'a str,
    shown: Option<ExcerptWritten<'a>>,
    /// The number of its cause, from 1, as the messages for a person stand.
    cause: usize,
}

/// The line on which it stands; the part that is meant in characters from 0, without the last.
#[derive(Debug, Serialize)]
struct ExcerptWritten<'a> {
    line: u32,
    text: &'a str,
    marked: Option<[usize; 2]>,
}

/// Every problem as data, by their causes.
pub fn to_json(problems: &[Problem]) -> serde_json::Value {
    let written = |number: usize, problem: &'_ Problem| {
        serde_json::json!(ProblemWritten {
            file: &problem.place.file,
            line: problem.place.line,
            column: problem.place.column,
            name: &problem.place.name,
            value: problem.value.as_deref(),
            wrong: &problem.wrong,
            expected: &problem.expected,
            advice: &problem.advice,
            shown: problem.shown.as_ref().map(|shown| ExcerptWritten {
                line: shown.line,
                text: &shown.text,
                marked: shown.marked.as_ref().map(|marked| [marked.start, marked.end]),
            }),
            cause: number,
        })
    };
    let data: Vec<serde_json::Value> = causes::group(problems)
        .iter()
        .zip(1..)
        .flat_map(|(cause, number)| {
            let every = std::iter::once(&cause.first).chain(&cause.others);
            every.map(|problem| written(number, problem)).collect::<Vec<_>>()
        })
        .collect();
    serde_json::json!({ "problems": data })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::place::Place;
    use crate::records::problem::Alike;

    fn lines(text: &str, marked: Option<Range<usize>>, width: usize) -> Vec<String> {
        let excerpt = Excerpt { line: 12, text: text.to_string(), marked };
        let plain =
            anstream::adapter::strip_str(render_excerpt(&excerpt, width).as_ansi()).to_string();
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

    fn problem(file: &str, line: u32, column: &str, wrong: &str) -> Problem {
        Problem::new(Place::value(&file.into(), line, 1, &column.into()), wrong)
    }

    fn text(problems: &[Problem]) -> String {
        let page = render(problems, Detail::Causes { more: "check --all" });
        anstream::adapter::strip_str(page.as_ansi()).to_string()
    }

    fn squeezed(text: &str) -> String {
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn of_very_many_causes_the_first_are_told_and_the_rest_is_counted() {
        let mut problems: Vec<Problem> =
            (0..5000).map(|n| problem("b.csv", 1, &format!("c{n}"), "is not known")).collect();
        problems.push(problem("b.csv", 1, "header", "is another").reaches(Reach::Column));
        let printed = text(&problems);
        assert!(printed.lines().count() < 2 * MOST, "{}", printed.lines().count());
        assert!(
            printed.starts_with("Columns and keys\n  b.csv:1:1 (header): is another\n"),
            "{printed}"
        );
        assert!(printed.contains("  and 4801 more, which"), "{printed}");
        assert!(
            printed.contains(
                "\n5001 problems to fix; nothing was written.\nEvery place: check --all\n"
            ),
            "{printed}"
        );
        let few = text(&problems[..150]);
        assert!(!few.contains(" more") && !few.contains("--all"), "{few}");
    }

    #[test]
    fn places_of_one_cause_are_told_as_stretches_and_not_without_end() {
        let problems: Vec<Problem> = (1..=5000)
            .map(|n| {
                problem("a.csv", 2 * n, "c", "is empty")
                    .value(format!("{n}"))
                    .advice(format!("write {n}"))
            })
            .collect();
        let printed = text(&problems);
        assert!(printed.len() < 1000, "{}", printed.len());
        let squeezed = squeezed(&printed);
        assert!(
            squeezed.contains("is empty; 5000 cells of this column do: write 1 also lines 4, 6,"),
            "{printed}"
        );
        assert!(squeezed.contains("and 4991 more up to 10000; such as \"2\" (write 2), \"3\" (write 3), \"4\" (write 4)"), "{printed}");
        assert!(
            squeezed.contains("1 problem to fix, in 5000 places; nothing was written."),
            "{printed}"
        );
        let all = render(&problems, Detail::All);
        let all = anstream::adapter::strip_str(all.as_ansi()).to_string();
        assert!(
            all.lines().count() > 5000 && all.contains("      \"9\" at a.csv:18:1 (c) (write 9)\n")
        );
    }

    #[test]
    fn a_few_others_of_a_cause_are_told_one_by_one() {
        let named = |file, line, column| {
            problem(file, line, column, "is not a block").value("K9").alike(Alike::OfValue)
        };
        let printed = text(&[
            named("a.csv", 2, "block"),
            named("a.csv", 9, "moved_from"),
            named("b.csv", 4, "block"),
        ]);
        assert!(
            squeezed(&printed).contains(
                "a.csv:2:1 (block): \"K9\" is not a block; 3 cells in 2 files also line 9 (moved_from); b.csv:4:1 (block)"
            ),
            "{printed}"
        );
    }

    #[test]
    fn as_data_each_problem_has_the_number_of_its_cause() {
        let problems = [
            problem("a.csv", 2, "c", "is wrong"),
            problem("a.csv", 2, "d", "is wrong"),
            problem("a.csv", 3, "c", "is wrong"),
        ];
        let data = to_json(&problems);
        let of =
            |n: usize| (data["problems"][n]["name"].clone(), data["problems"][n]["cause"].clone());
        assert_eq!(
            [of(0), of(1), of(2)],
            [("c".into(), 1.into()), ("c".into(), 1.into()), ("d".into(), 2.into())]
        );
    }

    /// As many as are kept, of as many forms as there are.
    #[test]
    fn a_hundred_thousand_problems_are_told_within_bounds() {
        let problems: Vec<Problem> = (0..100_000_u32)
            .map(|n| {
                let value = format!("{n} {}", "x;".repeat(n as usize % 50));
                problem(&format!("{}.csv", n % 97), n / 97 + 1, "c", "is wrong")
                    .value(value)
                    .alike(if n % 2 == 0 { Alike::OfForm } else { Alike::OfValue })
            })
            .collect();
        let printed = text(&problems);
        assert!(printed.len() < 200_000, "{}", printed.len());
        let causes = causes::group(&problems);
        assert_eq!(causes.iter().map(Cause::count).sum::<usize>(), problems.len());
    }

    #[test]
    fn nothing_in_a_file_reaches_the_terminal_as_an_order() {
        let found = lines("a\u{1b}[31m\u{202e}b\tc\u{7}", None, 80);
        assert_eq!(found[0], "    12 | a\\u{1b}[31m\\u{202e}b c\\u{7}");
    }
}
