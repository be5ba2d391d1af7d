//! The shift to choose: the study's answer, its bands, blocks to leave out, openings, earlier dockings.

use serde::Serialize;

use super::{Placed, drawings};
use crate::findings::shifts::answer::{AimedBand, LeavingOut, OneWay, OpeningNear};
use crate::findings::shifts::sentences;
use crate::report::Inputs;
use crate::report::legible::Narrow;
use crate::text::{Form, System, Text};

#[derive(Serialize, Default)]
pub(super) struct Shifts<'a> {
    /// Why nothing can be said, in a sentence.
    why_not: Option<String>,
    /// The unit of lengths.
    unit: &'static str,
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
    let answer = match inputs.examined.shift_to_choose() {
        Ok(answer) => answer,
        Err(why) => return Shifts { why_not: Some(why.to_string()), ..Shifts::default() },
    };
    let system = inputs.examined.project.docking.units;
    Shifts {
        why_not: None,
        unit: Form::Length.head(system).unwrap_or_default(),
        asked: sentences::asked(answer).shown(system),
        answer: answer.answer.iter().map(|one| one.shown(system)).collect(),
        bands: answer.ways.iter().flat_map(|way| bands(way, system)).collect(),
        leaving_out: answer.leaving_out.iter().map(|out| left_out(out, system)).collect(),
        openings: answer.openings_near().iter().map(|near| opening(near, system)).collect(),
        past: answer
            .past
            .iter()
            .map(|past| Past {
                docking: past.docking.clone(),
                said: Text::joined(past.said.iter().cloned(), " ").shown(system),
            })
            .collect(),
        cautions: answer.cautions.clone(),
        drawings: drawings(inputs, "shifts"),
    }
}

fn bands(study: &OneWay, system: System) -> Vec<Band> {
    let one = |band: &AimedBand| {
        let aim = &band.aim;
        Band {
            span: sentences::span_inward(study.way, (band.from_m, band.to_m)).shown(system),
            clear: sentences::openings_clear(band).shown(system),
            aim: sentences::shift(aim.way, aim.shift_m, aim.decimals).shown(system),
            miss: sentences::miss(aim.miss_m, aim.decimals).number(system),
            near: Narrow::new(sentences::openings_near(aim)),
        }
    };
    study.bands.iter().map(one).collect()
}

fn left_out(out: &LeavingOut, system: System) -> LeftOut {
    let names = |names: &[String]| (!names.is_empty()).then(|| Narrow::new(sentences::and(names)));
    let aim = &out.band.aim;
    let (load, pressure) = sentences::greatest_load(&aim.loads);
    LeftOut {
        of_second: names(&out.of_second),
        of_first: names(&out.of_first),
        aim: sentences::shift(out.way, aim.shift_m, aim.decimals).shown(system),
        miss: sentences::miss(aim.miss_m, aim.decimals).number(system),
        load: load.shown(system),
        pressure: pressure.shown(system),
    }
}

fn opening(near: &OpeningNear, system: System) -> Opening {
    let length = |m: f64| Form::Length.measure(m).number(system);
    Opening {
        opening: Narrow::new(&near.opening),
        kind: near.kind.replace('-', " "),
        clear: length(near.clear_m),
        wanted: near.wanted_m.map(length),
        block: Narrow::new(&near.block),
    }
}
