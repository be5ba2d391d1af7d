//! Fixity: is every file what the manifests say, and is every file listed?

use std::collections::BTreeMap;
use std::io;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::bag::{self, Manifest};
use super::digest::{self, Digests};
use super::error::BundleError;
use super::layout;
use super::manifests;
use super::open::Bundle;
use super::others;
use super::version;

/// How a file of a bundle was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// As every manifest says.
    Whole,
    /// There, but not what a manifest says.
    Changed,
    /// Listed, but not there.
    Missing,
    /// There, but not in every manifest.
    NotListed,
    /// There, but it could not be read.
    Unreadable,
    /// There, but not read, since there is far more than Payload-Oxum says.
    TooMuch,
}

impl State {
    /// Its words.
    pub fn words(self) -> &'static str {
        match self {
            State::Whole => "whole",
            State::Changed => "changed",
            State::Missing => "missing",
            State::NotListed => "not listed",
            State::Unreadable => "unreadable",
            State::TooMuch => "not read, since there is far more than Payload-Oxum says",
        }
    }
}

/// What fixity says of a bundle.
#[derive(Debug)]
pub struct Fixity {
    /// Each file and how it was found, by path.
    pub files: BTreeMap<String, State>,
    /// What is wrong beside single files, in sentences.
    pub wrong: Vec<String>,
    /// Manifests beside those of every bundle that were not held against the files: this program does not compute
    /// their digests.
    pub more_manifests: Vec<String>,
    /// The seal: SHA-256 of `tagmanifest-sha256.txt`, if that is there.
    pub seal: Option<String>,
    /// Bytes read.
    pub bytes: u64,
}

impl Fixity {
    /// Whether everything is whole and nothing else is wrong.
    pub fn is_whole(&self) -> bool {
        self.wrong.is_empty() && self.files.values().all(|state| *state == State::Whole)
    }

    /// Everything that is not well, a sentence each.
    pub fn troubles(&self) -> impl Iterator<Item = String> + '_ {
        let files = self
            .files
            .iter()
            .filter(|(_, state)| **state != State::Whole)
            .map(|(path, state)| format!("{path}: {}", state.words()));
        files.chain(self.wrong.iter().cloned())
    }

    /// How many files were found so.
    pub fn count(&self, state: State) -> usize {
        self.files.values().filter(|found| **found == state).count()
    }
}

/// Reads every byte of a bundle once and compares. `moved` is told of the bytes read.
pub fn fixity(bundle: &Bundle, moved: &(dyn Fn(u64) + Sync)) -> Result<Fixity, BundleError> {
    let mut wrong = bundle.odd.clone();
    let digests = digest_all(bundle, moved);
    let manifests = read_manifests(bundle, &mut wrong);
    check_declaration(bundle, &mut wrong);
    check_oxum(bundle, &mut wrong);

    let mut files = BTreeMap::new();
    for (path, digests) in &digests {
        files.insert(path.clone(), state_of(path, digests.as_ref(), &manifests));
    }
    for [payload, tags] in &manifests {
        for listed in [payload, tags].into_iter().flatten() {
            for path in listed.digests.keys().filter(|path| !digests.contains_key(*path)) {
                files.insert(path.clone(), State::Missing);
            }
        }
    }
    for path in manifests::within_oxum(bundle).1 {
        files.insert(path.to_string(), State::TooMuch);
    }
    let unchecked = others::hold_against_more(bundle, &mut files, &mut wrong);
    if version::stated(bundle).is_none() {
        let file = layout::BAG_INFO;
        wrong.push(format!("{file} does not state the format, as {}", version::LABEL));
    }
    let seal = match digests.get(layout::TAG_MANIFESTS[0]) {
        Some(Ok(digests)) => Some(digests.hex[0].clone()),
        _ => None,
    };
    let bytes = digests.values().flatten().map(|digests| digests.size).sum();
    Ok(Fixity { files, wrong, more_manifests: unchecked, seal, bytes })
}

type Found = Result<Digests, io::Error>;

