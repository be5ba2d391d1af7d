//! `csv-metadata.json`: the tables described as W3C "CSV on the Web" has it (Recommendations of 17
//! December 2015: model for tabular data, and metadata vocabulary).

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value, json};

use super::records::kind_referred;
use super::table::{Cells, Table, TableColumn};
use crate::findings::Examined;
use crate::findings::harmless::RULE;
use crate::records::spec::{Holds, Kind, Range};
use crate::units::{Quantity, ucum};

/// Its file name inside `data/tables/`.
pub const METADATA: &str = "csv-metadata.json";

/// The table group: the derived tables, and `findings.csv`.
pub(super) fn group(tables: &[Table], findings: &Table, examined: &Examined) -> Value {
    let docking = &examined.project.docking;
    let described: Vec<Value> =
        tables.iter().chain([findings]).map(|table| describe(table, tables)).collect();
    let mut group = json!({
        "@context": ["http://www.w3.org/ns/csvw", {"@language": "en"}],
        "dc:title": format!("{} in {}: tables of a dry-docking", docking.ship.name, docking.dock.name),
        "dc:description":
            format!("The records in SI units, what was recomputed from them, and the findings. The common \
             property schema:unitText of a column names its unit in UCUM codes, case sensitive \
             (Unified Code for Units of Measure); dc:relation names the table and column that \
             hold what a column refers to, where cells may be empty or lists. A column's name ends in the suffix that \
             data/format.txt explains. x is metres forward of the stern reference point, y metres to \
             port of the centreline, z metres above the underside of the keel. {RULE}"),
        "dialect": {
            "encoding": "utf-8",
            "delimiter": ",",
            "quoteChar": "\"",
            "doubleQuote": true,
            "lineTerminators": ["\n"],
            "header": true,
            "headerRowCount": 1,
            "skipInitialSpace": false,
            "trim": false
        },
        "tables": described,
    });
    if let Some(group) = group.as_object_mut() {
        group.extend(origin(examined));
    }
    group
}

/// Who made the tables, when, and under which terms they may be used, as far as that is recorded.
fn origin(examined: &Examined) -> Map<String, Value> {
    let docking = &examined.project.docking;
    let mut out = Map::new();
    if let Some(closeout) = &docking.closeout {
        let kept_as = docking.archive.identifier.as_deref();
        out.insert("dc:identifier".to_string(), kept_as.unwrap_or(&closeout.bundle_name).into());
        out.insert("dc:creator".to_string(), closeout.prepared_by.as_str().into());
        let on = json!({"@value": closeout.prepared_on.to_string(), "@type": "xsd:date"});
        out.insert("dc:created".to_string(), on);
    }
    if let Some(terms) = docking.archive.terms() {
        out.insert("dc:rights".to_string(), terms.as_written().into());
        if let Some(address) = terms.address() {
            out.insert("dc:license".to_string(), json!({"@id": address}));
        }
    }
    out
}

fn describe(table: &Table, all: &[Table]) -> Value {
    let mut schema = Map::new();
    let columns: Vec<Value> =
        table.columns.iter().map(|column| describe_column(column, table, all)).collect();
    schema.insert("columns".to_string(), columns.into());
    let key: Vec<&TableColumn> = table.columns.iter().filter(|column| column.is_key).collect();
    if !key.is_empty() && is_distinct(&cells(table, &key)) {
        schema.insert("primaryKey".to_string(), variables(&key));
    }
    let keys: Vec<Value> = references(table, all).into_iter().map(foreign_key).collect();
    if !keys.is_empty() {
        schema.insert("foreignKeys".to_string(), keys.into());
    }
    json!({
        "url": table.name,
        "dc:title": table.title,
        "dc:description": table.about,
        "tableSchema": schema,
    })
}

/// The table that has one row for each thing that a column names, and its column. There is none where
/// nothing is referred to.
fn target<'a>(column: &TableColumn, all: &'a [Table]) -> Option<(&'a Table, &'a TableColumn)> {
    let kind: Kind = kind_referred(column.holds()?)?;
    all.iter().find_map(|table| Some((table, table.column_of_ids(kind)?)))
}

/// Columns that name rows of another table otherwise than by a thing's kind: the table, its columns, the other table
/// and the columns there.
type Named = (&'static str, &'static [&'static str], &'static str, &'static [&'static str]);

