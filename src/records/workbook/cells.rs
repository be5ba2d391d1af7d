//! The cells of a workbook as the texts that a CSV file would hold.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Cursor;

use calamine::{Data, DataRef, Ods, Reader, SheetType, SheetVisible, Xlsx, XlsxFormulaMetadata};

use super::measured::{self, Looks, MOST_CELLS, MOST_TEXT, Merged};
use super::unpacked::{Format, Unpacked, unpack};
use super::unseen::{self, Unseen};
use super::values::{Cell, Shown, to_cell};
use crate::records::contained::contained;
use crate::records::place::letters;

/// The columns and rows that a sheet may have, as the two formats bound them.
const WIDEST: u32 = 1 << 14;
const LONGEST: u32 = 1 << 20;

/// A sheet's cells by row and column, each from 0; empty ones are not there.
#[derive(Debug, Default)]
pub(super) struct Cells {
    pub name: String,
    pub cells: BTreeMap<(u32, u32), Cell>,
    pub merged: Vec<Merged>,
    /// Cells whose formulas sum up other cells.
    pub totals: BTreeSet<(u32, u32)>,
    pub unseen: Unseen,
}

/// Reads every sheet that has cells; else says what is wrong with the workbook. What unpacks and takes apart is
/// a library's, and its panics are among that: the numbers of cells are turned into dates here, with checks, since
/// there it is known to panic, but nobody has read all of it.
pub(super) fn read(bytes: &[u8], format: Format, room: &mut Room) -> Result<Vec<Cells>, String> {
    contained(|| {
        let unpacked = unpack(bytes, format)?;
        match format {
            Format::OfficeOpen => office_open(unpacked, room),
            Format::OpenDocument => open_document(unpacked, room),
        }
    })
    .unwrap_or_else(|panicked| Err(format!("can't be read: {panicked}")))
}

/// What may still be read of all workbooks of a project.
pub(super) struct Room {
    cells: usize,
    text: usize,
}

impl Default for Room {
    fn default() -> Self {
        Self { cells: MOST_CELLS, text: MOST_TEXT }
    }
}

impl Cells {
    fn put(&mut self, at: (u32, u32), cell: Option<Cell>, room: &mut Room) -> Result<(), String> {
        let Some(cell) = cell else { return Ok(()) };
        if at.0 >= LONGEST || at.1 >= WIDEST {
            return Err(format!("has a cell beyond the limits of a sheet, in {}", self.name));
        }
        let text = if let Cell::Text(text) = &cell { text.len() } else { 0 };
        let left = room.cells.checked_sub(1).zip(room.text.checked_sub(text));
        let Some((cells, text)) = left else {
            return Err("holds more cells or more text than any docking needs".to_string());
        };
        *room = Room { cells, text };
        self.cells.insert(at, cell);
        Ok(())
    }
}

fn office_open(unpacked: Unpacked, room: &mut Room) -> Result<Vec<Cells>, String> {
    let mut unseen = unseen::of_sheets(&unpacked.zip);
    let mut book = Xlsx::new(Cursor::new(unpacked.zip)).map_err(|error| error.to_string())?;
    let sheets = book.sheets_metadata().iter().filter(|sheet| sheet.typ == SheetType::WorkSheet);
    let names: Vec<String> = sheets.map(|sheet| sheet.name.clone()).collect();
    let mut found = Vec::new();
    for name in names {
        let failed = |error: calamine::XlsxError| format!("sheet {name}: {error}");
        let formulas = formulas(&mut book, &name)?;
        let merged = book.merge_cells_by_sheet_name(&name).map_err(failed)?;
        let mut reader = book.worksheet_cells_reader(&name).map_err(failed)?;
        let merged = merged.into_iter();
        let mut sheet = Cells {
            name: name.clone(),
            merged: merged.map(|range| Merged { first: range.start, last: range.end }).collect(),
            totals: formulas.totals,
            unseen: unseen.remove(&name).unwrap_or_default(),
            ..Cells::default()
        };
        let mut last = None;
        loop {
            let next = reader.next_cell_with_style_id();
            let next = next.map_err(|error| format!("{}{}", failed(error), behind(last)))?;
            let Some((cell, style)) = next else { break };
            let at = cell.get_position();
            last = Some(at);
            let style = reader.styles().get(style).and_then(|style| style.number_format.as_ref());
            let shown = style.map_or(Shown::default(), |format| Shown::by(&format.format_code));
            let held = if formulas.not_calculated.contains(&at) {
                Some(Cell::NotCalculated)
            } else {
                to_cell(&Data::from(cell.get_value().clone()), shown)
            };
            sheet.put(at, held, room)?;
        }
        found.push(sheet);
    }
    Ok(found)
}

