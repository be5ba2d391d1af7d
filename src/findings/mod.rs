//! The record held against its recomputation: one file per section of the report.

pub mod among;
pub mod answers;
pub mod bilge;
pub mod blanks;
pub mod cause;
pub mod changes;
pub mod chronology;
pub mod coating;
pub mod curves;
pub mod day;
pub mod divers;
mod doubles;
pub mod drafts;
pub mod exceptions;
pub mod exposure;
pub mod film;
pub mod finding;
pub mod harmless;
pub mod history;
pub mod holds;
pub mod hydrostatics;
mod instruments;
pub mod judge;
pub mod landing;
pub mod loads;
pub mod naming;
pub mod openings;
pub mod papers;
mod places;
pub mod plan;
mod planned;
pub mod plating;
pub mod positions;
pub mod progress;
mod ranges;
pub mod recomputed;
mod repairs;
mod rests;
pub mod shifts;
pub mod subject;
pub mod written;

use std::collections::BTreeMap;
use std::sync::OnceLock;

use among::answer::Among;
use finding::{Finding, Outcome};
use recomputed::Recomputed;
use recomputed::shifts::Shifts;
use shifts::Earlier;
use shifts::answer::Answer;
use subject::Subject;

use crate::records::Project;
use crate::records::problem::Problem;
use crate::records::remarks::Remark;
use crate::text::Text;

/// A project with all that was recomputed from it and found.
#[derive(Debug)]
pub struct Examined {
    /// What was written down.
    pub project: Project,
    /// What comes out of it.
    pub recomputed: Recomputed,
    /// How the two compare, section by section.
    pub findings: Vec<Finding>,
    /// Where in that list each finding stands, by its id.
    by_id: BTreeMap<String, usize>,
    /// Answers whose finding is not in this record.
    pub without_finding: Vec<Remark>,
    /// Worked out for those who ask.
    shifts: OnceLock<Result<(Answer, Shifts), String>>,
    /// The same of the docking as planned.
    planned: OnceLock<Option<Box<Examined>>>,
    among: OnceLock<Option<Among>>,
}

impl Examined {
    fn new(
        project: Project,
        recomputed: Recomputed,
        findings: Vec<Finding>,
        without_finding: Vec<Remark>,
    ) -> Self {
        let by_id = findings.iter().map(|finding| finding.id.clone()).zip(0..).collect();
        Self {
            project,
            recomputed,
            findings,
            by_id,
            without_finding,
            shifts: OnceLock::new(),
            among: OnceLock::new(),
            planned: OnceLock::new(),
        }
    }

    /// The docking as planned, examined by the same calculations as if the plan had been recorded, when it is first asked
    /// for; `None` if no position is planned.
    pub fn as_planned(&self) -> Option<&Examined> {
        let examined = || {
            let project = self.project.as_planned()?;
            let recomputed = Recomputed::new(&project);
            let findings = compared(&project, &recomputed);
            let findings = findings.into_iter().filter(|finding| finding.subject.is_of_plans());
            let findings = findings.map(|finding| finding.of_the_plan(Text::new())).collect();
            Some(Box::new(Examined::new(project, recomputed, findings, Vec::new())))
        };
        self.planned.get_or_init(examined).as_deref()
    }

    /// The finding on a subject.
    pub fn finding(&self, subject: &Subject) -> Option<&Finding> {
        self.finding_called(&subject.to_string())
    }

    /// The finding of an id, as a person or an old bundle writes it.
    pub fn finding_called(&self, id: &str) -> Option<&Finding> {
        self.findings.get(*self.by_id.get(id)?)
    }

    /// How many findings came out so.
    pub fn count(&self, outcome: Outcome) -> usize {
        self.findings.iter().filter(|finding| finding.outcome == outcome).count()
    }

    /// Which shift to choose, worked out once, when it is first asked for: see [`shifts::shift_to_choose`].
    pub fn shift_to_choose(&self) -> Result<&Answer, &str> {
        self.shift_study().map(|(answer, _)| answer)
    }

    /// The same with the study behind it, for whoever asks it about other shifts.
    pub fn shift_study(&self) -> Result<&(Answer, Shifts), &str> {
        let answer = || shifts::shift_to_choose(&self.project, &self.recomputed);
        self.shifts.get_or_init(answer).as_ref().map_err(String::as_str)
    }

    /// The positions that the plan offers, compared once, when that is first asked for, with the earlier dockings on
    /// record; `None` where the plan's are not on record, or more than can be compared.
    pub fn among(&self) -> Option<&Among> {
        let compared = || {
            let query = among::Query::all(&self.project).ok()?;
            let earlier = Earlier::on_record(&self.project, &self.recomputed);
            Some(among::among(&self.project, &self.recomputed, &query, &earlier))
        };
        self.among.get_or_init(compared).as_ref()
    }

    /// The findings that differ or are beyond a limit and that nobody has answered.
    pub fn unanswered(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|finding| finding.wants_answer())
    }
}

/// Recomputes a project and compares. Where nothing is recorded yet, what is planned is examined in its place. Two remarks
/// that answer what a finding says now are a problem.
pub fn examine(project: Project) -> Result<Examined, Vec<Problem>> {
    let recomputed = Recomputed::new(&project);
    let mut findings = compared(&project, &recomputed);
    if let Some(expected) = project.as_expected() {
        let ahead = compared(&expected, &Recomputed::new(&expected));
        let positions = project.positions.iter().filter(|position| project.is_ahead(position));
        let positions: Vec<&str> = positions.map(|position| position.id.as_str()).collect();
        findings = planned::joined(findings, ahead, &positions);
    }
    let without_finding = answers::attach(&project.remarks, &mut findings)?;
    Ok(Examined::new(project, recomputed, findings, without_finding))
}

/// All findings of a project, section by section.
fn compared(project: &Project, recomputed: &Recomputed) -> Vec<Finding> {
    let mut findings = plan::findings(project);
    findings.extend(positions::findings(project, recomputed));
    findings.extend(divers::findings(project, recomputed));
    findings.extend(exposure::findings(project, recomputed));
    findings.extend(openings::findings(project, recomputed));
    findings.extend(hydrostatics::findings(project, recomputed));
    findings.extend(drafts::findings(project, recomputed));
    findings.extend(curves::findings(project, recomputed));
    findings.extend(landing::findings(project, recomputed));
    findings.extend(loads::findings(project, recomputed));
    findings.extend(bilge::findings(project));
    findings.extend(holds::findings(project));
    findings.extend(coating::findings(project, recomputed));
    findings.extend(film::findings(project, recomputed));
    findings.extend(plating::findings(project, recomputed));
    findings.extend(chronology::findings(project, recomputed));
    findings.extend(papers::findings(project));
    findings.extend(doubles::findings(project));
    findings.extend(ranges::findings(project));
    findings.extend(places::findings(project));
    findings.extend(history::findings(project, recomputed));
    findings.iter_mut().for_each(Finding::tell_figures_apart);
    cause::follow_doubts(&mut findings, project);
    findings
}
