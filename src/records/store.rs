//! Where a project's files come from: a folder on disk, or a bundle that holds them.

use std::collections::BTreeMap;
use std::fs;
use std::io::{self, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use unicode_normalization::UnicodeNormalization;
use walkdir::WalkDir;

use super::characters::refused_in_name;
use super::place::Place;
use super::plain::{self, Stamp};
use super::printed;
use super::problem::{Alike, Problem, Problems};

/// The largest file of records that is read, in bytes: far more than any docking has, and little
/// enough for memory.
pub const LARGEST_RECORD_FILE: u64 = 256 * 1024 * 1024;

/// The file that makes a folder a project's.
pub(super) const PROJECT_FILE: &str = "docking.toml";

/// A set of files by their paths inside the project.
pub trait Store {
    /// Every file with its size in bytes, by path with `/` between folders.
    fn sizes(&self) -> &BTreeMap<String, u64>;

    /// A file's bytes; at most `LARGEST_RECORD_FILE` of them.
    fn read(&self, path: &str) -> io::Result<Vec<u8>>;

    /// Whether sheets of a workbook may stand for CSV files here. In a bundle they may not: it holds
    /// the CSV files that were made from them.
    fn takes_workbooks(&self) -> bool {
        false
    }

    /// Whether these records were closed out. They are read as they were then: what later versions refuse in a
    /// project stays in them, so that old bundles stay readable.
    fn was_closed_out(&self) -> bool {
        false
    }

    /// At most `most` bytes of a file from the offset `from` on; fewer where it ends before. What keeps
    /// its files on a medium reads no more than them.
    fn part(&self, path: &str, from: u64, most: u64) -> io::Result<Vec<u8>> {
        let bytes = self.read(path)?;
        let length = bytes.len() as u64;
        let (from, to) = (from.min(length), from.saturating_add(most).min(length));
        Ok(bytes.get(from as usize..to as usize).unwrap_or_default().to_vec())
    }
}

/// At most `most` bytes of an open file from an offset on.
pub fn part_of(file: &mut fs::File, from: u64, most: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    file.seek(SeekFrom::Start(from))?;
    file.take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// How deep files of records stand, but for those of earlier dockings.
const DEEPEST_RECORD: usize = 2;

/// How many files that have no place in a project are named.
const MOST_NAMED: usize = 100;

/// Files that have no place in a project: the first are named, and the others are counted.
#[derive(Default)]
pub(super) struct Strange {
    named: usize,
    /// The first that is not named, and how many there are.
    others: Option<(Place, usize)>,
}

impl Strange {
    pub fn add(&mut self, problem: Problem, problems: &mut Problems) {
        if self.named < MOST_NAMED {
            self.named += 1;
            problems.add(problem);
        } else {
            self.others.get_or_insert((problem.place, 0)).1 += 1;
        }
    }

    /// Says how many there are that were not named.
    pub fn report_rest(self, problems: &mut Problems) {
        let Some((place, count)) = self.others else { return };
        let wrong = format!("is the first of {count} more such files, which are not listed");
        problems.add(
            Problem::new(place, wrong)
                .expected("a folder that holds a project and nothing else")
                .advice(
                    "name the folder that holds the project's files, or correct what is listed \
                     and run again",
                ),
        );
    }
}

/// A project's folder on disk.
#[derive(Debug)]
pub struct Folder {
    root: PathBuf,
    sizes: BTreeMap<String, u64>,
    /// Each file's stamp when it was listed.
    listed: BTreeMap<String, Stamp>,
}

impl Folder {
    /// Lists the folder. Hidden files (names that begin with a point), the backup copies of editors
    /// (names that end in `~`), what spreadsheets leave beside an open workbook (names that begin with
    /// `~$`) and sheets as they were [`printed`] are no part of a project. Links, names that are not UTF-8 and
    /// names that some file systems can't hold are problems.
    pub fn open(root: &Path, problems: &mut Problems) -> Self {
        Self::open_telling(root, problems, &|| {})
    }

    /// The same, calling `seen` for every file. In a folder that holds no `docking.toml`, which may be that
    /// of a whole disk, it looks no deeper than files of records stand.
    pub fn open_telling(root: &Path, problems: &mut Problems, seen: &dyn Fn()) -> Self {
        let deepest = if root.join(PROJECT_FILE).exists() { usize::MAX } else { DEEPEST_RECORD };
        let mut strange = Strange::default();
        let mut sizes = BTreeMap::new();
        let mut listed = BTreeMap::new();
        let mut names = Names::default();
        let walk =
            WalkDir::new(root).min_depth(1).max_depth(deepest).sort_by_file_name().into_iter();
        let kept = walk.filter_entry(|entry| {
            let name = entry.file_name().to_string_lossy();
            !name.starts_with('.') && !name.starts_with("~$") && !name.ends_with('~')
        });
        for entry in kept {
            seen();
            let entry = match entry {
                Ok(entry) => entry,
                Err(error) => {
                    let path = error.path().unwrap_or(root).display().to_string();
                    strange.add(unreadable(&path, &error.to_string()), problems);
                    continue;
                }
            };
            let shown = entry.path().strip_prefix(root).unwrap_or(entry.path());
            let Some(path) = shown
                .components()
                .map(|part| part.as_os_str().to_str())
                .collect::<Option<Vec<_>>>()
                .map(|parts| parts.join("/"))
            else {
                let wrong = "has a name that is not UTF-8";
                strange.add(bad_name(&shown.to_string_lossy(), wrong), problems);
                continue;
            };
            if entry.path_is_symlink() {
                let problem = Problem::new(Place::file(&path), "is a link")
                    .alike(Alike::Anywhere)
                    .expected("the file itself, since a link can't be archived")
                    .advice("replace it by a copy of the file");
                strange.add(problem, problems);
                continue;
            }
            if let Some(wrong) = unkeepable(&path).or_else(|| unfit_path(&path)) {
                strange.add(bad_name(&path, wrong), problems);
                continue;
            }
            if let Some((other, only)) = names.clash(&path) {
                strange.add(bad_name(&path, &format!("differs from {other} {only}")), problems);
                continue;
            }
            if entry.file_type().is_file() {
                match entry.metadata() {
                    Ok(metadata) => {
                        sizes.insert(path.clone(), metadata.len());
                        listed.insert(path, Stamp::new(&metadata));
                    }
                    Err(error) => strange.add(unreadable(&path, &error.to_string()), problems),
                }
            } else if !entry.file_type().is_dir() {
                let problem = Problem::new(Place::file(&path), "is neither a file nor a folder")
                    .alike(Alike::Anywhere)
                    .expected("regular files and folders only")
                    .advice("remove it from the project's folder");
                strange.add(problem, problems);
            }
        }
        strange.report_rest(problems);
        let mut folder = Self { root: root.to_path_buf(), sizes, listed };
        for path in printed::unchanged(&folder.sizes, |path| folder.read(path)) {
            folder.sizes.remove(&path);
        }
        folder
    }

    /// A file's path on disk.
    pub fn path(&self, path: &str) -> PathBuf {
        self.root.join(path)
    }

    /// Whether a file is still as it was when the folder was listed, as far as its [`Stamp`] tells.
    pub fn is_unchanged(&self, path: &str) -> io::Result<bool> {
        let now = fs::symlink_metadata(self.path(path))?;
        Ok(now.is_file() && self.listed.get(path) == Some(&Stamp::new(&now)))
    }

    /// Opens a file that is still as it was when the folder was listed.
    pub fn file(&self, path: &str) -> io::Result<fs::File> {
        let file = plain::within(&self.root, path)?;
        if self.listed.get(path) != Some(&Stamp::new(&file.metadata()?)) {
            let wrong = "it changed while the folder was being read";
            return Err(io::Error::new(io::ErrorKind::ResourceBusy, wrong));
        }
        Ok(file)
    }
}

impl Store for Folder {
    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        read_at_most(self.file(path)?, LARGEST_RECORD_FILE)
    }

    fn takes_workbooks(&self) -> bool {
        true
    }

    fn part(&self, path: &str, from: u64, most: u64) -> io::Result<Vec<u8>> {
        part_of(&mut self.file(path)?, from, most)
    }
}

/// A folder of a store as a store of its own, without some of the folders in it.
pub struct Within<'a> {
    store: &'a dyn Store,
    folder: &'a str,
    sizes: BTreeMap<String, u64>,
}

