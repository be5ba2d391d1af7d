//! `lastdock mend`: a damaged bundle mended from its recovery data, or salvaged.

use std::path::{Path, PathBuf};

use clap::Args;

use super::page::Page;
use super::print;
use super::progress::Progress;
use super::say;
use super::status::Status;
use crate::bundle::error::BundleError;
use crate::bundle::mend::{Diagnosis, Mending, Outcome, Request, mend};
use crate::bundle::salvage::{Kept, Salvaged};
use crate::bundle::verify::Fixity;

/// What `mend` takes.
#[derive(Debug, Args)]
pub struct Mend {
    /// The damaged zip; its recovery files stand in the same folder, under whatever names
    bundle: PathBuf,
    /// Where to write the mended bundle; by default beside it, named after it with -mended
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Where to salvage whole files to if it can't be mended; by default beside it, with -salvaged
    #[arg(long, value_name = "FOLDER")]
    salvage_to: Option<PathBuf>,
    /// Print the result as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Mend) -> Status {
    let size = args.bundle.metadata().map_or(0, |metadata| metadata.len());
    // Looked through for its slices, copied, combined, proved and verified.
    let progress = Progress::new("mending", size.saturating_mul(5), args.json);
    let mending = mend(&Request {
        bundle: &args.bundle,
        out: args.out.as_deref(),
        salvage_to: args.salvage_to.as_deref(),
        progress: &|bytes| progress.advance(bytes),
    });
    progress.done();
    match mending {
        Ok(mending) => {
            if args.json {
                say::json(&as_data(&args.bundle, &mending));
            } else {
                say::told(&told(&args.bundle, &mending));
            }
            status(&mending)
        }
        Err(error) => say::failed(&[error], args.json),
    }
}

fn status(mending: &Mending) -> Status {
    match &mending.outcome {
        Outcome::Whole(fixity) if fixity.is_whole() && !mending.diagnosis.recovery_is_damaged() => {
            Status::Well
        }
        Outcome::Whole(_) | Outcome::Mended { .. } => Status::Troubled,
        Outcome::Beyond { .. } => Status::NotDone,
    }
}

const INDENT: usize = 6;

fn line(out: &mut Page, text: &str) {
    out.push_str(&format!("{}\n", print::wrapped(text, INDENT)));
}

fn headed(out: &mut Page, bad: bool, word: &str, text: &str) {
    if bad { out.ill(word, text) } else { out.well(word, text) }
}

fn told(at: &Path, mending: &Mending) -> Page {
    let mut out = Page::new();
    out.heading(&at.display().to_string());
    let diagnosis = &mending.diagnosis;
    diagnosed(&mut out, diagnosis, matches!(mending.outcome, Outcome::Whole(_)));
    match &mending.outcome {
        Outcome::Whole(fixity) => {
            headed(&mut out, false, "whole", "noproblem to fix; no file was written");
            fixity_told(&mut out, fixity);
        }
        Outcome::Mended { at, entries, fixity } => {
            headed(&mut out, false, "mended", "byte for byte what the recovery data was made of:");
            line(&mut out, &at.display().to_string());
            if entries.is_empty() {
                line(&mut out, "no file in it had been damaged, only what holds them together");
            } else {
                line(&mut out, "these files in it had been damaged:");
                entries.iter().for_each(|entry| line(&mut out, entry));
            }
            match fixity {
                Ok(fixity) => fixity_told(&mut out, fixity),
                Err(error) => line(&mut out, &format!("it is no bundle: {}", error.wrong)),
            }
            line(
                &mut out,
                "the damaged one was left as it is; make new recovery data or copy it along",
            );
        }
        Outcome::Beyond { reason, salvaged } => {
            headed(&mut out, true, "not mended", "");
            line(&mut out, reason);
            match salvaged {
                None => line(&mut out, "the bundle is not there: nothing can be salvaged"),
                Some(Err(error)) => {
                    line(&mut out, &format!("not salvaged: {}: {}", error.at, error.wrong));
                    line(&mut out, &format!("do: {}", error.advice));
                }
                Some(Ok(salvaged)) => salvaged_told(&mut out, salvaged),
            }
        }
    }
    out
}

fn diagnosed(out: &mut Page, diagnosis: &Diagnosis, whole: bool) {
    if !whole {
        let missing = diagnosis.missing.len();
        if diagnosis.slices > 0 {
            let text = format!(
                "{missing} of {} slices of {} are missing or damaged",
                diagnosis.slices,
                print::bytes(diagnosis.slice_bytes)
            );
            headed(out, true, "damaged", &text);
            if missing > 0 {
                line(out, &format!("counted from 0: {}", ranges(&diagnosis.missing)));
            }
            if diagnosis.moved > 0 {
                let moved = diagnosis.moved;
                line(out, &format!("{moved} others stand elsewhere than they should"));
            }
        } else {
            headed(out, true, "damaged", "how far can't be told without recovery data");
        }
        match diagnosis.bytes {
            (None, _) => line(out, "the bundle is not there"),
            (Some(is), Some(should)) if is != should => {
                line(out, &format!("it has {is} bytes and should have {should}"));
            }
            _ => {}
        }
    }
    if !diagnosis.recovery.is_empty() {
        let bad = diagnosis.recovery_is_damaged();
        let how = if bad { "some of them damaged" } else { "whole" };
        let text = format!(
            "{} recovery slices in {} files, {how}",
            diagnosis.recovery_slices,
            diagnosis.recovery.len()
        );
        headed(out, bad, "repair", &text);
        for (path, _, _) in diagnosis.recovery.iter().filter(|(_, whole, _)| !whole) {
            line(out, &format!("damaged: {}", path.display()));
        }
    }
    diagnosis.notes.iter().for_each(|note| line(out, note));
}

