//! The recovery files that stand beside a bundle, found by what is in them.

use std::path::{Path, PathBuf};

use md5::{Digest, Md5};

use super::packet;
use super::read::{self, Found, RecoveryFile, Set};
use crate::records::plain;

/// What stands beside a bundle.
#[derive(Debug, Default)]
pub struct Beside {
    /// The recovery files of the folder, of whatever they are.
    pub found: Found,
    /// The sets that can be worked with.
    pub sets: Vec<Set>,
    /// Why the others can't.
    pub unusable: Vec<String>,
}

impl Beside {
    /// Reads the recovery files in the folder of `bundle`, which need not be there itself.
    pub fn look(bundle: &Path) -> std::io::Result<Self> {
        let folder = match bundle.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let mut paths = read::beside(folder)?;
        paths.retain(|path| path.file_name() != bundle.file_name());
        let found = read::read(&paths);
        let mut beside = Self { found, ..Self::default() };
        for set in beside.found.sets() {
            match set {
                Ok(set) => beside.sets.push(set),
                Err(reason) => beside.unusable.push(reason),
            }
        }
        Ok(beside)
    }

    /// The set that seems to be the bundle's, without reading all of it: by its name, or by its size and beginning. Of
    /// several, the one with the most recovery slices.
    pub fn set_of(&self, bundle: &Path) -> Option<&Set> {
        let named = self.sets.iter().filter(|set| is_named(set, bundle));
        named.max_by_key(|set| set.recovery.len()).or_else(|| {
            let size = bundle.metadata().ok().filter(|metadata| metadata.is_file())?.len();
            let beginning = beginning(bundle).ok()?;
            let same = |set: &&Set| set.file.size == size && set.file.beginning == beginning;
            self.sets.iter().filter(same).max_by_key(|set| set.recovery.len())
        })
    }

    /// The recovery files of a bundle: those with packets of its set, and those named after it.
    pub fn files_of<'a>(
        &'a self,
        bundle: &'a Path,
        set: Option<&'a Set>,
    ) -> impl Iterator<Item = &'a RecoveryFile> {
        let name = bundle.file_name().and_then(|name| name.to_str()).unwrap_or("\0");
        self.found.files.iter().filter(move |file| {
            let called = file.path.file_name().and_then(|name| name.to_str());
            let after_it = |called: &str| {
                let rest = called.strip_prefix(name);
                rest.is_some_and(|rest| rest == ".par2" || rest.starts_with(".vol"))
            };
            set.is_some_and(|set| file.sets.contains(&set.id)) || called.is_some_and(after_it)
        })
    }
}

/// What is known of the recovery data beside a bundle without reading the bundle.
#[derive(Debug)]
pub struct Readiness {
    /// Its recovery files, and whether each is whole.
    pub files: Vec<(PathBuf, bool)>,
    /// Recovery slices that can be used.
    pub recovery_slices: usize,
    /// Slices of the bundle.
    pub slices: usize,
    /// What the system did not let be read, in sentences.
    pub unread: Vec<String>,
}

impl Readiness {
    /// Reads the recovery files beside a bundle; `None` if it has none.
    pub fn read(bundle: &Path) -> Option<Self> {
        let beside = match Beside::look(bundle) {
            Ok(beside) => beside,
            Err(error) if plain::is_of_the_system(&error) => {
                let unread = vec![format!("its folder can't be listed: {error}")];
                return Some(Self { files: Vec::new(), recovery_slices: 0, slices: 0, unread });
            }
            Err(_) => return None,
        };
        let set = beside.set_of(bundle);
        let (unchecked, checked): (Vec<_>, Vec<_>) =
            beside.files_of(bundle, set).partition(|file| file.unchecked);
        let unread: Vec<String> = unchecked
            .into_iter()
            .map(|file| {
                let why = file.unread.as_deref().unwrap_or_default();
                format!("{} could not be checked: {why}", file.path.display())
            })
            .collect();
        let files: Vec<_> = checked.into_iter().map(|f| (f.path.clone(), f.is_whole())).collect();
        (!files.is_empty() || !unread.is_empty()).then(|| Self {
            files,
            unread,
            recovery_slices: set.map_or(0, |set| set.recovery.len()),
            slices: set.map_or(0, |set| set.checksums.len()),
        })
    }

    /// Whether nothing is known to be wrong with the recovery files.
    pub fn is_whole(&self) -> bool {
        self.recovery_slices > 0 && self.files.iter().all(|(_, whole)| *whole)
    }

    /// The files that are damaged.
    pub fn damaged(&self) -> impl Iterator<Item = &Path> {
        self.files.iter().filter(|(_, whole)| !whole).map(|(path, _)| path.as_path())
    }
}

/// Whether a set is of a file of the bundle's name.
pub fn is_named(set: &Set, bundle: &Path) -> bool {
    bundle
        .file_name()
        .and_then(|name| name.to_str())
        .is_some_and(|name| set.file.name == name.as_bytes())
}

/// MD5 of a file's first 16 KiB.
fn beginning(path: &Path) -> std::io::Result<packet::Id> {
    use std::io::Read;
    let mut start = Vec::new();
    plain::file(path)?.take(packet::BEGINNING).read_to_end(&mut start)?;
    Ok(Md5::digest(&start).into())
}
