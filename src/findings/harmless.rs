//! What spreadsheets make of a CSV. They take a cell that begins with certain signs for a formula and work it out
//! (CWE-1236, of MITRE's Common Weakness Enumeration), so texts are made harmless; and some take letters outside ASCII
//! for those of the system's own encoding, unless a byte order mark says otherwise.

/// What is done to a text, and how it is undone: for those who read the files.
pub const RULE: &str = "In columns of texts, ids and notes an apostrophe (U+0027) stands before what a spreadsheet \
    could take for a formula: before a text, and before what follows a semicolon, a tab or a line break in it, \
    where that begins with =, +, -, @, a tab or an apostrophe, and before a text that begins with a line break. \
    To have a text as it was recorded, take away one apostrophe at its beginning, and one after every \
    semicolon, tab, carriage return and line feed, where one stands there. Numbers, times, days, words and \
    flags have none.";

/// What a formula begins with; the last four are the full-width forms, which count as much where a
/// spreadsheet is set to write them.
const SIGNS: &[char] = &['=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'];

/// Where a spreadsheet begins a new cell if it is set to other separators than commas: the quotation
/// marks about a text don't count for it then.
const BREAKS: &[char] = &[';', '\t', '\r', '\n'];

/// A text as a CSV of the bundle has it, by [`RULE`].
pub fn harmless(text: &str) -> String {
    marked(text, |out, rest, first| {
        let begins = rest.trim_start_matches([' ', '\u{a0}']);
        let blank = rest.starts_with('\t') || (first && rest.starts_with(['\r', '\n']));
        if rest.starts_with('\'') || begins.starts_with(SIGNS) || blank {
            out.push('\'');
        }
        0
    })
}

/// A CSV in UTF-8 as it is written: one with characters outside ASCII begins with a byte order mark (EF BB BF). All
/// others are the same bytes in nearly every encoding, and whoever reads them plainly is spared the mark.
pub fn for_spreadsheets(csv: Vec<u8>) -> Vec<u8> {
    if csv.is_ascii() {
        return csv;
    }
    [b"\xEF\xBB\xBF".as_slice(), &csv].concat()
}

/// The text that was made harmless.
pub fn as_recorded(cell: &str) -> String {
    marked(cell, |_, rest, _| usize::from(rest.starts_with('\'')))
}

/// A copy of a text. At its beginning and after each break `mark` may write what comes between, and says
/// how many bytes of the rest are left out.
fn marked(text: &str, mark: impl Fn(&mut String, &str, bool) -> usize) -> String {
    let mut out = String::with_capacity(text.len() + 1);
    for (n, part) in text.split_inclusive(BREAKS).enumerate() {
        let left_out = mark(&mut out, part, n == 0);
        out.push_str(part.get(left_out..).unwrap_or_default());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_begins_like_a_formula_has_an_apostrophe_before_it() {
        for (text, cell) in [
            ("=1+1", "'=1+1"),
            ("+44 20", "'+44 20"),
            ("-5", "'-5"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("\t=1", "'\t'=1"),
            ("\r\n=1", "'\r\n'=1"),
            ("a;\t@x", "a;'\t'@x"),
            ("  =1", "'  =1"),
            ("\u{ff1d}1", "'\u{ff1d}1"),
            ("'tis so", "''tis so"),
            ("see below;=1;+2", "see below;'=1;'+2"),
            ("two\n- lines", "two\n'- lines"),
            ("don't; it's 5 - 3 = 2 @ 4", "don't; it's 5 - 3 = 2 @ 4"),
            ("", ""),
        ] {
            assert_eq!(harmless(text), cell);
            assert_eq!(as_recorded(cell), text);
        }
    }

    #[test]
    fn only_letters_outside_ascii_ask_for_a_byte_order_mark() {
        assert_eq!(for_spreadsheets(b"a,b\n".to_vec()), b"a,b\n");
        assert_eq!(for_spreadsheets("a,\u{b5}\n".into()), b"\xEF\xBB\xBFa,\xC2\xB5\n");
    }

    proptest! {
        #[test]
        fn it_is_undone(text in "[-=+@';\t\r\n \u{ff1d}a]{0,12}|\\PC{0,40}") {
            let cell = harmless(&text);
            prop_assert_eq!(as_recorded(&cell), text.as_str());
            for part in cell.split(BREAKS) {
                prop_assert!(!part.trim_start().starts_with(SIGNS), "{:?}", cell);
            }
        }
    }
}
