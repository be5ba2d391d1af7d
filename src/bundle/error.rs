//! Why a bundle could not be written or read.

use std::fmt;
use std::io::{self, ErrorKind};
use std::path::Path;

use crate::records::characters::shown;

/// One failure: where, what, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BundleError {
    /// The file or folder that it concerns.
    pub at: String,
    /// What went wrong.
    pub wrong: String,
    /// What to do.
    pub advice: String,
}

impl BundleError {
    /// A failure at a path.
    pub fn new(at: impl AsRef<Path>, wrong: impl Into<String>, advice: impl Into<String>) -> Self {
        Self { at: at.as_ref().display().to_string(), wrong: wrong.into(), advice: advice.into() }
    }

    /// Reading or writing failed.
    pub fn io(at: impl AsRef<Path>, doing: &str, error: &io::Error) -> Self {
        let advice = match error.kind() {
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
                "make room on the disk, or name another folder, then run again"
            }
            ErrorKind::FileTooLarge => {
                "name a folder on a disk that takes files this large, and check the limit on file sizes (ulimit -f)"
            }
            ErrorKind::PermissionDenied => "check the permissions, or name another folder",
            ErrorKind::ResourceBusy => {
                "make sure that no other program is writing to it, then run again"
            }
            ErrorKind::ReadOnlyFilesystem => "name a folder that can be written to",
            ErrorKind::NotFound => "check the name, and that the file is still there",
            _ => "check the file and the medium that it is on, then run again",
        };
        // Some errors wrap the system's message in text of their own, with paths of temporary files.
        let inner = error.get_ref().and_then(|outer| outer.source());
        let system = inner.and_then(|inner| inner.downcast_ref::<io::Error>()).unwrap_or(error);
        Self::new(at, format!("{doing}: {system}"), advice)
    }

    /// The same failure, reported at another place: for a temporary file, the folder that the user named.
    pub fn reported_at(self, at: &Path) -> Self {
        Self { at: at.display().to_string(), ..self }
    }
}

/// How many of a list's items a message names.
const MOST_NAMED: usize = 8;

/// The first few of some items, and how many more there are.
pub fn first_few(items: impl ExactSizeIterator<Item = String>, separator: &str) -> String {
    let more = items.len().saturating_sub(MOST_NAMED);
    let mut named: Vec<String> = items.take(MOST_NAMED).collect();
    if more > 0 {
        named.push(format!("and {more} more"));
    }
    named.join(separator)
}

impl fmt::Display for BundleError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", shown(&self.at), shown(&self.wrong))?;
        if !self.advice.is_empty() {
            write!(f, "\n    do: {}", self.advice)?;
        }
        Ok(())
    }
}

impl std::error::Error for BundleError {}
