//! CSV files of records: RFC 4180, UTF-8, a header row, places counted by ourselves.

use std::sync::Arc;

use chrono::FixedOffset;

use super::entry::{Entry, Frame, Head, read_cell, recognise};
use super::place::Place;
use super::problem::{Problem, Problems};
use super::spec::{FileSpec, Need};
use super::value::Reading;

/// A CSV file that was read.
#[derive(Debug)]
pub struct Sheet {
    /// What the file holds.
    pub spec: &'static FileSpec,
    /// The header row as it stands.
    pub header: Vec<String>,
    /// The headers of the columns that are carried along unread.
    pub note_columns: Vec<String>,
    /// Its rows in the order of the file.
    pub entries: Vec<Entry>,
}

/// Reads a CSV file. Whatever is wrong goes to `problems`; a row with a problem is left out.
pub fn read(
    spec: &'static FileSpec,
    bytes: &[u8],
    offset: Option<FixedOffset>,
    problems: &mut Problems,
) -> Sheet {
    let file: Arc<str> = spec.path.into();
    let mut sheet =
        Sheet { spec, header: Vec::new(), note_columns: Vec::new(), entries: Vec::new() };
    let Some(text) = utf8(&file, bytes, problems) else { return sheet };
    let mut rows = Rows::new(text);
    let Some(Ok(header)) = rows.next() else {
        problems.add(
            Problem::new(Place::file(&file), "has no header row")
                .expected("the names of the columns in the first row")
                .advice("write the header row, or remove the file if there is nothing to record"),
        );
        return sheet;
    };
    let heads = read_header(spec, &file, &header, &mut sheet.note_columns, problems);
    sheet.header = header.fields.iter().map(|head| head.trim().to_string()).collect();
    let width = header.fields.len();
    let frame = Arc::new(Frame {
        file: file.clone(),
        columns: spec.columns,
        notes: sheet.note_columns.clone(),
        names: spec
            .columns
            .iter()
            .enumerate()
            .map(|(index, column)| {
                let written = heads
                    .iter()
                    .position(|head| matches!(head, Some(Header::Column(h)) if h.index == index));
                match written {
                    Some(at) => header.fields[at].trim().into(),
                    None => column.kept_name().as_str().into(),
                }
            })
            .collect(),
    });
    for row in rows {
        let row = match row {
            Ok(row) => row,
            Err(problem) => {
                problems.add(Problem { place: Place::line(&file, problem.0), ..problem.1 });
                continue;
            }
        };
        if row.fields.iter().all(|field| field.trim().is_empty()) {
            continue;
        }
        if row.fields.len() != width {
            problems.add(ragged(&file, &row, width, &header.fields));
            continue;
        }
        let before = problems.count();
        let mut cells = vec![None; spec.columns.len()];
        let mut notes = Vec::new();
        for ((at, text), head) in row.fields.iter().enumerate().zip(&heads) {
            match head {
                Some(Header::Column(head)) => {
                    let column = u32::try_from(at + 1).unwrap_or(u32::MAX);
                    let place = Place::value(&file, row.line, column, &frame.names[head.index]);
                    let with = Reading { unit: head.unit, offset };
                    cells[head.index] =
                        read_cell(text, &spec.columns[head.index], with, &place, problems);
                }
                Some(Header::Note) => notes.push(text.clone()),
                None => {}
            }
        }
        if problems.count() == before {
            let place = Place::line(&file, row.line);
            let frame = frame.clone();
            sheet.entries.push(Entry { place, title: String::new(), frame, cells, notes });
        }
    }
    sheet
}

enum Header {
    Column(Head),
    Note,
}

fn read_header(
    spec: &'static FileSpec,
    file: &Arc<str>,
    header: &Row,
    note_columns: &mut Vec<String>,
    problems: &mut Problems,
) -> Vec<Option<Header>> {
    let mut heads: Vec<Option<Header>> = Vec::new();
    let mut taken: Vec<Option<String>> = vec![None; spec.columns.len()];
    let mut misread = false;
    for (at, written) in header.fields.iter().enumerate() {
        let written = written.trim();
        let column = u32::try_from(at + 1).unwrap_or(u32::MAX);
        let place = Place::value(file, header.line, column, &"header".into());
        if written.starts_with("note") {
            if note_columns.iter().any(|name| name == written) {
                problems.add(twice(place, written));
            }
            note_columns.push(written.to_string());
            heads.push(Some(Header::Note));
            continue;
        }
        match recognise(written, spec.columns, &place, spec.row_is) {
            Err(problem) => {
                misread = true;
                problems.add(*problem);
                heads.push(None);
            }
            Ok(head) => {
                if taken[head.index].is_some() {
                    problems.add(twice(place, written));
                    heads.push(None);
                } else {
                    taken[head.index] = Some(written.to_string());
                    heads.push(Some(Header::Column(head)));
                }
            }
        }
    }
    for (column, taken) in spec.columns.iter().zip(&taken) {
        if column.need == Need::Always && taken.is_none() {
            let wrong = format!("has no column {}", column.kept_name());
            let advice = if misread {
                "correct the name of the column that is not known, or add this one"
            } else {
                "add the column"
            };
            problems.add(
                Problem::new(Place::line(file, header.line), wrong)
                    .expected(column.meaning)
                    .advice(advice),
            );
        }
    }
    heads
}

fn twice(place: Place, written: &str) -> Problem {
    Problem::new(place, "is a column that stands here twice")
        .value(written)
        .expected("each column once")
        .advice("take one of the two out, or begin the second one's name with note")
}

