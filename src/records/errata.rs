//! `errata.csv` of a supplement: single values of an earlier record that are wrong, and what is right.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::budget::Budget;
use super::grammar::orders::Calendar;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::record::fields;
use super::sheet;
use super::spec::FileSpec;
use super::store::{self, Store};

/// What `errata.csv` holds.
pub static SPEC: FileSpec = FileSpec {
    path: "errata.csv",
    row_is: "a value of an earlier record that is wrong",
    example: include_str!("../../templates/supplement/errata.csv"),
    columns: Erratum::COLUMNS,
    most_rows: 10_000,
};

fields! {
    /// A value that is wrong, and what is right.
    #[derive(Debug, Clone)]
    pub struct Erratum {
        id: String = always("erratum", Name, "its name, another for each row"),
        of: Option<String> = optional(
            "of",
            Name,
            "the name of the supplement whose record it corrects; empty: it corrects the first bundle's",
        ),
        file: String = always("file", Called, "the file of records, by its path below data/records/"),
        row: Option<String> = optional(
            "row",
            Called,
            "which row: in a CSV file what stands in its first column of this format, such as K23; in a TOML file the \
             table, such as ship, or for one of several its name behind a point, such as product.P1",
        ),
        line: Option<i64> = optional(
            "line",
            Whole { least: 1 },
            "or the line of the file on which the row or table begins or the key stands, where row names none or several",
        ),
        column: String = always("column", Called, "the column's heading or the key, as the file writes it"),
        stands: Option<String> = optional("stands", Text, "what stands there; empty: nothing does"),
        right: Option<String> = optional(
            "right",
            Text,
            "what is right, in the unit of the heading; empty: it is withdrawn, and nothing takes its place",
        ),
        by: String = always("by", Called, "who says so"),
        on: NaiveDate = always("on", Date, "on what day"),
        ground: String = always("ground", Text, "on what ground: a paper, a measurement, somebody's word"),
    }
    with {}
}

/// Reads the file; none where there is none.
pub(super) fn read(from: &dyn Store, problems: &mut Problems) -> Vec<Erratum> {
    let path = SPEC.path;
    if !from.sizes().contains_key(path) {
        return Vec::new();
    }
    let bytes = match from.read(path) {
        Ok(bytes) => bytes,
        Err(error) => {
            problems.add(store::unreadable(path, &error.to_string()));
            return Vec::new();
        }
    };
    if !Budget::default().allows_table(path, &bytes, problems) {
        return Vec::new();
    }
    let sheet = sheet::read(&SPEC, &bytes, &Calendar::default(), problems);
    let mut names = BTreeSet::new();
    let errata: Vec<Erratum> = sheet.entries.iter().filter_map(Erratum::from_entry).collect();
    for erratum in &errata {
        if !names.insert(erratum.id.to_lowercase()) {
            problems.add(
                Problem::new(
                    Place { name: "erratum".into(), ..erratum.place.clone() },
                    "stands twice",
                )
                .value(erratum.id.clone())
                .expected("a name of its own for each erratum")
                .advice("rename one of them"),
            );
        }
    }
    errata
}
