//! Running the judges: programs on the PATH, and those in the folder that `LASTDOCK_JUDGES` names.

use std::env;
use std::path::PathBuf;
use std::process::Command;

use crate::common::{Said, run};

/// A program of the judges' own folder.
pub fn judge(name: &str) -> Command {
    let folder = env::var_os("LASTDOCK_JUDGES")
        .expect("LASTDOCK_JUDGES, the bin folder that tests/outside/README.md tells how to make");
    Command::new(PathBuf::from(folder).join(name))
}

/// A program on the PATH.
pub fn on_path(name: &str) -> Command {
    let mut command = Command::new(name);
    command.env("LC_ALL", "C.UTF-8");
    command
}

/// Runs a judge and holds that it is content.
#[track_caller]
pub fn content(command: &mut Command) -> Said {
    run(command).exits(0)
}

/// The judge of PDF/A-3a and PDF/UA-1: the files to be judged are its arguments.
pub fn conformance() -> Command {
    let mut command = judge("python");
    command.arg(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/outside/conformance.py"));
    command
}
