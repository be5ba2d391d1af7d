//! Finding what is left of a damaged file: each slice where it belongs, and those that inserted or missing
//! bytes have moved, wherever they stand now.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::path::Path;

use md5::{Digest, Md5};
use rayon::prelude::*;

use super::packet::Checksum;
use super::read::{Patience, SECTOR, Set};
use crate::records::plain;

/// Bytes read at a time.
const CHUNK: usize = 64 * 1024;
/// Bytes by which a slice may be longer than the file that it is looked for in.
const MOST_FILLING: u64 = 1 << 24;
/// Bits of the sieve that rejects most checksums that are not wanted.
const SIEVE_BITS: u32 = 20;

/// What is left of a file.
#[derive(Debug)]
pub struct Left {
    /// Bytes that it has now.
    pub size: u64,
    /// Where each slice was found.
    pub places: Vec<Option<u64>>,
    /// Slices found elsewhere than where they belong.
    pub moved: usize,
    /// Whether the search for moved slices was given up, since the file seems made to waste time.
    pub given_up: bool,
}

impl Left {
    /// What is left of a file that is not there.
    pub fn nothing(set: &Set) -> Self {
        Self { size: 0, places: vec![None; set.checksums.len()], moved: 0, given_up: false }
    }

    /// The slices that were not found.
    pub fn missing(&self) -> Vec<usize> {
        let missing = self.places.iter().enumerate().filter(|(_, place)| place.is_none());
        missing.map(|(number, _)| number).collect()
    }

    /// The slices that do not stand where they belong, also if the same bytes stand elsewhere.
    pub fn out_of_place(&self, set: &Set) -> Vec<usize> {
        let places = self.places.iter().enumerate();
        let out = places.filter(|(number, place)| **place != Some(*number as u64 * set.slice));
        out.map(|(number, _)| number).collect()
    }

    /// How far what stands between two offsets of the file as it should be may have moved: as far as it
    /// should have not at all, and as far as the slices found before and after it have.
    pub fn offsets_around(&self, set: &Set, from: u64, to: u64) -> Vec<i64> {
        let moved = |(number, place): (usize, &Option<u64>)| {
            place.map(|place| place.wrapping_sub(number as u64 * set.slice) as i64)
        };
        let before = usize::try_from(from / set.slice).unwrap_or(usize::MAX).min(self.places.len());
        let after = usize::try_from(to / set.slice).unwrap_or(usize::MAX).min(self.places.len());
        let slices = || self.places.iter().enumerate();
        let mut offsets = vec![0];
        offsets.extend(slices().take(before).rev().find_map(moved));
        offsets.extend(slices().skip(after).find_map(moved));
        offsets
    }

    /// Whether the file is what the set describes.
    pub fn is_whole(&self, set: &Set) -> bool {
        self.size == set.file.size && self.moved == 0 && self.places.iter().all(Option::is_some)
    }
}

/// Looks for every slice of a set in a file. `progress` is called with the bytes read.
pub fn locate(path: &Path, set: &Set, progress: &(dyn Fn(u64) + Sync)) -> io::Result<Left> {
    let medium = Medium::open(path)?;
    let size = medium.size;
    let at_home = |medium: &mut io::Result<Medium>, number: usize| {
        let at = number as u64 * set.slice;
        let holds = match medium {
            Ok(medium) => medium.holds(set, number, at),
            Err(error) => return Err(error.kind().into()),
        };
        progress(set.length(number).min(size.saturating_sub(at)));
        Ok(holds.then_some(at))
    };
    let slices = (0..set.checksums.len()).into_par_iter();
    let places: io::Result<Vec<_>> = slices.map_init(|| Medium::open(path), at_home).collect();
    let mut left = Left { size, places: places?, moved: 0, given_up: false };
    same_elsewhere(set, &mut left);
    if left.places.iter().any(Option::is_none) {
        let mut search = Search::new(set, medium, size);
        search.last(&mut left);
        for (from, to) in gaps(set, &left) {
            // A moved slice may lie across what an unmoved one, the same by chance, seems to be.
            let (from, to) =
                (from.saturating_sub(set.slice - 1), to.saturating_add(set.slice - 1).min(size));
            search.roll(from, to, &mut left);
        }
        left.given_up = search.given_up;
        same_elsewhere(set, &mut left);
    }
    let at_home = |(number, place): (usize, &Option<u64>)| {
        place.is_none_or(|place| place == number as u64 * set.slice)
    };
    left.moved = left.places.iter().enumerate().filter(|slice| !at_home(*slice)).count();
    Ok(left)
}

/// A slice with the same content as one that was found is found too.
fn same_elsewhere(set: &Set, left: &mut Left) {
    let last = set.checksums.len() - 1;
    let known: BTreeMap<Checksum, u64> = left
        .places
        .iter()
        .zip(&set.checksums)
        .take(last)
        .filter_map(|(place, checksum)| place.map(|place| (*checksum, place)))
        .collect();
    for (place, checksum) in left.places.iter_mut().zip(&set.checksums).take(last) {
        if place.is_none() {
            *place = known.get(checksum).copied();
        }
    }
}

