//! One value as it stands in the text of a file of records: found by what an erratum names, and replaced with every
//! other line of the file staying where it is.

use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::problem::Problems;
use super::rows::{Row, Rows, count_line_ends, dialect};
use super::spec::Column;
use super::value::nearest;

/// Which value is meant.
#[derive(Debug, Clone, Copy)]
pub(super) struct Which<'a> {
    /// The row or table by its name.
    pub row: Option<&'a str>,
    /// Or the line on which the row begins or the key stands.
    pub line: Option<u32>,
    /// The heading or key.
    pub column: &'a str,
}

/// A value that was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Standing {
    /// The line on which its row begins or its key stands.
    pub line: u32,
    /// It, without quotation marks; empty where nothing stands there.
    pub text: String,
}

/// Why none was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Missed {
    /// The file can't be read as a table.
    Unreadable,
    /// There is no such row; what may have been meant.
    Row(Option<String>),
    /// There are several of that name, on these lines.
    Several(Vec<u32>),
    /// There is no such heading or key; those that are there, and the line on which the row begins.
    Column(Vec<String>, u32),
}

/// A file's text, to be read and corrected value by value.
pub(super) enum Text {
    Table(Table),
    Keyed(String),
}

impl Text {
    /// The text of a file; `key` is the column by whose value a row of a table is named.
    pub fn read(file: &str, bytes: &[u8], key: Option<&Column>) -> Option<Self> {
        if file.ends_with(".csv") {
            return Table::read(file, bytes, key?).map(Self::Table);
        }
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        std::str::from_utf8(bytes).ok().map(|text| Self::Keyed(text.to_string()))
    }

    /// What stands where it is asked for.
    pub fn find(&self, which: Which<'_>) -> Result<Standing, Missed> {
        match self {
            Self::Table(table) => {
                let (row, column) = table.find(which)?;
                let row = &table.rows[row];
                let text = row.fields.get(column).map_or("", |field| field.trim());
                Ok(Standing { line: row.line, text: text.to_string() })
            }
            Self::Keyed(text) => {
                let value = find_value(text, which)?;
                Ok(Standing { line: value.line, text: value.shown })
            }
        }
    }

    /// Puts another text there, or nothing.
    pub fn replace(&mut self, which: Which<'_>, right: Option<&str>) -> Result<(), Missed> {
        match self {
            Self::Table(table) => {
                let (row, column) = table.find(which)?;
                let fields = &mut table.rows[row].fields;
                if fields.len() <= column {
                    fields.resize(column + 1, String::new());
                }
                fields[column] = right.unwrap_or_default().to_string();
            }
            Self::Keyed(text) => {
                let value = find_value(text, which)?;
                match right {
                    None => text.replace_range(value.key.start..value.span.end, ""),
                    Some(right) => text.replace_range(value.span, &value_of(right, value.is_text)),
                }
            }
        }
        Ok(())
    }

    /// Puts a value there for which the file has no heading or key; every other line stays where it is. `line` is that on
    /// which the row or table begins; in TOML a text stands in quotation marks.
    pub fn add(&mut self, line: u32, column: &str, right: &str, is_text: bool) {
        match self {
            Self::Table(table) => {
                table.header.fields.push(column.to_string());
                let columns = table.header.fields.len();
                for row in &mut table.rows {
                    row.fields.resize(columns, String::new());
                    if row.line == line {
                        row.fields[columns - 1] = right.to_string();
                    }
                }
            }
            Self::Keyed(text) => {
                let written = format!("{column} = {}", value_of(right, is_text));
                *text = with_key(text, line, &written);
            }
        }
    }

    /// Adds a table with a key to a TOML text, at its end.
    pub fn add_table(&mut self, table: &str, key: &str, right: &str, is_text: bool) {
        if let Self::Keyed(text) = self {
            let end = if text.ends_with('\n') { "" } else { "\n" };
            text.push_str(&format!("{end}\n[{table}]\n{key} = {}\n", value_of(right, is_text)));
        }
    }

    /// Takes the rows away that are named so; the lines of all others stay.
    pub fn take_out(&mut self, names: &[String]) {
        if let Self::Table(table) = self {
            let Some(key) = table.key else { return };
            let named = |row: &Row| row.fields.get(key).map_or("", |name| name.trim()).to_string();
            table.rows.retain(|row| !names.contains(&named(row)));
        }
    }

