//! The openings: how clear of the blocks they were, and when they were opened, closed and tested.

use super::pieces::{centimetres, metres};
use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::subject::Subject;
use crate::hull::Outline;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::openings::Opening;
use crate::records::positions::Position;
use crate::text;
use crate::text::{Form, Text, id, strong};

const POSITIONS_SIDE_BY_SIDE: usize = 3;

pub(super) fn section(examined: &Examined) -> Section {
    let project = &examined.project;
    let mut section = Section::new("Openings").at("openings");
    section.part("Clear distances from the blocks");
    if project.openings.is_empty() {
        section.paragraph("No opening is recorded.");
    } else {
        section.lead(
            "The clear distance is the least distance in plan from the edge of the opening to the edge of the \
             nearest cap, 0 where they overlap. \u{25b2} marks one that is less than wanted.",
        );
    }
    let numbered: Vec<(usize, &Position)> = project.positions.iter().enumerate().collect();
    if numbered.is_empty() {
        section.table(clear_distances(examined, &[]));
    }
    for side_by_side in numbered.chunks(POSITIONS_SIDE_BY_SIDE) {
        section.table(clear_distances(examined, side_by_side));
    }

    section.part("Opened, closed and tested");
    if project.opened.is_empty() {
        section.paragraph("No opening is recorded as opened or closed.");
    }
    let columns = [
        Column::name("Opening").mm(15.0),
        Column::name("Opened").mm(33.0),
        Column::name("By").mm(24.0),
        Column::name("Closed").mm(33.0),
        Column::name("By").mm(24.0),
        Column::text("Tested"),
    ];
    let rows = project.opened.iter().map(|opened| {
        [
            id(&opened.opening).into(),
            opened.opened_at.into(),
            opened.opened_by.as_deref().into(),
            opened.closed_at.into(),
            opened.closed_by.as_deref().into(),
            opened.tested_how.as_deref().into(),
        ]
    });
    section.table(Table::new(columns).rows(rows).small());
    let never = |opening: &&Opening| !project.opened.iter().any(|row| row.opening == opening.id);
    let untouched = project.openings.iter().filter(never).map(|opening| id(&opening.id).into());
    let untouched = Text::joined(untouched, ", ");
    if !untouched.is_empty() {
        section.paragraph(text!("Neither opened nor closed, as far as recorded: {}.", untouched));
    }

    section.part("State as found");
    let states = project
        .openings
        .iter()
        .filter_map(|opening| Some([id(&opening.id).into(), opening.state.as_deref()?.into()]));
    let columns = [Column::name("Opening").mm(22.0), Column::text("State")];
    let states = Table::new(columns).rows(states).small();
    if states.rows.is_empty() {
        section.paragraph("No state is recorded.");
    }
    section.table(states);
    section
}

/// Openings and how clear they were in a few positions, each with its number.
fn clear_distances(examined: &Examined, positions: &[(usize, &Position)]) -> Table {
    let project = &examined.project;
    let length = |head: &str| Column::measure(head, Form::Length);
    let mut columns = vec![
        Column::name("Opening").mm(17.0),
        Column::name("Kind").mm(20.0),
        length("x").mm(13.0),
        length("y").mm(13.0),
        length("Size"),
        length("Wanted"),
    ];
    for (_, position) in positions {
        let name = || id(&position.id);
        columns.push(Column::measure(text!("{}: clear", name()), Form::Length).share(1.0));
        columns.push(Column::name(text!("{}: nearest", name())).share(1.0));
    }
    let rows = project.openings.iter().enumerate().map(|(n, opening)| {
        let mut row: Vec<Cell> = vec![
            id(&opening.id).into(),
            opening.kind.replace('-', " ").into(),
            centimetres(opening.centre.x).into(),
            centimetres(opening.centre.y).into(),
            size(&opening.outline).into(),
            opening.wants_clear_m(&project.docking.bounds).map(metres).into(),
        ];
        for (number, position) in positions {
            let recomputed = examined.recomputed.positions.get(*number);
            let nearest =
                recomputed.and_then(|found| found.clear_distance(project, &position.id, n));
            let Some((clear, block)) = nearest else {
                row.extend([Cell::NotRecorded, Cell::DoesNotApply]);
                continue;
            };
            let made =
                examined.finding(&Subject::Clearance(opening.id.clone(), position.id.clone()));
            let is_short = made.is_some_and(|made| made.outcome == Outcome::BeyondLimit);
            row.push(if is_short {
                text!("{} {}", strong("\u{25b2}"), clear).into()
            } else {
                clear.into()
            });
            row.push(id(project.blocks.get(block).map_or("", |block| &block.id)).into());
        }
        row
    });
    Table::new(columns).rows_of_any(rows).small()
}

fn size(outline: &Outline) -> Text {
    match outline {
        Outline::Round { diameter_m, .. } => text!("\u{d8} {}", metres(*diameter_m)),
        Outline::Rectangular(outline) => {
            text!("{} \u{d7} {}", centimetres(outline.length_m), centimetres(outline.width_m))
        }
    }
}
