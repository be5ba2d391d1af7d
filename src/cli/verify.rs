//! `lastdock verify`: fixity, then recomputation.

use std::path::{Path, PathBuf};

use clap::Args;
use clap::error::ErrorKind;

use super::bag::Bag;
use super::chained::{self, Chained, One};
use super::inside;
use super::log::{self, Logging};
use super::page::Page;
use super::print;
use super::progress::Progress;
use super::say;
use super::signed::{self, Signing};
use super::source;
use super::status::Status;
use crate::PROGRAM;
use crate::bundle::digest::in_fours;
use crate::bundle::error::BundleError;
use crate::bundle::log::Event;
use crate::bundle::manifests::State;
use crate::bundle::open::Bundle;
use crate::bundle::recompute::{Recomputation, recompute};
use crate::bundle::recovery::beside::Readiness;
use crate::bundle::signature::Signed;
use crate::bundle::verify::{Fixity, fixity};
use crate::bundle::{others, version};
use crate::findings::changes::Version;
use crate::records::supplement::Stated;

/// What `verify` takes.
#[derive(Debug, Args)]
pub struct Verify {
    /// Bundles and their supplements: zips, folders that they were unpacked to, or a folder that closeout wrote one to
    #[arg(required = true, value_name = "BUNDLE")]
    bundles: Vec<PathBuf>,
    /// The seal kept on paper: 64 hexadecimal digits, with or without spaces between groups; of several bundles and
    /// supplements each may have its own, in any order
    #[arg(long, value_name = "HEX..", value_parser = parse_seal)]
    seal: Vec<String>,
    #[command(flatten)]
    signing: Signing,
    #[command(flatten)]
    logging: Logging,
    /// Print the result as JSON
    #[arg(long)]
    json: bool,
}

/// The digits of a seal as somebody typed it.
pub(super) fn parse_seal(text: &str) -> Result<String, String> {
    let digits: String = text
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '-')
        .map(|c| c.to_ascii_lowercase())
        .collect();
    if digits.len() == 64 && digits.bytes().all(|b| b.is_ascii_hexdigit()) {
        Ok(digits)
    } else {
        Err(format!("a seal has 64 hexadecimal digits, and this has {}", digits.len()))
    }
}

impl Verify {
    /// Why the command line is not right, where it is not: a signature stands for one bundle.
    pub fn refusal(&self) -> Option<(ErrorKind, &'static str)> {
        let message = "--signature applies to one bundle: verify the bundles one by one";
        let is_for_one = self.signing.signature.is_some() && self.bundles.len() > 1;
        is_for_one.then_some((ErrorKind::ArgumentConflict, message))
    }
}

/// What was found of one bundle or supplement.
struct Verified {
    bundle: Bundle,
    fixity: Fixity,
    /// Whether the seal is the one given; `None` if none was given.
    sealed: Option<bool>,
    content: Proof,
    /// What its signature says; `None` if there is none.
    signed: Option<Signed>,
    /// The recovery data beside a zip.
    recovery: Option<Readiness>,
}

/// What was found of the records in it.
enum Proof {
    /// Of a bundle: whether its findings follow from them.
    Recomputed(Recomputation),
    /// Of a supplement: what it says of itself, if that can be read, and how it stands in its line.
    Supplement(Option<Box<Stated>>, Chained),
}

impl Proof {
    fn is_well(&self) -> bool {
        match self {
            Proof::Recomputed(recomputation) => recomputation.is_well(),
            Proof::Supplement(_, chained) => chained.is_well(),
        }
    }

    fn is_judged(&self) -> bool {
        match self {
            Proof::Recomputed(_) => true,
            Proof::Supplement(_, chained) => chained.is_judged(),
        }
    }
}

impl Verified {
    /// Whether every check that was asked for could be made.
    fn is_judged(&self) -> bool {
        self.fixity.unchecked.is_empty()
            && !matches!(self.signed, Some(Signed::Unchecked(_)))
            && self.recovery.as_ref().is_none_or(|recovery| recovery.unread.is_empty())
            && (self.fixity.is_damaged() || self.content.is_judged())
    }

    fn is_well(&self) -> bool {
        self.fixity.is_whole()
            && self.fixity.more_manifests.is_empty()
            && self.sealed != Some(false)
            && self.signed.as_ref().is_none_or(Signed::is_well)
            && self.recovery.as_ref().is_none_or(Readiness::is_whole)
            && self.content.is_well()
    }
}