    /// What rows are named by, each once a row.
    pub fn names(&self) -> Vec<String> {
        match self {
            Self::Table(table) => table.names().map(String::from).collect(),
            Self::Keyed(_) => Vec::new(),
        }
    }

    /// The file's bytes, in UTF-8.
    pub fn bytes(&self) -> Vec<u8> {
        match self {
            Self::Table(table) => table.bytes(),
            Self::Keyed(text) => text.clone().into_bytes(),
        }
    }
}

/// A table as its rows.
pub(super) struct Table {
    /// A first line such as `sep=;`.
    first_line: String,
    delimiter: u8,
    header: Row,
    /// The column by whose value rows are named.
    key: Option<usize>,
    rows: Vec<Row>,
}

impl Table {
    fn read(file: &str, bytes: &[u8], key: &Column) -> Option<Self> {
        let dialect = dialect(&Arc::from(file), bytes, &mut Problems::default())?;
        let rows: Result<Vec<Row>, _> = Rows::new(&dialect).collect();
        let mut rows = rows.ok()?.into_iter().filter(|row| !row.is_blank());
        let header = rows.next()?;
        let key =
            header.fields.iter().position(|field| key.is_headed(&field.trim().to_lowercase()));
        Some(Self {
            first_line: dialect.text.get(..dialect.skipped)?.to_string(),
            delimiter: dialect.delimiter,
            header,
            key,
            rows: rows.collect(),
        })
    }

    fn names(&self) -> impl Iterator<Item = &str> {
        self.rows.iter().filter_map(|row| Some(row.fields.get(self.key?)?.trim()))
    }

    /// The row and the column.
    fn find(&self, which: Which<'_>) -> Result<(usize, usize), Missed> {
        let is_named = |row: &Row| {
            let name = self.key.and_then(|key| row.fields.get(key));
            which.row.is_none_or(|wanted| name.is_some_and(|name| name.trim() == wanted))
        };
        let is_there = |row: &Row| which.line.is_none_or(|line| line == row.line) && is_named(row);
        let found: Vec<usize> =
            (0..self.rows.len()).filter(|at| is_there(&self.rows[*at])).collect();
        let row = match found.as_slice() {
            [one] => *one,
            [] => {
                let near = which.row.and_then(|row| nearest(row, self.names()));
                return Err(Missed::Row(near.map(String::from)));
            }
            several => {
                return Err(Missed::Several(
                    several.iter().map(|at| self.rows[*at].line).collect(),
                ));
            }
        };
        let wanted = which.column.trim().to_lowercase();
        let headings = || self.header.fields.iter().map(|heading| heading.trim());
        match headings().position(|heading| heading.to_lowercase() == wanted) {
            Some(column) => Ok((row, column)),
            None => Err(Missed::Column(
                headings().filter(|heading| !heading.is_empty()).map(String::from).collect(),
                self.rows[row].line,
            )),
        }
    }

    fn bytes(&self) -> Vec<u8> {
        let mut out = self.first_line.clone();
        let mut line = 1;
        for row in std::iter::once(&self.header).chain(&self.rows) {
            while line < row.line {
                out.push('\n');
                line += 1;
            }
            let before = out.len();
            for (at, field) in row.fields.iter().enumerate() {
                if at > 0 {
                    out.push(char::from(self.delimiter));
                }
                out.push_str(&quoted(field, self.delimiter));
            }
            line += count_line_ends(&out.as_bytes()[before..]);
        }
        out.push('\n');
        out.into_bytes()
    }
}

fn quoted(field: &str, delimiter: u8) -> String {
    let asks = |c: char| c == char::from(delimiter) || matches!(c, '"' | '\n' | '\r');
    match field.contains(asks) {
        true => format!("\"{}\"", field.replace('"', "\"\"")),
        false => field.to_string(),
    }
}

/// A value of a TOML file.
struct Found {
    /// By what its table may be named.
    tables: Vec<String>,
    key_text: String,
    line: u32,
    /// The line on which its table begins, 0 at the top of the file.
    begins: u32,
    key: Range<usize>,
    span: Range<usize>,
    is_text: bool,
    shown: String,
}

