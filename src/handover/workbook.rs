//! The tables of a new project as the sheets of one workbook: units in the headings, a note on each,
//! drop-down lists for fixed words and for names given in another sheet.

use std::collections::BTreeMap;

use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, DocProperties, ExcelDateTime, Format, FormatBorder,
    Formula, Note, Workbook, Worksheet, XlsxError,
};

use super::blank::House;
use super::readme::rename;
use crate::records::FILES;
use crate::records::docking::Paper;
use crate::records::history;
use crate::records::spec::{Column, FileSpec, Holds, Kind, Need};
use crate::records::workbook::NAMES;

/// Its path in the project.
pub const PATH: &str = NAMES[0];

/// What a folder's `README.txt` says about it.
pub(super) const ABOUT: &str = "
The tables are the sheets of one workbook here, project.xlsx. Where this page
names plan/blocks.csv, use the sheet plan-blocks, and so on. The first sheet
says how to fill it in. Keep the file's name, and save it as .xlsx. What it
says is archived as CSV beside it, so that nobody has to open it again.
";

/// The same where the tables are files of CSV.
pub(super) const ABOUT_CSV: &str = "
Who likes spreadsheets begins with lastdock start --workbook instead: all
tables are then the sheets of one workbook, with a note on every heading and
lists of the words that may be written, and nothing has to be saved as CSV.
";

/// The first sheet. Its name begins with note, so that nothing is read from it.
const FIRST: &str = "note-how-to";

/// Rows that drop-down lists reach down to.
const LAST_ROW: u32 = 4999;

/// A paper by its number in Office Open XML.
fn number_of(paper: Paper) -> u8 {
    match paper {
        Paper::A4 => 9,
        Paper::UsLetter => 1,
    }
}

/// What the first sheet says; each line fits its column, since not every spreadsheet makes room for two.
const HOW_TO: &[&str] = &[
    "The tables of a docking's record, one sheet for each. Go through them in their order.",
    "Keep the names of the sheets and the first row of each. One thing to a row, from the second on.",
    "A heading in bold must be filled in every row; the others where there is something to write.",
    "The last part of a heading is the unit of its numbers.",
    "{rename}",
    "Rest the pointer on a heading: a note says what belongs in the column.",
    "Leave blank what was not read. Nothing is ever taken for 0.",
    "Short names (K12, P1, SC1, F3) link the sheets: letters, digits, - and _ only.",
    "Times are written 2031-04-09 06:40, in the dock's time, whose offset stands in docking.toml.",
    "Write numbers alone, without a unit or a per cent sign after them.",
    "Write 3/8 as 0.375 or as 0 3/8: of 3/8 alone a spreadsheet makes a date.",
    "Merge no cells, and put no title above a heading and no sum below a column.",
    "Colours and comments on cells are not read: what is to be kept goes into a note column.",
    "The name of a column or sheet of your own begins with note: it is kept but not read.",
    "Save under the same name, as .xlsx. Then lastdock check FOLDER says what does not agree.",
];

/// Replaces the tables among these files, CSV by their paths in the project, by one workbook. The files of earlier
/// dockings stay as they are.
pub fn replace_tables(
    files: &mut BTreeMap<String, Vec<u8>>,
    house: House,
) -> Result<(), XlsxError> {
    let mut book = Workbook::new();
    // The day of writing would make two workbooks differ.
    let day = ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(
        &DocProperties::new().set_title("Docking record").set_creation_datetime(&day),
    );
    let mut tables = Vec::new();
    for spec in FILES.iter().filter(|spec| !spec.path.starts_with(history::FOLDER)) {
        if let Some(csv) = files.remove(spec.path) {
            tables.push((*spec, rows(&csv)));
        }
    }
    how_to(book.add_worksheet(), &tables, house)?;
    for (spec, rows) in &tables {
        sheet(book.add_worksheet(), spec, rows, &tables)?.set_paper_size(number_of(house.paper));
    }
    files.insert(PATH.to_string(), book.save_to_buffer()?);
    Ok(())
}

