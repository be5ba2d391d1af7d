//! Each docking position: planned, recorded and fitted, with the sightings it rests on.

use crate::calc::positions::Agreement;
use crate::findings::Examined;
use crate::findings::recomputed::PositionRecomputed;
use crate::pages::pieces::metres;
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
        return section;
    }
    let each = both.iter().flat_map(|(position, found)| {
        places(position, found).map(|row| (text!("{}", id(&position.id)), row))
    });
    let moved = both.windows(2).flat_map(|pair| {
        let name = text!("{} to {}", id(&pair[0].0.id), id(&pair[1].0.id));
        shift(pair[0], pair[1]).map(|row| (name.clone(), row))
    });
    section.table(compared(each.chain(moved)));
    for (position, found) in &both {
        doubts(&mut section, examined, position, found);
    }
    sightings(&mut section, examined, &both);
    section
}

/// Station and offset of a position.
fn station((position, found): Both<'_>) -> Three {
    [position.planned_srp_station_m, position.recorded_srp_station_m, found.fit.srp_station_m]
}

fn offset((position, found): Both<'_>) -> Three {
    [position.planned_offset_m, position.recorded_offset_m, found.fit.centreline_offset_m]
}

fn places(position: &Position, found: &PositionRecomputed) -> [[Cell; 5]; 3] {
    let degrees = |value: f64| Form::Angle.measure(value);
    let (recorded, fitted) = (position.recorded_yaw_deg, found.fit.yaw_deg);
    [
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
    ]
}

fn shift(from: Both<'_>, to: Both<'_>) -> [[Cell; 5]; 2] {
    let moved = |of: fn(Both<'_>) -> Three| {
        let (from, to) = (of(from), of(to));
        [0, 1, 2].map(|n| less(to[n], from[n]))
    };
    [
        shifts("Shift fore and aft, + forward", moved(station)),
        shifts("Shift athwart, + to port", moved(offset)),
    ]
}

fn compared(rows: impl Iterator<Item = (Text, [Cell; 5])>) -> Table {
    let columns = [
        Column::name("Position"),
        Column::text("Figure"),
        Column::figure("Planned"),
        Column::figure("Recorded"),
        Column::figure("Fitted to sightings"),
        Column::figure("Recorded less fitted"),
    ];
    let rows = rows.map(|(name, [what, planned, recorded, fitted, less])| {
        [name.into(), what, planned, recorded, fitted, less]
    });
    let about = "Where she lay: as planned, as recorded, and as the sightings place her.";
    Table::new(columns).rows(rows).about(about)
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

/// How far the sightings of a position can be believed.
fn doubts(
    section: &mut Section,
    examined: &Examined,
    position: &Position,
    found: &PositionRecomputed,
) {
    let fit = &found.fit;
    let name = || id(&position.id);
    if found.sightings.is_empty() {
        section.paragraph(text!("{}: no sighting is recorded.", name()));
        return;
    }
    let sighting = |n: &usize| examined.project.sightings.get(*n);
    let mark = |n: usize| {
        Text::from(id(found.sightings.get(n).and_then(sighting).map_or("", |seen| &seen.mark)))
    };
    let spare = match fit.spare {
        0 => "there are no redundant readings to check them against.".to_string(),
        1 => "there is one more reading than unknowns.".to_string(),
        spare => format!("there are {spare} more readings than unknowns."),
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
    section.paragraph(text!("{}: {}{}", name(), spare, doubt));
}

/// All sightings with how far each lies from the fit.
fn sightings(section: &mut Section, examined: &Examined, both: &[Both<'_>]) {
    let columns = [
        Column::name("Position"),
        Column::name("Mark"),
        Column::measure("x", Form::Length),
        Column::measure("y", Form::Length),
        Column::measure("Station", Form::Length),
        Column::measure("Offset", Form::Length),
        Column::measure("Residual, station", Form::Small).mm(19.0),
        Column::measure("Residual, offset", Form::Small).mm(19.0),
        Column::text("Read by"),
    ];
    // Where nothing was read there is no residual.
    let residual = |read: Option<f64>, residual: Option<f64>| match read {
        None => Cell::DoesNotApply,
        Some(_) => residual.map(|less| -> Measure { Form::Small.measure(less).signed() }).into(),
    };
    let rows = both.iter().flat_map(|(position, found)| {
        found.sightings.iter().zip(&found.fit.residuals).filter_map(move |(n, residuals)| {
            let seen = examined.project.sightings.get(*n)?;
            Some([
                id(&position.id).into(),
                id(&seen.mark).into(),
                metres(seen.hull.x).into(),
                metres(seen.hull.y).into(),
                seen.dock_station_m.map(metres).into(),
                seen.dock_offset_m.map(metres).into(),
                residual(seen.dock_station_m, residuals.0),
                residual(seen.dock_offset_m, residuals.1),
                seen.read_by.as_deref().into(),
            ])
        })
    });
    let about = "Sightings of marks on the hull in the dock. Residuals are seen less fitted.";
    section.table(Table::new(columns).rows(rows).about(about));
}
