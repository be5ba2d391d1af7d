//! All draft surveys side by side, the weights moved, and the lift-off predicted from them.

use serde::Serialize;

use super::{Held, finding};
use crate::findings::Examined;
use crate::records::drafts::Occasion;
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Undocking {
    surveys: Vec<Survey>,
    moved: Vec<Moved>,
    put_on: String,
    taken_off: String,
    lift_off: Vec<LiftOff>,
    /// What could not be worked out and why, in sentences.
    why_not: Vec<String>,
}

#[derive(Serialize)]
struct Survey {
    name: String,
    at: Option<String>,
    aft: Option<String>,
    amidships: Option<String>,
    forward: Option<String>,
    trim: Option<String>,
    list: Option<String>,
    hog: Option<String>,
    displacement: Option<String>,
}

#[derive(Serialize)]
struct Moved {
    at: String,
    item: String,
    mass: String,
    x: String,
    y: String,
    z: String,
    note: Option<Narrow>,
}

#[derive(Serialize)]
struct LiftOff {
    position: String,
    what: &'static str,
    moved: Option<String>,
    predicted: Option<String>,
    read: Option<String>,
    held: Held,
}

pub(super) fn undocking(examined: &Examined) -> Undocking {
    let project = &examined.project;
    let mass = |holds: fn(f64) -> bool| -> String {
        let masses = project.moved.iter().map(|moved| moved.mass_t).filter(|mass| holds(*mass));
        text::number(masses.sum::<f64>().abs(), 1)
    };
    let after = |name: &str| name.ends_with("lift-off") || name == "departure";
    let why_not = examined.recomputed.ship.surveys.iter().filter_map(|survey| {
        let name = survey.name(project);
        let missing = survey.displacement.is_none() && after(&name);
        let finding = finding(examined, &format!("landing.{name}.displacement"));
        finding.filter(|_| missing).map(|finding| finding.sentence.to_string())
    });
    Undocking {
        surveys: surveys(examined),
        moved: project
            .moved
            .iter()
            .map(|moved| Moved {
                at: text::time(moved.at),
                item: moved.item.clone(),
                mass: text::number(moved.mass_t, 1),
                x: text::number(moved.x_m, 2),
                y: text::number(moved.y_m, 2),
                z: text::number(moved.z_m, 2),
                note: moved.notes.as_ref().map(Narrow::new),
            })
            .collect(),
        put_on: mass(|mass| mass > 0.0),
        taken_off: mass(|mass| mass < 0.0),
        lift_off: (0..project.positions.len()).flat_map(|n| lift_off(examined, n)).collect(),
        why_not: why_not.collect(),
    }
}

fn surveys(examined: &Examined) -> Vec<Survey> {
    let surveys = examined.recomputed.ship.surveys.iter();
    surveys
        .map(|survey| {
            let drafts = survey.drafts.as_ref();
            let out = survey.displacement.as_ref();
            Survey {
                name: survey.name(&examined.project).replace('.', ", ").replace('-', " "),
                at: survey.at.map(text::time),
                aft: text::metres(drafts.map(|drafts| drafts.aft_m)),
                amidships: text::metres(drafts.and_then(|drafts| drafts.amidships_m)),
                forward: text::metres(drafts.map(|drafts| drafts.forward_m)),
                trim: text::metres(drafts.map(|drafts| drafts.trim_m)),
                list: text::degrees(drafts.and_then(|drafts| drafts.list_deg)),
                hog: text::signed_mm(drafts.and_then(|drafts| drafts.hog_m)),
                displacement: out.map(|out| text::number(out.displacement_t, 1)),
            }
        })
        .collect()
}

fn lift_off(examined: &Examined, number: usize) -> Vec<LiftOff> {
    let (Some(position), Some(landing)) =
        (examined.project.positions.get(number), examined.recomputed.landings.get(number))
    else {
        return Vec::new();
    };
    let read = examined
        .recomputed
        .ship
        .survey(Some(number), Occasion::LiftOff)
        .and_then(|survey| survey.drafts.as_ref());
    let predicted = landing.lift_off;
    if read.is_none() && predicted.is_none() {
        return Vec::new();
    }
    let held =
        |end: &str| Held::of(finding(examined, &format!("landing.{}.lift-off.{end}", position.id)));
    let moved = predicted.map(|lift| text::number(lift.moved.mass_t, 1));
    let row = |what, predicted, read, held| LiftOff {
        position: position.id.clone(),
        what,
        moved: moved.clone(),
        predicted,
        read,
        held,
    };
    vec![
        row(
            "draft aft, m",
            text::metres(predicted.map(|lift| lift.draft_aft_m)),
            text::metres(read.map(|drafts| drafts.aft_m)),
            held("aft"),
        ),
        row(
            "draft forward, m",
            text::metres(predicted.map(|lift| lift.draft_forward_m)),
            text::metres(read.map(|drafts| drafts.forward_m)),
            held("forward"),
        ),
        row(
            "list, degrees, + to port",
            text::degrees(predicted.and_then(|lift| lift.list_deg)),
            text::degrees(read.and_then(|drafts| drafts.list_deg)),
            held("list"),
        ),
    ]
}
