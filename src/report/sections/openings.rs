//! The openings: how clear of the blocks they were, and when they were opened, closed and tested.

use serde::Serialize;

use crate::findings::Examined;
use crate::hull::Outline;
use crate::records::openings::Opening;
use crate::report::legible::Narrow;
use crate::report::text;

#[derive(Serialize)]
pub(super) struct Openings {
    /// Positions side by side in one table, a few at a time.
    spreads: Vec<Spread>,
    worked: Vec<Worked>,
    untouched: Vec<String>,
    states: Vec<(Narrow, String)>,
}

#[derive(Serialize)]
struct Spread {
    positions: Vec<String>,
    rows: Vec<Row>,
}

#[derive(Serialize)]
struct Row {
    id: Narrow,
    kind: &'static str,
    x: String,
    y: String,
    size: String,
    wanted: Option<String>,
    clear: Vec<Option<Clear>>,
}

#[derive(Serialize)]
struct Clear {
    distance: String,
    block: Narrow,
    short: bool,
}

#[derive(Serialize)]
struct Worked {
    id: Narrow,
    opened_at: Option<String>,
    opened_by: Option<Narrow>,
    closed_at: Option<String>,
    closed_by: Option<Narrow>,
    tested: Option<Narrow>,
}

const POSITIONS_SIDE_BY_SIDE: usize = 3;

pub(super) fn section(examined: &Examined) -> Openings {
    let project = &examined.project;
    let columns: Vec<usize> = (0..project.positions.len()).collect();
    let spread = |columns: &[usize]| Spread {
        positions: columns.iter().map(|n| project.positions[*n].id.clone()).collect(),
        rows: (0..project.openings.len()).map(|n| row(examined, n, columns)).collect(),
    };
    let spreads = if project.openings.is_empty() {
        Vec::new()
    } else if columns.is_empty() {
        vec![spread(&[])]
    } else {
        columns.chunks(POSITIONS_SIDE_BY_SIDE).map(spread).collect()
    };
    let never_opened = |opening: &&Opening| !project.opened.iter().any(|o| o.opening == opening.id);
    Openings {
        spreads,
        worked: project
            .opened
            .iter()
            .map(|opened| Worked {
                id: Narrow::new(&opened.opening),
                opened_at: opened.opened_at.map(text::time),
                opened_by: opened.opened_by.as_deref().map(Narrow::new),
                closed_at: opened.closed_at.map(text::time),
                closed_by: opened.closed_by.as_deref().map(Narrow::new),
                tested: opened.tested_how.as_deref().map(Narrow::new),
            })
            .collect(),
        untouched: project.openings.iter().filter(never_opened).map(|o| o.id.clone()).collect(),
        states: project
            .openings
            .iter()
            .filter_map(|opening| Some((Narrow::new(&opening.id), opening.state.clone()?)))
            .collect(),
    }
}

fn row(examined: &Examined, n: usize, columns: &[usize]) -> Row {
    let project = &examined.project;
    let opening = &project.openings[n];
    let wanted = opening.wants_clear_m(&project.docking.bounds);
    let clear = |position: &usize| {
        let recomputed = examined.recomputed.positions.get(*position)?;
        let (clear_m, block) = recomputed.clearances.get(n).copied().flatten()?;
        Some(Clear {
            distance: text::number(clear_m, 3),
            block: Narrow::new(project.blocks.get(block).map_or("", |block| &block.id)),
            short: wanted.is_some_and(|wanted| clear_m + 1e-9 < wanted),
        })
    };
    Row {
        id: Narrow::new(&opening.id),
        kind: kind(&opening.kind),
        x: text::number(opening.centre.x, 2),
        y: text::number(opening.centre.y, 2),
        size: match opening.outline {
            Outline::Round { diameter_m, .. } => format!("\u{d8} {}", text::number(diameter_m, 3)),
            Outline::Rectangular(outline) => format!(
                "{} \u{d7} {}",
                text::number(outline.length_m, 2),
                text::number(outline.width_m, 2)
            ),
        },
        wanted: text::metres(wanted),
        clear: columns.iter().map(clear).collect(),
    }
}

/// A kind as it is read, without the hyphen of the files.
fn kind(word: &str) -> &'static str {
    match word {
        "sea-chest" => "sea chest",
        "overboard" => "overboard",
        "intake" => "intake",
        "docking-plug" => "docking plug",
        "echo-sounder" => "echo sounder",
        "speed-log" => "speed log",
        "shaft" => "shaft",
        "rudder" => "rudder",
        "thruster" => "thruster",
        _ => "other",
    }
}
