//! What the tests of the whole program share: the binary, copies of the sample project to break, and
//! one closeout of the sample for the many tests that only read a bundle.

// Each test target includes this file and uses its own part of it.
#![allow(dead_code)]

pub mod archived;
pub mod expected;

use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsStr;
use std::fs;
use std::io::{Cursor, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

use lastdock::bundle::{bag, digest, layout};
use lastdock::findings::finding::Finding;
use lastdock::findings::{self, Examined};
use lastdock::records;
use lastdock::records::problem::Problems;
use lastdock::records::store::Folder;
use tempfile::TempDir;
use walkdir::WalkDir;

/// What a run of the program said, and its exit status.
pub struct Said {
    pub status: i32,
    pub out: String,
    pub err: String,
}

impl Said {
    /// What a process that came to its end has said.
    #[track_caller]
    pub fn from_output(output: Output) -> Self {
        Self {
            status: output.status.code().expect("an exit status"),
            out: String::from_utf8(output.stdout).expect("output in UTF-8"),
            err: String::from_utf8(output.stderr).expect("messages in UTF-8"),
        }
    }

    /// Panics with all that was said unless the exit status is the one wanted.
    #[track_caller]
    pub fn exits(self, wanted: i32) -> Self {
        let Said { status, out, err } = &self;
        assert_eq!(*status, wanted, "exit status; it said\n{out}\n{err}");
        self
    }

    /// Standard output as JSON.
    #[track_caller]
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}\n{}", self.out))
    }

    /// Everything said, without white space: lines are broken to the terminal's width, anywhere
    /// between words and after hyphens.
    pub fn squeezed(&self) -> String {
        squeezed(&format!("{}{}", self.out, self.err))
    }
}

/// A text without white space.
pub fn squeezed(text: &str) -> String {
    text.split_whitespace().collect()
}

/// The built program, free of this terminal's wishes for colour and width.
pub fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lastdock"));
    command.env_remove("COLUMNS");
    command.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").env_remove("CLICOLOR");
    command
}

/// Runs a command to its end.
#[track_caller]
pub fn run(command: &mut Command) -> Said {
    Said::from_output(command.output().unwrap_or_else(|error| panic!("{command:?}: {error}")))
}

/// Runs the built program.
#[track_caller]
pub fn lastdock<S: AsRef<OsStr>>(arguments: impl IntoIterator<Item = S>) -> Said {
    run(program().args(arguments))
}

/// `lastdock closeout` with a folder to write to, and without recovery data, of which most tests ask nothing.
#[track_caller]
pub fn closeout(project: &Path, out: &Path) -> Said {
    run(closeout_command(project, out).args(["--repair-percent", "0"]))
}

/// The same as somebody calls it, with recovery data.
pub fn closeout_command(project: &Path, out: &Path) -> Command {
    let mut command = program();
    command.arg("closeout").arg(project).arg("--out").arg(out);
    command
}

/// `lastdock verify` of one bundle.
#[track_caller]
pub fn verify(bundle: &Path) -> Said {
    run(program().arg("verify").arg(bundle))
}

/// The sample project as it stands in the repository. Nothing may write to it.
pub fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-project")
}

/// A small project, for what doesn't depend on its records: it is closed out in a tenth of the
/// sample's time. Nothing may write to it.
pub fn small() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/formats/project")
}

/// The name that the small project gives its bundle.
pub const SMALL: &str = "thistle-quill-2029";

/// The file of `tests/sample/` that expects a finding of the sample.
pub fn expected_in(id: &str) -> &'static str {
    match id.split('.').next() {
        Some("landing") => "expected_landing.json",
        _ if id.ends_with(".layers") => "expected_landing.json",
        Some(
            "anodes" | "chronology" | "climate" | "coating" | "film" | "plating" | "preparation",
        ) => "expected_coating.json",
        _ => "expected.json",
    }
}

/// A sound project, examined.
#[track_caller]
pub fn examined(root: &Path) -> Examined {
    let mut problems = Problems::default();
    let folder = Folder::open(root, &mut problems);
    let project = records::read(&folder, problems).expect("a sound project");
    findings::examine(project).expect("remarks that answer findings")
}

/// What a file of `tests/sample/` expects of the sample.
pub fn expected(file: &str) -> serde_json::Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sample").join(file);
    serde_json::from_slice(&fs::read(path).expect("the file")).expect("JSON")
}

