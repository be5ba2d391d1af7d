//! A TOML text with slips in it -> what can be read of it all the same, and where the slips are.
//!
//! The parser goes on after a slip, but where one opens a bracket or lacks its sign of equality all that stands below
//! is lost or misread. So lines are read alone, and what can't be read is taken out before the whole is.

use std::ops::Range;

use toml::de::DeTable;

/// A text without its slips.
#[derive(Debug, Default)]
pub(super) struct Readable {
    /// The text with spaces in place of what was taken out, so that places stay; empty if too much would have been.
    pub text: String,
    /// What was wrong, in the order of the text.
    pub slips: Vec<Slip>,
    /// Whether whole tables were taken out, since what they are called can't be read.
    pub lacks_tables: bool,
    /// Where the tables begin that lack a key or more; 0 for the keys above the first.
    damaged: Vec<usize>,
    /// Where the tables that are left begin.
    headers: Vec<usize>,
}

/// What can't be read.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Slip {
    /// The byte at which it is.
    pub at: usize,
    /// What the parser says.
    pub says: String,
}

impl Readable {
    /// Whether something was taken out of the table in which a byte stands.
    pub fn is_damaged(&self, at: usize) -> bool {
        !self.damaged.is_empty() && self.damaged.contains(&self.header(at))
    }

    /// Where the table begins in which a byte stands.
    fn header(&self, at: usize) -> usize {
        let after = self.headers.partition_point(|header| *header <= at);
        after.checked_sub(1).map_or(0, |before| self.headers[before])
    }
}

/// As many slips are told at the most; a file with more is no file of records.
const MOST: usize = 500;

/// Lines that one value may run over, and bytes that are read again in looking for where values end.
const LONGEST: usize = 100;
const MOST_AGAIN: usize = 32 << 20;

/// Takes out whatever keeps a text from being read.
pub(super) fn take_out(text: &str) -> Readable {
    let lines = Lines::new(text);
    let mut again = MOST_AGAIN;
    let mut readable = Readable { text: text.to_string(), ..Readable::default() };
    // The lines on which statements begin, and those behind their ends.
    let mut statements: Vec<Range<usize>> = Vec::new();
    let mut wrong: Vec<usize> = Vec::new();
    loop {
        let at = statements.last().map_or(0, |last| last.end);
        if at >= lines.count() || wrong.len() >= MOST {
            break;
        }
        let statement = lines.statement(at, &mut again);
        if let Some(Slip { at: byte, says }) = statement.slip {
            readable.slips.push(Slip { at: lines.begin(at) + byte, says });
            wrong.push(statements.len());
        }
        statements.push(at..statement.end);
    }
    let is_head = |number: &usize| is_header(lines.line(statements[*number].start));
    let heads: Vec<usize> = (0..statements.len()).filter(is_head).collect();
    // With the head of a table all of it is taken out.
    let stretch = |number: usize| {
        let next = heads.iter().find(|head| is_head(&number) && **head > number);
        let end = match next {
            Some(next) => lines.begin(statements[*next].start),
            None if is_head(&number) => text.len(),
            None => lines.begin(statements[number].end),
        };
        lines.begin(statements[number].start)..end
    };
    if wrong.len() >= MOST {
        return Readable { text: String::new(), lacks_tables: true, ..readable };
    }
    let mut taken: Vec<Range<usize>> = wrong.into_iter().map(stretch).collect();
    taken.iter().for_each(|stretch| blank(&mut readable.text, stretch));
    // What is left is wrong beside something else: a name that stands twice.
    let mut passes = 1 + MOST_AGAIN / text.len().max(1);
    while let Some(slip) = first_slip(&readable.text) {
        passes = passes.saturating_sub(1);
        if passes == 0 || readable.slips.len() >= MOST {
            readable.slips.push(slip);
            return Readable { text: String::new(), lacks_tables: true, ..readable };
        }
        let line = lines.at(slip.at);
        let stretch = stretch(statements.partition_point(|statement| statement.end <= line));
        blank(&mut readable.text, &stretch);
        taken.push(stretch);
        readable.slips.push(slip);
    }
    readable.slips.sort_by_key(|slip| slip.at);
    let heads = heads.iter().map(|head| lines.begin(statements[*head].start));
    readable.headers = heads.filter(|at| !taken.iter().any(|range| range.contains(at))).collect();
    for range in &taken {
        if is_header(lines.line(lines.at(range.start))) {
            readable.lacks_tables = true;
        } else {
            readable.damaged.push(readable.header(range.start));
        }
    }
    readable
}

