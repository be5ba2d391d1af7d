//! The log of what was done to bundles over the years: one line of a CSV file for each event, in the terms of PREMIS 3
//! (Library of Congress, Data Dictionary for Preservation Metadata 3.0; names and values from memory).
//!
//! A log belongs to whoever keeps the bundles, and is no part of one. A line is added whole: the file is locked meanwhile,
//! the line is written in one piece, and taken away again where that fails.

use std::fs::{File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::Path;

use super::error::BundleError;
use crate::findings::harmless::harmless;

/// The columns: the semantic unit of PREMIS 3, or a name of our own in lower case, and what stands in it.
pub const COLUMNS: &[(&str, &str)] = &[
    ("eventDateTime", "when it was done, UTC: YYYY-MM-DDTHH:MM:SSZ"),
    (
        "eventType",
        "fixity check (verify, and mend where nothing is damaged); information package creation (closeout); replication (mend, \
         where a whole copy was written); extraction (mend, where whole files were salvaged into a folder); of the \
         vocabulary eventType of the Library of Congress",
    ),
    (
        "eventOutcome",
        "success; fail, if something is damaged or does not agree; warning, if not everything could be checked or done; of \
         the vocabulary eventOutcome",
    ),
    (
        "eventOutcomeDetailNote",
        "the verdicts as the program printed them, with semicolons between them",
    ),
    (
        "linkingObjectIdentifierValue",
        "the file or folder that was named, without the folders around it",
    ),
    ("messageDigestAlgorithm", "SHA-256, of the seal"),
    (
        "messageDigest",
        "the seal that was found: SHA-256 of tagmanifest-sha256.txt; empty if there is none",
    ),
    ("agentName", "the program"),
    ("agentVersion", "its version"),
    (
        "implementer",
        "who had it done, if that was given; the role of that name in PREMIS's vocabulary",
    ),
    ("files", "files that were found or are listed; empty if none could be read"),
    ("files_whole", "those of them that are what every manifest says"),
    ("bytes", "bytes that were read of them"),
    (
        "findings_same",
        "findings that come out of the records as they stand in the bundle; empty if none were recomputed",
    ),
];

/// How an event came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// All was well.
    Success,
    /// Something is damaged or does not agree.
    Fail,
    /// Not everything could be checked or done.
    Warning,
}

impl Outcome {
    fn word(self) -> &'static str {
        match self {
            Self::Success => "success",
            Self::Fail => "fail",
            Self::Warning => "warning",
        }
    }
}

/// Something that was done to a bundle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// The type, as `eventType` has it.
    pub kind: &'static str,
    /// How it came out.
    pub outcome: Outcome,
    /// The verdicts.
    pub note: String,
    /// The bundle's file or folder.
    pub object: String,
    /// Its seal.
    pub seal: Option<String>,
    /// Files, those that are whole, and bytes.
    pub counts: Option<[u64; 3]>,
    /// Findings that came out the same.
    pub findings_same: Option<u64>,
}

/// When an event was, and by whom it was had done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Occasion {
    /// UTC, as `eventDateTime` has it.
    pub at: String,
    /// Who.
    pub by: Option<String>,
}

