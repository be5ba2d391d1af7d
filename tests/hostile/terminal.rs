//! Orders to a terminal in whatever somebody can name or write: every command runs on a terminal (`script` of
//! util-linux gives it one) over projects and bundles whose texts hold them, and what reaches the terminal is
//! text, line ends, and the program's own bold and colours.

use std::ffi::{OsStr, OsString};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use lastdock::records::spec::{Column, Holds};
use lastdock::records::{FILES, KEYED_FILES};
use toml::{Table, Value};

use super::made::{End, Entry, zip};
use crate::common::{
    Project, Said, copy, files, list_anew, list_tags_anew, run, temporary, unpacked_copy,
};

/// A title for the window, blinking (which the program never asks for), the same with one character for ESC
/// and `[`, a bell, a line that goes back to its beginning, text that is turned round, and text that is not seen.
const ORDERS: &str =
    "Q\u{1b}]0;owned\u{7}\u{1b}[5m\u{9b}5m\u{8}\r\u{7f}\u{85}\u{202e}\u{2066}\u{202b}\u{2028}Q";

/// The same of what may stand in a text.
const TURNED: &str = "Q\u{202e}\u{2066}\u{202b}\u{2069}\u{202c}Q";

/// The same of what a file system takes in a name.
const IN_NAMES: &str = "Q\u{1b}]0;owned\u{7}\u{1b}[5m\u{9b}5m\r\u{202e}\u{2066}Q";

/// Runs the program on a terminal of 80 columns; what it said there, on both streams, and its status.
pub fn on_a_terminal<S: AsRef<OsStr>>(arguments: &[S]) -> Said {
    let quoted = |word: &OsStr| {
        format!("'{}'", word.to_str().expect("an argument in UTF-8").replace('\'', "'\\''"))
    };
    let words: Vec<String> = arguments.iter().map(|word| quoted(word.as_ref())).collect();
    let line = format!(
        "stty cols 80 rows 24; exec '{}' {}",
        env!("CARGO_BIN_EXE_lastdock"),
        words.join(" ")
    );
    let mut command = Command::new("script");
    command.args(["--quiet", "--return", "--echo", "never", "--command"]).arg(&line);
    command.arg("/dev/null").stdin(std::process::Stdio::null());
    command.env("SHELL", "/bin/sh").env("TERM", "xterm-256color");
    command.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").env_remove("CLICOLOR");
    let said = run(&mut command);
    assert_eq!(said.err, "", "{line:?}");
    said
}

/// Takes off what the program's own styles are: nothing, bold, underlined, or one of eight colours.
fn without_own_styles(said: &str) -> String {
    let mut out = String::new();
    let mut parts = said.split('\u{1b}');
    out.push_str(parts.next().unwrap_or_default());
    for part in parts {
        let own =
            part.strip_prefix('[').and_then(|rest| rest.split_once('m')).filter(|(codes, _)| {
                let own = ["0", "1", "4", "30", "31", "32", "33", "34", "35", "36", "37"];
                codes.split(';').all(|code| own.contains(&code))
            });
        match own {
            Some((_, rest)) => out.push_str(rest),
            None => {
                out.push('\u{1b}');
                out.push_str(part);
            }
        }
    }
    out
}

/// What in a text is an order to a terminal, or turns its line round.
fn orders(said: &str) -> Vec<char> {
    let said = said.replace("\r\n", "\n");
    let turns = |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}');
    let is_order = |c: &char| (c.is_control() && !matches!(c, '\n' | '\t')) || turns(*c);
    without_own_styles(&said).chars().filter(is_order).collect()
}

