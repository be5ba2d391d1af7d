//! The cells of a workbook as the texts that a CSV file would hold.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Cursor;

use calamine::{Data, DataRef, Ods, Reader, SheetType, Xlsx};
use chrono::{NaiveDate, NaiveDateTime, NaiveTime, Timelike};

use super::measured::{self, Looks};
use super::unpacked::{Unpacked, unpacked};
use super::{Format, MOST_CELLS, MOST_TEXT};

/// The columns and rows that a sheet may have, as the two formats bound them.
const WIDEST: u32 = 1 << 14;
const LONGEST: u32 = 1 << 20;

/// What a cell holds.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// Text, or a number or a truth value as text.
    Text(String),
    /// A date with a time of day.
    Moment(NaiveDateTime),
    /// A date alone.
    Day(NaiveDate),
    /// A formula whose value the file does not hold.
    Unreckoned,
}

/// A sheet's cells by row and column, each from 0; empty ones are not there.
#[derive(Debug, Default)]
pub(super) struct Cells {
    pub name: String,
    pub cells: BTreeMap<(u32, u32), Cell>,
    pub merged: Vec<Merged>,
}

/// Cells that are shown as one: the first and the last of them by row and column, each from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Merged {
    pub first: (u32, u32),
    pub last: (u32, u32),
}

/// Reads every sheet that has cells; else says what is wrong with the workbook.
pub(super) fn read(bytes: &[u8], format: Format) -> Result<Vec<Cells>, String> {
    let unpacked = unpacked(bytes, format)?;
    let mut room = Room { cells: MOST_CELLS, text: MOST_TEXT };
    match format {
        Format::OfficeOpen => office_open(unpacked, &mut room),
        Format::OpenDocument => open_document(unpacked, &mut room),
    }
}

/// What may still be read.
struct Room {
    cells: usize,
    text: usize,
}

impl Cells {
    fn put(&mut self, at: (u32, u32), cell: Option<Cell>, room: &mut Room) -> Result<(), String> {
        let Some(cell) = cell else { return Ok(()) };
        if at.0 >= LONGEST || at.1 >= WIDEST {
            return Err(format!("has a cell outside of every sheet, in {}", self.name));
        }
        let text = if let Cell::Text(text) = &cell { text.len() } else { 0 };
        let left = room.cells.checked_sub(1).zip(room.text.checked_sub(text));
        let Some((cells, text)) = left else {
            return Err("holds more cells or more text than any docking has".to_string());
        };
        *room = Room { cells, text };
        self.cells.insert(at, cell);
        Ok(())
    }
}

fn office_open(unpacked: Unpacked, room: &mut Room) -> Result<Vec<Cells>, String> {
    let mut book = Xlsx::new(Cursor::new(unpacked.zip)).map_err(|error| error.to_string())?;
    let sheets = book.sheets_metadata().iter().filter(|sheet| sheet.typ == SheetType::WorkSheet);
    let names: Vec<String> = sheets.map(|sheet| sheet.name.clone()).collect();
    let mut found = Vec::new();
    for name in names {
        let failed = |error: calamine::XlsxError| format!("sheet {name}: {error}");
        let unreckoned = unreckoned(&mut book, &name).map_err(failed)?;
        let merged = book.merge_cells_by_sheet_name(&name).map_err(failed)?;
        let mut reader = book.worksheet_cells_reader(&name).map_err(failed)?;
        let mut sheet = Cells { name: name.clone(), ..Cells::default() };
        sheet.merged = merged
            .into_iter()
            .map(|range| Merged { first: range.start, last: range.end })
            .collect();
        while let Some((cell, style)) = reader.next_cell_with_style_id().map_err(failed)? {
            let at = cell.get_position();
            let style = reader.styles().get(style).and_then(|style| style.number_format.as_ref());
            let shown = style.map_or(Shown::Plainly, |format| Shown::by(&format.format_code));
            let held = if unreckoned.contains(&at) {
                Some(Cell::Unreckoned)
            } else {
                held(&Data::from(cell.get_value().clone()), shown)
            };
            sheet.put(at, held, room)?;
        }
        found.push(sheet);
    }
    Ok(found)
}

