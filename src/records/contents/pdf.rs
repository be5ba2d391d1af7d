//! Whether a PDF is encrypted, and whether it says that it is PDF/A.

use std::io;

use super::kinds::{PDF, PDF_A, PDF_ENCRYPTED};
use super::parts::Parts;
use super::recognise::find;

/// How much of the beginning and of the end is searched for the declaration of PDF/A, bytes.
const SEARCHED: u64 = 8 * 1024 * 1024;

/// How much of a cross-reference section is read, bytes: a stream's dictionary stands at its beginning, and a
/// table of more than this is not the first of two, whose trailer is not the last one of the file.
const SECTION: u64 = 64 * 1024;

/// The media type of a PDF, with what was seen in it.
pub fn media(parts: &Parts<'_>, head: &[u8]) -> io::Result<&'static str> {
    if is_encrypted(parts)? {
        return Ok(PDF_ENCRYPTED);
    }
    // The metadata of a PDF/A lies in it uncompressed, so that it is found without reading the rest.
    let says = |bytes: &[u8]| find(bytes, b"pdfaid:part").is_some();
    let archival = says(head) || says(&parts.part(0, SEARCHED)?) || {
        let from = parts.size.saturating_sub(SEARCHED).max(SEARCHED);
        from < parts.size && says(&parts.part(from, SEARCHED)?)
    };
    Ok(if archival { PDF_A } else { PDF })
}

/// The trailer names the encryption (ISO 32000-1, 7.5.5, 7.5.8 and annex F): the last one of the file, or that of
/// the cross-reference section that `startxref` points to, a table with a trailer or a stream with a dictionary.
/// In a linearised file the two are not the same.
fn is_encrypted(parts: &Parts<'_>) -> io::Result<bool> {
    let tail = parts.tail()?;
    let tail = String::from_utf8_lossy(&tail);
    let (before, pointer) = tail.rsplit_once("startxref").unwrap_or((&tail, ""));
    if before.rsplit_once("trailer").is_some_and(|(_, trailer)| names_encryption(trailer)) {
        return Ok(true);
    }
    let digits: String = pointer.trim_start().chars().take_while(char::is_ascii_digit).collect();
    let Ok(at) = digits.parse() else { return Ok(false) };
    let section = parts.part(at, SECTION)?;
    let section = String::from_utf8_lossy(&section);
    let dictionary = if section.trim_start().starts_with("xref") {
        let trailer = section.split_once("trailer").map_or("", |(_, trailer)| trailer);
        trailer.split("startxref").next()
    } else {
        section.split("stream").next()
    };
    Ok(names_encryption(dictionary.unwrap_or_default()))
}

fn names_encryption(dictionary: &str) -> bool {
    dictionary
        .split("/Encrypt")
        .skip(1)
        .any(|after| !after.starts_with(|c: char| c.is_ascii_alphanumeric()))
}
