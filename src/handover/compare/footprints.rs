//! What stood on blocks in both dockings, and what neither uncovered.

use geo::{MultiPolygon, Polygon};
use serde::Serialize;

use super::shared::{self, ELSEWHERE, greatest, ids_and};
use crate::calc::exposure::Hidden;
use crate::calc::plane::{area_m2, common, extent, solid, union, without};
use crate::findings::Examined;
use crate::pages::{Cell, Column, Section, Table};
use crate::records::Project;
use crate::report::figures::letter;
use crate::text;
use crate::text::{Form, Measure, Text, count, id, nearest_frame, range};

/// Pieces in the table.
const MOST_PIECES: usize = 40;

/// The bottom by what stood on blocks. Areas in plan, m2; null where a position of a docking can't be placed.
#[derive(Debug, Clone, Serialize)]
pub struct Footprints {
    /// Then.
    pub older: Areas,
    /// Now.
    pub newer: Areas,
    /// Under blocks in some position of both dockings.
    #[serde(serialize_with = "shared::maybe")]
    pub blocks_in_both_m2: Option<f64>,
    /// Never exposed then, and now.
    #[serde(serialize_with = "shared::maybe")]
    pub never_exposed_in_either_m2: Option<f64>,
    /// Never exposed then, and exposed now.
    #[serde(serialize_with = "shared::maybe")]
    pub reached_since_m2: Option<f64>,
    /// Never exposed now, and exposed then.
    #[serde(serialize_with = "shared::maybe")]
    pub reached_then_only_m2: Option<f64>,
    /// What was never exposed in either docking, piece by piece from aft to forward.
    pub pieces: Vec<Piece>,
}

/// One docking's.
#[derive(Debug, Clone, Serialize)]
pub struct Areas {
    /// Within the outline of the bottom.
    #[serde(serialize_with = "shared::maybe")]
    pub bottom_m2: Option<f64>,
    /// Under blocks in some position.
    #[serde(serialize_with = "shared::maybe")]
    pub under_blocks_m2: Option<f64>,
    /// Under blocks in every position.
    #[serde(serialize_with = "shared::maybe")]
    pub never_exposed_m2: Option<f64>,
    /// How many positions she lay in.
    pub positions: usize,
    /// Positions whose yaw is not recorded, and is taken as 0.
    pub yaw_unknown: Vec<String>,
}

/// A piece of the bottom that was never exposed in either docking.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Piece {
    /// Its least x, m.
    #[serde(serialize_with = "shared::plain")]
    pub x_from_m: f64,
    /// Its greatest x, m.
    #[serde(serialize_with = "shared::plain")]
    pub x_to_m: f64,
    /// Its least y, m.
    #[serde(serialize_with = "shared::plain")]
    pub y_from_m: f64,
    /// Its greatest y, m.
    #[serde(serialize_with = "shared::plain")]
    pub y_to_m: f64,
    /// Its area, m2.
    #[serde(serialize_with = "shared::plain")]
    pub area_m2: f64,
    /// The frame nearest to its middle, as frames are numbered now.
    pub near_frame: Option<String>,
    /// The blocks that hid it then, in any position.
    pub older_blocks: Vec<String>,
    /// The blocks that hid it now, in any position.
    pub newer_blocks: Vec<String>,
}

/// The same as shapes in hull axes.
#[derive(Debug, Clone)]
pub struct Shapes {
    /// Under blocks then.
    pub older: MultiPolygon<f64>,
    /// Under blocks now.
    pub newer: MultiPolygon<f64>,
    /// Never exposed in either docking, in the order of the pieces.
    pub never: Vec<Polygon<f64>>,
}

pub(super) fn compare(older: &Examined, newer: &Examined) -> (Footprints, Shapes) {
    let (was, is) = (blocks(older), blocks(newer));
    let (was_never, is_never) = (never(older), never(newer));
    let both = was.as_ref().zip(is.as_ref());
    let nevers = was_never.as_ref().zip(is_never.as_ref());
    let in_either = nevers.map(|(was, is)| solid(&common(was, is)));
    let pieces = in_either.iter().flat_map(|shape| &shape.0);
    let footprints = Footprints {
        older: areas(older, was.as_ref(), was_never.as_ref()),
        newer: areas(newer, is.as_ref(), is_never.as_ref()),
        blocks_in_both_m2: both.map(|(was, is)| area_m2(&solid(&common(was, is)))),
        never_exposed_in_either_m2: in_either.as_ref().map(area_m2),
        reached_since_m2: nevers.map(|(was, is)| area_m2(&solid(&without(was, is)))),
        reached_then_only_m2: nevers.map(|(was, is)| area_m2(&solid(&without(is, was)))),
        pieces: pieces.clone().map(|shape| piece(older, newer, shape)).collect(),
    };
    let never = pieces.cloned().collect();
    let empty = || MultiPolygon(Vec::new());
    (
        footprints,
        Shapes { older: was.unwrap_or_else(empty), newer: is.unwrap_or_else(empty), never },
    )
}

