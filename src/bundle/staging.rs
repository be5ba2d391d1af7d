//! Staging folders: hidden folders in which files are made before they are moved to their places beside it. They are
//! removed when the run ends.
//!
//! A file in it stays locked as long as the run lives. However a process ends, the system then releases its locks: a
//! staging folder without a lock was left by a run that was killed, and the next run that works in that place removes
//! it. Where a file system has no locks, nothing is removed. Where locks are not seen by other machines and two of them
//! write to one folder at once, a run may lose its staging folder to the other; it then reports that, and nothing
//! half-written gets a final name.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};

use super::error::BundleError;

/// The name of the locked file.
const LOCK_FILE: &str = "held";
/// How the name of a staging folder begins and ends. It is hidden, and so no part of a project.
const PREFIX: &str = ".lastdock-";
const SUFFIX: &str = ".part";
/// How often another run may remove a new staging folder before its lock is taken.
const TRIES: usize = 16;

/// A hidden folder that one run works in.
#[derive(Debug)]
pub struct StagingDir {
    path: PathBuf,
    around: PathBuf,
    /// Folders that were made for it, the innermost first.
    made: Vec<PathBuf>,
    lock: Option<File>,
}

impl StagingDir {
    /// A staging folder in a folder that may have to be made; what was made is removed again if nothing is put there.
    /// Removes what killed runs left there.
    pub fn making(around: &Path) -> Result<Self, BundleError> {
        let missing: Vec<PathBuf> = around
            .ancestors()
            .take_while(|folder| !folder.as_os_str().is_empty() && !folder.exists())
            .map(Path::to_path_buf)
            .collect();
        fs::create_dir_all(around)
            .map_err(|error| BundleError::io(around, "can't be made", &error))?;
        let mut staging = Self::inside(around).inspect_err(|_| remove_made(&missing))?;
        staging.made = missing;
        Ok(staging)
    }

    /// A staging folder in an existing folder. Removes what killed runs left there.
    pub fn inside(around: &Path) -> Result<Self, BundleError> {
        let failed = |error: &io::Error| BundleError::io(around, "can't be written to", error);
        remove_stale(around);
        for _ in 0..TRIES {
            let mut named = tempfile::Builder::new();
            let kept = named
                .prefix(PREFIX)
                .suffix(SUFFIX)
                .make_in(around, make_private)
                .and_then(|made| Ok(made.into_temp_path().keep()?));
            let path = kept.map_err(|error| failed(&error))?;
            match take_lock(&path) {
                Ok(None) => {
                    let _ = fs::remove_dir(&path);
                }
                Ok(Some(lock)) => {
                    let around = around.to_path_buf();
                    return Ok(Self { path, around, made: Vec::new(), lock: Some(lock) });
                }
                Err(error) => {
                    let _ = fs::remove_dir_all(&path);
                    return Err(failed(&error));
                }
            }
        }
        let wrong = "can't be written to: whatever is made there is removed at once";
        Err(BundleError::new(around, wrong, "stop whatever program cleans it up, then run again"))
    }

    /// A staging folder beside a file or folder that is to be made; the folder around it must exist.
    pub fn beside(place: &Path) -> Result<Self, BundleError> {
        Self::inside(folder_of(place))
    }

    /// The staging folder itself.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The folder around it, by the name that the user gave, for messages.
    pub fn around(&self) -> &Path {
        &self.around
    }
}

impl Drop for StagingDir {
    fn drop(&mut self) {
        if let Some(lock) = self.lock.take() {
            remove(&self.path, lock);
        }
        remove_made(&self.made);
    }
}

/// Makes a folder that only its owner can read.
fn make_private(path: &Path) -> io::Result<()> {
    #[allow(unused_mut)]
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::DirBuilderExt;
        builder.mode(0o700);
    }
    builder.create(path)
}

/// The folder that a file or folder stands in.
pub fn folder_of(place: &Path) -> &Path {
    match place.parent() {
        Some(around) if !around.as_os_str().is_empty() => around,
        _ => Path::new("."),
    }
}

/// Makes and locks the lock file; `None` if another run took the folder for an abandoned one.
fn take_lock(path: &Path) -> io::Result<Option<File>> {
    let place = path.join(LOCK_FILE);
    let lock = match File::create_new(&place) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        made => made?,
    };
    match lock.try_lock() {
        Err(TryLockError::WouldBlock) => Ok(None),
        // Without locks no run can take it for an abandoned one either.
        Ok(()) | Err(TryLockError::Error(_)) => Ok(place.exists().then_some(lock)),
    }
}

/// Removes the staging folders of runs that were killed.
fn remove_stale(around: &Path) {
    let Ok(entries) = fs::read_dir(around) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let named =
            name.to_str().is_some_and(|name| name.starts_with(PREFIX) && name.ends_with(SUFFIX));
        if named && entry.file_type().is_ok_and(|sort| sort.is_dir()) {
            remove_if_abandoned(&entry.path());
        }
    }
}

fn remove_if_abandoned(left: &Path) {
    let lock = left.join(LOCK_FILE);
    if !lock.symlink_metadata().is_ok_and(|metadata| metadata.is_file()) {
        // It is being made or removed: remove it only if it is empty.
        let _ = fs::remove_dir(left);
        return;
    }
    let Ok(lock) = OpenOptions::new().write(true).open(lock) else { return };
    if lock.try_lock().is_ok() {
        remove(left, lock);
    }
}

