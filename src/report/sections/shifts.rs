//! The shift to choose: the study's answer, its bands, blocks to leave out, openings, earlier dockings.

use serde::Serialize;

use super::{Placed, drawings};
use crate::findings::shifts::told::{BandTold, LeavingOutTold, OpeningNear, Told, WayTold};
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
    span: String,
    clear: String,
    aim: String,
    miss: String,
    near: Narrow,
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
    wanted: Option<String>,
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
        bands: told.ways.iter().flat_map(bands).collect(),
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

fn bands(one_way: &WayTold) -> Vec<Band> {
    let way = way_of(one_way.way);
    let one = |band: &BandTold| {
        let (span, decimals) = said::inward((band.from_m, band.to_m));
        let aim = &band.aim;
        Band {
            span: said::span(way, span, decimals),
            clear: answer::clear(band),
            aim: said::shift(way, aim.shift_m, aim.decimals),
            miss: text::number(aim.miss_m, aim.decimals),
            near: Narrow::new(answer::near(aim)),
        }
    };
    one_way.bands.iter().map(one).collect()
}

fn left_out(told: &LeavingOutTold) -> LeftOut {
    let names = |names: &[String]| (!names.is_empty()).then(|| Narrow::new(said::and(names)));
    let aim = &told.band.aim;
    let (load, pressure) = answer::loads(&aim.loads);
    LeftOut {
        of_second: names(&told.of_second),
        of_first: names(&told.of_first),
        aim: said::shift(way_of(told.way), aim.shift_m, aim.decimals),
        miss: text::number(aim.miss_m, aim.decimals),
        load,
        pressure,
    }
}

fn openings(told: &Told) -> Vec<Opening> {
    let one = |near: &OpeningNear| Opening {
        opening: Narrow::new(&near.opening),
        kind: near.kind.replace('-', " "),
        clear: text::number(near.clear_m, 3),
        wanted: text::metres(near.wanted_m),
        block: Narrow::new(&near.block),
    };
    let aim = match (&told.choice, told.leaving_out.first()) {
        (Some(choice), _) => Some(&choice.band.aim),
        (None, out) => out.map(|out| &out.band.aim),
    };
    let near = aim.and_then(|aim| Some(&aim.openings.as_ref()?.near));
    near.into_iter().flatten().map(one).collect()
}
