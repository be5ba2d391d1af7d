//! Reading recovery files, however damaged: every packet whose MD5 is right is used, wherever it is, and nothing else is
//! trusted, but for one thing. The checksums of all slices stand in one packet, which is so long that damage all over a
//! medium leaves no copy of it whole: then each checksum is taken from whichever copies are left, where a slice that fits
//! one of them shows that both are as they were, and the MD5 of the whole file, from another packet, proves the result.
//! No length or count that is read decides how much memory is allocated, and names in packets are only shown.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use md5::{Digest, Md5};

use super::packet::{self, Checksum, Described, Head, Id, MOST_SLICES, Main};
use crate::records::plain;

/// Bytes read at a time.
const CHUNK: usize = 64 * 1024;
/// Bytes that one failed read of a medium is assumed to affect.
pub const SECTOR: u64 = 4096;
/// Longest packet, bytes, that is read into memory: the checksums of the most slices fit.
const LONGEST: u64 = 1 << 20;
/// Packets of one sort that are remembered; the format has no use for more.
const MOST_PACKETS: usize = 66_000;
/// Bytes at a file's beginning in which a first packet makes it a recovery file, whatever its name.
const LOOKED_AT: usize = 4096;

/// Work that may be wasted on what looks right and isn't, bytes: a file can be made so that every byte of
/// it begins something that must be read to its end before it proves wrong.
#[derive(Debug)]
pub struct Patience(u64);

impl Patience {
    /// Enough for any honest file of this size.
    pub fn for_bytes(size: u64) -> Self {
        Self(size.saturating_mul(4).saturating_add(1 << 24))
    }

    /// Takes off what has been wasted; false when there is none left.
    pub fn wasted(&mut self, bytes: u64) -> bool {
        // A try costs something, however few bytes it reads.
        self.0 = self.0.saturating_sub(bytes.max(4096));
        self.0 > 0
    }
}

/// Where a packet stands.
#[derive(Debug, Clone, Copy)]
pub struct Place {
    /// Which of the recovery files.
    pub file: usize,
    /// Offset of its head.
    pub at: u64,
    /// Bytes, head and all.
    pub length: u64,
}

/// A recovery file as it was found.
#[derive(Debug)]
pub struct RecoveryFile {
    /// Where it is.
    pub path: PathBuf,
    /// Bytes.
    pub size: u64,
    /// Bytes that belong to no whole packet.
    pub damaged: u64,
    /// Recovery slices in whole packets.
    pub slices: usize,
    /// The sets that its packets are of.
    pub sets: BTreeSet<Id>,
    /// Why it could not be read to its end.
    pub unread: Option<String>,
    /// Whether that is because the system did not let it be read, which says nothing of the file.
    pub unchecked: bool,
}

impl RecoveryFile {
    /// Whether it can be said that something is wrong with it: bytes that are no packets, or fewer
    /// recovery slices than its name promises.
    pub fn is_whole(&self) -> bool {
        self.damaged == 0
            && self.unread.is_none()
            && self.promised().is_none_or(|promised| self.slices >= promised)
    }

    /// Recovery slices that a name such as `bundle.zip.vol000+143.par2` promises.
    pub fn promised(&self) -> Option<usize> {
        let name = self.path.file_name()?.to_str()?.to_ascii_lowercase();
        let (_, numbers) = name.strip_suffix(".par2")?.rsplit_once(".vol")?;
        let (first, count) = numbers.split_once('+')?;
        first.parse::<usize>().ok()?;
        count.parse().ok()
    }
}

/// All that was found in some recovery files.
#[derive(Debug, Default)]
pub struct Found {
    /// The files, in the order of their paths.
    pub files: Vec<RecoveryFile>,
    sets: BTreeMap<Id, Packets>,
}

/// The packets of one set.
#[derive(Debug, Default)]
struct Packets {
    main: Option<Place>,
    /// By the file's id.
    described: BTreeMap<Id, Place>,
    checksums: BTreeMap<Id, Place>,
    /// Packets of checksums whose heads are all that is known to be right.
    checksums_damaged: Vec<Place>,
    /// By exponent.
    recovery: BTreeMap<u32, Place>,
}

impl Packets {
    /// Whether there is a whole one.
    fn are_any(&self) -> bool {
        self.main.is_some()
            || !(self.described.is_empty() && self.checksums.is_empty() && self.recovery.is_empty())
    }
}

/// Damaged copies of a packet that are remembered.
const MOST_COPIES: usize = 16;

