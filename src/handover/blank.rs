//! A blank project: every file of records with nothing in it yet but what it is to hold.

use std::collections::BTreeMap;

use textwrap::Options;

use super::form;
use crate::records::bounds::{self, Sort};
use crate::records::docking::Paper;
use crate::records::spec::{Column, FileSpec};
use crate::records::{FILES, Project, docking, history, products, remarks};
use crate::units::System;

const DOCKING: &str = include_str!("../../templates/start/docking.toml");
const PRODUCTS: &str = include_str!("../../templates/start/products.toml");
const REMARKS: &str = include_str!("../../templates/start/remarks.toml");

const WIDTH: usize = 100;

/// In which units the blanks of a new project are headed, and on which paper its sheets are printed.
#[derive(Debug, Clone, Copy, Default)]
pub struct House {
    /// The units.
    pub units: System,
    /// Whether these units were asked for: then they head blank columns whatever an earlier record wrote in.
    pub is_asked: bool,
    /// The paper.
    pub paper: Paper,
}

/// The files by their paths in the project. Tables have their header rows alone, with the units of the record `before`
/// as far as it has them; the files of TOML explain themselves. What earlier dockings left is no part of it.
pub fn files(house: House, before: Option<&Project>) -> BTreeMap<String, Vec<u8>> {
    let sheets = FILES.iter().filter(|spec| !spec.path.starts_with(history::FOLDER));
    let headers =
        sheets.map(|spec| (spec.path, format!("{}\n", headings(spec, house, before).join(","))));
    let forms = [docking::SPEC.path, products::SPEC.path, remarks::SPEC.path]
        .map(|path| (path, form(path, house).unwrap_or_default()));
    headers.chain(forms).map(|(path, text)| (path.to_string(), text.into_bytes())).collect()
}

/// The headings of a table: those of the record `before`, and for the columns that it lacks those of the house.
pub fn headings(spec: &FileSpec, house: House, before: Option<&Project>) -> Vec<String> {
    let sheet = before
        .filter(|_| !house.is_asked)
        .and_then(|project| project.sheets.iter().find(|sheet| sheet.spec.path == spec.path));
    let written = |column: &Column| {
        let mut header = sheet.into_iter().flat_map(|sheet| &sheet.header);
        header.find(|heading| column.is_headed(heading)).cloned()
    };
    let blank = spec.headings_in(house.units);
    spec.columns.iter().zip(blank).map(|(column, own)| written(column).unwrap_or(own)).collect()
}

/// A file of TOML that is yet to be filled in, with its explanations.
pub fn form(path: &str, house: House) -> Option<String> {
    let units = house.units;
    match path {
        _ if path == docking::SPEC.path => {
            let form = DOCKING
                .replace("#{limits}", &listed(Sort::Limit, units))
                .replace("#{tolerances}", &listed(Sort::Tolerance, units));
            Some(of_house(form, house))
        }
        _ if path == products::SPEC.path => {
            let form = form::in_system(PRODUCTS, &products::SPEC, units);
            Some(in_words(form, units))
        }
        _ if path == remarks::SPEC.path => Some(REMARKS.to_string()),
        _ => None,
    }
}

/// `docking.toml` with the units and the paper of a house switched on, where they are not those that count anyway.
fn of_house(form: String, house: House) -> String {
    let mut form = in_words(form::in_system(&form, &docking::SPEC, house.units), house.units);
    // A space before its explanation, for the sign that goes: explanations stay in one line down.
    let without_sign = |line: &str| line.replacen('#', "", 1).replacen("  # ", "   # ", 1);
    let mut switch_on = |key: &Column, is_wanted: bool| {
        let begins = format!("#{} = ", key.name);
        let line = form.lines().find(|line| is_wanted && line.starts_with(&begins));
        if let Some(line) = line.map(String::from) {
            form = form.replacen(&line, &without_sign(&line), 1);
        }
    };
    switch_on(&docking::UNITS_KEY, house.units == System::Us);
    switch_on(&docking::PAPER_KEY, house.paper == Paper::UsLetter);
    form
}