/// Under blocks in some position; `None` where a position can't be placed.
fn blocks(examined: &Examined) -> Option<MultiPolygon<f64>> {
    let hidden = placed(examined)?;
    Some(union(hidden.iter().flat_map(|position| &position.shape.0)))
}

/// Under blocks in every position; `None` where a position can't be placed.
fn never(examined: &Examined) -> Option<MultiPolygon<f64>> {
    placed(examined)?;
    let pieces = &examined.recomputed.never_exposed;
    Some(MultiPolygon(pieces.iter().map(|piece| piece.shape.clone()).collect()))
}

fn placed(examined: &Examined) -> Option<&[Hidden]> {
    let hidden = &examined.recomputed.hidden;
    (!hidden.is_empty()).then_some(hidden.as_slice())
}

fn areas(
    examined: &Examined,
    blocks: Option<&MultiPolygon<f64>>,
    never: Option<&MultiPolygon<f64>>,
) -> Areas {
    let lain = examined.project.positions.iter().zip(&examined.recomputed.positions);
    let turned = lain.filter(|(_, lain)| lain.lie.is_some() && lain.yaw_unknown);
    Areas {
        bottom_m2: examined.recomputed.bottom.as_ref().map(area_m2),
        under_blocks_m2: blocks.map(area_m2),
        never_exposed_m2: never.map(area_m2),
        positions: examined.project.positions.len(),
        yaw_unknown: turned.map(|(position, _)| position.id.clone()).collect(),
    }
}

fn piece(older: &Examined, newer: &Examined, shape: &Polygon<f64>) -> Piece {
    let [x_from_m, x_to_m, y_from_m, y_to_m] = extent(shape).unwrap_or([0.0; 4]);
    let alone = MultiPolygon(vec![shape.clone()]);
    let hiding =
        |examined: &Examined| hiding(&examined.project, &examined.recomputed.hidden, &alone);
    Piece {
        x_from_m,
        x_to_m,
        y_from_m,
        y_to_m,
        area_m2: area_m2(&alone),
        near_frame: nearest_frame(newer.project.docking.frames.as_ref(), (x_from_m + x_to_m) / 2.0),
        older_blocks: hiding(older),
        newer_blocks: hiding(newer),
    }
}

/// The blocks whose footprints lie over a piece in some position, in the order of the plan.
fn hiding(project: &Project, hidden: &[Hidden], piece: &MultiPolygon<f64>) -> Vec<String> {
    let over = |footprint: &MultiPolygon<f64>| !solid(&common(footprint, piece)).0.is_empty();
    let mut blocks: Vec<usize> = hidden
        .iter()
        .flat_map(|position| &position.footprints)
        .filter(|(_, footprint)| over(footprint))
        .map(|(block, _)| *block)
        .collect();
    blocks.sort_unstable();
    blocks.dedup();
    blocks.into_iter().filter_map(|at| Some(project.blocks.get(at)?.id.clone())).collect()
}

/// Why what stood on blocks can't be compared, or not surely.
pub(super) fn not_compared(footprints: &Footprints) -> Vec<Text> {
    let (older, newer) = (&footprints.older, &footprints.newer);
    let sides = [(older, "then"), (newer, "now")];
    let not_placed =
        sides.iter().filter(|(areas, _)| areas.under_blocks_m2.is_none()).map(|(areas, when)| {
            match areas.positions {
                0 => text!("What stood on blocks {} is not known: no position is recorded.", when),
                _ => text!(
                    "What stood on blocks {} is not known: a position can\u{2019}t be placed.",
                    when
                ),
            }
        });
    let yaw =
        sides.iter().filter(|(areas, _)| !areas.yaw_unknown.is_empty()).map(|(areas, when)| {
            text!(
                "Yaw is not recorded {} in {}, and taken as 0.",
                when,
                ids_and(&areas.yaw_unknown)
            )
        });
    not_placed.chain(yaw).collect()
}

