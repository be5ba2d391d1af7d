//! Problems by what causes them: whatever one correction mends is told once, that on which most depends first.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::docking;
use super::place::Place;
use super::problem::{Alike, Problem, Reach};

/// Problems that have one cause.
#[derive(Debug)]
pub struct Cause<'a> {
    pub reach: Reach,
    /// The one that stands first.
    pub first: &'a Problem,
    /// The others, in the order in which they were given.
    pub others: Vec<&'a Problem>,
}

impl Cause<'_> {
    /// How many problems it explains.
    pub fn count(&self) -> usize {
        1 + self.others.len()
    }
}

/// Groups problems by their causes. Each is in one group; groups are in the order of what depends on them, then of
/// their first places.
pub fn group(problems: &[Problem]) -> Vec<Cause<'_>> {
    let mut causes: Vec<Cause<'_>> = Vec::new();
    let mut at: BTreeMap<Key<'_>, usize> = BTreeMap::new();
    for problem in problems {
        let reach = reach(problem);
        match at.entry(Key::of(problem)) {
            Entry::Occupied(known) => {
                let cause = &mut causes[*known.get()];
                cause.reach = cause.reach.min(reach);
                cause.others.push(problem);
            }
            Entry::Vacant(new) => {
                new.insert(causes.len());
                causes.push(Cause { reach, first: problem, others: Vec::new() });
            }
        }
    }
    causes.sort_by_key(|cause| (cause.reach, &cause.first.place));
    causes
}

/// How much depends on a problem, given the file in which it stands.
fn reach(problem: &Problem) -> Reach {
    let is_docking = &*problem.place.file == docking::SPEC.path;
    if is_docking { Reach::Docking } else { problem.reach }
}

/// What problems of one cause have in common.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Key<'a> {
    InColumn(&'a str, &'a str, [Cow<'a, str>; 3]),
    OfValue(&'a str, &'a str),
    OfForm(Cow<'a, str>, String, Cow<'a, str>),
    Anywhere(&'a str, &'a str),
    SettledBy(&'a str),
}

impl<'a> Key<'a> {
    fn of(problem: &'a Problem) -> Self {
        let Problem { place: Place { file, name, .. }, value, wrong, expected, advice, .. } =
            problem;
        let value = value.as_deref().unwrap_or_default();
        match problem.alike {
            // Keys of one name stand in several tables, and are told apart by what they hold.
            Alike::InColumn => Self::InColumn(
                file,
                name,
                [wrong, expected, advice].map(|text| without_figures(text)),
            ),
            Alike::OfValue => Self::OfValue(value, advice),
            Alike::OfForm => {
                Self::OfForm(without_figures(wrong), form(value), without_figures(advice))
            }
            Alike::Anywhere => Self::Anywhere(wrong, advice),
            Alike::SettledBy(what) => Self::SettledBy(what),
        }
    }
}

/// A text with `9` for each number in it.
fn without_figures(text: &str) -> Cow<'_, str> {
    if !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return text.into();
    }
    let mut out = String::with_capacity(text.len());
    let chars: Vec<char> = text.chars().collect();
    let is_digit = |at: usize| chars.get(at).is_some_and(char::is_ascii_digit);
    for (at, c) in chars.iter().enumerate() {
        let goes_on = at > 0
            && (is_digit(at - 1)
                || matches!(chars[at - 1], '.' | ',') && at > 1 && is_digit(at - 2));
        // A point or a comma within a number is part of it, as is a minus sign before it.
        let is_inside = matches!(c, '.' | ',') && at > 0 && is_digit(at - 1) && is_digit(at + 1);
        match (is_digit(at), is_inside) {
            (true, _) if goes_on => {}
            (true, _) => {
                if out == "-" || out.ends_with(" -") {
                    out.pop();
                }
                out.push('9');
            }
            (false, true) => {}
            (false, false) => out.push(*c),
        }
    }
    out.into()
}

/// So much of a value tells how it is written.
const LONGEST_FORM: usize = 60;

