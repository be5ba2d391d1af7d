//! Sums of products over slices: each output slice is the sum, over all input slices, of a coefficient
//! times that slice, word by word in the field. Writing recovery slices and repairing are both just that.
//!
//! The work is the bytes of the input times the output slices, so it is done sixteen output slices at a
//! time: for one input slice and sixteen coefficients, the products of every low and every high byte are
//! tabled, and one look-up each then gives a word's sixteen products side by side. Slices are worked
//! through in bands across all of them, a band for a thread, so that memory grows neither with the size of
//! the slices nor with that of the files. Where slices are so small that one band holds them, threads share its
//! outputs instead.

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::path::PathBuf;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use rayon::prelude::*;

use super::field;

/// Output slices that one look-up serves.
const LANES: usize = 16;
/// Words side by side in 64 bits.
const WORDS: usize = 4;

/// A word of each of sixteen output slices.
type Lanes = [u64; LANES / WORDS];

/// The same word in every place.
const fn everywhere(word: u16) -> u64 {
    let mut all = 0;
    let mut place = 0;
    while place < WORDS {
        all |= (word as u64) << (16 * place);
        place += 1;
    }
    all
}

/// The sums of what stands in the same places. Without a loop: the work of all is this.
#[inline]
fn plus(a: Lanes, b: Lanes) -> Lanes {
    [a[0] ^ b[0], a[1] ^ b[1], a[2] ^ b[2], a[3] ^ b[3]]
}

/// Elements side by side, each times 2: see [`field::doubled`].
fn doubled(elements: u64) -> u64 {
    let carried = (elements >> 15) & everywhere(1);
    ((elements << 1) & everywhere(0xFFFE)) ^ (carried * u64::from(field::REDUCED))
}
/// Input slices read together, at least.
const BATCH: usize = 16;
/// Bytes of input read together, where so many slices have no more.
const READ: usize = 256 * 1024;
/// Bytes of a band worked through before the next sixteen outputs are turned to: the sums of so many stay
/// in a core's cache.
const STRIP: usize = 8 * 1024;
/// Widest band of a slice, bytes.
const WIDEST: u64 = 64 * 1024;
/// Narrowest band of a slice, bytes.
const NARROWEST: u64 = 4 * 1024;
/// Bytes of sums that all threads may hold together.
const SUMS: u64 = 96 * 1024 * 1024;

/// Where an input slice is read.
#[derive(Debug, Clone, Copy)]
pub struct Input {
    /// Which of the files.
    pub file: usize,
    /// Offset of its first byte.
    pub at: u64,
    /// Bytes to read; the rest of the slice is zeros.
    pub length: u64,
}

/// What is to be combined.
pub struct Combination<'a> {
    /// Files that inputs stand in.
    pub files: &'a [PathBuf],
    /// The input slices.
    pub inputs: &'a [Input],
    /// How many output slices.
    pub outputs: usize,
    /// Bytes of a slice, a multiple of 4.
    pub slice: u64,
    /// The coefficient of (output, input).
    pub coefficient: &'a (dyn Fn(usize, usize) -> u16 + Sync),
}

/// Takes a band of an output slice: output, offset in the slice, bytes.
pub type Put<'a> = &'a (dyn Fn(usize, u64, &[u8]) -> io::Result<()> + Sync);

/// Computes every output slice and passes it, band by band and in any order, to `put`: output, offset in the slice,
/// bytes. `progress` is called with the number of input bytes processed.
pub fn combine(
    what: &Combination<'_>,
    put: Put<'_>,
    progress: &(dyn Fn(u64) + Sync),
) -> io::Result<()> {
    if what.outputs == 0 {
        return Ok(());
    }
    let rows = what.outputs.next_multiple_of(LANES) as u64;
    let threads = rayon::current_num_threads() as u64;
    let threads = threads.min(SUMS / (rows * NARROWEST)).max(1);
    let held = rows * threads;
    let width = (what.slice / threads).min(SUMS / held).clamp(NARROWEST, WIDEST);
    let width = width.next_multiple_of(NARROWEST).min(what.slice);
    let next = AtomicU64::new(0);
    let stop = AtomicBool::new(false);
    let failure = Mutex::new(None);
    let bands = what.slice.div_ceil(width);
    let shares_outputs = bands == 1;
    rayon::scope(|scope| {
        for _ in 0..threads.min(bands) {
            scope.spawn(|_| {
                let work = || -> io::Result<()> {
                    let mut worker = Worker::new(what, width as usize, shares_outputs)?;
                    while !stop.load(Ordering::Relaxed) {
                        let from = next.fetch_add(1, Ordering::Relaxed) * width;
                        if from >= what.slice {
                            break;
                        }
                        let to = (from + width).min(what.slice);
                        worker.band(what, from, (to - from) as usize, put, progress)?;
                    }
                    Ok(())
                };
                if let Err(error) = work() {
                    stop.store(true, Ordering::Relaxed);
                    failure.lock().unwrap_or_else(|e| e.into_inner()).get_or_insert(error);
                }
            });
        }
    });
    failure.into_inner().unwrap_or_else(|e| e.into_inner()).map_or(Ok(()), Err)
}

