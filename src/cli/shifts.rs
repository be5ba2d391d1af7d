//! `lastdock shifts`: which shift uncovers everything.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::page::Page;
use super::print;
use super::program::PROGRAM;
use super::say;
use super::source::{self, Source};
use super::status::Status;
use super::terminal::Terminal;
use crate::bundle::error::BundleError;
use crate::findings::shifts::answer::{Aim, Answer, LeavingOut, OneWay, OpeningNear};
use crate::findings::shifts::{Earlier, Query, Refusal, answer, sentences};
use crate::pages::{Cell, Column, Section, Table};
use crate::text;
use crate::text::{Form, System, Text, id};
use crate::units::Quantity;

/// The version of the JSON form.
const FORMAT: u32 = 2;

/// What `shifts` takes.
#[derive(Debug, Args)]
pub struct Shifts {
    /// The project's folder, or a bundle: its zip, or the folder that it was unpacked to
    #[arg(value_name = "PROJECT-OR-BUNDLE")]
    at: PathBuf,
    /// An earlier docking, project or bundle: where to land so that what it left under blocks is reached;
    /// may be given again
    #[arg(long, value_name = "PROJECT-OR-BUNDLE")]
    past: Vec<PathBuf>,
    /// The position before the shift; by default the first
    #[arg(long, value_name = "POSITION")]
    before: Option<String>,
    /// The position whose blocks stand after the shift; by default the second, or else the same blocks
    #[arg(long, value_name = "POSITION")]
    after: Option<String>,
    /// How far to look either way, with its unit: 2.1m, 2100mm, 7ft; by default one and a half times the
    /// distance of keel blocks fore and aft, and the widest cap athwart
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    reach: Option<f64>,
    /// Blocks to leave out after the shift
    #[arg(long, value_name = "BLOCK,..", value_delimiter = ',')]
    leave_out: Vec<String>,
    /// Study blocks that were found elsewhere than planned where they were found; by default they stand after
    /// the shift where they were planned
    #[arg(long)]
    as_found: bool,
    /// Print the answer as JSON
    #[arg(long)]
    json: bool,
}

/// A length with its unit, in m; more than 0.
fn length(text: &str) -> Result<f64, String> {
    let text = text.trim();
    let at = text.find(|c: char| c.is_alphabetic()).unwrap_or(text.len());
    let (number, suffix) = (text[..at].trim(), &text[at..]);
    let accepted = Quantity::Length.accepted_as_text();
    let unit = Quantity::Length
        .unit(suffix)
        .ok_or_else(|| format!("a length ends in its unit, {accepted}: 2.1m"))?;
    let written: f64 = number.parse().map_err(|_| format!("{number:?} is no number"))?;
    let kept = unit.to_kept(written);
    if kept > 0.0 && kept <= 1000.0 {
        Ok(kept)
    } else {
        Err("a reach is more than 0 and at most 1000 m".to_string())
    }
}

/// What `--json` prints.
#[derive(Debug, Serialize)]
struct Written<'a> {
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
    let now = source::examined(&args.at, args.json);
    let past: Vec<Option<Source>> =
        args.past.iter().map(|at| source::examined(at, args.json)).collect();
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
        .map(|past| Earlier::of(&past.name, &past.examined.project, &past.examined.recomputed));
    let mut earlier = Earlier::on_record(project, recomputed);
    earlier.retain(|on_record| past.iter().all(|named| named.name != on_record.name));
    earlier.extend(named);
    let found = match query.and_then(|query| answer(project, recomputed, &query, &earlier)) {
        Ok(found) => found,
        Err(refusals) => {
            let error =
                |refusal: &Refusal| BundleError::new(&args.at, &refusal.wrong, &refusal.advice);
            return say::failed(&refusals.iter().map(error).collect::<Vec<_>>(), args.json);
        }
    };
    let whole = !now.is_damaged() && !past.iter().any(Source::is_damaged);
    if args.json {
        let docking = &now.name;
        let written = Written { format: FORMAT, program: PROGRAM, docking, whole, answer: &found };
        say::json(&written);
    } else {
        say::told(&text(&found, project.docking.units));
    }
    if found.one_shift_does && whole { Status::Well } else { Status::Troubled }
}

