//! `lastdock check`: read, recompute, print the findings.

use std::path::PathBuf;

use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};

use super::PROGRAM;
use super::owed;
use super::print;
use super::project;
use super::say;
use super::status::Status;
use crate::findings::Examined;
use crate::findings::finding::{Finding, Outcome};
use crate::findings::progress::written::DueWritten;
use crate::findings::progress::{Progress, Stage};
use crate::findings::written::FindingsWritten;

/// What `check` takes.
#[derive(Debug, Args)]
pub struct Check {
    /// The project's folder, the one that holds docking.toml
    project: PathBuf,
    /// Print the findings that agree, too
    #[arg(long)]
    all: bool,
    /// Print the list that matters at a stage instead: what is open, what is recorded
    #[arg(long, value_parser = stages())]
    stage: Option<Stage>,
    /// Print the findings as JSON, in the form of findings.json; with --stage the list
    #[arg(long)]
    json: bool,
}

fn stages() -> impl TypedValueParser<Value = Stage> {
    PossibleValuesParser::new(Stage::ALL.map(Stage::word)).try_map(|word| {
        Stage::ALL.into_iter().find(|stage| stage.word() == word).ok_or("not a stage")
    })
}

/// Runs it.
pub fn run(args: &Check) -> Status {
    let Some((_, examined)) = project::examined(&args.project, args.json) else {
        return Status::NotDone;
    };
    let progress = Progress::new(&examined);
    if let Some(stage) = args.stage {
        let due = progress.at(&examined, stage);
        if args.json {
            say::json(&DueWritten::new(&examined, &progress, &due));
        } else {
            say::told(owed::list(&examined, &due));
        }
        return if due.open() == 0 { Status::Well } else { Status::Troubled };
    }
    if args.json {
        say::json(&FindingsWritten::new(&examined, PROGRAM));
    } else {
        let complete = owed::complete(&progress, &args.project.display().to_string());
        say::told(told(&examined, &complete, args.all));
    }
    status(&examined)
}

/// The status that the findings ask for.
pub fn status(examined: &Examined) -> Status {
    if examined.unanswered().next().is_some() { Status::Troubled } else { Status::Well }
}

/// The findings as text.
fn told(examined: &Examined, complete: &str, all: bool) -> String {
    let docking = &examined.project.docking;
    let mut out = String::new();
    out.push_str(&print::bold(&format!("{} in {}", docking.ship.name, docking.dock.name)));
    out.push('\n');
    out.push_str(&counts(examined));
    out.push_str(complete);
    let mut group = |title: &str, wanted: &dyn Fn(&Finding) -> bool| {
        let found: Vec<String> =
            examined.findings.iter().filter(|f| wanted(f)).map(print::finding).collect();
        if !found.is_empty() {
            out.push_str(&format!("\n{}\n", print::bold(title)));
            out.push_str(&found.join("\n"));
        }
    };
    let troubled = |f: &Finding| matches!(f.outcome, Outcome::Differs | Outcome::BeyondLimit);
    group("Without an answer", &|f| f.wants_answer());
    group("Answered", &|f| troubled(f) && f.remark.is_some());
    group("Not recorded", &|f| f.outcome == Outcome::NotRecorded);
    if all {
        group("Agreeing", &|f| f.outcome == Outcome::Agrees);
    }
    out.push_str(&print::caution());
    out
}

/// How many findings came out in each way, on a line.
pub fn counts(examined: &Examined) -> String {
    let mut parts: Vec<String> = Vec::new();
    for (outcome, words) in [
        (Outcome::Agrees, "agree"),
        (Outcome::Differs, "differ"),
        (Outcome::BeyondLimit, "beyond a limit"),
        (Outcome::NotRecorded, "not recorded"),
    ] {
        parts.push(format!("{} {words}", examined.count(outcome)));
    }
    let unanswered = match examined.unanswered().count() {
        0 => "nothing waits for an answer".to_string(),
        1 => "1 finding waits for an answer in remarks.toml".to_string(),
        n => format!("{n} findings wait for an answer in remarks.toml"),
    };
    let text = format!("{} findings: {}; {unanswered}.", examined.findings.len(), parts.join(", "));
    format!("{}\n", print::wrapped(&text, 0))
}