/// Where it was that a library gave up: at the cell behind the last that it read.
fn behind(last: Option<(u32, u32)>) -> String {
    match last {
        Some((row, column)) => {
            let column = letters(column.saturating_add(1));
            format!(", in the cell after {column}{}", row.saturating_add(1))
        }
        None => ", in its first cell".to_string(),
    }
}

/// Where formulas stand that matter.
#[derive(Default)]
struct Formulas {
    /// Without a value: a program that does not calculate wrote them.
    not_calculated: BTreeSet<(u32, u32)>,
    /// Those that sum up other cells.
    totals: BTreeSet<(u32, u32)>,
}

fn formulas(book: &mut Xlsx<Cursor<Vec<u8>>>, name: &str) -> Result<Formulas, String> {
    let failed = |error: calamine::XlsxError| format!("sheet {name}: {error}");
    let mut reader = book.worksheet_cells_reader(name).map_err(failed)?;
    let mut found = Formulas::default();
    let mut last = None;
    loop {
        let next = reader.next_cell_with_formula_metadata();
        let next = next.map_err(|error| format!("{}{}", failed(error), behind(last)))?;
        let Some(cell) = next else { break };
        last = Some(cell.pos);
        let Some(formula) = cell.formula else { continue };
        if cell.value == DataRef::Empty {
            found.not_calculated.insert(cell.pos);
        }
        let written = match &formula {
            XlsxFormulaMetadata::Normal { formula }
            | XlsxFormulaMetadata::Shared { formula, .. } => formula.as_str(),
            _ => "",
        };
        if is_total(written) {
            found.totals.insert(cell.pos);
        }
    }
    Ok(found)
}

/// Whether a formula sums up a range of cells: `SUM(C2:C9)`, in OpenDocument `of:=SUM([.C2:.C9])`.
fn is_total(formula: &str) -> bool {
    const NAMES: [&str; 4] = ["SUM(", "SUBTOTAL(", "AVERAGE(", "AGGREGATE("];
    let written = formula.trim_start_matches("of:").trim_start_matches('=').to_uppercase();
    NAMES.iter().any(|name| written.starts_with(name))
        && written.contains(':')
        && written.ends_with(')')
}

fn open_document(unpacked: Unpacked, room: &mut Room) -> Result<Vec<Cells>, String> {
    let Looks { shares, midnights, merged, errors, decimals, mut unseen } =
        measured::measure(&unpacked.content).map_err(|wrong| format!("content.xml {}", wrong.0))?;
    let mut book = Ods::new(Cursor::new(unpacked.zip)).map_err(|error| error.to_string())?;
    let names: Vec<String> = book.sheet_names();
    let visible: Vec<SheetVisible> =
        book.sheets_metadata().iter().map(|sheet| sheet.visible).collect();
    let mut found = Vec::new();
    for (number, name) in names.into_iter().enumerate() {
        let failed = |error: calamine::OdsError| format!("sheet {name}: {error}");
        let range = book.worksheet_range(&name).map_err(failed)?;
        let formulas = book.worksheet_formula(&name).map_err(failed)?;
        let mut sheet = Cells { name: name.clone(), ..Cells::default() };
        let of_sheet = merged.iter().filter(|(sheet, _)| *sheet == number);
        sheet.merged = of_sheet.map(|(_, merged)| *merged).collect();
        sheet.unseen = unseen.remove(&number).unwrap_or_default();
        sheet.unseen.is_hidden =
            visible.get(number).is_some_and(|one| *one != SheetVisible::Visible);
        let (top, left) = range.start().unwrap_or_default();
        for (row, column, data) in range.used_cells() {
            let (Ok(row), Ok(column)) = (u32::try_from(row), u32::try_from(column)) else {
                continue;
            };
            let at = (top.saturating_add(row), left.saturating_add(column));
            let place = (number, at.0, at.1);
            let shown = Shown {
                as_share: shares.contains(&place),
                with_time: midnights.contains(&place),
                decimals: decimals.get(&place).copied(),
            };
            let held = match data {
                Data::String(text) if errors.contains(&place) => Some(Cell::Error(text.clone())),
                data => to_cell(data, shown),
            };
            sheet.put(at, held, room)?;
        }
        let (top, left) = formulas.start().unwrap_or_default();
        for (row, column, formula) in formulas.used_cells() {
            let (Ok(row), Ok(column)) = (u32::try_from(row), u32::try_from(column)) else {
                continue;
            };
            let at = (top.saturating_add(row), left.saturating_add(column));
            if is_total(formula) {
                sheet.totals.insert(at);
            }
            if range.get_value(at).is_none_or(|data| *data == Data::Empty) {
                sheet.put(at, Some(Cell::NotCalculated), room)?;
            }
        }
        found.push(sheet);
    }
    Ok(found)
}
