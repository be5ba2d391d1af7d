//! Tables laid out on sheets: how many rows each has, and what stands below them.

use serde::Serialize;

use super::known::{Known, Row};
use super::parts::{Form, Group, Part};
use crate::records::coats::Application;
use crate::records::preparation::Preparation;
use crate::records::spec::{Column, FileSpec, Holds};
use crate::text::{and, shortened};

/// Height of a row, for a pencil in a gloved hand; the template has the same.
const ROW_MM: f64 = 12.0;
/// What a table needs above its rows, and between it and the next.
const HEAD_MM: f64 = 20.0;
/// Room for tables on a sheet that is higher than wide, and its width.
const UPRIGHT_MM: (f64, f64) = (186.0, 226.0);
/// The same on one that is wider than high.
const ACROSS_MM: (f64, f64) = (273.0, 145.0);

/// The most characters of a list of names.
const LONGEST_LIST: usize = 150;

/// One side of paper.
#[derive(Debug, Serialize)]
pub(super) struct Sheet {
    title: &'static str,
    /// What a reader's list of contents calls it: only the first sheet of a group in a position is in it.
    bookmark: Option<String>,
    across: bool,
    position: Option<String>,
    number: usize,
    of: usize,
    tables: Vec<Table>,
    /// What certain columns may hold: heading, words.
    words: Vec<(String, String)>,
    /// Which files it is typed into, and which columns come from the head of the sheet.
    files: Vec<(&'static str, String)>,
}

/// A table to be filled in with a pencil. The page model has no blank cells, hints or rows of a fixed height,
/// and none of its measures would be shown here in the units of the project's own headings.
#[derive(Debug, Serialize)]
struct Table {
    about: &'static str,
    columns: Vec<Head>,
    /// How many of the first cells name their row.
    names: usize,
    rows: Vec<Vec<Option<String>>>,
}

#[derive(Debug, Serialize)]
struct Head {
    heading: String,
    hint: &'static str,
    width_mm: f64,
}

/// The sheets of a form, numbered within each position.
pub(super) fn all(form: &Form, known: &Known<'_>) -> Vec<Sheet> {
    let positions = if form.each_position { known.positions() } else { vec![None] };
    let mut all = Vec::new();
    for position in positions {
        let of_group = |group: &Group| sheets(group, known, position);
        let mut sheets: Vec<Sheet> = form.groups.iter().flat_map(of_group).collect();
        let of = sheets.len();
        for (n, sheet) in sheets.iter_mut().enumerate() {
            (sheet.number, sheet.of) = (n + 1, of);
        }
        all.extend(sheets);
    }
    all
}

/// The sheets of a group: each table begins where the last one ended and continues on as many sheets as it needs; the
/// rest of the last sheet is blank rows.
fn sheets(group: &Group, known: &Known<'_>, position: Option<&str>) -> Vec<Sheet> {
    let (width_mm, height_mm) = if group.across { ACROSS_MM } else { UPRIGHT_MM };
    let rows_in = |room_mm: f64| ((room_mm - HEAD_MM) / ROW_MM).max(0.0) as usize;
    let mut sheets: Vec<Vec<(&Part, Vec<Row>)>> = vec![Vec::new()];
    let mut room_mm = height_mm;
    for part in group.parts {
        let mut rows = (part.rows)(known, position);
        rows.extend(vec![Row::new(); part.blank]);
        while !rows.is_empty() {
            // Two rows at the foot of a sheet are not worth a head of their own.
            if rows_in(room_mm) < rows.len().min(3) {
                sheets.push(Vec::new());
                room_mm = height_mm;
            }
            let rest = rows.split_off(rows.len().min(rows_in(room_mm)));
            room_mm -= HEAD_MM + rows.len() as f64 * ROW_MM;
            sheets.last_mut().into_iter().for_each(|sheet| sheet.push((part, rows.clone())));
            rows = rest;
        }
    }
    if let Some((_, rows)) = sheets.last_mut().and_then(|sheet| sheet.last_mut()) {
        rows.extend(vec![Row::new(); (room_mm / ROW_MM).max(0.0) as usize]);
    }
    let bookmark = match position {
        Some(position) => format!("{}, position {position}", group.title),
        None => group.title.to_string(),
    };
    let sheet = |(n, parts): (usize, Vec<(&Part, Vec<Row>)>)| Sheet {
        title: group.title,
        bookmark: (n == 0).then(|| bookmark.clone()),
        across: group.across,
        position: position.map(str::to_string),
        number: 1,
        of: 1,
        words: parts.iter().flat_map(|(part, _)| words(part, known)).collect(),
        files: parts.iter().map(|(part, _)| (part.spec.path, from_head(part))).collect(),
        tables: parts.iter().map(|(part, rows)| table(part, rows, known, width_mm)).collect(),
    };
    sheets.into_iter().enumerate().map(sheet).collect()
}

fn table(part: &Part, rows: &[Row], known: &Known<'_>, width_mm: f64) -> Table {
    let shares: f64 = part.columns.iter().map(|(_, share)| share).sum();
    let head = |(column, share): &(Column, f64)| Head {
        heading: heading(part.spec, column, known),
        hint: hint(column, part),
        width_mm: width_mm * share / shares,
    };
    let columns: Vec<Head> = part.columns.iter().map(head).collect();
    let cells = |row: &Row| {
        let cell = |((column, _), head): (&(Column, f64), &Head)| {
            let (_, value) = row.iter().find(|(filled, _)| filled == column)?;
            Some(value.text(column.unit_in(&head.heading)))
        };
        part.columns.iter().zip(&columns).map(cell).collect()
    };
    Table { about: part.about, names: part.names, rows: rows.iter().map(cells).collect(), columns }
}

/// A column's heading as the project's file has it, or else as a blank file has it.
fn heading(spec: &'static FileSpec, column: &Column, known: &Known<'_>) -> String {
    let sheets = known.project.into_iter().flat_map(|project| &project.sheets);
    let own = sheets.filter(|sheet| sheet.spec.path == spec.path).flat_map(|sheet| &sheet.header);
    let blank = spec.headings();
    let mut headings = own.chain(&blank);
    let found = headings.find(|heading| column.is_headed(heading)).cloned();
    found.unwrap_or_else(|| column.kept_name())
}

/// How a value is written.
fn hint(column: &Column, part: &Part) -> &'static str {
    match column.holds {
        // Where the head says by whom, it also gives the one day of the sheet.
        Holds::Time if part.in_head.iter().any(|column| column.holds == Holds::Called) => "hh:mm",
        Holds::Time => "day, hh:mm",
        Holds::Flag => "yes / no",
        _ => "",
    }
}

/// The words and names that a part's columns may hold, where they are not printed in anyway.
fn words(part: &Part, known: &Known<'_>) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for (column, _) in part.columns {
        let words = match column.holds {
            Holds::Word(words) | Holds::Words(words) => words.to_vec(),
            _ if [Application::written_extent, Preparation::written_extent].contains(column) => {
                vec!["all", "exposed", "patches", "an area"]
            }
            _ => known.names(column),
        };
        if !words.is_empty() {
            let words = shortened(&words.join(", "), LONGEST_LIST);
            found.push((heading(part.spec, column, known), words));
        }
    }
    found
}

/// What the rows of a part take from the head of the sheet.
fn from_head(part: &Part) -> String {
    let names: Vec<&str> = part.in_head.iter().map(|column| column.name).collect();
    and(&names)
}
