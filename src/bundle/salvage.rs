//! Salvaging: every entry of a damaged zip that is still whole, into a folder, when the zip itself is
//! beyond mending. Entries are found by their own headers, since the zip's directory may be lost.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io::{self, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use super::bag::{self, unsafe_path};
use super::chunks::CHUNK;
use super::digest;
use super::directory::{self, MOST_ENTRIES};
use super::error::BundleError;
use super::headers::{LOCAL, Local};
use super::layout;
use super::recovery::read::{Patience, next};
use super::safely;
use super::staging::StagingDir;
use crate::records::plain::{self, Stamp};
use crate::records::store::{LARGEST_RECORD_FILE, read_at_most, unkeepable};

/// How an entry was salvaged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kept {
    /// Its SHA-256 is what the manifest says.
    Proved,
    /// Its checksum in the zip is right; no manifest that survives lists it.
    Unlisted,
    /// Its checksum in the zip is right; the manifest that survives says another.
    Differs,
}

impl Kept {
    /// Its words.
    pub fn words(self) -> &'static str {
        match self {
            Kept::Proved => "whole",
            Kept::Unlisted => "whole by the zip's own checksum, but in no manifest that survives",
            Kept::Differs => "differs from the manifest",
        }
    }
}

/// How it is known what was in a bundle, and so what is lost of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known {
    /// A manifest of the payload has survived, and it lists all.
    ByManifests,
    /// The zip's directory has; no checksum proves that.
    ByDirectory,
    /// Neither has.
    InPart,
}

impl Known {
    /// What to bear in mind about the list of what is lost; `None` where it is complete.
    pub fn caution(self) -> Option<&'static str> {
        match self {
            Known::ByManifests => None,
            Known::ByDirectory => Some(
                "what was in it is known only from the zip's directory, which no checksum proves: its manifests are \
                 lost",
            ),
            Known::InPart => Some(
                "more may be lost than is listed: the manifests and the zip's directory, which list what was in it, \
                 are lost too",
            ),
        }
    }
}

/// What was salvaged.
#[derive(Debug)]
pub struct Salvaged {
    /// The folder.
    pub to: PathBuf,
    /// The files that it holds, by their paths in it.
    pub files: BTreeMap<String, Kept>,
    /// Paths whose bytes are damaged or cut off, and those that a manifest or the zip's directory lists or that
    /// every bundle has, and of which nothing was found.
    pub lost: Vec<String>,
    /// How it is known what was in the bundle.
    pub known: Known,
    /// Paths that could not be written, each with the reason.
    pub unwritten: Vec<String>,
}

/// An entry as the header before it describes it.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    /// Its folder in the zip: the bundle's name.
    pub(super) root: String,
    /// Its path in there.
    pub(super) path: String,
    /// Where its bytes begin.
    pub(super) at: u64,
    /// How many there are.
    pub(super) size: u64,
    /// Whether the checksum in the header is theirs.
    pub(super) is_whole: bool,
}

/// The entries of a zip that are whole.
pub(super) fn whole_entries(file: &mut File) -> io::Result<Vec<Entry>> {
    let (roots, _) = entries(file)?;
    Ok(roots.into_values().flat_map(BTreeMap::into_values).collect())
}

/// The entries in the bundle's folder of a zip, whole and damaged, by the headers that can still be read.
pub(super) fn bundle_entries(file: &mut File) -> io::Result<Vec<Entry>> {
    let (mut roots, damaged) = entries(file)?;
    let Some(root) = fullest(&roots) else { return Ok(damaged) };
    let whole = roots.remove(&root).unwrap_or_default().into_values();
    Ok(whole.chain(damaged.into_iter().filter(|entry| entry.root == root)).collect())
}

/// A paper may itself be a zip, with folders of its own: the bundle's is the one with the most entries.
fn fullest(roots: &BTreeMap<String, BTreeMap<String, Entry>>) -> Option<String> {
    roots.iter().max_by_key(|(_, entries)| entries.len()).map(|(root, _)| root.clone())
}

