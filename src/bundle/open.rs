//! A bundle that is there: a zip, or the folder it was unpacked to.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use walkdir::WalkDir;

use super::bag::unsafe_path;
use super::digest::Digests;
use super::directory::{self, Oddities};
use super::error::{BundleError, first_few};
use super::headers::LOCAL;
use super::layout;
use super::proved::{Proving, Stretch, changed};
use crate::records::plain::{self, Stamp};
use crate::records::store::{LARGEST_RECORD_FILE, Names, Store, part_of, read_at_most, unkeepable};

/// A bundle's files, by their paths in the bag.
#[derive(Debug)]
pub struct Bundle {
    /// The zip or the folder.
    pub at: PathBuf,
    /// The zip, kept open so that another file put under its name is not read, and its stamp when it was opened; `None`
    /// for a folder.
    zip: Option<(Arc<File>, Stamp)>,
    entries: BTreeMap<String, Entry>,
    /// What is odd about the container itself, in sentences.
    pub odd: Vec<String>,
    /// What fixity found of each file. Whatever is read after that is compared with it.
    proved: OnceLock<BTreeMap<String, Proved>>,
    /// Files that were not what they had been before.
    changed: Mutex<BTreeSet<String>>,
}

/// A file of which every byte was read.
#[derive(Debug, Clone)]
pub struct Proved {
    /// Its digests.
    pub digests: Digests,
    /// The stamp of a file of a folder; `None` in a zip.
    pub stamp: Option<Stamp>,
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
    plain::file(at).and_then(read).is_ok() && begins == LOCAL
}

impl Bundle {
    /// Opens a zip or an unpacked folder. What makes single entries unusable is kept in `odd`; what
    /// makes the whole unusable is an error.
    pub fn open(at: &Path) -> Result<Self, BundleError> {
        let metadata = std::fs::metadata(at)
            .map_err(|error| BundleError::io(at, "can't be opened", &error))?;
        let mut found = Found::default();
        let mut zip = None;
        if metadata.is_dir() {
            found.in_folder(at)?;
        } else if metadata.is_file() {
            let unopened = |error: io::Error| BundleError::io(at, "can't be opened", &error);
            let mut file = plain::file(at).map_err(unopened)?;
            let stamp = Stamp::new(&file.metadata().map_err(unopened)?);
            found.in_zip(at, &mut file)?;
            zip = Some((Arc::new(file), stamp));
        } else {
            let wrong = "is neither a file nor a folder";
            return Err(BundleError::new(
                at,
                wrong,
                "name the zip, or the folder that holds bagit.txt",
            ));
        }
        let (entries, odd) = (found.entries, found.odd.sentences());
        let (proved, changed) = (OnceLock::new(), Mutex::default());
        let bundle = Self { at: at.to_path_buf(), zip, entries, odd, proved, changed };
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

    /// A file's bytes as a stream of its own, so that several can be read at once. Once fixity has read the file, the
    /// stream ends in an error if the bytes are not the same.
    pub fn reader<'a>(&'a self, path: &'a str) -> io::Result<Box<dyn Read + Send + 'a>> {
        let (reader, stamp) = self.raw(path)?;
        let Some(proved) = self.proved.get().and_then(|proved| proved.get(path)) else {
            return Ok(reader);
        };
        if stamp != proved.stamp {
            return Err(self.note_changed(path));
        }
        let on_change = move || self.note_changed(path);
        Ok(Box::new(Proving::new(reader, &proved.digests.hex[0], on_change)))
    }

    /// A file's bytes, compared with nothing, and in a folder its stamp. Of a file that grows meanwhile at most one byte
    /// beyond its size is read.
    pub(super) fn raw(&self, path: &str) -> io::Result<(Box<dyn Read + Send>, Option<Stamp>)> {
        let entry = self.entries.get(path).ok_or(io::ErrorKind::NotFound)?;
        match (&self.zip, entry.start) {
            (Some((zip, _)), Some(start)) => {
                Ok((Box::new(Stretch::new(Arc::clone(zip), start, entry.size)), None))
            }
            _ => {
                let file = self.file(path)?;
                let stamp = Stamp::new(&file.metadata()?);
                Ok((Box::new(file.take(entry.size.saturating_add(1))), Some(stamp)))
            }
        }
    }

    /// A file of a folder. If it is no longer a plain file, or gone, that is noted.
    fn file(&self, path: &str) -> io::Result<File> {
        plain::within(&self.at, path).map_err(|error| match plain::is_of_the_system(&error) {
            true => error,
            false => self.note_changed(path),
        })
    }

    /// Whether it is a folder.
    pub(super) fn is_folder(&self) -> bool {
        self.zip.is_none()
    }

    /// Keeps what fixity has found, once.
    pub(super) fn prove(&self, proved: BTreeMap<String, Proved>) {
        let _ = self.proved.set(proved);
    }

    /// Notes that a file is not what it was before; returns the error that says so.
    pub(super) fn note_changed(&self, path: &str) -> io::Error {
        let mut changed_paths = self.changed.lock().unwrap_or_else(PoisonError::into_inner);
        changed_paths.insert(path.to_string());
        changed()
    }

    /// An error if something in the bundle was not the same each time it was read. Call it before anything is reported
    /// or made from what was read.
    pub fn refuse_changed(&self) -> Result<(), BundleError> {
        let changed = self.changed.lock().unwrap_or_else(PoisonError::into_inner);
        let named = if !changed.is_empty() {
            let paths = changed.iter().map(|path| path.escape_debug().to_string());
            format!(": {}", first_few(paths, ", "))
        } else if let Some((zip, then)) = &self.zip
            && !now(zip).is_some_and(|now| now.has_bytes_of(then))
        {
            String::new()
        } else {
            return Ok(());
        };
        Err(BundleError::new(
            &self.at,
            format!("changed while it was read{named}"),
            "make sure that nobody writes to it, then run again",
        ))
    }

    /// A small file as a whole.
    pub fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        read_at_most(self.reader(path)?, LARGEST_RECORD_FILE)
    }

