//! `lastdock compare`: two dockings side by side.

use std::path::{Path, PathBuf};

use clap::Args;

use super::closeout;
use super::page::Page;
use super::print;
use super::program::PROGRAM;
use super::say;
use super::source::{self, Source};
use super::status::Status;
use super::terminal::{Terminal, keyboard};
use crate::bundle::error::BundleError;
use crate::bundle::safely;
use crate::bundle::staging::StagingDir;
use crate::handover::compare::pages::typeset;
use crate::handover::compare::{Comparison, Side, compare};
use crate::pages::Section;
use crate::text;
use crate::text::System;

/// What `compare` takes.
#[derive(Debug, Args)]
pub struct Compare {
    /// The older docking: a bundle's zip or folder, or a project's folder
    older: PathBuf,
    /// The newer docking: a bundle's zip or folder, or a project's folder
    newer: PathBuf,
    /// Write the comparison as a PDF, too, with a drawing and every row
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
    /// Replace a PDF that is there already and differs
    #[arg(long, requires = "out")]
    replace: bool,
    /// Print the comparison as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Compare) -> Status {
    let inside = [&args.older, &args.newer].into_iter().filter(|at| at.is_dir());
    let inside = inside.filter_map(|at| closeout::inside(at, args.out.as_deref()?));
    let inside: Vec<BundleError> = inside.collect();
    if !inside.is_empty() {
        return say::failed(&inside, args.json);
    }
    let Some((older, newer)) = both(args) else { return Status::NotDone };
    let (was, is) = (side(&older), side(&newer));
    let (comparison, shapes) = compare(&was, &is, PROGRAM);
    if let Some(out) = &args.out {
        let written = typeset(&comparison, &shapes, &is)
            .map_err(|error| {
                let parts = error.messages.into_iter();
                parts.map(|m| BundleError::new(out, m.cause, m.remedy)).collect()
            })
            .and_then(|pdf| write(out, &pdf, args.replace));
        if let Err(errors) = written {
            return say::failed(&errors, args.json);
        }
    }
    if args.json {
        say::json(&comparison);
    } else {
        let mut page = text(&comparison, newer.examined.project.docking.units);
        page.push_str(&match &args.out {
            Some(out) => format!("\nwritten and read back: {}\n", out.display()),
            None => "\nEvery row and a drawing stand in the PDF that --out writes.\n".to_string(),
        });
        page.push_str(&print::caution());
        say::told(&page);
    }
    let damaged = older.is_damaged() || newer.is_damaged();
    let troubled = damaged || !comparison.same_ship || comparison.in_order == Some(false);
    if troubled { Status::Troubled } else { Status::Well }
}

/// Reads both, so that everything that is wrong with either is said.
fn both(args: &Compare) -> Option<(Source, Source)> {
    let older = source::examined(&args.older, args.json);
    if older.is_none() && args.json {
        // One value goes out.
        return None;
    }
    let newer = source::examined(&args.newer, args.json);
    older.zip(newer)
}

fn side(source: &Source) -> Side<'_> {
    Side { name: &source.name, examined: &source.examined, bundle: source.bundle.as_ref() }
}

fn write(out: &Path, pdf: &[u8], replace: bool) -> Result<(), Vec<BundleError>> {
    let staging = StagingDir::beside(out).map_err(|error| vec![error])?;
    let file = safely::filled(&staging, pdf).map_err(|error| vec![error])?;
    let finished = safely::Finished { file, place: out.to_path_buf() };
    safely::put_in_place(vec![finished], &[], replace).map(|_| ())
}

/// The comparison as text.
fn text(comparison: &Comparison, units: System) -> Page {
    let terminal = Terminal::new(units);
    let mut out = Page::new();
    for warning in &comparison.warnings {
        out.bad(&print::wrapped(&keyboard(warning), 0));
        out.push_str("\n");
    }
    let mut front = Section::new(comparison.title());
    for (when, docking) in comparison.dockings() {
        front.paragraph(text!("{}: {}", when, docking));
    }
    out.append(terminal.sections(std::iter::once(&front).chain(&comparison.sections(0))));
    out
}
