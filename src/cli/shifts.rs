//! `lastdock shifts`: which shift uncovers everything.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::say;
use super::source::{self, Source};
use super::status::Status;
use super::terminal::Terminal;
use crate::PROGRAM;
use crate::bundle::error::BundleError;
use crate::findings::shifts::answer::Answer;
use crate::findings::shifts::{Earlier, Query, Refusal, answer};
use crate::pages::{self, Section};
use crate::units::Quantity;

/// The version of the JSON form.
const FORMAT: u32 = 2;

/// What `shifts` takes.
#[derive(Debug, Args)]
pub struct Shifts {
    /// The project's folder, or a bundle: its zip, or the folder that it was unpacked to
    #[arg(value_name = "PROJECT-OR-BUNDLE")]
    at: PathBuf,
    /// An earlier docking, a project or a bundle: also say where to land so that what it left under blocks is
    /// reached; can be given more than once
    #[arg(long, value_name = "PROJECT-OR-BUNDLE")]
    past: Vec<PathBuf>,
    /// The position before the shift; by default the first
    #[arg(long, value_name = "POSITION")]
    before: Option<String>,
    /// The position whose blocks stand after the shift; by default the second, or else the same blocks
    #[arg(long, value_name = "POSITION")]
    after: Option<String>,
    /// How far to look either way, with its unit: 2.1m, 2100mm, 7ft; by default one and a half times the
    /// spacing of the keel blocks fore and aft, and the width of the widest cap athwart
    #[arg(long, value_name = "LENGTH", value_parser = parse_length)]
    reach: Option<f64>,
    /// Blocks to leave out after the shift
    #[arg(long, value_name = "BLOCK,..", value_delimiter = ',')]
    leave_out: Vec<String>,
    /// Study blocks that were found elsewhere than planned where they were found; by default they are taken
    /// where they were planned
    #[arg(long)]
    as_found: bool,
    /// Print the answer as JSON
    #[arg(long)]
    json: bool,
}

/// A length with its unit, in m; more than 0.
fn parse_length(text: &str) -> Result<f64, String> {
    let text = text.trim();
    let at = text.find(|c: char| c.is_alphabetic()).unwrap_or(text.len());
    let (number, suffix) = (text[..at].trim(), &text[at..]);
    let accepted = Quantity::Length.accepted_as_text();
    let unit = Quantity::Length
        .unit(suffix)
        .ok_or_else(|| format!("a length ends in its unit, {accepted}: 2.1m"))?;
    let written: f64 = number.parse().map_err(|_| format!("{number:?} is not a number"))?;
    let kept = unit.to_kept(written);
    if kept > 0.0 && kept <= 1000.0 {
        Ok(kept)
    } else {
        Err("a reach is more than 0 and at most 1000 m".to_string())
    }
}

/// What `--json` prints.
#[derive(Debug, Serialize)]
struct AnswerWritten<'a> {
    /// The version of this form, 2.
    format: u32,
    /// Program and version that wrote it.
    program: &'static str,
    /// The docking's name.
    docking: &'a str,
    /// Whether everything was read from bundles that are whole, or from projects.
    whole: bool,
    /// The answer.
    #[serde(flatten)]
    answer: &'a Answer,
}

/// Runs it.
pub fn run(args: &Shifts) -> Status {
    let now = source::examine(&args.at, args.json);
    let past: Vec<Option<Source>> =
        args.past.iter().map(|at| source::examine(at, args.json)).collect();
    let (Some(now), Some(past)) = (now, past.into_iter().collect::<Option<Vec<Source>>>()) else {
        return Status::NotDone;
    };
    let (project, recomputed) = (&now.examined.project, &now.examined.recomputed);
    let named = args.leave_out.iter().map(|block| block.trim().to_string());
    let leave_out: Vec<String> = named.filter(|block| !block.is_empty()).collect();
    let (before, after) = (args.before.as_deref(), args.after.as_deref());
    let query = Query { reach_m: args.reach, as_found: args.as_found, ..Query::default() };
    let query = query.naming(project, before, after, &leave_out);
    let named = past
        .iter()
        .map(|past| Earlier::new(&past.name, &past.examined.project, &past.examined.recomputed));
    let mut earlier = Earlier::on_record(project, recomputed);
    earlier.retain(|on_record| past.iter().all(|named| named.name != on_record.name));
    earlier.extend(named);
    let found = match query.and_then(|query| answer(project, recomputed, &query, &earlier)) {
        Ok(found) => found,
        Err(refusals) => {
            let error =
                |refusal: &Refusal| BundleError::new(&args.at, &refusal.wrong, &refusal.advice);
            return say::print_errors(&refusals.iter().map(error).collect::<Vec<_>>(), args.json);
        }
    };
    let whole = !now.is_damaged() && !past.iter().any(Source::is_damaged);
    if args.json {
        let docking = &now.name;
        let written =
            AnswerWritten { format: FORMAT, program: PROGRAM, docking, whole, answer: &found };
        say::print_json(&written);
    } else {
        let title = format!("{} in {}", found.ship, found.dock).into();
        let section = Section { title, ..pages::shifts::section(&found, []) };
        say::print(&Terminal::new(project.docking.units).section(&section));
    }
    if found.one_shift_does && whole { Status::Well } else { Status::Troubled }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reach_carries_its_unit() {
        assert_eq!(parse_length("2.1m"), Ok(2.1));
        assert_eq!(parse_length("2100 mm"), Ok(2.1));
        assert_eq!(
            parse_length("7ft").map(|m| crate::units::fixed(m, 4)),
            Ok("2.1336".to_string())
        );
        for wrong in ["2.1", "m", "-1m", "0m", "2.1kg", "nanm", "infm", "5e9m", "2,1m"] {
            assert!(parse_length(wrong).is_err(), "{wrong}");
        }
    }
}
