//! The directory of a bundle's zip, read strictly. A zip can be made so that two tools see different files in it: what
//! is found here is what every tool finds, and anything else is reported.

use std::collections::BTreeSet;
use std::fs::File;
use std::io::{self, BufReader, Read, Seek, SeekFrom};

use super::headers::{CENTRAL_FIXED, Central, END_FIXED, End, Fields, Local, tail};
use crate::records::plain;

/// Entries that a zip may have: many more than the papers of any docking, and little enough for memory.
pub const MOST_ENTRIES: u64 = 200_000;

/// How many oddities are listed one by one.
const MOST_LISTED: usize = 100;

/// An entry.
#[derive(Debug)]
pub struct Entry {
    /// Its name.
    pub name: String,
    /// Its size.
    pub size: u64,
    /// Where its bytes begin.
    pub start: u64,
    /// Whether it is compressed.
    pub compressed: bool,
}

/// What is odd about a zip or a list, in sentences, as many as somebody would read.
#[derive(Debug, Default)]
pub struct Oddities {
    sentences: Vec<String>,
    more: usize,
}

impl Oddities {
    /// Adds one.
    pub fn add(&mut self, sentence: String) {
        if self.sentences.len() < MOST_LISTED {
            self.sentences.push(sentence);
        } else {
            self.more += 1;
        }
    }

    /// All of them.
    pub fn sentences(mut self) -> Vec<String> {
        if self.more > 0 {
            self.sentences.push(format!("and {} more of this kind", self.more));
        }
        self.sentences
    }
}

/// A zip that is being read, and the first failure of the system in reading it: what could not be read then looks
/// missing, but must not be reported as damage.
struct Watched<'a> {
    file: &'a mut File,
    failed: Option<io::Error>,
}

impl<'a> Watched<'a> {
    fn new(file: &'a mut File) -> Self {
        Self { file, failed: None }
    }

    fn note_failure<T>(&mut self, done: io::Result<T>) -> io::Result<T> {
        done.map_err(|error| {
            let kind = error.kind();
            if plain::is_of_the_system(&error) && kind != io::ErrorKind::Interrupted {
                self.failed.get_or_insert(error);
            }
            kind.into()
        })
    }

    /// The result of reading, unless the system failed.
    fn unless_failed<T>(self, done: io::Result<T>) -> io::Result<T> {
        self.failed.map_or(done, Err)
    }
}

impl Read for Watched<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let read = self.file.read(buffer);
        self.note_failure(read)
    }
}

impl Seek for Watched<'_> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let sought = self.file.seek(to);
        self.note_failure(sought)
    }
}

/// What a zip holds: its entries that can be used, in the order in which they stand in it. What is odd
/// about it or them is added to `odd`; an error says why it can't be read at all.
pub fn read(file: &mut File, odd: &mut Oddities) -> io::Result<Vec<Entry>> {
    let mut file = Watched::new(file);
    let entries = entries(&mut file, odd);
    file.unless_failed(entries)
}

fn entries(file: &mut Watched<'_>, odd: &mut Oddities) -> io::Result<Vec<Entry>> {
    let end = end(file, odd)?;
    let listed = listed(file, &end, odd)?;
    let mut entries = Vec::with_capacity(listed.len());
    let mut at = 0;
    for (central, usable) in listed {
        let name = shown(&central.fields.name);
        let Some(local) = Local::read(file, central.header) else {
            odd.add(format!("{name} has no header of its own where the directory places it"));
            continue;
        };
        if central.header > at {
            odd.add(format!("{} bytes before {name} belong to no entry", central.header - at));
        }
        let behind = local.data.saturating_add(central.fields.packed);
        if central.header < at || behind > end.directory {
            odd.add(format!("{name} overlaps another entry, or the directory"));
            continue;
        }
        at = behind;
        if !usable || central.is_folder() {
            continue;
        }
        if let Some(wrong) = differ(&central.fields, &local.fields) {
            odd.add(format!("{name} {wrong}"));
            continue;
        }
        let (size, start, compressed) =
            (central.fields.size, local.data, central.fields.is_compressed());
        match String::from_utf8(central.fields.name) {
            Ok(name) => entries.push(Entry { name, size, start, compressed }),
            Err(_) => odd.add(format!("{name} has a name that is not UTF-8")),
        }
    }
    if at < end.directory {
        odd.add(format!("{} bytes before the directory belong to no entry", end.directory - at));
    }
    Ok(entries)
}

