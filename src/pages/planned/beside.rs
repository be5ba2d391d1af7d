//! The figures of a position as planned beside those as done: each worked out once, by one function for both.

use std::cmp::Ordering;

use super::super::{Cell, Column, Section, Table};
use crate::findings::Examined;
use crate::findings::recomputed::loads::Borne;
use crate::text;
use crate::text::{Form, Measure, Text, id};

/// What a figure is, and what it comes to.
type Figure = (Text, Option<Text>);

/// So many positions stand beside each other in a table.
const ABREAST: usize = 2;

/// The planned positions, each as planned and as done, and what they come to together.
pub fn tables(section: &mut Section, examined: &Examined, planned: &Examined) {
    let positions: Vec<&str> =
        planned.project.positions.iter().map(|position| position.id.as_str()).collect();
    for abreast in positions.chunks(ABREAST) {
        let columns = abreast.iter().flat_map(|position| {
            let as_planned = figures(planned, position, Measure::as_planned);
            let as_done = figures(examined, position, |measure| measure);
            [
                (text!("{} as planned", id(*position)), as_planned),
                (text!("{} as done", id(*position)), as_done),
            ]
        });
        section
            .part(Text::joined(abreast.iter().map(|position| text!("{}", id(*position))), " and "));
        section.table(table(columns.collect()));
    }
    let as_planned = together(planned, Measure::as_planned);
    let as_done = together(examined, |measure| measure);
    if as_planned.len() == as_done.len() {
        section.part("All positions together");
        section.table(table(vec![("As planned".into(), as_planned), ("As done".into(), as_done)]));
    }
}

/// What all positions come to.
fn together(examined: &Examined, known: fn(Measure) -> Measure) -> Vec<Figure> {
    let area = examined.recomputed.never_exposed().map(known);
    let pieces = area.map(|_| examined.recomputed.never_exposed.len());
    let mut figures = vec![
        ("Bottom hidden in every position".into(), area.map(Text::from)),
        ("in so many pieces".into(), pieces.map(|pieces| text!("{}", pieces))),
    ];
    let lies = examined.recomputed.positions.iter().map(|position| position.lie);
    let placed: Vec<_> = examined.project.positions.iter().zip(lies).collect();
    for pair in placed.windows(2) {
        let moved = pair[0]
            .1
            .zip(pair[1].1)
            .map(|(from, to)| Form::Length.measure(to.srp_station_m - from.srp_station_m).signed());
        let [from, to] = [&pair[0].0.id, &pair[1].0.id];
        let name = text!("SRP moved from {} to {}, + forward", id(from), id(to));
        figures.push((name, moved.map(Text::from)));
    }
    figures
}

/// Lists of the same figures side by side; columns that hold nothing are left out, and what no column has is named in a
/// line before them.
fn table(mut columns: Vec<(Text, Vec<Figure>)>) -> Table {
    let names: Vec<Text> = columns
        .first()
        .into_iter()
        .flat_map(|(_, list)| list)
        .map(|(name, _)| name.clone())
        .collect();
    columns.retain(|(_, list)| list.iter().any(|(_, value)| value.is_some()));
    let heads = columns.iter().map(|(head, _)| Column::text(head.clone()));
    let heads: Vec<Column> = [Column::text("").share(1.4)].into_iter().chain(heads).collect();
    let value = |at: usize, list: &[Figure]| list.get(at).and_then(|(_, value)| value.clone());
    let (mut rows, mut unknown): (Vec<Vec<Cell>>, Vec<Text>) = (Vec::new(), Vec::new());
    for (at, name) in names.into_iter().enumerate() {
        let values: Vec<Option<Text>> = columns.iter().map(|(_, list)| value(at, list)).collect();
        if values.iter().all(Option::is_none) {
            unknown.push(name);
            continue;
        }
        let values = values.into_iter().map(|value| value.map_or(Cell::NotRecorded, Cell::Text));
        rows.push([Cell::from(name)].into_iter().chain(values).collect());
    }
    let table = Table { rows, ..Table::new(heads) };
    match unknown.is_empty() {
        true => table,
        false => table.about(text!(
            "Not known, since what it takes is neither planned nor recorded: {}.",
            Text::joined(unknown, "; ")
        )),
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
