//! `lastdock completions`: what a shell needs to complete the command line.

use clap::{Args, Command};
use clap_complete::Shell;

use super::say;
use super::status::Status;

/// What `completions` takes.
#[derive(Debug, Args)]
pub struct Completions {
    /// The shell to complete for
    shell: Shell,
}

/// Runs it for a command line.
pub fn run(args: &Completions, mut line: Command) -> Status {
    let mut script = Vec::new();
    let name = line.get_name().to_string();
    clap_complete::generate(args.shell, &mut line, name, &mut script);
    say::print_plain(&String::from_utf8_lossy(&script));
    Status::Well
}