#[track_caller]
fn only_text<S: AsRef<OsStr>>(arguments: &[S]) -> Said {
    let said = on_a_terminal(arguments);
    let line: Vec<&OsStr> = arguments.iter().map(AsRef::as_ref).collect();
    let found = orders(&said.out);
    assert!(found.is_empty(), "{line:?} gives the terminal {found:?}:\n{:?}", said.out);
    assert!((0..=3).contains(&said.status), "{line:?}: status {}\n{}", said.status, said.out);
    assert!(!said.out.contains("panicked"), "{line:?}: {}", said.out);
    if line.iter().any(|word| *word == "--json") && said.status != 2 {
        // Notes beside it stand on the same terminal, above it.
        let begins = |line: &&str| line.starts_with(['{', '[']);
        let lines = said.out.lines().collect::<Vec<_>>();
        let from = lines.iter().position(begins).unwrap_or(0);
        let json: Result<serde_json::Value, _> = serde_json::from_str(&lines[from..].join("\n"));
        assert!(json.is_ok(), "{line:?}: {:?}\n{}", json.err(), said.out);
    }
    said
}

/// A file of rows with orders behind the cells that are wanted.
fn with_orders_in_cells(bytes: &[u8], orders: &str, wanted: &dyn Fn(&str) -> bool) -> Vec<u8> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(bytes);
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    let header = rows[0].clone();
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    for (number, row) in rows.iter().enumerate() {
        let cells = row.iter().zip(header.iter()).map(|(cell, head)| {
            let full = number > 0 && !cell.is_empty() && wanted(head);
            if full { format!("{cell}{orders}") } else { cell.to_string() }
        });
        writer.write_record(cells).expect("a row");
    }
    writer.into_inner().expect("the rows")
}

/// A table with orders behind the texts under the keys that are wanted.
fn with_orders_in_keys(table: &mut Table, orders: &str, wanted: &dyn Fn(&str, &str) -> bool) {
    fn text(value: &mut Value, orders: &str) {
        match value {
            Value::String(text) => text.push_str(orders),
            Value::Array(items) => items.iter_mut().for_each(|item| text(item, orders)),
            _ => {}
        }
    }
    fn within(name: &str, value: &mut Value, orders: &str, wanted: &dyn Fn(&str, &str) -> bool) {
        match value {
            Value::Table(table) => {
                for (key, value) in table.iter_mut() {
                    match value {
                        Value::Table(_) => within(key, value, orders, wanted),
                        Value::Array(items) if items.iter().any(Value::is_table) => {
                            items.iter_mut().for_each(|item| within(key, item, orders, wanted));
                        }
                        value if wanted(name, key) => text(value, orders),
                        _ => {}
                    }
                }
            }
            other => text(other, orders),
        }
    }
    let mut whole = Value::Table(std::mem::take(table));
    within("", &mut whole, orders, wanted);
    if let Value::Table(whole) = whole {
        *table = whole;
    }
}

fn is_text(column: &Column) -> bool {
    matches!(column.holds, Holds::Text | Holds::Texts)
}

/// Puts orders behind the texts of a project's records: behind all of them, or of those alone in which a person
/// writes freely.
fn with_orders(root: &Path, orders: &str, everywhere: bool) {
    for spec in FILES {
        let path = root.join(spec.path);
        let Ok(bytes) = fs::read(&path) else { continue };
        let wanted = |head: &str| {
            let free = |column: &&Column| column.name == head && is_text(column);
            everywhere || head.starts_with("note") || spec.columns.iter().any(|c| free(&c))
        };
        fs::write(&path, with_orders_in_cells(&bytes, orders, &wanted)).expect("to write");
    }
    for spec in KEYED_FILES {
        let path = root.join(spec.path);
        let Ok(text) = fs::read_to_string(&path) else { continue };
        let mut table: Table = toml::from_str(&text).expect("a table");
        let wanted = |name: &str, key: &str| {
            let tables = spec.tables.iter().filter(|table| table.name == name);
            let named = |column: &Column| column.name == key && is_text(column);
            everywhere || tables.flat_map(|table| table.keys).any(named)
        };
        with_orders_in_keys(&mut table, orders, &wanted);
        // The writer of TOML leaves some of them raw, which TOML takes in no text.
        let text: String = toml::to_string(&table)
            .expect("TOML")
            .chars()
            .map(|c| match c {
                '\n' => "\n".to_string(),
                c if c.is_control() => format!("\\u{:04X}", u32::from(c)),
                c => c.to_string(),
            })
            .collect();
        fs::write(&path, text).expect("to write");
    }
}

