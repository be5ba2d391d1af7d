//! The program `lastdock`; everything it does is in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    lastdock::cli::run()
}
