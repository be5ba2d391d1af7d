//! A bundle that is there: a zip, or the folder it was unpacked to.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use walkdir::WalkDir;
use zip::{CompressionMethod, ZipArchive};

use super::bag::unsafe_path;
use super::error::BundleError;
use super::layout;
use crate::records::store::{LARGEST_RECORD_FILE, Store, part_of, read_at_most};

/// A bundle's files, by their paths in the bag.
#[derive(Debug)]
pub struct Bundle {
    /// The zip or the folder.
    pub at: PathBuf,
    entries: BTreeMap<String, Entry>,
    /// What is odd about the container itself, in sentences.
    pub odd: Vec<String>,
}

#[derive(Debug, Clone)]
struct Entry {
    size: u64,
    /// Where its bytes begin in the zip; `None` in a folder.
    start: Option<u64>,
}

impl Bundle {
    /// Opens a zip or an unpacked folder. What makes single entries unusable is kept in `odd`; what
    /// makes the whole unusable is an error.
    pub fn open(at: &Path) -> Result<Self, BundleError> {
        let metadata = std::fs::metadata(at)
            .map_err(|error| BundleError::io(at, "can't be opened", &error))?;
        if metadata.is_dir() { Self::open_folder(at) } else { Self::open_zip(at) }
    }

    fn open_folder(at: &Path) -> Result<Self, BundleError> {
        let mut bundle = Self { at: at.to_path_buf(), entries: BTreeMap::new(), odd: Vec::new() };
        for entry in WalkDir::new(at).min_depth(1).sort_by_file_name() {
            let entry = entry.map_err(|error| {
                BundleError::new(at, format!("can't be listed: {error}"), "see to the permissions")
            })?;
            if entry.file_type().is_dir() {
                continue;
            }
            let shown = entry.path().strip_prefix(at).unwrap_or(entry.path());
            let parts: Option<Vec<&str>> =
                shown.components().map(|part| part.as_os_str().to_str()).collect();
            let Some(path) = parts.map(|parts| parts.join("/")) else {
                bundle.odd.push(format!("{} has a name that is not UTF-8", shown.display()));
                continue;
            };
            if !entry.file_type().is_file() {
                bundle.odd.push(format!("{path} is a link or no plain file"));
                continue;
            }
            let size = entry.metadata().map_or(0, |metadata| metadata.len());
            bundle.entries.insert(path, Entry { size, start: None });
        }
        bundle.holds_a_bag()?;
        Ok(bundle)
    }

    fn open_zip(at: &Path) -> Result<Self, BundleError> {
        let unpack = "unpack what survives with any zip tool (`zip -FF` finds entries without the \
                      directory), then verify the folder";
        let file = File::open(at).map_err(|e| BundleError::io(at, "can't be opened", &e))?;
        let mut zip = ZipArchive::new(io::BufReader::new(file)).map_err(|error| {
            BundleError::new(at, format!("can't be read as a zip: {error}"), unpack)
        })?;
        let mut bundle = Self { at: at.to_path_buf(), entries: BTreeMap::new(), odd: Vec::new() };
        let mut root: Option<String> = None;
        for number in 0..zip.len() {
            let entry = zip.by_index_raw(number).map_err(|error| {
                BundleError::new(at, format!("entry {number} can't be read: {error}"), unpack)
            })?;
            let Ok(name) = entry.name() else {
                bundle.odd.push(format!("entry {number} has a name that is not UTF-8"));
                continue;
            };
            if entry.is_dir() {
                continue;
            }
            let split = name.split_once('/').filter(|(_, path)| unsafe_path(path).is_none());
            let Some((folder, path)) = split else {
                bundle.odd.push(format!("{name:?} is not a plain path in a folder"));
                continue;
            };
            if *root.get_or_insert_with(|| folder.to_string()) != folder {
                bundle.odd.push(format!("{name:?} stands in another folder than the rest"));
                continue;
            }
            if entry.compression() != CompressionMethod::Stored {
                return Err(BundleError::new(
                    at,
                    format!(
                        "{name} is compressed, so that this zip was not written by this program"
                    ),
                    "unpack it with any zip tool, then verify the folder",
                ));
            }
            if entry.is_symlink() || entry.encrypted() {
                bundle.odd.push(format!("{path} is a link, or is encrypted"));
                continue;
            }
            let size = entry.size();
            let start = entry.data_start();
            if bundle.entries.insert(path.to_string(), Entry { size, start }).is_some() {
                bundle.odd.push(format!("{path} stands in the zip twice"));
            }
        }
        bundle.holds_a_bag()?;
        Ok(bundle)
    }

