//! Mistakes that leave a record readable: each is put into the sample, and exactly one cause must be named for all that
//! comes out otherwise than in the sample as it stands.
//!
//! A row of a table in `tests/mistakes/doubtful/` is written as one of `table.rs`. What stands below `--` is said: a
//! line for each group of findings that follow from one record, with the id and the outcome of the first of them, how
//! many others follow, and the record.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::OnceLock;

use lastdock::findings::Examined;
use lastdock::findings::cause::group;
use lastdock::findings::finding::{Finding, Outcome};

use super::table::{Mistake, rows};
use crate::common::{self, Project, expected, sample};

/// The tables, by their names.
fn tables() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes/doubtful");
    let entries = fs::read_dir(folder).expect("the tables");
    let name = |entry: fs::DirEntry| entry.file_name().into_string().expect("a name");
    let mut names: Vec<String> = entries.map(|entry| name(entry.expect("a table"))).collect();
    names.sort();
    names.into_iter().map(|name| format!("tests/mistakes/doubtful/{name}")).collect()
}

/// The sample as it stands, by the ids of its findings.
fn untouched() -> &'static BTreeMap<String, (Outcome, String)> {
    static UNTOUCHED: OnceLock<BTreeMap<String, (Outcome, String)>> = OnceLock::new();
    UNTOUCHED.get_or_init(|| {
        let examined = common::examined(&sample());
        let told = |finding: Finding| (finding.id, (finding.outcome, finding.sentence.to_string()));
        examined.findings.into_iter().map(told).collect()
    })
}

/// Findings that do not agree and say something else than in the untouched sample, a line for each group of them.
fn causes(mistaken: Examined) -> Vec<String> {
    let mut otherwise: Vec<Finding> = mistaken.findings;
    otherwise.retain(|finding| {
        let before = untouched().get(&finding.id);
        let is_as_before = before.is_some_and(|(outcome, sentence)| {
            *outcome == finding.outcome && *sentence == finding.sentence.to_string()
        });
        finding.outcome != Outcome::Agrees && !is_as_before
    });
    // Answers were given to the untouched sample.
    for finding in &mut otherwise {
        finding.remark = None;
        finding.earlier.clear();
    }
    let line = |group: lastdock::findings::cause::Group<'_>| {
        let record = group.cause().map(|cause| format!(", {}", cause.place)).unwrap_or_default();
        let first = group.first;
        format!("{}: {}, {} more follow{record}", first.id, first.outcome, group.rest.len())
    };
    group(&otherwise).into_iter().map(line).collect()
}

fn causes_of(mistake: &Mistake) -> Vec<String> {
    let project = Project::copied();
    mistake.make(&project);
    causes(common::examined(&project.root()))
}

#[test]
fn each_mistake_has_one_cause() {
    let (mut several, mut wrong) = (Vec::new(), String::new());
    for file in tables() {
        let mistakes = rows(&file);
        let said = mistakes.iter().map(|mistake| {
            let causes = causes_of(mistake);
            if causes.len() != 1 {
                several.push(format!("{file}, {}: {causes:#?}", mistake.what));
            }
            let changes = mistake.changes.join("\n");
            format!("## {}\n{changes}\n--\n{}\n", mistake.what, causes.join("\n"))
        });
        let said = said.collect::<Vec<_>>().join("\n");
        wrong.extend(expected::hold(&file, &said).err());
    }
    assert!(several.is_empty(), "not one cause:\n{}", several.join("\n"));
    assert!(wrong.is_empty(), "{wrong}");
}
