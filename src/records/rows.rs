//! A file's bytes as text, and a CSV's as rows with the lines on which they begin: as spreadsheets write it, which
//! characters, which sign between cells, which decimal sign.

use std::borrow::Cow;
use std::sync::Arc;

use encoding_rs::{UTF_16BE, UTF_16LE, WINDOWS_1252};

use super::place::Place;
use super::problem::{Problem, Problems, Reach};
use super::spec::Column;
use super::value::is_decimal;

/// The bytes as text without a byte order mark; where they are no UTF-8, the line is named.
pub(super) fn utf8<'a>(
    file: &Arc<str>,
    bytes: &'a [u8],
    problems: &mut Problems,
) -> Option<&'a str> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => Some(text),
        Err(error) => {
            let line = line_of(bytes, error.valid_up_to());
            problems.add(
                Problem::new(Place::line(file, line), "this line is not UTF-8 text")
                    .reaches(Reach::File)
                    .expected("UTF-8")
                    .advice("save the file again as UTF-8"),
            );
            None
        }
    }
}

/// The line, from 1, in which a byte stands.
pub(super) fn line_of(bytes: &[u8], at: usize) -> u32 {
    count_line_ends(&bytes[..at.min(bytes.len())]).saturating_add(1)
}

/// Ends of lines as CSV has them: CR LF, LF, or CR alone.
pub(super) fn count_line_ends(bytes: &[u8]) -> u32 {
    let ends = bytes.iter().enumerate().filter(|(at, byte)| match byte {
        b'\n' => true,
        b'\r' => bytes.get(at + 1) != Some(&b'\n'),
        _ => false,
    });
    u32::try_from(ends.count()).unwrap_or(u32::MAX)
}

/// A CSV file as text, and how it is to be taken apart.
pub(super) struct Dialect<'a> {
    /// The text without byte order mark.
    pub text: Cow<'a, str>,
    /// What stands between cells: a comma, a semicolon or a tab.
    pub delimiter: u8,
    /// Bytes of a first line `sep=;` that only says what stands between cells.
    pub skipped: usize,
}

impl Dialect<'_> {
    /// Whether numbers may have decimal commas: a spreadsheet puts semicolons between cells where the
    /// comma is the decimal sign.
    pub fn has_decimal_commas(&self) -> bool {
        self.delimiter == b';'
    }
}

/// The first row of a table, as it stands in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Header {
    /// The names of its columns, as they are written.
    pub names: Vec<String>,
    /// What stands between cells.
    pub delimiter: u8,
}

/// The header of a file to which rows can be added as bytes: `None` where it is not UTF-8, or has none.
pub fn header(bytes: &[u8]) -> Option<Header> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    std::str::from_utf8(bytes).ok()?;
    let dialect = dialect(&Arc::from(""), bytes, &mut Problems::default())?;
    let text = dialect.text.get(dialect.skipped..)?;
    let mut reader = csv::ReaderBuilder::new();
    let reader = reader.delimiter(dialect.delimiter).has_headers(false).flexible(true);
    let rows = reader.from_reader(text.as_bytes()).into_records();
    let is_empty = |row: &csv::StringRecord| row.iter().all(|cell| cell.trim().is_empty());
    let row = rows.filter_map(Result::ok).find(|row| !is_empty(row))?;
    Some(Header { names: row.iter().map(String::from).collect(), delimiter: dialect.delimiter })
}

/// Finds out how a file is written. A guess is a warning; bytes that can't be text are a problem.
pub(super) fn dialect<'a>(
    file: &Arc<str>,
    bytes: &'a [u8],
    problems: &mut Problems,
) -> Option<Dialect<'a>> {
    let text = characters(file, bytes, problems)?;
    let first = text.lines().next().unwrap_or("");
    if let [b's' | b'S', b'e' | b'E', b'p' | b'P', b'=', delimiter @ (b',' | b';' | b'\t')] =
        first.as_bytes()
    {
        let (delimiter, skipped) = (*delimiter, first.len());
        return Some(Dialect { text, delimiter, skipped });
    }
    let delimiter = delimiter(&text);
    Some(Dialect { text, delimiter, skipped: 0 })
}

