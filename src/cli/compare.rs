//! `lastdock compare`: two dockings side by side.

use std::path::PathBuf;

use clap::Args;

use super::inside;
use super::page::Page;
use super::print;
use super::say;
use super::source::{self, Source};
use super::status::Status;
use super::terminal::{Terminal, keyboard};
use crate::PROGRAM;
use crate::bundle::error::BundleError;
use crate::bundle::open::Kept;
use crate::bundle::safely;
use crate::handover::compare::pages::typeset;
use crate::handover::compare::{Comparison, Drawn, Side, compare};
use crate::pages::Section;
use crate::records::supplement::stated;
use crate::text;
use crate::text::System;

/// What `compare` takes.
#[derive(Debug, Args)]
pub struct Compare {
    /// The older docking: a bundle's zip or folder, or a project's folder
    older: PathBuf,
    /// The newer docking: a bundle's zip or folder, or a project's folder
    newer: PathBuf,
    /// A supplement to either bundle: what it says is shown beside the comparison; several in any order
    #[arg(long, value_name = "SUPPLEMENT")]
    supplement: Vec<PathBuf>,
    /// Also write the comparison as a PDF, with drawings, and every row attached as JSON
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
    /// Replace an existing PDF that differs
    #[arg(long, requires = "out")]
    replace: bool,
    /// Print the comparison as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Compare) -> Status {
    let inside = [&args.older, &args.newer].into_iter().filter(|at| at.is_dir());
    let inside = inside.filter_map(|at| inside::refuse(at, args.out.as_deref()?));
    let inside: Vec<BundleError> = inside.collect();
    if !inside.is_empty() {
        return say::print_errors(&inside, args.json);
    }
    let Some((mut older, mut newer)) = read_both(args) else { return Status::NotDone };
    if let Err(errors) = follow(args, &mut older, &mut newer) {
        return say::print_errors(&errors, args.json);
    }
    let (was, is) = (side(&older), side(&newer));
    let (comparison, shapes) = compare(&was, &is, PROGRAM);
    if let Some(out) = &args.out {
        let written = typeset(&comparison, &shapes, &is)
            .map_err(|error| {
                let parts = error.messages.into_iter();
                parts.map(|m| BundleError::new(out, m.cause, m.remedy)).collect()
            })
            .and_then(|pdf| safely::write_alone(out, &pdf, args.replace));
        if let Err(errors) = written {
            return say::print_errors(&errors, args.json);
        }
    }
    if args.json {
        say::print_json(&comparison);
    } else {
        let mut page = render(&comparison, newer.examined.project.docking.units);
        page.push_str(&match &args.out {
            Some(out) => format!("\nwritten and read back: {}\n", out.display()),
            None => "\nThe PDF that --out writes has drawings, and every row attached as JSON.\n"
                .to_string(),
        });
        page.push_str(&print::caution());
        say::print(&page);
    }
    let damaged = older.is_damaged() || newer.is_damaged();
    let troubled = damaged || !comparison.same_ship || comparison.in_order == Some(false);
    if troubled { Status::Troubled } else { Status::Well }
}

/// Reads both, so that everything that is wrong with either is said.
fn read_both(args: &Compare) -> Option<(Source, Source)> {
    let older = source::examine(&args.older, args.json);
    if older.is_none() && args.json {
        // One value goes out.
        return None;
    }
    let newer = source::examine(&args.newer, args.json);
    older.zip(newer)
}

/// Gives each supplement to the bundle whose seal it names as the first of its line.
fn follow(args: &Compare, older: &mut Source, newer: &mut Source) -> Result<(), Vec<BundleError>> {
    let (mut of_older, mut of_newer) = (Vec::new(), Vec::new());
    let mut refused = Vec::new();
    for supplement in source::open_supplements(&args.supplement)? {
        let first = stated(&Kept::new(&supplement)).ok().map(|stated| stated.first.seal);
        let is_of = |source: &Source| first.is_some() && source.seal() == first.as_deref();
        if is_of(older) {
            of_older.push(supplement);
        } else if is_of(newer) {
            of_newer.push(supplement);
        } else {
            let wrong = "supplements neither of these bundles, by the seal that it names";
            let advice = "lastdock verify shows what it supplements; name it with that bundle";
            refused.push(BundleError::new(&supplement.at, wrong, advice));
        }
    }
    if !refused.is_empty() {
        return Err(refused);
    }
    older.follow(of_older, args.json)?;
    newer.follow(of_newer, args.json)
}

fn side(source: &Source) -> Side<'_> {
    Side {
        name: &source.name,
        examined: &source.examined,
        bundle: source.bundle.as_ref(),
        supplements: &source.supplements,
    }
}

fn render(comparison: &Comparison, units: System) -> Page {
    let terminal = Terminal::new(units);
    let mut out = Page::new();
    for warning in &comparison.warnings {
        out.red(&print::wrapped(&keyboard(warning), 0));
        out.push_str("\n");
    }
    let mut front = Section::new(comparison.title());
    for (when, docking) in comparison.dockings() {
        front.paragraph(text!("{}: {}", when, docking));
    }
    if let Some(units) = comparison.units_note() {
        front.paragraph(units);
    }
    let sections = comparison.sections(Drawn::default());
    let not_compared = comparison.not_compared();
    let all = std::iter::once(&front).chain(&sections).chain(std::iter::once(&not_compared));
    out.append(terminal.sections(all));
    out
}
