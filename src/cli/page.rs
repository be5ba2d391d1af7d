//! The door through which every text for a person goes out. What is put on a page is escaped as it is put
//! there, and only a page puts styles on: whatever a file, a name or an argument holds reaches a terminal as
//! text, and as no order to it.

use std::fmt;

use anstyle::{AnsiColor, Style};
use clap::builder::StyledStr;
use clap::error::{ContextKind, ContextValue, Error};

use super::print;
use crate::records::characters::{shown, shown_in_line};

/// Text that a terminal may be given, with styles. It has no `Display`, so that no page gets into another but
/// by [`Page::append`], and nothing is escaped twice.
#[derive(Debug, Default)]
pub struct Page {
    text: String,
    /// The words of the verdicts, good and bad, in their order.
    verdicts: Vec<String>,
}

impl Page {
    /// An empty page.
    pub fn new() -> Self {
        Self::default()
    }

    /// A page with a text.
    pub fn from_text(text: impl fmt::Display) -> Self {
        let mut page = Self::new();
        page.push_str(&text.to_string());
        page
    }

    /// Adds a text; its line ends are kept.
    pub fn push_str(&mut self, text: &str) {
        self.text.push_str(&shown(text));
    }

    /// Adds words in a colour that means something, or in bold.
    pub fn styled(&mut self, text: &str, style: Style) {
        self.text.push_str(&format!("{style}{}{style:#}", shown(text)));
    }

    /// Adds words in bold.
    pub fn bold(&mut self, text: &str) {
        self.styled(text, Style::new().bold());
    }

    /// Adds a heading, which is one line.
    pub fn heading(&mut self, text: &str) {
        self.bold(&shown_in_line(text));
        self.text.push('\n');
    }

    /// Adds words in red.
    pub fn red(&mut self, text: &str) {
        self.styled(text, AnsiColor::Red.on_default().bold());
    }

    /// Adds a verdict that is good: a word in green, and a sentence.
    pub fn pass(&mut self, word: &str, text: &str) {
        self.verdicts.push(word.to_string());
        self.verdict(word, AnsiColor::Green.on_default(), text);
    }

    /// Adds a verdict that is bad: a word in red, and a sentence.
    pub fn fail(&mut self, word: &str, text: &str) {
        self.verdicts.push(word.to_string());
        self.verdict(word, AnsiColor::Red.on_default().bold(), text);
    }

    /// Adds a verdict that is neither: a word and a sentence.
    pub fn note(&mut self, word: &str, text: &str) {
        self.verdict(word, Style::new(), text);
    }

    fn verdict(&mut self, word: &str, style: Style, text: &str) {
        self.push_str("  ");
        self.styled(&format!("{word:10}"), style);
        self.push_str(&format!("  {}\n", print::wrapped(text, 14).trim_start()));
    }

    /// Adds a line that belongs to the verdict before it.
    pub fn detail(&mut self, text: &str) {
        self.push_str(&format!("{}\n", print::wrapped(text, 6)));
    }

    /// The verdicts on it in their words, for a log.
    pub fn verdicts(&self) -> String {
        self.verdicts.join("; ")
    }

    /// Whether nothing is on it.
    pub fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    /// Adds another page.
    pub fn append(&mut self, page: Page) {
        self.text.push_str(&page.text);
        self.verdicts.extend(page.verdicts);
    }

    /// Pages with an empty line between them.
    pub fn join(pages: Vec<Page>) -> Self {
        let mut joined = Self::new();
        for (number, page) in pages.into_iter().enumerate() {
            if number > 0 {
                joined.text.push('\n');
            }
            joined.append(page);
        }
        joined
    }

    /// What the parser of the command line has to say: its help, or what is wrong with an argument, whose text
    /// may hold anything.
    pub fn from_parser_error(mut error: Error) -> Self {
        let plain = |text: &String| shown_in_line(text);
        let found: Vec<_> = error
            .context()
            .filter_map(|(kind, value)| {
                let value = match value {
                    ContextValue::String(text) => ContextValue::String(plain(text)),
                    ContextValue::Strings(texts) => {
                        ContextValue::Strings(texts.iter().map(plain).collect())
                    }
                    _ => return None,
                };
                Some((kind, value))
            })
            .collect();
        let is_hostile = found.iter().any(|(kind, value)| error.get(*kind) != Some(value));
        for (kind, value) in found {
            error.insert(kind, value);
        }
        if is_hostile {
            // It quotes the argument between styles of its own.
            error.remove(ContextKind::Suggested);
        }
        Self::from_styled(&error.render())
    }

    /// Text that the parser styled: its styles are kept, and whatever else begins with an escape is shown.
    fn from_styled(text: &StyledStr) -> Self {
        let text = text.ansi().to_string();
        let mut page = Self::new();
        for (number, part) in text.split('\u{1b}').enumerate() {
            let style = part.strip_prefix('[').and_then(|part| {
                let end = part.find(|c: char| !c.is_ascii_digit() && c != ';')?;
                part[end..].starts_with('m').then(|| &part[..=end])
            });
            match style {
                Some(style) if number > 0 => {
                    page.text.push_str(&format!("\u{1b}[{style}"));
                    page.push_str(&part[style.len() + 1..]);
                }
                _ if number > 0 => page.push_str(&format!("\u{1b}{part}")),
                _ => page.push_str(part),
            }
        }
        page
    }

    /// Its text with styles, for a terminal; the stream takes them off where there is none.
    pub fn as_ansi(&self) -> &str {
        &self.text
    }
}

impl fmt::Write for Page {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.push_str(text);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use clap::{Arg, Command};

    use super::*;

    #[test]
    fn only_the_page_puts_styles_on() {
        let mut page = Page::new();
        page.push_str("\u{1b}[31m ");
        page.bold("\u{9b}1m");
        page.append(Page::from_text("\u{202e}"));
        assert_eq!(page.as_ansi(), "\\u{1b}[31m \u{1b}[1m\\u{9b}1m\u{1b}[0m\\u{202e}");
        let mut page = Page::new();
        page.heading("two\nlines");
        assert_eq!(page.as_ansi(), "\u{1b}[1mtwo\\u{a}lines\u{1b}[0m\n");
    }

    #[test]
    fn an_argument_is_no_order_and_the_parsers_own_styles_stay() {
        let command = Command::new("lastdock").arg(Arg::new("n").value_parser(["a", "b"]));
        let hostile = "\u{1b}]0;x\u{7}\u{1b}[5m\u{9b}2J\u{202e}";
        for line in [["lastdock", hostile], ["lastdock", &format!("--{hostile}")]] {
            let error = command.clone().try_get_matches_from(line).expect_err("an error");
            let page = Page::from_parser_error(error);
            assert!(page.text.contains("\u{1b}["), "{:?}", page.text);
            assert!(
                page.text.contains("\\u{1b}]0;x\\u{7}\\u{1b}[5m\\u{9b}2J\\u{202e}"),
                "{:?}",
                page.text
            );
            for order in ["\u{1b}]", "\u{7}", "\u{1b}[5m", "\u{9b}", "\u{202e}"] {
                assert!(!page.text.contains(order), "{:?}", page.text);
            }
        }
    }
}
