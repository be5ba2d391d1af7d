//! The manifests of a bag, whoever made it and by whichever algorithm, and the digests of its files (RFC 8493,
//! sections 2.1.3, 2.2.1 and 2.4).

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, Read, Write};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use md5::Md5;
use sha1::Sha1;
use sha2::digest::DynDigest;
use sha2::{Sha224, Sha384};

use super::bag::{self, Manifest};
use super::digest::{self, Digests};
use super::layout;
use super::open::Bundle;
use crate::records::plain;

/// How a file of a bundle was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// As in every manifest.
    Whole,
    /// There, but not as in a manifest.
    Changed,
    /// Listed, but not there.
    Missing,
    /// There, but not in every manifest.
    NotListed,
    /// There, but cut off.
    Unreadable,
    /// There, but not read, since there is far more than Payload-Oxum says.
    TooMuch,
    /// There, but the system did not let it be read, so nothing is known of it.
    Unchecked,
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
            State::Unchecked => "could not be checked",
        }
    }
}

/// A digest that this program computes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Algorithm {
    /// MD5 (RFC 1321), weak against deliberate change.
    Md5,
    /// SHA-1 (FIPS 180-4), weak against deliberate change.
    Sha1,
    /// SHA-224 (FIPS 180-4).
    Sha224,
    /// SHA-256 (FIPS 180-4).
    Sha256,
    /// SHA-384 (FIPS 180-4).
    Sha384,
    /// SHA-512 (FIPS 180-4).
    Sha512,
}

impl Algorithm {
    const ALL: [Self; 6] =
        [Self::Md5, Self::Sha1, Self::Sha224, Self::Sha256, Self::Sha384, Self::Sha512];

    /// The one that a manifest is named after: lower case, and signs between letters and digits left out
    /// (section 2.4).
    fn parse(name: &str) -> Option<Self> {
        let plain: String = name
            .chars()
            .filter(char::is_ascii_alphanumeric)
            .collect::<String>()
            .to_ascii_lowercase();
        Self::ALL.into_iter().find(|algorithm| algorithm.name() == plain)
    }

    /// Its name, as in the names of manifests.
    pub fn name(self) -> &'static str {
        match self {
            Self::Md5 => "md5",
            Self::Sha1 => "sha1",
            Self::Sha224 => "sha224",
            Self::Sha256 => "sha256",
            Self::Sha384 => "sha384",
            Self::Sha512 => "sha512",
        }
    }

    /// Whether two files can be made that differ and have the same digest.
    pub fn is_weak(self) -> bool {
        matches!(self, Self::Md5 | Self::Sha1)
    }

    fn hex_digits(self) -> usize {
        match self {
            Self::Md5 => 32,
            Self::Sha1 => 40,
            Self::Sha224 => 56,
            Self::Sha256 => 64,
            Self::Sha384 => 96,
            Self::Sha512 => 128,
        }
    }

    /// What computes it; `None` for those that are always computed.
    fn hasher(self) -> Option<Box<dyn DynDigest + Send>> {
        match self {
            Self::Md5 => Some(Box::<Md5>::default()),
            Self::Sha1 => Some(Box::<Sha1>::default()),
            Self::Sha224 => Some(Box::<Sha224>::default()),
            Self::Sha384 => Some(Box::<Sha384>::default()),
            Self::Sha256 | Self::Sha512 => None,
        }
    }
}

/// A manifest of a bag.
#[derive(Debug)]
pub struct Listing {
    /// The name of its file.
    pub name: String,
    /// Its algorithm.
    pub algorithm: Algorithm,
    /// Whether it lists tag files, and not the payload.
    pub of_tags: bool,
    /// What it lists.
    pub manifest: Manifest,
}

/// The manifests of a bag.
#[derive(Debug, Default)]
pub struct Listings {
    /// Those that the files can be compared with.
    pub known: Vec<Listing>,
    /// The names of those whose algorithm this program does not compute.
    pub unknown: Vec<String>,
    /// What is wrong with them, in sentences.
    pub wrong: Vec<String>,
}