    fn holds_a_bag(&self) -> Result<(), BundleError> {
        if self.entries.contains_key(layout::BAGIT)
            || layout::MANIFESTS.iter().any(|manifest| self.entries.contains_key(*manifest))
        {
            return Ok(());
        }
        Err(BundleError::new(
            &self.at,
            "is no bundle: it has neither bagit.txt nor a manifest",
            "name the zip, or the folder that holds bagit.txt",
        ))
    }

    /// Every file with its size, by path.
    pub fn sizes(&self) -> impl Iterator<Item = (&str, u64)> {
        self.entries.iter().map(|(path, entry)| (path.as_str(), entry.size))
    }

    /// A file's size.
    pub fn size(&self, path: &str) -> Option<u64> {
        self.entries.get(path).map(|entry| entry.size)
    }

    /// Every file of a zip by path, with the offsets at which its bytes begin and end.
    pub fn stretches(&self) -> impl Iterator<Item = (&str, u64, u64)> {
        self.entries.iter().filter_map(|(path, entry)| {
            entry.start.map(|start| (path.as_str(), start, start.saturating_add(entry.size)))
        })
    }

    /// Whether a file is there.
    pub fn has(&self, path: &str) -> bool {
        self.entries.contains_key(path)
    }

    /// A file's bytes as a stream of its own, so that several can be read at once.
    pub fn reader(&self, path: &str) -> io::Result<Box<dyn Read + Send>> {
        let entry = self.entries.get(path).ok_or(io::ErrorKind::NotFound)?;
        match entry.start {
            None => Ok(Box::new(File::open(self.at.join(path))?)),
            Some(start) => {
                let mut file = File::open(&self.at)?;
                file.seek(SeekFrom::Start(start))?;
                Ok(Box::new(file.take(entry.size)))
            }
        }
    }

    /// A small file as a whole.
    pub fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        read_at_most(self.reader(path)?, LARGEST_RECORD_FILE)
    }

    /// At most `most` bytes of a file from the offset `from` on.
    fn part(&self, path: &str, from: u64, most: u64) -> io::Result<Vec<u8>> {
        let entry = self.entries.get(path).ok_or(io::ErrorKind::NotFound)?;
        match entry.start {
            None => part_of(&mut File::open(self.at.join(path))?, from, most),
            Some(start) => {
                let most = most.min(entry.size.saturating_sub(from));
                part_of(&mut File::open(&self.at)?, start.saturating_add(from), most)
            }
        }
    }

    /// A small file as text.
    pub fn text(&self, path: &str) -> io::Result<String> {
        String::from_utf8(self.read(path)?)
            .map_err(|_| io::Error::new(io::ErrorKind::InvalidData, "is not UTF-8 text"))
    }
}

/// The project inside a bundle.
#[derive(Debug)]
pub struct Kept<'a> {
    bundle: &'a Bundle,
    sizes: BTreeMap<String, u64>,
}

impl<'a> Kept<'a> {
    /// The project's files as the bundle keeps them.
    pub fn new(bundle: &'a Bundle) -> Self {
        let inside = |(path, size)| layout::in_project(path).map(|path| (path, size));
        Self { bundle, sizes: bundle.sizes().filter_map(inside).collect() }
    }
}

impl Store for Kept<'_> {
    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        self.bundle.read(&layout::in_bundle(path))
    }

    fn part(&self, path: &str, from: u64, most: u64) -> io::Result<Vec<u8>> {
        self.bundle.part(&layout::in_bundle(path), from, most)
    }
}
