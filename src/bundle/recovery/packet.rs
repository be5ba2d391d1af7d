//! The packets of PAR 2.0: how each is laid out, as bytes and back. All numbers are little-endian.
//!
//! A packet is a head of 64 bytes (the words `PAR2\0PKT`, the packet's length, the MD5 of all that follows
//! the MD5, the id of the recovery set, the packet's sort) and a body. The id of the set is the MD5 of the
//! body of its main packet, so that the packets of several sets can lie about together.

use md5::{Digest, Md5};

/// What every packet begins with.
pub const MAGIC: [u8; 8] = *b"PAR2\0PKT";
/// Bytes of a packet's head.
pub const HEAD: u64 = 64;
/// Bytes of a head that its MD5 does not cover.
pub const BEFORE_MD5_COVERS: usize = 32;
/// Bytes at the beginning of a recovery slice's body, before the slice: its exponent.
pub const EXPONENT: u64 = 4;
/// Bytes of the checksums of one slice: MD5 and CRC-32.
pub const CHECKSUM: u64 = 20;
/// Bytes that the MD5 of a file's beginning covers.
pub const BEGINNING: u64 = 16 * 1024;
/// Input slices that a set may have.
pub const MOST_SLICES: u64 = 32_768;

/// The main packet: size of slices, files.
pub const MAIN: [u8; 16] = *b"PAR 2.0\0Main\0\0\0\0";
/// A file's name, size and checksums.
pub const FILE: [u8; 16] = *b"PAR 2.0\0FileDesc";
/// The checksums of a file's slices.
pub const CHECKSUMS: [u8; 16] = *b"PAR 2.0\0IFSC\0\0\0\0";
/// A recovery slice.
pub const RECOVERY: [u8; 16] = *b"PAR 2.0\0RecvSlic";
/// The program that wrote the set.
pub const CREATOR: [u8; 16] = *b"PAR 2.0\0Creator\0";

/// An MD5.
pub type Id = [u8; 16];

/// MD5 of some bytes.
pub fn md5(bytes: &[u8]) -> Id {
    Md5::digest(bytes).into()
}

/// A packet's head, its MD5 given.
pub fn head(length: u64, md5: &Id, set: &Id, sort: &[u8; 16]) -> [u8; HEAD as usize] {
    let mut head = [0; HEAD as usize];
    head[..8].copy_from_slice(&MAGIC);
    head[8..16].copy_from_slice(&length.to_le_bytes());
    head[16..32].copy_from_slice(md5);
    head[32..48].copy_from_slice(set);
    head[48..].copy_from_slice(sort);
    head
}

/// A whole packet; the body is filled up to a multiple of four bytes with zeros.
pub fn packet(set: &Id, sort: &[u8; 16], body: &[u8]) -> Vec<u8> {
    let padded = body.len().next_multiple_of(4);
    let mut packet = head(HEAD + padded as u64, &[0; 16], set, sort).to_vec();
    packet.extend_from_slice(body);
    packet.resize(HEAD as usize + padded, 0);
    let digest = md5(&packet[BEFORE_MD5_COVERS..]);
    packet[16..32].copy_from_slice(&digest);
    packet
}

/// A head as it was read.
#[derive(Debug, Clone, Copy)]
pub struct Head {
    /// Bytes of the packet, head and all.
    pub length: u64,
    /// MD5 of what follows it.
    pub md5: Id,
    /// The recovery set.
    pub set: Id,
    /// The sort of packet.
    pub sort: [u8; 16],
}

impl Head {
    /// Reads a head; `None` if it is none, or states a length that no packet has.
    pub fn read(bytes: &[u8]) -> Option<Self> {
        let mut fields = Fields(bytes);
        let magic: [u8; 8] = fields.bytes()?;
        let length = fields.whole()?;
        let head =
            Self { length, md5: fields.bytes()?, set: fields.bytes()?, sort: fields.bytes()? };
        (magic == MAGIC && length >= HEAD && length % 4 == 0).then_some(head)
    }
}

/// Fields one after another.
struct Fields<'a>(&'a [u8]);

impl Fields<'_> {
    fn bytes<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (field, rest) = self.0.split_first_chunk::<N>()?;
        self.0 = rest;
        Some(*field)
    }

    fn whole(&mut self) -> Option<u64> {
        self.bytes().map(u64::from_le_bytes)
    }
}

/// The body of a main packet of one file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Main {
    /// Bytes of a slice, a multiple of 4 above 0.
    pub slice: u64,
    /// How many files the set covers.
    pub files: u32,
    /// The first of them.
    pub file: Id,
}

impl Main {
    /// The body of a set of one file.
    pub fn written(&self) -> Vec<u8> {
        let mut body = self.slice.to_le_bytes().to_vec();
        body.extend_from_slice(&self.files.to_le_bytes());
        body.extend_from_slice(&self.file);
        body
    }

