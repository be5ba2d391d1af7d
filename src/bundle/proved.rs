//! Makes sure that what is used is what was verified: bytes that are read again are compared with the digests found before.

use std::fs::File;
use std::io::{self, Read};
use std::sync::Arc;

use sha2::{Digest, Sha256};

use super::digest::hex;

/// The error for something that is not what it was.
pub fn changed() -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, "changed while it was read")
}

/// A stream that ends in an error if its bytes have not the expected digest.
pub struct Proving<'a, R, F> {
    from: R,
    expected: &'a str,
    /// The digest so far; `None` once the end was reached.
    so_far: Option<Sha256>,
    on_change: F,
}

impl<'a, R: Read, F: Fn() -> io::Error> Proving<'a, R, F> {
    /// `expected` is the SHA-256 that the bytes must have; if they don't, `on_change` is called for the error.
    pub fn new(from: R, expected: &'a str, on_change: F) -> Self {
        Self { from, expected, so_far: Some(Sha256::new()), on_change }
    }
}

impl<R: Read, F: Fn() -> io::Error> Read for Proving<'_, R, F> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.from.read(buffer)?;
        if count > 0 {
            if let Some(so_far) = &mut self.so_far {
                so_far.update(&buffer[..count]);
            }
        } else if !buffer.is_empty()
            && let Some(all) = self.so_far.take()
            && hex(&all.finalize()) != self.expected
        {
            return Err((self.on_change)());
        }
        Ok(count)
    }
}

/// A stretch of an open file, read without moving the place at which others read it.
pub struct Stretch {
    file: Arc<File>,
    at: u64,
    left: u64,
}

impl Stretch {
    /// So many bytes from an offset on; fewer where the file ends before.
    pub fn new(file: Arc<File>, at: u64, bytes: u64) -> Self {
        Self { file, at, left: bytes }
    }
}

impl Read for Stretch {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let most = usize::try_from(self.left).unwrap_or(usize::MAX).min(buffer.len());
        let count = read_at(&self.file, &mut buffer[..most], self.at)?;
        self.at = self.at.saturating_add(count as u64);
        self.left -= count as u64;
        Ok(count)
    }
}

#[cfg(unix)]
fn read_at(file: &File, buffer: &mut [u8], at: u64) -> io::Result<usize> {
    std::os::unix::fs::FileExt::read_at(file, buffer, at)
}

#[cfg(windows)]
fn read_at(file: &File, buffer: &mut [u8], at: u64) -> io::Result<usize> {
    std::os::windows::fs::FileExt::seek_read(file, buffer, at)
}
