//! What is wrong with a project's files: for a person with the line shown and the place marked, or as data.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::ops::Range;

use serde::Serialize;
use textwrap::core::display_width;
use unicode_segmentation::UnicodeSegmentation;

use super::page::Page;
use super::print::{width, wrapped};
use crate::records::characters::shown_in_line;
use crate::records::place::Place;
use crate::records::problem::{Excerpt, Problem};

/// Of problems that say the same of one column, how many are shown in full.
const SHOWN: usize = 3;

/// The most entries in a list for a person: more than anyone fixes before checking again.
const MOST: usize = 200;

/// Of lines that say the same, how many stretches are named.
const STRETCHES: usize = 20;

/// What is wrong, by file. Of very many problems the first of every file and the first of every sort are among
/// those that are shown, and the rest is counted.
pub fn render(problems: &[Problem]) -> Page {
    let entries = entries(problems);
    let chosen = choose(&entries);
    let mut out = Page::new();
    for of_file in entries.chunk_by(|a, b| a.file() == b.file()) {
        let Some(first) = of_file.first() else { continue };
        let shown: Vec<&Entry<'_>> =
            of_file.iter().filter(|entry| chosen.contains(&entry.number)).collect();
        out.heading(&first.file());
        shown.iter().for_each(|entry| out.append(entry.render()));
        let problems = |entries: &mut dyn Iterator<Item = &Entry<'_>>| {
            entries.map(Entry::problems).sum::<usize>()
        };
        let hidden = problems(&mut of_file.iter()) - problems(&mut shown.into_iter());
        if hidden > 0 {
            out.push_str(&format!(
                "{}\n",
                wrapped(&format!("and {hidden} more in {}", first.file()), 2)
            ));
        }
    }
    if chosen.len() < entries.len() {
        out.push_str(&format!("\n{}\n", wrapped(CUT, 0)));
    }
    let count = problems.len();
    let counted = if count == 1 { "1 problem".to_string() } else { format!("{count} problems") };
    let following = match problems.iter().map(|problem| problem.follows.len()).sum::<usize>() {
        0 => String::new(),
        1 => ", from which 1 more follows".to_string(),
        n => format!(", from which {n} more follow"),
    };
    let _ = writeln!(out, "\n{counted} to fix{following}; nothing was written.");
    out
}

/// What is printed where not all is shown.
const CUT: &str = "Not every problem is shown here, but some of each file that has any. The same command with --json \
                   prints all of them.";

/// An entry of the list: a problem, or the rest of many that say the same of one column.
struct Entry<'a> {
    /// Its number among the entries.
    number: usize,
    problem: &'a Problem,
    /// The lines of the rest; `None` for a problem of its own.
    rest: Option<Vec<u32>>,
}

impl Entry<'_> {
    fn file(&self) -> Cow<'_, str> {
        self.problem.place.sheet_or_file()
    }

    fn render(&self) -> Page {
        match &self.rest {
            None => render_problem(self.problem),
            Some(lines) => Page::from_text(render_rest(self.problem, lines)),
        }
    }

    /// How many problems it stands for.
    fn problems(&self) -> usize {
        self.rest.as_ref().map_or(1, Vec::len)
    }
}

fn entries(problems: &[Problem]) -> Vec<Entry<'_>> {
    let mut alike: BTreeMap<Sort<'_>, Vec<u32>> = BTreeMap::new();
    for problem in problems {
        let row = problem.place.row.or(problem.place.line);
        alike.entry(sort(problem)).or_default().push(row.unwrap_or_default());
    }
    let mut counted: BTreeMap<Sort<'_>, usize> = BTreeMap::new();
    let mut entries: Vec<Entry<'_>> = Vec::new();
    for problem in problems {
        let before = counted.entry(sort(problem)).or_default();
        let number = entries.len();
        if *before < SHOWN || problem.place.column.is_none() {
            entries.push(Entry { number, problem, rest: None });
        } else if *before == SHOWN {
            let lines = alike.remove(&sort(problem)).unwrap_or_default();
            let rest = lines.get(SHOWN..).unwrap_or_default().to_vec();
            entries.push(Entry { number, problem, rest: Some(rest) });
        }
        *before += 1;
    }
    entries
}

/// The numbers of those that are shown: the first of every file, then the first of every sort, then the others
/// in their order, as far as there is room.
fn choose(entries: &[Entry<'_>]) -> BTreeSet<usize> {
    let (mut files, mut sorts) = (BTreeSet::new(), BTreeSet::new());
    let (mut first, mut second, mut rest) = (Vec::new(), Vec::new(), Vec::new());
    for entry in entries {
        let sort = (&*entry.problem.place.file, &*entry.problem.wrong);
        match (files.insert(sort.0), sorts.insert(sort)) {
            (true, _) => first.push(entry.number),
            (false, true) => second.push(entry.number),
            (false, false) => rest.push(entry.number),
        }
    }
    first.into_iter().chain(second).chain(rest).take(MOST).collect()
}

/// What problems have in common that are one mistake made in many rows of a column: file, column, header,
/// and what is wrong.
type Sort<'a> = (&'a str, Option<u32>, &'a str, &'a str);

fn sort(problem: &Problem) -> Sort<'_> {
    let Problem { place, wrong, .. } = problem;
    (&place.file, place.column, &place.name, wrong)
}