/// Whether a file of a bag is a tag manifest, by its path.
pub fn is_tag_manifest(path: &str) -> bool {
    path.starts_with("tagmanifest-") && path.ends_with(".txt") && !path.contains('/')
}

/// Whether a file of a bag is a payload manifest, by its path.
pub fn is_payload_manifest(path: &str) -> bool {
    path.starts_with("manifest-") && path.ends_with(".txt") && !path.contains('/')
}

impl Listings {
    /// Reads all manifests whose names are not in `but`; `text` returns the text of a file.
    pub fn read(
        bundle: &Bundle,
        but: &[&str],
        text: impl Fn(&str) -> Result<String, String>,
    ) -> Self {
        let mut all = Self::default();
        for (path, _) in bundle.sizes().filter(|(path, _)| !but.contains(path)) {
            let of_tags = is_tag_manifest(path);
            if !of_tags && !is_payload_manifest(path) {
                continue;
            }
            let named = path.trim_end_matches(".txt").split_once('-').map(|(_, name)| name);
            let Some(algorithm) = named.and_then(Algorithm::parse) else {
                all.unknown.push(path.to_string());
                continue;
            };
            match text(path) {
                Err(why) => all.wrong.push(format!("{path} {why}")),
                Ok(text) => {
                    let mut manifest = bag::read_manifest(path, &text, algorithm.hex_digits());
                    all.wrong.append(&mut manifest.wrong);
                    let name = path.to_string();
                    all.wrong.extend(out_of_place(&name, of_tags, &manifest));
                    all.known.push(Listing { name, algorithm, of_tags, manifest });
                }
            }
        }
        all
    }

    /// Those that list tag files, or those that list the payload.
    pub fn listing(&self, tags: bool) -> impl Iterator<Item = &Listing> {
        self.known.iter().filter(move |listing| listing.of_tags == tags)
    }

    /// The algorithms that they need.
    pub fn algorithms(&self) -> BTreeSet<Algorithm> {
        self.known.iter().map(|listing| listing.algorithm).collect()
    }
}

/// What a manifest must not list: tag files in one of the payload, the payload or a tag manifest in one of tag
/// files (sections 2.1.3 and 2.2.1).
pub fn out_of_place(name: &str, of_tags: bool, manifest: &Manifest) -> Vec<String> {
    let mut wrong = Vec::new();
    let paths = || manifest.digests.keys();
    if of_tags && let Some(path) = paths().find(|path| is_tag_manifest(path)) {
        wrong.push(format!("{name} lists {path}, but no tag manifest may list a tag manifest"));
    }
    if let Some(path) = paths().find(|path| path.starts_with(layout::DATA) == of_tags) {
        let place = if of_tags { "the payload" } else { "no file of the payload" };
        wrong.push(format!("{name} lists {}, which is {place}", path.escape_debug()));
    }
    wrong
}

/// The digests of a file.
#[derive(Debug)]
pub struct FileDigests {
    digests: Digests,
    more: BTreeMap<Algorithm, String>,
}

impl FileDigests {
    /// Bytes.
    pub fn size(&self) -> u64 {
        self.digests.size
    }

    /// One of its digests, lower-case hexadecimal.
    pub fn by(&self, algorithm: Algorithm) -> Option<&str> {
        match algorithm {
            Algorithm::Sha256 => Some(&self.digests.hex[0]),
            Algorithm::Sha512 => Some(&self.digests.hex[1]),
            other => self.more.get(&other).map(String::as_str),
        }
    }
}

/// A file read to its end; an error if that could not be done, or it grew or shrank meanwhile.
pub type Found = io::Result<FileDigests>;

/// Bytes that are read of a bag beyond twice its Payload-Oxum: room for tag files, and for a payload that has grown.
const BEYOND: u64 = 1 << 30;

