//! `lastdock supplement`: what became known after a bundle was closed out, sealed beside it.

use std::path::{Path, PathBuf};

use clap::Args;

use super::chained::{NOT_EXAMINED, brings};
use super::inside;
use super::log::{self, Logging};
use super::page::Page;
use super::problems::{self, Detail};
use super::progress::Progress;
use super::sealing::Sealing;
use super::source;
use super::status::Status;
use super::{print, say};
use crate::PROGRAM;
use crate::bundle::digest::in_fours;
use crate::bundle::error::BundleError;
use crate::bundle::followers::{self, Followers};
use crate::bundle::log::Event;
use crate::bundle::open::{Bundle, Kept};
use crate::bundle::supplement::{self, Request, Written};
use crate::handover::folder;
use crate::handover::supplement::{Follows, start};
use crate::records::corrected::{Line, Supplement as Read};
use crate::records::docking::Docking;
use crate::records::place::Place;
use crate::records::problem::{Problem, Problems};
use crate::records::store::{Folder, Store};
use crate::records::supplement::{PATH, Stated, stated};
use crate::records::{self, Project};

/// What `supplement` takes.
#[derive(Debug, Args)]
pub struct Supplement {
    /// The bundle with which the line begins: a zip, or the folder that it was unpacked to
    bundle: PathBuf,
    /// The supplement's folder; if it is not there, it is made, with what is to be filled in
    folder: PathBuf,
    /// A supplement that comes before this one; several in any order
    #[arg(long, value_name = "SUPPLEMENT")]
    after: Vec<PathBuf>,
    /// Where to write; by default a folder beside the supplement's, named after it with -sealed
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
pub fn run(args: &Supplement) -> Status {
    run_or(args).unwrap_or_else(|failure| match failure {
        Failure::Errors(errors) => say::print_errors(&errors, args.json),
        Failure::Problems(problems) => {
            if args.json {
                say::print_json(&problems::to_json(&problems));
            } else {
                let mut page = problems::render(&problems, Detail::All);
                page.push_str(
                    "More may be found once these are right: supplement.toml and errata.csv are read first.\n",
                );
                say::eprint(&page);
            }
            Status::NotDone
        }
    })
}

/// The name and the seal of a bundle or supplement.
type Named<'a> = (&'a str, &'a str);

enum Failure {
    Errors(Vec<BundleError>),
    /// What is wrong in the supplement's folder.
    Problems(Vec<Problem>),
}

impl From<Vec<BundleError>> for Failure {
    fn from(errors: Vec<BundleError>) -> Self {
        Failure::Errors(errors)
    }
}

impl From<BundleError> for Failure {
    fn from(error: BundleError) -> Self {
        Failure::Errors(vec![error])
    }
}

fn run_or(args: &Supplement) -> Result<Status, Failure> {
    let bundle = source::open_bundle(&args.bundle)?;
    let before = source::open_supplements(&args.after)?;
    let sizes = std::iter::once(&bundle).chain(&before).flat_map(Bundle::sizes);
    let progress = Progress::new("verifying", sizes.map(|(_, size)| size).sum(), args.json);
    let advance = |bytes| progress.advance(bytes);
    let seal = followers::seal_of_whole(&bundle, &advance)?;
    let kept = Kept::new(&bundle);
    let project = records::read(&kept, Problems::default())
        .map_err(|problems| followers::unreadable(&args.bundle, &problems))?;
    let Some(closeout) = &project.docking.closeout else {
        let wrong = "its docking.toml has no [closeout], so the docking has no name";
        let advice = "name a bundle that lastdock closeout wrote";
        return Err(BundleError::new(&args.bundle, wrong, advice).into());
    };
    let first = (closeout.bundle_name.as_str(), seal.as_str());
    let called = (first.0.to_string(), Some(seal.clone()));
    let followers = Followers::prove(&bundle, called, before, &advance)?;
    progress.clear();
    let stores = followers.stores();
    let line = followers.read(&kept, &stores)?.closed_on(closeout.prepared_on);
    let last = followers.each().last();
    let parent = last.map_or(first, |last| (last.name.as_str(), last.seal.as_str()));
    if args.folder.exists() {
        seal_folder(args, &project.docking, line, (first, parent))
    } else {
        start_folder(args, &project, first, parent)
    }
}

/// Reads the folder that was filled in against the line before it, and seals it.
fn seal_folder(
    args: &Supplement,
    docking: &Docking,
    line: Line<'_>,
    (first, parent): (Named<'_>, Named<'_>),
) -> Result<Status, Failure> {
    let mut problems = Problems::default();
    let folder = Folder::open(&args.folder, &mut problems);
    // As long as the folder, too.
    let mut line = line;
    // Before what it says is held against what it would not follow.
    if let Some(found) =
        stated(&folder).ok().and_then(|stated| other_than_named(&stated, first, parent))
    {
        return Err(Failure::Problems(vec![found]));
    }
    line.add(&folder, problems).map_err(Failure::Problems)?;
    let Some(supplement) = line.supplements().last() else {
        let wrong = "could not be read";
        return Err(BundleError::new(&args.folder, wrong, "run again").into());
    };
    let out = args.out.clone().unwrap_or_else(|| default_folder(&args.folder));
    let places = std::iter::once(out.as_path()).chain(args.logging.file());
    let inside: Vec<BundleError> =
        places.filter_map(|at| inside::refuse(&args.folder, at)).collect();
    if !inside.is_empty() {
        return Err(inside.into());
    }
    let key = args.sealing.key()?;
    let total = args.sealing.handled(folder.sizes().values().sum());
    let progress = Progress::new("packing", total, args.json);
    let written = supplement::write(&Request {
        folder: &folder,
        supplement,
        docking,
        out: &out,
        replace: args.sealing.replace,
        repair_percent: args.sealing.repair_percent,
        sign_with: key.as_ref(),
        program: PROGRAM,
        progress: &|bytes| progress.advance(bytes),
    });
    progress.clear();
    let written = written.map_err(Failure::Errors)?;
    if args.json {
        say::print_json(&to_json(supplement, &written, first, parent));
    } else {
        say::print(&render(supplement, &written, parent));
    }
    Ok(args.logging.add(&[event(&written)], Status::Well))
}

fn to_json(
    supplement: &Read,
    written: &Written,
    first: Named<'_>,
    parent: Named<'_>,
) -> serde_json::Value {
    serde_json::json!({
        "supplement": written.supplement,
        "seal_file": written.seal_file,
        "read_me_first": written.read_me_first,
        "signature": written.signature,
        "recovery": written.recovery,
        "seal": written.seal,
        "supplements": { "name": parent.0, "seal": parent.1 },
        "first": { "name": first.0, "seal": first.1 },
        "errata": supplement.errata.len(),
        "rows": supplement.row_count(),
        "papers": supplement.papers.len(),
        "files": written.files,
        "bytes": written.bytes,
        "unchanged": written.unchanged,
    })
}

/// What the log gets to know.
fn event(written: &Written) -> Event {
    log::package_creation(
        &written.supplement,
        &written.seal,
        written.unchanged,
        (written.files as u64, written.bytes),
    )
}

/// What is wrong where the supplement names another than what it is to follow.
fn other_than_named(stated: &Stated, first: Named<'_>, parent: Named<'_>) -> Option<Problem> {
    for (table, sealed, (name, seal)) in
        [("first", &stated.first, first), ("parent", &stated.parent, parent)]
    {
        if sealed.seal == seal && sealed.name == name {
            continue;
        }
        let place = Place { name: format!("{table}.seal").into(), ..sealed.place.clone() };
        let wrong = if sealed.seal == seal {
            format!("is called {}, and what it follows is called {name}", sealed.name)
        } else {
            format!("is not the seal of {name}, which it is to follow")
        };
        debug_assert_eq!(&*sealed.place.file, PATH);
        let problem = Problem::new(place, wrong)
            .value(sealed.seal.clone())
            .expected(format!("name = \"{name}\", seal = \"{}\"", in_fours(seal)))
            .advice(
                "name the bundle for which the folder was made, and with --after every supplement before it; or \
                 correct the table, if it is to follow this one",
            );
        return Some(problem);
    }
    None
}

/// `s1` gives `s1-sealed`.
fn default_folder(folder: &Path) -> PathBuf {
    let full = folder.canonicalize().unwrap_or_else(|_| folder.to_path_buf());
    let name = full.file_name().map_or_else(|| "supplement".into(), |name| name.to_string_lossy());
    full.with_file_name(format!("{name}-sealed"))
}

/// Makes the blank folder.
fn start_folder(
    args: &Supplement,
    project: &Project,
    first: Named<'_>,
    parent: Named<'_>,
) -> Result<Status, Failure> {
    let place = folder::Place::new(&args.folder)?;
    let name = format!("{}-s{}", first.0, args.after.len() + 1);
    let files = start(&place, &Follows { parent, first, name }, project)?;
    if args.json {
        say::print_json(&serde_json::json!({ "folder": args.folder, "started": files }));
        return Ok(Status::Well);
    }
    let mut out = Page::new();
    out.heading(&args.folder.display().to_string());
    let push = |out: &mut Page, text: &str| out.push_str(&format!("{}\n", print::wrapped(text, 2)));
    push(
        &mut out,
        &format!(
            "a blank supplement to {}, {} files; nothing is sealed yet",
            parent.0,
            files.len()
        ),
    );
    push(
        &mut out,
        "Fill in supplement.toml; then errata.csv for what is wrong in the record, and the tables for what was found or done since. Papers go into papers/.",
    );
    push(&mut out, "Then run the same command again: it reads the folder and seals it.");
    say::print(&out);
    Ok(Status::Well)
}

fn render(supplement: &Read, written: &Written, parent: Named<'_>) -> Page {
    let about = &supplement.stated.about;
    let mut out = Page::new();
    out.heading(&format!("{}: {}", about.name, about.about));
    let (errata, papers) = (supplement.errata.len(), supplement.papers.len());
    let brings = brings(errata, supplement.row_count(), papers);
    let brings = format!("{brings}; it supplements {}", parent.0);
    out.push_str(&format!("{}\n", print::wrapped(&brings, 0)));
    if supplement.row_count() > 0 {
        out.push_str(&format!("{}\n", print::wrapped(NOT_EXAMINED, 0)));
    }
    out.push_str(&format!("\n{}:\n", log::state(written.unchanged)));
    let recovery = written.recovery.iter().enumerate();
    let recovery = recovery.map(|(at, path)| (if at == 0 { "repair" } else { "" }, path));
    let signed = written.signature.iter().map(|path| ("signed", path));
    let files = [
        ("zip", &written.supplement),
        ("seal", &written.seal_file),
        ("first", &written.read_me_first),
    ];
    for (what, path) in files.into_iter().chain(signed).chain(recovery) {
        out.push_str(&format!("  {what:8}{}\n", path.display()));
    }
    let (files, bytes) = (written.files, print::bytes(written.bytes));
    out.push_str(&format!("  {:8}{files} files, {bytes}\n", "payload"));
    out.push_str("\nThe seal, to be kept on paper away from the supplement:\n");
    out.push_str(&format!("{}\n", print::wrapped(&in_fours(&written.seal), 2)));
    out
}
