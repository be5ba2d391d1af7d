//! A file's media type by its content; its name decides only between kinds that look alike.

use std::io;

use super::kinds::{
    DRAWING, MKV_FFV1, MP4_H264, OTHER_TEXT, PDF, PDF_A, PDF_ENCRYPTED, RAW_PICTURE, TEXT,
    by_media_type,
};
use super::parts::Parts;
use crate::records::contained::contained;

/// The most text that is read as a whole, bytes; of more, the beginning must do.
const MOST_TEXT: u64 = 4 * 1024 * 1024;

/// The most of a film's index that is searched for its coding, bytes.
const MOST_INDEX: u64 = 1024 * 1024;

/// Boxes of a film that are looked through for its index.
const MOST_BOXES: usize = 1000;

/// The media type, or `None` for a content that is not known.
pub fn media(parts: &mut Parts<'_>, end: Option<&str>) -> io::Result<Option<&'static str>> {
    let head = parts.head()?;
    if head.is_empty() {
        return Ok(None);
    }
    // Some kinds are made of plain letters; any other text may begin with what a binary kind begins with.
    let in_letters = [&b"%PDF"[..], b"{\\rtf", b"%!PS"].iter().any(|magic| head.starts_with(magic));
    if !in_letters && let Some(text) = text(parts, &head)? {
        return Ok(Some(kind_of_text(&text, text.len() as u64 == parts.size, end)));
    }
    let found = match is_matroska(&head) {
        true => Some("video/x-matroska"),
        // It takes some beginnings apart with another library: if either panics, the kind is unknown.
        false => contained(|| infer::get(&head)).ok().flatten().map(|kind| kind.mime_type()),
    };
    let known = found
        .and_then(by_media_type)
        .and_then(|kind| kind.media.iter().copied().find(|media| Some(*media) == found));
    Ok(match known {
        Some("application/pdf") => Some(media_of_pdf(parts, &head)?),
        Some("video/mp4" | "video/x-m4v") if is_h264(parts)? => Some(MP4_H264),
        Some("video/x-matroska") if find(&head, b"V_FFV1").is_some() => Some(MKV_FFV1),
        Some("image/tiff") | None if named_as(RAW_PICTURE, end) => Some(RAW_PICTURE),
        Some("application/x-ole-storage" | "application/zip") | None if named_as(DRAWING, end) => {
            Some(DRAWING)
        }
        None if is_dwg(&head) => Some(DRAWING),
        None if is_other_text(&head) => Some(OTHER_TEXT),
        known => known,
    })
}

fn named_as(media: &str, end: Option<&str>) -> bool {
    by_media_type(media).is_some_and(|kind| end.is_some_and(|end| kind.ends.contains(&end)))
}

/// The file as UTF-8 text without control characters, the whole of it or its beginning.
fn text(parts: &Parts<'_>, head: &[u8]) -> io::Result<Option<String>> {
    if !head.iter().all(|byte| is_plain(*byte)) {
        return Ok(None);
    }
    let bytes = parts.whole(MOST_TEXT)?.unwrap_or_else(|| head.to_vec());
    let whole = bytes.len() as u64 == parts.size;
    let sound = match std::str::from_utf8(&bytes) {
        Ok(_) => bytes.len(),
        // The beginning may have been cut inside a character.
        Err(error) if !whole && error.error_len().is_none() => error.valid_up_to(),
        Err(_) => return Ok(None),
    };
    let text = String::from_utf8_lossy(bytes.get(..sound).unwrap_or_default());
    Ok(text.bytes().all(is_plain).then(|| text.trim_start_matches('\u{FEFF}').to_string()))
}

fn is_plain(byte: u8) -> bool {
    byte >= b' ' && byte != 0x7F || matches!(byte, b'\t' | b'\n' | b'\r' | 0x0C)
}

fn kind_of_text(text: &str, whole: bool, end: Option<&str>) -> &'static str {
    let begins = text.trim_start();
    let first = |most: usize| begins.chars().take(most).collect::<String>().to_lowercase();
    if begins.starts_with("ISO-10303-21;") {
        return "model/step";
    }
    if begins.starts_with("#!") {
        return "text/x-shellscript";
    }
    if begins.starts_with('<') {
        let first = first(4096);
        return match first.as_str() {
            _ if first.contains("<svg") => "image/svg+xml",
            _ if first.contains("<html") || first.starts_with("<!doctype html") => "text/html",
            _ if first.starts_with("<?xml") => "text/xml",
            _ if end == Some("xml") => "text/xml",
            _ => TEXT,
        };
    }
    match end {
        Some("csv" | "tsv") => "text/csv",
        Some("toml") if !whole || toml::from_str::<toml::Table>(text).is_ok() => "application/toml",
        Some("json") if !whole || serde_json::from_str::<serde::de::IgnoredAny>(text).is_ok() => {
            "application/json"
        }
        Some("dxf") if text.contains("SECTION") => "image/vnd.dxf",
        Some("eml") if text.contains(':') => "message/rfc822",
        _ => TEXT,
    }
}