/// Every command that takes a project.
fn over_a_project(root: &Path, older: &Path) {
    let room = temporary();
    let out = |name: &str| room.path().join(format!("{name}{IN_NAMES}")).into_os_string();
    let word = |text: &str| OsString::from(text);
    let root = root.as_os_str();
    let line = |words: &[&str]| -> Vec<OsString> {
        let rest = words.iter().skip(1).map(|text| word(text));
        std::iter::once(words[0].into()).chain([root.into()]).chain(rest).collect()
    };
    let mut lines: Vec<Vec<OsString>> = vec![
        line(&["check"]),
        line(&["check", "--all"]),
        line(&["check", "--json"]),
        line(&["answers", "--dry-run"]),
        line(&["answers", "--dry-run", "--json"]),
        line(&["answers", ORDERS]),
        line(&["shifts"]),
        line(&["shifts", "--json"]),
        line(&["shifts", "--before", ORDERS, "--leave-out", ORDERS]),
    ];
    for stage in ["before-landing", "before-flooding", "before-closing"] {
        lines.push(line(&["check", "--stage", stage]));
        lines.push(line(&["check", "--stage", stage, "--json"]));
    }
    let with = |mut line: Vec<OsString>, more: Vec<OsString>| {
        line.extend(more);
        line
    };
    lines.push(with(line(&["shifts", "--past"]), vec![older.into()]));
    lines.push(vec![word("compare"), older.into(), root.into()]);
    lines.push(vec![word("compare"), older.into(), root.into(), word("--json")]);
    lines.push(with(line(&["forms", "--out"]), vec![out("forms")]));
    lines.push(with(line(&["forms", "--json", "--out"]), vec![out("forms")]));
    lines.push(with(line(&["closeout", "--out"]), vec![out("closed")]));
    lines.push(with(line(&["closeout", "--json", "--out"]), vec![out("closed")]));
    lines.push(with(line(&["closeout", "--replace", "--out"]), vec![out("closed")]));
    for line in &lines {
        only_text(line);
    }
    // It leaves blanks in remarks.toml, and so comes last.
    only_text(&line(&["answers"]));
    only_text(&line(&["answers", "--json"]));
}

/// Every command that takes a bundle.
fn over_a_bundle(bundle: &Path, older: &Path) {
    let room = temporary();
    let out = |name: &str| room.path().join(format!("{name}{IN_NAMES}")).into_os_string();
    let word = |text: &str| OsString::from(text);
    let bundle = bundle.as_os_str();
    let lines: Vec<Vec<OsString>> = vec![
        vec![word("verify"), bundle.into()],
        vec![word("verify"), bundle.into(), word("--json")],
        vec![word("mend"), bundle.into(), word("--out"), out("m"), word("--salvage-to"), out("s")],
        vec![
            word("mend"),
            bundle.into(),
            word("--json"),
            word("--out"),
            out("m2"),
            word("--salvage-to"),
            out("s2"),
        ],
        vec![word("start"), out("next"), word("--from"), bundle.into()],
        vec![word("start"), out("any"), word("--from"), bundle.into(), word("--accept-damaged")],
        vec![
            word("start"),
            out("third"),
            word("--from"),
            bundle.into(),
            word("--accept-damaged"),
            word("--json"),
        ],
        vec![word("check"), out("any")],
        vec![word("compare"), older.into(), bundle.into(), word("--out"), out("c.pdf")],
        vec![word("compare"), older.into(), bundle.into(), word("--json")],
        vec![word("shifts"), bundle.into()],
        vec![word("shifts"), bundle.into(), word("--json")],
        vec![word("check"), bundle.into()],
        vec![word("closeout"), bundle.into(), word("--json")],
    ];
    for line in &lines {
        only_text(line);
    }
}

