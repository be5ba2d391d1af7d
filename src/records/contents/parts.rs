//! A file of a store as a stream that can be wound to and fro, of which only so much is ever read.

use std::io::{self, BufReader, Read, Seek, SeekFrom};

use crate::records::store::Store;

/// The beginning and the end of a file that are looked at, bytes.
pub const END: u64 = 64 * 1024;

/// The most that is read of one file through a stream, bytes.
const MOST: u64 = 16 * 1024 * 1024;

/// Parts of a file.
pub struct Parts<'a> {
    store: &'a dyn Store,
    path: &'a str,
    pub size: u64,
}

impl<'a> Parts<'a> {
    pub fn new(store: &'a dyn Store, path: &'a str, size: u64) -> Self {
        Self { store, path, size }
    }

    /// At most `most` bytes from an offset on.
    pub fn part(&self, from: u64, most: u64) -> io::Result<Vec<u8>> {
        self.store.part(self.path, from, most)
    }

    pub fn head(&self) -> io::Result<Vec<u8>> {
        self.part(0, END)
    }

    pub fn tail(&self) -> io::Result<Vec<u8>> {
        self.part(self.size.saturating_sub(END), END)
    }

    /// The whole, unless it has more than `most` bytes.
    pub fn whole(&self, most: u64) -> io::Result<Option<Vec<u8>>> {
        if self.size <= most { self.part(0, most).map(Some) } else { Ok(None) }
    }

    /// A stream that fails once it has given as much as is ever read.
    pub fn stream(&self) -> BufReader<Stream<'_>> {
        let stream = Stream { parts: self, at: 0, left: MOST };
        BufReader::with_capacity(16 * 1024, stream)
    }
}

pub struct Stream<'a> {
    parts: &'a Parts<'a>,
    at: u64,
    left: u64,
}

impl Read for Stream<'_> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        if self.left == 0 {
            return Err(io::Error::other("more would have to be read than is read of one file"));
        }
        let most = (out.len() as u64).min(self.left);
        let part = self.parts.part(self.at, most)?;
        let room = out.get_mut(..part.len()).ok_or(io::ErrorKind::InvalidData)?;
        room.copy_from_slice(&part);
        self.at = self.at.saturating_add(part.len() as u64);
        self.left -= (part.len() as u64).min(self.left);
        Ok(part.len())
    }
}

impl Seek for Stream<'_> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let at = match to {
            SeekFrom::Start(at) => Some(at),
            SeekFrom::Current(by) => self.at.checked_add_signed(by),
            SeekFrom::End(by) => self.parts.size.checked_add_signed(by),
        };
        self.at = at.ok_or(io::ErrorKind::InvalidInput)?;
        Ok(self.at)
    }
}
