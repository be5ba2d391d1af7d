//! `lastdock supplement`: what became known after a bundle was closed out, sealed beside it.

use std::path::{Path, PathBuf};

use clap::Args;

use super::chained::brings;
use super::closeout::refuse_inside;
use super::page::Page;
use super::problems::{self, Detail};
use super::progress::Progress;
use super::status::Status;
use super::{print, say};
use crate::PROGRAM;
use crate::bundle::digest::in_fours;
use crate::bundle::error::BundleError;
use crate::bundle::open::{Bundle, Kept};
use crate::bundle::supplement::{Request, Written, seal};
use crate::bundle::verify::fixity;
use crate::bundle::{others, version};
use crate::handover::folder;
use crate::handover::supplement::{Follows, start};
use crate::records::corrected::Line;
use crate::records::place::Place;
use crate::records::problem::{Problem, Problems};
use crate::records::store::{Folder, Store};
use crate::records::supplement::{PATH, Stated};
use crate::records::{self, Project};

/// What `supplement` takes.
#[derive(Debug, Args)]
pub struct Supplement {
    /// The bundle with which the line begins: a zip, or the folder that it was unpacked to
    bundle: PathBuf,
    /// The supplement's folder; if it is not there, it is made, with what is to be filled in
    folder: PathBuf,
    /// A supplement that comes before this one; several in their order
    #[arg(long, value_name = "SUPPLEMENT")]
    after: Vec<PathBuf>,
    /// Where to write; by default a folder beside the supplement's, named after it with -sealed
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Replace an existing supplement and seal that differ
    #[arg(long)]
    replace: bool,
    /// Recovery data to write, as a percentage of the supplement; 0 for none
    #[arg(long, value_name = "N", default_value_t = 10,
          value_parser = clap::value_parser!(u32).range(0..=100))]
    repair_percent: u32,
    /// Print what was written as JSON
    #[arg(long)]
    json: bool,
}

/// A bundle or supplement that was proved whole.
struct Whole {
    bundle: Bundle,
    seal: String,
}

/// Runs it.
pub fn run(args: &Supplement) -> Status {
    run_or(args).unwrap_or_else(|failure| match failure {
        Failure::Errors(errors) => say::print_errors(&errors, args.json),
        Failure::Problems(problems) => {
            if args.json {
                say::print_json(&problems::to_json(&problems));
            } else {
                say::eprint(&problems::render(&problems, Detail::All));
            }
            Status::NotDone
        }
    })
}

enum Failure {
    Errors(Vec<BundleError>),
    Problems(Vec<Problem>),
}

impl From<BundleError> for Failure {
    fn from(error: BundleError) -> Self {
        Failure::Errors(vec![error])
    }
}

fn run_or(args: &Supplement) -> Result<Status, Failure> {
    let first = open(&args.bundle, args.json, others::refuse)?;
    let before = args.after.iter().map(|at| open(at, args.json, others::refuse_no_supplement));
    let before: Vec<Whole> = before.collect::<Result<_, _>>()?;
    let kept = Kept::new(&first.bundle);
    let stores: Vec<Kept<'_>> = before.iter().map(|whole| Kept::new(&whole.bundle)).collect();
    let project = records::read(&kept, Problems::default())
        .map_err(|problems| unreadable(&args.bundle, &problems))?;
    let Some(closeout) = &project.docking.closeout else {
        let wrong = "its docking.toml has no [closeout], so the docking has no name";
        return Err(BundleError::new(
            &args.bundle,
            wrong,
            "name a bundle that lastdock closeout wrote",
        )
        .into());
    };
    let mut parent = (closeout.bundle_name.clone(), first.seal.clone());
    let mut line = Line::new(&kept);
    for ((at, whole), store) in args.after.iter().zip(&before).zip(&stores) {
        line.add(store, Problems::default()).map_err(|problems| unreadable(at, &problems))?;
        let stated = line.supplements().last().map(|supplement| supplement.stated.clone());
        if let Some(stated) = stated {
            if stated.parent.seal != parent.1 {
                let wrong = format!("does not follow {}: it names another seal", parent.0);
                let advice = "name the supplements in the order in which they follow each other";
                return Err(BundleError::new(at, wrong, advice).into());
            }
            parent = (stated.about.name.clone(), whole.seal.clone());
        }
    }
    let first = (closeout.bundle_name.as_str(), first.seal.as_str());
    let parent = (parent.0.as_str(), parent.1.as_str());
    if !args.folder.exists() {
        return start_folder(args, &project, first, parent);
    }
    let mut problems = Problems::default();
    let folder = Folder::open(&args.folder, &mut problems);
    line.add(&folder, problems).map_err(Failure::Problems)?;
    let Some(supplement) = line.supplements().last() else {
        let wrong = "could not be read";
        return Err(BundleError::new(&args.folder, wrong, "run again").into());
    };
    if let Some(found) = other_than_named(&supplement.stated, first, parent) {
        return Err(Failure::Problems(vec![found]));
    }
    let out = args.out.clone().unwrap_or_else(|| default_folder(&args.folder));
    if let Some(error) = refuse_inside(&args.folder, &out) {
        return Err(error.into());
    }
    let total = folder.sizes().values().sum::<u64>() * if args.repair_percent > 0 { 3 } else { 1 };
    let progress = Progress::new("packing", total, args.json);
    let written = seal(&Request {
        folder: &folder,
        supplement,
        docking: &project.docking,
        out: &out,
        replace: args.replace,
        repair_percent: args.repair_percent,
        program: PROGRAM,
        progress: &|bytes| progress.advance(bytes),
    });
    progress.clear();
    let written = written.map_err(Failure::Errors)?;
    let rows: usize = supplement.rows.values().sum();
    if args.json {
        say::print_json(&serde_json::json!({
            "supplement": written.supplement,
            "seal_file": written.seal_file,
            "recovery": written.recovery,
            "seal": written.seal,
            "supplements": { "name": parent.0, "seal": parent.1 },
            "first": { "name": first.0, "seal": first.1 },
            "errata": supplement.errata.len(),
            "rows": rows,
            "papers": supplement.papers.len(),
            "files": written.files,
            "bytes": written.bytes,
            "unchanged": written.unchanged,
        }));
    } else {
        let brings = brings(supplement.errata.len(), rows, supplement.papers.len());
        let brings = format!("{brings}; it supplements {}", parent.0);
        say::print(&render(&supplement.stated, &brings, &written));
    }
    Ok(Status::Well)
}

