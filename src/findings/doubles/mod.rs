//! What stands twice: rows pasted in again, things recorded twice where there can be one, and runs of readings copied
//! from one place to another.

mod alike;
mod once;
mod rows;
mod runs;

use super::finding::Finding;
use super::judge::agrees;
use crate::findings::subject::Subject;
use crate::records::Project;
use crate::records::place::Place;
use crate::text;
use crate::text::count;

/// Every finding of what stands twice, and one that says what was looked through.
pub fn findings(project: &Project) -> Vec<Finding> {
    let filled = || project.sheets.iter().filter(|sheet| !sheet.entries.is_empty());
    let examined: usize = filled().map(|sheet| sheet.entries.len()).sum();
    if examined == 0 {
        return Vec::new();
    }
    let tables = || count(filled().count(), "table", "tables");
    let mut found = alike::findings(project);
    found.extend(once::findings(project));
    found.extend(runs::findings(project));
    let judgement = agrees(match found.len() {
        0 => text!(
            "{} of {} were looked through for what stands twice; none does that could be told from honest \
             repeats.",
            count(examined, "row", "rows"),
            tables()
        ),
        several => text!(
            "{} of {} were looked through for what stands twice; what does is told in {}.",
            count(examined, "row", "rows"),
            tables(),
            count(several, "finding of its own", "findings of their own")
        ),
    });
    let files: Vec<Place> = filled().map(|sheet| Place::file(sheet.spec.path)).collect();
    found.push(judgement.finding(Subject::Doubles).from(&files));
    found
}
