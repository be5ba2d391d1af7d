//! `lastdock page`: the record as one page for any browser.

use std::path::PathBuf;

use clap::Args;

use super::inside;
use super::page::Page;
use super::print;
use super::say;
use super::source;
use super::status::Status;
use crate::PROGRAM;
use crate::bundle::safely;
use crate::report::{figures, letters};
use crate::web::{self, Previews};

/// What `page` takes.
#[derive(Debug, Args)]
pub struct OnePage {
    /// The project's folder, or a bundle: its zip, or the folder that it was unpacked to
    #[arg(value_name = "PROJECT-OR-BUNDLE")]
    at: PathBuf,
    /// A supplement to that bundle, to be shown beside what it corrects; several in any order
    #[arg(long, value_name = "SUPPLEMENT")]
    supplement: Vec<PathBuf>,
    /// The file to write; by default NAME-page.html in the current folder
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Replace the file if it is there already
    #[arg(long)]
    replace: bool,
    /// Print what was written as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &OnePage) -> Status {
    let read = source::examine_and(&args.at, args.json, |examined, store| {
        Ok((letters::read(&examined.project, store)?, Previews::read(examined, store)))
    });
    let Some((mut source, (letters, previews))) = read else { return Status::NotDone };
    let supplements = source::open_supplements(&args.supplement);
    if let Err(errors) = supplements.and_then(|given| source.follow(given, args.json)) {
        return say::print_errors(&errors, args.json);
    }
    let out = match &args.out {
        Some(out) => out.clone(),
        None => PathBuf::from(format!("{}-page.html", source.name)),
    };
    if let Some(inside) = args.at.is_dir().then(|| inside::refuse(&args.at, &out)).flatten() {
        return say::print_errors(&[inside], args.json);
    }
    let drawings = figures::drawings(&source.examined);
    let html =
        web::page(&source.examined, &drawings, &letters, &previews, &source.supplements, PROGRAM);
    if let Err(errors) = safely::write_alone(&out, html.as_bytes(), args.replace) {
        return say::print_errors(&errors, args.json);
    }
    if args.json {
        say::print_json(&serde_json::json!({ "page": out, "bytes": html.len() }));
    } else {
        let mut said = Page::from_text(format_args!("written and read back: {}\n", out.display()));
        said.push_str(&print::caution());
        say::print(&said);
    }
    if source.is_damaged() { Status::Troubled } else { Status::Well }
}