/// The sign between cells that stands most often in the first row that has any text, outside quotation
/// marks; a comma where none stands there or two stand as often.
fn delimiter(text: &str) -> u8 {
    let row = text.lines().find(|line| !line.trim_matches([',', ';', '\t', ' ']).is_empty());
    let row = row.unwrap_or("");
    let outside: String = row.split('"').step_by(2).collect();
    let count = |sign: u8| outside.bytes().filter(|byte| *byte == sign).count();
    let (mut best, mut most) = (b',', count(b','));
    for sign in [b';', b'\t'] {
        if count(sign) > most {
            (best, most) = (sign, count(sign));
        }
    }
    best
}

/// The characters: UTF-8; UTF-16 after its byte order mark; else Windows-1252, with a warning, where
/// every byte is a character of it and nothing in the file looks like UTF-8 that was damaged.
fn characters<'a>(
    file: &Arc<str>,
    bytes: &'a [u8],
    problems: &mut Problems,
) -> Option<Cow<'a, str>> {
    let no_text = |at: usize, wrong: &str| {
        Problem::new(Place::line(file, line_of(bytes, at)), wrong)
            .reaches(Reach::File)
            .expected("UTF-8")
            .advice("save the file again as UTF-8")
    };
    for (mark, encoding) in [(b"\xff\xfe", UTF_16LE), (b"\xfe\xff", UTF_16BE)] {
        let Some(rest) = bytes.strip_prefix(mark) else { continue };
        let (text, damaged) = encoding.decode_without_bom_handling(rest);
        if damaged || rest.len() % 2 != 0 {
            problems.add(
                Problem::new(
                    Place::file(file),
                    "begins as UTF-16 text but is not UTF-16 throughout",
                )
                .expected("UTF-8")
                .advice("save the file again as UTF-8"),
            );
            return None;
        }
        problems.warn(
            Problem::new(Place::file(file), "is UTF-16 text, and was read as such")
                .expected("UTF-8")
                .advice("save the file again as UTF-8 before closing out"),
        );
        return Some(text);
    }
    let marked = bytes.starts_with(b"\xef\xbb\xbf");
    let plain = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let Err(error) = std::str::from_utf8(plain) else {
        return std::str::from_utf8(plain).ok().map(Cow::Borrowed);
    };
    let at = error.valid_up_to() + if marked { 3 } else { 0 };
    let mixed = || plain.utf8_chunks().any(|chunk| !chunk.valid().is_ascii());
    if marked || mixed() || plain.iter().any(|byte| is_no_character(*byte)) {
        problems.add(no_text(at, "this line is not UTF-8 text"));
        return None;
    }
    let (text, _) = WINDOWS_1252.decode_without_bom_handling(plain);
    let line = text.lines().nth(line_of(bytes, at) as usize - 1).unwrap_or("");
    problems.warn(
        no_text(at, "is not UTF-8 text, and the file was read as Windows-1252").value(line.trim()),
    );
    Some(text)
}

/// Bytes that no Windows-1252 text has: five that stand for nothing, and controls but tab and line ends.
fn is_no_character(byte: u8) -> bool {
    matches!(byte, 0x81 | 0x8d | 0x8f | 0x90 | 0x9d | 0x7f)
        || (byte < 0x20 && !matches!(byte, b'\t' | b'\r' | b'\n'))
}

/// The first number with a decimal comma and the first with a point. In a file with semicolons either may
/// stand, but not both: a point might then part thousands.
#[derive(Default)]
pub(super) struct DecimalSigns {
    comma: Option<Place>,
    point: Option<(Place, String)>,
}

impl DecimalSigns {
    /// Takes note of one cell.
    pub fn see(&mut self, text: &str, column: &Column, place: &Place) {
        if !is_decimal(column.holds) {
            return;
        }
        match (text.contains(','), text.contains('.')) {
            (true, false) if self.comma.is_none() => self.comma = Some(place.clone()),
            (false, true) if self.point.is_none() => {
                self.point = Some((place.clone(), text.trim().to_string()));
            }
            // Of a number with both the last is the decimal sign; one with a point there is refused by itself.
            (true, true) if self.comma.is_none() && text.rfind(',') > text.rfind('.') => {
                self.comma = Some(place.clone());
            }
            _ => {}
        }
    }