/// What the explanations say of units, and examples that state theirs beside them.
const IN_US: &[(&str, &str)] = &[
    (r#"length_overall_ft = "100.4""#, r#"length_overall_m = "30.6""#),
    ("nominal_dft_mil or shelf_life_h", "nominal_dft_um or shelf_life_h"),
    ("#value = 300\n#unit = \"mm\"", "#value = 12\n#unit = \"in\""),
    ("#value = 15\n#unit = \"mm\"", "#value = 0.6\n#unit = \"in\""),
];

fn in_words(form: String, units: System) -> String {
    match units {
        System::Si => form,
        System::Us => IN_US.iter().fold(form, |form, (si, us)| form.replace(si, us)),
    }
}

/// The bounds that are known, each as a comment: name, a unit for it, meaning.
fn listed(sort: Sort, units: System) -> String {
    let options = Options::new(WIDTH).initial_indent("#   ").subsequent_indent("#       ");
    let line = |spec: &bounds::BoundSpec| {
        let unit = spec.quantity.kept().in_system(units).suffix;
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
            let sheet = sheet::read(spec, header.as_bytes(), &Default::default(), &mut problems);
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
            let outer = match table.name.split_once('.') {
                Some((outer, _)) => document.get(outer).and_then(toml::Value::as_table),
                None => Some(&document),
            };
            let inner = table.name.rsplit('.').next().unwrap_or_default();
            let found = match inner {
                "" => Some(&document),
                name => match outer.and_then(|outer| outer.get(name)) {
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
            let form = form(spec.path, House::default()).expect("a form for every file of TOML");
            assert_eq!(keys_missing(spec, &form), Vec::<String>::new(), "{}", spec.path);
            assert!(form.lines().all(|line| line.chars().count() <= WIDTH), "{}", spec.path);
        }
        let without = form(docking::SPEC.path, House::default())
            .expect("a form")
            .replace("sill_level_m", "note_z");
        assert_eq!(keys_missing(&docking::SPEC, &without), ["[dock] sill_level"]);
    }

    #[test]
    fn the_forms_name_every_limit_and_tolerance() {
        let form = form(docking::SPEC.path, House::default()).expect("a form");
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
            keyed::read(
                spec,
                form(spec.path, House::default()).expect("a form").as_bytes(),
                &Default::default(),
                &mut problems,
            );
        }
        let said: Vec<String> = problems
            .into_sorted()
            .iter()
            .map(|problem| format!("{}: {}", problem.place.name, problem.expected))
            .collect();
        assert_eq!(said, ["name: the ship's name", "name: the dock's name"]);
    }

    const US: House = House { units: System::Us, is_asked: true, paper: Paper::UsLetter };

    /// Suffixes of units that no house in the United States goes by. Fractions, times and angles have no others.
    const METRIC: &[&str] = &[
        "m",
        "cm",
        "mm",
        "um",
        "m2",
        "m4",
        "l",
        "t",
        "kg",
        "kn",
        "kpa",
        "mpa",
        "gpa",
        "c",
        "k",
        "t_m3",
        "kg_m3",
        "mg_m2",
        "t_per_cm",
        "tm_per_cm",
        "m_per_h",
    ];

    #[test]
    fn a_house_in_the_united_states_gets_its_units_everywhere() {
        let mut problems = Problems::default();
        for spec in FILES {
            let header = format!("{}\n", headings(spec, US, None).join(","));
            let sheet = sheet::read(spec, header.as_bytes(), &Default::default(), &mut problems);
            assert_eq!(sheet.header.len(), spec.columns.len(), "{}", spec.path);
            for (column, heading) in spec.columns.iter().zip(&sheet.header) {
                let unit = column.unit_in(heading).map_or("", |unit| unit.suffix);
                assert!(!METRIC.contains(&unit), "{}: {heading}", spec.path);
            }
        }
        assert_eq!(problems.take_warnings(), []);
        assert_eq!(problems.into_sorted(), []);
        for spec in KEYED_FILES {
            let form = form(spec.path, US).expect("a form");
            assert!(form.lines().all(|line| line.chars().count() <= WIDTH), "{}", spec.path);
            assert_eq!(keys_missing(spec, &form), Vec::<String>::new(), "{}", spec.path);
            let mut problems = Problems::default();
            let read = switched_on(&form).replace("\"\"", "\"A name\"");
            let document: toml::Table = read.parse().expect("a form in TOML");
            let tables = std::iter::once(&spec.top).chain(spec.tables);
            for key in tables.flat_map(|table| table.keys) {
                for line in read.lines().filter_map(|line| line.split(" = ").next()) {
                    let unit = key.unit_in(line).map_or("", |unit| unit.suffix);
                    assert!(!METRIC.contains(&unit), "{}: {line}", spec.path);
                }
            }
            assert!(!document.is_empty() || spec.path == remarks::SPEC.path);
            keyed::read(spec, form.as_bytes(), &Default::default(), &mut problems);
            let said = problems.into_sorted();
            assert!(said.iter().all(|problem| &*problem.place.name == "name"), "{said:?}");
        }
    }

    #[test]
    fn the_form_of_a_house_in_the_united_states_says_so_and_keeps_its_columns() {
        let form = form(docking::SPEC.path, US).expect("a form");
        for line in [
            "units = \"us\"                          # show",
            "paper = \"us-letter\"                   # print",
            "\nlength_overall_ft = \"\"\n",
            "#spacing_in = 23.6                    # from frame to frame",
            "#water_density_lb_ft3 = 64.0          # density",
            "#value = 12\n#unit = \"in\"  ",
            "length_overall_m = \"30.6\"",
            "\n#   trim (ft): ",
        ] {
            assert!(form.contains(line), "{line}: {form}");
        }
        let products = super::form(products::SPEC.path, US).expect("a form");
        assert!(
            products.contains("#nominal_dft_mil = 4.92               # dry film"),
            "{products}"
        );
        assert!(products.contains("#steel_temperature_f = 50.0\n"), "{products}");
    }
}
