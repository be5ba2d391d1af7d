//! Chapters 4 and 5: how records are written, and every file of them with an example.

use super::page::{Page, WIDTH};
use crate::records::blocks::MOST_OVERLAPPING;
use crate::records::budget::{LARGEST_TOML, MOST_CELLS, MOST_COLUMNS, MOST_LINES, MOST_ZONES};
use crate::records::contents::kinds::{Fate, KINDS};
use crate::records::keyed::KeyedSpec;
use crate::records::spec::{Column, FileSpec, Holds, Kind, Need, Range, Stands, TableSpec};
use crate::records::{FILES, KEYED_FILES, bounded_rows, history};
use crate::units::one_of;

/// What stands before the path of an example's file, on the line above the example.
pub const EXAMPLE_OF: &str = "Example of ";

/// What ends a line of an example that continues on the next.
pub const FOLDED: char = '\\';

pub(super) fn write(page: &mut Page) {
    rules(page);
    page.chapter("5 The files of records, column by column, with examples");
    page.says(
        "Paths are below data/records/. docking.toml and plan/blocks.csv (or parts of it) must be there; every \
         other file may be absent, and what depends on it is then not recorded. The examples together are one \
         small project, of an invented barge, that can be read.",
    );
    page.says(&format!(
        "A TOML file has at most {LARGEST_TOML} bytes. The tables of a project and of its earlier dockings have \
         together at most {MOST_LINES} lines and {MOST_CELLS} cells.",
    ));
    let bounded = bounded_rows().map(|(path, table, most)| match table {
        "" => format!("{path} {most}"),
        table => format!("{path} {most} of [[{table}]]"),
    });
    page.says(&format!(
        "A table has at most {MOST_COLUMNS} columns, and a table of a TOML file as many keys. These files have at \
         most so many rows, since each row is worked out against the others: {}. There are at most {MOST_ZONES} \
         zones. The cap of a block overlaps at most {MOST_OVERLAPPING} others that stand in a position with it.",
        bounded.collect::<Vec<_>>().join(", ")
    ));
    page.says(&format!(
        "In the examples a line that ends in {FOLDED} goes on in the next; the two, without the {FOLDED} \
         and the indent, are one line of the file. Examples are indented by four and end at the line \
         that says so.",
    ));
    for spec in KEYED_FILES {
        keyed(page, spec);
    }
    for spec in FILES {
        sheet(page, spec);
    }
    earlier(page);
    kinds(page);
}

fn kinds(page: &mut Page) {
    page.section("papers/: what its files are");
    page.says(
        "A file's kind is read from its content. That of a name's ending may not be another. Which kinds last \
         is common practice, no source; of the others the file is kept, and beside it what is named here.",
    );
    for kind in KINDS {
        let ends: Vec<String> = kind.ends.iter().map(|end| format!(".{end}")).collect();
        let fate = match kind.fate {
            Fate::Lasts => "lasts".to_string(),
            Fate::Better(instead) => format!("better: {}; {}", instead.to, instead.since),
            Fate::Ends(instead) => format!("keep beside it: {}; {}", instead.to, instead.since),
        };
        page.item(&format!("{} ({}): {fate}.", kind.name, ends.join(", ")));
    }
    page.gap();
}

fn earlier(page: &mut Page) {
    let folder = history::FOLDER;
    page.section(&format!("{folder}NAME/"));
    for text in [
        "For each row of history/dockings.csv there must be a folder of that docking's name, and for each \
         folder a row. It holds what stood below data/records/ in the bundle of that docking, byte for byte, \
         and is read by the same rules as chapters 4 and 5 give; its papers are not carried along.",
        "The rows go from the oldest docking to the newest. The earlier dockings that an earlier docking had \
         itself stand beside it and not in it: their rows come before its row, their folders next to its \
         folder.",
        "A folder history/NAME/supplements/ holds for each supplement that was taken with that bundle (chapter 13) a \
         folder of its name with what stood below data/records/ in it. The records of that docking stand as they were, \
         and are read without it.",
        "Ids of an earlier docking are its own. They may repeat those of this docking, and nothing outside its \
         folder refers to them.",
        "Derived tables hold this docking's records only.",
    ] {
        page.item(text);
    }
    page.gap();
    history::EXAMPLE.iter().for_each(|(path, text)| example(page, path, text));
}

