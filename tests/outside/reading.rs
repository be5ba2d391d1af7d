//! The questions of `tests/reading.md`: their answers stand on the pages that it names.

use std::fmt::Write;

use crate::common::expected;
use crate::judge::{content, on_path};
use crate::report::plain;

const FILE: &str = "tests/reading.md";
/// What a reader has before him at most; what comes after, if anything, only refers.
const MOST_PAGES: usize = 45;
/// Questions that each reader brings at least.
const LEAST_QUESTIONS: usize = 8;

/// The report's pages as text, poppler's, without white space.
fn pages() -> Vec<String> {
    let text =
        content(on_path("pdftotext").arg("-raw").arg(&crate::common::closed().report).arg("-"));
    text.out.split_terminator('\u{c}').map(plain).collect()
}

/// A row of a table as its cells; none for anything else, nor for heads and rules.
fn cells(line: &str) -> Option<[&str; 4]> {
    let inner = line.strip_prefix("| ")?.strip_suffix('|')?;
    let cells: Vec<&str> = inner.split('|').map(str::trim).collect();
    let cells: [&str; 4] = cells.try_into().ok()?;
    (cells[0] != "Question" && !cells[0].starts_with("---")).then_some(cells)
}

/// What an answer quotes of the report.
fn quoted(answer: &str) -> impl Iterator<Item = &str> {
    answer.split('`').skip(1).step_by(2)
}

/// The pages, from 1, on which words first stand behind a page; the same page if they stand there.
fn first_page(pages: &[String], words: &str) -> Option<usize> {
    let words = plain(words);
    pages.iter().position(|page| page.contains(&words)).map(|n| n + 1)
}

#[test]
#[ignore = "needs poppler-utils, see tests/outside/README.md"]
fn the_questions_of_five_readers_are_answered_where_it_says() {
    let pages = pages();
    assert!(pages.len() <= MOST_PAGES, "the report has {} pages", pages.len());
    let writing = expected::is_writing();
    let (mut written, mut wrong) = (String::new(), String::new());
    let mut questions: Vec<usize> = Vec::new();
    for line in expected::read(FILE).lines() {
        if line.starts_with("## ") {
            questions.push(0);
        }
        let Some([question, answer, section, on]) = cells(line) else {
            let _ = writeln!(written, "{line}");
            continue;
        };
        *questions.last_mut().expect("a reader before the questions") += 1;
        let mut found: Vec<usize> = Vec::new();
        for words in quoted(answer) {
            let named = || on.split(", ").filter_map(|page| page.parse::<usize>().ok());
            let there =
                named().find(|n| pages.get(n - 1).is_some_and(|page| page.contains(&plain(words))));
            match (there, first_page(&pages, words)) {
                (Some(page), _) => found.push(page),
                (None, Some(page)) if writing => found.push(page),
                (None, elsewhere) => {
                    let _ =
                        writeln!(wrong, "{question} {words:?} is not on {on:?} but {elsewhere:?}");
                }
            }
        }
        assert!(quoted(answer).next().is_some(), "{question} quotes nothing of the report");
        found.sort_unstable();
        found.dedup();
        let on = found.iter().map(usize::to_string).collect::<Vec<_>>().join(", ");
        let _ = writeln!(written, "| {question} | {answer} | {section} | {on} |");
    }
    assert_eq!(questions.len(), 5, "readers");
    assert!(questions.iter().all(|count| *count >= LEAST_QUESTIONS), "{questions:?}");
    assert!(wrong.is_empty(), "{wrong}");
    expected::is(FILE, &written);
}
