//! `lastdock closeout`: report, bundle, seal and recovery data.

use std::path::{Component, Path, PathBuf};

use clap::Args;

use super::check;
use super::log::{self, Logging};
#[cfg(target_os = "linux")]
use super::memory;
use super::page::Page;
use super::print;
use super::progress::Progress;
use super::project::{self, Stream};
use super::say;
use super::status::Status;
use super::terminal::Terminal;
use crate::PROGRAM;
use crate::bundle::closeout::{Request, Written, closeout};
use crate::bundle::digest::in_fours;
use crate::bundle::error::BundleError;
use crate::bundle::log::{Event, Outcome};
use crate::bundle::signature;
use crate::findings::Examined;
use crate::findings::written::FindingsWritten;
use crate::pages::Section;
use crate::records::store::Store;

/// What `closeout` takes.
#[derive(Debug, Args)]
pub struct Closeout {
    /// The project's folder, the one that holds docking.toml
    project: PathBuf,
    /// Where to write; by default a folder beside the project, named after it with -closeout
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Replace an existing report, bundle and seal that differ
    #[arg(long)]
    replace: bool,
    /// Recovery data to write, as a percentage of the bundle: up to that much of it can be damaged and still be
    /// mended; 0 for none
    #[arg(long, value_name = "N", default_value_t = 10,
          value_parser = clap::value_parser!(u32).range(0..=100))]
    repair_percent: u32,
    /// Sign the bundle with this OpenSSH private key: NAME-seal.sig is written beside it
    #[arg(long, value_name = "KEY")]
    sign_with: Option<PathBuf>,
    #[command(flatten)]
    logging: Logging,
    /// Print what was written as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Closeout) -> Status {
    let Some((folder, examined)) = project::examine(&args.project, args.json, Stream::Err) else {
        return Status::NotDone;
    };
    let out = args.out.clone().unwrap_or_else(|| default_folder(&args.project));
    if let Some(error) = refuse_inside(&args.project, &out) {
        return say::print_errors(&[error], args.json);
    }
    let key = match args.sign_with.as_deref().map(signature::key).transpose() {
        Ok(key) => key,
        Err(error) => return say::print_errors(&[error], args.json),
    };
    #[cfg(target_os = "linux")]
    memory::warn(rayon::current_num_threads());
    // The records are packed, then the bundle is read for its checksums and once more for its recovery data.
    let packed: u64 = folder.sizes().values().sum();
    let total = if args.repair_percent > 0 { 3 * packed } else { packed };
    let progress = Progress::new("packing", total, args.json);
    let written = closeout(&Request {
        folder: &folder,
        examined: &examined,
        out: &out,
        replace: args.replace,
        repair_percent: args.repair_percent,
        sign_with: key.as_ref(),
        program: PROGRAM,
        progress: &|bytes| progress.advance(bytes),
    });
    progress.clear();
    match written {
        Ok(written) => {
            if args.json {
                say::print_json(&to_json(&written, &examined));
            } else {
                say::print(&render(&written, &examined));
            }
            args.logging.add(&[event(&written)], check::status(&examined))
        }
        Err(errors) => say::print_errors(&errors, args.json),
    }
}

/// What the log gets to know. Whether the record itself is in order is no matter of it.
fn event(written: &Written) -> Event {
    let files = written.files as u64;
    Event {
        kind: "information package creation",
        outcome: Outcome::Success,
        note: state(written).to_string(),
        object: log::object(&written.bundle),
        seal: Some(written.seal.clone()),
        counts: Some([files, files, written.bytes]),
        findings_same: None,
    }
}

/// Whether something was written.
fn state(written: &Written) -> &'static str {
    if written.unchanged { "unchanged" } else { "written and read back" }
}

/// `sample-project` gives `sample-project-closeout`.
fn default_folder(project: &Path) -> PathBuf {
    let full = project.canonicalize().unwrap_or_else(|_| project.to_path_buf());
    let name = full.file_name().map_or_else(|| "project".into(), |name| name.to_string_lossy());
    full.with_file_name(format!("{name}-closeout"))
}

