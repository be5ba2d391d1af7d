//! Checks that a bundle's findings still follow from its records: compares them with those that the records give now.

use std::collections::{BTreeMap, BTreeSet};

use super::layout;
use super::open::{Bundle, Kept};
use crate::findings::changes::{RuleChange, Version, explaining, former_ids};
use crate::findings::written::{
    Counts, FigureWritten, FindingWritten, FindingsWritten, RemarkWritten,
};
use crate::findings::{self, written};
use crate::records;
use crate::records::problem::Problems;

/// The result of recomputing a bundle.
#[derive(Debug)]
pub enum Recomputation {
    /// Its findings were compared with those that its records give now.
    Compared(Comparison),
    /// It could not be done, for these reasons.
    Impossible(Vec<String>),
}

/// A bundle's findings beside those that its records give now.
#[derive(Debug, Default)]
pub struct Comparison {
    /// Program and version that wrote the bundle.
    pub written_by: String,
    /// Whether the program that compares is of that version.
    pub same_version: bool,
    /// How many findings come out the same.
    pub same: usize,
    /// How many of those compared have another id in this version.
    pub renamed: usize,
    /// How many this version makes beyond those of the version that wrote the bundle.
    pub new: usize,
    /// Findings that this version computes otherwise, under the changes of rules that explain it.
    pub otherwise: Vec<Otherwise>,
    /// What does not come out the same and is not explained, a sentence each.
    pub differences: Vec<String>,
    /// How many findings that the records give now differ or are beyond a limit without an answer.
    pub unanswered: usize,
}

/// What changes of rules explain: each of the findings comes out otherwise by one of them, or by several.
#[derive(Debug)]
pub struct Otherwise {
    /// The changes.
    pub changes: Vec<&'static RuleChange>,
    /// What comes out otherwise, a sentence a finding.
    pub findings: Vec<String>,
}

impl Comparison {
    /// How many findings are computed otherwise, and explained.
    pub fn otherwise_count(&self) -> usize {
        self.otherwise.iter().map(|otherwise| otherwise.findings.len()).sum()
    }

    fn explain(&mut self, changes: Vec<&'static RuleChange>, sentence: String) {
        match self.otherwise.iter_mut().find(|otherwise| otherwise.changes == changes) {
            Some(otherwise) => otherwise.findings.push(sentence),
            None => self.otherwise.push(Otherwise { changes, findings: vec![sentence] }),
        }
    }
}

impl Recomputation {
    /// Whether the bundle's findings follow from its records, but for what a change of a rule explains.
    pub fn is_well(&self) -> bool {
        matches!(self, Recomputation::Compared(comparison) if comparison.differences.is_empty())
    }

    /// What is wrong, a sentence each.
    pub fn troubles(&self) -> &[String] {
        match self {
            Recomputation::Compared(comparison) => &comparison.differences,
            Recomputation::Impossible(sentences) => sentences,
        }
    }
}

/// Recomputes from `data/records` and compares with `data/findings.json`.
pub fn recompute(bundle: &Bundle, program: &str) -> Recomputation {
    let kept = match read_findings(bundle) {
        Ok(kept) => kept,
        Err(reason) => return Recomputation::Impossible(vec![reason]),
    };
    let problems = match records::read(&Kept::new(bundle), Problems::default()) {
        Ok(project) => match findings::examine(project) {
            Ok(examined) => {
                let now = FindingsWritten::new(&examined, program);
                let ids = now.findings.iter().map(|finding| finding.id.as_str());
                let version = Version::of_program(&kept.program);
                let former = version.map(|version| former_ids(&examined.project, ids, version));
                drop(examined);
                return compare(&kept, &now, &former.unwrap_or_default());
            }
            Err(problems) => problems,
        },
        Err(problems) => problems,
    };
    Recomputation::Impossible(
        problems.iter().map(|problem| format!("records can't be read: {problem}")).collect(),
    )
}

