//! Projects with texts of a test's own in every column and key that holds text, by the descriptions that
//! the program reads by.

// Each test target that includes it uses its own part of it.
#![allow(dead_code)]

use std::fs;
use std::path::Path;

use lastdock::records::characters::refused_in_name;
use lastdock::records::keyed::KeyedSpec;
use lastdock::records::spec::{Column, Holds};
use lastdock::records::{FILES, KEYED_FILES, history};

/// Columns and keys of text that can't hold any: names of files, of findings, of languages and of units, numbers with a
/// check digit, and what is about another file.
const BOUND: &[(&str, &str)] = &[
    ("papers/papers.csv", "file"),
    ("papers/papers.csv", "language"),
    ("remarks.toml", "finding"),
    ("remarks.toml", "language"),
    ("docking.toml", "imo_number"),
    ("docking.toml", "unit"),
    ("docking.toml", "imo_number"),
    ("history/dockings.csv", "bundle"),
    ("history/dockings.csv", "seal"),
    ("history/dockings.csv", "damage"),
];

/// A column of notes that every file is given.
pub const NOTE: &str = "note_of_ours";

/// A text and where it was put.
#[derive(Debug)]
pub struct Put {
    /// The file.
    pub file: &'static str,
    /// The table of a TOML file.
    pub table: String,
    /// The row of the file, or which of those tables, from 0.
    pub row: usize,
    /// The column or key.
    pub column: &'static str,
    /// The text.
    pub text: String,
}

/// The example of every file as one project in a folder.
pub fn example(root: &Path) {
    let earlier = history::EXAMPLE.iter().copied();
    let files = FILES.iter().map(|spec| (spec.path, spec.example)).chain(earlier);
    for (path, text) in files.chain(KEYED_FILES.iter().map(|spec| (spec.path, spec.example))) {
        let place = root.join(path);
        fs::create_dir_all(place.parent().expect("a folder")).expect("to make it");
        fs::write(place, text).expect("to write it");
    }
}

/// What a typesetter might take for its own language, or stumble over.
pub fn texts() -> Vec<String> {
    let short = [
        "#read(\"/etc/passwd\")",
        "#panic(\"no\") #pagebreak() #{ let x = 1 }",
        "$ x^2 $ and $",
        "] ) } [ ( {",
        "*strong* _emphasis_ `raw` ```typ #x```",
        "\\ \\u{41} \\\\ \\n",
        "@label <label> @",
        "= heading",
        "- item",
        "+ item",
        "/ term: meaning",
        "// comment /* to the end",
        "~ -- --- ... ' \" '' \"\"",
        "https://example.org/a_(b)?c=[d]#e",
        "&amp; <b>bold</b> &#0; ]]> <!-- %PDF-1.7 endobj",
        "one\r\ntwo\rthree\n\n\nfour\tfive",
        "\u{05e9}\u{05dc}\u{05d5}\u{05dd} \u{0645}\u{0631}\u{062d}\u{0628}\u{0627}",
        "turned \u{202e}abc\u{202c} \u{2066}def\u{2069}",
        "ship \u{1F6A2} family \u{1F468}\u{200D}\u{1F469}\u{200D}\u{1F467} flag \u{1F1EB}\u{1F1EE}",
        "private \u{E000} \u{F8FF} \u{10FFFD}",
        "none \u{FFFE} \u{FFFF} \u{FDD0} \u{10FFFF} \u{FEFF} \u{FFFD}",
        "\u{9501}\u{8239} \u{0e01}\u{0e33} \u{0915}\u{094d}\u{0937} \u{10330} \u{fb01}",
        "\u{a0}\u{ad}soft\u{200b}zero\u{2060}",
    ];
    let long = [
        "x".repeat(5000),
        format!("e{}", "\u{301}".repeat(100)),
        "\u{5d0}".repeat(400),
        "word ".repeat(600),
        "=very/long/path/without/a/space".repeat(60),
    ];
    short.iter().map(ToString::to_string).chain(long).collect()
}