/// What a thread holds.
struct Worker {
    files: Vec<File>,
    /// Bands of a batch of inputs, one after another.
    read: Vec<u8>,
    /// Sums by group of outputs and word.
    sums: Vec<Lanes>,
    /// Input slices read together.
    batch: usize,
    /// Whether threads share the outputs of a band.
    shares_outputs: bool,
    row: Vec<u8>,
}

impl Worker {
    fn new(what: &Combination<'_>, width: usize, shares_outputs: bool) -> io::Result<Self> {
        let batch = (READ / width).max(BATCH);
        let groups = what.outputs.div_ceil(LANES);
        Ok(Self {
            files: what.files.iter().map(File::open).collect::<io::Result<_>>()?,
            read: vec![0; width * batch],
            sums: vec![Lanes::default(); groups * (width / 2)],
            batch,
            shares_outputs,
            row: Vec::with_capacity(width),
        })
    }

    fn band(
        &mut self,
        what: &Combination<'_>,
        from: u64,
        width: usize,
        put: Put<'_>,
        progress: &(dyn Fn(u64) + Sync),
    ) -> io::Result<()> {
        let words = width / 2;
        let groups = what.outputs.div_ceil(LANES);
        self.sums.fill(Lanes::default());
        let of_products = || Box::new(Products::default());
        for (batch, inputs) in what.inputs.chunks(self.batch).enumerate() {
            for (input, bytes) in inputs.iter().zip(self.read.chunks_exact_mut(width)) {
                read_band(&mut self.files, input, from, bytes)?;
            }
            let read = &self.read[..width * inputs.len()];
            let first = batch * self.batch;
            let all = &mut self.sums[..groups * words];
            if self.shares_outputs {
                all.par_chunks_exact_mut(words).enumerate().for_each_init(
                    of_products,
                    |products, (group, sums)| {
                        products.add_all(what, first, read.chunks_exact(width), group, sums);
                    },
                );
            } else {
                let mut products = of_products();
                for start in (0..width).step_by(STRIP) {
                    let strip = start..(start + STRIP).min(width);
                    for (group, sums) in all.chunks_exact_mut(words).enumerate() {
                        let sums = &mut sums[strip.start / 2..strip.end / 2];
                        let inputs = read.chunks_exact(width).map(|bytes| &bytes[strip.clone()]);
                        products.add_all(what, first, inputs, group, sums);
                    }
                }
            }
            progress(read.len() as u64);
        }
        for output in 0..what.outputs {
            let (group, lane) = (output / LANES, output % LANES);
            self.row.clear();
            let sums = &self.sums[group * words..][..words];
            let word = |sums: &Lanes| (sums[lane / WORDS] >> (16 * (lane % WORDS))) as u16;
            self.row.extend(sums.iter().flat_map(|sums| word(sums).to_le_bytes()));
            put(output, from, &self.row)?;
        }
        Ok(())
    }
}

/// Reads a band of an input slice; what lies beyond its end is zeros.
fn read_band(files: &mut [File], input: &Input, from: u64, bytes: &mut [u8]) -> io::Result<()> {
    let there = input.length.saturating_sub(from).min(bytes.len() as u64) as usize;
    let (read, beyond) = bytes.split_at_mut(there);
    beyond.fill(0);
    if !read.is_empty() {
        let file = files.get_mut(input.file).ok_or(io::ErrorKind::NotFound)?;
        file.seek(SeekFrom::Start(input.at + from))?;
        file.read_exact(read)?;
    }
    Ok(())
}

/// The products of sixteen coefficients with every value of a word's low and of its high byte.
struct Products {
    low: [Lanes; 256],
    high: [Lanes; 256],
}

