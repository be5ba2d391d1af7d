//! `csv-metadata.json`: the tables described as W3C "CSV on the Web" has it (Recommendations of 17
//! December 2015: model for tabular data, and metadata vocabulary).

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
    json!({
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
    })
}

fn describe(table: &Table, all: &[Table]) -> Value {
    let mut schema = Map::new();
    let columns: Vec<Value> =
        table.columns.iter().map(|column| describe_column(column, all)).collect();
    schema.insert("columns".to_string(), columns.into());
    let key = table.columns.iter().filter(|column| column.is_key);
    let key: Vec<String> = key.map(|column| variable(&column.name)).collect();
    if !key.is_empty() {
        schema.insert("primaryKey".to_string(), key.into());
    }
    let keys: Vec<Value> =
        table.columns.iter().filter_map(|column| foreign_key(column, all)).collect();
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

/// Whether a reference is a foreign key: validators take an empty cell in one for a fault.
fn is_foreign_key(column: &TableColumn) -> bool {
    column.filled && !matches!(column.holds(), Some(Holds::Refs(_)))
}

fn foreign_key(column: &TableColumn, all: &[Table]) -> Option<Value> {
    let (table, ids) = target(column, all).filter(|_| is_foreign_key(column))?;
    Some(json!({
        "columnReference": [variable(&column.name)],
        "reference": {"resource": table.name, "columnReference": [variable(&ids.name)]},
    }))
}

fn describe_column(column: &TableColumn, all: &[Table]) -> Value {
    let mut out = Map::new();
    let mut put = |key: &str, value: Value| {
        out.insert(key.to_string(), value);
    };
    put("name", variable(&column.name).into());
    put("titles", json!([column.name]));
    put("dc:title", title(&column.name).into());
    put("dc:description", column.about.as_str().into());
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
    if let Some((table, ids)) = target(column, all).filter(|_| !is_foreign_key(column)) {
        put("dc:relation", format!("{}, column {}", table.name, ids.name).into());
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
