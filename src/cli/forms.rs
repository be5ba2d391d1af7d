//! `lastdock forms`: the sheets that are filled in by hand, printed again for a project.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use clap::Args;

use super::inside;
use super::page::Page;
use super::project::{self, Stream};
use super::say;
use super::status::Status;
use crate::PROGRAM;
use crate::bundle::error::BundleError;
use crate::bundle::safely::{self, Finished};
use crate::bundle::staging::StagingDir;
use crate::handover::forms::{POSTER, Wanted, forms};
use crate::records::store::{Folder, Store};
use crate::records::{Project, positions, printed};
use crate::report::error::ReportError;

/// What `forms` takes.
#[derive(Debug, Args)]
pub struct Forms {
    /// The project's folder
    project: PathBuf,
    /// Where to write; by default PROJECT/forms, where sheets that are still as they were printed are replaced
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Also make a poster for the dock's wall, on A3 or US Tabloid: where to aim and by how much it may be missed, what to mind, and
    /// hold points to be signed
    #[arg(long)]
    poster: bool,
    /// Only the sheets of one position, in files of their own: landing-P1.pdf
    #[arg(long, value_name = "POSITION")]
    position: Option<String>,
    /// Replace existing sheets that differ
    #[arg(long)]
    replace: bool,
    /// Print what was written as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Forms) -> Status {
    // A poster that was printed before stays among the sheets, and so no record.
    let with_poster = args.poster || (args.out.is_none() && printed::lists(&args.project, POSTER));
    let position = args.position.as_deref();
    let Some((folder, examined)) = project::examine(&args.project, args.json, Stream::Err) else {
        return Status::NotDone;
    };
    if let Some(error) = position.and_then(|wanted| unknown(wanted, &examined.project)) {
        return say::print_errors(&[error], args.json);
    }
    let wanted = Wanted { position, poster: with_poster, ..Wanted::default() };
    let sheets = forms(Some(&examined), &wanted, PROGRAM);
    match write(args, &folder, sheets) {
        Ok(files) => {
            if args.json {
                say::print_json(&serde_json::json!({ "files": files }));
            } else {
                for file in &files {
                    say::print(&Page::from_text(format_args!("{}\n", file.display())));
                }
            }
            Status::Well
        }
        Err(errors) => say::print_errors(&errors, args.json),
    }
}

/// What is wrong with a position that the project does not have.
fn unknown(wanted: &str, project: &Project) -> Option<BundleError> {
    let known: Vec<&str> = project.positions.iter().map(|position| position.id.as_str()).collect();
    if known.contains(&wanted) {
        return None;
    }
    let advice = match known.is_empty() {
        true => "record it in positions/positions.csv, or leave out --position".to_string(),
        false => format!("name one of its positions: {}", known.join(", ")),
    };
    let wrong = format!("has no position {wanted}");
    Some(BundleError::new(positions::SPEC.path, wrong, advice))
}

/// The list of the sheets that were written now and of those that stay as they were listed.
fn list(project: &Path, written: &BTreeMap<String, Vec<u8>>) -> Vec<u8> {
    let now = written.get(printed::LIST).cloned().unwrap_or_default();
    let before = std::fs::read_to_string(project.join(printed::LIST)).unwrap_or_default();
    let stays = |line: &&str| {
        let file = line.split_once("  ").map(|(_, file)| format!("{}{file}", printed::FOLDER));
        file.is_some_and(|file| !written.contains_key(&file))
    };
    let kept = before.lines().filter(stays).map(|line| format!("{line}\n")).collect::<String>();
    [now, kept.into_bytes()].concat()
}

fn write(
    args: &Forms,
    folder: &Folder,
    sheets: Result<BTreeMap<String, Vec<u8>>, ReportError>,
) -> Result<Vec<PathBuf>, Vec<BundleError>> {
    let one = |error| vec![error];
    let own = args.project.join(printed::FOLDER);
    let out = args.out.as_deref().unwrap_or(&own);
    if let Some(error) = args.out.as_ref().and_then(|out| inside::refuse(&args.project, out)) {
        return Err(one(error));
    }
    let sheets = sheets.map_err(|error| {
        let reasons = error.messages.into_iter();
        reasons.map(|m| BundleError::new(out, m.cause, m.remedy)).collect::<Vec<_>>()
    })?;
    // What was listed as a file of the project is no longer as it was printed, or never was a sheet.
    let changed = sheets.keys().any(|path| folder.sizes().contains_key(path));
    let replace = args.replace || (args.out.is_none() && !changed);
    let listed = |path: &String| args.out.is_none() || path != printed::LIST;
    let staging = StagingDir::making(out).map_err(one)?;
    let mut finished = Vec::new();
    let whole_list = list(&args.project, &sheets);
    for (path, bytes) in sheets.iter().filter(|(path, _)| listed(path)) {
        let bytes = if path == printed::LIST { &whole_list } else { bytes };
        let place = out.join(Path::new(path).file_name().unwrap_or_default());
        finished.push(Finished { file: safely::filled(&staging, bytes).map_err(one)?, place });
    }
    let files = finished.iter().map(|file| file.place.clone()).collect();
    safely::put_in_place(finished, &[], replace)?;
    Ok(files)
}
