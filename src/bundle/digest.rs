//! SHA-256 and SHA-512 of a stream, in one pass (FIPS 180-4).

use std::io::{self, Read, Write};

use sha2::{Digest, Sha256, Sha512};

use super::chunks;

/// A file's size and digests, lower-case hexadecimal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Digests {
    /// How many bytes.
    pub size: u64,
    /// SHA-256 and SHA-512, in the order of the manifests.
    pub hex: [String; 2],
}

/// Takes both digests of what is written to it.
#[derive(Default)]
pub struct Digester {
    size: u64,
    sha256: Sha256,
    sha512: Sha512,
}

impl Digester {
    /// Takes in some bytes; both digests of many at once.
    pub fn update(&mut self, bytes: &[u8]) {
        self.size += bytes.len() as u64;
        let Self { sha256, sha512, .. } = self;
        chunks::both(bytes, |bytes| sha512.update(bytes), |bytes| sha256.update(bytes));
    }

    /// Both digests.
    pub fn finish(self) -> Digests {
        let hex = [hex(&self.sha256.finalize()), hex(&self.sha512.finalize())];
        Digests { size: self.size, hex }
    }
}

/// Both digests of some bytes.
pub fn digests(bytes: &[u8]) -> Digests {
    let mut digester = Digester::default();
    digester.update(bytes);
    digester.finish()
}

/// SHA-256 alone.
pub fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Copies everything and computes both digests on the way: SHA-512, the slower one, on a thread of its own.
/// `progress` is called with the number of bytes of each stretch.
pub fn copy(
    from: impl Read + Send,
    mut to: impl Write + Send,
    progress: &(dyn Fn(u64) + Sync),
) -> io::Result<Digests> {
    let (mut sha256, mut sha512) = (Sha256::new(), Sha512::new());
    let size = chunks::each(from, |bytes| {
        let mut written = Ok(());
        let rest = |bytes: &[u8]| {
            written = to.write_all(bytes);
            sha256.update(bytes);
        };
        chunks::both(bytes, |bytes| sha512.update(bytes), rest);
        progress(bytes.len() as u64);
        written
    })?;
    Ok(Digester { size, sha256, sha512 }.finish())
}

/// Lower-case hexadecimal.
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A digest in groups of four, to be read aloud and kept on paper.
pub fn in_fours(hex: &str) -> String {
    let digits: Vec<char> = hex.chars().collect();
    digits.chunks(4).map(|four| four.iter().collect::<String>()).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bundle::faulty::{FAILURE, Faulty};

    #[test]
    fn bytes_that_come_and_go_one_at_a_time_are_the_same_bytes() {
        let bytes: Vec<u8> = (0..10_000_u32).map(|n| ((n * n) >> 3) as u8).collect();
        let mut to = Faulty::slow(Vec::new());
        let digests = copy(Faulty::slow(&bytes[..]), &mut to, &|_| {}).expect("to copy");
        assert_eq!(digests, super::digests(&bytes));
        assert!(to.inner == bytes);
    }

    #[test]
    fn a_failure_to_read_or_to_write_is_a_failure() {
        let bytes = vec![7; 5 << 20];
        let failed = |from: usize, to: usize| {
            let to = Faulty::failing(Vec::new(), to);
            let copied = copy(Faulty::failing(&bytes[..], from), to, &|_| {});
            copied.expect_err("a failure").to_string()
        };
        for at in 0..4 {
            assert_eq!(failed(at, usize::MAX), FAILURE);
            assert_eq!(failed(usize::MAX, at), FAILURE);
        }
    }
}