/// Removes a staging folder. The lock file goes last, once nothing else is left, so that a run killed meanwhile leaves
/// a folder that can be recognised; and it is still locked then, so that whoever locks it next finds it gone.
fn remove(path: &Path, lock: File) {
    let mut emptied = true;
    for entry in fs::read_dir(path).into_iter().flatten().flatten() {
        if entry.file_name() != LOCK_FILE {
            let folder = entry.file_type().is_ok_and(|sort| sort.is_dir());
            let remove = if folder { fs::remove_dir_all } else { fs::remove_file };
            emptied &= remove(entry.path()).is_ok();
        }
    }
    if emptied {
        let _ = fs::remove_file(path.join(LOCK_FILE));
    }
    drop(lock);
    let _ = fs::remove_dir(path);
}

/// Removes folders that are empty, the innermost first.
fn remove_made(made: &[PathBuf]) {
    let _ = made.iter().try_for_each(fs::remove_dir);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry"));
        entries.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect()
    }

    /// What a killed run leaves: everything is there, nothing is locked.
    fn left(around: &Path, name: &str) -> PathBuf {
        let path = around.join(name);
        fs::create_dir_all(path.join("new/plan")).expect("folders");
        fs::write(path.join("new/plan/blocks.csv"), "half").expect("a file");
        fs::write(path.join(LOCK_FILE), "").expect("a file");
        path
    }

    #[test]
    fn it_goes_with_all_that_is_in_it() {
        let around = tempfile::tempdir().expect("a folder");
        let staging = StagingDir::inside(around.path()).expect("a staging folder");
        fs::create_dir(staging.path().join("new")).expect("a folder");
        fs::write(staging.path().join("new/a"), "a").expect("a file");
        assert_eq!(names(around.path()).len(), 1);
        drop(staging);
        assert!(names(around.path()).is_empty());
    }

    #[test]
    fn what_was_left_is_removed_and_what_is_locked_is_not() {
        let around = tempfile::tempdir().expect("a folder");
        let alive = StagingDir::inside(around.path()).expect("a staging folder");
        fs::write(alive.path().join("a"), "a").expect("a file");
        left(around.path(), ".lastdock-abcdef.part");
        fs::create_dir(around.path().join(".lastdock-ghijkl.part")).expect("an empty one");
        let kept = [".lastdock-notes", "lastdock-abcdef.part", ".lastdock-mnopqr.part"];
        left(around.path(), kept[0]);
        left(around.path(), kept[1]);
        fs::write(around.path().join(kept[2]), "a file of this name").expect("a file");

        let other = StagingDir::inside(around.path()).expect("another");
        assert_eq!(fs::read(alive.path().join("a")).expect("still there"), b"a");
        let mut wanted: Vec<String> = kept.iter().map(|name| name.to_string()).collect();
        for staging in [&alive, &other] {
            let name = staging.path().file_name().expect("a name");
            wanted.push(name.to_string_lossy().into_owned());
        }
        let mut found = names(around.path());
        found.sort();
        wanted.sort();
        assert_eq!(found, wanted);
    }

    #[test]
    fn a_folder_that_is_not_empty_and_not_locked_stays() {
        let around = tempfile::tempdir().expect("a folder");
        let path = left(around.path(), ".lastdock-abcdef.part");
        fs::remove_file(path.join(LOCK_FILE)).expect("to remove it");
        drop(StagingDir::inside(around.path()).expect("a staging folder"));
        assert!(path.join("new/plan/blocks.csv").is_file());
    }

    #[cfg(unix)]
    #[test]
    fn nothing_outside_is_reached_through_links() {
        let around = tempfile::tempdir().expect("a folder");
        let elsewhere = tempfile::tempdir().expect("a folder");
        let target = left(elsewhere.path(), "target");
        let link = around.path().join(".lastdock-abcdef.part");
        std::os::unix::fs::symlink(&target, &link).expect("a link");
        let path = left(around.path(), ".lastdock-ghijkl.part");
        std::os::unix::fs::symlink(&target, path.join("linked")).expect("a link");
        drop(StagingDir::inside(around.path()).expect("a staging folder"));
        assert!(!path.exists() && link.is_symlink());
        assert!(target.join("new/plan/blocks.csv").is_file());
    }

    #[test]
    fn folders_made_for_it_go_again_unless_something_stands_in_them() {
        let root = tempfile::tempdir().expect("a folder");
        let around = root.path().join("a/b");
        drop(StagingDir::making(&around).expect("a staging folder"));
        assert!(names(root.path()).is_empty());
        let staging = StagingDir::making(&around).expect("a staging folder");
        fs::write(around.join("kept"), "").expect("a file");
        drop(staging);
        assert_eq!(names(&around), ["kept"]);
        drop(StagingDir::making(&around).expect("a staging folder"));
        assert_eq!(names(&around), ["kept"]);
    }

    /// Many at once, each tidying: none loses its staging folder once it has it.
    #[test]
    fn many_at_once_leave_each_other_alone() {
        let around = tempfile::tempdir().expect("a folder");
        std::thread::scope(|scope| {
            for thread in 0..8 {
                let around = around.path();
                scope.spawn(move || {
                    for turn in 0..50 {
                        let staging = StagingDir::making(around).expect("a staging folder");
                        let file = staging.path().join("a");
                        fs::write(&file, format!("{thread} {turn}")).expect("to write");
                        std::thread::yield_now();
                        let read = fs::read_to_string(&file).expect("still there");
                        assert_eq!(read, format!("{thread} {turn}"));
                    }
                });
            }
        });
        assert!(names(around.path()).is_empty());
    }
}
