//! Writing safely: under a temporary name, counted, flushed, read back and held against what was meant,
//! renamed, the folder flushed. Reading back goes through the system, which may answer from its memory
//! what the medium has already lost: no program can rule that out.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::digest::{self, Digests};
use super::error::BundleError;

/// A new file under a temporary name, in the folder in which it is to stand. It goes away unless it is put
/// in its place.
pub fn temporary(folder: &Path) -> Result<NamedTempFile, BundleError> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".lastdock-").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o644));
    }
    builder
        .tempfile_in(folder)
        .map_err(|error| BundleError::io(folder, "can't be written to", &error))
}

/// A file with these bytes, flushed and read back, not yet in its place.
pub fn filled(folder: &Path, bytes: &[u8]) -> Result<NamedTempFile, BundleError> {
    let mut file = temporary(folder)?;
    file.write_all(bytes)
        .map_err(|error| BundleError::io(folder, "can't be written to", &error))?;
    flush(&file)?;
    if read_back(file.path())? != digest::of(bytes) {
        return Err(not_as_meant(file.path(), "its checksum"));
    }
    Ok(file)
}

/// Has the medium take in all that was written.
pub fn flush(file: &NamedTempFile) -> Result<(), BundleError> {
    file.as_file()
        .sync_all()
        .map_err(|error| BundleError::io(file.path(), "can't be written", &error))
}

/// What was written is not what is read back.
pub fn not_as_meant(at: &Path, what: &str) -> BundleError {
    BundleError::new(
        at,
        format!("what was written is not what was meant: {what}"),
        "let nobody write to the folders, see to the disk, then run again",
    )
}

/// What is read back of a file.
pub fn read_back(path: &Path) -> Result<Digests, BundleError> {
    File::open(path)
        .and_then(|file| digest::copy(file, io::sink(), &|_| {}))
        .map_err(|error| BundleError::io(path, "can't be read", &error))
}

/// A finished file and where it is to stand.
pub struct Finished {
    /// The file, flushed and verified.
    pub file: NamedTempFile,
    /// Its place.
    pub place: PathBuf,
}

impl Finished {
    /// How it compares with what stands in its place: `None` if nothing does, else whether it is the same.
    fn same(&self) -> Result<Option<bool>, BundleError> {
        if !self.place.exists() {
            return Ok(None);
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

/// Puts files in their places in this order, and then takes away those of `left_over`, which belong to
/// what is replaced. Where all are there already and the same, and nothing is left over, nothing is done
/// and the result is false. Unless `replace` is set, a file that differs is refused, and nothing is done.
pub fn put_in_place(
    files: Vec<Finished>,
    left_over: &[PathBuf],
    replace: bool,
) -> Result<bool, Vec<BundleError>> {
    let mut differing: Vec<&Path> = left_over.iter().map(PathBuf::as_path).collect();
    let mut same = Vec::new();
    for file in &files {
        let found = file.same().map_err(|error| vec![error])?;
        if found == Some(false) {
            differing.push(&file.place);
        }
        same.push(found == Some(true));
    }
    if differing.is_empty() && same.iter().all(|same| *same) {
        return Ok(false);
    }
    if !replace && !differing.is_empty() {
        return Err(differing.into_iter().map(refused).collect());
    }
    let folders: std::collections::BTreeSet<PathBuf> =
        files.iter().filter_map(|file| file.place.parent().map(Path::to_path_buf)).collect();
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
            .map_err(|error| vec![BundleError::io(path, "can't be taken away", &error)])?;
    }
    folders.iter().for_each(|folder| flush_folder(folder));
    Ok(true)
}

fn refused(place: &Path) -> BundleError {
    BundleError::new(
        place,
        "is there already and differs from what this project gives now",
        "move it away, or name another folder with --out, or say --replace",
    )
}

/// Has the medium take in the folder's own entries. Not every system can; where it can't, a rename is as
/// safe as it gets.
pub fn flush_folder(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}