impl<'a> Within<'a> {
    /// What lies in `folder`, but for what lies in the folders `without` inside it. All end in `/`.
    pub fn new(store: &'a dyn Store, folder: &'a str, without: &[&str]) -> Self {
        let inside = store.sizes().iter().filter_map(|(path, size)| {
            let path = path.strip_prefix(folder)?;
            (!without.iter().any(|other| path.starts_with(other)))
                .then(|| (path.to_string(), *size))
        });
        Self { store, folder, sizes: inside.collect() }
    }

    /// Whether a file of the whole store lies in a folder inside this one.
    pub fn holds_below(&self, path: &str, inner: &str) -> bool {
        path.strip_prefix(self.folder).is_some_and(|path| path.starts_with(inner))
    }
}

/// The records of an earlier docking, which were closed out whatever holds them now.
impl Store for Within<'_> {
    fn was_closed_out(&self) -> bool {
        true
    }

    fn sizes(&self) -> &BTreeMap<String, u64> {
        &self.sizes
    }

    fn read(&self, path: &str) -> io::Result<Vec<u8>> {
        self.store.read(&format!("{}{path}", self.folder))
    }

    fn part(&self, path: &str, from: u64, most: u64) -> io::Result<Vec<u8>> {
        self.store.part(&format!("{}{path}", self.folder), from, most)
    }
}

