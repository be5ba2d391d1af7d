//! How to read the record: axes, and the words in which this project states its datums.

use serde::Serialize;

use super::{Placed, drawings};
use crate::report::{Inputs, text};

#[derive(Serialize)]
pub(super) struct Reading<'a> {
    drawings: Vec<Placed<'a>>,
    facts: Vec<(&'static str, Option<String>)>,
    frames: Vec<Stretch>,
    frames_from: Option<&'static str>,
}

#[derive(Serialize)]
struct Stretch {
    from: String,
    x: String,
    spacing: String,
}

pub(super) fn section<'a>(inputs: &Inputs<'a>) -> Reading<'a> {
    let docking = &inputs.examined.project.docking;
    let (ship, dock) = (&docking.ship, &docking.dock);
    let m = |value: Option<f64>| text::centimetres(value).map(|text| format!("{text} m"));
    let level = |value: Option<f64>| text::metres(value).map(|text| format!("{text} m"));
    let offset = docking.offset.map(|offset| format!("UTC{offset}"));
    Reading {
        drawings: drawings(inputs, "axes"),
        facts: vec![
            ("Stern reference point (SRP)", ship.stern_reference_point.clone()),
            ("Station 0 of the dock", dock.datum.clone()),
            ("Levels are counted from", dock.level_datum.clone()),
            ("Draft marks measure from", ship.draft_marks_datum.clone()),
            ("Length over all", m(ship.length_overall_m)),
            ("Length between perpendiculars", m(ship.length_between_perpendiculars_m)),
            ("Moulded breadth", m(ship.breadth_m)),
            ("Aft perpendicular, x", m(ship.aft_perpendicular_x_m)),
            ("Forward perpendicular, x", m(ship.forward_perpendicular_x_m)),
            ("Foremost point of the hull, x", m(ship.foremost_x_m)),
            ("Kind of dock", dock.kind.clone()),
            ("Level of the floor at station 0", level(dock.floor_level_m)),
            (
                "Rise of the floor toward the bow",
                dock.declivity_pct.map(|pct| format!("{} %", text::number(pct, 2))),
            ),
            ("Level of the sill", level(dock.sill_level_m)),
            ("Offset of times written without one", offset),
        ],
        frames: docking
            .frames
            .iter()
            .flat_map(|frames| &frames.stretches)
            .map(|stretch| Stretch {
                from: stretch.from_frame.to_string(),
                x: text::number(stretch.x_m, 3),
                spacing: text::number(stretch.spacing_m, 3),
            })
            .collect(),
        frames_from: docking
            .frames
            .as_ref()
            .map(|frames| if frames.from_aft { "aft" } else { "forward" }),
    }
}
