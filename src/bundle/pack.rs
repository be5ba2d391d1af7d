//! Packing: entries are stored in the order in which they are added, and their digests computed on the way.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, BufWriter, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use chrono::{Datelike, NaiveDate};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipWriter};

use super::bag;
use super::chunks::CHUNK;
use super::digest::{self, Digests};
use super::error::BundleError;
use super::layout;
use crate::records::plain::Stamp;

/// Puts files into a zip and remembers their digests.
pub struct Packer<W: Write + Seek> {
    zip: ZipWriter<BufWriter<Sink<W>>>,
    given_up: Arc<AtomicBool>,
    shown: PathBuf,
    folder: String,
    date: DateTime,
    files: BTreeMap<String, Digests>,
}

impl<W: Write + Seek + Send> Packer<W> {
    /// Packs into `to`, of which errors speak as `shown`; every entry stands in `folder` and has the date
    /// `on`, at 00:00.
    pub fn new(to: W, shown: &Path, folder: &str, on: NaiveDate) -> Self {
        // MS-DOS dates, which a zip has, run from 1980 to 2107; outside them the first of 1980 stands.
        let year = u16::try_from(on.year()).unwrap_or(0);
        let (month, day) = (on.month() as u8, on.day() as u8);
        let date = DateTime::from_date_and_time(year, month, day, 0, 0, 0).unwrap_or_default();
        let given_up = Arc::new(AtomicBool::new(false));
        let to = Sink { to, given_up: Arc::clone(&given_up), at: 0, end: 0 };
        let zip = ZipWriter::new(BufWriter::with_capacity(CHUNK, to));
        let (shown, folder) = (shown.to_path_buf(), folder.to_string());
        Self { zip, given_up, shown, folder, date, files: BTreeMap::new() }
    }

    /// The files packed so far with their digests, by path.
    pub fn files(&self) -> &BTreeMap<String, Digests> {
        &self.files
    }

    fn start(&mut self, path: &str, size: u64) -> Result<(), BundleError> {
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Stored)
            .last_modified_time(self.date)
            .system(System::Unix)
            .unix_permissions(0o644)
            .large_file(size >= u64::from(u32::MAX));
        self.zip
            .start_file(format!("{}/{path}", self.folder), options)
            .map_err(|error| self.failed(path, "can't be packed", &error.into()))
    }

    /// The error at the file that is written to, if writing has failed, otherwise at `at`.
    fn failed(&self, at: impl AsRef<Path>, doing: &str, error: &io::Error) -> BundleError {
        if self.given_up.load(Ordering::Relaxed) {
            return BundleError::io(&self.shown, "can't be written", error);
        }
        BundleError::io(at, doing, error)
    }

    /// Packs some bytes.
    pub fn add_bytes(&mut self, path: &str, bytes: &[u8]) -> Result<(), BundleError> {
        self.start(path, bytes.len() as u64)?;
        self.zip.write_all(bytes).map_err(|error| self.failed(path, "can't be packed", &error))?;
        self.files.insert(path.to_string(), digest::digests(bytes));
        Ok(())
    }

    /// Packs a file from disk, which errors call `from`, reading it once. One that is not `size` bytes long, or that
    /// changes while it is read, is refused.
    pub fn add_file(
        &mut self,
        path: &str,
        (file, from): (File, &Path),
        size: u64,
        progress: &(dyn Fn(u64) + Sync),
    ) -> Result<(), BundleError> {
        let failed = |error: &io::Error| BundleError::io(from, "can't be read", error);
        let before = file.metadata().map_err(|error| failed(&error))?;
        self.start(path, size)?;
        let digests = digest::copy(&file, &mut self.zip, progress)
            .map_err(|error| self.failed(from, "can't be read", &error))?;
        let after = file.metadata().map_err(|error| failed(&error))?;
        if digests.size != size || !Stamp::new(&after).has_bytes_of(&Stamp::new(&before)) {
            return Err(BundleError::new(
                from,
                "changed while it was being packed",
                "make sure that nobody writes to the project's folder, then run again",
            ));
        }
        self.files.insert(path.to_string(), digests);
        Ok(())
    }

    /// Packs manifests, declaration, metadata and tag manifests; returns the tag manifest that the seal is computed from.
    pub fn add_tags(&mut self, info: &str) -> Result<String, BundleError> {
        let payload = self.files.clone();
        for (which, name) in layout::MANIFESTS.iter().enumerate() {
            self.add_bytes(name, bag::manifest(&payload, which).as_bytes())?;
        }
        self.add_bytes(layout::BAGIT, bag::DECLARATION.as_bytes())?;
        self.add_bytes(layout::BAG_INFO, info.as_bytes())?;
        let is_tag = |path: &&String| !path.starts_with(layout::DATA);
        let tags = self.files.iter().filter(|(path, _)| is_tag(path));
        let tags: BTreeMap<String, Digests> =
            tags.map(|(path, digests)| (path.clone(), digests.clone())).collect();
        let [sealed, other] = layout::TAG_MANIFESTS;
        let manifest = bag::manifest(&tags, 0);
        self.add_bytes(sealed, manifest.as_bytes())?;
        self.add_bytes(other, bag::manifest(&tags, 1).as_bytes())?;
        Ok(manifest)
    }

    /// Writes the zip's directory and returns what was written to, flushed but not yet synced.
    pub fn finish(self) -> Result<W, BundleError> {
        let failed = |error: &io::Error| BundleError::io(&self.shown, "can't be finished", error);
        let buffered = self.zip.finish().map_err(|error| failed(&error.into()))?;
        let sink = buffered.into_inner().map_err(|error| failed(error.error()))?;
        Ok(sink.to)
    }
}