fn text(answer: &Answer, units: System) -> Page {
    let terminal = Terminal::new(units);
    let mut out = Page::new();
    out.heading(&format!("{} in {}", answer.ship, answer.dock));
    let mut paragraph = |text: &Text| {
        out.append(terminal.paragraph(text, 0));
    };
    paragraph(&sentences::asked(answer));
    paragraph(&Text::from(" "));
    answer.answer.iter().for_each(&mut paragraph);
    for past in &answer.past {
        paragraph(&Text::from(" "));
        let said = Text::joined(past.said.iter().cloned(), " ");
        paragraph(&text!("What {} left: {}", past.docking, said));
    }
    let tables = [
        ("Shifts that leave nothing under blocks a second time".to_string(), bands(&answer.ways)),
        ("Leaving blocks out".to_string(), left_out(&answer.leaving_out)),
        ("Openings too near a cap at that aim".to_string(), openings(answer.openings_near())),
    ];
    let curves = answer.ways.iter().map(|way| {
        (format!("Bottom under blocks both before and after a shift {}", way.way), curve(way))
    });
    for (title, table) in tables.into_iter().chain(curves) {
        if !table.rows.is_empty() {
            out.push_str("\n");
            out.append(terminal.section(Section::new(title).table(table)));
        }
    }
    for caution in &answer.cautions {
        out.push_str(&format!("\n{}\n", print::wrapped(caution, 0)));
    }
    out
}

/// What to aim at, and by how much it may be missed.
fn aimed(aim: &Aim) -> [Cell; 2] {
    let miss = sentences::miss(aim.miss_m, aim.decimals);
    [sentences::shift(aim.way, aim.shift_m, aim.decimals).into(), miss.into()]
}

fn openings(near: &[OpeningNear]) -> Table {
    let columns = [
        Column::name("opening"),
        Column::name("kind"),
        Column::measure("clear", Form::Length),
        Column::measure("wanted", Form::Length),
        Column::name("nearest block"),
    ];
    Table::new(columns).rows(near.iter().map(|near| -> [Cell; 5] {
        [
            id(&near.opening).into(),
            near.kind.replace('-', " ").into(),
            Form::Length.measure(near.clear_m).into(),
            near.wanted_m.map(|wanted_m| Form::Length.measure(wanted_m)).into(),
            id(&near.block).into(),
        ]
    }))
}

fn bands(ways: &[OneWay]) -> Table {
    let columns = [
        Column::name("shift"),
        Column::name("openings clear"),
        Column::name("aim at"),
        Column::figure("miss by"),
        Column::text("near a cap there"),
    ];
    let bands = ways.iter().flat_map(|way| way.bands.iter().map(move |band| (way, band)));
    Table::new(columns).rows(bands.map(|(way, band)| -> [Cell; 5] {
        let [aim, miss] = aimed(&band.aim);
        let span = sentences::span_inward(way.way, (band.from_m, band.to_m));
        let near = sentences::openings_near(&band.aim);
        [span.into(), sentences::openings_clear(band).into(), aim, miss, near.into()]
    }))
}

fn left_out(out: &[LeavingOut]) -> Table {
    let names = |names: &[String]| {
        let ids = Text::joined(names.iter().map(|name| id(name).into()), ", ");
        if ids.is_empty() { Cell::DoesNotApply } else { ids.into() }
    };
    let columns = [
        Column::name("after"),
        Column::name("before"),
        Column::name("aim at"),
        Column::figure("miss by"),
        Column::text("greatest load; pressure nearest its limit"),
    ];
    Table::new(columns).rows(out.iter().map(|out| -> [Cell; 5] {
        let [aim, miss] = aimed(&out.band.aim);
        let (load, pressure) = sentences::greatest_load(&out.band.aim.loads);
        let loads = if load == pressure { load } else { text!("{}; {}", load, pressure) };
        [names(&out.of_second), names(&out.of_first), aim, miss, loads.into()]
    }))
}

/// Rows of the curve that a person reads: at round shifts.
fn curve(study: &OneWay) -> Table {
    let columns = [Column::name("shift"), Column::measure("", Form::Area)];
    Table::new(columns).rows(study.at_round_shifts.iter().map(|point| {
        let shift = sentences::shift(study.way, point.shift_m, 2);
        [shift.into(), Form::Area.measure(point.area_m2).into()]
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reach_carries_its_unit() {
        assert_eq!(length("2.1m"), Ok(2.1));
        assert_eq!(length("2100 mm"), Ok(2.1));
        assert_eq!(length("7ft").map(|m| crate::units::fixed(m, 4)), Ok("2.1336".to_string()));
        for wrong in ["2.1", "m", "-1m", "0m", "2.1kg", "nanm", "infm", "5e9m", "2,1m"] {
            assert!(length(wrong).is_err(), "{wrong}");
        }
    }
}