/// A set that can be worked with: one file, described in full.
#[derive(Debug)]
pub struct Set {
    /// Its id.
    pub id: Id,
    /// Bytes of a slice.
    pub slice: u64,
    /// The file that it is of.
    pub file: Described,
    /// The checksums of the file's slices.
    pub checksums: Vec<Checksum>,
    /// Where they had to be taken from damaged copies: by slice, what other copies say. `None` where a copy is whole.
    pub otherwise: Option<BTreeMap<usize, Vec<Checksum>>>,
    /// Recovery slices by exponent; `at` is the slice's own first byte.
    pub recovery: BTreeMap<u32, Place>,
}

impl Set {
    /// The name of its file, fit to be shown.
    pub fn name(&self) -> String {
        let name = String::from_utf8_lossy(&self.file.name).into_owned();
        name.chars().map(|c| if c.is_control() { '\u{FFFD}' } else { c }).collect()
    }

    /// Whether a slice with this checksum is the one of this number.
    pub fn accepts(&self, number: usize, found: &Checksum) -> bool {
        let otherwise = || self.otherwise.as_ref().and_then(|others| others.get(&number));
        self.checksums.get(number) == Some(found)
            || otherwise().is_some_and(|others| others.contains(found))
    }

    /// Bytes of an input slice.
    pub fn length(&self, number: usize) -> u64 {
        self.file.size.saturating_sub((number as u64).saturating_mul(self.slice)).min(self.slice)
    }
}