fn read_findings(bundle: &Bundle) -> Result<FindingsWritten, String> {
    let path = layout::FINDINGS_JSON;
    let bytes = bundle.read(path).map_err(|error| format!("{path} can't be read: {error}"))?;
    let kept: FindingsWritten = serde_json::from_slice(&bytes)
        .map_err(|error| format!("{path} is not what this program writes: {error}"))?;
    if kept.format != written::FORMAT {
        return Err(format!(
            "{path} has format {}, and this program reads format {}; use a newer program",
            kept.format,
            written::FORMAT
        ));
    }
    Ok(kept)
}

fn by_id(all: &FindingsWritten) -> BTreeMap<&str, &FindingWritten> {
    all.findings.iter().map(|finding| (finding.id.as_str(), finding)).collect()
}

fn compare(
    kept: &FindingsWritten,
    now: &FindingsWritten,
    former: &BTreeMap<&str, String>,
) -> Recomputation {
    let (old, mut new) = (by_id(kept), by_id(now));
    // A finding that had another id when the bundle was written is compared under that id.
    let mut renamed = BTreeSet::new();
    if kept.program != now.program {
        let of_rows = renamed_rows(&old, &new);
        let names = former.iter().map(|(id, then)| (*id, then.as_str())).chain(of_rows);
        for (id, then) in names {
            if old.contains_key(then)
                && !new.contains_key(then)
                && let Some(finding) = new.remove(id)
            {
                new.insert(then, finding);
                renamed.insert(then);
            }
        }
    }
    let same_version = kept.program == now.program;
    let version = Version::of_program(&kept.program);
    let mut comparison = Comparison {
        written_by: kept.program.clone(),
        same_version,
        renamed: renamed.len(),
        unanswered: now.counts.unanswered,
        ..Comparison::default()
    };
    if old.len() != kept.findings.len() {
        comparison.differences.push(format!("{} lists a finding twice", layout::FINDINGS_JSON));
    }
    for (id, was) in &old {
        let difference = match new.get(id) {
            None => Some(format!("{id}: the records give no such finding")),
            Some(is) => difference(was, is, same_version, now),
        };
        let Some(sentence) = difference else {
            comparison.same += 1;
            continue;
        };
        let as_planned = new.get(id).is_some_and(|is| is.as_planned);
        let changes = version.map_or_else(Vec::new, |version| explaining(id, version, as_planned));
        if changes.is_empty() {
            comparison.differences.push(sentence);
        } else {
            comparison.explain(changes, sentence);
        }
    }
    // A later version may make more findings; the version that wrote the bundle may not.
    for id in new.keys().filter(|id| !old.contains_key(*id)) {
        if same_version {
            let sentence = format!("{id}: the records give it, but findings.json lacks it");
            comparison.differences.push(sentence);
        } else {
            comparison.new += 1;
        }
    }
    // Whose remark counts as an answer is a rule too: of another version only the outcomes are counted.
    let counted = Counts::tally(&kept.findings, kept.counts.unanswered);
    let counted = if same_version { now.counts.clone() } else { counted };
    if kept.counts != counted {
        let sentence = "the counts of findings.json are not those of its findings".to_string();
        comparison.differences.push(sentence);
    }
    if same_version && kept.answers_without_finding != now.answers_without_finding {
        let sentence = "the answers without a finding are not those in the records".to_string();
        comparison.differences.push(sentence);
    }
    if kept.ship != now.ship {
        comparison.differences.push(format!(
            "the ship is {} in findings.json and {} in the records",
            kept.ship, now.ship
        ));
    }
    Recomputation::Compared(comparison)
}

