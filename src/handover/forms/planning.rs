//! The planning page: what the plan means, on paper before she comes in.

use serde::Serialize;

use crate::findings::Examined;
use crate::pages;
use crate::pages::shown::SectionShown;
use crate::report::figures::{Drawing, Group, planned};
use crate::text::{self, Reader};

pub const FILE: &str = "planning.pdf";
pub const TITLE: &str = "Planning page";
pub const ABOUT: &str = "What is planned for the docking, examined before she comes in: positions, openings, landing, coats.";

/// The most characters of a name in the head of a page.
const LONGEST_HEADER: usize = 70;

/// What stands above every page, and on the pages.
#[derive(Serialize)]
pub struct Planning {
    pub ship: String,
    pub dock: String,
    pub period: Option<String>,
    pub sections: Vec<SectionShown>,
}

/// The page, with its drawings; `None` where nothing is planned.
pub fn page(examined: &Examined) -> Option<(Planning, Vec<Drawing>)> {
    let drawings = planned::drawings(examined);
    let of = |group: Group| -> Vec<usize> {
        let all = drawings.iter().enumerate();
        all.filter(|(_, drawing)| drawing.group == group).map(|(number, _)| number).collect()
    };
    let sections = pages::planned::sections(examined, [of(Group::Planned), of(Group::Among)]);
    if sections.is_empty() {
        return None;
    }
    let docking = &examined.project.docking;
    let reader = Reader { system: docking.units, clock: docking.clock.first() };
    let planning = Planning {
        ship: text::shortened(&docking.ship.name, LONGEST_HEADER),
        dock: text::shortened(&docking.dock.name, LONGEST_HEADER),
        period: text::iso_period(docking.period),
        sections: sections.iter().map(|section| section.shown(reader)).collect(),
    };
    Some((planning, drawings))
}