    /// Says so if both were seen.
    pub fn refuse_both(self, problems: &mut Problems) {
        if let (Some(comma), Some((point, text))) = (self.comma, self.point) {
            let wrong = format!("has a decimal point, and there is a decimal comma at {comma}");
            problems.add(
                Problem::new(point, wrong)
                    .value(text)
                    .expected("one decimal sign throughout the file, and nothing between thousands")
                    .advice("write all numbers in this file the same way"),
            );
        }
    }
}

pub(super) struct Row {
    /// The line on which the row begins, from 1.
    pub line: u32,
    /// Its cells.
    pub fields: Vec<String>,
}

impl Row {
    /// Every text in it that may be a cell, also where a quotation mark has run rows together.
    pub fn texts(&self) -> Vec<String> {
        let parts =
            self.fields.iter().flat_map(|field| field.split([',', ';', '\t', '\r', '\n', '"']));
        parts.map(str::trim).filter(|text| !text.is_empty()).map(String::from).collect()
    }

    pub fn is_blank(&self) -> bool {
        self.fields.iter().all(|field| field.trim().is_empty())
    }

    /// Takes away empty cells at its end, but not of the first so many.
    pub fn keep_to(&mut self, width: usize) {
        let is_filled = |field: &String| !field.trim().is_empty();
        let filled = self.fields.iter().rposition(is_filled).map_or(0, |at| at + 1);
        self.fields.truncate(filled.max(width));
    }
}

/// The rows of a CSV text. The csv crate takes a record's position before it skips the ends of
/// lines left over in front of it, so its line numbers are short in CR LF files and after blank
/// lines; its byte offset is right once those are skipped, and lines are counted from there.
pub(super) struct Rows<'a> {
    text: &'a str,
    reader: csv::Reader<&'a [u8]>,
    record: csv::StringRecord,
    delimiter: u8,
    counted_to: usize,
    line: u32,
}

impl<'a> Rows<'a> {
    pub fn new(dialect: &'a Dialect<'_>) -> Self {
        let delimiter = dialect.delimiter;
        // A line `sep=;` counts as a line; the line end behind it is passed over as blank lines are.
        let text = &dialect.text[dialect.skipped..];
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(text.as_bytes());
        Self { text, reader, record: csv::StringRecord::new(), delimiter, counted_to: 0, line: 1 }
    }

    fn line_at(&mut self, offset: u64) -> u32 {
        let bytes = self.text.as_bytes();
        let mut at = usize::try_from(offset).unwrap_or(usize::MAX).min(bytes.len());
        while bytes.get(at).is_some_and(|b| matches!(b, b'\r' | b'\n')) {
            at += 1;
        }
        if at > self.counted_to {
            // A CR that ended the last stretch can't be half of a CR LF: stretches end at a row.
            self.line = self.line.saturating_add(count_line_ends(&bytes[self.counted_to..at]));
            self.counted_to = at;
        }
        self.line
    }
}

impl Iterator for Rows<'_> {
    type Item = Result<Row, (u32, Problem)>;

    fn next(&mut self) -> Option<Self::Item> {
        let mut record = std::mem::take(&mut self.record);
        let found = self.reader.read_record(&mut record);
        let start = record.position().map_or(0, csv::Position::byte);
        let row = match found {
            Ok(false) => None,
            Ok(true) => {
                let line = self.line_at(start);
                let ends = self.reader.position().byte() >= self.text.len() as u64;
                if ends && unclosed(&self.text[self.counted_to..], self.delimiter) {
                    let wrong = "a quotation mark opened in this row is never closed";
                    let problem = Problem::new(Place::file(""), wrong)
                        .expected("a closing quotation mark")
                        .advice("close it, or remove the opening one");
                    Some(Err((line, problem)))
                } else {
                    Some(Ok(Row { line, fields: record.iter().map(String::from).collect() }))
                }
            }
            Err(error) => {
                let line = self.line_at(start);
                let problem = Problem::new(Place::file(""), format!("can't be read: {error}"))
                    .expected("a row according to RFC 4180")
                    .advice("write the row again");
                Some(Err((line, problem)))
            }
        };
        self.record = record;
        row
    }
}

