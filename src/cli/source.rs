//! What every command that takes a project or a bundle does first.

use std::io;
use std::path::{Path, PathBuf};

use super::page::Page;
use super::problems::{self, Detail};
use super::progress::Progress;
use super::project::{self, Stream};
use super::{print, say};
use crate::bundle::error::BundleError;
use crate::bundle::followers::Followers;
use crate::bundle::layout;
use crate::bundle::open::{Bundle, Kept};
use crate::bundle::others;
use crate::bundle::verify::{Fixity, fixity};
use crate::bundle::version;
use crate::findings::{self, Examined};
use crate::pages::later::Later;
use crate::records;
use crate::records::docking;
use crate::records::excerpt;
use crate::records::problem::Problems;
use crate::records::store::Store;

/// A docking as it was read.
#[derive(Debug)]
pub struct Source {
    /// Its records, with all that comes out of them.
    pub examined: Examined,
    /// Its name: that of its bundle, or else of the file or folder.
    pub name: String,
    /// What fixity says of a bundle; `None` for a project.
    pub bundle: Option<Fixity>,
    /// What supplements to its bundle say, those that were given.
    pub supplements: Vec<Later>,
    /// The bundle itself.
    opened: Option<Bundle>,
}

impl Source {
    /// Whether it comes from a bundle that is not whole: whatever is made of it asks for status 3.
    pub fn is_damaged(&self) -> bool {
        self.bundle.as_ref().is_some_and(|fixity| !fixity.is_whole())
    }

    /// The seal of its bundle.
    pub fn seal(&self) -> Option<&str> {
        self.bundle.as_ref()?.seal.as_deref()
    }

    /// Proves the supplements that were given to it, and reads each against what it follows.
    pub fn follow(&mut self, supplements: Vec<Bundle>, json: bool) -> Result<(), Vec<BundleError>> {
        let Some(first) = self.opened.as_ref().filter(|_| !supplements.is_empty()) else {
            let alone = |bundle: &Bundle| {
                let wrong = "is a supplement, and supplements follow a bundle: a project is given";
                BundleError::new(&bundle.at, wrong, "name the bundle that it supplements")
            };
            let refused: Vec<BundleError> = supplements.iter().map(alone).collect();
            return if refused.is_empty() { Ok(()) } else { Err(refused) };
        };
        let sizes = supplements.iter().flat_map(Bundle::sizes).map(|(_, size)| size);
        let progress = Progress::new("reading", sizes.sum(), json);
        let called = (self.name.clone(), self.seal().map(String::from));
        let proved = Followers::prove(first, called, supplements, &|bytes| progress.advance(bytes));
        progress.clear();
        let followers = proved?;
        let (kept, stores) = (Kept::new(first), followers.stores());
        let line = followers.read(&kept, &stores)?;
        let each = line.supplements().zip(followers.each());
        let later = each.map(|(one, follower)| Later::new(&self.name, one, &follower.seal));
        self.supplements = later.collect();
        Ok(())
    }
}

/// The bundle that is meant: what was named, or the one that stands with its seal in a folder that is no bag, as
/// closeout leaves it there.
pub fn find_bundle(named: &Path) -> Result<PathBuf, BundleError> {
    let is_bag = || {
        let mut tags = layout::MANIFESTS.iter().chain(&[layout::BAGIT]);
        tags.any(|tag| named.join(tag).exists())
    };
    if !named.is_dir() || is_bag() {
        return Ok(named.to_path_buf());
    }
    let is_sealed = |path: &PathBuf| {
        let zip = path.extension().is_some_and(|end| end == "zip");
        let name = path.file_stem().map(|name| name.to_string_lossy()).unwrap_or_default();
        zip && path.with_file_name(format!("{name}-seal.txt")).is_file()
    };
    let listed = std::fs::read_dir(named)
        .map_err(|error| BundleError::io(named, "can't be listed", &error))?;
    let mut bundles: Vec<PathBuf> =
        listed.filter_map(|entry| Some(entry.ok()?.path())).filter(is_sealed).collect();
    bundles.sort();
    match bundles.as_slice() {
        [] => Ok(named.to_path_buf()),
        [one] => Ok(one.clone()),
        several => {
            let names: Vec<String> =
                several.iter().map(|path| path.display().to_string()).collect();
            Err(BundleError::new(
                named,
                format!("holds {} bundles with their seals", several.len()),
                format!("name those that are meant: {}", names.join(", ")),
            ))
        }
    }
}

/// Opens what is given as a bundle.
pub fn open_bundle(at: &Path) -> Result<Bundle, BundleError> {
    let bundle = Bundle::open(&find_bundle(at)?)?;
    version::refuse_others(&bundle)?;
    others::refuse(&bundle)?;
    Ok(bundle)
}

