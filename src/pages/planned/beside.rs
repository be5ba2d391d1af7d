//! The figures of a position as planned beside those as done: each worked out once, by one function for both.

use std::cmp::Ordering;

use super::super::{Cell, Column, Section, Table};
use crate::findings::Examined;
use crate::findings::recomputed::loads::Borne;
use crate::text;
use crate::text::{Form, Measure, Text, id};

/// A table for each planned position, and one for all of them together.
pub fn tables(section: &mut Section, examined: &Examined, planned: &Examined) {
    for position in &planned.project.positions {
        section.part(text!("Position {}", id(&position.id)));
        let as_planned = figures(planned, &position.id, Measure::as_planned);
        let as_done = figures(examined, &position.id, |measure| measure);
        section.table(table(as_planned, as_done));
    }
    let together = |examined: &Examined, known: fn(Measure) -> Measure| {
        let area = examined.recomputed.never_exposed().map(known);
        let pieces = area.map(|_| examined.recomputed.never_exposed.len());
        let shifts =
            examined.recomputed.positions.windows(2).zip(examined.project.positions.windows(2));
        let mut rows = vec![
            ("Bottom hidden in every position".into(), area.map(Text::from)),
            ("in so many pieces".into(), pieces.map(|pieces| text!("{}", pieces))),
        ];
        for (out, positions) in shifts {
            let moved = out[0].lie.zip(out[1].lie).map(|(from, to)| {
                Form::Length.measure(to.srp_station_m - from.srp_station_m).signed()
            });
            let name = text!(
                "SRP moved from {} to {}, + forward",
                id(&positions[0].id),
                id(&positions[1].id)
            );
            rows.push((name, moved.map(Text::from)));
        }
        rows
    };
    let as_planned = together(planned, Measure::as_planned);
    if examined.project.positions.len() == planned.project.positions.len() {
        section.part("All positions together");
        section.table(table(as_planned, together(examined, |measure| measure)));
    }
}

/// What a figure is, and what it comes to.
type Figure = (Text, Option<Text>);

/// Planned and done side by side; what neither has is named in a line before them. Where nothing is done, the plan alone.
fn table(planned: Vec<Figure>, done: Vec<Figure>) -> Table {
    let is_ahead = done.iter().all(|(_, done)| done.is_none());
    let mut columns = vec![Column::text(""), Column::text("As planned")];
    columns.extend((!is_ahead).then(|| Column::text("As done")));
    let cell = |text: Option<Text>| text.map_or(Cell::NotRecorded, Cell::Text);
    let both: Vec<(Text, Option<Text>, Option<Text>)> = planned
        .into_iter()
        .zip(done)
        .map(|((what, planned), (_, done))| (what, planned, done))
        .collect();
    let unknown = both.iter().filter(|(_, planned, done)| planned.is_none() && done.is_none());
    let unknown: Vec<Text> = unknown.map(|(what, ..)| what.clone()).collect();
    let rows = both.into_iter().filter(|(_, planned, done)| planned.is_some() || done.is_some());
    let rows = rows.map(|(what, planned, done)| {
        let planned = planned.map_or(Cell::Text("not planned".into()), Cell::Text);
        let mut row = vec![what.into(), planned];
        row.extend((!is_ahead).then(|| cell(done)));
        row
    });
    let table = Table { rows: rows.collect(), ..Table::new(columns) };
    let neither = if is_ahead { "Not planned" } else { "Neither planned nor recorded" };
    match unknown.is_empty() {
        true => table,
        false => table.about(text!("{}: {}.", neither, Text::joined(unknown, "; "))),
    }
}

