//! Why a bundle could not be written or read.

use std::fmt;
use std::path::Path;

use crate::records::problem::shown;

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
    pub fn io(at: impl AsRef<Path>, doing: &str, error: &std::io::Error) -> Self {
        let advice = match error.kind() {
            std::io::ErrorKind::StorageFull => "make room on the disk, then run again",
            std::io::ErrorKind::PermissionDenied => {
                "see to the permissions, or name another folder"
            }
            std::io::ErrorKind::ReadOnlyFilesystem => "name another folder with --out",
            std::io::ErrorKind::NotFound => "see whether the name is right",
            _ => "see to the file and its medium, then run again",
        };
        Self::new(at, format!("{doing}: {error}"), advice)
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