/// How a value is written, whatever it says: every run of digits as `9`, of letters as `a`, of spaces as one. A minus
/// sign before a number is left out.
fn form(value: &str) -> String {
    let mut form = String::new();
    for c in value.chars().take(LONGEST_FORM) {
        let kind = match c {
            c if c.is_ascii_digit() => '9',
            c if c.is_alphabetic() => 'a',
            c if c.is_whitespace() => ' ',
            c => c,
        };
        if kind == '9' && (form == "-" || form.ends_with(" -")) {
            form.pop();
        }
        if !(matches!(kind, '9' | 'a' | ' ') && form.ends_with(kind)) {
            form.push(kind);
        }
    }
    form
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use proptest::prelude::*;

    use super::*;

    fn cell(file: &str, line: u32, name: &str, value: &str) -> Problem {
        let place = Place::value(&file.into(), line, 1, &name.into());
        Problem::new(place, "is not a number").value(value).advice(format!("write {value}"))
    }

    fn counts(problems: &[Problem]) -> Vec<usize> {
        group(problems).iter().map(Cause::count).collect()
    }

    #[test]
    fn how_a_value_is_written_tells_one_form_from_another() {
        for (one, other) in [
            ("-0,24", "120,5"),
            ("9/17/27 7 pm PST", "10/1/27  11 am EST"),
            ("about 1350", "ca. 40".trim_matches('.')),
        ] {
            assert_eq!(form(one) == form(other), !other.contains("ca."), "{one} {other}");
        }
        assert_ne!(form("24,30"), form("1,200,000"));
        assert_eq!(without_figures("write -24.30, or 1,200"), "write 9, or 9");
        assert_eq!(without_figures("at plan/blocks.csv:13:1."), "at plan/blocks.csv:9:9.");
    }

    #[test]
    fn a_column_a_value_a_form_and_an_answer_are_causes() {
        let comma = |file, line| cell(file, line, "x_m", &format!("{line},5"));
        assert_eq!(counts(&[comma("a.csv", 2), comma("a.csv", 3), comma("b.csv", 2)]), [2, 1]);
        let of_form = |file, line| comma(file, line).alike(Alike::OfForm);
        assert_eq!(counts(&[of_form("a.csv", 2), of_form("b.csv", 9)]), [2]);
        let named = |file, value: &str| {
            cell(file, 2, "block", value).advice("correct the name").alike(Alike::OfValue)
        };
        assert_eq!(
            counts(&[named("a.csv", "K9"), named("b.csv", "K9"), named("b.csv", "K8")]),
            [2, 1]
        );
        let asked = |file, wrong: &str| Problem {
            wrong: wrong.to_string(),
            ..cell(file, 2, "at", "x").alike(Alike::SettledBy("dates"))
        };
        assert_eq!(counts(&[asked("a.csv", "may be one"), asked("b.csv", "may be another")]), [2]);
    }

    #[test]
    fn what_most_depends_on_comes_first() {
        let problems = [
            cell("a.csv", 2, "x_m", "x"),
            cell("b.csv", 2, "block", "K9").reaches(Reach::Name),
            cell("c.csv", 1, "header", "x_furlong").reaches(Reach::Column),
            cell("docking.toml", 9, "breadth_m", "x"),
            Problem::new(Place::file("z.csv"), "can't be read"),
        ];
        let causes = group(&problems);
        let files: Vec<&str> = causes.iter().map(|cause| &*cause.first.place.file).collect();
        assert_eq!(files, ["z.csv", "docking.toml", "c.csv", "b.csv", "a.csv"]);
    }

    proptest! {
        /// Each problem is told under one cause, and no two causes have one key.
        #[test]
        fn grouping_loses_nothing(
            cells in prop::collection::vec(
                (0..4_u8, 0..3_u8, 0..3_u8, "[-0-9a-z,.' ]{0,6}", 0..5_u8, 0..5_u8), 0..60)
        ) {
            let problems: Vec<Problem> = cells
                .iter()
                .zip(1..)
                .map(|((file, name, wrong, value, alike, reach), line)| {
                    let alike = [
                        Alike::InColumn,
                        Alike::OfValue,
                        Alike::OfForm,
                        Alike::Anywhere,
                        Alike::SettledBy("dates"),
                    ][usize::from(*alike)];
                    let reach =
                        [Reach::File, Reach::Docking, Reach::Column, Reach::Name, Reach::Cell]
                            [usize::from(*reach)];
                    let problem = cell(&format!("{file}.csv"), line, &name.to_string(), value);
                    Problem { wrong: format!("is wrong {wrong}"), ..problem }
                        .alike(alike)
                        .reaches(reach)
                })
                .collect();
            let causes = group(&problems);
            prop_assert_eq!(causes.iter().map(Cause::count).sum::<usize>(), problems.len());
            let told: BTreeSet<u32> = causes
                .iter()
                .flat_map(|cause| std::iter::once(&cause.first).chain(&cause.others))
                .filter_map(|problem| problem.place.line)
                .collect();
            prop_assert_eq!(told.len(), problems.len());
            prop_assert!(causes.is_sorted_by_key(|cause| cause.reach));
        }
    }
}
