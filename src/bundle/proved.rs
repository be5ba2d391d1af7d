//! What was proved is what is used: bytes that are read again are held against what was found of them before.

use std::fs::File;
use std::io::{self, Read};
use std::sync::Arc;

use sha2::{Digest, Sha256};

use super::digest::hex;

/// That something is not what it was.
pub fn changed() -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, "changed while it was read")
}

/// A stream that fails at its end if what came is not what was meant.
pub struct Proving<'a, R, F> {
    from: R,
    meant: &'a str,
    /// Goes on as long as all is well and the end hasn't come.
    so_far: Option<Sha256>,
    noted: F,
}

impl<'a, R: Read, F: Fn() -> io::Error> Proving<'a, R, F> {
    /// Of these bytes the SHA-256 must be `meant`; if it isn't, `noted` is told, and gives the error.
    pub fn new(from: R, meant: &'a str, noted: F) -> Self {
        Self { from, meant, so_far: Some(Sha256::new()), noted }
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
            && hex(&all.finalize()) != self.meant
        {
            return Err((self.noted)());
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
