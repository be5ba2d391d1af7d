//! Papers that are listed and missing, or there and not listed.

use super::finding::{Figure, Finding, Outcome};
use crate::records::Project;

/// Every finding of the papers.
pub fn findings(project: &Project) -> Vec<Finding> {
    let mut found: Vec<Finding> = project
        .papers
        .iter()
        .map(|paper| {
            let there = project.files.contains_key(&paper.path());
            let (words, outcome) = if there {
                ("is there", Outcome::Agrees)
            } else {
                ("is listed, and the file is not there", Outcome::NotRecorded)
            };
            let sentence = format!("Paper {} {words}.", paper.file);
            Finding::new(format!("papers.{}.file", paper.file), sentence, outcome)
                .from([&paper.place])
        })
        .collect();
    let unlisted: Vec<&str> = project
        .paper_files()
        .map(|(name, _)| name)
        .filter(|name| !project.papers.iter().any(|paper| paper.file == *name))
        .collect();
    if !project.papers.is_empty() || !unlisted.is_empty() {
        let (sentence, outcome) = if unlisted.is_empty() {
            ("Every file in papers/ is listed.".to_string(), Outcome::Agrees)
        } else {
            (
                format!(
                    "What these files in papers/ are was not recorded: {}.",
                    unlisted.join(", ")
                ),
                Outcome::NotRecorded,
            )
        };
        found.push(
            Finding::new("papers.unlisted", sentence, outcome)
                .recomputed(Figure::Count(unlisted.len() as u64)),
        );
    }
    found
}