/// Where a formula stands without a value: a program that does not reckon wrote it.
fn unreckoned(
    book: &mut Xlsx<Cursor<Vec<u8>>>,
    name: &str,
) -> Result<BTreeSet<(u32, u32)>, calamine::XlsxError> {
    let mut reader = book.worksheet_cells_reader(name)?;
    let mut found = BTreeSet::new();
    while let Some(cell) = reader.next_cell_with_formula_metadata()? {
        if cell.formula.is_some() && cell.value == DataRef::Empty {
            found.insert(cell.pos);
        }
    }
    Ok(found)
}

fn open_document(unpacked: Unpacked, room: &mut Room) -> Result<Vec<Cells>, String> {
    let Looks { shares, midnights, merged } = measured::measured(&unpacked.content)
        .map_err(|wrong| format!("content.xml {}", wrong.0))?;
    let mut book = Ods::new(Cursor::new(unpacked.zip)).map_err(|error| error.to_string())?;
    let names: Vec<String> = book.sheet_names();
    let mut found = Vec::new();
    for (number, name) in names.into_iter().enumerate() {
        let failed = |error: calamine::OdsError| format!("sheet {name}: {error}");
        let range = book.worksheet_range(&name).map_err(failed)?;
        let formulas = book.worksheet_formula(&name).map_err(failed)?;
        let mut sheet = Cells { name: name.clone(), ..Cells::default() };
        let of_sheet = merged.iter().filter(|(sheet, _)| *sheet == number);
        sheet.merged = of_sheet.map(|(_, merged)| *merged).collect();
        let (top, left) = range.start().unwrap_or_default();
        for (row, column, data) in range.used_cells() {
            let (Ok(row), Ok(column)) = (u32::try_from(row), u32::try_from(column)) else {
                continue;
            };
            let at = (top.saturating_add(row), left.saturating_add(column));
            let place = (number, at.0, at.1);
            let shown = match (shares.contains(&place), midnights.contains(&place)) {
                (true, _) => Shown::AsShare,
                (_, true) => Shown::WithTime,
                _ => Shown::Plainly,
            };
            sheet.put(at, held(data, shown), room)?;
        }
        let (top, left) = formulas.start().unwrap_or_default();
        for (row, column, _) in formulas.used_cells() {
            let (Ok(row), Ok(column)) = (u32::try_from(row), u32::try_from(column)) else {
                continue;
            };
            let at = (top.saturating_add(row), left.saturating_add(column));
            if range.get_value(at).is_none_or(|data| *data == Data::Empty) {
                sheet.put(at, Some(Cell::Unreckoned), room)?;
            }
        }
        found.push(sheet);
    }
    Ok(found)
}

/// How a number is shown, as far as that says what it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shown {
    Plainly,
    /// In per cent.
    AsShare,
    /// As a date with a time of day.
    WithTime,
}

impl Shown {
    /// By the code of a cell's format, ISO/IEC 29500-1, 18.8.31: hours are `h`; what stands in quotation marks, in
    /// brackets or behind a stroke is no code.
    fn by(code: &str) -> Self {
        if code.contains('%') {
            return Self::AsShare;
        }
        let mut chars = code.chars();
        let mut with_time = false;
        while let Some(c) = chars.next() {
            match c {
                '"' => _ = chars.find(|c| *c == '"'),
                '[' => _ = chars.find(|c| *c == ']'),
                '\\' => _ = chars.next(),
                'h' | 'H' => with_time = true,
                _ => {}
            }
        }
        if with_time { Self::WithTime } else { Self::Plainly }
    }
}

