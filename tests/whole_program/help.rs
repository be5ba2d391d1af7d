//! Help, manual pages, completions and words.

use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use lastdock::records::grammar::grades;
use lastdock::records::spec::{Column, Holds};
use lastdock::records::{FILES, KEYED_FILES};
use lastdock::words::{GROUPS, cautions};

use crate::common::{Said, in_ci, lastdock, not_tried, program, run, squeezed, temporary};

/// The width that help is looked at in.
const COLUMNS: usize = 80;

/// Every command, as the help names them.
fn commands() -> Vec<String> {
    let said = help(&["--help"]);
    let listed = said.out.split("Commands:\n").nth(1).expect("a list of commands");
    let listed = listed.split("\n\n").next().expect("its end");
    let names = listed.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let names: Vec<String> =
        names.filter_map(|line| line.split_whitespace().next()).map(String::from).collect();
    assert!(names.len() > 8, "{names:?}");
    names.into_iter().filter(|name| name != "help").collect()
}

fn help(arguments: &[&str]) -> Said {
    run(program().args(arguments).env("COLUMNS", COLUMNS.to_string())).exits(0)
}

/// Runs a program on a text; `None` if this machine has no such program.
fn on(text: &str, name: &str, arguments: &[&str]) -> Option<Said> {
    let mut command = Command::new(name);
    command.args(arguments).env("LC_ALL", "C.UTF-8").env("MANWIDTH", COLUMNS.to_string());
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = match command.spawn() {
        Ok(child) => child,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            not_tried(&format!("{name} is not here"));
            return None;
        }
        Err(error) => panic!("{name}: {error}"),
    };
    child.stdin.take().expect("its input").write_all(text.as_bytes()).expect("to write to it");
    let output = child.wait_with_output().expect("its end");
    Some(Said {
        status: output.status.code().expect("an exit status"),
        out: String::from_utf8_lossy(&output.stdout).into_owned(),
        err: String::from_utf8_lossy(&output.stderr).into_owned(),
    })
}

#[test]
fn every_help_fits_80_columns_with_an_example_on_a_line_and_the_statuses() {
    for command in commands() {
        let said = help(&[&command, "--help"]);
        let example = format!("Example: lastdock {command} ");
        let lines: Vec<&str> = said.out.lines().collect();
        let at = lines.iter().position(|line| line.starts_with(&example));
        let at = at.unwrap_or_else(|| panic!("no example\n{}", said.out));
        assert!(lines[at + 1].is_empty(), "the example of {command} is broken over lines");
        assert!(said.out.contains("\nExit status:\n  0  all is well\n"), "{}", said.out);
        assert!(said.squeezed().ends_with(&squeezed(cautions::SHORT)), "{command}: {}", said.out);
        for line in lines {
            assert!(line.chars().count() <= COLUMNS, "{command}: {line}");
        }
    }
}

#[test]
fn the_manual_holds_every_command_and_the_man_macros_do_not_complain() {
    let page = lastdock(["manual"]).exits(0).out;
    for command in commands() {
        assert!(page.contains(&format!("\n.SS {command}\n")), "{command}");
    }
    if let Some(said) = on(&page, "groff", &["-man", "-ww", "-z", "-Tutf8"]) {
        assert!(said.status == 0 && said.err.is_empty(), "{}", said.err);
    }
    if let Some(said) = on(&page, "mandoc", &["-T", "lint", "-W", "error"]) {
        said.exits(0);
    }
    if let Some(said) = on(&page, "man", &["-P", "cat", "-l", "-"]) {
        let said = said.exits(0);
        assert!(said.out.contains("EXIT STATUS"), "{}", said.out);
        assert!(said.squeezed().contains("Itisnotapprovaltodockaship"), "{}", said.out);
    }
}

#[test]
fn a_page_of_each_command_is_written_and_written_again() {
    let folder = temporary();
    let out = folder.path().join("man/man1");
    let write = || run(program().args(["manual", "--out"]).arg(&out)).exits(0).out;
    let said = write();
    let named: BTreeSet<&Path> = said.lines().map(Path::new).collect();
    assert_eq!(named.len(), commands().len() + 1, "{said}");
    for command in commands() {
        let path = out.join(format!("lastdock-{command}.1"));
        assert!(named.contains(path.as_path()), "{said}");
        let page = fs::read_to_string(&path).expect("the page");
        let title = format!(".TH lastdock-{command} 1 \"\" \"{}\" ", lastdock::PROGRAM);
        assert!(page.contains(&title), "{page}");
        assert!(page.contains(".SH SYNOPSIS\n\\fBlastdock "), "{page}");
        if let Some(said) = on(&page, "groff", &["-man", "-ww", "-z", "-Tutf8"]) {
            assert!(said.status == 0 && said.err.is_empty(), "{command}: {}", said.err);
        }
    }
    let stale = out.join("lastdock-check.1");
    let page = fs::read_to_string(&stale).expect("the page");
    fs::write(&stale, "of an older version").expect("to write it");
    write();
    assert_eq!(fs::read_to_string(&stale).expect("the page"), page);
}

