//! Writing recovery data for one file.

use std::fs::File;
use std::io::{self, BufWriter, Read, Seek, SeekFrom, Write};
use std::mem;
use std::path::Path;
use std::sync::Mutex;

use md5::{Digest, Md5};

use super::super::chunks;
use super::combine::{Combination, Input, combine};
use super::field;
use super::packet::{self, Checksum, Described, Id, Main};

/// What the creator packet says: no version, so that every version writes the same bytes.
const CREATOR: &str = "lastdock";

/// Slices are multiples of this, bytes. What a medium loses is mostly far less than what a slice of a page's
/// size would give up with it.
const SLICE_STEP: u64 = 1024;

/// Slices that a file is cut into at most: half of what the format allows.
const MOST_SLICES: u64 = 16_384;

/// Slices that a large file is cut into.
const SLICES: u64 = 2000;

/// Fewest slices that a very large file is cut into.
const FEWEST_SLICES: u64 = 500;

/// Bytes of a file times its slices, up to which it is cut finer than into [`SLICES`]: a tenth of this times two
/// bytes is what ten percent of recovery data take in look-ups of sixteen products each, a second or so.
const WORK: u64 = 1 << 38;

/// Bytes up to which a file is cut into [`SLICES`] at least; beyond it into so many fewer that the work (bytes
/// times recovery slices) grows no faster than it must.
const LARGE: u64 = 8 << 30;

/// Copies of the packets that all depends on, in the file of the recovery slices.
const COPIES: usize = 3;

/// How a file is cut and how much is bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shape {
    /// Bytes of a slice.
    pub slice: u64,
    /// Input slices.
    pub inputs: usize,
    /// Recovery slices.
    pub outputs: usize,
}

impl Shape {
    /// The shape for a file of `size` bytes of which `percent` of a hundred is to be bought. `None` for
    /// nothing at all.
    pub fn plan(size: u64, percent: u32) -> Option<Self> {
        if size == 0 || percent == 0 {
            return None;
        }
        let most = if size <= LARGE {
            (WORK / size).clamp(SLICES, MOST_SLICES)
        } else {
            let fewer = u128::from(SLICES) * u128::from(LARGE) / u128::from(size);
            u64::try_from(fewer).unwrap_or(SLICES).max(FEWEST_SLICES)
        };
        let slice = size.div_ceil(most).next_multiple_of(SLICE_STEP);
        let inputs = size.div_ceil(slice);
        let outputs = (inputs * u64::from(percent)).div_ceil(100);
        Some(Self { slice, inputs: inputs as usize, outputs: outputs as usize })
    }

    /// Bytes of the input slice of this number in a file of `size` bytes.
    pub fn length(&self, number: usize, size: u64) -> u64 {
        size.saturating_sub(number as u64 * self.slice).min(self.slice)
    }
}

/// A file read through once: what the packets say of it.
#[derive(Debug)]
pub struct Summed {
    /// Name, size, checksums of the whole.
    pub file: Described,
    /// Checksums of its slices.
    pub checksums: Vec<Checksum>,
}

/// Reads a file and computes every checksum: that of the whole on one thread, those of its slices on another.
pub fn sum(
    path: &Path,
    name: &str,
    shape: &Shape,
    progress: &(dyn Fn(u64) + Sync),
) -> io::Result<Summed> {
    let file = File::open(path)?;
    let size = file.metadata()?.len();
    sum_of(file, size, name, shape, progress)
}

fn sum_of(
    from: impl Read + Send,
    size: u64,
    name: &str,
    shape: &Shape,
    progress: &(dyn Fn(u64) + Sync),
) -> io::Result<Summed> {
    let mut whole = Md5::new();
    let mut beginning = None;
    let mut slices = Slices::new(shape);
    let read = chunks::each(from, |bytes| {
        let covered = bytes.len().min(packet::BEGINNING as usize);
        beginning.get_or_insert_with(|| packet::md5(&bytes[..covered]));
        chunks::both(bytes, |bytes| whole.update(bytes), |bytes| slices.update(bytes));
        progress(bytes.len() as u64);
        Ok(())
    })?;
    let checksums = slices.finish();
    if read != size || checksums.len() != shape.inputs {
        return Err(io::Error::other("changed while it was being read"));
    }
    let beginning = beginning.unwrap_or_else(|| packet::md5(&[]));
    let file = Described::new(name, size, whole.finalize().into(), beginning);
    Ok(Summed { file, checksums })
}

/// Checksums of slices as their bytes come along.
struct Slices {
    slice: u64,
    /// Bytes that the slice which is being summed still lacks.
    lacking: u64,
    md5: Md5,
    crc32: crc32fast::Hasher,
    summed: Vec<Checksum>,
}

impl Slices {
    fn new(shape: &Shape) -> Self {
        Self {
            slice: shape.slice,
            lacking: shape.slice,
            md5: Md5::new(),
            crc32: crc32fast::Hasher::new(),
            summed: Vec::with_capacity(shape.inputs),
        }
    }

