//! Zips made byte by byte, so that every field of them can lie (PKWARE, .ZIP File Format Specification
//! 6.3.10).

/// What one header of an entry says.
#[derive(Debug, Clone, Default)]
pub struct Header {
    pub name: Vec<u8>,
    /// The version of the format that is needed, times ten, instead of 2.0.
    pub needed: Option<u16>,
    pub flags: u16,
    pub method: u16,
    pub crc32: u32,
    pub packed: u32,
    pub size: u32,
    pub extra: Vec<u8>,
}

/// An entry: both headers and its bytes.
#[derive(Debug, Clone, Default)]
pub struct Entry {
    pub local: Header,
    pub central: Header,
    /// The upper half of its attributes: what a Unix file is.
    pub mode: u16,
    /// The lower half: what MS-DOS says that it is.
    pub attributes: u16,
    /// The system that it is said to be of, instead of Unix.
    pub system: Option<u8>,
    /// The disk on which it is said to begin.
    pub disk: u16,
    /// Where the directory says that it is, instead of where it is.
    pub offset: Option<u32>,
    pub bytes: Vec<u8>,
    /// Bytes between it and the next.
    pub behind: Vec<u8>,
}

impl Entry {
    /// A stored one about which nothing lies.
    pub fn stored(name: impl Into<Vec<u8>>, bytes: impl Into<Vec<u8>>) -> Self {
        let bytes = bytes.into();
        let size = u32::try_from(bytes.len()).expect("a small entry");
        let crc32 = crc32fast::hash(&bytes);
        let header = Header { name: name.into(), crc32, packed: size, size, ..Header::default() };
        Self { local: header.clone(), central: header, mode: 0o100_644, bytes, ..Self::default() }
    }

    /// Changes both headers alike.
    pub fn with(mut self, change: impl Fn(&mut Header)) -> Self {
        change(&mut self.local);
        change(&mut self.central);
        self
    }
}

/// A zip's end, where it lies.
#[derive(Debug, Clone, Default)]
pub struct End {
    pub before: Vec<u8>,
    /// Whether offsets count what stands before.
    pub counts_before: bool,
    pub comment: Vec<u8>,
    pub behind: Vec<u8>,
    /// How many entries it says that there are, instead of how many there are.
    pub entries: Option<u64>,
    /// Whether the end record for large zips is written, and what it says of the entries.
    pub large: Option<u64>,
    /// What the end record says of its disk and of the directory's, and the one for large zips, its locator last.
    pub disks: [u16; 2],
    pub large_disks: [u32; 3],
    /// Takes the end record away.
    pub none: bool,
}

/// The bytes of a zip.
pub fn zip(entries: &[Entry], end: &End) -> Vec<u8> {
    let mut out = end.before.clone();
    let base = if end.counts_before { 0 } else { out.len() };
    let mut directory = Vec::new();
    for entry in entries {
        let at = u32::try_from(out.len() - base).expect("a small zip");
        out.extend(b"PK\x03\x04");
        out.extend(entry.local.needed.unwrap_or(20).to_le_bytes());
        header(&mut out, &entry.local);
        out.extend(half(entry.local.name.len()));
        out.extend(half(entry.local.extra.len()));
        out.extend(&entry.local.name);
        out.extend(&entry.local.extra);
        out.extend(&entry.bytes);
        out.extend(&entry.behind);
        directory.extend(b"PK\x01\x02\x14");
        directory.push(entry.system.unwrap_or(3));
        directory.extend(entry.central.needed.unwrap_or(20).to_le_bytes());
        header(&mut directory, &entry.central);
        directory.extend(half(entry.central.name.len()));
        directory.extend(half(entry.central.extra.len()));
        // Comment, disk, internal attributes; then the attributes.
        directory.extend([0; 2]);
        directory.extend(entry.disk.to_le_bytes());
        directory.extend([0; 2]);
        directory.extend(entry.attributes.to_le_bytes());
        directory.extend(entry.mode.to_le_bytes());
        directory.extend(entry.offset.unwrap_or(at).to_le_bytes());
        directory.extend(&entry.central.name);
        directory.extend(&entry.central.extra);
    }
    let (at, count) = (out.len() - base, entries.len() as u64);
    let length = directory.len();
    out.extend(directory);
    if end.none {
        return out;
    }
    if let Some(said) = end.large {
        let record = out.len() as u64 - base as u64;
        out.extend(b"PK\x06\x06");
        out.extend(44_u64.to_le_bytes());
        out.extend([0x2d, 3, 0x2d, 0]);
        out.extend(end.large_disks[0].to_le_bytes());
        out.extend(end.large_disks[1].to_le_bytes());
        out.extend(said.to_le_bytes());
        out.extend(said.to_le_bytes());
        out.extend((length as u64).to_le_bytes());
        out.extend((at as u64).to_le_bytes());
        out.extend(b"PK\x06\x07");
        out.extend(end.large_disks[2].to_le_bytes());
        out.extend(record.to_le_bytes());
        out.extend(1_u32.to_le_bytes());
    }
    let entries = end.entries.unwrap_or(count).min(u64::from(u16::MAX)) as usize;
    out.extend(b"PK\x05\x06");
    end.disks.iter().for_each(|disk| out.extend(disk.to_le_bytes()));
    out.extend(half(entries));
    out.extend(half(entries));
    out.extend(u32::try_from(length).expect("a small directory").to_le_bytes());
    out.extend(u32::try_from(at).expect("a small zip").to_le_bytes());
    out.extend(half(end.comment.len()));
    out.extend(&end.comment);
    out.extend(&end.behind);
    out
}

/// The fields from the flags to the sizes.
fn header(out: &mut Vec<u8>, header: &Header) {
    out.extend(header.flags.to_le_bytes());
    out.extend(header.method.to_le_bytes());
    out.extend([0, 0, 0x21, 0]);
    out.extend(header.crc32.to_le_bytes());
    out.extend(header.packed.to_le_bytes());
    out.extend(header.size.to_le_bytes());
}

fn half(length: usize) -> [u8; 2] {
    u16::try_from(length).expect("a length of 16 bits").to_le_bytes()
}

/// An extra field.
pub fn extra(sort: u16, body: &[u8]) -> Vec<u8> {
    [&sort.to_le_bytes()[..], &half(body.len()), body].concat()
}

/// The extra field for large sizes.
pub fn large(values: &[u64]) -> Vec<u8> {
    extra(1, &values.iter().flat_map(|value| value.to_le_bytes()).collect::<Vec<_>>())
}