/// Puts spaces in place of a stretch of a text; its lines stay.
fn blank(text: &mut String, stretch: &Range<usize>) {
    let space = |byte: u8| if matches!(byte, b'\n' | b'\r') { char::from(byte) } else { ' ' };
    let spaces: String = text[stretch.clone()].bytes().map(space).collect();
    text.replace_range(stretch.clone(), &spaces);
}

/// The first slip of a text that is read as a whole.
fn first_slip(text: &str) -> Option<Slip> {
    let (_, errors) = DeTable::parse_recoverable(text);
    let slip = |error: &toml::de::Error| Slip {
        at: error.span().map_or(0, |span| span.start).min(text.len()),
        says: error.message().to_string(),
    };
    errors.iter().map(slip).min_by_key(|slip| slip.at)
}

/// Whether a line begins a table, or was meant to.
fn is_header(line: &str) -> bool {
    let line = line.trim();
    let is_name = line.contains(char::is_alphabetic);
    is_name
        && (line.starts_with('[') || (line.ends_with(']') && !line.contains(['=', '"', '\'', ','])))
}

/// A text by its lines.
struct Lines<'a> {
    text: &'a str,
    begins: Vec<usize>,
}

/// A key with its value, or the head of a table; or a line that is neither.
struct Statement {
    /// The line after its last.
    end: usize,
    /// What is wrong with it, from its first byte.
    slip: Option<Slip>,
}

impl<'a> Lines<'a> {
    fn new(text: &'a str) -> Self {
        let ends = text.match_indices('\n').map(|(at, _)| at + 1).filter(|at| *at < text.len());
        Self { text, begins: std::iter::once(0).chain(ends).collect() }
    }

    fn count(&self) -> usize {
        self.begins.len()
    }

    /// The byte at which a line begins; the text's end for those behind it.
    fn begin(&self, line: usize) -> usize {
        self.begins.get(line).copied().unwrap_or(self.text.len())
    }

    fn line(&self, line: usize) -> &'a str {
        self.lines(line..line + 1)
    }

    fn lines(&self, lines: Range<usize>) -> &'a str {
        &self.text[self.begin(lines.start)..self.begin(lines.end)]
    }

    /// The line in which a byte stands.
    fn at(&self, byte: usize) -> usize {
        self.begins.partition_point(|begin| *begin <= byte).saturating_sub(1)
    }

    /// What begins at a line. A value that is opened there goes on to where it is closed.
    fn statement(&self, line: usize, again: &mut usize) -> Statement {
        // Without its end, so that what is missing there is missed in this line.
        let Some(alone) = first_slip(self.line(line).trim_end_matches(['\n', '\r'])) else {
            return Statement { end: line + 1, slip: None };
        };
        let is_text = alone.says.contains("multi-line");
        let opens = is_text || ["array", "inline table"].iter().any(|it| alone.says.contains(it));
        if !opens || is_header(self.line(line)) {
            return Statement { end: line + 1, slip: Some(alone) };
        }
        let mut end = line + 1;
        while end < self.count() && end - line < LONGEST {
            // Within brackets no line is a key with its value.
            if !is_text && self.line(end).contains('=') && first_slip(self.line(end)).is_none() {
                break;
            }
            end += 1;
            let longer = self.lines(line..end);
            let Some(left) = again.checked_sub(longer.len()) else { break };
            *again = left;
            match first_slip(longer) {
                None => return Statement { end, slip: None },
                // It is closed here, and something before is wrong.
                Some(slip) if !is_open(longer) => return Statement { end, slip: Some(slip) },
                Some(_) => {}
            }
        }
        if is_text {
            let next = (line + 1..self.count()).find(|at| is_header(self.line(*at)));
            end = next.unwrap_or(self.count());
        }
        Statement { end, slip: Some(alone) }
    }
}

