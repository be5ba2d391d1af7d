//! Does a bundle still say what its records say? Its findings against those that its records give now.

use std::collections::BTreeMap;

use super::layout;
use super::open::{Bundle, Kept};
use crate::findings::written::{FigureWritten, FindingWritten, FindingsWritten};
use crate::findings::{self, written};
use crate::records;
use crate::records::problem::Problems;

/// What came of recomputing a bundle.
#[derive(Debug)]
pub enum Recomputation {
    /// Every finding of the bundle comes out the same.
    Agrees {
        /// How many findings were compared.
        compared: usize,
        /// How many this version of the program makes beyond those of the version that wrote it.
        new: usize,
        /// How many of the bundle's findings differ or are beyond a limit without an answer.
        unanswered: usize,
    },
    /// Some findings do not come out the same, a sentence each.
    Differs(Vec<String>),
    /// It could not be done, for these reasons.
    Impossible(Vec<String>),
}

impl Recomputation {
    /// What is not well, a sentence each.
    pub fn troubles(&self) -> &[String] {
        match self {
            Recomputation::Agrees { .. } => &[],
            Recomputation::Differs(sentences) | Recomputation::Impossible(sentences) => sentences,
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
                drop(examined);
                return compare(&kept, &now);
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

fn compare(kept: &FindingsWritten, now: &FindingsWritten) -> Recomputation {
    let (old, new) = (by_id(kept), by_id(now));
    let mut differences = Vec::new();
    if old.len() != kept.findings.len() {
        differences.push(format!("{} lists a finding twice", layout::FINDINGS_JSON));
    }
    for (id, was) in &old {
        match new.get(id) {
            None => differences.push(format!("{id}: the records give no such finding")),
            Some(is) => differences.extend(difference(was, is, kept.program == now.program)),
        }
    }
    let more: Vec<&str> = new.keys().copied().filter(|id| !old.contains_key(id)).collect();
    // A later version may make more findings; the version that wrote the bundle may not.
    if kept.program == now.program {
        differences.extend(
            more.iter().map(|id| format!("{id}: the records give it, and findings.json lacks it")),
        );
        if kept.counts != now.counts {
            differences
                .push("the counts of findings.json are not those of its findings".to_string());
        }
    }
    if kept.ship != now.ship {
        differences.push(format!(
            "the ship is {} in findings.json and {} in the records",
            kept.ship, now.ship
        ));
    }
    if differences.is_empty() {
        let (compared, new) = (old.len(), more.len());
        Recomputation::Agrees { compared, new, unanswered: now.counts.unanswered }
    } else {
        Recomputation::Differs(differences)
    }
}

/// How one finding differs from what it was. Sentences may be worded anew by a later version and are
/// not compared.
fn difference(was: &FindingWritten, is: &FindingWritten, same_program: bool) -> Option<String> {
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
        if !alike(was.as_ref(), is.as_ref(), same_program) {
            return Some(format!(
                "{id}: {what} is {} in the bundle, and its records give {}",
                shown(was.as_ref()),
                shown(is.as_ref())
            ));
        }
    }
    (was.remark != is.remark).then(|| format!("{id}: its remark is not the one in the records"))
}

/// Numbers are rounded as they are printed. The same program gives the same digits; in another version
/// one unit of the third decimal may go either way.
fn alike(was: Option<&FigureWritten>, is: Option<&FigureWritten>, same_program: bool) -> bool {
    match (was, is) {
        (
            Some(FigureWritten::Measure { value: a, unit: u }),
            Some(FigureWritten::Measure { value: b, unit: v }),
        ) if !same_program => u == v && (a - b).abs() <= 0.001_000_1_f64.max(1e-9 * a.abs()),
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
