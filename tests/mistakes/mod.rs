//! What the program says of realistic mistakes, word for word; that it says everything in one run, exits
//! with 1, and writes nothing.

mod doubtful;
mod forty;
mod no_mistake;
mod references;
mod slips;
mod table;
mod together;

use crate::common::{self, Project, closeout, files, run};

/// What both commands say of a project that can't be read: `check`, which was asked for it, on standard output,
/// `closeout` on the error stream. Both exit with 1 and write nothing, neither to the folder asked for nor to
/// the project.
#[track_caller]
fn problems_shown(project: &Project) -> String {
    let before = files(&project.root());
    let checked = run(common::program().arg("check").arg(project.root())).exits(1);
    let closed = closeout(&project.root(), &project.out()).exits(1);
    assert_eq!(checked.out, closed.err);
    assert!(checked.err.is_empty() && closed.out.is_empty(), "{}{}", checked.err, closed.out);
    assert!(!project.out().exists(), "something was written");
    assert!(files(&project.root()) == before, "the project was changed");
    checked.out
}

/// The problems of a project as data.
#[track_caller]
fn problems(project: &Project) -> Vec<serde_json::Value> {
    let said = run(common::program().args(["check", "--json"]).arg(project.root())).exits(1);
    assert!(said.err.is_empty(), "{}", said.err);
    said.json()["problems"].as_array().expect("problems").clone()
}
