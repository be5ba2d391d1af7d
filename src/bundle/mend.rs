//! Mending a damaged bundle from the recovery data beside it. The damaged file is never written to: the
//! mended one is a new file, and what is beyond mending is salvaged entry by entry. Where other places are named that
//! hold files of the bundle, its damaged files are taken from there first.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use super::chunks::CHUNK;
use super::error::{BundleError, first_few};
use super::open::Bundle;
use super::recovery::beside::{Beside, is_named};
use super::recovery::locate::{self, Left};
use super::recovery::read::{RecoveryFile, Set};
use super::recovery::repair;
use super::recovery::solve::{MOST_COEFFICIENTS, MOST_PRODUCTS, Solution, Unsolved};
use super::refill::Refill;
use super::safely;
use super::salvage::{Salvaged, salvage};
use super::staging::{StagingDir, folder_of};
use super::verify::{Fixity, fixity};
use tempfile::NamedTempFile;

use crate::records::plain;

/// Sets that a bundle of another name is compared with, at most.
const MOST_TRIED: usize = 16;

/// What is asked for.
pub struct Request<'a> {
    /// The damaged zip; it may be missing altogether.
    pub bundle: &'a Path,
    /// Where to write the mended one; by default beside it, with `-mended`.
    pub out: Option<&'a Path>,
    /// Where to salvage to; by default a folder beside it, with `-salvaged`.
    pub salvage_to: Option<&'a Path>,
    /// Other places that hold files of the bundle: folders, zips, reports.
    pub also: &'a [PathBuf],
    /// The seal, which proves what belongs to the bundle: 64 hexadecimal digits.
    pub seal: Option<&'a str>,
    /// Called with the number of bytes processed.
    pub progress: &'a (dyn Fn(u64) + Sync),
}

/// What was found of the bundle and of its recovery data.
#[derive(Debug, Default)]
pub struct Diagnosis {
    /// The recovery files of the bundle: path, whether it is whole, recovery slices in it.
    pub recovery: Vec<(PathBuf, bool, usize)>,
    /// Recovery slices that can be used.
    pub recovery_slices: usize,
    /// Slices that the bundle should have.
    pub slices: usize,
    /// Bytes of a slice.
    pub slice_bytes: u64,
    /// The slices that are missing or damaged, counted from 0.
    pub missing: Vec<usize>,
    /// Slices found elsewhere than where they belong.
    pub moved: usize,
    /// Bytes that the bundle has, and those that it should have; `None` where it or its description is
    /// not there.
    pub bytes: (Option<u64>, Option<u64>),
    /// The files that were taken from other places, and from which.
    pub taken: BTreeMap<String, PathBuf>,
    /// Why recovery data that is there could not be used, and the like, in sentences.
    pub notes: Vec<String>,
}

impl Diagnosis {
    /// Whether something is wrong with the recovery files.
    pub fn recovery_is_damaged(&self) -> bool {
        self.recovery.iter().any(|(_, whole, _)| !whole)
    }
}

/// How a mended bundle came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// It is what recovery data was made from, byte for byte.
    ByRecoveryData,
    /// Files of other places were put back where they had stood in the zip. Its seal is proved, the zip itself not.
    PutBack,
    /// A new zip was made of the files. They may follow each other in another order than in the old one.
    PutTogether,
}

/// How it came out.
#[derive(Debug)]
pub enum Outcome {
    /// The bundle is not damaged; its fixity as `verify` finds it.
    Whole(Fixity),
    /// A mended bundle was written.
    Mended {
        /// Where it is.
        at: PathBuf,
        /// How it came about.
        how: How,
        /// The entries that had been damaged.
        entries: Vec<String>,
        /// Its fixity; or why it is no bundle, though it is what the recovery data is of.
        fixity: Result<Fixity, BundleError>,
    },
    /// It can't be mended.
    Beyond {
        /// Why, in a sentence.
        reason: String,
        /// What was salvaged, unless the bundle is missing altogether.
        salvaged: Option<Result<Salvaged, BundleError>>,
    },
}

/// The result of mending.
#[derive(Debug)]
pub struct Mending {
    /// What was found.
    pub diagnosis: Diagnosis,
    /// How it came out.
    pub outcome: Outcome,
}

