//! Texts that people left for the next docking, made fit for print.

use std::io;

use crate::records::Project;
use crate::records::characters::shown;
use crate::records::store::Store;

/// Characters of one text that are printed; some two pages.
pub const MOST_LETTERS: usize = 6000;

/// The largest file that is read for it, bytes.
pub const LARGEST: u64 = 1_048_576;

/// A text of `papers/` as it is printed.
#[derive(Debug, Clone)]
pub struct Letter {
    /// Its file's name inside `papers/`.
    pub file: String,
    /// What it says, or why that is not printed, as a sentence part.
    pub text: Result<Said, String>,
}

/// What a letter says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// Its paragraphs, of which one holds several lines where these were meant: an address, a signature.
    pub paragraphs: Vec<String>,
    /// Whether more stands in the file.
    pub is_cut: bool,
}

/// The texts of a project that say something to the next docking, or the path of the first that can't be read.
pub fn read(project: &Project, store: &dyn Store) -> Result<Vec<Letter>, (String, io::Error)> {
    let papers = project.papers.iter().filter(|paper| project.is_letter_for_next_time(paper));
    papers
        .map(|paper| {
            let path = paper.path();
            if store.sizes().get(&path).is_some_and(|size| *size > LARGEST) {
                let why = "it is larger than the 1 MiB that is read for print".to_string();
                return Ok(Letter::new(&paper.file, Err(why)));
            }
            match store.read(&path) {
                Ok(bytes) => Ok(Letter::new(&paper.file, Ok(&bytes))),
                Err(error) => Err((path, error)),
            }
        })
        .collect()
}

impl Letter {
    /// A letter from its file's bytes.
    pub fn new(file: &str, bytes: Result<&[u8], String>) -> Self {
        let text = bytes.and_then(|bytes| {
            let text = std::str::from_utf8(bytes).map_err(|_| {
                "it is not text in UTF-8, which could be printed as written".to_string()
            })?;
            Ok(Said::new(text.trim_start_matches('\u{feff}')))
        });
        Self { file: file.to_string(), text }
    }
}

impl Said {
    /// A text with its lines broken anew, since letters are typed in columns narrower or wider than the page. A line that
    /// ends early ends where its writer wanted it to.
    fn new(text: &str) -> Self {
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        let printed: String = text.chars().take(MOST_LETTERS).collect();
        let is_cut = printed.len() < text.trim_end().len();
        let letters = |line: &str| line.trim_end().chars().count();
        let full = text.lines().map(letters).max().unwrap_or(0) * 6 / 10;
        let mut paragraphs = Vec::new();
        let mut paragraph = String::new();
        for line in printed.lines().chain([""]) {
            if line.trim().is_empty() {
                paragraphs.extend((!paragraph.is_empty()).then(|| shown(paragraph.trim_end())));
                paragraph.clear();
                continue;
            }
            paragraph.push_str(line.trim());
            paragraph.push(if letters(line) >= full { ' ' } else { '\n' });
        }
        Self { paragraphs, is_cut }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> Vec<String> {
        Letter::new("a.txt", Ok(text.as_bytes()))
            .text
            .map(|said| said.paragraphs)
            .unwrap_or_default()
    }

    #[test]
    fn lines_run_on_where_they_were_full_and_end_where_they_were_meant_to() {
        let letter = "Port Merrin\n\nShe sits on the block fairly, and I\nwill not have it drawn from under\nher.\n\n\
                      M. Tresilby\ndockmaster\n";
        assert_eq!(
            said(letter),
            [
                "Port Merrin",
                "She sits on the block fairly, and I will not have it drawn from under her.",
                "M. Tresilby\ndockmaster"
            ]
        );
    }

    #[test]
    fn what_misleads_is_shown_as_its_code_and_what_is_no_text_is_not_printed() {
        assert_eq!(said("a\u{1b}[2Jb\u{202e}c"), ["a\\u{1b}[2Jb\\u{202e}c"]);
        assert!(Letter::new("a.txt", Ok(&[0xff, 0xfe, 0x41])).text.is_err());
    }

    #[test]
    fn a_long_text_is_cut_and_says_so() {
        let long = "word ".repeat(MOST_LETTERS);
        let letter = Letter::new("a.txt", Ok(long.as_bytes())).text.expect("text");
        assert!(letter.is_cut && letter.paragraphs.concat().chars().count() <= MOST_LETTERS);
        assert!(!Letter::new("a.txt", Ok(b"short\n\n")).text.expect("text").is_cut);
    }
}
