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
         # Fill in who makes this supplement, on what day (take away the # before it), and what it brings.\n\
         [supplement]\nname = \"{}\"\nmade_by = \"\"\n# made_on = 2034-06-12\nabout = \"\"\n\n\
         # What it supplements, by seal. The program wrote these two tables; leave them as they are.\n{}\n{}\n\
         # errata.csv has one row for each value of the record that is wrong:\n\
         #   erratum  a name for the row, such as E1\n\
         #   of       empty if the bundle's record is wrong; else the name of the supplement whose record is\n\
         #   file     the file below data/records/, such as plan/blocks.csv or docking.toml\n\
         #   row      in a CSV file what stands in its first column, such as K23; in a TOML file the table, such as\n\
         #            ship, or of several its name behind a point, such as product.P1\n\
         #   line     or the line on which the row or table begins, where row names none or several\n\
         #   column   the heading or key, as the file writes it\n\
         #   stands   what stands there; empty if nothing does\n\
         #   right    what is right, in the heading's unit; empty if the value is withdrawn\n\
         #   by, on, ground   who says so, on what day (2034-06-10), and why\n\
         # hull/ and papers/ have the tables that are most likely to be needed, with the columns of the record, for\n\
         # what was found or done since. Any other CSV file of the record's format may stand here by its path. A row\n\
         # about a block, anode or other thing of that name takes the older row's place. Tables without a row are\n\
         # left out of the supplement.\n",
        follows.name,
        sealed("parent", follows.parent),
        sealed("first", follows.first),
    )
}
