//! Everything that the program writes, on a small project: what each run begins with, what it writes when
//! nothing disturbs it, and what must hold when something does.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use tempfile::TempDir;

use crate::common::{self, Said, copy, program, run, temporary, verify};

/// The bundle of the small project.
pub const NAME: &str = "thistle-quill-2029";

/// Files by their paths.
pub type Files = BTreeMap<String, Vec<u8>>;

/// A run of the program. It reads from `in` and writes into `out`, both in the folder that it runs in.
pub struct Work {
    /// What is done.
    pub what: &'static str,
    /// Its arguments.
    pub arguments: &'static [&'static str],
    /// Whether all of it appears at once: one file or one folder.
    pub at_once: bool,
    /// Lays down what is there before it.
    lay: fn(&Path),
    undisturbed: OnceLock<Undisturbed>,
}

/// What a run does when nothing disturbs it.
pub struct Undisturbed {
    /// What is in `in`.
    pub read: Files,
    /// What is in `out` before it.
    pub before: Files,
    /// What is in `out` after it.
    pub after: Files,
    /// Its exit status.
    pub status: i32,
    /// How long it took.
    pub took: Duration,
}

const fn work(
    what: &'static str,
    arguments: &'static [&'static str],
    at_once: bool,
    lay: fn(&Path),
) -> Work {
    Work { what, arguments, at_once, lay, undisturbed: OnceLock::new() }
}

pub static CLOSEOUT: Work =
    work("a closeout", &["closeout", "in/project", "--out", "out"], false, project);
pub static REPLACED: Work = work(
    "a closeout that replaces another",
    &["closeout", "in/project", "--out", "out", "--replace"],
    false,
    |root| {
        project(root);
        write_all(&root.join("out"), &CLOSEOUT.undisturbed().after);
        let remarks = root.join("in/project/remarks.toml");
        let mut remarks = fs::OpenOptions::new().append(true).open(remarks).expect("remarks");
        remarks.write_all(b"\n# looked at again\n").expect("to write");
    },
);
pub static MENDED: Work = work("mending", &["mend", "out/thistle-quill-2029.zip"], true, |root| {
    let mut files = CLOSEOUT.undisturbed().after.clone();
    let zip = files.get_mut(&format!("{NAME}.zip")).expect("the bundle");
    zip[5000..20_000].fill(0);
    write_all(&root.join("out"), &files);
});
pub static SALVAGED: Work =
    work("salvaging", &["mend", "out/thistle-quill-2029.zip"], true, |root| {
        let mut zip = bundle();
        let end = zip.len() - 3000;
        zip.truncate(end);
        write_all(&root.join("out"), &BTreeMap::from([(format!("{NAME}.zip"), zip)]));
    });
pub static STARTED: Work = work("starting", &["start", "out/new"], true, |_| {});
pub static CARRIED: Work = work(
    "starting from a bundle",
    &["start", "out/new", "--from", "in/thistle-quill-2029.zip"],
    true,
    |root| write_all(&root.join("in"), &BTreeMap::from([(format!("{NAME}.zip"), bundle())])),
);
pub static FORMS: Work =
    work("printing sheets", &["forms", "in/project", "--out", "out"], false, project);
pub static COMPARED: Work = work(
    "comparing",
    &["compare", "in/thistle-quill-2029.zip", "in/project", "--out", "out/compared.pdf"],
    true,
    |root| {
        project(root);
        fs::write(root.join(format!("in/{NAME}.zip")), bundle()).expect("the bundle");
    },
);

pub static SUPPLEMENTED: Work = work(
    "sealing a supplement",
    &["supplement", "in/thistle-quill-2029.zip", "in/s1", "--out", "out"],
    false,
    |root| {
        fs::write(root.join(format!("in/{NAME}.zip")), bundle()).expect("the bundle");
        write_all(&root.join("in/s1"), &supplement());
    },
);
pub static PAGED: Work = work(
    "making a page",
    &["page", "in/thistle-quill-2029.zip", "--out", "out/page.html"],
    true,
    |root| fs::write(root.join(format!("in/{NAME}.zip")), bundle()).expect("the bundle"),
);

/// All of them.
pub static WORKS: [&Work; 10] = [
    &CLOSEOUT,
    &REPLACED,
    &MENDED,
    &SALVAGED,
    &STARTED,
    &CARRIED,
    &FORMS,
    &COMPARED,
    &SUPPLEMENTED,
    &PAGED,
];

