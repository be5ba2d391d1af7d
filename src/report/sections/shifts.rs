//! The shift to choose: the study's answer, its bands, blocks to leave out, openings, earlier dockings.

use serde::Serialize;

use super::{Placed, drawings};
use crate::findings::shifts::told::{BandTold, LeavingOutTold, OpeningShort, Told, WayTold};
use crate::findings::shifts::{answer, said, way_of};
use crate::report::legible::Narrow;
use crate::report::{Inputs, text};

#[derive(Serialize, Default)]
pub(super) struct Shifts<'a> {
    /// Why nothing can be said, in a sentence.
    why_not: Option<String>,
    asked: String,
    answer: Vec<String>,
    bands: Vec<Band>,
    leaving_out: Vec<LeftOut>,
    openings: Vec<Opening>,
    past: Vec<Past>,
    cautions: Vec<&'static str>,
    drawings: Vec<Placed<'a>>,
}

#[derive(Serialize)]
struct Band {
    way: &'static str,
    span: String,
    aim: String,
    miss: String,
    clear: String,
}

#[derive(Serialize)]
struct LeftOut {
    of_second: Option<Narrow>,
    of_first: Option<Narrow>,
    aim: String,
    miss: String,
    load: String,
    pressure: String,
}

#[derive(Serialize)]
struct Opening {
    opening: Narrow,
    kind: String,
    clear: String,
    wanted: String,
    block: Narrow,
}

#[derive(Serialize)]
struct Past {
    docking: String,
    said: String,
}

pub(super) fn section<'a>(inputs: &Inputs<'a>) -> Shifts<'a> {
    let told = match inputs.examined.shift_to_choose() {
        Ok(told) => told,
        Err(why) => return Shifts { why_not: Some(why.to_string()), ..Shifts::default() },
    };
    Shifts {
        why_not: None,
        asked: answer::asked(told),
        answer: told.answer.clone(),
        bands: told.ways.iter().flat_map(|way| bands(told, way)).collect(),
        leaving_out: told.leaving_out.iter().map(left_out).collect(),
        openings: openings(told),
        past: told
            .past
            .iter()
            .map(|past| Past { docking: past.docking.clone(), said: past.said.join(" ") })
            .collect(),
        cautions: told.cautions.clone(),
        drawings: drawings(inputs, "shifts"),
    }
}

fn bands(told: &Told, one_way: &WayTold) -> Vec<Band> {
    let way = way_of(one_way.way);
    let one = |band: &BandTold| {
        let (span, decimals) = said::inward((band.from_m, band.to_m));
        Band {
            way: one_way.way,
            span: said::span(way, span, decimals),
            aim: said::shift(way, band.aim_m, band.decimals),
            miss: text::number(band.miss_m, band.decimals),
            clear: answer::clear(band, way, &told.asked),
        }
    };
    one_way.bands.iter().map(one).collect()
}

fn left_out(told: &LeavingOutTold) -> LeftOut {
    let names = |names: &[String]| (!names.is_empty()).then(|| Narrow::new(said::and(names)));
    let (load, pressure) = answer::loads(&told.loads);
    LeftOut {
        of_second: names(&told.of_second),
        of_first: names(&told.of_first),
        aim: said::shift(way_of(told.way), told.band.aim_m, told.band.decimals),
        miss: text::number(told.band.miss_m, told.band.decimals),
        load,
        pressure,
    }
}

fn openings(told: &Told) -> Vec<Opening> {
    let one = |short: &OpeningShort| Opening {
        opening: Narrow::new(&short.opening),
        kind: short.kind.replace('-', " "),
        clear: text::number(short.clear_m, 3),
        wanted: text::number(short.wanted_m, 3),
        block: Narrow::new(&short.block),
    };
    let short = match &told.choice {
        Some(choice) => choice.openings_short.as_slice(),
        None => told.leaving_out.first().map_or(&[][..], |out| &out.openings_short),
    };
    short.iter().map(one).collect()
}