type Table = (&'static FileSpec, Vec<Vec<String>>);

/// The rows of a table that this program wrote, its headings first.
fn rows(csv: &[u8]) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(csv);
    let rows = reader.records().flatten();
    rows.map(|row| row.iter().map(String::from).collect()).collect()
}

fn how_to(sheet: &mut Worksheet, tables: &[Table], house: House) -> Result<(), XlsxError> {
    sheet.set_name(FIRST)?.set_column_width(0, 26)?.set_column_width(1, 96)?;
    sheet.write_string_with_format(0, 0, "How to fill in this workbook", &bold())?;
    let mut row = 2;
    let (own, other) = rename(house.units);
    let renamed = format!("To write in {other}, rename the heading: {own}.");
    for line in HOW_TO {
        sheet.write_string(row, 1, line.replace("{rename}", &renamed))?;
        row += 1;
    }
    row += 1;
    sheet.write_string_with_format(row, 0, "Sheet", &bold())?;
    sheet.write_string_with_format(row, 1, "One row of it is", &bold())?;
    for (spec, _) in tables {
        row += 1;
        sheet.write_string(row, 0, spec.table_name())?;
        sheet.write_string(row, 1, spec.row_is)?;
    }
    sheet.set_paper_size(number_of(house.paper)).set_print_fit_to_pages(1, 0);
    Ok(())
}

fn sheet<'a>(
    sheet: &'a mut Worksheet,
    spec: &FileSpec,
    rows: &[Vec<String>],
    tables: &[Table],
) -> Result<&'a mut Worksheet, XlsxError> {
    sheet.set_name(spec.table_name())?;
    let headings = rows.first().map(Vec::as_slice).unwrap_or_default();
    let columns: Vec<Option<&Column>> =
        headings.iter().map(|heading| spec.columns.iter().find(|c| c.is_headed(heading))).collect();
    for ((at, heading), column) in (0..).zip(headings).zip(&columns) {
        let must = column.is_some_and(|column| column.need == Need::Always);
        let plain = Format::new();
        let format = if must { bold() } else { plain }
            .set_border_bottom(FormatBorder::Thin)
            .set_num_format("@");
        sheet.write_string_with_format(0, at, heading, &format)?;
        sheet.set_column_width(at, width(heading, *column))?;
        let Some(column) = column else { continue };
        if let Some(shown) = shown_as(column, heading) {
            sheet.set_column_format(at, &Format::new().set_num_format(shown))?;
        }
        let note =
            Note::new(note_text(column)).add_author_prefix(false).set_width(260).set_height(110);
        sheet.insert_note(0, at, &note)?;
        if let Some(list) = list(column, tables)? {
            sheet.add_data_validation(1, at, LAST_ROW, at, &list)?;
        }
    }
    for (row, cells) in (1..).zip(rows.iter().skip(1)) {
        for ((at, text), column) in (0..).zip(cells).zip(&columns) {
            write(sheet, row, at, text, *column)?;
        }
    }
    sheet.set_freeze_panes(1, 0)?.set_repeat_rows(0, 0)?;
    Ok(sheet.set_landscape().set_print_fit_to_pages(1, 0))
}

fn bold() -> Format {
    Format::new().set_bold()
}

/// Writes a number as a number where the column holds numbers, and everything else as text.
fn write(
    sheet: &mut Worksheet,
    row: u32,
    at: u16,
    text: &str,
    column: Option<&Column>,
) -> Result<(), XlsxError> {
    let numbers = column.is_some_and(|column| {
        column.quantity().is_some()
            || matches!(column.holds, Holds::Number(_) | Holds::Whole { .. })
    });
    match text.parse::<f64>() {
        _ if text.is_empty() => {}
        Ok(number) if numbers && number.is_finite() => {
            sheet.write_number(row, at, number)?;
        }
        _ => {
            sheet.write_string(row, at, text)?;
        }
    }
    Ok(())
}

/// In which format the cells of a column are shown: as text where a spreadsheet would make dates of
/// names (4-12) and of drafts in feet and inches (17-06).
fn shown_as(column: &Column, heading: &str) -> Option<&'static str> {
    match column.holds {
        Holds::Time => Some("yyyy\\-mm\\-dd hh:mm"),
        Holds::Date => Some("yyyy\\-mm\\-dd"),
        Holds::Draft if heading.ends_with("_ft") => Some("@"),
        Holds::Draft
        | Holds::Measure(..)
        | Holds::Bound(_)
        | Holds::Number(_)
        | Holds::Whole { .. } => None,
        _ => Some("@"),
    }
}