fn project(root: &Path) {
    let small = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/formats/project");
    copy(&small, &root.join("in/project"));
}

fn bundle() -> Vec<u8> {
    CLOSEOUT.undisturbed().after[&format!("{NAME}.zip")].clone()
}

/// A supplement's folder, filled in.
fn supplement() -> Files {
    let seal = &CLOSEOUT.undisturbed().after[&format!("{NAME}-seal.txt")];
    let seal = String::from_utf8_lossy(seal).lines().next().expect("the seal").to_string();
    let form = format!(
        "format = 1\n\n[supplement]\nname = \"{NAME}-s1\"\nmade_by = \"N. Harrowgate\"\n\
         made_on = 2034-06-12\nabout = \"a note found\"\n\n[parent]\nname = \"{NAME}\"\nseal = \"{seal}\"\n\n\
         [first]\nname = \"{NAME}\"\nseal = \"{seal}\"\n"
    );
    let list = "file,kind,about,taken_at,by,caption,in_report,seen_from,for_next_time,language\n\
                found.txt,other,block:K2,,,a note,no,,no,\n";
    let files = [
        ("supplement.toml", form.into_bytes()),
        ("papers/found.txt", b"a note\n".repeat(2000)),
        ("papers/papers.csv", list.as_bytes().to_vec()),
    ];
    files.into_iter().map(|(path, bytes)| (path.to_string(), bytes)).collect()
}

/// Files into a folder.
pub fn write_all(folder: &Path, files: &Files) {
    for (path, bytes) in files {
        let place = folder.join(path);
        fs::create_dir_all(place.parent().expect("a folder")).expect("folders");
        fs::write(place, bytes).expect("to write");
    }
}

/// Every file below a folder.
pub fn files(folder: &Path) -> Files {
    common::files(folder).into_iter().collect()
}

impl Work {
    /// What it does when nothing disturbs it.
    pub fn undisturbed(&self) -> &Undisturbed {
        self.undisturbed.get_or_init(|| {
            let place = Laid::new(self);
            let (read, before) = (files(&place.path("in")), files(&place.path("out")));
            let start = Instant::now();
            let said = run(&mut place.command());
            let took = start.elapsed();
            let after = files(&place.path("out"));
            assert!(
                after != before,
                "{}: nothing was written\n{}{}",
                self.what,
                said.out,
                said.err
            );
            assert!(after.keys().all(|path| !is_temporary(path)), "{:?}", after.keys());
            assert!(files(&place.path("in")) == read);
            for zip in after.keys().filter(|path| after.get(*path) != before.get(*path)) {
                if zip.ends_with(".zip") {
                    let zip = place.path("out").join(zip);
                    let bundle = place.path(&format!("in/{NAME}.zip"));
                    // A supplement is proved with what it follows.
                    if self.what == SUPPLEMENTED.what {
                        run(program().arg("verify").args([bundle, zip])).exits(0);
                    } else {
                        verify(&zip).exits(0);
                    }
                }
            }
            Undisturbed { read, before, after, status: said.status, took }
        })
    }
}

/// Whether a path in `out` lies in a staging folder: what a killed run may leave.
pub fn is_temporary(path: &str) -> bool {
    path.split_once('/').is_some_and(|(folder, _)| is_workplace(folder))
}

/// Whether a name in `out` is a staging folder's.
pub fn is_workplace(name: &str) -> bool {
    name.starts_with(".lastdock-") && name.ends_with(".part")
}

/// A folder in which a run has what it begins with.
pub struct Laid<'a> {
    /// The run.
    pub work: &'a Work,
    folder: TempDir,
}

impl<'a> Laid<'a> {
    /// Lays it down.
    pub fn new(work: &'a Work) -> Self {
        let folder = temporary();
        for name in ["in", "out"] {
            fs::create_dir(folder.path().join(name)).expect("a folder");
        }
        (work.lay)(folder.path());
        Self { work, folder }
    }

    /// A path in it.
    pub fn path(&self, path: &str) -> PathBuf {
        self.folder.path().join(path)
    }

    /// The run.
    pub fn command(&self) -> Command {
        let mut command = program();
        command.args(self.work.arguments).current_dir(self.folder.path());
        command
    }