/// A TOML text with a key in the table that begins on a line, in the place of a blank line or of one that is only a
/// comment, so that all others keep their numbers; without such a line, in one of its own.
fn with_key(text: &str, begins: u32, written: &str) -> String {
    let mut all = Vec::new();
    if let Ok(document) = DeTable::parse(text) {
        gather(text, document.get_ref(), (&[String::new()], 0), &mut all);
    }
    // Lines of a text or list over several lines are neither free nor headers, whatever they look like.
    let lines_of = |found: &Found| line_of(text, found.span.start)..=line_of(text, found.span.end);
    let within: BTreeSet<u32> = all.iter().flat_map(lines_of).collect();
    let mut lines: Vec<String> = text.lines().map(String::from).collect();
    let first = usize::try_from(begins).unwrap_or(usize::MAX).min(lines.len());
    let mut rest = (1..).zip(&lines).skip(first).filter(|(number, _)| !within.contains(number));
    let begins_with = |line: &String, sign: char| line.trim_start().starts_with(sign);
    let is_free = |line: &String| line.trim().is_empty() || begins_with(line, '#');
    let found = rest.find(|(_, line)| is_free(line) || begins_with(line, '['));
    match found.map(|(number, line)| (number as usize - 1, is_free(line))) {
        Some((at, true)) => lines[at] = written.to_string(),
        Some((end, false)) => lines.insert(end, written.to_string()),
        None => lines.push(written.to_string()),
    }
    lines.join("\n") + "\n"
}

/// A text as a TOML value: where a text stood, or where it is nothing else, in quotation marks.
fn value_of(right: &str, is_text: bool) -> String {
    let is_value = || {
        toml::from_str::<toml::Table>(&format!("key = {right}")).is_ok_and(|table| table.len() == 1)
    };
    match !is_text && !right.contains(['\n', '\r']) && is_value() {
        true => right.to_string(),
        false => toml::Value::String(right.replace(['\n', '\r'], " ")).to_string(),
    }
}

fn find_value(text: &str, which: Which<'_>) -> Result<Found, Missed> {
    let Ok(document) = DeTable::parse(text) else { return Err(Missed::Unreadable) };
    let mut all = Vec::new();
    gather(text, document.get_ref(), (&[String::new()], 0), &mut all);
    let is_in =
        |found: &Found| which.row.is_none_or(|row| found.tables.iter().any(|table| table == row));
    let on_line = |found: &Found| {
        which.line.is_none_or(|line| line == found.line || line == found.begins && line > 0)
    };
    let here = |found: &Found| is_in(found) && on_line(found);
    let (mut keys, mut tables) = (Vec::new(), Vec::new());
    let mut begins = BTreeSet::new();
    let mut matching = Vec::new();
    for found in all {
        tables.extend(found.tables.iter().cloned());
        if !here(&found) {
            continue;
        }
        begins.insert(found.begins);
        if found.key_text == which.column {
            matching.push(found);
        } else if !keys.contains(&found.key_text) {
            keys.push(found.key_text);
        }
    }
    match matching.len() {
        1 => matching.pop().ok_or(Missed::Unreadable),
        0 if keys.is_empty() => {
            let near = which.row.and_then(|row| nearest(row, tables.iter().map(String::as_str)));
            Err(Missed::Row(near.map(String::from)))
        }
        // The key may be wanting in one of several tables of that name: which, nothing tells.
        0 if begins.len() > 1 => Err(Missed::Several(begins.into_iter().collect())),
        0 => Err(Missed::Column(keys, begins.first().copied().unwrap_or_default())),
        _ => Err(Missed::Several(matching.iter().map(|found| found.line).collect())),
    }
}

