//! Everything that was read, file by file, in the kept units.
//!
//! Wide tables are cut into blocks of columns, each with the first column again. Widths are worked
//! out here from the letters' own widths, so that no word is wider than its column.

use serde::Serialize;

use super::MOST_PRINTED;
use crate::findings::answers::said;
use crate::records::Project;
use crate::records::entry::Entry;
use crate::records::remarks;
use crate::records::sheet::Sheet;
use crate::records::spec::{Column, Holds};
use crate::records::value::Value;
use crate::report::fonts::FONTS;
use crate::report::legible::{self, Narrow};
use crate::report::text;
use crate::units;

#[derive(Serialize)]
pub(super) struct Tables {
    sheets: Vec<Printed>,
    keyed: Vec<Keys>,
    remarks: Vec<Remark>,
    size_pt: f64,
    padding_pt: f64,
}

#[derive(Serialize)]
struct Printed {
    path: &'static str,
    row_is: &'static str,
    rows: usize,
    /// The derived table that holds them, where they are too many to print.
    elsewhere: Option<String>,
    /// Columns that no row fills.
    empty: Vec<String>,
    /// How many of the narrow blocks stand side by side on a page.
    side_by_side: usize,
    blocks: Vec<Block>,
}

/// A block of columns.
#[derive(Serialize)]
struct Block {
    heads: Vec<String>,
    widths_pt: Vec<f64>,
    numeric: Vec<bool>,
    cells: Vec<Vec<Option<Narrow>>>,
}

/// The keys of a TOML file.
#[derive(Serialize)]
struct Keys {
    path: &'static str,
    keys: Vec<Key>,
}

#[derive(Serialize)]
struct Key {
    table: Narrow,
    key: Narrow,
    value: Option<String>,
}

#[derive(Serialize)]
struct Remark {
    finding: Narrow,
    then: Option<String>,
    answer: String,
    by: Narrow,
    on: String,
}

/// Size of the letters, pt; the smallest that the report uses.
const SIZE_PT: f64 = 6.5;
/// Room on either side of a cell's text, pt.
const PADDING_PT: f64 = 2.5;
/// Width of the page's text across, pt: 257 mm.
const PAGE_PT: f64 = 728.0;
/// Between tables side by side, pt.
const GUTTER_PT: f64 = 17.0;
/// Text is broken into lines rather than let wider than this, pt.
const WIDEST_PT: f64 = 170.0;
/// Below this a text is not squeezed to bring one more column onto the page, pt.
const COMFORT_PT: f64 = 58.0;

pub(super) fn section(project: &Project) -> Tables {
    Tables {
        sheets: project.sheets.iter().map(printed).collect(),
        keyed: project
            .keyed
            .iter()
            .filter(|file| file.path != remarks::SPEC.path)
            .map(|file| Keys {
                path: file.path,
                keys: file.entries().flat_map(|(name, entry)| keys(name, entry)).collect(),
            })
            .collect(),
        remarks: project
            .remarks
            .given
            .iter()
            .map(|remark| Remark {
                finding: Narrow::new(&remark.finding),
                then: remark.then.as_ref().map(said),
                answer: remark.answer.clone(),
                by: Narrow::new(&remark.by),
                on: remark.on.to_string(),
            })
            .collect(),
        size_pt: SIZE_PT,
        padding_pt: PADDING_PT,
    }
}

/// One column of a table before it is placed.
struct Strip {
    head: String,
    numeric: bool,
    cells: Vec<Option<String>>,
}

fn printed(sheet: &Sheet) -> Printed {
    if sheet.entries.len() > MOST_PRINTED {
        return Printed {
            path: sheet.spec.path,
            row_is: sheet.spec.row_is,
            rows: sheet.entries.len(),
            elsewhere: Some(format!("tables/{}.csv", sheet.spec.table_name())),
            empty: Vec::new(),
            side_by_side: 1,
            blocks: Vec::new(),
        };
    }
    let described = sheet.spec.columns.iter().enumerate().map(|(n, column)| Strip {
        head: head(column),
        numeric: is_numeric(column),
        cells: sheet
            .entries
            .iter()
            .map(|entry| entry.values().nth(n).and_then(|(_, value)| value))
            .map(|value| value.map(|value| in_column(column, value)))
            .map(|cell| cell.or_else(|| if_empty(column).map(str::to_string)))
            .collect(),
    });
    // Where others have a note, a row without one shows a dash: it is not that one was not recorded.
    let notes = sheet.note_columns.iter().enumerate().map(|(n, head)| {
        let note = |entry: &Entry| entry.notes.get(n).filter(|note| !note.is_empty()).cloned();
        let some = sheet.entries.iter().any(|entry| note(entry).is_some());
        let dash = || some.then(|| "\u{2013}".to_string());
        Strip {
            head: head.replace('_', " "),
            numeric: false,
            cells: sheet.entries.iter().map(|entry| note(entry).or_else(dash)).collect(),
        }
    });
    let (filled, empty): (Vec<Strip>, Vec<Strip>) =
        described.chain(notes).partition(|strip| strip.cells.iter().any(Option::is_some));
    let blocks = blocks(&filled);
    let widest = blocks.iter().map(|block| block.widths_pt.iter().sum()).fold(0.0, f64::max);
    let side_by_side = ((PAGE_PT + GUTTER_PT) / (widest + GUTTER_PT)).floor().clamp(1.0, 6.0);
    Printed {
        path: sheet.spec.path,
        row_is: sheet.spec.row_is,
        rows: sheet.entries.len(),
        elsewhere: None,
        empty: empty.into_iter().map(|strip| strip.head).collect(),
        side_by_side: if blocks.len() == 1 { side_by_side as usize } else { 1 },
        blocks,
    }
}

