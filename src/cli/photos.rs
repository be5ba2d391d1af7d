//! `lastdock photos`: rows in `papers/papers.csv` for the pictures that have none.

use std::path::{Path, PathBuf};

use clap::Args;

use super::added;
use super::page::Page;
use super::print;
use super::project::{self, Stream};
use super::say;
use super::status::Status;
use super::terminal::Terminal;
use crate::bundle::error::BundleError;
use crate::findings::Examined;
use crate::handover::photos::{self, FILE, Unlisted};
use crate::pages::{Cell, Column, Table};
use crate::records::rows::{self, Header};
use crate::records::store::Folder;
use crate::text::{code, id};

/// What `photos` takes.
#[derive(Debug, Args)]
pub struct Photos {
    /// The project's folder
    project: PathBuf,
    /// Print the rows without writing them
    #[arg(long)]
    dry_run: bool,
    /// Print what was added as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Photos) -> Status {
    let Some((folder, examined)) = project::examine(&args.project, args.json, Stream::Err) else {
        return Status::NotDone;
    };
    let pictures = photos::unlisted(&examined.project);
    let (before, whole) = match with_rows(args, &folder, &examined, &pictures) {
        Ok(texts) => texts,
        Err(error) => return say::print_errors(&[error], args.json),
    };
    let write = !args.dry_run && !pictures.is_empty();
    if write {
        let instead = "print the rows with --dry-run";
        if let Err(errors) = added::put(&args.project, FILE, before.as_deref(), &whole, instead) {
            return say::print_errors(&errors, args.json);
        }
    }
    if args.json {
        say::print_json(&to_json(args, &pictures, write));
    } else if args.dry_run {
        let new = whole.get(before.map_or(0, |before| before.len())..).unwrap_or_default();
        say::print_plain(&String::from_utf8_lossy(new));
    } else {
        say::print(&render(args, &pictures, &examined));
    }
    Status::Well
}

/// The file as it is, and with its new rows.
fn with_rows(
    args: &Photos,
    folder: &Folder,
    examined: &Examined,
    pictures: &[Unlisted],
) -> Result<(Option<Vec<u8>>, Vec<u8>), BundleError> {
    let root: &Path = &args.project;
    let mut workbooks = examined.project.workbooks.iter();
    let in_workbook = workbooks.find(|workbook| workbook.csv(FILE).is_some());
    if let Some(workbook) = in_workbook.filter(|_| !pictures.is_empty()) {
        let sheet = workbook.csv(FILE).and_then(rows::header).filter(|_| args.dry_run);
        if let Some(header) = sheet {
            // What is pasted into a sheet has tabs between its cells.
            let header = Header { delimiter: b'\t', ..header };
            return Ok((None, photos::with_rows(b"", Some(&header), pictures)));
        }
        let wrong = "has the sheet papers-papers, to which this program adds nothing";
        let names: Vec<&str> = pictures.iter().map(|picture| picture.file.as_str()).collect();
        let advice = format!(
            "add a row there for each of these: {}; with --dry-run the rows are printed, to be pasted into the sheet",
            names.join(", ")
        );
        return Err(BundleError::new(root.join(&workbook.path), wrong, advice));
    }
    let before = added::before(root, folder, FILE)?;
    let header = match &before {
        None => None,
        Some(bytes) => Some(rows::header(bytes).ok_or_else(|| {
            let wrong = "is no table in UTF-8 to which rows can be added";
            BundleError::new(
                root.join(FILE),
                wrong,
                "save it again as CSV in UTF-8, with its header row",
            )
        })?),
    };
    let whole = photos::with_rows(before.as_deref().unwrap_or_default(), header.as_ref(), pictures);
    Ok((before, whole))
}

fn render(args: &Photos, pictures: &[Unlisted], examined: &Examined) -> Page {
    let file = args.project.join(FILE);
    let file = file.display();
    let mut out = Page::new();
    let text = match pictures.len() {
        0 => format!(
            "Every picture that was found in papers/ is listed in {file}. Nothing was added."
        ),
        1 => format!("{file}: 1 row added."),
        n => format!("{file}: {n} rows added."),
    };
    out.push_str(&format!("{}\n", print::wrapped(&text, 0)));
    if pictures.is_empty() {
        return out;
    }
    let columns =
        [Column::name("File"), Column::name("Taken, by its camera"), Column::text("About")];
    let rows = pictures.iter().map(|picture| -> [Cell; 3] {
        let about = picture.position.as_ref().map_or(Cell::NotRecorded, |name| id(name).into());
        [code(picture.file.as_str()).into(), picture.taken.into(), about]
    });
    out.append(
        Terminal::new(examined.project.docking.units).table(&Table::new(columns).rows(rows)),
    );
    let outside: Vec<&str> =
        pictures.iter().filter(|p| p.outside).map(|p| p.file.as_str()).collect();
    if !outside.is_empty() {
        let text = format!(
            "By their cameras' clocks these were not taken during the docking: {}. Look whether the clock was \
             wrong, or the picture is of another time.",
            outside.join(", ")
        );
        out.push_str(&format!("\n{}\n", print::wrapped(&text, 0)));
    }
    let text = "The times are the cameras' own, so that comparing the two shows nothing: hold one picture of each camera against something whose time is known. Fill in caption, by whom and what each shows (about), then run lastdock check.";
    out.push_str(&format!("\n{}\n", print::wrapped(text, 0)));
    out
}

fn to_json(args: &Photos, pictures: &[Unlisted], written: bool) -> serde_json::Value {
    let picture = |picture: &Unlisted| {
        serde_json::json!({
            "file": picture.file,
            "taken_by_camera": picture.taken.map(|at| at.to_rfc3339()),
            "position": picture.position,
            "outside_period": picture.outside,
        })
    };
    serde_json::json!({
        "file": args.project.join(FILE),
        "written": written,
        "added": pictures.iter().map(picture).collect::<Vec<_>>(),
    })
}