/// The header of EBML (RFC 8794) names the sort of document, which the library looks for at two places only.
fn is_matroska(head: &[u8]) -> bool {
    let header = head.get(..64.min(head.len())).unwrap_or_default();
    header.starts_with(&[0x1A, 0x45, 0xDF, 0xA3]) && find(header, b"matroska").is_some()
}

/// A DWG drawing begins with six letters that name the release (from memory).
fn is_dwg(head: &[u8]) -> bool {
    head.starts_with(b"AC10") && head.get(4..6).is_some_and(|n| n.iter().all(u8::is_ascii_digit))
}

/// Bytes of letters in a coding that is not UTF-8: UTF-16 with its mark, or one byte a letter.
fn is_other_text(head: &[u8]) -> bool {
    if head.starts_with(&[0xFF, 0xFE]) || head.starts_with(&[0xFE, 0xFF]) {
        return head.len() > 2;
    }
    let high = head.iter().filter(|byte| **byte >= 0x80).count();
    head.iter().all(|byte| is_plain(*byte)) && 2 * high < head.len()
}

/// Whether an MP4 film's index names H.264 (ISO/IEC 14496-12: boxes of a size and four letters; 14496-15:
/// the sample entries avc1 to avc4).
fn is_h264(parts: &Parts<'_>) -> io::Result<bool> {
    let mut at = 0;
    for _ in 0..MOST_BOXES {
        let header = parts.part(at, 16)?;
        let Some((length, letters)) = header.first_chunk::<4>().zip(header.get(4..8)) else {
            return Ok(false);
        };
        let length = match (u32::from_be_bytes(*length), header.last_chunk::<8>()) {
            (0, _) => parts.size.saturating_sub(at),
            (1, Some(long)) if header.len() == 16 => u64::from_be_bytes(*long),
            (length, _) => u64::from(length),
        };
        if letters == b"moov" {
            let index = parts.part(at, length.min(MOST_INDEX))?;
            return Ok([b"avc1", b"avc2", b"avc3", b"avc4"]
                .iter()
                .any(|entry| find(&index, *entry).is_some()));
        }
        if length < 8 {
            return Ok(false);
        }
        at = at.saturating_add(length);
    }
    Ok(false)
}

/// How much of the beginning and of the end is searched for the declaration of PDF/A, bytes.
const SEARCHED: u64 = 8 * 1024 * 1024;

/// How much of a cross-reference section is read, bytes: a stream's dictionary stands at its beginning, and a
/// table of more than this is not the first of two, whose trailer is not the last one of the file.
const SECTION: u64 = 64 * 1024;

/// The media type of a PDF, with what was seen in it.
fn media_of_pdf(parts: &Parts<'_>, head: &[u8]) -> io::Result<&'static str> {
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

/// Where one run of bytes stands first in another.
pub fn find(bytes: &[u8], what: &[u8]) -> Option<usize> {
    bytes.windows(what.len()).position(|window| window == what)
}
