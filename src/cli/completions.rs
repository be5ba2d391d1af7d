//! `lastdock completions`: what a shell needs to complete the command line.

use clap::{Args, CommandFactory};
use clap_complete::Shell;

use super::say;
use super::status::Status;

/// What `completions` takes.
#[derive(Debug, Args)]
pub struct Completions {
    /// The shell that is to complete
    shell: Shell,
}

/// Runs it.
pub fn run(args: &Completions) -> Status {
    let mut script = Vec::new();
    let mut line = super::Line::command();
    let name = line.get_name().to_string();
    clap_complete::generate(args.shell, &mut line, name, &mut script);
    say::plain(&String::from_utf8_lossy(&script));
    Status::Well
}
