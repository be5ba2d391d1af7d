//! `README.txt` as it grows: plain ASCII, lines broken at the width of the page, scripts between rulers.

use textwrap::{Options, WordSplitter};

use crate::bundle::format_text::{WIDTH, ascii};

/// Checks a bundle with Python's standard library alone.
pub const CHECK: &str = include_str!("check.py");

/// Takes the entries out of a zip that lost its directory, with Python's standard library alone.
pub const RESCUE: &str = include_str!("rescue.py");

/// What stands before the name of a script, on the line above it and on the line below it.
pub const RULER: &str = "-------- ";

/// The text as it grows.
#[derive(Default)]
pub(super) struct Lines(pub String);

impl Lines {
    pub fn line(&mut self, text: &str) {
        self.0.push_str(text);
        self.0.push('\n');
    }

    pub fn heading(&mut self, title: &str, with: char) {
        let title = ascii(title);
        if !self.0.is_empty() {
            self.line("");
        }
        self.line(&title);
        self.line(&with.to_string().repeat(title.len()));
    }

    /// A heading and text about the bundle `NAME`. Indented lines stay as they are; the others make up
    /// paragraphs.
    pub fn chapter(&mut self, title: &str, text: &str, bundle_name: &str) {
        self.heading(title, '-');
        let mut paragraph: Vec<&str> = Vec::new();
        let text = text.trim_start_matches('\n').replace("NAME", bundle_name);
        for line in text.lines().chain([""]) {
            let stays = line.is_empty() || line.starts_with(' ');
            if stays && !paragraph.is_empty() {
                self.says(&paragraph.join(" "));
                paragraph.clear();
            }
            if line.starts_with(' ') || (line.is_empty() && !self.0.ends_with("\n\n")) {
                self.line(&ascii(line));
            } else if !line.is_empty() {
                paragraph.push(line);
            }
        }
        let end = self.0.trim_end().len();
        self.0.truncate(end + 1);
    }

    /// Text that is broken into lines.
    pub fn says(&mut self, text: &str) {
        self.wrapped(text, Options::new(WIDTH));
    }

    pub fn item(&mut self, text: &str) {
        self.wrapped(text, Options::new(WIDTH).initial_indent("- ").subsequent_indent("  "));
    }

    fn wrapped(&mut self, text: &str, options: Options<'_>) {
        // File names are not broken at their hyphens.
        let options = options.word_splitter(WordSplitter::NoHyphenation);
        for line in textwrap::wrap(&ascii(text), options) {
            self.line(&line);
        }
    }

    /// A script between two rulers.
    pub fn script(&mut self, name: &str, script: &str) {
        self.line(&format!("{RULER}{name} begins"));
        script.lines().for_each(|line| self.line(line));
        self.line(&format!("{RULER}{name} ends"));
    }
}
