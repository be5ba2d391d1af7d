//! What is wrong with a project's files: collected from all of them, never only the first.

use std::fmt;
use std::ops::Range;

use super::characters::quoted;
use super::notes::Notes;
use super::place::Place;

/// A line as it stands in its file, without its end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Excerpt {
    /// Its number, from 1; of a sheet that of the row.
    pub line: u32,
    /// Its text; what is not UTF-8 in it as U+FFFD. Of a very long line the characters about the part
    /// that is meant.
    pub text: String,
    /// The part that is meant, in characters from 0; `None` where it is the whole line.
    pub marked: Option<Range<usize>>,
}

/// One thing that keeps a project from being read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Where it stands.
    pub place: Place,
    /// The value as it was written, where there is one.
    pub value: Option<String>,
    /// What is wrong, one sentence without a full stop.
    pub wrong: String,
    /// What would have been right.
    pub expected: String,
    /// What to do about it.
    pub advice: String,
    /// The line on which it stands; filled in when all problems are known.
    pub shown: Option<Excerpt>,
    /// How much else can't be read for it.
    pub reach: Reach,
    /// Which others have the same cause.
    pub alike: Alike,
}

/// How much depends on what is wrong; first that on which most depends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// A whole file.
    File,
    /// `docking.toml`, by which the other files are read.
    Docking,
    /// A column or key, and so its value in every row.
    Column,
    /// A name by which records refer to each other.
    Name,
    /// One row or cell.
    Cell,
}

/// Which problems have one cause, and are told in one message: of those that tell the same and give the same advice
/// but for the figures in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Alike {
    /// Those of the same column or key of a file.
    InColumn,
    /// Those of the same value, wherever it stands.
    OfValue,
    /// Those of values that are written in the same form, wherever they stand.
    OfForm,
    /// All of them, wherever they stand.
    Anywhere,
    /// Those that one answer settles, whatever each of them tells.
    SettledBy(&'static str),
}

impl Problem {
    /// A problem at a place; expectation and advice are added with the methods below. One of a file as a whole reaches
    /// all of it, any other its own cell.
    pub fn new(place: Place, wrong: impl Into<String>) -> Self {
        let reach = if place.line.is_none() { Reach::File } else { Reach::Cell };
        Self {
            place,
            value: None,
            wrong: wrong.into(),
            expected: String::new(),
            advice: String::new(),
            shown: None,
            reach,
            alike: Alike::InColumn,
        }
    }

    /// The value as written; long ones are shortened in print, so that a message stays a message.
    pub fn value(mut self, value: impl Into<String>) -> Self {
        self.value = Some(value.into());
        self
    }

    /// What would have been right.
    pub fn expected(mut self, expected: impl Into<String>) -> Self {
        self.expected = expected.into();
        self
    }

    /// How much else can't be read for it.
    pub fn reaches(mut self, reach: Reach) -> Self {
        self.reach = reach;
        self
    }

    /// Which others have the same cause.
    pub fn alike(mut self, alike: Alike) -> Self {
        self.alike = alike;
        self
    }

    /// What to do.
    pub fn advice(mut self, advice: impl Into<String>) -> Self {
        self.advice = advice.into();
        self
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.place != Place::default() {
            write!(f, "{}: ", self.place.in_words())?;
        }
        if let Some(value) = &self.value {
            write!(f, "{} ", quoted(value))?;
        }
        f.write_str(&self.wrong)?;
        if !self.expected.is_empty() {
            write!(f, "\n    expected: {}", self.expected)?;
        }
        if !self.advice.is_empty() {
            write!(f, "\n    do: {}", self.advice)?;
        }
        Ok(())
    }
}

/// As many problems are kept at the most: a column of the longest log, each of its cells wrong.
const MOST: usize = 100_000;

/// The problems found so far, and what is worth knowing beside them.
#[derive(Debug, Default)]
pub struct Problems {
    found: Vec<Problem>,
    /// How many came after the last that is kept.
    more: usize,
    warnings: Vec<Problem>,
    /// How something was read that could have been meant otherwise.
    pub notes: Notes,
    /// Whether they are of records that were closed out.
    closed_out: bool,
}

