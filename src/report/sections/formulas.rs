//! How each figure was computed, as far as this docking has such figures, and the bounds in force.

use serde::Serialize;

use crate::calc::{self, FORMULAS};
use crate::findings::Examined;
use crate::findings::finding::{Against, Finding, Outcome};
use crate::records::bounds::{self, Bound, Sort};
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Formulas<'a> {
    /// What is said of standards whose wording was not at hand.
    not_at_hand: Option<String>,
    formulas: Vec<Formula>,
    bounds: Vec<InForce<'a>>,
}

#[derive(Serialize)]
struct Formula {
    title: &'static str,
    says: String,
    source: &'static str,
}

#[derive(Serialize)]
struct InForce<'a> {
    sort: &'static str,
    name: String,
    value: String,
    meaning: &'static str,
    source: &'a str,
}

pub(super) fn section(examined: &Examined) -> Formulas<'_> {
    Formulas {
        not_at_hand: calc::not_at_hand(|formula| is_used(examined, formula)),
        formulas: FORMULAS
            .iter()
            .filter(|formula| is_used(examined, formula))
            .map(|formula| Formula {
                title: formula.title,
                says: begun(formula.says),
                source: formula.source,
            })
            .collect(),
        bounds: examined.project.docking.bounds.all().iter().map(in_force).collect(),
    }
}

/// A text with a capital at its beginning, unless it begins with a symbol of one letter.
fn begun(says: &str) -> String {
    let mut letters = says.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if first.is_ascii_lowercase() && second.is_alphabetic() => {
            format!("{}{}", first.to_ascii_uppercase(), letters.as_str())
        }
        _ => says.to_string(),
    }
}

/// Whether a figure of this report comes from a formula: some finding that came out names it, or one
/// whose figures it is needed for; no finding needs the shift study.
fn is_used(examined: &Examined, formula: &calc::formula::Formula) -> bool {
    let girder = &calc::loads::girder::GIRDER;
    let needed_for = [
        (&calc::hydrostatics::TABLE, &calc::drafts::DISPLACEMENT),
        (&calc::drafts::CENTRE_OF_GRAVITY, &calc::drafts::DISPLACEMENT),
        (&calc::drafts::HOGGED_KEEL, &calc::landing::FIRST_TOUCH),
        (&calc::landing::LOAD_LANDED, &calc::landing::FIRST_TOUCH),
        (&calc::loads::springs::STIFFNESS, girder),
        (&calc::loads::weight::CURVE, girder),
        (&calc::loads::rigid::RIGID, girder),
        (&calc::loads::CONTACT, girder),
        (&calc::climate::DEW_POINT, &calc::climate::MARGIN),
        (&calc::paint::EXPECTED, &calc::coating::CHAIN),
        (&calc::history::UPPERMOST, &calc::history::NEVER_EXPOSED),
        (&calc::film::statistics::STATISTICS, &calc::film::iso_19840::RULE),
        (&calc::film::statistics::STATISTICS, &calc::film::pa_2::RULE),
        (&calc::film::statistics::STATISTICS, &calc::film::ninety_ten::RULE),
    ];
    let named = |formula: &calc::formula::Formula| {
        let came_out = |finding: &&Finding| finding.outcome != Outcome::NotRecorded;
        let mut findings = examined.findings.iter().filter(came_out);
        findings.any(|finding| finding.formula == Some(formula))
    };
    let needed = needed_for.iter().any(|(needs, by)| **needs == *formula && named(by));
    let of_shifts = *formula == calc::shifts::SHIFT_STUDY && examined.shift_to_choose().is_ok();
    needed || named(formula) || of_shifts
}

fn in_force(bound: &Bound) -> InForce<'_> {
    let spec = bounds::specs(bound.sort).iter().find(|spec| spec.name == bound.name);
    InForce {
        sort: match bound.sort {
            Sort::Limit => "limit",
            Sort::Tolerance => "tolerance",
        },
        name: bound.name.replace('_', " "),
        value: text::figure(&Against::from(bound).value),
        meaning: spec.map_or("", |spec| spec.meaning),
        source: &bound.source,
    }
}
