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
pub fn told(page: &Page) {
    keep(write!(anstream::stdout(), "{}", page.as_ansi()));
}

/// Text for another program, or for a file, that is of lines: a script, a page of the manual, TOML.
pub fn plain(text: &str) {
    // A tab is no order, and means something to some of them.
    let lines = text.split('\t').map(shown).collect::<Vec<_>>().join("\t");
    keep(write!(io::stdout(), "{lines}"));
}

/// Data as JSON.
pub fn json(value: &impl Serialize) {
    keep(writeln!(io::stdout(), "{}", print::json(value)));
}

/// Text on the error stream. Where that fails, there is nobody left to tell.
pub fn aside(page: &Page) {
    let _ = write!(anstream::stderr(), "{}", page.as_ansi());
}

/// Failures: on the error stream, or as JSON.
pub fn failed(errors: &[BundleError], as_json: bool) -> Status {
    if as_json {
        json(&print::errors_as_data(errors));
    } else {
        errors.iter().for_each(|error| aside(&Page::of(format_args!("{error}\n"))));
    }
    Status::NotDone
}

/// What the parser of the command line has to say: its help, or what is wrong with the line. Gives the status
/// that it asks for.
pub fn parsed(error: Error) -> u8 {
    let (code, to_stderr) = (error.exit_code(), error.use_stderr());
    let page = Page::of_parser(error);
    if to_stderr {
        aside(&page)
    } else {
        told(&page)
    }
    u8::try_from(code).unwrap_or(2)
}

/// Has the words of a panic, which may quote a file, go out like all others.
pub fn panics_like_all_else() {
    panic::set_hook(Box::new(|panic| aside(&Page::of(format_args!("{panic}\n")))));
}

fn keep(said: io::Result<()>) {
    if let Err(error) = said {
        FAILED.lock().unwrap_or_else(|e| e.into_inner()).get_or_insert(error);
    }
}

/// What a command ends with, once all that it said has gone out. Who closes standard output has read enough,
/// and the status stays; but what could not be written has not been said.
pub fn ended(status: Status) -> Status {
    keep(io::stdout().flush());
    match FAILED.lock().unwrap_or_else(|e| e.into_inner()).take() {
        Some(error) if error.kind() != ErrorKind::BrokenPipe => {
            failed(&[BundleError::io("standard output", "can't be written", &error)], false)
        }
        _ => status,
    }
}
