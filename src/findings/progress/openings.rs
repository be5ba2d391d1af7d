//! Openings: where each is before she lands, and that what was opened is closed before the water comes.

use std::collections::BTreeSet;

use super::Section::Openings;
use super::Stage::{BeforeFlooding, BeforeLanding};
use super::{List, position_at};
use crate::records::openings::{OPENED_SPEC, Opened, Opening, SPEC};

impl List<'_> {
    pub(super) fn openings(&mut self) {
        let project = self.project;
        if project.openings.is_empty() {
            self.ask(
                (Openings, BeforeLanding, None),
                SPEC.path,
                "the register of through-hull openings",
                [("the register".to_string(), false)],
            );
        }
        let limit = project.docking.bounds.limit("opening_clearance").is_some();
        let wanted = |opening: &Opening| limit || opening.clearance_wanted_m.is_some();
        self.ask(
            (Openings, BeforeLanding, None),
            SPEC.path,
            "the clearance wanted of every opening, its own or the general limit",
            project.openings.iter().map(|opening| (opening.id.clone(), wanted(opening))),
        );
        let at = |opened: &Opened| {
            opened.opened_at.or(opened.closed_at).and_then(|at| position_at(project, at))
        };
        let plugs = project.openings.iter().filter(|opening| opening.is_docking_plug());
        let plugs: BTreeSet<&str> = plugs.map(|opening| opening.id.as_str()).collect();
        let is_plug = |opened: &Opened| plugs.contains(opened.opening.as_str());
        let mut spells: Vec<Option<usize>> = project.opened.iter().map(at).collect();
        spells.sort();
        spells.dedup();
        for spell in spells {
            let rows_with = |plugs: bool, has: fn(&Opened) -> bool| {
                let rows = project.opened.iter();
                rows.filter(|opened| at(opened) == spell && is_plug(opened) == plugs)
                    .map(|opened| (opened.opening.clone(), has(opened)))
                    .collect::<Vec<_>>()
            };
            let when = match spell.and_then(|number| project.positions.get(number)) {
                Some(position) => format!(" in {}", position.id),
                None => String::new(),
            };
            let stage = (Openings, BeforeFlooding, spell);
            let file = OPENED_SPEC.path;
            let closed = |opened: &Opened| opened.closed_at.is_some();
            let signed = |opened: &Opened| opened.closed_by.is_some();
            let tested = |opened: &Opened| opened.tested_how.is_some();
            self.ask(
                stage,
                file,
                format!("when every docking plug drawn{when} was refitted"),
                rows_with(true, closed),
            );
            self.ask(
                stage,
                file,
                format!("when every opening opened{when} was closed"),
                rows_with(false, closed),
            );
            let both =
                |has: fn(&Opened) -> bool| [rows_with(true, has), rows_with(false, has)].concat();
            self.ask(
                stage,
                file,
                format!("who closed every opening and plug opened{when}"),
                both(signed),
            );
            self.ask(
                stage,
                file,
                format!("how the tightness of every opening and plug opened{when} was tested"),
                both(tested),
            );
        }
    }
}
