//! Sums of products over slices: each output slice is the sum, over all input slices, of a coefficient
//! times that slice, word by word in the field. Writing recovery slices and repairing are both just that.
//!
//! The work is the bytes of the input times the output slices, so it is done sixteen output slices at a
//! time: for one input slice and sixteen coefficients, the products of every low and every high byte are
//! tabled, and one look-up each then gives a word's sixteen products side by side. Slices are worked
//! through in bands across all of them, a band for a thread, so that memory grows neither with the size of
//! the slices nor with that of the files.

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::path::PathBuf;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use super::field;

/// Output slices that one look-up serves.
const LANES: usize = 16;
/// Input slices read together.
const BATCH: usize = 16;
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
    let width = width.next_multiple_of(NARROWEST);
    let next = AtomicU64::new(0);
    let stop = AtomicBool::new(false);
    let failure = Mutex::new(None);
    let bands = what.slice.div_ceil(width);
    rayon::scope(|scope| {
        for _ in 0..threads.min(bands) {
            scope.spawn(|_| {
                let work = || -> io::Result<()> {
                    let mut worker = Worker::new(what, width as usize)?;
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
    sums: Vec<[u16; LANES]>,
    products: Box<Products>,
    row: Vec<u8>,
}

impl Worker {
    fn new(what: &Combination<'_>, width: usize) -> io::Result<Self> {
        let groups = what.outputs.div_ceil(LANES);
        Ok(Self {
            files: what.files.iter().map(File::open).collect::<io::Result<_>>()?,
            read: vec![0; width * BATCH],
            sums: vec![[0; LANES]; groups * (width / 2)],
            products: Box::new(Products::default()),
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
        self.sums.fill([0; LANES]);
        for (batch, inputs) in what.inputs.chunks(BATCH).enumerate() {
            for (input, bytes) in inputs.iter().zip(self.read.chunks_exact_mut(width)) {
                read_band(&mut self.files, input, from, bytes)?;
            }
            for start in (0..width).step_by(STRIP) {
                let end = (start + STRIP).min(width);
                for (group, sums) in self.sums.chunks_exact_mut(words).take(groups).enumerate() {
                    let sums = &mut sums[start / 2..end / 2];
                    for (number, bytes) in
                        self.read.chunks_exact(width).take(inputs.len()).enumerate()
                    {
                        let input = batch * BATCH + number;
                        let coefficients = std::array::from_fn(|lane| {
                            let output = group * LANES + lane;
                            if output < what.outputs {
                                (what.coefficient)(output, input)
                            } else {
                                0
                            }
                        });
                        self.products.table(coefficients);
                        self.products.add(sums, &bytes[start..end]);
                    }
                }
            }
            progress((width * inputs.len()) as u64);
        }
        for output in 0..what.outputs {
            let (group, lane) = (output / LANES, output % LANES);
            self.row.clear();
            let sums = &self.sums[group * words..][..words];
            self.row.extend(sums.iter().flat_map(|sums| sums[lane].to_le_bytes()));
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
    low: [[u16; LANES]; 256],
    high: [[u16; LANES]; 256],
}

impl Default for Products {
    fn default() -> Self {
        Self { low: [[0; LANES]; 256], high: [[0; LANES]; 256] }
    }
}

impl Products {
    fn table(&mut self, coefficients: [u16; LANES]) {
        let mut of_bit = coefficients;
        for table in [&mut self.low, &mut self.high] {
            for bit in 0..8 {
                let (done, next) = table.split_at_mut(1 << bit);
                for (to, from) in next.iter_mut().zip(done.iter()) {
                    *to = std::array::from_fn(|lane| from[lane] ^ of_bit[lane]);
                }
                of_bit = of_bit.map(field::doubled);
            }
        }
    }

    fn add(&self, sums: &mut [[u16; LANES]], input: &[u8]) {
        for (sums, word) in sums.iter_mut().zip(input.as_chunks::<2>().0) {
            let (low, high) = (&self.low[usize::from(word[0])], &self.high[usize::from(word[1])]);
            for lane in 0..LANES {
                sums[lane] ^= low[lane] ^ high[lane];
            }
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
