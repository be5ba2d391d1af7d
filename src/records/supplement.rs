//! `supplement.toml`: what a supplement is, and by their seals what it supplements.

use chrono::NaiveDate;

use super::budget::Budget;
use super::docking::{self, FORMAT_KEY};
use super::entry::Entry;
use super::errata::{self, Erratum};
use super::grammar::orders::Calendar;
use super::history::seal;
use super::keyed::{self, Keyed, KeyedSpec};
use super::place::Place;
use super::problem::{Problem, Problems};
use super::record::record;
use super::spec::{Stands, TableSpec};
use super::store::{self, Store, unfit, unkeepable};

/// The file that makes a folder a supplement's.
pub const PATH: &str = "supplement.toml";

/// What `supplement.toml` may hold.
pub static SPEC: KeyedSpec = KeyedSpec {
    path: PATH,
    example: include_str!("../../templates/supplement/supplement.toml"),
    top: TableSpec {
        name: "",
        meaning: "the version of the format",
        stands: Stands::Once,
        keys: &[FORMAT_KEY],
        most: usize::MAX,
    },
    tables: &[ABOUT, PARENT, FIRST],
};

record! {
    /// A supplement as it tells of itself.
    #[derive(Debug, Clone)]
    pub struct About: ABOUT = [supplement] "the supplement" {
        name: String = always("name", Name, "name of the supplement and its folder, not that of another"),
        made_by: String = always("made_by", Called, "who made it"),
        made_on: NaiveDate = always("made_on", Date, "the day on which it was made"),
        about: String = always("about", Text, "what it brings, in a sentence"),
    }
}

record! {
    /// A bundle or supplement by its name and seal.
    #[derive(Debug, Clone)]
    pub struct Sealed: PARENT = [parent] "the bundle or supplement that it supplements" {
        name: String = always("name", Name, "its name"),
        written_seal = always("seal", Text, "its seal: 64 hexadecimal digits, with or without spaces"),
    }
    with {
        /// The seal in lower case, without spaces.
        seal: String,
    }
}

const FIRST: TableSpec = TableSpec {
    name: "first",
    meaning: "the bundle with which the line of supplements begins; the same as [parent] in the first of them",
    ..PARENT
};

/// What `supplement.toml` says.
#[derive(Debug, Clone)]
pub struct Stated {
    /// Of the supplement itself.
    pub about: About,
    /// What it supplements.
    pub parent: Sealed,
    /// The bundle with which the line begins.
    pub first: Sealed,
}

impl Stated {
    /// Reads it; `None` with a problem where it does not say everything.
    pub(super) fn read(keyed: &Keyed, problems: &mut Problems) -> Option<Self> {
        docking::check_format(keyed, problems);
        for table in [ABOUT, PARENT, FIRST] {
            if keyed.single(table.name).is_none() && keyed.is_sound(table.name) {
                let keys: Vec<&str> = table.keys.iter().map(|key| key.name).collect();
                problems.add(
                    Problem::new(Place::file(PATH), format!("has no table [{}]", table.name))
                        .expected(format!(
                            "a table [{}] with {}: {}",
                            table.name,
                            keys.join(", "),
                            table.meaning
                        ))
                        .advice("add it; lastdock supplement writes the tables with seals into a new folder"),
                );
            }
        }
        let mut sealed = |table: TableSpec| {
            let entry = keyed.single(table.name)?;
            Sealed::from_entry(entry, seal(entry, &Sealed::written_seal, problems)?)
        };
        let (parent, first) = (sealed(PARENT), sealed(FIRST));
        let about = keyed.single(ABOUT.name).and_then(|entry| About::read(entry, problems));
        Some(Self { about: about?, parent: parent?, first: first? })
    }
}

/// Reads `supplement.toml`; `None` with a problem where it does not say everything.
pub(super) fn read(from: &dyn Store, problems: &mut Problems) -> Option<Stated> {
    let path = PATH;
    if !from.sizes().contains_key(path) {
        problems.add(
            Problem::new(Place::file(path), "is missing")
                .expected("supplement.toml in the supplement's folder")
                .advice("name the supplement's folder, or have lastdock supplement make a new one"),
        );
        return None;
    }
    match from.read(path) {
        Ok(bytes) if Budget::allows_toml(path, &bytes, problems) => {
            let keyed = keyed::read(&SPEC, &bytes, &Calendar::default(), problems);
            Stated::read(&keyed, problems)
        }
        Ok(_) => None,
        Err(error) => {
            problems.add(store::unreadable(path, &error.to_string()));
            None
        }
    }
}

/// What a supplement says of itself and of what it supplements, read alone.
pub fn stated(from: &dyn Store) -> Result<Stated, Vec<Problem>> {
    let mut problems = Problems::default();
    let stated = read(from, &mut problems);
    stated.filter(|_| problems.is_empty()).ok_or_else(|| problems.into_sorted())
}

/// A supplement that lies beside an earlier docking's records, read alone: its errata were held against these when it was
/// made, and its bundle proved them.
#[derive(Debug, Clone)]
pub struct KeptSupplement {
    pub stated: Stated,
    pub errata: Vec<Erratum>,
}

impl KeptSupplement {
    /// Reads one.
    pub(super) fn read(from: &dyn Store) -> Result<Self, Vec<Problem>> {
        let mut problems = Problems::default();
        let (stated, errata) = (read(from, &mut problems), errata::read(from, &mut problems));
        let kept = stated.map(|stated| Self { stated, errata });
        kept.filter(|_| problems.is_empty()).ok_or_else(|| problems.into_sorted())
    }
}

impl About {
    fn read(entry: &Entry, problems: &mut Problems) -> Option<Self> {
        let about = Self::from_entry(entry)?;
        let name = &about.name;
        if let Some(wrong) = unkeepable(name).or_else(|| unfit(name)) {
            problems.add(
                Problem::new(entry.place_of(&Self::name), wrong)
                    .value(name.clone())
                    .expected("a name that every system and tool accepts")
                    .advice("give the supplement another name"),
            );
        }
        Some(about)
    }
}
