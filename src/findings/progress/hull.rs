//! Plating, anodes, papers, answers and the last words.

use super::List;
use super::Section::{Closeout, Hull, Papers};
use super::Stage::{BeforeClosing, BeforeFlooding};
use crate::records::plating::{Anode, Gauging};
use crate::records::{docking, papers, plating, remarks};

impl List<'_> {
    pub(super) fn hull(&mut self) {
        let project = self.project;
        let closing = (Hull, BeforeClosing, None);
        if project.plating.is_empty() {
            self.ask(
                closing,
                plating::SPEC.path,
                "gaugings of the plating",
                [("a gauging".to_string(), false)],
            );
        }
        let name = |gauging: &Gauging| format!("{} {}", gauging.strake, gauging.plate);
        let every_gauging = |has: fn(&Gauging) -> bool| {
            project.plating.iter().map(move |gauging| (name(gauging), has(gauging)))
        };
        self.ask(
            closing,
            plating::SPEC.path,
            "the original thickness of every plate gauged",
            every_gauging(|gauging| gauging.original_m.is_some()),
        );
        self.ask(
            closing,
            plating::SPEC.path,
            "what every gauging is held against",
            every_gauging(|gauging| gauging.limit.is_some()),
        );
        let every_anode = |has: fn(&Anode) -> bool| {
            project.anodes.iter().map(move |anode| (anode.id.clone(), has(anode)))
        };
        self.ask(
            (Hull, BeforeFlooding, None),
            plating::ANODES_SPEC.path,
            "every anode as found",
            every_anode(|anode| anode.mass_found_t.is_some()),
        );
        self.ask(
            (Hull, BeforeFlooding, None),
            plating::ANODES_SPEC.path,
            "whether every anode was renewed",
            every_anode(|anode| anode.renewed.is_some()),
        );
    }

    pub(super) fn papers(&mut self) {
        let project = self.project;
        let listed = project.listed_papers();
        self.ask(
            (Papers, BeforeClosing, None),
            papers::SPEC.path,
            "a row for every file in papers/",
            project.paper_files().map(|(name, _)| (name.to_string(), listed.contains_key(name))),
        );
        self.ask(
            (Papers, BeforeClosing, None),
            papers::SPEC.path,
            "the file of every paper that is listed",
            project
                .papers
                .iter()
                .map(|paper| (paper.file.clone(), project.files.contains_key(&paper.path()))),
        );
    }

    pub(super) fn closeout(&mut self) {
        let docking = &self.project.docking;
        let here = (Closeout, BeforeClosing, None);
        self.ask(
            here,
            docking::SPEC.path,
            "the days of the docking, the people in it, and who closes the record",
            [
                ("[period] began".to_string(), docking.period.0.is_some()),
                ("[period] ended".to_string(), docking.period.1.is_some()),
                ("[[people]]".to_string(), !docking.people.is_empty()),
                ("[closeout]".to_string(), docking.closeout.is_some()),
            ],
        );
        let findings = self.examined.findings.iter();
        let answers: Vec<(String, bool)> = findings
            .filter(|finding| finding.is_troubled())
            .map(|finding| (finding.id.clone(), finding.remark.is_some()))
            .collect();
        self.ask(
            here,
            remarks::SPEC.path,
            "an answer to every finding that differs or is beyond a limit",
            answers,
        );
    }
}