fn rules(page: &mut Page) {
    page.chapter("4 How records are written");
    page.section("CSV files");
    for text in [
        "CSV as RFC 4180 has it, UTF-8, with or without a byte order mark, commas between cells, lines \
         that end in LF or CR LF, and a header row. A cell with a comma, a quotation mark or a line break \
         must stand in quotation marks, and a quotation mark in it is doubled.",
        "A writer should keep to that. A reader must also take what spreadsheets write: semicolons or tabs \
         between cells instead of commas (the one that stands most often in the header row outside \
         quotation marks, or that a first line such as sep=; names); in a file with semicolons decimal \
         commas instead of points in all its numbers, but never both; UTF-16 with a byte order mark; and, \
         where a file is not UTF-8, Windows-1252.",
        "Every row must have as many cells as the header row; empty ones beyond do not count, nor do \
         columns of them without a name. Rows of empty cells are passed over, above the header row too. \
         Spaces around a cell's text do not count.",
        "Capital letters in a column's name do not count. A column that is called tpi, mti or sg and nothing else is \
         that of the quantity whose unit that is (chapter 7).",
        "Columns may stand in any order. A column that chapter 5 does not name is an error, unless its \
         name begins with note: such columns are kept and carried along into data/tables/ unread. A row of \
         hull/plating.csv without measured, of landing/drafts.csv without draft, or of positions/marks.csv without \
         dock_station and dock_offset, whose note_carried is filled, was carried forward from the docking named there \
         to be read again and was not: it is no record, may lack any other value, and is left out of data/tables/.",
        "An empty cell means that nothing was written down. It is never 0.",
    ] {
        page.item(text);
    }
    tables_in_parts(page);
    page.section("TOML files");
    for text in [
        "TOML 1.0. A key that chapter 5 does not name is an error, unless its name begins with note; such \
         keys stay in the record and do not appear in data/tables/.",
        "[name] stands once, [[name]] any number of times, [name.word] once for each known word.",
        "Lists may be written as TOML lists or as one text with ; between the items.",
    ] {
        page.item(text);
    }
    page.section("Kinds of value");
    for (kind, text) in [
        (
            "a number",
            "decimal digits with a point, with or without an exponent; or as \"Numbers as people write them\" has it; never NaN or infinite; in the unit that is kept at most 1e15, and at least 1e-15 where it is not 0, of whole numbers at most 1 000 000 000. Bundles of 0.2.0 and earlier may hold others",
        ),
        (
            "a number with a unit",
            "the unit is the last part of the column's name, after _: length_mm, mass_lt. The longest ending that is a unit is the unit. Chapter 7 has them all, and other words for some. A header without its unit is an error",
        ),
        (
            "a draft",
            "a length; in a column in feet it may be feet and inches, with one digit of inches also behind a hyphen: 17-6",
        ),
        (
            "a name, an id",
            "at most 40 letters, digits, - and _. Ids are unique within their kind, also without regard to capital letters, and may repeat between kinds. Where an id is named that is not given, and one alone is given that differs from it by capital letters or zeros before a number alone, that one is meant: k1 and K001 are K1 where there is no k1, K001 or other such",
        ),
        ("a list of ids", "; between them; the word none is a list that is empty and meant to be"),
        (
            "ids of any kind",
            "the same, with the kind and a colon before an id that two kinds use: block:K12",
        ),
        (
            "a word",
            "one of those listed; capital letters do not count, a space or _ may stand for -, and as a part of it p is port, and s, sb, stb or stbd is starboard",
        ),
        (
            "a time",
            "RFC 3339, 2031-04-09T06:40:00+01:00, the year in four digits; seconds may be left out, a space may stand for T; or as \"Days and times as people write them\" has it. Without an offset it is by the clock of the docking",
        ),
        (
            "a day",
            "2031-04-09, or as \"Days and times as people write them\" has it; midnight may stand behind it",
        ),
        ("yes or no", "also y or n, true or false, 1 or 0; capital letters do not count"),
        ("an offset", "from UTC, +01:00"),
        (
            "what it is called",
            "a text on one line: no control characters, and none that embed, override or isolate a direction of writing (U+202A to U+202E, U+2066 to U+2069); the marks U+200E, U+200F and U+061C may stand in it. Bundles of 0.2.0 and earlier may hold others",
        ),
        (
            "a text",
            "of at most 32 767 characters, none of them a control but tabs and ends of lines. Bundles of 0.2.0 and earlier may hold others",
        ),
    ] {
        page.entry(kind, text);
    }
    page.gap();
    as_people_write(page);
    let kinds: Vec<&str> = Kind::WITH_ID.iter().map(|kind| kind.word()).collect();
    page.says(&format!("Kinds of things that have ids: {}.", one_of(&kinds)));
    page.says(
        "Named by their kind and a colon alone, where names of any kind may stand: strake:F-S is a strake that \
         hull/plating.csv names, plate:F-S.14 its plate 14, and frame:57 the frame of that number as docking.toml \
         numbers them.",
    );
}

