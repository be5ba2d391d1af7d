//! What a report is made of.

use serde::Serialize;

use super::figures::Drawing;
use super::letters::Letter;
use crate::findings::Examined;
use crate::records::docking::Closeout;
use crate::records::pictures::Album;

/// A file of the bundle with its checksum.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// Path in the bundle, `data/...`.
    pub path: String,
    /// Size in bytes.
    pub size: u64,
    /// SHA-256 in hexadecimal.
    pub sha256: String,
}

/// A file that is attached to the report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attachment {
    /// Its name, which no other attachment has.
    pub path: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Its media type, `text/csv`.
    pub media_type: &'static str,
    /// What it is, one line.
    pub about: String,
    /// What it is to the report.
    pub relationship: Relationship,
}

/// What an attached file is to the report (ISO 19005-3, annex E).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Relationship {
    /// The report was made from it.
    Source,
    /// It holds the figures that the report shows.
    Data,
    /// It says more about what the report is of.
    Supplement,
}

/// A document that a closeout writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Volume {
    /// The report.
    Report,
    /// Its first pages, to be handed out alone.
    Summary,
    /// The full tables, set for paper.
    Tables,
}

impl Volume {
    /// Its file's name beside the bundle.
    pub fn file(self, closeout: &Closeout) -> String {
        format!("{}-{}.pdf", closeout.bundle_name, self.word())
    }

    /// The name of a part of the tables, from 1.
    pub fn tables_file(closeout: &Closeout, part: usize) -> String {
        format!("{}-tables-{part}.pdf", closeout.bundle_name)
    }

    fn word(self) -> &'static str {
        match self {
            Volume::Report => "report",
            Volume::Summary => "summary",
            Volume::Tables => "tables",
        }
    }

    /// What it is, for those who have another volume.
    pub(in crate::report) fn about(self) -> &'static str {
        match self {
            Volume::Report => "the whole report, with the records attached",
            Volume::Summary => "its first pages, to be handed out alone",
            Volume::Tables => "the full tables and every finding, set for paper",
        }
    }

    /// What it is called on its own first page.
    pub(in crate::report) fn kind(self) -> &'static str {
        match self {
            Volume::Report => "Closeout report of a dry-docking",
            Volume::Summary => "Summary of the closeout report of a dry-docking",
            Volume::Tables => "Tables of the closeout report of a dry-docking",
        }
    }
}

/// All that a report is made of.
#[derive(Debug)]
pub struct Inputs<'a> {
    /// Records, recomputation and findings.
    pub examined: &'a Examined,
    /// Drawings in the order in which they are shown.
    pub drawings: &'a [Drawing],
    /// The files of the bundle.
    pub files: &'a [Listed],
    /// The checksum of the records, 64 hexadecimal digits.
    pub records_checksum: &'a str,
    /// Files to attach.
    pub attachments: Vec<Attachment>,
    /// Pictures to show.
    pub pictures: &'a Album,
    /// Texts that say something to the next docking.
    pub letters: Vec<Letter>,
    /// Name and version of this program.
    pub program: &'a str,
}

/// Name of an attachment's file in the typesetter's world.
pub(in crate::report) fn attachment_name(n: usize) -> String {
    format!("attachments/{n}")
}

/// Name of a drawing's file in the typesetter's world.
pub(in crate::report) fn drawing_name(n: usize) -> String {
    format!("drawings/{n}.svg")
}

/// Name of a picture's file in the typesetter's world.
pub(in crate::report) fn picture_name(n: usize, extension: &str) -> String {
    format!("pictures/{n}.{extension}")
}
