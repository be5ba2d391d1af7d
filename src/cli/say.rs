//! What is said on standard output and on the error stream, and what becomes of it when nobody takes it in.

use std::fmt::Display;
use std::io::{self, ErrorKind, Write};
use std::sync::Mutex;

use serde::Serialize;

use super::print;
use super::status::Status;
use crate::bundle::error::BundleError;

/// The first failure of standard output, which there is only one of.
static FAILED: Mutex<Option<io::Error>> = Mutex::new(None);

/// Text for a person, with colour where it is wanted.
pub fn told(text: impl Display) {
    keep(write!(anstream::stdout(), "{text}"));
}

/// Text as it is.
pub fn plain(text: impl Display) {
    keep(write!(io::stdout(), "{text}"));
}

/// Data as JSON.
pub fn json(value: &impl Serialize) {
    plain(format_args!("{}\n", print::json(value)));
}

/// Text on the error stream. Where that fails, there is nobody left to tell.
pub fn aside(text: impl Display) {
    let _ = write!(anstream::stderr(), "{text}");
}

/// Failures: on the error stream, or as JSON.
pub fn failed(errors: &[BundleError], as_json: bool) -> Status {
    if as_json {
        plain(format_args!("{}\n", print::errors_as_json(errors)));
    } else {
        errors.iter().for_each(|error| aside(format_args!("{error}\n")));
    }
    Status::NotDone
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