/// Wide enough for its heading and for what it usually holds, in characters.
fn width(heading: &str, column: Option<&Column>) -> f64 {
    let least = match column.map(|column| column.holds) {
        None | Some(Holds::Text | Holds::Called | Holds::Texts) => 24,
        Some(Holds::Time) => 17,
        Some(Holds::Refs(_) | Holds::AnyRefs | Holds::Words(_)) => 16,
        Some(Holds::Word(words)) => words.iter().map(|word| word.len()).max().unwrap_or(0) + 3,
        Some(_) => 10,
    };
    least.max(heading.chars().count() + 3) as f64
}

/// What a column holds, whether it must be filled, and what it means.
fn note_text(column: &Column) -> String {
    let holds = match column.holds {
        Holds::Id(_) => "A name of its own".to_string(),
        Holds::Part(kind) => {
            format!("The name of {}; it may stand in several rows", kind.with_article())
        }
        Holds::Ref(kind) => format!("The name of {}", kind.with_article()),
        Holds::Refs(kind) => {
            format!("Names, each of {}, with ; between them; or none", kind.with_article())
        }
        Holds::AnyRefs => {
            "Names with ; between them; block:K12 where two kinds share a name, plate:F-S.14 for plate 14 of strake \
             F-S, frame:57"
                .to_string()
        }
        Holds::Text | Holds::Called | Holds::Texts => "Text".to_string(),
        Holds::Name => "A plain name".to_string(),
        Holds::Word(words) => format!("One of: {}", words.join(", ")),
        Holds::Words(words) => format!("One or more of: {}, with ; between them", words.join(", ")),
        Holds::Grade => "A grade: Sa 2.5, St 3, P Sa 2.5, Wa 2, SP 10, WJ-2 L".to_string(),
        Holds::Grades => "Grades with ; between them: SP 10;WJ-2 L".to_string(),
        Holds::Whole { least } => format!("A whole number from {least} on"),
        Holds::Number(_) => "A number".to_string(),
        Holds::Measure(quantity, _) => {
            format!("A number; its unit may be {}", quantity.accepted_as_text())
        }
        Holds::Bound(quantity) => {
            format!("A number, or none; its unit may be {}", quantity.accepted_as_text())
        }
        Holds::Draft => "A draft; in feet also 17-06 for 17 feet 6 inches".to_string(),
        Holds::Time => "A time: 2031-04-09 06:40".to_string(),
        Holds::Date => "A day: 2031-04-09".to_string(),
        Holds::Flag => "yes or no".to_string(),
        Holds::Offset => "An offset from UTC: +01:00".to_string(),
    };
    let need = match column.need {
        Need::Always => "Must be filled in every row.",
        Need::Optional => "May be left blank.",
    };
    let mut meaning = column.meaning.to_string();
    if let Some(first) = meaning.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    format!("{meaning}.\n{holds}.\n{need}")
}

/// The list that drops down in a column: its fixed words, which alone may be written; or names given in
/// another sheet, beside which others may stand, since that sheet may be filled in later.
fn list(column: &Column, tables: &[Table]) -> Result<Option<DataValidation>, XlsxError> {
    let words = |words: &[&str]| {
        DataValidation::new()
            .allow_list_strings(words)?
            .set_error_title("Not one of the words")?
            .set_error_message("Choose a word from the list, or leave the cell blank.")
            .map(Some)
    };
    match column.holds {
        Holds::Word(known) => words(known),
        Holds::Flag => words(&["yes", "no"]),
        Holds::Ref(kind) => Ok(given_in(kind, tables).map(|range| {
            DataValidation::new()
                .allow_list_formula(Formula::new(range))
                .set_error_style(DataValidationErrorStyle::Information)
                .show_error_message(false)
        })),
        _ => Ok(None),
    }
}

