//! Lines of plain ASCII, wrapped, with headings: what the format's text is written with.

use textwrap::Options;

/// The widest that a line may be.
pub const WIDTH: usize = 100;

/// A text that grows.
#[derive(Debug, Default)]
pub struct Page(String);

impl Page {
    /// A chapter's heading.
    pub fn chapter(&mut self, title: &str) {
        self.underlined(title, '=');
    }

    /// A section's heading.
    pub fn section(&mut self, title: &str) {
        self.underlined(title, '-');
    }

    fn underlined(&mut self, title: &str, with: char) {
        let title = ascii(title);
        if !self.0.is_empty() && !self.0.ends_with("\n\n") {
            self.0.push('\n');
        }
        self.0.push_str(&format!("{title}\n{}\n\n", with.to_string().repeat(title.len())));
    }

    /// A paragraph.
    pub fn says(&mut self, text: &str) {
        self.wrapped(text, "", "");
        self.0.push('\n');
    }

    /// An item of a list, without an empty line after it.
    pub fn item(&mut self, text: &str) {
        self.wrapped(text, "  - ", "    ");
    }

    /// A name and what it is.
    pub fn entry(&mut self, name: &str, text: &str) {
        self.wrapped(name, "  ", "  ");
        self.wrapped(text, "      ", "      ");
    }

    /// A line as it is, indented by four.
    pub fn verbatim(&mut self, line: &str) {
        self.0.push_str(format!("    {}", ascii(line)).trim_end());
        self.0.push('\n');
    }

    /// An empty line.
    pub fn gap(&mut self) {
        self.0.push('\n');
    }

    fn wrapped(&mut self, text: &str, first: &str, rest: &str) {
        let options = Options::new(WIDTH)
            .initial_indent(first)
            .subsequent_indent(rest)
            .break_words(false)
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        for line in textwrap::wrap(&ascii(text), options) {
            self.0.push_str(&line);
            self.0.push('\n');
        }
    }

    /// The text.
    pub fn text(self) -> String {
        self.0
    }
}

/// Letters beyond ASCII as words and digits that mean the same; what none is known for as its code
/// point.
pub fn ascii(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            c if c == ' ' || c.is_ascii_graphic() => out.push(c),
            '\u{b0}' => out.push_str("degrees "),
            '\u{b5}' | '\u{3bc}' => out.push_str("micro"),
            '\u{b2}' => out.push('2'),
            '\u{b3}' => out.push('3'),
            '\u{2074}' => out.push('4'),
            '\u{b7}' => out.push_str(" times "),
            '\u{d7}' => out.push('x'),
            '\u{2212}' | '\u{2013}' => out.push('-'),
            '\u{2264}' => out.push_str("<="),
            '\u{2265}' => out.push_str(">="),
            '\u{221a}' => out.push_str("root of "),
            '\u{3c0}' => out.push_str("pi"),
            c if c.is_whitespace() => out.push(' '),
            c => out.push_str(&format!("[U+{:04X}]", u32::from(c))),
        }
    }
    out
}
