//! The record held against its recomputation: one file per section of the report.

pub mod finding;
pub mod recomputed;

use finding::{Finding, Outcome};
use recomputed::Recomputed;

use crate::records::Project;
use crate::records::problem::Problem;

/// A project with all that was recomputed from it and found.
#[derive(Debug)]
pub struct Examined {
    /// What was written down.
    pub project: Project,
    /// What comes out of it.
    pub recomputed: Recomputed,
    /// How the two compare.
    pub findings: Vec<Finding>,
}

impl Examined {
    /// How many findings came out so.
    pub fn count(&self, outcome: Outcome) -> usize {
        self.findings.iter().filter(|finding| finding.outcome == outcome).count()
    }

    /// The findings that differ or are beyond a limit and that nobody has answered.
    pub fn unanswered(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|finding| finding.wants_answer())
    }
}

/// Recomputes a project and compares. A remark that answers no finding is a problem.
pub fn examine(project: Project) -> Result<Examined, Vec<Problem>> {
    let recomputed = Recomputed::new(&project);
    let findings = Vec::new();
    Ok(Examined { project, recomputed, findings })
}