fn fixity_told(out: &mut Page, fixity: &Fixity) {
    if fixity.is_whole() {
        let files = fixity.files.len();
        line(out, &format!("{files} files in it: every one is what both manifests say"));
    } else {
        line(out, "yet the bag in it is not whole, and was not when the recovery data was made:");
        fixity.troubles().for_each(|trouble| line(out, &trouble));
    }
}

fn salvaged_told(out: &mut Page, salvaged: &Salvaged) {
    let count = salvaged.files.len();
    headed(out, false, "salvaged", &format!("{count} whole files, into"));
    line(out, &salvaged.to.display().to_string());
    let proved = salvaged.files.values().filter(|kept| **kept == Kept::Proved).count();
    line(out, &format!("{proved} of them are what the manifest says"));
    let unlisted = salvaged.files.values().filter(|kept| **kept == Kept::Unlisted).count();
    if unlisted > 0 {
        line(out, &format!("{unlisted} of them are {}", Kept::Unlisted.words()));
    }
    for (path, kept) in salvaged.files.iter().filter(|(_, kept)| **kept == Kept::Differs) {
        line(out, &format!("{path}: {}", kept.words()));
    }
    for path in &salvaged.lost {
        line(out, &format!("{path}: lost"));
    }
    salvaged.known.caution().into_iter().for_each(|caution| line(out, caution));
    for trouble in &salvaged.unwritten {
        line(out, &format!("not written: {trouble}"));
    }
}

/// Numbers in order, runs of them as ranges.
fn ranges(numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => runs.push((*number, *number)),
        }
    }
    let shown =
        runs.iter().map(
            |(first, last)| {
                if first == last { first.to_string() } else { format!("{first}-{last}") }
            },
        );
    shown.collect::<Vec<_>>().join(", ")
}

fn as_data(at: &Path, mending: &Mending) -> serde_json::Value {
    let diagnosis = &mending.diagnosis;
    let fixity_data = |fixity: &Fixity| {
        serde_json::json!({
            "whole": fixity.is_whole(),
            "seal": fixity.seal,
            "troubles": fixity.troubles().collect::<Vec<_>>(),
        })
    };
    let outcome = match &mending.outcome {
        Outcome::Whole(fixity) => serde_json::json!({
            "outcome": "whole", "fixity": fixity_data(fixity),
        }),
        Outcome::Mended { at, entries, fixity } => serde_json::json!({
            "outcome": "mended",
            "mended": at,
            "damaged_files": entries,
            "fixity": fixity.as_ref().ok().map(fixity_data),
            "no_bundle": fixity.as_ref().err().map(|error| &error.wrong),
        }),
        Outcome::Beyond { reason, salvaged } => serde_json::json!({
            "outcome": "not mended",
            "reason": reason,
            "salvaged": salvaged.as_ref().map(salvage_data),
        }),
    };
    serde_json::json!({
        "bundle": at,
        "bytes": diagnosis.bytes.0,
        "bytes_that_should_be": diagnosis.bytes.1,
        "slices": diagnosis.slices,
        "slice_bytes": diagnosis.slice_bytes,
        "missing_slices": diagnosis.missing,
        "moved_slices": diagnosis.moved,
        "recovery_slices": diagnosis.recovery_slices,
        "recovery_files": diagnosis.recovery.iter().map(|(path, whole, slices)| {
            serde_json::json!({ "file": path, "whole": whole, "recovery_slices": slices })
        }).collect::<Vec<_>>(),
        "notes": diagnosis.notes,
        "result": outcome,
    })
}

fn salvage_data(salvaged: &Result<Salvaged, BundleError>) -> serde_json::Value {
    match salvaged {
        Err(error) => serde_json::json!({
            "at": error.at, "wrong": error.wrong, "advice": error.advice,
        }),
        Ok(salvaged) => serde_json::json!({
            "to": salvaged.to,
            "files": salvaged.files.iter().map(|(path, kept)| {
                serde_json::json!({ "path": path, "state": kept.words() })
            }).collect::<Vec<_>>(),
            "lost": salvaged.lost,
            "caution": salvaged.known.caution(),
            "unwritten": salvaged.unwritten,
        }),
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn runs_are_told_as_ranges() {
        assert_eq!(super::ranges(&[3, 4, 5, 9, 11, 12]), "3-5, 9, 11-12");
        assert_eq!(super::ranges(&[]), "");
    }
}
