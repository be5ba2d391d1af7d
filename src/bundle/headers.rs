//! The headers of a zip, read from bytes that nobody vouches for (PKWARE, .ZIP File Format Specification
//! 6.3.10, sections 4.3 and 4.5).

use std::io::{self, Read, Seek, SeekFrom};

/// What an entry's own header begins with.
pub const LOCAL: [u8; 4] = *b"PK\x03\x04";
/// What an entry of the directory begins with.
const CENTRAL: [u8; 4] = *b"PK\x01\x02";
/// What the end record begins with.
const END: [u8; 4] = *b"PK\x05\x06";
/// What the locator of the end record for large zips begins with.
const LOCATOR: [u8; 4] = *b"PK\x06\x07";
/// What that end record begins with.
const LARGE_END: [u8; 4] = *b"PK\x06\x06";

/// Bytes of an entry's own header before its name.
const LOCAL_FIXED: u64 = 30;
/// Bytes of an entry of the directory before its name.
pub const CENTRAL_FIXED: u64 = 46;
/// Bytes of the end record before its comment.
pub const END_FIXED: usize = 22;
/// Bytes of the locator.
const LOCATOR_LENGTH: u64 = 20;
/// Bytes of the end record for large zips up to its length, and that length at least.
const LARGE_END_HEAD: u64 = 12;
const LARGE_END_LEAST: u64 = 44;

/// The longest name that is read_exactly: far longer than any of a bundle's.
const LONGEST_NAME: u64 = 1024;

/// The extra field that holds sizes and offsets of 4 GiB and more.
const ZIP64: u16 = 0x0001;
/// The extra field in which some tools give an entry a second name.
const SECOND_NAME: u16 = 0x7075;
/// The extra field of what is encrypted with AES.
const AES: u16 = 0x9901;

// General purpose bits (section 4.4.4).
const ENCRYPTED: u16 = 1;
const SIZES_BEHIND: u16 = 1 << 3;
const PATCHED: u16 = 1 << 5;
const STRONGLY_ENCRYPTED: u16 = 1 << 6;
const NAME_IS_UTF_8: u16 = 1 << 11;
const MASKED: u16 = 1 << 13;

/// The newest version of the format that an entry may need: 6.3 (section 4.4.3).
const NEWEST: u8 = 63;

/// What both headers of an entry say of it.
#[derive(Debug)]
pub struct Fields {
    /// Its name, as bytes.
    pub name: Vec<u8>,
    /// Version of the format that is needed to read it, times ten.
    needed: u8,
    flags: u16,
    method: u16,
    crc32: u32,
    /// How many bytes stand in the zip for it.
    pub packed: u64,
    /// Its size.
    pub size: u64,
    has_second_name: bool,
    has_aes: bool,
}

impl Fields {
    /// Whether it is compressed.
    pub fn is_compressed(&self) -> bool {
        self.method != 0
    }

    /// CRC-32 of its bytes.
    pub fn crc32(&self) -> u32 {
        self.crc32
    }

    /// Whether both headers say the same of an entry's bytes.
    pub fn agrees(&self, other: &Self) -> bool {
        let of_bytes = |fields: &Self| {
            (fields.method, fields.crc32, fields.packed, fields.size, fields.flags & NAME_IS_UTF_8)
        };
        of_bytes(self) == of_bytes(other)
    }

