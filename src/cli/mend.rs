//! `lastdock mend`: a damaged bundle mended from its recovery data, or salvaged.

use std::path::{Path, PathBuf};

use clap::Args;

use super::inside;
use super::log::{self, Logging};
use super::page::Page;
use super::print;
use super::progress::Progress;
use super::say;
use super::status::Status;
use super::verify::parse_seal;
use crate::bundle::error::BundleError;
use crate::bundle::log::{Event, Outcome as Came};
use crate::bundle::manifests::State;
use crate::bundle::mend::{Diagnosis, How, Mending, Outcome, Request, mend};
use crate::bundle::salvage::{Kept, Salvaged};
use crate::bundle::verify::Fixity;

/// What `mend` takes.
#[derive(Debug, Args)]
pub struct Mend {
    /// The damaged zip; its recovery files are in the same folder, under any names
    bundle: PathBuf,
    /// Where to write the mended bundle; by default beside the damaged one, as NAME-mended.zip
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Where to salvage whole files to if it can't be mended; by default NAME-salvaged beside it
    #[arg(long, value_name = "FOLDER")]
    salvage_to: Option<PathBuf>,
    /// Another place that holds files of the bundle: a folder that it was unpacked to, another zip of it however
    /// damaged, its report; damaged files are taken from there where they are what the manifest says. May be repeated
    #[arg(long, value_name = "PLACE")]
    also: Vec<PathBuf>,
    /// The seal kept on paper, which proves what belongs to the bundle; by default the one in NAME-seal.txt beside it
    #[arg(long, value_name = "HEX..", value_parser = parse_seal)]
    seal: Option<String>,
    #[command(flatten)]
    logging: Logging,
    /// Print the result as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Mend) -> Status {
    let inside = args.logging.file().and_then(|log| inside::refuse_in_bundle(&args.bundle, log));
    if let Some(error) = inside {
        return say::print_errors(&[error], args.json);
    }
    let size = args.bundle.metadata().map_or(0, |metadata| metadata.len());
    // Looked through for its slices, copied, combined, proved and verified.
    let progress = Progress::new("mending", size.saturating_mul(5), args.json);
    let mending = mend(&Request {
        bundle: &args.bundle,
        out: args.out.as_deref(),
        salvage_to: args.salvage_to.as_deref(),
        also: &args.also,
        seal: args.seal.as_deref(),
        progress: &|bytes| progress.advance(bytes),
    });
    progress.clear();
    match mending {
        Ok(mending) => {
            if args.json {
                say::print_json(&to_json(&args.bundle, &mending));
            } else {
                say::print(&render(&args.bundle, &mending));
            }
            args.logging.add(&[event(&args.bundle, &mending)], status(&mending))
        }
        Err(error) => say::print_errors(&[error], args.json),
    }
}