    fn update(&mut self, mut bytes: &[u8]) {
        while !bytes.is_empty() {
            let count = usize::try_from(self.lacking).unwrap_or(usize::MAX).min(bytes.len());
            let (own, others) = bytes.split_at(count);
            self.md5.update(own);
            self.crc32.update(own);
            self.lacking -= count as u64;
            if self.lacking == 0 {
                let md5 = mem::take(&mut self.md5).finalize().into();
                let crc32 = mem::take(&mut self.crc32).finalize();
                self.summed.push(Checksum { crc32, md5 });
                self.lacking = self.slice;
            }
            bytes = others;
        }
    }

    /// All checksums, the last of a slice that zeros fill up.
    fn finish(mut self) -> Vec<Checksum> {
        let zeros = [0; 64 * 1024];
        while self.lacking < self.slice {
            let count = self.lacking.min(zeros.len() as u64);
            self.update(&zeros[..count as usize]);
        }
        self.summed
    }
}

/// The packets that all depends on, and the id of their set.
pub fn critical(summed: &Summed, shape: &Shape) -> (Id, Vec<u8>) {
    let main = Main { slice: shape.slice, files: 1, file: summed.file.id }.written();
    let set = packet::md5(&main);
    let checksums = packet::checksums_written(&summed.file.id, &summed.checksums);
    let bytes = [
        packet::packet(&set, &packet::MAIN, &main),
        packet::packet(&set, &packet::FILE, &summed.file.written()),
        packet::packet(&set, &packet::CHECKSUMS, &checksums),
        packet::packet(&set, &packet::CREATOR, CREATOR.as_bytes()),
    ]
    .concat();
    (set, bytes)
}

/// The names of the recovery files of a file: that without recovery slices, and that with them.
pub fn names(name: &str, shape: &Shape) -> [String; 2] {
    let width = shape.outputs.to_string().len();
    let volume = format!("{name}.vol{:0width$}+{}.par2", 0, shape.outputs);
    [format!("{name}.par2"), volume]
}