/// Files in a folder that are recovery files by their name or by how they begin, sorted.
pub fn beside(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    // All names first: while a folder is being listed, it occupies a handle.
    let entries = std::fs::read_dir(folder)?.collect::<io::Result<Vec<_>>>()?;
    for path in entries.iter().map(std::fs::DirEntry::path) {
        if !path.is_file() {
            continue;
        }
        let named = path.extension().is_some_and(|end| end.eq_ignore_ascii_case("par2"));
        if named || begins_so(&path).unwrap_or(false) {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

fn begins_so(path: &Path) -> io::Result<bool> {
    let mut start = Vec::with_capacity(LOOKED_AT);
    plain::file(path)?.take(LOOKED_AT as u64).read_to_end(&mut start)?;
    Ok(place_in(&start, &packet::MAGIC).is_some())
}

fn place_in(bytes: &[u8], pattern: &[u8]) -> Option<usize> {
    bytes.windows(pattern.len()).position(|part| part == pattern)
}

/// Reads recovery files. One that can't be read is there all the same, with the reason.
pub fn read(paths: &[PathBuf]) -> Found {
    let mut found = Found::default();
    for path in paths {
        let mut file = RecoveryFile {
            path: path.clone(),
            size: 0,
            damaged: 0,
            slices: 0,
            sets: BTreeSet::new(),
            unread: None,
            unchecked: false,
        };
        if let Err(error) = found.read(&mut file) {
            file.unread = Some(error.to_string());
            file.unchecked = plain::is_of_the_system(&error);
        }
        found.files.push(file);
    }
    found
}

impl Found {
    fn read(&mut self, about: &mut RecoveryFile) -> io::Result<()> {
        let mut file = plain::file(&about.path)?;
        about.size = file.metadata()?.len();
        let mut patience = Patience::for_bytes(about.size);
        let mut at = 0;
        while at < about.size {
            let head = head_at(&mut file, at)?.filter(|head| head.length <= about.size - at);
            let whole = match head {
                Some(head) => checked(&mut file, &head)?.map(|start| (head, start)),
                None => None,
            };
            if whole.is_none() && !patience.wasted(head.map_or(0, |head| head.length)) {
                about.damaged += about.size - at;
                return Err(io::Error::other("it seems made to waste time; the rest was not read"));
            }
            if let Some((head, start)) = whole {
                let place = Place { file: self.files.len(), at, length: head.length };
                if self.remember(&head, place, &start) {
                    about.slices += 1;
                }
                if self.sets.contains_key(&head.set) {
                    about.sets.insert(head.set);
                }
                at += head.length;
            } else {
                if let Some(head) = head.filter(|head| head.sort == packet::CHECKSUMS) {
                    let damaged = Place { file: self.files.len(), at, length: head.length };
                    self.remember_damaged(&head, damaged);
                }
                let next = next(&mut file, at + 1, &packet::MAGIC)?.unwrap_or(about.size);
                about.damaged += next - at;
                at = next;
            }
        }
        Ok(())
    }

    /// Remembers where a packet stands; true if it is a recovery slice.
    fn remember(&mut self, head: &Head, place: Place, start: &[u8]) -> bool {
        if self.sets.len() >= MOST_PACKETS && !self.sets.contains_key(&head.set) {
            return false;
        }
        let packets = self.sets.entry(head.set).or_default();
        let id = || start.first_chunk::<16>().copied();
        let keep = |map: &mut BTreeMap<Id, Place>| {
            if let Some(id) = id().filter(|_| map.len() < MOST_PACKETS) {
                map.entry(id).or_insert(place);
            }
        };
        match head.sort {
            packet::MAIN => packets.main = packets.main.or(Some(place)),
            packet::FILE => keep(&mut packets.described),
            packet::CHECKSUMS => keep(&mut packets.checksums),
            packet::RECOVERY => {
                let exponent = start.first_chunk::<4>().map(|bytes| u32::from_le_bytes(*bytes));
                if let Some(exponent) = exponent.filter(|exponent| *exponent < 65_536) {
                    let at = place.at + packet::HEAD + packet::EXPONENT;
                    let length = place.length - packet::HEAD - packet::EXPONENT;
                    packets.recovery.entry(exponent).or_insert(Place { at, length, ..place });
                    return true;
                }
            }
            _ => {}
        }
        false
    }

    /// Remembers where a damaged packet of checksums stands.
    fn remember_damaged(&mut self, head: &Head, place: Place) {
        if self.sets.len() < MOST_PACKETS || self.sets.contains_key(&head.set) {
            let copies = &mut self.sets.entry(head.set).or_default().checksums_damaged;
            if copies.len() < MOST_COPIES && place.length <= LONGEST {
                copies.push(place);
            }
        }
    }

    /// Every set, by its id: one that can be worked with, or why it can't.
    pub fn sets(&self) -> impl Iterator<Item = Result<Set, String>> + '_ {
        // The head of a damaged packet may name a set that there is not.
        let sets = self.sets.iter().filter(|(_, packets)| packets.are_any());
        sets.map(|(id, packets)| self.set(*id, packets))
    }

    fn set(&self, id: Id, packets: &Packets) -> Result<Set, String> {
        let main = packets.main.ok_or("its main packet is lost")?;
        let body = self.body(main)?;
        if packet::md5(&body) != id {
            return Err("its main packet is of another set".to_string());
        }
        let main = Main::read(&body).ok_or("its main packet makes no sense")?;
        if main.files != 1 {
            return Err(format!(
                "it is of {} files, and this program mends only by sets of one: use the command par2",
                main.files
            ));
        }
        let described =
            packets.described.get(&main.file).ok_or("the description of its file is lost")?;
        let file = Described::read(&self.body(*described)?)
            .filter(|file| file.id == main.file)
            .ok_or("the description of its file makes no sense")?;
        let slices = file.size.div_ceil(main.slice);
        let (checksums, otherwise) = match packets.checksums.get(&main.file) {
            Some(place) => {
                let (_, checksums) = packet::checksums_read(&self.body(*place)?)
                    .ok_or("the checksums of its slices make no sense")?;
                (checksums, None)
            }
            None => {
                let copies = self.copies(&packets.checksums_damaged, slices);
                let pieced = pieced(&copies).ok_or("the checksums of its slices are lost")?;
                (pieced.0, Some(pieced.1))
            }
        };
        if slices != checksums.len() as u64 || slices > MOST_SLICES {
            return Err(format!(
                "{} bytes in slices of {} do not go with {} checksums",
                file.size,
                main.slice,
                checksums.len()
            ));
        }
        let recovery = packets.recovery.iter().filter(|(_, place)| place.length == main.slice);
        let recovery = recovery.map(|(exponent, place)| (*exponent, *place)).collect();
        Ok(Set { id, slice: main.slice, file, checksums, otherwise, recovery })
    }

    /// What is left of damaged copies of the packet with the checksums of so many slices.
    fn copies(&self, damaged: &[Place], slices: u64) -> Vec<Vec<Checksum>> {
        let length = slices.saturating_mul(packet::CHECKSUM).saturating_add(16 + packet::HEAD);
        let of_length = damaged.iter().filter(|place| place.length == length);
        let read = |place: &Place| -> Option<Vec<Checksum>> {
            let mut file = plain::file(&self.files.get(place.file)?.path).ok()?;
            file.seek(SeekFrom::Start(place.at + packet::HEAD)).ok()?;
            let mut body = Vec::new();
            file.take(place.length - packet::HEAD).read_to_end(&mut body).ok()?;
            Some(packet::checksums_read(&body)?.1)
        };
        of_length.filter_map(read).filter(|copy| copy.len() as u64 == slices).collect()
    }

    /// A packet's body, read again and checked again.
    fn body(&self, place: Place) -> Result<Vec<u8>, String> {
        let path = self.files.get(place.file).map(|file| &file.path);
        let read = || -> io::Result<Option<Vec<u8>>> {
            let mut file = plain::file(path.ok_or(io::ErrorKind::NotFound)?)?;
            match head_at(&mut file, place.at)? {
                Some(head) if head.length == place.length => checked(&mut file, &head),
                _ => Ok(None),
            }
        };
        match read() {
            Ok(Some(body)) => Ok(body),
            Ok(None) => Err("a packet changed while it was read".to_string()),
            Err(error) => Err(format!("a packet can't be read: {error}")),
        }
    }
}

/// Of every slice what most copies say, and by its number what others say.
type Pieced = (Vec<Checksum>, BTreeMap<usize, Vec<Checksum>>);

/// Checksums as copies of which none is whole give them. `None` without a copy.
fn pieced(copies: &[Vec<Checksum>]) -> Option<Pieced> {
    let (mut most, mut others) = (Vec::new(), BTreeMap::new());
    for number in 0..copies.first()?.len() {
        let mut said: Vec<Checksum> =
            copies.iter().filter_map(|copy| copy.get(number)).copied().collect();
        let times = |one: &Checksum, said: &[Checksum]| said.iter().filter(|c| *c == one).count();
        let all = said.clone();
        said.sort_by_key(|one| (std::cmp::Reverse(times(one, &all)), *one));
        said.dedup();
        most.push(*said.first()?);
        if said.len() > 1 {
            others.insert(number, said.split_off(1));
        }
    }
    Some((most, others))
}

fn head_at(file: &mut File, at: u64) -> io::Result<Option<Head>> {
    file.seek(SeekFrom::Start(at))?;
    let mut bytes = Vec::with_capacity(packet::HEAD as usize);
    file.take(packet::HEAD).read_to_end(&mut bytes)?;
    Ok(Head::read(&bytes))
}

/// Reads the body that follows a head just read. `None` if the MD5 is not the one stated; else the body,
/// of which only the beginning where the packet is long.
fn checked(file: &mut File, head: &Head) -> io::Result<Option<Vec<u8>>> {
    let mut md5 = Md5::new();
    md5.update(head.set);
    md5.update(head.sort);
    let mut left = head.length - packet::HEAD;
    let kept = if head.length <= LONGEST && head.sort != packet::RECOVERY { left } else { 16 };
    let mut start = Vec::new();
    let mut buffer = vec![0; CHUNK.min(left as usize)];
    while left > 0 {
        let count = left.min(CHUNK as u64) as usize;
        let bytes = &mut buffer[..count];
        file.read_exact(bytes)?;
        md5.update(&*bytes);
        let more = (kept - start.len() as u64).min(count as u64) as usize;
        start.extend_from_slice(&bytes[..more]);
        left -= count as u64;
    }
    let digest: Id = md5.finalize().into();
    Ok((digest == head.md5).then_some(start))
}

/// The offset, from an offset on, at which a pattern of some bytes stands next. A stretch that the medium
/// does not give is passed over.
pub fn next(file: &mut File, from: u64, pattern: &[u8]) -> io::Result<Option<u64>> {
    let size = file.metadata()?.len();
    let mut at = from;
    let mut bytes = Vec::new();
    // Little at first: where patterns stand close together, each is looked for anew.
    let mut count = 256;
    file.seek(SeekFrom::Start(at))?;
    loop {
        let before = bytes.len();
        count = (2 * count).min(CHUNK as u64);
        if Read::by_ref(file).take(count).read_to_end(&mut bytes).is_err() {
            at = (at + before as u64).saturating_add(SECTOR);
            if at >= size {
                return Ok(None);
            }
            bytes.clear();
            file.seek(SeekFrom::Start(at))?;
            continue;
        }
        if let Some(place) = place_in(&bytes, pattern) {
            return Ok(Some(at + place as u64));
        }
        if bytes.len() == before {
            return Ok(None);
        }
        // The last bytes may be the beginning of one.
        let done = bytes.len().saturating_sub(pattern.len() - 1);
        bytes.drain(..done);
        at += done as u64;
    }
}