/// Stretches of the file that no slice was found in.
fn gaps(set: &Set, left: &Left) -> Vec<(u64, u64)> {
    let mut occupied: Vec<(u64, u64)> = left
        .places
        .iter()
        .enumerate()
        .filter_map(|(number, place)| place.map(|place| (place, place + set.length(number))))
        .collect();
    occupied.sort_unstable();
    let mut gaps = Vec::new();
    let mut at = 0;
    for (from, to) in occupied.into_iter().chain([(left.size, left.size)]) {
        if from > at {
            gaps.push((at, from));
        }
        at = at.max(to);
    }
    gaps
}

/// A file whose medium may fail: what can't be read is zeros.
struct Medium {
    file: File,
    size: u64,
}

impl Medium {
    fn open(path: &Path) -> io::Result<Self> {
        let file = plain::file(path)?;
        let size = file.metadata()?.len();
        Ok(Self { file, size })
    }

    fn fill(&mut self, at: u64, bytes: &mut [u8]) {
        let mut read = |at: u64, bytes: &mut [u8]| -> io::Result<()> {
            self.file.seek(SeekFrom::Start(at))?;
            self.file.read_exact(bytes)
        };
        if read(at, bytes).is_ok() {
            return;
        }
        for (number, sector) in bytes.chunks_mut(SECTOR as usize).enumerate() {
            if read(at + number as u64 * SECTOR, sector).is_err() {
                sector.fill(0);
            }
        }
    }

    /// Whether a slice stands at an offset.
    fn holds(&mut self, set: &Set, number: usize, at: u64) -> bool {
        let length = set.length(number);
        // A slice far longer than the file is nearly all padding, and would take time in proportion to its stated length.
        let too_long = set.slice > self.size.saturating_add(MOST_FILLING);
        if too_long || self.size.checked_sub(at).is_none_or(|there| there < length) {
            return false;
        }
        let mut md5 = Md5::new();
        let mut crc32 = crc32fast::Hasher::new();
        let mut buffer = vec![0; CHUNK.min(set.slice as usize)];
        let mut done = 0;
        while done < set.slice {
            let count = (set.slice - done).min(CHUNK as u64);
            let there = length.saturating_sub(done).min(count) as usize;
            let bytes = &mut buffer[..count as usize];
            self.fill(at + done, &mut bytes[..there]);
            bytes[there..].fill(0);
            md5.update(&*bytes);
            crc32.update(bytes);
            done += count;
        }
        let found = Checksum { crc32: crc32.finalize(), md5: md5.finalize().into() };
        set.accepts(number, &found)
    }
}

/// The search for slices that have moved.
struct Search<'a> {
    set: &'a Set,
    medium: Medium,
    /// Missing slices by their CRC-32; the last one, if it is shorter, is looked for elsewhere.
    wanted: BTreeMap<u32, Vec<usize>>,
    sieve: Vec<u64>,
    rolling: Rolling,
    patience: Patience,
    given_up: bool,
}

impl<'a> Search<'a> {
    fn new(set: &'a Set, medium: Medium, size: u64) -> Self {
        // A window longer than the file is never taken.
        let rolling = Rolling::new(set.slice.min(size));
        let patience = Patience::for_bytes(size);
        let (wanted, sieve) = (BTreeMap::new(), vec![0; 1 << (SIEVE_BITS - 6)]);
        Self { set, medium, wanted, sieve, rolling, patience, given_up: false }
    }

    /// The last slice, which may be shorter than a window: right after the one before it, or at the end.
    fn last(&mut self, left: &mut Left) {
        let last = left.places.len() - 1;
        let length = self.set.length(last);
        if left.places[last].is_none() {
            let at_end = self.medium.size.checked_sub(length);
            let after =
                last.checked_sub(1).and_then(|n| left.places[n]).map(|p| p + self.set.slice);
            left.places[last] = [at_end, after]
                .into_iter()
                .flatten()
                .find(|at| self.medium.holds(self.set, last, *at));
        }
        for (number, place) in left.places.iter().enumerate() {
            if place.is_none() && self.set.length(number) == self.set.slice {
                let crc32 = self.set.checksums[number].crc32;
                self.wanted.entry(crc32).or_default().push(number);
                let bit = crc32 >> (32 - SIEVE_BITS);
                self.sieve[(bit >> 6) as usize] |= 1 << (bit & 63);
            }
        }
    }

