//! People's answers and the findings that they answer: a remark answers a finding as it was, and where the
//! finding says something else since, it waits again.

use std::collections::BTreeMap;

use super::finding::{Figure, Finding};
use crate::records::bounds::Sort;
use crate::records::problem::{Problem, Problems};
use crate::records::remarks::{Remark, Remarks, Then};
use crate::units::{Quantity, Unit, printed};

/// Whether what a remark states is what its finding says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// The outcome is the same, and no figure has changed by more than may be ignored.
    Same,
    /// The remark does not state what it answered.
    Unstated,
    /// The outcome or a figure is another.
    Changed,
}

/// Whether what was stated of a finding is what it says now.
pub fn fit(finding: &Finding, then: Option<&Then>) -> Fit {
    let Some(then) = then else { return Fit::Unstated };
    let tolerance = finding.against.as_ref().filter(|against| against.sort == Sort::Tolerance);
    let tolerance = tolerance.map(|against| &against.value);
    let same = then.outcome == finding.outcome.words()
        && is_same(then.recorded.as_deref(), finding.recorded.as_ref(), tolerance)
        && is_same(then.recomputed.as_deref(), finding.recomputed.as_ref(), tolerance)
        && is_same(then.limit.as_deref(), limit(finding), None);
    if same { Fit::Same } else { Fit::Changed }
}

/// What a finding says now, in the words of a remark.
pub fn state(finding: &Finding) -> Then {
    Then {
        outcome: finding.outcome.words().to_string(),
        recorded: finding.recorded.as_ref().map(ToString::to_string),
        recomputed: finding.recomputed.as_ref().map(ToString::to_string),
        limit: limit(finding).map(ToString::to_string),
    }
}

/// A limit that is a number. One that is a rule in words does not change with the record.
fn limit(finding: &Finding) -> Option<&Figure> {
    let against = finding.against.as_ref().filter(|against| against.sort == Sort::Limit)?;
    Some(&against.value).filter(|value| !matches!(value, Figure::Words(_)))
}

/// What a finding said, as a part of a sentence: `differs, recorded 1.530 m, recomputed 1.350 m`.
pub fn describe(then: &Then) -> String {
    let figures =
        [("recorded", &then.recorded), ("recomputed", &then.recomputed), ("limit", &then.limit)];
    let figures = figures.into_iter().filter_map(|(name, figure)| Some((name, figure.as_ref()?)));
    figures.fold(then.outcome.clone(), |text, (name, figure)| format!("{text}, {name} {figure}"))
}

/// Whether a figure as a person has it is the one that a finding gives now. A number may be off by the
/// tolerance, or else by half a unit of its own last digit.
fn is_same(then: Option<&str>, now: Option<&Figure>, tolerance: Option<&Figure>) -> bool {
    let (text, figure) = match (then, now) {
        (None, None) => return true,
        (Some(text), Some(figure)) => (text, figure),
        _ => return false,
    };
    match figure {
        Figure::Count(count) => text.trim().parse() == Ok(*count),
        Figure::Words(words) => {
            let words = words.to_string();
            text.split_whitespace().eq(words.split_whitespace())
        }
        Figure::Measure(measure) => {
            let (now, quantity) = (measure.kept, measure.form.quantity());
            let Some(stated) = Stated::read(text, quantity) else { return false };
            let tolerance = tolerance.and_then(|tolerance| kept_width(tolerance, quantity));
            let free = tolerance.unwrap_or(0.0).max(stated.half_a_digit);
            // The last bits of a machine's arithmetic are no change.
            (stated.kept - now).abs() <= free + 1e-9 * now.abs().max(1e-3)
        }
    }
}

/// A tolerance in the kept unit of the figures that it is for, if it is one for figures of that quantity.
fn kept_width(tolerance: &Figure, quantity: Quantity) -> Option<f64> {
    let tolerance = tolerance.measure()?;
    let differences = (Quantity::Temperature, Quantity::TemperatureDifference);
    let measured = tolerance.form.quantity();
    let for_these = measured == quantity || (quantity, measured) == differences;
    for_these.then_some(tolerance.kept)
}

/// A number with its unit as a person typed it, in the kept unit.
struct Stated {
    kept: f64,
    half_a_digit: f64,
}

impl Stated {
    /// Reads `1.530 m`, with the unit as it is printed or as it ends a column's name.
    fn read(text: &str, quantity: Quantity) -> Option<Self> {
        let text = text.trim();
        let is_number =
            |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '\u{2212}');
        let end = text.find(|c: char| !is_number(c)).unwrap_or(text.len());
        let (number, unit) = text.split_at(end);
        let number = number.replace('\u{2212}', "-").replace(',', ".");
        let unit = unit.trim();
        let named = |known: &&Unit| unit == known.suffix || unit == printed(known.suffix);
        let unit = quantity.accepted().find(named)?;
        let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let half_a_digit = 0.5 * libm::pow(10.0, -(decimals as f64)) * unit.factor;
        Some(Self { kept: unit.to_kept(number.parse().ok()?), half_a_digit })
    }
}

/// Gives each finding its answer, the answers that were given when it said something else, and its blank;
/// what is left are answers whose finding is not in this record. Two answers to what a finding says now are
/// a problem.
pub(super) fn attach(
    remarks: &Remarks,
    findings: &mut [Finding],
) -> Result<Vec<Remark>, Vec<Problem>> {
    let ids = findings.iter().enumerate().map(|(at, finding)| (finding.id.clone(), at));
    let ids: BTreeMap<String, usize> = ids.collect();
    let mut without_finding = Vec::new();
    let mut given: BTreeMap<usize, Vec<&Remark>> = BTreeMap::new();
    for remark in &remarks.given {
        match ids.get(&remark.finding) {
            Some(at) => given.entry(*at).or_default().push(remark),
            None => without_finding.push(remark.clone()),
        }
    }
    let mut problems = Problems::default();
    for (at, all) in given {
        let finding = &mut findings[at];
        let fits = |remark: &Remark| fit(finding, remark.then.as_ref());
        // Answers that do not state what they answered count where no other does: nobody could tell which of
        // several came last.
        let unstated = all.iter().all(|remark| fits(remark) == Fit::Unstated);
        let wanted = if unstated { Fit::Unstated } else { Fit::Same };
        let (current, earlier): (Vec<&Remark>, Vec<&Remark>) =
            all.iter().partition(|remark| fits(remark) == wanted);
        for again in current.iter().skip(1) {
            problems.add(twice(again, current[0]));
        }
        finding.remark = current.first().map(|remark| Box::new((*remark).clone()));
        finding.earlier = earlier.into_iter().cloned().collect();
    }
    for blank in &remarks.blanks {
        let Some(at) = ids.get(&blank.finding) else { continue };
        let finding = &mut findings[*at];
        if fit(finding, blank.then.as_ref()) != Fit::Changed {
            finding.blank.get_or_insert_with(|| blank.place.clone());
        }
    }
    if problems.is_empty() { Ok(without_finding) } else { Err(problems.into_sorted()) }
}

fn twice(remark: &Remark, other: &Remark) -> Problem {
    Problem::new(remark.place.clone(), format!("is answered at {} too", other.place))
        .value(remark.finding.clone())
        .expected("one answer to what a finding says now")
        .advice("put the two answers into one")
}
