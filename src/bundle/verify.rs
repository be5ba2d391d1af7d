//! Fixity: is every file what the manifests say, and is every file listed?

use std::collections::BTreeMap;
use std::io;
use std::path::Path;

use super::bag::{self, Manifest};
use super::digest;
use super::error::BundleError;
use super::layout;
use super::manifests::{self, State};
use super::open::{Bundle, Proved};
use super::others;
use super::version;
use crate::records::plain;

/// What fixity says of a bundle.
#[derive(Debug)]
pub struct Fixity {
    /// Each file and how it was found, by path.
    pub files: BTreeMap<String, State>,
    /// Why files could not be checked, by path.
    pub unchecked: BTreeMap<String, String>,
    /// What is wrong beside single files, in sentences.
    pub wrong: Vec<String>,
    /// Additional manifests that the files were not compared with, since this program does not compute their digests.
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

    /// Everything that is wrong, a sentence each.
    pub fn troubles(&self) -> impl Iterator<Item = String> + '_ {
        let files =
            self.files.iter().filter(|(_, state)| **state != State::Whole).map(|(path, state)| {
                match self.unchecked.get(path) {
                    None => format!("{path}: {}", state.words()),
                    Some(why) => format!("{path}: {}: {why}", state.words()),
                }
            });
        files.chain(self.wrong.iter().cloned())
    }

    /// Whether something was found to be damaged, whatever could not be checked.
    pub fn is_damaged(&self) -> bool {
        let sound = |state: &State| matches!(state, State::Whole | State::Unchecked);
        !self.wrong.is_empty() || !self.files.values().all(sound)
    }

    /// The error if not everything could be checked, for the bundle at `at`.
    pub fn unchecked_error(&self, at: &Path) -> Option<BundleError> {
        let (path, why) = self.unchecked.first_key_value()?;
        let count = self.unchecked.len();
        let wrong = format!(
            "{count} of {} files could not be checked, {path} among them: {why}",
            self.files.len()
        );
        let advice = "check the permissions, the medium and the limit on open files (ulimit -n), then run again";
        Some(BundleError::new(at, wrong, advice))
    }

    /// How many files were found so.
    pub fn count(&self, state: State) -> usize {
        self.files.values().filter(|found| **found == state).count()
    }
}

/// Reads every byte of a bundle once and compares it with the manifests. `progress` is called with the number of bytes
/// read. Whatever is read of the bundle after that is compared with what was found. A file that changed meanwhile is an
/// error, and so is a tag file that the system does not let be read, since without it nothing is known of the others.
pub fn fixity(bundle: &Bundle, progress: &(dyn Fn(u64) + Sync)) -> Result<Fixity, BundleError> {
    let mut wrong = bundle.odd.clone();
    let digests = digest_all(bundle, progress);
    let proved = digests.iter().filter_map(|(path, found)| {
        found.as_ref().ok().map(|proved| (path.clone(), proved.clone()))
    });
    bundle.prove(proved.collect());
    bundle.refuse_changed()?;
    let mut unchecked: BTreeMap<String, String> = digests
        .iter()
        .filter_map(|(path, found)| {
            let error = found.as_ref().err().filter(|error| plain::is_of_the_system(error))?;
            Some((path.clone(), error.to_string()))
        })
        .collect();
    let manifests = read_manifests(bundle, &mut wrong)?;
    check_declaration(bundle, &mut wrong)?;
    check_oxum(bundle, &mut wrong)?;

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
    let more_manifests =
        others::check_more_manifests(bundle, &mut files, &mut unchecked, &mut wrong);
    if version::stated(bundle)?.is_none() {
        let file = layout::BAG_INFO;
        wrong.push(format!("{file} does not state the format, as {}", version::LABEL));
    }
    let seal = match digests.get(layout::TAG_MANIFESTS[0]) {
        Some(Ok(proved)) => Some(proved.digests.hex[0].clone()),
        _ => None,
    };
    let bytes = digests.values().flatten().map(|proved| proved.digests.size).sum();
    bundle.refuse_changed()?;
    Ok(Fixity { files, unchecked, wrong, more_manifests, seal, bytes })
}

type Found = Result<Proved, io::Error>;