impl Problems {
    pub fn add(&mut self, problem: Problem) {
        if self.found.len() < MOST {
            self.found.push(problem);
        } else {
            self.more += 1;
        }
    }

    /// Says that what is read now was closed out, or was not.
    pub fn for_closed_out(mut self, closed_out: bool) -> Self {
        self.closed_out = closed_out;
        self
    }

    /// Adds what is refused in a project alone: in records that were closed out by a version that took it, it stays.
    /// Gives whether it was added.
    pub fn add_in_project(&mut self, problem: impl FnOnce() -> Problem) -> bool {
        if !self.closed_out {
            self.add(problem());
        }
        !self.closed_out
    }

    /// Adds what does not keep the project from being read, and ought to be known.
    pub fn warn(&mut self, warning: Problem) {
        self.warnings.push(warning);
    }

    /// Says of those from the one numbered `first` on in which row of a sheet they stand.
    pub fn place_from(&mut self, first: usize, row: impl Fn(&Place) -> Option<u32>) {
        for problem in self.found.iter_mut().skip(first) {
            problem.place.row = row(&problem.place);
        }
        self.notes.place_dates(row);
    }

    /// Takes out those from the one numbered `first` on that stand in such places.
    pub fn forget_from(&mut self, first: usize, at: impl Fn(&Place) -> bool) {
        self.found
            .extract_if(first.min(self.found.len()).., |problem| at(&problem.place))
            .for_each(drop);
    }

    /// The warnings, taken out, in the order in which they came up.
    pub fn take_warnings(&mut self) -> Vec<Problem> {
        std::mem::take(&mut self.warnings)
    }

    /// What is said of how things were read, of all files together; it stands at no place of its own.
    pub fn take_notes(&mut self) -> Vec<Problem> {
        let notes = std::mem::take(&mut self.notes);
        notes.said().into_iter().map(|said| Problem::new(Place::default(), said)).collect()
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.found.is_empty() && self.more == 0
    }

    /// How many there are; two counts tell whether a step added any.
    pub fn count(&self) -> usize {
        self.found.len() + self.more
    }

    /// Takes out those in which that is wrong.
    pub fn take(&mut self, wrong: &str) -> Vec<Problem> {
        self.found.extract_if(.., |problem| problem.wrong == wrong).collect()
    }

    /// Whether something is wrong with a file.
    pub fn concern(&self, file: &str) -> bool {
        self.found.iter().any(|problem| &*problem.place.file == file)
    }

    /// All of them by file, line and column, warnings too: they may be the cause.
    pub fn into_sorted(mut self) -> Vec<Problem> {
        if self.more > 0 {
            let last = self.found.last().map_or("docking.toml", |last| &last.place.file);
            let wrong = format!(
                "has more problems than are listed: {} more, here or in files read later",
                self.more
            );
            let rest = Problem::new(Place::file(last), wrong)
                .reaches(Reach::Cell)
                .expected(format!("fewer than {MOST} problems"))
                .advice("correct what is listed, then run again");
            self.found.push(rest);
        }
        self.found.append(&mut self.warnings);
        self.found.sort_by(|a, b| a.place.cmp(&b.place));
        self.found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_very_many_problems_the_first_are_kept_and_the_rest_counted() {
        let mut problems = Problems::default();
        for n in 0..MOST + 3 {
            assert_eq!(problems.count(), n);
            problems.add(Problem::new(Place::file("a.csv"), "is wrong"));
        }
        let found = problems.into_sorted();
        assert_eq!(found.len(), MOST + 1);
        let more = found.iter().find(|problem| problem.wrong.contains("listed: 3 more"));
        assert!(more.is_some_and(|more| &*more.place.file == "a.csv"));
    }

    #[test]
    fn problems_that_were_only_counted_keep_a_project_from_being_read() {
        let mut problems = Problems::default();
        (0..=MOST).for_each(|_| problems.add(Problem::new(Place::file("a.csv"), "is wrong")));
        assert_eq!(problems.take("is wrong").len(), MOST);
        assert!(!problems.is_empty());
        assert_eq!(problems.into_sorted().len(), 1);
    }
}
