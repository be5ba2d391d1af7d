//! A damaged bundle refilled from copies of its files: into the places of the zip where they stood, so that recovery data
//! has less to make good; or, where the zip is beyond that too, into a new one.
//!
//! What belongs to the bundle is read from its tag manifest, and that must be proved: by the seal, if it is given or stands
//! beside the zip; else by nothing more than the damaged zip's own checksum, which is said. A tag manifest that only stands
//! in another place is never believed. All other files are then taken by the digests that it and the manifest list.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{Seek, SeekFrom};
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use tempfile::NamedTempFile;

use super::bag;
use super::copies::Copies;
use super::digest;
use super::error::BundleError;
use super::layout;
use super::pack::Packer;
use super::safely;
use super::salvage::{self, Entry};
use super::staging::StagingDir;
use crate::records::plain;

/// Files of a bundle by their paths, with their SHA-256.
type Listed = BTreeMap<String, String>;

/// A bundle and what other places hold of it.
pub struct Refill {
    copies: Copies,
    /// What belongs to it, the tag manifest by SHA-512 excepted, which nothing lists.
    listed: Listed,
    /// Where each file that was put back into the zip came from.
    pub taken: BTreeMap<String, PathBuf>,
    /// The damaged zip with those files put back; `None` if there were none.
    pub zip: Option<NamedTempFile>,
    /// What has to be known of it, in sentences.
    pub notes: Vec<String>,
    staging: StagingDir,
}

impl Refill {
    /// Looks for copies in `places` and in what is left of the zip at `bundle`, and puts those of damaged files back into a
    /// copy of it, which is made beside `out`.
    pub fn look(
        bundle: &Path,
        places: &[PathBuf],
        seal: Option<&str>,
        out: &Path,
    ) -> Result<Self, BundleError> {
        let mut copies = Copies::default();
        for place in places {
            if !place.exists() {
                return Err(BundleError::new(place, "is not there", "check the name"));
            }
            copies.look(place);
        }
        let mut entries = Vec::new();
        if bundle.is_file() {
            copies.look(bundle);
            let unread = |error| BundleError::io(bundle, "can't be read", &error);
            let mut file = plain::file(bundle).map_err(unread)?;
            entries = salvage::bundle_entries(&mut file).map_err(unread)?;
        }
        let mut notes = copies.unread.clone();
        let listed = listed(bundle, &entries, &copies, seal, &mut notes);
        let staging = StagingDir::beside(out)?;
        let (taken, zip) = (BTreeMap::new(), None);
        let mut refill = Self { copies, listed, taken, zip, notes, staging };
        refill.put_back(bundle, &entries)?;
        Ok(refill)
    }

    fn put_back(&mut self, bundle: &Path, entries: &[Entry]) -> Result<(), BundleError> {
        let lacking = entries.iter().filter_map(|entry| {
            let sha256 = self.listed.get(&entry.path)?;
            let copy = self.copies.of(sha256)?;
            let is_elsewhere = !entry.is_whole && copy.size == entry.size;
            is_elsewhere.then(|| (entry, sha256.clone(), copy.place.clone()))
        });
        for (entry, sha256, place) in lacking.collect::<Vec<_>>() {
            if self.zip.is_none() {
                let mut copy = safely::temporary(&self.staging)?;
                plain::file(bundle)
                    .and_then(|mut from| std::io::copy(&mut from, copy.as_file_mut()))
                    .map_err(|error| BundleError::io(bundle, "can't be copied", &error))?;
                self.zip = Some(copy);
            }
            let Some(zip) = &mut self.zip else { continue };
            let to = zip.as_file_mut();
            let written = to
                .seek(SeekFrom::Start(entry.at))
                .and_then(|_| self.copies.write(&sha256, to))
                .map_err(|error| BundleError::io(&place, "can't be read", &error));
            match written {
                Ok(_) => {
                    self.taken.insert(entry.path.clone(), place);
                }
                // It is damaged as it was before, or more, and no worse off.
                Err(error) => self.notes.push(format!("{}: {}", error.at, error.wrong)),
            }
        }
        match &self.zip {
            Some(zip) => safely::flush(&self.staging, zip),
            None => Ok(()),
        }
    }

    /// The files of the bundle of which there is no copy; `None` if it is not known what belongs to it.
    pub fn lacking(&self) -> Option<Vec<&str>> {
        let lacks = |(_, sha256): &(&String, &String)| self.copies.of(sha256).is_none();
        let lacking = self.listed.iter().filter(lacks).map(|(path, _)| path.as_str());
        self.listed.contains_key(layout::TAG_MANIFESTS[0]).then(|| lacking.collect())
    }