/// Opens one and proves every byte of it.
fn open(
    at: &Path,
    json: bool,
    refuse: impl Fn(&Bundle) -> Result<(), BundleError>,
) -> Result<Whole, BundleError> {
    let bundle = Bundle::open(at)?;
    version::refuse_others(&bundle)?;
    refuse(&bundle)?;
    let progress = Progress::new("verifying", bundle.sizes().map(|(_, size)| size).sum(), json);
    let found = fixity(&bundle, &|bytes| progress.advance(bytes));
    progress.clear();
    let found = found?;
    if let Some(error) = found.unchecked_error(at) {
        return Err(error);
    }
    let trouble = found.troubles().next();
    match (trouble, found.seal) {
        (None, Some(seal)) => Ok(Whole { bundle, seal }),
        (trouble, _) => Err(BundleError::new(
            at,
            format!("is not whole: {}", trouble.unwrap_or_else(|| "it has no seal".to_string())),
            "mend it (lastdock mend), or find a better copy: a supplement names what it follows by its seal",
        )),
    }
}

fn unreadable(at: &Path, problems: &[Problem]) -> Failure {
    let error = |problem: &Problem| {
        let wrong = format!(
            "its records can't be read: {}",
            problem.to_string().lines().next().unwrap_or_default()
        );
        BundleError::new(
            at,
            wrong,
            "name the bundle and all supplements before this one, in their order",
        )
    };
    Failure::Errors(problems.iter().map(error).collect())
}

/// What is wrong where the supplement names another than what it is to follow.
fn other_than_named(stated: &Stated, first: (&str, &str), parent: (&str, &str)) -> Option<Problem> {
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
    first: (&str, &str),
    parent: (&str, &str),
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

fn render(stated: &Stated, brings: &str, written: &Written) -> Page {
    let mut out = Page::new();
    out.heading(&format!("{}: {}", stated.about.name, stated.about.about));
    out.push_str(&format!("{}\n", print::wrapped(brings, 0)));
    let state = if written.unchanged { "unchanged" } else { "written and read back" };
    out.push_str(&format!("\n{state}:\n"));
    let recovery = written.recovery.iter().enumerate();
    let recovery = recovery.map(|(at, path)| (if at == 0 { "repair" } else { "" }, path));
    let files = [("zip", &written.supplement), ("seal", &written.seal_file)];
    for (what, path) in files.into_iter().chain(recovery) {
        out.push_str(&format!("  {what:8}{}\n", path.display()));
    }
    let (files, bytes) = (written.files, print::bytes(written.bytes));
    out.push_str(&format!("  {:8}{files} files, {bytes}\n", "payload"));
    out.push_str("\nThe seal, to be kept on paper away from the supplement:\n");
    out.push_str(&format!("{}\n", print::wrapped(&in_fours(&written.seal), 2)));
    out
}