/// Fills a project's files with texts, each in its turn, in the first `rows` rows of each file, and says where
/// each was put.
pub fn fill(root: &Path, texts: &[String], rows: usize) -> Vec<Put> {
    let most = rows;
    let mut turn = texts.iter().cycle();
    let mut next = |column: Option<&Column>| {
        let is_name = column.is_some_and(|column| column.holds == Holds::Called);
        let fits = |text: &&String| !is_name || refused_in_name(text).is_none();
        turn.find(fits).expect("a text").clone()
    };
    let mut put = Vec::new();
    for spec in FILES {
        let path = root.join(spec.path);
        if !path.is_file() {
            continue;
        }
        let mut rows = read(&path);
        let columns = spec.columns.iter().filter(|column| takes_text(spec.path, column));
        let named = columns.map(|column| (column.name, Some(column))).chain([(NOTE, None)]);
        for (column, described) in named.filter(|(name, _)| !BOUND.contains(&(spec.path, name))) {
            let at = rows[0].iter().position(|head| head == column).unwrap_or(rows[0].len());
            if at == rows[0].len() {
                rows[0].push(column.to_string());
            }
            for (row, cells) in rows.iter_mut().skip(1).enumerate() {
                cells.resize(at.max(cells.len() - 1) + 1, String::new());
                if row >= most {
                    continue;
                }
                let text = next(described);
                cells[at].clone_from(&text);
                put.push(Put { file: spec.path, table: String::new(), row, column, text });
            }
        }
        write(&path, &rows);
    }
    for spec in KEYED_FILES {
        let path = root.join(spec.path);
        let Ok(text) = fs::read_to_string(&path) else { continue };
        let mut document: toml::Table = text.parse().expect("TOML");
        fill_keys(spec, &mut document, &mut next, &mut put);
        fs::write(path, toml::to_string(&document).expect("TOML")).expect("to write it");
    }
    put
}

fn takes_text(file: &str, column: &Column) -> bool {
    matches!(column.holds, Holds::Text | Holds::Called) && !BOUND.contains(&(file, column.name))
}

fn fill_keys(
    spec: &KeyedSpec,
    document: &mut toml::Table,
    next: &mut impl FnMut(Option<&Column>) -> String,
    put: &mut Vec<Put>,
) {
    for table in spec.tables {
        let entries: Vec<&mut toml::Table> = match document.get_mut(table.name) {
            Some(toml::Value::Table(one)) if one.values().all(toml::Value::is_table) => {
                one.iter_mut().filter_map(|(_, value)| value.as_table_mut()).collect()
            }
            Some(toml::Value::Table(one)) => vec![one],
            Some(toml::Value::Array(all)) => {
                all.iter_mut().filter_map(toml::Value::as_table_mut).collect()
            }
            _ => continue,
        };
        for (row, entry) in entries.into_iter().enumerate() {
            for key in table.keys.iter().filter(|key| takes_text(spec.path, key)) {
                let text = next(Some(key));
                entry.insert(key.name.to_string(), text.clone().into());
                let (file, table) = (spec.path, table.name.to_string());
                put.push(Put { file, table, row, column: key.name, text });
            }
        }
    }
}

/// The rows of a CSV file.
pub fn read(path: &Path) -> Vec<Vec<String>> {
    let reader = csv::ReaderBuilder::new().has_headers(false).from_path(path);
    let rows = reader.unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let row = |row: Result<csv::StringRecord, csv::Error>| {
        row.expect("a row").iter().map(String::from).collect()
    };
    rows.into_records().map(row).collect()
}

/// Writes the rows of a CSV file.
pub fn write(path: &Path, rows: &[Vec<String>]) {
    let mut out = csv::Writer::from_path(path).expect("to write it");
    rows.iter().for_each(|row| out.write_record(row).expect("a row"));
    out.flush().expect("to write it");
}