impl Default for Products {
    fn default() -> Self {
        Self { low: [Lanes::default(); 256], high: [Lanes::default(); 256] }
    }
}

impl Products {
    fn table(&mut self, coefficients: Lanes) {
        let mut of_bit = coefficients;
        for table in [&mut self.low, &mut self.high] {
            for bit in 0..8 {
                let (done, next) = table.split_at_mut(1 << bit);
                for (to, from) in next.iter_mut().zip(done.iter()) {
                    *to = plus(*from, of_bit);
                }
                of_bit = of_bit.map(doubled);
            }
        }
    }

    /// Adds to the sums of a group of outputs what some inputs, from one of this number on, contribute.
    fn add_all<'a>(
        &mut self,
        what: &Combination<'_>,
        first: usize,
        inputs: impl Iterator<Item = &'a [u8]>,
        group: usize,
        sums: &mut [Lanes],
    ) {
        for (number, bytes) in inputs.enumerate() {
            let mut coefficients = Lanes::default();
            for output in (group * LANES..what.outputs).take(LANES) {
                let lane = output % LANES;
                let word = (what.coefficient)(output, first + number);
                coefficients[lane / WORDS] |= u64::from(word) << (16 * (lane % WORDS));
            }
            self.table(coefficients);
            self.add(sums, bytes);
        }
    }

    fn add(&self, sums: &mut [Lanes], input: &[u8]) {
        for (sums, word) in sums.iter_mut().zip(input.as_chunks::<2>().0) {
            let (low, high) = (&self.low[usize::from(word[0])], &self.high[usize::from(word[1])]);
            *sums = plus(*sums, plus(*low, *high));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    /// Every output word against sums of products taken one by one; sizes that leave a last band short,
    /// groups of outputs part full, and a last input shorter than a slice.
    #[test]
    fn combinations_are_sums_of_products() {
        for (slice, inputs, outputs) in [(4, 1, 1), (8, 3, 17), (20_000, 40, 33), (70_004, 3, 5)] {
            let length = slice * inputs - 3;
            let bytes: Vec<u8> =
                (0..length as u32).map(|n| (n.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
            let mut file = tempfile::NamedTempFile::new().expect("a temporary file");
            file.write_all(&bytes).expect("to write");
            let places: Vec<Input> = (0..inputs)
                .map(|n| Input {
                    file: 0,
                    at: (n * slice) as u64,
                    length: (slice.min(length - n * slice)) as u64,
                })
                .collect();
            let coefficient = |o: usize, i: usize| (o * 40_503 + i * 977 + 1) as u16;
            let written = Mutex::new(vec![vec![0; slice]; outputs]);
            let worked = AtomicU64::new(0);
            combine(
                &Combination {
                    files: &[file.path().to_path_buf()],
                    inputs: &places,
                    outputs,
                    slice: slice as u64,
                    coefficient: &coefficient,
                },
                &|output, at, bytes| {
                    let mut written = written.lock().expect("the lock");
                    written[output][at as usize..][..bytes.len()].copy_from_slice(bytes);
                    Ok(())
                },
                &|bytes| {
                    worked.fetch_add(bytes, Ordering::Relaxed);
                },
            )
            .expect("to combine");
            assert_eq!(worked.into_inner(), (slice * inputs) as u64);
            let mut padded = bytes.clone();
            padded.resize(slice * inputs, 0);
            let written = written.into_inner().expect("the lock");
            for at in
                (0..slice).step_by(2).filter(|at| *at < 40 || at + 40 > slice || at % 502 == 0)
            {
                for (output, row) in written.iter().enumerate() {
                    let expected = (0..inputs).fold(0, |sum, input| {
                        let word = &padded[input * slice + at..][..2];
                        let word = u16::from_le_bytes([word[0], word[1]]);
                        sum ^ field::product(coefficient(output, input), word)
                    });
                    assert_eq!(u16::from_le_bytes([row[at], row[at + 1]]), expected);
                }
            }
        }
    }

    #[test]
    fn a_file_that_ends_too_soon_is_an_error() {
        let file = tempfile::NamedTempFile::new().expect("a temporary file");
        let inputs = [Input { file: 0, at: 0, length: 8 }];
        let what = Combination {
            files: &[file.path().to_path_buf()],
            inputs: &inputs,
            outputs: 1,
            slice: 8,
            coefficient: &|_, _| 1,
        };
        assert!(combine(&what, &|_, _, _| Ok(()), &|_| {}).is_err());
    }
}
