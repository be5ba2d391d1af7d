//! Repairing: the missing slices from those that are there and from as many recovery slices.

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use super::combine::{Combination, Input, combine};
use super::field;
use super::locate::Left;
use super::read::{Found, Set};
use super::write::{self, Shape};

/// Slices that may be missing at most: the equations take memory as their square and time as their cube.
/// Files of our own have fewer slices altogether.
pub const MOST_MISSING: usize = 4096;

/// Coefficients that may be held at most: missing slices times all slices, two bytes each.
pub const MOST_COEFFICIENTS: usize = 1 << 25;

/// How a recovery slice counts for each missing slice: `inverse[missing][row]`, rows being those of
/// `exponents`.
struct Solution {
    exponents: Vec<u32>,
    inverse: Vec<Vec<u16>>,
}

/// Solves for the missing slices, given their constants and the exponents that there are. Not every choice
/// of rows in this format can be solved, so that rows that add nothing are passed over; `None` if the
/// others are too few.
fn solve(missing: &[u16], exponents: impl Iterator<Item = u32>) -> Option<Solution> {
    let count = missing.len();
    // Each row: the missing slices' share in it, and the recovery slices it was made of.
    let mut rows: Vec<(usize, Vec<u16>, Vec<u16>)> = Vec::with_capacity(count);
    let mut used = Vec::with_capacity(count);
    for exponent in exponents {
        if rows.len() == count {
            break;
        }
        let mut share: Vec<u16> = missing.iter().map(|c| field::power(*c, exponent)).collect();
        let mut made_of = vec![0; count];
        made_of[rows.len()] = 1;
        for (pivot, other_share, other_made_of) in &rows {
            let factor = share[*pivot];
            field::add_scaled(&mut share, other_share, factor);
            field::add_scaled(&mut made_of, other_made_of, factor);
        }
        let Some(pivot) = share.iter().position(|element| *element != 0) else { continue };
        let inverse = field::inverse(share[pivot])?;
        for element in share.iter_mut().chain(&mut made_of) {
            *element = field::product(*element, inverse);
        }
        for (_, other_share, other_made_of) in &mut rows {
            let factor = other_share[pivot];
            field::add_scaled(other_share, &share, factor);
            field::add_scaled(other_made_of, &made_of, factor);
        }
        rows.push((pivot, share, made_of));
        used.push(exponent);
    }
    if rows.len() < count {
        return None;
    }
    rows.sort_by_key(|(pivot, _, _)| *pivot);
    let inverse = rows.into_iter().map(|(_, _, made_of)| made_of).collect();
    Some(Solution { exponents: used, inverse })
}

/// Writes the file that a set describes into `to`, which must be empty, from what is left of it at
/// `damaged` and from the recovery slices. The caller verifies it.
pub fn repair(
    damaged: &Path,
    left: &Left,
    set: &Set,
    found: &Found,
    to: &mut (impl Write + Seek + Send),
    moved: &(dyn Fn(u64) + Sync),
) -> io::Result<()> {
    let missing = left.missing();
    let constants = field::constants(set.checksums.len());
    let of_missing: Vec<u16> = missing.iter().map(|number| constants[*number]).collect();
    let solution = solve(&of_missing, set.recovery.keys().copied())
        .ok_or_else(|| io::Error::other("the recovery slices that there are can't be solved"))?;

    // File 0 is the damaged one, if any slice of it is used; recovery files come after it.
    let mut files: Vec<PathBuf> = Vec::new();
    if left.places.iter().any(Option::is_some) {
        files.push(damaged.to_path_buf());
    }
    let first_recovery = files.len();
    files.extend(found.files.iter().map(|file| file.path.clone()));
    let mut inputs = Vec::new();
    let mut present = Vec::new();
    for (number, place) in left.places.iter().enumerate() {
        if let Some(at) = place {
            inputs.push(Input { file: 0, at: *at, length: set.length(number) });
            present.push(constants[number]);
        }
    }
    for exponent in &solution.exponents {
        let place = set.recovery.get(exponent).ok_or(io::ErrorKind::NotFound)?;
        inputs.push(Input { file: first_recovery + place.file, at: place.at, length: set.slice });
    }
    let coefficients = coefficients(&solution, &present);

    copy_present(damaged, left, set, to, moved)?;
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
        coefficient: &|output, input| coefficients[output][input],
    };
    combine(&what, &put, moved)
}

/// For each missing slice the coefficients of the slices present and, after them, of the recovery slices.
fn coefficients(solution: &Solution, present: &[u16]) -> Vec<Vec<u16>> {
    let mut rows = vec![vec![0; present.len()]; solution.inverse.len()];
    for (number, exponent) in solution.exponents.iter().enumerate() {
        let powers: Vec<u16> = present.iter().map(|c| field::power(*c, *exponent)).collect();
        for (row, inverse) in rows.iter_mut().zip(&solution.inverse) {
            field::add_scaled(row, &powers, inverse[number]);
        }
    }
    for (row, inverse) in rows.iter_mut().zip(&solution.inverse) {
        row.extend_from_slice(inverse);
    }
    rows
}

fn copy_present(
    damaged: &Path,
    left: &Left,
    set: &Set,
    to: &mut (impl Write + Seek),
    moved: &(dyn Fn(u64) + Sync),
) -> io::Result<()> {
    if left.places.iter().all(Option::is_none) {
        return Ok(());
    }
    let mut from = &File::open(damaged)?;
    for (number, place) in left.places.iter().enumerate() {
        let Some(at) = place else { continue };
        from.seek(SeekFrom::Start(*at))?;
        to.seek(SeekFrom::Start(number as u64 * set.slice))?;
        let length = set.length(number);
        if io::copy(&mut from.take(length), to)? != length {
            return Err(io::ErrorKind::UnexpectedEof.into());
        }
        moved(length);
    }
    Ok(())
}

/// Whether a file is what a set describes, by every checksum that it has.
pub fn is_as_described(path: &Path, set: &Set, moved: &(dyn Fn(u64) + Sync)) -> io::Result<bool> {
    let inputs = set.checksums.len();
    let shape = Shape { slice: set.slice, inputs, outputs: 0 };
    if path.metadata()?.len() != set.file.size {
        return Ok(false);
    }
    let summed = write::sum(path, "", &shape, moved)?;
    Ok(summed.file.md5 == set.file.md5
        && summed.file.beginning == set.file.beginning
        && summed.checksums == set.checksums)
}