/// Reads to the end, and refuses more than `most` bytes whatever size the file was listed with.
pub fn read_at_most(from: impl Read, most: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        let message = format!("is larger than the {most} bytes allowed for such a file");
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, message));
    }
    Ok(bytes)
}

/// Why a path can't be kept in a bundle that every system can unpack, if it can't.
pub fn unkeepable(path: &str) -> Option<&'static str> {
    const DEVICES: &[&str] = &["con", "prn", "aux", "nul"];
    if path.len() > 200 {
        return Some("has a name longer than 200 bytes");
    }
    for part in path.split('/') {
        let stem = part.split('.').next().unwrap_or(part).to_lowercase();
        let numbered = (stem.starts_with("com") || stem.starts_with("lpt"))
            && stem.len() == 4
            && stem.ends_with(|c: char| c.is_ascii_digit());
        if DEVICES.contains(&stem.as_str()) || numbered {
            return Some("has the name of a device on some systems");
        }
        if part.is_empty() || part == "." || part == ".." {
            return Some("is not a plain path inside the folder");
        }
        if part.ends_with([' ', '.']) || part.starts_with(' ') {
            return Some("has a name that begins or ends with a space, or ends with a full stop");
        }
        if part.contains(|c: char| c.is_control() || "\\:*?\"<>|".contains(c)) {
            return Some("has a character in its name that some systems don't accept");
        }
    }
    None
}

/// Why a path is not taken into a project, though bundles may hold it that earlier versions wrote.
fn unfit_path(path: &str) -> Option<&'static str> {
    // Windows takes superscript digits for digits in the names of devices, and has two more of them (Microsoft,
    // Naming Files, Paths, and Namespaces).
    let is_device = |part: &str| {
        let stem = part.split('.').next().unwrap_or(part).trim_end().to_lowercase();
        let port = stem.strip_prefix("com").or_else(|| stem.strip_prefix("lpt"));
        port.is_some_and(|number| ["\u{b9}", "\u{b2}", "\u{b3}"].contains(&number))
            || ["con", "prn", "aux", "nul", "conin$", "conout$"].contains(&stem.as_str())
    };
    if path.split('/').any(is_device) {
        return Some("has the name of a device on some systems");
    }
    refused_in_name(path).map(|_| "has a character in its name that reverses the text next to it")
}

/// Why a bundle may not be called so, beside what keeps every path out of one.
pub(super) fn unfit(name: &str) -> Option<&'static str> {
    if name.starts_with('-') {
        return Some("begins with -, so that tools take it for an option");
    }
    unfit_path(name)
}

/// Names of files, some of which are one name to systems that pay no regard to capital letters or to whether
/// an accented letter is one character or two.
#[derive(Debug, Default)]
pub struct Names(BTreeMap<String, String>);

impl Names {
    /// Adds a name; returns an earlier one that some system takes for the same, and in what alone
    /// they differ.
    pub fn clash(&mut self, path: &str) -> Option<(String, &'static str)> {
        let folded = path.nfd().flat_map(char::to_lowercase).nfc().collect();
        let other = self.0.insert(folded, path.to_string())?;
        let only = if other.to_lowercase() == path.to_lowercase() {
            "only in capital letters"
        } else {
            "only in how its accented letters are encoded"
        };
        Some((other, only))
    }
}

fn bad_name(path: &str, wrong: &str) -> Problem {
    Problem::new(Place::file(path), wrong)
        .alike(Alike::Anywhere)
        .expected("a name that every system accepts")
        .advice("rename it, and correct its name in papers.csv if it is listed there")
}

pub(super) fn unreadable(path: &str, error: &str) -> Problem {
    Problem::new(Place::file(path), format!("can't be read: {error}"))
        .expected("a readable file")
        .advice("check the file's permissions and the disk it is on, then run again")
}

#[cfg(test)]
mod tests {
    use super::Names;

    #[test]
    fn names_that_some_systems_take_for_one_are_told() {
        let mut names = Names::default();
        assert_eq!(names.clash("papers/caf\u{e9}.txt"), None);
        assert_eq!(names.clash("papers/cafe.txt"), None);
        let (other, only) = names.clash("papers/cafe\u{301}.txt").expect("a clash");
        assert_eq!(other, "papers/caf\u{e9}.txt");
        assert_eq!(only, "only in how its accented letters are encoded");
        let (_, only) = names.clash("papers/CAFE.txt").expect("a clash");
        assert_eq!(only, "only in capital letters");
        assert!(names.clash("papers/CAFE\u{301}.TXT").is_some());
    }
}
