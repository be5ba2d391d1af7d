//! Readers and writers as tests want them: they move a byte at a time and are interrupted, or fail for good.

use std::io::{self, Read, Seek, SeekFrom, Write};

/// The message of the failures.
pub const FAILURE: &str = "the medium fails";

/// Something to read from and write to.
pub struct Faulty<T> {
    /// What it stands for.
    pub inner: T,
    /// How often it was called.
    pub calls: usize,
    most: usize,
    fails_at: usize,
}

impl<T> Faulty<T> {
    /// Moves a byte at a time; every third call is interrupted and must be made again.
    pub fn slow(inner: T) -> Self {
        Self { inner, calls: 0, most: 1, fails_at: usize::MAX }
    }

    /// Fails at the call of this number, counted from 0, and ever after.
    pub fn failing(inner: T, at: usize) -> Self {
        Self { inner, calls: 0, most: usize::MAX, fails_at: at }
    }

    fn turn(&mut self) -> io::Result<()> {
        self.calls += 1;
        if self.calls > self.fails_at {
            return Err(io::Error::other(FAILURE));
        }
        if self.most == 1 && self.calls.is_multiple_of(3) {
            return Err(io::ErrorKind::Interrupted.into());
        }
        Ok(())
    }
}

impl<T: Read> Read for Faulty<T> {
    fn read(&mut self, bytes: &mut [u8]) -> io::Result<usize> {
        self.turn()?;
        let most = bytes.len().min(self.most);
        self.inner.read(&mut bytes[..most])
    }
}

impl<T: Write> Write for Faulty<T> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.turn()?;
        let most = bytes.len().min(self.most);
        self.inner.write(&bytes[..most])
    }

    fn flush(&mut self) -> io::Result<()> {
        if self.calls >= self.fails_at {
            return Err(io::Error::other(FAILURE));
        }
        self.inner.flush()
    }
}

impl<T: Seek> Seek for Faulty<T> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        if self.calls >= self.fails_at {
            return Err(io::Error::other(FAILURE));
        }
        self.inner.seek(to)
    }
}
