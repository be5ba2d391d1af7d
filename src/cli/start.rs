//! `lastdock start`: a new project's folder, blank or carried forward from an old bundle.

use std::path::{Path, PathBuf};

use clap::Args;

use super::page::Page;
use super::print;
use super::progress::Progress;
use super::say;
use super::source;
use super::status::Status;
use super::terminal::Terminal;
use crate::PROGRAM;
use crate::bundle::digest::in_fours;
use crate::bundle::error::BundleError;
use crate::bundle::open::Bundle;
use crate::handover::before::Before;
use crate::handover::blank::House;
use crate::handover::folder::Place;
use crate::handover::readme;
use crate::handover::start::{Started, start};
use crate::pages::{Cell, Column, Table};
use crate::records::docking::Paper;
use crate::text::System;

/// What `start` takes.
#[derive(Debug, Args)]
pub struct Start {
    /// The new project's folder, which must not exist yet
    #[arg(value_name = "NEW-FOLDER")]
    folder: PathBuf,
    /// The previous docking's bundle, a zip or the folder it was unpacked to: what still holds is carried
    /// forward, and its records are kept as history
    #[arg(long, value_name = "BUNDLE")]
    from: Option<PathBuf>,
    /// A supplement to that bundle: what it corrects is carried as it is right, and marked; several in any order
    #[arg(long, value_name = "SUPPLEMENT", requires = "from")]
    supplement: Vec<PathBuf>,
    /// Put the tables into one workbook, project.xlsx, instead of CSV files
    #[arg(long)]
    workbook: bool,
    /// In which units blank tables and sheets are headed and figures shown: metres and tonnes (si), or feet, inches,
    /// long tons, mils, psi and degrees F (us). By default those of the bundle, or else si
    #[arg(long, value_name = "UNITS", value_parser = ["si", "us"])]
    units: Option<String>,
    /// What sheets are printed on. By default what the bundle says, or else US Letter with us, and A4 otherwise
    #[arg(long, value_name = "PAPER", value_parser = ["a4", "us-letter"])]
    paper: Option<String>,
    /// Start even from a damaged bundle; the new folder says so
    #[arg(long, requires = "from")]
    accept_damaged: bool,
    /// Print what was written as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Start) -> Status {
    match write_project(args) {
        Ok((before, written)) => {
            if args.json {
                say::print_json(&to_json(&args.folder, before.as_ref(), &written));
            } else {
                say::print(&render(args, before.as_ref(), &written));
            }
            let damaged = before.is_some_and(|before| !before.damage.is_empty());
            if damaged { Status::Troubled } else { Status::Well }
        }
        Err(errors) => say::print_errors(&errors, args.json),
    }
}

fn write_project(args: &Start) -> Result<(Option<Before>, Started), Vec<BundleError>> {
    let one = |error| vec![error];
    // The place first, since a bundle may take minutes to be verified.
    let place = Place::new(&args.folder).map_err(one)?;
    let before = args.from.as_deref().map(|from| read_before(from, &place, args)).transpose()?;
    let house = house(args, before.as_ref());
    let written = start(&place, before.as_ref(), args.workbook, house, PROGRAM).map_err(one)?;
    Ok((before, written))
}

/// The units and the paper that are asked for, or else those of the docking before.
fn house(args: &Start, before: Option<&Before>) -> House {
    let docking = before.map(|before| &before.project.docking);
    let units = match args.units.as_deref() {
        Some("us") => System::Us,
        Some(_) => System::Si,
        None => docking.map(|docking| docking.units).unwrap_or_default(),
    };
    let paper = match (args.paper.as_deref(), docking) {
        (Some("us-letter"), _) => Paper::UsLetter,
        (Some(_), _) => Paper::A4,
        (None, Some(docking)) => docking.paper,
        (None, None) if units == System::Us => Paper::UsLetter,
        (None, None) => Paper::A4,
    };
    House { units, is_asked: args.units.is_some(), paper }
}

