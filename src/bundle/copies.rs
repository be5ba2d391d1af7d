//! Copies of a bundle's files in other places: a folder that it was unpacked to, another zip of it however damaged,
//! the files that are attached to its report. They are found by their SHA-256 alone, under whatever names, so that
//! nothing is taken that is not what it should be.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use walkdir::WalkDir;

use super::digest;
use super::directory::MOST_ENTRIES;
use super::headers::LOCAL;
use super::proved::{Proving, Stretch, changed};
use super::recovery::read::{Patience, next};
use super::salvage;
use crate::records::contained::contained;
use crate::records::plain;
use crate::records::store::LARGEST_RECORD_FILE;

/// What stands in the description of a file that is attached to a PDF, before its bytes.
const ATTACHED: &[u8] = b"/EmbeddedFile";
/// Bytes after that within which its bytes begin.
const DESCRIPTION: u64 = 1024;
/// What its bytes stand between.
const BEGINS: &[u8] = b"stream";
const ENDS: &[u8] = b"endstream";

/// A copy of a file.
#[derive(Debug, Clone)]
pub struct FileCopy {
    /// The place that was named, in which it is.
    pub place: PathBuf,
    /// The file that it is in, or is.
    file: PathBuf,
    /// Its bytes in there: offset and count.
    from: u64,
    bytes: u64,
    /// Whether they are packed as a PDF packs what is attached (zlib, RFC 1950).
    is_packed: bool,
    /// Bytes of the copy.
    pub size: u64,
}

/// Copies by their SHA-256.
#[derive(Debug, Default)]
pub struct Copies {
    found: BTreeMap<String, FileCopy>,
    /// What could not be read, in sentences.
    pub unread: Vec<String>,
}

impl Copies {
    /// Adds what is in a place: a file, or a folder with all that is below it. Zips and PDFs that are named, or stand
    /// directly in a folder that is, are looked into.
    pub fn look(&mut self, place: &Path) {
        for entry in WalkDir::new(place).sort_by_file_name() {
            if self.found.len() as u64 > MOST_ENTRIES {
                self.unread.push(format!("{}: more files than a bundle may have", place.display()));
                return;
            }
            let read = entry.map_err(io::Error::other).and_then(|entry| {
                // What is named may be a link; what is found below it may not.
                let is_file = match entry.depth() {
                    0 => place.is_file(),
                    _ => entry.file_type().is_file(),
                };
                if is_file { self.file(place, entry.path(), entry.depth() < 2) } else { Ok(()) }
            });
            if let Err(error) = read {
                self.unread.push(format!("{}: {error}", place.display()));
            }
        }
    }

    fn file(&mut self, place: &Path, path: &Path, into: bool) -> io::Result<()> {
        let mut file = plain::file(path)?;
        let size = file.metadata()?.len();
        let copy = |from: u64, bytes: u64, is_packed: bool, size: u64| FileCopy {
            place: place.to_path_buf(),
            file: path.to_path_buf(),
            from,
            bytes,
            is_packed,
            size,
        };
        let whole = digest::copy(&file, io::sink(), &|_| {});
        if let Ok(digests) = &whole {
            let [sha256, _] = digests.hex.clone();
            self.found.entry(sha256).or_insert_with(|| copy(0, size, false, size));
        }
        let mut begins = [0; 4];
        file.seek(SeekFrom::Start(0))?;
        let is_zip = path.extension().is_some_and(|end| end == "zip")
            || (file.read_exact(&mut begins).is_ok() && begins == LOCAL);
        if into && is_zip {
            let shared = Arc::new(plain::file(path)?);
            for entry in salvage::whole_entries(&mut file)? {
                let stretch = Stretch::new(Arc::clone(&shared), entry.at, entry.size);
                if let Ok(digests) = digest::copy(stretch, io::sink(), &|_| {}) {
                    let [sha256, _] = digests.hex;
                    let found = || copy(entry.at, entry.size, false, entry.size);
                    self.found.entry(sha256).or_insert_with(found);
                }
            }
        }
        if into && (is_zip || path.extension().is_some_and(|end| end == "pdf")) {
            for (from, bytes, unpacked) in attached(&mut file, size)? {
                let found = || copy(from, bytes, true, unpacked.len() as u64);
                self.found.entry(digest::sha256(&unpacked)).or_insert_with(found);
            }
        }
        whole.map(|_| ())
    }

    /// The copy with this SHA-256.
    pub fn of(&self, sha256: &str) -> Option<&FileCopy> {
        self.found.get(sha256)
    }

