//! A blank project: every file of records with nothing in it yet but what it is to hold.

use std::collections::BTreeMap;

use textwrap::Options;

use crate::records::bounds::{self, Sort};
use crate::records::{FILES, docking, history, products, remarks};

const DOCKING: &str = include_str!("../../templates/start/docking.toml");
const PRODUCTS: &str = include_str!("../../templates/start/products.toml");
const REMARKS: &str = include_str!("../../templates/start/remarks.toml");

const WIDTH: usize = 100;

/// The files by their paths in the project. Tables have their header rows alone; the files of TOML
/// explain themselves. What earlier dockings left is no part of it.
pub fn files() -> BTreeMap<String, Vec<u8>> {
    let sheets = FILES.iter().filter(|spec| !spec.path.starts_with(history::FOLDER));
    let headers = sheets.map(|spec| (spec.path, format!("{}\n", spec.headings().join(","))));
    let forms = [docking::SPEC.path, products::SPEC.path, remarks::SPEC.path]
        .map(|path| (path, form(path).unwrap_or_default()));
    headers.chain(forms).map(|(path, text)| (path.to_string(), text.into_bytes())).collect()
}

/// A file of TOML that is yet to be filled in, with its explanations.
pub fn form(path: &str) -> Option<String> {
    match path {
        _ if path == docking::SPEC.path => Some(
            DOCKING
                .replace("#{limits}", &listed(Sort::Limit))
                .replace("#{tolerances}", &listed(Sort::Tolerance)),
        ),
        _ if path == products::SPEC.path => Some(PRODUCTS.to_string()),
        _ if path == remarks::SPEC.path => Some(REMARKS.to_string()),
        _ => None,
    }
}

/// The bounds that are known, each as a comment: name, a unit for it, meaning.
fn listed(sort: Sort) -> String {
    let options = Options::new(WIDTH).initial_indent("#   ").subsequent_indent("#       ");
    let line = |spec: &bounds::BoundSpec| {
        let unit = spec.quantity.kept().suffix;
        textwrap::fill(&format!("{} ({unit}): {}", spec.name, spec.meaning), &options)
    };
    bounds::specs(sort).iter().map(line).collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::keyed::{self, KeyedSpec};
    use crate::records::problem::Problems;
    use crate::records::{KEYED_FILES, sheet};

    #[test]
    fn every_header_row_names_every_column_and_reads_back() {
        for spec in FILES {
            let header = format!("{}\n", spec.headings().join(","));
            let mut problems = Problems::default();
            let sheet = sheet::read(spec, header.as_bytes(), None, &mut problems);
            assert_eq!(problems.into_sorted(), [], "{}", spec.path);
            assert_eq!(spec.headings().len(), spec.columns.len());
            assert!(sheet.entries.is_empty() && sheet.note_columns.is_empty());
            // The units are those in which the example writes.
            for heading in spec.example.lines().next().unwrap_or_default().split(',') {
                assert!(spec.headings().iter().any(|h| h == heading), "{}: {heading}", spec.path);
            }
        }
    }

    /// A form with its switched-off lines switched on.
    fn switched_on(form: &str) -> String {
        let on = |line: &str| match line.strip_prefix('#') {
            Some(rest) if !rest.starts_with([' ', '#']) => rest.to_string(),
            _ => line.to_string(),
        };
        form.lines().map(|line| on(line) + "\n").collect()
    }

    fn keys_missing(spec: &KeyedSpec, form: &str) -> Vec<String> {
        let document: toml::Table = switched_on(form).parse().expect("a form in TOML");
        let mut missing = Vec::new();
        for table in std::iter::once(&spec.top).chain(spec.tables) {
            let found = match table.name {
                "" => Some(&document),
                name => match document.get(name) {
                    Some(toml::Value::Array(items)) => items.first().and_then(|one| one.as_table()),
                    Some(toml::Value::Table(inner)) => {
                        inner.values().find_map(|one| one.as_table()).or(Some(inner))
                    }
                    _ => None,
                },
            };
            for key in table.keys {
                let named = |found: &toml::Table| found.keys().any(|name| key.is_headed(name));
                if !found.is_some_and(named) {
                    missing.push(format!("[{}] {}", table.name, key.name));
                }
            }
        }
        missing
    }

    #[test]
    fn the_forms_have_every_table_and_key_that_is_known() {
        for spec in KEYED_FILES {
            let form = form(spec.path).expect("a form for every file of TOML");
            assert_eq!(keys_missing(spec, &form), Vec::<String>::new(), "{}", spec.path);
            assert!(form.lines().all(|line| line.chars().count() <= WIDTH), "{}", spec.path);
        }
        let without = form(docking::SPEC.path).expect("a form").replace("sill_level_m", "note_z");
        assert_eq!(keys_missing(&docking::SPEC, &without), ["[dock] sill_level"]);
    }

    #[test]
    fn the_forms_name_every_limit_and_tolerance() {
        let form = form(docking::SPEC.path).expect("a form");
        for spec in bounds::LIMITS.iter().chain(bounds::TOLERANCES) {
            let unit = spec.quantity.kept().suffix;
            assert!(form.contains(&format!("\n#   {} ({unit}): ", spec.name)), "{}", spec.name);
        }
        assert!(!form.contains("#{"));
    }

    #[test]
    fn a_form_as_it_stands_lacks_two_names_and_no_more() {
        let mut problems = Problems::default();
        for spec in KEYED_FILES {
            keyed::read(spec, form(spec.path).expect("a form").as_bytes(), &mut problems);
        }
        let said: Vec<String> = problems
            .into_sorted()
            .iter()
            .map(|problem| format!("{}: {}", problem.place.name, problem.expected))
            .collect();
        assert_eq!(said, ["name: the ship's name", "name: the dock's name"]);
    }
}
