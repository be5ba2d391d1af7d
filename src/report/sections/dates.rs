//! The docking in dates.

use serde::Serialize;

use super::days::{self, Day};
use super::{Placed, drawings};
use crate::report::{Inputs, text};

#[derive(Serialize)]
pub(super) struct Dates<'a> {
    began: Option<String>,
    ended: Option<String>,
    positions: Vec<Times>,
    days: Vec<Day>,
    drawings: Vec<Placed<'a>>,
}

#[derive(Serialize)]
struct Times {
    id: String,
    times: Vec<(&'static str, Option<String>)>,
}

pub(super) fn section<'a>(inputs: &Inputs<'a>) -> Dates<'a> {
    let project = &inputs.examined.project;
    let (began, ended) = project.docking.period;
    let positions = project.positions.iter().map(|position| Times {
        id: position.id.clone(),
        times: position
            .times
            .in_order()
            .into_iter()
            .map(|(name, time)| (name, time.map(text::time)))
            .collect(),
    });
    Dates {
        began: began.map(text::day),
        ended: ended.map(text::day),
        positions: positions.collect(),
        days: days::days(inputs.examined),
        drawings: drawings(inputs, "chronology"),
    }
}
