//! What every command that takes a project's folder does first.

use std::path::Path;

use super::{print, problems, say};
use crate::findings::{self, Examined};
use crate::records::problem::{Problem, Problems};
use crate::records::store::{Folder, Store};
use crate::records::{self, Project, excerpt};

/// Reads a project and examines it; otherwise says everything that is wrong.
pub fn examined(root: &Path, json: bool) -> Option<(Folder, Examined)> {
    let examined = |(folder, project): (Folder, Project)| {
        let examined = findings::examine(project).map_err(|mut problems| {
            excerpt::show(&mut problems, |path| folder.read(path).ok());
            problems
        })?;
        Ok((folder, examined))
    };
    let (folder, examined) = or_told(recorded(root).and_then(examined), json)?;
    warn(&examined.project.warnings);
    Some((folder, examined))
}

/// Reads a project; otherwise says everything that is wrong.
pub fn read(root: &Path, json: bool) -> Option<(Folder, Project)> {
    or_told(recorded(root), json)
}

fn or_told<T>(read: Result<T, Vec<Problem>>, json: bool) -> Option<T> {
    match read {
        Ok(found) => Some(found),
        Err(problems) => {
            if json {
                say::plain(format_args!("{}\n", problems::as_json(&problems)));
            } else {
                say::aside(problems::told(&problems));
            }
            None
        }
    }
}

/// Says on stderr what ought to be known and stops nothing.
pub fn warn(warnings: &[Problem]) {
    for warning in warnings {
        let note = print::wrapped(&format!("Note: {warning}"), 0);
        say::aside(format_args!("{note}\n"));
    }
}

fn recorded(root: &Path) -> Result<(Folder, Project), Vec<Problem>> {
    let mut problems = Problems::default();
    if !root.is_dir() {
        let place = records::place::Place::file(&root.display().to_string());
        problems.add(
            Problem::new(place, "is not a folder")
                .expected("the folder of a project")
                .advice("name the folder that holds docking.toml"),
        );
        return Err(problems.into_sorted());
    }
    let folder = Folder::open(root, &mut problems);
    let project = records::read(&folder, problems)?;
    Ok((folder, project))
}
