//! How dates and names were read that could have been meant otherwise: noted file by file, said once for all files.

use std::collections::{BTreeMap, BTreeSet};

use super::characters::quoted;
use super::place::Place;

/// What settles in which order the dates of a file are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SettledBy {
    /// `[period]` states it, in this word.
    Stated(&'static str),
    /// A date is no day in the other order.
    NoDay,
    /// A date would not be in the docking in the other order.
    NotInDocking,
}

/// A value that decided, and where it stands; of what is stated the file for which it holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Deciding {
    pub place: Place,
    pub text: Option<String>,
}

/// How often a name was read as another, and where first.
#[derive(Debug)]
struct Times {
    count: usize,
    first: Place,
}

/// What was noted so far.
#[derive(Debug, Default)]
pub struct Notes {
    /// By the form in which dates are read, such as `month/day/year`: what settled it in which files.
    dates: BTreeMap<String, BTreeMap<SettledBy, Vec<Deciding>>>,
    /// By a name as written and as it was read.
    names: BTreeMap<(String, String), Times>,
    /// In how many cells of a file names were read as others.
    files: BTreeMap<String, usize>,
}

/// Of names that were read as others, how many are named.
const NAMES_SHOWN: usize = 3;

impl Notes {
    /// Takes note of the form in which the dates of a file are read.
    pub fn dates_read(&mut self, form: String, by: SettledBy, deciding: Deciding) {
        self.dates.entry(form).or_default().entry(by).or_default().push(deciding);
    }

    /// Takes note that a name was read as a known one.
    pub fn read_as(&mut self, place: &Place, written: &str, name: &str) {
        let key = (written.to_string(), name.to_string());
        let first = || Times { count: 0, first: place.clone() };
        self.names.entry(key).or_insert_with(first).count += 1;
        *self.files.entry(place.sheet_or_file().into_owned()).or_default() += 1;
    }

    /// Says of dates that decided in which row of a sheet they stand.
    pub fn place_dates(&mut self, row: impl Fn(&Place) -> Option<u32>) {
        let all = self.dates.values_mut().flat_map(BTreeMap::values_mut).flatten();
        all.filter(|deciding| deciding.place.row.is_none())
            .for_each(|deciding| deciding.place.row = row(&deciding.place));
    }

    /// What is said of all files together: of the dates for each form in which they are read, and of the names.
    pub fn said(&self) -> Vec<String> {
        let dates = self.dates.iter().map(|(form, by)| {
            let groups: Vec<String> = by.iter().map(|(by, files)| group(*by, files)).collect();
            format!("dates are read as {form} {}", groups.join("; and "))
        });
        dates.chain(self.names_said()).collect()
    }

    fn names_said(&self) -> Option<String> {
        if self.names.is_empty() {
            return None;
        }
        let one = |((written, name), Times { count, first }): (&(String, String), &Times)| {
            let places = match count {
                1 => format!("at {first}"),
                n => format!("in {n} places, the first at {first}"),
            };
            format!("{} as {name} ({places})", quoted(written))
        };
        let mut shown: Vec<String> = self.names.iter().take(NAMES_SHOWN).map(one).collect();
        match self.names.len().saturating_sub(NAMES_SHOWN) {
            0 => {}
            1 => shown.push("and 1 more name".to_string()),
            more => shown.push(format!("and {more} more names")),
        }
        let files = match self.files.len() {
            0 | 1 => String::new(),
            n => {
                let all: Vec<String> =
                    self.files.iter().map(|(file, count)| format!("{file} ({count})")).collect();
                format!("; in {n} files, with so many cells of each: {}", all.join(", "))
            }
        };
        Some(format!(
            "names that differ from a known one by capital letters or leading zeros alone are read as that: {}{files}",
            shown.join(", ")
        ))
    }
}

