//! Sheets of paper for the dock's floor, to be filled in with a pencil and typed over by a clerk: the same
//! words as in the headers of the files that they go to, and what is known beforehand printed in.

mod known;
mod parts;
mod sheets;

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use known::Known;
use parts::{FORMS, Form};
use sheets::Sheet;

use crate::bundle::digest;
use crate::records::{Project, printed};
use crate::report::error::ReportError;
use crate::report::{Stamp, typeset_as};
use crate::text;
use crate::words::cautions;

/// The day of this edition of the sheets, which is the day that the PDFs carry: a sheet that is yet to be
/// filled in has no day of its own.
const EDITION: NaiveDate = match NaiveDate::from_ymd_opt(2026, 11, 26) {
    Some(day) => day,
    None => NaiveDate::MIN,
};

/// The most characters of the names of ship and dock.
const LONGEST_NAME: usize = 80;

#[derive(Serialize)]
struct Pages<'a> {
    document: Document,
    title: &'a str,
    ship: Option<String>,
    dock: Option<String>,
    program: &'a str,
    caution: &'static str,
    sheets: Vec<Sheet>,
}

/// The properties of the PDF.
#[derive(Serialize)]
struct Document {
    title: String,
    author: String,
    about: &'static str,
}

/// The sheets as PDF/A-3a and PDF/UA-1, by their paths in a project, with the list by which they are recognised as
/// unchanged prints. The same project gives the same bytes; without a project every sheet is blank.
pub fn forms(
    project: Option<&Project>,
    program: &str,
) -> Result<BTreeMap<String, Vec<u8>>, ReportError> {
    let known = Known { project };
    let mut files = BTreeMap::new();
    let mut list = String::new();
    for form in FORMS {
        let pdf = typeset(form, &known, program)?;
        list.push_str(&printed::line(form.file, &digest::sha256(&pdf)));
        files.insert(format!("{}{}", printed::FOLDER, form.file), pdf);
    }
    files.insert(printed::LIST.to_string(), list.into_bytes());
    Ok(files)
}

fn typeset(form: &Form, known: &Known<'_>, program: &str) -> Result<Vec<u8>, ReportError> {
    let named = |name: &str| text::shortened(name, LONGEST_NAME);
    let ship = known.project.map(|project| named(&project.docking.ship.name));
    let dock = known.project.map(|project| named(&project.docking.dock.name));
    let title = match &ship {
        Some(ship) => format!("{}: {ship}", form.title),
        None => form.title.to_string(),
    };
    let pages = Pages {
        document: Document { title, author: program.to_string(), about: form.about },
        title: form.title,
        ship,
        dock,
        program,
        caution: cautions::SHORT,
        sheets: sheets::all(form, known),
    };
    let ident = format!("{program} {}", form.file);
    let stamp = Stamp { ident: &ident, on: EDITION, program };
    typeset_as("forms/sheets.typ", &pages, &[], &stamp)
}
