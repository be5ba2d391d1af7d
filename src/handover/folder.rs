//! A new folder, written in a staging folder beside its place, flushed and read back, then renamed: it appears whole or
//! not at all, and nothing that exists is touched.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};

use crate::bundle::digest;
use crate::bundle::error::BundleError;
use crate::bundle::open::Bundle;
use crate::bundle::safely;
use crate::bundle::staging::StagingDir;

/// What a file of the new folder holds.
#[derive(Debug)]
pub enum Content<'a> {
    /// These bytes.
    Bytes(Vec<u8>),
    /// What a file of a bundle holds.
    Kept {
        /// The bundle.
        bundle: &'a Bundle,
        /// The file's path in it.
        path: String,
    },
}

impl Content<'_> {
    /// How many bytes it has.
    pub(super) fn size(&self) -> u64 {
        match self {
            Content::Bytes(bytes) => bytes.len() as u64,
            Content::Kept { bundle, path } => bundle.size(path).unwrap_or_default(),
        }
    }

    fn reader(&self) -> Result<Box<dyn Read + Send + '_>, BundleError> {
        match self {
            Content::Bytes(bytes) => Ok(Box::new(bytes.as_slice())),
            Content::Kept { bundle, path } => {
                bundle.reader(path).map_err(|error| match bundle.refuse_changed() {
                    Err(changed) => changed,
                    Ok(()) => BundleError::io(bundle.at.join(path), "can't be read", &error),
                })
            }
        }
    }
}

/// Where a new folder is to stand: nothing is there, and the folder around it is.
#[derive(Debug)]
pub struct Place {
    folder: PathBuf,
    around: PathBuf,
}

impl Place {
    /// An error for a place where something exists, that has no name, or that is not in a folder.
    pub fn new(at: &Path) -> Result<Self, BundleError> {
        let folder = std::path::absolute(at)
            .map_err(|error| BundleError::io(at, "can't be a folder", &error))?;
        let (Some(_), Some(around)) = (folder.file_name(), folder.parent()) else {
            let advice = "name a folder that is not there yet";
            return Err(BundleError::new(at, "is no name for a new folder", advice));
        };
        if !around.is_dir() {
            let wrong = "is not a folder, so the new folder can't be made in it";
            return Err(BundleError::new(around, wrong, "make it, or name another place"));
        }
        let around = around.to_path_buf();
        let place = Self { folder, around };
        place.refuse_existing()?;
        Ok(place)
    }

    fn refuse_existing(&self) -> Result<(), BundleError> {
        match fs::symlink_metadata(&self.folder) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(()),
            Err(error) => Err(BundleError::io(&self.folder, "can't be a new folder", &error)),
            Ok(_) => Err(BundleError::new(
                &self.folder,
                "is there already; nothing was written",
                "name a folder that is not there yet",
            )),
        }
    }

    /// Whether it lies inside another folder.
    pub fn is_inside(&self, other: &Path) -> bool {
        let whole = |path: &Path| path.canonicalize().ok();
        let (Some(around), Some(other)) = (whole(&self.around), whole(other)) else { return false };
        around.starts_with(other)
    }

    /// Writes the folder with these files, by their paths in it.
    pub fn fill(&self, files: &BTreeMap<String, Content<'_>>) -> Result<(), BundleError> {
        let staging = StagingDir::inside(&self.around)?;
        let new = staging.path().join("new");
        fs::create_dir(&new).map_err(|error| safely::unwritten(&staging, &error))?;
        for (path, content) in files {
            write(&new.join(path), content, &self.folder.join(path))?;
        }
        self.refuse_existing()?;
        safely::put_folder_in_place(&new, &self.folder)
    }
}

/// Writes a file; errors name it as `shown`.
fn write(to: &Path, content: &Content<'_>, shown: &Path) -> Result<(), BundleError> {
    let failed = |error: std::io::Error| BundleError::io(shown, "can't be written", &error);
    if let Some(around) = to.parent() {
        fs::create_dir_all(around).map_err(failed)?;
    }
    let file = File::create_new(to).map_err(failed)?;
    let copied = digest::copy(content.reader()?, &file, &|_| {});
    if let Content::Kept { bundle, .. } = content {
        bundle.refuse_changed()?;
    }
    let written = copied.map_err(failed)?;
    file.sync_all().map_err(failed)?;
    if safely::read_back(to)? != written {
        return Err(safely::not_as_written(shown, "its checksum"));
    }
    Ok(())
}