/// Holds the outcomes of the sample's findings to those of a file of `tests/sample/`: every id that it
/// expects, so many of them, and no other.
#[track_caller]
pub fn outcomes_are(findings: &[Finding], file: &str, expected: &serde_json::Value, count: usize) {
    let wanted: BTreeMap<&str, &str> = expected["outcomes"]
        .as_object()
        .expect("outcomes")
        .iter()
        .map(|(id, outcome)| (id.as_str(), outcome.as_str().expect("words")))
        .collect();
    let elsewhere: Vec<_> = wanted.keys().filter(|id| expected_in(id) != file).collect();
    assert!(elsewhere.is_empty(), "another file expects {elsewhere:?}");
    let found: BTreeMap<&str, &str> = findings
        .iter()
        .filter(|finding| expected_in(&finding.id) == file)
        .map(|finding| (finding.id.as_str(), finding.outcome.words()))
        .collect();
    let ids: BTreeSet<&str> = found.keys().chain(wanted.keys()).copied().collect();
    let wrong: Vec<String> = ids
        .into_iter()
        .filter(|id| found.get(id) != wanted.get(id))
        .map(|id| format!("{id}: {:?}, expected {:?}", found.get(id), wanted.get(id)))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert_eq!(wanted.len(), count);
}

/// A folder that goes away with the value.
pub fn temporary() -> TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

/// A copy of the sample project that a test may change.
pub struct Project {
    folder: TempDir,
}

impl Project {
    /// Copies the sample.
    pub fn copied() -> Self {
        Self::copy_of(&sample())
    }

    /// Copies a project.
    pub fn copy_of(project: &Path) -> Self {
        let folder = temporary();
        copy(project, &folder.path().join("project"));
        Self { folder }
    }

    /// Where it stands.
    pub fn root(&self) -> PathBuf {
        self.folder.path().join("project")
    }

    /// A folder beside it that is not there yet.
    pub fn out(&self) -> PathBuf {
        self.folder.path().join("out")
    }

    /// A file of it.
    pub fn path(&self, file: &str) -> PathBuf {
        self.root().join(file)
    }

    /// A file's text.
    pub fn text(&self, file: &str) -> String {
        fs::read_to_string(self.path(file)).unwrap_or_else(|error| panic!("{file}: {error}"))
    }

    /// Writes a file anew.
    pub fn write(&self, file: &str, bytes: impl AsRef<[u8]>) {
        fs::write(self.path(file), bytes).unwrap_or_else(|error| panic!("{file}: {error}"));
    }

    /// Adds to the end of a file.
    pub fn append(&self, file: &str, text: &str) {
        self.write(file, self.text(file) + text);
    }

    /// Takes a file away.
    pub fn remove(&self, file: &str) {
        fs::remove_file(self.path(file)).unwrap_or_else(|error| panic!("{file}: {error}"));
    }

    /// Replaces the only place where `old` stands in a file.
    #[track_caller]
    pub fn edit(&self, file: &str, old: &str, new: &str) {
        let text = self.text(file);
        assert_eq!(text.matches(old).count(), 1, "{old:?} must stand once in {file}");
        self.write(file, text.replace(old, new));
    }

    /// Replaces the cell of a CSV, named by the row's first cell and the header.
    #[track_caller]
    pub fn edit_cell(&self, file: &str, row: &str, header: &str, new: &str) {
        let bytes = fs::read(self.path(file)).expect("a CSV file");
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(&bytes[..]);
        let mut rows: Vec<Vec<String>> = reader
            .records()
            .map(|row| row.expect("a row").iter().map(String::from).collect())
            .collect();
        let column = rows[0].iter().position(|name| name == header).expect("the column");
        let row = rows.iter_mut().find(|cells| cells[0] == row).expect("the row");
        row[column] = new.to_string();
        let mut writer = csv::Writer::from_writer(Vec::new());
        rows.iter().for_each(|row| writer.write_record(row).expect("a row"));
        self.write(file, writer.into_inner().expect("a CSV file"));
    }
}