/// What is written inside the project would be taken for a record of it the next time.
pub(super) fn refuse_inside(project: &Path, out: &Path) -> Option<BundleError> {
    let project = project.canonicalize().ok()?;
    // The folder need not be there yet: `..` is taken out first, then the nearest folder above it that
    // is there decides.
    let mut plain = PathBuf::new();
    for part in std::path::absolute(out).ok()?.components() {
        if part == Component::ParentDir {
            plain.pop();
        } else {
            plain.push(part);
        }
    }
    let there = plain.ancestors().find_map(|above| above.canonicalize().ok())?;
    there.starts_with(&project).then(|| {
        BundleError::new(out, "lies inside the project's folder", "name a folder outside it")
    })
}

fn to_json(written: &Written, examined: &Examined) -> serde_json::Value {
    serde_json::json!({
        "bundle": written.bundle,
        "start_here": written.start_here,
        "report": written.report,
        "summary": written.summary,
        "tables": written.tables,
        "seal_file": written.seal_file,
        "seal_sheet": written.seal_sheet,
        "read_me_first": written.read_me_first,
        "signature": written.signature,
        "recovery": written.recovery,
        "recovery_bytes": written.recovery_bytes,
        "seal": written.seal,
        "files": written.files,
        "bytes": written.bytes,
        "unchanged": written.unchanged,
        "not_shown": written
            .not_shown
            .iter()
            .map(|(file, why)| serde_json::json!({ "file": file, "why": why }))
            .collect::<Vec<_>>(),
        "counts": FindingsWritten::new(examined, PROGRAM).counts,
    })
}

/// Pictures that the report lacks, with what can be done and must not: the original is a record.
fn render_not_shown(pictures: &[(String, String)]) -> String {
    if pictures.is_empty() {
        return String::new();
    }
    let mut out = "\nasked for in the report but not shown there (the files are in the bundle):\n"
        .to_string();
    for (file, why) in pictures.iter().take(MOST_NOT_SHOWN) {
        out.push_str(&format!("{}\n", print::wrapped(&format!("papers/{file}: {why}"), 2)));
    }
    if let Some(more) = pictures.len().checked_sub(MOST_NOT_SHOWN).filter(|more| *more > 0) {
        out.push_str(&format!("  and {more} more\n"));
    }
    let advice = "A picture that can't be decoded, or is too large, can be shown as a copy: save it again with a picture program, smaller and without a colour profile, under another name, and list it with a caption that says what it is a copy of. Leave the original as it is: it is the record.";
    out.push_str(&format!("{}\n", print::wrapped(advice, 2)));
    out
}

/// As many pictures that are not shown are named at the most.
const MOST_NOT_SHOWN: usize = 20;

fn render(written: &Written, examined: &Examined) -> Page {
    let mut out = Page::new();
    let docking = &examined.project.docking;
    out.heading(&format!("{} in {}", docking.ship.name, docking.dock.name));
    out.push_str(&check::describe_counts(examined));
    let mut unanswered = Section::new("");
    unanswered.findings(examined.unanswered(), check::NAMED, "check --json has each");
    out.append(Terminal::new(docking.units).body(&unanswered));
    out.push_str(&format!("\n{}:\n", state(written)));
    for (what, path) in [
        ("bundle", &written.bundle),
        ("page", &written.start_here),
        ("report", &written.report),
        ("summary", &written.summary),
        ("seal", &written.seal_sheet),
        ("", &written.seal_file),
        ("first", &written.read_me_first),
    ] {
        out.push_str(&format!("  {what:8}{}\n", path.display()));
    }
    for (number, path) in written.tables.iter().enumerate() {
        let what = if number == 0 { "tables" } else { "" };
        out.push_str(&format!("  {what:8}{}\n", path.display()));
    }
    if let Some(path) = &written.signature {
        out.push_str(&format!("  {:8}{}\n", "signed", path.display()));
    }
    for (number, path) in written.recovery.iter().enumerate() {
        let what = if number == 0 { "repair" } else { "" };
        out.push_str(&format!("  {what:8}{}\n", path.display()));
    }
    out.push_str(&format!(
        "  {:8}{} files, {}\n",
        "payload",
        written.files,
        print::bytes(written.bytes)
    ));
    out.push_str(&render_not_shown(&written.not_shown));
    out.push_str("\nThe seal, to be kept on paper away from the bundle:\n");
    out.push_str(&format!("{}\n", print::wrapped(&in_fours(&written.seal), 2)));
    out.push_str(&print::caution());
    out
}
