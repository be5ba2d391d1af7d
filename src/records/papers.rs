//! `papers/papers.csv` and the files beside it: papers and photographs.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::docking;
use super::entry::Entry;
use super::grammar::numbers::decimal;
use super::input::Input;
use super::language;
use super::place::Place;
use super::problem::Problem;
use super::record::record;
use super::spec::FileSpec;
use super::store::unkeepable;

/// The folder of the papers inside a project.
pub const FOLDER: &str = "papers/";

/// The sides from which a picture may have been taken, opposites side by side.
pub const DIRECTIONS: &[&str] =
    &["forward", "aft", "port", "starboard", "above", "below", "inside"];

/// Of two opposite sides a picture can't have been taken from both.
const OPPOSITES: [[&str; 2]; 3] = [["forward", "aft"], ["port", "starboard"], ["above", "below"]];

record! {
    /// A paper or photograph that the record lists.
    #[derive(Debug, Clone)]
    pub struct Paper: SPEC = "a paper or photograph" in "papers/papers.csv" {
        file: String = always("file", Text, "the file's name inside papers/"),
        kind: Option<String> = optional(
            "kind",
            Word(&["photograph", "drawing", "letter", "certificate", "log", "other"]),
            "what kind of paper it is",
        ),
        about: Vec<String> = optional(
            "about",
            AnyRefs,
            "what it is about: names separated by ;, as K12, plate:F-S.14, strake:F-S or frame:57",
        ),
        taken_at: Option<DateTime<FixedOffset>> = optional(
            "taken_at",
            Time,
            "when it was taken or written",
        ),
        by: Option<String> = optional("by", Called, "who took or wrote it"),
        caption: Option<String> = optional("caption", Text, "what it shows"),
        in_report: bool = optional("in_report", Flag, "whether the report is to show it"),
        seen_from: Vec<String> = optional(
            "seen_from",
            Words(DIRECTIONS),
            "of a picture, from which side of what it shows it was taken: from forward of it, from its \
             starboard side, from below",
        ),
        for_next_time: bool = optional(
            "for_next_time",
            Flag,
            "whether it says something to the next docking; the report prints it among what people wrote for it",
        ),
        language: Option<String> = optional(
            "language",
            Text,
            "the language of its caption by BCP 47, as de or pt-BR, if it is not English",
        ),
    }
}

impl Paper {
    /// Its path inside the project.
    pub fn path(&self) -> String {
        format!("{FOLDER}{}", self.file)
    }

    /// The frames that it is about, by their numbers.
    fn frames(&self) -> impl Iterator<Item = f64> {
        self.about.iter().filter_map(|name| decimal(name.strip_prefix("frame:")?))
    }

    /// Reports frames that lie beyond the ship.
    fn check_frames(&self, entry: &Entry, input: &mut Input<'_>) {
        for frame in self.frames() {
            let docking = input.tables(&docking::SPEC);
            let Some((x_m, foremost_m)) = docking::beyond_ship(docking, frame) else { continue };
            input.problems.add(
                Problem::new(
                    entry.place_of(&Self::about),
                    format!(
                        "lies beyond the ship: as her frames are described, its x is {x_m:.1} m"
                    ),
                )
                .value(format!("frame:{frame}"))
                .expected(format!("a frame between x 0 and her foremost point, {foremost_m:.1} m"))
                .advice("correct the number, or the frames in docking.toml"),
            );
        }
    }

    /// All papers. A name that can't be kept, and one that stands twice, is a problem.
    pub(super) fn read_all(spec: &FileSpec, input: &mut Input<'_>) -> Vec<Self> {
        let mut papers: Vec<Self> = Vec::new();
        let mut listed: BTreeMap<String, Place> = BTreeMap::new();
        for entry in input.rows(spec) {
            let Some(paper) = Self::from_entry(entry) else { continue };
            let tag = paper.language.as_deref();
            language::check(tag, entry.place_of(&Self::language), input.problems);
            if let Some(wrong) = unkeepable(&paper.file) {
                input.problems.add(
                    Problem::new(entry.place_of(&Self::file), wrong)
                        .value(paper.file.clone())
                        .expected("the path of a file inside papers/, with / between folders")
                        .advice("correct the name, and rename the file if necessary"),
                );
            }
            if let Some(other) = listed.get(&paper.file) {
                input.problems.add(
                    Problem::new(
                        entry.place_of(&Self::file),
                        format!("is already listed at {other}"),
                    )
                    .value(paper.file.clone())
                    .expected("one row for each file")
                    .advice("merge the two rows into one"),
                );
            }
            let both = |pair: &&[&str; 2]| {
                pair.iter().all(|side| paper.seen_from.iter().any(|from| from == side))
            };
            if let Some([one, other]) = OPPOSITES.iter().find(both) {
                input.problems.add(
                    Problem::new(entry.place_of(&Self::seen_from), "names opposite sides")
                        .value(paper.seen_from.join(";"))
                        .expected(format!("{one} or {other}, not both"))
                        .advice("keep the side from which it was taken"),
                );
            }
            paper.check_frames(entry, input);
            listed.entry(paper.file.clone()).or_insert_with(|| paper.place.clone());
            papers.push(paper);
        }
        papers
    }
}