/// Every value of a table and of the tables in it. `names` are those of the table: one of several is also named by the
/// texts that stand in it.
fn gather(
    text: &str,
    table: &DeTable<'_>,
    (names, begins): (&[String], u32),
    all: &mut Vec<Found>,
) {
    let inner = |key: &str| -> Vec<String> {
        names
            .iter()
            .map(|name| if name.is_empty() { key.to_string() } else { format!("{name}.{key}") })
            .collect()
    };
    for (key, value) in table.iter() {
        match value.get_ref() {
            DeValue::Table(table) => {
                let begins = line_of(text, key.span().start);
                gather(text, table, (&inner(key.get_ref()), begins), all);
            }
            DeValue::Array(items) if items.iter().any(|item| item.get_ref().is_table()) => {
                let tables =
                    items.iter().filter_map(|item| Some((item.span(), item.get_ref().as_table()?)));
                for (span, item) in tables {
                    let texts = item.values().filter_map(|value| value.get_ref().as_str());
                    let own = inner(key.get_ref());
                    let named: Vec<String> = texts
                        .flat_map(|text| own.iter().map(move |name| format!("{name}.{text}")))
                        .collect();
                    let begins = line_of(text, span.start);
                    gather(text, item, (&[own.clone(), named].concat(), begins), all);
                }
            }
            _ => all.push(found(text, (key, value), (names, begins))),
        }
    }
}

/// The line of a place in a text.
fn line_of(text: &str, at: usize) -> u32 {
    count_line_ends(text.as_bytes().get(..at).unwrap_or_default()).saturating_add(1)
}

