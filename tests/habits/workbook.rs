//! The tables of the sample, written anew, as the sheets of one workbook: times as the dates of a spreadsheet in some
//! columns and as text in others, shares as percent cells, numbers that are shown as fractions, yes and no as what the
//! spreadsheet makes of TRUE and FALSE.

use rust_xlsxwriter::{ExcelDateTime, Format, Workbook, Worksheet};

use super::anew::{Clock, Table, as_it_is, table};

/// A workbook with one sheet, all of whose cells are text.
pub fn of_text(file: &str, table: &Table) -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name(sheet_name(file)).expect("a name for a sheet");
    for (row, cells) in table.iter().enumerate() {
        for (column, text) in cells.iter().enumerate() {
            sheet.write_string(at(row), column_at(column), text).expect("a cell");
        }
    }
    book.save_to_buffer().expect("a workbook")
}

fn sheet_name(file: &str) -> String {
    file.trim_end_matches(".csv").replace('/', "-")
}

/// A workbook with a sheet for each file.
pub fn of(files: &[String], clock_of: impl Fn(&str) -> Clock) -> Vec<u8> {
    let mut book = Workbook::new();
    for file in files {
        let sheet = book.add_worksheet();
        sheet.set_name(sheet_name(file)).expect("a name for a sheet");
        let (before, now) = (as_it_is(file), table(file, clock_of(file)));
        let headings = before[0].clone();
        for (row, (before, now)) in before.iter().zip(&now).enumerate() {
            for (column, (before, now)) in before.iter().zip(now).enumerate() {
                let heading = &headings[column];
                if row > 0 && write_typed(sheet, (row, column), heading, before, now).is_some() {
                    continue;
                }
                sheet.write_string(at(row), column_at(column), now).expect("a cell");
            }
        }
    }
    book.save_to_buffer().expect("a workbook")
}

fn at(row: usize) -> u32 {
    u32::try_from(row).expect("a row")
}

fn column_at(column: usize) -> u16 {
    u16::try_from(column).expect("a column")
}

/// Writes a cell with the type that a spreadsheet gives it as it is typed; `None` where it is text.
fn write_typed(
    sheet: &mut Worksheet,
    (row, column): (usize, usize),
    heading: &str,
    before: &str,
    now: &str,
) -> Option<()> {
    let (row, at) = (at(row), column_at(column));
    let shown = |code: &str| Format::new().set_num_format(code);
    let number = before.parse::<f64>().ok();
    match heading {
        "opened_at" | "touched" | "landed" | "taken_at" | "at" if !before.is_empty() => {
            let local = before.get(..19)?;
            let moment = ExcelDateTime::parse_from_str(local).ok()?;
            sheet
                .write_datetime_with_format(row, at, &moment, &shown("m/d/yyyy h:mm AM/PM"))
                .ok()?;
        }
        "humidity_pct" | "relative_loss_limit_pct" => {
            sheet.write_number_with_format(row, at, number? / 100.0, &shown("0%")).ok()?;
        }
        "frame" => _ = sheet.write_number_with_format(row, at, number?, &shown("# ?/?")).ok()?,
        "renewed" | "as_planned" => _ = sheet.write_boolean(row, at, before == "yes").ok()?,
        _ => _ = sheet.write_number(row, at, now.parse::<f64>().ok()?).ok()?,
    }
    Some(())
}
