//! How each figure was computed, as far as this docking has such figures, and the bounds in force.

use crate::calc::{self, FORMULAS};
use crate::findings::Examined;
use crate::findings::finding::{Against, Finding, Outcome};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::bounds::{self, Bound, Sort};
use crate::text;

pub(super) fn section(examined: &Examined) -> Section {
    let mut section = Section::new("How each figure was computed").at("formulas");
    section.part("Formulas");
    if let Some(text) = calc::not_at_hand(|formula| is_used(examined, formula)) {
        section.paragraph(text);
    }
    for formula in FORMULAS.iter().filter(|formula| is_used(examined, formula)) {
        section.subpart(formula.title);
        section.paragraph(text!("{}.", begun(formula.says)));
        section.note(text!("Source: {}.", formula.source));
    }
    section.part("Limits and tolerances in force");
    section.paragraph(
        "A tolerance is how far a record and its recomputation may differ and still agree. A limit is what a \
         true record must keep within.",
    );
    let columns = [
        Column::name("Sort").mm(17.0),
        Column::name("Name").mm(27.0),
        Column::figure("Value").mm(16.0),
        Column::text("What it bounds").share(1.3),
        Column::text("Where it comes from"),
    ];
    let bounds = examined.project.docking.bounds.all().iter().map(in_force);
    section.table(Table::new(columns).rows(bounds).small());
    section
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

fn in_force(bound: &Bound) -> [Cell; 5] {
    let spec = bounds::specs(bound.sort).iter().find(|spec| spec.name == bound.name);
    let sort = match bound.sort {
        Sort::Limit => "limit",
        Sort::Tolerance => "tolerance",
    };
    [
        sort.into(),
        bound.name.replace('_', " ").into(),
        (&Against::from(bound).value).into(),
        spec.map_or("", |spec| spec.meaning).into(),
        bound.source.to_string().into(),
    ]
}