/// The largest piece that was never exposed in either docking.
fn largest(footprints: &Footprints) -> Option<Text> {
    let pieces = footprints.pieces.iter().enumerate();
    let ((number, piece), _) = greatest(pieces, |(_, piece)| Some(piece.area_m2))?;
    let metres = |value_m: f64| Form::Length.measure(value_m).decimals(2);
    let frame = match &piece.near_frame {
        Some(frame) => text!(", near frame {}", frame),
        None => Text::new(),
    };
    let all = footprints.pieces.len();
    Some(text!(
        " {} at x {}{}; the blocks under it were {} then and {} now.",
        if all == 1 {
            "It lies".to_string()
        } else {
            format!("The largest, {}, lies", letter(number))
        },
        range(metres(piece.x_from_m), metres(piece.x_to_m)),
        frame,
        ids_and(&piece.older_blocks),
        ids_and(&piece.newer_blocks)
    ))
}

/// `names` are those of the older and the newer docking; the drawing, if any, is that one of the document.
pub(super) fn section(
    footprints: &Footprints,
    names: [&str; 2],
    drawing: Option<usize>,
) -> Section {
    let (older, newer) = (&footprints.older, &footprints.newer);
    let area = |area_m2: f64| Form::Area.measure(area_m2).decimals(2);
    let maybe = |area_m2: Option<f64>| -> Option<Measure> { area_m2.map(area) };
    let mut section = Section::new("Bottom under blocks").at("compared-bottom");
    let mut lead = match footprints.never_exposed_in_either_m2 {
        None => text!(
            "Positions are missing or can't be placed, so it is not known what both dockings left under blocks."
        ),
        Some(_) if footprints.pieces.is_empty() => {
            text!("No part of the bottom was left under blocks in both dockings.")
        }
        Some(left) => text!(
            "{} of the bottom, in {}, was never exposed in either docking.",
            area(left),
            count(footprints.pieces.len(), "piece", "pieces")
        ),
    };
    lead.extend(largest(footprints).unwrap_or_default());
    section.paragraph(lead);
    section.drawings(drawing);
    if let (Some(was), Some(since), Some(is), Some(then_only)) = (
        older.never_exposed_m2,
        footprints.reached_since_m2,
        newer.never_exposed_m2,
        footprints.reached_then_only_m2,
    ) {
        let mut reached = Text::new();
        if was > 0.0 {
            reached.extend(text!(
                "Of the {} that were never exposed then, {} were free of blocks in some position now. ",
                area(was),
                area(since)
            ));
        }
        if is > 0.0 {
            reached.extend(text!(
                "Of the {} that were never exposed now, {} had been free then.",
                area(is),
                area(then_only)
            ));
        }
        section.paragraph(reached);
    }
    if let Some(both) = footprints.blocks_in_both_m2 {
        section.paragraph(text!(
            "{} of the bottom stood on blocks in some position of both dockings.",
            area(both)
        ));
    }
    let columns = [
        Column::name("Docking"),
        Column::figure("Positions"),
        Column::measure("Bottom", Form::Area),
        Column::measure("Under blocks in some position", Form::Area),
        Column::measure("Never exposed", Form::Area),
    ];
    // Without an outline there is no area of the bottom; what can't be placed has none either.
    let row = |name: &str, areas: &Areas| -> [Cell; 5] {
        [
            id(name).into(),
            areas.positions.into(),
            maybe(areas.bottom_m2).into(),
            maybe(areas.under_blocks_m2).into(),
            maybe(areas.never_exposed_m2).into(),
        ]
    };
    let rows = [row(names[0], older), row(names[1], newer)];
    section.table(Table::new(columns).rows(rows).about("Areas in plan:"));
    let columns = [
        Column::name("Piece"),
        Column { form: Some(Form::Length), ..Column::name("x") },
        Column { form: Some(Form::Length), ..Column::name("y") },
        Column::figure("Near frame"),
        Column::measure("Area", Form::Area),
        Column::text("Blocks then"),
        Column::text("Blocks now"),
    ];
    let span = |from: f64, to: f64| {
        let metres = |value: f64| Form::Length.measure(value).decimals(2);
        range(metres(from), metres(to))
    };
    let ids = |blocks: &[String]| Text::joined(blocks.iter().map(|block| id(block).into()), ", ");
    let pieces = footprints.pieces.iter().enumerate().map(|(n, piece)| -> [Cell; 7] {
        [
            letter(n).into(),
            span(piece.x_from_m, piece.x_to_m).into(),
            span(piece.y_from_m, piece.y_to_m).into(),
            piece.near_frame.as_ref().into(),
            Form::Area.measure(piece.area_m2).into(),
            ids(&piece.older_blocks).into(),
            ids(&piece.newer_blocks).into(),
        ]
    });
    let about = "Never exposed in either docking:";
    section.table(Table::new(columns).rows(pieces).about(about).cut(MOST_PIECES, ELSEWHERE));
    section
}
