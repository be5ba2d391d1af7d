//! The landing checks of a position, planned against found; of the centreline, found against where she lay.

use serde::Serialize;

use super::finding_on;
use crate::findings::Examined;
use crate::records::checks::called;
use crate::records::positions::Position;
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Check {
    check: String,
    block: Option<Narrow>,
    planned: Option<String>,
    found: Option<String>,
    at: Option<String>,
    outcome: Option<&'static str>,
}

pub(super) fn checks(examined: &Examined, position: &Position) -> Vec<Check> {
    let begins = format!("landing.{}.check.", position.id);
    let of_position = examined.project.checks.iter().filter(|c| c.position == position.id);
    of_position
        .map(|check| {
            let finding = finding_on(examined, &begins, &check.place);
            // A centreline's outcome is that of the position, not of the plan beside it.
            let by_position = finding
                .filter(|_| check.check == "centreline" && check.recorded_m.is_some())
                .and_then(|finding| finding.recomputed.as_ref())
                .map(|offset| format!("; {} by the position", text::figure(offset)));
            let found = joined(&check.recorded, check.recorded_m);
            Check {
                check: called(&check.check),
                block: check.block.as_deref().map(Narrow::new),
                planned: joined(&check.planned, check.planned_m),
                found: found.map(|found| found + &by_position.unwrap_or_default()),
                at: check.at.map(text::time),
                outcome: finding.map(|finding| finding.outcome.words()),
            }
        })
        .collect()
}

/// Words and length as far as either was written down.
fn joined(words: &Option<String>, length_m: Option<f64>) -> Option<String> {
    let length = length_m.map(|length| format!("{}\u{a0}m", text::number(length, 3)));
    match (words, length) {
        (Some(words), Some(length)) => Some(format!("{words} ({length})")),
        (Some(words), None) => Some(words.clone()),
        (None, length) => length,
    }
}
