//! `data/README.txt`: what the bundle is, in plain ASCII, for someone with common tools only.

mod text;

use textwrap::{Options, WordSplitter};

use crate::bundle::format_text::{PROOF, WIDTH, ascii};
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::pages::archive;
use crate::units::fixed;
use crate::words::cautions;

/// Checks a bundle with Python's standard library alone.
pub const CHECK: &str = include_str!("check.py");

/// Takes the entries out of a zip that lost its directory, with Python's standard library alone.
pub const RESCUE: &str = include_str!("rescue.py");

/// What stands before the name of a script, on the line above it and on the line below it.
pub const RULER: &str = "-------- ";

/// The text. Characters beyond ASCII in names become `[U+...]`.
pub fn text(examined: &Examined, bundle_name: &str, program: &str) -> String {
    let mut out = Lines::default();
    what_this_is(&mut out, examined, program);
    out.chapter("What is here", text::CONTENTS, bundle_name);
    out.chapter("How to read it", text::READING, bundle_name);
    out.chapter("How to check it with common tools", text::CHECKING, bundle_name);
    out.script("check.py", CHECK);
    out.chapter("What checking proves", "", bundle_name);
    for sentence in PROOF {
        out.item(sentence);
    }
    out.chapter("When the zip is damaged", text::DAMAGED, bundle_name);
    out.script("rescue.py", RESCUE);
    out.chapter("What to copy to the next medium", text::COPYING, bundle_name);
    out.chapter("Rights, people to ask, originals", "", bundle_name);
    for (what, recorded) in archive::recorded(&examined.project.docking.archive) {
        out.item(&format!("{what}: {}", recorded.as_deref().unwrap_or("not recorded")));
    }
    out.chapter("Cautions", "", bundle_name);
    for caution in cautions::all() {
        out.item(caution);
    }
    out.0
}

fn what_this_is(out: &mut Lines, examined: &Examined, program: &str) {
    let docking = &examined.project.docking;
    out.heading(&format!("{}: record of a dry-docking", docking.ship.name), '=');
    if let Some(statement) = docking.archive.statement() {
        out.says(statement);
        out.line("");
    }
    let mut line = |label: &str, value: &str| out.says(&format!("{label:<11}{value}"));
    line("Ship:", &docking.ship.name);
    if let Some(owner) = &docking.ship.owner {
        line("Owner:", owner);
    }
    line("Dock:", &docking.dock.name);
    if let Some(place) = &docking.dock.location {
        line("Place:", place);
    }
    if let (Some(began), Some(ended)) = docking.period {
        line("Docked:", &format!("{began} to {ended}"));
    }
    if let Some(closeout) = &docking.closeout {
        line("Closed by:", &format!("{}, {}", closeout.prepared_by, closeout.prepared_on));
    }
    out.says(&format!("Written by the program {program}; nothing here needs it to be read."));
    out.heading("In one paragraph", '-');
    let positions: Vec<&str> = examined.project.positions.iter().map(|p| p.id.as_str()).collect();
    let positions =
        if positions.is_empty() { "none recorded".to_string() } else { positions.join(", ") };
    let never = match examined.recomputed.never_exposed_m2() {
        Some(area) => {
            let pieces = match examined.recomputed.never_exposed.len() {
                1 => "1 piece".to_string(),
                pieces => format!("{pieces} pieces"),
            };
            format!(
                "Bottom under blocks in every position (never exposed): {} m2 in plan, in {pieces}.",
                fixed(area, 3)
            )
        }
        None => "What was never exposed: not recorded.".to_string(),
    };
    out.says(&format!(
        "Docking positions used: {positions}. {never} Findings: {} agree, {} differ, {} beyond a limit, {} \
         not recorded; {} of those that differ or are beyond a limit wait for an answer. See \
         data/closeout-report.pdf, page one onwards.",
        examined.count(Outcome::Agrees),
        examined.count(Outcome::Differs),
        examined.count(Outcome::BeyondLimit),
        examined.count(Outcome::NotRecorded),
        examined.unanswered().count()
    ));
}

/// The text as it grows.
#[derive(Default)]
struct Lines(String);

impl Lines {
    fn line(&mut self, text: &str) {
        self.0.push_str(text);
        self.0.push('\n');
    }

    fn heading(&mut self, title: &str, with: char) {
        let title = ascii(title);
        if !self.0.is_empty() {
            self.line("");
        }
        self.line(&title);
        self.line(&with.to_string().repeat(title.len()));
    }

    /// A heading and text about the bundle `NAME`. Indented lines stay as they are; the others make up
    /// paragraphs.
    fn chapter(&mut self, title: &str, text: &str, bundle_name: &str) {
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
    fn says(&mut self, text: &str) {
        self.wrapped(text, Options::new(WIDTH));
    }

    fn item(&mut self, text: &str) {
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
    fn script(&mut self, name: &str, script: &str) {
        self.line(&format!("{RULER}{name} begins"));
        script.lines().for_each(|line| self.line(line));
        self.line(&format!("{RULER}{name} ends"));
    }
}