    /// Why it can't be an entry of a bundle, if it can't.
    pub fn unreadable(&self) -> Option<&'static str> {
        if self.flags & ENCRYPTED != 0 {
            Some("is encrypted")
        } else if self.flags & SIZES_BEHIND != 0 {
            Some("does not say its size before its bytes")
        } else if self.method == 0 && self.packed != self.size {
            Some("is stored and has two sizes")
        } else if self.has_second_name {
            Some("has a second name, which some zip tools go by")
        } else {
            None
        }
    }

    /// Why other tools refuse it, or read something other than its bytes, if they do.
    pub fn refused_by_others(&self) -> Option<String> {
        let why = if self.flags & PATCHED != 0 {
            "is marked as patched data, which other tools refuse"
        } else if self.flags & STRONGLY_ENCRYPTED != 0 {
            "is marked as strongly encrypted"
        } else if self.flags & MASKED != 0 {
            "is marked as one whose header is masked"
        } else if self.has_aes {
            "has the extra field of what is encrypted with AES"
        } else if self.needed > NEWEST {
            let (needed, newest) = (version(self.needed), version(NEWEST));
            return Some(format!(
                "needs version {needed} of the zip format, but tools need to know no more than {newest}"
            ));
        } else if !self.name.is_ascii() && self.flags & NAME_IS_UTF_8 == 0 {
            "has a name that is not marked as UTF-8, so other tools read another name"
        } else {
            return None;
        };
        Some(why.to_string())
    }
}

/// A version of the format; a header has ten times its number.
fn version(tenfold: u8) -> String {
    format!("{}.{}", tenfold / 10, tenfold % 10)
}

/// An entry's own header.
#[derive(Debug)]
pub struct Local {
    pub fields: Fields,
    /// Where the entry's bytes begin.
    pub data: u64,
}

impl Local {
    /// The header at an offset, if one is there.
    pub fn read(file: &mut (impl Read + Seek), at: u64) -> Option<Self> {
        let fixed = bytes(file, at, LOCAL_FIXED)?;
        if !fixed.starts_with(&LOCAL) {
            return None;
        }
        let (name, extra) = (u64::from(half(&fixed, 26)?), u64::from(half(&fixed, 28)?));
        if name > LONGEST_NAME {
            return None;
        }
        let mut rest = bytes(file, at + LOCAL_FIXED, name + extra)?;
        let extra_bytes = rest.split_off(name as usize);
        let fields = read_fields(&fixed, 6, rest, &extra_bytes, None, None)?;
        Some(Self { fields, data: at + LOCAL_FIXED + name + extra })
    }
}

/// An entry of the directory.
#[derive(Debug)]
pub struct Central {
    pub fields: Fields,
    /// Where the entry's own header begins.
    pub header: u64,
    /// The disk on which it begins, counted from 0.
    disk: u32,
    attributes: u32,
}

impl Central {
    /// The next entry of a directory; or why it can't be read.
    pub fn read(from: &mut impl Read) -> Result<Self, String> {
        let broken = || "is no header".to_string();
        let fixed = read_exactly(from, CENTRAL_FIXED).filter(|fixed| fixed.starts_with(&CENTRAL));
        let fixed = fixed.ok_or_else(broken)?;
        let name = half(&fixed, 28).map_or(0, u64::from);
        if name > LONGEST_NAME {
            return Err(format!("has a name of {name} bytes"));
        }
        Self::with_name(&fixed, name, from).ok_or_else(broken)
    }

    fn with_name(fixed: &[u8], name: u64, from: &mut impl Read) -> Option<Self> {
        let (extra, comment) = (u64::from(half(fixed, 30)?), u64::from(half(fixed, 32)?));
        let name = read_exactly(from, name)?;
        let extra = read_exactly(from, extra)?;
        read_exactly(from, comment)?;
        let mut header = u64::from(word(fixed, 42)?);
        let mut disk = u32::from(half(fixed, 34)?);
        let fields = read_fields(fixed, 8, name, &extra, Some(&mut header), Some(&mut disk))?;
        let attributes = word(fixed, 38)?;
        Some(Self { fields, header, disk, attributes })
    }

    /// Whether it is an entry for a folder, by its name, as most tools see it.
    pub fn is_folder(&self) -> bool {
        self.fields.name.ends_with(b"/") && self.fields.size == 0
    }