/// Salvages what is whole in `zip` into the folder `to`, which must not be there yet.
pub fn salvage(zip: &Path, to: &Path) -> Result<Salvaged, BundleError> {
    let unread = |error: io::Error| BundleError::io(zip, "can't be read", &error);
    // Opened once, so that another file put under its name is not read.
    let mut file = plain::file(zip).map_err(unread)?;
    let stamp = Stamp::new(&file.metadata().map_err(unread)?);
    let (roots, damaged) = entries(&mut file).map_err(unread)?;
    if to.symlink_metadata().is_ok() {
        let advice = "move it away, or name another folder with --salvage-to";
        return Err(BundleError::new(to, "is there already", advice));
    }
    let staging = StagingDir::beside(to)?;
    let (new, part) = (staging.path().join("new"), staging.path().join("part"));
    fs::create_dir(&new).map_err(|error| safely::unwritten(&staging, &error))?;
    let root = fullest(&roots);
    let mut salvaged = Salvaged {
        to: to.to_path_buf(),
        files: BTreeMap::new(),
        lost: Vec::new(),
        known: Known::InPart,
        unwritten: Vec::new(),
    };
    let mut sums = BTreeMap::new();
    for (path, entry) in root.iter().filter_map(|root| roots.get(root)).flatten() {
        if let Some(wrong) = unkeepable(layout::in_project(path).as_deref().unwrap_or(path)) {
            salvaged.unwritten.push(format!("{}: {wrong}", path.escape_debug()));
            continue;
        }
        match write(&mut file, entry, &part, &new.join(path)) {
            Ok(sha256) => {
                sums.insert(path.clone(), sha256);
            }
            Err(error) => salvaged.unwritten.push(format!("{path}: {error}")),
        }
    }
    let listed = listed(&new, &sums);
    for (path, sha256) in &sums {
        let kept = match listed.sha256.get(path) {
            None => Kept::Unlisted,
            Some(listed) if listed == sha256 => Kept::Proved,
            Some(_) => Kept::Differs,
        };
        salvaged.files.insert(path.clone(), kept);
    }
    let of_root = damaged.into_iter().filter(|one| root.as_ref().is_none_or(|r| *r == one.root));
    salvaged.lost = of_root.map(|entry| entry.path).chain(listed.paths).collect();
    if let Some(root) = &root {
        if listed.payload {
            salvaged.known = Known::ByManifests;
        } else if let Some(paths) = in_directory(&mut file, root) {
            salvaged.known = Known::ByDirectory;
            salvaged.lost.extend(paths);
        }
        let every_bag_has = [layout::BAGIT, layout::BAG_INFO].into_iter();
        let lists = layout::MANIFESTS.into_iter().chain(layout::TAG_MANIFESTS);
        salvaged.lost.extend(every_bag_has.chain(lists).map(String::from));
    }
    salvaged.lost.retain(|path| !salvaged.files.contains_key(path));
    salvaged.lost.sort();
    salvaged.lost.dedup();
    if !Stamp::new(&file.metadata().map_err(unread)?).has_bytes_of(&stamp) {
        let wrong = "changed while it was read; nothing was salvaged";
        return Err(BundleError::new(
            zip,
            wrong,
            "make sure that nobody writes to it, then run again",
        ));
    }
    safely::put_folder_in_place(&new, to)?;
    Ok(salvaged)
}

/// What the salvaged manifests list.
#[derive(Default)]
struct Listed {
    sha256: BTreeMap<String, String>,
    paths: BTreeSet<String>,
    /// Whether one of the payload is among them.
    payload: bool,
}

fn listed(to: &Path, sums: &BTreeMap<String, String>) -> Listed {
    let mut listed = Listed::default();
    for (lists, payload) in [(layout::TAG_MANIFESTS, false), (layout::MANIFESTS, true)] {
        for (name, digits) in lists.into_iter().zip([64, 128]) {
            if sums.contains_key(name)
                && let Ok(bytes) = plain::file(&to.join(name))
                    .and_then(|file| read_at_most(file, LARGEST_RECORD_FILE))
                && let Ok(text) = String::from_utf8(bytes)
            {
                let digests = bag::read_manifest(name, &text, digits).digests;
                listed.payload |= payload;
                listed.paths.extend(digests.keys().cloned());
                if digits == 64 {
                    listed.sha256.extend(digests);
                }
            }
        }
    }
    listed
}

