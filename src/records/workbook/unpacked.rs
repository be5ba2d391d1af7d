//! A workbook's zip, unpacked within bounds into one that is not compressed: declared sizes are not
//! believed, and only those parts are taken along that hold cells or say what they are.

use std::io::{Cursor, Read, Write};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use super::markup::{self, Broken};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    /// Office Open XML, ISO/IEC 29500.
    OfficeOpen,
    /// OpenDocument, ISO/IEC 26300.
    OpenDocument,
}

/// The most bytes that the parts of a workbook may have when unpacked. A docking with ten times the usual
/// records has some fifteen million.
const MOST_UNPACKED: u64 = 32 << 20;

/// The most parts that a workbook may have.
const MOST_PARTS: usize = 10_000;

/// The most strings and shared formulas that a part may promise.
const MOST_PROMISED: usize = 1_000_000;

/// A workbook that can be read without surprises.
pub(super) struct Unpacked {
    /// A zip of its parts, stored.
    pub zip: Vec<u8>,
    /// The part that holds the cells of an OpenDocument sheet; empty elsewhere.
    pub content: Vec<u8>,
}

/// Unpacks a workbook, or says why it is none.
pub(super) fn unpack(bytes: &[u8], format: Format) -> Result<Unpacked, String> {
    if bytes.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        return Err("is password-protected, or in a format older than Office Open XML".to_string());
    }
    let broken = |error: &dyn std::fmt::Display| format!("can't be unpacked: {error}");
    let mut from = ZipArchive::new(Cursor::new(bytes)).map_err(|error| broken(&error))?;
    if from.len() > MOST_PARTS {
        return Err(format!("has more than {MOST_PARTS} parts"));
    }
    let mut into = ZipWriter::new(Cursor::new(Vec::new()));
    let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    let mut left = MOST_UNPACKED;
    let mut content = Vec::new();
    for number in 0..from.len() {
        let part = from.by_index(number).map_err(|error| broken(&error))?;
        let name = part.name().map_err(|error| broken(&error))?.to_string();
        if !is_wanted(&name, format) {
            continue;
        }
        let mut bytes = Vec::new();
        part.take(left + 1).read_to_end(&mut bytes).map_err(|error| broken(&error))?;
        left = left.checked_sub(bytes.len() as u64).ok_or_else(|| {
            format!("unpacks to more than {MOST_UNPACKED} bytes, more than any docking needs")
        })?;
        if name != "mimetype" {
            markup::tags(&bytes, promises_little).map_err(|wrong| format!("{name} {}", wrong.0))?;
        }
        into.start_file(name.as_str(), stored).map_err(|error| broken(&error))?;
        into.write_all(&bytes).map_err(|error| broken(&error))?;
        if format == Format::OpenDocument && name == "content.xml" {
            content = bytes;
        }
    }
    let zip = into.finish().map_err(|error| broken(&error))?.into_inner();
    Ok(Unpacked { zip, content })
}

/// Whether a part has to do with cells.
fn is_wanted(name: &str, format: Format) -> bool {
    match format {
        Format::OpenDocument => {
            matches!(name, "mimetype" | "META-INF/manifest.xml" | "content.xml")
        }
        Format::OfficeOpen => {
            const OTHERS: &[&str] = &["docProps/", "customXml/", "xl/drawings/", "xl/charts/"];
            (name.ends_with(".xml") || name.ends_with(".rels"))
                && !OTHERS.iter().any(|folder| name.starts_with(folder))
        }
    }
}

/// Memory is set aside for the first two before anything is read; the names of places are counted without a look at
/// how large they are, so that a very large one comes out as another.
fn promises_little(tag: &markup::Tag<'_>) -> Result<(), Broken> {
    tag.count("uniqueCount", MOST_PROMISED)?;
    let name = tag.name.rsplit_once(':').map_or(tag.name, |(_, name)| name);
    if name == "f" {
        tag.count("si", MOST_PROMISED)?;
    }
    if name == "c" || name == "row" {
        let place = tag.attribute("r").unwrap_or_default();
        let (letters, digits) =
            place.split_at(place.trim_end_matches(|c: char| c.is_ascii_digit()).len());
        if letters.len() > 3 || digits.len() > 7 {
            return Err(Broken("has a cell beyond the limits of a sheet"));
        }
    }
    Ok(())
}