    /// What its attributes make it, where that is no plain file, or contradicts its name. Attributes of all systems
    /// count, whichever system wrote it: not every tool looks.
    pub fn oddly_attributed(&self) -> Option<&'static str> {
        // Of Unix, in the upper half.
        const SORT: u32 = 0o170_000;
        const FOLDER: u32 = 0o040_000;
        const PLAIN: u32 = 0o100_000;
        // Of MS-DOS and its descendants, in the lower.
        const LABEL: u32 = 0x08;
        const DIRECTORY: u32 = 0x10;
        const DEVICE: u32 = 0x40;
        const LINK: u32 = 0x400;
        let sort = (self.attributes >> 16) & SORT;
        if !matches!(sort, 0 | FOLDER | PLAIN) || self.attributes & (LABEL | DEVICE | LINK) != 0 {
            Some("is a link or not a regular file")
        } else if !self.is_folder() && (sort == FOLDER || self.attributes & DIRECTORY != 0) {
            Some("is marked as a folder, and has the name or the size of a file")
        } else if self.is_folder() && sort == PLAIN {
            Some("is marked as a file, and has the name of a folder")
        } else {
            None
        }
    }

    /// Whether the directory places it on another disk than the first.
    pub fn is_on_another_disk(&self) -> bool {
        self.disk != 0
    }
}

/// The fields that both headers have, from `at` on in the fixed part: flags, method, time, day, CRC-32,
/// both sizes. Of these and of the header's offset and disk, which the directory alone has, those that are too
/// large for their places stand in the extra field, in this order.
fn read_fields(
    fixed: &[u8],
    at: usize,
    name: Vec<u8>,
    extra: &[u8],
    header: Option<&mut u64>,
    disk: Option<&mut u32>,
) -> Option<Fields> {
    let needed = *fixed.get(at - 2)?;
    let (flags, method, crc32) = (half(fixed, at)?, half(fixed, at + 2)?, word(fixed, at + 8)?);
    let mut packed = u64::from(word(fixed, at + 12)?);
    let mut size = u64::from(word(fixed, at + 16)?);
    let (mut has_second_name, mut has_aes) = (false, false);
    let mut field = None;
    let mut rest = extra;
    while let Some((sort, body, behind)) = one_field(rest) {
        match sort {
            ZIP64 if field.is_none() => field = Some(body),
            SECOND_NAME => has_second_name |= body.get(5..) != Some(name.as_slice()),
            AES => has_aes = true,
            _ => {}
        }
        rest = behind;
    }
    let large = [Some(&mut size), Some(&mut packed), header].into_iter().flatten();
    for one in large.filter(|one| **one == u64::from(u32::MAX)) {
        let (value, behind) = field?.split_first_chunk()?;
        *one = u64::from_le_bytes(*value);
        field = Some(behind);
    }
    if let Some(disk) = disk.filter(|disk| **disk == u32::from(u16::MAX)) {
        *disk = word(field?, 0)?;
    }
    Some(Fields { name, needed, flags, method, crc32, packed, size, has_second_name, has_aes })
}

/// The first of some extra fields: its sort, its bytes, and what follows.
fn one_field(extra: &[u8]) -> Option<(u16, &[u8], &[u8])> {
    let (sort, rest) = extra.split_first_chunk()?;
    let (length, rest) = rest.split_first_chunk()?;
    let (body, behind) = rest.split_at_checked(usize::from(u16::from_le_bytes(*length)))?;
    Some((u16::from_le_bytes(*sort), body, behind))
}

/// The end of a zip: where its directory is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct End {
    /// Entries of the directory.
    pub entries: u64,
    /// Where the directory begins.
    pub directory: u64,
    /// Bytes of the directory.
    pub bytes: u64,
    /// Bytes of the comment.
    pub comment: u64,
    /// Whether an end record or the locator places the zip on several disks.
    pub on_disks: bool,
}

