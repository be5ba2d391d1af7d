//! What every command that takes a project's folder does first.

use std::path::Path;

use super::print;
use crate::findings::{self, Examined};
use crate::records::problem::{Problem, Problems};
use crate::records::store::Folder;
use crate::records::{self, Project};

/// Reads a project and examines it; otherwise says everything that is wrong.
pub fn examined(root: &Path, json: bool) -> Option<(Folder, Examined)> {
    let examined = |(folder, project)| Ok((folder, findings::examine(project)?));
    or_told(recorded(root).and_then(examined), json)
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
                println!("{}", print::problems_as_json(&problems));
            } else {
                anstream::eprint!("{}", print::problems(&problems));
            }
            None
        }
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