/// Mends a bundle.
pub fn mend(request: &Request<'_>) -> Result<Mending, BundleError> {
    let at = request.bundle;
    if at.is_dir() {
        return Err(BundleError::new(
            at,
            "is a folder, but recovery data only repairs the zip",
            "name the zip; for a folder, verify says which files are damaged",
        ));
    }
    let out = request.out.map_or_else(|| with_suffix(at, "-mended.zip"), Path::to_path_buf);
    if out.exists() {
        let advice = "move it away, or name another file with --out";
        return Err(BundleError::new(out, "is there already", advice));
    }
    let refill = match request.also {
        [] => None,
        places => Some(Refill::look(at, places, request.seal, &out)?),
    };
    let mend = Mend { request, out, is_there: at.is_file(), refill };
    let beside = Beside::look(at)
        .map_err(|error| BundleError::io(at, "is in a folder that can't be read", &error))?;
    let mut diagnosis = Diagnosis::default();
    diagnosis.notes.extend(beside.unusable.iter().map(|why| format!("a recovery set: {why}")));
    diagnosis.bytes.0 = at.metadata().ok().map(|metadata| metadata.len());
    if let Some(refill) = &mend.refill {
        diagnosis.notes.extend(refill.notes.iter().cloned());
    }

    let chosen = choose(&beside, &mend)?;
    let set = chosen.as_ref().map(|(set, _)| *set);
    diagnosis.recovery = beside.files_of(at, set).map(summary).collect();
    let Some((set, left)) = chosen else {
        if !mend.is_there && beside.sets.is_empty() && mend.refill.is_none() {
            return Err(BundleError::new(
                at,
                "is not there, and there is no usable recovery data in its folder",
                "check the name",
            ));
        }
        return mend.without_set(&beside, diagnosis);
    };
    diagnosis.recovery_slices = set.recovery.len();
    diagnosis.slices = set.checksums.len();
    diagnosis.slice_bytes = set.slice;
    diagnosis.missing = left.missing();
    diagnosis.moved = left.moved;
    diagnosis.bytes.1 = Some(set.file.size);
    if left.given_up {
        let note = "the search for moved slices was stopped: the file looks made to keep it busy without end";
        diagnosis.notes.push(note.to_string());
    }
    if left.is_whole(set) && !mend.is_refilled() {
        let fixity = fixity(&Bundle::open(at)?, request.progress)?;
        return Ok(Mending { diagnosis, outcome: Outcome::Whole(fixity) });
    }
    if let Some(reason) = beyond(set, &left, &beside) {
        return mend.beyond_recovery(diagnosis, reason);
    }
    let solution = match repair::solved(&left, set) {
        Ok(solution) => solution,
        Err(why) => {
            let reason = unsolved(why, left.missing().len());
            return mend.beyond_recovery(diagnosis, reason);
        }
    };
    let entries = match rebuild(&mend, &beside, set, &left, &solution)? {
        Ok(mended) => mended,
        Err(reason) => return mend.beyond_recovery(diagnosis, reason),
    };
    let (entries, fixity) = entries;
    diagnosis.taken = mend.taken();
    let how = How::ByRecoveryData;
    Ok(Mending { diagnosis, outcome: Outcome::Mended { at: mend.out, how, entries, fixity } })
}

/// A mending under way.
struct Mend<'a> {
    request: &'a Request<'a>,
    /// Where the mended bundle goes.
    out: PathBuf,
    is_there: bool,
    /// What other places hold of it, if any were named.
    refill: Option<Refill>,
}

