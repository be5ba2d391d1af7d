//! Pieces of the bottom in tables and sentences, and the measures that most sections print.

use crate::calc::exposure::Piece;
use crate::hull::Frames;
use crate::pages::{Cell, Column, Table};
use crate::records::Project;
use crate::text;
use crate::text::{Form, Measure, Text, id, nearest_frame, range};

/// A length to the millimetre.
pub fn metres(value_m: f64) -> Measure {
    Form::Length.measure(value_m)
}

/// A length to the centimetre.
pub fn centimetres(value_m: f64) -> Measure {
    metres(value_m).decimals(2)
}

/// An area to a thousandth of a square metre.
pub fn area(area_m2: f64) -> Measure {
    Form::Area.measure(area_m2)
}

/// Columns for where a piece is and how large.
pub fn columns() -> [Column; 4] {
    [
        Column::measure("x", Form::Length),
        Column::measure("y, + to port", Form::Length),
        Column::figure("Near frame"),
        Column::measure("Area", Form::Area),
    ]
}

/// The cells of those columns for a piece that reaches from x to x and from y to y.
pub fn cells([x0, x1, y0, y1]: [f64; 4], area_m2: f64, frames: Option<&Frames>) -> [Cell; 4] {
    // Beyond the first and the last frame there is none.
    let frame =
        frames.map_or(Cell::NotRecorded, |_| Cell::if_any(nearest_frame(frames, (x0 + x1) / 2.0)));
    let metres = |from, to| range(metres(from), metres(to)).into();
    [metres(x0, x1), metres(y0, y1), frame, area(area_m2).into()]
}

/// Where a piece is, in a sentence.
pub fn place([x0, x1, y0, y1]: [f64; 4]) -> Text {
    let span = |from, to| range(centimetres(from), centimetres(to));
    text!("x {}, y {}", span(x0, x1), span(y0, y1))
}

/// The blocks that hid a piece, position by position.
pub fn hidden_by(project: &Project, blocks_by_position: &[Vec<usize>]) -> Text {
    let positions = project.positions.iter().zip(blocks_by_position);
    let hiding = positions.filter(|(_, blocks)| !blocks.is_empty());
    let each = hiding.map(|(position, blocks)| {
        let blocks = blocks.iter().filter_map(|n| project.blocks.get(*n));
        text!("{} by {}", id(&position.id), Text::listed(blocks.map(|block| id(&block.id).into())))
    });
    Text::joined(each, "; ")
}

/// The pieces that no position exposes, with the blocks that hide them.
pub fn never_exposed<'a>(project: &Project, pieces: impl IntoIterator<Item = &'a Piece>) -> Table {
    let [x, y, frame, area] = columns();
    let rows = pieces.into_iter().map(|piece| {
        let frames = project.docking.frames.as_ref();
        let [x, y, frame, area] = cells(piece.extent, piece.area_m2, frames);
        [x, y, frame, area, hidden_by(project, &piece.hidden_by).into()]
    });
    Table::new([x, y, frame, area, Column::text("Hidden in")]).rows(rows)
}