/// The cells in which things of a kind get their names.
fn given_in(kind: Kind, tables: &[Table]) -> Option<String> {
    tables.iter().find_map(|(spec, rows)| {
        let gives = |heading: &String| {
            let column = spec.columns.iter().find(|column| column.is_headed(heading));
            column.is_some_and(|column| column.holds == Holds::Id(kind))
        };
        let at = u16::try_from(rows.first()?.iter().position(gives)?).ok()?;
        let letters = rust_xlsxwriter::utility::column_number_to_name(at);
        let last = LAST_ROW + 1;
        Some(format!("='{}'!${letters}$2:${letters}${last}", spec.table_name()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::handover::blank;
    use crate::records::problem::Problems;
    use crate::records::sheet;
    use crate::records::store::Store;
    use crate::records::workbook;

    /// A folder in memory.
    struct Memory(BTreeMap<String, Vec<u8>>, BTreeMap<String, u64>);

    impl Store for Memory {
        fn sizes(&self) -> &BTreeMap<String, u64> {
            &self.1
        }

        fn read(&self, path: &str) -> std::io::Result<Vec<u8>> {
            self.0.get(path).cloned().ok_or_else(|| std::io::ErrorKind::NotFound.into())
        }

        fn takes_workbooks(&self) -> bool {
            true
        }
    }

    fn as_workbook(mut files: BTreeMap<String, Vec<u8>>) -> Memory {
        replace_tables(&mut files, House::default()).expect("a workbook");
        let sizes = files.iter().map(|(path, bytes)| (path.clone(), bytes.len() as u64)).collect();
        Memory(files, sizes)
    }

    #[test]
    fn a_blank_workbook_reads_back_as_the_blank_tables() {
        let blank = blank::files(House::default(), None);
        let store = as_workbook(blank.clone());
        assert!(store.0.keys().all(|path| !path.ends_with(".csv")));
        let mut problems = Problems::default();
        let book = workbook::read(&store, FILES, &mut problems).remove(0);
        assert_eq!(problems.take_warnings(), []);
        assert_eq!(problems.into_sorted(), []);
        let tables = blank.iter().filter(|(path, _)| path.ends_with(".csv"));
        let mut count = 0;
        for (path, csv) in tables {
            let expected = String::from_utf8_lossy(csv).replace('\n', "\r\n");
            assert_eq!(book.csv(path).map(String::from_utf8_lossy).as_deref(), Some(&*expected));
            count += 1;
        }
        assert_eq!(book.made().count(), count);
    }

    #[test]
    fn rows_that_are_carried_stand_in_it_as_they_stood() {
        let files: BTreeMap<String, Vec<u8>> = FILES
            .iter()
            .filter(|spec| !spec.path.starts_with(history::FOLDER))
            .map(|spec| (spec.path.to_string(), spec.example.as_bytes().to_vec()))
            .collect();
        let store = as_workbook(files);
        let mut problems = Problems::default();
        let book = workbook::read(&store, FILES, &mut problems).remove(0);
        for spec in FILES.iter().filter(|spec| !spec.path.starts_with(history::FOLDER)) {
            let mut read = |bytes: &[u8]| -> Vec<_> {
                let sheet = sheet::read(spec, bytes, &Default::default(), &mut problems);
                let values = |entry: &crate::records::entry::Entry| {
                    entry.values().map(|(_, value)| value.cloned()).collect::<Vec<_>>()
                };
                sheet.entries.iter().map(values).collect()
            };
            let expected = read(spec.example.as_bytes());
            assert!(!expected.is_empty());
            assert_eq!(read(book.csv(spec.path).expect("a sheet")), expected, "{}", spec.path);
        }
        assert_eq!(problems.into_sorted(), []);
    }

    #[test]
    fn what_the_first_sheet_says_fits_its_column() {
        assert!(HOW_TO.iter().all(|line| line.len() <= 96));
        assert!(FILES.iter().all(|spec| spec.row_is.len() <= 96 && spec.table_name().len() <= 26));
    }

    #[test]
    fn the_same_tables_give_the_same_bytes() {
        let bytes = || as_workbook(blank::files(House::default(), None)).0.remove(PATH);
        assert!(bytes().is_some());
        assert_eq!(bytes(), bytes());
    }
}
