//! Each docking position: planned, recorded and fitted, with the sightings it rests on.

use serde::Serialize;

use crate::calc::positions::Agreement;
use crate::findings::Examined;
use crate::findings::recomputed::PositionRecomputed;
use crate::records::positions::Position;
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Positions {
    each: Vec<One>,
    shifts: Vec<Shift>,
}

#[derive(Serialize)]
struct One {
    id: String,
    rows: Vec<Compared>,
    sightings: Vec<Sighted>,
    spare: usize,
    /// What does not fit among the sightings, in a sentence; `None` if all fit.
    doubt: Option<String>,
}

#[derive(Serialize)]
struct Compared {
    what: &'static str,
    planned: Option<String>,
    recorded: Option<String>,
    fitted: Option<String>,
    difference: Option<String>,
}

#[derive(Serialize)]
struct Sighted {
    mark: Narrow,
    x: String,
    y: String,
    station: Option<String>,
    offset: Option<String>,
    station_residual: Option<String>,
    offset_residual: Option<String>,
    by: Option<Narrow>,
    at: Option<String>,
}

#[derive(Serialize)]
struct Shift {
    from: String,
    to: String,
    rows: Vec<Compared>,
}

pub(super) fn section(examined: &Examined) -> Positions {
    let both: Vec<(&Position, &PositionRecomputed)> =
        examined.project.positions.iter().zip(&examined.recomputed.positions).collect();
    Positions {
        each: both.iter().map(|(position, found)| one(examined, position, found)).collect(),
        shifts: both.windows(2).map(|pair| shift(pair[0], pair[1])).collect(),
    }
}

fn one(examined: &Examined, position: &Position, found: &PositionRecomputed) -> One {
    let fit = &found.fit;
    let rows = vec![
        metres(
            "SRP station, m",
            position.planned_srp_station_m,
            position.recorded_srp_station_m,
            fit.srp_station_m,
        ),
        metres(
            "Centreline offset, m",
            position.planned_offset_m,
            position.recorded_offset_m,
            fit.centreline_offset_m,
        ),
        Compared {
            what: "Yaw, degrees",
            planned: None,
            recorded: text::degrees(position.recorded_yaw_deg),
            fitted: text::degrees(fit.yaw_deg),
            difference: less(position.recorded_yaw_deg, fit.yaw_deg)
                .map(|difference| format!("{}\u{b0}", text::number(difference, 3))),
        },
    ];
    let mark = |n: usize| {
        let sighting = found.sightings.get(n).and_then(|n| examined.project.sightings.get(*n));
        sighting.map_or("", |sighting| sighting.mark.as_str())
    };
    let doubt = match &fit.agreement {
        Agreement::Fit => None,
        Agreement::SetAside(n) => Some(format!(
            "{} does not fit the others and is set aside: the position is fitted without it.",
            mark(*n)
        )),
        Agreement::OneOf(all) => {
            let marks: Vec<&str> = all.iter().map(|n| mark(*n)).collect();
            Some(format!(
                "They do not fit each other: one of {} is mistaken, and which can't be told.",
                text::and(&marks)
            ))
        }
        Agreement::NotOne => {
            Some("They do not fit each other, and no single one of them explains that.".to_string())
        }
    };
    let sightings = found.sightings.iter().zip(&fit.residuals).filter_map(|(n, residual)| {
        let sighting = examined.project.sightings.get(*n)?;
        Some(Sighted {
            mark: Narrow::new(&sighting.mark),
            x: text::number(sighting.hull.x, 3),
            y: text::number(sighting.hull.y, 3),
            station: text::metres(sighting.dock_station_m),
            offset: text::metres(sighting.dock_offset_m),
            station_residual: text::signed_mm(residual.0),
            offset_residual: text::signed_mm(residual.1),
            by: sighting.read_by.as_deref().map(Narrow::new),
            at: sighting.at.map(text::time),
        })
    });
    One { id: position.id.clone(), rows, sightings: sightings.collect(), spare: fit.spare, doubt }
}

fn shift(from: (&Position, &PositionRecomputed), to: (&Position, &PositionRecomputed)) -> Shift {
    let recorded = |of: fn(&Position) -> Option<f64>| less(of(to.0), of(from.0));
    let fitted = |of: fn(&PositionRecomputed) -> Option<f64>| less(of(to.1), of(from.1));
    Shift {
        from: from.0.id.clone(),
        to: to.0.id.clone(),
        rows: vec![
            metres(
                "Fore and aft (+ forward), m",
                less(to.0.planned_srp_station_m, from.0.planned_srp_station_m),
                recorded(|position| position.recorded_srp_station_m),
                fitted(|found| found.fit.srp_station_m),
            ),
            metres(
                "Athwart (+ to port), m",
                less(to.0.planned_offset_m, from.0.planned_offset_m),
                recorded(|position| position.recorded_offset_m),
                fitted(|found| found.fit.centreline_offset_m),
            ),
        ],
    }
}

fn metres(
    what: &'static str,
    planned: Option<f64>,
    recorded: Option<f64>,
    fitted: Option<f64>,
) -> Compared {
    Compared {
        what,
        planned: text::metres(planned),
        recorded: text::metres(recorded),
        fitted: text::metres(fitted),
        difference: text::signed_mm(less(recorded, fitted)).map(|mm| format!("{mm} mm")),
    }
}

fn less(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    Some(a? - b?)
}
