//! What every command that takes a project's folder does first.

use std::path::{Path, PathBuf};

use super::page::Page;
use super::problems::{self, Detail};
use super::progress::FileCount;
use super::{print, say};
use crate::bundle::layout;
use crate::bundle::open::is_zip;
use crate::findings::{self, Examined};
use crate::records::docking;
use crate::records::place::Place;
use crate::records::problem::{Problem, Problems};
use crate::records::store::{Folder, Store};
use crate::records::{self, Project, excerpt};

/// Where the list of what is wrong goes: it is what `check` was asked for, and a failure of every other command.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stream {
    /// On standard output.
    Out,
    /// On the error stream.
    Err,
}

/// Reads a project and examines it; otherwise says everything that is wrong.
pub fn examine(root: &Path, json: bool, stream: Stream) -> Option<(Folder, Examined)> {
    examine_telling(root, json, stream, false)
}

/// The same, with every place of what is wrong if `all`.
pub fn examine_telling(
    root: &Path,
    json: bool,
    stream: Stream,
    all: bool,
) -> Option<(Folder, Examined)> {
    let examined = |(folder, project): (Folder, Project)| {
        let examined = findings::examine(project).map_err(|mut problems| {
            excerpt::show(&mut problems, |path| folder.read(path).ok());
            problems
        })?;
        Ok((folder, examined))
    };
    let (folder, examined) = or_print(read_folder(root, json).and_then(examined), |problems| {
        let more = format!("lastdock check {} --all", root.display());
        let detail = if all { Detail::All } else { Detail::Causes { more: &more } };
        match stream {
            _ if json => say::print_json(&problems::to_json(problems)),
            Stream::Out => say::print(&problems::render(problems, detail)),
            Stream::Err => say::eprint(&problems::render(problems, detail)),
        }
    })?;
    warn(&examined.project.warnings);
    Some((folder, examined))
}

fn or_print<T>(read: Result<T, Vec<Problem>>, print: impl Fn(&[Problem])) -> Option<T> {
    read.inspect_err(|problems| print(problems)).ok()
}

/// Says on stderr what ought to be known and stops nothing.
pub fn warn(warnings: &[Problem]) {
    for warning in warnings {
        let note = print::wrapped(&format!("Note: {warning}"), 0);
        say::eprint(&Page::from_text(format_args!("{note}\n")));
    }
}

fn read_folder(root: &Path, quiet: bool) -> Result<(Folder, Project), Vec<Problem>> {
    if let Some(problem) = refuse(root) {
        return Err(vec![problem]);
    }
    let mut problems = Problems::default();
    let count = FileCount::new(quiet);
    let folder = Folder::open_telling(root, &mut problems, &|| count.add_one());
    count.clear();
    let project = records::read(&folder, problems)?;
    Ok((folder, project))
}

/// What is wrong with a path that can't be a project's folder: a file, a bundle, a folder inside a project
/// or one that holds projects. Of these nothing is read, so that no file in them is called a wrong one.
fn refuse(root: &Path) -> Option<Problem> {
    let at = |wrong: &str, advice: String| {
        let place = Place::file(&root.display().to_string());
        let problem = Problem::new(place, wrong).expected("the folder of a project");
        Some(problem.advice(advice))
    };
    let verify = || format!("lastdock verify {} says whether it is whole", root.display());
    if is_zip(root) {
        return at("is a zip, and a bundle if this program wrote it", verify());
    }
    if !root.is_dir() {
        return at("is not a folder", "name the folder that holds docking.toml".to_string());
    }
    let holds = |folder: &Path| folder.join(docking::SPEC.path).is_file();
    if holds(root) {
        return None;
    }
    if root.join(layout::BAGIT).is_file() {
        return at("is the folder of a bundle", verify());
    }
    let full = root.canonicalize().ok()?;
    if let Some(above) = full.ancestors().skip(1).take(DEEPEST).find(|above| holds(above)) {
        let advice = format!("name the project's own folder, {}", above.display());
        return at("is a folder inside a project", advice);
    }
    let mut inside: Vec<PathBuf> = std::fs::read_dir(root)
        .ok()?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| holds(path))
        .collect();
    inside.sort();
    let names: Vec<String> =
        inside.iter().take(MOST_NAMED).map(|path| path.display().to_string()).collect();
    match inside.len().saturating_sub(names.len()) {
        _ if names.is_empty() => None,
        0 => at(
            "holds no docking.toml, but folders in it do",
            format!("name one of them: {}", names.join(", ")),
        ),
        more => at(
            "holds no docking.toml, and folders in it do",
            format!("name one of them: {} or {more} others", names.join(", ")),
        ),
    }
}

/// How far above a folder a project is looked for: a paper lies three folders deep at most, as people keep them.
const DEEPEST: usize = 3;

/// Of the projects in a folder, how many are named.
const MOST_NAMED: usize = 6;
