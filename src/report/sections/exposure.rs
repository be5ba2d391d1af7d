//! What each position hid, and what was never exposed.

use serde::Serialize;

use super::next_team::hidden_by;
use super::{Placed, drawings};
use crate::calc::plane::area_m2;
use crate::report::legible::Narrow;
use crate::report::{Inputs, text};

#[derive(Serialize)]
pub(super) struct Exposure<'a> {
    /// Whether every position could be placed, so that anything can be said at all.
    placed: bool,
    outline: bool,
    yaw_unknown: Vec<&'a str>,
    bottom_area: Option<String>,
    each: Vec<HiddenIn<'a>>,
    classes: Vec<Class>,
    never_exposed: Option<String>,
    pieces: Vec<Piece>,
    drawings: Vec<Placed<'a>>,
    over_all: Vec<Placed<'a>>,
}

#[derive(Serialize)]
struct HiddenIn<'a> {
    position: &'a str,
    blocks: String,
    area: String,
    share: Option<String>,
}

#[derive(Serialize)]
struct Class {
    hidden_in: Option<Narrow>,
    exposed_in: Option<Narrow>,
    area: String,
    share: Option<String>,
}

#[derive(Serialize)]
struct Piece {
    x: String,
    y: String,
    frame: Option<String>,
    area: String,
    blocks: Narrow,
}

pub(super) fn section<'a>(inputs: &Inputs<'a>) -> Exposure<'a> {
    let examined = inputs.examined;
    let (project, recomputed) = (&examined.project, &examined.recomputed);
    let bottom_m2 = recomputed.bottom.as_ref().map(area_m2).filter(|area| *area > 0.0);
    let share = |area: f64| bottom_m2.map(|whole| text::number(100.0 * area / whole, 2));
    let names = |hidden_in: &[bool], wanted: bool| {
        let names: Vec<&str> = project
            .positions
            .iter()
            .zip(hidden_in)
            .filter(|(_, hidden)| **hidden == wanted)
            .map(|(position, _)| position.id.as_str())
            .collect();
        (!names.is_empty()).then(|| Narrow::new(names.join(", ")))
    };
    let unknown = project.positions.iter().zip(&recomputed.positions);
    Exposure {
        placed: !recomputed.hidden.is_empty(),
        outline: recomputed.bottom.is_some(),
        yaw_unknown: unknown
            .filter(|(_, position)| position.yaw_unknown)
            .map(|(position, _)| position.id.as_str())
            .collect(),
        bottom_area: bottom_m2.map(|area| text::number(area, 2)),
        each: project
            .positions
            .iter()
            .zip(&recomputed.hidden)
            .map(|(position, hidden)| HiddenIn {
                position: &position.id,
                blocks: hidden.footprints.len().to_string(),
                area: text::number(area_m2(&hidden.shape), 3),
                share: share(area_m2(&hidden.shape)),
            })
            .collect(),
        classes: recomputed
            .classes
            .iter()
            .map(|class| Class {
                hidden_in: names(&class.hidden_in, true),
                exposed_in: names(&class.hidden_in, false),
                area: text::number(class.area_m2, 3),
                share: share(class.area_m2),
            })
            .collect(),
        never_exposed: recomputed.never_exposed_m2().map(|area_m2| text::number(area_m2, 3)),
        pieces: recomputed
            .never_exposed
            .iter()
            .map(|piece| {
                let [x0, x1, y0, y1] = piece.extent;
                Piece {
                    x: format!("{} to {}", text::number(x0, 3), text::number(x1, 3)),
                    y: format!("{} to {}", text::number(y0, 3), text::number(y1, 3)),
                    frame: text::nearest_frame(project.docking.frames.as_ref(), (x0 + x1) / 2.0),
                    area: text::number(piece.area_m2, 3),
                    blocks: Narrow::new(hidden_by(project, piece)),
                }
            })
            .collect(),
        drawings: drawings(inputs, "exposure"),
        over_all: drawings(inputs, "exposure-all"),
    }
}
