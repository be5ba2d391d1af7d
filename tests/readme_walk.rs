//! The first walk of README.md: what it says is typed and filled in, and each command that it shows is run and prints
//! what it shows.

use std::io::Cursor;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};
use std::{env, fs};

use calamine::{Reader, Xlsx};
use rust_xlsxwriter::utility::column_number_to_name;

use crate::common::{expected, run, temporary};
use crate::spreadsheets::{parts_of, zipped};

const SECTION: &str = "## A first walk";

/// Something that the walk asks for.
#[derive(Debug, PartialEq)]
enum Step {
    /// A command, and the lines that the README shows of what it says; `...` stands for whatever is said there.
    Run {
        command: String,
        shown: Vec<String>,
        /// How many lines of the README stand before those that are shown.
        begins: usize,
    },
    /// Lines to be written into a file of TOML, whose name a comment gives.
    Write { file: String, lines: Vec<String> },
    /// Rows to be typed into a sheet of the workbook, the column names first.
    Type { sheet: String, rows: Vec<Vec<String>> },
}

/// The steps of a text: blocks of `console`, with `$ ` before each command; blocks of `toml`; and tables whose first
/// heading is a sheet's name.
fn steps(readme: &str) -> Vec<Step> {
    let lines = readme.lines().enumerate();
    let section = lines.skip_while(|(_, line)| *line != SECTION).skip(1);
    let section = section.take_while(|(_, line)| !line.starts_with("## "));
    let mut steps: Vec<Step> = Vec::new();
    let mut inside = "";
    for (at, line) in section {
        match (inside, line) {
            (_, "```") => inside = "",
            ("", "```console" | "```toml") => inside = &line[3..],
            ("", line) if line.starts_with("```") || line.starts_with("    ") => {
                panic!("{line:?} is a block that is not run")
            }
            ("console", line) => match (line.strip_prefix("$ "), steps.last_mut()) {
                (Some(command), _) => {
                    let (command, begins) = (command.to_string(), at + 1);
                    steps.push(Step::Run { command, shown: Vec::new(), begins });
                }
                (None, Some(Step::Run { shown, .. })) => shown.push(line.to_string()),
                _ => panic!("{line:?} belongs to no command"),
            },
            ("toml", line) => match (line.strip_prefix("# "), steps.last_mut()) {
                (Some(file), _) => {
                    steps.push(Step::Write { file: file.to_string(), lines: Vec::new() });
                }
                (None, Some(Step::Write { lines, .. })) => lines.push(line.to_string()),
                _ => panic!("{line:?} is of no file"),
            },
            ("", line) if line.starts_with('|') => {
                let cells = line.trim_matches('|').split('|').map(|cell| cell.trim().to_string());
                let cells: Vec<String> = cells.collect();
                match (cells.split_first(), steps.last_mut()) {
                    (Some((sheet, names)), _) if sheet.starts_with('`') => {
                        let (sheet, rows) = (sheet.trim_matches('`').into(), vec![names.to_vec()]);
                        steps.push(Step::Type { sheet, rows });
                    }
                    (Some((rule, _)), _) if rule.starts_with("---") => {}
                    (Some((_, row)), Some(Step::Type { rows, .. })) => rows.push(row.to_vec()),
                    _ => panic!("{line:?} is of no sheet"),
                }
            }
            _ => {}
        }
    }
    steps
}

/// A file of TOML with the blanks filled in that lines under some of its headings name, as a person does it: a key that
/// stands there gets its value, and a line that is switched off is switched on.
fn filled_in(file: &str, lines: &[String]) -> String {
    let mut file: Vec<String> = file.lines().map(String::from).collect();
    let mut at = 0;
    for line in lines.iter().filter(|line| !line.is_empty()) {
        let key = line.split_once(" = ").map(|(key, _)| format!("{key} = "));
        let is_wanted = |known: &str| match &key {
            Some(key) => known.starts_with(key.as_str()),
            None => known == line,
        };
        // A heading is sought in the whole file, a key below the last heading.
        let from = if key.is_some() { at } else { 0 };
        let on = (from..file.len()).find(|n| is_wanted(&file[*n]));
        let off = (from..file.len()).find(|n| file[*n].strip_prefix('#').is_some_and(is_wanted));
        at = on.or(off).unwrap_or_else(|| panic!("no place for {line:?}"));
        file[at].clone_from(line);
    }
    file.join("\n") + "\n"
}