/// The names that the directory lists, even if the entries are damaged.
pub fn names(file: &mut File) -> io::Result<Vec<String>> {
    let mut odd = Oddities::default();
    let mut file = Watched::new(file);
    let listed = end(&mut file, &mut odd).and_then(|end| listed(&mut file, &end, &mut odd));
    let listed = file.unless_failed(listed)?;
    Ok(listed
        .into_iter()
        .filter_map(|(central, _)| String::from_utf8(central.fields.name).ok())
        .collect())
}

/// The last end record whose directory ends where it begins.
fn end(file: &mut Watched<'_>, odd: &mut Oddities) -> io::Result<End> {
    let (tail, from) = tail(file)?;
    let length = from + tail.len() as u64;
    let mut places = (0..tail.len()).rev();
    let end = places.find_map(|at| Some((at, End::read(file, &tail, at, from + at as u64)?)));
    let Some((at, end)) = end else {
        return Err(unusable("it has no end record with the directory before it"));
    };
    let behind = length - (from + at as u64) - END_FIXED as u64;
    if behind > 0 {
        let comment = end.comment.min(behind);
        odd.add(format!(
            "{behind} bytes follow the end of the zip, {comment} of them as its comment"
        ));
    }
    if end.on_disks {
        odd.add("its end record places it, or files of it, on several disks".to_string());
    }
    if end.entries > MOST_ENTRIES {
        return Err(unusable(&format!(
            "it lists {} entries, and a bundle has at most {MOST_ENTRIES}",
            end.entries
        )));
    }
    if end.entries.saturating_mul(CENTRAL_FIXED) > end.bytes {
        return Err(unusable("it lists more entries than its directory has room for"));
    }
    Ok(end)
}

/// The entries of the directory, in the order of their headers in the zip, and whether each can be used.
fn listed(
    file: &mut Watched<'_>,
    end: &End,
    odd: &mut Oddities,
) -> io::Result<Vec<(Central, bool)>> {
    file.seek(SeekFrom::Start(end.directory))?;
    let mut directory = BufReader::new(file.by_ref().take(end.bytes));
    let mut listed = Vec::new();
    let mut names = BTreeSet::new();
    for number in 0..end.entries {
        let central = Central::read(&mut directory)
            .map_err(|wrong| unusable(&format!("entry {number} of its directory {wrong}")))?;
        let wrong = if let Some(wrong) = central.oddly_attributed() {
            Some(wrong)
        } else if !names.insert(central.fields.name.clone()) {
            Some("is in the zip twice")
        } else {
            central.fields.unreadable()
        };
        let why = wrong.map(String::from).or_else(|| central.fields.refused_by_others());
        if let Some(why) = why {
            odd.add(format!("{} {why}", shown(&central.fields.name)));
        }
        if central.is_on_another_disk() {
            odd.add(format!(
                "{} begins on another disk according to the directory",
                shown(&central.fields.name)
            ));
        }
        listed.push((central, wrong.is_none()));
    }
    if directory.bytes().next().is_some() {
        odd.add("its directory goes on after its last entry".to_string());
    }
    listed.sort_by_key(|(central, _)| central.header);
    Ok(listed)
}

/// How an entry's own header differs from the directory's, if it does.
fn differ(central: &Fields, local: &Fields) -> Option<String> {
    if central.name != local.name {
        Some(format!("is called {} in its own header", shown(&local.name)))
    } else if let Some(wrong) = local.unreadable() {
        Some(wrong.to_string())
    } else if !central.agrees(local) {
        Some("is described differently in the directory and in its own header".to_string())
    } else if central.refused_by_others().is_none() {
        local.refused_by_others()
    } else {
        None
    }
}

/// A name as it can be shown, whatever it is.
fn shown(name: &[u8]) -> String {
    String::from_utf8_lossy(name).escape_debug().to_string()
}

fn unusable(why: &str) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, why)
}
