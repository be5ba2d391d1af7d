//! Texts that are expected word for word stand in files, each wording in one. A change of wording is one command
//! and one diff to read:
//!
//!     LASTDOCK_EXPECTED=write cargo test --release --test main
//!
//! writes those files anew where the program says otherwise. In CI the switch is refused.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use super::in_ci;

const SWITCH: &str = "LASTDOCK_EXPECTED";

/// Whether the switch asks for expected texts to be written, given its value and that of `CI`.
fn asks_to_write(switch: Option<&str>, ci: Option<&str>) -> Result<bool, String> {
    match switch {
        None | Some("") => Ok(false),
        Some("write") if in_ci(ci) => {
            Err(format!("{SWITCH}=write makes any text the expected one, and is refused in CI"))
        }
        Some("write") => Ok(true),
        Some(other) => Err(format!("{SWITCH} is {other:?}; it can only be \"write\"")),
    }
}

/// Whether expected texts are to be written rather than held to.
#[track_caller]
pub fn is_writing() -> bool {
    let variable = |name: &str| env::var(name).ok();
    asks_to_write(variable(SWITCH).as_deref(), variable("CI").as_deref())
        .unwrap_or_else(|refused| panic!("{refused}"))
}

fn path(file: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(file)
}

/// A file of the repository.
pub fn read(file: &str) -> String {
    fs::read_to_string(path(file)).unwrap_or_else(|error| panic!("{file}: {error}"))
}

/// Holds a file of the repository, as it would have to be by what the program says, to the file as it stands;
/// or writes it.
#[track_caller]
pub fn is(file: &str, said: &str) {
    hold(file, said).unwrap_or_else(|difference| panic!("{difference}"));
}

/// The same, of a test that has several files to hold and shows all differences.
pub fn hold(file: &str, said: &str) -> Result<(), String> {
    let writing = is_writing();
    let path = path(file);
    let expected = if writing && !path.exists() { String::new() } else { read(file) };
    if expected != said && writing {
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        fs::write(path, said).unwrap_or_else(|error| panic!("{file}: {error}"));
    } else if expected != said {
        let difference = difference(&expected, said);
        return Err(format!(
            "{file} expects otherwise; {SWITCH}=write accepts this:\n{difference}"
        ));
    }
    Ok(())
}

/// Holds what the program says of a case to the text below its heading in a file of such texts.
#[track_caller]
pub fn says(file: &str, case: &str, said: &str) {
    hold_case(file, case, said).unwrap_or_else(|difference| panic!("{difference}"));
}

/// The same, of a test that has several cases and shows all differences.
pub fn hold_case(file: &str, case: &str, said: &str) -> Result<(), String> {
    // Tests that run side by side write into the same file.
    static FILES: Mutex<()> = Mutex::new(());
    let _alone = FILES.lock().unwrap_or_else(PoisonError::into_inner);
    let text = if path(file).exists() { read(file) } else { String::new() };
    let said = format!("{}\n", said.trim_end_matches('\n'));
    let (before, expected, after) = section(&text, case);
    if expected == said {
        return Ok(());
    }
    if !is_writing() {
        let difference = difference(expected, &said);
        return Err(format!("{file}, {case}; {SWITCH}=write accepts this:\n{difference}"));
    }
    let heading = match (before.is_empty(), before.ends_with(&format!("## {case}\n"))) {
        (_, true) => String::new(),
        (true, false) => format!("## {case}\n"),
        (false, false) => format!("\n## {case}\n"),
    };
    hold(file, &format!("{before}{heading}{said}{after}"))
}

/// The text below a heading, with what stands before and after it; without the heading all stands before.
fn section<'a>(text: &'a str, case: &str) -> (&'a str, &'a str, &'a str) {
    let heading = format!("## {case}\n");
    let begins = match text.starts_with(&heading) {
        true => Some(heading.len()),
        false => text.find(&format!("\n{heading}")).map(|at| at + 1 + heading.len()),
    };
    let Some(begins) = begins else { return (text, "", "") };
    let ends = text[begins..].find("\n\n## ").map_or(text.len(), |at| begins + at + 1);
    (&text[..begins], &text[begins..ends], &text[ends..])
}

/// The lines between the first and the last that differ, as in a diff.
fn difference(expected: &str, said: &str) -> String {
    let [mut old, mut new] = [expected, said].map(|text| text.split('\n').collect::<Vec<_>>());
    let alike = old.iter().zip(&new).take_while(|(old, new)| old == new).count();
    old.drain(..alike);
    new.drain(..alike);
    while !old.is_empty() && old.last() == new.last() {
        old.pop();
        new.pop();
    }
    let signed = |sign: char, lines: &[&str]| -> String {
        lines.iter().map(|line| format!("{sign}{line}\n")).collect()
    };
    format!("@@ line {}\n{}{}", alike + 1, signed('-', &old), signed('+', &new))
}

#[test]
fn expected_texts_are_written_on_request_and_never_in_ci() {
    assert_eq!(asks_to_write(None, None), Ok(false));
    assert_eq!(asks_to_write(None, Some("true")), Ok(false));
    assert_eq!(asks_to_write(Some("write"), None), Ok(true));
    assert!(asks_to_write(Some("write"), Some("true")).is_err());
    assert!(asks_to_write(Some("yes"), None).is_err());
}

#[test]
fn a_difference_shows_the_lines_that_differ() {
    assert_eq!(difference("a\nb\nc\nd\n", "a\nx\nc\nd\n"), "@@ line 2\n-b\n+x\n");
    assert_eq!(difference("a\n", "a\na\n"), "@@ line 2\n+a\n");
}

#[test]
fn a_text_is_found_below_its_heading() {
    let text = "## a\n1\n2\n\n## b\n3\n";
    assert_eq!(section(text, "a"), ("## a\n", "1\n2\n", "\n## b\n3\n"));
    assert_eq!(section(text, "b"), ("## a\n1\n2\n\n## b\n", "3\n", ""));
    assert_eq!(section(text, "c"), (text, "", ""));
}
