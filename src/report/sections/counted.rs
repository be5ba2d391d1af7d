//! Findings counted by section, and the checks that could not be made.

use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::pages::{Cell, Column, Section, Table};
use crate::text;
use crate::text::{Piece, Text, code, id, strong};

/// Checks that could not be made, of which so many are listed.
const MOST_LISTED: usize = 40;

const OUTCOMES: [Outcome; 4] =
    [Outcome::Agrees, Outcome::Differs, Outcome::BeyondLimit, Outcome::NotRecorded];

pub(super) fn section(examined: &Examined) -> Section {
    let mut section = Section::new("Findings, counted").at("findings");
    if examined.findings.is_empty() {
        section.paragraph("There is no finding.");
        return section;
    }
    section.paragraph(text!(
        "Findings that differ or are beyond a limit stand in {}. Each of the {} is in the bundle, in {} and {}, \
         with every record used; both files are attached to the report, as are the records that were read.",
        text::section("answers"),
        examined.findings.len(),
        code("data/findings.csv"),
        code("data/findings.json")
    ));
    let mut sections: Vec<(&str, Vec<&Finding>)> = Vec::new();
    for finding in &examined.findings {
        let of = finding.section();
        match sections.iter_mut().find(|(found, _)| *found == of) {
            Some((_, findings)) => findings.push(finding),
            None => sections.push((of, vec![finding])),
        }
    }
    let columns = [Column::text("Section")]
        .into_iter()
        .chain(OUTCOMES.map(|outcome| {
            let width_mm = if outcome == Outcome::NotRecorded { 15.5 } else { 12.0 };
            Column::figure(outcome.words()).mm(width_mm)
        }))
        .chain([Column::figure("total").mm(9.5)]);
    let rows = sections.iter().map(|(name, findings)| {
        row(Text::from(*name).capitalized(), findings, |count| count.to_string().into())
    });
    let all: Vec<&Finding> = examined.findings.iter().collect();
    let total = row(strong("Total").into(), &all, |count| strong(count.to_string()));
    section.table(Table::new(columns).rows(rows.chain([total])).in_halves());

    let not_recorded = all.iter().filter(|finding| finding.outcome == Outcome::NotRecorded);
    let rows: Vec<[Cell; 2]> = not_recorded
        .map(|finding| [id(&finding.id).into(), finding.sentence.clone().into()])
        .collect();
    if !rows.is_empty() {
        section.part("Checks that could not be made");
        section.paragraph("Something that each of these checks needs was not written down.");
        let columns = [Column::name("Finding").mm(52.0), Column::text("In words")];
        section.table(Table::new(columns).rows(rows).cut(MOST_LISTED, "the bundle"));
    }
    section
}

/// How many findings came out in each way, and how many there are.
fn row(name: Text, findings: &[&Finding], set: impl Fn(usize) -> Piece) -> [Cell; 6] {
    let count = |outcome| findings.iter().filter(|finding| finding.outcome == outcome).count();
    let [agrees, differs, beyond, not_recorded] = OUTCOMES.map(|outcome| set(count(outcome)));
    let all = set(findings.len());
    [name.into(), agrees.into(), differs.into(), beyond.into(), not_recorded.into(), all.into()]
}
