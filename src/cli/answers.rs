//! `lastdock answers`: blanks for the answers that findings wait for, added to `remarks.toml`.

use std::path::{Path, PathBuf};

use clap::Args;

use super::added;
use super::page::Page;
use super::print;
use super::project;
use super::say;
use super::status::Status;
use super::terminal::Terminal;
use crate::bundle::error::BundleError;
use crate::findings::Examined;
use crate::findings::answers::state;
use crate::findings::blanks::blank;
use crate::findings::finding::Finding;
use crate::pages::{Column, Table};
use crate::records::remarks;
use crate::records::store::Folder;
use crate::text::id;

/// What `answers` takes.
#[derive(Debug, Args)]
pub struct Answers {
    /// The project's folder
    project: PathBuf,
    /// Ids of findings that one answer serves: adds one blank for all of them, and no other
    #[arg(value_name = "FINDING")]
    findings: Vec<String>,
    /// Print the blanks without writing them
    #[arg(long)]
    dry_run: bool,
    /// Print what was added as JSON
    #[arg(long)]
    json: bool,
}

/// Runs it.
pub fn run(args: &Answers) -> Status {
    let Some((folder, examined)) = project::examine(&args.project, args.json, project::Stream::Err)
    else {
        return Status::NotDone;
    };
    let blanks = match wanted(args, &examined) {
        Ok(blanks) => blanks,
        Err(errors) => return say::print_errors(&errors, args.json),
    };
    let texts: Vec<String> = blanks.iter().map(|findings| blank(findings)).collect();
    let write = !args.dry_run && !blanks.is_empty();
    if write && let Err(errors) = add(&args.project, &folder, &texts) {
        return say::print_errors(&errors, args.json);
    }
    if args.json {
        say::print_json(&to_json(args, &blanks, &examined, write));
    } else if args.dry_run {
        say::print_plain(&texts.join("\n"));
    } else {
        say::print(&render(args, &blanks, &examined));
    }
    Status::Well
}

/// The blanks to add, each with the findings that it is for: one for those that are named, or else one for
/// each finding that waits and has none.
fn wanted<'a>(
    args: &Answers,
    examined: &'a Examined,
) -> Result<Vec<Vec<&'a Finding>>, Vec<BundleError>> {
    if args.findings.is_empty() {
        let waiting = examined.unanswered().filter(|finding| finding.blank.is_none());
        return Ok(waiting.map(|finding| vec![finding]).collect());
    }
    let mut errors = Vec::new();
    let mut named: Vec<&Finding> = Vec::new();
    for id in &args.findings {
        let Some(finding) = examined.finding_called(id) else {
            let advice = "see the ids that lastdock check --all prints";
            errors.push(BundleError::new(id, "is not a finding of this project", advice));
            continue;
        };
        if named.iter().any(|known| known.id == *id) {
            errors.push(BundleError::new(id, "is named twice", "name each finding once"));
        } else if let Some(remark) = &finding.remark {
            let wrong = format!("is answered at {}", remark.place);
            errors.push(BundleError::new(id, wrong, "name findings without an answer only"));
        } else if let Some(place) = &finding.blank {
            let wrong = format!("has a blank at {place}");
            let advice = "fill that one in, or take it out of remarks.toml first";
            errors.push(BundleError::new(id, wrong, advice));
        }
        named.push(finding);
    }
    if errors.is_empty() { Ok(vec![named]) } else { Err(errors) }
}

/// Adds the blanks at the end of the project's `remarks.toml`, which is made where there is none.
fn add(root: &Path, folder: &Folder, texts: &[String]) -> Result<(), Vec<BundleError>> {
    let file = remarks::SPEC.path;
    let before = added::before(root, folder, file).map_err(|error| vec![error])?;
    let whole = with_blanks(before.as_deref().unwrap_or_default(), texts);
    added::put(root, file, before.as_deref(), &whole, "print the blanks with --dry-run")
}

/// A file with blanks at its end, a blank line before each, with the line ends that it has.
fn with_blanks(before: &[u8], texts: &[String]) -> Vec<u8> {
    let mut added = String::new();
    if !before.is_empty() && !before.ends_with(b"\n") {
        added.push('\n');
    }
    for (n, text) in texts.iter().enumerate() {
        if n > 0 || !before.is_empty() {
            added.push('\n');
        }
        added.push_str(text);
    }
    let first_end = before.iter().position(|byte| *byte == b'\n');
    if first_end.is_some_and(|at| at > 0 && before[at - 1] == b'\r') {
        added = added.replace('\n', "\r\n");
    }
    [before, added.as_bytes()].concat()
}

fn render(args: &Answers, blanks: &[Vec<&Finding>], examined: &Examined) -> Page {
    let file = args.project.join(remarks::SPEC.path);
    let file = file.display();
    let waiting = examined.unanswered().count();
    let mut out = Page::new();
    let text = match blanks.len() {
        0 if waiting == 0 => "No finding waits for an answer. Nothing was added.".to_string(),
        0 => {
            format!("Every finding that waits already has a blank in {file}. Nothing was added.")
        }
        1 => format!("{file}: 1 blank added."),
        n => format!("{file}: {n} blanks added."),
    };
    out.push_str(&format!("{}\n", print::wrapped(&text, 0)));
    let findings = blanks.iter().flatten();
    let rows = findings.map(|finding| [finding.outcome.into(), id(&finding.id).into()]);
    let table = Table::new([Column::outcome(), Column::name("Finding")]).rows(rows);
    if !table.rows.is_empty() {
        out.append(Terminal::new(examined.project.docking.units).table(&table));
    }
    if !blanks.is_empty() {
        let text = "Fill in answer, by and on. Nobody's reading is corrected afterwards: an answer says what \
                    it was. Where one answer serves several findings, name them to get one blank for all: lastdock answers PROJECT FINDING FINDING. Then run lastdock check.";
        out.push_str(&format!("\n{}\n", print::wrapped(text, 0)));
    }
    out
}

fn to_json(
    args: &Answers,
    blanks: &[Vec<&Finding>],
    examined: &Examined,
    written: bool,
) -> serde_json::Value {
    let finding = |finding: &&Finding| {
        let then = state(finding);
        serde_json::json!({
            "id": finding.id,
            "outcome": then.outcome,
            "recorded": then.recorded,
            "recomputed": then.recomputed,
            "limit": then.limit,
        })
    };
    let blanks: Vec<serde_json::Value> = blanks
        .iter()
        .map(|findings| {
            serde_json::json!({ "findings": findings.iter().map(finding).collect::<Vec<_>>() })
        })
        .collect();
    serde_json::json!({
        "file": args.project.join(remarks::SPEC.path),
        "written": written,
        "waiting": examined.unanswered().count(),
        "added": blanks,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_in_the_file_is_not_touched_whatever_its_end() {
        let blank = ["# one\n[[remark]]\n".to_string()];
        let cases: [(&[u8], &[u8]); 5] = [
            (b"", b"# one\n[[remark]]\n"),
            (b"# none\n", b"# none\n\n# one\n[[remark]]\n"),
            (b"# none", b"# none\n\n# one\n[[remark]]\n"),
            (b"# a\r\n# b\r\n", b"# a\r\n# b\r\n\r\n# one\r\n[[remark]]\r\n"),
            (b"# a\r\n# b", b"# a\r\n# b\r\n\r\n# one\r\n[[remark]]\r\n"),
        ];
        for (before, after) in cases {
            assert_eq!(with_blanks(before, &blank), after, "{before:?}");
        }
    }
}