/// What was found at one place.
enum Found {
    /// Of a bundle, or why nothing could be.
    Bundle(PathBuf, Result<Box<Verified>, BundleError>),
    /// Of a bag that holds no docking record of its own.
    Bag(Bag),
}

/// Runs it.
pub fn run(args: &Verify) -> Status {
    let unpacked = args.bundles.iter().filter_map(|named| source::find_bundle(named).ok());
    let inside = unpacked.filter_map(|at| inside::refuse_in_bundle(&at, args.logging.file()?));
    let inside: Vec<BundleError> = inside.collect();
    if !inside.is_empty() {
        return say::print_errors(&inside, args.json);
    }
    let mut found: Vec<Found> = Vec::new();
    for named in &args.bundles {
        let at = match source::find_bundle(named) {
            Ok(at) => at,
            Err(error) => {
                found.push(Found::Bundle(named.clone(), Err(error)));
                continue;
            }
        };
        let is_supplement = || Bundle::open(&at).is_ok_and(|bundle| others::is_supplement(&bundle));
        let bag = if is_supplement() { None } else { Bag::judge(&at, args.json) };
        let bundles = match bag {
            None => vec![at],
            Some(bag) => {
                let bundles = bag.bundles();
                found.push(Found::Bag(bag));
                bundles
            }
        };
        found.extend(bundles.into_iter().map(|at| {
            let verified =
                verify(&at, args).map(Box::new).map_err(|error| advise_mending(&at, error));
            Found::Bundle(at, verified)
        }));
    }
    hold_together(&mut found);
    hold_against_seals(&mut found, &args.seal);
    if args.json {
        let data = |found: &Found| match found {
            Found::Bundle(at, result) => to_json(at, result),
            Found::Bag(bag) => bag.to_json(),
        };
        say::print_json(&found.iter().map(data).collect::<Vec<_>>());
    } else {
        for found in &found {
            match found {
                Found::Bundle(at, Ok(verified)) => say::print(&render(at, verified)),
                Found::Bundle(_, Err(error)) => {
                    say::eprint(&Page::from_text(format_args!("{error}\n")))
                }
                Found::Bag(bag) => say::print(&bag.render()),
            }
        }
    }
    let statuses: Vec<Status> = found.iter().map(status).collect();
    let status = [Status::NotDone, Status::Troubled]
        .into_iter()
        .find(|status| statuses.contains(status))
        .unwrap_or(Status::Well);
    let events: Vec<Event> = found.iter().map(event).collect();
    args.logging.add(&events, status)
}

/// What the log gets to know of one place.
fn event(found: &Found) -> Event {
    let (at, note, verified) = match found {
        Found::Bundle(at, Ok(verified)) => {
            (at.as_path(), render(at, verified).verdicts(), Some(verified))
        }
        Found::Bundle(at, Err(error)) => (at.as_path(), error.wrong.clone(), None),
        Found::Bag(bag) => (bag.at(), bag.render().verdicts(), None),
    };
    let counts = verified.map(|verified| {
        let fixity = &verified.fixity;
        [fixity.files.len() as u64, fixity.count(State::Whole) as u64, fixity.bytes]
    });
    let findings_same = verified.and_then(|verified| match &verified.content {
        Proof::Recomputed(Recomputation::Compared(comparison)) => Some(comparison.same as u64),
        _ => None,
    });
    Event {
        kind: "fixity check",
        outcome: log::outcome(status(found)),
        note,
        object: log::object(at),
        seal: verified.and_then(|verified| verified.fixity.seal.clone()),
        counts,
        findings_same,
    }
}

