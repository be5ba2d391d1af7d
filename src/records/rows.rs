//! The rows of a CSV text, each with the line on which it begins.

use super::dialect::Dialect;
use super::place::Place;
use super::problem::Problem;

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

/// A row of cells.
pub(super) struct Row {
    /// The line on which the row begins, from 1.
    pub line: u32,
    pub fields: Vec<String>,
}

impl Row {
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
                    let wrong = "a quotation mark that opens in this row is never closed";
                    let problem = Problem::new(Place::file(""), wrong)
                        .expected("a closing quotation mark")
                        .advice("close it, or take the opening one out");
                    Some(Err((line, problem)))
                } else {
                    Some(Ok(Row { line, fields: record.iter().map(String::from).collect() }))
                }
            }
            Err(error) => {
                let line = self.line_at(start);
                let problem = Problem::new(Place::file(""), format!("can't be read: {error}"))
                    .expected("a row as RFC 4180 has it")
                    .advice("write the row anew");
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