/// What the log gets to know.
fn event(bundle: &Path, mending: &Mending) -> Event {
    let verdicts = render(bundle, mending).verdicts();
    let event = |kind, at: &Path, outcome, note, fixity: Option<&Fixity>| Event {
        kind,
        outcome,
        note,
        object: log::object(at),
        seal: fixity.and_then(|fixity| fixity.seal.clone()),
        counts: fixity.map(|fixity| {
            [fixity.files.len() as u64, fixity.count(State::Whole) as u64, fixity.bytes]
        }),
        findings_same: None,
    };
    match &mending.outcome {
        Outcome::Whole(fixity) => {
            let outcome = log::outcome(status(mending));
            event("fixity check", bundle, outcome, verdicts, Some(fixity))
        }
        Outcome::Mended { at, fixity, .. } => {
            let fixity = fixity.as_ref().ok();
            let is_whole = fixity.is_some_and(Fixity::is_whole);
            let outcome = if is_whole { Came::Success } else { Came::Fail };
            event("replication", at, outcome, verdicts, fixity)
        }
        Outcome::Beyond { reason, salvaged } => {
            let note = format!("{verdicts}: {reason}");
            match salvaged {
                Some(Ok(salvaged)) => event("extraction", &salvaged.to, Came::Warning, note, None),
                _ => event("fixity check", bundle, Came::Fail, note, None),
            }
        }
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

fn push_line(out: &mut Page, text: &str) {
    out.push_str(&format!("{}\n", print::wrapped(text, INDENT)));
}

fn push_verdict(out: &mut Page, bad: bool, word: &str, text: &str) {
    if bad { out.fail(word, text) } else { out.pass(word, text) }
}

fn render(at: &Path, mending: &Mending) -> Page {
    let mut out = Page::new();
    out.heading(&at.display().to_string());
    let diagnosis = &mending.diagnosis;
    push_diagnosis(&mut out, diagnosis, matches!(mending.outcome, Outcome::Whole(_)));
    match &mending.outcome {
        Outcome::Whole(fixity) => {
            push_verdict(&mut out, false, "whole", "not damaged; no file was written");
            push_fixity(&mut out, fixity);
        }
        Outcome::Mended { at, how, entries, fixity } => {
            push_verdict(&mut out, false, "mended", &format!("{}:", said(*how)));
            push_line(&mut out, &at.display().to_string());
            if entries.is_empty() {
                push_line(
                    &mut out,
                    "no file in it had been damaged, only what holds them together",
                );
            } else {
                push_line(&mut out, "these files in it had been damaged:");
                entries.iter().for_each(|entry| push_line(&mut out, entry));
            }
            match fixity {
                Ok(fixity) => push_fixity(&mut out, fixity),
                Err(error) => push_line(&mut out, &format!("it is not a bundle: {}", error.wrong)),
            }
            let keep = match how {
                How::PutTogether => {
                    "the damaged file was left as it is; the recovery data does not fit the new zip: make \
                                     new, with par2 create"
                }
                _ => {
                    "the damaged file was left as it is; keep the recovery data with the mended one, or make new"
                }
            };
            push_line(&mut out, keep);
        }
        Outcome::Beyond { reason, salvaged } => {
            push_verdict(&mut out, true, "not mended", "");
            push_line(&mut out, reason);
            match salvaged {
                None => push_line(&mut out, "the bundle is not there: nothing can be salvaged"),
                Some(Err(error)) => {
                    push_line(&mut out, &format!("not salvaged: {}: {}", error.at, error.wrong));
                    push_line(&mut out, &format!("do: {}", error.advice));
                }
                Some(Ok(salvaged)) => push_salvaged(&mut out, salvaged),
            }
        }
    }
    out
}

/// What a mended bundle is.
fn said(how: How) -> &'static str {
    match how {
        How::ByRecoveryData => "byte for byte what the recovery data was made from",
        How::PutBack => "with whole files from other places put back where they had stood",
        How::PutTogether => "a new zip of the same files, every one what the manifest says",
    }
}

fn push_diagnosis(out: &mut Page, diagnosis: &Diagnosis, whole: bool) {
    if !whole {
        let missing = diagnosis.missing.len();
        if diagnosis.slices > 0 {
            let text = format!(
                "{missing} of {} slices of {} are missing or damaged",
                diagnosis.slices,
                print::bytes(diagnosis.slice_bytes)
            );
            push_verdict(out, true, "damaged", &text);
            if missing > 0 {
                push_line(out, &format!("counted from 0: {}", ranges(&diagnosis.missing)));
            }
            if diagnosis.moved > 0 {
                let moved = diagnosis.moved;
                push_line(out, &format!("{moved} others are not where they should be"));
            }
        } else {
            push_verdict(out, true, "damaged", "how much can't be known without recovery data");
        }
        match diagnosis.bytes {
            (None, _) => push_line(out, "the bundle is not there"),
            (Some(is), Some(should)) if is != should => {
                push_line(out, &format!("it has {is} bytes and should have {should}"));
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
        push_verdict(out, bad, "repair", &text);
        for (path, _, _) in diagnosis.recovery.iter().filter(|(_, whole, _)| !whole) {
            push_line(out, &format!("damaged: {}", path.display()));
        }
    }
    diagnosis.notes.iter().for_each(|note| push_line(out, note));
    let mut places: Vec<&PathBuf> = diagnosis.taken.values().collect();
    places.sort();
    places.dedup();
    for place in places {
        let count = diagnosis.taken.values().filter(|from| *from == place).count();
        push_line(out, &format!("whole files taken from {}: {count}", place.display()));
    }
}

fn push_fixity(out: &mut Page, fixity: &Fixity) {
    if fixity.is_whole() {
        let files = fixity.files.len();
        push_line(out, &format!("{files} files in it: every one is what both manifests say"));
    } else {
        push_line(
            out,
            "yet the bag in it is not whole, and was not when the recovery data was made:",
        );
        fixity.troubles().for_each(|trouble| push_line(out, &trouble));
    }
}

fn push_salvaged(out: &mut Page, salvaged: &Salvaged) {
    let count = salvaged.files.len();
    push_verdict(out, false, "salvaged", &format!("{count} whole files, into"));
    push_line(out, &salvaged.to.display().to_string());
    let proved = salvaged.files.values().filter(|kept| **kept == Kept::Proved).count();
    push_line(out, &format!("{proved} of them are what the manifest says"));
    let unlisted = salvaged.files.values().filter(|kept| **kept == Kept::Unlisted).count();
    if unlisted > 0 {
        push_line(out, &format!("{unlisted} of them are {}", Kept::Unlisted.words()));
    }
    for (path, kept) in salvaged.files.iter().filter(|(_, kept)| **kept == Kept::Differs) {
        push_line(out, &format!("{path}: {}", kept.words()));
    }
    for path in &salvaged.lost {
        push_line(out, &format!("{path}: lost"));
    }
    salvaged.known.caution().into_iter().for_each(|caution| push_line(out, caution));
    for trouble in &salvaged.unwritten {
        push_line(out, &format!("not written: {trouble}"));
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

fn to_json(at: &Path, mending: &Mending) -> serde_json::Value {
    let diagnosis = &mending.diagnosis;
    let fixity_json = |fixity: &Fixity| {
        serde_json::json!({
            "whole": fixity.is_whole(),
            "seal": fixity.seal,
            "troubles": fixity.troubles().collect::<Vec<_>>(),
        })
    };
    let outcome = match &mending.outcome {
        Outcome::Whole(fixity) => serde_json::json!({
            "outcome": "whole", "fixity": fixity_json(fixity),
        }),
        Outcome::Mended { at, how, entries, fixity } => serde_json::json!({
            "outcome": "mended",
            "how": said(*how),
            "mended": at,
            "damaged_files": entries,
            "fixity": fixity.as_ref().ok().map(fixity_json),
            "no_bundle": fixity.as_ref().err().map(|error| &error.wrong),
        }),
        Outcome::Beyond { reason, salvaged } => serde_json::json!({
            "outcome": "not mended",
            "reason": reason,
            "salvaged": salvaged.as_ref().map(salvage_json),
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
        "taken": diagnosis.taken,
        "notes": diagnosis.notes,
        "result": outcome,
    })
}

fn salvage_json(salvaged: &Result<Salvaged, BundleError>) -> serde_json::Value {
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