    /// The run as the last words of a command that sets the scene for it.
    pub fn command_in(&self, scene: &[&str]) -> Command {
        let mut command = Command::new(scene[0]);
        command.args(&scene[1..]).arg(env!("CARGO_BIN_EXE_lastdock")).args(self.work.arguments);
        command.current_dir(self.folder.path());
        for name in ["NO_COLOR", "CLICOLOR_FORCE", "CLICOLOR"] {
            command.env_remove(name);
        }
        command
    }

    /// The staging folders that stand in `out`.
    pub fn staging_dirs(&self) -> Vec<PathBuf> {
        let entries = fs::read_dir(self.path("out")).into_iter().flatten().flatten();
        let named = entries.filter(|entry| entry.file_name().to_str().is_some_and(is_workplace));
        named.map(|entry| entry.path()).collect()
    }

    /// Holds what must hold whatever has happened: nothing that was read is touched, and what stands under
    /// final names is whole or is what was there before. The result is whether all was written.
    #[track_caller]
    pub fn is_sound(&self, when: &str) -> bool {
        let Undisturbed { read, before, after, .. } = self.work.undisturbed();
        let what = format!("{}, {when}", self.work.what);
        assert!(files(&self.path("in")) == *read, "{what}: what was read was touched");
        let found = files(&self.path("out"));
        let shown: BTreeMap<&String, &Vec<u8>> =
            found.iter().filter(|(path, _)| !is_temporary(path)).collect();
        for (path, bytes) in &shown {
            let known = before.get(*path) == Some(*bytes) || after.get(*path) == Some(*bytes);
            assert!(known, "{what}: {path} is neither what it was nor what it is to be");
        }
        let lost = |path: &&String| !shown.contains_key(*path) && after.contains_key(*path);
        let lost: Vec<&String> = before.keys().filter(lost).collect();
        assert!(lost.is_empty(), "{what}: lost {lost:?}");
        let is = |wanted: &Files| shown.iter().map(|(p, b)| (*p, *b)).eq(wanted.iter());
        let (none, all) = (is(before), is(after));
        if self.work.at_once {
            assert!(none || all, "{what}: a part of it is there: {:?}", shown.keys());
        }
        // The bundle, or the supplement, comes last.
        let zips = after.keys().filter(|path| path.ends_with(".zip"));
        let changed = |zip: &&String| {
            after.get(*zip) != before.get(*zip) && shown.get(*zip).copied() == after.get(*zip)
        };
        for _ in zips.filter(changed) {
            let short: Vec<&String> =
                after.keys().filter(|path| shown.get(path).copied() != after.get(*path)).collect();
            assert!(short.is_empty(), "{what}: the bundle stands without {short:?}");
        }
        all
    }

    /// Runs it again, and holds that the outcome is what it would have been, with nothing left over. What has
    /// appeared at once and whole is in the way of a second run: nothing is left to do then.
    #[track_caller]
    pub fn comes_right(&self, when: &str) {
        let what = format!("{}, {when}", self.work.what);
        if self.is_sound(when) && self.work.at_once {
            return;
        }
        let said = run(&mut self.command());
        let Undisturbed { after, status, .. } = self.work.undisturbed();
        assert_eq!(said.status, *status, "{what}\n{}{}", said.out, said.err);
        let found = files(&self.path("out"));
        let names = |files: &Files| files.keys().cloned().collect::<Vec<_>>();
        assert_eq!(names(&found), names(after), "{what}");
        assert!(found == *after, "{what}: other bytes");
        assert!(self.staging_dirs().is_empty(), "{what}: a staging is left");
    }
}

/// Holds that a run says that it could not do it, with its place and with what to do, and does not break.
#[track_caller]
pub fn is_clear(said: &Said, words: &[&str]) {
    assert_eq!(said.status, 1, "{}{}", said.out, said.err);
    let text = said.squeezed();
    for word in words.iter().copied().chain(["do: "]) {
        assert!(
            text.contains(&common::squeezed(word)),
            "{word:?} is not in\n{}{}",
            said.out,
            said.err
        );
    }
    for bad in ["panicked", "drop", "Os {", ".lastdock-"] {
        assert!(!said.err.contains(bad), "{bad:?} is in\n{}", said.err);
    }
}
