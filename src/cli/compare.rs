//! `lastdock compare`: two dockings side by side.

use std::path::PathBuf;

use clap::Args;

use super::closeout;
use super::page::Page;
use super::print;
use super::say;
use super::source::{self, Source};
use super::status::Status;
use super::terminal::{Terminal, keyboard};
use crate::PROGRAM;
use crate::bundle::error::BundleError;
use crate::bundle::safely;
use crate::handover::compare::pages::typeset;
use crate::handover::compare::{Comparison, Drawn, Side, compare};
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
    let inside = inside.filter_map(|at| closeout::refuse_inside(at, args.out.as_deref()?));
    let inside: Vec<BundleError> = inside.collect();
    if !inside.is_empty() {
        return say::print_errors(&inside, args.json);
    }
    let Some((older, newer)) = read_both(args) else { return Status::NotDone };
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

fn side(source: &Source) -> Side<'_> {
    Side { name: &source.name, examined: &source.examined, bundle: source.bundle.as_ref() }
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
