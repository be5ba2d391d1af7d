//! Findings that need an answer, and those that got one.

use crate::findings::Examined;
use crate::findings::finding::Finding;
use crate::pages::{MOST_ROWS, Section};
use crate::text;

pub(super) fn section(examined: &Examined) -> Section {
    let mut section = Section::new("Findings that need an answer").at("answers");
    section.paragraph(
        "A finding holds what was written down against what comes out of the raw readings, or against a limit. \
         One that differs, or is beyond a limit, needs a person\u{2019}s answer. An answer is to what the \
         finding said when the answer was given: where its outcome or its figures have changed since by more than \
         its tolerance, the answer is kept and the finding needs a new one.",
    );
    let findings = || examined.findings.iter();

    section.part("Without an answer");
    if examined.unanswered().next().is_none() {
        section.paragraph("None.");
    }
    add(&mut section, examined.unanswered());

    section.part("Answered");
    if findings().all(|finding| finding.remark.is_none()) {
        section.paragraph("No finding has been answered.");
    }
    add(&mut section, findings().filter(|finding| finding.remark.is_some()));

    let earlier = |finding: &&Finding| {
        !finding.earlier.is_empty() && finding.remark.is_none() && !finding.wants_answer()
    };
    if findings().any(|finding| earlier(&finding)) {
        section.part("Answered, and no longer in need of an answer");
        add(&mut section, findings().filter(earlier));
    }

    if !examined.without_finding.is_empty() {
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
            section.paragraph(text!("{} more stand in findings.json of the bundle.", more));
        }
    }
    section
}

/// Findings in full, and how many more there are.
fn add<'a>(section: &mut Section, findings: impl Iterator<Item = &'a Finding>) {
    let findings: Vec<&Finding> = findings.collect();
    section.findings(findings.iter().take(MOST_ROWS).copied(), MOST_ROWS, "findings.json");
    let more = findings.len().saturating_sub(MOST_ROWS);
    if more > 0 {
        section.paragraph(text!(
            "{} more stand in findings.json and findings.csv of the bundle.",
            more
        ));
    }
}