const NAMED: &[Named] = &[
    ("coating-coats.csv", &["product", "batch"], BATCHES, &["product", "batch"]),
    ("coating-stripes.csv", &["product", "batch"], BATCHES, &["product", "batch"]),
    ("coating-coats.csv", &["zone", "coat"], SCHEME, &["zone", "coat"]),
    ("coating-stripes.csv", &["zone", "before_coat"], SCHEME, &["zone", "coat"]),
    ("coating-film.csv", &["zone", "after_coat"], SCHEME, &["zone", "coat"]),
    ("coating-tests.csv", &["zone", "after_coat"], SCHEME, &["zone", "coat"]),
    ("recomputed-film.csv", &["zone", "after_coat"], SCHEME, &["zone", "coat"]),
    ("recomputed-intervals.csv", &["upper"], APPLICATIONS, &["application"]),
    ("recomputed-intervals.csv", &["lower"], APPLICATIONS, &["application"]),
    ("recomputed-immersions.csv", &["application"], APPLICATIONS, &["application"]),
    ("recomputed-preparation.csv", &["application"], APPLICATIONS, &["application"]),
];

const BATCHES: &str = "coating-products-batch.csv";
const SCHEME: &str = "coating-scheme.csv";
const APPLICATIONS: &str = "recomputed-applications.csv";

/// Columns whose cells together name a row of another table, in every row.
struct Reference<'a> {
    columns: Vec<&'a TableColumn>,
    table: &'a Table,
    ids: Vec<&'a TableColumn>,
}

/// The foreign keys of a table. Validators take an empty cell in one for a fault, and a list for one name: what is not
/// filled in every row, holds lists, or names what is not on record is none.
fn references<'a>(table: &'a Table, all: &'a [Table]) -> Vec<Reference<'a>> {
    let of_kinds = table.columns.iter().filter_map(|column| {
        let (target, ids) = target(column, all)?;
        Some(Reference { columns: vec![column], table: target, ids: vec![ids] })
    });
    let named = NAMED.iter().filter(|named| named.0 == table.name).filter_map(|named| {
        let target = all.iter().find(|other| other.name == named.2)?;
        let of = |table: &'a Table, names: &[&str]| -> Option<Vec<&'a TableColumn>> {
            let column = |name: &&str| table.columns.iter().find(|column| column.name == **name);
            names.iter().map(column).collect()
        };
        Some(Reference { columns: of(table, named.1)?, table: target, ids: of(target, named.3)? })
    });
    of_kinds.chain(named).filter(|reference| reference.holds(table)).collect()
}

impl Reference<'_> {
    /// Whether the cells of each row name one row of the other table.
    fn holds(&self, from: &Table) -> bool {
        if self.columns.iter().any(|column| matches!(column.holds(), Some(Holds::Refs(_)))) {
            return false;
        }
        let mut met: BTreeMap<Vec<&str>, usize> = BTreeMap::new();
        for ids in cells(self.table, &self.ids) {
            *met.entry(ids).or_default() += 1;
        }
        cells(from, &self.columns)
            .iter()
            .all(|named| named.iter().all(|cell| !cell.is_empty()) && met.get(named) == Some(&1))
    }
}

/// The cells of some columns, row by row.
fn cells<'a>(table: &'a Table, columns: &[&TableColumn]) -> Vec<Vec<&'a str>> {
    let place = |column: &&TableColumn| table.columns.iter().position(|other| other == *column);
    let places: Vec<usize> = columns.iter().filter_map(place).collect();
    let cells = |row: &'a Vec<String>| {
        places.iter().map(|at| row.get(*at).map_or("", String::as_str)).collect()
    };
    table.rows.iter().map(cells).collect()
}

fn is_distinct(rows: &[Vec<&str>]) -> bool {
    rows.iter().collect::<BTreeSet<_>>().len() == rows.len()
}

fn foreign_key(reference: Reference<'_>) -> Value {
    json!({
        "columnReference": variables(&reference.columns),
        "reference": {"resource": reference.table.name, "columnReference": variables(&reference.ids)},
    })
}

fn variables(columns: &[&TableColumn]) -> Value {
    columns.iter().map(|column| variable(&column.name)).collect::<Vec<_>>().into()
}