/// A workbook with rows typed below the headings of a sheet.
fn typed_into(workbook: &[u8], sheet: &str, rows: &[Vec<String>]) -> Vec<u8> {
    let mut book = Xlsx::new(Cursor::new(workbook)).expect("a workbook");
    let number = book.sheet_names().iter().position(|name| name == sheet);
    let number = number.unwrap_or_else(|| panic!("no sheet {sheet}"));
    let range = book.worksheet_range(sheet).expect("a sheet");
    let headings: Vec<String> =
        range.rows().next().expect("headings").iter().map(ToString::to_string).collect();
    let (names, rows) = rows.split_first().expect("column names");
    let mut written = String::new();
    for (row, cells) in (2..).zip(rows) {
        assert_eq!(cells.len(), names.len(), "{sheet}: {cells:?}");
        let mut by_column: Vec<(usize, &String)> = Vec::new();
        for (name, cell) in names.iter().zip(cells) {
            let column = headings.iter().position(|heading| heading == name);
            by_column.push((column.unwrap_or_else(|| panic!("{sheet}: no {name}")), cell));
        }
        by_column.sort();
        written.push_str(&format!("<row r=\"{row}\">"));
        for (column, text) in by_column {
            let at = format!("{}{row}", column_number_to_name(u16::try_from(column).expect("few")));
            written.push_str(&match text.parse::<f64>() {
                Ok(number) => format!("<c r=\"{at}\"><v>{number}</v></c>"),
                Err(_) => format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>{text}</t></is></c>"),
            });
        }
        written.push_str("</row>");
    }
    let part = format!("xl/worksheets/sheet{}.xml", number + 1);
    let mut parts = parts_of(workbook);
    let found = parts.iter_mut().find(|(name, _)| *name == part).expect("that part");
    let text = String::from_utf8(found.1.clone()).expect("text");
    assert!(text.contains("</row></sheetData>"), "{part} has its headings alone");
    found.1 = text.replace("</sheetData>", &format!("{written}</sheetData>")).into_bytes();
    zipped(&parts)
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
    type Way = (f64, Option<String>, bool, bool);
    let mut best: Vec<Vec<Way>> = Vec::new();
    for i in 0..=shown.len() {
        best.push(Vec::new());
        for j in 0..=lines.len() {
            let mut ways: Vec<Way> = Vec::new();
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

/// The folder of the walk's docking, and the workbook in it.
const FOLDER: &str = "my-docking";
const WORKBOOK: &str = "project.xlsx";

/// How long the program's part takes is printed: `-- --nocapture`.
#[test]
#[expect(clippy::disallowed_methods, reason = "the time is printed, and nothing depends on it")]
fn each_command_of_the_walk_prints_what_the_readme_shows() {
    let readme = expected::read("README.md");
    let steps = steps(&readme);
    for command in ["start", "check", "answers", "closeout", "verify", "compare"] {
        let called = format!("lastdock {command} ");
        let calls =
            |step: &Step| matches!(step, Step::Run { command, .. } if command.starts_with(&called));
        assert!(steps.iter().any(calls), "{called}is not shown");
    }
    let place = temporary();
    let program = Path::new(env!("CARGO_BIN_EXE_lastdock")).parent().expect("a folder");
    let before = env::var_os("PATH").unwrap_or_default();
    let path = [program.to_path_buf()].into_iter().chain(env::split_paths(&before));
    let path = env::join_paths(path).expect("a PATH");
    let (mut anew, mut next) = (Vec::new(), 0);
    let all: Vec<&str> = readme.lines().collect();
    let mut taken = Duration::ZERO;
    for step in &steps {
        let change = |file: &str, change: &dyn Fn(Vec<u8>) -> Vec<u8>| {
            let file = place.path().join(FOLDER).join(file);
            let before = fs::read(&file).unwrap_or_else(|error| panic!("{file:?}: {error}"));
            fs::write(&file, change(before)).expect("to write it");
        };
        let (command, shown, begins) = match step {
            Step::Run { command, shown, begins } => (command, shown, *begins),
            Step::Write { file, lines } => {
                change(file, &|text| {
                    filled_in(&String::from_utf8(text).expect("text"), lines).into_bytes()
                });
                continue;
            }
            Step::Type { sheet, rows } => {
                change(WORKBOOK, &|book| typed_into(&book, sheet, rows));
                continue;
            }
        };
        let mut shell = Command::new("sh");
        shell.arg("-c").arg(format!("exec 2>&1; {command}")).current_dir(place.path());
        shell.env("PATH", &path).env("NO_COLOR", "1").env_remove("CLICOLOR_FORCE");
        let began = Instant::now();
        let said = run(&mut shell).exits(0);
        taken += began.elapsed();
        let lines: Vec<&str> = said.out.lines().collect();
        anew.extend(all[next..begins].iter().map(ToString::to_string));
        next = begins + shown.len();
        match are_lines(shown, &lines) {
            true => anew.extend_from_slice(shown),
            false => anew.extend(shown_anew(shown, &lines)),
        }
    }
    println!("The program's part of the walk took {:.1} s.", taken.as_secs_f64());
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
        "# Title\n{SECTION}\ntext\n```console\n$ a\nb\n$ c\n```\n| `plan-x` | one | two |\n| --- | --- | --- |\n\
         | | 1 | |\n```toml\n# a.toml\n[x]\n\ny = 1\n```\n## Next\n```console\n$ d\n"
    );
    let texts = |texts: &[&str]| texts.iter().map(ToString::to_string).collect::<Vec<String>>();
    assert_eq!(
        steps(&walk),
        [
            Step::Run { command: "a".into(), shown: texts(&["b"]), begins: 5 },
            Step::Run { command: "c".into(), shown: Vec::new(), begins: 7 },
            Step::Type {
                sheet: "plan-x".into(),
                rows: vec![texts(&["one", "two"]), texts(&["1", ""])]
            },
            Step::Write { file: "a.toml".into(), lines: texts(&["[x]", "", "y = 1"]) },
        ]
    );
    let blank = "[w]\ny = \"\"  # never\n#[x]\n#y = 7  # a number\nz = \"\"\n";
    let filled = filled_in(blank, &texts(&["[x]", "y = 1", "z = \"2\""]));
    assert_eq!(filled, "[w]\ny = \"\"  # never\n[x]\ny = 1\nz = \"2\"\n");
}