impl Mend<'_> {
    /// The zip that is read: the damaged one, or its copy into which files of other places were put back.
    fn zip(&self) -> &Path {
        let refilled = self.refill.as_ref().and_then(|refill| refill.zip.as_ref());
        refilled.map_or(self.request.bundle, |zip| zip.path())
    }

    fn is_refilled(&self) -> bool {
        self.refill.as_ref().is_some_and(|refill| refill.zip.is_some())
    }

    fn taken(&self) -> BTreeMap<String, PathBuf> {
        self.refill.as_ref().map(|refill| refill.taken.clone()).unwrap_or_default()
    }

    /// Mends without recovery data: the bundle may be whole all the same, or so once files of other places were put back.
    fn without_set(
        mut self,
        beside: &Beside,
        mut diagnosis: Diagnosis,
    ) -> Result<Mending, BundleError> {
        let progress = self.request.progress;
        let found = Bundle::open(self.zip()).and_then(|bundle| fixity(&bundle, progress));
        if let Ok(fixity) = found
            && fixity.is_whole()
        {
            diagnosis.taken = self.taken();
            let refilled = self.refill.as_mut().and_then(|refill| refill.zip.take());
            let outcome = match refilled {
                None => Outcome::Whole(fixity),
                Some(zip) => self.put_in_place(zip, How::PutBack, Ok(fixity))?,
            };
            return Ok(Mending { diagnosis, outcome });
        }
        let reason = if beside.sets.is_empty() {
            "there is no usable recovery data beside it".to_string()
        } else {
            let names: Vec<String> = beside.sets.iter().map(Set::name).collect();
            format!("the recovery data beside it belongs to something else: {}", names.join(", "))
        };
        self.beyond_recovery(diagnosis, reason)
    }

    /// Puts the bundle together from whole files where recovery data does not mend it and there is a copy of every one;
    /// else salvages.
    fn beyond_recovery(
        mut self,
        mut diagnosis: Diagnosis,
        reason: String,
    ) -> Result<Mending, BundleError> {
        let (bundle, out) = (self.request.bundle, self.out.clone());
        if let Some(refill) = &mut self.refill {
            match refill.lacking() {
                Some(lacking) if lacking.is_empty() => {
                    let zip = refill.put_together(bundle, &out)?;
                    let fixity = Bundle::open(zip.path())
                        .and_then(|bundle| fixity(&bundle, self.request.progress));
                    diagnosis.taken = self.taken();
                    let outcome = self.put_in_place(zip, How::PutTogether, fixity)?;
                    return Ok(Mending { diagnosis, outcome });
                }
                Some(lacking) => {
                    let first = first_few(lacking.iter().map(ToString::to_string), ", ");
                    let count = lacking.len();
                    diagnosis.notes.push(format!(
                        "{count} files of the bundle are whole in none of the places: {first}"
                    ));
                }
                None => {}
            }
        }
        diagnosis.taken = self.taken();
        let to = self
            .request
            .salvage_to
            .map_or_else(|| with_suffix(bundle, "-salvaged"), Path::to_path_buf);
        let salvaged = self.is_there.then(|| salvage(self.zip(), &to));
        Ok(Mending { diagnosis, outcome: Outcome::Beyond { reason, salvaged } })
    }

    fn put_in_place(
        &self,
        zip: NamedTempFile,
        how: How,
        fixity: Result<Fixity, BundleError>,
    ) -> Result<Outcome, BundleError> {
        let at = self.out.clone();
        zip.persist_noclobber(&at)
            .map_err(|error| BundleError::io(&at, "can't be put in its place", &error.error))?;
        safely::flush_folder(folder_of(&at));
        let entries = self.taken().into_keys().collect();
        Ok(Outcome::Mended { at, how, entries, fixity })
    }
}

fn summary(file: &RecoveryFile) -> (PathBuf, bool, usize) {
    (file.path.clone(), file.is_whole(), file.slices)
}

/// Another name in the same folder: `NAME.zip` becomes `NAME` with the suffix.
fn with_suffix(bundle: &Path, suffix: &str) -> PathBuf {
    let stem = bundle.file_stem().unwrap_or_default().to_string_lossy();
    bundle.with_file_name(format!("{stem}{suffix}"))
}

/// The set that the bundle is of, and what is left of it: by name; or, under another name, by content.
fn choose<'a>(beside: &'a Beside, mend: &Mend<'_>) -> Result<Option<(&'a Set, Left)>, BundleError> {
    let (request, is_there) = (mend.request, mend.is_there);
    let look = |set: &'a Set| -> Result<(&'a Set, Left), BundleError> {
        let left = if is_there {
            locate::locate(mend.zip(), set, request.progress)
                .map_err(|error| BundleError::io(request.bundle, "can't be read", &error))?
        } else {
            Left::nothing(set)
        };
        Ok((set, left))
    };
    let (named, others): (Vec<&Set>, Vec<&Set>) =
        beside.sets.iter().partition(|set| is_named(set, request.bundle));
    // Of several, the one that lacks the fewest slices.
    let short = |(set, left): &(&Set, Left)| {
        (left.missing().len().saturating_sub(set.recovery.len()), left.missing().len())
    };
    let best = |sets: Vec<&'a Set>| -> Result<Option<(&'a Set, Left)>, BundleError> {
        let tried: Result<Vec<_>, _> = sets.into_iter().take(MOST_TRIED).map(look).collect();
        let known = tried?.into_iter().filter(|(set, left)| {
            is_named(set, request.bundle) || left.missing().len() < left.places.len()
        });
        Ok(known.min_by_key(short))
    };
    match best(named)? {
        Some(found) => Ok(Some(found)),
        None if is_there => best(others),
        None => Ok(None),
    }
}

/// Why a bundle can't be mended, if it can't.
fn beyond(set: &Set, left: &Left, beside: &Beside) -> Option<String> {
    let (missing, recovery) = (left.missing().len(), set.recovery.len());
    if missing > recovery {
        return Some(format!(
            "{missing} of {} slices are missing or damaged, and there are {recovery} recovery slices",
            set.checksums.len()
        ));
    }
    if missing.saturating_mul(set.checksums.len()) > MOST_COEFFICIENTS {
        return Some(format!(
            "{missing} of {} slices are missing, more than this program solves for (missing slices times all \
             slices may be at most {MOST_COEFFICIENTS}): use the command par2",
            set.checksums.len()
        ));
    }
    // Every slice comes from bytes that are there, or equals one that does.
    let recovery_bytes: u64 = beside.found.files.iter().map(|file| file.size).sum();
    let believed =
        left.size.saturating_add(recovery_bytes).saturating_mul(2).saturating_add(1 << 20);
    (set.file.size > believed).then(|| {
        format!(
            "its description states {} bytes, more than what is left can restore",
            set.file.size
        )
    })
}