    /// A new zip of the bundle's files, each taken from wherever there is a copy. Its seal is the old one, though the files
    /// may follow each other in another order. Where each came from, if not from the damaged zip, is in `taken`.
    pub fn put_together(
        &mut self,
        bundle: &Path,
        out: &Path,
    ) -> Result<NamedTempFile, BundleError> {
        let name = bundle.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let file = safely::temporary(&self.staging)?;
        let to = file.as_file().try_clone();
        let to = to.map_err(|error| safely::unwritten(&self.staging, &error))?;
        let info = self.listed.get(layout::BAG_INFO).and_then(|sha256| self.copies.text(sha256));
        let date = info.as_deref().and_then(|info| bag::info_value(info, "Bagging-Date"));
        let date = date.and_then(|date| date.parse::<NaiveDate>().ok()).unwrap_or_default();
        let mut packer = Packer::new(to, out, &name, date);
        let mut tags = BTreeMap::new();
        for (path, sha256) in in_order(&self.listed) {
            let mut part = safely::temporary(&self.staging)?;
            let size = self
                .copies
                .write(sha256, part.as_file_mut())
                .map_err(|error| BundleError::io(path, "can't be read", &error))?;
            let part = plain::file(part.path())
                .map_err(|error| safely::unwritten(&self.staging, &error))
                .and_then(|read| packer.add_file(path, (read, part.path()), size, &|_| {}));
            part?;
            if let Some(copy) = self.copies.of(sha256).filter(|copy| copy.place != bundle) {
                self.taken.insert(path.clone(), copy.place.clone());
            }
        }
        for (path, digests) in packer.files() {
            if !path.starts_with(layout::DATA) && *path != layout::TAG_MANIFESTS[0] {
                tags.insert(path.clone(), digests.clone());
            }
        }
        packer.add_bytes(layout::TAG_MANIFESTS[1], bag::manifest(&tags, 1).as_bytes())?;
        packer.finish()?;
        safely::flush(&self.staging, &file)?;
        Ok(file)
    }
}

/// Files in the order of [`layout::CONTENTS`], and by name where that leaves it open.
fn in_order(listed: &Listed) -> Vec<(&String, &String)> {
    let number =
        |path: &str| layout::CONTENTS.iter().position(|(place, _)| path.starts_with(place));
    let mut files: Vec<(&String, &String)> = listed.iter().collect();
    files.sort_by_key(|(path, _)| (number(path), *path));
    files
}

/// What belongs to a bundle, as far as that is proved; `notes` is told by what.
fn listed(
    bundle: &Path,
    entries: &[Entry],
    copies: &Copies,
    seal: Option<&str>,
    notes: &mut Vec<String>,
) -> Listed {
    let [tag_manifest, _] = layout::TAG_MANIFESTS;
    let [manifest, _] = layout::MANIFESTS;
    let in_zip = |path: &str| {
        let entry = entries.iter().find(|entry| entry.is_whole && entry.path == path)?;
        let mut file = plain::file(bundle).ok()?;
        file.seek(SeekFrom::Start(entry.at)).ok()?;
        sha256_of(file, entry.size)
    };
    let beside = seal_beside(bundle).filter(|seal| copies.of(seal).is_some());
    let (proof, sealed) = match (seal, &beside) {
        (Some(seal), _) => ("the seal given", Some(seal)),
        (None, beside) => ("the seal in the file beside the zip", beside.as_deref()),
    };
    let mut listed = Listed::new();
    let tags = match (sealed, in_zip(tag_manifest)) {
        (Some(seal), _) if copies.of(seal).is_some() => {
            notes.push(format!("what belongs to the bundle is proved by {proof}"));
            Some(seal.to_string())
        }
        (Some(_), _) => {
            notes.push(format!("no {tag_manifest} that is left fits {proof}"));
            None
        }
        (None, Some(sha256)) => {
            notes.push(format!(
                "what belongs to the bundle is known from its own {tag_manifest}, which only the zip's checksum shows to be \
                 whole: compare the seal with the one on paper"
            ));
            Some(sha256)
        }
        (None, None) => {
            notes.push(format!(
                "nothing that is left proves what belongs to the bundle, so nothing was taken from another place: its \
                 {tag_manifest} is lost; give the seal on paper with --seal"
            ));
            None
        }
    };
    let Some(tags) = tags else { return listed };
    let of = |name: &str, sha256: &str| {
        copies.text(sha256).map(|text| bag::read_manifest(name, &text, 64).digests)
    };
    listed.extend(of(tag_manifest, &tags).unwrap_or_default());
    listed.insert(tag_manifest.to_string(), tags);
    match listed.get(manifest).and_then(|sha256| of(manifest, sha256)) {
        Some(payload) => listed.extend(payload),
        None => {
            notes.push(format!(
                "no {manifest} that is left is the bundle's: its payload is not known"
            ));
        }
    }
    listed
}

/// The seal in the file that closeout writes beside a zip, if it is there and can be read.
fn seal_beside(bundle: &Path) -> Option<String> {
    let name = bundle.file_stem()?.to_string_lossy();
    let text = fs::read(bundle.with_file_name(format!("{name}-seal.txt"))).ok()?;
    let text = String::from_utf8_lossy(&text).into_owned();
    let digits: String = text.lines().next()?.split_whitespace().collect();
    let is_seal = digits.len() == 64 && digits.bytes().all(|byte| byte.is_ascii_hexdigit());
    is_seal.then(|| digits.to_ascii_lowercase())
}

fn sha256_of(file: File, size: u64) -> Option<String> {
    use std::io::Read;
    let digests = digest::copy(file.take(size), std::io::sink(), &|_| {}).ok()?;
    let [sha256, _] = digests.hex;
    (digests.size == size).then_some(sha256)
}
