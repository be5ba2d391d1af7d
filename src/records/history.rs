//! `history/`: the ship's earlier dockings, each with the records that its bundle kept.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::Project;
use super::entry::Entry;
use super::input::Input;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::record::{record, words};
use super::spec::{FileSpec, Kind};
use super::store::Within;

/// The folder of the earlier dockings inside a project.
pub const FOLDER: &str = "history/";

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
    /// An earlier docking.
    #[derive(Debug)]
    pub struct Past: SPEC = "an earlier docking, the oldest first" in "history/dockings.csv" {
        name: String = always("docking", Id(Kind::Docking), "its name, and that of its folder"),
        bundle: String = always("bundle", Text, "the bundle that its records were taken from"),
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
        /// Its records. They have no history of their own, and no papers.
        project: Project,
    }
}

impl Past {
    /// Where one of its records stands in the project that holds it.
    pub fn whole_place(&self, place: &Place) -> Place {
        within(&folder_of(&self.name), place)
    }

    /// Reads every earlier docking. Whatever is wrong with one goes to `problems` with its whole path.
    pub(super) fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        let folders: BTreeSet<&str> =
            input.store.sizes().keys().filter_map(|path| docking_of(path)).collect();
        // A row with a problem was left out, and its folder would seem to have none.
        if !input.problems.concern(spec.path) {
            let names = input.rows(spec).filter_map(|row| row.get(&Self::name));
            let listed: BTreeSet<String> = names.collect();
            for folder in folders.iter().filter(|folder| !listed.contains(**folder)) {
                input.problems.add(not_listed(folder));
            }
        }
        let mut past: Vec<Self> = Vec::new();
        for row in input.rows(spec) {
            let found = Self::read(row, &folders, input);
            if let (Some(earlier), Some(found)) = (past.last(), &found) {
                in_order(earlier, found, row, input.problems);
            }
            past.extend(found);
        }
        past
    }

    fn read(row: &Entry, folders: &BTreeSet<&str>, input: &mut Input<'_>) -> Option<Self> {
        let name: String = row.get(&Self::name)?;
        let seal = seal(row, input.problems);
        let damage: Option<String> = row.get(&Self::damage);
        if let (Found::Whole, Some(damage)) = (row.get(&Self::fixity)?, damage) {
            input.problems.add(
                Problem::new(
                    row.place_of(&Self::damage),
                    "says what was wrong with a whole bundle",
                )
                .value(damage)
                .expected("no damage, or damaged in the column fixity")
                .advice("correct one of the two"),
            );
        }
        let folder = folder_of(&name);
        if !folders.contains(name.as_str()) {
            input.problems.add(
                Problem::new(row.place_of(&Self::name), format!("has no folder {folder}"))
                    .value(name)
                    .expected(
                        "that docking's records in it, as its bundle keeps them in data/records",
                    )
                    .advice("put them there, or take the row out"),
            );
            return None;
        }
        let inside = Within::new(input.store, &folder, FOLDER);
        if input.store.sizes().keys().any(|path| inside.leaves_out(path)) {
            let place = Place::file(&format!("{folder}{FOLDER}"));
            input.problems.add(
                Problem::new(place, "is the history of a docking that is itself history")
                    .expected(
                        "every earlier docking in history/, with a row in history/dockings.csv",
                    )
                    .advice("move its folders and its rows there"),
            );
        }
        match super::read_within(input.budget, &inside, Problems::default()) {
            Ok(project) => Self::from_entry(row, seal, project),
            Err(found) => {
                for problem in found {
                    let place = within(&folder, &problem.place);
                    input.problems.add(Problem { place, ..problem });
                }
                None
            }
        }
    }
}

/// First and last day of a docking: as its period states them, else by the times of its positions.
pub fn days(project: &Project) -> (Option<NaiveDate>, Option<NaiveDate>) {
    let times = || {
        let each = project.positions.iter().flat_map(|position| position.times.in_order());
        each.filter_map(|(_, at): (_, Option<DateTime<FixedOffset>>)| Some(at?.date_naive()))
    };
    let (began, ended) = project.docking.period;
    (began.or_else(|| times().min()), ended.or_else(|| times().max()))
}

/// Whether a file is a record of an earlier docking.
pub fn is_record(path: &str) -> bool {
    docking_of(path).is_some()
}

/// The name of the earlier docking whose folder a file lies in.
fn docking_of(path: &str) -> Option<&str> {
    path.strip_prefix(FOLDER)?.split_once('/').map(|(name, _)| name)
}

fn folder_of(name: &str) -> String {
    format!("{FOLDER}{name}/")
}

fn within(folder: &str, place: &Place) -> Place {
    Place { file: format!("{folder}{}", place.file).into(), ..place.clone() }
}

/// The seal without the spaces between its groups.
fn seal(row: &Entry, problems: &mut Problems) -> Option<String> {
    let written: String = row.get(&Past::written_seal)?;
    let seal: String = written.split_whitespace().collect::<String>().to_lowercase();
    if seal.len() == 64 && seal.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        return Some(seal);
    }
    problems.add(
        Problem::new(row.place_of(&Past::written_seal), "is no seal")
            .value(written)
            .expected("64 hexadecimal digits, with or without spaces between them")
            .advice("copy it from the paper or the file that has the bundle's seal"),
    );
    None
}

fn not_listed(folder: &str) -> Problem {
    Problem::new(Place::file(&folder_of(folder)), "is a docking that history/dockings.csv lacks")
        .expected("a row for each folder in history/")
        .advice("add the row, or take the folder out")
}

/// Rows go from the oldest docking to the newest, as far as their days are recorded.
fn in_order(earlier: &Past, later: &Past, row: &Entry, problems: &mut Problems) {
    let (Some(ended), Some(began)) = (days(&earlier.project).1, days(&later.project).0) else {
        return;
    };
    if began < ended {
        problems.add(
            Problem::new(
                row.place_of(&Past::name),
                format!("began on {began}, and {} above it ended on {ended}", earlier.name),
            )
            .value(later.name.clone())
            .expected("the oldest docking first")
            .advice("put the rows in order of time"),
        );
    }
}

#[cfg(test)]
mod tests;
