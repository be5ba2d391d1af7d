//! `data/README.txt`: what the bundle is, in plain ASCII, for someone with common tools only.

mod lines;
mod supplement;
mod text;

use lines::Lines;
pub use lines::{CHECK, RESCUE, RULER};
pub use supplement::of_supplement;

use crate::bundle::format_text::PROOF;
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::pages::archive;
use crate::units::fixed;
use crate::words::cautions;

/// The text. Characters beyond ASCII in names become `[U+...]`.
pub fn text(examined: &Examined, bundle_name: &str, program: &str) -> String {
    let mut out = Lines::default();
    what_this_is(&mut out, examined, program);
    out.chapter("What is here", text::CONTENTS, bundle_name);
    out.chapter("How to read it", text::READING, bundle_name);
    let checking = [text::CHECKING_IN_BROWSER, text::CHECKING, text::SEALED].concat();
    out.chapter("How to check it with common tools", &checking, bundle_name);
    out.script("check.py", CHECK);
    out.chapter("What checking proves", "", bundle_name);
    for sentence in PROOF {
        out.item(sentence);
    }
    let damaged = [text::DAMAGED, text::OTHER_PLACES, text::RESCUED].concat();
    out.chapter("When the zip is damaged", &damaged, bundle_name);
    out.script("rescue.py", RESCUE);
    out.chapter("What to copy to the next medium", text::COPYING, bundle_name);
    out.chapter(archive::TITLE, "", bundle_name);
    for (what, recorded) in archive::recorded(&examined.project.docking.archive) {
        out.item(&format!("{what}: {}", recorded.as_deref().unwrap_or("not recorded")));
    }
    out.chapter("Cautions", "", bundle_name);
    for caution in cautions::all() {
        out.item(caution);
    }
    out.0
}

fn what_this_is(out: &mut Lines, examined: &Examined, program: &str) {
    let docking = &examined.project.docking;
    out.heading(&format!("{}: record of a dry-docking", docking.ship.name), '=');
    if let Some(statement) = docking.archive.statement() {
        out.says(statement);
        out.line("");
    }
    let mut line = |label: &str, value: &str| out.says(&format!("{label:<11}{value}"));
    line("Ship:", &docking.ship.name);
    if let Some(owner) = &docking.ship.owner {
        line("Owner:", owner);
    }
    line("Dock:", &docking.dock.name);
    if let Some(place) = &docking.dock.location {
        line("Place:", place);
    }
    if let (Some(began), Some(ended)) = docking.period {
        line("Docked:", &format!("{began} to {ended}"));
    }
    if let Some(closeout) = &docking.closeout {
        line("Closed by:", &format!("{}, {}", closeout.prepared_by, closeout.prepared_on));
    }
    out.says(&format!("Written by the program {program}; nothing here needs it to be read."));
    out.heading("In one paragraph", '-');
    let positions: Vec<&str> = examined.project.positions.iter().map(|p| p.id.as_str()).collect();
    let positions =
        if positions.is_empty() { "none recorded".to_string() } else { positions.join(", ") };
    let never = match examined.recomputed.never_exposed_m2() {
        Some(area) => {
            let pieces = match examined.recomputed.never_exposed.len() {
                1 => "1 piece".to_string(),
                pieces => format!("{pieces} pieces"),
            };
            format!(
                "Bottom under blocks in every position (never exposed): {} m2 in plan, in {pieces}.",
                fixed(area, 3)
            )
        }
        None => "What was never exposed: not recorded.".to_string(),
    };
    out.says(&format!(
        "Docking positions used: {positions}. {never} Findings: {} agree, {} differ, {} beyond a limit, {} \
         not recorded; {} of those that differ or are beyond a limit wait for an answer. See \
         data/closeout-report.pdf, page one onwards.",
        examined.count(Outcome::Agrees),
        examined.count(Outcome::Differs),
        examined.count(Outcome::BeyondLimit),
        examined.count(Outcome::NotRecorded),
        examined.unanswered().count()
    ));
}
