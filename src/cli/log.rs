//! What commands write into a log of proof, and the time of it: the one place where the clock is asked for something that is
//! kept.

use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;

use chrono::{DateTime, NaiveDateTime};
use clap::Args;

use super::page::Page;
use super::say;
use super::status::Status;
use crate::PROGRAM;
use crate::bundle::error::BundleError;
use crate::bundle::log::{self, Event, Occasion, Outcome};

/// What commands take about the log.
#[derive(Debug, Args)]
pub struct Logging {
    /// Add a line about this run to a log, a CSV file in the terms of PREMIS 3; it is made if it is not there
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// The time that the log gets, in UTC, YYYY-MM-DDTHH:MM:SSZ; by default that of this machine's clock
    #[arg(long, value_name = "TIME", requires = "log", value_parser = parse_time)]
    log_at: Option<String>,
    /// Who had it done, for the log
    #[arg(long, value_name = "NAME", requires = "log")]
    log_by: Option<String>,
}

const WRITTEN: &str = "%Y-%m-%dT%H:%M:%SZ";

fn parse_time(text: &str) -> Result<String, String> {
    let parsed = [WRITTEN, "%Y-%m-%dT%H:%MZ"]
        .iter()
        .find_map(|form| NaiveDateTime::parse_from_str(text, form).ok());
    let parsed = parsed.ok_or("a time is YYYY-MM-DDTHH:MM:SSZ, in UTC")?;
    Ok(parsed.format(WRITTEN).to_string())
}

impl Logging {
    /// The log, if one was asked for.
    pub fn file(&self) -> Option<&Path> {
        self.log.as_deref()
    }

    /// Adds events to the log, if one was asked for. One that can't be written is an error of its own: what was found has
    /// been printed, and the status says that not all was done.
    pub fn add(&self, events: &[Event], status: Status) -> Status {
        let Some(log) = &self.log else { return status };
        let added = self.occasion().and_then(|occasion| {
            let lines: String =
                events.iter().map(|event| log::line(event, &occasion, PROGRAM)).collect();
            log::append(log, &lines)
        });
        match added {
            Ok(()) => status,
            Err(error) => {
                say::eprint(&Page::from_text(format_args!("not logged: {error}\n")));
                Status::NotDone
            }
        }
    }

    fn occasion(&self) -> Result<Occasion, BundleError> {
        let at = match &self.log_at {
            Some(at) => at.clone(),
            None => now().ok_or_else(|| {
                let advice = "set the clock, or give the time with --log-at";
                BundleError::new("the clock", "shows no time that can be written", advice)
            })?,
        };
        Ok(Occasion { at, by: self.log_by.clone() })
    }
}

/// What the clock shows, UTC.
#[expect(clippy::disallowed_methods, reason = "a log of when something was proved has to say when")]
fn now() -> Option<String> {
    let since = std::time::SystemTime::now().duration_since(UNIX_EPOCH).ok()?;
    let at = DateTime::from_timestamp(i64::try_from(since.as_secs()).ok()?, 0)?;
    Some(at.format(WRITTEN).to_string())
}

/// What an object is called in a log: the last part of its path.
pub fn object(at: &Path) -> String {
    let full = at.canonicalize().unwrap_or_else(|_| at.to_path_buf());
    full.file_name().unwrap_or(full.as_os_str()).to_string_lossy().into_owned()
}

/// Whether something was written.
pub fn state(unchanged: bool) -> &'static str {
    if unchanged { "unchanged" } else { "written and read back" }
}

/// That a bundle or supplement was written, with the files and bytes in its payload.
pub fn package_creation(
    at: &Path,
    seal: &str,
    unchanged: bool,
    (files, bytes): (u64, u64),
) -> Event {
    Event {
        kind: "information package creation",
        outcome: Outcome::Success,
        note: state(unchanged).to_string(),
        object: object(at),
        seal: Some(seal.to_string()),
        counts: Some([files, files, bytes]),
        findings_same: None,
    }
}

/// How an event came out by the status of the command.
pub fn outcome(status: Status) -> Outcome {
    match status {
        Status::Well => Outcome::Success,
        Status::Troubled => Outcome::Fail,
        Status::NotDone => Outcome::Warning,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_utc_and_to_the_second() {
        assert_eq!(parse_time("2053-06-01T09:30Z"), Ok("2053-06-01T09:30:00Z".to_string()));
        assert_eq!(parse_time("2053-06-01T09:30:05Z"), Ok("2053-06-01T09:30:05Z".to_string()));
        for wrong in ["2053-06-01", "2053-06-01T09:30:05", "2053-02-30T09:30:05Z", ""] {
            assert!(parse_time(wrong).is_err(), "{wrong}");
        }
        let now = now().expect("a time");
        assert_eq!(parse_time(&now), Ok(now));
    }
}
