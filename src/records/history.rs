//! `history/`: the ship's earlier dockings, each with the records that its bundle kept.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::Project;
use super::budget::Budget;
use super::entry::Entry;
use super::place::Place;
use super::problem::{Problem, Problems};
use super::sheet::Sheet;
use super::spec::{Column, FileSpec, Holds, Kind};
use super::store::{Store, Within};

/// The folder of the earlier dockings inside a project.
pub const FOLDER: &str = "history/";

/// What `history/dockings.csv` holds.
pub static SPEC: FileSpec = FileSpec {
    path: "history/dockings.csv",
    row_is: "an earlier docking, the oldest first",
    example: include_str!("../../templates/example/history/dockings.csv"),
    columns: &[
        Column::always("docking", Holds::Id(Kind::Docking), "its name, and that of its folder"),
        Column::always("bundle", Holds::Text, "the bundle that its records were taken from"),
        Column::optional(
            "seal",
            Holds::Text,
            "that bundle's seal, 64 hexadecimal digits; empty if it was lost",
        ),
        Column::always(
            "fixity",
            Holds::Word(&["whole", "damaged"]),
            "how the bundle was found when its records were taken from it",
        ),
        Column::optional("damage", Holds::Text, "what was wrong with it"),
    ],
};

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

/// How a bundle was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Found {
    /// Every file was what its manifests say.
    Whole,
    /// Something in it was not.
    Damaged,
}

/// An earlier docking.
#[derive(Debug)]
pub struct Past {
    /// Its name, and that of its folder.
    pub name: String,
    /// The bundle that its records were taken from.
    pub bundle: String,
    /// That bundle's seal: 64 hexadecimal digits in lower case.
    pub seal: Option<String>,
    /// How the bundle was found then.
    pub fixity: Found,
    /// What was wrong with it.
    pub damage: Option<String>,
    /// Its records. They have no history of their own, and no papers.
    pub project: Project,
    /// Its row in the file.
    pub place: Place,
}

impl Past {
    /// Where one of its records stands in the project that holds it.
    pub fn whole_place(&self, place: &Place) -> Place {
        within(&folder_of(&self.name), place)
    }

    /// Reads every earlier docking. Whatever is wrong with one goes to `problems` with its whole path.
    pub(super) fn read_all(
        sheet: Option<&Sheet>,
        store: &dyn Store,
        budget: &mut Budget,
        problems: &mut Problems,
    ) -> Vec<Self> {
        let rows = || sheet.into_iter().flat_map(|sheet| &sheet.entries);
        let folders: BTreeSet<&str> = store.sizes().keys().filter_map(|p| docking_of(p)).collect();
        // A row with a problem was left out, and its folder would seem to have none.
        if !problems.concern(SPEC.path) {
            let listed: BTreeSet<String> = rows().filter_map(|row| row.text("docking")).collect();
            for folder in folders.iter().filter(|folder| !listed.contains(**folder)) {
                problems.add(not_listed(folder));
            }
        }
        let mut past: Vec<Self> = Vec::new();
        for row in rows() {
            let found = Self::read(row, &folders, store, budget, problems);
            if let (Some(earlier), Some(found)) = (past.last(), &found) {
                in_order(earlier, found, row, problems);
            }
            past.extend(found);
        }
        past
    }

    fn read(
        row: &Entry,
        folders: &BTreeSet<&str>,
        store: &dyn Store,
        budget: &mut Budget,
        problems: &mut Problems,
    ) -> Option<Self> {
        let name = row.text("docking")?;
        let seal = seal(row, problems);
        let fixity = match row.text("fixity")?.as_str() {
            "whole" => Found::Whole,
            _ => Found::Damaged,
        };
        let damage = row.text("damage");
        if let (Found::Whole, Some(damage)) = (fixity, &damage) {
            problems.add(
                Problem::new(row.place_of("damage"), "says what was wrong with a whole bundle")
                    .value(damage.clone())
                    .expected("no damage, or damaged in the column fixity")
                    .advice("correct one of the two"),
            );
        }
        let folder = folder_of(&name);
        if !folders.contains(name.as_str()) {
            problems.add(
                Problem::new(row.place_of("docking"), format!("has no folder {folder}"))
                    .value(name)
                    .expected(
                        "that docking's records in it, as its bundle keeps them in data/records",
                    )
                    .advice("put them there, or take the row out"),
            );
            return None;
        }
        let inside = Within::new(store, &folder, FOLDER);
        if store.sizes().keys().any(|path| inside.leaves_out(path)) {
            let place = Place::file(&format!("{folder}{FOLDER}"));
            problems.add(
                Problem::new(place, "is the history of a docking that is itself history")
                    .expected(
                        "every earlier docking in history/, with a row in history/dockings.csv",
                    )
                    .advice("move its folders and its rows there"),
            );
        }
        match super::read_within(budget, &inside, Problems::default()) {
            Ok(project) => Some(Self {
                name,
                bundle: row.text("bundle")?,
                seal,
                fixity,
                damage,
                project,
                place: row.place.clone(),
            }),
            Err(found) => {
                for problem in found {
                    let place = within(&folder, &problem.place);
                    problems.add(Problem { place, ..problem });
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
    let written = row.text("seal")?;
    let seal: String = written.split_whitespace().collect::<String>().to_lowercase();
    if seal.len() == 64 && seal.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        return Some(seal);
    }
    problems.add(
        Problem::new(row.place_of("seal"), "is no seal")
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
                row.place_of("docking"),
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
