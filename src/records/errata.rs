//! `errata.csv` of a supplement: single values of an earlier record that are wrong, and what is right.

use chrono::NaiveDate;

use super::record::fields;
use super::spec::FileSpec;

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
            "or the line of the file on which the row begins or the key stands, where row names none or several",
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
