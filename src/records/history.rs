//! `history/`: the ship's earlier dockings, each with the records that its bundle kept.

use super::entry::Entry;
use super::problem::{Problem, Problems};
use super::record::{record, words};
use super::spec::{Column, Kind};

/// The folder of the earlier dockings inside a project.
pub const FOLDER: &str = "history/";

/// The folder, inside that of an earlier docking, of the supplements to its bundle.
pub const SUPPLEMENTS: &str = "supplements/";

/// The records of the examples' earlier docking, by their paths in the project.
pub const EXAMPLE: &[(&str, &str)] = &[
    (
        "history/fenwhin-2006/docking.toml",
        include_str!("../../templates/example/history/fenwhin-2006/docking.toml"),
    ),
    (
        "history/fenwhin-2006/plan/blocks.csv",
        include_str!("../../templates/example/history/fenwhin-2006/plan/blocks.csv"),
    ),
    (
        "history/fenwhin-2006/positions/positions.csv",
        include_str!("../../templates/example/history/fenwhin-2006/positions/positions.csv"),
    ),
];

words! {
    /// How a bundle was found.
    pub enum Found {
        /// Every file was what its manifests say.
        Whole = "whole",
        /// Something in it was not.
        Damaged = "damaged",
    }
}

record! {
    /// Where the records of an earlier docking come from.
    #[derive(Debug, Clone)]
    pub struct Source: SPEC = "an earlier docking, the oldest first" in "history/dockings.csv", at most 100 {
        name: String = always("docking", Id(Kind::Docking), "its name, and that of its folder"),
        bundle: String = always("bundle", Text, "the bundle from which its records were taken"),
        written_seal = optional(
            "seal",
            Text,
            "that bundle's seal, 64 hexadecimal digits; empty if it was lost",
        ),
        fixity: Found = always(
            "fixity",
            Word(Found::WORDS),
            "how the bundle was found when its records were taken from it",
        ),
        damage: Option<String> = optional("damage", Text, "what was wrong with it"),
    }
    with {
        /// That bundle's seal: 64 hexadecimal digits in lower case.
        seal: Option<String>,
    }
}

impl Source {
    /// The folder that holds the records.
    pub fn folder(&self) -> String {
        folder_of(&self.name)
    }

    /// Reads a row; contradictions in it go to `problems`.
    pub(super) fn read(row: &Entry, problems: &mut Problems) -> Option<Self> {
        let seal = seal(row, &Self::written_seal, problems);
        let damage: Option<String> = row.get(&Self::damage);
        if let (Found::Whole, Some(damage)) = (row.get(&Self::fixity)?, damage) {
            problems.add(
                Problem::new(
                    row.place_of(&Self::damage),
                    "describes damage to a bundle that was whole",
                )
                .value(damage)
                .expected("no damage here, or damaged in the column fixity")
                .advice("correct one of the two"),
            );
        }
        Self::from_entry(row, seal)
    }
}

/// Whether a file is a record of an earlier docking.
pub fn is_record(path: &str) -> bool {
    docking_of(path).is_some()
}

/// The name of the earlier docking whose folder a file lies in.
pub(super) fn docking_of(path: &str) -> Option<&str> {
    path.strip_prefix(FOLDER)?.split_once('/').map(|(name, _)| name)
}

pub(super) fn folder_of(name: &str) -> String {
    format!("{FOLDER}{name}/")
}

/// The seal that stands in a column, without the spaces between its groups.
pub(super) fn seal(row: &Entry, column: &Column, problems: &mut Problems) -> Option<String> {
    let written: String = row.get(column)?;
    let seal: String = written.split_whitespace().collect::<String>().to_lowercase();
    if seal.len() == 64 && seal.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        return Some(seal);
    }
    problems.add(
        Problem::new(row.place_of(column), "is not a seal")
            .value(written)
            .expected("64 hexadecimal digits, with or without spaces")
            .advice("copy it from the paper or file that states the bundle's seal"),
    );
    None
}