    /// Writes the file with this SHA-256; an error if that is no longer what its copy has.
    pub fn write(&self, sha256: &str, to: &mut impl Write) -> io::Result<u64> {
        let copy = self.of(sha256).ok_or(io::ErrorKind::NotFound)?;
        let file = plain::file(&copy.file)?;
        let stretch = Stretch::new(Arc::new(file), copy.from, copy.bytes);
        let from: Box<dyn Read> = if copy.is_packed {
            let mut packed = Vec::new();
            let mut stretch = stretch;
            stretch.read_to_end(&mut packed)?;
            Box::new(io::Cursor::new(unpacked(&packed).ok_or_else(changed)?))
        } else {
            Box::new(stretch)
        };
        io::copy(&mut Proving::new(from, sha256, changed), to)
    }

    /// The small file with this SHA-256, as text.
    pub fn text(&self, sha256: &str) -> Option<String> {
        self.of(sha256).filter(|copy| copy.size <= LARGEST_RECORD_FILE)?;
        let mut bytes = Vec::new();
        self.write(sha256, &mut bytes).ok()?;
        String::from_utf8(bytes).ok()
    }
}

/// The files attached to PDFs, whether a PDF is the file or stands in it as it is: offset, count of bytes, and the bytes
/// unpacked. Found by how they begin and end, since a damaged PDF has lost what leads to them.
fn attached(file: &mut File, size: u64) -> io::Result<Vec<(u64, u64, Vec<u8>)>> {
    let mut found = Vec::new();
    let mut patience = Patience::for_bytes(size);
    let mut at = 0;
    while let Some(described) = next(file, at, ATTACHED)? {
        at = described + ATTACHED.len() as u64;
        let Some(begins) = next(file, at, BEGINS)?.filter(|begins| begins - at <= DESCRIPTION)
        else {
            continue;
        };
        let from = begins + BEGINS.len() as u64;
        let Some(to) = next(file, from, ENDS)? else { break };
        let bytes = to - from;
        if bytes > LARGEST_RECORD_FILE {
            continue;
        }
        let mut packed = Vec::new();
        file.seek(SeekFrom::Start(from))?;
        Read::by_ref(file).take(bytes).read_to_end(&mut packed)?;
        match unpacked(&packed) {
            Some(unpacked) => found.push((from, bytes, unpacked)),
            None if !patience.wasted(bytes) => break,
            None => {}
        }
    }
    Ok(found)
}

/// The bytes of a stream of a PDF after the word before them and its end of line; `None` if they are not whole.
fn unpacked(stream: &[u8]) -> Option<Vec<u8>> {
    let line = stream.strip_prefix(b"\r\n").or_else(|| stream.strip_prefix(b"\n"))?;
    let unpack = || fdeflate::decompress_to_vec_bounded(line, LARGEST_RECORD_FILE as usize);
    contained(unpack).ok()?.ok()
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    /// A copy is found by what it holds, under any name, and in a PDF whose other parts are rubbish.
    #[test]
    fn copies_are_found_by_what_they_hold() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let (one, two) = (b"a record\n".repeat(50), b"another record\n".repeat(70));
        fs::create_dir_all(folder.path().join("deep/er")).expect("folders");
        fs::write(folder.path().join("deep/er/renamed"), &one).expect("to write it");
        let packed = fdeflate::compress_to_vec(&two);
        let mut pdf = b"rubbish /EmbeddedFile rubbish ".to_vec();
        pdf.extend(b"5 0 obj <</Type/EmbeddedFile/Filter/FlateDecode>>\nstream\n");
        pdf.extend(&packed);
        pdf.extend(b"\nendstream\nendobj rubbish");
        fs::write(folder.path().join("report.pdf"), &pdf).expect("to write it");
        let mut copies = Copies::default();
        copies.look(folder.path());
        assert_eq!(copies.unread, Vec::<String>::new());
        for bytes in [&one, &two] {
            let mut written = Vec::new();
            copies.write(&digest::sha256(bytes), &mut written).expect("a copy");
            assert_eq!(written, *bytes);
        }
        assert!(copies.of(&digest::sha256(b"a third")).is_none());

        // What changes after it was found is not taken.
        fs::write(folder.path().join("deep/er/renamed"), b"another".repeat(60)).expect("to write");
        assert!(copies.write(&digest::sha256(&one), &mut Vec::new()).is_err());
    }
}
