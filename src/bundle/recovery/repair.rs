//! Repairing: the missing slices from those that are there and from as many recovery slices.

use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use super::combine::{Combination, Input, combine};
use super::field;
use super::locate::Left;
use super::read::{Found, Set};
use super::solve::{Solution, Unsolved, solve};
use super::write::{self, Shape};
use crate::records::plain;

/// Solves for the slices that are missing of a file.
pub fn solved(left: &Left, set: &Set) -> Result<Solution, Unsolved> {
    let constants = field::constants(set.checksums.len());
    let those = |missing: bool| -> Vec<u16> {
        let places = left.places.iter().zip(&constants);
        places.filter(|(place, _)| place.is_none() == missing).map(|(_, c)| *c).collect()
    };
    let exponents: Vec<u32> = set.recovery.keys().copied().collect();
    solve(&those(true), &those(false), &exponents)
}

/// Writes the file that a set describes into `to`, which must be empty, from what is left of it at
/// `damaged` and from the recovery slices, as they were solved for. The caller verifies it.
pub fn repair(
    damaged: &Path,
    left: &Left,
    set: &Set,
    found: &Found,
    solution: &Solution,
    to: &mut (impl Write + Seek + Send),
    progress: &(dyn Fn(u64) + Sync),
) -> io::Result<()> {
    let missing = left.missing();
    // File 0 is the damaged one, if any slice of it is used; recovery files come after it.
    let mut files: Vec<PathBuf> = Vec::new();
    if left.places.iter().any(Option::is_some) {
        files.push(damaged.to_path_buf());
    }
    let first_recovery = files.len();
    files.extend(found.files.iter().map(|file| file.path.clone()));
    let mut inputs = Vec::new();
    for (number, place) in left.places.iter().enumerate() {
        if let Some(at) = place {
            inputs.push(Input { file: 0, at: *at, length: set.length(number) });
        }
    }
    for exponent in &solution.exponents {
        let place = set.recovery.get(exponent).ok_or(io::ErrorKind::NotFound)?;
        inputs.push(Input { file: first_recovery + place.file, at: place.at, length: set.slice });
    }

    copy_present(damaged, left, set, to, progress)?;
    let out = Mutex::new(to);
    let put = |output: usize, at: u64, bytes: &[u8]| -> io::Result<()> {
        let Some(number) = missing.get(output) else { return Ok(()) };
        let there = set.length(*number).saturating_sub(at).min(bytes.len() as u64) as usize;
        let mut out = out.lock().unwrap_or_else(|e| e.into_inner());
        out.seek(SeekFrom::Start(*number as u64 * set.slice + at))?;
        out.write_all(&bytes[..there])
    };
    let what = Combination {
        files: &files,
        inputs: &inputs,
        outputs: missing.len(),
        slice: set.slice,
        coefficient: &|output, input| solution.coefficients[output][input],
    };
    combine(&what, &put, progress)
}

fn copy_present(
    damaged: &Path,
    left: &Left,
    set: &Set,
    to: &mut (impl Write + Seek),
    progress: &(dyn Fn(u64) + Sync),
) -> io::Result<()> {
    if left.places.iter().all(Option::is_none) {
        return Ok(());
    }
    let mut from = &plain::file(damaged)?;
    for (number, place) in left.places.iter().enumerate() {
        let Some(at) = place else { continue };
        from.seek(SeekFrom::Start(*at))?;
        to.seek(SeekFrom::Start(number as u64 * set.slice))?;
        let length = set.length(number);
        if io::copy(&mut from.take(length), to)? != length {
            return Err(io::ErrorKind::UnexpectedEof.into());
        }
        progress(length);
    }
    Ok(())
}

/// Whether a file is what a set describes, by every checksum that it has.
pub fn is_as_described(
    path: &Path,
    set: &Set,
    progress: &(dyn Fn(u64) + Sync),
) -> io::Result<bool> {
    let inputs = set.checksums.len();
    let shape = Shape { slice: set.slice, inputs, outputs: 0 };
    if path.metadata()?.len() != set.file.size {
        return Ok(false);
    }
    let summed = write::sum(path, "", &shape, progress)?;
    // Of checksums that were pieced together, some are wrong.
    Ok(summed.file.md5 == set.file.md5
        && summed.file.beginning == set.file.beginning
        && (set.otherwise.is_some() || summed.checksums == set.checksums))
}