/// The figures of a position, the same list whatever is known of it.
fn figures(examined: &Examined, position: &str, known: fn(Measure) -> Measure) -> Vec<Figure> {
    let project = &examined.project;
    let number = project.positions.iter().position(|other| other.id == position);
    let out = number.and_then(|n| examined.recomputed.positions.get(n));
    let lie = out.and_then(|out| out.lie);
    let landing = number.and_then(|n| examined.recomputed.landings.get(n));
    let loads = number.and_then(|n| examined.recomputed.loads.get(n));
    let hidden = number.and_then(|n| examined.recomputed.hidden.get(n));
    let shown = |measure: Option<Measure>| measure.map(|measure| known(measure).into());

    let near = (0..project.openings.len()).filter_map(|opening| {
        let (clear, block) = out?.clear_distance(project, position, opening)?;
        Some((clear, opening, block))
    });
    let near: Vec<(Measure, usize, usize)> = near.collect();
    let nearest = near.iter().min_by(|a, b| a.0.kept.total_cmp(&b.0.kept));
    let nearest = nearest.map(|(clear, opening, block)| {
        let (opening, block) = (&project.openings[*opening].id, &project.blocks[*block].id);
        match clear.kept > 0.0 {
            true => text!("{}, {} from {}", id(opening), known(*clear), id(block)),
            false => text!("{}, over {}", id(opening), id(block)),
        }
    });
    let under = near.iter().filter(|(clear, ..)| clear.kept <= 0.0);
    let under: Vec<Text> =
        under.map(|(_, opening, _)| id(&project.openings[*opening].id).into()).collect();
    let under = (!near.is_empty()).then(|| match under.is_empty() {
        true => "none".into(),
        false => Text::listed(under),
    });

    let knuckle = landing.and_then(|landing| landing.seats.get(landing.touch?.seat));
    let knuckle = knuckle.map(|(block, _)| id(&project.blocks[*block].id).into());
    let landed =
        |figure: fn(&crate::findings::recomputed::landing::Landing, &str) -> Option<Measure>| {
            landing.and_then(|landing| figure(landing, position))
        };
    let borne: Vec<Borne<'_>> = loads.map(|loads| loads.borne(project)).unwrap_or_default();
    let greatest = |by: fn(&Borne<'_>) -> Option<f64>| {
        let known = borne.iter().filter_map(|borne| Some((by(borne)?, borne)));
        known.max_by(|a, b| a.0.total_cmp(&b.0).then(Ordering::Greater)).map(|(_, borne)| borne)
    };
    let load = greatest(|borne| Some(borne.load_kn))
        .map(|borne| text!("{} on {}", Measure::load(borne.load_kn), id(&borne.block.id)));
    let pressure = greatest(|borne| borne.pressure_kpa).and_then(|borne| {
        Some(text!("{} on {}", known(borne.pressure(position)?), id(&borne.block.id)))
    });
    let hid = hidden.map(|hidden| Form::Area.measure(crate::calc::plane::area_m2(&hidden.shape)));
    [
        ("Station of the SRP", shown(lie.map(|lie| Form::Length.measure(lie.srp_station_m)))),
        (
            "Offset of the centreline there, + to port",
            shown(lie.map(|lie| Form::Length.measure(lie.centreline_offset_m))),
        ),
        ("Bottom hidden", shown(hid)),
        ("Opening nearest to a cap", nearest),
        ("Openings under caps", under),
        (
            "Trim over the line of the blocks, + by the stern",
            shown(landed(|l, p| l.relative_trim(p))),
        ),
        ("Touches first at", knuckle),
        ("Water level at first touch", shown(landed(|l, p| l.level_touched(p)))),
        ("Water level when landed fore and aft", shown(landed(|l, p| l.level_landed(p)))),
        ("Upthrust on the knuckle then", shown(landed(|l, p| l.upthrust(p)))),
        ("Pressure of that on its cap", shown(landed(|l, p| l.knuckle_pressure(p)))),
        ("GM left then, the smaller of two ways of counting", shown(landed(|l, p| l.least_gm(p)))),
        ("Deeper then than the draft at which GM is nil", shown(landed(|l, p| l.margin(p)))),
        ("Greatest load, the dock dry", load),
        ("Greatest bearing pressure, the dock dry", pressure),
    ]
    .map(|(what, value)| (what.into(), value))
    .into()
}