/// Holds the supplements against what they follow, among all that was named.
fn hold_together(found: &mut [Found]) {
    let mut chained = {
        let verified = found.iter().enumerate().filter_map(|(at, found)| match found {
            Found::Bundle(path, Ok(verified)) => Some((at, path, verified)),
            _ => None,
        });
        let (places, all): (Vec<usize>, Vec<One<'_>>) = verified
            .map(|(at, path, verified)| {
                let supplement = match &verified.content {
                    Proof::Recomputed(_) => None,
                    Proof::Supplement(_, chained) => Some(chained),
                };
                let seal = verified.fixity.seal.as_deref();
                let is_damaged = !verified.fixity.is_whole();
                (at, One { at: path, bundle: &verified.bundle, seal, is_damaged, supplement })
            })
            .unzip();
        let chained = chained::chain(&all).into_iter();
        chained.map(|(one, chained)| (places[one], chained)).collect::<Vec<_>>()
    };
    for (at, now) in chained.drain(..) {
        if let Found::Bundle(_, Ok(verified)) = &mut found[at]
            && let Proof::Supplement(_, was) = &mut verified.content
        {
            *was = now;
        }
    }
}

/// Says of each whether it has a seal that was given. Where each seal given is that of one of them, the others have been
/// held against none; otherwise none of the others is what a seal was taken of.
fn hold_against_seals(found: &mut [Found], given: &[String]) {
    let own = |found: &Found| match found {
        Found::Bundle(_, Ok(verified)) => verified.fixity.seal.clone(),
        _ => None,
    };
    let there: Vec<String> = found.iter().filter_map(own).collect();
    // One that can't be opened may be what a seal was taken of.
    let all_opened = found.iter().all(|one| !matches!(one, Found::Bundle(_, Err(_))));
    let is_left = all_opened && given.iter().any(|seal| !there.contains(seal));
    for one in found {
        let Found::Bundle(_, Ok(verified)) = one else { continue };
        let is_given = verified.fixity.seal.as_ref().is_some_and(|seal| given.contains(seal));
        verified.sealed = match (is_given, is_left) {
            (true, _) => Some(true),
            (false, true) => Some(false),
            (false, false) => None,
        };
    }
}

fn status(found: &Found) -> Status {
    match found {
        Found::Bundle(_, Err(_)) => Status::NotDone,
        Found::Bundle(_, Ok(verified)) if !verified.is_judged() => Status::NotDone,
        Found::Bundle(_, Ok(verified)) if verified.is_well() => Status::Well,
        Found::Bundle(..) => Status::Troubled,
        Found::Bag(bag) => bag.status(),
    }
}

/// The same failure, with what helps first where recovery data stands beside the bundle.
fn advise_mending(at: &Path, error: BundleError) -> BundleError {
    if !is_mendable(at) {
        return error;
    }
    let advice = format!(
        "recovery data stands beside it, so first: lastdock mend {}; the damaged one is left as it is",
        at.display()
    );
    BundleError { advice, ..error }
}

/// Whether recovery data of something that can't be opened as a bundle stands beside it.
fn is_mendable(at: &Path) -> bool {
    !at.is_dir() && Readiness::read(at).is_some_and(|recovery| recovery.recovery_slices > 0)
}

fn verify(at: &Path, args: &Verify) -> Result<Verified, BundleError> {
    let bundle = Bundle::open(at)?;
    version::refuse_others(&bundle)?;
    let total = bundle.sizes().map(|(_, size)| size).sum();
    let progress = Progress::new("reading", total, args.json);
    let fixity = fixity(&bundle, &|bytes| progress.advance(bytes));
    progress.clear();
    let fixity = fixity?;
    let recovery = || if at.is_file() { Readiness::read(at) } else { None };
    let content = || match others::is_supplement(&bundle) {
        false => Proof::Recomputed(recompute(&bundle, PROGRAM)),
        true => {
            let chained = Chained::read(&bundle);
            let stated = match &chained {
                Chained::Stated(stated) => Some(stated.clone()),
                _ => None,
            };
            Proof::Supplement(stated, chained)
        }
    };
    let (content, recovery) = rayon::join(content, recovery);
    let signed = signed::read(&bundle, &args.signing);
    bundle.refuse_changed()?;
    Ok(Verified { bundle, fixity, sealed: None, content, signed, recovery })
}

fn render(at: &Path, verified: &Verified) -> Page {
    let mut out = Page::new();
    out.heading(&at.display().to_string());
    let fixity = &verified.fixity;
    if fixity.is_whole() {
        let text = format!(
            "{} files, {}: every one is what both manifests say",
            fixity.files.len(),
            print::bytes(fixity.bytes)
        );
        out.pass("whole", &text);
    } else {
        let unchecked = fixity.unchecked.len();
        let not_whole = fixity.files.len() - fixity.count(State::Whole) - unchecked;
        let files = fixity.files.len();
        if unchecked > 0 {
            out.fail("unchecked", &format!("{unchecked} of {files} files could not be checked"));
        }
        if fixity.is_damaged() {
            let text = match not_whole {
                0 if unchecked == 0 => {
                    format!("the {files} files are whole, but the bundle has other faults")
                }
                0 => "the files that could be checked are whole, but the bundle has other faults"
                    .to_string(),
                1 => format!("1 of {files} files is not whole"),
                _ => format!("{not_whole} of {files} files are not whole"),
            };
            out.fail("damaged", &text);
        }
        if fixity.is_damaged()
            && verified.recovery.as_ref().is_some_and(|recovery| recovery.recovery_slices > 0)
        {
            let advice = format!("first: lastdock mend {}", at.display());
            out.detail(&advice);
        }
        for trouble in fixity.troubles() {
            out.detail(&trouble);
        }
    }
    for sentence in &fixity.more_manifests {
        out.detail(sentence);
    }
    match (&fixity.seal, verified.sealed) {
        (Some(seal), Some(true)) => {
            out.pass("sealed", "it is the seal given");
            out.detail(&in_fours(seal));
        }
        (Some(seal), Some(false)) => {
            out.fail(
                "other seal",
                "this is not the bundle that the seal was taken of; its own seal is",
            );
            out.detail(&in_fours(seal));
        }
        (Some(seal), None) => {
            out.note("seal", "compare it with the one kept on paper, or give that with --seal");
            out.detail(&in_fours(seal));
        }
        (None, _) => out.fail("no seal", "tagmanifest-sha256.txt is missing"),
    }
    out.append(signed::render(verified.signed.as_ref()));
    match &verified.content {
        Proof::Recomputed(recomputation) => out.append(render_recomputation(recomputation)),
        Proof::Supplement(stated, chained) => {
            if let Some(stated) = stated {
                out.append(chained::render_parents(stated));
            }
            out.append(chained.render());
        }
    }
    if let Some(recovery) = &verified.recovery {
        out.append(render_recovery(recovery));
    }
    out
}

/// Of how many findings under one changed rule the text says what comes out otherwise.
const MOST_OTHERWISE: usize = 12;

fn render_recomputation(recomputation: &Recomputation) -> Page {
    let mut out = Page::new();
    let troubles = |out: &mut Page, troubles: &[String]| {
        let lines = troubles.iter().flat_map(|trouble| trouble.lines());
        lines.for_each(|line| out.detail(line.trim_start()));
    };
    let comparison = match recomputation {
        Recomputation::Compared(comparison) => comparison,
        Recomputation::Impossible(reasons) => {
            out.fail("unreadable", "the findings can't be recomputed from the records:");
            troubles(&mut out, reasons);
            return out;
        }
    };
    let whole = comparison.differences.is_empty() && comparison.otherwise.is_empty();
    let text = match comparison.same {
        0 if whole => "findings.json holds no finding, and its records give none".to_string(),
        same => format!(
            "{}{same} findings come out of the records as they stand in the bundle",
            if whole { "all " } else { "" }
        ),
    };
    out.pass("recomputed", &text);
    if !comparison.differences.is_empty() {
        out.fail("disagrees", "the findings do not follow from the records:");
        troubles(&mut out, &comparison.differences);
        if Version::of_program(&comparison.written_by) > Version::of_program(PROGRAM) {
            out.detail(&format!(
                "it was written by {}, which is newer than this program and may use other rules: verify it with that version",
                comparison.written_by
            ));
        }
    }
    if !comparison.otherwise.is_empty() {
        out.note(
            "changed",
            &format!(
                "{} computed differently by this version, by rules that changed",
                comparison.otherwise_count()
            ),
        );
        out.detail(&format!(
            "since {} wrote the bundle; this is not damage",
            comparison.written_by
        ));
        for otherwise in &comparison.otherwise {
            let count = otherwise.findings.len();
            let rules = otherwise.changes.iter();
            let rules: Vec<String> =
                rules.map(|change| format!("since {}: {}", change.since, change.what)).collect();
            out.detail(&format!("{count} {}", rules.join(" And, or instead, ")));
            for sentence in otherwise.findings.iter().take(MOST_OTHERWISE) {
                out.push_str(&format!("{}\n", print::wrapped(sentence, 8)));
            }
            if count > MOST_OTHERWISE {
                let more = format!("and {} more; --json has each", count - MOST_OTHERWISE);
                out.push_str(&format!("{}\n", print::wrapped(&more, 8)));
            }
        }
    }
    if comparison.renamed > 0 {
        out.detail(&format!(
            "{} of those compared have another id in this version",
            comparison.renamed
        ));
    }
    if comparison.new > 0 {
        out.detail(&format!(
            "this version of the program makes {} more findings than the one that wrote it",
            comparison.new
        ));
    }
    match comparison.unanswered {
        0 => {}
        1 => out.detail("1 finding differs or is beyond a limit, unanswered"),
        many => {
            let text = format!("{many} findings differ or are beyond a limit, unanswered");
            out.detail(&text);
        }
    }
    out
}

fn render_recovery(recovery: &Readiness) -> Page {
    let amount = format!(
        "{} recovery slices beside it, for {} slices of the zip",
        recovery.recovery_slices, recovery.slices
    );
    let mut out = Page::new();
    if !recovery.unread.is_empty() {
        out.fail(
            "repair",
            &format!("not all recovery data could be read; {amount} as far as it was"),
        );
    } else if recovery.is_whole() {
        out.note("repair", &amount);
    } else {
        out.fail("repair", &format!("recovery files are damaged; {amount}"));
    }
    for sentence in &recovery.unread {
        out.detail(sentence);
    }
    for path in recovery.damaged() {
        out.detail(&path.display().to_string());
    }
    out
}

fn to_json(at: &Path, result: &Result<Box<Verified>, BundleError>) -> serde_json::Value {
    match result {
        Err(error) => serde_json::json!({
            "bundle": at, "error": { "wrong": error.wrong, "advice": error.advice },
            "mendable": is_mendable(at),
        }),
        Ok(verified) => {
            let files: Vec<_> = verified
                .fixity
                .files
                .iter()
                .map(|(path, state)| match verified.fixity.unchecked.get(path) {
                    None => serde_json::json!({ "path": path, "state": state.words() }),
                    Some(why) => {
                        serde_json::json!({ "path": path, "state": state.words(), "why": why })
                    }
                })
                .collect();
            let (recomputed, supplement) = match &verified.content {
                Proof::Recomputed(recomputation) => {
                    (Some(recomputation_to_json(recomputation)), None)
                }
                Proof::Supplement(_, chained) => (None, Some(chained.to_json())),
            };
            serde_json::json!({
                "bundle": at,
                "well": verified.is_well(),
                "whole": verified.fixity.is_whole(),
                "files": files,
                "wrong": verified.fixity.wrong,
                "unchecked": verified.fixity.more_manifests,
                "bytes": verified.fixity.bytes,
                "seal": verified.fixity.seal,
                "seal_is_the_one_given": verified.sealed,
                "signature": signed::to_json(verified.signed.as_ref()),
                "recomputed": recomputed,
                "supplement": supplement,
                "recovery": verified.recovery.as_ref().map(|recovery| serde_json::json!({
                    "whole": recovery.is_whole(),
                    "unread": recovery.unread,
                    "recovery_slices": recovery.recovery_slices,
                    "slices": recovery.slices,
                    "files": recovery.files.iter().map(|(path, whole)| {
                        serde_json::json!({ "file": path, "whole": whole })
                    }).collect::<Vec<_>>(),
                })),
            })
        }
    }
}

fn recomputation_to_json(recomputation: &Recomputation) -> serde_json::Value {
    match recomputation {
        Recomputation::Compared(comparison) => serde_json::json!({
            "agrees": comparison.differences.is_empty(),
            "written_by": comparison.written_by,
            "same": comparison.same,
            "computed_otherwise": comparison.otherwise.iter().map(|otherwise| {
                serde_json::json!({
                    "rules": otherwise.changes.iter().map(|change| {
                        serde_json::json!({
                            "since": change.since.to_string(),
                            "rule": change.what,
                        })
                    }).collect::<Vec<_>>(),
                    "findings": otherwise.findings,
                })
            }).collect::<Vec<_>>(),
            "renamed": comparison.renamed,
            "new": comparison.new,
            "unanswered": comparison.unanswered,
            "troubles": comparison.differences,
        }),
        Recomputation::Impossible(reasons) => {
            serde_json::json!({ "agrees": false, "troubles": reasons })
        }
    }
}
