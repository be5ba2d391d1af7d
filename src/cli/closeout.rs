//! `lastdock closeout`: report, bundle, seal and recovery data.

use std::path::{Path, PathBuf};

use clap::Args;

use super::check;
use super::inside;
use super::log::{self, Logging};
#[cfg(target_os = "linux")]
use super::memory;
use super::page::Page;
use super::print;
use super::progress::Progress;
use super::project::{self, Stream};
use super::say;
use super::sealing::Sealing;
use super::status::Status;
use super::terminal::Terminal;
use crate::PROGRAM;
use crate::bundle::closeout::{Request, Written, closeout};
use crate::bundle::digest::in_fours;
use crate::bundle::error::BundleError;
use crate::bundle::log::Event;
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
    #[command(flatten)]
    sealing: Sealing,
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
    let written = std::iter::once(out.as_path()).chain(args.logging.file());
    let inside: Vec<BundleError> =
        written.filter_map(|at| inside::refuse(&args.project, at)).collect();
    if !inside.is_empty() {
        return say::print_errors(&inside, args.json);
    }
    let key = match args.sealing.key() {
        Ok(key) => key,
        Err(error) => return say::print_errors(&[error], args.json),
    };
    #[cfg(target_os = "linux")]
    memory::warn(rayon::current_num_threads());
    let total = args.sealing.handled(folder.sizes().values().sum());
    let progress = Progress::new("packing", total, args.json);
    let written = closeout(&Request {
        folder: &folder,
        examined: &examined,
        out: &out,
        replace: args.sealing.replace,
        repair_percent: args.sealing.repair_percent,
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
    log::package_creation(
        &written.bundle,
        &written.seal,
        written.unchanged,
        (written.files as u64, written.bytes),
    )
}

/// `sample-project` gives `sample-project-closeout`.
fn default_folder(project: &Path) -> PathBuf {
    let full = project.canonicalize().unwrap_or_else(|_| project.to_path_buf());
    let name = full.file_name().map_or_else(|| "project".into(), |name| name.to_string_lossy());
    full.with_file_name(format!("{name}-closeout"))
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
    out.push_str(&format!("\n{}:\n", log::state(written.unchanged)));
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