/// The files of a bag with their sizes, the largest first, and the paths of those that are not to be read: where
/// there are more than twice as many bytes as Payload-Oxum says and a gigabyte, the largest are left, since a sparse
/// file costs whoever made it nothing. Without a Payload-Oxum all are to be read.
pub fn within_oxum(bundle: &Bundle) -> (Vec<(&str, u64)>, Vec<&str>) {
    let info = bundle.text(layout::BAG_INFO).unwrap_or_default();
    let bytes = bag::info_value(&info, "Payload-Oxum").and_then(oxum).map(|(bytes, _)| bytes);
    let most = bytes.map_or(u64::MAX, |bytes| bytes.saturating_mul(2).saturating_add(BEYOND));
    let mut paths: Vec<(&str, u64)> = bundle.sizes().collect();
    paths.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(b.0)));
    let mut all = paths.iter().fold(0_u64, |sum, (_, size)| sum.saturating_add(*size));
    let too_much = |size: u64| {
        let too_much = all > most;
        all = all.saturating_sub(size);
        too_much
    };
    let count = paths.iter().map(|(_, size)| *size).map(too_much).take_while(|more| *more).count();
    let left = paths.drain(..count).map(|(path, _)| path).collect();
    (paths, left)
}

/// Digests of files.
pub fn digest_all(
    bundle: &Bundle,
    paths: &[(&str, u64)],
    more: &BTreeSet<Algorithm>,
    progress: &(dyn Fn(u64) + Sync),
) -> BTreeMap<String, Found> {
    read_each(paths, |path, size| digest_file(bundle, path, size, more, progress))
}

/// Reads each of some files, as many at once as there are threads; where fewer files are left than threads, the two
/// digests that are always computed are computed in parallel.
pub fn read_each<T: Send>(
    paths: &[(&str, u64)],
    read: impl Fn(&str, u64) -> io::Result<T> + Sync,
) -> BTreeMap<String, io::Result<T>> {
    let next = AtomicUsize::new(0);
    let found = Mutex::new(BTreeMap::new());
    rayon::scope(|scope| {
        for _ in 0..rayon::current_num_threads().min(paths.len()) {
            scope.spawn(|_| {
                while let Some((path, size)) = paths.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let result = read(path, *size);
                    let mut found = found.lock().unwrap_or_else(PoisonError::into_inner);
                    found.insert((*path).to_string(), result);
                }
            });
        }
    });
    let mut found = found.into_inner().unwrap_or_else(PoisonError::into_inner);
    // Where there were too few handles, or too little memory, for several at once, there may be enough for one.
    for (path, size) in paths {
        if let Some(again) = found.get_mut(*path)
            && again.as_ref().is_err_and(plain::is_of_the_system)
        {
            *again = read(path, *size);
        }
    }
    found
}

fn digest_file(
    bundle: &Bundle,
    path: &str,
    size: u64,
    more: &BTreeSet<Algorithm>,
    progress: &(dyn Fn(u64) + Sync),
) -> io::Result<FileDigests> {
    let hashers = more.iter().filter_map(|one| Some((*one, one.hasher()?)));
    let mut hashers = Hashers(hashers.collect());
    // A file that grows while it is read has no end.
    let reader = bundle.reader(path)?.take(size.saturating_add(1));
    let digests = digest::copy(reader, &mut hashers, progress)?;
    if digests.size != size {
        return Err(io::ErrorKind::UnexpectedEof.into());
    }
    let finished = |(algorithm, hasher): (Algorithm, Box<dyn DynDigest + Send>)| {
        (algorithm, digest::hex(&hasher.finalize()))
    };
    Ok(FileDigests { digests, more: hashers.0.into_iter().map(finished).collect() })
}

/// Computes digests of what is written to it.
struct Hashers(Vec<(Algorithm, Box<dyn DynDigest + Send>)>);