fn ragged(file: &Arc<str>, row: &Row, width: usize, header: &[String]) -> Problem {
    let found = row.fields.len();
    let advice = if row.fields.iter().any(|field| field.contains(['\n', '\r'])) {
        "this row runs over several lines: close the quotation mark that opens in it where its text ends"
    } else if found > width {
        "put a value that has a comma in it into quotation marks"
    } else {
        "add the missing commas, also for cells that stay empty"
    };
    let near = header.get(found.min(width).saturating_sub(1)).cloned().unwrap_or_default();
    Problem::new(Place::line(file, row.line), format!("this row has {found} cells"))
        .expected(format!("{width} cells, as in the header row (the last one here is {near})"))
        .advice(advice)
}

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
            let line = 1 + count_line_ends(&bytes[..error.valid_up_to()]);
            problems.add(
                Problem::new(Place::line(file, line), "this line is not UTF-8 text")
                    .expected("UTF-8")
                    .advice("save the file again with the character set UTF-8"),
            );
            None
        }
    }
}

/// Ends of lines as CSV has them: CR LF, LF, or CR alone.
fn count_line_ends(bytes: &[u8]) -> u32 {
    let ends = bytes.iter().enumerate().filter(|(at, byte)| match byte {
        b'\n' => true,
        b'\r' => bytes.get(at + 1) != Some(&b'\n'),
        _ => false,
    });
    u32::try_from(ends.count()).unwrap_or(u32::MAX)
}

struct Row {
    /// The line on which the row begins, from 1.
    line: u32,
    fields: Vec<String>,
}

/// The rows of a CSV text. The csv crate takes a record's position before it skips the ends of
/// lines left over in front of it, so its line numbers are short in CR LF files and after blank
/// lines; its byte offset is right once those are skipped, and lines are counted from there.
struct Rows<'a> {
    text: &'a str,
    reader: csv::Reader<&'a [u8]>,
    record: csv::StringRecord,
    counted_to: usize,
    line: u32,
}

impl<'a> Rows<'a> {
    fn new(text: &'a str) -> Self {
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        Self { text, reader, record: csv::StringRecord::new(), counted_to: 0, line: 1 }
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
                if ends && unclosed(&self.text[self.counted_to..]) {
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
fn unclosed(row: &str) -> bool {
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
        at_start = !inside && matches!(c, ',' | '\n' | '\r');
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::spec::{Column, Holds, Kind, Range};
    use crate::units::Quantity;

    static SPEC: FileSpec = FileSpec {
        path: "plan/things.csv",
        row_is: "a thing",
        example: "",
        columns: &[
            Column::always("thing", Holds::Id(Kind::Block), "its name"),
            Column::always("station", Holds::Measure(Quantity::Length, Range::Any), "where it is"),
            Column::optional("count", Holds::Whole { least: 1 }, "how many"),
        ],
    };

    fn lines(text: &str) -> (Vec<Option<u32>>, Vec<Problem>) {
        let mut problems = Problems::default();
        let sheet = read(&SPEC, text.as_bytes(), None, &mut problems);
        (sheet.entries.iter().map(|e| e.place.line).collect(), problems.into_sorted())
    }

    #[test]
    fn lines_are_right_with_lf_crlf_cr_and_blank_lines() {
        for end in ["\n", "\r\n", "\r"] {
            let text = ["thing,station_m", "A,1", "", "", "B,2", "\"C\",3", ""].join(end);
            let (found, problems) = lines(&text);
            assert_eq!(problems, vec![], "{end:?}");
            assert_eq!(found, [Some(2), Some(5), Some(6)], "{end:?}");
        }
    }

    #[test]
    fn lines_are_right_after_a_cell_with_line_breaks_and_a_byte_order_mark() {
        let text = "\u{feff}thing,station_m,note\r\nA,1,\"two\r\nlines\"\r\nB,x,\r\nC,3,\r\n";
        let (found, problems) = lines(text);
        assert_eq!(found, [Some(2), Some(5)]);
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].place.line, Some(4));
        assert_eq!(problems[0].place.column, Some(2));
        assert_eq!(&*problems[0].place.name, "station_m");
    }

    #[test]
    fn every_problem_is_reported_with_its_place() {
        let text = "thing,station_mm,count\nA,1,0\nB,NaN,2\nC,4\nD,5,6,7\n,8,9\nbad id,inf,1.5\n";
        let (found, problems) = lines(text);
        assert!(found.is_empty());
        let at: Vec<_> = problems.iter().map(|p| (p.place.line, p.place.column)).collect();
        assert_eq!(
            at,
            [
                (Some(2), Some(3)),
                (Some(3), Some(2)),
                (Some(4), None),
                (Some(5), None),
                (Some(6), Some(1)),
                (Some(7), Some(1)),
                (Some(7), Some(2)),
                (Some(7), Some(3)),
            ]
        );
    }

    #[test]
    fn headers_unknown_doubled_missing_or_with_a_wrong_unit() {
        let says = |text: &str| {
            let problems = lines(text).1;
            problems.iter().map(|p| p.to_string()).collect::<Vec<_>>().join("\n")
        };
        assert!(says("thing,statoin_m\n").contains("call it station_m"));
        assert!(says("thing,station_m,station_ft\n").contains("twice"));
        assert!(says("thing\n").contains("has no column station_m"));
        assert!(says("thing,station\n").contains("does not say its unit"));
        assert!(says("thing,station_kg\n").contains("station_m, station_cm"));
        assert!(says("thing,station_furlong\n").contains("furlong, which is not a unit"));
        assert!(says("thing,station_m,count_m\n").contains("has none"));
        assert!(says("").contains("no header row"));
    }

    #[test]
    fn a_quotation_mark_left_open_is_named_on_its_own_row() {
        let (found, problems) = lines("thing,station_m\nA,1\n\"B,2\nC,3\n");
        assert_eq!(found, [Some(2)]);
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].place.line, Some(3));
        assert!(problems[0].wrong.contains("never closed"));
    }
}