/// What a zip is written to. Once a write has failed, it accepts and discards everything and stays at the furthest
/// position reached: the zip's writer tries to finish the zip even then, and would report errors of its own.
struct Sink<W> {
    to: W,
    given_up: Arc<AtomicBool>,
    at: u64,
    end: u64,
}

impl<W> Sink<W> {
    /// Works on what is written to; `None` once that has failed.
    fn unless_given_up<T>(
        &mut self,
        work: impl FnOnce(&mut W) -> io::Result<T>,
    ) -> io::Result<Option<T>> {
        if self.given_up.load(Ordering::Relaxed) {
            return Ok(None);
        }
        let done = work(&mut self.to).inspect_err(|error| {
            // Who is interrupted tries again.
            let for_good = error.kind() != io::ErrorKind::Interrupted;
            self.given_up.store(for_good, Ordering::Relaxed);
        });
        done.map(Some)
    }
}

impl<W: Write> Write for Sink<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let Some(count) = self.unless_given_up(|to| to.write(bytes))? else {
            return Ok(bytes.len());
        };
        self.at += count as u64;
        self.end = self.end.max(self.at);
        Ok(count)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.unless_given_up(|to| to.flush()).map(Option::unwrap_or_default)
    }
}

impl<W: Seek> Seek for Sink<W> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.at = self.unless_given_up(|file| file.seek(to))?.unwrap_or(self.end);
        Ok(self.at)
    }
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use super::*;
    use crate::bundle::faulty::{FAILURE, Faulty};

    type To = Faulty<Cursor<Vec<u8>>>;

    fn packed(to: To) -> Result<To, BundleError> {
        let mut paper = tempfile::NamedTempFile::new().expect("a temporary file");
        paper.write_all(&[7; 1000]).expect("to write");
        let on = NaiveDate::from_ymd_opt(2031, 5, 4).expect("a date");
        let mut packer = Packer::new(to, Path::new("out"), "name", on);
        packer.add_bytes("data/a.txt", b"bytes")?;
        let file = paper.reopen().expect("a file");
        packer.add_file("data/b.bin", (file, paper.path()), 1000, &|_| {})?;
        packer.add_bytes("data/large.txt", &vec![b'x'; 1 << 20])?;
        packer.finish()
    }

    #[test]
    fn a_slow_medium_that_interrupts_gets_the_same_bytes() {
        let plain = packed(Faulty::failing(Cursor::default(), usize::MAX)).expect("to pack");
        let slow = packed(Faulty::slow(Cursor::default())).expect("to pack slowly");
        assert!(slow.inner.get_ref() == plain.inner.get_ref());
    }

    /// Whenever it fails, the error names the place that is written to, and is reported once.
    #[test]
    fn a_medium_that_fails_at_any_call_is_named() {
        let calls = packed(Faulty::failing(Cursor::default(), usize::MAX)).expect("to pack").calls;
        assert!(calls > 4, "{calls}");
        for at in 0..calls {
            let error = packed(Faulty::failing(Cursor::default(), at)).err().expect("a failure");
            assert_eq!(error.at, "out", "call {at}");
            assert!(error.wrong.ends_with(FAILURE), "{error}");
        }
    }

    #[test]
    fn after_a_failure_the_writer_of_zips_is_given_to_believe_that_all_is_well() {
        let failing: To = Faulty::failing(Cursor::default(), 1);
        let given_up = Arc::new(AtomicBool::new(false));
        let mut sink = Sink { to: failing, given_up, at: 0, end: 0 };
        assert_eq!(sink.write(b"four").expect("to write"), 4);
        assert!(sink.write(b"more").is_err());
        assert_eq!(sink.write(b"more").expect("nothing"), 4);
        assert_eq!(sink.stream_position().expect("a place"), 4);
        assert_eq!(sink.seek(SeekFrom::Start(2)).expect("a place"), 4);
        assert_eq!((sink.to.calls, sink.to.inner.get_ref().as_slice()), (2, &b"four"[..]));
    }
}