/// Opens what is given as supplements.
pub fn open_supplements(given: &[PathBuf]) -> Result<Vec<Bundle>, Vec<BundleError>> {
    let opened = given.iter().map(|at| open_supplement(at));
    let (opened, wrong): (Vec<_>, Vec<_>) = opened.partition(Result::is_ok);
    let wrong: Vec<BundleError> = wrong.into_iter().filter_map(Result::err).collect();
    if wrong.is_empty() { Ok(opened.into_iter().flatten().collect()) } else { Err(wrong) }
}

fn open_supplement(at: &Path) -> Result<Bundle, BundleError> {
    let bundle = Bundle::open(&find_bundle(at)?)?;
    version::refuse_others(&bundle)?;
    others::refuse_no_supplement(&bundle)?;
    Ok(bundle)
}

/// Reads and examines a docking as `examine_and` does.
pub fn examine(at: &Path, json: bool) -> Option<Source> {
    examine_and(at, json, |_, _| Ok(())).map(|(source, ())| source)
}

/// Reads and examines the project in a folder, or the one in a bundle, and reads of its files what `read` wants, which
/// may fail at a path. Damage to a bundle is reported
/// on the error stream, and its records are read all the same; where they can't be, the reasons are printed, and the
/// answer is `None`.
pub fn examine_and<T>(
    at: &Path,
    json: bool,
    read: impl Fn(&Examined, &dyn Store) -> Result<T, (String, io::Error)>,
) -> Option<(Source, T)> {
    let from_files = |examined: &Examined, store: &dyn Store| {
        read(examined, store)
            .inspect_err(|(path, error)| {
                say::print_errors(&[BundleError::io(at.join(path), "can't be read", error)], json);
            })
            .ok()
    };
    if !is_bundle(at) {
        let (folder, examined) = project::examine(at, json, Stream::Err)?;
        let more = from_files(&examined, &folder)?;
        let source = Source {
            name: name_of(&examined, at),
            examined,
            bundle: None,
            supplements: Vec::new(),
            opened: None,
        };
        return Some((source, more));
    }
    let (bundle, fixity) = match open(at, json) {
        Ok(both) => both,
        Err(error) => {
            say::print_errors(&[error], json);
            return None;
        }
    };
    if let Some(error) = fixity.unchecked_error(at) {
        say::print_errors(&[error], json);
        return None;
    }
    if !fixity.is_whole() {
        say::eprint(&Page::from_text(describe_damage(at, &fixity)));
    }
    let kept = Kept::new(&bundle);
    let read = records::read(&kept, Problems::default()).and_then(|project| {
        findings::examine(project).map_err(|mut problems| {
            excerpt::show(&mut problems, |path| kept.read(path).ok());
            problems
        })
    });
    if let Err(error) = bundle.refuse_changed() {
        say::print_errors(&[error], json);
        return None;
    }
    match read {
        Ok(examined) => {
            let more = from_files(&examined, &kept)?;
            let source = Source {
                name: name_of(&examined, at),
                examined,
                bundle: Some(fixity),
                supplements: Vec::new(),
                opened: Some(bundle),
            };
            Some((source, more))
        }
        Err(problems) => {
            if json {
                say::print_json(&problems::to_json(&problems));
            } else {
                let mut page = Page::from_text(at.display());
                page.push_str(": the records in it can't be read\n");
                let more = "the same command with --json";
                page.append(problems::render(&problems, Detail::Causes { more }));
                say::eprint(&page);
            }
            None
        }
    }
}

/// A file is a bundle's zip. A folder is a project if it holds `docking.toml`, and a bundle if it holds what
/// a bag does; any other is left to the reading of projects, which says what is missing.
fn is_bundle(at: &Path) -> bool {
    let holds = |path: &str| at.join(path).is_file();
    let bag = || holds(layout::BAGIT) || layout::MANIFESTS.iter().any(|path| holds(path));
    !at.is_dir() || (!holds(docking::SPEC.path) && bag())
}

fn open(at: &Path, json: bool) -> Result<(Bundle, Fixity), BundleError> {
    let bundle = open_bundle(at)?;
    let progress = Progress::new("reading", bundle.sizes().map(|(_, size)| size).sum(), json);
    let fixity = fixity(&bundle, &|bytes| progress.advance(bytes));
    progress.clear();
    Ok((bundle, fixity?))
}

fn describe_damage(at: &Path, fixity: &Fixity) -> String {
    let mut out = format!("{}: the bundle is damaged\n", at.display());
    for trouble in fixity.troubles() {
        out.push_str(&format!("{}\n", print::wrapped(&trouble, 4)));
    }
    let advice = "do: what follows is read from it all the same; see lastdock verify, and if possible mend it first with lastdock mend";
    out.push_str(&format!("{}\n", print::wrapped(advice, 4)));
    out
}

fn name_of(examined: &Examined, at: &Path) -> String {
    let full = at.canonicalize().unwrap_or_else(|_| at.to_path_buf());
    let own = if full.is_dir() { full.file_name() } else { full.file_stem() };
    match &examined.project.docking.closeout {
        Some(closeout) => closeout.bundle_name.clone(),
        None => own.map_or_else(|| "docking".into(), |name| name.to_string_lossy().into_owned()),
    }
}
