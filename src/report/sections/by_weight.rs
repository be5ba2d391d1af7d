//! What does not agree, by what it means: unanswered findings in full, answered ones in few lines, and what could not
//! be checked in as few as will do.

use crate::findings::Examined;
use crate::findings::cause::group;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::subject::Weight;
use crate::pages::{Cell, Column, MOST_ROWS, Section, Table};
use crate::text;
use crate::text::{Text, code, count, id, section as see, strong};

/// Lines for what could not be checked, and ids named in one of them.
const MOST_LINES: usize = 12;
const MOST_NAMED: usize = 6;

pub(super) fn section(examined: &Examined) -> Section {
    let mut section = Section::new("Findings by weight").at("answers");
    section.paragraph(text!(
        "What agrees is counted in {}. What differs, is beyond a limit or could not be checked stands here, the heaviest \
         first. An answer is to what the finding said when it was given: where its outcome or its figures have changed \
         since by more than its tolerance, the answer is kept and the finding needs a new one. The records that each used \
         stand in {}.",
        see("findings"),
        code("data/findings.csv")
    ));
    let findings: Vec<&Finding> = examined.findings.iter().collect();
    section.table(counts(&findings));
    for weight in Weight::ALL {
        let weighs: Vec<&Finding> =
            findings.iter().copied().filter(|finding| finding.weight() == Some(weight)).collect();
        if !weighs.is_empty() {
            section.part(weight.title());
            unanswered(&mut section, &weighs);
            answered(&mut section, weighs.iter().copied().filter(|finding| is_answered(finding)));
            not_checked(&mut section, &weighs);
        }
    }
    let agrees_since =
        |finding: &&Finding| finding.weight().is_none() && !finding.earlier.is_empty();
    if findings.iter().any(agrees_since) {
        section.part("Answered, and no longer in need of an answer");
        answered(&mut section, findings.iter().copied().filter(agrees_since));
    }
    without_finding(&mut section, examined);
    section
}

fn is_answered(finding: &Finding) -> bool {
    !finding.wants_answer() && (finding.remark.is_some() || !finding.earlier.is_empty())
}

/// Whether it could not be checked, and nobody has said anything of it.
fn is_open(finding: &Finding) -> bool {
    finding.outcome == Outcome::NotRecorded && !is_answered(finding)
}

/// How many there are of each weight.
fn counts(findings: &[&Finding]) -> Table {
    let columns = [
        Column::text("What they mean"),
        Column::figure("Without an answer").mm(34.0),
        Column::figure("Answered").mm(26.0),
        Column::figure("Could not be checked").mm(38.0),
    ];
    let number = |n: usize| Cell::from(n.to_string());
    let counted = |of: &dyn Fn(&Finding) -> bool| {
        let each: [fn(&Finding) -> bool; 3] = [Finding::wants_answer, is_answered, is_open];
        each.map(|is| findings.iter().filter(|finding| of(finding) && is(finding)).count())
    };
    let rows = Weight::ALL.map(|weight| {
        let [open, answered, unchecked] = counted(&|finding| finding.weight() == Some(weight));
        let cells: [Cell; 4] =
            [weight.title().into(), number(open), number(answered), number(unchecked)];
        cells
    });
    let total = counted(&|finding| finding.weight().is_some()).map(|n| strong(n.to_string()));
    let [open, answered, unchecked] = total;
    let total: [Cell; 4] =
        [strong("Together").into(), open.into(), answered.into(), unchecked.into()];
    Table::new(columns).rows(rows.into_iter().chain([total]))
}

/// What nobody has answered as it is now, in full.
fn unanswered(section: &mut Section, findings: &[&Finding]) {
    let open: Vec<&Finding> =
        findings.iter().copied().filter(|finding| finding.wants_answer()).collect();
    section.findings(open.iter().take(MOST_ROWS).copied(), MOST_NAMED, "findings.json");
    more(section, open.len());
}

/// What has an answer, in few lines.
fn answered<'a>(section: &mut Section, findings: impl Iterator<Item = &'a Finding>) {
    let findings: Vec<&Finding> = findings.collect();
    for finding in findings.iter().take(MOST_ROWS) {
        section.finding_in_short(finding);
    }
    more(section, findings.len());
}

/// Says how many are left out, and where they stand.
fn more(section: &mut Section, all: usize) {
    let more = all.saturating_sub(MOST_ROWS);
    if more > 0 {
        section.paragraph(text!(
            "{} more stand in {} of the bundle.",
            more,
            code("data/findings.csv")
        ));
    }
}

/// What could not be checked, that which follows from one record in one line.
fn not_checked(section: &mut Section, findings: &[&Finding]) {
    let open: Vec<&Finding> = findings.iter().copied().filter(|finding| is_open(finding)).collect();
    if open.is_empty() {
        return;
    }
    section.lead(text!(
        "{} could not be made, for want of a record:",
        count(open.len(), "check", "checks")
    ));
    let groups = group(open.iter().copied());
    section.list(groups.iter().take(MOST_LINES).map(|group| {
        let first = id(&group.first.id);
        let Some(cause) = group.cause() else {
            return text!("{} ({})", group.first.sentence, first);
        };
        let others = group.rest.iter().map(|finding| id(&finding.id).into());
        let named = std::iter::once(first.into()).chain(others).take(MOST_NAMED);
        let more = match (1 + group.rest.len()).saturating_sub(MOST_NAMED) {
            0 => Text::new(),
            more => text!(" and {} more", more),
        };
        text!("{} ({}{})", cause.sentence, Text::joined(named, ", "), more)
    }));
    let told: usize = groups.iter().take(MOST_LINES).map(|group| 1 + group.rest.len()).sum();
    if told < open.len() {
        let more = open.len() - told;
        section.paragraph(text!(
            "{} more stand in {} of the bundle.",
            more,
            code("data/findings.csv")
        ));
    }
}

/// Answers to what is not in the record.
fn without_finding(section: &mut Section, examined: &Examined) {
    if examined.without_finding.is_empty() {
        return;
    }
    section.part("Answers whose finding is not in this record");
    section.paragraph(
        "They are kept as they were given and change no outcome. What a finding was about may have gone \
         from the record since, or its id may be mistyped.",
    );
    for answer in examined.without_finding.iter().take(MOST_ROWS) {
        section.answer(answer);
    }
    let more = examined.without_finding.len().saturating_sub(MOST_ROWS);
    if more > 0 {
        section.paragraph(text!(
            "{} more stand in {} of the bundle.",
            more,
            code("data/findings.json")
        ));
    }
}