fn row(cells: &[String]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory does not fail.
    let _ = writer.write_record(cells);
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

/// The header line.
pub fn header() -> String {
    row(&COLUMNS.iter().map(|(name, _)| (*name).to_string()).collect::<Vec<_>>())
}

/// An event's line. `program` is a name, a space and a version.
pub fn line(event: &Event, occasion: &Occasion, program: &str) -> String {
    let (name, version) = program.split_once(' ').unwrap_or((program, ""));
    let count = |which: usize| event.counts.map(|counts| counts[which].to_string());
    let seal = event.seal.clone().unwrap_or_default();
    row(&[
        occasion.at.clone(),
        event.kind.to_string(),
        event.outcome.word().to_string(),
        harmless(&event.note),
        harmless(&event.object),
        if seal.is_empty() { String::new() } else { "SHA-256".to_string() },
        seal,
        name.to_string(),
        version.to_string(),
        harmless(occasion.by.as_deref().unwrap_or_default()),
        count(0).unwrap_or_default(),
        count(1).unwrap_or_default(),
        count(2).unwrap_or_default(),
        event.findings_same.map(|same| same.to_string()).unwrap_or_default(),
    ])
}

/// Adds lines to a log; the header comes first where the file is new or empty. A file that begins otherwise, or whose last
/// line does not end, is left as it is.
pub fn append(log: &Path, lines: &str) -> Result<(), BundleError> {
    let failed = |error: io::Error| BundleError::io(log, "can't be added to", &error);
    let mut file =
        OpenOptions::new().read(true).append(true).create(true).open(log).map_err(failed)?;
    if !file.metadata().map_err(failed)?.is_file() {
        let advice = "name a file with --log; it is made if it is not there";
        return Err(BundleError::new(log, "is no file", advice));
    }
    // Where a file system has no locks, two runs at once still write a line each in one piece.
    let _ = file.lock();
    let before = file.metadata().map_err(failed)?.len();
    let header = header();
    if before > 0 {
        let mut begins = Vec::new();
        file.seek(SeekFrom::Start(0)).map_err(failed)?;
        Read::by_ref(&mut file)
            .take(header.len() as u64)
            .read_to_end(&mut begins)
            .map_err(failed)?;
        if begins != header.as_bytes() {
            let first = String::from_utf8_lossy(&begins);
            let first = first.lines().next().unwrap_or_default().escape_debug().to_string();
            return Err(BundleError::new(
                log,
                format!(
                    "is no log of this program: its first line begins \"{first}\", not \"{}\"",
                    header.trim_end()
                ),
                "name another file with --log; a new one gets its first line by itself",
            ));
        }
        let mut last = [0];
        file.seek(SeekFrom::End(-1)).map_err(failed)?;
        file.read_exact(&mut last).map_err(failed)?;
        if last != *b"\n" {
            return Err(BundleError::new(
                log,
                "ends in the middle of a line",
                "open it in a text editor, complete or take away its last line, then run again",
            ));
        }
    }
    let added = if before == 0 { format!("{header}{lines}") } else { lines.to_string() };
    let written = file.write_all(added.as_bytes()).and_then(|()| file.sync_all());
    written.map_err(|error| {
        undo(&file, before);
        failed(error)
    })
}

/// Takes away what was written of a line.
fn undo(file: &File, before: u64) {
    let _ = file.set_len(before);
    let _ = file.sync_all();
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    fn event() -> Event {
        Event {
            kind: "fixity check",
            outcome: Outcome::Success,
            note: "whole; recomputed".to_string(),
            object: "=ship, \"the\".zip".to_string(),
            seal: Some("ab".repeat(32)),
            counts: Some([172, 172, 8_591_427]),
            findings_same: Some(345),
        }
    }

    fn occasion() -> Occasion {
        Occasion { at: "2053-06-01T09:30:00Z".to_string(), by: Some("@Ida".to_string()) }
    }

    #[test]
    fn a_line_has_a_cell_for_every_column_and_no_formula() {
        let text = format!("{}{}", header(), line(&event(), &occasion(), "lastdock 1.2.3"));
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let names = reader.headers().expect("a header").clone();
        assert_eq!(names.len(), COLUMNS.len());
        let row = reader.records().next().expect("a row").expect("a row");
        let cell = |name: &str| &row[names.iter().position(|n| n == name).expect("a column")];
        assert_eq!(cell("linkingObjectIdentifierValue"), "'=ship, \"the\".zip");
        assert_eq!((cell("implementer"), cell("agentVersion")), ("'@Ida", "1.2.3"));
        assert_eq!(
            (cell("files"), cell("bytes"), cell("findings_same")),
            ("172", "8591427", "345")
        );
    }

    #[test]
    fn lines_are_added_and_other_files_are_left_alone() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let log = folder.path().join("log.csv");
        let line = line(&event(), &occasion(), "lastdock 1.2.3");
        append(&log, &line).expect("a new log");
        append(&log, &line).expect("one line more");
        let text = fs::read_to_string(&log).expect("the log");
        assert_eq!(text, format!("{}{line}{line}", header()));

        for (was, says) in [
            ("when,what\n1,2\n".to_string(), "is no log of this program"),
            (format!("{text}2053-"), "ends in the middle of a line"),
        ] {
            fs::write(&log, &was).expect("to write it");
            let error = append(&log, &line).expect_err("a refusal");
            assert!(error.wrong.contains(says), "{}", error.wrong);
            assert_eq!(fs::read_to_string(&log).expect("the log"), was);
        }
        assert!(append(folder.path(), &line).is_err());
    }
}