/// The paths in a folder that the zip's directory lists, if it has survived.
fn in_directory(zip: &mut File, root: &str) -> Option<Vec<String>> {
    let names = directory::names(zip).ok()?;
    let paths = names.iter().filter_map(|name| {
        let (folder, path) = name.split_once('/')?;
        (folder == root && unsafe_path(path).is_none()).then(|| path.to_string())
    });
    Some(paths.collect())
}

/// Copies an entry to `part` and, once it is whole, moves it to its place; returns its SHA-256. What could not be
/// written whole stays in `part` even where it can't be removed, and no file is overwritten: of two names that
/// a file system takes for one, the second fails.
fn write(from: &mut File, entry: &Entry, part: &Path, place: &Path) -> io::Result<String> {
    if let Some(folder) = place.parent() {
        fs::create_dir_all(folder)?;
    }
    if place.symlink_metadata().is_ok() {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    from.seek(SeekFrom::Start(entry.at))?;
    let mut to = File::create(part)?;
    let digests = digest::copy(from.take(entry.size), &mut to, &|_| {})?;
    to.sync_all()?;
    if digests.size != entry.size {
        return Err(io::ErrorKind::UnexpectedEof.into());
    }
    fs::rename(part, place)?;
    let [sha256, _] = digests.hex;
    Ok(sha256)
}

/// Whole entries by the folder that they stand in and by path, and the damaged ones.
type Entries = (BTreeMap<String, BTreeMap<String, Entry>>, Vec<Entry>);

fn entries(file: &mut File) -> io::Result<Entries> {
    let size = file.metadata()?.len();
    let mut patience = Patience::for_bytes(size);
    let mut whole: BTreeMap<String, BTreeMap<String, Entry>> = BTreeMap::new();
    let mut damaged = Vec::new();
    let mut at = 0;
    let mut count = 0_u64;
    while let Some(found) = next(file, at, &LOCAL)? {
        at = found + LOCAL.len() as u64;
        let Some(header) = header(file, found) else {
            if patience.wasted(0) {
                continue;
            }
            break;
        };
        count += 1;
        if count > MOST_ENTRIES {
            break;
        }
        let fits = header.size <= size.saturating_sub(header.data);
        let is_whole =
            fits && crc32(file, header.data, header.size).is_some_and(|c| c == header.crc32);
        let Header { root, path, size, data, .. } = header;
        let entry = Entry { root, path, at: data, size, is_whole };
        if is_whole {
            at = entry.at + entry.size;
            // Of two with the same name, the first is kept.
            let of_root = whole.entry(entry.root.clone()).or_default();
            of_root.entry(entry.path.clone()).or_insert(entry);
        } else {
            damaged.push(entry);
            if fits && !patience.wasted(size) {
                break;
            }
        }
    }
    Ok((whole, damaged))
}

struct Header {
    root: String,
    path: String,
    crc32: u32,
    size: u64,
    /// Where the entry's bytes begin.
    data: u64,
}

/// The header at an offset, if it is one of a bundle's: stored, not encrypted, its size known, its path a
/// plain one in a folder.
fn header(file: &mut File, at: u64) -> Option<Header> {
    let Local { fields, data } = Local::read(file, at)?;
    if fields.is_compressed() || fields.unreadable().is_some() {
        return None;
    }
    let (crc32, size) = (fields.crc32(), fields.size);
    let name = String::from_utf8(fields.name).ok()?;
    let (root, path) = name.split_once('/')?;
    let tag_file = [layout::BAGIT, layout::BAG_INFO].contains(&path)
        || layout::MANIFESTS.contains(&path)
        || layout::TAG_MANIFESTS.contains(&path);
    if root.is_empty()
        || unsafe_path(path).is_some()
        || !(tag_file || path.starts_with(layout::DATA))
    {
        return None;
    }
    Some(Header { root: root.to_string(), path: path.to_string(), crc32, size, data })
}

/// CRC-32 of a stretch, if it can be read.
fn crc32(file: &mut File, at: u64, size: u64) -> Option<u32> {
    file.seek(SeekFrom::Start(at)).ok()?;
    let mut hasher = crc32fast::Hasher::new();
    let mut buffer = vec![0; CHUNK];
    let mut left = size;
    while left > 0 {
        let bytes = buffer.get_mut(..left.min(CHUNK as u64) as usize)?;
        file.read_exact(bytes).ok()?;
        hasher.update(bytes);
        left -= bytes.len() as u64;
    }
    Some(hasher.finalize())
}