/// Digests of every file that is to be read.
fn digest_all(bundle: &Bundle, progress: &(dyn Fn(u64) + Sync)) -> BTreeMap<String, Found> {
    // The largest first, so that no thread has a large one left at the end.
    let (paths, _) = manifests::within_oxum(bundle);
    manifests::read_each(&paths, |path, size| proved(bundle, path, size, progress))
}

/// Reads a file whole.
fn proved(bundle: &Bundle, path: &str, size: u64, progress: &(dyn Fn(u64) + Sync)) -> Found {
    let (reader, stamp) = bundle.raw(path)?;
    let digests = digest::copy(reader, io::sink(), progress)?;
    if digests.size == size {
        return Ok(Proved { digests, stamp });
    }
    // A zip may be cut off; a file of a folder was as long as it was listed.
    match bundle.is_folder() {
        true => Err(bundle.note_changed(path)),
        false => Err(io::ErrorKind::UnexpectedEof.into()),
    }
}

/// For SHA-256 and SHA-512: the payload manifest and the tag manifest.
type Manifests = [[Option<Manifest>; 2]; 2];

const HEX_DIGITS: [usize; 2] = [64, 128];

fn read_manifests(bundle: &Bundle, wrong: &mut Vec<String>) -> Result<Manifests, BundleError> {
    let mut read = |name: &str, hex_digits: usize| -> Result<Option<Manifest>, BundleError> {
        let read = bundle.tag_text(name)?.map(|text| {
            let mut manifest = bag::read_manifest(name, &text, hex_digits);
            wrong.append(&mut manifest.wrong);
            let of_tags = manifests::is_tag_manifest(name);
            wrong.extend(manifests::out_of_place(name, of_tags, &manifest));
            manifest
        });
        Ok(read.map_err(|why| wrong.push(why)).ok())
    };
    let mut both = |which: usize| -> Result<[Option<Manifest>; 2], BundleError> {
        Ok([
            read(layout::MANIFESTS[which], HEX_DIGITS[which])?,
            read(layout::TAG_MANIFESTS[which], HEX_DIGITS[which])?,
        ])
    };
    Ok([both(0)?, both(1)?])
}

fn state_of(path: &str, found: Result<&Proved, &io::Error>, manifests: &Manifests) -> State {
    let digests = match found {
        Ok(proved) => &proved.digests,
        Err(error) if plain::is_of_the_system(error) => return State::Unchecked,
        Err(_) => return State::Unreadable,
    };
    if manifests::is_tag_manifest(path) {
        // Nothing lists the tag manifests themselves: the seal is what proves them.
        return State::Whole;
    }
    let side = usize::from(!path.starts_with(layout::DATA));
    // Without a manifest nothing shows that the file is whole.
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
fn check_declaration(bundle: &Bundle, wrong: &mut Vec<String>) -> Result<(), BundleError> {
    match bundle.tag_text(layout::BAGIT)? {
        Ok(text) => {
            let lines: Vec<&str> = text.lines().collect();
            let wanted: Vec<&str> = bag::DECLARATION.lines().collect();
            if lines != wanted {
                wrong.push(format!(
                    "{} is not the declaration of a BagIt 1.0 bag in UTF-8, in the order that the \
                     standard requires",
                    layout::BAGIT
                ));
            }
        }
        Err(why) => wrong.push(why),
    }
    Ok(())
}

fn check_oxum(bundle: &Bundle, wrong: &mut Vec<String>) -> Result<(), BundleError> {
    let Ok(info) = bundle.tag_text(layout::BAG_INFO)? else {
        wrong.push(format!("{} is not there or can't be read", layout::BAG_INFO));
        return Ok(());
    };
    let Some(stated) = bag::info_value(&info, "Payload-Oxum") else {
        wrong.push(format!("{} does not state the Payload-Oxum", layout::BAG_INFO));
        return Ok(());
    };
    let payload = || bundle.sizes().filter(|(path, _)| path.starts_with(layout::DATA));
    let bytes = payload().fold(0_u64, |sum, (_, size)| sum.saturating_add(size));
    let found = format!("{bytes}.{}", payload().count());
    if stated != found {
        wrong.push(format!("Payload-Oxum states {stated} (bytes.files), but there are {found}"));
    }
    Ok(())
}
