//! How complete the record is, and the list that matters at a stage, for a person.

use super::page::Page;
use super::print::caution;
use super::terminal::{Terminal, capital};
use crate::findings::Examined;
use crate::findings::progress::{self, AID, Cure, Due, Owed, Progress, Stage};
use crate::pages::{Cell, Column, Section, Table};
use crate::text;
use crate::text::{Text, id};

/// Of what is missing before a stage, how many things `check` names.
const NAMED: usize = 4;

/// Of the missing things of one sort, how many are named.
const MOST_NAMES: usize = 6;

/// Every section, recorded of expected, and what is missing before each stage.
pub fn completeness(progress: &Progress, project: &str) -> Vec<Section> {
    let columns = [Column::name("Section"), Column::figure("Recorded"), Column::figure("Expected")];
    let rows = progress::Section::ALL.into_iter().map(|section| match progress.counts(section) {
        (_, 0) => [section.word().into(), Cell::DoesNotApply, "nothing".into()],
        (recorded, expected) => [section.word().into(), recorded.into(), expected.into()],
    });
    let mut complete = Section::new("How complete the record is");
    complete.table(Table::new(columns).rows(rows));
    let missing = Stage::ALL.into_iter().filter_map(|stage| {
        let is_open = |owed: &&Owed| owed.stage == stage && owed.is_open();
        let open: Vec<&Owed> = progress.owed.iter().filter(is_open).collect();
        let mut section = Section::new(format!("Missing {}", words(stage)));
        section.table(table(open.iter().take(NAMED).copied()));
        if open.len() > NAMED {
            section.paragraph(text!(
                "and {} more: lastdock check {} --stage {}",
                open.len() - NAMED,
                project,
                stage.word()
            ));
        }
        (!open.is_empty()).then_some(section)
    });
    std::iter::once(complete).chain(missing).collect()
}

/// The list that matters at a stage.
pub fn render(examined: &Examined, due: &Due<'_>) -> Page {
    let docking = &examined.project.docking;
    let positions: Vec<&str> = due
        .positions
        .iter()
        .filter_map(|number| examined.project.positions.get(*number))
        .map(|position| position.id.as_str())
        .collect();
    let at = match (due.stage, positions.as_slice()) {
        (Stage::BeforeClosing, _) | (_, []) => String::new(),
        (_, names) => format!(", {}", names.join(", ")),
    };
    let mut about = Section::new(format!("{}: {}{at}", docking.ship.name, words(due.stage)));
    about.paragraph(AID);
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
    let mut recorded = Section::new("Recorded");
    recorded.table(table(done.into_iter()));
    let groups = [open_now, unanswered, cures, recorded];
    let groups = groups.iter().filter(|section| !section.blocks.is_empty());
    let mut out = Terminal::new(docking.units).sections(std::iter::once(&about).chain(groups));
    out.push_str(match due.open() {
        0 => "\nNothing is open by the records.\n",
        1 => "\n1 item is open.\n",
        _ => "",
    });
    if due.open() > 1 {
        out.push_str(&format!("\n{} items are open.\n", due.open()));
    }
    out.push_str(&caution());
    out
}

fn words(stage: Stage) -> &'static str {
    match stage {
        Stage::BeforeLanding => "before landing",
        Stage::BeforeFlooding => "before flooding",
        Stage::BeforeClosing => "before closing the record",
    }
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
        let what = text!("{}.{} ({})", capital(&owed.what), missing, owed.file);
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
