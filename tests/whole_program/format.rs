//! `format.txt` is true: its examples are a project that the program reads, and it names every column
//! and every file; and `findings.json` is what its schema says.

use std::fs;

use lastdock::bundle::format_text::{EXAMPLE_OF, FOLDED};
use lastdock::records::{FILES, KEYED_FILES, errata, history, supplement};

use crate::common::{closed, closeout, files, program, run, temporary, verify};

fn format_text() -> String {
    fs::read_to_string(closed().folder.join("data/format.txt")).expect("the format")
}

/// The examples by path, as a reader of the text would write them out.
fn examples(text: &str) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = Vec::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let Some(path) = line.strip_prefix(EXAMPLE_OF).and_then(|rest| rest.strip_suffix(':'))
        else {
            continue;
        };
        let mut example = String::new();
        let block = lines.by_ref().skip(1).take_while(|line| *line != "End of the example.");
        for line in block {
            let line = line.trim_start();
            match line.strip_suffix(FOLDED) {
                Some(part) => example.push_str(part),
                None => {
                    example.push_str(line);
                    example.push('\n');
                }
            }
        }
        found.push((path.to_string(), example));
    }
    found
}

#[test]
fn the_examples_are_a_project_that_is_read_closed_out_and_verified() {
    let examples = examples(&format_text());
    let known: Vec<&str> = KEYED_FILES
        .iter()
        .map(|spec| spec.path)
        .chain(FILES.iter().map(|spec| spec.path))
        .chain(history::EXAMPLE.iter().map(|(path, _)| *path))
        .collect();
    // Behind the project stands a supplement to it.
    let (project_examples, of_supplement) = examples.split_at(known.len());
    let paths = |examples: &[(String, String)]| -> Vec<String> {
        examples.iter().map(|(path, _)| path.clone()).collect()
    };
    assert_eq!(paths(project_examples), known);
    assert_eq!(paths(of_supplement), [supplement::SPEC.path, errata::SPEC.path]);
    let folder = temporary();
    let project = folder.path().join("project");
    for (path, text) in project_examples {
        let place = project.join(path);
        fs::create_dir_all(place.parent().expect("a folder")).expect("to make it");
        fs::write(place, text).expect("to write it");
    }
    let said = run(program().args(["check", "--json"]).arg(&project)).exits(0).json();
    assert_eq!(said["ship"], "Fenwhin");
    assert_eq!(said["counts"]["unanswered"], 0);
    assert!(
        said["counts"]["agrees"].as_u64().is_some_and(|agrees| agrees > 90),
        "{}",
        said["counts"]
    );
    let out = folder.path().join("out");
    closeout(&project, &out).exits(0);
    verify(&out.join("fenwhin-2031.zip")).exits(0);
}

#[test]
fn every_column_is_named_and_has_an_example() {
    let text = format_text();
    let all = FILES.iter().map(|spec| (spec.path, spec.example, spec.columns));
    for (path, example, columns) in all {
        let header = example.lines().next().expect("a header row");
        for column in columns {
            let called = |name: &str| {
                let base = lastdock::units::split_suffix(name).map_or(name, |(base, _)| base);
                column.is_called(name) || column.is_called(base)
            };
            let at = header.split(',').position(called);
            let at = at.unwrap_or_else(|| panic!("{path}: no example of {}", column.name));
            let mut csv = csv::Reader::from_reader(example.as_bytes());
            let filled = csv.records().any(|row| !row.expect("a row")[at].is_empty());
            assert!(filled, "{path}: {} has no example that is filled", column.name);
        }
    }
    for spec in KEYED_FILES {
        for table in spec.tables {
            for key in table.keys {
                assert!(
                    spec.example.lines().any(|line| line.starts_with(key.name)),
                    "{}: {}",
                    spec.path,
                    key.name
                );
            }
        }
    }
    for (path, meaning) in lastdock::bundle::layout::CONTENTS {
        assert!(text.contains(path), "{path}: {meaning}");
    }
    for formula in lastdock::calc::FORMULAS {
        assert!(text.contains(&format!("\n  {}: ", formula.name)), "{}", formula.name);
    }
}

#[test]
fn every_file_of_the_bundle_is_one_that_the_format_names_in_its_order() {
    let contents = lastdock::bundle::layout::CONTENTS;
    for (path, _) in files(&closed().folder) {
        let known = contents
            .iter()
            .any(|(start, _)| path == *start || (start.ends_with('/') && path.starts_with(start)));
        assert!(known, "{path}");
    }
}

fn json(name: &str) -> serde_json::Value {
    let bytes = fs::read(closed().folder.join("data").join(name)).expect("a file");
    serde_json::from_slice(&bytes).expect("JSON")
}

#[test]
fn every_member_of_the_schema_is_described() {
    fn walk(at: &str, value: &serde_json::Value, count: &mut usize) {
        if let Some(properties) = value.get("properties").and_then(|p| p.as_object()) {
            for (name, property) in properties {
                *count += 1;
                assert!(property["description"].is_string(), "{at}.{name}");
            }
        }
        match value {
            serde_json::Value::Object(members) => {
                members.iter().for_each(|(name, inner)| walk(name, inner, count))
            }
            serde_json::Value::Array(items) => {
                items.iter().for_each(|inner| walk(at, inner, count))
            }
            _ => {}
        }
    }
    let mut count = 0;
    walk("", &json("findings.schema.json"), &mut count);
    assert!(count > 25, "{count}");
}