/// Digests of every file, as many at once as there are threads; where fewer files are left than threads,
/// both digests of one are taken at once.
fn digest_all(bundle: &Bundle, moved: &(dyn Fn(u64) + Sync)) -> BTreeMap<String, Found> {
    // The largest first, so that no thread is left with a large one at the end.
    let (paths, _) = manifests::within_oxum(bundle);
    let next = AtomicUsize::new(0);
    let found = Mutex::new(BTreeMap::new());
    rayon::scope(|scope| {
        for _ in 0..rayon::current_num_threads().min(paths.len()) {
            scope.spawn(|_| {
                while let Some((path, size)) = paths.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let digests = bundle
                        .reader(path)
                        .and_then(|reader| digest::copy(reader, io::sink(), moved))
                        .and_then(|digests| {
                            if digests.size == *size {
                                Ok(digests)
                            } else {
                                Err(io::ErrorKind::UnexpectedEof.into())
                            }
                        });
                    let mut found = match found.lock() {
                        Ok(found) => found,
                        Err(poisoned) => poisoned.into_inner(),
                    };
                    found.insert((*path).to_string(), digests);
                }
            });
        }
    });
    match found.into_inner() {
        Ok(found) => found,
        Err(poisoned) => poisoned.into_inner(),
    }
}

/// For SHA-256 and SHA-512: the payload manifest and the tag manifest.
type Manifests = [[Option<Manifest>; 2]; 2];

const HEX_DIGITS: [usize; 2] = [64, 128];

fn read_manifests(bundle: &Bundle, wrong: &mut Vec<String>) -> Manifests {
    let mut read = |name: &str, hex_digits: usize| -> Option<Manifest> {
        match bundle.text(name) {
            Ok(text) => {
                let mut manifest = bag::read_manifest(name, &text, hex_digits);
                wrong.append(&mut manifest.wrong);
                let of_tags = manifests::is_tag_manifest(name);
                wrong.extend(manifests::out_of_place(name, of_tags, &manifest));
                Some(manifest)
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                wrong.push(format!("{name} is not there"));
                None
            }
            Err(error) => {
                wrong.push(format!("{name} can't be read: {error}"));
                None
            }
        }
    };
    [0, 1].map(|which| {
        [
            read(layout::MANIFESTS[which], HEX_DIGITS[which]),
            read(layout::TAG_MANIFESTS[which], HEX_DIGITS[which]),
        ]
    })
}

fn state_of(path: &str, digests: Result<&Digests, &io::Error>, manifests: &Manifests) -> State {
    let Ok(digests) = digests else { return State::Unreadable };
    if manifests::is_tag_manifest(path) {
        // Nothing lists the tag manifests themselves; the seal stands for them.
        return State::Whole;
    }
    let side = usize::from(!path.starts_with(layout::DATA));
    // Where no manifest is there, nothing says that the file is whole.
    let listed_nowhere = manifests.iter().all(|of_digest| of_digest[side].is_none());
    let mut state = if listed_nowhere { State::NotListed } else { State::Whole };
    for (which, of_digest) in manifests.iter().enumerate() {
        let Some(manifest) = &of_digest[side] else { continue };
        match manifest.digests.get(path) {
            Some(listed) if *listed == digests.hex[which] => {}
            Some(_) => return State::Changed,
            None => state = State::NotListed,
        }
    }
    state
}

/// The declaration must be these two lines in this order (RFC 8493 section 2.1.1).
fn check_declaration(bundle: &Bundle, wrong: &mut Vec<String>) {
    match bundle.text(layout::BAGIT) {
        Ok(text) => {
            let lines: Vec<&str> = text.lines().collect();
            let wanted: Vec<&str> = bag::DECLARATION.lines().collect();
            if lines != wanted {
                wrong.push(format!(
                    "{} is not the declaration of a BagIt 1.0 bag in UTF-8, in the order that the \
                     standard wants",
                    layout::BAGIT
                ));
            }
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            wrong.push(format!("{} is not there", layout::BAGIT));
        }
        Err(error) => wrong.push(format!("{} can't be read: {error}", layout::BAGIT)),
    }
}

fn check_oxum(bundle: &Bundle, wrong: &mut Vec<String>) {
    let Ok(info) = bundle.text(layout::BAG_INFO) else {
        wrong.push(format!("{} is not there or can't be read", layout::BAG_INFO));
        return;
    };
    let Some(stated) = bag::info_value(&info, "Payload-Oxum") else {
        wrong.push(format!("{} does not state the Payload-Oxum", layout::BAG_INFO));
        return;
    };
    let payload = || bundle.sizes().filter(|(path, _)| path.starts_with(layout::DATA));
    let bytes = payload().fold(0_u64, |sum, (_, size)| sum.saturating_add(size));
    let found = format!("{bytes}.{}", payload().count());
    if stated != found {
        wrong.push(format!("Payload-Oxum says {stated} (bytes.files), and there are {found}"));
    }
}
