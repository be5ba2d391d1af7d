//! The block plan and the openings on it.

use serde::Serialize;

use super::{Placed, drawings};
use crate::records::blocks::{Block, BlockRow};
use crate::report::legible::Narrow;
use crate::report::{Inputs, text};

#[derive(Serialize)]
pub(super) struct Plan<'a> {
    drawings: Vec<Placed<'a>>,
    blocks: Vec<PlannedBlock>,
    left_out: Vec<LeftOut<'a>>,
    counts: String,
}

#[derive(Serialize)]
struct PlannedBlock {
    id: Narrow,
    row: &'static str,
    station: String,
    offset: String,
    length: String,
    width: String,
    height: Option<String>,
    top_level: Option<String>,
    skew: String,
    cap: Option<Narrow>,
    stands_in: Narrow,
}

#[derive(Serialize)]
struct LeftOut<'a> {
    id: Narrow,
    stands_in: Narrow,
    because: &'a str,
}

pub(super) fn section<'a>(inputs: &Inputs<'a>) -> Plan<'a> {
    let project = &inputs.examined.project;
    Plan {
        drawings: drawings(inputs, "plan"),
        blocks: project.blocks.iter().map(planned).collect(),
        left_out: project
            .blocks
            .iter()
            .filter_map(|block| {
                Some(LeftOut {
                    id: Narrow::new(&block.id),
                    stands_in: stands_in(block),
                    because: block.left_out_because.as_deref()?,
                })
            })
            .collect(),
        counts: counts(&project.blocks),
    }
}

fn planned(block: &Block) -> PlannedBlock {
    PlannedBlock {
        id: Narrow::new(&block.id),
        row: row(block.row),
        station: text::number(block.cap.centre.x, 3),
        offset: text::number(block.cap.centre.y, 3),
        length: text::number(block.cap.length_m, 2),
        width: text::number(block.cap.width_m, 2),
        height: text::metres(block.height_m),
        top_level: text::metres(block.top_level_m),
        skew: text::number(block.cap.turn_deg, 1),
        cap: block.cap_material.as_deref().map(Narrow::new),
        stands_in: stands_in(block),
    }
}

fn row(row: BlockRow) -> &'static str {
    match row {
        BlockRow::Keel => "keel",
        BlockRow::BilgePort => "bilge, port",
        BlockRow::BilgeStarboard => "bilge, starboard",
        BlockRow::Other => "other",
    }
}

fn stands_in(block: &Block) -> Narrow {
    Narrow::new(match &block.positions {
        None => "all".to_string(),
        Some(positions) if positions.is_empty() => "none".to_string(),
        Some(positions) => positions.join(", "),
    })
}

fn counts(blocks: &[Block]) -> String {
    let rows = [BlockRow::Keel, BlockRow::BilgePort, BlockRow::BilgeStarboard, BlockRow::Other];
    let each: Vec<String> = rows
        .into_iter()
        .map(|wanted| (wanted, blocks.iter().filter(|block| block.row == wanted).count()))
        .filter(|(_, n)| *n > 0)
        .map(|(wanted, n)| format!("{n} {}", row(wanted)))
        .collect();
    let each: Vec<&str> = each.iter().map(String::as_str).collect();
    format!("{}: {}", text::count(blocks.len(), "block", "blocks"), each.join("; "))
}