/// How the files of several people make up one table.
fn tables_in_parts(page: &mut Page) {
    page.section("Tables in parts");
    for text in [
        "A table may come in parts, since several people keep it: CSV files of any name in the folder that has the \
         table's name without .csv, such as coating/film/anna.csv for coating/film.csv, which may be there too or \
         not. papers/papers.csv and history/dockings.csv have no such folder. A file \
         workbooks/WORKBOOK/coating-film.csv, WORKBOOK ending in .xlsx or .ods, is a part of coating/film.csv that \
         was made of a sheet of that workbook; papers-papers.csv and history-dockings.csv may stand there too.",
        "The rows of a table are those of the file of its own name, then those of its parts in the order of the \
         UTF-8 bytes of their paths. Each part has its own header row, its own columns, units and order of columns, \
         signs between cells and decimal signs; and whether the day or the month comes first is settled for each by \
         itself. What chapter 5 says of a file holds of all its parts together: ids are unique over them, rows are \
         counted over them, and all rows of a thing that several make up stand in one of them.",
        "A row that stands in two parts, alike in all columns of chapter 5 and in its notes, is an error. Columns of \
         notes do not count where a part is a copy of another: where more than half of the rows of the shorter, \
         and two at least, stand in the other too, that is an error as well.",
    ] {
        page.item(text);
    }
}