fn describe_column(column: &TableColumn, table: &Table, all: &[Table]) -> Value {
    let mut out = Map::new();
    let mut put = |key: &str, value: Value| {
        out.insert(key.to_string(), value);
    };
    put("name", variable(&column.name).into());
    put("titles", json!([column.name]));
    put("dc:title", title(&column.name).into());
    let calculated = if column.is_calculated { "calculated: " } else { "" };
    put("dc:description", format!("{calculated}{}", column.about).into());
    put("datatype", datatype(column));
    put("required", column.filled.into());
    let listed = matches!(column.cells, Cells::Wholes)
        || matches!(
            column.holds(),
            Some(Holds::Refs(_) | Holds::AnyRefs | Holds::Words(_) | Holds::Grades)
        );
    if listed {
        put("separator", ";".into());
        put("ordered", true.into());
    }
    match column.holds() {
        // A bound that is `none` has no number; a list that is `none` is empty and meant so.
        Some(Holds::Bound(_) | Holds::Refs(_)) => {
            put("null", json!(["", "none"]));
            put("required", false.into());
        }
        _ => put("null", json!([""])),
    }
    if let Some((target, ids)) = target(column, all) {
        let key = Reference { columns: vec![column], table: target, ids: vec![ids] };
        if !key.holds(table) {
            put("dc:relation", format!("{}, column {}", target.name, ids.name).into());
        }
    }
    if let Some(quantity) = column.holds().and_then(quantity) {
        put("schema:unitText", ucum(quantity).into());
    }
    out.into()
}

fn quantity(holds: Holds) -> Option<Quantity> {
    match holds {
        Holds::Measure(quantity, _) | Holds::Bound(quantity) => Some(quantity),
        Holds::Draft => Some(Quantity::Length),
        _ => None,
    }
}

fn datatype(column: &TableColumn) -> Value {
    let Some(holds) = column.holds() else {
        return if column.cells == Cells::Wholes { json!("integer") } else { json!("string") };
    };
    match holds {
        Holds::Id(_) | Holds::Part(_) | Holds::Ref(_) | Holds::Refs(_) | Holds::Name => {
            // 40, and the apostrophe that may stand before it.
            json!({"base": "string", "minLength": 1, "maxLength": 41})
        }
        Holds::AnyRefs
        | Holds::Text
        | Holds::Called
        | Holds::Texts
        | Holds::Grade
        | Holds::Grades => {
            json!("string")
        }
        Holds::Word(words) | Holds::Words(words) => {
            let words: Vec<String> = words.iter().map(|word| word.replace('.', "\\.")).collect();
            json!({"base": "string", "format": format!("^(?:{})$", words.join("|"))})
        }
        Holds::Whole { least } => json!({"base": "integer", "minimum": least}),
        Holds::Number(range) | Holds::Measure(_, range) => number(range),
        Holds::Bound(_) | Holds::Draft => number(Range::Positive),
        Holds::Time => json!("dateTimeStamp"),
        Holds::Date => json!("date"),
        Holds::Flag => json!({"base": "boolean", "format": "yes|no"}),
        Holds::Offset => json!({"base": "string", "format": "^[+-][0-9]{2}:[0-9]{2}$"}),
    }
}

fn number(range: Range) -> Value {
    match range {
        Range::Any => json!("double"),
        Range::NotNegative => json!({"base": "double", "minimum": 0}),
        Range::Positive => json!({"base": "double", "minExclusive": 0}),
    }
}

/// A header as a variable's name: letters, digits and `_`, all else as the UTF-8 bytes in per cent
/// encoding (RFC 6570 section 2.3, as CSV on the Web wants it).
fn variable(header: &str) -> String {
    header
        .bytes()
        .map(|byte| match byte {
            b'0'..=b'9' | b'A'..=b'Z' | b'a'..=b'z' | b'_' => char::from(byte).to_string(),
            byte => format!("%{byte:02X}"),
        })
        .collect()
}

/// A header as words: `length_fore_and_aft_m` becomes `Length fore and aft, m`.
fn title(header: &str) -> String {
    let (base, unit) = match crate::units::split_suffix(header) {
        Some((base, suffix)) => (base, format!(", {suffix}")),
        None => (header, String::new()),
    };
    let mut chars = base.chars();
    let first = chars.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}{unit}", chars.as_str().replace('_', " "))
}
