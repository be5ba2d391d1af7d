//! Each docking position: planned, recorded and fitted, with the sightings it rests on.

use super::pieces::metres;
use crate::calc::positions::Agreement;
use crate::findings::Examined;
use crate::findings::recomputed::PositionRecomputed;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::positions::Position;
use crate::text;
use crate::text::{Form, Measure, Text, id};

/// A position as it was written down and as its sightings place it.
type Both<'a> = (&'a Position, &'a PositionRecomputed);

/// Planned, recorded, fitted.
type Three = [Option<f64>; 3];

pub(super) fn section(examined: &Examined) -> Section {
    let both: Vec<Both<'_>> =
        examined.project.positions.iter().zip(&examined.recomputed.positions).collect();
    let mut section = Section::new("Docking positions").at("positions");
    if both.is_empty() {
        section.paragraph("No docking position is recorded.");
    }
    for (position, found) in &both {
        section.part(text!("Position {}", id(&position.id)));
        section.table(places(position, found));
        sightings(&mut section, examined, found);
    }
    for pair in both.windows(2) {
        section.part(text!("Shift from {} to {}", id(&pair[0].0.id), id(&pair[1].0.id)));
        section.table(shift(pair[0], pair[1]));
    }
    section
}

/// Station and offset of a position.
fn station((position, found): Both<'_>) -> Three {
    [position.planned_srp_station_m, position.recorded_srp_station_m, found.fit.srp_station_m]
}

fn offset((position, found): Both<'_>) -> Three {
    [position.planned_offset_m, position.recorded_offset_m, found.fit.centreline_offset_m]
}

fn places(position: &Position, found: &PositionRecomputed) -> Table {
    let degrees = |value: f64| Form::Angle.measure(value);
    let (recorded, fitted) = (position.recorded_yaw_deg, found.fit.yaw_deg);
    compared([
        lengths("SRP station", station((position, found)), found.fitted_srp_station(&position.id)),
        lengths("Centreline offset", offset((position, found)), found.fitted_offset(&position.id)),
        [
            "Yaw".into(),
            // No file has a planned yaw.
            Cell::DoesNotApply,
            recorded.map(degrees).into(),
            found.fitted_yaw(&position.id).into(),
            less(recorded, fitted).map(degrees).into(),
        ],
    ])
}

fn shift(from: Both<'_>, to: Both<'_>) -> Table {
    let moved = |of: fn(Both<'_>) -> Three| {
        let (from, to) = (of(from), of(to));
        [0, 1, 2].map(|n| less(to[n], from[n]))
    };
    compared([
        shifts("Fore and aft (+ forward)", moved(station)),
        shifts("Athwart (+ to port)", moved(offset)),
    ])
}

fn compared<const N: usize>(rows: [[Cell; 5]; N]) -> Table {
    let columns = [
        Column::text("Figure"),
        Column::figure("Planned"),
        Column::figure("Recorded"),
        Column::figure("Fitted to sightings"),
        Column::figure("Recorded less fitted"),
    ];
    Table::new(columns).rows(rows)
}

fn shifts(what: &str, lengths_m: Three) -> [Cell; 5] {
    lengths(what, lengths_m, lengths_m[2].map(metres))
}

fn lengths(
    what: &str,
    [planned, recorded, fitted]: Three,
    as_fitted: Option<Measure>,
) -> [Cell; 5] {
    let length = |value: Option<f64>| value.map(metres).into();
    let difference = less(recorded, fitted).map(|less| Form::Small.measure(less).signed());
    [what.into(), length(planned), length(recorded), as_fitted.into(), difference.into()]
}

fn less(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    Some(a? - b?)
}

fn sightings(section: &mut Section, examined: &Examined, found: &PositionRecomputed) {
    let fit = &found.fit;
    if found.sightings.is_empty() {
        section.paragraph("No sighting is recorded for this position.");
        return;
    }
    let sighting = |n: &usize| examined.project.sightings.get(*n);
    let mark = |n: usize| {
        Text::from(id(found.sightings.get(n).and_then(sighting).map_or("", |seen| &seen.mark)))
    };
    let spare = match fit.spare {
        0 => "There are no redundant readings to check them against.".to_string(),
        1 => "There is one more reading than unknowns.".to_string(),
        spare => format!("There are {spare} more readings than unknowns."),
    };
    let doubt = match &fit.agreement {
        Agreement::Fit => Text::new(),
        Agreement::SetAside(n) => text!(
            " {} does not fit the others and is set aside: the position is fitted without it.",
            mark(*n)
        ),
        Agreement::OneOf(all) => text!(
            " They do not fit each other: one of {} is mistaken, and which can't be told.",
            Text::listed(all.iter().map(|n| mark(*n)))
        ),
        Agreement::NotOne => {
            " They do not fit each other, and no single one of them explains that.".into()
        }
    };
    let columns = [
        Column::name("Mark").mm(11.0),
        Column::measure("x", Form::Length).mm(14.0),
        Column::measure("y", Form::Length).mm(13.0),
        Column::measure("Station", Form::Length).mm(19.0),
        Column::measure("Offset", Form::Length).mm(19.0),
        Column::measure("Residual, station", Form::Small).mm(15.0),
        Column::measure("Residual, offset", Form::Small).mm(15.0),
        Column::text("Read by"),
        Column::name("At").mm(34.0),
    ];
    // Where nothing was read there is no residual.
    let residual = |read: Option<f64>, residual: Option<f64>| match read {
        None => Cell::DoesNotApply,
        Some(_) => residual.map(|less| -> Measure { Form::Small.measure(less).signed() }).into(),
    };
    let rows = found.sightings.iter().zip(&fit.residuals).filter_map(|(n, residuals)| {
        let seen = sighting(n)?;
        Some([
            id(&seen.mark).into(),
            metres(seen.hull.x).into(),
            metres(seen.hull.y).into(),
            seen.dock_station_m.map(metres).into(),
            seen.dock_offset_m.map(metres).into(),
            residual(seen.dock_station_m, residuals.0),
            residual(seen.dock_offset_m, residuals.1),
            seen.read_by.as_deref().into(),
            seen.at.into(),
        ])
    });
    let about = text!("Sightings. Residuals are seen less fitted. {}{}", spare, doubt);
    section.table(Table::new(columns).rows(rows).small().about(about));
}
