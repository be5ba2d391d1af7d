//! What strangers hand in, reader by reader: one function a reader that takes bytes, has the reader read them,
//! and holds whatever comes of it against what must always be so. Property tests and fuzz targets call the
//! same functions.
//!
//! Every function takes some bytes for a whole file and some for the inside of a file that is sound round it,
//! since blind bytes never get past a checksum or a header row.

pub mod bundle;
pub mod cells;
pub mod chunked;
pub mod csv;
pub mod papers;
pub mod pictures;
pub mod project;
pub mod recovery;
pub mod report;
pub mod signers;
pub mod supplement;
pub mod tags;
pub mod toml;
pub mod workbook;
pub mod zipped;

/// A reader, what tests of it begin with, and words that it has eyes for.
#[derive(Clone, Copy)]
pub struct Reader {
    /// Its name, also that of its fuzz target and of its folder in `found`.
    pub name: &'static str,
    /// Reads some bytes; panics where what must hold doesn't.
    pub read: fn(&[u8]),
    /// Inputs that are sound, or nearly so.
    pub seeds: fn() -> Vec<Vec<u8>>,
    /// Words that mean something to it.
    pub words: &'static [&'static str],
}

/// Every reader.
pub const READERS: &[Reader] = &[
    Reader { name: "toml", read: toml::read, seeds: toml::seeds, words: toml::WORDS },
    Reader { name: "csv", read: csv::read, seeds: csv::seeds, words: csv::WORDS },
    Reader {
        name: "workbook",
        read: workbook::read,
        seeds: workbook::seeds,
        words: workbook::WORDS,
    },
    Reader { name: "cells", read: cells::read, seeds: cells::seeds, words: cells::WORDS },
    Reader { name: "bundle", read: bundle::read, seeds: bundle::seeds, words: bundle::WORDS },
    Reader { name: "tags", read: tags::read, seeds: tags::seeds, words: tags::WORDS },
    Reader {
        name: "recovery",
        read: recovery::read,
        seeds: recovery::seeds,
        words: recovery::WORDS,
    },
    Reader { name: "report", read: report::read, seeds: report::seeds, words: report::WORDS },
    Reader { name: "signers", read: signers::read, seeds: signers::seeds, words: signers::WORDS },
    Reader {
        name: "supplement",
        read: supplement::read,
        seeds: supplement::seeds,
        words: supplement::WORDS,
    },
    Reader { name: "papers", read: papers::read, seeds: papers::seeds, words: papers::WORDS },
    Reader {
        name: "pictures",
        read: pictures::read,
        seeds: pictures::seeds,
        words: pictures::WORDS,
    },
];

/// The first byte, which says what the others are, and the others.
fn first(bytes: &[u8]) -> (u8, &[u8]) {
    bytes.split_first().map_or((0, bytes), |(first, rest)| (*first, rest))
}

/// What stands between two marks, as text.
fn parts(bytes: &[u8], mark: u8) -> impl Iterator<Item = std::borrow::Cow<'_, str>> {
    bytes.split(move |byte| *byte == mark).map(String::from_utf8_lossy)
}