/// Copies a folder with all that is in it.
pub fn copy(from: &Path, to: &Path) {
    for entry in WalkDir::new(from) {
        let entry = entry.expect("a folder to copy");
        let place = to.join(entry.path().strip_prefix(from).expect("a path inside"));
        if entry.file_type().is_dir() {
            fs::create_dir_all(&place).expect("a folder");
        } else {
            fs::copy(entry.path(), &place).expect("a copy");
        }
    }
}

/// Every file below a folder with its bytes, by path with `/` between folders.
pub fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    WalkDir::new(folder)
        .sort_by_file_name()
        .into_iter()
        .map(|entry| entry.expect("a folder to list"))
        .filter(|entry| entry.file_type().is_file())
        .map(|entry| {
            let path = entry.path().strip_prefix(folder).expect("a path inside");
            let parts: Vec<&str> =
                path.iter().map(|part| part.to_str().expect("a name in UTF-8")).collect();
            (parts.join("/"), fs::read(entry.path()).expect("a file"))
        })
        .collect()
}

/// The name that the sample project gives its bundle.
pub const NAME: &str = "calder-wren-2031";

/// What a closeout of the sample wrote.
pub struct Closed {
    /// The bundle.
    pub zip: PathBuf,
    /// The same, unpacked: the folder that holds `bagit.txt`.
    pub folder: PathBuf,
    /// The report beside it.
    pub report: PathBuf,
    /// Its first pages beside it.
    pub summary: PathBuf,
    /// The seal's file beside it.
    pub seal_file: PathBuf,
    /// The sheet of the seal beside it.
    pub seal_sheet: PathBuf,
    /// The recovery files beside it: that without recovery slices, and that with them.
    pub recovery: Vec<PathBuf>,
}

/// The sample closed out, once for each test target. Tests must not write to it.
pub fn closed() -> &'static Closed {
    static CLOSED: OnceLock<Closed> = OnceLock::new();
    CLOSED.get_or_init(|| {
        let out = Path::new(env!("CARGO_TARGET_TMPDIR"))
            .join(concat!("closed-", env!("CARGO_CRATE_NAME")));
        if out.exists() {
            fs::remove_dir_all(&out).expect("to remove what an earlier run left");
        }
        run(&mut closeout_command(&sample(), &out)).exits(0);
        let zip = out.join(format!("{NAME}.zip"));
        let folder = unpack(&zip, &out.join("unpacked"));
        let report = out.join(format!("{NAME}-report.pdf"));
        let summary = out.join(format!("{NAME}-summary.pdf"));
        let seal_file = out.join(format!("{NAME}-seal.txt"));
        let seal_sheet = out.join(format!("{NAME}-seal.pdf"));
        let recovery = recovery_beside(&zip);
        assert_eq!(recovery.len(), 2, "{recovery:?}");
        Closed { zip, folder, report, summary, seal_file, seal_sheet, recovery }
    })
}

/// The recovery files beside a bundle by their names, sorted.
pub fn recovery_beside(zip: &Path) -> Vec<PathBuf> {
    let folder = fs::read_dir(zip.parent().expect("a folder")).expect("a folder to list");
    let paths = folder.map(|entry| entry.expect("an entry").path());
    let mut found: Vec<PathBuf> =
        paths.filter(|path| path.extension().is_some_and(|end| end == "par2")).collect();
    found.sort();
    found
}

/// A bundle with its recovery files in a folder of its own, for a test to damage.
pub struct Zip {
    folder: TempDir,
    /// The zip.
    pub path: PathBuf,
    /// Its bytes as they were.
    pub bytes: Vec<u8>,
}

impl Zip {
    /// Copies the sample's bundle and its recovery files.
    pub fn copied() -> Self {
        let zip = Self::alone();
        for from in &closed().recovery {
            let name = from.file_name().expect("a name");
            fs::copy(from, zip.folder.path().join(name)).expect("a copy");
        }
        zip
    }

    /// Copies the sample's bundle without its recovery files.
    pub fn alone() -> Self {
        let folder = temporary();
        let path = folder.path().join(format!("{NAME}.zip"));
        fs::copy(&closed().zip, &path).expect("a copy");
        Self { bytes: fs::read(&path).expect("the bundle"), folder, path }
    }

