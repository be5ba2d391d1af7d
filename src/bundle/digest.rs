//! SHA-256 and SHA-512 of what flows past, in one pass (FIPS 180-4).

use std::io::{self, Read, Write};

use sha2::{Digest, Sha256, Sha512};

/// Bytes moved at a time.
pub const CHUNK: usize = 256 * 1024;

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
    /// Takes in some bytes.
    pub fn update(&mut self, bytes: &[u8]) {
        self.size += bytes.len() as u64;
        self.sha256.update(bytes);
        self.sha512.update(bytes);
    }

    /// Both digests.
    pub fn finish(self) -> Digests {
        let hex = [hex(&self.sha256.finalize()), hex(&self.sha512.finalize())];
        Digests { size: self.size, hex }
    }
}

/// Digests of some bytes.
pub fn of(bytes: &[u8]) -> Digests {
    let mut digester = Digester::default();
    digester.update(bytes);
    digester.finish()
}

/// SHA-256 alone.
pub fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Copies everything, taking digests on the way; each stretch is told to `moved`.
pub fn copy(
    mut from: impl Read,
    mut to: impl Write,
    moved: &(dyn Fn(u64) + Sync),
) -> io::Result<Digests> {
    let mut digester = Digester::default();
    let mut buffer = vec![0; CHUNK];
    loop {
        let count = match from.read(&mut buffer) {
            Ok(0) => return Ok(digester.finish()),
            Ok(count) => count,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            Err(error) => return Err(error),
        };
        let bytes = &buffer[..count];
        digester.update(bytes);
        to.write_all(bytes)?;
        moved(count as u64);
    }
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
    use crate::bundle::faulty::{Faulty, SAID};

    #[test]
    fn bytes_that_come_and_go_one_at_a_time_are_the_same_bytes() {
        let bytes: Vec<u8> = (0..10_000_u32).map(|n| ((n * n) >> 3) as u8).collect();
        let mut to = Faulty::slow(Vec::new());
        let digests = copy(Faulty::slow(&bytes[..]), &mut to, &|_| {}).expect("to copy");
        assert_eq!(digests, of(&bytes));
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
            assert_eq!(failed(at, usize::MAX), SAID);
            assert_eq!(failed(usize::MAX, at), SAID);
        }
    }
}
