//! How each figure was computed, as far as this docking has such figures, and the bounds in force.

use crate::calc::formula::{Formula, Part};
use crate::calc::{self, FORMULAS};
use crate::findings::Examined;
use crate::findings::finding::{Against, Finding, Outcome};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::bounds::{Bound, Sort};
use crate::text;
use crate::text::{Piece, Text, code};

pub(super) fn section(examined: &Examined) -> Section {
    let mut section = Section::new("How each figure was computed").at("formulas");
    if let Some(text) = calc::not_at_hand(|formula| is_used(examined, formula)) {
        section.paragraph(text);
    }
    section
        .terms(FORMULAS.iter().filter(|formula| is_used(examined, formula)).map(|one| told(one)));
    section.part("Limits and tolerances in force");
    section.paragraph(text!(
        "A tolerance is how far a record and its recomputation may differ and still agree. A limit is what a \
         true record must keep within. What each bounds is explained in {} of the bundle.",
        code("data/format.txt")
    ));
    let bounds = examined.project.docking.bounds.all();
    for (sort, heading) in [(Sort::Limit, "Limit"), (Sort::Tolerance, "Tolerance")] {
        let of_sort = || bounds.iter().filter(|bound| bound.sort == sort);
        let columns = [
            Column::name(heading).mm(24.0),
            Column::figure("Value").mm(16.0),
            Column::text("Set by"),
        ];
        let stated = of_sort().filter(|bound| bound.place.is_some()).map(in_force);
        section.table(Table::new(columns).rows(stated).in_halves());
        let defaults = of_sort().filter(|bound| bound.place.is_none());
        let defaults = Text::listed(defaults.map(|bound| {
            text!("{} {}", bound.name.replace('_', " "), &Against::from(bound).value)
        }));
        if !defaults.is_empty() {
            section.paragraph(text!("By default, since the project states none: {}.", defaults));
        }
    }
    section
}

/// A formula's title, and what it says with its source.
fn told(formula: &Formula) -> (Text, Text) {
    let mut says = Text::joined(
        formula.parts().map(|part| match part {
            // A minus among words, as in "from -45 to 60".
            Part::Words(words) => words.replace(" -", " \u{2212}").into(),
            Part::Symbols(symbols) => Piece::Formula(symbols).into(),
        }),
        "",
    );
    says.push(format!(". Source: {}.", formula.source));
    (formula.title.into(), says)
}

/// Whether a figure of this report comes from a formula: some finding that came out names it, or one
/// whose figures it is needed for; no finding needs the shift study or the comparison of the plan's positions.
fn is_used(examined: &Examined, formula: &Formula) -> bool {
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
    let named = |formula: &Formula| {
        let came_out = |finding: &&Finding| finding.outcome != Outcome::NotRecorded;
        let mut findings = examined.findings.iter().filter(came_out);
        findings.any(|finding| finding.formula == Some(formula))
    };
    let needed = needed_for.iter().any(|(needs, by)| **needs == *formula && named(by));
    let of_shifts = *formula == calc::shifts::SHIFT_STUDY && examined.shift_to_choose().is_ok();
    let of_choices = *formula == calc::among::CHOICE && examined.among().is_some();
    needed || named(formula) || of_shifts || of_choices
}

fn in_force(bound: &Bound) -> [Cell; 3] {
    [
        bound.name.replace('_', " ").into(),
        (&Against::from(bound).value).into(),
        bound.source.to_string().into(),
    ]
}
