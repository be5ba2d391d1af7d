//! `lastdock page`: the record as one page for any browser.

use std::path::PathBuf;

use clap::Args;

use super::closeout;
use super::page::Page;
use super::print;
use super::say;
use super::source::{self, Source};
use super::status::Status;
use crate::PROGRAM;
use crate::bundle::safely;
use crate::report::Inputs;
use crate::report::figures;
use crate::web;

/// What `page` takes.
#[derive(Debug, Args)]
pub struct OnePage {
    /// The project's folder, or a bundle: its zip, or the folder that it was unpacked to
    #[arg(value_name = "PROJECT-OR-BUNDLE")]
    at: PathBuf,
    /// The file to write; by default NAME-page.html in the current folder
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Replace the file if it is there already
    #[arg(long)]
    replace: bool,
}

/// Runs it.
pub fn run(args: &OnePage) -> Status {
    let Some(source) = source::examine(&args.at, false) else { return Status::NotDone };
    let out = match &args.out {
        Some(out) => out.clone(),
        None => PathBuf::from(format!("{}-page.html", source.name)),
    };
    if let Some(inside) =
        args.at.is_dir().then(|| closeout::refuse_inside(&args.at, &out)).flatten()
    {
        return say::print_errors(&[inside], false);
    }
    let html = html(&source);
    if let Err(errors) = safely::write_alone(&out, html.as_bytes(), args.replace) {
        return say::print_errors(&errors, false);
    }
    let mut said = Page::from_text(format_args!("written and read back: {}\n", out.display()));
    said.push_str(&print::caution());
    say::print(&said);
    if source.is_damaged() { Status::Troubled } else { Status::Well }
}

fn html(source: &Source) -> String {
    let drawings = figures::drawings(&source.examined);
    web::page(&Inputs {
        examined: &source.examined,
        drawings: &drawings,
        files: &[],
        records_checksum: "",
        attachments: Vec::new(),
        pictures: &source.examined.project.pictures,
        letters: source.letters.clone(),
        program: PROGRAM,
    })
}