/// How one finding differs from what it was. Sentences may be worded anew by a later version and are
/// not compared.
fn difference(
    was: &FindingWritten,
    is: &FindingWritten,
    same_version: bool,
    now: &FindingsWritten,
) -> Option<String> {
    let id = &was.id;
    if was.outcome != is.outcome {
        return Some(format!(
            "{id}: the bundle says \"{}\", its records give \"{}\"",
            was.outcome, is.outcome
        ));
    }
    let bound = |finding: &FindingWritten| finding.against.as_ref().map(|a| a.value.clone());
    let pairs = [
        ("recorded", was.recorded.clone(), is.recorded.clone()),
        ("recomputed", was.recomputed.clone(), is.recomputed.clone()),
        ("the bound", bound(was), bound(is)),
    ];
    for (what, was, is) in pairs {
        if !alike(was.as_ref(), is.as_ref(), same_version) {
            return Some(format!(
                "{id}: {what} is {} in the bundle, and its records give {}",
                shown(was.as_ref()),
                shown(is.as_ref())
            ));
        }
    }
    let same = if same_version {
        (&was.remark, &was.earlier_remarks) == (&is.remark, &is.earlier_remarks)
    } else {
        // Another version may judge differently whether an answer still fits the finding, and an answer under the
        // former id is among those without a finding.
        let beside = now.answers_without_finding.iter().filter(|answer| answer.finding == was.id);
        remarks(was, []) == remarks(is, beside.map(|answer| &answer.remark))
    };
    (!same).then(|| format!("{id}: its remark is not the one in the records"))
}

/// All answers to a finding, whether they fit it or not, by day.
fn remarks<'a>(
    finding: &'a FindingWritten,
    beside: impl IntoIterator<Item = &'a RemarkWritten>,
) -> Vec<&'a RemarkWritten> {
    let mut all: Vec<&RemarkWritten> =
        finding.remark.iter().chain(&finding.earlier_remarks).chain(beside).collect();
    all.sort_by_key(|remark| (&remark.on, &remark.by, &remark.answer));
    all
}

/// Findings of single rows whose ids changed, each as its id now and then: before 0.2.0, rows with equal keys were
/// numbered by their order in the file. They are identified by their rows.
fn renamed_rows<'a>(
    old: &BTreeMap<&'a str, &'a FindingWritten>,
    new: &BTreeMap<&'a str, &'a FindingWritten>,
) -> Vec<(&'a str, &'a str)> {
    let family = |id: &'a str| {
        let marks = [".gap.", ".check.", ".sighting."];
        marks.iter().find_map(|mark| Some(&id[..id.find(mark)? + mark.len()]))
    };
    let row = |id: &'a str, finding: &'a FindingWritten| {
        let place = finding.records.first()?;
        Some((family(id)?, place.file.as_str(), place.line?))
    };
    let gone = old.iter().filter(|(id, _)| !new.contains_key(*id));
    let then: BTreeMap<_, &str> =
        gone.filter_map(|(id, finding)| Some((row(id, finding)?, *id))).collect();
    let come = new.iter().filter(|(id, _)| !old.contains_key(*id));
    come.filter_map(|(id, finding)| Some((*id, *then.get(&row(id, finding)?)?))).collect()
}

/// Whether two figures are equal. Numbers are rounded as they are printed: the same version gives the same digits, and
/// another may differ by one unit of the third decimal.
fn alike(was: Option<&FigureWritten>, is: Option<&FigureWritten>, same_version: bool) -> bool {
    match (was, is) {
        (
            Some(FigureWritten::Measure { value: a, unit: u }),
            Some(FigureWritten::Measure { value: b, unit: v }),
        ) if !same_version => u == v && (a - b).abs() <= 0.001_000_1_f64.max(1e-9 * a.abs()),
        (was, is) => was == is,
    }
}

fn shown(figure: Option<&FigureWritten>) -> String {
    match figure {
        None => "nothing".to_string(),
        Some(FigureWritten::Measure { value, unit }) => format!("{value} {unit}"),
        Some(FigureWritten::Count { count }) => count.to_string(),
        Some(FigureWritten::Words { words }) => format!("\"{words}\""),
    }
}
