//! The list that matters at a stage, for a person.

use super::page::Page;
use super::print::caution;
use super::terminal::Terminal;
use crate::findings::Examined;
use crate::findings::progress::{AID, Due, Stage};
use crate::pages::{Section, owed, planned};

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
    let mut about = Section::new(format!("{}: {}{at}", docking.ship.name, due.stage.when()));
    about.paragraph(AID);
    let mut groups = owed::due(examined, due);
    if let (Stage::BeforeLanding, [position]) = (due.stage, due.positions.as_slice()) {
        groups.extend(planned::divers::of_position(examined, *position));
    }
    let mut out = Terminal::new(docking.units).sections(std::iter::once(&about).chain(&groups));
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