/// The files in which one and the same thing settles the order.
fn group(by: SettledBy, files: &[Deciding]) -> String {
    let count = files.iter().map(|one| &one.place.file).collect::<BTreeSet<_>>().len();
    let (in_files, each) = match count {
        1 => ("in 1 file".to_string(), ""),
        n => (format!("in {n} files"), "each "),
    };
    let why = match by {
        SettledBy::Stated(word) => format!("as [period] dates = \"{word}\" states"),
        SettledBy::NoDay => format!("{each}settled by a date that can't be read otherwise"),
        SettledBy::NotInDocking => {
            format!("{each}settled by a date that would lie outside the docking otherwise")
        }
    };
    let place = |(at, one): (usize, &Deciding)| {
        let place = Place { name: "".into(), ..one.place.clone() };
        match one.text.as_deref().filter(|_| at == 0) {
            Some(text) => format!("{place} ({})", quoted(text)),
            None => place.to_string(),
        }
    };
    let places: Vec<String> = files.iter().enumerate().map(place).collect();
    format!("{in_files}, {why}: {}", places.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(file: &str, line: u32) -> Place {
        Place::value(&file.into(), line, 1, &"at".into())
    }

    fn deciding(file: &str, line: u32, text: &str) -> Deciding {
        Deciding { place: place(file, line), text: Some(text.to_string()) }
    }

    #[test]
    fn dates_are_told_once_for_all_files_by_what_settled_them() {
        let mut notes = Notes::default();
        let form = || "month/day/year".to_string();
        notes.dates_read(form(), SettledBy::NoDay, deciding("a.csv", 3, "9/17/2027"));
        assert_eq!(
            notes.said(),
            [
                "dates are read as month/day/year in 1 file, settled by a date that can't be read otherwise: \
                 a.csv:3:1 (\"9/17/2027\")"
            ]
        );
        notes.dates_read(form(), SettledBy::NotInDocking, deciding("b.csv", 2, "9/9/2027"));
        notes.dates_read(form(), SettledBy::NoDay, deciding("plan/blocks.csv", 5, "9/18/2027"));
        let stated = Deciding { place: Place::file("c.csv"), text: None };
        notes.dates_read("day.month.year".to_string(), SettledBy::Stated("d/m/y"), stated);
        notes.place_dates(|place| (&*place.file == "plan/blocks.csv").then_some(7));
        assert_eq!(
            notes.said(),
            [
                "dates are read as day.month.year in 1 file, as [period] dates = \"d/m/y\" states: c.csv",
                "dates are read as month/day/year in 2 files, each settled by a date that can't be read otherwise: \
                 a.csv:3:1 (\"9/17/2027\"), plan-blocks!A7; and in 1 file, settled by a date that would lie outside \
                 the docking otherwise: b.csv:2:1 (\"9/9/2027\")"
            ]
        );
    }

    #[test]
    fn names_are_told_once_for_all_files_with_how_many_cells_of_each() {
        let mut notes = Notes::default();
        notes.read_as(&place("a.csv", 2), "p2", "P2");
        assert_eq!(
            notes.said(),
            [
                "names that differ from a known one by capital letters or leading zeros alone are read as that: \"p2\" \
                 as P2 (at a.csv:2:1 (at))"
            ]
        );
        notes.read_as(&place("b.csv", 9), "p2", "P2");
        for (line, written) in [(3, "k01"), (4, "k02"), (5, "k03")] {
            notes.read_as(&place("a.csv", line), written, &written.replace("k0", "K"));
        }
        assert_eq!(
            notes.said(),
            [
                "names that differ from a known one by capital letters or leading zeros alone are read as that: \
                 \"k01\" as K1 (at a.csv:3:1 (at)), \"k02\" as K2 (at a.csv:4:1 (at)), \"k03\" as K3 (at a.csv:5:1 \
                 (at)), and 1 more name; in 2 files, with so many cells of each: a.csv (4), b.csv (1)"
            ]
        );
    }
}