/// The forms that a reader must take beside the strict ones.
fn as_people_write(page: &mut Page) {
    page.section("Cells that hold nothing");
    page.item(
        "In columns and keys that hold neither a text nor a name, a cell that is one dash (-, or U+2013, U+2014 or \
         U+2212) is an empty cell; in lists and references as long as no id is -. A cell n/a, in capitals or not, \
         says that what is asked for does not apply there; it too is read as an empty cell, in all columns but \
         texts. Where a column must be filled, both are errors. The record keeps them as they were written.",
    );
    page.section("Numbers as people write them");
    for text in [
        "Before a text is read so, U+2010, U+2011, U+2013 and U+2212 become -; U+2018, U+2019 and U+2032 become '; \
         U+201C, U+201D and U+2033 become \"; U+00A0, U+2009 and U+202F become spaces; and the fractions U+00BC to \
         U+00BE and U+215B to U+215E become 1/4, 1/2, 3/4, 1/8, 3/8, 5/8 and 7/8, with a space before them behind a \
         digit.",
        "A fraction under 1, alone or behind a whole number and a space: 3/8, 17 1/2. A hyphen may stand for the \
         space, but not in feet: 17-1/2 may be 17 feet and half an inch there, and is an error. What divides is 2, 3, \
         4, 5, 6, 8, 10, 12, 16, 32, 64 or 100.",
        "Thousands may be parted by commas or by spaces, if there is a decimal point behind them or they are parted \
         twice at least: 1,234.5 and 1 234 567. In a file with decimal commas, by points or spaces in the same way. \
         12,345 is an error, since it may be 12345 or 12.345; in a column of whole numbers it is 12345.",
        "Behind a number the unit of its own column may stand, as the column's name has it, as it is printed, or by \
         another word of chapter 7: 8 mils, 12 ft, 55 F, 85%, 3 deg; U+00B0 may stand for deg, and in columns of temperatures before c or f or alone. Another unit is an error. In litres a space must \
         stand before l.",
    ] {
        page.item(text);
    }
    page.section("Feet and inches");
    page.item(
        "In every column in feet or in inches a length may be written in both: whole feet with ', ft, foot or feet, \
         then inches with \", '', in, inch, inches or nothing: 12'6\", 12' 6 3/4\", 12 ft 6 in, 12'-6\"; or with a \
         hyphen and two digits of inches, 12-06. Inches may have decimals or a fraction, and are less than 12 \
         behind feet: 17-12 is an error. Inches alone, with their sign, may be more: 18\". A minus sign before \
         it makes all of it negative. A foot is 0.3048 m, an inch a twelfth of it.",
    );
    page.section("Days and times as people write them");
    for text in [
        "A day with the year first, 2031-4-9, 2031/04/09; with the month by name, 9 Apr 2031, 9-Apr-2031, April 9, 2031, \
         the name in English, in full or its first three letters (or Sept); or two numbers and the year of four digits \
         with the same sign between them, one of / . and -: 9/10/2031.",
        "Whether the day or the month comes first of two numbers is settled for all dates of a file that have the same \
         sign in them. Where docking.toml gives dates under [period], that holds. Otherwise, where one of them is a \
         day in one order alone (9/17/2031), that order holds. Otherwise, where both days of [period] are given and one \
         order puts all of them, those that are the same day in both apart, from its first to its last day and the \
         other does not, the former holds. Otherwise it is an error, and so is a file in which one date is a day in \
         one order alone and another in the other alone.",
        "Behind a day, a space, a comma and a space, or T, the time of day: 7:00, 07:00:30, 0700, 7:00 AM, 7 pm, 7:00 \
         a.m.; 12 AM is midnight. Behind that an offset may stand after a space: +01:00, UTC-04:00; or Z.",
        "A time without an offset is by the clock of the docking: the offset of [period], and from each time from of \
         [[period.offsets]] on the offset given there. A from without an offset is by the offset that held until then. \
         A time that this clock showed twice, or never, is an error: it must have an offset.",
    ] {
        page.item(text);
    }
    page.gap();
}

/// A TOML file, table by table, with an example.
pub(super) fn keyed(page: &mut Page, spec: &KeyedSpec) {
    page.section(spec.path);
    for table in std::iter::once(&spec.top).chain(spec.tables) {
        if table.keys.is_empty() {
            continue;
        }
        page.says(&format!("{}: {}.", heading(table), table.meaning));
        table.keys.iter().for_each(|key| column(page, key));
        page.gap();
    }
    example(page, spec.path, spec.example);
}

fn heading(table: &TableSpec) -> String {
    match (table.name, table.stands) {
        ("", _) => "Above the first table".to_string(),
        (name, Stands::Once) => format!("[{name}], once"),
        (name, Stands::Often) => format!("[[{name}]], once for each"),
        (name, Stands::Named) => format!("[{name}.NAME], NAME as chapter 8 lists them"),
    }
}

