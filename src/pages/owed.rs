//! How complete the record is, what is open at a stage, and what is open now, as sections.

use super::{Cell, Column, Section, Table};
use crate::findings::Examined;
use crate::findings::progress::{self, AID, Cure, Due, Owed, Progress, Stage};
use crate::text;
use crate::text::{Text, id};

/// Of the missing things of one sort, how many are named.
const MOST_NAMES: usize = 6;

/// Every section, recorded of expected, and what is missing before each stage: so many things, and where the others
/// are told.
pub fn completeness(
    progress: &Progress,
    most_named: usize,
    elsewhere: impl Fn(Stage) -> String,
) -> Vec<Section> {
    let mut complete = Section::new("How complete the record is");
    complete.table(counted(progress));
    let missing = Stage::ALL.into_iter().filter_map(|stage| {
        let is_open = |owed: &&Owed| owed.stage == stage && owed.is_open();
        let open: Vec<&Owed> = progress.owed.iter().filter(is_open).collect();
        let mut section = Section::new(format!("Missing {}", stage.when()));
        section.table(table(open.iter().take(most_named).copied()));
        if open.len() > most_named {
            section.paragraph(text!("and {} more: {}", open.len() - most_named, elsewhere(stage)));
        }
        (!open.is_empty()).then_some(section)
    });
    std::iter::once(complete).chain(missing).collect()
}

/// Of each section how much is recorded of what the records call for.
fn counted(progress: &Progress) -> Table {
    let columns = [Column::name("Section"), Column::figure("Recorded"), Column::figure("Expected")];
    let rows = progress::Section::ALL.into_iter().map(|section| match progress.counts(section) {
        (_, 0) => [section.word().into(), Cell::DoesNotApply, "nothing".into()],
        (recorded, expected) => [section.word().into(), recorded.into(), expected.into()],
    });
    Table::new(columns).rows(rows)
}

/// What is open at a stage, what waits for an answer, from when coats may meet the water, and what is recorded.
pub fn due(examined: &Examined, due: &Due<'_>) -> Vec<Section> {
    let (open, done): (Vec<&Owed>, Vec<&Owed>) =
        due.owed.iter().copied().partition(|owed| owed.is_open());
    let mut open_now = Section::new("Open");
    open_now.table(table(open.into_iter()));
    let mut unanswered = Section::new("Findings without an answer");
    let findings = due.findings.iter();
    unanswered.terms(findings.map(|finding| (id(&finding.id).into(), finding.sentence.clone())));
    let mut cures = Section::new("Keep dry until");
    for cure in &due.cures {
        cures.paragraph(describe_cure(examined, cure));
    }
    let mut offered = Section::new("Not begun, and not called for by the records");
    offered.list(
        due.offered
            .iter()
            .map(|one| text!("{} ({})", Text::from(one.what).capitalized(), one.file)),
    );
    let mut recorded = Section::new("Recorded");
    recorded.table(table(done.into_iter()));
    let groups = [open_now, unanswered, cures, offered, recorded];
    groups.into_iter().filter(|section| !section.blocks.is_empty()).collect()
}

/// What is open while she is docked: what the records lack before each stage, findings without an answer, and from when
/// coats may meet the water.
pub fn open_now(examined: &Examined) -> Section {
    let progress = Progress::new(examined);
    let mut section = Section::new("What is open").at("open");
    section.paragraph(AID);
    for stage in Stage::ALL {
        let at = progress.at(examined, stage);
        section.part(Text::from(stage.when()).capitalized());
        let mut groups = due(examined, &at);
        groups.retain(|group| group.title != Text::from("Recorded"));
        if groups.is_empty() {
            section.paragraph("Nothing is open by the records.");
        }
        for group in groups {
            section.subpart(group.title.clone());
            section.append(group);
        }
    }
    section.part("Recorded, of what the records call for");
    section.table(counted(&progress));
    section
}

/// How many are recorded, of what, and which are not.
fn table<'a>(owed: impl Iterator<Item = &'a Owed>) -> Table {
    let columns = [Column::figure("Recorded"), Column::figure("of"), Column::text("What")];
    Table::new(columns).rows(owed.map(|owed| -> [Cell; 3] {
        let named = owed.missing.iter().take(MOST_NAMES).cloned().collect::<Vec<_>>().join(", ");
        let missing = match owed.missing.len().saturating_sub(MOST_NAMES) {
            _ if owed.missing.is_empty() => String::new(),
            0 => format!(" Missing: {named}."),
            more => format!(" Missing: {named} and {more} more."),
        };
        let what =
            text!("{}.{} ({})", Text::from(owed.what.as_str()).capitalized(), missing, owed.file);
        [owed.recorded().into(), owed.expected.into(), what.into()]
    }))
}

fn describe_cure(examined: &Examined, cure: &Cure) -> Text {
    let position = examined.project.positions.get(cure.position).map_or("", |p| p.id.as_str());
    let Cure { zone, application, from, .. } = cure;
    match from {
        Some(from) => text!("{} in {}: {}, for {}", zone, position, from, application),
        None => text!(
            "{} in {}: not known, since the end of {} or its product's least time to immersion is not recorded",
            zone,
            position,
            application
        ),
    }
}