fn found(
    text: &str,
    (key, value): (&Spanned<std::borrow::Cow<'_, str>>, &Spanned<DeValue<'_>>),
    (names, begins): (&[String], u32),
) -> Found {
    let raw = text.get(value.span()).unwrap_or_default();
    let written = value.get_ref().as_str();
    Found {
        tables: names.to_vec(),
        key_text: key.get_ref().to_string(),
        line: line_of(text, key.span().start),
        begins,
        key: key.span(),
        span: value.span(),
        is_text: written.is_some(),
        shown: written.unwrap_or(raw).trim().to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::{blocks, docking};

    fn which<'a>(row: Option<&'a str>, line: Option<u32>, column: &'a str) -> Which<'a> {
        Which { row, line, column }
    }

    fn blocks(text: &str) -> Text {
        Text::read(blocks::SPEC.path, text.as_bytes(), blocks::SPEC.columns.first())
            .expect("a table")
    }

    #[test]
    fn a_cell_is_found_by_name_or_line_and_replaced_with_all_lines_staying() {
        let text =
            "sep=;\r\n\r\nblock;row;note\r\nK1;keel;\"two\nlines\"\r\n\r\nK2;\"a;\"\"b\"\"\";x\r\n";
        let mut table = blocks(text);
        let k2 = which(Some("K2"), None, "Row");
        assert_eq!(table.find(k2), Ok(Standing { line: 7, text: "a;\"b\"".to_string() }));
        assert_eq!(table.find(which(None, Some(4), "note")).map(|found| found.line), Ok(4));
        table.replace(k2, Some("c;\"d\"")).expect("the cell");
        let written = String::from_utf8(table.bytes()).expect("text");
        assert_eq!(
            written,
            "sep=;\n\nblock;row;note\nK1;keel;\"two\nlines\"\n\nK2;\"c;\"\"d\"\"\";x\n"
        );
        let again = blocks(&written);
        assert_eq!(again.find(k2), Ok(Standing { line: 7, text: "c;\"d\"".to_string() }));
        table.take_out(&["K1".to_string()]);
        let written = String::from_utf8(table.bytes()).expect("text");
        assert_eq!(blocks(&written).find(k2).map(|found| found.line), Ok(7));
    }

    #[test]
    fn what_is_not_there_is_told_with_what_is() {
        let table = blocks("block,row\nK1,keel\nK1,keel\nK20,keel\n");
        let miss = |row, line, column| table.find(which(row, line, column)).expect_err("nothing");
        assert_eq!(miss(Some("K1"), None, "row"), Missed::Several(vec![2, 3]));
        assert_eq!(miss(Some("K2O"), None, "row"), Missed::Row(Some("K20".to_string())));
        assert_eq!(miss(None, Some(9), "row"), Missed::Row(None));
        let headings = vec!["block".to_string(), "row".to_string()];
        assert_eq!(miss(None, Some(3), "rows"), Missed::Column(headings, 3));
    }

    #[test]
    fn a_value_of_a_toml_file_is_found_by_its_table_and_key() {
        let text = "format = 1\n[ship]\nname = \"A \\\"B\\\"\"\nlength_m = 30.6 # taped\n[[frames]]\n\
                    from = 0\n[[frames]]\nfrom = 57\n[[people]]\nname = \"C\"\nrole = \"diver\"\n";
        let mut keyed = Text::read(docking::SPEC.path, text.as_bytes(), None).expect("a text");
        let name = which(Some("ship"), None, "name");
        assert_eq!(keyed.find(name), Ok(Standing { line: 3, text: "A \"B\"".to_string() }));
        assert_eq!(keyed.find(which(Some("people.C"), None, "role")).map(|f| f.line), Ok(11));
        assert_eq!(keyed.find(which(None, Some(8), "from")).map(|f| f.text), Ok("57".to_string()));
        assert_eq!(
            keyed.find(which(Some("frames"), None, "from")),
            Err(Missed::Several(vec![6, 8]))
        );
        // A table of several is also named by the line on which it begins.
        let by_header = which(Some("frames"), Some(7), "from");
        assert_eq!(
            keyed.find(by_header).map(|found| (found.line, found.text)),
            Ok((8, "57".to_string()))
        );
        assert_eq!(
            keyed.find(which(Some("frames"), Some(6), "from")).map(|found| found.line),
            Ok(6)
        );
        let there = ["length_m", "name"].map(String::from).to_vec();
        assert_eq!(keyed.find(which(Some("ship"), None, "owner")), Err(Missed::Column(there, 2)));
        keyed.replace(name, Some("D \"E\"")).expect("the name");
        keyed.replace(which(Some("ship"), None, "length_m"), Some("31.2")).expect("the length");
        keyed.replace(which(None, Some(8), "from"), Some("fifty")).expect("a frame");
        keyed.replace(which(Some("people.C"), None, "role"), None).expect("the role");
        let written = String::from_utf8(keyed.bytes()).expect("text");
        let read: toml::Table = toml::from_str(&written).expect("TOML");
        assert_eq!(read["ship"]["name"].as_str(), Some("D \"E\""));
        assert_eq!(read["ship"]["length_m"].as_float(), Some(31.2));
        assert_eq!(read["frames"][1]["from"].as_str(), Some("fifty"));
        assert_eq!(read["people"][0].get("role"), None);
        assert_eq!(written.lines().count(), text.lines().count());
    }

    #[test]
    fn what_the_file_has_no_key_or_heading_for_is_added_with_all_lines_staying() {
        let text = "format = 1\n[ship]\nname = \"A\"\n# built\n\n[dock]\nname = \"B\"\n[period]\nbegan = 2031-01-01\n";
        let mut keyed = Text::read(docking::SPEC.path, text.as_bytes(), None).expect("a text");
        keyed.add(2, "imo_number", "9074729", true);
        keyed.add(2, "length_m", "30.5", false);
        keyed.add(8, "ended", "2031-02-01", false);
        let written = String::from_utf8(keyed.bytes()).expect("text");
        let read: toml::Table = toml::from_str(&written).expect("TOML");
        assert_eq!(read["ship"]["imo_number"].as_str(), Some("9074729"));
        assert_eq!(read["ship"]["length_m"].as_float(), Some(30.5));
        assert!(read["period"].get("ended").is_some(), "{written}");
        let line = |text: &str, of: &str| text.lines().position(|line| line.contains(of));
        assert_eq!(line(&written, "[period]"), line(text, "[period]"));
        let text = "[ship]\nname = \"\"\"\nA\n\n# B\n[C]\"\"\"\n\n[dock]\n";
        let mut keyed = Text::read(docking::SPEC.path, text.as_bytes(), None).expect("a text");
        keyed.add(1, "owner", "D", true);
        let written = String::from_utf8(keyed.bytes()).expect("text");
        let read: toml::Table = toml::from_str(&written).expect("TOML");
        assert_eq!(read["ship"]["name"].as_str(), Some("A\n\n# B\n[C]"));
        assert_eq!(read["ship"]["owner"].as_str(), Some("D"));
        let mut table = blocks("block,row\nK1,keel\nK2,keel\n");
        table.add(3, "note", "seen, twice", true);
        let written = String::from_utf8(table.bytes()).expect("text");
        assert_eq!(written, "block,row,note\nK1,keel,\nK2,keel,\"seen, twice\"\n");
    }
}