/// What a cell holds, if it holds anything.
fn held(data: &Data, shown: Shown) -> Option<Cell> {
    let text = match data {
        Data::Empty => return None,
        Data::Int(number) => number.to_string(),
        Data::Float(number) if shown == Shown::AsShare => {
            format!("{}%", number_text(number * 100.0))
        }
        Data::Float(number) => number_text(*number),
        Data::Bool(truth) => truth.to_string(),
        Data::String(text) => text.clone(),
        Data::Error(error) => error.to_string(),
        Data::DurationIso(text) => time_of_day(text).unwrap_or_else(|| text.clone()),
        Data::DateTimeIso(text) => return Some(iso(text, shown == Shown::WithTime)),
        Data::DateTime(serial) => match serial.as_datetime().filter(|_| serial.is_datetime()) {
            // Below 1 there is no day: a time of day alone.
            Some(moment) if serial.as_f64() < 1.0 => rounded(moment).time().to_string(),
            Some(moment) => return Some(dated(rounded(moment), shown == Shown::WithTime)),
            None => number_text(serial.as_f64()),
        },
    };
    (!text.trim().is_empty()).then_some(Cell::Text(text))
}

/// A date; with its time of day, unless that is midnight and nothing says that it was meant.
fn dated(moment: NaiveDateTime, with_time: bool) -> Cell {
    if with_time || moment.time() != NaiveTime::MIN {
        Cell::Moment(moment)
    } else {
        Cell::Day(moment.date())
    }
}

/// A date or a date with a time as OpenDocument has them; with an offset it stays the text that it is. On the
/// day from which serial numbers count stands what is a time of day alone: a spreadsheet that turns a workbook
/// into OpenDocument may write it so.
fn iso(text: &str, with_time: bool) -> Cell {
    let moment = NaiveDateTime::parse_from_str(text, "%Y-%m-%dT%H:%M:%S%.f").ok().map(rounded);
    let day = || NaiveDate::parse_from_str(text, "%Y-%m-%d").ok();
    match (moment, NaiveDate::from_ymd_opt(1899, 12, 30)) {
        (Some(moment), Some(zero)) if moment.date() == zero => {
            Cell::Text(moment.time().to_string())
        }
        (Some(moment), _) => Cell::Moment(moment),
        (None, _) => match day() {
            Some(day) => dated(day.and_time(NaiveTime::MIN), with_time),
            None => Cell::Text(text.to_string()),
        },
    }
}

/// A length of time as OpenDocument has it, `PT14H30M00S`, as the time of day that is shown; `None` for a
/// day or more.
fn time_of_day(text: &str) -> Option<String> {
    let (hours, rest) = text.strip_prefix("PT")?.split_once('H')?;
    let (minutes, rest) = rest.split_once('M')?;
    let seconds = rest.strip_suffix('S')?;
    let text = format!("{hours:0>2}:{minutes:0>2}:{seconds:0>2}");
    NaiveTime::parse_from_str(&text.replace(',', "."), "%H:%M:%S%.f")
        .ok()
        .map(|time| time.to_string())
}

/// To the millisecond: a spreadsheet keeps a moment as a fraction of days, which meets no second exactly.
fn rounded(moment: NaiveDateTime) -> NaiveDateTime {
    let half = chrono::TimeDelta::microseconds(500);
    let later = moment.checked_add_signed(half).unwrap_or(moment);
    later.with_nanosecond(later.nanosecond() / 1_000_000 * 1_000_000).unwrap_or(later)
}

/// A number with fifteen digits, which is what spreadsheets keep of those typed in: the rest of a reckoned
/// one is noise of binary fractions.
fn number_text(number: f64) -> String {
    let fifteen = format!("{number:.14e}");
    let exponent = fifteen.split_once('e').and_then(|(_, e)| e.parse::<i32>().ok()).unwrap_or(0);
    let kept: f64 = fifteen.parse().unwrap_or(number);
    if kept == 0.0 {
        "0".to_string()
    } else if (-7..=15).contains(&exponent) {
        kept.to_string()
    } else {
        format!("{kept:e}")
    }
}