fn read_before(from: &Path, place: &Place, args: &Start) -> Result<Before, Vec<BundleError>> {
    if from.is_dir() && place.is_inside(from) {
        let wrong = "lies inside the bundle, which would then no longer be whole";
        return Err(vec![BundleError::new(&args.folder, wrong, "name a folder outside it")]);
    }
    let bundle = source::open_bundle(from).map_err(|error| vec![error])?;
    let supplements = source::open_supplements(&args.supplement)?;
    let all = std::iter::once(&bundle).chain(&supplements);
    let total = all.flat_map(Bundle::sizes).map(|(_, size)| size).sum();
    let progress = Progress::new("verifying", total, args.json);
    let before = Before::read(bundle, supplements, PROGRAM, args.accept_damaged, &|bytes| {
        progress.advance(bytes)
    });
    progress.clear();
    before
}

fn render(args: &Start, before: Option<&Before>, written: &Started) -> Page {
    let folder = args.folder.display();
    let mut out = Page::new();
    out.heading(&folder.to_string());
    let push = |out: &mut Page, text: &str, indent: usize| {
        out.push_str(&format!("{}\n", print::wrapped(text, indent)));
    };
    match before {
        None => push(&mut out, &format!("a blank project, {} files", written.files), 2),
        Some(before) => {
            let ship = &before.project.docking.ship.name;
            push(
                &mut out,
                &format!("{ship}, carried forward from {}; {} files", before.name, written.files),
                2,
            );
            let rows = written.carried.iter().map(|(path, count)| -> [Cell; 3] {
                let things = if path.ends_with(".toml") { "tables" } else { "rows" };
                [(*path).into(), (*count).into(), things.into()]
            });
            let columns =
                [Column::name("File"), Column::figure("Carried forward"), Column::name("")];
            out.append(Terminal::new(System::Si).table(&Table::new(columns).rows(rows)));
            for supplement in &before.supplements {
                let about = &supplement.stated.about;
                push(&mut out, &format!("with its supplement {}: {}", about.name, about.about), 2);
            }
            for name in &written.left_out {
                push(&mut out, &format!("left out: {name}: {}; fill it in", readme::UNFIT), 2);
            }
            if before.damage.is_empty() {
                push(&mut out, "the bundle was whole, and its findings follow from its records", 2);
                if before.computed_otherwise > 0 {
                    let text = format!(
                        "{} of them are computed differently by this version: verify says by which rule",
                        before.computed_otherwise
                    );
                    push(&mut out, &text, 2);
                }
            } else {
                push(&mut out, "damaged: the bundle was used as it is, and README.txt says so:", 2);
                before.damage.iter().for_each(|trouble| push(&mut out, trouble, 6));
            }
            if before.unanswered > 0 {
                let text = format!(
                    "{} of its findings differ or are beyond a limit, unanswered: see its report",
                    before.unanswered
                );
                push(&mut out, &text, 2);
            }
            if let Some(seal) = &before.fixity.seal {
                push(&mut out, "its seal, to be compared with the one kept on paper:", 2);
                push(&mut out, &in_fours(seal), 6);
            }
        }
    }
    let first = match before {
        None => {
            "Read README.txt in it: who fills in what, and when. Begin with the two names marked \
             FIRST in docking.toml. Then, and as often as you like:"
        }
        Some(_) => {
            "Read README.txt in it: who fills in what, and when. Confirm everything that is marked \
             note_carried, beginning with the dock in docking.toml. Then, and as often as you like:"
        }
    };
    let tables = match args.workbook {
        true => "project.xlsx is to be filled in with a spreadsheet; its first sheet says how",
        false => "its tables are CSV files; with --workbook they are the sheets of one workbook",
    };
    push(&mut out, tables, 2);
    push(&mut out, "forms/ holds sheets to print and fill in by hand at the dock", 2);
    out.push_str(&format!("\n{}\n", print::wrapped(first, 0)));
    out.push_str(&format!("  lastdock check {folder}\n"));
    out
}

fn to_json(folder: &Path, before: Option<&Before>, written: &Started) -> serde_json::Value {
    serde_json::json!({
        "folder": folder,
        "files": written.files,
        "from": before.map(|before| serde_json::json!({
            "docking": before.name,
            "bundle": before.file,
            "ship": before.project.docking.ship.name,
            "seal": before.fixity.seal,
            "whole": before.damage.is_empty(),
            "damage": before.damage,
            "unanswered": before.unanswered,
            "supplements": before
                .supplements
                .iter()
                .map(|supplement| &supplement.stated.about.name)
                .collect::<Vec<_>>(),
        })),
        "carried": written.carried,
        "left_out": written.left_out,
    })
}
