//! Findings as the report prints them.

use serde::Serialize;

use crate::findings::answers::said;
use crate::findings::finding::{Figure, Finding};
use crate::records::bounds::Sort;
use crate::records::remarks::Remark;
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Printed<'a> {
    id: Narrow,
    sentence: String,
    outcome: &'static str,
    wants_answer: bool,
    recorded: Option<Narrow>,
    recomputed: Option<Narrow>,
    against: Option<Against<'a>>,
    formula: Option<&'static str>,
    places: Places,
    remark: Option<Answer<'a>>,
    earlier: Vec<Answer<'a>>,
}

#[derive(Serialize)]
struct Against<'a> {
    sort: &'static str,
    name: &'a str,
    value: Narrow,
    source: &'a str,
}

/// The records used: a long list is cut, since the whole one stands in findings.json.
#[derive(Serialize)]
struct Places {
    shown: Narrow,
    more: usize,
}

#[derive(Serialize)]
pub(super) struct Answer<'a> {
    finding: Narrow,
    answer: &'a str,
    by: &'a str,
    on: String,
    /// What the finding said then, where the answer states it.
    then: Option<String>,
}

pub(super) fn answer(remark: &Remark) -> Answer<'_> {
    Answer {
        finding: Narrow::new(&remark.finding),
        answer: &remark.answer,
        by: &remark.by,
        on: text::day(remark.on),
        then: remark.then.as_ref().map(said),
    }
}

const MOST_PLACES: usize = 6;

pub(super) fn printed(finding: &Finding) -> Printed<'_> {
    let places: Vec<String> = finding.records.iter().map(ToString::to_string).collect();
    let places = text::First::of(places, MOST_PLACES);
    Printed {
        id: Narrow::new(&finding.id),
        sentence: finding.sentence.to_string(),
        outcome: finding.outcome.words(),
        wants_answer: finding.wants_answer(),
        recorded: finding.recorded.as_ref().map(figure),
        recomputed: finding.recomputed.as_ref().map(figure),
        against: finding.against.as_ref().map(|against| Against {
            sort: match against.sort {
                Sort::Tolerance => "tolerance",
                Sort::Limit => "limit",
            },
            name: &against.name,
            value: figure(&against.value),
            source: &against.source,
        }),
        formula: finding.formula.map(|formula| formula.title),
        places: Places { shown: Narrow::new(places.shown.join(", ")), more: places.more },
        remark: finding.remark.as_ref().map(answer),
        earlier: finding.earlier.iter().map(answer).collect(),
    }
}

fn figure(figure: &Figure) -> Narrow {
    Narrow::new(text::figure(figure))
}