/// Whether a last row runs to the end of the file inside quotation marks.
fn unclosed(row: &str, delimiter: u8) -> bool {
    let mut inside = false;
    let mut at_start = true;
    let mut chars = row.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '"' if inside => {
                if chars.peek() == Some(&'"') {
                    chars.next();
                } else {
                    inside = false;
                }
            }
            '"' if at_start => inside = true,
            _ => {}
        }
        at_start = !inside && (c == char::from(delimiter) || matches!(c, '\n' | '\r'));
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Text, sign between cells, and bytes skipped.
    type Found = Option<(String, u8, usize)>;

    fn read(bytes: &[u8]) -> (Found, Vec<Problem>, Vec<Problem>) {
        let mut problems = Problems::default();
        let found = dialect(&"plan/keel.csv".into(), bytes, &mut problems)
            .map(|dialect| (dialect.text.into_owned(), dialect.delimiter, dialect.skipped));
        let warnings = problems.take_warnings();
        (found, problems.into_sorted(), warnings)
    }

    #[test]
    fn the_sign_between_cells_is_that_of_the_first_row_with_text() {
        for (text, expected) in [
            ("x_m,rise_m\n", b','),
            ("x_m;rise_m\n1,5;0,2\n", b';'),
            ("x_m\trise_m\n1,5\t0,2\n", b'\t'),
            (";;\n;;\nx_m;rise_m;\n", b';'),
            ("\"note, with; two;; signs\",x_m\n", b','),
            ("x_m\n", b','),
            ("", b','),
        ] {
            assert_eq!(read(text.as_bytes()).0.map(|f| f.1), Some(expected), "{text:?}");
        }
        assert_eq!(read(b"sep=;\r\nx_m,y;rise_m\r\n").0.map(|f| (f.1, f.2)), Some((b';', 5)));
    }

    #[test]
    fn utf_8_with_or_without_its_mark_says_nothing() {
        for bytes in ["\u{feff}note\nM\u{f8}ller\n", "note\nM\u{f8}ller\n"] {
            let (found, problems, warnings) = read(bytes.as_bytes());
            assert_eq!(found.map(|f| f.0).as_deref(), Some("note\nM\u{f8}ller\n"));
            assert_eq!((problems, warnings), (vec![], vec![]));
        }
    }

    // The bytes of Windows-1252 and of UTF-16 are those of the WHATWG's Encoding standard, index
    // windows-1252: 0xF8 is U+00F8, 0x80 is U+20AC, 0x96 is U+2013.
    #[test]
    fn windows_1252_is_read_with_a_warning_that_names_the_first_such_line() {
        let (found, problems, warnings) = read(b"note\r\nplain\r\nM\xf8ller \x96 \x80\r\n");
        let expected = "note\r\nplain\r\nM\u{f8}ller \u{2013} \u{20ac}\r\n";
        assert_eq!(found.map(|f| f.0).as_deref(), Some(expected));
        assert_eq!(problems, vec![]);
        assert_eq!(warnings.len(), 1);
        assert_eq!(warnings[0].place.line, Some(3));
        assert_eq!(warnings[0].value.as_deref(), Some("M\u{f8}ller \u{2013} \u{20ac}"));
        assert!(warnings[0].wrong.contains("Windows-1252"));
    }

    #[test]
    fn utf_16_with_its_mark_is_read_with_a_warning() {
        let text = "x_m\tnote\r\n1\tM\u{f8}ller\r\n";
        let little: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let big: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
        for bytes in [[&b"\xff\xfe"[..], &little].concat(), [&b"\xfe\xff"[..], &big].concat()] {
            let (found, problems, warnings) = read(&bytes);
            assert_eq!(found.map(|f| (f.0, f.1)), Some((text.to_string(), b'\t')));
            assert_eq!((problems.len(), warnings.len()), (0, 1));
            let (found, problems, _) = read(&bytes[..bytes.len() - 1]);
            assert!(found.is_none() && problems.len() == 1);
        }
    }

    #[test]
    fn what_is_no_text_or_damaged_utf_8_is_refused() {
        for bytes in [
            &b"note\nM\xc3\xb8ller\nM\xf8ller\n"[..],
            b"\xef\xbb\xbfnote\nplain\nM\xf8ller\n",
            b"note\nplain\nM\xf8ller\x81\n",
            b"note\nplain\nM\xf8ller\x00\n",
        ] {
            let (found, problems, warnings) = read(bytes);
            assert!(found.is_none());
            assert_eq!((problems.len(), warnings.len()), (1, 0));
            assert_eq!(problems[0].place.line, Some(3));
        }
    }
}
