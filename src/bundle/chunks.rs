//! Reading a stream once, the next stretch while the last is worked on, in bounded memory.

use std::io::{self, Read};
use std::mem;

/// Bytes processed at a time: enough that handing them to another thread costs next to nothing.
pub const CHUNK: usize = 1 << 20;

/// Fewest bytes that are worth a second thread.
const WORTH_A_THREAD: usize = 64 * 1024;

/// Gives all that `from` has to `work`, stretch by stretch; all but the last are [`CHUNK`] long, and none
/// is empty. While one is worked on, the next is read. Gives the count of bytes.
pub fn each(
    mut from: impl Read + Send,
    mut work: impl FnMut(&[u8]) -> io::Result<()> + Send,
) -> io::Result<u64> {
    let (mut now, mut next) = (Vec::new(), Vec::new());
    fill(&mut from, &mut now)?;
    let mut total = 0;
    while !now.is_empty() {
        total += now.len() as u64;
        if now.len() < CHUNK {
            work(&now)?;
            break;
        }
        let (worked, read) = rayon::join(|| work(&now), || fill(&mut from, &mut next));
        worked?;
        read?;
        mem::swap(&mut now, &mut next);
    }
    Ok(total)
}

/// Does two things with the same `bytes`, on two threads where they are many.
pub fn both(bytes: &[u8], one: impl FnOnce(&[u8]) + Send, other: impl FnOnce(&[u8]) + Send) {
    if bytes.len() < WORTH_A_THREAD {
        one(bytes);
        other(bytes);
    } else {
        rayon::join(|| one(bytes), || other(bytes));
    }
}

/// Fills `buffer` anew, up to a chunk or to the stream's end. It grows with what there is to read: a bundle may
/// have many small files.
fn fill(from: &mut impl Read, buffer: &mut Vec<u8>) -> io::Result<()> {
    buffer.clear();
    from.take(CHUNK as u64).read_to_end(buffer).map(|_| ())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gives few bytes at a time, is interrupted before each, and may fail at an offset.
    struct Halting<'a> {
        bytes: &'a [u8],
        at_once: usize,
        interrupted: bool,
        fails: bool,
    }

    impl Read for Halting<'_> {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            self.interrupted = !self.interrupted;
            if self.interrupted {
                return Err(io::ErrorKind::Interrupted.into());
            }
            if self.bytes.is_empty() && self.fails {
                return Err(io::ErrorKind::BrokenPipe.into());
            }
            let count = self.bytes.len().min(self.at_once).min(buffer.len());
            let (given, left) = self.bytes.split_at(count);
            buffer[..count].copy_from_slice(given);
            self.bytes = left;
            Ok(count)
        }
    }

    fn bytes(count: usize) -> Vec<u8> {
        (0..count as u32).map(|n| (n.wrapping_mul(2_654_435_761) >> 13) as u8).collect()
    }

    #[test]
    fn every_byte_comes_once_and_in_order_however_it_is_read() {
        for count in [0, 1, CHUNK - 1, CHUNK, CHUNK + 1, 2 * CHUNK, 3 * CHUNK + 77] {
            let meant = bytes(count);
            for at_once in [65_537, CHUNK, usize::MAX] {
                let from = Halting { bytes: &meant, at_once, interrupted: false, fails: false };
                let (mut got, mut lengths) = (Vec::new(), Vec::new());
                let total = each(from, |stretch| {
                    got.extend_from_slice(stretch);
                    lengths.push(stretch.len());
                    Ok(())
                });
                assert_eq!(total.expect("memory can be read"), count as u64);
                assert!(got == meant, "{count} bytes, {at_once} at once");
                let last = lengths.pop();
                assert!(last != Some(0) && lengths.iter().all(|length| *length == CHUNK));
            }
        }
    }

    #[test]
    fn what_fails_is_told_and_ends_it() {
        for count in [0, 10, CHUNK, 2 * CHUNK + 3] {
            let meant = bytes(count);
            let from = Halting { bytes: &meant, at_once: CHUNK, interrupted: false, fails: true };
            let error = each(from, |_| Ok(())).expect_err("a failing read");
            assert_eq!(error.kind(), io::ErrorKind::BrokenPipe);
        }
        let meant = bytes(3 * CHUNK);
        let mut calls = 0;
        let full = each(&meant[..], |_| {
            calls += 1;
            if calls == 2 { Err(io::ErrorKind::StorageFull.into()) } else { Ok(()) }
        });
        assert_eq!(full.expect_err("a failing write").kind(), io::ErrorKind::StorageFull);
        assert_eq!(calls, 2);
    }
}
