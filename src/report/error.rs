//! Why a report could not be typeset, as cause and remedy.

use std::fmt;

use typst::diag::SourceDiagnostic;

/// One reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Message {
    /// What stood in the way, one sentence.
    pub cause: String,
    /// What to do about it.
    pub remedy: String,
}

/// Why a report could not be typeset: every reason, at least one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportError {
    /// The reasons.
    pub messages: Vec<Message>,
}

impl ReportError {
    /// A single reason.
    pub fn new(cause: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { messages: vec![Message { cause: cause.into(), remedy: remedy.into() }] }
    }

    /// A reason that no record can bring about.
    pub(crate) fn ours(cause: impl Into<String>) -> Self {
        Self::new(cause, OWN_FAULT)
    }

    /// What the typesetter refused, in words that a person with a project can act on.
    pub(super) fn refused<'a>(by: impl IntoIterator<Item = &'a SourceDiagnostic>) -> Self {
        let mut messages: Vec<Message> = Vec::new();
        for diagnostic in by {
            let message = translated(diagnostic);
            if !messages.contains(&message) {
                messages.push(message);
            }
        }
        if messages.is_empty() {
            return Self::ours("The typesetter stopped without giving a reason.");
        }
        Self { messages }
    }
}

impl fmt::Display for ReportError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (n, message) in self.messages.iter().enumerate() {
            if n > 0 {
                writeln!(f)?;
            }
            write!(f, "{} {}", message.cause, message.remedy)?;
        }
        Ok(())
    }
}

impl std::error::Error for ReportError {}

const OWN_FAULT: &str =
    "This is a fault of the program and not of the records: report it with this message.";

/// What the typesetter says, what that means here, and what to do.
const KNOWN: &[(&str, &str, &str)] = &[
    (
        "could not be displayed",
        "A character has no shape in the fonts that the report embeds, and PDF/A refuses it.",
        "Take the character that the message quotes out of the records.",
    ),
    (
        "not mapped to a code point",
        "A piece of text can't be mapped back to characters, and PDF/A-3a asks for that.",
        "Look for writing whose letters join or stack in the records, and put it into a paper.",
    ),
    (
        "missing codepoints",
        "A piece of text can't be mapped back to characters, and PDF/A-3a asks for that.",
        "Look for writing whose letters join or stack in the records, and put it into a paper.",
    ),
    (
        "disallowed codepoint",
        "A text holds a character that PDF/A forbids.",
        "Take the character that the message quotes out of the records.",
    ),
    (
        "private area",
        "A text holds a character for private use, which PDF/A forbids.",
        "Take the character that the message quotes out of the records.",
    ),
    (
        "contains transparency",
        "A picture or drawing is partly transparent, which this form of PDF/A forbids.",
        "Save the picture without transparency, or set its in_report to no.",
    ),
    (
        "longer than 32767",
        "The title or the name of the one who prepared the report is too long for a PDF.",
        "Shorten ship.name and closeout.prepared_by in docking.toml.",
    ),
    (
        "8191 elements",
        "One line of text is too long for PDF/A.",
        "Break the longest texts of the records into lines.",
    ),
    (
        "too many indirect objects",
        "The report is larger than PDF/A allows.",
        "Set in_report to no for some of the pictures.",
    ),
    (
        "failed to decode image",
        "A picture can't be decoded.",
        "Open it and save it again, or set its in_report to no.",
    ),
    (
        "failed to process image",
        "A picture can't be put into a PDF.",
        "Open it and save it again, or set its in_report to no.",
    ),
    ("failed to parse SVG", "A drawing of this program is not sound.", OWN_FAULT),
    (
        "attach file",
        "A file of records can't be attached to the report.",
        "See that no two files of the project have the same name.",
    ),
    (
        "mime type",
        "A file that is attached has no media type, and PDF/A-3 asks for one.",
        OWN_FAULT,
    ),
    (
        "file description is missing",
        "A file that is attached has no description, and PDF/A-3 asks for one.",
        OWN_FAULT,
    ),
    (
        "missing alt text",
        "A picture has no words for those who can't see it, and PDF/UA asks for them.",
        "Give each picture in papers.csv a caption.",
    ),
    (
        "date is missing",
        "The report has no date, and PDF/A asks for one.",
        "Fill in closeout.prepared_on in docking.toml.",
    ),
    (
        "missing document date",
        "The report has no date, and PDF/A asks for one.",
        "Fill in closeout.prepared_on in docking.toml.",
    ),
    (
        "missing document title",
        "The report has no title, and PDF/UA asks for one.",
        "Fill in ship.name in docking.toml.",
    ),
];

fn translated(diagnostic: &SourceDiagnostic) -> Message {
    let said = diagnostic.message.as_str();
    let hints: Vec<&str> = diagnostic.hints.iter().map(|hint| hint.v.as_str()).collect();
    let hints = if hints.is_empty() { String::new() } else { format!("; {}", hints.join("; ")) };
    match KNOWN.iter().find(|(needle, ..)| said.contains(needle)) {
        Some((_, cause, remedy)) => Message {
            cause: format!("{cause} (The typesetter says: {said}.)"),
            remedy: (*remedy).to_string(),
        },
        None => Message {
            cause: format!("The report can't be typeset: {said}{hints}."),
            remedy: OWN_FAULT.to_string(),
        },
    }
}
