//! The record held against its recomputation: one file per section of the report.

pub mod changes;
pub mod chronology;
pub mod coating;
pub mod drafts;
pub mod exposure;
pub mod film;
pub mod finding;
pub mod harmless;
pub mod history;
pub mod landing;
pub mod loads;
mod naming;
pub mod openings;
pub mod papers;
pub mod plan;
pub mod plating;
pub mod positions;
pub mod progress;
pub mod recomputed;
pub mod shifts;
pub mod written;

use std::sync::OnceLock;

use finding::{Finding, Outcome};
use recomputed::Recomputed;
use shifts::{Ask, Earlier, told::Told};

use crate::records::Project;
use crate::records::problem::{Problem, Problems};
use crate::records::value::nearest;

/// A project with all that was recomputed from it and found.
#[derive(Debug)]
pub struct Examined {
    /// What was written down.
    pub project: Project,
    /// What comes out of it.
    pub recomputed: Recomputed,
    /// How the two compare, section by section.
    pub findings: Vec<Finding>,
    /// Worked out for those who ask.
    shifts: OnceLock<Result<Told, String>>,
}

impl Examined {
    /// How many findings came out so.
    pub fn count(&self, outcome: Outcome) -> usize {
        self.findings.iter().filter(|finding| finding.outcome == outcome).count()
    }

    /// Which shift to choose on these blocks, and where to land next time so that what this docking and the
    /// earlier ones on its record left is reached; or why nothing can be said, in a sentence. Worked out once,
    /// when it is first asked for.
    pub fn shift_to_choose(&self) -> Result<&Told, &str> {
        let told = || {
            let mut earlier =
                vec![Earlier::of(shifts::THIS_DOCKING, &self.project, &self.recomputed)];
            earlier.extend(Earlier::on_record(&self.project, &self.recomputed));
            shifts::tell(self, &Ask::default(), &earlier).map_err(|refusals| {
                let wrongs = refusals.iter().map(|refusal| refusal.wrong.as_str());
                format!("The record {}.", wrongs.collect::<Vec<_>>().join(", "))
            })
        };
        self.shifts.get_or_init(told).as_ref().map_err(String::as_str)
    }

    /// The findings that differ or are beyond a limit and that nobody has answered.
    pub fn unanswered(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|finding| finding.wants_answer())
    }
}

/// Recomputes a project and compares. A remark that answers no finding is a problem.
pub fn examine(project: Project) -> Result<Examined, Vec<Problem>> {
    let recomputed = Recomputed::new(&project);
    let mut findings = plan::findings(&project);
    findings.extend(positions::findings(&project, &recomputed));
    findings.extend(exposure::findings(&project, &recomputed));
    findings.extend(openings::findings(&project, &recomputed));
    findings.extend(drafts::findings(&project, &recomputed));
    findings.extend(landing::findings(&project, &recomputed));
    findings.extend(loads::findings(&project, &recomputed));
    findings.extend(coating::findings(&project, &recomputed));
    findings.extend(film::findings(&project, &recomputed));
    findings.extend(plating::findings(&project, &recomputed));
    findings.extend(chronology::findings(&project, &recomputed));
    findings.extend(papers::findings(&project));
    findings.extend(history::findings(&project, &recomputed));
    attach_remarks(&project, &mut findings)?;
    Ok(Examined { project, recomputed, findings, shifts: OnceLock::new() })
}

fn attach_remarks(project: &Project, findings: &mut [Finding]) -> Result<(), Vec<Problem>> {
    let mut problems = Problems::default();
    for remark in &project.remarks {
        match findings.iter_mut().find(|finding| finding.id == remark.finding) {
            Some(finding) => finding.remark = Some(remark.clone()),
            None => {
                let ids = findings.iter().map(|finding| finding.id.as_str());
                let advice = match nearest(&remark.finding, ids) {
                    Some(near) => format!("write {near}"),
                    None => {
                        "see the ids that the command check prints, and correct it or take the \
                             remark out"
                            .to_string()
                    }
                };
                problems.add(
                    Problem::new(remark.place.clone(), "is not a finding of this project")
                        .value(remark.finding.clone())
                        .expected("the id of a finding")
                        .advice(advice),
                );
            }
        }
    }
    if problems.is_empty() { Ok(()) } else { Err(problems.into_sorted()) }
}