/// Writes recovery slices into `to`, which must be empty: copies of the critical packets before, between
/// and after them. What is read back for the packets' checksums is compared with what was computed.
pub fn volume(
    path: &Path,
    size: u64,
    shape: &Shape,
    (set, critical): (&Id, &[u8]),
    to: &mut (impl Read + Write + Seek + Send),
    progress: &(dyn Fn(u64) + Sync),
) -> io::Result<()> {
    let inputs: Vec<Input> = (0..shape.inputs)
        .map(|number| Input {
            file: 0,
            at: number as u64 * shape.slice,
            length: shape.length(number, size),
        })
        .collect();
    let constants = field::constants(shape.inputs);
    let packet_length = packet::HEAD + packet::EXPONENT + shape.slice;
    // After how many recovery packets the copies stand, but for the first, which stands before all.
    let stops: Vec<usize> = (1..COPIES).map(|n| shape.outputs * n / (COPIES - 1)).collect();
    let start = |output: usize| {
        let copies = 1 + stops.iter().filter(|stop| **stop <= output).count();
        output as u64 * packet_length + (copies * critical.len()) as u64
    };
    let computed = Mutex::new(Vec::new());
    let out = Mutex::new(&mut *to);
    let put = |output: usize, at: u64, bytes: &[u8]| -> io::Result<()> {
        let crc32 = crc32fast::hash(bytes);
        {
            let mut out = out.lock().unwrap_or_else(|e| e.into_inner());
            out.seek(SeekFrom::Start(start(output) + packet::HEAD + packet::EXPONENT + at))?;
            out.write_all(bytes)?;
        }
        let mut computed = computed.lock().unwrap_or_else(|e| e.into_inner());
        computed.push((output as u32, at, bytes.len() as u32, crc32));
        Ok(())
    };
    let what = Combination {
        files: &[path.to_path_buf()],
        inputs: &inputs,
        outputs: shape.outputs,
        slice: shape.slice,
        coefficient: &|output, input| field::power(constants[input], output as u32),
    };
    combine(&what, &put, progress)?;

    let mut computed = computed.into_inner().unwrap_or_else(|e| e.into_inner());
    computed.sort_unstable();
    let mut bands = computed.into_iter().peekable();
    let mut buffer = Vec::new();
    for output in 0..shape.outputs {
        let exponent = (output as u32).to_le_bytes();
        let mut md5 = Md5::new();
        md5.update(set);
        md5.update(packet::RECOVERY);
        md5.update(exponent);
        to.seek(SeekFrom::Start(start(output) + packet::HEAD + packet::EXPONENT))?;
        while let Some((_, _, length, crc32)) = bands.next_if(|band| band.0 == output as u32) {
            buffer.resize(length as usize, 0);
            to.read_exact(&mut buffer)?;
            if crc32fast::hash(&buffer) != crc32 {
                return Err(io::Error::other("what is read back is not what was written"));
            }
            md5.update(&buffer);
        }
        let head = packet::head(packet_length, &md5.finalize().into(), set, &packet::RECOVERY);
        to.seek(SeekFrom::Start(start(output)))?;
        to.write_all(&head)?;
        to.write_all(&exponent)?;
    }
    let mut to = BufWriter::new(to);
    for copy in 0..COPIES {
        let output = if copy == 0 { 0 } else { stops[copy - 1] };
        let at = output as u64 * packet_length + (copy * critical.len()) as u64;
        to.seek(SeekFrom::Start(at))?;
        to.write_all(critical)?;
    }
    to.flush()
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use super::*;
    use crate::bundle::faulty::{self, Faulty};

    #[test]
    fn shapes_stay_within_bounds() {
        assert_eq!(Shape::plan(0, 10), None);
        assert_eq!(Shape::plan(5_000_000, 0), None);
        assert_eq!(Shape::plan(1, 1), Some(Shape { slice: 1024, inputs: 1, outputs: 1 }));
        let sample = Shape::plan(8_620_625, 10).expect("a shape");
        assert_eq!(sample, Shape { slice: 1024, inputs: 8419, outputs: 842 });
        // The bounds that format.txt states.
        for (mib, slice) in [(16, 1024), (32, 4096), (64, 16_384), (128, 65_536)] {
            assert_eq!(Shape::plan(mib << 20, 10).map(|shape| shape.slice), Some(slice));
        }
        for size in [1 << 20, 1 << 28, 1 << 31, (1 << 33) + 1, 1 << 36, 1 << 45] {
            for percent in [1, 10, 100] {
                let shape = Shape::plan(size, percent).expect("a shape");
                assert!(shape.inputs as u64 <= MOST_SLICES);
                assert!(shape.slice.is_multiple_of(SLICE_STEP));
                assert!(size < SLICES * SLICE_STEP || shape.inputs >= 400, "{shape:?}");
                let work = size.saturating_mul(shape.inputs as u64);
                assert!(work <= WORK || shape.inputs as u64 <= SLICES, "{shape:?}");
                assert!(shape.inputs as u64 * shape.slice >= size);
                let bought = shape.outputs as u64 * 100;
                let asked = shape.inputs as u64 * u64::from(percent);
                assert!(bought >= asked && bought < asked + 100, "{shape:?}");
            }
        }
    }

    /// Bytes that go by one at a time and are interrupted come to the same; what fails at any call is a
    /// failure, whenever that is.
    #[test]
    fn slow_and_failing_files() {
        let bytes: Vec<u8> = (0..30_000_u32).map(|n| (n.wrapping_mul(40_503) >> 7) as u8).collect();
        let mut file = tempfile::NamedTempFile::new().expect("a temporary file");
        file.write_all(&bytes).expect("to write");
        let shape = Shape::plan(bytes.len() as u64, 30).expect("a shape");
        let summed = sum(file.path(), "a.zip", &shape, &|_| {}).expect("to sum");
        let size = bytes.len() as u64;
        let slow =
            sum_of(Faulty::slow(&bytes[..]), size, "a.zip", &shape, &|_| {}).expect("to sum");
        let (set, critical) = super::critical(&summed, &shape);
        assert_eq!((set, critical.clone()), super::critical(&slow, &shape));
        for at in 0..2 {
            let failing = Faulty::failing(&bytes[..], at);
            assert!(sum_of(failing, size, "a.zip", &shape, &|_| {}).is_err());
        }
        for wrong in [size - 1, size + 1] {
            assert!(sum_of(&bytes[..], wrong, "a.zip", &shape, &|_| {}).is_err());
        }

        let write = |to: &mut Faulty<Cursor<Vec<u8>>>| {
            volume(file.path(), size, &shape, (&set, &critical), to, &|_| {})
        };
        let mut plain = Faulty::failing(Cursor::new(Vec::new()), usize::MAX);
        write(&mut plain).expect("to write");
        let mut slow = Faulty::slow(Cursor::new(Vec::new()));
        write(&mut slow).expect("to write slowly");
        assert!(slow.inner.get_ref() == plain.inner.get_ref());
        assert!(plain.calls > 10);
        for at in 0..plain.calls {
            let failed = write(&mut Faulty::failing(Cursor::new(Vec::new()), at));
            assert_eq!(failed.expect_err("a failure").to_string(), faulty::FAILURE, "call {at}");
        }
    }

    #[test]
    fn names_are_the_usual_ones() {
        let shape = Shape { slice: 1024, inputs: 8419, outputs: 842 };
        assert_eq!(names("a.zip", &shape), ["a.zip.par2", "a.zip.vol000+842.par2"]);
    }
}
