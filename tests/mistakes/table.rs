//! The table: for every mistake what is done to the sample project, and exactly what is said of it.
//!
//! A row of the table begins with `## ` and the mistake in words. Then each line is a change: `cell FILE ROW
//! COLUMN: NEW`, `edit FILE: OLD => NEW` of what stands there once, `all FILE: OLD => NEW`, `append FILE: TEXT`, `write FILE: TEXT`, `remove FILE`, `move FILE
//! => FILE`; `\n` stands for the end of a line and `\xE9` for that byte. What stands below `--` is said, of a
//! project whose other files are the sample's.

use std::fs;

use super::problems_shown;
use crate::common::{Project, expected};

/// The table's files: mistakes in headers, in rows, in TOML files, in files as a whole, in the coating's
/// records, and in several places at once.
const FILES: [&str; 6] = [
    "tests/mistakes/table/headers.txt",
    "tests/mistakes/table/rows.txt",
    "tests/mistakes/table/toml.txt",
    "tests/mistakes/table/files.txt",
    "tests/mistakes/table/coating.txt",
    "tests/mistakes/table/several.txt",
];

/// A row of the table.
pub struct Mistake {
    /// The mistake in words.
    pub what: String,
    /// What is done to the project.
    pub changes: Vec<String>,
    /// What is said.
    pub says: String,
}

/// The rows of one of the table's files.
pub fn rows(file: &str) -> Vec<Mistake> {
    let text = expected::read(file);
    let rows = text.split("## ").skip(1);
    rows.map(|row| {
        let (head, says) = row.split_once("\n--\n").expect("what is said");
        let mut lines = head.lines().map(String::from);
        let what = lines.next().expect("a mistake");
        Mistake { what, changes: lines.collect(), says: says.trim_end_matches('\n').to_string() }
    })
    .collect()
}

impl Mistake {
    /// Makes it.
    pub fn make(&self, project: &Project) {
        self.changes.iter().for_each(|change| make(project, change));
    }
}

/// Makes one change.
pub fn make(project: &Project, change: &str) {
    let (word, rest) = change.split_once(' ').expect("a word and what it is done to");
    let (at, new) = rest.split_once(": ").unwrap_or((rest.trim_end_matches(':'), ""));
    match word {
        "cell" => match at.splitn(3, ' ').collect::<Vec<_>>()[..] {
            [file, row, column] => project.edit_cell(file, row, column, &text(new)),
            _ => panic!("{change}: a file, a row and a column"),
        },
        "edit" => {
            let (old, new) = new.split_once(" =>").expect("what stands there and what is to");
            project.edit(at, &text(old), &text(new.strip_prefix(' ').unwrap_or(new)));
        }
        "all" => {
            let (old, new) = new.split_once(" =>").expect("what stands there and what is to");
            let (old, new) = (text(old), text(new.strip_prefix(' ').unwrap_or(new)));
            let before = project.text(at);
            assert!(before.contains(&old), "{old:?} must stand in {at}");
            project.write(at, before.replace(&old, &new));
        }
        "append" => project.append(at, &text(new)),
        "write" => {
            fs::create_dir_all(project.path(at).parent().expect("a folder")).expect("a folder");
            project.write(at, bytes(new));
        }
        "remove" => project.remove(at),
        "move" => {
            let (from, to) = rest.split_once(" => ").expect("from and to");
            fs::rename(project.path(from), project.path(to)).expect("to rename");
        }
        _ => panic!("{change}: no change that is known"),
    }
}

fn text(written: &str) -> String {
    written.replace("\\n", "\n")
}

fn bytes(written: &str) -> Vec<u8> {
    let text = text(written);
    let mut parts = text.split("\\x");
    let mut bytes = parts.next().unwrap_or_default().as_bytes().to_vec();
    for part in parts {
        bytes.push(u8::from_str_radix(&part[..2], 16).expect("a byte"));
        bytes.extend(part[2..].bytes());
    }
    bytes
}

#[test]
fn each_mistake_gets_the_message_in_the_table() {
    let (mut count, mut wrong) = (0, String::new());
    for file in FILES {
        let rows = rows(file);
        count += rows.len();
        let said = rows.iter().map(|mistake| {
            let project = Project::copied();
            mistake.make(&project);
            let said = problems_shown(&project);
            let said = said.replace(&project.root().display().to_string(), "PROJECT");
            let changes = mistake.changes.join("\n");
            format!("## {}\n{changes}\n--\n{}\n", mistake.what, said.trim_end_matches('\n'))
        });
        let said = said.collect::<Vec<_>>().join("\n");
        wrong.extend(expected::hold(file, &said).err());
    }
    assert!(wrong.is_empty(), "{wrong}");
    assert!(count >= 50, "{count}");
}

#[test]
fn every_row_of_the_table_says_where_what_was_expected_and_what_to_do() {
    for mistake in FILES.into_iter().flat_map(rows) {
        let things = mistake.says.matches("\n      do: ").count();
        let expected = mistake.says.matches("\n      expected: ").count();
        assert_eq!(things, expected, "{}", mistake.what);
        let count = match things {
            1 => "\n1 problem to fix".to_string(),
            n => format!("\n{n} problems to fix"),
        };
        let (_, end) = mistake.says.rsplit_once(&count).expect("a count");
        assert!(expected > 0 && end.contains("; nothing was written."), "{}", mistake.what);
    }
}
