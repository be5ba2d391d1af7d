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
                "name a folder on a disk that takes so large a file, and see to the limits (ulimit -f)"
            }
            ErrorKind::PermissionDenied => "see to the permissions, or name another folder",
            ErrorKind::ResourceBusy => "let nobody write to it meanwhile, then run again",
            ErrorKind::ReadOnlyFilesystem => "name a folder that can be written to",
            ErrorKind::NotFound => "see whether the name is right, and whether it is still there",
            _ => "see to the file and its medium, then run again",
        };
        // Some errors wrap what the system said in words of their own, and in paths that nobody gave.
        let inner = error.get_ref().and_then(|outer| outer.source());
        let system = inner.and_then(|inner| inner.downcast_ref::<io::Error>()).unwrap_or(error);
        Self::new(at, format!("{doing}: {system}"), advice)
    }

    /// The same failure, told of another place: what concerns a file that nobody knows of concerns the
    /// folder that they gave.
    pub fn told_of(self, at: &Path) -> Self {
        Self { at: at.display().to_string(), ..self }
    }
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
