//! The stated size of a PNG or JPEG picture, whether it is complete, and when, by the camera's clock, it was
//! taken.

use std::io::{self, BufRead, Read};

use chrono::{FixedOffset, NaiveDate, NaiveDateTime};
use exif::{In, Reader, Tag, Value};

use super::parts::Parts;
use super::recognise::find;
use crate::records::contained::contained;

/// What is seen without decoding.
pub struct Looked {
    pub pixels: Option<(u32, u32)>,
    pub broken: Option<&'static str>,
}

/// Looks at a picture; `None` for other kinds.
pub fn look(parts: &mut Parts<'_>, media: &str) -> io::Result<Option<Looked>> {
    let (pixels, end): (_, &[u8]) = match media {
        "image/png" => (png_size(&parts.head()?), b"IEND"),
        "image/jpeg" => (jpeg_size(&mut parts.stream()), &[0xFF, 0xD9]),
        _ => return Ok(None),
    };
    let broken = match pixels {
        None => Some("its header gives no size"),
        Some((0, _) | (_, 0)) => Some("it has no pixels"),
        Some(_) if find(&parts.tail()?, end).is_none() => Some("it is cut short"),
        Some(_) => None,
    };
    Ok(Some(Looked { pixels, broken }))
}

/// PNG (third edition) 11.2.1: the first chunk is IHDR, with width and height.
fn png_size(head: &[u8]) -> Option<(u32, u32)> {
    let header = head.get(12..24)?.strip_prefix(b"IHDR")?;
    let (width, height) = header.split_first_chunk::<4>()?;
    Some((u32::from_be_bytes(*width), u32::from_be_bytes(*height.first_chunk()?)))
}

/// ITU-T T.81 B.2.2: the frame header follows one of the markers SOF, which other segments precede.
fn jpeg_size(stream: &mut impl BufRead) -> Option<(u32, u32)> {
    let mut start = [0; 2];
    stream.read_exact(&mut start).ok()?;
    loop {
        let mut marker = [0; 2];
        stream.read_exact(&mut marker).ok()?;
        let [0xFF, mut code] = marker else { return None };
        // Any number of fill bytes may stand before a marker.
        while code == 0xFF {
            let mut next = [0];
            stream.read_exact(&mut next).ok()?;
            [code] = next;
        }
        if matches!(code, 0x01 | 0xD0..=0xD8) {
            continue;
        }
        let mut length = [0; 2];
        stream.read_exact(&mut length).ok()?;
        let length = u64::from(u16::from_be_bytes(length)).checked_sub(2)?;
        match code {
            0xC4 | 0xC8 | 0xCC => {}
            0xC0..=0xCF => {
                let mut frame = [0; 5];
                stream.read_exact(&mut frame).ok()?;
                let [_, h0, h1, w0, w1] = frame;
                let edge = |a, b| u32::from(u16::from_be_bytes([a, b]));
                return Some((edge(w0, w1), edge(h0, h1)));
            }
            0xD9 | 0xDA => return None,
            _ => {}
        }
        io::copy(&mut stream.by_ref().take(length), &mut io::sink()).ok()?;
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CameraTime {
    /// Day and time on the camera's clock.
    pub at: NaiveDateTime,
    /// The clock's offset from UTC, where the camera wrote it down.
    pub offset: Option<FixedOffset>,
}

/// The time of exposure: DateTimeOriginal with OffsetTimeOriginal (Exif 2.31, tags 0x9003 and 0x9011).
/// `None` where there is none, or none that can be read, be it that the library which reads it panics.
pub fn time_taken(parts: &Parts<'_>) -> Option<CameraTime> {
    contained(|| exposed(parts)).ok().flatten()
}

fn exposed(parts: &Parts<'_>) -> Option<CameraTime> {
    let exif = Reader::new()
        .continue_on_error(true)
        .read_from_container(&mut parts.stream())
        .or_else(|error| error.distill_partial_result(|_| {}))
        .ok()?;
    let text = |tag| match &exif.get_field(tag, In::PRIMARY)?.value {
        Value::Ascii(texts) => texts.first().map(Vec::as_slice),
        _ => None,
    };
    let mut time = exif::DateTime::from_ascii(text(Tag::DateTimeOriginal)?).ok()?;
    if let Some(offset) = text(Tag::OffsetTimeOriginal) {
        let _ = time.parse_offset(offset);
    }
    let day = NaiveDate::from_ymd_opt(time.year.into(), time.month.into(), time.day.into())?;
    let at = day.and_hms_opt(time.hour.into(), time.minute.into(), time.second.into())?;
    let offset = time.offset.and_then(|minutes| FixedOffset::east_opt(i32::from(minutes) * 60));
    Some(CameraTime { at, offset })
}
