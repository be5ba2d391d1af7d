//! Packing: entries stored in the order in which they come, digests taken on the way.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::Path;

use chrono::{Datelike, NaiveDate};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipWriter};

use super::chunks::CHUNK;
use super::digest::{self, Digests};
use super::error::BundleError;

/// Puts files into a zip and remembers their digests.
pub struct Packer {
    zip: ZipWriter<BufWriter<File>>,
    folder: String,
    date: DateTime,
    files: BTreeMap<String, Digests>,
}

impl Packer {
    /// Packs into `file`; every entry stands in `folder` and has the date `on`, at 00:00.
    pub fn new(file: File, folder: &str, on: NaiveDate) -> Self {
        // MS-DOS dates, which a zip has, run from 1980 to 2107; outside them the first of 1980 stands.
        let year = u16::try_from(on.year()).unwrap_or(0);
        let (month, day) = (on.month() as u8, on.day() as u8);
        let date = DateTime::from_date_and_time(year, month, day, 0, 0, 0).unwrap_or_default();
        let zip = ZipWriter::new(BufWriter::with_capacity(CHUNK, file));
        Self { zip, folder: folder.to_string(), date, files: BTreeMap::new() }
    }

    /// The files packed so far with their digests, by path.
    pub fn files(&self) -> &BTreeMap<String, Digests> {
        &self.files
    }

    fn start(&mut self, path: &str, size: u64) -> Result<(), BundleError> {
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Stored)
            .last_modified_time(self.date)
            .system(System::Unix)
            .unix_permissions(0o644)
            .large_file(size >= u64::from(u32::MAX));
        self.zip
            .start_file(format!("{}/{path}", self.folder), options)
            .map_err(|error| BundleError::io(path, "can't be packed", &error.into()))
    }

    /// Packs some bytes.
    pub fn add_bytes(&mut self, path: &str, bytes: &[u8]) -> Result<(), BundleError> {
        self.start(path, bytes.len() as u64)?;
        self.zip
            .write_all(bytes)
            .map_err(|error| BundleError::io(path, "can't be packed", &error))?;
        self.files.insert(path.to_string(), digest::of(bytes));
        Ok(())
    }

    /// Packs a file from disk, reading it once. One that is not `size` bytes long, or that changes
    /// while it is read, is refused.
    pub fn add_file(
        &mut self,
        path: &str,
        from: &Path,
        size: u64,
        moved: &(dyn Fn(u64) + Sync),
    ) -> Result<(), BundleError> {
        let failed = |error: &io::Error| BundleError::io(from, "can't be read", error);
        let file = File::open(from).map_err(|error| failed(&error))?;
        let before = file.metadata().map_err(|error| failed(&error))?;
        self.start(path, size)?;
        let digests = digest::copy(&file, &mut self.zip, moved)
            .map_err(|error| BundleError::io(from, "can't be packed", &error))?;
        let after = file.metadata().map_err(|error| failed(&error))?;
        let touched =
            before.modified().ok() != after.modified().ok() || before.len() != after.len();
        if digests.size != size || touched {
            return Err(BundleError::new(
                from,
                "changed while it was being packed",
                "let nobody write to the project's folder, then run again",
            ));
        }
        self.files.insert(path.to_string(), digests);
        Ok(())
    }

    /// Writes the zip's directory and gives the file back, flushed but not yet synced.
    pub fn finish(self, shown: &Path) -> Result<File, BundleError> {
        let failed = |error: &io::Error| BundleError::io(shown, "can't be finished", error);
        let buffered = self.zip.finish().map_err(|error| failed(&error.into()))?;
        buffered.into_inner().map_err(|error| failed(error.error()))
    }
}
