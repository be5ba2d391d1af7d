//! How the steel was prepared before each application whose coat asks for it: the worst of the readings
//! that count, against what was asked.

use serde::Serialize;

use super::{outcome, scheme};
use crate::calc::preparation::{Grade, at_least};
use crate::findings::Examined;
use crate::findings::recomputed::coating::preparation::Prepared;
use crate::records::preparation::Preparation;
use crate::report::legible::Narrow;
use crate::report::text;
use crate::units::nine_digits;

/// The applications that require the same surface preparation.
#[derive(Serialize)]
pub(super) struct Group {
    asked: String,
    rows: Vec<Row>,
}

#[derive(Serialize)]
struct Row {
    name: Narrow,
    checks: String,
    grade: Option<Narrow>,
    profile: Option<String>,
    salts: Option<String>,
    dust: Option<String>,
    age: Option<String>,
    uncovered: Option<String>,
    outcomes: Vec<(&'static str, &'static str)>,
}

pub(super) fn groups(examined: &Examined) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    let coats = examined.project.coats.iter().zip(&examined.recomputed.coating.prepared);
    for (coat, prepared) in coats {
        let asked = prepared.asked.and_then(|at| examined.project.scheme.get(at));
        let Some(asked) = asked.and_then(|row| scheme::asked(&row.before)) else { continue };
        let row = row(examined, &coat.name, prepared);
        match groups.iter_mut().find(|group| group.asked == asked) {
            Some(group) => group.rows.push(row),
            None => groups.push(Group { asked, rows: vec![row] }),
        }
    }
    groups
}

fn row(examined: &Examined, name: &str, prepared: &Prepared) -> Row {
    let project = &examined.project;
    let checks: Vec<&Preparation> =
        prepared.checks.iter().filter_map(|at| project.preparation.get(*at)).collect();
    let profiles = || checks.iter().filter_map(|check| check.profile_m);
    let profile = profiles().reduce(f64::min).zip(profiles().reduce(f64::max));
    let um = |m: f64| text::micrometres(m).unwrap_or_default();
    let most = |values: Vec<f64>| values.into_iter().reduce(f64::max).map(nine_digits);
    let outcomes = ["covered", "grade", "profile", "salts", "dust", "age"].into_iter();
    Row {
        name: Narrow::new(name),
        checks: checks.len().to_string(),
        grade: worst_grade(&checks).map(Narrow::new),
        profile: profile.map(|(least, most)| format!("{} to {}", um(least), um(most))),
        salts: most(checks.iter().filter_map(|check| check.salts_mg_m2).collect()),
        dust: most(checks.iter().filter_map(|check| check.dust).collect()),
        age: prepared.age_h.map(|age| text::number(age, 1)),
        uncovered: prepared
            .uncovered
            .then(|| prepared.uncovered_m2.map_or("some".to_string(), |m2| text::number(m2, 3))),
        outcomes: outcomes
            .filter_map(|what| {
                let id = format!("coating.{name}.preparation.{what}");
                Some((what, outcome(examined, &id).filter(|word| *word != "agrees")?))
            })
            .collect(),
    }
}

/// The least clean grade; grades of different methods stand beside each other.
fn worst_grade(checks: &[&Preparation]) -> Option<String> {
    let mut worst: Vec<(Grade, &str)> = Vec::new();
    for word in checks.iter().filter_map(|check| check.grade.as_deref()) {
        let word = scheme::grade(word);
        let Some(grade) = Grade::parse(word) else { continue };
        match worst.iter_mut().find(|(known, _)| known.method == grade.method) {
            Some(known) if at_least(grade, known.0) == Some(false) => *known = (grade, word),
            Some(_) => {}
            None => worst.push((grade, word)),
        }
    }
    let words: Vec<&str> = worst.into_iter().map(|(_, word)| word).collect();
    (!words.is_empty()).then(|| words.join(", "))
}