/// A CSV file, column by column, with an example.
pub(super) fn sheet(page: &mut Page, spec: &FileSpec) {
    page.section(spec.path);
    page.says(&format!("One row is {}.", spec.row_is));
    spec.columns.iter().for_each(|one| column(page, one));
    page.gap();
    example(page, spec.path, spec.example);
}

fn column(page: &mut Page, column: &Column) {
    let unit = if column.quantity().is_some() { "_UNIT" } else { "" };
    let also = column.also.map_or(String::new(), |also| format!(" (or {also}{unit})"));
    let need = match column.need {
        Need::Always => "must be filled",
        Need::Optional => "may be empty",
    };
    page.entry(
        &format!("{}{unit}{also}: {}, {need}", column.name, holds(column.holds)),
        column.meaning,
    );
}

/// What a column holds, in words.
fn holds(holds: Holds) -> String {
    match holds {
        Holds::Id(kind) => format!("the id of {}, given here", kind.with_article()),
        Holds::Part(kind) => {
            format!("the id of {}, given here; several rows make it up", kind.with_article())
        }
        Holds::Ref(kind) => format!("the id of {}", kind.with_article()),
        Holds::Refs(kind) => format!("a list of ids, each of {}", kind.with_article()),
        Holds::AnyRefs => "names of things of any kind".to_string(),
        Holds::Text => "a text".to_string(),
        Holds::Called => "what it is called".to_string(),
        Holds::Texts => "a text, or a list of texts".to_string(),
        Holds::Name => "a name".to_string(),
        Holds::Word(words) => format!("a word ({})", one_of(words)),
        Holds::Words(words) => format!("a list of words ({})", one_of(words)),
        Holds::Grade => "a grade of prepared steel, as written".to_string(),
        Holds::Grades => "a list of grades of prepared steel, as written".to_string(),
        Holds::Whole { least } => format!("a whole number from {least} on"),
        Holds::Number(range) => format!("a number{}", within(range)),
        Holds::Measure(quantity, range) => {
            format!("{} in {}{}", quantity.name(), quantity.accepted_as_text(), within(range))
        }
        Holds::Bound(quantity) => format!(
            "{} in {}, more than 0, or the word none where there is no bound",
            quantity.name(),
            quantity.accepted_as_text()
        ),
        Holds::Draft => {
            let length = crate::units::Quantity::Length;
            format!("a draft in {}, more than 0", length.accepted_as_text())
        }
        Holds::Time => "a time".to_string(),
        Holds::Date => "a day".to_string(),
        Holds::Flag => "yes or no".to_string(),
        Holds::Offset => "an offset".to_string(),
    }
}

fn within(range: Range) -> &'static str {
    match range {
        Range::Any => "",
        Range::NotNegative => ", 0 or more",
        Range::Positive => ", more than 0",
    }
}

fn example(page: &mut Page, path: &str, text: &str) {
    page.says(&format!("{EXAMPLE_OF}{path}:"));
    for line in text.lines() {
        folded(line).iter().for_each(|part| page.verbatim(part));
    }
    page.gap();
    page.says("End of the example.");
}

/// A line in parts that fit, each but the last with the sign that it goes on. A part ends after a comma
/// where it can; none begins with a space, so that the indent can be taken off again.
fn folded(line: &str) -> Vec<String> {
    const MOST: usize = WIDTH - 6;
    let mut parts = Vec::new();
    let mut rest = line;
    while rest.len() > MOST {
        let ends = |comma: bool| {
            (1..=MOST).rev().find(|at| {
                rest.get(..*at).is_some_and(|head| !comma || head.ends_with(','))
                    && !rest[*at..].starts_with(' ')
            })
        };
        let end = ends(true).or_else(|| ends(false)).unwrap_or(rest.len());
        parts.push(format!("{}{FOLDED}", &rest[..end]));
        rest = &rest[end..];
    }
    parts.push(rest.to_string());
    parts
}
