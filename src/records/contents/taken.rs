//! When a camera says that a picture was taken.

use chrono::{FixedOffset, NaiveDate, NaiveDateTime};
use exif::{In, Reader, Tag, Value};

use super::parts::Parts;
use crate::records::contained::contained;

/// A camera's time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Taken {
    /// Day and time on the camera's clock.
    pub at: NaiveDateTime,
    /// The clock's offset from UTC, where the camera wrote it down.
    pub offset: Option<FixedOffset>,
}

/// The time of exposure: DateTimeOriginal with OffsetTimeOriginal (Exif 2.31, tags 0x9003 and 0x9011).
/// `None` where there is none, or none that can be read, be it that the library which reads it panics.
pub fn read(parts: &Parts<'_>) -> Option<Taken> {
    contained(|| exposed(parts)).ok().flatten()
}

fn exposed(parts: &Parts<'_>) -> Option<Taken> {
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
    Some(Taken { at, offset })
}
