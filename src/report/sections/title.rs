//! The title page. It is placed by a template of its own.

use serde::Serialize;

use crate::findings::finding::Outcome;
use crate::pages::shown::{Run, TableShown, runs};
use crate::pages::{Cell, Column, Table};
use crate::records::docking::Closeout;
use crate::report::inputs::Inputs;
use crate::text;
use crate::text::{System, Text, id, strong};
use crate::words::cautions;

/// Ids of findings without an answer that find room.
const MOST_UNANSWERED: usize = 12;

#[derive(Serialize)]
pub(super) struct Title<'a> {
    ship: &'a str,
    docked: Vec<Run>,
    period: Option<String>,
    about: TableShown,
    findings: Vec<Run>,
    cautions: [&'static str; 3],
    seal: Vec<String>,
    people: Option<TableShown>,
}

pub(super) fn section<'a>(
    inputs: &Inputs<'a>,
    closeout: &'a Closeout,
    system: System,
) -> Title<'a> {
    let docking = &inputs.examined.project.docking;
    let mut docked = text!("docked in {}", docking.dock.name);
    if let Some(place) = &docking.dock.location {
        docked.extend(text!(", {}", place));
    }
    let about: [(&str, Cell); 5] = [
        ("Built", docking.ship.built.as_ref().into()),
        ("Kept by", docking.ship.owner.as_ref().into()),
        ("Report prepared by", closeout.prepared_by.as_str().into()),
        ("Report prepared on", closeout.prepared_on.into()),
        ("Typeset by", inputs.program.into()),
    ];
    let columns = [Column::name("Ship and report").mm(38.0), Column::text("As recorded")];
    let about = Table::new(columns).rows(about.map(|(what, value)| [what.into(), value]));
    let columns = [Column::name("Who").mm(55.0), Column::text("Role")];
    let people = docking.people.iter().map(|(name, role)| [name.into(), role.into()]);
    let people = Table::new(columns).rows(people);
    Title {
        ship: &docking.ship.name,
        docked: runs(&docked, system),
        period: text::period(docking.period),
        about: about.shown(system),
        findings: runs(&findings(inputs), system),
        cautions: cautions::FIRST,
        seal: text::grouped(inputs.records_seal, 4),
        people: (!people.rows.is_empty()).then(|| people.shown(system)),
    }
}

/// How many findings there are, and which await an answer.
fn findings(inputs: &Inputs<'_>) -> Text {
    let examined = inputs.examined;
    let unanswered: Vec<&str> = examined.unanswered().map(|finding| finding.id.as_str()).collect();
    let mut out = match unanswered.as_slice() {
        [] => text!("{}", strong("No finding awaits an answer.")),
        ids => {
            let awaiting = if ids.len() == 1 { "finding awaits" } else { "findings await" };
            let named = ids.iter().take(MOST_UNANSWERED).map(|name| id(*name).into());
            let more = match ids.len().saturating_sub(MOST_UNANSWERED) {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            text!(
                "{} {}{}.",
                strong(format!("{} {awaiting} an answer:", ids.len())),
                Text::joined(named, ", "),
                more
            )
        }
    };
    let count = |outcome| examined.count(outcome);
    out.extend(text!(
        " Of {}, {} agree, {} differ, {} are beyond a limit and {} are not recorded.",
        text::count(examined.findings.len(), "finding", "findings"),
        count(Outcome::Agrees),
        count(Outcome::Differs),
        count(Outcome::BeyondLimit),
        count(Outcome::NotRecorded)
    ));
    out
}
