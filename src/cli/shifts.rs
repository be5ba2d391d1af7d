//! `lastdock shifts`: which shift uncovers everything.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;

use super::PROGRAM;
use super::print;
use super::rows::rows;
use super::say;
use super::source::{self, Source};
use super::status::Status;
use crate::bundle::error::BundleError;
use crate::findings::shifts::told::{BandTold, LeavingOutTold, Told, WayTold};
use crate::findings::shifts::{Ask, Earlier, answer, said, tell, way_of};
use crate::units::{self, Quantity};

/// The version of the JSON form.
const FORMAT: u32 = 1;

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
    /// The version of this form, 1.
    format: u32,
    /// Program and version that wrote it.
    program: &'static str,
    /// The docking's name.
    docking: &'a str,
    /// Whether everything was read from bundles that are whole, or from projects.
    whole: bool,
    /// The answer.
    #[serde(flatten)]
    told: &'a Told,
}

/// Runs it.
pub fn run(args: &Shifts) -> Status {
    let now = source::examined(&args.at, args.json);
    let past: Vec<Option<Source>> =
        args.past.iter().map(|at| source::examined(at, args.json)).collect();
    let (Some(now), Some(past)) = (now, past.into_iter().collect::<Option<Vec<Source>>>()) else {
        return Status::NotDone;
    };
    let ask = Ask {
        before: args.before.clone(),
        after: args.after.clone(),
        reach_m: args.reach,
        leave_out: args
            .leave_out
            .iter()
            .map(|block| block.trim().to_string())
            .filter(|block| !block.is_empty())
            .collect(),
    };
    let named = past
        .iter()
        .map(|past| Earlier::of(&past.name, &past.examined.project, &past.examined.recomputed));
    let mut earlier = Earlier::on_record(&now.examined.project, &now.examined.recomputed);
    earlier.retain(|on_record| past.iter().all(|named| named.name != on_record.name));
    earlier.extend(named);
    let told = match tell(&now.examined, &ask, &earlier) {
        Ok(told) => told,
        Err(refusals) => {
            let error = |refusal: &crate::findings::shifts::Refusal| {
                BundleError::new(&args.at, &refusal.wrong, &refusal.advice)
            };
            return say::failed(&refusals.iter().map(error).collect::<Vec<_>>(), args.json);
        }
    };
    let whole = !now.is_damaged() && !past.iter().any(Source::is_damaged);
    if args.json {
        let docking = &now.name;
        let written = Written { format: FORMAT, program: PROGRAM, docking, whole, told: &told };
        say::json(&written);
    } else {
        say::told(text(&told));
    }
    if told.one_shift_does && whole { Status::Well } else { Status::Troubled }
}

fn text(told: &Told) -> String {
    let mut out = format!("{}\n", print::bold(&format!("{} in {}", told.ship, told.dock)));
    let mut paragraph = |text: &str| out.push_str(&format!("{}\n", print::wrapped(text, 0)));
    paragraph(&answer::asked(told));
    paragraph("");
    told.answer.iter().for_each(|sentence| paragraph(sentence));
    for past in &told.past {
        paragraph("");
        paragraph(&format!("What {} left: {}", past.docking, past.said.join(" ")));
    }
    let mut table = |title: &str, header: &[&str], cells: Vec<Vec<String>>| {
        if !cells.is_empty() {
            out.push_str(&format!("\n{}\n{}", print::bold(title), rows(header, &cells)));
        }
    };
    table(
        "Shifts that leave nothing under blocks a second time",
        &["way", "shift", "aim at", "miss by", "openings clear"],
        told.ways.iter().flat_map(|way| bands(told, way)).collect(),
    );
    table(
        "Leaving blocks out",
        &["after", "before", "aim at", "miss by", "greatest load; pressure nearest its limit"],
        told.leaving_out.iter().map(left_out).collect(),
    );
    let short = match &told.choice {
        Some(choice) => choice.openings_short.as_slice(),
        None => told.leaving_out.first().map_or(&[][..], |out| &out.openings_short),
    };
    table(
        "Openings too near a cap at that aim",
        &["opening", "kind", "clear, m", "wanted, m", "nearest block"],
        short
            .iter()
            .map(|short| {
                let m = |m: f64| units::fixed(m, 3);
                let (clear, wanted) = (m(short.clear_m), m(short.wanted_m));
                let kind = short.kind.replace('-', " ");
                vec![short.opening.clone(), kind, clear, wanted, short.block.clone()]
            })
            .collect(),
    );
    for way in &told.ways {
        table(
            &format!("Bottom under blocks both before and after a shift {}", way.way),
            &["shift", "m\u{b2}"],
            curve(way),
        );
    }
    for caution in &told.cautions {
        out.push_str(&format!("\n{}\n", print::wrapped(caution, 0)));
    }
    out
}

fn band(way: &'static str, band: &BandTold) -> [String; 2] {
    let miss = format!("{} m", units::fixed(band.miss_m, band.decimals));
    [said::shift(way_of(way), band.aim_m, band.decimals), miss]
}

fn bands(told: &Told, one_way: &WayTold) -> Vec<Vec<String>> {
    let way = way_of(one_way.way);
    let one = |one: &BandTold| {
        let (span, decimals) = said::inward((one.from_m, one.to_m));
        let [aim, miss] = band(one_way.way, one);
        let clear = answer::clear(one, way, &told.asked);
        vec![one_way.way.to_string(), said::span(way, span, decimals), aim, miss, clear]
    };
    one_way.bands.iter().map(one).collect()
}

fn left_out(told: &LeavingOutTold) -> Vec<String> {
    let names = |names: &[String]| if names.is_empty() { "-".into() } else { names.join(", ") };
    let [aim, miss] = band(told.way, &told.band);
    let (load, pressure) = answer::loads(&told.loads);
    let loads = if load == pressure { load } else { format!("{load}; {pressure}") };
    vec![names(&told.of_second), names(&told.of_first), aim, miss, loads]
}

/// Rows of the curve that a person reads: at round shifts.
fn curve(told: &WayTold) -> Vec<Vec<String>> {
    let row = |point: &crate::findings::shifts::told::HiddenTwice| {
        vec![said::shift(way_of(told.way), point.shift_m, 2), units::fixed(point.area_m2, 3)]
    };
    told.at_round_shifts.iter().map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reach_carries_its_unit() {
        assert_eq!(length("2.1m"), Ok(2.1));
        assert_eq!(length("2100 mm"), Ok(2.1));
        assert_eq!(length("7ft").map(|m| units::fixed(m, 4)), Ok("2.1336".to_string()));
        for wrong in ["2.1", "m", "-1m", "0m", "2.1kg", "nanm", "infm", "5e9m", "2,1m"] {
            assert!(length(wrong).is_err(), "{wrong}");
        }
    }
}