/// Cuts the columns into blocks that fit the page, and gives each block's columns the room left.
fn blocks(strips: &[Strip]) -> Vec<Block> {
    let widths: Vec<Width> = strips.iter().map(Width::of).collect();
    let Some(first) = widths.first() else { return Vec::new() };
    let mut cut: Vec<Vec<usize>> = Vec::new();
    let mut room = 0.0;
    for (n, width) in widths.iter().enumerate().skip(1) {
        match cut.last_mut().filter(|_| room >= width.least_pt) {
            Some(block) => block.push(n),
            None => {
                cut.push(vec![0, n]);
                room = PAGE_PT - first.least_pt;
            }
        }
        room -= width.least_pt;
    }
    if cut.is_empty() {
        cut.push(vec![0]);
    }
    let spread = |columns: &Vec<usize>| {
        let sum = |of: fn(&Width) -> f64| columns.iter().map(|n| of(&widths[*n])).sum::<f64>();
        let (least, wanted) = (sum(|width| width.least_pt), sum(|width| width.wanted_pt));
        let part = ((PAGE_PT - least) / (wanted - least).max(1e-9)).clamp(0.0, 1.0);
        let width = |n: &usize| {
            let width = &widths[*n];
            width.least_pt + part * (width.wanted_pt - width.least_pt)
        };
        columns.iter().map(width).collect::<Vec<f64>>()
    };
    cut.iter().map(|columns| block(strips, spread(columns), columns)).collect()
}

fn block(strips: &[Strip], widths_pt: Vec<f64>, columns: &[usize]) -> Block {
    let rows = strips.first().map_or(0, |strip| strip.cells.len());
    Block {
        heads: columns.iter().map(|n| strips[*n].head.clone()).collect(),
        widths_pt,
        numeric: columns.iter().map(|n| strips[*n].numeric).collect(),
        cells: (0..rows)
            .map(|row| {
                columns.iter().map(|n| strips[*n].cells[row].as_deref().map(Narrow::new)).collect()
            })
            .collect(),
    }
}

/// How wide a column must and would be.
struct Width {
    /// Its longest piece, and for longer texts a little more, so that they don't become towers.
    least_pt: f64,
    /// Its longest text, within reason.
    wanted_pt: f64,
}

impl Width {
    fn of(strip: &Strip) -> Self {
        let texts = || strip.cells.iter().flatten().map(|cell| legible::narrow(cell));
        let em = |text: &str| FONTS.cell_width_em(text) * SIZE_PT;
        let longest = texts().map(|text| em(&text)).fold(0.0, f64::max);
        let longest_piece = texts()
            .flat_map(|text| legible::pieces(&text).map(em).collect::<Vec<_>>())
            .fold(0.0, f64::max);
        let head = legible::running(&strip.head);
        let head = legible::pieces(&head)
            .map(|piece| FONTS.head_width_em(piece) * SIZE_PT)
            .fold(0.0, f64::max);
        let not_recorded =
            if strip.cells.iter().all(Option::is_some) { 0.0 } else { em("not recorded") };
        let needed = longest_piece.max(head).max(not_recorded);
        // A little more than the letters, since they are set in whole parts of a point.
        let around = 2.0 * PADDING_PT + 1.0;
        Self {
            least_pt: longest.min(COMFORT_PT).max(needed) + around,
            wanted_pt: longest.min(WIDEST_PT).max(needed) + around,
        }
    }
}

fn head(column: &Column) -> String {
    let name = column.name.replace('_', " ");
    match column.printed_unit() {
        Some(unit) => format!("{name},\u{a0}{}", units::printed(unit.suffix)),
        None => name,
    }
}

fn is_numeric(column: &Column) -> bool {
    matches!(
        column.holds,
        Holds::Measure(..) | Holds::Bound(_) | Holds::Number(_) | Holds::Whole { .. }
    )
}

/// What an empty cell says, where its column gives it a meaning.
fn if_empty(column: &Column) -> Option<&'static str> {
    match column.holds {
        Holds::Refs(_) => Some("all"),
        _ => None,
    }
}

/// A value as its column prints it.
fn in_column(column: &Column, value: &Value) -> String {
    match (value, column.printed_unit()) {
        (Value::Number(kept), Some(unit)) => units::nine_digits(unit.from_kept(*kept)),
        _ => value_text(value),
    }
}

fn value_text(value: &Value) -> String {
    match value {
        Value::Text(text) => text.to_string(),
        Value::List(items) if items.is_empty() => "none".to_string(),
        Value::List(items) => items.join("; "),
        Value::Number(number) => units::nine_digits(*number),
        Value::NoBound => "none".to_string(),
        Value::Whole(number) => number.to_string(),
        Value::Time(time) => text::time(*time),
        Value::Date(date) => date.to_string(),
        Value::Flag(flag) => if *flag { "yes" } else { "no" }.to_string(),
        Value::Offset(offset) => offset.to_string(),
    }
}

fn keys(name: &str, entry: &Entry) -> Vec<Key> {
    let table = match (name, entry.title.as_str()) {
        ("", _) => "(top)".to_string(),
        (name, "") => name.to_string(),
        (name, title) => format!("{name}.{title}"),
    };
    let rows = entry.values().map(|(column, value)| Key {
        table: Narrow::new(&table),
        key: Narrow::new(head(column)),
        value: value.map(|value| in_column(column, value)),
    });
    rows.collect()
}
