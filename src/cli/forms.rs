//! `lastdock forms`: the sheets that are filled in by hand, printed again for a project.

use std::path::{Path, PathBuf};

use clap::Args;

use super::closeout;
use super::page::Page;
use super::program::PROGRAM;
use super::project;
use super::say;
use super::status::Status;
use crate::bundle::error::BundleError;
use crate::bundle::safely::{self, Finished};
use crate::bundle::staging::StagingDir;
use crate::handover::forms::forms;
use crate::records::Project;
use crate::records::printed;
use crate::records::store::{Folder, Store};

/// What `forms` takes.
#[derive(Debug, Args)]
pub struct Forms {
    /// The project's folder
    project: PathBuf,
    /// Where to write; otherwise PROJECT/forms, where sheets that are as they were printed are replaced
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Replace sheets that are there already and differ
    #[arg(long)]
    replace: bool,
    /// Print what was written as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Forms) -> Status {
    let Some((folder, project)) = project::read(&args.project, args.json) else {
        return Status::NotDone;
    };
    match written(args, &folder, &project) {
        Ok(files) => {
            if args.json {
                say::json(&serde_json::json!({ "files": files }));
            } else {
                for file in &files {
                    say::told(&Page::of(format_args!("{}\n", file.display())));
                }
            }
            Status::Well
        }
        Err(errors) => say::failed(&errors, args.json),
    }
}

fn written(
    args: &Forms,
    folder: &Folder,
    project: &Project,
) -> Result<Vec<PathBuf>, Vec<BundleError>> {
    let one = |error| vec![error];
    let own = args.project.join(printed::FOLDER);
    let out = args.out.as_deref().unwrap_or(&own);
    if let Some(error) = args.out.as_ref().and_then(|out| closeout::inside(&args.project, out)) {
        return Err(one(error));
    }
    let sheets = forms(Some(project), PROGRAM).map_err(|error| {
        let reasons = error.messages.into_iter();
        reasons.map(|m| BundleError::new(out, m.cause, m.remedy)).collect::<Vec<_>>()
    })?;
    // What was listed as a file of the project is no longer as it was printed, or never was a sheet.
    let changed = sheets.keys().any(|path| folder.sizes().contains_key(path));
    let replace = args.replace || (args.out.is_none() && !changed);
    let listed = |path: &String| args.out.is_none() || path != printed::LIST;
    let staging = StagingDir::making(out).map_err(one)?;
    let mut finished = Vec::new();
    for (path, bytes) in sheets.iter().filter(|(path, _)| listed(path)) {
        let place = out.join(Path::new(path).file_name().unwrap_or_default());
        finished.push(Finished { file: safely::filled(&staging, bytes).map_err(one)?, place });
    }
    let files = finished.iter().map(|file| file.place.clone()).collect();
    safely::put_in_place(finished, &[], replace)?;
    Ok(files)
}
