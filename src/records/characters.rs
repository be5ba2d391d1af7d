//! Characters that are orders to a terminal, or turn a line round without a trace, and how a text is shown
//! that holds them.

use std::fmt::Write as _;

/// Whether a character makes text overtake what stands beside it: the overrides, embeddings and isolates of
/// the Unicode Bidirectional Algorithm (UAX 9, tables 3 and 4). Marks that only say which way a neutral sign
/// runs (U+200E, U+200F, U+061C) do not, and scripts that run from right to left need them.
pub fn turns_round(c: char) -> bool {
    matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The first character of a text that no text may hold: a control but for tabs and ends of lines.
pub fn refused_in_text(text: &str) -> Option<char> {
    text.chars().find(|c| c.is_control() && !matches!(c, '\t' | '\n' | '\r'))
}

/// The first character of a name that no name may hold: controls, what ends a line, and what turns it round.
pub fn refused_in_name(text: &str) -> Option<char> {
    text.chars().find(|c| c.is_control() || turns_round(*c) || matches!(c, '\u{2028}' | '\u{2029}'))
}

/// Whether a terminal, or an eye, is misled by a character: controls (C0, DEL, C1), what turns a line round or
/// ends it, and what can't be seen at all.
fn misleads(c: char) -> bool {
    let unseen =
        matches!(c, '\u{200b}' | '\u{2060}'..='\u{2064}' | '\u{206a}'..='\u{206f}' | '\u{feff}');
    c.is_control() || turns_round(c) || unseen || matches!(c, '\u{2028}' | '\u{2029}')
}

/// A text as a terminal may be given it: whatever misleads as its code, `\u{1b}`, and a tab as a space. Line
/// ends are kept. What was shown once is shown the same a second time.
pub fn shown(text: &str) -> String {
    escaped(
        text,
        |c| c == '\n',
        |out, c| {
            let _ = write!(out, "{}", c.escape_unicode());
        },
    )
}

/// A text on one line: line ends as their codes, too.
pub fn shown_in_line(text: &str) -> String {
    escaped(
        text,
        |_| false,
        |out, c| {
            let _ = write!(out, "{}", c.escape_unicode());
        },
    )
}

/// A text with the codes of what no text may hold, to be written into a record anew.
pub fn coded(text: &str) -> String {
    let refused = |c: char| refused_in_text(c.encode_utf8(&mut [0; 4])).is_some();
    let code = |c: char| if refused(c) { c.escape_unicode().to_string() } else { c.to_string() };
    text.chars().map(code).collect()
}

/// JSON as a terminal may be given it. Such characters stand in its strings alone, where `\u009b` is the same
/// character (RFC 8259, section 7), so that the value stays what it was.
pub fn shown_in_json(json: &str) -> String {
    escaped(
        json,
        |c| c == '\n',
        |out, c| {
            let mut units = [0; 2];
            for unit in c.encode_utf16(&mut units) {
                let _ = write!(out, "\\u{unit:04x}");
            }
        },
    )
}

fn escaped(text: &str, kept: impl Fn(char) -> bool, escape: impl Fn(&mut String, char)) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            c if kept(c) => out.push(c),
            '\t' => out.push(' '),
            c if misleads(c) => escape(&mut out, c),
            c => out.push(c),
        }
    }
    out
}

/// A person's text in quotation marks, control characters escaped, at most 60 characters.
pub fn quoted(text: &str) -> String {
    const LONGEST: usize = 60;
    let mut shown = String::new();
    for c in text.chars().take(LONGEST) {
        // In double quotation marks a single one is plain: 11'9 is shown as it was written.
        match c {
            '\'' => shown.push(c),
            _ => shown.extend(c.escape_debug()),
        }
    }
    if text.chars().count() > LONGEST {
        shown.push('\u{2026}');
    }
    format!("\"{shown}\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_misleads_is_shown_as_its_code_and_once_only() {
        let hostile = "a\u{1b}]0;x\u{7}\u{9b}31m\u{202e}b\u{2066}c\u{7f}\r\u{2028}\t\u{feff}";
        let told = shown(hostile);
        assert_eq!(
            told,
            "a\\u{1b}]0;x\\u{7}\\u{9b}31m\\u{202e}b\\u{2066}c\\u{7f}\\u{d}\\u{2028} \\u{feff}"
        );
        assert_eq!(shown(&told), told);
        assert_eq!(shown("two\nlines"), "two\nlines");
        assert_eq!(shown_in_line("two\nlines"), "two\\u{a}lines");
    }

    #[test]
    fn every_control_and_every_format_character_of_direction_is_told() {
        for c in ('\0'..='\u{9f}').filter(|c| c.is_control() && !matches!(c, '\n' | '\t')) {
            assert!(!shown(&c.to_string()).contains(c), "{:?}", c);
        }
        for c in ['\u{202a}', '\u{202b}', '\u{202c}', '\u{202d}', '\u{202e}']
            .into_iter()
            .chain('\u{2066}'..='\u{2069}')
        {
            assert!(turns_round(c) && !shown(&c.to_string()).contains(c), "{:?}", c);
        }
    }

    #[test]
    fn a_text_that_is_written_anew_keeps_its_lines_and_tells_what_else_it_held() {
        let text = "two\n\tlines\u{1b}[5m \u{202e}";
        assert_eq!(coded(text), "two\n\tlines\\u{1b}[5m \u{202e}");
        assert_eq!(refused_in_text(&coded(text)), None);
    }

    #[test]
    fn what_scripts_need_stays() {
        let text = "\u{5e9}\u{5dc}\u{200f}\u{5d5}\u{5dd} \u{200e}\u{61c} \u{645}\u{200c}\u{646} \u{915}\u{200d}";
        assert_eq!(shown(text), text);
    }

    #[test]
    fn a_name_is_one_line_that_runs_one_way_and_a_text_may_have_lines() {
        for refused in ["a\u{1b}b", "a\0", "\u{9b}", "\u{7f}", "\u{85}"] {
            assert!(refused_in_text(refused).is_some() && refused_in_name(refused).is_some());
        }
        for refused in ["a\nb", "a\tb", "a\u{202e}b", "\u{2066}a\u{2069}", "a\u{2028}b"] {
            assert!(refused_in_text(refused).is_none() && refused_in_name(refused).is_some());
        }
        let marked = "\u{5e9}\u{200f}\u{200e}\u{61c}\u{5dd}";
        assert_eq!((refused_in_text(marked), refused_in_name(marked)), (None, None));
    }

    #[test]
    fn json_stays_the_same_value() {
        let value = serde_json::json!({ "a\u{9b}": "x\u{1b}\u{202e}\u{7f}\u{2068}\n\t\u{feff}" });
        let json = shown_in_json(&serde_json::to_string_pretty(&value).expect("JSON"));
        assert!(!json.contains(|c: char| c != '\n' && misleads(c)), "{json}");
        assert_eq!(serde_json::from_str::<serde_json::Value>(&json).expect("JSON"), value);
    }
}