fn render_problem(problem: &Problem) -> Page {
    let mut out = Page::new();
    let text = problem.to_string();
    let mut lines = text.lines();
    let _ = writeln!(out, "{}", wrapped(lines.next().unwrap_or_default(), 2));
    if let Some(excerpt) = &problem.shown {
        out.append(render_excerpt(excerpt, width()));
    }
    for line in lines {
        let _ = writeln!(out, "{}", wrapped(line.trim_start(), 6));
    }
    out.push_str(&describe_following(problem));
    out
}

/// How many problems follow from one, and where they stand.
fn describe_following(problem: &Problem) -> String {
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
    let follow = if count == 1 { "problem follows" } else { "problems follow" };
    format!("{}\n", wrapped(&format!("{count} more {follow} from it: {}", files.join("; ")), 6))
}

/// The rest of many that say the same of one column: their lines.
fn render_rest(one: &Problem, lines: &[u32]) -> String {
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
    let mut words: Vec<String> = stretches
        .iter()
        .take(STRETCHES)
        .map(|(from, to)| if from == to { from.to_string() } else { format!("{from} to {to}") })
        .collect();
    if let (Some(more), Some((_, last))) =
        (stretches.len().checked_sub(STRETCHES + 1), stretches.last())
    {
        words.push(format!("and {} more stretches up to {last}", more + 1));
    }
    let many = if words.len() == 1 && lines.len() == 1 { "line" } else { "lines" };
    format!("{many} {}", words.join(", "))
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
    /// Where the problem stands from which this one follows.
    cause: Option<PlaceWritten<'a>>,
}

/// A place as data.
#[derive(Debug, Serialize)]
struct PlaceWritten<'a> {
    file: &'a str,
    line: Option<u32>,
    column: Option<u32>,
    name: &'a str,
}

impl<'a> PlaceWritten<'a> {
    fn new(place: &'a Place) -> Self {
        Self { file: &place.file, line: place.line, column: place.column, name: &place.name }
    }
}

/// The line on which it stands; the part that is meant in characters from 0, without the last.
#[derive(Debug, Serialize)]
struct ExcerptWritten<'a> {
    line: u32,
    text: &'a str,
    marked: Option<[usize; 2]>,
}

/// Problems as data, each followed by those that follow from it.
pub fn to_json(problems: &[Problem]) -> serde_json::Value {
    fn with_following(
        problem: &Problem,
    ) -> impl Iterator<Item = (&Problem, Option<PlaceWritten<'_>>)> {
        let cause = || Some(PlaceWritten::new(&problem.place));
        let follows = problem.follows.iter().map(move |follows| (follows, cause()));
        std::iter::once((problem, None)).chain(follows)
    }
    let data: Vec<ProblemWritten<'_>> = problems
        .iter()
        .flat_map(with_following)
        .map(|(problem, cause)| ProblemWritten {
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

    fn problem(file: &str, line: u32, column: u32, wrong: &str) -> Problem {
        Problem::new(Place::value(&file.into(), line, column, &"c".into()), wrong)
    }

    fn text(problems: &[Problem]) -> String {
        anstream::adapter::strip_str(render(problems).as_ansi()).to_string()
    }

    #[test]
    fn of_very_many_problems_the_first_of_every_file_and_sort_are_shown_and_the_rest_is_counted() {
        // Each column is a sort of its own, so that none is reported by the lines of the rest.
        let mut problems: Vec<Problem> =
            (1..=5000).map(|n| problem("a.csv", 1, n, "is not known")).collect();
        problems.push(problem("a.csv", 2, 1, "is another thing"));
        problems.push(problem("b.csv", 9, 1, "is empty"));
        let printed = text(&problems);
        assert!(printed.lines().count() < 2 * MOST, "{}", printed.lines().count());
        for shown in ["a.csv:1:1 ", "a.csv:2:1 (c): is another thing", "b.csv:9:1 (c): is empty"] {
            assert!(printed.contains(shown), "{shown}");
        }
        // 198 of one sort are shown beside the two others.
        assert!(printed.contains("and 4802 more in a.csv"), "{printed}");
        assert!(
            printed.contains("5002 problems to fix") && printed.contains("--json"),
            "{printed}"
        );
        let few = text(&problems[..150]);
        assert!(!few.contains("more in") && !few.contains("--json"), "{few}");
    }

    #[test]
    fn lines_of_the_rest_are_told_as_stretches_and_not_without_end() {
        let problems: Vec<Problem> =
            (1..=5000).map(|n| problem("a.csv", 2 * n, 1, "is empty")).collect();
        let printed = text(&problems);
        assert!(printed.len() < 2000, "{}", printed.len());
        let squeezed = printed.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(squeezed.contains("4997 more in c: is empty, lines 8, 10,"), "{printed}");
        assert!(squeezed.contains("and 4977 more stretches up to 10000"), "{printed}");
    }

    #[test]
    fn nothing_in_a_file_reaches_the_terminal_as_an_order() {
        let found = lines("a\u{1b}[31m\u{202e}b\tc\u{7}", None, 80);
        assert_eq!(found[0], "    12 | a\\u{1b}[31m\\u{202e}b c\\u{7}");
    }
}
