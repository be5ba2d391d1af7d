//! Shifts of the ship step by step, for a reader who slides the block plan over the hull: the scripts move the picture,
//! and every figure beside it is worked out here.

use serde::Serialize;

use super::shapes::{Hides, Length, shape, shown_as};
use crate::calc::shifts::{Band, Way};
use crate::findings::Examined;
use crate::findings::recomputed::shifts::{Near, Placed};
use crate::findings::shifts::answer::{Answer, OneWay};
use crate::findings::shifts::{sentences, stays_on};
use crate::text::{Form, Reader, Text};

/// From one step to the next, m.
const STEP_M: f64 = 0.01;
/// The steps either way at most: 10 m, further than any ship is fleeted.
const MOST_STEPS: i32 = 1000;

#[derive(Serialize)]
pub struct Slides {
    from: String,
    to: String,
    area: Length,
    /// The caps that stand after the shift, where they would bear if she were not shifted.
    caps: Vec<Hides>,
    along: Steps,
    athwart: Steps,
    aims: Vec<Aim>,
    caution: String,
}

#[derive(Serialize)]
struct Steps {
    start: f64,
    step: f64,
    twice: Vec<f64>,
    near: Vec<Vec<String>>,
}

#[derive(Serialize)]
struct Aim {
    along: bool,
    at: f64,
    miss: f64,
    says: String,
}

impl Slides {
    /// `None` where there is nothing to shift, or nobody wrote down where she lay.
    pub fn new(examined: &Examined, reader: Reader) -> Option<Self> {
        let (answer, study) = examined.shift_study().ok()?;
        if answer.asked.lay == Placed::Unknown {
            return None;
        }
        let project = &examined.project;
        let caps = study.caps.iter().map(|footing| Hides {
            block: project.blocks[footing.block].id.clone(),
            shape: shape(&footing.cap.polygon()),
        });
        let steps = |way: Way, one: &OneWay| {
            let steps = |m: f64| ((m / STEP_M).round() as i32).clamp(-MOST_STEPS, MOST_STEPS);
            let at = |step: i32| f64::from(step) * STEP_M;
            // The caps slide against the ship, and the keel is to stay on its blocks.
            let stays = |step: &i32| stays_on(project, &study.caps, way, -at(*step));
            let (first, last) = (steps(one.from_m), steps(one.to_m));
            let first = (first..0).find(stays).unwrap_or(0);
            let last = (1..=last).rev().find(stays).unwrap_or(0);
            // A step further, so that what is near at an end is not cut off there.
            let reach = Band { from_m: -at(last + 1), to_m: -at(first - 1) };
            let nearness = study.nearness(project, way, reach, &[]);
            let twice = |step: i32| study.hidden_twice_m2(way, -at(step));
            Steps {
                start: at(first),
                step: STEP_M,
                twice: (first..=last).map(|n| (twice(n) * 1e6).round() / 1e6).collect(),
                near: (first..=last).map(|n| near(examined, &nearness, -at(n))).collect(),
            }
        };
        let way = |way: Way| answer.ways.iter().find(|one| one.way == way);
        Some(Self {
            from: answer.asked.before.clone().unwrap_or_default(),
            to: sentences::question(answer).shown(reader),
            area: shown_as(Form::Area, reader),
            caps: caps.collect(),
            along: steps(Way::ForeAndAft, way(Way::ForeAndAft)?),
            athwart: steps(Way::Athwart, way(Way::Athwart)?),
            aims: aims(answer, reader),
            caution: answer.cautions.join(" "),
        })
    }
}

/// The openings nearer to a cap than they want at a length slid, or under one.
fn near(examined: &Examined, nearness: &[(Near, Band)], slid_m: f64) -> Vec<String> {
    let mut near: Vec<usize> = nearness
        .iter()
        .filter(|(_, band)| band.from_m < slid_m && slid_m < band.to_m)
        .map(|(near, _)| near.opening)
        .collect();
    near.sort_unstable();
    near.dedup();
    near.iter().map(|n| examined.project.openings[*n].id.clone()).collect()
}

fn aims(answer: &Answer, reader: Reader) -> Vec<Aim> {
    let bands = answer.ways.iter().flat_map(|way| way.bands.iter().map(move |band| (way, band)));
    bands
        .map(|(way, band)| Aim {
            along: way.way == Way::ForeAndAft,
            at: band.aim.shift_m,
            miss: band.aim.miss_m,
            says: Text::joined(band.aim.said.iter().cloned(), " ").shown(reader),
        })
        .collect()
}