#[test]
fn pages_that_cant_be_written_are_reported() {
    let folder = temporary();
    let file = folder.path().join("file");
    fs::write(&file, "not a folder").expect("to write it");
    let said = run(program().args(["manual", "--out"]).arg(file.join("man1"))).exits(1);
    assert!(said.out.is_empty() && said.err.contains("man1"), "{}", said.err);
}

#[test]
fn completions_name_every_command_and_the_shells_take_them() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = lastdock(["completions", shell]).exits(0).out;
        for command in commands() {
            assert!(script.contains(&command), "{shell} does not know {command}");
        }
        if !["elvish", "powershell"].contains(&shell)
            && let Some(said) = on(&script, shell, &["-n"])
        {
            let said = said.exits(0);
            assert!(said.err.is_empty(), "{}", said.err);
        }
    }
    lastdock(["completions", "csh"]).exits(2);
}

/// What bash itself offers once it has read the script.
#[test]
fn bash_completes_a_command() {
    let script = lastdock(["completions", "bash"]).exits(0).out;
    let asked = "COMP_WORDS=(lastdock clo); COMP_CWORD=1; _lastdock lastdock clo lastdock; \
                 echo \"${COMPREPLY[*]}\"";
    if let Some(said) = on(&format!("{script}\n{asked}\n"), "bash", &["--norc"]) {
        assert_eq!(said.exits(0).out, "closeout\n");
    }
}

#[test]
fn words_are_explained_one_by_one_or_all() {
    let said = lastdock(["terms", "docking", "position"]).exits(0);
    assert!(said.out.contains("where a ship lies on the blocks"), "{}", said.out);
    assert_eq!(lastdock(["terms", "Fleeting"]).exits(0).out, lastdock(["terms", "shift"]).out);
    let all = lastdock(["terms"]).exits(0).out;
    assert!(
        all.contains("Graving dock") && all.contains("Payload") && all.contains("Seal"),
        "{all}"
    );
    let data = lastdock(["terms", "NDFT", "--json"]).exits(0).json();
    assert_eq!(data[0]["word"], "Nominal dry film thickness");
    let said = lastdock(["terms", "knukle"]).exits(1);
    assert!(said.out.is_empty() && said.err.contains("did you mean knuckle?"), "{}", said.err);
    let said = lastdock(["terms", "paravane", "--json"]).exits(1);
    assert!(said.json()["errors"][0]["wrong"].is_string(), "{}", said.out);
}

/// Words that are ours or the trade's, wherever they are shown, come from one list.
#[test]
fn the_format_and_the_command_line_give_a_word_one_meaning() {
    let text = lastdock::bundle::format_text::text();
    let whole = squeezed(&text);
    for word in GROUPS.iter().flat_map(|group| group.words) {
        let entry = squeezed(&format!("{}{}", word.heading(), word.means));
        assert!(whole.contains(&entry), "{}", word.word);
    }
}

/// Every word that a column of a file takes, as the descriptions list them.
fn held_words() -> BTreeSet<&'static str> {
    let tables = KEYED_FILES.iter().flat_map(|file| std::iter::once(&file.top).chain(file.tables));
    let tables = tables.flat_map(|table| table.keys);
    let columns = FILES.iter().flat_map(|file| file.columns).chain(tables);
    let words = columns.flat_map(|column: &Column| match column.holds {
        Holds::Word(words) | Holds::Words(words) => words,
        Holds::Grade | Holds::Grades => grades::WORDS,
        _ => &[],
    });
    words.copied().collect()
}

#[test]
fn every_word_that_a_file_may_hold_is_explained() {
    let words = held_words();
    assert!(words.len() > 60 && words.contains("diver-contact"), "{words:?}");
    for word in words.into_iter().chain(["all", "exposed", "patches", "yes", "no", "none"]) {
        let said = lastdock(["terms", word]).exits(0);
        let mut heads = said.out.lines().filter(|line| !line.starts_with("   ")).map(str::trim);
        let its = |head: &str| {
            let head = head.to_lowercase();
            head == word || head.starts_with(&format!("{word} ("))
        };
        assert!(heads.any(its), "{word}: {}", said.out);
    }
}

/// An explanation of a word that no column takes any more would mislead.
#[test]
fn no_word_is_explained_that_no_file_holds() {
    let words = held_words();
    let group = GROUPS.iter().find(|group| group.title == lastdock::words::IN_CELLS).expect("it");
    for word in group.words.iter().map(|word| word.word) {
        assert!(words.contains(word) || ["all", "yes", "no", "none"].contains(&word), "{word}");
    }
}

/// A tool that is missing where CI runs must not let a test pass.
#[test]
fn ci_is_known_by_its_variable() {
    assert!(in_ci(Some("true")) && in_ci(Some("1")));
    assert!(!in_ci(None) && !in_ci(Some("")) && !in_ci(Some("false")));
}
