//! A supplement's folder, blank: what it supplements is filled in, and the tables that it is likely to need have their
//! header rows.

use std::collections::BTreeMap;

use super::blank::{self, House};
use super::folder::{Content, Place};
use crate::bundle::digest::in_fours;
use crate::bundle::error::BundleError;
use crate::records::{Project, errata, papers, plating, repairs, supplement};

/// What a new supplement follows: a name and a seal each.
#[derive(Debug)]
pub struct Follows<'a> {
    /// The bundle or supplement before it.
    pub parent: (&'a str, &'a str),
    /// The bundle with which the line begins.
    pub first: (&'a str, &'a str),
    /// A name for it that none before it has.
    pub name: String,
}

/// Writes the folder, whole or not at all; gives its files.
pub fn start(
    place: &Place,
    follows: &Follows<'_>,
    project: &Project,
) -> Result<Vec<String>, BundleError> {
    let docking = &project.docking;
    let house = House { units: docking.units, is_asked: false, paper: docking.paper };
    let errata_header = errata::SPEC.columns.iter().map(|column| column.name);
    let mut files = BTreeMap::from([
        (supplement::PATH.to_string(), form(follows)),
        (errata::SPEC.path.to_string(), line(errata_header)),
    ]);
    for spec in [&plating::SPEC, &plating::ANODES_SPEC, &repairs::SPEC, &papers::SPEC] {
        let headings = blank::headings(spec, house, Some(project));
        files.insert(spec.path.to_string(), line(headings.iter().map(String::as_str)));
    }
    let names = files.keys().cloned().collect();
    let contents = files.into_iter().map(|(path, text)| (path, Content::Bytes(text.into_bytes())));
    place.fill(&contents.collect())?;
    Ok(names)
}

fn line<'a>(names: impl Iterator<Item = &'a str>) -> String {
    names.collect::<Vec<_>>().join(",") + "\n"
}

fn form(follows: &Follows<'_>) -> String {
    let sealed = |table: &str, (name, seal): (&str, &str)| {
        format!("[{table}]\nname = \"{name}\"\nseal = \"{}\"\n", in_fours(seal))
    };
    format!(
        "format = 1\n\n\
         # Fill in who makes this supplement, on what day (take away the # before it), and in a sentence what it brings.\n\
         [supplement]\nname = \"{}\"\nmade_by = \"\"\n# made_on = 2034-06-12\nabout = \"\"\n\n\
         # What it supplements, by seal. The program wrote these two tables; leave them as they are.\n{}\n{}\n\
         # errata.csv: one row for each value of the record that is wrong: where it stands, what stands there, what is\n\
         # right, who says so, on what day, on what ground.\n\
         # hull/, papers/: tables with the columns of the record, for what was found or done since. Any other CSV file of\n\
         # the record's format may stand here by its path. Tables without a row are left out of the supplement.\n",
        follows.name,
        sealed("parent", follows.parent),
        sealed("first", follows.first),
    )
}
