//! Writing safely: files are written in a staging folder, counted, flushed, read back and compared, then moved to
//! their places, and the folder is flushed. Reading back goes through the system, which may answer from its memory
//! what the medium has already lost: no program can rule that out.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;
use walkdir::WalkDir;

use super::digest::{self, Digests};
use super::error::BundleError;
use super::staging::{StagingDir, folder_of};
use crate::records::plain;

/// A new file in a staging folder, deleted on drop unless it is moved to its place.
pub fn temporary(staging: &StagingDir) -> Result<NamedTempFile, BundleError> {
    let mut options = File::options();
    options.read(true).write(true).create_new(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o644);
    }
    tempfile::Builder::new()
        .make_in(staging.path(), |path| options.open(path))
        .map_err(|error| unwritten(staging, &error))
}

/// A file with these bytes, flushed and read back, not yet in its place.
pub fn filled(staging: &StagingDir, bytes: &[u8]) -> Result<NamedTempFile, BundleError> {
    let mut file = temporary(staging)?;
    file.as_file_mut().write_all(bytes).map_err(|error| unwritten(staging, &error))?;
    flush(staging, &file)?;
    if read_back(file.path())? != digest::digests(bytes) {
        return Err(not_as_written(staging.around(), "the checksum of a file"));
    }
    Ok(file)
}

/// Makes sure that everything written is on the medium.
pub fn flush(staging: &StagingDir, file: &NamedTempFile) -> Result<(), BundleError> {
    file.as_file().sync_all().map_err(|error| unwritten(staging, &error))
}

/// The error for a failed write in a staging folder. It names the folder around it, which the user knows.
pub fn unwritten(staging: &StagingDir, error: &io::Error) -> BundleError {
    BundleError::io(staging.around(), "can't be written to", error)
}

/// The error for written data that reads back differently.
pub fn not_as_written(at: &Path, what: &str) -> BundleError {
    BundleError::new(
        at,
        format!("what was read back is not what was written: {what}"),
        "make sure that nothing else writes there, check the disk, then run again",
    )
}

/// What is read back of a file.
pub fn read_back(path: &Path) -> Result<Digests, BundleError> {
    plain::file(path)
        .and_then(|file| digest::copy(file, io::sink(), &|_| {}))
        .map_err(|error| BundleError::io(path, "can't be read", &error))
}

/// A finished file and where it is to stand.
pub struct Finished {
    /// The file, flushed and verified.
    pub file: NamedTempFile,
    /// Its place, in the folder that the staging folder stands in.
    pub place: PathBuf,
}

impl Finished {
    /// Whether what is at its place is the same; `None` if nothing is there. A folder there is an error.
    fn same(&self) -> Result<Option<bool>, BundleError> {
        match self.place.symlink_metadata() {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(BundleError::io(&self.place, "can't be read", &error)),
            Ok(metadata) if metadata.is_dir() => {
                let wrong = "is a folder where a file must go; nothing was replaced";
                let advice = "move it away, or name another folder with --out";
                return Err(BundleError::new(&self.place, wrong, advice));
            }
            // A link is replaced itself, not what it leads to; a pipe must not be waited for.
            Ok(metadata) if !metadata.is_file() => return Ok(Some(false)),
            Ok(_) => {}
        }
        let here = |path: &Path| {
            let size = path.metadata().map(|metadata| metadata.len());
            size.map_err(|error| BundleError::io(path, "can't be read", &error))
        };
        if here(self.file.path())? != here(&self.place)? {
            return Ok(Some(false));
        }
        Ok(Some(read_back(self.file.path())? == read_back(&self.place)?))
    }
}

/// Writes one file at its place, whole or not at all. Unless `replace` is set, one that is there and differs is an
/// error.
pub fn write_alone(place: &Path, bytes: &[u8], replace: bool) -> Result<(), Vec<BundleError>> {
    let one = |error| vec![error];
    let staging = StagingDir::beside(place).map_err(one)?;
    let file = filled(&staging, bytes).map_err(one)?;
    put_in_place(vec![Finished { file, place: place.to_path_buf() }], &[], replace).map(|_| ())
}

/// Moves files to their places in this order, then removes those of `left_over`, which belong to what is replaced.
/// Returns false, and changes nothing, if all are there already and the same, and nothing is left over. Unless
/// `replace` is set, a file that differs is an error, and nothing is changed. Runs that write to the same folder wait
/// for each other where the system can lock folders.
pub fn put_in_place(
    files: Vec<Finished>,
    left_over: &[PathBuf],
    replace: bool,
) -> Result<bool, Vec<BundleError>> {
    let folders: BTreeSet<PathBuf> =
        files.iter().map(|file| folder_of(&file.place).to_path_buf()).collect();
    let _locks: Vec<File> = folders.iter().filter_map(|folder| lock(folder)).collect();
    let mut differing: Vec<&Path> = left_over.iter().map(PathBuf::as_path).collect();
    let mut same = Vec::new();
    let mut irreplaceable = Vec::new();
    for file in &files {
        match file.same() {
            Ok(found) => {
                if found == Some(false) {
                    differing.push(&file.place);
                }
                same.push(found == Some(true));
            }
            Err(error) => irreplaceable.push(error),
        }
    }
    for path in left_over {
        if path.symlink_metadata().is_ok_and(|metadata| metadata.is_dir()) {
            let wrong =
                "is a folder where an old file would have to be removed; nothing was replaced";
            irreplaceable.push(BundleError::new(path, wrong, "move it away"));
        }
    }
    if !irreplaceable.is_empty() {
        return Err(irreplaceable);
    }
    if differing.is_empty() && same.iter().all(|same| *same) {
        return Ok(false);
    }
    if !replace && !differing.is_empty() {
        return Err(differing.into_iter().map(refused).collect());
    }
    for (Finished { file, place }, same) in files.into_iter().zip(same) {
        if same {
            continue;
        }
        file.persist(&place).map_err(|error| {
            vec![BundleError::io(&place, "can't be put in its place", &error.error)]
        })?;
    }
    for path in left_over {
        fs::remove_file(path)
            .map_err(|error| vec![BundleError::io(path, "can't be removed", &error)])?;
    }
    folders.iter().for_each(|folder| flush_folder(folder));
    Ok(true)
}

/// Locks a folder against other runs until the result is dropped; `None` where it can't be locked.
fn lock(folder: &Path) -> Option<File> {
    let folder = File::open(folder).ok()?;
    folder.lock().ok()?;
    Some(folder)
}

/// Flushes a finished folder and what is in it, whose files are flushed already, and puts it in its place.
pub fn put_folder_in_place(folder: &Path, place: &Path) -> Result<(), BundleError> {
    for entry in WalkDir::new(folder).into_iter().flatten() {
        if entry.file_type().is_dir() {
            flush_folder(entry.path());
        }
    }
    fs::rename(folder, place)
        .map_err(|error| BundleError::io(place, "can't be put in its place", &error))?;
    flush_folder(folder_of(place));
    Ok(())
}

fn refused(place: &Path) -> BundleError {
    BundleError::new(
        place,
        "is there already and differs from what this project gives now",
        "move it away, or name another folder with --out, or use --replace",
    )
}

/// Makes sure that the folder's own entries are on the medium. Not every system can; there, a rename is the best
/// that can be done.
pub fn flush_folder(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}