    /// Whether a wanted slice stands at an offset whose window has this checksum.
    fn try_at(&mut self, at: u64, crc32: u32, left: &mut Left) -> bool {
        let bit = crc32 >> (32 - SIEVE_BITS);
        if self.sieve[(bit >> 6) as usize] >> (bit & 63) & 1 == 0 {
            return false;
        }
        let Some(numbers) = self.wanted.get(&crc32).cloned() else { return false };
        for number in numbers.into_iter().filter(|number| left.places[*number].is_none()) {
            if self.medium.holds(self.set, number, at) {
                left.places[number] = Some(at);
                return true;
            }
            if !self.patience.wasted(self.set.slice) {
                self.given_up = true;
                return false;
            }
        }
        false
    }

    /// Takes every window between two offsets.
    fn roll(&mut self, from: u64, to: u64, left: &mut Left) {
        let window = self.set.slice;
        let mut at = from;
        let (mut leaving, mut entering) = (vec![0; CHUNK], vec![0; CHUNK]);
        'fresh: while !self.given_up && to.checked_sub(at).is_some_and(|there| there >= window) {
            let mut register = self.rolling.start(&mut self.medium, at, window);
            loop {
                let more = (to - at - window).min(CHUNK as u64) as usize;
                self.medium.fill(at, &mut leaving[..more]);
                self.medium.fill(at + window, &mut entering[..more]);
                for (out, new) in leaving[..more].iter().zip(&entering[..more]) {
                    if self.try_at(at, self.rolling.crc32(register), left) {
                        at += window;
                        continue 'fresh;
                    }
                    if self.given_up {
                        return;
                    }
                    register = self.rolling.rolled(register, *out, *new);
                    at += 1;
                }
                if to - at == window {
                    self.try_at(at, self.rolling.crc32(register), left);
                    return;
                }
            }
        }
    }
}

/// CRC-32 of a window that moves by a byte at a time.
///
/// But for a constant, a CRC-32 is linear: the register of a window that has taken in one byte more is
/// freed of the byte that has left it by adding what that byte followed by a window of zeros gives.
struct Rolling {
    /// By the byte that enters the window: its part of the register.
    entering: [u32; 256],
    /// By the byte that leaves the window: what its part has become.
    leaving: [u32; 256],
    /// CRC-32 of a window of zeros: the constant.
    zeros: u32,
}

impl Rolling {
    fn new(window: u64) -> Self {
        let mut zeros = crc32fast::Hasher::new();
        let block = vec![0; CHUNK];
        let mut left = window;
        while left > 0 {
            let count = left.min(CHUNK as u64);
            zeros.update(&block[..count as usize]);
            left -= count;
        }
        let of = |byte: u8| {
            let mut hasher = crc32fast::Hasher::new();
            hasher.update(&[byte]);
            hasher
        };
        let then_zeros = |byte: u8| {
            let mut hasher = of(byte);
            hasher.combine(&zeros);
            hasher.finalize()
        };
        let (alone, with_zeros) = (of(0).finalize(), then_zeros(0));
        Self {
            entering: std::array::from_fn(|byte| of(byte as u8).finalize() ^ alone),
            leaving: std::array::from_fn(|byte| then_zeros(byte as u8) ^ with_zeros),
            zeros: zeros.finalize(),
        }
    }

    /// The register of the window at an offset.
    fn start(&self, medium: &mut Medium, at: u64, window: u64) -> u32 {
        let mut hasher = crc32fast::Hasher::new();
        let mut buffer = vec![0; CHUNK.min(window as usize)];
        let mut done = 0;
        while done < window {
            let bytes = &mut buffer[..(window - done).min(CHUNK as u64) as usize];
            medium.fill(at + done, bytes);
            hasher.update(bytes);
            done += bytes.len() as u64;
        }
        hasher.finalize() ^ self.zeros
    }

    fn rolled(&self, register: u32, out: u8, new: u8) -> u32 {
        let index = (register ^ u32::from(new)) & 0xFF;
        (register >> 8) ^ self.entering[index as usize] ^ self.leaving[usize::from(out)]
    }

    fn crc32(&self, register: u32) -> u32 {
        register ^ self.zeros
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    #[test]
    fn a_rolled_checksum_is_that_of_the_window() {
        let bytes: Vec<u8> =
            (0..3000_u32).map(|n| (n.wrapping_mul(2_654_435_761) >> 11) as u8).collect();
        let mut file = tempfile::NamedTempFile::new().expect("a temporary file");
        file.write_all(&bytes).expect("to write");
        for window in [4, 100, 1024] {
            let rolling = Rolling::new(window as u64);
            let file = file.reopen().expect("the file");
            let mut medium = Medium { file, size: bytes.len() as u64 };
            let mut register = rolling.start(&mut medium, 0, window as u64);
            for at in 0..bytes.len() - window {
                assert_eq!(rolling.crc32(register), crc32fast::hash(&bytes[at..at + window]));
                register = rolling.rolled(register, bytes[at], bytes[at + window]);
            }
        }
    }
}
