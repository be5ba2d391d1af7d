//! The docking in dates.

use serde::Serialize;

use crate::records::Project;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Dates {
    began: Option<String>,
    ended: Option<String>,
    positions: Vec<Times>,
}

#[derive(Serialize)]
struct Times {
    id: String,
    times: Vec<(&'static str, Option<String>)>,
}

pub(super) fn section(project: &Project) -> Dates {
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
    }
}