impl Cell {
    /// A date, or a moment as a column of such has it: with its time of day, if any in the column has one.
    pub fn dated(&self, with_time: bool) -> Option<String> {
        match self {
            Cell::Moment(moment) if with_time => {
                Some(moment.format("%Y-%m-%dT%H:%M:%S%.f").to_string())
            }
            Cell::Moment(moment) => Some(moment.date().to_string()),
            Cell::Day(day) => Some(day.to_string()),
            Cell::Text(_) | Cell::Unreckoned => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_the_digits_that_were_typed() {
        for (number, text) in [
            (12.0, "12"),
            (0.1 + 0.2, "0.3"),
            (-0.0, "0"),
            (12.40, "12.4"),
            (1_234_567_890_123.0, "1234567890123"),
            (1_234_567.891, "1234567.891"),
            (1.1e-5, "0.000011"),
            (1e300, "1e300"),
            (2.5e-12, "2.5e-12"),
        ] {
            assert_eq!(number_text(number), text);
        }
    }

    #[test]
    fn moments_are_told_to_the_second_that_was_meant() {
        // 2031-04-09 is day 47 947 of the 1900 date system: 2031-01-01 is 47 849 (openpyxl's to_excel).
        let serial = |value| {
            let kind = calamine::ExcelDateTimeType::DateTime;
            held(&Data::DateTime(calamine::ExcelDateTime::new(value, kind, false)), Shown::Plainly)
        };
        let at = |h, m| NaiveDate::from_ymd_opt(2031, 4, 9).and_then(|d| d.and_hms_opt(h, m, 0));
        assert_eq!(serial(47_947.0 + 400.0 / 1440.0), at(6, 40).map(Cell::Moment));
        assert_eq!(serial(47_947.277_777_777_73), at(6, 40).map(Cell::Moment));
        assert_eq!(serial(0.25), Some(Cell::Text("06:00:00".into())));
        assert_eq!(
            iso("2031-04-09T06:39:59.999999999", false),
            Cell::Moment(at(6, 40).expect("a time"))
        );
        assert_eq!(iso("2031-04-09", false), Cell::Day(at(0, 0).expect("a time").date()));
        assert_eq!(iso("2031-04-09T00:00:00", false), Cell::Moment(at(0, 0).expect("a time")));
        assert_eq!(iso("1899-12-30T14:30:00", false), Cell::Text("14:30:00".into()));
        assert_eq!(time_of_day("PT14H30M00S").as_deref(), Some("14:30:00"));
        assert_eq!(time_of_day("PT06H05M00.5S").as_deref(), Some("06:05:00.500"));
        assert_eq!(time_of_day("PT30H00M00S"), None);
        assert_eq!(iso("2031-04-09T06:40:00Z", false), Cell::Text("2031-04-09T06:40:00Z".into()));
        let text = |time| Cell::Moment(at(6, 40).expect("a time")).dated(time);
        assert_eq!(text(true).as_deref(), Some("2031-04-09T06:40:00"));
        assert_eq!(text(false).as_deref(), Some("2031-04-09"));
    }

    #[test]
    fn midnight_is_a_time_only_where_it_is_shown() {
        let midnight = |code: &str| {
            let kind = calamine::ExcelDateTimeType::DateTime;
            let serial = calamine::ExcelDateTime::new(47_947.0, kind, false);
            held(&Data::DateTime(serial), Shown::by(code))
        };
        let day = NaiveDate::from_ymd_opt(2031, 4, 9).expect("a day");
        for code in ["m/d/yy h:mm", "yyyy-mm-dd HH:MM", "[$-409]h:mm AM/PM"] {
            assert_eq!(midnight(code), Some(Cell::Moment(day.and_time(NaiveTime::MIN))), "{code}");
        }
        for code in ["yyyy-mm-dd", "m/d/yy", "[White]d mmm", "d\\h", "d \"th\""] {
            assert_eq!(midnight(code), Some(Cell::Day(day)), "{code}");
        }
    }
}