/// Whether a text ends within a value that was opened in it.
fn is_open(text: &str) -> bool {
    let end = text.trim_end().len();
    let (_, errors) = DeTable::parse_recoverable(text);
    errors.iter().any(|error| error.span().is_some_and(|span| span.start >= end))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "format = 1\n\n[ship]\nname = \"Wren\"\nbreadth_m = 14.6\n\n[[people]]\nname = \"A\"\nrole = \"\"\"one\nb = 2\n\"\"\"\n\n[dock]\nname = \"No. 1\"\nlist = [\n  \"a\",\n  \"b\",\n]\n";

    /// The lines of the slips, and the names of the tables that are left.
    fn read(text: &str) -> (Vec<usize>, String) {
        let readable = take_out(text);
        let (document, errors) = DeTable::parse_recoverable(&readable.text);
        assert!(errors.is_empty(), "{errors:?}");
        assert_eq!(readable.text.len(), text.len());
        let lines = readable.slips.iter().map(|slip| Lines::new(text).at(slip.at) + 1).collect();
        let tables: Vec<String> =
            document.get_ref().iter().map(|(key, _)| key.get_ref().to_string()).collect();
        (lines, tables.join(" "))
    }

    #[test]
    fn a_slip_takes_its_line_with_it_and_nothing_else() {
        assert_eq!(read(TEXT), (vec![], "dock format people ship".to_string()));
        for (sound, slip, line) in [
            ("name = \"Wren\"", "name = Wren", 4),
            ("name = \"Wren\"", "name = \"Wren", 4),
            ("name = \"Wren\"", "name = 'Wren\"", 4),
            ("name = \"Wren\"", "name \"Wren\"", 4),
            ("name = \"Wren\"", "name = ", 4),
            ("name = \"Wren\"", "name : \"Wren\"", 4),
            ("name = \"Wren\"", "name = [\"Wren\"", 4),
            ("name = \"Wren\"", "name = { a = \"Wren\"", 4),
            ("breadth_m = 14.6", "breadth m = 14.6", 5),
            ("breadth_m = 14.6", "breadth_m = 14,6", 5),
            ("breadth_m = 14.6", "name = 14.6", 5),
            ("  \"a\",", "  \"a\"", 17),
            ("  \"a\",", "  a,", 16),
            ("]\n", "\n", 15),
        ] {
            let text = TEXT.replace(sound, slip);
            let text = if slip == "\n" { TEXT.trim_end_matches("]\n").to_string() } else { text };
            assert_ne!(text, TEXT);
            assert_eq!(read(&text), (vec![line], "dock format people ship".to_string()), "{slip}");
            let readable = take_out(&text);
            let table = if line < 6 { "[ship]" } else { "[dock]" };
            let other = if line < 6 { "[dock]" } else { "[ship]" };
            let at = |table| text.find(table).expect("a table") + 1;
            assert!(readable.is_damaged(at(table)) && !readable.is_damaged(at(other)), "{slip}");
            assert!(!readable.lacks_tables && !readable.is_damaged(0), "{slip}");
        }
    }

    #[test]
    fn a_head_that_can_not_be_read_takes_its_table_with_it() {
        for (sound, slip, left) in [
            ("[ship]", "[ship", "dock format people"),
            ("[ship]", "ship]", "dock format people"),
            ("[[people]]", "[[people]", "dock format ship"),
            ("[dock]", "[ship]", "format people ship"),
        ] {
            let text = TEXT.replace(sound, slip);
            let (lines, tables) = read(&text);
            assert_eq!((lines.len(), tables.as_str()), (1, left), "{slip}");
            assert!(take_out(&text).lacks_tables);
        }
        // A text that is never closed takes the rest of its table.
        let (lines, tables) = read(&TEXT.replace("\n\"\"\"\n", "\n"));
        assert_eq!((lines, tables.as_str()), (vec![9], "dock format people ship"));
    }

    #[test]
    fn many_slips_are_found_at_once_and_too_many_leave_nothing() {
        let text = TEXT.replace("name = \"", "name = ").replace("14.6", "14,6");
        assert_eq!(read(&text).0, [4, 5, 8, 14]);
        for hostile in ["a = [\n", "a = \"\"\"\n", "[", "[[a\n", "{\n", "=\n", "\u{feff}\"\n"] {
            let readable = take_out(&hostile.repeat(100_000));
            assert!((1..=MOST).contains(&readable.slips.len()), "{hostile}");
        }
    }
}