/// The bundle of the docking before.
fn older() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/handover/calder-wren-2006.zip")
}

#[test]
fn command_line_errors_reach_a_terminal_as_text() {
    let plain = |words: &[&str]| only_text(words);
    for words in [
        &["help"][..],
        &["--help"],
        &["--version"],
        &["help", "verify"],
        &["check", "--help"],
        &["terms"],
        &["terms", "--json"],
        &["terms", "docking", "position"],
        &["manual"],
        &["completions", "bash"],
        &["completions", "zsh"],
        &["completions", "fish"],
        &["help", ORDERS],
        &[ORDERS],
        &["check", ORDERS],
        &["check", ORDERS, "--json"],
        &["check", "--stage", ORDERS],
        &[&format!("--{ORDERS}")],
        &["check", &format!("--{ORDERS}=x")],
        &["--jobs", ORDERS, "check"],
        &["terms", ORDERS],
        &["terms", ORDERS, "--json"],
        &["completions", ORDERS],
        &["shifts", "x", "--reach", ORDERS],
        &["shifts", ORDERS],
        &["verify", ORDERS],
        &["verify", ORDERS, "--json"],
        &["verify", "x", "--seal", ORDERS],
        &["verify", "x", "y", "--seal", &"0".repeat(64)],
        &["mend", ORDERS],
        &["mend", ORDERS, "--json"],
        &["compare", ORDERS, ORDERS],
        &["forms", ORDERS],
        &["closeout", ORDERS],
        &["closeout", ORDERS, "--repair-percent", ORDERS],
        &["answers", ORDERS],
        &["start", "/", "--from", ORDERS],
        &["start", &format!("/none/{ORDERS}")],
        &["start", "x", ORDERS],
    ] {
        plain(words);
    }
    let help = plain(&["--help"]);
    assert!(help.out.contains("\u{1b}["), "no styles, so it was no terminal: {:?}", help.out);
}

#[test]
#[ignore = "slow: .ci/run runs it"]
fn control_sequences_in_a_project_reach_a_terminal_as_text() {
    let (project, room) = (Project::copied(), temporary());
    with_orders(&project.root(), ORDERS, true);
    over_a_project(&project.root(), &older());
    // Its folder and a file in it may have such names, too.
    let named = room.path().join(format!("project{IN_NAMES}"));
    copy(&crate::common::sample(), &named);
    fs::write(named.join(format!("papers/a{IN_NAMES}.txt")), "a\n").expect("a paper");
    over_a_project(&named, &older());
}

#[test]
#[ignore = "slow: .ci/run runs it"]
fn controls_of_text_direction_stay_in_their_place() {
    let project = Project::copied();
    with_orders(&project.root(), TURNED, false);
    over_a_project(&project.root(), &older());
}

