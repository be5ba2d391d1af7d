//! Adding to a record: what stands in the file stays, byte for byte, and the whole is put in its place at once.

use std::fs;
use std::io;
use std::path::Path;

use crate::bundle::error::BundleError;
use crate::bundle::safely::{self, Finished};
use crate::bundle::staging::StagingDir;
use crate::records::plain;
use crate::records::store::{Folder, LARGEST_RECORD_FILE, Store, read_at_most};

/// The bytes of a record as they were when the project was read; `None` where it is not there.
pub fn before(root: &Path, folder: &Folder, file: &str) -> Result<Option<Vec<u8>>, BundleError> {
    if !folder.sizes().contains_key(file) {
        return Ok(None);
    }
    let read = folder.read(file);
    read.map(Some).map_err(|error| BundleError::io(root.join(file), "can't be read", &error))
}

/// Puts `whole` in the place of a record that was `before`, which may be none. Refuses a file that is not writable, or
/// that somebody else has changed meanwhile. `instead` says how to come by the text without writing.
pub fn put(
    root: &Path,
    file: &str,
    before: Option<&[u8]>,
    whole: &[u8],
    instead: &str,
) -> Result<(), Vec<BundleError>> {
    let one = |error| vec![error];
    let path = root.join(file);
    let unread = |error: &io::Error| vec![BundleError::io(&path, "can't be read", error)];
    let permissions = match fs::symlink_metadata(&path) {
        Ok(metadata) => Some(metadata.permissions()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(unread(&error)),
    };
    if permissions.as_ref().is_some_and(fs::Permissions::readonly) {
        let advice = format!("make it writable, or {instead}");
        return Err(one(BundleError::new(&path, "is not writable", advice)));
    }
    let staging = StagingDir::beside(&path).map_err(one)?;
    let filled = safely::filled(&staging, whole).map_err(one)?;
    if let Some(permissions) = permissions {
        filled
            .as_file()
            .set_permissions(permissions)
            .map_err(|error| one(safely::unwritten(&staging, &error)))?;
    }
    let again = plain::file(&path).and_then(|file| read_at_most(file, LARGEST_RECORD_FILE));
    let still = match again {
        Ok(bytes) => Some(bytes),
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(unread(&error)),
    };
    if still.as_deref() != before {
        let wrong = "was changed by somebody else meanwhile; nothing was written";
        return Err(one(BundleError::new(&path, wrong, "run again")));
    }
    safely::put_in_place(vec![Finished { file: filled, place: path }], &[], true).map(|_| ())
}