impl Write for Hashers {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.iter_mut().for_each(|(_, hasher)| hasher.update(bytes));
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// `fetch.txt`: files of the payload that stand elsewhere. Nothing is ever fetched.
#[derive(Debug, Default)]
pub struct Fetch {
    /// The paths that it names.
    pub paths: BTreeSet<String>,
    /// What is wrong with it, in sentences.
    pub wrong: Vec<String>,
}

/// The name of its file.
pub const FETCH: &str = "fetch.txt";

impl Fetch {
    /// Reads it; every file that it names must be listed in every manifest of the payload (section 2.2.3).
    pub fn read(text: &str, lists: &[&Manifest]) -> Self {
        let mut fetch = Self::default();
        let mut wrong = super::directory::Oddities::default();
        let lines = text.lines().take(super::directory::MOST_ENTRIES as usize);
        for (number, line) in lines.enumerate().filter(|(_, line)| !line.trim().is_empty()) {
            let number = number + 1;
            let mut parts = line.trim().splitn(2, [' ', '\t']).map(str::trim);
            let rest = parts.nth(1).and_then(|rest| rest.split_once([' ', '\t']));
            let is_size = |size: &str| size == "-" || size.parse::<u64>().is_ok();
            let Some((_, path)) = rest.filter(|(size, _)| is_size(size)) else {
                wrong.add(format!("{FETCH}:{number} is not a URL, a length and a path"));
                continue;
            };
            let path = bag::decoded(path.trim_start());
            if bag::unsafe_path(&path).is_some() || !path.starts_with(layout::DATA) {
                wrong.add(format!("{FETCH}:{number} names a path that is not below data/"));
            } else if lists.iter().any(|list| !list.digests.contains_key(&path)) {
                let path = path.escape_debug();
                wrong.add(format!("{FETCH}:{number} names {path}, which not every manifest lists"));
            } else {
                fetch.paths.insert(path);
            }
        }
        fetch.wrong = wrong.sentences();
        fetch
    }

    /// How many of the files that it names are not there.
    pub fn lacking(&self, bundle: &Bundle) -> usize {
        self.paths.iter().filter(|path| !bundle.has(path)).count()
    }
}

/// What Payload-Oxum says: bytes and files (section 2.2.2).
pub fn oxum(text: &str) -> Option<(u64, u64)> {
    let (bytes, files) = text.split_once('.')?;
    Some((bytes.parse().ok()?, files.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The digests of "abc" by the standards (RFC 1321, appendix A.5; FIPS 180-4 examples, from memory).
    #[test]
    fn digests_are_those_of_the_standards() {
        for (name, digest) in [
            ("md5", "900150983cd24fb0d6963f7d28e17f72"),
            ("SHA-1", "a9993e364706816aba3e25717850c26c9cd0d89d"),
            ("sha224", "23097d223405d8228642a477bda255b32aadbce4bda0b3f7e36c9da7"),
            (
                "sha-384",
                "cb00753f45a35e8bb5a03d699ac65007272c32ab0eded1631a8b605a43ff5bed8086072ba1e7cc2358baeca134c825a7",
            ),
        ] {
            let algorithm = Algorithm::parse(name).expect("a known name");
            let mut hasher = algorithm.hasher().expect("a hasher");
            hasher.update(b"abc");
            assert_eq!(digest::hex(&hasher.finalize()), digest, "{name}");
            assert_eq!(algorithm.hex_digits(), digest.len(), "{name}");
        }
        assert_eq!(Algorithm::parse("sha3256"), None);
    }

    #[test]
    fn what_is_to_be_fetched_is_named_and_judged() {
        let digest = "0".repeat(32);
        let list = bag::read_manifest("m", &format!("{digest}  data/a b\n"), 32);
        let text = "https://example.org/a - data/a b\nhttps://example.org/b 12 data/b\nx\n\
                    https://example.org/c 1 ../c\nhttps://example.org/d many data/a b\n";
        let fetch = Fetch::read(text, &[&list]);
        assert_eq!(fetch.paths.into_iter().collect::<Vec<_>>(), ["data/a b"]);
        let said = fetch.wrong.join("\n");
        assert_eq!(fetch.wrong.len(), 4, "{said}");
        assert!(
            said.contains("fetch.txt:2 names data/b, which not every manifest lists"),
            "{said}"
        );
        assert_eq!((oxum("12.3"), oxum("12"), oxum("a.b")), (Some((12, 3)), None, None));
    }
}