    /// Reads a body; `None` if it makes no sense.
    pub fn read(body: &[u8]) -> Option<Self> {
        let mut fields = Fields(body);
        let slice = fields.whole()?;
        let files = fields.bytes().map(u32::from_le_bytes)?;
        let file = fields.bytes()?;
        (slice > 0 && slice % 4 == 0 && files > 0).then_some(Self { slice, files, file })
    }
}

/// A file of the set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Described {
    /// Its id in the set.
    pub id: Id,
    /// MD5 of the whole file.
    pub md5: Id,
    /// MD5 of its first 16 KiB, or of all of it if it is shorter.
    pub beginning: Id,
    /// Bytes.
    pub size: u64,
    /// Its name, as bytes: nothing may be opened by it.
    pub name: Vec<u8>,
}

impl Described {
    /// A file, its id worked out.
    pub fn new(name: &str, size: u64, md5: Id, beginning: Id) -> Self {
        let name = name.as_bytes().to_vec();
        Self { id: Self::id_of(&name, size, &beginning), md5, beginning, size, name }
    }

    fn id_of(name: &[u8], size: u64, beginning: &Id) -> Id {
        let mut known = beginning.to_vec();
        known.extend_from_slice(&size.to_le_bytes());
        known.extend_from_slice(name);
        md5(&known)
    }

    /// The body.
    pub fn written(&self) -> Vec<u8> {
        let mut body = [self.id, self.md5, self.beginning].concat();
        body.extend_from_slice(&self.size.to_le_bytes());
        body.extend_from_slice(&self.name);
        body
    }

    /// Reads a body; `None` if it makes no sense.
    pub fn read(body: &[u8]) -> Option<Self> {
        let mut fields = Fields(body);
        let (id, md5, beginning) = (fields.bytes()?, fields.bytes()?, fields.bytes()?);
        let size = fields.whole()?;
        let end = fields.0.iter().rposition(|byte| *byte != 0)?;
        let name = fields.0[..=end].to_vec();
        (size > 0).then_some(Self { id, md5, beginning, size, name })
    }
}

/// The checksums of a slice, filled up with zeros if it is the last and shorter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Checksum {
    /// CRC-32 as in zips.
    pub crc32: u32,
    /// MD5.
    pub md5: Id,
}

/// The body of the packet with the checksums of a file's slices.
pub fn checksums_written(file: &Id, checksums: &[Checksum]) -> Vec<u8> {
    let mut body = file.to_vec();
    for checksum in checksums {
        body.extend_from_slice(&checksum.md5);
        body.extend_from_slice(&checksum.crc32.to_le_bytes());
    }
    body
}

/// Reads such a body: the file's id and its checksums.
pub fn checksums_read(body: &[u8]) -> Option<(Id, Vec<Checksum>)> {
    let mut fields = Fields(body);
    let file = fields.bytes()?;
    let mut checksums = Vec::new();
    while !fields.0.is_empty() {
        let md5 = fields.bytes()?;
        let crc32 = fields.bytes().map(u32::from_le_bytes)?;
        checksums.push(Checksum { crc32, md5 });
    }
    Some((file, checksums))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn packets_are_read_as_they_were_written() {
        let file = Described::new("bundle.zip", 12_345, [1; 16], [2; 16]);
        assert_eq!(Described::read(&file.written()), Some(file.clone()));
        let main = Main { slice: 4096, files: 1, file: file.id };
        assert_eq!(Main::read(&main.written()), Some(main));
        let checksums = [Checksum { crc32: 7, md5: [3; 16] }, Checksum { crc32: 8, md5: [4; 16] }];
        let read = checksums_read(&checksums_written(&file.id, &checksums));
        assert_eq!(read, Some((file.id, checksums.to_vec())));

        let set = md5(&main.written());
        let packet = packet(&set, &FILE, &file.written());
        let head = Head::read(&packet).expect("a head");
        assert_eq!((head.length, head.set, head.sort), (packet.len() as u64, set, FILE));
        assert_eq!(head.md5, md5(&packet[BEFORE_MD5_COVERS..]));
        assert_eq!(packet.len() % 4, 0);
        assert_eq!(Described::read(&packet[HEAD as usize..]), Some(file), "padding is no name");
    }

    #[test]
    fn what_makes_no_sense_is_refused() {
        let packet = packet(&[0; 16], &CREATOR, b"a");
        for length in [0_u64, 63, 66, u64::MAX] {
            let mut packet = packet.clone();
            packet[8..16].copy_from_slice(&length.to_le_bytes());
            assert!(Head::read(&packet).is_none(), "{length}");
        }
        assert!(Head::read(&packet[..63]).is_none());
        for slice in [0, 2] {
            assert_eq!(Main::read(&Main { slice, files: 1, file: [0; 16] }.written()), None);
        }
        assert_eq!(Main::read(&Main { slice: 4, files: 0, file: [0; 16] }.written()), None);
        assert_eq!(Described::read(&[0; 56]), None);
        assert_eq!(checksums_read(&[0; 16 + 19]), None);
    }
}
