//! Where files are made before they go to their places: a hidden folder beside those places, gone when the
//! run ends.
//!
//! A file in it stays locked as long as the run lives. However a process ends, the system then lets go of
//! its locks: a staging folder that nobody holds was left by a run that was killed, and the next run that works
//! in that folder takes it away. Where a file system has no locks, nothing is taken away. Where one keeps
//! them from other machines, two of which write to one folder at once, a run may lose its staging folder to
//! another; it then says so, and nothing half-written takes a final name.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};

use super::error::BundleError;

/// The file that is locked.
const HELD: &str = "held";
/// What the name of a staging folder begins and ends with; hidden, so that it is no part of a project.
const NAMED: [&str; 2] = [".lastdock-", ".part"];
/// How often a staging folder may be lost to another run's tidying before it is held.
const TRIES: usize = 16;

/// A hidden folder that one run works in.
#[derive(Debug)]
pub struct StagingDir {
    path: PathBuf,
    around: PathBuf,
    /// Folders that were made for it, the innermost first.
    made: Vec<PathBuf>,
    held: Option<File>,
}

impl StagingDir {
    /// A staging folder in a folder, which is made where it is not there yet; it goes again if nothing comes to
    /// stand in it. What killed runs left there is taken away.
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

    /// A staging folder in a folder that is there. What killed runs left there is taken away.
    pub fn inside(around: &Path) -> Result<Self, BundleError> {
        let failed = |error: &io::Error| BundleError::io(around, "can't be written to", error);
        remove_stale(around);
        for _ in 0..TRIES {
            let [start, end] = NAMED;
            let named = tempfile::Builder::new().prefix(start).suffix(end).make_in(around, private);
            let kept = named.and_then(|made| Ok(made.into_temp_path().keep()?));
            let path = kept.map_err(|error| failed(&error))?;
            match hold(&path) {
                Ok(None) => {
                    let _ = fs::remove_dir(&path);
                }
                Ok(Some(held)) => {
                    let around = around.to_path_buf();
                    return Ok(Self { path, around, made: Vec::new(), held: Some(held) });
                }
                Err(error) => {
                    let _ = fs::remove_dir_all(&path);
                    return Err(failed(&error));
                }
            }
        }
        let wrong = "can't be written to: what is made there is taken away at once";
        Err(BundleError::new(around, wrong, "let no other program tidy it up, then run again"))
    }

    /// A staging folder beside a file or folder that is to be made. The folder around it is there.
    pub fn beside(place: &Path) -> Result<Self, BundleError> {
        Self::inside(folder_of(place))
    }

    /// The staging folder itself.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The folder that it stands in, as it was named: what errors speak of.
    pub fn around(&self) -> &Path {
        &self.around
    }
}

impl Drop for StagingDir {
    fn drop(&mut self) {
        if let Some(held) = self.held.take() {
            remove(&self.path, held);
        }
        remove_made(&self.made);
    }
}

/// Makes a folder that is nobody else's business.
fn private(path: &Path) -> io::Result<()> {
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

/// Makes the file that is locked; `None` if another run took the folder for one that was left.
fn hold(path: &Path) -> io::Result<Option<File>> {
    let place = path.join(HELD);
    let held = match File::create_new(&place) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        made => made?,
    };
    match held.try_lock() {
        Err(TryLockError::WouldBlock) => Ok(None),
        // Where there are no locks, no run can take it for one that was left either.
        Ok(()) | Err(TryLockError::Error(_)) => Ok(place.exists().then_some(held)),
    }
}

/// Takes away the staging folders of runs that were killed.
fn remove_stale(around: &Path) {
    let Ok(entries) = fs::read_dir(around) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let named = name.to_str().is_some_and(|name| {
            let [start, end] = NAMED;
            name.starts_with(start) && name.ends_with(end)
        });
        if named && entry.file_type().is_ok_and(|sort| sort.is_dir()) {
            remove_if_left(&entry.path());
        }
    }
}

fn remove_if_left(left: &Path) {
    let held = left.join(HELD);
    if !held.symlink_metadata().is_ok_and(|metadata| metadata.is_file()) {
        // Just being made, or all but gone: only if nothing is in it.
        let _ = fs::remove_dir(left);
        return;
    }
    let Ok(held) = OpenOptions::new().write(true).open(held) else { return };
    if held.try_lock().is_ok() {
        remove(left, held);
    }
}

/// Takes a staging folder away. The locked file goes last, and only once nothing else is left, so that whoever is
/// killed meanwhile leaves what can be told; and still locked, so that whoever comes to hold it next finds it
/// gone.
fn remove(path: &Path, lock: File) {
    let mut emptied = true;
    for entry in fs::read_dir(path).into_iter().flatten().flatten() {
        if entry.file_name() != HELD {
            let folder = entry.file_type().is_ok_and(|sort| sort.is_dir());
            let remove = if folder { fs::remove_dir_all } else { fs::remove_file };
            emptied &= remove(entry.path()).is_ok();
        }
    }
    if emptied {
        let _ = fs::remove_file(path.join(HELD));
    }
    drop(lock);
    let _ = fs::remove_dir(path);
}

/// Takes away folders that are empty, the innermost first.
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

    /// What a killed run leaves: everything is there, nobody holds it.
    fn left(around: &Path, name: &str) -> PathBuf {
        let path = around.join(name);
        fs::create_dir_all(path.join("new/plan")).expect("folders");
        fs::write(path.join("new/plan/blocks.csv"), "half").expect("a file");
        fs::write(path.join(HELD), "").expect("a file");
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
    fn what_was_left_is_taken_away_and_what_is_held_is_not() {
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
    fn a_folder_that_is_not_empty_and_not_held_stays() {
        let around = tempfile::tempdir().expect("a folder");
        let path = left(around.path(), ".lastdock-abcdef.part");
        fs::remove_file(path.join(HELD)).expect("to remove it");
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
