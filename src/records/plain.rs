//! Opening files that somebody else may change meanwhile: what is opened is a plain file, is reached by no link, and
//! never makes the program wait.

use std::fs::{File, Metadata, OpenOptions};
use std::io;
use std::path::Path;
#[cfg(not(unix))]
use std::time::{Duration, UNIX_EPOCH};

/// Opens a file that somebody named, through links if its path has any.
pub fn file(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.read(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        // Who opens a pipe otherwise waits until somebody writes to it.
        options.custom_flags(rustix::fs::OFlags::NONBLOCK.bits() as i32);
    }
    plain(options.open(path)?)
}

/// Opens a file by its path inside a folder, `/` between its parts, none of which may be a link.
#[cfg(unix)]
pub fn within(folder: &Path, path: &str) -> io::Result<File> {
    use rustix::fs::{Mode, OFlags, open, openat};
    let to_folder = OFlags::RDONLY | OFlags::DIRECTORY | OFlags::CLOEXEC;
    let mut around = open(folder, to_folder, Mode::empty())?;
    let (folders, name) = path.rsplit_once('/').unwrap_or(("", path));
    for part in folders.split('/').filter(|part| !part.is_empty()) {
        around = openat(&around, part, to_folder | OFlags::NOFOLLOW, Mode::empty())
            .map_err(not_plain)?;
    }
    let flags = OFlags::RDONLY | OFlags::NOFOLLOW | OFlags::NONBLOCK | OFlags::CLOEXEC;
    let file = openat(&around, name, flags | OFlags::NOCTTY, Mode::empty()).map_err(not_plain)?;
    plain(File::from(file))
}

/// A link where a file or a folder is meant, or a socket, which can't be opened.
#[cfg(unix)]
fn not_plain(error: rustix::io::Errno) -> io::Error {
    use rustix::io::Errno;
    match error {
        Errno::LOOP | Errno::MLINK | Errno::NOTDIR | Errno::NXIO => no_plain_file(),
        other => other.into(),
    }
}

/// Opens a file by its path inside a folder, `/` between its parts, none of which may be a link. This system can't
/// be asked for that in one step: a folder that becomes a link between the look and the opening is not noticed.
#[cfg(not(unix))]
pub fn within(folder: &Path, path: &str) -> io::Result<File> {
    let mut at = folder.to_path_buf();
    for part in path.split('/') {
        at.push(part);
        if at.symlink_metadata()?.file_type().is_symlink() {
            return Err(no_plain_file());
        }
    }
    let mut options = OpenOptions::new();
    options.read(true);
    #[cfg(windows)]
    {
        use std::os::windows::fs::OpenOptionsExt;
        // FILE_FLAG_OPEN_REPARSE_POINT: a link itself, which is then no plain file.
        options.custom_flags(0x0020_0000);
    }
    plain(options.open(&at)?)
}

fn plain(file: File) -> io::Result<File> {
    match file.metadata()?.is_file() {
        true => Ok(file),
        false => Err(no_plain_file()),
    }
}

fn no_plain_file() -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, "is a link or not a regular file")
}

/// Whether the system itself failed, which proves nothing about the file.
pub fn is_of_the_system(error: &io::Error) -> bool {
    error.raw_os_error().is_some() && error.kind() != io::ErrorKind::NotFound
}

/// What tells whether a file is the same, and as it was, without reading it: who writes to it, or puts another in its
/// place, changes something of this, as far as the clock of the file system is fine enough to tell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    bytes: u64,
    /// Device and number; the times of the last change to its bytes, and of the last of whatever sort, in seconds and
    /// nanoseconds.
    #[cfg(unix)]
    own: [i128; 6],
    /// The time of the last change to its bytes, since 1970.
    #[cfg(not(unix))]
    own: Option<Duration>,
}

impl Stamp {
    /// Built from the file's metadata.
    pub fn new(metadata: &Metadata) -> Self {
        #[cfg(unix)]
        let own = {
            use std::os::unix::fs::MetadataExt;
            let modified = [metadata.mtime(), metadata.mtime_nsec()].map(i128::from);
            let changed = [metadata.ctime(), metadata.ctime_nsec()].map(i128::from);
            let which = [metadata.dev(), metadata.ino()].map(i128::from);
            [which[0], which[1], modified[0], modified[1], changed[0], changed[1]]
        };
        #[cfg(not(unix))]
        let own = metadata.modified().ok().and_then(|time| time.duration_since(UNIX_EPOCH).ok());
        Self { bytes: metadata.len(), own }
    }

    /// Whether a file that has been open all the time has the bytes that it had then: it may have been renamed, or
    /// linked to, meanwhile.
    pub fn has_bytes_of(&self, then: &Stamp) -> bool {
        #[cfg(unix)]
        let same_time = self.own[2..4] == then.own[2..4];
        #[cfg(not(unix))]
        let same_time = self.own == then.own;
        self.bytes == then.bytes && same_time
    }
}
