//! What is said on standard output and on the error stream, and what becomes of it when nobody takes it in. A
//! test of the house sees to it that nothing else is written there.

use std::io::{self, ErrorKind, Write};
use std::panic;
use std::sync::Mutex;

use clap::error::Error;
use serde::Serialize;

use super::page::Page;
use super::print;
use super::status::Status;
use crate::bundle::error::BundleError;
use crate::records::characters::shown;

/// The first failure of standard output, which there is only one of.
static FAILED: Mutex<Option<io::Error>> = Mutex::new(None);

/// Text for a person, with colour where it is wanted.
pub fn print(page: &Page) {
    keep_failure(write!(anstream::stdout(), "{}", page.as_ansi()));
}

/// Text for another program, or for a file, that is of lines: a script, a page of the manual, TOML.
pub fn print_plain(text: &str) {
    // A tab is no order, and means something to some of them.
    let lines = text.split('\t').map(shown).collect::<Vec<_>>().join("\t");
    keep_failure(write!(io::stdout(), "{lines}"));
}

/// Data as JSON.
pub fn print_json(value: &impl Serialize) {
    keep_failure(writeln!(io::stdout(), "{}", print::json(value)));
}

/// Text on the error stream. Where that fails, there is nobody left to tell.
pub fn eprint(page: &Page) {
    let _ = write!(anstream::stderr(), "{}", page.as_ansi());
}

/// Failures: on the error stream, or as JSON.
pub fn print_errors(errors: &[BundleError], as_json: bool) -> Status {
    if as_json {
        print_json(&print::errors_to_json(errors));
    } else {
        errors.iter().for_each(|error| eprint(&Page::from_text(format_args!("{error}\n"))));
    }
    Status::NotDone
}

/// What the parser of the command line has to say: its help, or what is wrong with the line. Gives the status
/// that it asks for.
pub fn print_parser_error(error: Error) -> u8 {
    let (code, to_stderr) = (error.exit_code(), error.use_stderr());
    let page = Page::from_parser_error(error);
    if to_stderr {
        eprint(&page)
    } else {
        print(&page)
    }
    u8::try_from(code).unwrap_or(2)
}

/// Has the words of a panic, which may quote a file, go out like all others.
pub fn redirect_panics() {
    panic::set_hook(Box::new(|panic| eprint(&Page::from_text(format_args!("{panic}\n")))));
}

fn keep_failure(written: io::Result<()>) {
    if let Err(error) = written {
        FAILED.lock().unwrap_or_else(|e| e.into_inner()).get_or_insert(error);
    }
}

/// What a command ends with, once all that it said has gone out. Who closes standard output has read enough,
/// and the status stays; but what could not be written has not been said.
pub fn finish(status: Status) -> Status {
    keep_failure(io::stdout().flush());
    match FAILED.lock().unwrap_or_else(|e| e.into_inner()).take() {
        Some(error) if error.kind() != ErrorKind::BrokenPipe => {
            print_errors(&[BundleError::io("standard output", "can't be written", &error)], false)
        }
        _ => status,
    }
}