    /// At most `most` bytes of a file from the offset `from` on.
    fn part(&self, path: &str, from: u64, most: u64) -> io::Result<Vec<u8>> {
        let entry = self.entries.get(path).ok_or(io::ErrorKind::NotFound)?;
        let most = most.min(entry.size.saturating_sub(from));
        if let (Some((zip, _)), Some(start)) = (&self.zip, entry.start) {
            let mut bytes = Vec::new();
            let start = start.saturating_add(from);
            Stretch::new(Arc::clone(zip), start, most).read_to_end(&mut bytes)?;
            return Ok(bytes);
        }
        let mut file = self.file(path)?;
        let proved = self.proved.get().and_then(|proved| proved.get(path));
        let bytes = part_of(&mut file, from, most)?;
        if proved.is_some_and(|proved| proved.stamp != now(&file)) {
            return Err(self.note_changed(path));
        }
        Ok(bytes)
    }

    /// A small file as text.
    pub fn text(&self, path: &str) -> io::Result<String> {
        String::from_utf8(self.read(path)?)
            .map_err(|_| io::Error::new(io::ErrorKind::InvalidData, "is not UTF-8 text"))
    }

    /// The text of a tag file, or a sentence on why the bundle doesn't have it. If the system does not let it be read, that
    /// says nothing about the bundle, and is an error.
    pub fn tag_text(&self, name: &str) -> Result<Result<String, String>, BundleError> {
        match self.text(name) {
            Ok(text) => Ok(Ok(text)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                Ok(Err(format!("{name} is not there")))
            }
            Err(error) if plain::is_of_the_system(&error) => {
                Err(BundleError::io(self.at.join(name), "could not be checked", &error))
            }
            Err(error) => Ok(Err(format!("{name} can't be read: {error}"))),
        }
    }
}

fn now(file: &File) -> Option<Stamp> {
    file.metadata().ok().map(|metadata| Stamp::new(&metadata))
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
                BundleError::new(at, format!("can't be listed: {error}"), "check the permissions")
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
                self.odd.add(format!("{} is a link or not a regular file", path.escape_debug()));
                continue;
            }
            let size = entry.metadata().map(|metadata| metadata.len()).map_err(|error| {
                BundleError::new(at, format!("can't be listed: {error}"), "check the permissions")
            })?;
            self.add(&path, Entry { size, start: None });
        }
        Ok(())
    }

    fn in_zip(&mut self, at: &Path, file: &mut File) -> Result<(), BundleError> {
        let entries = directory::read(file, &mut self.odd).map_err(|error| {
            if plain::is_of_the_system(&error) {
                return BundleError::io(at, "can't be read", &error);
            }
            if !is_zip(at) && at.extension().is_none_or(|end| end != "zip") {
                let advice = "name the bundle's zip, or the folder that holds bagit.txt";
                return BundleError::new(at, "is no bundle: it is not a zip", advice);
            }
            let advice = format!(
                "run lastdock mend {}: it mends the zip from the recovery data beside it, or salvages the \
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
                let wrong =
                    format!("{shown} is compressed, so this program did not write this zip");
                let advice = "unpack it with any zip tool, then verify the folder";
                return Err(BundleError::new(at, wrong, advice));
            }
            if *root.get_or_insert_with(|| folder.to_string()) != folder {
                self.odd.add(format!("{shown} is in another folder than the rest"));
                continue;
            }
            self.add(path, Entry { size, start: Some(start) });
        }
        Ok(())
    }

    /// Adds a file. A name that not every system can hold is noted as odd; the file is read all the same.
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
    fn was_closed_out(&self) -> bool {
        true
    }

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
