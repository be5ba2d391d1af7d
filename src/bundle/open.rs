//! A bundle that is there: a zip, or the folder it was unpacked to.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use walkdir::WalkDir;

use super::bag::unsafe_path;
use super::directory::{self, Oddities};
use super::error::BundleError;
use super::headers::LOCAL;
use super::layout;
use crate::records::store::{LARGEST_RECORD_FILE, Names, Store, part_of, read_at_most, unkeepable};

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

/// Whether a file begins as a zip does.
pub fn is_zip(at: &Path) -> bool {
    let mut begins = [0; LOCAL.len()];
    let read = |mut file: File| file.read_exact(&mut begins);
    at.is_file() && File::open(at).and_then(read).is_ok() && begins == LOCAL
}

impl Bundle {
    /// Opens a zip or an unpacked folder. What makes single entries unusable is kept in `odd`; what
    /// makes the whole unusable is an error.
    pub fn open(at: &Path) -> Result<Self, BundleError> {
        let metadata = std::fs::metadata(at)
            .map_err(|error| BundleError::io(at, "can't be opened", &error))?;
        let mut found = Found::default();
        if metadata.is_dir() {
            found.in_folder(at)?;
        } else if metadata.is_file() {
            found.in_zip(at)?;
        } else {
            let wrong = "is neither a file nor a folder";
            return Err(BundleError::new(
                at,
                wrong,
                "name the zip, or the folder that holds bagit.txt",
            ));
        }
        let (entries, odd) = (found.entries, found.odd.sentences());
        let bundle = Self { at: at.to_path_buf(), entries, odd };
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

/// What is found in a zip or a folder.
#[derive(Default)]
struct Found {
    entries: BTreeMap<String, Entry>,
    odd: Oddities,
    names: Names,
}

impl Found {
    fn in_folder(&mut self, at: &Path) -> Result<(), BundleError> {
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
                self.odd.add(format!("{} has a name that is not UTF-8", shown.display()));
                continue;
            };
            if !entry.file_type().is_file() {
                self.odd.add(format!("{} is a link or no plain file", path.escape_debug()));
                continue;
            }
            let size = entry.metadata().map_or(0, |metadata| metadata.len());
            self.add(&path, Entry { size, start: None });
        }
        Ok(())
    }

    fn in_zip(&mut self, at: &Path) -> Result<(), BundleError> {
        let mut file =
            File::open(at).map_err(|error| BundleError::io(at, "can't be opened", &error))?;
        let entries = directory::read(&mut file, &mut self.odd).map_err(|error| {
            if !is_zip(at) && at.extension().is_none_or(|end| end != "zip") {
                let advice = "name the bundle's zip, or the folder that holds bagit.txt";
                return BundleError::new(at, "is no bundle: it is not a zip", advice);
            }
            let advice = format!(
                "run lastdock mend {}: it mends the zip from recovery data beside it, or salvages the \
                 files in it that are whole",
                at.display()
            );
            BundleError::new(at, format!("can't be read as a zip: {error}"), advice)
        })?;
        let mut root: Option<String> = None;
        for directory::Entry { name, size, start, compressed } in entries {
            let shown = name.escape_debug();
            let plain = |path: &str| unsafe_path(path).is_none();
            let split = name.split_once('/').filter(|(folder, path)| plain(folder) && plain(path));
            let Some((folder, path)) = split else {
                self.odd.add(format!("{shown} is not a plain path in a folder"));
                continue;
            };
            if compressed {
                let wrong = format!(
                    "{shown} is compressed, so that this zip was not written by this program"
                );
                let advice = "unpack it with any zip tool, then verify the folder";
                return Err(BundleError::new(at, wrong, advice));
            }
            if *root.get_or_insert_with(|| folder.to_string()) != folder {
                self.odd.add(format!("{shown} stands in another folder than the rest"));
                continue;
            }
            self.add(path, Entry { size, start: Some(start) });
        }
        Ok(())
    }

    /// Adds a file. That its name is not one that every system can hold is told; it is read all the same.
    fn add(&mut self, path: &str, entry: Entry) {
        let in_project = layout::in_project(path);
        if let Some(wrong) = unkeepable(in_project.as_deref().unwrap_or(path)) {
            self.odd.add(format!("{} {wrong}", path.escape_debug()));
        }
        if let Some((_, only)) = self.names.clash(path) {
            self.odd
                .add(format!("{} differs from another file's name {only}", path.escape_debug()));
        }
        self.entries.insert(path.to_string(), entry);
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
