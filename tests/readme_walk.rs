//! The first walk of README.md, taken: every command that it shows is run, and says what it shows.

use std::env;
use std::fs;
use std::path::Path;
use std::process::Command;

use crate::common::{copy, run, sample, temporary};

const SECTION: &str = "## A first walk";

/// A command of the walk and the lines that it is to say; `...` stands for whatever is said there.
#[derive(Debug)]
struct Step {
    command: String,
    says: Vec<String>,
}

/// The steps of a text: blocks of `console`, `$ ` before each command.
fn steps(readme: &str) -> Vec<Step> {
    let section = readme.split_once(&format!("{SECTION}\n")).expect("the section").1;
    let section = section.split("\n## ").next().expect("its text");
    let mut steps: Vec<Step> = Vec::new();
    let mut inside = false;
    for line in section.lines() {
        match line {
            "```console" => inside = true,
            "```" => inside = false,
            line if line.starts_with("```") || line.starts_with("    ") && !inside => {
                panic!("{line:?} is a block that is not run")
            }
            line if inside => match line.strip_prefix("$ ") {
                Some(command) => {
                    steps.push(Step { command: command.to_string(), says: Vec::new() });
                }
                None => steps.last_mut().expect("a command").says.push(line.to_string()),
            },
            _ => {}
        }
    }
    steps
}

/// Whether a line is what is shown, where `...` stands for any part of it.
fn is_line(shown: &str, line: &str) -> bool {
    match shown.split_once("...") {
        None => shown == line,
        Some((before, after)) => line.strip_prefix(before).is_some_and(|rest| {
            rest.char_indices()
                .map(|(at, _)| at)
                .chain([rest.len()])
                .any(|at| is_line(after, &rest[at..]))
        }),
    }
}

/// Whether lines are what is shown, where a line of `...` alone stands for any number of them.
fn are_lines(shown: &[String], lines: &[&str]) -> bool {
    match shown.split_first() {
        None => lines.is_empty(),
        Some((first, rest)) if first == "..." => {
            (0..=lines.len()).any(|n| are_lines(rest, &lines[n..]))
        }
        Some((first, rest)) => lines
            .split_first()
            .is_some_and(|(line, lines)| is_line(first, line) && are_lines(rest, lines)),
    }
}

#[test]
fn every_command_of_the_walk_says_what_the_readme_shows() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let readme = fs::read_to_string(root.join("README.md")).expect("the README");
    let steps = steps(&readme);
    for command in ["start", "check", "closeout", "verify", "compare"] {
        let called = format!("lastdock {command} ");
        assert!(steps.iter().any(|step| step.command.starts_with(&called)), "{called}is not shown");
    }
    let place = temporary();
    copy(&sample(), &place.path().join("sample-project"));
    let program = Path::new(env!("CARGO_BIN_EXE_lastdock")).parent().expect("a folder");
    let before = env::var_os("PATH").unwrap_or_default();
    let path = [program.to_path_buf()].into_iter().chain(env::split_paths(&before));
    let path = env::join_paths(path).expect("a PATH");
    for step in &steps {
        let mut shell = Command::new("sh");
        shell.arg("-c").arg(format!("exec 2>&1; {}", step.command)).current_dir(place.path());
        shell.env("PATH", &path).env("NO_COLOR", "1").env_remove("CLICOLOR_FORCE");
        let said = run(&mut shell).exits(0);
        let lines: Vec<&str> = said.out.lines().collect();
        assert!(
            are_lines(&step.says, &lines),
            "{} is shown to say\n{}\nand says\n{}",
            step.command,
            step.says.join("\n"),
            said.out
        );
    }
}

#[test]
fn what_is_shown_and_is_not_said_is_seen() {
    let shown = |lines: &[&str]| lines.iter().map(ToString::to_string).collect::<Vec<String>>();
    let said = ["one of 3", "two", "three"];
    assert!(are_lines(&shown(&["one of ...", "...", "three"]), &said));
    assert!(are_lines(&shown(&["...", "two", "three", "..."]), &said));
    assert!(!are_lines(&shown(&["one of ...", "three"]), &said));
    assert!(!are_lines(&shown(&["one of 3", "two"]), &said));
    assert!(!are_lines(&shown(&["...", "two of ...", "..."]), &said));
    assert!(!are_lines(&shown(&[]), &said));
    let walk = format!("{SECTION}\ntext\n```console\n$ a\nb\n$ c\n```\n## Next\n```console\n$ d\n");
    let steps = steps(&walk);
    assert_eq!(steps.len(), 2);
    assert_eq!(
        (steps[0].command.as_str(), steps[0].says.as_slice()),
        ("a", &["b".to_string()][..])
    );
}
