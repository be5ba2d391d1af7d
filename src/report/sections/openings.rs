//! The openings: how clear of the blocks they were, and when they were opened, closed and tested.

use crate::findings::Examined;
use crate::findings::finding::Outcome;
use crate::findings::subject::Subject;
use crate::hull::Outline;
use crate::pages::pieces::{centimetres, metres};
use crate::pages::{Cell, Column, Section, Table};
use crate::records::Project;
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

    opened_and_closed(&mut section, project);
    states(&mut section, project);
    section
}

/// When each opening was opened and closed, and by what tests its tightness was shown.
fn opened_and_closed(section: &mut Section, project: &Project) {
    section.part("Opened, closed and tested");
    if project.opened.is_empty() {
        section.paragraph("No opening is recorded as opened or closed.");
        return;
    }
    let columns = [Column::name("Opening"), Column::name("Opened"), Column::name("Closed")];
    let rows = project
        .opened
        .iter()
        .map(|row| [id(&row.opening).into(), row.opened_at.into(), row.closed_at.into()]);
    let about = "When each opening was opened and closed; by whom stands in the records.";
    section.table(Table::new(columns).rows(rows).in_halves().about(about));

    let tests = project.opened.iter().map(|row| (row.tested_how.as_deref(), row.opening.as_str()));
    let columns = [Column::text("Test of tightness"), Column::text("Openings").share(1.2)];
    let rows =
        grouped(tests).into_iter().map(|(how, openings)| [how.into(), listed(&openings).into()]);
    section.table(
        Table::new(columns).rows(rows).about("How each was tested before the dock was flooded:"),
    );
    let never = |opening: &&Opening| !project.opened.iter().any(|row| row.opening == opening.id);
    let untouched: Vec<&str> =
        project.openings.iter().filter(never).map(|opening| opening.id.as_str()).collect();
    if !untouched.is_empty() {
        section.paragraph(text!(
            "Neither opened nor closed, as far as recorded: {}.",
            listed(&untouched)
        ));
    }
}

/// What was found and done at each, once for those of which the same is written.
fn states(section: &mut Section, project: &Project) {
    section.part("State as found");
    let states =
        project.openings.iter().map(|opening| (opening.state.as_deref(), opening.id.as_str()));
    let groups = grouped(states);
    if groups.iter().all(|(state, _)| state.is_none()) {
        section.paragraph("No state is recorded.");
        return;
    }
    let columns = [Column::text("State, as written"), Column::text("Openings").share(1.2)];
    let rows = groups.into_iter().map(|(state, openings)| [state.into(), listed(&openings).into()]);
    section.table(
        Table::new(columns)
            .rows(rows)
            .about("What was found and done, in the words of the record:"),
    );
}

/// Openings by what is written of them, in the order in which it is first written; what is not written last.
fn grouped<'a>(
    written: impl Iterator<Item = (Option<&'a str>, &'a str)>,
) -> Vec<(Option<&'a str>, Vec<&'a str>)> {
    let mut groups: Vec<(Option<&str>, Vec<&str>)> = Vec::new();
    for (words, opening) in written {
        match groups.iter_mut().find(|(known, _)| *known == words) {
            Some((_, openings)) => openings.push(opening),
            None => groups.push((words, vec![opening])),
        }
    }
    groups.sort_by_key(|(words, _)| words.is_none());
    groups
}

fn listed(openings: &[&str]) -> Text {
    Text::joined(openings.iter().map(|opening| id(*opening).into()), ", ")
}

/// Openings and how clear they were in a few positions, each with its number.
fn clear_distances(examined: &Examined, positions: &[(usize, &Position)]) -> Table {
    let project = &examined.project;
    let length = |head: &str| Column::measure(head, Form::Length);
    let mut columns = vec![
        Column::name("Opening").mm(14.0),
        Column::name("Kind").mm(20.0),
        length("x").mm(11.0),
        length("y").mm(11.5),
        length("Size"),
        length("Wanted"),
    ];
    for (_, position) in positions {
        let name = || id(&position.id);
        columns.push(Column::measure(text!("{}: clear", name()), Form::Length).share(1.1));
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