impl End {
    /// The end record in `tail` at `at`, whose first byte stands at `offset` in the file, if it is one whose
    /// directory ends where the end records begin.
    pub fn read(
        file: &mut (impl Read + Seek),
        tail: &[u8],
        at: usize,
        offset: u64,
    ) -> Option<Self> {
        let record = tail.get(at..)?.get(..END_FIXED)?;
        if !record.starts_with(&END) {
            return None;
        }
        let (disk, first_disk) = (half(record, 4)?, half(record, 6)?);
        let (here, entries) = (half(record, 8)?, half(record, 10)?);
        let mut end = Self {
            entries: u64::from(entries),
            bytes: u64::from(word(record, 12)?),
            directory: u64::from(word(record, 16)?),
            comment: u64::from(half(record, 20)?),
            // All ones where the record for large zips says it.
            on_disks: [disk, first_disk].iter().any(|disk| !matches!(*disk, 0 | u16::MAX)),
        };
        let mut ends_at = offset;
        let locator = offset.checked_sub(LOCATOR_LENGTH);
        if let Some(locator_at) = locator
            && let Some(locator) = bytes(file, locator_at, LOCATOR_LENGTH)
            && locator.starts_with(&LOCATOR)
        {
            ends_at = long(&locator, 8)?;
            end.on_disks |= word(&locator, 4)? != 0 || word(&locator, 16)? > 1;
            end.take_large(file, ends_at, locator_at)?;
        } else {
            end.on_disks |= disk.max(first_disk) > 0 || here != entries;
        }
        (end.directory.checked_add(end.bytes)? == ends_at).then_some(end)
    }

    /// Takes over what the end record for large zips says, between two offsets. The small one either says the
    /// same or leaves it to this one.
    fn take_large(&mut self, file: &mut (impl Read + Seek), at: u64, to: u64) -> Option<()> {
        let record = bytes(file, at, LARGE_END_HEAD + LARGE_END_LEAST)?;
        let length = long(&record, 4)?;
        if !record.starts_with(&LARGE_END)
            || length < LARGE_END_LEAST
            || at.checked_add(LARGE_END_HEAD)?.checked_add(length)? != to
        {
            return None;
        }
        self.on_disks |= word(&record, 16)? != 0
            || word(&record, 20)? != 0
            || long(&record, 24)? != long(&record, 32)?;
        let (entries, size, directory) =
            (long(&record, 32)?, long(&record, 40)?, long(&record, 48)?);
        let same = |small: u64, most: u64, large: u64| small == most || small == large;
        let most = u64::from(u32::MAX);
        if !same(self.entries, u64::from(u16::MAX), entries)
            || !same(self.bytes, most, size)
            || !same(self.directory, most, directory)
        {
            return None;
        }
        (self.entries, self.bytes, self.directory) = (entries, size, directory);
        Some(())
    }
}

fn half(bytes: &[u8], at: usize) -> Option<u16> {
    bytes.get(at..)?.first_chunk().map(|two| u16::from_le_bytes(*two))
}

fn word(bytes: &[u8], at: usize) -> Option<u32> {
    bytes.get(at..)?.first_chunk().map(|four| u32::from_le_bytes(*four))
}

fn long(bytes: &[u8], at: usize) -> Option<u64> {
    bytes.get(at..)?.first_chunk().map(|eight| u64::from_le_bytes(*eight))
}

/// Some bytes at an offset, if they are all there. The count comes from 16 bits, or is our own.
fn bytes(file: &mut (impl Read + Seek), at: u64, count: u64) -> Option<Vec<u8>> {
    file.seek(SeekFrom::Start(at)).ok()?;
    read_exactly(file, count)
}

/// The next bytes, if they are all there.
fn read_exactly(from: &mut impl Read, count: u64) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    from.by_ref().take(count).read_to_end(&mut bytes).ok()?;
    (bytes.len() as u64 == count).then_some(bytes)
}

/// The last bytes of a file, in which its end record has to begin, and where they begin.
pub fn tail(file: &mut (impl Read + Seek)) -> io::Result<(Vec<u8>, u64)> {
    const LONGEST: u64 = END_FIXED as u64 + u16::MAX as u64;
    let size = file.seek(SeekFrom::End(0))?;
    let from = size.saturating_sub(LONGEST);
    file.seek(SeekFrom::Start(from))?;
    let mut bytes = Vec::new();
    file.by_ref().take(LONGEST).read_to_end(&mut bytes)?;
    Ok((bytes, from))
}