/// Why there is no solution, in a sentence.
fn unsolved(why: Unsolved, missing: usize) -> String {
    match why {
        Unsolved::TooMuch(products) => format!(
            "solving for {missing} missing slices, with so many recovery slices lost, would take about {} billion \
             products, and this program stops at {} billion: use the command par2",
            products / 1_000_000_000,
            MOST_PRODUCTS / 1_000_000_000
        ),
        Unsolved::Undetermined => {
            "the recovery slices that there are do not determine the missing ones".to_string()
        }
    }
}

type Rebuilt = (Vec<String>, Result<Fixity, BundleError>);

/// Writes the mended bundle, proves it and puts it in its place; or says why it came out wrong.
fn rebuild(
    mend: &Mend<'_>,
    beside: &Beside,
    set: &Set,
    left: &Left,
    solution: &Solution,
) -> Result<Result<Rebuilt, String>, BundleError> {
    let (request, out) = (mend.request, mend.out.as_path());
    let staging = StagingDir::beside(out)?;
    let mut file = safely::temporary(&staging)?;
    let (found, to) = (&beside.found, file.as_file_mut());
    repair::repair(mend.zip(), left, set, found, solution, to, request.progress)
        .map_err(|error| BundleError::io(out, "can't be written", &error))?;
    safely::flush(&staging, &file)?;
    let as_described = repair::is_as_described(file.path(), set, request.progress)
        .map_err(|error| BundleError::io(out, "can't be read back", &error))?;
    if !as_described {
        let reason = "the result is not what the recovery data describes: that data contradicts itself, or \
                      something changed while it was read";
        return Ok(Err(reason.to_string()));
    }
    let bundle = Bundle::open(file.path());
    let entries = bundle
        .as_ref()
        .map(|bundle| damaged_entries(bundle, mend.zip(), set, left))
        .unwrap_or_default();
    let entries: BTreeSet<String> = entries.into_iter().chain(mend.taken().into_keys()).collect();
    let entries = entries.into_iter().collect();
    let fixity = bundle.and_then(|bundle| fixity(&bundle, request.progress));
    file.persist_noclobber(out)
        .map_err(|error| BundleError::io(out, "can't be put in its place", &error.error))?;
    safely::flush_folder(folder_of(out));
    Ok(Ok((entries, fixity)))
}

/// The entries whose bytes are not in the damaged file where the slices around them place them.
fn damaged_entries(mended: &Bundle, damaged: &Path, set: &Set, left: &Left) -> Vec<String> {
    let out_of_place = left.out_of_place(set);
    let touched = |from: u64, to: u64| {
        let first = out_of_place.partition_point(|number| (*number as u64 + 1) * set.slice <= from);
        out_of_place.get(first).is_some_and(|number| (*number as u64 * set.slice) < to)
    };
    let files = plain::file(&mended.at).and_then(|mended| Ok((mended, plain::file(damaged)?))).ok();
    let survives = |from: u64, to: u64| {
        files.as_ref().is_some_and(|(mended, damaged)| {
            left.offsets_around(set, from, to).into_iter().any(|offset| {
                let moved_to = from.checked_add_signed(offset);
                moved_to.is_some_and(|start| {
                    same_bytes((mended, from), (damaged, start), to - from).unwrap_or(false)
                })
            })
        })
    };
    let entries =
        mended.stretches().filter(|(_, from, to)| touched(*from, *to) && !survives(*from, *to));
    entries.map(|(path, _, _)| path.to_string()).collect()
}

/// Whether `count` bytes from an offset in each of two files are the same.
fn same_bytes(
    (mut one, at): (&File, u64),
    (mut other, start): (&File, u64),
    count: u64,
) -> io::Result<bool> {
    one.seek(SeekFrom::Start(at))?;
    other.seek(SeekFrom::Start(start))?;
    let (mut a, mut b) = (vec![0; CHUNK], vec![0; CHUNK]);
    let mut left = count;
    while left > 0 {
        let part = left.min(CHUNK as u64) as usize;
        one.read_exact(&mut a[..part])?;
        other.read_exact(&mut b[..part])?;
        if a[..part] != b[..part] {
            return Ok(false);
        }
        left -= part as u64;
    }
    Ok(true)
}
