//! Tables laid out on sheets: how many rows each has, and what stands below them.

use serde::Serialize;

use super::known::{Cell, Known, Row};
use super::parts::{Form, Group, Part};
use crate::records::spec::{Column, FileSpec, Holds};
use crate::text::{and, shortened};
use crate::units::nine_digits;

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
    across: bool,
    position: Option<String>,
    number: usize,
    of: usize,
    tables: Vec<Table>,
    /// What certain columns may hold: heading, words.
    words: Vec<(String, String)>,
    /// Where it goes: file, and what its rows take from the head.
    files: Vec<(&'static str, String)>,
}

#[derive(Debug, Serialize)]
struct Table {
    about: &'static str,
    columns: Vec<Head>,
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

/// The sheets of a group: each table begins where the last one ended, goes on as often as it must, and what
/// is left of the last sheet is blank rows.
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
    let sheet = |parts: Vec<(&Part, Vec<Row>)>| Sheet {
        title: group.title,
        across: group.across,
        position: position.map(str::to_string),
        number: 1,
        of: 1,
        words: parts.iter().flat_map(|(part, _)| words(part, known)).collect(),
        files: parts.iter().map(|(part, _)| (part.spec.path, taken(part))).collect(),
        tables: parts.iter().map(|(part, rows)| table(part, rows, known, width_mm)).collect(),
    };
    sheets.into_iter().map(sheet).collect()
}

fn table(part: &Part, rows: &[Row], known: &Known<'_>, width_mm: f64) -> Table {
    let shares: f64 = part.columns.iter().map(|(_, share)| share).sum();
    let headings: Vec<String> =
        part.columns.iter().map(|(name, _)| heading(part.spec, name, known)).collect();
    let cells = |row: &Row| {
        let cell = |((name, _), heading): (&(&'static str, f64), &String)| {
            let (_, cell) = row.iter().find(|(column, _)| column == name)?;
            Some(match cell {
                Cell::Text(text) => text.clone(),
                Cell::Metres(metres) => {
                    let unit = column(part.spec, name).and_then(|column| column.unit_in(heading));
                    nine_digits(unit.map_or(*metres, |unit| unit.from_kept(*metres)))
                }
            })
        };
        part.columns.iter().zip(&headings).map(cell).collect()
    };
    let rows = rows.iter().map(cells).collect();
    let head = |((name, share), heading): (&(&'static str, f64), String)| Head {
        hint: column(part.spec, name).map_or("", |column| hint(column, part)),
        width_mm: width_mm * share / shares,
        heading,
    };
    Table {
        about: part.about,
        rows,
        columns: part.columns.iter().zip(headings.iter().cloned()).map(head).collect(),
    }
}

fn column(spec: &'static FileSpec, name: &str) -> Option<&'static Column> {
    spec.columns.iter().find(|column| column.name == name)
}

/// A column's heading as the project's file has it, else as a blank file has it. What is no column of the
/// description is a note.
fn heading(spec: &'static FileSpec, name: &str, known: &Known<'_>) -> String {
    let Some(column) = column(spec, name) else { return name.to_string() };
    let sheets = known.project.into_iter().flat_map(|project| &project.sheets);
    let own = sheets.filter(|sheet| sheet.spec.path == spec.path).flat_map(|sheet| &sheet.header);
    let blank = spec.headings();
    let mut headings = own.chain(&blank);
    headings
        .find(|heading| column.is_headed(heading))
        .cloned()
        .unwrap_or_else(|| column.kept_name())
}

/// How a value is written.
fn hint(column: &Column, part: &Part) -> &'static str {
    match column.holds {
        // Where the head speaks for who, the sheet is of one day.
        Holds::Time if part.in_head.is_empty() || column.name != "at" => "day, hh:mm",
        Holds::Time => "hh:mm",
        Holds::Flag => "yes / no",
        _ => "",
    }
}

/// The words and names that a part's columns may hold, where they are not printed in anyway.
fn words(part: &Part, known: &Known<'_>) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for (name, _) in part.columns {
        let Some(column) = column(part.spec, name) else { continue };
        let words = match column.holds {
            Holds::Word(words) => words.to_vec(),
            _ if *name == "extent" => vec!["all", "exposed", "patches", "an area"],
            _ => known.names(name),
        };
        if !words.is_empty() {
            found.push((
                heading(part.spec, name, known),
                shortened(&words.join(", "), LONGEST_LIST),
            ));
        }
    }
    found
}

/// What the rows of a part take from the head of the sheet.
fn taken(part: &Part) -> String {
    and(part.in_head)
}