#[test]
#[ignore = "slow: .ci/run runs it"]
fn control_sequences_in_a_bundle_reach_a_terminal_as_text() {
    for everywhere in [false, true] {
        let (keep, bag) = unpacked_copy();
        with_orders(&bag.join("data/records"), ORDERS, everywhere);
        let findings = bag.join("data/findings.json");
        let text = fs::read_to_string(&findings).expect("the findings");
        let quoted = serde_json::to_string(ORDERS).expect("JSON");
        let text = text.replace(
            "\"sentence\": \"",
            &format!("\"sentence\": \"{}", &quoted[1..quoted.len() - 1]),
        );
        fs::write(&findings, text).expect("to write");
        list_anew(&bag);
        over_a_bundle(&bag, &older());
        let info = fs::read_to_string(bag.join("bag-info.txt")).expect("the metadata");
        fs::write(bag.join("bag-info.txt"), info.replace(": ", &format!(": {TURNED}\u{1b}[5m")))
            .expect("to write");
        list_tags_anew(&bag);
        over_a_bundle(&bag, &older());
        // As a zip whose name holds them, with files in it whose names do.
        let name = bag.file_name().expect("a name").to_string_lossy().into_owned();
        let mut entries: Vec<Entry> = files(&bag)
            .into_iter()
            .map(|(path, bytes)| Entry::stored(format!("{name}/{path}"), bytes))
            .collect();
        entries.push(Entry::stored(format!("{name}/data/papers/{ORDERS}.txt"), *b"a"));
        entries[0].local.name = format!("{name}/data/papers/{ORDERS}").into_bytes();
        let at = keep.path().join(format!("bundle{IN_NAMES}.zip"));
        fs::write(&at, zip(&entries, &End::default())).expect("a zip");
        fs::write(at.with_extension("vol0+1.par2"), ORDERS).expect("a recovery file");
        over_a_bundle(&at, &older());
    }
}

/// Before names were held to be names, such bundles were written: they are proved and read for ever, and the next
/// project gets no such name.
#[test]
fn an_old_bundle_with_such_names_is_sound_and_they_are_not_carried_on() {
    let (_keep, bag) = super::zips::unpacked();
    let docking = bag.join("data/records/docking.toml");
    let text = fs::read_to_string(&docking).expect("the record");
    let mut table: Table = toml::from_str(&text).expect("TOML");
    let name = format!("{} {IN_NAMES}", table["ship"]["name"].as_str().expect("a name"));
    table["ship"]["name"] = name.clone().into();
    let findings = bag.join("data/findings.json");
    let told = fs::read_to_string(&findings).expect("the findings");
    let quoted = serde_json::to_string(&name).expect("JSON");
    fs::write(&findings, told.replace("\"Thistle Quill\"", &quoted)).expect("to write");
    fs::write(&docking, toml::to_string(&table).expect("TOML")).expect("to write");
    let openings = bag.join("data/records/plan/openings.csv");
    let bytes = fs::read(&openings).expect("the record");
    let noted = |head: &str| head.starts_with("note") || head == "state";
    fs::write(&openings, with_orders_in_cells(&bytes, "\u{1b}[5m", &noted)).expect("to write");
    list_anew(&bag);
    let said = crate::common::verify(&bag).exits(0);
    assert!(!said.out.contains("disagrees"), "{}", said.out);
    let next = bag.with_file_name("next");
    let start = || run(crate::common::program().arg("start").arg(&next).arg("--from").arg(&bag));
    let said = start().exits(0);
    assert!(said.squeezed().contains("leftout:[ship]nameindocking.toml"), "{}", said.out);
    for (path, bytes) in files(&next) {
        let text = String::from_utf8_lossy(&bytes);
        let records = path.ends_with(".csv") || path.ends_with(".toml") || path.ends_with(".txt");
        if records && !path.starts_with("history/thistle") {
            let found = text.chars().find(|c| orders(&c.to_string()).contains(c) && *c != '\r');
            assert_eq!(found, None, "{path}");
        }
    }
    let readme = fs::read_to_string(next.join("README.txt")).expect("what to read");
    assert!(readme.contains("Left out: [ship] name in docking.toml"), "{readme}");
    let said = run(crate::common::program().arg("check").arg("--json").arg(&next)).exits(1);
    let told = said.json();
    let problems = told["problems"].as_array().expect("problems");
    assert!(problems.iter().all(|one| one["wrong"] == "is empty"), "{problems:#?}");
    assert!(problems.iter().any(|one| one["name"] == "name"), "{problems:#?}");
    fs::remove_dir_all(&next).expect("to take it away");
    let data =
        run(crate::common::program().args(["start", "--json"]).arg(&next).arg("--from").arg(&bag));
    assert_eq!(data.json()["left_out"], serde_json::json!(["[ship] name in docking.toml"]));
}
