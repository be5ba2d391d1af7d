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
use crate::findings::among;
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
    /// Compare positions that the docking plan offers, by their names in plan/positions.csv, or all of them: every choice
    /// and every order
    #[arg(
        long,
        value_name = "POSITION,..",
        value_delimiter = ',',
        conflicts_with_all = ["before", "after", "reach", "as_found"]
    )]
    among: Vec<String>,
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

/// The version of the JSON form of a comparison of the plan's positions.
const AMONG_FORMAT: u32 = 1;

/// What `--json` prints.
#[derive(Debug, Serialize)]
struct Written<'a, A: Serialize> {
    /// The version of this form.
    format: u32,
    /// Program and version that wrote it.
    program: &'static str,
    /// The docking's name.
    docking: &'a str,
    /// Whether everything was read from bundles that are whole, or from projects.
    whole: bool,
    /// The answer.
    #[serde(flatten)]
    answer: &'a A,
}

/// Runs it.
pub fn run(args: &Shifts) -> Status {
    let now = source::examine(&args.at, args.json);
    let past: Vec<Option<Source>> =
        args.past.iter().map(|at| source::examine(at, args.json)).collect();
    let (Some(now), Some(past)) = (now, past.into_iter().collect::<Option<Vec<Source>>>()) else {
        return Status::NotDone;
    };
    match args.among.is_empty() {
        true => one_shift(args, &now, &past),
        false => choice(args, &now, &past),
    }
}

/// Which single shift uncovers everything.
fn one_shift(args: &Shifts, now: &Source, past: &[Source]) -> Status {
    let (project, recomputed) = (&now.examined.project, &now.examined.recomputed);
    let leave_out = named(&args.leave_out);
    let (before, after) = (args.before.as_deref(), args.after.as_deref());
    let query = Query { reach_m: args.reach, as_found: args.as_found, ..Query::default() };
    let query = query.naming(project, before, after, &leave_out);
    let earlier = earlier(now, past);
    let found = match query.and_then(|query| answer(project, recomputed, &query, &earlier)) {
        Ok(found) => found,
        Err(refusals) => return refuse(args, &refusals),
    };
    let whole = is_whole(now, past);
    if args.json {
        let docking = &now.name;
        let format = FORMAT;
        say::print_json(&Written { format, program: PROGRAM, docking, whole, answer: &found });
    } else {
        let title = format!("{} in {}", found.ship, found.dock).into();
        let section = Section { title, ..pages::shifts::section(&found, []) };
        say::print(&Terminal::new(project.docking.units).section(&section));
    }
    if found.one_shift_does && whole { Status::Well } else { Status::Troubled }
}

/// Which of the plan's positions, and in which order.
fn choice(args: &Shifts, now: &Source, past: &[Source]) -> Status {
    let (project, recomputed) = (&now.examined.project, &now.examined.recomputed);
    let query = among::Query::naming(project, &named(&args.among), &named(&args.leave_out));
    let found = match query {
        Ok(query) => among::among(project, recomputed, &query, &earlier(now, past)),
        Err(refusals) => return refuse(args, &refusals),
    };
    let whole = is_whole(now, past);
    if args.json {
        let docking = &now.name;
        let format = AMONG_FORMAT;
        say::print_json(&Written { format, program: PROGRAM, docking, whole, answer: &found });
    } else {
        let title = format!("{} in {}", found.ship, found.dock).into();
        let recoats = pages::planned::among::recoats(&now.examined);
        let section = Section { title, ..pages::planned::among::section(&found, recoats, []) };
        say::print(&Terminal::new(project.docking.units).section(&section));
    }
    if found.some_reach_all && whole { Status::Well } else { Status::Troubled }
}

/// Names between commas, without those that are empty.
fn named(names: &[String]) -> Vec<String> {
    let names = names.iter().map(|name| name.trim().to_string());
    names.filter(|name| !name.is_empty()).collect()
}

/// The earlier dockings on record, and those named on the command line instead of their like.
fn earlier<'a>(now: &'a Source, past: &'a [Source]) -> Vec<Earlier<'a>> {
    let mut earlier = Earlier::on_record(&now.examined.project, &now.examined.recomputed);
    earlier.retain(|on_record| past.iter().all(|named| named.name != on_record.name));
    earlier.extend(
        past.iter().map(|past| {
            Earlier::new(&past.name, &past.examined.project, &past.examined.recomputed)
        }),
    );
    earlier
}

fn is_whole(now: &Source, past: &[Source]) -> bool {
    !now.is_damaged() && !past.iter().any(Source::is_damaged)
}

fn refuse(args: &Shifts, refusals: &[Refusal]) -> Status {
    let error = |refusal: &Refusal| BundleError::new(&args.at, &refusal.wrong, &refusal.advice);
    say::print_errors(&refusals.iter().map(error).collect::<Vec<_>>(), args.json)
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
