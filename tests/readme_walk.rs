//! The first walk of README.md: each command that it shows is run, and prints what it shows.

use std::env;
use std::path::Path;
use std::process::Command;

use crate::common::{copy, expected, run, sample, temporary};

const SECTION: &str = "## A first walk";

/// A command of the walk, and the lines that the README shows of what it says; `...` stands for whatever is said
/// there.
#[derive(Debug)]
struct Step {
    command: String,
    shown: Vec<String>,
    /// How many lines of the README stand before those that are shown.
    begins: usize,
}

/// The steps of a text: blocks of `console`, `$ ` before each command.
fn steps(readme: &str) -> Vec<Step> {
    let lines = readme.lines().enumerate();
    let section = lines.skip_while(|(_, line)| *line != SECTION).skip(1);
    let section = section.take_while(|(_, line)| !line.starts_with("## "));
    let mut steps: Vec<Step> = Vec::new();
    let mut inside = false;
    for (at, line) in section {
        match line {
            "```console" => inside = true,
            "```" => inside = false,
            line if line.starts_with("```") || line.starts_with("    ") && !inside => {
                panic!("{line:?} is a block that is not run")
            }
            line if inside => match line.strip_prefix("$ ") {
                Some(command) => {
                    let (command, begins) = (command.to_string(), at + 1);
                    steps.push(Step { command, shown: Vec::new(), begins });
                }
                None => steps.last_mut().expect("a command").shown.push(line.to_string()),
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

/// What the README would have to show of some lines to show as much of them as it does: each line that is shown
/// becomes the most similar one, in order, and `...` stays where it stands.
fn shown_anew(shown: &[String], lines: &[&str]) -> Vec<String> {
    // The least that it costs to bring the first lines shown to the first lines said, and how: what is shown of the
    // last line, if anything, and whether a line shown and a line said are behind it.
    type Step = (f64, Option<String>, bool, bool);
    let mut best: Vec<Vec<Step>> = Vec::new();
    for i in 0..=shown.len() {
        best.push(Vec::new());
        for j in 0..=lines.len() {
            let mut ways: Vec<Step> = Vec::new();
            if (i, j) == (0, 0) {
                ways.push((0.0, None, false, false));
            }
            if i > 0 && shown[i - 1] == "..." {
                ways.push((best[i - 1][j].0, Some("...".into()), true, false));
                if j > 0 {
                    ways.push((best[i][j - 1].0, None, false, true));
                }
            } else if i > 0 {
                ways.push((best[i - 1][j].0 + 1.5, None, true, false));
                if j > 0 {
                    let (cost, line) = replaced(&shown[i - 1], lines[j - 1]);
                    ways.push((best[i - 1][j - 1].0 + cost, Some(line), true, true));
                }
            }
            if j > 0 {
                ways.push((best[i][j - 1].0 + 1.0, Some(lines[j - 1].into()), false, true));
            }
            best[i].extend(ways.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)));
        }
    }
    let (mut i, mut j, mut anew) = (shown.len(), lines.len(), Vec::new());
    while (i, j) != (0, 0) {
        let (_, line, shown, said) = &best[i][j];
        anew.extend(line.clone());
        (i, j) = (i - usize::from(*shown), j - usize::from(*said));
    }
    anew.reverse();
    anew
}

/// What it costs to show a line in another's place, and what then is shown.
fn replaced(shown: &str, line: &str) -> (f64, String) {
    if is_line(shown, line) {
        return (0.0, shown.to_string());
    }
    let cost = 2.0 * (1.0 - strsim::normalized_levenshtein(shown, line));
    match shown.split_once("...") {
        Some((before, _)) if line.starts_with(before) => (cost, format!("{before}...")),
        Some((_, after)) if line.ends_with(after) => (cost, format!("...{after}")),
        _ => (cost, line.to_string()),
    }
}

#[test]
fn each_command_of_the_walk_prints_what_the_readme_shows() {
    let readme = expected::read("README.md");
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
    let (mut anew, mut next) = (Vec::new(), 0);
    let all: Vec<&str> = readme.lines().collect();
    for Step { command, shown, begins } in &steps {
        let mut shell = Command::new("sh");
        shell.arg("-c").arg(format!("exec 2>&1; {command}")).current_dir(place.path());
        shell.env("PATH", &path).env("NO_COLOR", "1").env_remove("CLICOLOR_FORCE");
        let said = run(&mut shell).exits(0);
        let lines: Vec<&str> = said.out.lines().collect();
        anew.extend(all[next..*begins].iter().map(ToString::to_string));
        next = begins + shown.len();
        match are_lines(shown, &lines) {
            true => anew.extend_from_slice(shown),
            false => anew.extend(shown_anew(shown, &lines)),
        }
    }
    anew.extend(all[next..].iter().map(ToString::to_string));
    expected::is("README.md", &(anew.join("\n") + "\n"));
}

#[test]
fn lines_that_are_shown_and_not_printed_are_noticed() {
    let shown = |lines: &[&str]| lines.iter().map(ToString::to_string).collect::<Vec<String>>();
    let said = ["one of 3", "two", "three"];
    assert!(are_lines(&shown(&["one of ...", "...", "three"]), &said));
    assert!(are_lines(&shown(&["...", "two", "three", "..."]), &said));
    assert!(!are_lines(&shown(&["one of ...", "three"]), &said));
    assert!(!are_lines(&shown(&["one of 3", "two"]), &said));
    assert!(!are_lines(&shown(&["...", "two of ...", "..."]), &said));
    assert!(!are_lines(&shown(&[]), &said));
    for (before, after) in [
        (&["one of ...", "...", "three"][..], &["one of ...", "...", "three"][..]),
        (&["one of 4", "...", "three"], &["one of 3", "...", "three"]),
        (&["...", "tow", "three"], &["...", "two", "three"]),
        (&["one in ... or 3", "..."], &["one of 3", "..."]),
        (&["one of 3", "three"], &["one of 3", "two", "three"]),
    ] {
        let anew = shown_anew(&shown(before), &said);
        assert_eq!(anew, after);
        assert!(are_lines(&anew, &said));
    }
    let walk = format!(
        "# Title\n{SECTION}\ntext\n```console\n$ a\nb\n$ c\n```\n## Next\n```console\n$ d\n"
    );
    let steps = steps(&walk);
    assert_eq!(steps.len(), 2);
    assert_eq!(
        (steps[0].command.as_str(), steps[0].shown.as_slice(), steps[0].begins),
        ("a", &["b".to_string()][..], 5)
    );
}