    /// Closes out a project, which ends with a status.
    #[track_caller]
    pub fn close_out(project: &Project, status: i32) -> Self {
        let folder = temporary();
        run(&mut closeout_command(&project.root(), folder.path())).exits(status);
        let path = folder.path().join(format!("{NAME}.zip"));
        Self { bytes: fs::read(&path).expect("the bundle"), folder, path }
    }

    /// Its folder.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// Writes other bytes in its place.
    pub fn becomes(&self, bytes: impl AsRef<[u8]>) {
        fs::write(&self.path, bytes).expect("to write it");
    }

    /// Bytes of a slice, as the main packet of its recovery files says.
    pub fn slice() -> usize {
        let index = fs::read(&closed().recovery[0]).expect("a recovery file");
        u32::from_le_bytes(index[64..68].try_into().expect("four bytes")) as usize
    }

    /// Where mend puts the mended one.
    pub fn mended(&self) -> PathBuf {
        self.folder().join(format!("{NAME}-mended.zip"))
    }

    /// `lastdock mend` of it.
    #[track_caller]
    pub fn mend(&self) -> Said {
        run(program().arg("mend").arg(&self.path))
    }

    /// The offset at which an entry's bytes began when it was whole.
    pub fn start_of(&self, path: &str) -> usize {
        let mut archive = zip::ZipArchive::new(Cursor::new(&self.bytes)).expect("a zip");
        let entry = archive.by_name(&format!("{NAME}/{path}")).expect("the entry");
        entry.data_start().expect("an offset") as usize
    }
}

/// Unpacks a bundle that has the name of its folder; the result is the folder that holds `bagit.txt`.
pub fn unpack(zip: &Path, into: &Path) -> PathBuf {
    let file = fs::File::open(zip).expect("a bundle");
    let mut archive = zip::ZipArchive::new(file).expect("a zip");
    archive.extract(into).expect("to unpack");
    into.join(zip.file_stem().expect("a name"))
}

/// A bundle's folder that a test may change.
pub fn unpacked_copy() -> (TempDir, PathBuf) {
    let folder = temporary();
    let bag = folder.path().join(NAME);
    copy(&closed().folder, &bag);
    (folder, bag)
}

/// Writes all manifests and the Oxum anew, as someone would who hides a change.
pub fn list_anew(bag: &Path) {
    let payload: BTreeMap<_, _> = files(bag)
        .into_iter()
        .filter(|(path, _)| path.starts_with(layout::DATA))
        .map(|(path, bytes)| (path, digest::digests(&bytes)))
        .collect();
    for (which, name) in layout::MANIFESTS.iter().enumerate() {
        fs::write(bag.join(name), bag::manifest(&payload, which)).expect("a manifest");
    }
    let info = fs::read_to_string(bag.join(layout::BAG_INFO)).expect("the metadata");
    let stated = bag::info_value(&info, "Payload-Oxum").expect("an Oxum").to_string();
    let info = info.replacen(&stated, &bag::oxum(&payload), 1);
    fs::write(bag.join(layout::BAG_INFO), info).expect("to write it");
    list_tags_anew(bag);
}

/// Writes the tag manifests anew.
pub fn list_tags_anew(bag: &Path) {
    let tags = tags(bag);
    for (which, name) in layout::TAG_MANIFESTS.iter().enumerate() {
        fs::write(bag.join(name), bag::manifest(&tags, which)).expect("a tag manifest");
    }
}

/// Every tag file but the tag manifests, with its digests.
pub fn tags(bag: &Path) -> BTreeMap<String, digest::Digests> {
    files(bag)
        .into_iter()
        .filter(|(path, _)| !path.starts_with(layout::DATA) && !path.starts_with("tagmanifest"))
        .map(|(path, bytes)| (path, digest::digests(&bytes)))
        .collect()
}

/// A tool, or what a test asks of the machine, is not here: what is not tried for want of it is said, past the harness,
/// which keeps what a test that passes prints. In CI, where everything must be, it is a failure.
pub fn not_tried(missing: &str) {
    assert!(!in_ci(std::env::var("CI").ok().as_deref()), "{missing}; in CI it must be");
    let said = format!("NOT TRIED: {missing}\n");
    std::io::stderr().write_all(said.as_bytes()).expect("the error stream");
}

/// Whether a value of the variable CI says that this is CI.
pub fn in_ci(value: Option<&str>) -> bool {
    !matches!(value, None | Some("" | "0" | "false"))
}
